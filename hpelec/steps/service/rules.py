"""Rules of service size: standard ratings, the one-family minimum, offers, metering."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import Row, table

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
    return next(r for r in ratings if r >= current_A)


@rule(
    "largest standard rating of an overcurrent device within a limit",
    source="NFPA 70",
    locator="240.6(A)",
    accuracy="published",
)
def largest_standard_A(limit_A: float, edition: int) -> float | None:
    """Largest standard rating [A] <= `limit_A` [A], >= 0; None when the limit is below the smallest."""
    in_range("limit_A", limit_A, low=0)
    return max((r for r in standard_ratings_A(edition) if r <= limit_A), default=None)


@rule(
    "smallest service disconnect of a one-family dwelling",
    source="NFPA 70",
    locator="230.79(C)",
    accuracy="published",
)
def minimum_service_A(edition: int) -> float:
    """Smallest rating [A] of the service disconnect of a one-family dwelling, 3-wire."""
    check_edition(edition)
    return 100.0


@rule(
    "smallest service rating offered that carries the load and is not below the minimum",
    source="NFPA 70",
    locator="230.42, 230.79",
    accuracy="published",
)
def smallest_offer_A(load_A: float, offered_A: Iterable[float], minimum_A: float) -> float | None:
    """Smallest offered rating [A] >= load and >= minimum [A]; equal passes; None when no offer does."""
    in_range("load_A", load_A, low=0)
    in_range("minimum_A", minimum_A, low=0)
    offers = [in_range("offered_A", r, above=0) for r in offered_A]
    return min((r for r in offers if r >= load_A and r >= minimum_A), default=None)


@rule(
    "continuous current of a main rated for 80 % of its rating",
    source="NFPA 70 and ANSI C12.7",
    locator="230.42(A)(1); class 320 meter equipment",
    accuracy="published",
)
def continuous_A(main_A: float) -> float:
    """Current [A] that an 80 %-rated main of `main_A` [A], > 0, may carry continuously."""
    return in_range("main_A", main_A, above=0) * 4 / 5


@rule(
    "main overcurrent device behind a service rating that is no standard rating",
    source="NFPA 70 and ANSI C12.7",
    locator="240.6(A); class 320 meter equipment, 320 A continuous, 400 A main",
    accuracy="common practice",
)
def main_of_rating_A(rating_A: float, edition: int) -> float:
    """Main device [A] to size conductors for: the rating itself when it is standard.

    Any other rating (320 is the usual one) is read as the continuous current of the meter equipment, so its main is
    the largest standard one with 80 % of it within the rating: the careful reading, for conductors. A rating with no
    standard one between it and 1.25 times it takes the next standard one up.
    rating_A: [A], > 0 to 6000. Raises RangeError outside.
    """
    ratings = standard_ratings_A(edition)
    in_range("rating_A", rating_A, above=0, high=ratings[-1])
    if rating_A in ratings:
        return rating_A
    within = [r for r in ratings if r >= rating_A and continuous_A(r) <= rating_A]
    return within[-1] if within else next_standard_A(rating_A, edition)


def meter_class(main_A: float) -> Row:
    """Row of the smallest meter class whose continuous rating carries an 80 %-rated main of `main_A` [A].

    The last row (instrument transformers) has no limit. Raises RangeError unless main_A > 0.
    """
    needed = continuous_A(main_A)
    for row in table("tables/meter_socket_classes"):
        limit_A = row.number_or_none("continuous_a")
        if limit_A is None or needed <= limit_A:
            return row
    raise RangeError(f"no meter class carries {needed:g} A")
