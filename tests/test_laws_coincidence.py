"""Laws of coincidence: what must hold for every house, the exact law against enumeration and simulation, bad input."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import simpy
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hpelec.core.errors import InputErrors, RangeError
from hpelec.core.findings import Verdict
from hpelec.core.tables import data_folder
from hpelec.house.model import House
from hpelec.house.read import read_house
from hpelec.house.rows_loads import APPLIANCE_KINDS, FIXTURES, USE_PROFILES, Use
from hpelec.house.write import write_house
from hpelec.plan import design
from hpelec.steps.coincidence import cases, heaters, law, patterns, present, rules, rules_trip, totals, week
from hpelec.steps.coincidence.design import design as step
from hpelec.steps.coincidence.words import period_words
from tests.adapters_coincidence import a_load
from tests.houses import EXAMPLES, example, planned, starter

FEW = settings(max_examples=60, deadline=None)
UNIT = st.tuples(st.integers(1, 30), st.floats(0.001, 0.95), st.floats(0.01, 5))
UNITS = st.lists(UNIT, min_size=1, max_size=7)


def summed(units: list[tuple[int, float, float]]) -> law.Law:
    return law.single([u[0] for u in units], [u[1] for u in units], [u[2] for u in units])


def padded(tails: np.ndarray, size: int) -> np.ndarray:
    return np.append(tails, np.zeros(size - tails.size))


# --- the law itself


@FEW
@given(UNITS)
def test_law_equals_enumeration(units: list[tuple[int, float, float]]) -> None:
    found = summed(units)
    above, ups = np.zeros(found.top + 1), np.zeros(found.top + 1)
    level = np.arange(found.top + 1)
    for state in itertools.product((0, 1), repeat=len(units)):
        chance = math.prod(p if on else 1 - p for on, (_, p, _) in zip(state, units, strict=True))
        total = sum(k for on, (k, _, _) in zip(state, units, strict=True) if on)
        above += chance * (total >= level)
        for on, (k, p, starts) in zip(state, units, strict=True):
            if not on:  # a start of this load, the others as they are
                ups += starts * chance / (1 - p) * ((total < level) & (total + k >= level))
    assert np.allclose(found.above, above, rtol=1e-9, atol=1e-13)
    assert np.allclose(found.ups, ups, rtol=1e-9, atol=1e-13)


@FEW
@given(UNITS, st.randoms(use_true_random=False))
def test_order_of_adding_is_irrelevant(units: list[tuple[int, float, float]], random: Any) -> None:
    mixed, one_by_one = list(units), law.nothing(())
    random.shuffle(mixed)
    for k, p, starts in mixed:
        one_by_one = law.add(one_by_one, law.Part((k,), np.array([p]), np.array([starts])))
    found = summed(units)
    assert np.allclose(found.above, one_by_one.above, rtol=1e-10)
    assert np.allclose(found.ups, one_by_one.ups, rtol=1e-10, atol=1e-15)
    assert np.array_equal(summed(mixed).above, found.above), "the same set of loads must give the same bits"


@FEW
@given(UNITS, UNIT)
def test_another_load_never_shortens_the_time_above_a_level(units: list[tuple[int, float, float]], more: Any) -> None:
    before, after = summed(units), summed([*units, more])
    assert (after.above >= padded(before.above, after.top + 1) - 1e-12).all()


@FEW
@given(UNITS, UNIT)
def test_another_load_never_makes_a_high_level_rarer(units: list[tuple[int, float, float]], more: Any) -> None:
    """Where the level is the rarer to be crossed the higher it is; below, a load that is on lifts the total over it."""
    before, after = summed(units), summed([*units, more])
    k = more[0]
    ups = padded(before.ups, after.top + 1)
    for level in range(k + 1, after.top + 1):
        if ups[level - k] >= ups[level]:
            assert after.ups[level] >= ups[level] * (1 - 1e-9) - 1e-15


def test_why_only_high_levels_get_more_frequent() -> None:
    """A load that is always on lifts the total over a low level for good: nothing crosses it any more."""
    one = law.single([10], [0.5], [1.0])
    two = law.single([10, 10], [0.5, 1.0], [1.0, 0.0])
    assert one.ups[10] == 1.0 and two.ups[10] == 0.0
    assert two.above[10] == 1.0 > one.above[10]
    assert two.ups[20] == 1.0


@FEW
@given(UNITS, st.integers(0, 6), st.floats(0.05, 1))
def test_shorter_use_never_raises_the_tail(units: list[tuple[int, float, float]], which: int, share: float) -> None:
    k, p, starts = units[which % len(units)]
    shorter = list(units)
    shorter[which % len(units)] = (k, p * share, starts)
    assert (summed(shorter).above <= summed(units).above + 1e-12).all()


@FEW
@given(st.lists(st.tuples(st.floats(1, 60), st.floats(0.01, 0.2), st.floats(1, 200)), min_size=2, max_size=5))
def test_interlock_never_raises_the_peak(members: list[tuple[float, float, float]]) -> None:
    free = [a_load(f"l{i}", amps, r, run) for i, (amps, r, run) in enumerate(members)]
    locked = [replace(p, group="one") for p in free]
    assert cases.largest_A(locked) == max(p.current_A for p in free) <= cases.largest_A(free)
    apart = cases.strangers()
    loose, tight = (cases.year(cases.law_of(loads, apart, 1.0), apart) for loads in (free, locked))
    assert (padded(tight.above, loose.top + 1) <= loose.above + 1e-12).all()
    assert tight.top == max(law.steps_up(p.current_A, 1.0) for p in free)


@FEW
@given(st.lists(st.tuples(st.floats(0.1, 40), st.floats(0.01, 0.3), st.floats(1, 150)), min_size=1, max_size=5))
def test_rounding_up_and_down_bound_the_truth(members: list[tuple[float, float, float]]) -> None:
    loads = [a_load(f"l{i}", amps, r, run) for i, (amps, r, run) in enumerate(members)]
    apart = cases.strangers()
    up, down = (cases.year(cases.law_of(loads, apart, 0.5, up=u), apart).above for u in (True, False))
    for level in range(1, down.size):
        exact = 0.0
        for state in itertools.product((0, 1), repeat=len(loads)):
            total = math.fsum(p.current_A for on, p in zip(state, loads, strict=True) if on)
            duty = [p.starts_per_h[0] * p.run_min / 60 for p in loads]
            if total >= level * 0.5 - 1e-9:
                exact += math.prod(d if on else 1 - d for on, d in zip(state, duty, strict=True))
        assert law.at(down, level) - 1e-12 <= exact <= law.at(up, level) + 1e-12


@FEW
@given(st.floats(0.01, 3), st.floats(0, 20), st.integers(0, 23))
def test_runs_keep_their_time(starts: float, run_h: float, hour: int) -> None:
    spread = [0.0] * 24
    spread[hour] = min(starts, 0.95 / max(run_h, 1))
    shares = rules.on_share_by_hour(spread, run_h * 60)
    assert math.isclose(sum(shares), spread[hour] * run_h, rel_tol=1e-9, abs_tol=1e-12)
    assert all(-1e-12 <= s <= 1 for s in shares)


@FEW
@given(st.floats(0.0, 0.6), st.floats(1, 8), st.sampled_from(USE_PROFILES), st.floats(0.1, 20), st.floats(1, 60))
def test_states_of_the_household_keep_each_load(
    share: float, factor: float, profile: str, starts: float, run: float
) -> None:
    spread = tuple(starts * s for s in patterns.profile(profile))
    assume(max(spread) * run / 60 <= 0.9)  # a load does not overlap itself
    load = replace(a_load("x", 10, 0, run), starts_per_h=spread, follows="people")
    family = cases.household(share, factor)
    assert math.isclose(family.weights.sum(), 1, rel_tol=1e-12)
    on, begun = cases.on_and_starts(load, family)
    chance = np.array(family.chance)[None]
    assert np.allclose((on * chance).sum(axis=1)[0], rules.on_share_by_hour(load.starts_per_h, run), atol=1e-12)
    assert np.allclose((begun * chance).sum(axis=1)[0], load.starts_per_h, atol=1e-12)
    assert (on >= 0).all() and (on <= 1).all()


# --- against simulation


def simulate(loads: list[tuple[float, float, float]], hours: float, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Times and total after each event of independent loads (amps, duty, run h): fixed runs, exponential pauses."""
    random = np.random.default_rng(seed)
    times, steps = [], []
    for amps, duty, run_h in loads:
        pause = run_h * (1 - duty) / duty
        count = int(hours / (run_h + pause) * 1.2) + 40
        gaps = random.exponential(pause, count)
        begin = np.cumsum(gaps + run_h) - run_h
        begin = begin[begin + run_h < hours]
        times += [begin, begin + run_h]
        steps += [np.full(begin.size, amps), np.full(begin.size, -amps)]
    at, change = np.concatenate(times), np.concatenate(steps)
    order = np.argsort(at, kind="stable")
    return at[order], np.cumsum(change[order])


