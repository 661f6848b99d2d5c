"""Laws of panels: legs, spaces, names, multiwire pairs, entry holes, reach, and bad input of their new columns."""

from __future__ import annotations

import dataclasses
import itertools
import math
import random
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.core.errors import InputErrors, RangeError
from hpelec.core.findings import Verdict
from hpelec.core.tables import table
from hpelec.house.model import House
from hpelec.house.read import read_house
from hpelec.house.rows import Panel, PlacedDevice
from hpelec.house.write import write_house, write_starter
from hpelec.plan import Plan, design
from hpelec.steps.circuits import rules_panel
from hpelec.steps.circuits.balance import Item, Split, best_split
from hpelec.steps.circuits.design import design as design_circuits
from hpelec.steps.circuits.model import Circuit, CircuitsResult, PanelBalance, Slot
from hpelec.steps.circuits.naming import distinct
from hpelec.steps.circuits.schedule import Legs, schedule
from hpelec.study.branch_drop import branch_drops, farthest, spread_length_ft, tree
from hpelec.study.leg_proof import leg_proofs, solved
from tests.adapters_circuits import trial_devices
from tests.adapters_panels import panel_of
from tests.hand_plan import SEEN, made
from tests.houses import EXAMPLES, example, planned, starter

WEIGHTS = st.lists(st.integers(0, 1800), max_size=12)


def designed(house: House, **settings_: Any) -> CircuitsResult:
    house = house.changed(circuit_settings=dataclasses.replace(house.circuit_settings, **settings_))
    return design_circuits(house, 2023, devices=trial_devices(house))


def circuit(id: str, leg_VA: float = 0.0, **more: object) -> Circuit:
    values = {"name": id, "kind": "general", "panel": "P", "breaker_A": 15.0, "poles": 1, "voltage_V": 120.0}
    return made(Circuit, id=id, leg_VA=leg_VA, citation=SEEN, **(values | more))


def loads(weights: list[int]) -> list[Circuit]:
    return [circuit(f"c-{i}", float(w)) for i, w in enumerate(weights)]


def scheduled(panel: Panel, circuits: list[Circuit], share: float = 0.2) -> tuple[list[Slot], PanelBalance]:
    slots, balance, _ = schedule(panel, circuits, {}, 240.0, share)
    return slots, balance


def by_brute_force(items: list[Item], most_A: int, most_B: int) -> int:
    best = math.inf
    for sides in itertools.product((False, True), repeat=len(items)):
        counted = [i.counted and s for i, s in zip(items, sides, strict=True)]
        others = [i.counted and not s for i, s in zip(items, sides, strict=True)]
        if sum(counted) <= most_A and sum(others) <= most_B:
            best = min(best, abs(sum(i.weight_VA if s else -i.weight_VA for i, s in zip(items, sides, strict=True))))
    assert best < math.inf
    return int(best)


# --- the legs --------------------------------------------------------------------------------------------------------


def test_the_split_is_the_best_of_all_for_200_small_panels() -> None:
    random_ = random.Random(20311)
    for case in range(200):
        number = random_.randint(0, 9)
        items = [
            Item(random_.choice([0, 1500, random_.randint(0, 60), random_.randint(0, 2000)]), random_.random() < 0.85)
            for _ in range(number)
        ]
        counted = sum(i.counted for i in items)
        most_A = random_.randint(0, counted)
        most_B = random_.randint(counted - most_A, counted)
        split = best_split(items, most_A, most_B)
        best = by_brute_force(items, most_A, most_B)
        assert (split.difference_VA, split.bound_VA) == (best, best), f"case {case}: {items}, {most_A}, {most_B}"


