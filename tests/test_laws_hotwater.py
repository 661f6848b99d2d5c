"""Laws of the step hotwater: what must hold for every heater, whatever the numbers."""

from __future__ import annotations

import dataclasses
import itertools
import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.common.rules_water import flow_heat_kW
from hpelec.core.errors import EditionError, RangeError
from hpelec.core.findings import Verdict
from hpelec.core.tables import table
from hpelec.house.rows_loads import FIXTURES, HEATER_KINDS, DrawPoint, Heater
from hpelec.plan import design as design_plan
from hpelec.steps.hotwater import rules, rules_mains, rules_tank
from hpelec.steps.hotwater.model import HeaterNeed, HotWaterResult
from tests.houses import starter

MANY = settings(max_examples=60, deadline=None)
KW = st.floats(0.5, 60)
GPM = st.floats(0.05, 15)
COLD = st.floats(32, 89)
HOT = st.floats(90, 180)
AIR = st.floats(-20, 100)
SWING = st.floats(0, 120)
LATITUDE = st.floats(-90, 90)


def heater(**parts: Any) -> Heater:
    given = {"id": "h", "name": "H", "kind": "tankless", "room": "utility", "power_VA": 18000.0} | parts
    return Heater(**given)


def point(name: str = "p", **parts: Any) -> DrawPoint:
    given = {"id": name, "name": name, "fixture": "shower", "room": "bath", "heater": "h", "flow_gpm": 2.0} | parts
    return DrawPoint(**given)


def run(
    *heaters: Heater, points: tuple[DrawPoint, ...] | None = None, edition: int = 2023, **parts: Any
) -> HotWaterResult:
    house = starter()
    water = dataclasses.replace(house.water, **parts.pop("water", {"design_cold_F": 45.0}))
    place = dataclasses.replace(house.place, **parts.pop("place", {}))
    site = dataclasses.replace(house.service_site, **parts.pop("site", {}))
    assert not parts, f"unknown parts {parts}"
    rows = (point(),) if points is None else points
    changed = house.changed(heaters=heaters, draw_points=rows, water=water, place=place, service_site=site)
    result = design_plan(changed, edition, only=["hotwater"]).results["hotwater"]
    assert isinstance(result, HotWaterResult)
    return result


def need(*heaters: Heater, **parts: Any) -> HeaterNeed:
    return run(*heaters, **parts).heaters[0]


def verdict(result: HotWaterResult, name: str) -> Verdict:
    found = [f.verdict for f in result.findings if f.id == f"hotwater-{name}"]
    assert len(found) == 1, f"{len(found)} findings {name}: {[str(f) for f in result.findings]}"
    return found[0]


# --- the formulas ----------------------------------------------------------------------------------------------------


@MANY
@given(GPM, COLD, COLD, HOT)
def test_colder_mains_never_lowers_the_heat_needed(flow: float, one: float, other: float, hot: float) -> None:
    colder, warmer = sorted((one, other))
    assert rules.needed_kW(flow, hot - colder) >= rules.needed_kW(flow, hot - warmer)


@MANY
@given(KW, KW, GPM, COLD, HOT)
def test_a_larger_heater_never_lowers_what_arrives(
    one: float, other: float, flow: float, cold: float, hot: float
) -> None:
    small, large = sorted((one, other))
    assert rules.delivered_F(large, flow, cold, hot) >= rules.delivered_F(small, flow, cold, hot)


@MANY
@given(KW, GPM, COLD, HOT)
def test_what_arrives_lies_between_mains_and_setpoint(kW: float, flow: float, cold: float, hot: float) -> None:
    assert cold <= rules.delivered_F(kW, flow, cold, hot) <= hot


@MANY
@given(KW, COLD, HOT)
def test_largest_flow_takes_exactly_all_the_heat(kW: float, cold: float, hot: float) -> None:
    flow = rules.full_flow_gpm(kW, hot - cold)
    assert rules.needed_kW(flow, hot - cold) == pytest.approx(kW, rel=1e-12)
    assert rules.delivered_F(kW, flow, cold, hot) == pytest.approx(hot, rel=1e-12)
    assert rules.delivered_F(kW, flow * 1.01, cold, hot) < hot