def batches(at: np.ndarray, total: np.ndarray, level: float, hours: float, number: int = 20) -> tuple[np.ndarray, ...]:
    """Share of the time at or above a level and crossings an hour, in each of equal stretches but the first."""
    high = total >= level - 1e-6
    edges = np.linspace(0, hours, number + 1)
    spans = np.diff(np.append(at, hours))
    done = np.concatenate([[0.0], np.cumsum(np.where(high, spans, 0.0))])
    knots = np.append(at, hours)
    share = np.diff(np.interp(edges, knots, done)) / (hours / number)
    rises = at[1:][high[1:] & ~high[:-1]]
    return share[1:], np.histogram(rises, edges)[0][1:] / (hours / number)


def test_exact_equals_simulation_within_its_error_bars() -> None:
    """50 random houses of 3 to 8 loads; a level in the middle and a high one."""
    random = np.random.default_rng(1871)
    hours, misses, squares = 8000.0, [], []
    for house in range(50):
        loads = [
            (float(random.integers(1, 60)), float(random.uniform(0.03, 0.5)), float(random.uniform(0.1, 3)))
            for _ in range(int(random.integers(3, 9)))
        ]
        exact = law.single([int(a) for a, _, _ in loads], [p for _, p, _ in loads], [p / h for _, p, h in loads])
        at, total = simulate(loads, hours, 1000 + house)
        for target in (0.2, 0.01):
            level = int(np.argmax(exact.above <= target))
            if level == 0:
                continue
            for values, truth in zip(
                batches(at, total, level, hours), (exact.above[level], exact.ups[level]), strict=True
            ):
                error = values.std(ddof=1) / math.sqrt(values.size)
                z = (values.mean() - truth) / error
                squares.append(z * z)
                if abs(z) > 4.5:
                    misses.append((house, level, values.mean(), truth, z))
    assert not misses, misses
    assert len(squares) >= 150
    assert 0.6 < np.mean(squares) < 1.6, "the spread must be that of chance: neither biased nor too good"


