"""Rules of an overhead drop: clearances and how low it hangs."""

from __future__ import annotations

from functools import cache

from hpelec.core.citing import rule
from hpelec.core.errors import in_range
from hpelec.core.tables import Row, table


@cache
def clearance_row(id: str, over: str) -> Row:
    """Row of lateral/overhead_clearances; TableError for another."""
    return table("lateral/overhead_clearances").one(id=id, over=over)


@rule(
    "clearance of an overhead service",
    source="NFPA 70",
    locator="230.9, 230.24, 230.26",
    accuracy="memory",
)
def clearance_ft(id: str, over: str) -> float:
    """Clearance asked for [ft]: attachment, drip_loop, span (over walk, driveway, road), roof, window."""
    return clearance_row(id, over).number("clearance_ft")


@rule(
    "lowest point of a span between supports of unequal height",
    source="geometry",
    locator="parabola of a given sag",
    accuracy="recomputed",
)
def lowest_ft(house_ft: float, pole_ft: float, sag_ft: float) -> float:
    """Height [ft] of the lowest point of a drop between two supports [ft], >= 0.

    sag_ft: how far the middle hangs below the straight line between the supports, >= 0. A steep span with little sag
    has its lowest point at the lower support.
    """
    in_range("house_ft", house_ft, low=0)
    in_range("pole_ft", pole_ft, low=0)
    in_range("sag_ft", sag_ft, low=0)
    difference_ft = abs(house_ft - pole_ft)
    if 4 * sag_ft <= difference_ft:
        return min(house_ft, pole_ft)
    middle_ft = (house_ft + pole_ft) / 2 - sag_ft
    return middle_ft - difference_ft**2 / (16 * sag_ft)
