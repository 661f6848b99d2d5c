"""Laws of what stands beside the house: other buildings, dwellings, set points, records; and their bad input."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.common.rules_set_points import rating_with_set_point_A
from hpelec.core.editions import EDITIONS
from hpelec.core.errors import EditionError, InputErrors, RangeError
from hpelec.core.findings import Verdict
from hpelec.house.check import check
from hpelec.house.model import House
from hpelec.house.read import read_house
from hpelec.house.rows_loads import Appliance
from hpelec.house.sections_power import DWELLING, Measured
from hpelec.house.write import write_house
from hpelec.plan import design as design_all
from hpelec.steps.loads import rules_more
from hpelec.steps.loads.design import design
from hpelec.steps.loads.methods import rated_VA
from hpelec.steps.loads.model import LoadsResult
from tests.adapters_loads import appliance, method
from tests.adapters_loads_methods import alike, estate
from tests.houses import EXAMPLES, example, planned
from tests.test_bad_input import Bad, Edit, add, bad, both, cell, entry, read_with

QUICK = settings(max_examples=40, deadline=None)
editions = st.sampled_from(EDITIONS)
KINDS = ("range", "dryer", "dishwasher", "other", "heat_pump", "air_conditioner", "room_heater", "pump", "workshop")
PLACES = ("", "adu", "shed")


@st.composite
def appliances(draw: st.DrawFn, most: int = 7, name: str = "a") -> list[Appliance]:
    """Appliances in the house, in a second dwelling and in a shed; some within a set point of their building."""
    made = []
    for i in range(draw(st.integers(0, most))):
        place = draw(st.sampled_from(PLACES))
        kind = draw(st.sampled_from((*KINDS, "vehicle_charger")))
        made.append(
            appliance(
                kind,
                id=f"{name}{i}",
                power_VA=float(draw(st.integers(1, 12000))),
                voltage_V=draw(st.sampled_from((120.0, 240.0))),
                fastened_in_place=draw(st.booleans()),
                motor=draw(st.booleans()),
                managed_by=draw(st.sampled_from(("", "", f"m-{place}"))),
                interlock=draw(st.sampled_from(("", "", "", "x"))),
                quantity=draw(st.sampled_from((1, 1, 1, 2))) if kind not in ("range", "dryer") else 1,
                status=draw(st.sampled_from(("new", "existing"))),
                building=place,
            )
        )
    return made


@st.composite
def estates(draw: st.DrawFn) -> House:
    """A house with a second dwelling and a shed on its service, a set point for each, and a record of its demand."""
    made = estate(
        floor_area_ft2=float(draw(st.integers(500, 4000))),
        project=draw(st.sampled_from(("new", "existing"))),
        voltage_V=draw(st.sampled_from((240.0, 208.0))),
        existing_service_A=200.0,
        buildings=[
            {
                "id": "adu",
                "kind": "second_dwelling",
                "floor_area_ft2": float(draw(st.integers(200, 2000))),
                "status": draw(st.sampled_from(("new", "existing"))),
            },
            {
                "id": "shed",
                "kind": "workshop",
                "receptacle_yokes": draw(st.integers(0, 12)),
                "lighting_VA": float(draw(st.integers(0, 900))),
                "status": draw(st.sampled_from(("new", "existing"))),
            },
        ],
        managements=[
            {
                "id": f"m-{place}",
                "kind": draw(st.sampled_from(("group", "service"))),
                "setpoint_A": float(draw(st.integers(5, 150))),
                "restricted_access": draw(st.booleans()),
            }
            for place in PLACES
        ],
        measured={"peak_VA": float(draw(st.integers(500, 15000))), "period_days": 365, "interval_min": 15},
    )
    if draw(st.booleans()):
        made = made.changed(buildings=made.buildings[1:])
    rows = draw(appliances())
    known = {"", *(b.id for b in made.buildings)}
    return made.changed(appliances=tuple(row for row in rows if row.building in known))


def rated(result: LoadsResult) -> dict[str, float]:
    """What each method asks of a rating [VA], and each building's feeder by its methods."""
    made = {m.method: rated_VA(m.demand_VA, m.demand_A, m.managed_A) for m in result.methods if m.applies}
    for b in result.buildings:
        for m in b.methods:
            if m.applies:
                made[f"{b.id}: {m.method}"] = rated_VA(m.demand_VA, m.demand_A, m.managed_A)
    return made


def ids(result: LoadsResult) -> set[str]:
    return {f.id for f in result.findings}


def told(of: House) -> str:
    rows = [(a.id, a.kind, a.power_VA, a.voltage_V, a.building, a.managed_by, a.status) for a in of.appliances]
    return f"{of.general.floor_area_ft2} ft2, {rows}, {of.buildings}, {of.energy_managements}"


# Sums, order, more load ------------------------------------------------------------------------------------------