def test_overloads_that_last_against_simulation() -> None:
    """Runs cut short by t minutes tell how often both loads stay on for t minutes."""
    loads = [(10.0, 0.3, 1.0), (20.0, 0.2, 0.5)]
    hours, t_h = 60_000.0, 0.2
    at, total = simulate(loads, hours, 5)
    high = total >= 30 - 1e-6
    begin = at[1:][high[1:] & ~high[:-1]]
    end = at[1:][~high[1:] & high[:-1]]
    held = int(((end - begin[: end.size]) >= t_h).sum())
    made = [a_load(f"l{a}", a, p / h, h * 60) for a, p, h in loads]
    apart = cases.strangers()
    cut = cases.year(cases.law_of(made, apart, 1.0, shorter_min=t_h * 60), apart)
    expected = float(cut.ups[30]) * hours
    assert abs(held - expected) < 5 * math.sqrt(expected)
    whole = cases.year(cases.law_of(made, apart, 1.0), apart)
    assert float(whole.ups[30]) * hours > 1.2 * expected, "many overloads are shorter than that"


def test_interlock_against_a_simulation_of_events() -> None:
    """Two loads, one switch: a start that finds the other on is lost (SimPy)."""
    settings_h = {"a": (0.5, 2.0), "b": (1.0, 3.0)}
    env, switch = simpy.Environment(), {"busy": False}
    time_on = dict.fromkeys(settings_h, 0.0)
    starts = dict.fromkeys(settings_h, 0)
    random = np.random.default_rng(7)

    def live(name: str) -> Any:
        run, pause = settings_h[name]
        while True:
            yield env.timeout(float(random.exponential(pause)))
            if switch["busy"]:
                continue
            switch["busy"] = True
            starts[name] += 1
            yield env.timeout(run)
            time_on[name] += run
            switch["busy"] = False

    for name in settings_h:
        env.process(live(name))
    hours = 30_000.0
    env.run(until=hours)
    alone = {name: run / (run + pause) for name, (run, pause) in settings_h.items()}
    expected = rules.interlocked_shares(list(alone.values()))
    for name, share in zip(settings_h, expected, strict=True):
        assert abs(time_on[name] / hours - share) < 0.01, name
    loads = [a_load(n, 10, alone[n] / run, run * 60, group="switch") for n, (run, _) in settings_h.items()]
    part = cases.parts(loads, cases.strangers(), 1.0)[0]
    for name, on, begun in zip(settings_h, part.on, part.starts, strict=True):
        assert abs(time_on[name] / hours - on.mean()) < 0.01
        assert abs(starts[name] / hours - begun.mean()) < 0.01


