"""Laws of fault current, grounding and working space that hold for any input; bad input of the step's columns."""

from __future__ import annotations

import dataclasses
import random
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.common.rules_conductors import area_cmil, usable_sizes
from hpelec.core.editions import EDITIONS
from hpelec.core.errors import InputErrors, RangeError
from hpelec.core.findings import Finding, Verdict
from hpelec.house.model import House
from hpelec.house.read import read_house
from hpelec.house.rows import FixedItem, Panel
from hpelec.house.sections_power import Grounding
from hpelec.house.write import write_house, write_starter
from hpelec.plan import design
from hpelec.steps.faults import rules, rules_electrodes, rules_protection, rules_space
from hpelec.steps.faults.model import FaultPoint, FaultsResult
from tests.adapters_faults import faults_of
from tests.houses import EXAMPLES, example, planned, starter

SIZES = st.sampled_from(usable_sizes("al"))
LENGTH = st.floats(1, 900)
SETS = st.integers(1, 4)
CURRENT = st.floats(500, 60000)
RATIO = st.floats(0.3, 6)
KNOWN = {"transformer_kVA": 50.0, "transformer_impedance_percent": 2.0, "lateral_owner": "customer"}


def run_A(size: str, sets: int, length_ft: float, source_A: float, ratio: float, conductor_C: float = 25.0) -> float:
    loop = 2 * rules.conductor_ohm(size, "al", sets, length_ft, conductor_C)
    return rules.vector_fault_A(240.0, rules.source_ohm(240.0, source_A, ratio) + loop)


def panel_of(result: FaultsResult, name: str = "P1") -> FaultPoint:
    return next(p for p in result.points if p.id == name)


def finding(result: FaultsResult, name: str, place: str = "") -> Finding:
    found = [f for f in result.findings if f.id == name and place in ("", f.place)]
    assert len(found) == 1, f"{name} at {place or 'any place'}: {found}"
    return found[0]


# --- laws of the rules -----------------------------------------------------------------------------------------------


@given(SIZES, SETS, LENGTH, st.floats(0, 500), CURRENT, RATIO)
@settings(max_examples=60)
def test_a_longer_run_never_gives_more(
    size: str, sets: int, length: float, more: float, source: float, ratio: float
) -> None:
    assert run_A(size, sets, length + more, source, ratio) <= run_A(size, sets, length, source, ratio) * (1 + 1e-12)


@given(SETS, LENGTH, CURRENT, RATIO)
@settings(max_examples=40)
def test_a_thinner_conductor_never_gives_more(sets: int, length: float, source: float, ratio: float) -> None:
    """But where reactance is all, a size may have a hundredth more of it than the next smaller one."""
    currents = [run_A(size, sets, length, source, ratio) for size in usable_sizes("al")]
    for (small, thin_A), (large, thick_A) in zip(
        zip(usable_sizes("al"), currents, strict=True),
        list(zip(usable_sizes("al"), currents, strict=True))[1:],
        strict=False,
    ):
        assert thin_A <= thick_A * 1.01, f"{small} gives {thin_A:.0f} A, {large} {thick_A:.0f} A"


@given(SIZES, LENGTH, CURRENT, RATIO)
@settings(max_examples=60)
def test_parallel_sets_halve_the_conductors(size: str, length: float, source: float, ratio: float) -> None:
    one = rules.conductor_ohm(size, "al", 1, length, 25.0)
    two = rules.conductor_ohm(size, "al", 2, length, 25.0)
    assert two == pytest.approx(one / 2, rel=1e-12)
    assert run_A(size, 2, 2 * length, source, ratio) == pytest.approx(run_A(size, 1, length, source, ratio), rel=1e-9)


@given(SIZES, SETS, LENGTH, CURRENT, RATIO)
@settings(max_examples=80)
def test_the_vector_sum_is_never_below_point_to_point(
    size: str, sets: int, length: float, source: float, ratio: float
) -> None:
    c = rules.c_value(size, "al", 25.0)
    by_points = rules.point_to_point_A(source, length, c, sets, 240.0)
    assert run_A(size, sets, length, source, ratio) >= by_points * (1 - 1e-9)


@given(SIZES, LENGTH, CURRENT)
@settings(max_examples=40)
def test_both_ways_agree_where_the_angles_agree(size: str, length: float, source: float) -> None:
    z = rules.conductor_ohm(size, "al", 1, 1.0, 25.0)
    c = rules.c_value(size, "al", 25.0)
    by_points = rules.point_to_point_A(source, length, c, 1, 240.0)
    assert run_A(size, 1, length, source, z.imag / z.real) == pytest.approx(by_points, rel=1e-9)