@QUICK
@given(estates(), editions)
def test_every_sheet_is_the_sum_of_its_lines(of: House, edition: int) -> None:
    assert not check(of), "the strategy must make good houses"
    result = design(of, edition)
    for made in (*result.methods, *(m for b in result.buildings for m in b.methods)):
        assert math.isclose(sum(e.demand_VA for e in made.lines), made.demand_VA, abs_tol=1e-6), told(of)
        assert abs(made.rounded_A - made.demand_A) <= 0.5, f"{made.rounded_A} for {made.demand_A}"
        assert 0 <= made.managed_A <= made.demand_A + 1e-9, f"{made.method}: {made.managed_A} in {made.demand_A}"
    lowest_VA = min(VA for name, VA in rated(result).items() if ":" not in name)
    chosen = method(result, result.chosen)
    assert math.isclose(rated_VA(chosen.demand_VA, chosen.demand_A, chosen.managed_A), lowest_VA)


@QUICK
@given(estates(), editions, st.randoms())
def test_the_order_of_rows_and_tables_never_matters(of: House, edition: int, dice: Any) -> None:
    parts = {name: list(getattr(of, name)) for name in ("appliances", "buildings", "energy_managements")}
    for part in parts.values():
        dice.shuffle(part)
    assert design(of.changed(**{k: tuple(v) for k, v in parts.items()}), edition) == design(of, edition), told(of)


@settings(max_examples=120, deadline=None)
@given(estates(), appliances(most=1, name="more"), editions)
def test_one_more_appliance_anywhere_never_lowers_a_load(of: House, more: list[Appliance], edition: int) -> None:
    known = {"", *(b.id for b in of.buildings)}
    after = of.changed(appliances=(*of.appliances, *(row for row in more if row.building in known)))
    old, new = rated(design(of, edition)), rated(design(after, edition))
    for name, VA in old.items():
        if new[name] < VA - 1e-6:
            assert "fixed-appliance-step" in ids(design(after, edition)), (
                f"{name} falls from {VA} to {new[name]} and no finding says so: {told(after)}"
            )


@QUICK
@given(estates(), editions, st.integers(1, 10), st.integers(1, 500))
def test_more_receptacles_and_lighting_never_lower_a_load(of: House, edition: int, yokes: int, more_VA: int) -> None:
    grown = tuple(
        replace(b, receptacle_yokes=b.receptacle_yokes + yokes, lighting_VA=b.lighting_VA + more_VA)
        if b.kind != DWELLING
        else b
        for b in of.buildings
    )
    # With yokes in the building, what is plugged in counts by its yoke: only houses without such rows are compared.
    fixed = of.changed(appliances=tuple(replace(a, fastened_in_place=True) for a in of.appliances))
    old, new = rated(design(fixed, edition)), rated(design(fixed.changed(buildings=grown), edition))
    assert all(new[name] >= VA - 1e-6 for name, VA in old.items()), told(of)


# Other buildings -------------------------------------------------------------------------------------------------


@QUICK
@given(estates(), editions)
def test_an_outbuilding_counts_once_and_only_by_its_feeder(of: House, edition: int) -> None:
    """Every method that counts it grows by exactly the load of its feeder, and by none of its rows."""
    alone = of.changed(energy_managements=(), measured=Measured())
    without = alone.changed(
        buildings=tuple(b for b in alone.buildings if b.id != "shed"),
        appliances=tuple(a for a in alone.appliances if a.building != "shed"),
    )
    with_it, none = design(alone, edition), design(without, edition)
    shed = next(b for b in with_it.buildings if b.id == "shed")
    assert shed.service_VA == shed.demand_VA
    rows = {a.id for a in alone.appliances if a.building == "shed"}
    for made in with_it.methods:
        if made.applies:
            grows_VA = made.demand_VA - method(none, made.method).demand_VA
            assert math.isclose(grows_VA, shed.demand_VA, abs_tol=1e-6), f"{made.method}: {grows_VA}; {told(alone)}"
            assert not rows & {e.id for e in made.lines}, f"{made.method} counts a row of the shed again"
    assert math.isclose(with_it.neutral_VA - none.neutral_VA, shed.neutral_VA, abs_tol=1e-6), told(alone)


@QUICK
@given(estates(), editions)
def test_every_row_stands_once_in_a_sheet(of: House, edition: int) -> None:
    for made in design(of, edition).methods:
        # One of several alike that an interlock holds off has a line of its own, without demand.
        names = [e.id for e in made.lines if "held off" not in e.remark]
        assert len(names) == len(set(names)), f"{made.method}: {sorted(n for n in names if names.count(n) > 1)}"


@QUICK
@given(estates(), editions)
def test_two_dwellings_together_never_exceed_their_own_feeders(of: House, edition: int) -> None:
    alone = of.changed(energy_managements=(), buildings=tuple(b for b in of.buildings if b.id == "adu"))
    if not alone.buildings:
        return
    rows = tuple(a for a in of.appliances if a.building != "shed")
    together = design(alone.changed(appliances=rows), edition)
    own = design(alone.changed(buildings=(), appliances=tuple(a for a in rows if not a.building)), edition)
    apart_VA = method(own, "standard").demand_VA + together.buildings[0].methods[0].demand_VA
    assert method(together, "standard").demand_VA <= apart_VA + 1e-6, told(alone)


