"""Rules of the trench: cover, depth, volume, ribbon, protection of a riser."""

from __future__ import annotations

from functools import cache

from hpelec.core.citing import Citation, rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import Row, table
from hpelec.steps.lateral.values import value

BURIAL = {2017: "Table 300.5", 2023: "Table 300.5(A)"}


@cache
def method_row(method: str) -> Row:
    """Row of a wiring method of the house (pvc40, direct_buried, ...); TableError for another."""
    return table("lateral/wiring_methods").one(method=method)


@cache
def place_row(place: str) -> Row:
    """Row of a place that the trench runs under (yard, driveway, ...); TableError for another."""
    return table("lateral/cover_places").one(place=place)


@cache
def _burial_row(location_row: int, wiring_column: int) -> Row:
    found = table("lateral/burial_depth").where(location_row=str(location_row), wiring_column=str(wiring_column))
    if len(found) != 1:
        raise RangeError(
            f"location_row must be 1 to 7 and wiring_column 1 to 5, got {location_row!r} and {wiring_column!r}"
        )
    return found[0]


@rule("least cover of underground wiring", source="NFPA 70", locator=BURIAL, accuracy="published")
def least_cover_in(location_row: int, wiring_column: int, edition: int) -> float:
    """Least cover [in] from the top of the wiring to finished grade, to 1000 V (600 V to 2014).

    location_row: row of the table, 1 to 7. wiring_column: 1 to 5. The values are the same from 2017 to 2023; 2026 is
    taken alike. Raises RangeError for another row or column.
    """
    check_edition(edition)
    return _burial_row(location_row, wiring_column).number("min_cover_in")


def burial_citation(location_row: int, wiring_column: int) -> Citation:
    """Source of the cell that `least_cover_in` takes."""
    return _burial_row(location_row, wiring_column).citation


@rule("cover is enough", source="NFPA 70", locator=BURIAL, accuracy="published")
def cover_is_enough(cover_in: float, least_in: float) -> bool:
    """True when the cover [in], >= 0, is at least the least cover [in], >= 0; equal passes."""
    return in_range("cover_in", cover_in, low=0) >= in_range("least_in", least_in, low=0) - 1e-9


@rule(
    "depth of trench to dig",
    source="geometry",
    locator="cover + outside diameter + bedding",
    accuracy="recomputed",
)
def depth_in(cover_in: float, outside_in: float, bedding_in: float) -> float:
    """Depth [in] from grade to the bottom of the trench; all parts [in], >= 0, the outside diameter > 0."""
    in_range("cover_in", cover_in, low=0)
    in_range("outside_in", outside_in, above=0)
    return cover_in + outside_in + in_range("bedding_in", bedding_in, low=0)


@rule(
    "least width of a trench with conduits side by side",
    source="geometry",
    locator="conduits, spaces between them and to the sides",
    accuracy="recomputed",
)
def least_width_in(count: int, outside_in: float, gap_in: float) -> float:
    """Width [in] for `count` >= 1 round bodies of a diameter [in], > 0, with a gap [in], >= 0, round each."""
    in_range("count", count, low=1)
    in_range("outside_in", outside_in, above=0)
    return count * outside_in + (count + 1) * in_range("gap_in", gap_in, low=0)


@rule("volume of a stretch of trench", source="geometry", locator="width x depth x length / 144", accuracy="recomputed")
def volume_ft3(width_in: float, depth_in: float, length_ft: float) -> float:
    """Volume [ft3] in the ground of a box of this width and depth [in] and length [ft], all >= 0."""
    in_range("width_in", width_in, low=0)
    in_range("depth_in", depth_in, low=0)
    return width_in * depth_in * in_range("length_ft", length_ft, low=0) / 144


@rule(
    "warning ribbon over service conductors",
    source="NFPA 70",
    locator="300.5(D)(3)",
    accuracy="published",
)
def ribbon_required(cover_in: float, concrete_encased: bool) -> bool:
    """True for service conductors with a cover [in], >= 0, of 18 in or more that are not encased in concrete."""
    in_range("cover_in", cover_in, low=0)
    return not concrete_encased and cover_in >= value("ribbon_from_in") - 1e-9


@rule(
    "deepest that a warning ribbon may lie",
    source="NFPA 70",
    locator="300.5(D)(3)",
    accuracy="published",
)
def deepest_ribbon_in(cover_in: float) -> float:
    """Depth [in] below grade of a ribbon 12 in above wiring with this cover [in]. RangeError below 12 in of cover."""
    above_in = value("ribbon_above_in")
    return in_range("cover_in", cover_in, low=above_in) - above_in


@rule(
    "protected length of a riser",
    source="NFPA 70",
    locator="300.5(D)(1)",
    accuracy="memory",
)
def riser_ft(least_cover_in: float) -> float:
    """Length [ft] to protect where conductors leave the ground: from the least cover [in], >= 0, to 8 ft above grade.

    Not more than 18 in below grade is asked for.
    """
    below_in = min(in_range("least_cover_in", least_cover_in, low=0), value("riser_below_in"))
    return below_in / 12 + value("riser_above_ft")
