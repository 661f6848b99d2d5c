"""Laws of hot water in depth: what must hold for every tank, pipe, size, layout and weather file."""

from __future__ import annotations

import dataclasses
import math
import time
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.common.rules_water import flow_heat_kW
from hpelec.core.errors import RangeError
from hpelec.core.findings import Verdict
from hpelec.house.rows_loads import FIXTURES, HEATER_KINDS, PIPE_SIZES, PIPES
from hpelec.house.sections import Prices
from hpelec.plan import design as design_plan
from hpelec.steps.hotwater import rules, rules_pipes, rules_sizing, rules_tank, tank
from hpelec.steps.hotwater.design_year import MONTH_STARTS, Busy, at_cold
from hpelec.steps.hotwater.model import HotWaterResult
from hpelec.steps.hotwater.tank import Tank, tank_day
from hpelec.steps.hotwater.values import value
from tests.houses import EXAMPLES, planned
from tests.test_laws_hotwater import COLD, HOT, KW, heater, point, run, verdict

SOME = settings(max_examples=40, deadline=None)
FEW = settings(max_examples=15, deadline=None)
USES = st.lists(st.tuples(st.floats(60, 160), st.floats(0.1, 5)), min_size=1, max_size=4).map(tuple)
DRAWS = st.lists(st.tuples(st.floats(0, 1439), st.floats(0.1, 40), st.floats(0.2, 4)), max_size=8).map(tuple)
PRICED = dict(dataclasses.asdict(Prices(**{f.name: 10.0 for f in dataclasses.fields(Prices)})))


@st.composite
def tanks(draw: st.DrawFn) -> Tank:
    return Tank(
        volume_gal=draw(st.floats(2, 120)),
        setpoint_F=draw(HOT),
        ua_Btu=draw(st.floats(0, 10)),
        air_F=draw(st.floats(40, 110)),
        lower_kW=draw(st.floats(0, 6)),
        upper_kW=draw(st.floats(0, 6)),
        together=draw(st.booleans()),
        pump_kW=draw(st.sampled_from((0.0, 0.0, 1.4))),
        pump_cop=3.0,
        parts=draw(st.integers(1, 20)),
    )


# --- the tank by the minute ------------------------------------------------------------------------------------------


@SOME
@given(tanks(), DRAWS, COLD)
def test_heat_in_is_heat_drawn_lost_and_stored(one: Tank, draws: Any, cold: float) -> None:
    got = tank_day(one, draws, cold)
    most = max(abs(v) for v in (got.heat_kWh, got.delivered_kWh, got.standby_kWh, got.stored_kWh, 1e-6))
    left = got.heat_kWh - got.delivered_kWh - got.standby_kWh - got.stored_kWh
    assert abs(left) <= 0.001 * most
    assert got.drawn_gal.sum() == pytest.approx(sum(v for _, v, _ in draws))
    by_minute = np.nansum(flow_heat_kW() / 60 * got.drawn_gal * (got.out_F - cold))
    assert by_minute == pytest.approx(got.delivered_kWh, abs=1e-9), "what left by the minute is not what was booked"
    assert got.power_kW.sum() / 60 == pytest.approx(got.electric_kWh, abs=1e-9)


@SOME
@given(tanks(), DRAWS, COLD)
def test_a_tank_is_never_colder_than_its_water_nor_hotter_than_set(one: Tank, draws: Any, cold: float) -> None:
    got = tank_day(one, draws, cold)
    least, most = min(cold, one.air_F) - 1e-6, max(one.setpoint_F, one.air_F) + 1e-6
    assert got.bottom_F.min() >= least and got.top_F.max() <= most
    assert (got.bottom_F <= got.top_F + 1e-6).all(), "colder water lies above"


@SOME
@given(tanks(), DRAWS, COLD)
def test_interlocked_elements_never_draw_both(one: Tank, draws: Any, cold: float) -> None:
    single = dataclasses.replace(one, together=False, pump_kW=0.0)
    got = tank_day(single, draws, cold)
    assert got.power_kW.max() <= max(one.lower_kW, one.upper_kW) + 1e-9


