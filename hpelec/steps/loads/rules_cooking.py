"""Rules of the load calculation: household cooking equipment by its demand table."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import table
from hpelec.steps.loads.rules import NEC

COLUMNS = ("nameplate", "A", "B", "C", "over")


@lru_cache(maxsize=1)
def _rows() -> dict[int, tuple[float, float, float]]:
    return {
        int(r.number("n_appliances")): (
            r.number("col_a_demand_pct_under_3p5_kw") / 100,
            r.number("col_b_demand_pct_3p5_to_8p75_kw") / 100,
            r.number("col_c_max_demand_kw_not_over_12_kw"),
        )
        for r in table("loads/table_220_55_household_cooking")
    }


def _row(count: int) -> tuple[float, float, float]:
    """Shares of columns A and B and the kilowatts of column C; past the last row its own formula goes on."""
    rows = _rows()
    last = max(rows)
    if count <= last:
        return rows[count]
    share_a, share_b, _ = rows[last]
    return share_a, share_b, 25 + 0.75 * count


@rule(
    "column of the cooking table for one appliance",
    source=NEC,
    locator={2017: "Table 220.55", 2026: "Table 120.55"},
    accuracy="published",
)
def cooking_column(rating_kW: float) -> str:
    """`A`, `B` or `C`; `nameplate` up to 1.75 kW and `over` beyond 27 kW, where the table does not apply."""
    in_range("rating_kW", rating_kW, above=0)
    limits = ((1.75, "nameplate"), (8.75, "B"), (27.0, "C"))
    if 1.75 < rating_kW < 3.5:
        return "A"
    return next((column for limit_kW, column in limits if rating_kW <= limit_kW), "over")


@rule(
    "column C demand of cooking appliances, raised for ratings above 12 kW",
    source=NEC,
    locator={2017: "Table 220.55, Notes 1 and 2", 2026: "Table 120.55, Notes 1 and 2"},
    accuracy="memory",
)
def column_C_kW(ratings_kW: Sequence[float]) -> float:
    """Demand by column C [kW]: 5 percent more for each kilowatt, or half of one, of the average above 12 kW.

    ratings_kW: each > 1.75 and <= 27; a rating below 12 kW enters the average as 12.
    """
    for rating_kW in ratings_kW:
        in_range("rating_kW", rating_kW, above=1.75, high=27.0)
    count = len(ratings_kW)
    if count == 0:
        return 0.0
    average_kW = math.fsum(max(12.0, r) for r in ratings_kW) / count
    steps = math.floor(average_kW - 12.0 + 0.5)
    return _row(count)[2] * (1 + 0.05 * steps)


@rule(
    "demand of cooking appliances of 8.75 kW or less by columns A and B",
    source=NEC,
    locator={2017: "Table 220.55, Note 3", 2026: "Table 120.55, Note 3"},
    accuracy="memory",
)
def small_cooking_kW(ratings_kW: Sequence[float], column: str) -> float:
    """Sum of the ratings of one column times its share for that many appliances [kW].

    column: `A` or `B`; every rating must belong to it (RangeError). The count is that of the column alone.
    """
    if column not in ("A", "B"):
        raise RangeError(f"column must be A or B, got {column!r}")
    for rating_kW in ratings_kW:
        if cooking_column(rating_kW) != column:
            raise RangeError(f"{rating_kW:g} kW is not in column {column}")
    if not ratings_kW:
        return 0.0
    return math.fsum(ratings_kW) * _row(len(ratings_kW))["AB".index(column)]


@rule(
    "demand of cooking appliances of columns A and B by the count of all of them",
    source=NEC,
    locator={2017: "Table 220.55, Note 3", 2026: "Table 120.55, Note 3"},
    accuracy="memory",
)
def small_cooking_by_all_kW(ratings_kW: Sequence[float]) -> float:
    """Another reading of Note 3: the share of each column for the number of all appliances together [kW].

    ratings_kW: each in column A or B (RangeError). The plain reading counts each column by itself.
    """
    shares = _row(len(ratings_kW)) if ratings_kW else (0.0, 0.0, 0.0)
    total_kW = 0.0
    for rating_kW in ratings_kW:
        column = cooking_column(rating_kW)
        if column not in ("A", "B"):
            raise RangeError(f"{rating_kW:g} kW is in neither column A nor column B")
        total_kW += rating_kW * shares["AB".index(column)]
    return total_kW


@rule(
    "least demand that the cooking table permits for one column's appliances",
    source=NEC,
    locator={2017: "220.55", 2026: "120.55"},
    accuracy="memory",
)
def cooking_kW(ratings_kW: Sequence[float], column: str) -> float:
    """Demand of the appliances of one column [kW]: the smallest of nameplate, column share and column C.

    The table is permissive, so the nameplate sum may always be used; appliances outside it have nothing else.
    """
    nameplate_kW = math.fsum(in_range("rating_kW", r, above=0) for r in ratings_kW)
    if column in ("nameplate", "over"):
        return nameplate_kW
    by_C_kW = column_C_kW(ratings_kW)
    if column == "C":
        return min(nameplate_kW, by_C_kW)
    return min(small_cooking_kW(ratings_kW, column), by_C_kW)