@given(SIZES, st.permutations([40.0, 7.0, 123.0]), CURRENT)
@settings(max_examples=30)
def test_order_of_runs_never_matters(size: str, lengths: list[float], source: float) -> None:
    def along(parts: list[float]) -> float:
        current = source
        for part in parts:
            current = rules.point_to_point_A(current, part, rules.c_value(size, "al", 25.0), 1, 240.0)
        return current

    assert along(lengths) == pytest.approx(along(sorted(lengths)), rel=1e-9)
    assert along(lengths) == pytest.approx(along([sum(lengths)]), rel=1e-9)


@given(SIZES, LENGTH, CURRENT, RATIO, st.floats(-40, 100), st.floats(0, 50))
@settings(max_examples=40)
def test_a_warmer_conductor_never_gives_more(
    size: str, length: float, source: float, ratio: float, cold: float, more: float
) -> None:
    assert run_A(size, 1, length, source, ratio, cold + more) <= run_A(size, 1, length, source, ratio, cold) + 1e-9


@given(st.floats(10, 2000), st.floats(0, 500), st.floats(0.5, 10), st.sampled_from((1, 3)))
@settings(max_examples=40)
def test_a_larger_transformer_never_gives_less(kva: float, more: float, percent: float, phases: int) -> None:
    small, large = (rules.terminal_fault_A(rules.full_load_A(k, 240.0, phases), percent) for k in (kva, kva + more))
    assert small <= large * (1 + 1e-12)


@given(st.floats(0, 65000))
def test_the_rating_named_is_enough_and_the_smallest(fault_A: float) -> None:
    named = rules.rating_needed_kA(fault_A)
    assert named is not None
    assert rules.interrupts(named, fault_A)
    below = [k for k in (10, 22, 25, 42, 65) if k < named]
    assert not any(rules.interrupts(k, fault_A) for k in below)


@pytest.mark.parametrize("material", ["al", "cu"])
def test_c_is_the_inverse_of_the_impedance(material: str) -> None:
    for size in usable_sizes(material):
        z = rules.conductor_ohm(size, material, 1, 1000.0, 75.0)
        assert rules.c_value(size, material, 75.0) == pytest.approx(1000 / abs(z), rel=1e-12), f"{size} {material}"


@pytest.mark.parametrize(
    ("call", "args"),
    [
        (rules.full_load_A, (float("nan"), 240.0, 1)),
        (rules.full_load_A, (50.0, 240.0, 2)),
        (rules.terminal_fault_A, (100.0, 0.0)),
        (rules.source_ohm, (240.0, 0.0, 1.4)),
        (rules.source_ohm, (240.0, 1000.0, -0.1)),
        (rules.vector_fault_A, (240.0, 0j)),
        (rules.conductor_ohm, ("4/0", "al", 0, 10.0, 25.0)),
        (rules.conductor_ohm, ("4/0", "al", 1, -1.0, 25.0)),
        (rules.conductor_ohm, ("5/0", "al", 1, 10.0, 25.0)),
        (rules.point_to_point_A, (0.0, 10.0, 1000.0, 1, 240.0)),
        (rules.point_to_point_A, (100.0, 10.0, 1000.0, 1, 240.0, 2)),
        (rules.interrupts, (0.0, 100.0)),
        (rules.rating_needed_kA, (float("inf"),)),
        (rules.impedance_range_percent, (0.0,)),
        (rules.motor_contribution_A, (-1.0,)),
        (rules.wye_fault_A, (0.0,)),
        (rules_electrodes.rods_enough, (-1, None)),
        (rules_electrodes.rods_enough, (1, -5.0)),
        (rules_electrodes.building_disconnect_A, (0, False)),
        (rules_protection.surge_needed, ("attic", 2023)),
        (rules_protection.surge_kind_fits, (5,)),
        (rules_protection.emergency_place_fits, ("roof", 2023)),
        (rules_space.depth_ft, (1200.0, 1)),
        (rules_space.depth_ft, (120.0, 4)),
        (rules_space.width_ft, (0.0,)),
        (rules_space.slide, ((0.0, 1.0), 0.0, (0.0, 4.0), ())),
    ],
)
def test_rules_refuse_what_is_out_of_range(call: Any, args: tuple[Any, ...]) -> None:
    with pytest.raises(RangeError):
        call(*args)