@SOME
@given(st.floats(10, 100), st.floats(0, 5), st.floats(0, 5))
def test_a_leakier_tank_never_loses_less(volume: float, one: float, other: float) -> None:
    tight, leaky = (tank_day(Tank(volume, 125, ua, 67.5, 4.5, 4.5), (), 50) for ua in sorted((one, other)))
    assert leaky.standby_kWh >= tight.standby_kWh - 1e-9


@pytest.mark.parametrize("pump", [0.0, 1.4])
def test_a_standing_tank_is_off_most_of_the_day(pump: float) -> None:
    got = tank_day(Tank(50, 125, 5.0, 67.5, 4.5, 4.5, pump_kW=pump, pump_cop=3.0), (), 50.0)
    assert 0 < (got.power_kW > 0).sum() < 120
    assert got.top_F.min() > 125 - 10 - 1 and got.top_F.max() <= 125 + 1e-9


def test_a_day_of_a_tank_takes_well_under_a_tenth_of_a_second() -> None:
    pump = Tank(50, 125, 2.2, 67.5, 0.0, 4.5, pump_kW=1.4, pump_cop=3.0)
    took = []
    for _ in range(5):
        began = time.perf_counter()
        tank._tank_day.__wrapped__(pump, rules_tank.draws("high"), 45.0)
        took.append(time.perf_counter() - began)
    assert min(took) < 0.1, f"best of five {min(took):.3f} s"


@pytest.mark.parametrize("draw", [(-1.0, 1.0, 1.0), (1440.0, 1.0, 1.0), (0.0, 0.0, 1.0), (0.0, 1.0, 0.0)])
def test_a_draw_outside_the_day_is_refused(draw: tuple[float, float, float]) -> None:
    with pytest.raises(RangeError):
        tank_day(Tank(50, 125, 2.2, 67.5, 4.5, 4.5), (draw,), 45.0)


@SOME
@given(st.floats(50, 90), st.floats(50, 90), st.floats(90, 140), st.sampled_from(("capacity", "cop")))
def test_warmer_air_never_makes_a_heat_pump_worse(one: float, other: float, water: float, curve: str) -> None:
    cold, warm = sorted((one, other))
    factors = [rules_tank.heat_pump_factor(curve, air, 50.0, water) for air in (cold, warm)]
    assert factors[1] >= factors[0] - 1e-9


# --- need, size, sets ------------------------------------------------------------------------------------------------


@SOME
@given(HOT, USES, KW, COLD, COLD)
def test_hotter_mains_never_need_more_heat(hot: float, uses: Any, kW: float, one: float, other: float) -> None:
    cold, warm = sorted((one, other))
    got = [at_cold(Busy(hot, uses, 1.0), kW, None, t) for t in (cold, warm)]
    assert got[1].needed_kW <= got[0].needed_kW * (1 + 1e-9) + 1e-9


@SOME
@given(HOT, USES, KW, COLD, st.floats(1, 3))
def test_more_flow_never_needs_less_heat(hot: float, uses: Any, kW: float, cold: float, more: float) -> None:
    wider = tuple((use, flow * more) for use, flow in uses)
    got = [at_cold(Busy(hot, u, 1.0), kW, None, cold) for u in (uses, wider)]
    assert got[1].needed_kW >= got[0].needed_kW * (1 - 1e-9)
    assert got[1].delivered_F <= got[0].delivered_F + 1e-9


@SOME
@given(st.floats(0.01, 36), st.floats(0.5, 1))
def test_a_size_covers_its_need_and_the_next_one_down_does_not(needed: float, left: float) -> None:
    size = rules_sizing.tankless_size_kW(needed, left)
    smaller = [kW for kW, _ in rules_sizing.sizes("tankless") if size is None or kW < size]
    assert size is None or size * left >= needed * (1 - 1e-8)
    assert all(kW * left < needed for kW in smaller)


@SOME
@given(st.floats(0.1, 5), st.floats(40, 100))
def test_a_heater_sized_for_a_flow_serves_it(flow: float, rise: float) -> None:
    size = rules_sizing.tankless_size_kW(rules.needed_kW(flow, rise))
    if size is not None:
        assert rules_sizing.largest_sets({"all": flow}, rules.full_flow_gpm(size, rise)) == (("all",),)