def test_two_dwellings_refuse_the_method_for_one() -> None:
    of = estate(buildings=alike(1, floor_area_ft2=800.0), project="existing")
    result = design(of, 2023)
    for name in ("optional", "existing"):
        assert not method(result, name).applies
        assert "one dwelling only" in method(result, name).why
    assert "has not both" in method(result, "dwellings").why
    # Alone: house 9000 VA; second dwelling 800 x 3 + 4500 = 6900 VA; neither reaches the first 10 kVA.
    assert "9,000 + 6,900 = 15,900 VA" in next(f.got for f in result.findings if f.id == "optional-results-added")


def test_unequal_dwellings_are_told() -> None:
    def pair(area_ft2: float) -> LoadsResult:
        rows = [
            {"id": f"{kind}-{n}", "kind": kind, "power_VA": 9000.0, "building": place}
            for n, place in enumerate(("", "unit01"))
            for kind in ("range", "heat_pump")
        ]
        return design(estate(appliances=rows, buildings=alike(1, floor_area_ft2=area_ft2)), 2023)

    assert "unequal-dwellings" not in ids(pair(1500.0))
    unequal = pair(900.0)
    assert "unequal-dwellings" in ids(unequal)
    # The larger has 4500 + 4500 + 9000 + 9000 = 27,000 VA; three of it at 45 percent.
    assert method(unequal, "dwellings").demand_VA == pytest.approx(3 * 27000 * 0.45)


def test_three_dwellings_take_their_own_sum() -> None:
    rows = [
        {"id": f"{kind}-{n}", "kind": kind, "power_VA": 9000.0, "building": place}
        for n, place in enumerate(("", "unit01", "unit02"))
        for kind in ("range", "heat_pump")
    ]
    of = estate(appliances=rows, buildings=alike(2, floor_area_ft2=900.0))
    made = method(design(of, 2023), "dwellings")
    assert made.demand_VA == pytest.approx((27000 + 2 * 25200) * 0.45)


def test_a_feeder_that_is_too_small_is_told() -> None:
    shed = {"id": "shed", "kind": "barn", "lighting_VA": 4800.0}
    verdicts = [
        next(f.verdict for f in design(estate(buildings=[{**shed, "feeder_rating_A": A}]), 2023).findings
             if f.id == "building-feeder")
        for A in (15.0, 20.0)
    ]  # fmt: skip
    assert verdicts == [Verdict.MISSES, Verdict.MEETS], "20 A at 240 V is 4800 VA exactly: equal carries"


def test_a_building_without_load_is_told() -> None:
    assert "building-empty" in ids(design(estate(buildings=[{"id": "shed", "kind": "shed"}]), 2023))


def test_what_is_plugged_in_counts_by_its_yoke() -> None:
    freezer = {"kind": "freezer", "power_VA": 500.0, "voltage_V": 120.0, "fastened_in_place": False, "building": "shed"}
    loads = [
        design(
            estate(appliances=[freezer], buildings=[{"id": "shed", "kind": "garage", "receptacle_yokes": n}]), 2023
        ).buildings[0].demand_VA
        for n in (0, 2)
    ]  # fmt: skip
    assert loads == [500.0, 360.0]


def test_fixed_appliances_of_an_outbuilding_count_in_full() -> None:
    rows = [{"id": f"a{i}", "kind": "other", "power_VA": 1000.0, "building": "shed"} for i in range(5)]
    assert (
        design(estate(appliances=rows, buildings=[{"id": "shed", "kind": "barn"}]), 2023).buildings[0].demand_VA == 5000
    )


@pytest.mark.parametrize("rating_A", [60.0, 100.0])
def test_the_optional_method_of_a_second_dwelling_needs_100_A(rating_A: float) -> None:
    of = estate(buildings=alike(1, floor_area_ft2=900.0, feeder_rating_A=rating_A))
    assert design(of, 2023).buildings[0].methods[1].applies == (rating_A >= 100)


# Set points ------------------------------------------------------------------------------------------------------


@QUICK
@given(estates(), editions)
def test_a_set_point_never_raises_what_a_rating_must_carry(of: House, edition: int) -> None:
    with_it, without = rated(design(of, edition)), rated(design(of.changed(energy_managements=()), edition))
    for name, VA in with_it.items():
        assert without[name] + 1e-6 >= VA, f"{name}: {VA} with, {without[name]} without; {told(of)}"


@QUICK
@given(estates(), st.sampled_from((2017, 2020)))
def test_editions_before_2023_admit_no_set_point(of: House, edition: int) -> None:
    assert rated(design(of, edition)) == rated(design(of.changed(energy_managements=()), edition))
    assert design(of, edition).managed_continuous_A == 0


