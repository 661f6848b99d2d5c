"""Rules of the place of a panel: working space, handle height, rooms where it must not be."""

from __future__ import annotations

from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import table

HIGHEST_HANDLE_in = 79.0
LEAST_WIDTH_in = 30.0
LEAST_HEIGHT_ft = 6.5


@rule("depth of the working space", source="NFPA 70", locator="110.26(A)(1), Table 110.26(A)(1)", accuracy="published")
def depth_ft(to_ground_V: float, condition: int) -> float:
    """Depth [ft] in front of equipment; voltage to ground [V], 0 to 1000; condition 1 to 3 (what faces it)."""
    in_range("to_ground_V", to_ground_V, low=0, high=1000)
    if condition not in (1, 2, 3):
        raise RangeError(f"condition must be 1, 2 or 3, got {condition!r}")
    rows = table("faults/working_space_depth").where(condition=str(condition))
    return next(r for r in rows if to_ground_V <= r.number("to_ground_max_V")).number("depth_ft")


@rule("width of the working space", source="NFPA 70", locator="110.26(A)(2)", accuracy="published")
def width_ft(equipment_in: float) -> float:
    """Width [ft]: the larger of 30 in and the equipment [in], > 0."""
    return max(LEAST_WIDTH_in, in_range("equipment_in", equipment_in, above=0)) / 12


@rule("height of the working space", source="NFPA 70", locator="110.26(A)(3)", accuracy="published")
def height_ft(equipment_top_ft: float) -> float:
    """Height [ft] from the floor: the larger of 6.5 ft and the top of the equipment [ft], > 0."""
    return max(LEAST_HEIGHT_ft, in_range("equipment_top_ft", equipment_top_ft, above=0))


@rule("highest breaker handle", source="NFPA 70", locator="240.24(A)", accuracy="published")
def handle_in_reach(handle_in: float) -> bool:
    """True when the centre of the highest handle is at most 6 ft 7 in above the floor; handle_in [in], > 0."""
    return in_range("handle_in", handle_in, above=0) <= HIGHEST_HANDLE_in


@rule(
    "existing dwelling: low ceiling over a panel",
    source="NFPA 70",
    locator="110.26(A)(3) Ex. 1",
    accuracy="memory",
)
def low_ceiling_allowed(existing: bool, rating_A: float) -> bool:
    """Whether a space lower than 6.5 ft may stay: an existing dwelling, equipment of 200 A [A], > 0, or less."""
    return in_range("rating_A", rating_A, above=0) <= 200 and existing


@rule(
    "rooms where no panel may be",
    source="NFPA 70",
    locator="240.24(D), (E), (F), 230.70(A)(2)",
    accuracy="published",
)
def room_allows(kind: str) -> bool | None:
    """Whether a kind of room may hold a panel: not a bathroom or clothes closet; None for a stair.

    Over the steps it is forbidden, over a landing it is not: the kind alone does not tell.
    """
    if kind in ("bathroom", "closet"):
        return False
    return None if kind == "stair" else True


@rule(
    "where a working space can slide along a wall",
    source="NFPA 70",
    locator="110.26(A)(2): it need not be centred on the equipment",
    accuracy="published",
)
def slide(
    equipment_ft: tuple[float, float],
    width_ft: float,
    wall_ft: tuple[float, float],
    taken_ft: tuple[tuple[float, float], ...],
) -> float | None:
    """First place [ft] along a wall where a space of `width_ft` [ft], > 0, holds the equipment and meets nothing.

    equipment_ft, wall_ft: their ends along the wall [ft]; taken_ft: stretches that are not free. Touching is allowed;
    None when there is no such place.
    """
    in_range("width_ft", width_ft, above=0)
    low = max(equipment_ft[1] - width_ft, wall_ft[0])
    high = min(equipment_ft[0], wall_ft[1] - width_ft)
    places = sorted({low, high, *(end for _, end in taken_ft), *(start - width_ft for start, _ in taken_ft)})
    for place in places:
        inside = low - 1e-9 <= place <= high + 1e-9
        if inside and all(place + width_ft <= a + 1e-9 or place >= b - 1e-9 for a, b in taken_ft):
            return place
    return None
