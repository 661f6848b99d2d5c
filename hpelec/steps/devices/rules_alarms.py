"""Smoke and carbon-monoxide alarms: where they are needed, and what they keep clear of."""

from __future__ import annotations

from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import table

EPS = 1e-9
CLEAR = {"photoelectric": "cooking_photoelectric", "silenced": "cooking_silenced", "other": "cooking_other"}


def limit(item: str) -> float:
    """A value of the table of alarms; its unit stands beside it there."""
    return table("layout/alarms").one(item=item).number("value")


@rule("fewest smoke alarms", source="IRC", locator="R314.3", accuracy="memory")
def smoke_alarms(bedrooms: int, sleeping_areas: int, further_levels: int) -> int:
    """One in each bedroom, one outside each sleeping area, one on each further level (basements too); all >= 0."""
    for name, count in (("bedrooms", bedrooms), ("sleeping_areas", sleeping_areas), ("further_levels", further_levels)):
        in_range(name, count, low=0, high=1000)
    return bedrooms + sleeping_areas + further_levels


@rule("whether carbon-monoxide alarms are needed", source="IRC", locator="R315.2, R315.3", accuracy="memory")
def carbon_monoxide_needed(fuel_burning: bool, garage_opening: bool) -> bool:
    """Outside each sleeping area where something burns fuel or an attached garage opens into the dwelling."""
    return fuel_burning or garage_opening


@rule("smoke alarm clear of a bathroom door", source="IRC", locator="R314.3", accuracy="memory")
def clear_of_bathroom(distance_ft: float) -> bool:
    """Whether an alarm this far [ft, >= 0] from the door of a bathroom with tub or shower is far enough; 3 ft is."""
    return in_range("distance_ft", distance_ft, low=0) >= limit("bathroom_door") - EPS


@rule("smoke alarm clear of cooking", source="IRC", locator="R314.3.3", accuracy="memory")
def clear_of_cooking(distance_ft: float, sensor: str = "photoelectric") -> bool:
    """Whether an alarm this far [ft, >= 0] from a fixed cooking appliance is far enough.

    sensor: photoelectric, silenced (ionization with a silencing switch) or other. Raises RangeError for another word.
    """
    if sensor not in CLEAR:
        raise RangeError(f"sensor must be one of {', '.join(CLEAR)}, got {sensor!r}")
    return in_range("distance_ft", distance_ft, low=0) >= limit(CLEAR[sensor]) - EPS


@rule("height of a smoke alarm at a wall", source="NFPA 72", locator="29.8 (2016)", accuracy="memory")
def wall_alarm_height_allowed(below_ceiling_in: float) -> bool:
    """Whether an alarm at a wall may be this far [in, >= 0] below the ceiling: 4 to 12 in."""
    below_in = in_range("below_ceiling_in", below_ceiling_in, low=0)
    return limit("below_ceiling_least") - EPS <= below_in <= limit("below_ceiling_most") + EPS