# --- laws of the step ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("edition", EDITIONS)
def test_currents_fall_along_the_supply_and_stand_in_order(name: str, edition: int) -> None:
    points = {p.id: p for p in design(example(name), edition, only=("faults",)).faults.points}
    for p in points.values():
        assert p.best_A is not None
        assert (p.low_A or 0) <= p.best_A <= p.high_A
        assert p.point_to_point_A is not None
        assert p.point_to_point_A <= p.high_A * (1 + 1e-9)
        assert p.needed_A == max(p.high_A, p.neutral_high_A) <= p.other_ratio_A
        if p.fed_from:
            before = points[p.fed_from]
            assert p.high_A <= before.high_A
            assert p.neutral_high_A <= before.neutral_high_A
            assert p.distance_ft >= before.distance_ft


def test_line_to_neutral_is_one_and_a_half_at_the_terminals() -> None:
    first = faults_of(**KNOWN).points[0]
    assert first.neutral_high_A == pytest.approx(1.5 * first.high_A, rel=1e-12)


def test_208_volts_is_a_three_phase_source() -> None:
    wye = faults_of(**{**KNOWN, "voltage_V": 208.0}).points[0]
    three_phase = 50000 / 208 / 3**0.5 * 100 / 1.8
    assert wye.neutral_high_A == pytest.approx(three_phase, rel=1e-9)
    assert wye.high_A == pytest.approx(three_phase * 3**0.5 / 2, rel=1e-9)


@given(st.floats(10, 160), st.floats(0, 100), st.floats(10, 600), st.floats(0, 300))
@settings(max_examples=15)
def test_step_larger_transformer_and_longer_lateral(kva: float, more: float, length: float, further: float) -> None:
    def at_panel(rating: float, feet: float) -> float:
        site = {**KNOWN, "transformer_kVA": rating, "lateral_length_ft": feet, "drop_limit_percent": 10.0}
        return panel_of(faults_of(**site)).needed_A

    assert at_panel(kva + more, length) >= at_panel(kva, length) * (1 - 1e-9)
    result, longer = (
        faults_of(**{**KNOWN, "lateral_length_ft": feet, "lateral_owner": "utility"})
        for feet in (length, length + further)
    )
    assert panel_of(longer).needed_A <= panel_of(result).needed_A * (1 + 1e-9)


@pytest.mark.parametrize("name", EXAMPLES)
def test_order_of_panels_never_matters(name: str) -> None:
    house = example(name)
    panels = list(house.panels)
    random.Random(3).shuffle(panels)
    mixed = design(house.changed(panels=tuple(reversed(panels))), only=("faults",)).faults
    assert mixed == planned(name).faults


@pytest.mark.parametrize(
    ("site", "certain"),
    [
        ({}, False),
        ({"transformer_kVA": 50.0}, False),
        ({"transformer_impedance_percent": 2.0}, False),
        (KNOWN, True),
        ({"available_fault_A": 9000.0}, True),
    ],
)
def test_the_answer_is_never_blank_and_says_how_sure_it_is(site: dict[str, Any], certain: bool) -> None:
    result = faults_of(**site)
    assert result.certain is certain
    assert all(p.needed_A > 0 for p in result.points)
    if "available_fault_A" not in site:
        assert "without limit" in result.source
        assert all(p.low_A is not None and p.low_A < p.high_A for p in result.points)
    else:
        assert all(p.low_A is None for p in result.points), "a utility's figure tells nothing of the lowest current"


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_answer_for_all_panels_is_that_of_the_worst(name: str) -> None:
    faults = planned(name).faults
    panels = [p for p in faults.points if p.id not in ("transformer", "meter")]
    assert faults.panels_needed_A == max(p.needed_A for p in panels)
    assert faults.panels_needed_kA == max(p.needed_kA or 0 for p in panels)
    lows = [p.low_A for p in panels]
    assert faults.panels_lowest_A == (None if None in lows else min(x for x in lows if x is not None))


def test_no_panel_has_no_answer() -> None:
    result = design(starter().changed(panels=()), only=("faults",)).faults
    assert (result.panels_needed_A, result.panels_needed_kA, result.panels_lowest_A) == (None, None, None)
    assert len(result.points) == 2


