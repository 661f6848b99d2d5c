"""Formulas of tanks: standing loss from the rating, test pattern, heat pump by air and water, mixed heat."""

from __future__ import annotations

import math
from functools import cache

from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import table
from hpelec.steps.hotwater.values import value

BTU_PER_KWH = 3412.142
HOURS = 24.0
TEST = "10 CFR 430 subpart B Appendix E"
UA_PAPER = "Maguire & Roberts 2020, electric storage heaters, as coded in a public national-lab model"


@rule("heat drawn in a test day", source=TEST, locator="gal x lb/gal x Btu/lb-F x rise", accuracy="recomputed")
def draw_Btu(volume_gal: float, rise_dF: float) -> float:
    """Heat of a volume of water warmed by `rise_dF`, with the test procedure's water [Btu]; both >= 0."""
    in_range("volume_gal", volume_gal, low=0)
    in_range("rise_dF", rise_dF, low=0)
    return volume_gal * value("water_lb_per_gal") * value("water_btu_per_lb_dF") * rise_dF


@rule("heat loss of a resistance tank from its rating", source=UA_PAPER, locator="UA from UEF", accuracy="recomputed")
def ua_Btu(uef: float, daily_gal: float) -> float:
    """Loss coefficient of a tank [Btu/h-F] from its uniform energy factor in the bin of `daily_gal`.

    0 < uef < 1 (resistance only: a heat pump's factor holds its compressor too); daily_gal > 0.
    """
    in_range("uef", uef, above=0, high=1)
    if uef == 1:
        raise RangeError("uef must be < 1 for a resistance tank, got 1")
    in_range("daily_gal", daily_gal, above=0)
    hot, cold, air = value("test_hot"), value("test_cold"), value("test_air")
    low = value("ua_bottom_share")
    lost = draw_Btu(daily_gal, hot - cold) * (1 / uef - 1)
    return lost / (HOURS * (hot - air) * ((1 - low) + low * (cold - air) / (hot - air)))


@rule("standing loss of a tank", source="heat balance", locator="UA (T - Ta)", accuracy="recomputed")
def standby_W(ua_Btu: float, water_F: float, air_F: float) -> float:
    """Loss of a tank at one temperature [W], negative in air that is warmer; ua_Btu >= 0 [Btu/h-F]."""
    in_range("ua_Btu", ua_Btu, low=0)
    return ua_Btu * (in_range("water_F", water_F) - in_range("air_F", air_F)) * 1000 / BTU_PER_KWH


@rule("test pattern that goes with a first hour", source=TEST, locator="5.4.1", accuracy="memory")
def pattern_by_first_hour(first_hour_gal: float) -> str:
    """Name of the day of draws by the first hour [gal], >= 0; a lower limit belongs to the larger pattern."""
    in_range("first_hour_gal", first_hour_gal, low=0)
    fit = [r for r in table("hotwater/pattern_bins") if r.number("least_first_hour_gal") <= first_hour_gal]
    return max(fit, key=lambda r: r.number("least_first_hour_gal")).text("pattern")


@cache
def draws(pattern: str) -> tuple[tuple[float, float, float], ...]:
    """The draws of a pattern: start [min of the day], volume [gal], flow [gal/min]. RangeError for another name."""
    rows = table("hotwater/draw_patterns").where(pattern=pattern)
    if not rows:
        raise RangeError(f"no draw pattern {pattern!r}")
    return tuple((r.number("start_min"), r.number("volume_gal"), r.number("flow_gpm")) for r in rows)


@rule("water drawn in a test day", source=TEST, locator="sum of a pattern's draws", accuracy="published")
def pattern_gal(pattern: str) -> float:
    """Sum of the volumes of a pattern [gal]. RangeError for a name that is none."""
    return math.fsum(volume for _, volume, _ in draws(pattern))