@SOME
@given(st.dictionaries(st.sampled_from("abcdefg"), st.floats(0, 5), min_size=1), st.floats(0, 10), st.randoms())
def test_sets_are_all_that_fit_and_can_take_no_more(asks: dict[str, float], limit: float, chance: Any) -> None:
    sets = rules_sizing.largest_sets(asks, limit)
    shuffled = list(asks.items())
    chance.shuffle(shuffled)
    assert rules_sizing.largest_sets(dict(shuffled), limit) == sets
    for names in sets:
        total = math.fsum(asks[n] for n in names)
        assert total <= limit + 1e-6
        assert all(total + asks[n] > limit for n in asks if n not in names)
    assert bool(sets) == any(a <= limit + 1e-9 for a in asks.values())


def test_too_many_points_are_said_and_not_listed() -> None:
    points = tuple(point(f"p{i}", at_peak=i == 0) for i in range(rules_sizing.MOST_POINTS + 1))
    result = run(heater(), points=points)
    assert verdict(result, "together") is Verdict.CANNOT_SAY and result.together == ()


def test_a_heater_of_the_size_told_serves_what_is_marked() -> None:
    points = (point("a"), point("b", flow_gpm=1.0))
    size = run(heater(), points=points).sizes[0].size_kW
    assert size is not None
    sets = run(heater(power_VA=size * 1000), points=points).together
    assert [s.points for s in sets] == [("a", "b")] and sets[0].all_at_peak


@FEW
@given(KW)
def test_months_are_days_of_the_year(kW: float) -> None:
    result = run(heater(power_VA=kW * 1000), water={"design_cold_F": None})
    year = result.year[0]
    for month in result.months:
        assert MONTH_STARTS[month.month - 1] <= month.day < MONTH_STARTS[month.month]
        assert (month.needed_kW, month.delivered_F) == (year.needed_kW[month.day - 1], year.delivered_F[month.day - 1])
    assert max(year.needed_kW) == result.heaters[0].needed_kW, "the design day is the coldest of the year"
    assert min(year.delivered_F) == pytest.approx(result.heaters[0].delivered_F)


# --- pipes -----------------------------------------------------------------------------------------------------------


@SOME
@given(st.floats(0, 300), st.floats(0, 300), st.sampled_from(("shower", "lavatory", "tub")))
def test_a_longer_pipe_never_wastes_less(one: float, other: float, fixture: str) -> None:
    short, long = (
        run(heater(), points=(point(pipe_length_ft=length, fixture=fixture),)).pipes[0]
        for length in sorted((one, other))
    )
    for name in ("held_gal", "wait_s", "wasted_gal_per_year", "left_kWh_per_year"):
        assert getattr(long, name) >= getattr(short, name) - 1e-12, name


@SOME
@given(st.floats(0, 4), st.floats(0, 4))
def test_more_insulation_never_loses_more(one: float, other: float) -> None:
    thin, thick = (
        rules_pipes.pipe_ua_W_per_mK(17, 22, inches * 25.4, 0.41, 0.036, 10) for inches in sorted((one, other))
    )
    assert thick <= thin + 1e-12


@pytest.mark.parametrize("material", PIPES)
@pytest.mark.parametrize("size", PIPE_SIZES)
def test_a_pipe_without_published_volume_is_said(material: str, size: str) -> None:
    result = run(heater(), points=(point(pipe_material=material, pipe_size=size),))
    got = result.pipes[0]
    if (material, size) == ("cpvc", "3/8"):
        assert verdict(result, "pipe") is Verdict.CANNOT_SAY and got.held_gal is None and got.wait_s is None
    else:
        assert got.held_gal is not None and got.held_gal > 0


def test_stored_water_exactly_at_the_limit_meets() -> None:
    length = rules_pipes.longest_run_ft(value("stored_limit_gal"), 1.18)
    assert verdict(run(heater(), points=(point(pipe_length_ft=length),)), "stored-water") is Verdict.MEETS
    assert verdict(run(heater(), points=(point(pipe_length_ft=length + 0.1),)), "stored-water") is Verdict.MISSES


