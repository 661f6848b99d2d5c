"""Ceiling fans: clearances, the shadow of the blades, how often it passes, which flicker is thought safe."""

from __future__ import annotations

import math
from functools import cache

from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.rounding import EPS
from hpelec.core.tables import Row, table
from hpelec.house.rows import SPRINKLERS

FAR_IN = 100000.0
DERIVED = "geometry of a light cone and a blade circle"


@cache
def fan_rule(rule_id: str) -> Row:
    """A row of the rules on fans, by its id."""
    return table("layout/fan_rules").one(rule_id=rule_id)


@rule(
    "distance at which a light throws no blade shadow",
    source=DERIVED,
    locator="d >= R + a + v tan(theta)",
    accuracy="recomputed",
)
def clear_distance_in(radius_in: float, opening_in: float, above_in: float, half_deg: float) -> float:
    """Axis of the fan to axis of the light [in] from which on no ray of the light meets the blade circle.

    radius_in: of the blade circle, >= 0. opening_in: radius of the opening that the light leaves, >= 0. above_in: that
    opening above the blades, > 0. half_deg: no light leaves beyond this angle from straight down, >= 0 and < 90.
    """
    in_range("radius_in", radius_in, low=0, high=FAR_IN)
    in_range("opening_in", opening_in, low=0, high=FAR_IN)
    in_range("above_in", above_in, above=0, high=FAR_IN)
    in_range("half_deg", half_deg, low=0, high=89.999999)
    return radius_in + opening_in + above_in * math.tan(math.radians(half_deg))


@rule(
    "widest light cone that throws no blade shadow",
    source=DERIVED,
    locator="atan((d - R - a) / v)",
    accuracy="recomputed",
)
def widest_clear_deg(radius_in: float, opening_in: float, above_in: float, distance_in: float) -> float | None:
    """Half angle [deg] up to which a light at `distance_in` (>= 0) is clear; None when no angle is."""
    in_range("distance_in", distance_in, low=0, high=FAR_IN)
    in_range("above_in", above_in, above=0, high=FAR_IN)
    left = distance_in - in_range("radius_in", radius_in, low=0) - in_range("opening_in", opening_in, low=0)
    return None if left < -EPS else math.degrees(math.atan(max(left, 0.0) / above_in))


@rule("how often blades pass", source="arithmetic", locator="blades x rpm / 60", accuracy="recomputed")
def blade_frequency_hz(blades: int, speed_rpm: float) -> float:
    """Blades that pass a point each second [Hz]. blades: >= 1; speed_rpm: >= 0."""
    return in_range("blades", blades, low=1, high=1000) * in_range("speed_rpm", speed_rpm, low=0, high=1e5) / 60


@cache
def _limits(level: str) -> tuple[tuple[float, float | None, float | None], ...]:
    rows = table("layout/flicker_limits").where(level=level)
    return tuple(
        (r.number("f_min_hz"), r.number_or_none("f_max_hz"), r.number_or_none("slope_percent_per_hz")) for r in rows
    )


@rule(
    "modulation of light that is thought low in risk, or not seen",
    source="IEEE 1789",
    locator="recommended practices 1 and 2",
    accuracy="memory",
)
def flicker_limit_percent(frequency_hz: float, level: str) -> float | None:
    """Largest modulation [percent] at a frequency (> 0); None: no limit. level: low_risk or no_observable_effect.

    The standard is written for the current of lamp drivers; for a blade's shadow it is an analogy. A boundary belongs
    to the upper band, but for the last one, which ends the limited range.
    """
    in_range("frequency_hz", frequency_hz, above=0, high=1e6)
    bands = _limits(level)
    for low, high, slope in bands:
        last = high is not None and (high, None, None) in bands
        if low <= frequency_hz and (high is None or frequency_hz < high or (last and frequency_hz == high)):
            return None if slope is None else slope * frequency_hz
    return None


@rule(
    "modulation where part of the light is chopped",
    source="arithmetic",
    locator="100 Ec / (2 Es + Ec), full shadow",
    accuracy="recomputed",
)
def modulation_percent(chopped_lux: float, steady_lux: float) -> float:
    """Modulation [percent] at a point: chopped_lux comes and goes wholly, steady_lux stays; both >= 0."""
    in_range("chopped_lux", chopped_lux, low=0, high=1e9)
    in_range("steady_lux", steady_lux, low=0, high=1e9)
    return 100 * chopped_lux / (2 * steady_lux + chopped_lux) if chopped_lux else 0.0