def test_a_day_with_hours_against_simulation() -> None:
    """Runs that reach into later hours: share on in each hour of a simulated year."""
    starts = [0.0] * 24
    starts[7], starts[18], starts[23] = 0.4, 0.6, 0.5
    random, on = np.random.default_rng(3), np.zeros(24 * 60)
    days = 4000
    for hour, mean in enumerate(starts):
        count = random.binomial(days, mean) if mean else 0
        for begin in hour * 60 + (random.random(count) * 60).astype(int):
            on[np.arange(begin, begin + 100) % (24 * 60)] += 1
    found = rules.on_share_by_hour(starts, 100)
    assert np.allclose(on.reshape(24, 60).mean(axis=1) / days, found, atol=0.02)


# --- the step


@pytest.mark.parametrize("name", EXAMPLES)
def test_result_of_an_example_hangs_together(name: str) -> None:
    plan = planned(name)
    found = plan.coincidence
    hours = [r.hours_per_year for r in found.curve]
    assert hours == sorted(hours, reverse=True)
    assert found.code_A == plan.loads.design_A, "probability must not lower the load of the code"
    assert found.largest_A >= found.p999_A >= found.mean_A > 0
    for row in found.curve:
        assert 0 <= row.hours_per_year_at_least <= row.hours_per_year <= 8760
        if row.return_years is not None and row.return_years > 1:  # rare levels: rounding down makes them rarer
            assert row.return_years_rounded_down is None or row.return_years_rounded_down >= row.return_years
    assert [r.hour for r in found.hours] == list(range(24))
    for h in found.hours:
        assert h.p50_A <= h.p95_A <= h.p99_A <= h.p999_A <= found.largest_A + len(found.loads) * found.step_A
    verdicts = {f.id: f.verdict for f in found.findings}
    assert verdicts["coincidence-code-first"] is Verdict.MEETS
    assert verdicts["coincidence-weak-use"] is Verdict.CANNOT_SAY
    for load in found.loads:
        assert math.isclose(sum(share for _, share in load.levels), 1, rel_tol=1e-9)
        assert load.current_A == max(amps for amps, _ in load.levels)


def test_dependence_makes_high_levels_more_frequent() -> None:
    found = planned("wintermoss-hill").coincidence.overload
    assert found is not None and found.return_years is not None and found.return_years_strangers is not None
    assert found.return_years < found.return_years_strangers / 2


def test_a_tankless_heater_draws_by_flow_and_never_more_than_its_rating() -> None:
    plan = planned("wintermoss-hill")
    heater = next(p for p in plan.coincidence.loads if p.id == "tankless")
    need = next(h for h in plan.hotwater.heaters if h.heater == "tankless")
    assert len(heater.levels) > 1
    assert heater.current_A <= need.current_A + 1e-9
    least = min(amps for amps, _ in heater.levels)
    point = min(p.hot_flow_gpm for p in plan.hotwater.points if p.heater == "tankless")
    kW = 0.146536 * point * need.rise_dF
    assert 0 <= least - kW * 1000 / 240 <= heaters.STEP_A or len(heater.levels) == heaters.MOST_LEVELS


@pytest.mark.parametrize("name", EXAMPLES)
def test_even_legs_are_overloaded_less_often(name: str) -> None:
    found = planned(name).coincidence
    assert found.overload is not None and found.overload.return_years is not None
    assert found.overload_years_even_legs is None or found.overload_years_even_legs > found.overload.return_years