@MANY
@given(COLD, HOT, st.floats(0, 1))
def test_mixing_gives_back_the_temperature_wanted(cold: float, hot: float, at: float) -> None:
    wanted = min(hot, cold + at * (hot - cold))
    share = rules.hot_share(hot, wanted, cold)
    assert 0 <= share <= 1
    assert share * hot + (1 - share) * cold == pytest.approx(wanted, abs=1e-9)


@MANY
@given(GPM, COLD, HOT, st.floats(0, 1))
def test_heat_of_the_hot_part_is_heat_of_the_mix(flow: float, cold: float, hot: float, at: float) -> None:
    wanted = min(hot, cold + at * (hot - cold))
    hot_flow = flow * rules.hot_share(hot, wanted, cold)
    assert rules.needed_kW(hot_flow, hot - cold) == pytest.approx(rules.needed_kW(flow, wanted - cold), abs=1e-9)


@MANY
@given(st.floats(1, 200), GPM, st.floats(0, 900), st.floats(0, 1))
def test_a_tank_lasts_until_what_it_holds_and_makes_is_drawn(vol: float, flow: float, gph: float, share: float) -> None:
    minutes = rules.sustained_min(vol, flow, gph, share)
    if minutes is None:
        assert gph / 60 >= flow
    else:
        assert flow * minutes == pytest.approx(share * vol + gph / 60 * minutes, rel=1e-6)


@MANY
@given(st.lists(st.floats(0, 50000), min_size=1, max_size=6), st.sampled_from((2017, 2020, 2023, 2026)))
def test_noncoincident_counts_the_largest_in_any_order(loads: list[float], edition: int) -> None:
    counted = rules.noncoincident(loads, edition)
    assert counted == rules.noncoincident(loads[::-1], edition)
    assert all(counted >= load for load in loads) and counted in loads


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, -1.0], ids=str)
@pytest.mark.parametrize(
    ("function", "good"),
    [
        (rules.needed_kW, {"flow_gpm": 1.0, "rise_dF": 60.0}),
        (rules.rise_dF, {"heat_kW": 4.5, "flow_gpm": 1.0}),
        (rules.full_flow_gpm, {"heat_kW": 4.5, "rise_dF": 60.0}),
        (rules.recovery_gph, {"heat_kW": 4.5, "rise_dF": 60.0}),
        (rules.element_kW, {"rated_kW": 4.5, "rated_V": 240.0, "supply_V": 208.0}),
        (rules.current_A, {"power_VA": 4500.0, "voltage_V": 240.0}),
        (rules.first_hour_gal, {"volume_gal": 50.0, "recovery_gph": 20.0, "usable_share": 0.7}),
        (rules.sustained_min, {"volume_gal": 50.0, "flow_gpm": 2.0, "recovery_gph": 20.0, "usable_share": 0.7}),
        (flow_heat_kW, {"btu_per_h": 500.0, "btu_per_kWh": 3412.142}),
    ],
    ids=lambda v: getattr(v, "__name__", ""),
)
def test_rules_refuse_what_is_no_quantity(function: Any, good: dict[str, float], bad: float) -> None:
    function(**good)
    for name in good:
        with pytest.raises(RangeError, match="must be"):
            function(**(good | {name: bad}))