def test_an_unknown_transformer_ranges_from_one_size_below_the_load_to_the_largest() -> None:
    """The starter's load asks for 25 kVA of the usual sizes 10, 15, 25, 37.5, 50, 75, 100, 167."""
    load_VA = design(starter(), only=("loads",)).loads.design_VA
    assert 15_000 < load_VA <= 25_000
    first = faults_of().points[0]
    assert first.high_A == pytest.approx(167_000 / 240 * 100 / (0.9 * 1.5), rel=1e-9)
    assert first.best_A == pytest.approx(25_000 / 240 * 100 / 2.0, rel=1e-9)
    assert first.low_A == pytest.approx(15_000 / 240 * 100 / (1.1 * 2.5), rel=1e-9)


def test_what_is_known_narrows_the_range() -> None:
    def spread(**site: Any) -> float:
        p = faults_of(lateral_owner="customer", **site).points[0]
        assert p.low_A is not None
        return p.high_A / p.low_A

    rated = spread(transformer_kVA=50.0)
    assert spread() > rated > spread(transformer_kVA=50.0, transformer_impedance_percent=2.0)


def test_a_stated_current_wins_over_the_transformer() -> None:
    stated = faults_of(**KNOWN, available_fault_A=4321.0, available_fault_at="transformer")
    assert stated.points[0].high_A == pytest.approx(4321.0, rel=1e-12)
    careful = faults_of(**KNOWN, available_fault_A=4321.0)
    assert careful.points[0].id == "meter", "without a place the figure stands at the meter, the careful reading"
    assert panel_of(careful).needed_A >= panel_of(stated).needed_A


@pytest.mark.parametrize(("stated_A", "told"), [(11574.0, 0), (11575.0, 1), (65000.0, 1)])
def test_a_stated_current_that_the_transformer_cannot_give_is_told(stated_A: float, told: int) -> None:
    """50 kVA at 240 V and 0.9 x 2 % gives 11 574.07 A at most."""
    for place in ("transformer", "meter"):
        result = faults_of(**KNOWN, available_fault_A=stated_A, available_fault_at=place)
        found = [f for f in result.findings if f.id == "available-fault"]
        assert len(found) == told
        assert all(f.verdict is Verdict.CANNOT_SAY for f in found)


def test_the_utilitys_lateral_may_be_larger_than_proposed() -> None:
    mine, theirs = (faults_of(**{**KNOWN, "lateral_owner": owner}) for owner in ("customer", "utility"))
    assert panel_of(theirs).high_A > panel_of(mine).high_A
    assert panel_of(theirs).best_A == pytest.approx(panel_of(mine).best_A, rel=1e-12)
    assert any("larger one" in a.why for a in theirs.assumptions)


def verdict(rating_kA: float | None, **site: Any) -> Verdict:
    panel = dataclasses.replace(starter().panels[0], interrupting_kA=rating_kA)
    return finding(faults_of(panels=(panel,), **site), "interrupting-rating").verdict


def test_interrupting_verdicts() -> None:
    point = panel_of(faults_of(**KNOWN))
    assert verdict(None, **KNOWN) is Verdict.CANNOT_SAY
    assert verdict(point.other_ratio_A / 1000, **KNOWN) is Verdict.MEETS
    assert verdict(point.needed_A / 1000, **KNOWN) is Verdict.CANNOT_SAY, "X/R may be another"
    assert verdict(point.needed_A / 1000 * 0.999, **KNOWN) is Verdict.MISSES
    open_source = panel_of(faults_of(lateral_owner="customer"))
    assert open_source.low_A is not None
    between = (open_source.low_A + open_source.needed_A) / 2000
    assert verdict(between, lateral_owner="customer") is Verdict.CANNOT_SAY, "the source is only assumed"
    assert verdict(open_source.low_A / 1000 * 0.99, lateral_owner="customer") is Verdict.MISSES


def test_a_run_that_is_not_sized_counts_as_no_impedance() -> None:
    result = faults_of(**KNOWN, offered_A=(200.0,), changes={"appliances": heavy(starter())})
    assert finding(result, "fault-conductors").verdict is Verdict.CANNOT_SAY
    panel = panel_of(result)
    assert panel.high_A == pytest.approx(result.points[0].high_A, rel=1e-12)
    assert panel.best_A is None


def heavy(house: House) -> tuple[Any, ...]:
    first, *rest = house.appliances
    big = dataclasses.replace(first, kind="other", power_VA=1e5, quantity=30)
    return (big, *rest)


