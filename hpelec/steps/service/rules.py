"""Rules of service size: the smallest disconnect, offers, the main, its continuous current."""

from __future__ import annotations

from collections.abc import Iterable

from hpelec.common import rules_ratings as ratings
from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import in_range
from hpelec.core.tables import Row, table


@rule(
    "smallest service disconnect for what the service supplies",
    source="NFPA 70",
    locator="230.79",
    accuracy="published",
)
def minimum_service_A(edition: int, serves: str = "one_family") -> float:
    """Smallest rating [A] of the service disconnect; 100 A for a one-family dwelling, 3-wire.

    serves: one_family, two_circuits, one_circuit or other; TableError for any other word. Only the value for a
    dwelling is published; `minimum_row` holds the citation of each.
    """
    check_edition(edition)
    return minimum_row(serves).number("minimum_a")


def minimum_row(serves: str) -> Row:
    """The row of the table of smallest disconnects for what the service supplies."""
    return table("service_sizing/minimum_disconnect").one(serves=serves)


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
    "current that a main may carry for three hours or more",
    source="NFPA 70 and ANSI C12.7",
    locator="230.42(A)(1); class 320 meter equipment",
    accuracy="published",
)
def continuous_A(main_A: float, rated_percent: float = 80.0) -> float:
    """Current [A] that a device of `main_A` [A], > 0, marked for `rated_percent` of it, may carry continuously.

    rated_percent: 80 for an ordinary assembly, 100 for one listed and marked for it; 1 to 100.
    """
    in_range("rated_percent", rated_percent, low=1, high=100)
    return in_range("main_A", main_A, above=0) * rated_percent / 100


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


@rule(
    "load rating of a service not below the largest branch circuit for space heating",
    source="NFPA 70",
    locator={2017: "220.51", 2026: "120.51"},
    accuracy="memory",
)
def heating_branch_fits(rating_A: float, branches_A: Iterable[float]) -> bool:
    """True when a rating [A], > 0, is not below any branch circuit [A], > 0, of fixed electric space heating; equal
    passes.
    """
    in_range("rating_A", rating_A, above=0)
    return all(rating_A >= in_range("branch_A", branch, above=0) for branch in branches_A)
