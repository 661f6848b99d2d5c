"""How many receptacles a place needs, and what may count as one. Lengths in the unit of the name."""

from __future__ import annotations

import math
from collections.abc import Sequence

from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, in_range
from hpelec.core.rounding import EPS, ceil_tol
from hpelec.core.tables import Row, table
from hpelec.steps.devices.placing import Line, fewest
from hpelec.steps.devices.spans import Spans, merged

LONGEST_FT = 100000.0


@rule(
    "fewest receptacles on an unbroken wall run", source="NFPA 70", locator="210.52(A)(1), (A)(2)", accuracy="published"
)
def receptacles_on_run(length_ft: float, *, reach_ft: float = 6.0, shortest_ft: float = 2.0) -> int:
    """Fewest receptacles so that no point along the floor line of the run is farther than `reach_ft` from one.

    length_ft: unbroken length, >= 0 [ft]; a run shorter than `shortest_ft` is no wall space and needs none.
    Raises RangeError for a negative or non-finite length.
    """
    in_range("length_ft", length_ft, low=0, high=LONGEST_FT)
    return 0 if length_ft < shortest_ft - EPS else max(1, ceil_tol(length_ft / (2 * reach_ft)))


@rule(
    "fewest receptacles on a closed wall line", source="NFPA 70", locator="210.52(A)(1), (A)(2)", accuracy="recomputed"
)
def receptacles_on_ring(perimeter_ft: float, *, reach_ft: float = 6.0) -> int:
    """Fewest receptacles on a wall line that nothing breaks [ft], > 0: the ring of the whole room."""
    in_range("perimeter_ft", perimeter_ft, above=0, high=LONGEST_FT)
    return max(1, ceil_tol(perimeter_ft / (2 * reach_ft)))


@rule("evenly spaced receptacles on a wall run", source="NFPA 70", locator="210.52(A)(1)", accuracy="recomputed")
def even_places_ft(length_ft: float, count: int) -> tuple[float, ...]:
    """Places of `count` evenly spaced receptacles, half a step from each end [ft from the start]; count >= 1."""
    in_range("length_ft", length_ft, above=0, high=LONGEST_FT)
    in_range("count", count, low=1, high=10000)
    return tuple((2 * i + 1) * length_ft / (2 * count) for i in range(count))


@rule(
    "fewest receptacles where boxes may not stand everywhere",
    source="NFPA 70",
    locator="210.52(A)(1), (A)(2)",
    accuracy="recomputed",
)
def places_with_obstacles_ft(
    length_ft: float, allowed_ft: Sequence[Sequence[float]], *, closed: bool = False, reach_ft: float = 6.0
) -> tuple[float, ...] | None:
    """Places of the fewest receptacles on a run (or ring) of which only `allowed_ft` may hold a box.

    allowed_ft: stretches [start, end] on the run. Returns None when no placement satisfies the rule: then a
    receptacle in the floor near the wall is needed. The method and its proof are told in `placing`.
    Raises RangeError for a stretch outside the run.
    """
    in_range("length_ft", length_ft, above=0, high=LONGEST_FT)
    return fewest(
        Line(length_ft, ((0.0, length_ft),), reach_ft=reach_ft, closed=closed), _checked(allowed_ft, length_ft)
    )


def _checked(spans: Sequence[Sequence[float]], length_ft: float) -> Spans:
    for low, high in spans:
        in_range("start of a stretch", low, low=0, high=length_ft)
        in_range("end of a stretch", high, low=low, high=length_ft)
    return merged((float(low), float(high)) for low, high in spans)


BREAKS = ("door", "cased_opening", "sliding_glass", "garage_door", "fireplace", "cabinet")
BREAKS_FROM_2023 = ("stationary_appliance", "range", "refrigerator")


@rule("what breaks the wall line", source="NFPA 70", locator="210.52(A)(2)", accuracy="published")
def breaks_wall_line(kind: str, edition: int) -> bool:
    """Whether an opening or fixed item interrupts the wall space: doorways, fireplaces, cabinets without a counter.

    kind: a kind of opening or fixed item. Stationary appliances do so from 2023. Windows above the floor, fixed
    glass and counters do not.
    """
    from_2023 = check_edition(edition) >= 2023
    return kind in BREAKS or (from_2023 and kind in BREAKS_FROM_2023)