def test_a_given_feeder_length_is_taken() -> None:
    first = starter().panels[0]
    fed = [
        dataclasses.replace(first, id="P2", fed_from="P1", rating_A=60.0, feeder_length_ft=feet, offset_ft=1.0)
        for feet in (None, 0.0, 80.0)
    ]
    plan_ft, none_ft, long_ft = (panel_of(faults_of(panels=(first, p), **KNOWN), "P2") for p in fed)
    assert none_ft.high_A == pytest.approx(panel_of(faults_of(**KNOWN)).high_A, rel=1e-12)
    assert long_ft.high_A < plan_ft.high_A < none_ft.high_A
    assert long_ft.distance_ft == pytest.approx(none_ft.distance_ft + 80)


# --- grounding, protection -------------------------------------------------------------------------------------------


def grounded(edition: int = 2023, **given_: Any) -> FaultsResult:
    return faults_of(edition, grounding=Grounding(**given_))


NOTHING = {"concrete_encased": False, "metal_water_pipe": False, "building_frame": False, "ground_ring": False}


@pytest.mark.parametrize(
    ("given_", "name", "said"),
    [
        ({}, "electrode-system", Verdict.CANNOT_SAY),
        ({**NOTHING, "rods": 0}, "electrode-system", Verdict.MISSES),
        ({**NOTHING, "rods": 2}, "electrode-system", Verdict.MEETS),
        ({"rods": 2}, "electrode-system", Verdict.CANNOT_SAY),
        ({"concrete_encased": True}, "electrode-system", Verdict.MEETS),
        ({**NOTHING, "rods": 1}, "rods", Verdict.CANNOT_SAY),
        ({**NOTHING, "rods": 1, "rod_resistance_ohm": 25.0}, "rods", Verdict.MEETS),
        ({**NOTHING, "rods": 1, "rod_resistance_ohm": 25.1}, "rods", Verdict.MISSES),
        ({**NOTHING, "rods": 1, "concrete_encased": True}, "rods", Verdict.MEETS),
        ({"rods": 2}, "rod-spacing", Verdict.CANNOT_SAY),
        ({"rods": 2, "rod_spacing_ft": 6.0}, "rod-spacing", Verdict.MEETS),
        ({"rods": 3, "rod_spacing_ft": 5.9}, "rod-spacing", Verdict.MISSES),
        ({**NOTHING, "metal_water_pipe": True, "rods": 0}, "water-pipe-electrode", Verdict.MISSES),
        ({"metal_water_pipe": True}, "water-pipe-electrode", Verdict.CANNOT_SAY),
        ({"metal_water_pipe": True, "ground_ring": True}, "water-pipe-electrode", Verdict.MEETS),
        ({}, "intersystem-bonding", Verdict.CANNOT_SAY),
        ({"intersystem_terminals": 2}, "intersystem-bonding", Verdict.MISSES),
        ({"intersystem_terminals": 3}, "intersystem-bonding", Verdict.MEETS),
    ],
)
def test_grounding_verdicts(given_: dict[str, Any], name: str, said: Verdict) -> None:
    assert finding(grounded(**given_), name).verdict is said


@pytest.mark.parametrize("name", EXAMPLES)
def test_conductor_to_one_electrode_is_never_larger_than_the_table(name: str) -> None:
    rows = {r.part: r for r in planned(name).faults.grounding}
    full = area_cmil(rows["jumpers between electrodes"].size)
    for part in ("rods", "concrete-encased electrode", "ground ring"):
        if rows[part].there == "no":
            assert not rows[part].size, part
        else:
            assert area_cmil(rows[part].size) <= full, part
    chosen = next(r for r in planned(name).service.conductors if r.part.startswith("grounding electrode") and r.chosen)
    assert rows["jumpers between electrodes"].size == chosen.size


@pytest.mark.parametrize(
    ("edition", "site", "said"),
    [
        (2017, {}, Verdict.MEETS),
        (2020, {}, Verdict.CANNOT_SAY),
        (2020, {"surge_protector": "none"}, Verdict.MISSES),
        (2020, {"surge_protector": "type 3"}, Verdict.MISSES),
        (2020, {"surge_protector": "type 1"}, Verdict.MEETS),
        (2023, {"surge_protector": "type 2"}, Verdict.CANNOT_SAY),
        (2023, {"surge_protector": "type 2", "surge_nominal_kA": 10.0}, Verdict.MEETS),
        (2023, {"surge_protector": "type 2", "surge_nominal_kA": 9.9}, Verdict.MISSES),
        (2026, {"surge_protector": "type 2", "surge_nominal_kA": 20.0}, Verdict.CANNOT_SAY),
    ],
)
def test_surge_verdicts(edition: int, site: dict[str, Any], said: Verdict) -> None:
    assert finding(faults_of(edition, **site), "surge").verdict is said