def test_a_general_solver_finds_no_better_split() -> None:
    random_ = random.Random(7)
    for case in range(12):
        weights = [random_.randint(0, 1800) for _ in range(random_.randint(3, 14))]
        most_A = len(weights) // 2 + random_.randint(0, 2)
        most_B = len(weights) - len(weights) // 2
        ours = best_split([Item(w) for w in weights], most_A, most_B)
        least, bound, gap, status = solved(weights, [1] * len(weights), most_A, most_B)
        assert least == ours.difference_VA, f"case {case}: {weights}: solver {least}, ours {ours} ({status})"
        assert bound is not None and bound <= ours.difference_VA + 1e-6
        assert gap == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_solver_agrees_for_the_example_houses(name: str) -> None:
    for proof in leg_proofs(planned(name)):
        assert proof.agrees, proof


def test_a_panel_that_is_too_full_is_not_put_to_the_solver() -> None:
    house = starter()
    full = house.changed(panels=tuple(dataclasses.replace(p, spaces=4) for p in house.panels))
    (proof,) = leg_proofs(design(full, only=("circuits",)))
    assert not proof.agrees and proof.difference_VA is None and "no space" in proof.status


@settings(max_examples=60, deadline=None)
@given(WEIGHTS, st.randoms(use_true_random=False))
def test_the_order_of_loads_never_matters(weights: list[int], random_: random.Random) -> None:
    mixed = list(weights)
    random_.shuffle(mixed)
    n = len(weights)
    one = best_split([Item(w) for w in weights], n, n)
    assert best_split([Item(w) for w in mixed], n, n).difference_VA == one.difference_VA
    circuits = loads(weights)
    shuffled = list(circuits)
    random_.shuffle(shuffled)
    assert scheduled(panel_of(42), circuits) == scheduled(panel_of(42), shuffled)


@settings(max_examples=60, deadline=None)
@given(WEIGHTS, st.integers(0, 12), st.integers(0, 12))
def test_exchanged_legs_differ_as_much(weights: list[int], most_A: int, most_B: int) -> None:
    items = [Item(w) for w in weights]
    most_B = max(most_B, len(items) - most_A)
    assert best_split(items, most_A, most_B).difference_VA == best_split(items, most_B, most_A).difference_VA
    a, b = float(sum(weights)), 700.0
    assert rules_panel.imbalance_percent(a, b) == rules_panel.imbalance_percent(b, a)
    for voltage_V in (208, 240):
        assert rules_panel.neutral_A(a, b, voltage_V) == pytest.approx(rules_panel.neutral_A(b, a, voltage_V))


@settings(max_examples=60, deadline=None)
@given(WEIGHTS, st.floats(1, 20000))
def test_a_balanced_two_pole_load_never_raises_the_imbalance(weights: list[int], load_VA: float) -> None:
    _, before = scheduled(panel_of(42), loads(weights))
    two_pole = circuit("range", load_VA, poles=2, voltage_V=240.0, breaker_A=40.0)
    _, after = scheduled(panel_of(42), [*loads(weights), two_pole])
    assert after.difference_VA == pytest.approx(before.difference_VA, abs=1e-6)
    assert after.imbalance_percent <= before.imbalance_percent + 1e-9


@settings(max_examples=60, deadline=None)
@given(WEIGHTS)
def test_by_hand_is_never_better_and_never_far_off(weights: list[int]) -> None:
    items = [Item(w) for w in weights]
    best = best_split(items, len(items), len(items)).difference_VA
    by_hand = rules_panel.longest_first_VA([float(w) for w in weights])
    assert best <= by_hand + 1e-9
    larger, best_larger = (sum(weights) + by_hand) / 2, (sum(weights) + best) / 2
    assert larger <= best_larger * 7 / 6 + 1e-9, f"{weights}: larger leg {larger} by hand, {best_larger} at best"


@settings(max_examples=40, deadline=None)
@given(WEIGHTS, st.integers(0, 1800))
def test_more_room_on_the_legs_never_makes_it_worse(weights: list[int], more: int) -> None:
    items = [Item(w) for w in [*weights, more]]
    half = (len(items) + 1) // 2
    tight, wide = best_split(items, half, half), best_split(items, len(items), len(items))
    assert wide.difference_VA <= tight.difference_VA
    assert wide.difference_VA % 2 == sum(i.weight_VA for i in items) % 2


