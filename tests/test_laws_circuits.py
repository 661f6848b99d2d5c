"""Laws of the step circuits: every outlet once, breakers carry loads, cables are protected, order does not matter."""

from __future__ import annotations

import dataclasses
import math
from collections import Counter
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.common import rules_equipment as equipment
from hpelec.common import rules_ratings as ratings
from hpelec.common.rules_overcurrent import breaker_protects
from hpelec.core.errors import EditionError, RangeError
from hpelec.core.findings import Verdict
from hpelec.house.model import House
from hpelec.house.read import read_house
from hpelec.house.rows import Panel, PlacedDevice
from hpelec.house.rows_loads import Appliance, Heater
from hpelec.house.write import write_starter
from hpelec.steps.circuits import rules, rules_cable
from hpelec.steps.circuits.design import design
from hpelec.steps.circuits.grouping import counts, spread
from hpelec.steps.circuits.model import CircuitsResult
from tests.adapters_circuits import devices_result, trial_devices


@cache
def starter() -> House:
    import tempfile
    from pathlib import Path

    folder = Path(tempfile.mkdtemp()) / "house"
    write_starter(folder)
    return read_house(folder)


def designed(house: House, edition: int = 2023) -> CircuitsResult:
    return design(house, edition, devices=trial_devices(house))


def with_heater(house: House, power_VA: float, kind: str, **more) -> House:
    heater = Heater(id="h", name="Heater", kind=kind, room="utility", power_VA=power_VA, **more)
    return house.changed(heaters=(heater,))


@given(st.floats(0.1, 6000), st.sampled_from([2017, 2020, 2023, 2026]))
def test_the_next_standard_rating_is_the_smallest_that_suffices(needed_A: float, edition: int) -> None:
    got = ratings.next_standard_A(needed_A, edition)
    assert got >= needed_A - 1e-9, f"{got} A does not carry {needed_A} A"
    smaller = [r for r in ratings.standard_ratings_A(edition) if r < got]
    assert not smaller or max(smaller) < needed_A, f"{max(smaller)} A would do for {needed_A} A"


@given(st.floats(0.1, 700), st.floats(0.1, 700), st.sampled_from([2, 3]))
def test_a_bigger_load_never_gets_a_smaller_cable(a: float, b: float, insulated: int) -> None:
    low, high = sorted((a, b))
    kcmil = {r.text("size"): r.number("area_kcmil") for r in rules_cable.copper_rows()} | {"": math.inf}
    small = rules_cable.choose_cable(low, ratings.next_standard_A(max(low, 15), 2023), insulated, 2023)
    large = rules_cable.choose_cable(high, ratings.next_standard_A(max(high, 15), 2023), insulated, 2023)
    assert kcmil[small.size] <= kcmil[large.size], f"{small.name} for {low} A but {large.name} for {high} A"


@given(st.floats(0.1, 400), st.booleans(), st.sampled_from([2017, 2023]))
def test_a_chosen_cable_carries_its_load_and_is_protected(needed_A: float, several: bool, edition: int) -> None:
    breaker_A = ratings.next_standard_A(max(needed_A, 15), edition)
    cable = rules_cable.choose_cable(needed_A, breaker_A, 2, edition, several_receptacles=several)
    assert cable.ampacity_A >= needed_A - 1e-9, f"{cable.name} carries {cable.ampacity_A} A, needed {needed_A} A"
    assert breaker_protects(breaker_A, cable.ampacity_A, cable.size, edition, several_receptacles=several)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_rules_refuse_what_is_no_load(bad: float) -> None:
    for call in (
        lambda: equipment.branch_minimum_A(bad, 1.25),
        lambda: equipment.range_branch_VA(bad),
        lambda: rules.general_circuits_min(bad, 15),
        lambda: equipment.hermetic_mca_A(bad, 0),
        lambda: equipment.appliance_most_A(bad, 2023),
    ):
        with pytest.raises(RangeError):
            call()


def test_an_unknown_edition_is_refused() -> None:
    with pytest.raises(EditionError):
        ratings.next_standard_A(20, 2019)
    with pytest.raises(EditionError):
        designed(starter(), 2019)


