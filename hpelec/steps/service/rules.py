"""Rules of service size: standard ratings, the one-family minimum, offers, metering."""

from __future__ import annotations

from collections.abc import Iterable

from hpelec.common import rules_ratings as ratings
from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import Row, table


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
    known_A = ratings.standard_ratings_A(edition)
    in_range("rating_A", rating_A, above=0, high=known_A[-1])
    if rating_A in known_A:
        return rating_A
    within = [r for r in known_A if r >= rating_A and continuous_A(r) <= rating_A]
    return within[-1] if within else ratings.next_standard_A(rating_A, edition)


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
