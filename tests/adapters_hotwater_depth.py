"""Published checks of hot water in depth whose source gives other units, or takes several of our rules at once."""

from __future__ import annotations

import csv
import math
from pathlib import Path
from tempfile import TemporaryDirectory

from hpelec.common.rules_water import flow_heat_kW
from hpelec.core.tables import table
from hpelec.core.units import convert
from hpelec.house.weather import Climate, read_weather
from hpelec.steps.hotwater import rules_circuits, rules_demand, rules_mains, rules_pipes, rules_tank
from hpelec.steps.hotwater.tank import MINUTES, Tank, tank_day


def pattern_totals(patterns: list[str]) -> dict[str, list[float]]:
    return {
        "gal": [rules_tank.pattern_gal(p) for p in patterns],
        "n": [float(len(rules_tank.draws(p))) for p in patterns],
    }


def bins(first_hours_gal: list[float]) -> list[str]:
    return [rules_tank.pattern_by_first_hour(g) for g in first_hours_gal]


def test_day_heat(gal: float, hot_F: float, cold_F: float) -> dict[str, float]:
    heat = rules_tank.draw_Btu(gal, hot_F - cold_F)
    return {"Btu": heat, "kWh": heat / rules_tank.BTU_PER_KWH}


test_day_heat.__test__ = False


def loss_from_rating(uef: float, gal: float) -> dict[str, float]:
    ua = rules_tank.ua_Btu(uef, gal)
    return {"ua": ua, "standby_W": rules_tank.standby_W(ua, 125, 67.5)}


def rating_from_simulation(uef: float, volume_gal: float, pattern: str) -> float:
    """The energy factor that the tank by the minute shows at test conditions, heat left in the tank counted."""
    ua = rules_tank.ua_Btu(uef, rules_tank.pattern_gal(pattern))
    run = tank_day(Tank(volume_gal, 125, ua, 67.5, 4.5, 4.5), rules_tank.draws(pattern), 58)
    return run.delivered_kWh / (run.electric_kWh - run.stored_kWh)


def duty(gal_per_day: float, rise_dF: float, standby_W: float, kW: float) -> dict[str, float]:
    drawn = flow_heat_kW() / 60 * gal_per_day * rise_dF
    share = rules_tank.duty(drawn, standby_W, kW)
    return {"kWh_drawn": drawn, "mean_kW": share * kW, "duty": share}


def mixed_tank_after(volumes: float, start_F: float, cold_F: float, volume_gal: float) -> float:
    """One part only, drawn slowly without heat: the temperature left."""
    draw = ((0.0, volumes * volume_gal, volumes * volume_gal / (MINUTES - 10)),)
    return float(tank_day(Tank(volume_gal, start_F, 0.0, 70.0, 0, 0, parts=1), draw, cold_F).top_F[-1])


def standing_tank(start_F: float, air_F: float, ua_Btu: float, volume_gal: float) -> float:
    """A day without draw or heat."""
    tank = Tank(volume_gal, start_F, ua_Btu, air_F, 0, 0)
    return float(tank_day(tank, (), 50.0).top_F[-1])


def steady_tank(kW: float, draw_gpm: float, cold_F: float) -> float:
    """A mixed tank drawn all day with its element on: the temperature it settles at."""
    draw = ((0.0, draw_gpm * MINUTES, draw_gpm),)
    return float(tank_day(Tank(20, 125, 0.0, 70.0, kW, 0, parts=1), draw, cold_F).top_F[-1])


def parts_in_series(parts: int, volumes: float) -> float:
    """Share of the first temperature difference that is left at the outlet after some volumes, by the simulation."""
    draw = ((0.0, 50.0 * volumes, 50.0 * volumes / (MINUTES - 10)),)
    run = tank_day(Tank(50, 130, 0.0, 70.0, 0, 0, parts=parts), draw, 50.0)
    return float((run.top_F[-1] - 50) / 80)


def parts_closed_form(parts: int, volumes: float) -> float:
    at = parts * volumes
    return math.exp(-at) * math.fsum(at**k / math.factorial(k) for k in range(parts))


def bore(size: str, material: str) -> dict[str, float]:
    held = rules_pipes.pipe_row(material, size).number("oz_per_ft")
    return {"oz_per_ft": held, "bore_in": rules_pipes.bore_in(held)}


