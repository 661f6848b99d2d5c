"""Rules of metering, of several disconnects, and of a set point of energy management."""

from __future__ import annotations

from hpelec.common import rules_ratings as ratings
from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import Row, table
from hpelec.steps.service.rules import continuous_A

MOST_DISCONNECTS = 6
"""Published by the clause that `disconnects_allowed` cites."""
TAKEN_LIMIT_A = 320.0
"""Where self-contained metering is taken to end when the utility was not asked: the scope of the class 320 standard."""


@rule(
    "smallest meter class whose continuous rating carries the main, or instrument transformers",
    source="ANSI C12.7 and C12.10; utility handbook",
    locator="class designation; 400 A self-contained service page",
    accuracy="memory",
)
def meter_class(needed_A: float, limit_A: float = TAKEN_LIMIT_A, class_200_A: float = 160.0) -> Row:
    """Row of the smallest meter class that carries `needed_A` [A], > 0, continuously; the last row has no limit.

    limit_A: largest continuous current that the utility meters without instrument transformers [A], > 0.
    class_200_A: continuous rating on the label of class 200 equipment, 160 to 200 [A]; it is disputed, and 160 is
    the careful reading.
    """
    in_range("needed_A", needed_A, above=0)
    in_range("limit_A", limit_A, above=0)
    in_range("class_200_A", class_200_A, low=160, high=200)
    for row in table("tables/meter_socket_classes"):
        carries_A = class_continuous_A(row, class_200_A)
        if carries_A is None or (needed_A <= carries_A and needed_A <= limit_A):
            return row
    raise RangeError(f"no meter class carries {needed_A:g} A")


def class_continuous_A(row: Row, class_200_A: float) -> float | None:
    """Continuous rating [A] of a meter class; None for instrument transformers."""
    return class_200_A if row.text("meter_class") == "CL200" else row.number_or_none("continuous_a")


@rule(
    "how many service disconnects may stand side by side",
    source="NFPA 70",
    locator={2017: "230.71(A), 230.72(A)", 2020: "230.71(B), 230.72(A)"},
    accuracy="memory",
)
def disconnects_allowed(count: int, grouped: bool, enclosures: str, edition: int) -> bool:
    """Whether so many disconnects are permitted: one, or two to six that stand together.

    From 2020 on several must each have an enclosure or a panel of its own (`separate`); before, they may share `one`.
    count: >= 1. enclosures: separate or one.
    """
    in_range("count", count, low=1)
    if enclosures not in ("separate", "one"):
        raise RangeError(f"enclosures must be separate or one, got {enclosures!r}")
    apart = check_edition(edition) < 2020 or enclosures == "separate"
    return count == 1 or (count <= MOST_DISCONNECTS and grouped and apart)


@rule(
    "main of each of several equal disconnects behind one service rating",
    source="trade practice",
    locator="two 200 A mains at a 400 A service",
    accuracy="common practice",
)
def each_main_A(main_A: float, count: int, edition: int) -> float:
    """Smallest standard rating [A] that is not below `main_A` / `count`; main_A [A], > 0, count >= 1."""
    in_range("count", count, low=1)
    return ratings.next_standard_A(in_range("main_A", main_A, above=0) / count, edition)


@rule(
    "largest set point of an energy management in front of a rating",
    source="NFPA 70",
    locator={2023: "220.70, 750.30", 2026: "120.7, Article 130 Part II"},
    accuracy="recomputed",
    editions=(2023, 2026),
)
def largest_set_point_A(rating_A: float, uncontrolled_A: float = 0.0, rated_percent: float = 80.0) -> float:
    """Largest set point [A], taken as continuous, that fits a rating beside the load that is not controlled.

    rating_A: [A], > 0. uncontrolled_A: calculated load outside the management [A], >= 0. Zero when nothing is left.
    """
    in_range("rating_A", rating_A, above=0)
    in_range("uncontrolled_A", uncontrolled_A, low=0)
    left_A = rating_A - uncontrolled_A
    return continuous_A(left_A, rated_percent) if left_A > 0 else 0.0