def test_heaters_that_exceed_the_main_by_themselves_miss() -> None:
    house = starter()
    large = tuple(
        replace(house.heaters[0], id=f"t{i}", kind="tankless", volume_gal=0.0, power_VA=24000.0) for i in range(3)
    )
    points = tuple(replace(house.draw_points[0], id=f"p{i}", heater=f"t{i}", flow_gpm=5.0) for i in range(3))
    plan = design(house, only=("service", "hotwater"))
    water = design(house.changed(heaters=large, draw_points=points), only=("hotwater",)).hotwater
    service = replace(plan.service, main_A=200.0)
    heavy = house.changed(heaters=large, draw_points=points)
    found = step(heavy, 2023, loads=plan.loads, hotwater=water, service=service)
    told = next(f for f in found.findings if f.id == "coincidence-heaters-together")
    full = sum(p.current_A for p in found.loads if p.kind == "tankless")
    assert full > 200 and told.verdict is Verdict.MISSES
    locked = heavy.changed(heaters=tuple(replace(h, interlock="one") for h in large))
    calm = step(locked, 2023, loads=plan.loads, hotwater=water, service=service)
    told = next(f for f in calm.findings if f.id == "coincidence-heaters-together")
    assert told.verdict is Verdict.MEETS


def test_what_is_on_while_a_level_is_passed_equals_enumeration() -> None:
    loads = [a_load("a", 20, 0.3, 60), a_load("b", 30, 0.2, 60), a_load("c", 25, 0.1, 120, group="g")]
    loads += [a_load("d", 40, 0.2, 30, group="g"), replace(a_load("e", 5, 0), always_on=True)]
    locked = dict(zip("cd", rules.interlocked_shares([0.2, 0.1]), strict=True))
    duty = {"a": 0.3, "b": 0.2}
    total, on = 0.0, dict.fromkeys("abcd", 0.0)
    for a, b, g in itertools.product((0, 1), (0, 1), ("", "c", "d")):
        chance = math.prod(p if s else 1 - p for s, p in zip((a, b), duty.values(), strict=True))
        chance *= locked.get(g, 1 - sum(locked.values()))
        if 20 * a + 30 * b + {"": 0, "c": 25, "d": 40}[g] + 5 > 50:
            total += chance
            for name, here in (("a", a), ("b", b), ("c", g == "c"), ("d", g == "d")):
                on[name] += chance * here
    rows = {r.load: r for r in present.present_above(loads, cases.strangers(), 50.0)}
    for name, share in on.items():
        assert math.isclose(rows[name].on_share_above, share / total, rel_tol=1e-9), name
    assert rows["e"].on_share_above == 1 and math.isclose(rows["c"].on_share, locked["c"])
    assert present.present_above(loads, cases.strangers(), 500.0) == ()


def test_a_tankless_heater_is_the_exact_sum_of_its_points_cut_off_at_its_rating() -> None:
    house = starter()
    heater = replace(house.heaters[0], kind="tankless", volume_gal=0.0, power_VA=24_000.0)
    first, second = (replace(house.draw_points[0], id=f"p{i}", flow_gpm=flow) for i, flow in enumerate((1.0, 2.5)))
    uses = tuple(
        Use(id=f"p{i}", of="point", starts_per_day=n, run_min=6.0, profile="flat") for i, n in enumerate((24.0, 48.0))
    )
    plan = design(house.changed(heaters=(heater,), draw_points=(first, second), uses=uses), only=("coincidence",))
    need, hot = plan.hotwater.heaters[0], {p.point: p.hot_flow_gpm for p in plan.hotwater.points}
    amps = [0.146536 * hot[f"p{i}"] * need.rise_dF * 1000 / 240 for i in range(2)]
    assert sum(amps) > 100, "the two together must want more than the heater has"
    found = next(p for p in plan.coincidence.loads if p.id == heater.id)
    p, q = 0.1, 0.2
    busy = p + q - p * q
    expected = [(amps[0], p * (1 - q)), (amps[1], q * (1 - p)), (100.0, p * q)]
    for (got_A, got), (want_A, want) in zip(found.levels, expected, strict=True):
        assert 0 <= got_A - want_A <= heaters.STEP_A + 1e-6 and math.isclose(got, want / busy, rel_tol=1e-9)
    assert math.isclose(found.starts_per_h[0], 1.0 * (1 - q) + 2.0 * (1 - p), rel_tol=1e-9)
    assert math.isclose(found.run_min, 60 * busy / found.starts_per_h[0], rel_tol=1e-9)


def test_a_switched_load_without_run_length_is_said() -> None:
    house = starter()
    fan = replace(house.appliances[1], id="erv", kind="ventilator")
    found = changed(house, appliances=(fan,), uses=(Use(id="erv", of="appliance", starts_per_day=2.0),))
    assert any(f.id == "coincidence-run-length" for f in found.findings)
    assert next(p for p in found.loads if p.id == "erv").always_on


