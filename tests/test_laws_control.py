"""Laws of control and of the methods: what must hold for every house, a simulation of other make, bad input."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import simpy
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.core.editions import EDITIONS
from hpelec.core.errors import EditionError, RangeError
from hpelec.core.findings import Verdict
from hpelec.house.model import House
from hpelec.house.sections_power import EnergyManagement
from hpelec.plan import design
from hpelec.steps.coincidence import law, rules_control, rules_methods
from hpelec.steps.coincidence.cases import household, largest_A, law_of, strangers, year
from hpelec.steps.coincidence.control import Limited, caught_up, limited
from hpelec.steps.coincidence.process import LoadProcess
from tests.adapters_coincidence import a_load
from tests.adapters_control import STEP_A, managed, management
from tests.houses import EXAMPLES, example, planned

FEW = settings(max_examples=40, deadline=None)
KINDS = ("storage", "vehicle_charger", "dryer", "tankless", "range")
LOAD = st.tuples(
    st.integers(4, 160),
    st.floats(0.02, 0.9),
    st.floats(10, 200),
    st.integers(1, 9),
    st.sampled_from(KINDS),
    st.booleans(),
)
LOADS = st.lists(LOAD, min_size=1, max_size=6)
SET_A = st.integers(1, 160).map(lambda n: n * STEP_A)
SORT = st.sampled_from(("group", "service"))
Drawn = list[tuple[int, float, float, int, str, bool]]


def made(drawn: Drawn) -> list[LoadProcess]:
    """Loads on the grid; the last mark says whether the controller has them."""
    return [
        managed(f"l{i}", k * STEP_A, p, run, rank, kind=kind, managed_by="controller" if has else "")
        for i, (k, p, run, rank, kind, has) in enumerate(drawn)
    ]


def by(loads: list[LoadProcess], setpoint_A: float, kind: str) -> Limited:
    return limited(loads, strangers(), STEP_A, [management(setpoint_A, kind)])


def plain(loads: list[LoadProcess]) -> law.Law:
    return year(law_of(loads, strangers(), STEP_A), strangers())


def same_size(*tails: Any) -> list[Any]:
    size = max(t.size for t in tails)
    return [np.append(t, np.zeros(size - t.size)) for t in tails]


def missed_A(found: Limited) -> float:
    return math.fsum(t.asked_A - t.given_A for t in found.books.of.values())


# --- control


@FEW
@given(LOADS, SET_A, SORT)
def test_control_is_enumeration(drawn: Drawn, setpoint_A: float, kind: str) -> None:
    """Every state of every load, met by the plain rule `admitted_A`: the same time above each level."""
    loads = made(drawn[:5])
    served = sorted((p for p in loads if p.managed_by), key=lambda p: (p.priority, p.id))
    others = [p for p in loads if not p.managed_by]
    on = {p.id: p.starts_per_h[0] * p.run_min / 60 for p in loads}
    found = by(loads, setpoint_A, kind).year.above
    above = np.zeros(found.size + 1)
    for state in itertools.product((0, 1), repeat=len(loads)):
        calls = {p.id for p, called in zip((*served, *others), state, strict=True) if called}
        chance = math.prod(on[p.id] if p.id in calls else 1 - on[p.id] for p in loads)
        background = sum(p.current_A for p in others if p.id in calls)
        calling = [p for p in served if p.id in calls]
        given_A = rules_control.admitted_A(
            [p.current_A for p in calling],
            setpoint_A,
            background if kind == "service" else 0.0,
            [rules_control.least_of(p.kind) for p in calling],
        ) if kind == "group" or background <= setpoint_A else [0.0] * len(calling)  # fmt: skip
        total = law.steps_up(background + sum(given_A), STEP_A)
        above[: total + 1] += chance
    assert np.allclose(above[: found.size], found, atol=1e-9) and above[-1] < 1e-9


@FEW
@given(LOADS, SET_A, SORT)
def test_control_never_passes_its_limit(drawn: Drawn, setpoint_A: float, kind: str) -> None:
    loads = made(drawn)
    above = by(loads, setpoint_A, kind).year.above
    rest = plain([p for p in loads if not p.managed_by]) if any(not p.managed_by for p in loads) else None
    background = np.ones(1) if rest is None else rest.above
    cap = law.steps_down(setpoint_A, STEP_A)
    if not any(p.managed_by for p in loads):
        assert np.allclose(*same_size(above, background), atol=1e-12)
    elif kind == "service":  # above the set point only what nobody manages
        one, two = same_size(above[cap + 1 :], background[cap + 1 :])
        assert np.allclose(one, two, atol=1e-12)
    else:
        assert above[background.size + cap :].sum() <= 1e-15


@FEW
@given(LOADS, SORT)
def test_set_point_out_of_reach_changes_nothing(drawn: Drawn, kind: str) -> None:
    loads = made(drawn)
    found, free = by(loads, largest_A(loads) + STEP_A, kind), plain(loads)
    one, two = same_size(found.year.above, free.above)
    assert np.allclose(one, two, atol=1e-12)
    if kind == "group":
        one, two = same_size(found.year.ups, free.ups)
        assert np.allclose(one, two, atol=1e-12)
    assert missed_A(found) <= 1e-12


@FEW
@given(LOADS)
def test_without_management_nothing_is_touched(drawn: Drawn) -> None:
    loads = made(drawn)
    found, free = limited(loads, strangers(), STEP_A, []), plain(loads)
    assert np.array_equal(found.year.above, free.above) and np.array_equal(found.year.ups, free.ups)
    assert not found.books.of


@FEW
@given(LOADS, SET_A, SET_A, SORT)
def test_lower_set_point_never_refuses_less(drawn: Drawn, one_A: float, two_A: float, kind: str) -> None:
    """Of all loads together; a single one may gain when a better one no longer fits."""
    loads = made(drawn)
    low, high = sorted((one_A, two_A))
    assert missed_A(by(loads, low, kind)) >= missed_A(by(loads, high, kind)) - 1e-9


def test_why_only_together() -> None:
    """Within 30 A the better load of 30 A runs and the other waits; within 25 A it is the other way round."""
    loads = [managed("a", 30.0, 0.5, 60, 1), managed("b", 20.0, 0.5, 60, 2)]
    high, low = by(loads, 30.0, "group"), by(loads, 25.0, "group")
    assert low.books.of["b"].held_share < high.books.of["b"].held_share
    assert missed_A(low) > missed_A(high)


@FEW
@given(LOADS, SET_A, SORT)
def test_best_priority_never_feels_the_others(drawn: Drawn, setpoint_A: float, kind: str) -> None:
    loads = made(drawn)
    served = sorted((p for p in loads if p.managed_by), key=lambda p: (p.priority, p.id))
    if not served:
        return
    best, others = served[0], [p for p in loads if not p.managed_by]
    together, alone = by(loads, setpoint_A, kind), by([best, *others], setpoint_A, kind)
    assert together.books.of[best.id].given_A == pytest.approx(alone.books.of[best.id].given_A, abs=1e-12)


@FEW
@given(LOADS, SET_A, SORT, st.randoms(use_true_random=False))
def test_order_of_rows_is_irrelevant(drawn: Drawn, setpoint_A: float, kind: str, random: Any) -> None:
    loads = made(drawn)
    mixed = list(loads)
    random.shuffle(mixed)
    one, two = by(loads, setpoint_A, kind), by(mixed, setpoint_A, kind)
    assert np.array_equal(one.year.above, two.year.above) and np.array_equal(one.year.ups, two.year.ups)
    assert {k: t.given_A for k, t in one.books.of.items()} == {k: t.given_A for k, t in two.books.of.items()}


@FEW
@given(LOADS, SET_A, SORT)
def test_books_add_up(drawn: Drawn, setpoint_A: float, kind: str) -> None:
    """What is asked is what runs without control; what is given is the mean that runs with it."""
    loads = made(drawn)
    found = by(loads, setpoint_A, kind)
    asked, given_A = (math.fsum(getattr(t, n) for t in found.books.of.values()) for n in ("asked_A", "given_A"))
    assert asked == pytest.approx(sum(p.current_A * p.starts_per_h[0] * p.run_min / 60 for p in loads if p.managed_by))
    others = math.fsum(p.current_A * p.starts_per_h[0] * p.run_min / 60 for p in loads if not p.managed_by)
    assert law.mean_steps(found.year.above) * STEP_A == pytest.approx(given_A + others)


@FEW
@given(LOADS, SET_A, SORT)
def test_made_up_energy_is_never_more_than_asked(drawn: Drawn, setpoint_A: float, kind: str) -> None:
    loads = made(drawn)
    managements = [management(setpoint_A, kind)]
    first = limited(loads, strangers(), STEP_A, managements)
    base = law_of([p for p in loads if not p.managed_by], strangers(), STEP_A)
    later = caught_up(loads, strangers(), STEP_A, managements, first, base)
    for p in loads:
        if p.managed_by and rules_control.made_up_later(p.kind):
            asked = first.books.of[p.id].asked_A
            assert later.books.of[p.id].given_A <= asked * 1.05 + 1e-9, "longer runs give back what was held, no more"


@FEW
@given(st.lists(st.floats(0.01, 0.9), min_size=1, max_size=6))
def test_priority_of_an_interlock(shares: list[float]) -> None:
    given_ = rules_control.priority_shares(shares)
    assert given_[0] == shares[0], "the first never waits"
    assert all(g <= s for g, s in zip(given_, shares, strict=True))
    assert sum(given_) == pytest.approx(1 - math.prod(1 - s for s in shares)), "one runs whenever one wants to"


@FEW
@given(LOADS, SET_A)
def test_interlock_never_raises_the_peak(drawn: Drawn, setpoint_A: float) -> None:
    loads = made(drawn)
    locked = [replace(p, group="one") for p in loads]
    top = np.flatnonzero(by(locked, setpoint_A, "group").year.above > 0)[-1] * STEP_A
    assert top <= max(p.current_A for p in loads) + 1e-9


# --- a simulation of other make: events by SimPy, admission written anew


def simulated(loads: list[LoadProcess], setpoint_A: float, kind: str, level_A: float, seed: int, hours: float) -> Any:
    """Shares of the time at or above a level, rises to it an hour, and held share of the last priority, in batches."""
    random = np.random.default_rng(seed)
    env = simpy.Environment()
    calling: set[str] = set()
    by_id = {p.id: p for p in loads}
    order = [p.id for p in sorted((p for p in loads if p.managed_by), key=lambda p: (p.priority, p.id))]
    batches = 16
    above, rises, held = (np.zeros(batches) for _ in range(3))
    last, total, out = 0.0, 0.0, False

    def settle() -> tuple[float, bool]:
        fixed = sum(by_id[n].current_A for n in calling if not by_id[n].managed_by)
        left, used, refused = setpoint_A - (fixed if kind == "service" else 0.0), 0.0, False
        for name in order:
            if name not in calling:
                continue
            wants = by_id[name].current_A
            if wants > left and by_id[name].kind == "vehicle_charger":
                wants = left if left >= 6 else 0.0
            elif wants > left:
                wants, refused = 0.0, refused or name == order[-1]
            used, left = used + wants, left - wants
        return fixed + used, refused

    def count() -> None:
        nonlocal last, total, out
        batch = min(int(last / hours * batches), batches - 1)
        above[batch] += (env.now - last) * (total >= level_A - 1e-9)
        held[batch] += (env.now - last) * out
        before, last = total, env.now
        total, out = settle()
        rises[batch] += before < level_A - 1e-9 <= total

    def lives(load: LoadProcess) -> Any:
        on = load.run_min / 60
        off = 1 / load.starts_per_h[0] - on
        while True:
            yield env.timeout(random.exponential(off))
            calling.add(load.id)
            count()
            yield env.timeout(on)
            calling.discard(load.id)
            count()

    for load in loads:
        env.process(lives(load))
    env.run(hours)
    return [x / (hours / batches) for x in (above, rises, held)]


A_HOUSE = [
    managed("tank", 18.0, 0.2, 40, 2),
    managed("spa", 24.0, 0.3, 90, 3),
    managed("car", 30.0, 0.25, 150, 9, kind="vehicle_charger"),
    a_load("range", 25.0, 0.1 * 60 / 40, 40),
    a_load("heat", 15.0, 0.5 * 60 / 15, 15),
]
B_HOUSE = [*A_HOUSE[:2], managed("dryer", 22.0, 0.15, 60, 9, kind="dryer"), *A_HOUSE[3:]]


@pytest.mark.parametrize(
    ("loads", "setpoint_A", "kind", "level_A"),
    [(A_HOUSE, 45.0, "group", 60.0), (B_HOUSE, 40.0, "group", 55.0), (A_HOUSE, 60.0, "service", 55.0)],
    ids=["charger turned down", "dryer waits", "whole service"],
)
def test_simulation_agrees(loads: list[LoadProcess], setpoint_A: float, kind: str, level_A: float) -> None:
    batches = simulated(loads, setpoint_A, kind, level_A, seed=4, hours=24_000)
    found = by(loads, setpoint_A, kind)
    index = law.steps_up(level_A, STEP_A)
    expected = [
        float(law.at(found.year.above, index)),
        float(law.at(found.year.ups, index)) if kind == "group" else None,
        found.books.of[max((p for p in loads if p.managed_by), key=lambda p: p.priority).id].held_share
        if loads is B_HOUSE
        else None,
    ]
    for got, wanted in zip(batches, expected, strict=True):
        if wanted is not None:
            error = got.std(ddof=1) / math.sqrt(got.size)
            assert wanted > 0 and error < 0.1 * wanted, "the simulation must be sharp enough to tell"
            assert abs(got.mean() - wanted) < 4 * error


# --- the step


def with_management(house: House, setpoint_A: float, kind: str, *names: str) -> House:
    """The house with its large loads that can wait under one energy management."""
    taken = {"managed_by": "controller"}
    heaters = tuple(replace(h, **taken) if h.id in names else replace(h, managed_by="") for h in house.heaters)
    rows = tuple(replace(a, **taken) if a.id in names else replace(a, managed_by="") for a in house.appliances)
    limit = EnergyManagement(id="controller", kind=kind, setpoint_A=setpoint_A, restricted_access=True)
    return house.changed(heaters=heaters, appliances=rows, energy_managements=(limit,))


@pytest.mark.parametrize("name", EXAMPLES)
def test_example_says_what_control_does(name: str) -> None:
    found = planned(name).coincidence
    control = found.control
    assert control.largest_A <= control.free_largest_A and control.p99_A <= control.free_p99_A + 1e-9
    assert {r.level_A for r in control.levels} >= {r.level_A for r in found.curve}
    for row in control.levels:
        assert row.controlled_hours <= row.caught_up_hours + 1e-9
    assert {(t.edition, t.means) for t in control.taken_off} == set(
        itertools.product(EDITIONS, ("interlock", "energy_management", "priority", "probability"))
    )
    for t in control.taken_off:
        nothing = t.means in ("priority", "probability") or (t.means == "energy_management" and t.edition < 2023)
        assert (t.counts == "nothing") == nothing and (not nothing or not t.at_most_A)


def test_service_set_point_holds_but_for_the_unmanaged() -> None:
    house = with_management(example("saltreed-bend"), 70.0, "service", "tank", "dryer")
    found = design(house, only=("coincidence",)).coincidence
    free = planned("saltreed-bend").coincidence
    held = {r.load: r for r in found.control.held}
    assert list(held) == ["tank", "dryer"], "in the order of their priority"
    assert held["dryer"].held_min > held["tank"].held_min > 0
    assert found.control.service_set_A == 70.0
    low = [r for r in found.control.levels if r.level_A < 70]
    assert low and all(r.controlled_return_years is None for r in low), "not worked out below the set point"
    over = next(r for r in found.control.levels if r.level_A >= 70)
    assert over.controlled_return_years > next(r for r in free.curve if r.level_A == over.level_A).return_years
    assert found.code_A == pytest.approx(free.code_A) or found.edition >= 2023, "odds never touch the code's load"


def test_tankless_turned_down_loses_degrees() -> None:
    house = with_management(example("wintermoss-hill"), 60.0, "group", "tankless")
    row = design(house, only=("coincidence",)).coincidence.control.held[0]
    need = next(n for n in planned("wintermoss-hill").hotwater.heaters if n.heater == "tankless")
    assert row.limited_min > 0 and row.held_min == 0 and not row.later
    assert 0 < row.lost_dF < row.most_lost_dF < need.rise_dF
    assert row.most_lost_dF == pytest.approx(need.rise_dF * (1 - 60 / 112.5), rel=0.01)
    assert row.not_made_up_kWh == row.held_kWh > 0


def test_load_above_its_set_point_never_runs_and_misses() -> None:
    house = with_management(example("saltreed-bend"), 10.0, "group", "tank")
    found = design(house, only=("coincidence",)).coincidence
    row = found.control.held[0]
    assert row.held_kWh == pytest.approx(row.asked_kWh) == pytest.approx(row.not_made_up_kWh)
    said = [f for f in found.findings if f.id == "coincidence-control"]
    assert [f.verdict for f in said] == [Verdict.MISSES]


def test_name_without_set_point_is_told() -> None:
    said = [f for f in planned("copperfen-row").coincidence.findings if f.id == "coincidence-no-set-point"]
    assert len(said) == 1 and said[0].verdict is Verdict.CANNOT_SAY and "load controller" in said[0].place


def test_management_that_nothing_names_is_told() -> None:
    house = with_management(example("saltreed-bend"), 50.0, "group")
    said = [f for f in design(house, only=("coincidence",)).coincidence.findings if f.id == "coincidence-control"]
    assert len(said) == 1 and "no load names it" in said[0].got


def test_recovery_one_after_another() -> None:
    rows = planned("saltreed-bend").coincidence.control.recovery
    assert [r.heater for r in rows] == ["tank", "basin-heater"]
    assert rows[1].hot_after_h == pytest.approx(rows[0].alone_h + rows[1].alone_h)
    control = planned("saltreed-bend").coincidence.control
    assert control.recovery_staggered_A == 18.75 < control.recovery_together_A == pytest.approx(30.75)


# --- the methods


@FEW
@given(st.lists(st.tuples(st.integers(1, 4), st.floats(0.001, 0.3), st.floats(0.5, 6)), min_size=1, max_size=5))
def test_zero_truncated_asks_more_than_the_normal_sum(groups: list[tuple[int, float, float]]) -> None:
    mean, variance = rules_methods.mean_and_variance(groups)
    none = rules_methods.idle_share(groups)
    assert variance >= 0 and 0 < none < 1
    assert rules_methods.truncated_demand(groups) >= mean / (1 - none) - 1e-9
    assert rules_methods.alike_demand(groups) <= sum(n for n, _, _ in groups) * max(q for _, _, q in groups) + 1e-9


@pytest.mark.parametrize("name", EXAMPLES)
def test_methods_stand_in_their_order(name: str) -> None:
    found = planned(name).coincidence.methods
    flows = {m.method: m.flow_gpm for m in found.flows}
    most = flows["All points at once"]
    ours = [v for n, v in flows.items() if n.startswith(("Exact", "Busiest"))]
    assert ours and all(v <= most + 0.05 * 20 for v in ours), "no flow above all points at once, but for the grid"
    assert flows["Exact, this house, given flow"] >= flows["Exact, this house, all time"]
    amps = {m.method: m.current_A for m in found.currents}
    assert amps["Exact, 99 % of the year"] <= amps["Exact, 99.9 % of the year"] <= amps["All on at once"]
    assert amps["Exact, 99 %, with control"] <= amps["Exact, 99 % of the year"]
    assert amps["Load by the code"] == planned(name).loads.design_A
    assert all(m.use and m.citation.source for m in (*found.flows, *found.currents))


def test_house_without_hot_water_has_no_flows() -> None:
    house = example("saltreed-bend").changed(heaters=(), draw_points=())
    assert design(house, only=("coincidence",)).coincidence.methods.flows == ()


# --- bad input


@pytest.mark.parametrize(
    ("call", "error"),
    [
        (lambda: rules_control.admitted_A([10.0], math.nan), RangeError),
        (lambda: rules_control.admitted_A([-1.0], 20.0), RangeError),
        (lambda: rules_control.admitted_A([1.0], -20.0), RangeError),
        (lambda: rules_control.turned_down_A(math.inf, 3.0, 0.0), RangeError),
        (lambda: rules_control.priority_shares([1.2]), RangeError),
        (lambda: rules_control.largest_set_point_A(0.0, 2023), RangeError),
        (lambda: rules_control.largest_set_point_A(100.0, 1999), EditionError),
        (lambda: rules_control.lost_dF(50.0, 10.0, 11.0), RangeError),
        (lambda: rules_control.reheat_h(50.0, 70.0, 0.0), RangeError),
        (lambda: rules_control.hot_after_h([1.0, -1.0]), RangeError),
        (lambda: rules_control.allowance("interlock", 2011), EditionError),
        (lambda: rules_methods.mean_and_variance([(1, 1.1, 2.0)]), RangeError),
        (lambda: rules_methods.normal_demand([(1, 0.1, -2.0)]), RangeError),
        (lambda: rules_methods.z_of(100.0), RangeError),
        (lambda: rules_methods.curve_flow_L_s(1.0, 2.0), RangeError),
        (lambda: rules_methods.curve_flow_L_s(501.0, 2.0), RangeError),
        (lambda: rules_methods.busy_row("fountain"), RangeError),
    ],
)
def test_bad_values_are_refused(call: Any, error: type[Exception]) -> None:
    with pytest.raises(error):
        call()


def test_household_states_are_kept_apart() -> None:
    """Two loads of one family refuse each other more than two strangers do: they come together."""
    loads = [managed(n, 20.0, 0.1, 30, i, follows="people") for i, n in enumerate(("a", "b"), 1)]
    family = limited(loads, household(0.2, 2.5), STEP_A, [management(20.0)])
    assert family.books.of["b"].held_share > 1.2 * by(loads, 20.0, "group").books.of["b"].held_share


def test_large_group_is_coarser_never_above_its_limit() -> None:
    """Twenty loads under one set point: a coarser grid, the limit and the bounds of each load still hold."""
    loads = [managed(f"l{i:02d}", 8.25 + i, 0.1, 30, 1 + i % 9) for i in range(20)]
    found = by(loads, 80.0, "group")
    assert found.year.above[law.steps_up(80.0, STEP_A) + 1 :].sum() <= 1e-12
    first = [min(loads, key=lambda p: (p.priority, p.id))]
    exact = by(first, 80.0, "group").books.of["l00"]
    assert found.books.of["l00"].given_A == pytest.approx(exact.given_A)
    assert all(0 <= t.given_A <= t.asked_A + 1e-12 for t in found.books.of.values())


@FEW
@given(
    st.lists(
        st.tuples(
            st.integers(4, 80), st.integers(4, 80), st.floats(0.05, 0.6), st.floats(0.05, 0.6), st.integers(1, 9)
        ),
        min_size=1,
        max_size=3,
    ),
    SET_A,
)
def test_interlocks_that_reach_outside_a_service_control(
    pairs: list[tuple[int, int, float, float, int]], setpoint_A: float
) -> None:
    """Each interlock has one load under the control and one outside: the same as counting every state."""
    loads, outcomes = [], []
    for i, (inside, outside, p, q, rank) in enumerate(pairs):
        group = f"g{i}"
        loads.append(managed(f"in{i}", inside * STEP_A, p, 30, rank, group=group))
        loads.append(a_load(f"out{i}", outside * STEP_A, q * 2, 30, group=group))
        whole = 1 + p / (1 - p) + q / (1 - q)
        outcomes.append(((1 / whole, 0.0, 0.0, rank), (p / (1 - p) / whole, inside * STEP_A, 0.0, rank),
                         (q / (1 - q) / whole, 0.0, outside * STEP_A, rank)))  # fmt: skip
    found = by(loads, setpoint_A, "service").year.above
    above = np.zeros(found.size + 1)
    for state in itertools.product(*outcomes):
        background = sum(o[2] for o in state)
        asked = [o[1] for o in sorted(state, key=lambda o: o[3]) if o[1]]
        # equal priorities go by id, and ids rise with the place in the list: sorted keeps that order
        given_A = rules_control.admitted_A(asked, setpoint_A, background) if background <= setpoint_A else (0.0,)
        total = law.steps_up(background + sum(given_A), STEP_A)
        above[: total + 1] += math.prod(o[0] for o in state)
    assert np.allclose(above[: found.size], found, atol=1e-9) and above[-1] < 1e-9
    ups, expected = by(loads, setpoint_A, "service").year.ups, np.zeros(found.size)
    for i, (_, outside, _, q, _) in enumerate(pairs):
        begun = 2 * q / (1 - q) * outcomes[i][0][0]  # a start that finds the other one on is lost
        for state in itertools.product(*(o for j, o in enumerate(outcomes) if j != i)):
            before = law.steps_up(sum(o[2] for o in state), STEP_A)
            expected[before + 1 : before + outside + 1] += begun * math.prod(o[0] for o in state)
    cap = law.steps_down(setpoint_A, STEP_A)
    assert np.allclose(ups[cap + 1 :], expected[cap + 1 :], atol=1e-9), "above the set point, crossings are exact"


def test_overload_by_a_load_outside_is_told() -> None:
    """A tankless heater outside the set point, locked to a tank inside it, still overloads the main now and then."""
    house = with_management(example("wintermoss-hill"), 100.0, "service", "tank")
    heaters = tuple(replace(h, interlock="one" if h.id != "sinkheater" else "") for h in house.heaters)
    found = design(house.changed(heaters=heaters), only=("coincidence",)).coincidence
    over = next(r for r in found.control.levels if r.level_A == found.main_A)
    assert over.controlled_hours > 0 and over.controlled_return_years is not None


def test_many_interlocks_keep_their_means_with_longer_tails(monkeypatch: pytest.MonkeyPatch) -> None:
    loads = []
    for i in range(2):
        loads.append(managed(f"in{i}", 20.0, 0.3, 30, 5, group=f"g{i}"))
        loads.append(a_load(f"out{i}", 30.0, 0.3 * 2, 30, group=f"g{i}"))
    exact = by(loads, 200.0, "service")
    monkeypatch.setattr("hpelec.steps.coincidence.admission.MOST_APART", 0)
    loose = by(loads, 200.0, "service")
    mean = law.mean_steps(exact.year.above)
    assert law.mean_steps(loose.year.above) == pytest.approx(mean)
    assert exact.books.of["in0"].asked_A == pytest.approx(loose.books.of["in0"].asked_A)
    one, two = same_size(exact.year.above, loose.year.above)
    top = law.steps_up(60.0, STEP_A) + 1
    assert one[top:].sum() == 0 < two[top:].sum(), "never more than one of each interlock, where it is exact"


def test_a_very_large_group_is_told() -> None:
    house = example("saltreed-bend")
    rows = tuple(replace(house.appliances[0], id=f"oven-{i}", kind="dryer", managed_by="controller") for i in range(22))
    limit = EnergyManagement(id="controller", kind="group", setpoint_A=90.0)
    found = design(house.changed(appliances=rows, energy_managements=(limit,)), only=("coincidence",)).coincidence
    assert any("coarser grid" in a.taken for a in found.assumptions)
    assert not any("coarser grid" in a.taken for a in planned("wintermoss-hill").coincidence.assumptions)