def test_a_split_repaired_by_hand_shows_its_gap() -> None:
    items = [Item(w) for w in (1000, 900, 30, 20, 10, 5)]
    split = best_split(items, 1, 5, most_bits=1)
    assert sum(split.on_A) <= 1
    assert split.bound_VA <= by_brute_force(items, 1, 5) <= split.difference_VA
    assert split.proven == (split.difference_VA == split.bound_VA)
    assert not Split((), 3, 1).proven


def test_a_panel_of_84_spaces_is_quick_and_proven() -> None:
    random_ = random.Random(1)
    split = best_split([Item(random_.randint(0, 1800)) for _ in range(84)], 42, 42)
    assert split.proven and split.difference_VA <= 1


# --- the schedule ----------------------------------------------------------------------------------------------------


@settings(max_examples=50, deadline=None)
@given(
    st.lists(st.integers(0, 1800), max_size=20),
    st.integers(0, 8),
    st.integers(0, 4),
    st.integers(2, 42),
    st.integers(0, 10),
)
def test_every_breaker_has_its_own_spaces(
    weights: list[int], doubles: int, paired: int, spaces: int, tandem: int
) -> None:
    circuits = loads(weights)
    circuits += [circuit(f"d-{i}", 3000.0, poles=2, voltage_V=240.0, breaker_A=30.0) for i in range(doubles)]
    for i in range(paired):
        circuits.append(circuit(f"m-{i}-a", 900.0, multiwire_with=f"m-{i}-b"))
        circuits.append(circuit(f"m-{i}-b", 500.0, multiwire_with=f"m-{i}-a"))
    slots, balance = scheduled(panel_of(spaces, tandem_spaces=min(tandem, spaces)), circuits)
    assert Counter(s.circuit for s in slots if s.poles) == Counter(c.id for c in circuits)
    taken = Counter(p for s in slots for p in spaces_of(s))
    tandems = {p for s in slots if s.note == "tandem" for p in spaces_of(s)}
    assert all(n == (2 if p in tandems else 1) for p, n in taken.items()), taken
    assert set(taken) <= set(range(1, spaces + 1))
    assert balance.tandems == sum(s.note == "tandem" for s in slots) / 2 <= tandem
    where = {s.circuit: s for s in slots if s.poles}
    for slot in where.values():
        if slot.first:
            legs_there = {rules_panel.leg_of(p) for p in spaces_of(slot)}
            assert legs_there == set(slot.leg.replace("+", "")), slot
            assert slot.side == ("left" if slot.first % 2 else "right")
    for i in range(paired):
        a, b = where[f"m-{i}-a"], where[f"m-{i}-b"]
        assert {a.leg, b.leg} == {"A", "B"}, "both lines of a multiwire pair on one leg: the neutral carries the sum"
        assert (a.first == b.first == 0) or abs(a.first - b.first) == 2, "not side by side"
    assert balance.spaces_free == spaces - balance.spaces_used
    without = [s for s in slots if s.poles and not s.first]
    open_ = [s for s in slots if not s.poles]
    enough_rows = doubles + paired <= spaces // 4 * 2 + (spaces % 4 == 3)
    assert not without or not enough_rows or not [s for s in open_ if s.leg == without[0].leg]
    if balance.spaces_free >= 0 and spaces % 2 == 0 and enough_rows:
        assert not without, f"{balance} but {without}"


def spaces_of(slot: Slot) -> list[int]:
    return [int(p.rstrip("ab")) for p in slot.space.split("+") if p]


@settings(max_examples=40, deadline=None)
@given(WEIGHTS)
def test_the_legs_of_a_schedule_sum_up(weights: list[int]) -> None:
    slots, balance = scheduled(panel_of(24), loads(weights))
    assert balance.leg_A_VA == pytest.approx(sum(s.leg_A_VA for s in slots))
    assert balance.leg_B_VA == pytest.approx(sum(s.leg_B_VA for s in slots))
    assert balance.leg_A_VA + balance.leg_B_VA == pytest.approx(sum(weights))
    assert balance.gap_VA == 0 and balance.proven