@QUICK
@given(estates(), editions)
def test_a_set_point_without_restricted_access_changes_no_load(of: House, edition: int) -> None:
    open_ = tuple(replace(m, restricted_access=False) for m in of.energy_managements)
    result = design(of.changed(energy_managements=open_), edition)
    assert rated(result) == rated(design(of.changed(energy_managements=()), edition))


@QUICK
@given(estates(), editions, st.integers(1, 100))
def test_a_higher_set_point_never_lowers_a_load(of: House, edition: int, by_A: int) -> None:
    higher = tuple(replace(m, setpoint_A=m.setpoint_A + by_A) for m in of.energy_managements)
    old, new = rated(design(of, edition)), rated(design(of.changed(energy_managements=higher), edition))
    assert all(new[name] >= VA - 1e-6 for name, VA in old.items()), told(of)


def managed(setpoint_A: float, **more: Any) -> House:
    rows = [{"id": f"c{i}", "kind": "vehicle_charger", "power_VA": 11520.0, "managed_by": "m"} for i in (1, 2)]
    management = {"id": "m", "setpoint_A": setpoint_A, "restricted_access": True, **more}
    return estate(appliances=rows, managements=[management], load_method="standard")


def test_a_set_point_stands_for_its_loads_and_is_continuous() -> None:
    result = design(managed(40.0), 2023)
    assert result.design_VA == 5100 + 40 * 240
    assert result.managed_continuous_A == 40.0
    assert "set-point-rating" in ids(result)
    open_ = design(managed(40.0, restricted_access=False), 2023)
    assert open_.design_VA == 5100 + 2 * 11520
    got = [f.got for f in open_.findings if f.id == "energy-management"]
    assert "not restricted" in got[0]


def test_a_set_point_above_its_loads_is_not_used() -> None:
    result = design(managed(200.0), 2023)
    assert (result.design_VA, result.managed_continuous_A) == (5100 + 2 * 11520, 0.0)
    assert "would not lower" in next(f.got for f in result.findings if f.id == "energy-management")


def test_what_a_service_set_point_governs_still_draws_its_least() -> None:
    held = [design(managed(30.0, kind="service", minimum_A=least_A), 2026).design_VA for least_A in (0.0, 12.0)]
    # Lighting block by 2 VA/ft2: 3000 + 4500 = 7500 -> 3000 + 0.35 x 4500 = 4575; with 12 A x 240 V at the least: 7455.
    assert held == [7200.0, 7455.0]


def test_the_service_holds_125_percent_of_a_set_point() -> None:
    """80 A exactly, of which 80 A is the set point: 100 A carries it, and one ampere more does not."""
    ratings = []
    for set_A in (80.0, 81.0):
        rows = [{"kind": "vehicle_charger", "power_VA": 40000.0, "managed_by": "m"}]
        of = estate(
            appliances=rows,
            managements=[{"id": "m", "kind": "service", "setpoint_A": set_A, "restricted_access": True}],
        )
        plan = design_all(of, 2023, only=("service",))
        ratings.append((plan.service.design_A, plan.service.rating_A))
    assert ratings == [(100.0, 100.0), (101.25, 150.0)]


# Vehicle chargers ------------------------------------------------------------------------------------------------


@QUICK
@given(st.integers(6, 48), editions)
def test_a_set_charger_counts_its_setting(set_A: int, edition: int) -> None:
    row = {"kind": "vehicle_charger", "power_VA": 11520.0}
    made = [
        {e.id: e.demand_VA for e in method(design(estate(appliances=[{**row, **s}]), edition), "standard").lines}
        for s in ({"set_A": float(set_A)}, {"power_VA": set_A * 240.0})
    ]
    assert made[0] == made[1], f"set to {set_A} A and of {set_A} A count alike"
    least_VA = 7200 if edition == 2023 else 0
    assert made[0]["vehicle_charger"] == max(set_A * 240.0, least_VA)


def test_a_setting_is_told() -> None:
    result = design(estate(appliances=[{"kind": "vehicle_charger", "power_VA": 11520.0, "set_A": 24.0}]), 2023)
    found = [f for f in result.findings if f.id == "charger-setting"]
    assert "the least of this edition" in found[0].got


# Records ---------------------------------------------------------------------------------------------------------

SHORT = {
    "peak_A": 50.0, "period_days": 30, "interval_min": 15.0, "highest_line": True, "occupied": True, "hvac_ran": True,
    "sources_or_shaving": False,
}  # fmt: skip


def recorded(record: dict[str, Any], **more: Any) -> LoadsResult:
    return design(estate(**{"project": "existing", "existing_service_A": 100.0, "measured": record, **more}), 2023)