@rule("receptacles on a wall counter space", source="NFPA 70", locator="210.52(C)(1)", accuracy="published")
def counter_receptacles(length_in: float, *, shortest_in: float = 12.0, reach_in: float = 24.0) -> int:
    """Fewest receptacles along a wall counter space [in], >= 0: none under 12 in, no point farther than 24 in."""
    in_range("length_in", length_in, low=0, high=1e6)
    return 0 if length_in < shortest_in - EPS else max(1, ceil_tol(length_in / (2 * reach_in)))


def _island_row(edition: int) -> Row:
    return table("layout/island_peninsula_by_edition").one(edition=str(check_edition(edition)))


@rule(
    "receptacles at an island or peninsula",
    source="NFPA 70",
    locator={2017: "210.52(C)(2), (C)(3)", 2020: "210.52(C)(2)"},
    accuracy="published",
)
def island_receptacles(long_in: float, short_in: float, edition: int) -> int:
    """Receptacles that a free counter of long_in x short_in [in], both > 0, needs in an edition.

    2017: one when it is at least 24 x 12 in. 2020: by area, one for the first 9 ft2 and one for each further
    18 ft2 or part. From 2023: none, but see `island_provision_required`.
    """
    in_range("short_in", short_in, above=0, high=1e5)
    in_range("long_in", long_in, low=short_in, high=1e6)
    row = _island_row(edition)
    first_ft2, further_ft2 = row.number_or_none("first_area_ft2"), row.number_or_none("further_area_ft2")
    if first_ft2 is not None and further_ft2 is not None:
        return 1 + max(0, ceil_tol((long_in * short_in / 144 - first_ft2) / further_ft2))
    least_long_in, least_short_in = row.number_or_none("island_min_long_in"), row.number_or_none("island_min_short_in")
    if least_long_in is not None and least_short_in is not None:
        return int(long_in >= least_long_in - EPS and short_in >= least_short_in - EPS)
    return 0


@rule("provision for a later island receptacle", source="NFPA 70", locator="210.52(C)(2)", accuracy="published")
def island_provision_required(edition: int) -> bool:
    """Whether an island without a receptacle must have a provision for a later one."""
    return _island_row(edition).text("provision_required").startswith("yes")


@rule("bathroom receptacle beside a basin", source="NFPA 70", locator="210.52(D)", accuracy="published")
def serves_basin(distance_in: float, *, farthest_in: float = 36.0) -> bool:
    """Whether a receptacle this far from a basin's outer edge [in], >= 0, serves it; it may serve more than one."""
    return in_range("distance_in", distance_in, low=0) <= farthest_in + EPS


@rule("receptacles in a hallway", source="NFPA 70", locator="210.52(H)", accuracy="published")
def hallway_receptacles(length_ft: float, *, shortest_ft: float = 10.0) -> int:
    """One in all when the hallway is this long along its centre line without passing a doorway [ft], >= 0."""
    return int(in_range("length_ft", length_ft, low=0) >= shortest_ft - EPS)


@rule(
    "length of a hallway along its centre line",
    source="geometry",
    locator="a strip of even width",
    accuracy="recomputed",
)
def hallway_length_ft(area_ft2: float, perimeter_ft: float) -> float:
    """Centre-line length [ft] of a strip with this area and perimeter, also round corners.

    A strip of length c and width w has area c w and perimeter 2 (c + w); c is the larger root.
    Raises RangeError when no strip has these sizes.
    """
    in_range("area_ft2", area_ft2, above=0)
    in_range("perimeter_ft", perimeter_ft, above=0)
    square = (perimeter_ft / 4) ** 2 - area_ft2
    if square < -EPS * area_ft2:
        raise RangeError(f"no strip has area {area_ft2:g} ft2 and perimeter {perimeter_ft:g} ft")
    return perimeter_ft / 4 + math.sqrt(max(square, 0.0))


@rule("receptacles in a foyer", source="NFPA 70", locator="210.52(I)", accuracy="published")
def foyer_receptacles(
    area_ft2: float, wall_spaces_ft: Sequence[float], *, largest_ft2: float = 60.0, shortest_ft: float = 3.0
) -> int:
    """One for each wall space of 3 ft or more, in a foyer larger than 60 ft2 that is no part of a hallway."""
    in_range("area_ft2", area_ft2, above=0)
    for length_ft in wall_spaces_ft:
        in_range("wall space", length_ft, low=0)
    if area_ft2 <= largest_ft2 + EPS:
        return 0
    return sum(length_ft >= shortest_ft - EPS for length_ft in wall_spaces_ft)