@rule(
    "wet bulb of air",
    source="Stull 2011, Wet-bulb temperature from relative humidity and air temperature, J. Appl. Meteor. Climatol. 50",
    locator="Eq. 1",
    accuracy="memory",
)
def wet_bulb_C(air_C: float, humidity_percent: float) -> float:
    """Wet bulb at sea level [C]; air_C -20 to 50, humidity_percent 5 to 99 (the range of the fit)."""
    t = in_range("air_C", air_C, low=-20, high=50)
    h = in_range("humidity_percent", humidity_percent, low=5, high=99)
    return (
        t * math.atan(0.151977 * math.sqrt(h + 8.313659))
        + math.atan(t + h)
        - math.atan(h - 1.676331)
        + 0.00391838 * math.pow(h, 1.5) * math.atan(0.023101 * h)
        - 4.686035
    )


@cache
def _curve(name: str) -> tuple[float, ...]:
    row = table("hotwater/heat_pump_curves").one(curve=name)
    return tuple(row.number(c) for c in ("one", "wet_bulb", "wet_bulb_squared", "water", "water_squared", "product"))


def _at(name: str, wet_C: float, water_C: float) -> float:
    a, b, c, d, e, f = _curve(name)
    return a + b * wet_C + c * wet_C**2 + d * water_C + e * water_C**2 + f * wet_C * water_C


CURVES = "heat pump water heater laboratory work (Hudon, Sparn, Christensen, Maguire 2012)"
CURVE_AIR_C = (-5.0, 40.0)
CURVE_WATER_C = (0.0, 100.0)


@rule("heat pump curve as printed", source=CURVES, locator="biquadratic in wet bulb and water", accuracy="memory")
def curve_value(curve: str, wet_C: float, water_C: float) -> float:
    """`capacity` or `cop` over its rated value, at a wet bulb of -5 to 40 C and water of 0 to 100 C."""
    in_range("wet_C", wet_C, low=CURVE_AIR_C[0], high=CURVE_AIR_C[1])
    in_range("water_C", water_C, low=CURVE_WATER_C[0], high=CURVE_WATER_C[1])
    return _at(curve, wet_C, water_C)


@rule("heat pump away from its test conditions", source=CURVES, locator="ratio of curve values", accuracy="memory")
def heat_pump_factor(curve: str, air_F: float, humidity_percent: float, water_F: float) -> float:
    """Factor on the tested `capacity` or `cop`: 1 with air of the test and water at the test's delivery temperature.

    air_F and humidity_percent give a wet bulb of -5 to 40 C; water_F 32 to 212.
    """
    return curve_value(curve, _wet(air_F, humidity_percent), celsius(water_F)) / _tested(curve)


def celsius(value_F: float) -> float:
    """Celsius of a Fahrenheit temperature, without the cost of the unit registry."""
    return (value_F - 32) / 1.8


@cache
def _wet(air_F: float, humidity_percent: float) -> float:
    return wet_bulb_C(celsius(air_F), humidity_percent)


@cache
def _tested(curve: str) -> float:
    return _at(curve, _wet(value("test_air"), value("test_air_humidity")), celsius(value("test_hot")))


@rule(
    "COP of a mix of heat pump and element",
    source="energy balance",
    locator="1 / (x + (1 - x) / COP)",
    accuracy="recomputed",
)
def mixed_cop(element_share: float, cop: float) -> float:
    """Heat over electricity when `element_share` (0 to 1) of the heat comes from elements; cop > 0."""
    in_range("element_share", element_share, low=0, high=1)
    in_range("cop", cop, above=0)
    return 1 / (element_share + (1 - element_share) / cop)


@rule(
    "share of the time that a heater runs", source="energy balance", locator="mean power / power", accuracy="recomputed"
)
def duty(draw_kWh_per_day: float, standby_W: float, heat_kW: float) -> float:
    """Mean power of draws and standing loss over the heater's; RangeError above 1, where the heater is too small."""
    in_range("draw_kWh_per_day", draw_kWh_per_day, low=0)
    in_range("standby_W", standby_W, low=0)
    in_range("heat_kW", heat_kW, above=0)
    return in_range("duty", (draw_kWh_per_day / HOURS + standby_W / 1000) / heat_kW, high=1)