def test_a_short_record_with_all_conditions_stands_for_the_load() -> None:
    assert method(recorded(SHORT), "measured").demand_A == 62.5


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"period_days": 29}, "neither a year nor 30 days"),
        ({"period_days": 364, "interval_min": 60.0}, "more than 15 minutes"),
        ({"period_days": None}, "length of the record is not told"),
        ({"interval_min": None}, "interval is not told"),
        ({"highest_line": False}, "highest-loaded line"),
        ({"highest_line": None}, "highest-loaded line"),
        ({"occupied": None}, "must be occupied"),
        ({"hvac_ran": None}, "season"),
        ({"hvac_ran": False}, "season"),
        ({"sources_or_shaving": True}, "barred"),
        ({"sources_or_shaving": None}, "not told whether a source"),
    ],
)
def test_a_record_whose_conditions_are_not_met_is_refused_with_the_reason(change: dict[str, Any], says: str) -> None:
    result = recorded({**SHORT, **change})
    made = method(result, "measured")
    assert not made.applies
    assert says in made.why
    assert [f.verdict for f in result.findings if f.id == "measured-record"] == [Verdict.CANNOT_SAY]


def test_solar_that_stands_bars_a_short_record_but_not_a_year() -> None:
    solar = {"appliances": [{"kind": "solar", "power_VA": 5000.0, "status": "existing"}]}
    assert "barred" in method(recorded(SHORT, **solar), "measured").why
    year = recorded({**SHORT, "period_days": 365, "sources_or_shaving": None}, **solar)
    assert method(year, "measured").applies
    assert "measured-sources" in ids(year)


def test_the_season_that_did_not_run_is_added() -> None:
    standing = {
        "appliances": [
            {"kind": "air_conditioner", "power_VA": 3000.0, "status": "existing"},
            {"kind": "furnace", "power_VA": 8000.0, "status": "existing"},
        ]
    }
    record = {**SHORT, "hvac_ran": False}
    assert method(recorded(record, **standing), "measured").demand_VA == 1.25 * 12000 + 8000
    assert method(recorded({**record, "seasonal_VA": 2000.0}), "measured").demand_VA == 1.25 * 12000 + 2000
    assert method(recorded(SHORT, **standing), "measured").demand_VA == 1.25 * 12000


def test_a_record_is_for_an_existing_dwelling_only() -> None:
    assert not method(design(estate(measured=SHORT), 2023), "measured").applies


@pytest.mark.parametrize(("stands_A", "verdict"), [(62.5, Verdict.MEETS), (62.4, Verdict.MISSES)])
def test_a_record_equal_to_the_service_passes(stands_A: float, verdict: Verdict) -> None:
    result = recorded(SHORT, existing_service_A=stands_A, load_method="measured")
    assert [f.verdict for f in result.findings if f.id == "measured-fits"] == [verdict]


@QUICK
@given(estates(), editions, st.integers(1, 5000))
def test_a_larger_peak_never_lowers_the_load(of: House, edition: int, by_VA: int) -> None:
    peak_VA = of.measured.peak_VA or 0.0
    after = of.changed(measured=replace(of.measured, peak_VA=peak_VA + by_VA))
    old, new = rated(design(of, edition)), rated(design(after, edition))
    assert ("measured" in old) == (of.general.project == "existing")
    if "measured" in old:
        assert new["measured"] >= old["measured"] + 1.25 * by_VA - 1e-6


@QUICK
@given(estates(), editions)
def test_an_existing_load_is_in_the_record_already(of: House, edition: int) -> None:
    """Rows that stand add nothing to the measured method, wherever they are; those of a new building are new."""
    if of.general.project != "existing":
        return
    standing = of.changed(
        appliances=tuple(replace(a, status="existing") for a in of.appliances),
        buildings=tuple(replace(b, status="existing") for b in of.buildings),
    )
    made = method(design(standing, edition), "measured")
    assert math.isclose(made.demand_VA, 1.25 * (of.measured.peak_VA or 0.0)), told(of)


# Readings --------------------------------------------------------------------------------------------------------


def test_a_smaller_air_conditioner_beside_a_larger_motor_is_told_from_2020() -> None:
    rows = [
        {"kind": "furnace", "power_VA": 10000.0},
        {"kind": "air_conditioner", "power_VA": 9000.0},
        {"kind": "pump", "power_VA": 9600.0},
    ]
    found = {e: "smaller-motor" in ids(design(estate(appliances=rows), e)) for e in EDITIONS}
    assert found == {2017: False, 2020: True, 2023: True, 2026: True}
    alone = design(estate(appliances=rows[:2]), 2023)
    assert "smaller-motor" not in ids(alone), "its own addition is in the sum already"


def test_a_cooktop_and_ovens_of_a_room_are_told_as_one_range() -> None:
    rows = [
        {"kind": "cooktop", "power_VA": 7200.0, "room": "kitchen"},
        {"kind": "wall_oven", "power_VA": 2400.0, "room": "kitchen", "quantity": 2},
    ]
    found = [f.got for f in design(estate(appliances=rows), 2023).findings if f.id == "one-cooking-circuit"]
    assert "12 kW as one range: 8 kW, 33.3 A" in found[0]