def test_an_interlock_shows_in_the_sets_of_heaters() -> None:
    rows = {r.heaters: r for r in planned("wintermoss-hill").coincidence.sets}
    both = rows["sinkheater", "tankless"]
    assert both.hours_per_year == 0 and both.verdict.startswith("never")
    assert rows["tank", "tankless"].hours_per_year > 0
    assert len(rows) == 7


def changed(house: House, **parts: Any) -> Any:
    return design(house.changed(**parts), only=("coincidence",)).coincidence


def test_own_use_counts_and_is_marked() -> None:
    house = starter()
    rare = Use(id="range", of="appliance", starts_per_day=0.01, run_min=10.0)
    before, after = changed(house), changed(house, uses=(rare,))
    assert after.own_loads == 1 and before.own_loads == 0
    load = next(p for p in after.loads if p.id == "range")
    assert math.isclose(load.starts_per_day, 0.01) and load.run_min == 10.0
    assert after.mean_A < before.mean_A


def test_own_use_of_a_heater_and_of_a_point() -> None:
    house = starter()
    much = changed(house, uses=(Use(id="shower", of="point", starts_per_day=12.0, run_min=15.0),))
    assert much.mean_A > changed(house).mean_A
    half = changed(house, uses=(Use(id="tank", of="heater", load_percent=50.0),))
    assert next(p for p in half.loads if p.id == "tank").current_A == 4500 / 240 / 2


def test_runs_that_overlap_are_a_finding_not_an_error() -> None:
    found = changed(starter(), uses=(Use(id="dryer", of="appliance", starts_per_day=20.0, run_min=70.0),))
    told = [f for f in found.findings if f.id == "coincidence-overlapping-runs"]
    assert told and told[0].verdict is Verdict.CANNOT_SAY and "evenly" in told[0].got


def test_a_heater_without_points_is_said_to_be_idle() -> None:
    house = starter()
    found = changed(house, draw_points=(), heaters=(replace(house.heaters[0], kind="tankless", volume_gal=0.0),))
    assert [f.place for f in found.findings if f.id == "coincidence-idle-heater"] == ["tank"]


def test_a_tank_that_cannot_keep_up_misses() -> None:
    house = starter()
    found = changed(house, heaters=(replace(house.heaters[0], power_VA=200.0),))
    told = [f for f in found.findings if f.id == "coincidence-tank-duty"]
    assert told and told[0].verdict is Verdict.MISSES
    assert next(p for p in found.loads if p.id == "tank").always_on


def test_no_main_no_claim() -> None:
    plan = design(starter(), only=("service", "hotwater"))
    service = replace(plan.service, main_A=None, rating_A=None)
    found = step(starter(), 2023, loads=plan.loads, hotwater=plan.hotwater, service=service)
    assert found.overload is None and found.trips == () and found.main_A is None
    assert {s.verdict for s in found.sets} == {"cannot say: no main is known"}
    large = step(starter(), 2023, loads=plan.loads, hotwater=plan.hotwater, service=replace(service, main_A=600.0))
    assert large.trips == () and any(f.id == "coincidence-trip-curve" for f in large.findings)
    finding = next(f for f in found.findings if f.id == "coincidence-main-overload")
    assert finding.verdict is Verdict.CANNOT_SAY


def test_a_house_that_can_never_overload_meets() -> None:
    house = starter()
    few = changed(house, appliances=house.appliances[1:2], heaters=(), draw_points=())
    finding = next(f for f in few.findings if f.id == "coincidence-main-overload")
    assert finding.verdict is Verdict.MEETS and few.largest_A <= few.main_A
    assert few.overload.return_years is None and few.sets == ()


def test_a_load_without_nameplate_is_left_out_and_said() -> None:
    house = starter()
    rows = (replace(house.appliances[0], power_VA=None), *house.appliances[1:])
    found = changed(house, appliances=rows)
    assert "range" not in {p.id for p in found.loads}
    assert any(f.id == "coincidence-nameplate" and f.place == "range" for f in found.findings)


def test_a_very_large_house_gets_a_coarser_grid() -> None:
    house = starter()
    many = replace(house.appliances[2], id="many", kind="vehicle_charger", quantity=100, power_VA=11_500.0)
    found = changed(house, appliances=(many,))
    assert found.step_A > 0.5 and found.largest_A / found.step_A <= cases.MOST_STEPS
    assert len(found.loads) >= 100


