"""Laws of the load calculation: what must hold for every house, and bad input as hard as good."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.core.editions import EDITIONS
from hpelec.core.errors import EditionError, RangeError
from hpelec.core.findings import Verdict
from hpelec.house.model import House
from hpelec.house.rows_loads import APPLIANCE_KINDS, Appliance
from hpelec.steps.loads import rules, rules_appliances, rules_cooking, rules_optional
from hpelec.steps.loads.design import design
from hpelec.steps.loads.gather import COOKING_KINDS
from hpelec.steps.loads.model import LoadsResult
from tests.adapters_loads import appliance, heater, house, method

QUICK = settings(max_examples=60, deadline=None)
editions = st.sampled_from(EDITIONS)
NO_COOKING = tuple(k for k in APPLIANCE_KINDS if k not in COOKING_KINDS)


@st.composite
def rows(draw: st.DrawFn, kinds: tuple[str, ...] = APPLIANCE_KINDS, most: int = 7) -> list[Appliance]:
    """Some appliances; no more than two dryers and few cookers, as the tables fall for many."""
    made = []
    for i in range(draw(st.integers(0, most))):
        kind = draw(st.sampled_from(kinds))
        few = kind == "dryer" or kind in COOKING_KINDS
        made.append(
            appliance(
                kind,
                id=f"a{i}",
                power_VA=float(draw(st.integers(0, 15000))),
                quantity=1 if few else draw(st.integers(1, 3)),
                voltage_V=draw(st.sampled_from((120.0, 240.0))),
                fastened_in_place=draw(st.booleans()),
                motor=draw(st.booleans()),
                continuous=draw(st.booleans()),
                interlock=draw(st.sampled_from(("", "", "", "one", "two"))),
                status=draw(st.sampled_from(("new", "existing", "removed"))),
            )
        )
    return made


@st.composite
def houses(draw: st.DrawFn, kinds: tuple[str, ...] = APPLIANCE_KINDS) -> House:
    base = house(
        float(draw(st.integers(400, 6000))),
        project=draw(st.sampled_from(("new", "existing"))),
        heating_zones=draw(st.integers(1, 6)),
        small_appliance_circuits=draw(st.integers(2, 4)),
        voltage_V=draw(st.sampled_from((240.0, 208.0))),
        heaters=[
            {
                "power_VA": float(draw(st.integers(1, 36000))),
                "id": f"w{i}",
                "interlock": draw(st.sampled_from(("", "one"))),
            }
            for i in range(draw(st.integers(0, 3)))
        ],
    )
    return base.changed(appliances=tuple(draw(rows(kinds))))


def totals(result: LoadsResult) -> dict[str, float]:
    return {m.method: m.demand_VA for m in result.methods if m.applies}


def finding_ids(result: LoadsResult) -> set[str]:
    return {f.id for f in result.findings}


def told(of: House) -> str:
    shown = [(a.id, a.kind, a.power_VA, a.quantity, a.voltage_V, a.interlock, a.status) for a in of.appliances]
    return f"house {of.general.floor_area_ft2} ft2, {shown}, {[(h.id, h.power_VA, h.interlock) for h in of.heaters]}"


# Sums ------------------------------------------------------------------------------------------------------------


@QUICK
@given(houses(), editions)
def test_every_method_is_the_sum_of_its_lines(of: House, edition: int) -> None:
    result = design(of, edition)
    for made in result.methods:
        lines_VA = sum(e.demand_VA for e in made.lines)
        assert math.isclose(lines_VA, made.demand_VA, abs_tol=1e-6), f"{made.method}: {lines_VA} in {told(of)}"
        assert made.applies == bool(made.lines), f"{made.method} applies={made.applies} with {len(made.lines)} lines"
        assert all(e.demand_VA >= 0 and math.isfinite(e.demand_VA) for e in made.lines)


@QUICK
@given(houses(), editions)
def test_the_chosen_method_applies_and_is_the_lowest(of: House, edition: int) -> None:
    result = design(of, edition)
    assert result.design_VA == min(totals(result).values()), told(of)
    assert result.chosen in totals(result)
    assert result.lines == method(result, result.chosen).lines
    assert math.isclose(result.design_A, method(result, result.chosen).demand_A)


@QUICK
@given(houses(), editions)
def test_the_neutral_never_exceeds_the_standard_load(of: House, edition: int) -> None:
    result = design(of, edition)
    standard = method(result, "standard")
    assert 0 < result.neutral_VA <= standard.demand_VA + 1e-6, told(of)
    assert result.neutral_A <= standard.demand_A + 1e-6, told(of)
    if result.neutral_A > result.design_A:
        assert "neutral-size" in finding_ids(result)


@QUICK
@given(houses(), editions)
def test_demand_never_exceeds_what_is_connected_but_for_stated_additions(of: House, edition: int) -> None:
    """Beyond the connected load only the dryer and charger minimums and the motor addition may stand."""
    for made in design(of, edition).methods:
        for e in made.lines:
            if e.category in ("fixed appliances", "cooking", "heating and cooling", "lighting", "other"):
                assert e.demand_VA <= e.connected_VA + 1e-6, f"{made.method}, {e.id}: {e.demand_VA} of {e.connected_VA}"


# Order, quantity, what does not count ----------------------------------------------------------------------------


@QUICK
@given(houses(), editions, st.randoms())
def test_the_order_of_rows_never_matters(of: House, edition: int, dice: Any) -> None:
    appliances, heaters = list(of.appliances), list(of.heaters)
    dice.shuffle(appliances)
    dice.shuffle(heaters)
    assert design(of.changed(appliances=tuple(appliances), heaters=tuple(heaters)), edition) == design(of, edition)


@QUICK
@given(houses(), editions)
def test_quantity_two_equals_two_rows(of: House, edition: int) -> None:
    split = [replace(a, id=f"{a.id}-{n}", quantity=1) for a in of.appliances for n in range(a.quantity)]
    one, two = design(of, edition), design(of.changed(appliances=tuple(split)), edition)
    for name, VA in totals(one).items():
        assert math.isclose(VA, totals(two)[name], rel_tol=1e-9), f"{name}: {VA} and {totals(two)[name]}; {told(of)}"
    assert math.isclose(one.neutral_VA, two.neutral_VA, rel_tol=1e-9), told(of)


@QUICK
@given(houses(), editions, st.sampled_from(("solar", "storage")))
def test_solar_and_storage_add_no_load(of: House, edition: int, kind: str) -> None:
    more = of.changed(appliances=(*of.appliances, appliance(kind, power_VA=9000.0)))
    assert totals(design(more, edition)) == totals(design(of, edition))


@QUICK
@given(houses(), editions)
def test_removed_rows_do_not_count(of: House, edition: int) -> None:
    kept = tuple(a for a in of.appliances if a.status != "removed")
    assert design(of.changed(appliances=kept), edition) == design(of, edition)


@QUICK
@given(houses(), editions)
def test_mca_and_breaker_never_become_load(of: House, edition: int) -> None:
    marked = tuple(replace(a, mca_A=30.0, mocp_A=50.0) for a in of.appliances)
    assert totals(design(of.changed(appliances=marked), edition)) == totals(design(of, edition))


# More load -------------------------------------------------------------------------------------------------------


def check_more(before: House, after: House, edition: int) -> None:
    """Every method's load must not fall, but the standard one by the step at four fixed appliances, which is told."""
    old, new = design(before, edition), design(after, edition)
    for name, VA in totals(old).items():
        if totals(new)[name] >= VA - 1e-6:
            continue
        assert name == "standard", f"{name} falls from {VA} to {totals(new)[name]}: {told(after)}"
        assert "fixed-appliance-step" in finding_ids(new), (
            f"standard falls from {VA} to {totals(new)[name]} and no finding says so: {told(after)}"
        )