# --- points, tanks and heat pumps of a house -------------------------------------------------------------------------


@pytest.mark.parametrize("fixture", FIXTURES)
def test_a_blank_flow_takes_the_published_one_or_says_what_is_missing(fixture: str) -> None:
    result = run(heater(), points=(point(fixture=fixture, flow_gpm=None),))
    if fixture == "other":
        assert verdict(result, "no-flow") is Verdict.CANNOT_SAY and result.points == ()
    else:
        assert result.points[0].mixed_flow_gpm > 0
        assert any(a.where == "hot_water.csv, flow_gpm" for a in result.assumptions)


@pytest.mark.parametrize("kind", HEATER_KINDS)
def test_only_tanks_have_a_day(kind: str) -> None:
    result = run(heater(kind=kind, volume_gal=40.0, power_VA=4500.0))
    assert len(result.tank_days) == (0 if "tankless" in kind else 1)
    assert len(result.heat_pumps) == (kind == "heat_pump_storage")
    assert len(result.year) == ("tankless" in kind)
    for day in result.tank_days:
        assert abs(day.balance_percent) < 0.1
        assert len(day.top_F) * day.step_min == 1440
        assert sum(day.power_kW) * day.step_min / 60 == pytest.approx(day.electric_kWh, abs=0.01)


def test_two_elements_together_draw_the_nameplate_and_interlocked_no_more() -> None:
    busy = {"kind": "storage", "volume_gal": 30.0, "power_VA": 9000.0}
    for elements in ("together", "interlocked"):
        day = run(heater(elements=elements, **busy), water={"design_cold_F": 45.0, "draw_pattern": "high"}).tank_days[0]
        assert day.peak_kW <= 9.0 + 1e-9
    assert day.peak_kW > 4.5, "one interlocked element is of the whole nameplate"


@pytest.mark.parametrize(("air", "says"), [(44.9, Verdict.MISSES), (45.0, Verdict.MEETS), (120.1, Verdict.MISSES)])
def test_a_heat_pump_runs_only_in_air_it_takes(air: float, says: Verdict) -> None:
    row = heater(kind="heat_pump_storage", volume_gal=50.0, power_VA=4500.0, heat_kW=1.4, air_F=air)
    result = run(row)
    assert verdict(result, "heat-pump-air") is says
    got, day = result.heat_pumps[0], result.tank_days[0]
    assert got.runs is (says is Verdict.MEETS)
    assert (day.element_kWh == pytest.approx(day.heat_kWh)) is (not got.runs)


def test_a_heat_pump_cools_its_room_by_what_it_takes_from_the_air() -> None:
    row = heater(kind="heat_pump_storage", volume_gal=50.0, power_VA=4500.0, heat_kW=1.4, cop=3.0)
    result = run(row)
    got, day = result.heat_pumps[0], result.tank_days[0]
    assert got.heat_kW is not None and got.electric_kW is not None
    assert got.cools_kW == pytest.approx(got.heat_kW - got.electric_kW)
    assert day.cooled_kWh == pytest.approx(day.heat_kWh - day.electric_kWh)
    ducted = run(dataclasses.replace(row, ducted=True))
    assert ducted.heat_pumps[0].cools_kW == 0 and ducted.tank_days[0].cooled_kWh == 0
    assert ducted.layouts[0].holes == result.layouts[0].holes + 2


@pytest.mark.parametrize(("noise", "says"), [(55.0, Verdict.MEETS), (55.1, Verdict.MISSES)])
def test_noise_is_judged_where_it_is_told(noise: float, says: Verdict) -> None:
    row = heater(kind="heat_pump_storage", volume_gal=50.0, power_VA=4500.0, noise_dBA=noise)
    assert verdict(run(row), "heat-pump-noise") is says
    beside = run(dataclasses.replace(row, noise_dBA=None, room="bedroom"))
    assert verdict(beside, "heat-pump-noise") is Verdict.CANNOT_SAY


# --- layouts ---------------------------------------------------------------------------------------------------------