def average_bore_oz(outside_in: float, wall_in: float) -> float:
    return rules_pipes.bore_oz_per_ft(outside_in - 2 * wall_in)


def waits(lengths_ft: list[float], oz_per_ft: list[float], flows_gpm: list[float]) -> dict[str, object]:
    held = rules_pipes.pipe_gal(lengths_ft, oz_per_ft)
    return {"gal": held, "seconds": [rules_pipes.wait_s(held, q) for q in flows_gpm]}


def default_lengths(area_ft2: float, floors: int) -> dict[str, float]:
    pipe = rules_pipes.default_pipe_ft(area_ft2, floors, open_basement=False)
    return {"pipe_ft": pipe, "loop_ft": rules_pipes.default_loop_ft(pipe)}


def left_in_pipe(ft: float, oz_per_ft: float, draws: float, hot_F: float, air_F: float) -> dict[str, float]:
    held = rules_pipes.pipe_gal([ft], [oz_per_ft])
    return {"gal": held, "kWh": rules_pipes.left_kWh(held, draws, hot_F, air_F)}


def daily_water(occupants: float) -> dict[str, float]:
    return {"used": rules_demand.fixture_gal_per_day(occupants), "wasted": rules_demand.waste_gal_per_day(occupants)}


def use_of(bedrooms: float) -> dict[str, float]:
    groups = ("clothes_washer", "dishwasher", "shower", "tub", "sinks")
    return {g: rules_demand.use_gal_per_day(g, bedrooms) for g in groups}


def circuit_row(kW: float, *, tank: bool) -> dict[str, object]:
    """One row of the heater table: circuits, breaker at 125 % and copper size by the 60 C column."""
    amps = kW * 1000 / 240
    count = 1 if tank else rules_circuits.heater_circuits(amps)
    return {
        "circuits": count,
        "amps": amps / count,
        "breaker_A": rules_circuits.heater_breaker_A(amps / count, 2023),
        "awg": rules_circuits.heater_conductor(amps / count, 2023),
    }


HEADER = (
    "LOCATION,Invented,-,XX,invented for a test,000000,{latitude},-90.0,-6.0,100.0",
    "DESIGN CONDITIONS,0",
    "TYPICAL/EXTREME PERIODS,0",
    "GROUND TEMPERATURES,0",
    "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
    "COMMENTS 1,invented",
    "COMMENTS 2,invented",
    "DATA PERIODS,1,1,Data,Sunday,1/1,12/31",
)
MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def epw_lines(months_C: list[float], latitude: float) -> list[str]:
    """An invented year in the EPW format: each month at one temperature, other columns at a constant."""
    lines = [*HEADER]
    lines[0] = lines[0].format(latitude=latitude)
    for month, (days, air) in enumerate(zip(MONTH_DAYS, months_C, strict=True), 1):
        for day in range(1, days + 1):
            for hour in range(1, 25):
                rest = ["0.0", "50", "100000", *["0"] * 24, "0.000", "0.0", "0.0"]
                cells = ["2001", str(month), str(day), str(hour), "60", "invented", f"{air:.3f}", *rest]
                lines.append(",".join(cells[:35]))
    return lines


def weather_of_station(station: str) -> dict[str, float]:
    """The published monthly means of a station, written as hours, read again, and the mains that follow."""
    row = next(r for r in _stations() if r["station_wmo"] == station)
    months = [float(row[f"{m}_mean_air_temp_c"]) for m in MONTHS]
    with TemporaryDirectory() as folder:
        path = Path(folder) / "year.epw"
        path.write_text("\n".join(epw_lines(months, float(row["latitude_deg"]))) + "\n")
        found = read_weather(path, path.name)
    assert isinstance(found, Climate), found
    days = [rules_mains.mains_F(d, found.mean_F, found.range_dF, found.latitude_deg) for d in rules_mains.DAYS]
    return {
        "mean_C": convert(found.mean_F, "F", "C"),
        "range_K": found.range_dF / 1.8,
        "min_C": convert(min(days), "F", "C"),
        "max_C": convert(max(days), "F", "C"),
        "hours": float(found.hours),
    }


MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


def _stations() -> list[dict[str, str]]:
    with (Path(__file__).parent / "published" / "hotwater_stations.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def fixture_flow(fixture: str) -> float:
    return table("hotwater/fixtures").one(fixture=fixture, quantity="flow").number("value")