@settings(max_examples=150, deadline=None)
@given(houses(), rows(most=1), editions)
def test_one_more_appliance_never_lowers_the_load(of: House, more: list[Appliance], edition: int) -> None:
    added = tuple(replace(a, id="more", quantity=1) for a in more)
    check_more(of, of.changed(appliances=(*of.appliances, *added)), edition)


@settings(max_examples=150, deadline=None)
@given(houses(NO_COOKING), editions, st.integers(0, 6), st.integers(1, 8000))
def test_a_larger_appliance_never_lowers_the_load(of: House, edition: int, which: int, by_VA: int) -> None:
    if not of.appliances:
        return
    i = which % len(of.appliances)
    grown = [replace(a, power_VA=(a.power_VA or 0.0) + by_VA) if j == i else a for j, a in enumerate(of.appliances)]
    check_more(of, of.changed(appliances=tuple(grown)), edition)


@QUICK
@given(houses(), editions, st.integers(1, 3000))
def test_more_floor_area_never_lowers_the_load(of: House, edition: int, by_ft2: int) -> None:
    larger = replace(of.general, floor_area_ft2=of.general.floor_area_ft2 + by_ft2)
    check_more(of, of.changed(general=larger), edition)


def test_the_fourth_fixed_appliance_lowers_the_standard_load_and_is_told() -> None:
    three = [{"id": f"a{i}", "kind": "other", "power_VA": VA} for i, VA in enumerate((4500.0, 1200.0, 900.0))]
    fourth = {"id": "a3", "kind": "other", "power_VA": 600.0}
    for edition in EDITIONS:
        old, new = design(house(appliances=three), edition), design(house(appliances=[*three, fourth]), edition)
        assert math.isclose(totals(old)["standard"] - totals(new)["standard"], 1200.0), f"edition {edition}"
        assert "fixed-appliance-step" in finding_ids(new), f"edition {edition}: the step is not told"
        assert "fixed-appliance-step" not in finding_ids(old)


