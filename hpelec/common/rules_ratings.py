"""Standard ratings of overcurrent devices."""

from __future__ import annotations

from functools import cache

from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import in_range
from hpelec.core.rounding import EPS
from hpelec.core.tables import table

FIRST_EDITION = {"all": 2017, "2023+": 2023}
"""First edition for which a rating stands in the list of breakers, by the word in the table's column `breaker`."""


@cache
def standard_ratings_A(edition: int) -> tuple[float, ...]:
    """Standard ratings of circuit breakers [A] in `edition`, rising. Source: NFPA 70, 240.6(A)."""
    check_edition(edition)
    return tuple(
        sorted(
            row.number("rating_a")
            for row in table("tables/standard_ocpd_ratings")
            if row.text("breaker") != "no" and FIRST_EDITION[row.text("breaker")] <= edition
        )
    )


@rule(
    "smallest standard rating of an overcurrent device that is not below a current",
    source="NFPA 70",
    locator="240.6(A), 240.4(B)",
    accuracy="published",
)
def next_standard_A(current_A: float, edition: int) -> float:
    """Smallest standard rating [A] >= `current_A`; a current equal to a rating takes that rating.

    current_A: load or ampacity [A], 0 to 6000. Raises RangeError outside. Source: NFPA 70, 240.6(A).
    """
    ratings = standard_ratings_A(edition)
    in_range("current_A", current_A, low=0, high=ratings[-1])
    return next(r for r in ratings if r >= current_A - EPS)


@rule(
    "largest standard rating of an overcurrent device within a limit",
    source="NFPA 70",
    locator="240.6(A)",
    accuracy="published",
)
def largest_standard_A(limit_A: float, edition: int) -> float | None:
    """Largest standard rating [A] <= `limit_A` [A], >= 0; None when the limit is below the smallest."""
    in_range("limit_A", limit_A, low=0)
    return max((r for r in standard_ratings_A(edition) if r <= limit_A + EPS), default=None)