def test_both_readings_of_mixed_cooking_are_told() -> None:
    rows = [{"kind": k, "power_VA": VA} for k, VA in (("range", 10000.0), ("cooktop", 3000.0))]
    found = [f for f in design(estate(appliances=rows), 2023).findings if f.id == "cooking-reading"]
    assert "10,400 VA; all by column C: 11,000 VA" in found[0].got
    assert found[0].verdict is Verdict.MEETS


def test_the_count_of_all_is_told_for_columns_A_and_B() -> None:
    rows = [{"kind": "cooktop", "power_VA": 7200.0}, {"kind": "wall_oven", "power_VA": 2400.0, "quantity": 2}]
    found = [f for f in design(estate(appliances=rows), 2023).findings if f.id == "cooking-reading"]
    assert "added: 9,360 VA" in found[0].got
    assert "count of both: 7,320 VA" in found[0].got
    assert found[0].verdict is Verdict.CANNOT_SAY


def test_a_charger_among_the_fixed_appliances_is_told_before_2023() -> None:
    rows = [{"id": f"a{i}", "kind": "other", "power_VA": 2000.0} for i in range(3)]
    rows.append({"id": "c", "kind": "vehicle_charger", "power_VA": 8000.0})
    for edition, says in ((2020, "3,500 VA less"), (2023, "")):  # a quarter of 6000 + 8000
        got = [f.got for f in design(estate(appliances=rows, load_method="standard"), edition).findings
               if f.id == "charger-as-fixed"]  # fmt: skip
        assert bool(got) == bool(says), f"edition {edition}: {got}"
        assert not says or says in got[0]


# Through the whole plan ------------------------------------------------------------------------------------------


def test_the_example_houses_show_the_new_inputs() -> None:
    assert [b.id for n in EXAMPLES for b in planned(n).loads.buildings] == ["shed"]
    assert [planned(n).loads.managed_continuous_A > 0 for n in EXAMPLES].count(True) == 1
    assert [method(planned(n).loads, "measured").applies for n in EXAMPLES].count(True) == 1


@pytest.mark.parametrize("name", EXAMPLES)
def test_buildings_set_points_and_records_are_written_and_read_back(name: str, tmp_path: Path) -> None:
    house = example(name)
    write_house(house, tmp_path)
    back = read_house(tmp_path)
    for part in ("buildings", "energy_managements", "measured", "appliances", "heaters"):
        assert getattr(back, part) == getattr(house, part), part


def test_a_building_is_one_feeder_at_the_panel_and_nothing_else() -> None:
    plan = planned("saltreed-bend")
    feeders = [c for c in plan.circuits.circuits if c.kind == "feeder"]
    assert [(c.id, c.panel, c.load_VA) for c in feeders] == [("feeder-shed", "P1", plan.loads.buildings[0].demand_VA)]
    rows = {a.id for a in plan.house.appliances if a.building}
    assert not [d for d in plan.devices.devices if d.serves in rows]
    assert not [c for c in plan.circuits.circuits if c.id.removeprefix("own-") in rows]
    assert sum(p.load_VA for p in plan.circuits.panels) == pytest.approx(sum(c.load_VA for c in plan.circuits.circuits))


def test_a_house_without_buildings_needs_no_loads_for_its_circuits() -> None:
    house = example("copperfen-row")
    assert design_all(house, only=("circuits",)).circuits == planned("copperfen-row").circuits


# Limits and bad input --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("wrong", [math.nan, math.inf, -math.inf, -1.0])
def test_rules_refuse_what_is_no_load(wrong: float) -> None:
    for call in (
        lambda: rules_more.two_dwellings_VA(wrong),
        lambda: rules_more.receptacle_yokes_VA(wrong),
        lambda: rules_more.charger_setting_VA(wrong, 240.0),
        lambda: rules_more.charger_setting_VA(24.0, wrong),
        lambda: rules_more.set_point_VA(wrong, 240.0, 2023),
        lambda: rules_more.set_point_VA(24.0, wrong, 2023),
        lambda: rules_more.held_load_VA(wrong, 0.0, 0.0),
        lambda: rules_more.held_load_VA(1.0, wrong, 0.0),
        lambda: rules_more.held_load_VA(1.0, 0.0, wrong),
        lambda: rules_more.measured_existing_VA(wrong),
        lambda: rules_more.measured_fits(wrong, 100.0),
        lambda: rules_more.measured_fits(100.0, wrong),
        lambda: rules_more.record_refused(365, wrong),
        lambda: rules_more.cooktop_with_ovens_kW(wrong, (2.0,)),
        lambda: rules_more.cooktop_with_ovens_kW(2.0, (wrong,)),
        lambda: rating_with_set_point_A(wrong, 0.0),
        lambda: rating_with_set_point_A(10.0, wrong),
    ):
        with pytest.raises(RangeError):
            call()