def test_limits_of_the_rules_themselves() -> None:
    for call in (
        lambda: rules.hot_share(120, math.nan, 50),
        lambda: rules.hot_share(120, 105, math.nan),
        lambda: rules.hot_share(50, 50, 60),
        lambda: rules.rise_dF(4.5, 0.0),
        lambda: rules.full_flow_gpm(4.5, 0.0),
        lambda: rules.delivered_F(4.5, 1.0, 120.0, 120.0),
        lambda: rules.first_hour_gal(50, 20, 1.01),
        lambda: rules.peak_hour_gal([1], [1, 2]),
        lambda: rules.peak_hour_gal([1, -1], [1, 2]),
        lambda: rules.noncoincident([], 2023),
        lambda: rules_mains.mains_F(0, 50, 40, 45),
        lambda: rules_mains.mains_F(366, 50, 40, 45),
        lambda: rules_mains.mains_F(1, 50, -0.1, 45),
        lambda: rules_mains.mains_F(1, 50, 40, 90.1),
        lambda: rules_mains.mains_F(1, math.nan, 40, 45),
    ):
        with pytest.raises(RangeError):
            call()
    assert rules.peak_hour_gal([], []) == 0
    with pytest.raises(EditionError):
        rules.noncoincident([1.0], 2018)


# --- mains -----------------------------------------------------------------------------------------------------------


@MANY
@given(AIR, SWING, LATITUDE)
def test_mains_stays_above_freezing_and_within_its_swing(air: float, swing: float, latitude: float) -> None:
    middle, reach = rules_mains.mains_mean_F(air), abs(rules_mains.mains_ratio(air)) * swing / 2
    for day in (1, 45, 100, 227, 365):
        raw = rules_mains.mains_unfloored_F(day, air, swing, latitude)
        assert middle - reach - 1e-9 <= raw <= middle + reach + 1e-9
        assert rules_mains.mains_F(day, air, swing, latitude) == max(32.0, raw)


@MANY
@given(AIR, SWING, st.floats(0.001, 90), st.integers(1, 365))
def test_the_south_mirrors_the_north(air: float, swing: float, latitude: float, day: int) -> None:
    north = rules_mains.mains_unfloored_F(day, air, swing, latitude)
    south = rules_mains.mains_unfloored_F(day, air, swing, -latitude)
    assert north + south == pytest.approx(2 * rules_mains.mains_mean_F(air), abs=1e-9)


@MANY
@given(AIR, SWING, LATITUDE)
def test_design_cold_is_the_coldest_of_365_days(air: float, swing: float, latitude: float) -> None:
    place = {"mean_air_F": air, "air_range_dF": swing, "latitude_deg": latitude}
    result = run(heater(), place=place, water={"design_cold_F": None})
    assert [d.day for d in result.mains] == list(range(1, 366))
    assert result.cold_F == min(d.mains_F for d in result.mains)
    below = any(rules_mains.mains_unfloored_F(d, air, swing, latitude) < 32 for d in range(1, 366))
    told = [f for f in result.findings if f.id == "hotwater-mains-floor"]
    assert bool(told) == below, "a floored day must be told, and only then"
    assert all(f.verdict is Verdict.CANNOT_SAY for f in told)


def test_the_users_own_cold_is_used_and_told() -> None:
    result = run(heater(), water={"design_cold_F": 51.0})
    assert result.cold_F == 51.0 and result.heaters[0].rise_dF == 69.0
    assert any("design_cold_F" in a.where for a in result.assumptions)


# --- the step --------------------------------------------------------------------------------------------------------


@MANY
@given(st.floats(32, 89), st.floats(32, 89), st.floats(1000, 36000), st.floats(0.2, 6))
def test_colder_mains_never_helps_a_heater(one: float, other: float, power: float, flow: float) -> None:
    colder, warmer = (
        need(heater(power_VA=power), points=(point(flow_gpm=flow),), water={"design_cold_F": t})
        for t in sorted((one, other))
    )
    assert colder.needed_kW is not None and warmer.needed_kW is not None
    assert colder.delivered_F is not None and warmer.delivered_F is not None
    assert colder.needed_kW >= warmer.needed_kW - 1e-9
    assert colder.undersized or not warmer.undersized or math.isclose(colder.needed_kW, warmer.needed_kW)