def test_four_equal_appliances_are_no_trap() -> None:
    """Four at 75 percent count as much as three in full: nothing is lowered."""
    four = [{"kind": "other", "power_VA": 2000.0, "quantity": 4}]
    assert "fixed-appliance-step" not in finding_ids(design(house(appliances=four), 2023))


@QUICK
@given(st.lists(st.floats(1.76, 3.49), min_size=1, max_size=6), st.floats(0, 1))
def test_cooking_grows_within_a_column(ratings_kW: list[float], part: float) -> None:
    grown = [ratings_kW[0] + part * (3.49 - ratings_kW[0]), *ratings_kW[1:]]
    assert rules_cooking.cooking_kW(grown, "A") >= rules_cooking.cooking_kW(ratings_kW, "A") - 1e-9


@QUICK
@given(st.lists(st.floats(1.76, 27.0), min_size=1, max_size=6))
def test_cooking_never_exceeds_nameplate(ratings_kW: list[float]) -> None:
    for column in rules_cooking.COLUMNS:
        group = [r for r in ratings_kW if rules_cooking.cooking_column(r) == column]
        assert rules_cooking.cooking_kW(group, column) <= sum(group) + 1e-9, f"column {column}: {group}"


# Noncoincident loads ---------------------------------------------------------------------------------------------


@QUICK
@given(st.integers(500, 20000), st.integers(500, 20000), editions)
def test_heating_and_cooling_count_once(heat_VA: int, cool_VA: int, edition: int) -> None:
    both = house(
        appliances=[
            {"kind": "room_heater", "power_VA": float(heat_VA)},
            {"kind": "air_conditioner", "power_VA": float(cool_VA)},
        ]
    )
    alone_VA = totals(design(house(), edition))["standard"]
    got_VA = totals(design(both, edition))["standard"] - alone_VA
    assert math.isclose(got_VA, max(heat_VA, 1.25 * cool_VA)), f"heat {heat_VA}, cooling {cool_VA}: {got_VA}"


@QUICK
@given(houses(), editions)
def test_an_interlock_never_raises_the_load(of: House, edition: int) -> None:
    free = of.changed(
        appliances=tuple(replace(a, interlock="") for a in of.appliances),
        heaters=tuple(replace(h, interlock="") for h in of.heaters),
    )
    with_it, without = design(of, edition), design(free, edition)
    for name, VA in totals(without).items():
        if name == "standard" and "fixed-appliance-step" in finding_ids(without):
            continue  # without the interlock the step at four appliances may lower the sum
        assert totals(with_it)[name] <= VA + 1e-6, f"{name}: {totals(with_it)[name]} over {VA}; {told(of)}"