def test_rules_refuse_counts_outside_their_range() -> None:
    for call in (
        lambda: rules_more.dwellings_percent(2),
        lambda: rules_more.building_disconnect_A(False, 0),
        lambda: rules_more.record_refused(0, 15.0),
        lambda: rules_more.cooktop_with_ovens_kW(5.0, ()),
        lambda: rules_more.cooktop_with_ovens_kW(5.0, (3.0, 3.0, 3.0)),
        lambda: rating_with_set_point_A(10.0, 11.0),
    ):
        with pytest.raises(RangeError):
            call()
    for edition in (2017, 2020):
        with pytest.raises(EditionError):
            rules_more.set_point_VA(24.0, 240.0, edition)


TOML = "house.toml"
SHED = '[[buildings]]\nid = "shed"\nname = "Shed"\nkind = "shed"\n'
ADU = '[[buildings]]\nid = "adu"\nname = "Second dwelling"\nkind = "second_dwelling"\nfloor_area_ft2 = 600\n'
CONTROL = '[[energy_managements]]\nid = "box"\nsetpoint_A = 30\n'
RANGE, DRYER = "range", "dryer"
BAD_CASES: dict[str, tuple[Edit, list[Bad]]] = {
    "unknown building of an appliance": (
        both(add(TOML, SHED), cell("appliances.csv", "heatpump", "building", "shet")),
        [bad("appliances.csv", 5, "building", "no such id in buildings", "'shed'")],
    ),
    "building named and none described": (
        cell("appliances.csv", "heatpump", "building", "barn"),
        [bad("appliances.csv", 5, "building", "add a row to buildings")],
    ),
    "a room of the house and another building": (
        both(add(TOML, SHED), cell("appliances.csv", DRYER, "building", "shed")),
        [bad("appliances.csv", 4, "room", "stands in another building")],
    ),
    "a water heater nowhere": (
        cell("heaters.csv", "tank", "room", ""),
        [bad("heaters.csv", 2, "room", "a room is needed")],
    ),
    "a building of no kind": (
        add(TOML, SHED.replace('"shed"\n', '"sched"\n').replace('id = "sched"', 'id = "shed"')),
        [bad(TOML, None, "buildings 1.kind", "not one of the words allowed", "'shed'")],
    ),
    "two buildings of one id": (
        add(TOML, SHED, SHED),
        [bad(TOML, None, "buildings 2.id", "stands already")],
    ),
    "a second dwelling without its area": (
        add(TOML, ADU.replace("floor_area_ft2 = 600\n", "")),
        [bad(TOML, None, "buildings.floor_area_ft2", "calculated by its floor area")],
    ),
    "small-appliance circuits in a shed": (
        add(TOML, SHED + "small_appliance_circuits = 2"),
        [bad(TOML, None, "buildings.small_appliance_circuits", "only a dwelling")],
    ),
    "one small-appliance circuit in a dwelling": (
        add(TOML, ADU + "small_appliance_circuits = 1"),
        [bad(TOML, None, "buildings 1.small_appliance_circuits", "outside the limits", ">= 2")],
    ),
    "receptacles below none": (
        add(TOML, SHED + "receptacle_yokes = -1"),
        [bad(TOML, None, "buildings 1.receptacle_yokes", "outside the limits")],
    ),
    "half a receptacle": (
        add(TOML, SHED + "receptacle_yokes = 2.5"),
        [bad(TOML, None, "buildings 1.receptacle_yokes", "not a whole number")],
    ),
    "lighting that is no number": (
        add(TOML, SHED + 'lighting_VA = "bright"'),
        [bad(TOML, None, "buildings 1.lighting_VA", "not a number")],
    ),
    "a feeder of no length": (
        add(TOML, SHED + "feeder_length_ft = 0"),
        [bad(TOML, None, "buildings 1.feeder_length_ft", "outside the limits")],
    ),
    "a feeder of no rating": (
        add(TOML, SHED + "feeder_rating_A = 0"),
        [bad(TOML, None, "buildings 1.feeder_rating_A", "outside the limits")],
    ),
    "no circuits in a building": (
        add(TOML, SHED + "circuits = 0"),
        [bad(TOML, None, "buildings 1.circuits", "outside the limits")],
    ),
    "a misspelt entry of a building": (
        add(TOML, SHED + "receptacle_yoke = 3"),
        [bad(TOML, None, "buildings 1.receptacle_yoke", "no such entry", "'receptacle_yokes'")],
    ),
    "an unknown energy management": (
        both(add(TOML, CONTROL), cell("appliances.csv", DRYER, "managed_by", "bocks")),
        [bad("appliances.csv", 4, "managed_by", "no such energy management", "box")],
    ),
    "a set point of nothing": (
        add(TOML, CONTROL.replace("30", "0")),
        [bad(TOML, None, "energy_managements 1.setpoint_A", "outside the limits")],
    ),
    "an energy management without a set point": (
        add(TOML, CONTROL.replace("setpoint_A = 30\n", "")),
        [bad(TOML, None, "energy_managements 1.setpoint_A", "a value is needed")],
    ),
    "loads that need more than the set point": (
        add(TOML, CONTROL + "minimum_A = 31"),
        [bad(TOML, None, "energy_managements.minimum_A", "more than the set point", "<= 30")],
    ),
    "restricted access that is no yes or no": (
        add(TOML, CONTROL + 'restricted_access = "maybe"'),
        [bad(TOML, None, "energy_managements 1.restricted_access", "not yes or no")],
    ),
    "one energy management in two buildings": (
        both(
            add(TOML, SHED, CONTROL),
            cell("appliances.csv", DRYER, "managed_by", "box"),
            cell("appliances.csv", "heatpump", "building", "shed"),
            cell("appliances.csv", "heatpump", "managed_by", "box"),
        ),
        [bad("appliances.csv", 5, "managed_by", "another building already")],
    ),
    "too many energy managements": (
        add(TOML, *(CONTROL.replace("box", f"box{i}") for i in range(5))),
        [bad(TOML, None, "energy_managements", "too many", "at most 4")],
    ),
    "a set current on a range": (
        cell("appliances.csv", RANGE, "set_A", "20"),
        [bad("appliances.csv", 2, "set_A", "only a vehicle charger")],
    ),
    "a set current below nothing": (
        cell("appliances.csv", DRYER, "set_A", "-3"),
        [bad("appliances.csv", 4, "set_A", "outside the limits", "> 0")],
    ),
    "a set current in feet": (
        cell("appliances.csv", DRYER, "set_A", "12 ft"),
        [bad("appliances.csv", 4, "set_A", "cannot be read in A")],
    ),
    "unknown building of a water heater": (
        both(
            add(TOML, SHED), cell("heaters.csv", "tank", "building", "shred"), cell("heaters.csv", "tank", "room", "")
        ),
        [bad("heaters.csv", 2, "building", "no such id in buildings", "'shed'")],
    ),
    "a kind of energy management that is none": (
        add(TOML, CONTROL + 'kind = "servise"'),
        [bad(TOML, None, "energy_managements 1.kind", "not one of the words allowed", "'service'")],
    ),
    "a status of a building that is none": (
        add(TOML, SHED + 'status = "removed"'),
        [bad(TOML, None, "buildings 1.status", "not one of the words allowed")],
    ),
    "a peak of infinity": (
        entry("measured", "peak_VA = inf"),
        [bad(TOML, None, "measured.peak_VA", "not a finite number")],
    ),
    "a peak below nothing": (
        entry("measured", "peak_VA = -1"),
        [bad(TOML, None, "measured.peak_VA", "outside the limits")],
    ),
    "a peak given twice": (
        entry("measured", "peak_VA = 5000\npeak_A = 20"),
        [bad(TOML, None, "measured.peak_A", "given twice")],
    ),
    "a record of half a day": (
        entry("measured", "period_days = 0.5"),
        [bad(TOML, None, "measured.period_days", "not a whole number")],
    ),
    "an interval of nothing": (
        entry("measured", "interval_min = 0"),
        [bad(TOML, None, "measured.interval_min", "outside the limits")],
    ),
    "occupied that is no yes or no": (
        entry("measured", 'occupied = "often"'),
        [bad(TOML, None, "measured.occupied", "not yes or no")],
    ),
    "a season below nothing": (
        entry("measured", "seasonal_VA = -5"),
        [bad(TOML, None, "measured.seasonal_VA", "outside the limits")],
    ),
    "a misspelt entry of the record": (
        entry("measured", "peak_kVA = 5"),
        [bad(TOML, None, "measured.peak_kVA", "no such entry", "peak_VA")],
    ),
}


