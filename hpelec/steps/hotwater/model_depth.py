"""Results of the step hotwater beside the coldest day: the year, sizes, sets, pipes, tanks by the minute, layouts."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.core.results import told


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthNeed:
    """One heater on the coldest day of one month."""

    heater: str = told("id of the heater")
    month: int = told("month, 1 to 12")
    day: int = told("its day with the coldest mains, 1 to 365")
    cold_F: float = told("mains water on that day")
    peak_flow_gpm: float = told("flow through the heater in the busiest minutes")
    needed_kW: float | None = told("heat needed to serve that flow at once (instantaneous heaters)")
    delivered_F: float | None = told("temperature that leaves it (instantaneous heaters)")
    fixture_F: float | None = told("the same at the fixtures, as a mean over them (without flow limit)")
    first_hour_gal: float | None = told("hot water in the first hour by volume and recovery (tanks)")


@dataclass(frozen=True, slots=True, kw_only=True)
class HeaterYear:
    """One instantaneous heater on each day of the year; day 1 first."""

    heater: str = told("id of the heater")
    needed_kW: tuple[float, ...] = told("heat needed to serve the peak flow at once")
    delivered_F: tuple[float, ...] = told("temperature that leaves it")


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeNeed:
    """The size that the need of one heater asks for, and the next size below what is there."""

    heater: str = told("id of the heater")
    asked: str = told("what sizes it: heat of the peak flow, or the busiest hour")
    size_kW: float | None = told(
        "rating at 240 V that covers it; none when no common size does, or the need is unknown"
    )
    size_gal: float | None = told("volume that covers it with the elements that are there (tanks)")
    smaller_kW: float | None = told("next common size below its rating (instantaneous heaters)")
    smaller_A: float | None = told("current of that size on this service")
    smaller_delivered_F: float | None = told("temperature that would leave it at the peak flow on the coldest day")
    smaller_fixture_F: float | None = told("the same at the fixtures, as a mean over them (without flow limit)")


@dataclass(frozen=True, slots=True, kw_only=True)
class RunsTogether:
    """A largest set of points that one heater serves at full temperature on the coldest day."""

    heater: str = told("id of the heater")
    points: tuple[str, ...] = told("points of use that can run together; no other can be added")
    used: float = told("what they take")
    limit: float = told("what the heater has")
    unit: str = told("of the two: gpm through the heater, or gal in the first hour with one use of each point")
    all_at_peak: bool = told("every point marked at_peak is among them")


@dataclass(frozen=True, slots=True, kw_only=True)
class PipeRun:
    """The pipe between one point of use and its heater."""

    point: str = told("id of the point of use")
    heater: str = told("id of the heater")
    held_gal: float | None = told("water it holds; none for a pipe without published volume")
    wait_s: float | None = told("least wait for hot water at the fixture's flow")
    stays_hot_min: float | None = told("how long it stays as hot as wanted after a draw; none when always or never")
    cold_starts_per_day: float = told("draws a day that find it cold")
    wasted_gal_per_year: float | None = told("water run off while waiting, where people wait")
    left_kWh_per_year: float | None = told("heat left in the pipe to cool")


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatPumpAir:
    """A heat-pump tank in its air."""

    heater: str = told("id of the heater")
    wet_bulb_F: float | None = told("wet bulb of the air that enters it; none outside the range of the formula")
    runs: bool = told("the air lies within what its compressor takes")
    heat_kW: float | None = told("heat of the heat pump in that air, water at the set point")
    cop: float | None = told("heat over electricity there")
    electric_kW: float | None = told("electricity of the compressor there")
    cools_kW: float | None = told("heat taken from the air of its room while it runs; 0 when ducted")
    room_ft3: float | None = told("volume of its room")


@dataclass(frozen=True, slots=True, kw_only=True)
class TankDay:
    """A tank through a day of draws with the coldest mains, the tank hot at midnight."""

    heater: str = told("id of the heater")
    pattern: str = told("day of draws")
    drawn_gal: float = told("water drawn")
    heat_kWh: float = told("heat put in")
    electric_kWh: float = told("electricity taken")
    element_kWh: float = told("of the heat, from elements")
    delivered_kWh: float = told("heat drawn")
    standby_kWh: float = told("heat lost to the air")
    stored_kWh: float = told("heat in the tank at the end less that at the start")
    balance_percent: float = told("heat in less heat drawn, lost and stored, of the largest of them")
    cooled_kWh: float = told("heat that a heat pump took from the air")
    lowest_F: float | None = told("coldest water that left it in any minute of a draw")
    short_gal: float = told("water that left it colder than people mix for showers")
    peak_kW: float = told("largest electrical power in a minute")
    step_min: int = told("length of one step of the lists below")
    top_F: tuple[float, ...] = told("temperature at the top at the end of each step")
    bottom_F: tuple[float, ...] = told("temperature at the bottom at the end of each step")
    power_kW: tuple[float, ...] = told("mean electrical power in each step")
    drawn_by_step_gal: tuple[float, ...] = told("water drawn in each step")


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """One way to place the heaters of the house."""

    layout: str = told("name of the way")
    heaters: int = told("number of heaters")
    nameplate_kW: float = told("nameplates of all that can run together")
    peak_A: float = told("their current on this service")
    circuits: int = told("branch circuits")
    breakers: str = told("breakers, by number and rating")
    conductors: str = told("copper conductors, by number and size")
    holes: int = told("cables, pipes and ducts, each counted as one hole in the air barrier")
    longest_wait_s: float | None = told("least wait at the point that waits longest")
    wasted_gal: float = told("water run off in a year while waiting")
    draw_kWh: float = told("heat drawn in a year")
    standby_kWh: float = told("standing loss of tanks in a year")
    pipe_kWh: float = told("heat left in pipes in a year")
    loop_kWh: float = told("heat lost by the loop in a year")
    electric_kWh: float = told("electricity in a year, pump of the loop with it")
    first_USD: float | None = told("first cost at the user's prices; none when a price is missing")
    yearly_USD: float | None = told("energy and water in a year at the user's prices; none when a price is missing")
    missing: tuple[str, ...] = told("prices that are blank and needed")