@given(st.floats(1, 26999), st.floats(1, 26999))
def test_the_branch_load_of_a_range_grows_and_stays_below_its_nameplate(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert equipment.range_branch_VA(low) <= equipment.range_branch_VA(high)
    assert equipment.range_branch_VA(high) <= high


@given(st.floats(1, 400))
def test_a_subdivided_heater_stays_within_48_A(current_A: float) -> None:
    parts = equipment.subdivisions(current_A)
    assert current_A / parts <= 48 + 1e-6
    assert parts == 1 or current_A / (parts - 1) > 48


@settings(max_examples=25, deadline=None)
@given(st.randoms(use_true_random=False))
def test_the_order_of_rows_does_not_matter(random) -> None:
    house = starter()

    def shuffled(rows):
        mixed = list(rows)
        random.shuffle(mixed)
        return tuple(mixed)

    parts = ("rooms", "appliances", "heaters", "panels", "lights", "fans")
    other = house.changed(**{p: shuffled(getattr(house, p)) for p in parts})
    devices = trial_devices(house)
    mixed = dataclasses.replace(devices, devices=shuffled(devices.devices))
    want, got = design(house, 2023, devices=devices), design(other, 2023, devices=mixed)
    assert {c.id: c for c in got.circuits} == {c.id: c for c in want.circuits}
    assert got.panels == want.panels


@settings(max_examples=20, deadline=None)
@given(st.floats(-500, 500), st.floats(-500, 500))
def test_a_house_drawn_elsewhere_has_the_same_circuits(dx: float, dy: float) -> None:
    house = starter()
    rooms = tuple(dataclasses.replace(r, x_ft=r.x_ft + dx, y_ft=r.y_ft + dy) for r in house.rooms)
    devices = trial_devices(house)
    moved = [dataclasses.replace(d, x_ft=d.x_ft + dx, y_ft=d.y_ft + dy) for d in devices.devices]
    got = design(house.changed(rooms=rooms), 2023, devices=devices_result(moved))
    want = design(house, 2023, devices=devices)
    assert {c.id: c.outlets for c in got.circuits} == {c.id: c.outlets for c in want.circuits}


def test_every_outlet_is_on_exactly_one_circuit() -> None:
    house = starter()
    devices = trial_devices(house)
    times = Counter(o for c in design(house, 2023, devices=devices).circuits if c.kind != "feeder" for o in c.outlets)
    assert {d.id: times[d.id] for d in devices.devices if times[d.id] != 1} == {}
    assert set(times) == {d.id for d in devices.devices}


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 20), st.floats(200, 9000))
def test_general_circuits_hold_to_both_limits(most: int, area_ft2: float) -> None:
    house = starter()
    general = dataclasses.replace(house.general, outlets_per_circuit=most, floor_area_ft2=area_ft2)
    house = house.changed(general=general)
    devices = trial_devices(house)
    kinds = {d.id: d for d in devices.devices}
    made = [c for c in design(house, 2023, devices=devices).circuits if c.kind in ("general", "lighting")]
    for circuit in made:
        outlets = counts([kinds[o] for o in circuit.outlets])
        assert outlets <= most, f"{circuit.id} has {outlets} outlets, at most {most} wanted"
        assert outlets > 0, f"{circuit.id} has no outlet"
    least = rules.general_circuits_min(area_ft2, 15)
    outlets = sum(counts([kinds[o] for o in c.outlets]) for c in made)
    assert len(made) >= min(least, outlets), f"{len(made)} circuits; {least} by area, {outlets} outlets"


@settings(max_examples=40, deadline=None)
@given(
    st.floats(300, 40000), st.sampled_from(["tankless", "storage", "heat_pump_storage"]), st.sampled_from([2017, 2023])
)
def test_breaker_and_cable_carry_a_water_heater(power_VA: float, kind: str, edition: int) -> None:
    house = with_heater(starter(), power_VA, kind, volume_gal=0.0 if kind == "tankless" else 50.0)
    result = designed(house, edition)
    mine = [c for c in result.circuits if c.id.startswith("own-h")]
    mine = [c for c in mine if c.id == "own-h" or c.id.startswith("own-h-")]
    assert sum(c.load_VA for c in mine) == pytest.approx(power_VA)
    for c in mine:
        factor = 1.0 if kind == "tankless" else 1.25
        assert c.breaker_A >= factor * c.load_VA / c.voltage_V - 1e-9
        if c.cable.startswith("NM-B"):
            ampacity_A = rules_cable.nm_ampacity_A(c.cable_size)
            assert ampacity_A >= factor * c.load_VA / c.voltage_V - 1e-9
            assert breaker_protects(c.breaker_A, ampacity_A, c.cable_size, edition, several_receptacles=False)
        if kind == "tankless":
            assert c.load_VA / c.voltage_V <= 48 + 1e-6


@settings(max_examples=30, deadline=None)
@given(st.floats(15, 80), st.floats(0, 80))
def test_the_nameplate_wins(mca_A: float, more_A: float) -> None:
    unit = Appliance(id="hp", name="Heat pump", kind="heat_pump", power_VA=2000, mca_A=mca_A, mocp_A=mca_A + more_A)
    result = designed(starter().changed(appliances=(unit,)))
    circuit = next(c for c in result.circuits if c.id == "own-hp")
    assert circuit.breaker_A >= mca_A - 1e-9
    fits = [r for r in ratings.standard_ratings_A(2023) if mca_A <= r <= mca_A + more_A]
    if fits:
        assert circuit.breaker_A == max(fits), f"{circuit.breaker_A} A for MCA {mca_A}, MOCP {mca_A + more_A}"