def test_only_the_largest_of_an_interlock_group_counts() -> None:
    two = [heater(18000.0, id="bath", interlock="x"), heater(24000.0, id="kitchen", interlock="x")]
    one = house(heaters=[{"power_VA": 24000.0, "id": "kitchen"}])
    assert totals(design(one.changed(heaters=tuple(two)), 2023)) == totals(design(one, 2023))
    assert "interlock-in-pool" in finding_ids(design(one.changed(heaters=tuple(two)), 2023))


def test_an_interlock_across_categories_counts_the_member_that_makes_the_larger_load() -> None:
    """The charger in full, 7000, is more than the larger heater at 75 percent, 5760."""
    group = [{"id": f"a{i}", "kind": "other", "power_VA": 2000.0} for i in range(4)]
    rows_ = [
        *group,
        {"kind": "vehicle_charger", "power_VA": 7000.0, "interlock": "x"},
        {"kind": "spa", "power_VA": 7680.0, "interlock": "x"},
    ]
    made = method(design(house(appliances=rows_), 2020), "standard")
    demand = {e.id: e.demand_VA for e in made.lines}
    assert (demand["vehicle_charger"], demand["spa"]) == (7000.0, 0.0)


@pytest.mark.parametrize("edition", EDITIONS)
def test_cooling_just_below_the_heating_counts_at_125_percent(edition: int) -> None:
    """Heating 10,000, cooling 9000: the cooling with its motor addition, 11,250, is the larger."""
    rows_ = [{"kind": "furnace", "power_VA": 10000.0}, {"kind": "air_conditioner", "power_VA": 9000.0}]
    made = method(design(house(appliances=rows_), edition), "standard")
    hvac_VA = sum(e.demand_VA for e in made.lines if e.category in ("heating and cooling", "motor"))
    assert (made.season, hvac_VA) == ("cooling", 11250.0)


# Editions --------------------------------------------------------------------------------------------------------


@QUICK
@given(houses(tuple(k for k in APPLIANCE_KINDS if k not in ("vehicle_charger", "microwave"))))
def test_2020_and_2023_differ_only_in_chargers(of: House) -> None:
    assert totals(design(of, 2020)) == totals(design(of, 2023)), told(of)


@QUICK
@given(houses())
def test_2017_and_2020_differ_only_in_small_fixed_appliances_and_microwaves(of: House) -> None:
    large = tuple(a for a in of.appliances if (a.power_VA or 0) >= 500 and a.kind != "microwave")
    heaters = tuple(h for h in of.heaters if h.power_VA >= 500)
    same = of.changed(appliances=large, heaters=heaters)
    assert totals(design(same, 2017)) == totals(design(same, 2020)), told(same)


@QUICK
@given(houses(tuple(k for k in APPLIANCE_KINDS if k != "vehicle_charger")))
def test_2026_never_exceeds_2023_without_chargers(of: House) -> None:
    for name, VA in totals(design(of, 2026)).items():
        assert totals(design(of, 2023))[name] + 1e-6 >= VA, f"{name}: {told(of)}"


def test_2026_is_provisional_and_says_so() -> None:
    assert [design(house(), e).provisional for e in EDITIONS] == [False, False, False, True]
    found = [f for f in design(house(), 2026).findings if f.id == "provisional-edition"]
    assert [f.verdict for f in found] == [Verdict.CANNOT_SAY]
    existing = method(design(house(project="existing"), 2026), "existing")
    assert not existing.applies
    assert "not seen" in existing.why


@QUICK
@given(st.floats(0, 1e5), editions)
def test_the_optional_tier_meets_at_its_edge(general_VA: float, edition: int) -> None:
    first_VA = rules_optional.optional_first_tier_VA(edition)
    demand_VA = rules_optional.optional_general_VA(general_VA, edition)
    assert demand_VA == general_VA if general_VA <= first_VA else first_VA < demand_VA < general_VA


# Which method applies --------------------------------------------------------------------------------------------


def test_the_existing_method_is_for_existing_dwellings_only() -> None:
    assert not method(design(house(project="new"), 2023), "existing").applies
    assert method(design(house(project="existing"), 2023), "existing").applies