@MANY
@given(st.floats(500, 60000), st.floats(0.2, 6), st.one_of(st.none(), st.floats(0.2, 6)))
def test_step_delivers_what_the_balance_allows(power: float, flow: float, limit: float | None) -> None:
    got = need(heater(power_VA=power, max_flow_gpm=limit), points=(point(flow_gpm=flow),))
    assert got.delivered_F is not None and got.needed_kW is not None
    assert 45.0 < got.delivered_F <= 120.0
    passed = got.peak_flow_gpm if limit is None else min(limit, got.peak_flow_gpm)
    used = rules.needed_kW(passed, got.delivered_F - 45.0)
    assert used <= power / 1000 * (1 + 1e-9), "no heater gives more than its nameplate"
    assert got.undersized == (got.needed_kW > power / 1000 * (1 + 1e-9) or passed < got.peak_flow_gpm / (1 + 1e-9))
    if got.fixture_F is not None:
        assert got.fixture_F <= 105.0 + 1e-9
        assert got.undersized or got.fixture_F == pytest.approx(105.0)


@MANY
@given(st.permutations(range(4)), st.permutations(range(3)))
def test_order_of_rows_changes_nothing_but_the_listing(points_order: list[int], heaters_order: list[int]) -> None:
    heaters = [
        heater(id="a", power_VA=18000, interlock="x"),
        heater(id="b", kind="storage", power_VA=4500, volume_gal=50.0, interlock="x"),
        heater(id="c", kind="heat_pump_storage", power_VA=4400, volume_gal=65.0),
    ]
    points = [
        point("p1", heater="a", flow_gpm=1.7),
        point("p2", heater="b", flow_gpm=2.1, fixture="tub"),
        point("p3", heater="c", flow_gpm=0.1),
        point("p4", heater="b", flow_gpm=0.3, use_F=98.6),
    ]
    first = run(*heaters, points=tuple(points))
    then = run(*[heaters[i] for i in heaters_order], points=tuple(points[i] for i in points_order))
    assert sorted(first.heaters, key=lambda h: h.heater) == sorted(then.heaters, key=lambda h: h.heater)
    assert (first.all_on_kW, first.all_on_A, first.cold_F) == (then.all_on_kW, then.all_on_A, then.cold_F)
    assert sorted(map(str, first.findings)) == sorted(map(str, then.findings))


@MANY
@given(st.lists(st.tuples(st.floats(500, 36000), st.sampled_from(("", "x", "y"))), min_size=1, max_size=6))
def test_an_interlock_counts_only_its_largest(rows: list[tuple[float, str]]) -> None:
    heaters = [heater(id=f"h{i}", power_VA=power, interlock=group) for i, (power, group) in enumerate(rows)]
    got = run(*heaters, points=())
    alone = [power for power, group in rows if not group]
    largest = [max(p for p, g in rows if g == name) for name in {g for _, g in rows if g}]
    assert got.all_on_kW == pytest.approx(sum(alone + largest) / 1000)
    assert got.all_on_A == pytest.approx(sum(alone + largest) / 240)
    assert got.all_on_kW <= sum(p for p, _ in rows) / 1000 * (1 + 1e-12)


@MANY
@given(st.floats(1, 100))
def test_share_at_peak_scales_the_flow(percent: float) -> None:
    whole = need(heater(), water={"design_cold_F": 45.0, "peak_fixtures_share_percent": 100.0})
    part = need(heater(), water={"design_cold_F": 45.0, "peak_fixtures_share_percent": percent})
    assert part.peak_flow_gpm == pytest.approx(whole.peak_flow_gpm * percent / 100)


def test_power_exactly_right_meets_and_a_watt_less_misses() -> None:
    needed = need(heater()).needed_kW
    assert needed is not None
    assert verdict(run(heater(power_VA=needed * 1000)), "power") is Verdict.MEETS
    assert verdict(run(heater(power_VA=needed * 1000 - 1)), "power") is Verdict.MISSES