@pytest.mark.parametrize(
    ("edition", "place", "said"),
    [
        (2017, None, Verdict.MEETS),
        (2020, None, Verdict.CANNOT_SAY),
        (2020, "inside", Verdict.MISSES),
        (2020, "outside_elsewhere", Verdict.MEETS),
        (2023, "outside_elsewhere", Verdict.MISSES),
        (2023, "outside_in_sight", Verdict.MEETS),
        (2023, "none", Verdict.MISSES),
        (2026, "outside_on_house", Verdict.CANNOT_SAY),
        (2026, "inside", Verdict.MISSES),
    ],
)
def test_emergency_verdicts(edition: int, place: str | None, said: Verdict) -> None:
    assert finding(faults_of(edition, emergency_disconnect=place), "emergency-disconnect").verdict is said


def test_an_existing_house_is_asked_only_when_its_equipment_is_replaced() -> None:
    general = dataclasses.replace(starter().general, project="existing")
    result = faults_of(2023, changes={"general": general}, surge_protector="none", emergency_disconnect="inside")
    for name in ("surge", "emergency-disconnect"):
        found = finding(result, name)
        assert found.verdict is Verdict.CANNOT_SAY
        assert "replaced" in found.fix


def test_feeders_ask_for_surge_protection_from_2023() -> None:
    for edition in EDITIONS:
        plan = design(example("wintermoss-hill"), edition, only=("faults",))
        asked = [f.place for f in plan.faults.findings if f.id == "surge-feeder"]
        assert asked == (["PS"] if edition >= 2023 else [])


# --- working space ---------------------------------------------------------------------------------------------------


def room_with(*items: FixedItem, room: dict[str, Any] | None = None, **panel: Any) -> FaultsResult:
    """A plain utility room of 12 x 10 ft with a panel in the middle of its south wall."""
    house = starter()
    rooms = tuple(dataclasses.replace(r, **(room or {})) if r.id == "utility" else r for r in house.rooms)
    only = Panel(**{"id": "P1", "name": "P", "room": "utility", "side": "east", "offset_ft": 5.0, **panel})
    changes = {"fixed": items, "rooms": rooms, "appliances": (), "heaters": (), "draw_points": ()}
    return faults_of(panels=(only,), changes=changes)


def tank(**where: Any) -> FixedItem:
    told = {"id": "tank", "room": "utility", "kind": "stationary_appliance", "width_ft": 2.0, "depth_ft": 2.0}
    return FixedItem(**{**told, **where})


def test_a_free_room_has_its_working_space() -> None:
    result = room_with()
    assert finding(result, "working-space").verdict is Verdict.MEETS
    space = result.spaces[0]
    assert (space.depth_ft, space.width_ft, space.height_ft) == (3.0, 2.5, 6.5)


@pytest.mark.parametrize(
    ("item", "said"),
    [
        (tank(side="east", offset_ft=4.0), Verdict.MISSES),
        (tank(side="east", offset_ft=0.0), Verdict.MEETS),
        (tank(side="east", offset_ft=5.0 + 14.5 / 24), Verdict.MEETS),
        (tank(side="east", offset_ft=5.0 + 14.5 / 24 - 0.05), Verdict.MISSES),
        (tank(offset_ft=2.0, y_offset_ft=4.0, width_ft=3.0), Verdict.MEETS),
        (tank(offset_ft=2.1, y_offset_ft=4.0, width_ft=3.0), Verdict.MISSES),
    ],
)
def test_what_stands_in_front_takes_the_space(item: FixedItem, said: Verdict) -> None:
    """The room is 8 ft wide: a thing that ends 5 ft from its west wall leaves exactly 3 ft before the east wall."""
    found = finding(room_with(item), "working-space")
    assert found.verdict is said, found


def test_two_things_leave_30_inches_or_not() -> None:
    half = 14.5 / 24
    for gap_in, said in ((30.0, Verdict.MEETS), (29.9, Verdict.MISSES)):
        low = tank(id="low", side="east", offset_ft=5 - half - 2, width_ft=2.0)
        high = tank(id="high", side="east", offset_ft=5 - half + gap_in / 12, width_ft=2.0)
        assert finding(room_with(low, high), "working-space").verdict is said, gap_in