def test_the_optional_method_needs_100_amperes() -> None:
    for top_A, applies in ((60.0, False), (99.0, False), (100.0, True)):
        assert method(design(house(offered_A=(30.0, top_A)), 2023), "optional").applies is applies, f"{top_A} A"


def test_a_method_asked_for_is_used_or_the_miss_is_told() -> None:
    assert design(house(load_method="standard"), 2023).chosen == "standard"
    missed = design(house(load_method="existing"), 2023)
    assert missed.chosen != "existing"
    assert [f.verdict for f in missed.findings if f.id == "load-method"] == [Verdict.MISSES]


# What is not known -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_load_that_is_not_known_is_told_loudly(edition: int) -> None:
    blind = house(appliances=[{"kind": "heat_pump", "mca_A": 30.0, "mocp_A": 45.0}])
    result = design(blind, edition)
    found = [f for f in result.findings if f.id == "load-not-known"]
    assert [(f.place, f.verdict) for f in found] == [("heat_pump", Verdict.CANNOT_SAY)]
    assert "COUNTED AS ZERO" in found[0].got
    assert totals(result) == totals(design(house(), edition))
    assert all("NOT KNOWN" in e.remark for m in result.methods for e in m.lines if e.id == "heat_pump")


def test_a_charger_that_is_not_known_counts_its_least_from_2023() -> None:
    blind = house(appliances=[{"kind": "vehicle_charger"}])
    for edition, VA in ((2017, 0.0), (2020, 0.0), (2023, 7200.0), (2026, 7200.0)):
        result = design(blind, edition)
        more_VA = totals(result)["standard"] - totals(design(house(), edition))["standard"]
        assert more_VA == VA, f"edition {edition}: {more_VA}"
        assert "load-not-known" in finding_ids(result)


def test_a_motor_known_by_horsepower_is_taken_from_the_table() -> None:
    result = design(house(appliances=[{"kind": "pump", "motor_hp": 2.0}]), 2023)
    line = next(e for e in method(result, "standard").lines if e.id == "pump")
    assert line.demand_VA == 2880.0
    assert any(a.taken.startswith("2,880 VA") for a in result.assumptions)
    odd = design(house(appliances=[{"kind": "pump", "motor_hp": 2.3}]), 2023)
    assert "load-not-known" in finding_ids(odd)


def test_energy_management_takes_nothing_off_and_says_so() -> None:
    row = {"kind": "vehicle_charger", "power_VA": 11520.0}
    for edition in EDITIONS:
        managed = design(house(appliances=[{**row, "managed_by": "gateway"}]), edition)
        assert totals(managed) == totals(design(house(appliances=[row]), edition))
        assert "energy-management" in finding_ids(managed), f"edition {edition}"


def test_a_tankless_heater_is_told_as_a_large_load() -> None:
    large = design(house(heaters=[{"power_VA": 27000.0, "kind": "tankless"}]), 2023)
    assert [f.place for f in large.findings if f.id == "large-load"] == ["water-heater"]


# What each kind of row becomes -------------------------------------------------------------------------------------


def standard_line(row: dict[str, Any], edition: int = 2023, **more: Any) -> Any:
    made = method(design(house(appliances=[{"id": "it", "power_VA": 1500.0, **row}], **more), edition), "standard")
    return next(e for e in made.lines if e.id == "it")


@pytest.mark.parametrize(
    ("row", "category", "demand_VA"),
    [
        ({"kind": "washer", "voltage_V": 120.0}, "other", 0.0),
        ({"kind": "washer"}, "fixed appliances", 1500.0),
        ({"kind": "refrigerator", "voltage_V": 120.0, "fastened_in_place": False}, "other", 0.0),
        ({"kind": "refrigerator", "voltage_V": 120.0}, "other", 1500.0),
        ({"kind": "dryer", "voltage_V": 120.0, "fastened_in_place": False}, "other", 0.0),
        ({"kind": "dryer"}, "dryers", 5000.0),
        ({"kind": "spa", "fastened_in_place": False}, "other", 1500.0),
        ({"kind": "spa"}, "fixed appliances", 1500.0),
        ({"kind": "workshop"}, "other", 1500.0),
        ({"kind": "vehicle_charger", "voltage_V": 120.0, "fastened_in_place": False}, "vehicle", 7200.0),
        ({"kind": "cooktop"}, "cooking", 1500.0),
        ({"kind": "air_handler"}, "heating and cooling", 1500.0),
    ],
)
def test_each_kind_is_treated_as_its_clause_says(row: dict[str, Any], category: str, demand_VA: float) -> None:
    line = standard_line(row)
    assert (line.category, line.demand_VA) == (category, demand_VA), f"{row}: {line.category}, {line.demand_VA}"