def with_prices(**prices: float | None) -> HotWaterResult:
    house = planned("wintermoss-hill").house.changed(prices=Prices(**(PRICED | prices)))
    result = design_plan(house, only=["hotwater"]).results["hotwater"]
    assert isinstance(result, HotWaterResult)
    return result


def test_no_price_no_cost_and_it_is_said() -> None:
    house = planned("wintermoss-hill").house.changed(prices=Prices())
    for layout in design_plan(house, only=["hotwater"]).hotwater.layouts:
        assert layout.first_USD is None and layout.yearly_USD is None and "energy_kWh_USD" in layout.missing


def test_all_prices_give_a_cost_that_is_their_sum() -> None:
    for layout in with_prices().layouts:
        assert layout.missing == () and layout.first_USD is not None
        assert layout.yearly_USD == pytest.approx(10 * (layout.electric_kWh + layout.wasted_gal))
        assert layout.first_USD >= 10 * (layout.heaters + layout.circuits + layout.holes)


@pytest.mark.parametrize("name", [f.name for f in dataclasses.fields(Prices)])
def test_a_higher_price_never_costs_less_and_a_blank_one_is_named(name: str) -> None:
    for was, more, blank in zip(
        with_prices().layouts, with_prices(**{name: 20.0}).layouts, with_prices(**{name: None}).layouts, strict=True
    ):
        assert more.first_USD >= was.first_USD and more.yearly_USD >= was.yearly_USD
        counts = (more.first_USD, more.yearly_USD) != (was.first_USD, was.yearly_USD)
        assert (name in blank.missing) is counts, f"{was.layout}: {name}"


@pytest.mark.parametrize("house", EXAMPLES)
def test_layouts_of_the_examples_hang_together(house: str) -> None:
    result = planned(house).hotwater
    by_name = {entry.layout: entry for entry in result.layouts}
    assert by_name["as described"].peak_A == result.all_on_A
    assert by_name["at the points of use"].wasted_gal < by_name["central tankless"].wasted_gal
    assert by_name["at the points of use"].circuits > by_name["central tank"].circuits
    assert by_name["central tank with loop"].electric_kWh > by_name["central tank"].electric_kWh
    assert by_name["central tank with loop"].longest_wait_s < by_name["central tank"].longest_wait_s
    assert by_name["central heat-pump tank"].electric_kWh < by_name["central tank"].electric_kWh
    for entry in result.layouts:
        assert entry.holes >= entry.circuits + entry.heaters


@FEW
@given(st.permutations(range(4)), st.permutations(range(2)))
def test_order_of_rows_changes_no_depth(points_order: list[int], heaters_order: list[int]) -> None:
    heaters = [heater(id="a"), heater(id="b", kind="storage", power_VA=4500.0, volume_gal=40.0, room="bedroom")]
    points = [
        point("p1", heater="a", flow_gpm=1.7, pipe_length_ft=31.7),
        point("p2", heater="b", fixture="lavatory", flow_gpm=0.7),
        point("p3", heater="b", fixture="kitchen_sink", room="kitchen", flow_gpm=1.3),
        point("p4", heater="a", fixture="clothes_washer", flow_gpm=2.9, at_peak=False),
    ]
    first = run(*heaters, points=tuple(points))
    then = run(*[heaters[i] for i in heaters_order], points=tuple(points[i] for i in points_order))
    for part in ("months", "year", "sizes", "together", "pipes", "tank_days", "layouts"):
        one, other = (sorted(getattr(r, part), key=str) for r in (first, then))
        assert one == other, part


@FEW
@given(st.sampled_from(HEATER_KINDS), HOT, st.floats(32, 95), st.floats(0, 130), st.floats(5, 99), st.floats(1, 100000))
def test_no_heater_that_can_be_entered_stops_the_step(
    kind: str, hot: float, cold: float, air: float, humid: float, power: float
) -> None:
    row = heater(
        kind=kind, setpoint_F=hot, air_F=air, air_humidity_percent=humid, power_VA=power, volume_gal=50.0, heat_kW=1.2
    )
    result = run(row, water={"design_cold_F": cold, "recirculation_h": 3.0})
    assert len(result.layouts) == 6
    for day in result.tank_days:
        assert abs(day.balance_percent) < 0.1