@rule("hub of a fan from a wall", source=DERIVED, locator="R + gap at the tip", accuracy="recomputed")
def hub_to_wall_in(span_in: float, tip_gap_in: float) -> float:
    """Least distance of the hub from a wall [in]; span_in: >= 0, tip_gap_in: >= 0."""
    return in_range("span_in", span_in, low=0, high=FAR_IN) / 2 + in_range("tip_gap_in", tip_gap_in, low=0, high=FAR_IN)


@rule("hub of a fan from what hangs", source="trade", locator="R + r + gap", accuracy="common practice")
def hub_to_pendant_in(span_in: float, pendant_diameter_in: float, gap_in: float) -> float:
    """Least distance of the hub from the axis of a pendant [in]; span_in: >= 0, the others: >= 0."""
    in_range("pendant_diameter_in", pendant_diameter_in, low=0, high=FAR_IN)
    in_range("gap_in", gap_in, low=0, high=FAR_IN)
    return in_range("span_in", span_in, low=0, high=FAR_IN) / 2 + pendant_diameter_in / 2 + gap_in


@rule(
    "blades stay above heads",
    source="advice page quoting a federal efficiency programme",
    locator="installation advice",
    accuracy="published",
)
def blades_high_enough(ceiling_in: float, drop_in: float) -> bool:
    """Blades at `drop_in` (>= 0) below a ceiling (> 0) are no lower than the advice of the table of fan rules."""
    in_range("ceiling_in", ceiling_in, above=0, high=FAR_IN)
    blade_in = ceiling_in - in_range("drop_in", drop_in, low=0, high=FAR_IN)
    return blade_in >= fan_rule("F-FLOOR").number("value") * 12 - EPS


@rule(
    "size of a fan by the area of its room",
    source="federal efficiency programme, advice on fan size",
    locator="table by room area",
    accuracy="memory",
)
def fan_span_in(area_ft2: float) -> tuple[float, float] | None:
    """Smallest and largest span advised [in] for a room (> 0 ft2); None: larger than the table, more than one fan."""
    in_range("area_ft2", area_ft2, above=0, high=1e9)
    for row in table("layout/fan_sizes"):
        if area_ft2 <= row.number("area_to_ft2") + EPS:
            return row.number("span_from_in"), row.number("span_to_in")
    return None


@rule(
    "a ceiling fan does not obstruct a sprinkler",
    source="IRC",
    locator="P2904.2.4.2",
    accuracy="memory",
)
def fan_clear_of_sprinkler(distance_in: float, span_in: float, kind: str) -> bool | None:
    """Whether a sprinkler counts as not obstructed by a fan; None: that cannot be said.

    distance_in: hub to sprinkler on the plan, >= 0. span_in: blade circle, > 0. kind: pendent, sidewall or unknown.
    False nearer than the distance of its kind (unknown: of both kinds). None where the kind decides, or where the
    sprinkler stands over the blade circle, of which the distance says nothing.
    """
    in_range("distance_in", distance_in, low=0, high=FAR_IN)
    in_range("span_in", span_in, above=0, high=FAR_IN)
    if kind not in SPRINKLERS:
        raise RangeError(f"kind: {kind!r} is none of {', '.join(SPRINKLERS)}")
    limits = [limit_ft * 12 for limit_ft in sprinkler_apart_ft(kind)]
    if distance_in < min(limits) - EPS:
        return False
    if distance_in < max(limits) - EPS or distance_in < span_in / 2 - EPS:
        return None
    return True


@cache
def sprinkler_apart_ft(kind: str) -> tuple[float, ...]:
    """Distances of hub and sprinkler [ft] that may apply: one for a kind that is known."""
    ids = {"pendent": ("F-SPRINKLER",), "sidewall": ("F-SPRINKLER-SIDE",)}
    return tuple(fan_rule(i).number("value") for i in ids.get(kind, ("F-SPRINKLER", "F-SPRINKLER-SIDE")))
