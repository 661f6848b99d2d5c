"""When a main trips: the longest time that the standard of breakers allows, and a quick one of the usual kind."""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise

from hpelec.core.citing import Citation, rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import Row, table

BREAKERS = ("slow", "quick")
"""slow: the slowest that the standard allows. quick: by practice; a real breaker lies between the two."""


@cache
def points(rating_A: float, breaker: str) -> tuple[Row, ...]:
    """The points of a curve for a rating, by rising multiple. Raises RangeError beyond the table."""
    in_range("rating_A", rating_A, above=0)
    rows = [
        r
        for r in table("coincidence/trip_limits").where(breaker=breaker)
        if r.number("over_A") < rating_A <= r.number("up_to_A")
    ]
    if not rows:
        raise RangeError(
            f"rating_A must be one of the table and breaker one of {BREAKERS}, got {rating_A!r}, {breaker!r}"
        )
    return tuple(sorted(rows, key=lambda r: r.number("multiple")))


def first_multiple(rating_A: float, breaker: str) -> float:
    """The lowest multiple of the rating at which that breaker trips at all."""
    return points(rating_A, breaker)[0].number("multiple")


def curve_citation(rating_A: float, breaker: str) -> Citation:
    """Where the curve comes from."""
    return points(rating_A, breaker)[0].citation


@rule(
    "time until a breaker trips",
    source="UL 489",
    locator="calibration at 135 % and 200 %; straight in logarithms between",
    accuracy="memory",
)
def trip_min(rating_A: float, multiple: float, breaker: str = "slow") -> float | None:
    """Minutes until a breaker trips at a steady multiple of its rating, from cold [min]; None below the first point.

    Between the points of the table the time is read on a straight line through their logarithms; beyond the last point
    it is that of the last (a larger current trips no later). rating_A > 0 within the table, multiple >= 0.
    """
    curve = [(r.number("multiple"), r.number("minutes")) for r in points(rating_A, breaker)]
    in_range("multiple", multiple, low=0)
    if multiple < curve[0][0]:
        return None
    for (m0, t0), (m1, t1) in pairwise(curve):
        if multiple <= m1:
            return t0 * math.exp(math.log(t1 / t0) * math.log(multiple / m0) / math.log(m1 / m0))
    return curve[-1][1]