def test_exchanged_or_missing_nameplate_values_are_findings_not_errors() -> None:
    units = (
        Appliance(id="swapped", name="A", kind="heat_pump", power_VA=2000, mca_A=40, mocp_A=20),
        Appliance(id="only-mca", name="B", kind="heat_pump", power_VA=2000, mca_A=20),
        Appliance(id="only-mocp", name="C", kind="air_conditioner", power_VA=2000, mocp_A=30),
        Appliance(id="bare", name="D", kind="air_conditioner"),
        Appliance(id="huge", name="E", kind="other", power_VA=900000),
    )
    result = designed(starter().changed(appliances=units))
    told = {f.place: f.verdict for f in result.findings if f.id in ("nameplate", "load", "cable-kind")}
    assert told["swapped"] is Verdict.MISSES
    assert {told[k] for k in ("only-mca", "only-mocp", "bare", "huge")} == {Verdict.CANNOT_SAY}


def test_too_few_spaces_miss_and_enough_meet() -> None:
    house = starter()
    used = designed(house).panels[0].spaces_used
    for spaces, verdict in ((used, Verdict.MEETS), (used - 1, Verdict.MISSES)):
        panels = tuple(dataclasses.replace(p, spaces=spaces) for p in house.panels)
        found = [f for f in designed(house.changed(panels=panels)).findings if f.id == "panel-spaces"]
        assert [f.verdict for f in found] == [verdict], f"{spaces} spaces for {used}: {found}"


def test_large_and_small_loads_go_to_their_panels_and_a_feeder_joins_them() -> None:
    house = starter()
    first = house.panels[0]
    large = dataclasses.replace(first, id="PL", takes="large")
    small = Panel(
        id="PS", name="Small", room=first.room, side=first.side, offset_ft=1, rating_A=100, fed_from="PL", takes="small"
    )
    result = designed(house.changed(panels=(small, large)))
    for c in result.circuits:
        if c.kind == "feeder":
            assert (c.panel, c.outlets, c.breaker_A) == ("PL", ("PS",), 100)
        else:
            assert c.panel == ("PL" if c.breaker_A > 30 or c.voltage_V > 120 else "PS"), c
    assert sum(c.kind == "feeder" for c in result.circuits) == 1
    total = sum(c.load_VA for c in result.circuits if c.kind != "feeder")
    assert next(p for p in result.panels if p.panel == "PL").load_VA == pytest.approx(total)


def test_two_circuits_reach_the_counters_and_a_pinned_device_keeps_its_circuit() -> None:
    house = starter()
    devices = trial_devices(house)
    counters = {d.id for d in devices.devices if d.kind == "counter_receptacle"}
    feeding = {c.id for c in design(house, 2023, devices=devices).circuits if counters & set(c.outlets)}
    assert len(feeding) >= 2, f"counters only on {feeding}"
    some = next(d for d in devices.devices if d.room == "bedroom" and d.kind == "receptacle")
    pin = PlacedDevice(id=some.id, room="bedroom", kind="receptacle", side="south", offset_ft=1, circuit="quiet")
    result = design(house.changed(placed_devices=(pin,)), 2023, devices=devices)
    assert [c.id for c in result.circuits if some.id in c.outlets] == ["quiet"]


def test_missing_required_outlets_are_told() -> None:
    house = starter()
    none = design(house, 2023, devices=devices_result([]))
    missed = {f.id for f in none.findings if f.verdict is Verdict.MISSES}
    assert {"required-small-appliance", "required-laundry", "required-bathroom", "general-circuits"} <= missed


@settings(max_examples=60)
@given(st.lists(st.integers(1, 6), min_size=1, max_size=8), st.integers(1, 8))
def test_the_spread_of_rooms_is_the_best_of_all_cuts(sizes: list[int], parts: int) -> None:
    from itertools import combinations, pairwise

    from hpelec.steps.circuits.grouping import Block
    from tests.adapters_circuits import spot

    blocks = [
        Block("l", (i, 0), str(i), tuple(spot(f"{i}-{k}", "r", "l", "receptacle", (0, 0), "") for k in range(n)))
        for i, n in enumerate(sizes)
    ]
    got = spread(blocks, parts, 1000)
    if parts > len(sizes):
        assert got is None
        return
    assert got is not None
    worst = max(sum(counts(b.devices) for b in group) for group in got)
    cuts = [(0, *c, len(sizes)) for c in combinations(range(1, len(sizes)), parts - 1)]
    best = min(max(sum(sizes[a:b]) for a, b in pairwise(c)) for c in cuts)
    assert worst == best, f"{sizes} in {parts}: largest {worst}, best {best}"