def test_the_legs_of_a_panel_behind_are_seen_through_its_feeder() -> None:
    feeder = circuit("feeder-S", 0.0, poles=2, voltage_V=240.0, breaker_A=60.0, kind="feeder")
    behind = {"feeder-S": Legs(1000.0, 300.0, 1000.0, 300.0)}
    _, balance, legs = schedule(panel_of(20), [feeder, circuit("a", 700.0)], behind, 240.0, 0.0)
    assert balance.difference_VA == 0 and balance.neutral_A == 0
    assert sorted((legs.A_VA, legs.B_VA)) == [1000.0, 1000.0]


@settings(max_examples=60)
@given(st.integers(0, 80), st.floats(0, 0.8), st.floats(0, 0.8))
def test_more_spare_never_asks_for_fewer_spaces(used: int, a: float, b: float) -> None:
    low, high = sorted((a, b))
    few, many = rules_panel.spaces_with_spare(used, low), rules_panel.spaces_with_spare(used, high)
    assert used <= few <= many
    assert many == 0 or (many - used) / many >= high - 1e-9
    assert many == used or (many - 1 - used) / (many - 1) < high + 1e-9, "one space fewer would do"


def test_spare_wanted_is_told_as_a_finding() -> None:
    house = starter()
    (balance,) = designed(house).balance
    for percent, verdict in ((balance.spare_percent, Verdict.MEETS), (balance.spare_percent + 1, Verdict.MISSES)):
        found = [f for f in designed(house, spare_percent=percent).findings if f.id == "panel-spare"]
        assert [f.verdict for f in found] == [verdict], f"{percent} % wanted: {found}"


def test_tandems_are_used_only_for_want_of_spaces_and_never_for_protected_circuits() -> None:
    circuits = [circuit(f"c-{i}", 500.0, afci=i < 4) for i in range(10)]
    slots, balance = scheduled(panel_of(10, tandem_spaces=6), circuits)
    assert balance.tandems == 0
    slots, balance = scheduled(panel_of(8, tandem_spaces=6), circuits)
    assert balance.tandems == 2 and balance.spaces_free == 0
    assert not [s for s in slots if s.note == "tandem" and s.circuit in {f"c-{i}" for i in range(4)}]
    assert not [s for s in slots if s.poles and not s.first]


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_rules_of_panels_refuse_what_is_no_load(bad: float) -> None:
    for call in (
        lambda: rules_panel.imbalance_percent(bad, 1.0),
        lambda: rules_panel.neutral_A(1.0, bad, 240),
        lambda: rules_panel.longest_first_VA([1.0, bad]),
        lambda: rules_panel.spaces_with_spare(10, bad),
        lambda: rules_panel.line_of_holes_in([bad], 1.0),
        lambda: rules_panel.leg_of(bad),
        lambda: rules_panel.yoke_circuits(bad, 15),
    ):
        with pytest.raises(RangeError):
            call()
    with pytest.raises(RangeError):
        rules_panel.spaces_with_spare(10, 1.0)


# --- the house -------------------------------------------------------------------------------------------------------


@settings(max_examples=40, deadline=None)
@given(st.lists(st.sampled_from(["Hall", "hall", "Hall 1", "Hall 2", " Hall", "Den"]), max_size=9))
def test_no_two_circuits_have_one_name(names: list[str]) -> None:
    told = distinct([circuit(f"c-{i}", name=n) for i, n in enumerate(names)])
    plain = [" ".join(c.name.casefold().split()) for c in told]
    assert len(set(plain)) == len(plain), plain
    assert all(c.name.startswith(n) for c, n in zip(told, names, strict=True))


