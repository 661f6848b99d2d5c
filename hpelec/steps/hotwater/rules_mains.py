"""Temperature of the mains water through the year, from the air temperature of the place.

T(d) = (Ta + 6) + ratio (range / 2) sin(0.986 (d - 15 - lag) -/+ 90), angles in degrees, d the day of the year.
"""

from __future__ import annotations

import math

from hpelec.core.citing import rule
from hpelec.core.errors import in_range

SOURCE = "Burch & Christensen 2007, inlet water correlation"
FREEZING_F = 32.0
DAYS = range(1, 366)


@rule("yearly mean of the mains water", source=SOURCE, locator="offset", accuracy="published")
def mains_mean_F(mean_air_F: float) -> float:
    """Yearly mean of the mains water: 6 F above the annual mean of the hourly air temperature."""
    return in_range("mean_air_F", mean_air_F) + 6.0


@rule("how much of the air's yearly swing the mains shows", source=SOURCE, locator="ratio", accuracy="published")
def mains_ratio(mean_air_F: float) -> float:
    """Swing of the mains over the swing of the air: 0.4 at an annual mean of 44 F, 0.01 more for each F above."""
    return 0.4 + 0.01 * (in_range("mean_air_F", mean_air_F) - 44.0)


@rule("by how many days the mains follows the air", source=SOURCE, locator="lag", accuracy="published")
def mains_lag_days(mean_air_F: float) -> float:
    """Lag of the mains behind the air [days]: 35 at an annual mean of 44 F, one less for each F above."""
    return 35.0 - (in_range("mean_air_F", mean_air_F) - 44.0)


@rule("mains temperature on a day, before the floor", source=SOURCE, locator="T(d)", accuracy="published")
def mains_unfloored_F(day: int, mean_air_F: float, air_range_dF: float, latitude_deg: float) -> float:
    """What the correlation gives for a day 1 to 365, which may lie below freezing.

    air_range_dF: hottest minus coldest monthly mean, >= 0. latitude_deg: -90 to 90; south of the equator the
    season is turned by half a year.
    """
    in_range("day", day, low=1, high=365)
    in_range("air_range_dF", air_range_dF, low=0)
    in_range("latitude_deg", latitude_deg, low=-90, high=90)
    quarter_deg = -90.0 if latitude_deg >= 0 else 90.0
    angle_deg = 0.986 * (day - 15 - mains_lag_days(mean_air_F)) + quarter_deg
    swing_dF = mains_ratio(mean_air_F) * air_range_dF / 2
    return mains_mean_F(mean_air_F) + swing_dF * math.sin(math.radians(angle_deg))


@rule(
    "mains temperature on a day",
    source=SOURCE,
    locator="T(d), with the floor at 32 F of its current coded forms",
    accuracy="published",
)
def mains_F(day: int, mean_air_F: float, air_range_dF: float, latitude_deg: float) -> float:
    """Mains temperature, never below freezing; whoever floors a day must say so (see `mains_unfloored_F`)."""
    return max(FREEZING_F, mains_unfloored_F(day, mean_air_F, air_range_dF, latitude_deg))
