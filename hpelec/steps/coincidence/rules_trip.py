"""When a breaker must have tripped: the longest times that its standard allows, by multiple of its rating."""

from __future__ import annotations

import math
from functools import cache

from hpelec.core.citing import Citation, rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import Row, table


@cache
def limits(rating_A: float) -> tuple[Row, ...]:
    """The published points of the curve for a rating, by rising multiple. Raises RangeError beyond the table."""
    rows = [
        r
        for r in table("coincidence/trip_limits")
        if r.number("over_A") < in_range("rating_A", rating_A, above=0) <= r.number("up_to_A")
    ]
    if not rows:
        most = max(r.number("up_to_A") for r in table("coincidence/trip_limits"))
        raise RangeError(f"rating_A must be <= {most:g}, got {rating_A!r}: no trip limits are known beyond it")
    return tuple(sorted(rows, key=lambda r: r.number("multiple")))


def trip_citation(rating_A: float) -> Citation:
    """Where the limits of that rating come from."""
    return limits(rating_A)[0].citation


@rule(
    "longest time until a breaker trips", source="UL 489", locator="calibration at 135 % and 200 %", accuracy="memory"
)
def longest_trip_min(rating_A: float, multiple: float) -> float | None:
    """Minutes within which a breaker must trip at a multiple of its rating, from cold [min]; None below the first point.

    Between the points of the table the time is read on a straight line through their logarithms; beyond the last point it
    is that of the last (a larger current trips no later). rating_A > 0 within the table, multiple >= 0.
    """
    points = [(r.number("multiple"), r.number("longest_min")) for r in limits(rating_A)]
    in_range("multiple", multiple, low=0)
    if multiple < points[0][0]:
        return None
    for (m0, t0), (m1, t1) in zip(points, points[1:], strict=False):
        if multiple <= m1:
            share = math.log(multiple / m0) / math.log(m1 / m0)
            return math.exp(math.log(t0) + share * math.log(t1 / t0))
    return points[-1][1]


def first_multiple(rating_A: float) -> float:
    """The lowest multiple of the rating at which a breaker must trip at all."""
    return limits(rating_A)[0].number("multiple")