def test_only_what_is_fastened_in_place_counts_toward_four() -> None:
    loose = [{"id": f"a{i}", "kind": "spa", "power_VA": 2000.0, "fastened_in_place": False} for i in range(4)]
    fast = [{**row, "fastened_in_place": True} for row in loose]
    assert totals(design(house(appliances=loose), 2023))["standard"] == 5100 + 8000
    assert totals(design(house(appliances=fast), 2023))["standard"] == 5100 + 6000


def test_a_built_in_microwave_leaves_the_fixed_appliances_in_2020() -> None:
    row = {"kind": "microwave", "voltage_V": 120.0}
    assert [standard_line(row, e).category for e in EDITIONS] == ["fixed appliances", "other", "other", "other"]


def test_an_appliance_just_over_500_VA_counts_less_and_is_told() -> None:
    group = [{"id": f"a{i}", "kind": "other", "power_VA": 2000.0} for i in range(4)]
    made = [
        design(house(appliances=[*group, {"id": "x", "kind": "other", "power_VA": VA}]), 2020) for VA in (499.0, 510.0)
    ]
    assert totals(made[0])["standard"] - totals(made[1])["standard"] == 499.0 - 0.75 * 510.0
    assert ["fixed-appliance-step" in finding_ids(m) for m in made] == [False, True]


def test_continuous_heating_counts_in_full_in_the_optional_method() -> None:
    row = {"kind": "room_heater", "power_VA": 6000.0}
    spread = totals(design(house(appliances=[row]), 2023))["optional"]
    steady = totals(design(house(appliances=[{**row, "continuous": True}]), 2023))["optional"]
    assert (spread, steady) == (9000 + 3900, 9000 + 6000)


# Neutral ---------------------------------------------------------------------------------------------------------


def test_the_neutral_of_two_legs_of_a_wye_is_not_reduced() -> None:
    parts = {"appliances": [{"kind": "range", "power_VA": 12000.0}, {"kind": "dryer", "power_VA": 5000.0}]}
    plain, wye = design(house(**parts), 2023), design(house(voltage_V=208.0, **parts), 2023)
    assert plain.neutral_VA == 5100 + 0.7 * 13000
    assert wye.neutral_VA == 5100 + 13000
    assert math.isclose(wye.neutral_A, 5100 / 240 + 13000 / 208)


def test_the_neutral_counts_the_season_that_loads_it_most() -> None:
    """Heating between lines is the larger load; the 120 V cooling of the other season is what the neutral carries."""
    rows_ = [
        {"kind": "furnace", "power_VA": 15000.0},
        {"kind": "air_conditioner", "power_VA": 1200.0, "voltage_V": 120.0},
    ]
    result = design(house(appliances=rows_), 2023)
    assert method(result, "standard").season == "heating"
    assert result.neutral_VA == 5100 + 1.25 * 1200


def test_cooking_at_120_volts_is_on_the_neutral_in_full() -> None:
    row = {"kind": "cooktop", "power_VA": 1500.0}
    neutrals = [design(house(appliances=[{**row, "voltage_V": V}]), 2023).neutral_VA for V in (120.0, 240.0)]
    assert neutrals == [5100 + 1500, 5100 + 0.7 * 1500]


def test_240_volt_loads_add_nothing_to_the_neutral() -> None:
    rows_ = [{"kind": "vehicle_charger", "power_VA": 11520.0}, {"kind": "pump", "power_VA": 2000.0}]
    assert design(house(appliances=rows_, heaters=[{"power_VA": 4500.0}]), 2023).neutral_VA == 5100


def test_a_neutral_larger_than_the_optional_load_is_told() -> None:
    rows_ = [{"kind": "workshop", "power_VA": 3000.0, "voltage_V": 120.0, "quantity": 12}]
    result = design(house(appliances=rows_), 2023)
    assert result.neutral_A > result.design_A
    assert "neutral-size" in finding_ids(result)