def test_quantity_makes_as_many_loads() -> None:
    house = starter()
    rows = (replace(house.appliances[1], quantity=3), *house.appliances[2:])
    assert sum(p.id.startswith("dishwasher-") for p in changed(house, appliances=rows).loads) == 3


def test_a_busier_household_overloads_more_often() -> None:
    house = example("wintermoss-hill")
    calm = changed(house, use_settings=replace(house.use_settings, busy_factor=1.0))
    wild = changed(house, use_settings=replace(house.use_settings, busy_factor=6.0, busy_share_percent=10.0))
    assert wild.overload.events_per_year > calm.overload.events_per_year


def test_levels_that_go_are_counted_higher_up() -> None:
    many = [(float(a), 0.05) for a in range(1, 21)]
    few = heaters.merged(many, 4)
    assert len(few) == 4 and math.isclose(sum(s for _, s in few), 1) and few[-1][0] == 20
    for level in range(1, 21):
        assert sum(s for a, s in few if a >= level) >= sum(s for a, s in many if a >= level) - 1e-12


def test_every_kind_has_a_pattern_and_every_profile_a_row() -> None:
    for kind in APPLIANCE_KINDS:
        if kind not in ("solar", "storage"):
            assert patterns.pattern(kind).profile in USE_PROFILES
    for fixture in FIXTURES:
        assert patterns.pattern(heaters.PATTERN_OF.get(fixture, fixture)).run_min > 0
    for name in USE_PROFILES:
        assert math.isclose(sum(patterns.profile(name)), 1, rel_tol=1e-12)
    assert len(patterns.presence()) == 24


def test_a_larger_current_trips_no_later() -> None:
    for breaker in rules_trip.BREAKERS:
        for rating in (20, 60, 125, 200, 400):
            minutes = [rules_trip.trip_min(rating, m / 20, breaker) for m in range(20, 80)]
            told = [t for t in minutes if t is not None]
            assert told == sorted(told, reverse=True) and len(told) > 40
    for m in (1.4, 2.0, 3.0):
        assert rules_trip.trip_min(200, m, "quick") < rules_trip.trip_min(200, m, "slow")
    with pytest.raises(RangeError):
        rules_trip.trip_min(600, 2.0)


def test_trips_are_rarer_than_overloads() -> None:
    found = planned("copperfen-row").coincidence
    assert found.overload is not None
    assert all(t.events_per_year <= found.overload.events_per_year * 1.01 for t in found.trips)


@pytest.mark.parametrize(
    ("years", "words"),
    [
        (None, "never"),
        (1 / 8760, "once an hour"),
        (1 / 365, "once a day"),
        (1 / 3650, "10 times a day"),
        (7 / 365, "once a week"),
        (1 / 12, "once a month"),
        (1.0, "once a year"),
        (2.0, "once in 2 years"),
        (31.4, "once in 31 years"),
        (456.0, "once in 460 years"),
        (5000.0, "hardly ever (less than once in 1,000 years)"),
    ],
)
def test_words_of_return_periods(years: float | None, words: str) -> None:
    assert period_words(years) == words


def test_example_week_is_the_same_every_time_and_keeps_the_rules() -> None:
    loads = planned("wintermoss-hill").coincidence.loads
    one, two = week.example_week(loads), week.example_week(loads)
    assert np.array_equal(one.current_A, two.current_A)
    assert one.current_A.shape == (len(loads), 7 * 24 * 60)
    locked = [i for i, p in enumerate(loads) if p.group == "hot water"]
    assert len(locked) == 2
    assert ((one.current_A[locked] > 0).sum(axis=0) <= 1).all()
    assert (one.current_A.max(axis=1) <= [p.current_A + 1e-9 for p in loads]).all()


def test_example_weeks_have_the_mean_of_the_law() -> None:
    loads = planned("saltreed-bend").coincidence.loads
    steady = [p for p in loads if not p.weather_duty]
    weeks = [week.example_week(steady, seed=s).current_A.sum(axis=0).mean() for s in range(12)]
    family = cases.household(patterns.constant("busy_share"), patterns.constant("busy_factor"))
    exact = float(law.mean_steps(cases.year(cases.law_of(steady, family, 0.05, up=False), family).above)) * 0.05
    assert abs(np.mean(weeks) - exact) < 4 * np.std(weeks, ddof=1) / math.sqrt(12) + 0.03 * exact