@pytest.mark.parametrize("name", EXAMPLES)
def test_example_houses_hold_the_laws(name: str) -> None:
    result = planned(name).circuits
    names = [c.name.casefold() for c in result.circuits]
    assert len(set(names)) == len(names)
    assert Counter(s.circuit for s in result.slots if s.poles) == Counter(c.id for c in result.circuits)
    assert all(b.proven for b in result.balance)
    assert not result.pairs
    for use in result.cable_uses:
        limits = [use.alone_A, use.terminal_A, *([use.cap_A] if use.cap_A is not None else [])]
        assert use.allowable_A == min(limits)
        assert use.small_limit_A is None or use.breaker_A <= use.small_limit_A or "240.4(G)" in use.protected_by
        if use.most_a_hole is not None and use.most_a_hole_ceiling is not None:
            assert 2 <= use.most_a_hole_ceiling <= use.most_a_hole
    at_panel = Counter((e.panel, c) for e in result.entries for c in e.circuits)
    wanted = Counter((c.panel, c.id) for c in result.circuits)
    wanted += Counter((c.outlets[0], c.id) for c in result.circuits if c.kind == "feeder" and c.outlets)
    assert at_panel == wanted, "each cable enters its panel once"


@pytest.mark.parametrize("name", EXAMPLES)
def test_holes_of_an_entry_lie_apart_within_the_width(name: str) -> None:
    width_in = table("air/taken_sizes").one(item="panel_width_in").number("value")
    for _, holes in itertools.groupby(planned(name).circuits.entries, key=lambda e: (e.panel, e.line)):
        row = list(holes)
        assert row[0].x_in - row[0].diameter_in / 2 > 0 and row[-1].x_in + row[-1].diameter_in / 2 < width_in
        for a, b in itertools.pairwise(row):
            wood_in = b.x_in - a.x_in - (a.diameter_in + b.diameter_in) / 2
            assert wood_in == pytest.approx(rules_panel.practice("hole_web_in"))
        assert all(len(e.cables) <= rules_panel.practice("most_cables_a_hole") for e in row)


@pytest.mark.parametrize("wanted", ["small_appliance", "general", "all"])
def test_multiwire_pairs_share_a_panel_and_a_breaker_size(wanted: str) -> None:
    house = example("wintermoss-hill")
    house = house.changed(circuit_settings=dataclasses.replace(house.circuit_settings, multiwire=wanted))
    result = design(house, only=("circuits",)).circuits
    by_id = {c.id: c for c in result.circuits}
    assert result.pairs
    for pair in result.pairs:
        a, b = by_id[pair.first], by_id[pair.second]
        assert (a.multiwire_with, b.multiwire_with) == (b.id, a.id)
        assert (a.panel, a.breaker_A, a.poles) == (b.panel, b.breaker_A, b.poles)
        assert pair.cable.endswith("/3") and pair.counted_conductors == 2
        assert ("two-pole" in pair.protection) and ("arc-fault" in pair.protection) == (a.afci or b.afci)
        if wanted != "all":
            assert {a.kind, b.kind} <= ({"general", "lighting"} if wanted == "general" else {wanted})
    told = {f.id for f in result.findings}
    assert {"multiwire-disconnect", "multiwire-routes"} <= told
    alone = design(example("wintermoss-hill"), only=("circuits",)).circuits
    cables = [sum(len(e.cables) for e in r.entries if e.panel == "PS") for r in (alone, result)]
    assert cables[0] - cables[1] == len(result.pairs), "a pair is one cable"


def test_rooms_of_a_group_share_circuits() -> None:
    house = starter()
    pair = [r.id for r in house.rooms if r.kind in ("bedroom", "living")][:2]
    assert len(pair) == 2
    grouped = tuple(dataclasses.replace(r, circuit_group="Calm" if r.id in pair else "") for r in house.rooms)
    house = house.changed(
        rooms=grouped, general=dataclasses.replace(house.general, outlets_per_circuit=50, floor_area_ft2=400.0)
    )
    devices = trial_devices(house)
    mine = {d.id for d in devices.devices if d.room in pair and d.kind in ("receptacle", "lighting_outlet", "switch")}
    result = design_circuits(house, 2023, devices=devices)
    assert len([c for c in result.circuits if mine & set(c.outlets)]) == 1


