"""Rules of raceways: bore, fill, trade size, count of equal conductors, jam ratio."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import Row, table
from hpelec.steps.lateral.values import pulling, value

INSULATIONS = {
    "XHHW-2": "XHHW-2",
    "THWN-2": "THHN/THWN-2",
    "USE-2": "USE-2/RHW-2 with outer covering",
}
"""Type of the conductors as the house names it, and the part of the area table that serves it."""
ENOUGH = 1 + 1e-9
"""A share by which an area may be exceeded: lets equal areas pass in spite of binary fractions."""


@cache
def _raceways(raceway: str) -> dict[str, Row]:
    rows = table("lateral/raceways").where(raceway=raceway)
    if not rows:
        known = sorted({r.text("raceway") for r in table("lateral/raceways")})
        raise RangeError(f"raceway must be one of {', '.join(known)}, got {raceway!r}")
    return {r.text("trade_size_in"): r for r in sorted(rows, key=lambda r: r.number("internal_area_in2"))}


def trade_sizes(raceway: str) -> tuple[str, ...]:
    """Trade sizes of a raceway, rising. RangeError for an unknown raceway."""
    return tuple(_raceways(raceway))


def raceway_row(raceway: str, trade_size: str) -> Row:
    """Row of a raceway and trade size; RangeError names what there is."""
    rows = _raceways(raceway)
    if trade_size not in rows:
        raise RangeError(f"trade size of {raceway} must be one of {', '.join(rows)}, got {trade_size!r}")
    return rows[trade_size]


@cache
def conductor_row(insulation: str, size: str) -> Row:
    """Row of the area table for a type of conductor (a key of INSULATIONS, or a name of the table) and a size."""
    name = INSULATIONS.get(insulation, insulation)
    found = table("lateral/insulated_areas").where(insulation=name, size=size)
    if len(found) != 1:
        raise RangeError(f"no area for {insulation!r} conductors of size {size!r}; types: {', '.join(INSULATIONS)}")
    return found[0]


@rule("bore of a raceway", source="NFPA 70", locator="Ch 9 Table 4", accuracy="memory")
def bore_in(raceway: str, trade_size: str) -> float:
    """Inside diameter [in] of a raceway (EMT, RMC, PVC40, PVC80) of a trade size. RangeError for another."""
    return raceway_row(raceway, trade_size).number("nominal_internal_diameter_in")


@rule(
    "outside diameter of a raceway",
    source="ANSI C80.3 and pipe standards",
    locator="outside diameters",
    accuracy="memory",
)
def outside_in(raceway: str, trade_size: str) -> float:
    """Outside diameter [in], for holes, trenches and sleeves. RangeError for an unknown one."""
    return raceway_row(raceway, trade_size).number("outside_diameter_in")


@rule("area of an insulated conductor", source="NFPA 70", locator="Ch 9 Table 5", accuracy="published")
def conductor_area_in2(insulation: str, size: str) -> float:
    """Area [in2] of one conductor with its covering. RangeError for a type or size that is not tabulated."""
    return conductor_row(insulation, size).number("area_in2")


@rule("diameter of an insulated conductor", source="NFPA 70", locator="Ch 9 Table 5", accuracy="published")
def conductor_outside_in(insulation: str, size: str) -> float:
    """Outside diameter [in] of one conductor with its covering. RangeError as for the area."""
    return conductor_row(insulation, size).number("outside_diameter_in")


@rule("share of the bore that conductors may take", source="NFPA 70", locator="Ch 9 Table 1", accuracy="published")
def fill_limit_percent(count: int, length_ft: float) -> float:
    """Largest fill [%]: 53 for one conductor, 31 for two, 40 for more; 60 in a nipple (to 24 in, included).

    count: >= 1. length_ft: of the raceway, > 0.
    """
    in_range("count", count, low=1)
    if in_range("length_ft", length_ft, above=0) * 12 <= value("nipple_in") * ENOUGH:
        return value("fill_nipple")
    return value({1: "fill_one", 2: "fill_two"}.get(count, "fill_more"))


@rule("fill of a raceway", source="NFPA 70", locator="Ch 9 Table 1", accuracy="published")
def fill_percent(areas_in2: Sequence[float], bore_in: float) -> float:
    """Share [%] of the bore (diameter [in], > 0) that conductors of these areas [in2], > 0, take together."""
    in_range("bore_in", bore_in, above=0)
    total_in2 = sum(in_range("areas_in2", a, above=0) for a in areas_in2)
    return total_in2 / (math.pi / 4 * bore_in**2) * 100


@rule("smallest trade size that holds conductors", source="NFPA 70", locator="Ch 9 Table 1, Table 4", accuracy="memory")
def smallest_trade_size(raceway: str, areas_in2: Sequence[float], length_ft: float) -> str | None:
    """Smallest trade size whose fill is within the limit for these conductors [in2]; None beyond the largest.

    Exactly at the limit passes. The areas printed in the table are taken, not those of the diameter.
    """
    limit = fill_limit_percent(len(areas_in2), length_ft) / 100
    total_in2 = sum(in_range("areas_in2", a, above=0) for a in areas_in2)
    for size, row in _raceways(raceway).items():
        if total_in2 <= limit * row.number("internal_area_in2") * ENOUGH:
            return size
    return None


@rule(
    "most equal conductors in a raceway",
    source="NFPA 70",
    locator="Ch 9 Table 1, note 7; Annex C",
    accuracy="published",
)
def most_conductors(bore_area_in2: float, conductor_in2: float) -> int:
    """Largest count of equal conductors [in2], > 0, in a bore [in2], > 0, by Table 1; a remainder of 0.8 counts one.

    Two are tried at 31 % and one at 53 % where three do not fit. Reproduces 184 of 186 printed cells of Annex C from
    areas of three and four decimals; the other two stand within 0.005 of the 0.8.
    """
    in_range("bore_area_in2", bore_area_in2, above=0)
    in_range("conductor_in2", conductor_in2, above=0)

    def count(percent: float) -> int:
        whole = math.floor(percent / 100 * bore_area_in2 / conductor_in2 + 1e-9)
        rest = percent / 100 * bore_area_in2 / conductor_in2 - whole
        return whole + (1 if rest >= value("next_count") - 1e-9 else 0)

    many = count(value("fill_more"))
    if many > 2:
        return many
    if count(value("fill_two")) >= 2:
        return 2
    return 1 if count(value("fill_one")) >= 1 else 0


@rule(
    "jam ratio of three conductors",
    source="NFPA 70",
    locator="Ch 9 Table 1, informational note 2",
    accuracy="published",
)
def jam_ratio(bore_in: float, conductor_in: float) -> float:
    """Bore over diameter of one of three equal conductors [both in], > 0."""
    return in_range("bore_in", bore_in, above=0) / in_range("conductor_in", conductor_in, above=0)


@rule(
    "jam ratio at which three conductors can wedge",
    source="NFPA 70",
    locator="Ch 9 Table 1, informational note 2",
    accuracy="published",
)
def may_jam(ratio: float) -> bool:
    """True for a jam ratio, > 0, of 2.8 to 3.2, both included: a warning, no prohibition."""
    in_range("ratio", ratio, above=0)
    return pulling("jam_low") - 1e-9 <= ratio <= pulling("jam_high") + 1e-9