def test_the_household_states_come_nearer_to_simulated_weeks_than_independence() -> None:
    """Weeks by the minute, in which runs outlast the hour and its state: the law with states is an upper view."""
    steady = [p for p in planned("saltreed-bend").coincidence.loads if not p.weather_duty]
    totals_A = np.stack([week.example_week(steady, seed=s).current_A.sum(axis=0) for s in range(60)])
    family, apart = cases.household(*cases.household_settings(starter().use_settings)), cases.strangers()
    with_states, without = (cases.year(cases.law_of(steady, c, 0.1), c) for c in (family, apart))
    for level in (40, 50):
        shares = (totals_A > level).mean(axis=1)
        seen, error = shares.mean(), shares.std(ddof=1) / math.sqrt(60)
        index = level * 10 + 1
        assert seen > 1.5 * without.above[index] + 3 * error, "independence must be seen to be too hopeful"
        assert 0.5 * with_states.above[index] < seen < with_states.above[index] + 3 * error


# --- bad input


def written(tmp_path: Path, use: str, toml: str = "") -> Path:
    write_house(starter(), tmp_path)
    (tmp_path / "use.csv").write_text(use, "utf-8")
    if toml:
        file = tmp_path / "house.toml"
        file.write_text(file.read_text("utf-8").replace("[use]\n", f"[use]\n{toml}\n"), "utf-8")
    return tmp_path


@pytest.mark.parametrize(
    ("use", "says"),
    [
        ("id,of\nrnage,appliance\n", "did you mean 'range'"),
        ("id,of\ntank,appliance\n", "no such id in appliances"),
        ("id,of\nrange,oven\n", "allowed: appliance, heater, point"),
        ("id,starts_per_day,run_min\ndryer,30,60\n", "the runs of a day take 1800 min"),
        ("id,run_min\ndryer,0\n", "column run_min"),
        ("id,load_percent\ndryer,140\n", "column load_percent"),
        ("id,profile\ndryer,midday\n", "column profile"),
        ("id\ndryer\ndryer\n", "dryer"),
        ("id,starts_per_day\ndryer,nan\n", "column starts_per_day"),
    ],
)
def test_bad_use_is_named(tmp_path: Path, use: str, says: str) -> None:
    with pytest.raises(InputErrors) as error:
        read_house(written(tmp_path, use))
    assert says in str(error.value)
    assert "use.csv" in str(error.value)


def test_bad_section_is_named(tmp_path: Path) -> None:
    with pytest.raises(InputErrors) as error:
        read_house(written(tmp_path, "id\n", "busy_factor = 0.5\nbusy_share_percent = 140"))
    assert "use.busy_factor" in str(error.value) and "use.busy_share_percent" in str(error.value)


def test_a_house_without_use_reads_as_before(tmp_path: Path) -> None:
    write_house(starter(), tmp_path)
    assert not (tmp_path / "use.csv").exists()
    assert read_house(tmp_path).uses == ()
    assert (data_folder() / "houses" / "wintermoss-hill" / "use.csv").exists()


@pytest.mark.parametrize(
    "call",
    [
        lambda: rules.on_share_by_hour([1.0] * 23, 5),
        lambda: rules.on_share_by_hour([-1.0] + [0.0] * 23, 5),
        lambda: rules.on_share_by_hour([float("nan")] * 24, 5),
        lambda: rules.on_share_by_hour([1.0] * 24, float("inf")),
        lambda: rules.overlap_share(-1, 5, 2),
        lambda: rules.overlaps_per_h(1, 5, 0),
        lambda: rules.mean_above_min(1.2, 1),
        lambda: rules.return_years(-1),
        lambda: rules.chance_of_one(1, -1),
        lambda: rules.busy_number(5, 1.5),
        lambda: rules.cycles_per_h(1.1, 3),
        lambda: rules_trip.trip_min(0, 2),
        lambda: rules_trip.trip_min(200, -1),
        lambda: law.percentile_steps(np.ones(3), 100),
        lambda: cases.law_of([a_load("x", 5)], cases.strangers(), 0),
    ],
)
def test_rules_refuse_what_is_out_of_range(call: Any) -> None:
    with pytest.raises(RangeError):
        call()


def test_levels_of_the_curve_are_round_and_below_the_largest() -> None:
    for most in (0.0, 3.0, 57.0, 200.0, 1234.0):
        marks = totals.levels(most)
        assert all(0 < m < most for m in marks) and list(marks) == sorted(set(marks))