def test_a_device_pinned_to_a_circuit_that_takes_no_others_is_told() -> None:
    house = starter()
    devices = trial_devices(house)
    some = next(d for d in devices.devices if d.room == "bedroom" and d.kind == "receptacle")
    own = next(c.id for c in designed(house).circuits if c.kind == "dedicated" and c.outlets)
    for target in ("small-1", "laundry-1", own):
        pin = PlacedDevice(id=some.id, room="bedroom", kind="receptacle", side="south", offset_ft=1, circuit=target)
        result = design_circuits(house.changed(placed_devices=(pin,)), 2023, devices=devices)
        found = [f for f in result.findings if f.id == "required-no-others"]
        assert [(f.place, f.verdict, f.got) for f in found] == [(target, Verdict.MISSES, some.id)]
    assert not [f for f in designed(house).findings if f.id == "required-no-others"]


def test_pins_beyond_the_users_own_limit_are_told() -> None:
    house = starter()
    devices = trial_devices(house)
    chosen = [d for d in devices.devices if d.kind == "receptacle" and d.room in ("bedroom", "living")][:4]
    pins = tuple(
        PlacedDevice(id=d.id, room=d.room, kind="receptacle", side="south", offset_ft=1, circuit="many") for d in chosen
    )
    house = house.changed(
        placed_devices=pins, general=dataclasses.replace(house.general, outlets_per_circuit=len(pins) - 1)
    )
    found = [f for f in design_circuits(house, 2023, devices=devices).findings if f.id == "outlets-per-circuit"]
    assert [(f.place, f.got) for f in found] == [("many", str(len(pins)))]


@settings(max_examples=15, deadline=None)
@given(st.floats(0.5, 9.9), st.floats(0.5, 9.9))
def test_a_wider_limit_of_drop_reaches_farther(a: float, b: float) -> None:
    low, high = sorted((a, b))
    near, far = designed(starter(), drop_limit_percent=low), designed(starter(), drop_limit_percent=high)
    for x, y in zip(near.circuits, far.circuits, strict=True):
        assert (x.longest_run_ft is None) == (y.longest_run_ft is None)
        if x.longest_run_ft is not None and y.longest_run_ft is not None:
            assert x.longest_run_ft <= y.longest_run_ft + 1e-9
            assert x.longest_run_ft / low == pytest.approx(y.longest_run_ft / high)


# --- drop by routed length -------------------------------------------------------------------------------------------


def test_the_length_to_the_farthest_box_by_hand() -> None:
    # Panel to a 10 ft, a to b 20 ft, a to c 5 ft; 1 ft left at a box, 4 ft at the panel.
    found = tree("P", [("P", "a", 10.0), ("b", "a", 20.0), ("a", "c", 5.0), ("x", "y", 99.0)], 1.0, 4.0)
    assert {box: (s.length_ft, s.boxes) for box, s in found.items()} == {"a": (15, 3), "b": (22, 1), "c": (7, 1)}
    assert farthest(found) == ("b", 37.0)
    assert spread_length_ft(found, "b") == pytest.approx(15 + 22 / 3)
    assert tree("P", [], 1.0, 4.0) == {}


@settings(max_examples=60)
@given(st.lists(st.tuples(st.integers(0, 100), st.floats(0, 80)), min_size=1, max_size=10), st.randoms())
def test_the_order_of_legs_does_not_matter_and_sharing_never_drops_more(
    steps: list[tuple[int, float]], random_: random.Random
) -> None:
    legs = [(f"b{before % i}" if i else "P", f"b{i}", feet) for i, (before, feet) in enumerate(steps)]
    mixed = [(b, a, feet) if random_.random() < 0.5 else (a, b, feet) for a, b, feet in legs]
    random_.shuffle(mixed)
    found, again = tree("P", legs, 0.5, 5.0), tree("P", mixed, 0.5, 5.0)
    assert {k: (s.length_ft, s.boxes) for k, s in found.items()} == {
        k: (s.length_ft, s.boxes) for k, s in again.items()
    }
    end, length_ft = farthest(found)
    assert 0 < spread_length_ft(found, end) <= length_ft * (1 + 1e-12)
    assert found["b0"].boxes == len(steps)