def test_a_shallow_room_misses() -> None:
    assert finding(room_with(room={"width_ft": 2.9}), "working-space").verdict is Verdict.MISSES
    assert finding(room_with(room={"width_ft": 3.0}), "working-space").verdict is Verdict.MEETS


def test_an_outline_room_gives_the_same_answer_as_its_rectangle() -> None:
    rectangle = {n: getattr(next(r for r in starter().rooms if r.id == "utility"), n) for n in ("x_ft", "y_ft")}
    x, y = rectangle["x_ft"], rectangle["y_ft"]
    outline = ((x, y), (x + 8, y), (x + 8, y + 11), (x, y + 11))
    room = {"x_ft": None, "y_ft": None, "width_ft": None, "depth_ft": None, "outline_ft": outline}
    item = tank(offset_ft=4.5, y_offset_ft=7.0)
    by_outline = room_with(item, room=room, side="2").spaces[0]
    assert by_outline.start_ft == pytest.approx(room_with(item).spaces[0].start_ft)


def test_things_without_a_place_leave_it_open() -> None:
    result = faults_of(**KNOWN)
    found = finding(result, "working-space")
    assert found.verdict is Verdict.CANNOT_SAY
    assert "dryer" in found.got
    assert "tank" in found.got


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("bathroom", Verdict.MISSES),
        ("closet", Verdict.MISSES),
        ("stair", Verdict.CANNOT_SAY),
        ("garage", Verdict.MEETS),
    ],
)
def test_forbidden_rooms(kind: str, said: Verdict) -> None:
    assert finding(room_with(room={"kind": kind}), "panel-room").verdict is said


def test_handle_and_ceiling() -> None:
    assert finding(room_with(height_in=79.0), "panel-handle").verdict is Verdict.MEETS
    assert finding(room_with(height_in=79.1), "panel-handle").verdict is Verdict.MISSES
    house = starter()
    low = tuple(dataclasses.replace(lv, ceiling_height_ft=6.4) for lv in house.levels)
    for project, rating_A, said in (
        ("new", 200.0, Verdict.MISSES),
        ("existing", 200.0, Verdict.MEETS),
        ("existing", 225.0, Verdict.MISSES),
    ):
        panel = dataclasses.replace(house.panels[0], rating_A=rating_A)
        changes = {"levels": low, "general": dataclasses.replace(house.general, project=project)}
        result = faults_of(panels=(panel,), changes=changes)
        assert finding(result, "working-height").verdict is said, (project, rating_A)


@given(
    st.floats(0, 8),
    st.lists(st.tuples(st.floats(-5, 15), st.floats(0.01, 4)), max_size=4),
    st.floats(1, 4),
)
@settings(max_examples=150)
def test_the_sliding_space_is_right(start: float, taken: list[tuple[float, float]], width: float) -> None:
    """A place found meets nothing and holds the equipment; none found: no place of a fine grid does."""
    equipment, wall = (start, start + 0.5), (0.0, 10.0)
    parts = tuple((a, a + b) for a, b in taken)
    found = rules_space.slide(equipment, width, wall, parts)

    def free(place: float, slack: float) -> bool:
        inside = wall[0] - slack <= place and place + width <= wall[1] + slack
        holds = place <= equipment[0] + slack and place + width >= equipment[1] - slack
        return inside and holds and all(place + width <= a + slack or place >= b - slack for a, b in parts)

    if found is not None:
        assert free(found, 1e-8)
    else:
        assert not any(free(-1 + i * 0.01, -1e-6) for i in range(1300))


# --- input -----------------------------------------------------------------------------------------------------------


def with_lines(folder: Path, toml: str = "", panels: str = "") -> Path:
    write_starter(folder)
    text = (folder / "house.toml").read_text("utf-8")
    for block in toml.split("\n") if toml else []:
        section, _, line = block.partition(": ")
        assert text.count(f"[{section}]\n") == 1
        text = text.replace(f"[{section}]\n", f"[{section}]\n{line}\n")
    (folder / "house.toml").write_text(text, encoding="utf-8")
    if panels:
        (folder / "panels.csv").write_text(panels, encoding="utf-8")
    return folder


PANEL_HEAD = "id,name,room,side,offset_ft,feeder_length_ft,interrupting_kA\n"