def test_flow_limit_exactly_met_and_just_missed() -> None:
    flow = need(heater()).peak_flow_gpm
    assert verdict(run(heater(power_VA=36000, max_flow_gpm=flow)), "flow-limit") is Verdict.MEETS
    assert verdict(run(heater(power_VA=36000, max_flow_gpm=flow - 0.001)), "flow-limit") is Verdict.MISSES


def test_first_hour_exactly_met_and_just_missed() -> None:
    two = (point("p1"), point("p2"))
    asked = 2 * table("hotwater/peak_hour_uses").one(fixture="shower").number("hot_gal")
    tank = heater(kind="storage", power_VA=4500, volume_gal=50.0)
    for rated, expected in ((asked, Verdict.MEETS), (asked - 0.01, Verdict.MISSES)):
        result = run(dataclasses.replace(tank, first_hour_gal=rated), points=two)
        assert verdict(result, "first-hour") is expected
        assert result.heaters[0].peak_hour_gal == asked
        assert result.heaters[0].undersized == (expected is Verdict.MISSES)


def test_a_fixture_that_the_worksheet_lacks_is_never_guessed() -> None:
    tank = heater(kind="storage", power_VA=4500, volume_gal=50.0)
    listed = {row.text("fixture") for row in table("hotwater/peak_hour_uses")}
    assert listed < set(FIXTURES), "the worksheet names a fixture that the input does not know"
    for kind in set(FIXTURES) - listed:
        result = run(tank, points=(point(fixture=kind),))
        assert verdict(result, "first-hour") is Verdict.CANNOT_SAY, kind
        assert result.heaters[0].peak_hour_gal is None
        full = run(tank, points=(point(fixture=kind), *(point(f"s{i}") for i in range(9))))
        assert verdict(full, "first-hour") is Verdict.MISSES, "the known uses alone are more than the tank gives"


def test_a_tank_without_volume_cannot_be_judged() -> None:
    result = run(heater(kind="storage", power_VA=4500))
    assert verdict(result, "first-hour") is Verdict.CANNOT_SAY
    assert result.heaters[0].first_hour_gal is None and result.heaters[0].sustained_min is None


def test_heat_pump_without_its_heat_says_so_and_counts_the_element() -> None:
    tank = heater(kind="heat_pump_storage", power_VA=4500, volume_gal=50.0)
    result = run(tank)
    assert verdict(result, "heat-pump") is Verdict.CANNOT_SAY
    assert result.heaters[0].heat_pump_recovery_gph is None
    assert result.heaters[0].recovery_gph == pytest.approx(rules.recovery_gph(4.5, 75.0))
    known = run(dataclasses.replace(tank, heat_kW=1.25)).heaters[0]
    factor = rules_tank.heat_pump_factor("capacity", 67.5, 50.0, 120.0)
    assert known.heat_pump_recovery_gph == pytest.approx(rules.recovery_gph(1.25 * factor, 75.0))
    assert known.recovery_gph == result.heaters[0].recovery_gph


@pytest.mark.parametrize("kind", HEATER_KINDS)
def test_heater_without_points_is_not_judged(kind: str) -> None:
    for points in ((), (point(at_peak=False),)):
        result = run(heater(kind=kind, volume_gal=40.0), points=points)
        assert verdict(result, "no-need") is Verdict.CANNOT_SAY
        assert result.heaters[0].needed_kW is None and not result.heaters[0].undersized
        assert result.heaters[0].current_A == 75.0
        judged = {f"hotwater-{name}" for name in ("power", "flow-limit", "first-hour")}
        assert not judged & {f.id for f in result.findings}


def test_house_without_heaters_gives_an_empty_result() -> None:
    result = run(points=())
    assert result.heaters == () and result.points == () and (result.all_on_kW, result.all_on_A) == (0.0, 0.0)
    assert len(result.mains) == 365 and verdict(result, "no-heater") is Verdict.CANNOT_SAY