@pytest.mark.parametrize("name", EXAMPLES)
def test_drops_of_the_example_houses(name: str) -> None:
    plan: Plan = planned(name)
    limit = plan.house.circuit_settings.drop_limit_percent
    drops = branch_drops(plan)
    assert drops
    assert {d.circuit for d in drops} <= {r.circuit for r in plan.routes.routes}
    for drop in drops:
        assert drop.spread_percent <= drop.end_percent + 1e-9
        assert drop.meets == (drop.end_percent <= limit + 1e-9)
        route = next(r for r in plan.routes.routes if r.circuit == drop.circuit)
        assert drop.length_ft <= route.cable_ft + 1e-6, f"{drop.circuit}: farther than all of its cable"


# --- bad input -------------------------------------------------------------------------------------------------------

PANEL_HEAD = "id,name,room,side,offset_ft,spaces,tandem_spaces"


@pytest.mark.parametrize(
    ("section", "column", "got"),
    [
        ("spare_percent = -1", "spare_percent", "-1"),
        ("spare_percent = 81", "spare_percent", "81"),
        ('spare_percent = "much"', "spare_percent", "much"),
        ("spare_percent = nan", "spare_percent", "nan"),
        ('multiwire = "some"', "multiwire", "some"),
        ("drop_limit_percent = 0", "drop_limit_percent", "0"),
        ("drop_limit_percent = 11", "drop_limit_percent", "11"),
        ("leg_limit_percent = 101", "leg_limit_percent", "101"),
        ("legs = 2", "legs", ""),
    ],
)
def test_bad_settings_of_circuits_are_refused(section: str, column: str, got: str, tmp_path: Path) -> None:
    write_starter(tmp_path)
    toml = tmp_path / "house.toml"
    before, _, after = toml.read_text("utf-8").partition("[circuits]\n")
    kept = [x for x in after.splitlines() if not x.startswith(f"{column} =")]
    toml.write_text(f"{before}[circuits]\n{section}\n" + "\n".join(kept) + "\n", "utf-8")
    with pytest.raises(InputErrors) as refused:
        read_house(tmp_path)
    problems = [p for p in refused.value.problems if p.column == column or column in str(p)]
    assert len(refused.value.problems) == len(problems) == 1, refused.value.problems
    assert got in str(problems[0])


@pytest.mark.parametrize(
    ("spaces", "tandem", "said"),
    [("20", "21", "more spaces for tandem breakers"), ("20", "-1", ">= 0"), ("20", "1.5", "whole"), ("20", "x", "x")],
)
def test_bad_tandem_spaces_are_refused(spaces: str, tandem: str, said: str, tmp_path: Path) -> None:
    write_starter(tmp_path)
    panel = read_house(tmp_path).panels[0]
    row = f"{panel.id},{panel.name},{panel.room},{panel.side},{panel.offset_ft:g},{spaces},{tandem}"
    (tmp_path / "panels.csv").write_text(f"{PANEL_HEAD}\n{row}\n", "utf-8")
    with pytest.raises(InputErrors) as refused:
        read_house(tmp_path)
    (problem,) = refused.value.problems
    assert (problem.file, problem.column) == ("panels.csv", "tandem_spaces")
    assert said in str(problem)


def test_new_columns_survive_writing_and_are_left_out_by_default(tmp_path: Path) -> None:
    house = starter()
    changed = house.changed(
        circuit_settings=dataclasses.replace(house.circuit_settings, multiwire="all", spare_percent=35.0),
        panels=tuple(dataclasses.replace(p, tandem_spaces=4) for p in house.panels),
        rooms=tuple(dataclasses.replace(r, circuit_group="g") for r in house.rooms),
    )
    write_house(changed, tmp_path)
    again = read_house(tmp_path)
    assert again.circuit_settings == changed.circuit_settings
    assert (again.panels, again.rooms) == (changed.panels, changed.rooms)
    assert house.circuit_settings.multiwire == "none" and house.panels[0].tandem_spaces == 0