@pytest.mark.parametrize("name", BAD_CASES)
def test_bad_input_is_told(name: str, tmp_path: Path) -> None:
    edit, expected = BAD_CASES[name]
    with pytest.raises(InputErrors) as caught:
        read_with(edit, tmp_path / "house")
    problems = caught.value.problems
    for want in expected:
        assert any(want.fits(p) for p in problems), f"{name}: {want} is not among {[str(p) for p in problems]}"
    assert len(problems) == len(expected), f"{name}: {[str(p) for p in problems]}"


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"set_A": 49.0}, "set above its nameplate"),
        ({"set_A": 24.0, "fastened_in_place": False}, "fastened in place only"),
        ({"set_A": 33.0, "power_VA": None, "current_A": 32.0}, "set above its nameplate"),
        ({"set_A": 48.0}, ""),
    ],
)
def test_a_setting_must_fit_its_charger(more: dict[str, Any], says: str) -> None:
    of = estate(appliances=[{"kind": "vehicle_charger", "power_VA": 11520.0, **more}])
    problems = [str(p) for p in check(of)]
    assert len(problems) == bool(says), problems
    assert not says or says in problems[0]


def test_names_of_energy_managements_are_free_until_a_set_point_is_given(tmp_path: Path) -> None:
    of = read_with(cell("appliances.csv", DRYER, "managed_by", "some control"), tmp_path / "house")
    assert "energy-management" in ids(design(of, 2023))