# Disputed readings are told with their other number ----------------------------------------------------------------


def finding(result: LoadsResult, id_: str) -> Any:
    found = [f for f in result.findings if f.id == id_]
    assert len(found) == 1, f"{len(found)} findings {id_}; there are {sorted(finding_ids(result))}"
    assert found[0].verdict is Verdict.CANNOT_SAY
    return found[0]


def test_chargers_in_the_pool_are_told_with_their_full_load() -> None:
    charger = {"kind": "vehicle_charger", "power_VA": 11520.0}
    result = design(house(appliances=[charger]), 2023)
    assert result.design_VA == 10000 + 0.4 * (9000 + 11520 - 10000)
    assert "20,520 VA" in finding(result, "charger-in-pool").got  # 9000 in the first tier, 11,520 beside it
    assert "charger-in-pool" not in finding_ids(design(house(appliances=[charger]), 2026))
    two = design(house(appliances=[{**charger, "quantity": 2}]), 2020)
    assert "23,040 VA" in finding(two, "several-chargers").got


def test_a_small_charger_counts_7200_VA_in_the_pool_of_2023() -> None:
    row = {"kind": "vehicle_charger", "power_VA": 3840.0}
    general = {e: totals(design(house(appliances=[row]), e))["optional"] for e in (2020, 2023)}
    assert general == pytest.approx({2020: 10000 + 0.4 * 2840, 2023: 10000 + 0.4 * 6200})


def test_cooking_of_several_columns_is_told_with_the_other_reading() -> None:
    rows_ = [{"kind": k, "power_VA": VA} for k, VA in (("range", 15000.0), ("wall_oven", 5000.0), ("cooktop", 3000.0))]
    got = finding(design(house(appliances=rows_), 2023), "cooking-reading").got
    assert "15,600 VA" in got
    assert "14,700 VA" in got


def test_two_kinds_of_heating_are_added_and_the_largest_alone_is_told() -> None:
    rows_ = [{"kind": "heat_pump", "power_VA": 4000.0}, {"kind": "room_heater", "power_VA": 2000.0}]
    result = design(house(appliances=rows_), 2023)
    assert totals(result)["optional"] == 9000 + 4000 + 1300
    assert "5,300 VA" in finding(result, "heating-systems").got
    assert "4,000 VA" in finding(result, "heating-systems").got


def test_four_zones_need_four_heaters() -> None:
    row = {"kind": "room_heater", "power_VA": 2000.0}
    for quantity, odd in ((3, True), (4, False)):
        made = design(house(appliances=[{**row, "quantity": quantity}], heating_zones=4), 2023)
        assert ("heating-zones" in finding_ids(made)) is odd, f"{quantity} heaters for four zones"


def test_standing_heating_is_told_where_none_is_added() -> None:
    row = {"kind": "furnace", "power_VA": 6000.0, "status": "existing"}
    result = design(house(appliances=[row], project="existing"), 2023)
    assert "8,400 VA" in finding(result, "standing-heating").got
    assert method(result, "existing").title.endswith("(A)")
    added = design(house(appliances=[{**row, "status": "new"}], project="existing"), 2023)
    assert "standing-heating" not in finding_ids(added)
    assert method(added, "existing").title.endswith("(B)")


def test_a_house_without_heating_or_hot_water_is_told() -> None:
    assert sum(f.id == "nothing-listed" for f in design(house(), 2023).findings) == 2
    full = house(appliances=[{"kind": "heat_pump", "power_VA": 3000.0}], heaters=[{"power_VA": 4500.0}])
    assert "nothing-listed" not in finding_ids(design(full, 2023))


def test_the_working_ends_in_the_numbers_of_the_result() -> None:
    result = design(house(appliances=[{"kind": "range", "power_VA": 12000.0}]), 2023)
    values = {line.what: line.value for line in result.working}
    for made in result.methods:
        if made.applies:
            assert values[f"{made.method}: calculated load"] == made.demand_VA
            assert values[f"{made.method}: amperes"] == made.demand_A
    assert values["neutral: largest unbalanced load"] == result.neutral_VA
    assert values["neutral: amperes"] == result.neutral_A