@pytest.mark.parametrize(
    ("toml", "panels", "column", "value"),
    [
        ("service: available_fault_A = 0", "", "service.available_fault_A", "0"),
        ("service: available_fault_A = -5", "", "service.available_fault_A", "-5"),
        ("service: available_fault_A = 'plenty'", "", "service.available_fault_A", "plenty"),
        ("service: available_fault_at = 'pole'", "", "service.available_fault_at", "pole"),
        ("service: surge_protector = 'type 9'", "", "service.surge_protector", "type 9"),
        ("service: surge_nominal_kA = 0", "", "service.surge_nominal_kA", "0"),
        ("service: surge_nominal_kA = 900", "", "service.surge_nominal_kA", "900"),
        ("service: emergency_disconnect = 'roof'", "", "service.emergency_disconnect", "roof"),
        ("grounding: concrete_encased = 'perhaps'", "", "grounding.concrete_encased", "perhaps"),
        ("grounding: metal_water_pipe = 3", "", "grounding.metal_water_pipe", "3"),
        ("grounding: rods = -1", "", "grounding.rods", "-1"),
        ("grounding: rods = 2.5", "", "grounding.rods", "2.5"),
        ("grounding: rods = 99", "", "grounding.rods", "99"),
        ("grounding: rod_spacing_ft = '6 kg'", "", "grounding.rod_spacing_ft", "6 kg"),
        ("grounding: rod_resistance_ohm = -1", "", "grounding.rod_resistance_ohm", "-1"),
        ("grounding: rod_resistance_ohm = nan", "", "grounding.rod_resistance_ohm", "nan"),
        ("grounding: intersystem_terminals = 'three'", "", "grounding.intersystem_terminals", "three"),
        ("", PANEL_HEAD + "P1,Panel,utility,east,5,-1,\n", "feeder_length_ft", "-1"),
        ("", PANEL_HEAD + "P1,Panel,utility,east,5,6000,\n", "feeder_length_ft", "6000"),
        ("", PANEL_HEAD + "P1,Panel,utility,east,5,,0\n", "interrupting_kA", "0"),
        ("", PANEL_HEAD + "P1,Panel,utility,east,5,,10 miles\n", "interrupting_kA", "10 miles"),
    ],
)
def test_bad_input_is_told(toml: str, panels: str, column: str, value: str, tmp_path: Path) -> None:
    with pytest.raises(InputErrors) as caught:
        read_house(with_lines(tmp_path / "house", toml, panels))
    assert [(p.column, p.value) for p in caught.value.problems] == [(column, value)], caught.value
    assert caught.value.problems[0].allowed


def test_a_misspelt_entry_is_told_with_the_nearest(tmp_path: Path) -> None:
    with pytest.raises(InputErrors) as caught:
        read_house(with_lines(tmp_path / "house", "grounding: rodds = 2"))
    assert caught.value.problems[0].suggestion == "rods"


@pytest.mark.parametrize(
    ("toml", "part", "column", "value"),
    [
        ("service: available_fault_A = '9 kA'", "service_site", "available_fault_A", 9000.0),
        (
            "service: emergency_disconnect = 'Outside on house'",
            "service_site",
            "emergency_disconnect",
            "outside_on_house",
        ),
        ("service: surge_protector = 'Type 1'", "service_site", "surge_protector", "type 1"),
        ("grounding: rod_spacing_ft = '2 m'", "grounding", "rod_spacing_ft", 6.5616798),
        ("grounding: concrete_encased = 'no'", "grounding", "concrete_encased", False),
        ("grounding: rods = 0", "grounding", "rods", 0),
    ],
)
def test_what_a_person_may_type(toml: str, part: str, column: str, value: Any, tmp_path: Path) -> None:
    house = read_house(with_lines(tmp_path / "house", toml))
    got = getattr(getattr(house, part), column)
    assert got == (pytest.approx(value) if isinstance(value, float) else value)


def test_a_folder_without_the_section_reads_and_says_so(tmp_path: Path) -> None:
    write_starter(tmp_path / "house")
    path = tmp_path / "house" / "house.toml"
    head, _, rest = path.read_text("utf-8").partition("[grounding]")
    path.write_text(head + rest[rest.index("[water]") :], encoding="utf-8")
    house = read_house(tmp_path / "house")
    assert house.grounding == Grounding()
    assert not [a for a in house.assumptions if "grounding" in a.where], "blank means not known; nothing was taken"


@pytest.mark.parametrize("name", EXAMPLES)
def test_written_and_read_again(name: str, tmp_path: Path) -> None:
    house = example(name)
    write_house(house, tmp_path / "house")
    again = read_house(tmp_path / "house")
    assert (again.grounding, again.service_site, again.panels) == (house.grounding, house.service_site, house.panels)