@rule("vehicle bays of a garage", source="trade rule", locator="a bay to each 8 ft of door", accuracy="common practice")
def garage_bays(door_widths_ft: Sequence[float], *, bay_ft: float = 8.0) -> int:
    """Bays taken from the widths of the vehicle doors [ft], each > 0: a 16 ft door serves two; at least one."""
    for width_ft in door_widths_ft:
        in_range("door width", width_ft, above=0)
    return max(1, sum(max(1, math.floor(width_ft / bay_ft + EPS)) for width_ft in door_widths_ft))


@rule("receptacles in a garage", source="NFPA 70", locator="210.52(G)(1)", accuracy="published")
def garage_receptacles(bays: int) -> int:
    """One for each vehicle bay, >= 1."""
    return int(in_range("bays", bays, low=1))


@rule("height up to which a receptacle counts", source="NFPA 70", locator="210.52", accuracy="published")
def height_counts(height_in: float, *, highest_in: float = 66.0) -> bool:
    """Whether a receptacle this high above the floor [in], >= 0, counts as a required one (5.5 ft does)."""
    return in_range("height_in", height_in, low=0) <= highest_in + EPS


@rule(
    "height of a counter receptacle",
    source="NFPA 70",
    locator={2017: "210.52(C)(5)", 2020: "210.52(C)(3)"},
    accuracy="published",
)
def counter_height_counts(above_counter_in: float, *, highest_in: float = 20.0) -> bool:
    """Whether a receptacle this far above the counter surface [in] serves it; below the surface it does not."""
    return 0 <= in_range("above_counter_in", above_counter_in) <= highest_in + EPS


@rule("height of an outdoor receptacle", source="NFPA 70", locator="210.52(E)(1)", accuracy="published")
def outdoor_height_counts(above_grade_in: float, *, highest_in: float = 78.0) -> bool:
    """Whether an outdoor receptacle this high above grade [in], >= 0, counts (6.5 ft does)."""
    return in_range("above_grade_in", above_grade_in, low=0) <= highest_in + EPS


@rule("height of a switch", source="NFPA 70", locator="404.8(A)", accuracy="memory")
def switch_height_allowed(height_in: float, *, highest_in: float = 79.0) -> bool:
    """Whether the grip of a switch may be this high above the floor [in], >= 0."""
    return in_range("height_in", height_in, low=0) <= highest_in + EPS


@rule(
    "service receptacle near heating and cooling equipment",
    source="NFPA 70",
    locator={2017: "210.63", 2020: "210.63(A)"},
    accuracy="published",
)
def serves_equipment(distance_ft: float, *, farthest_ft: float = 25.0) -> bool:
    """Whether a receptacle on the same level this far from the equipment [ft], >= 0, serves those who repair it."""
    return in_range("distance_ft", distance_ft, low=0) <= farthest_ft + EPS


@rule(
    "receptacle of a porch, deck or balcony",
    source="NFPA 70",
    locator="210.52(E)(3)",
    accuracy="published",
)
def porch_receptacles(gap_in: float, entered_from_inside: bool, edition: int, *, nearest_in: float = 4.0) -> int:
    """One where it is attached and entered from inside (2017), or within 4 in of the dwelling (from 2020); gap [in]."""
    in_range("gap_in", gap_in, low=0)
    if check_edition(edition) < 2020:
        return int(gap_in <= EPS and entered_from_inside)
    return int(gap_in <= nearest_in + EPS)


@rule(
    "a switch at each level of a stair",
    source="NFPA 70",
    locator={2017: "210.70(A)(2)(c)", 2020: "210.70(A)(2)(3)"},
    accuracy="published",
)
def switch_at_each_level(risers: int, *, from_risers: int = 6) -> bool:
    """Whether a stair with this many risers between two levels, >= 0, needs a switch at each of the two."""
    return in_range("risers", risers, low=0, high=200) >= from_risers


@rule("fewest risers of a stair", source="IRC", locator="R311.7.5.1", accuracy="memory")
def fewest_risers(rise_in: float, *, highest_in: float = 7.75) -> int:
    """Risers that a rise [in], >= 0, needs at least, no riser being higher than 7-3/4 in."""
    return ceil_tol(in_range("rise_in", rise_in, low=0, high=1e4) / highest_in)
