"""Where a wall receptacle would serve a piece of furniture."""

from __future__ import annotations

from functools import cache

from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import table
from hpelec.house.rows import FURNITURE_WANTS


@cache
def beside_end_ft() -> float:
    """Center of a receptacle beyond the end of a piece [ft]."""
    return table("layout/furniture").one(item="beside_end_in").number("value") / 12


@rule(
    "where a receptacle would serve a piece of furniture",
    source="trade",
    locator="not stated",
    accuracy="common practice",
)
def wished_places_ft(offset_ft: float, width_ft: float, wants: str) -> tuple[float, ...]:
    """Places along the wall [ft, from where offset_ft counts]; one may lie beyond an end of the wall.

    offset_ft: near end of the piece, 0 to 500. width_ft: along the wall, > 0 to 200. wants: a word of FURNITURE_WANTS.
    """
    low = in_range("offset_ft", offset_ft, low=0, high=500)
    high = low + in_range("width_ft", width_ft, above=0, high=200)
    if wants not in FURNITURE_WANTS:
        raise RangeError(f"wants: {wants!r} is none of {', '.join(FURNITURE_WANTS)}")
    if wants == "beside both ends":
        return (low - beside_end_ft(), high + beside_end_ft())
    return ((low + high) / 2,) if wants == "behind" else ()