def test_removed_heater_is_left_out_and_its_points_are_told() -> None:
    result = run(heater(status="removed"), heater(id="k", power_VA=9000))
    assert [h.heater for h in result.heaters] == ["k"] and result.all_on_kW == 9.0
    assert verdict(result, "removed-heater") is Verdict.MISSES


def test_setpoint_below_the_use_misses_and_takes_all_hot() -> None:
    result = run(heater(setpoint_F=104.0, power_VA=36000))
    assert verdict(result, "setpoint") is Verdict.MISSES
    assert result.points[0].hot_share == 1.0
    assert verdict(run(heater(setpoint_F=106.0)), "power"), "a setpoint above the use is no finding"
    same = run(heater(setpoint_F=105.0))
    assert same.points[0].hot_share == 1.0 and not [f for f in same.findings if f.id == "hotwater-setpoint"]


def test_mains_warmer_than_wanted_defines_no_mix() -> None:
    result = run(heater(), points=(point(use_F=80.0),), water={"design_cold_F": 85.0})
    assert verdict(result, "warm-mains") is Verdict.CANNOT_SAY
    assert result.points[0].hot_flow_gpm == 0 and verdict(result, "no-need") is Verdict.CANNOT_SAY
    edge = run(heater(), points=(point(use_F=85.0),), water={"design_cold_F": 85.0})
    assert edge.points[0].hot_share == 0 and not [f for f in edge.findings if f.id == "hotwater-warm-mains"]


def test_mains_at_the_setpoint_leaves_the_heater_off() -> None:
    for setpoint in (90.0, 95.0):
        result = run(heater(setpoint_F=setpoint), water={"design_cold_F": 95.0})
        assert verdict(result, "no-need") is Verdict.CANNOT_SAY
        assert result.heaters[0].delivered_F is None and result.heaters[0].full_flow_gpm is None


def test_a_lower_service_voltage_costs_heat_and_a_higher_one_is_told() -> None:
    low = run(heater(), site={"voltage_V": 208.0})
    assert low.heaters[0].heat_kW == pytest.approx(18 * (208 / 240) ** 2)
    assert low.heaters[0].nameplate_kW == 18 and low.heaters[0].current_A == 75
    assert low.heaters[0].delivered_F < need(heater()).delivered_F
    high = run(heater(voltage_V=208.0))
    assert verdict(high, "voltage") is Verdict.MISSES and high.heaters[0].heat_kW == 18
    small = run(heater(voltage_V=120.0, power_VA=1400), site={"voltage_V": 208.0})
    assert small.heaters[0].heat_kW == 1.4, "a 120 V heater stands on 120 V in either system"


def test_editions_give_the_same_numbers() -> None:
    pair = (heater(interlock="x"), heater(id="k", power_VA=9000, interlock="x"))
    results = [run(*pair, edition=year) for year in (2017, 2020, 2023, 2026)]
    for one, other in itertools.pairwise(results):
        assert (one.heaters, one.all_on_kW, one.points) == (other.heaters, other.all_on_kW, other.points)
    assert verdict(results[-1], "interlock") is Verdict.CANNOT_SAY, "edition 2026 was seen only in summaries"


def test_every_main_number_has_its_working() -> None:
    result = run(
        heater(max_flow_gpm=3.0),
        heater(id="t", kind="heat_pump_storage", power_VA=4500, volume_gal=50.0, heat_kW=1.2),
        points=(point(), point("q", heater="t")),
    )
    shown = {entry.value for entry in result.working}
    numbers = [result.cold_F, result.all_on_kW, result.all_on_A]
    for got in result.heaters:
        numbers += [
            got.peak_flow_gpm,
            got.rise_dF,
            got.current_A,
            *(v for v in (got.needed_kW, got.delivered_F, got.fixture_F, got.full_flow_gpm) if v is not None),
            *(v for v in (got.recovery_gph, got.first_hour_gal, got.peak_hour_gal, got.sustained_min) if v is not None),
        ]
    missing = [n for n in numbers if n not in shown]
    assert not missing, f"numbers without a line of working: {missing}"