# Limits and bad input --------------------------------------------------------------------------------------------

BAD = (math.nan, math.inf, -math.inf, -1.0)


@pytest.mark.parametrize("bad", BAD)
def test_rules_refuse_what_is_no_load(bad: float) -> None:
    for call in (
        lambda: rules.general_lighting_VA(bad, 2023),
        lambda: rules.lighting_demand_VA(bad),
        lambda: rules.service_A(bad, 240.0),
        lambda: rules.service_A(1.0, bad),
        lambda: rules.two_leg_wye_A(bad, 0.0),
        lambda: rules.two_leg_wye_A(0.0, bad),
        lambda: rules.rounded_A(bad),
        lambda: rules.neutral_of_cooking_or_dryer_VA(bad, 2023),
        lambda: rules.neutral_over_200_A(bad, 2023),
        lambda: rules.noncoincident([0.0, bad]),
        lambda: rules_appliances.counts_as_fixed(bad, None, 2023),
        lambda: rules_appliances.dryer_VA(bad),
        lambda: rules_appliances.vehicle_charger_VA(bad, 2023),
        lambda: rules_appliances.largest_motor_VA([bad]),
        lambda: rules_appliances.motor_VA(bad, 240.0),
        lambda: rules_appliances.connected_VA(bad, 1),
        lambda: rules_cooking.cooking_column(bad),
        lambda: rules_cooking.column_C_kW([bad]),
        lambda: rules_cooking.cooking_kW([bad], "C"),
        lambda: rules_optional.optional_general_VA(bad, 2023),
        lambda: rules_optional.existing_general_VA(bad, 2023),
        lambda: rules_optional.optional_permitted(bad, 200.0),
        lambda: rules_optional.optional_permitted(240.0, bad),
    ):
        with pytest.raises(RangeError):
            call()


def test_rules_refuse_counts_and_words_outside_their_range() -> None:
    for call in (
        lambda: rules.small_appliance_VA(1, 2023),
        lambda: rules.laundry_VA(-1, 2023),
        lambda: rules.noncoincident([]),
        lambda: rules_appliances.dryer_percent(0),
        lambda: rules_appliances.fixed_factor(-1, 2023),
        lambda: rules_appliances.vehicle_charger_VA(None, 2020),
        lambda: rules_appliances.motor_VA(2.0, 208.0),
        lambda: rules_cooking.small_cooking_kW([3.0], "C"),
        lambda: rules_cooking.small_cooking_kW([5.0], "A"),
        lambda: rules_cooking.column_C_kW([27.1]),
        lambda: rules_optional.room_heat_factor(0),
        lambda: rules_optional.heat_pump_factor("fan"),
        lambda: rules_optional.existing_hvac_factor("spring"),
    ):
        with pytest.raises(RangeError):
            call()


@pytest.mark.parametrize("edition", [2014, 2019, 2029])
def test_an_unknown_edition_is_refused(edition: int) -> None:
    with pytest.raises(EditionError):
        design(house(), edition)
    with pytest.raises(EditionError):
        rules.general_lighting_VA(1000.0, edition)


def test_the_existing_rule_refuses_2026() -> None:
    with pytest.raises(EditionError):
        rules_optional.existing_general_VA(1000.0, 2026)


def test_the_cooking_table_goes_on_past_its_last_row() -> None:
    assert rules_cooking.column_C_kW([12.0] * 80) == 25 + 0.75 * 80
    assert rules_cooking.column_C_kW([12.0] * 70) == 25 + 0.75 * 70
    assert rules_appliances.dryer_percent(200) == rules_appliances.dryer_percent(60) == 25


@QUICK
@given(st.floats(0, 1e6), st.floats(0, 1e6))
def test_the_lighting_tiers_grow_and_never_exceed_the_load(a_VA: float, b_VA: float) -> None:
    low_VA, high_VA = sorted((a_VA, b_VA))
    assert rules.lighting_demand_VA(low_VA) <= rules.lighting_demand_VA(high_VA) + 1e-9
    assert rules.lighting_demand_VA(high_VA) <= high_VA + 1e-9
