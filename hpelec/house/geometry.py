"""Plan geometry of a house: room edges, which wall is whose, what is envelope, where openings are. Lengths in feet.

Rooms are drawn to the inside faces of their walls and share edges; the thickness of partitions is not drawn.
Edges run counter-clockwise round a room, so the room lies to the left of each.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from hpelec.house.model import House
from hpelec.house.rows import SIDES, FixedItem, Opening, Room
from hpelec.house.sections import Level, Space

Point = tuple[float, float]
TOLERANCE_FT = 1e-6
"""Two coordinates closer than this are the same place."""


def outline(room: Room) -> tuple[Point, ...]:
    """Corners of a room, counter-clockwise, first corner as the user gave it (a rectangle: south-west)."""
    if room.outline_ft:
        corners = room.outline_ft
        return corners if signed_area_ft2(corners) > 0 else (corners[0], *reversed(corners[1:]))
    if room.x_ft is None or room.y_ft is None or room.width_ft is None or room.depth_ft is None:
        raise ValueError(f"room {room.id} has neither an outline nor a full rectangle")
    x, y, w, d = room.x_ft, room.y_ft, room.width_ft, room.depth_ft
    return ((x, y), (x + w, y), (x + w, y + d), (x, y + d))


def signed_area_ft2(corners: Iterable[Point]) -> float:
    """Area of a polygon, positive when its corners run counter-clockwise."""
    pts = tuple(corners)
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(pts, pts[1:] + pts[:1], strict=True)) / 2


def room_area_ft2(room: Room) -> float:
    """Floor area inside the room's outline."""
    return abs(signed_area_ft2(outline(room)))


def room_centre(room: Room) -> Point:
    """Mean of the corners' bounding box: where a label goes."""
    xs, ys = zip(*outline(room), strict=True)
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def south_west(room: Room) -> Point:
    """South-west corner of the room's bounding box: the origin of `x_offset_ft` and `y_offset_ft`."""
    xs, ys = zip(*outline(room), strict=True)
    return (min(xs), min(ys))


@dataclass(frozen=True, slots=True)
class Edge:
    """One straight wall line of a room, counter-clockwise from (x0, y0) to (x1, y1).

    side: "south", ... for a rectangle, "1", "2", ... for an outline. start_ft: arc length round the room at (x0, y0).
    backward: offsets that a user gives for this side run from (x1, y1).
    """

    room: str
    side: str
    x0: float
    y0: float
    x1: float
    y1: float
    start_ft: float
    backward: bool

    @property
    def length_ft(self) -> float:
        """Length of the edge."""
        return math.hypot(self.x1 - self.x0, self.y1 - self.y0)

    def at(self, along_ft: float) -> Point:
        """Point `along_ft` counter-clockwise from the edge's start."""
        t = along_ft / self.length_ft
        return (self.x0 + t * (self.x1 - self.x0), self.y0 + t * (self.y1 - self.y0))

    def inward(self) -> Point:
        """Unit vector from the wall into the room."""
        return (-(self.y1 - self.y0) / self.length_ft, (self.x1 - self.x0) / self.length_ft)

    def along(self, offset_ft: float) -> float:
        """Turn a user's offset (from the west or south end) into the distance from the edge's start."""
        return self.length_ft - offset_ft if self.backward else offset_ft

    def offset(self, along_ft: float) -> float:
        """The user's offset of a place `along_ft` from the edge's start."""
        return self.along(along_ft)


def edges(room: Room) -> tuple[Edge, ...]:
    """All edges of a room, counter-clockwise."""
    pts = outline(room)
    turned = bool(room.outline_ft) and signed_area_ft2(room.outline_ft) < 0
    made: list[Edge] = []
    arc = 0.0
    count = len(pts)
    for i, ((x0, y0), (x1, y1)) in enumerate(zip(pts, pts[1:] + pts[:1], strict=True)):
        if room.outline_ft:
            side, backward = str(count - i if turned else i + 1), turned
        else:
            side, backward = SIDES[i], SIDES[i] in ("north", "west")
        edge = Edge(room.id, side, x0, y0, x1, y1, arc, backward)
        made.append(edge)
        arc += edge.length_ft
    return tuple(made)


def edge_of(room: Room, side: str) -> Edge | None:
    """The edge with that side name, or None."""
    return next((e for e in edges(room) if e.side == side), None)


@dataclass(frozen=True, slots=True)
class WallPart:
    """A stretch of a room's edge with one and the same thing behind it.

    start_ft, end_ft: from the edge's start, counter-clockwise. behind: id of the room on the other side, "" for
    outdoors. surface: "" inside the envelope; "wall" between inside and outdoors or a porch; "garage_wall" between
    inside and another room outside the air barrier; "outside" for walls that have no inside.
    """

    edge: Edge
    start_ft: float
    end_ft: float
    behind: str
    surface: str

    @property
    def length_ft(self) -> float:
        """Length of the stretch."""
        return self.end_ft - self.start_ft


def beside(house: House, room: Room) -> tuple[Room, ...]:
    """Rooms of the same level whose bounding boxes touch this one's: the only ones that can share a wall with it."""
    near_ft = 1e-3
    x0, y0, x1, y1 = _box(room)
    found = []
    for other in house.rooms:
        if other.level == room.level and other.id != room.id:
            u0, v0, u1, v1 = _box(other)
            if u0 <= x1 + near_ft and x0 <= u1 + near_ft and v0 <= y1 + near_ft and y0 <= v1 + near_ft:
                found.append(other)
    return tuple(found)


def _box(room: Room) -> tuple[float, float, float, float]:
    """West, south, east and north of a room; a rectangle is its own box."""
    if not room.outline_ft and room.x_ft is not None and room.y_ft is not None:
        return room.x_ft, room.y_ft, room.x_ft + (room.width_ft or 0.0), room.y_ft + (room.depth_ft or 0.0)
    xs, ys = zip(*outline(room), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def wall_parts(house: House, room: Room) -> tuple[WallPart, ...]:
    """The edges of a room, cut where the neighbour changes, counter-clockwise."""
    others = beside(house, room)
    parts: list[WallPart] = []
    for edge in edges(room):
        shared = (
            sorted(
                ((low, high, other) for other in others for low, high in _overlaps(edge, other)),
                key=lambda stretch: stretch[:2],
            )
            if others
            else []
        )
        at = 0.0
        for low, high, other in shared:
            if low - at > TOLERANCE_FT:
                parts.append(WallPart(edge, at, low, "", "wall" if room.inside_air_barrier else "outside"))
            parts.append(WallPart(edge, max(low, at), high, other.id, _surface(room, other)))
            at = max(at, high)
        if edge.length_ft - at > TOLERANCE_FT:
            parts.append(WallPart(edge, at, edge.length_ft, "", "wall" if room.inside_air_barrier else "outside"))
    return tuple(parts)


def _surface(room: Room, other: Room) -> str:
    if room.inside_air_barrier and other.inside_air_barrier:
        return ""
    if not room.inside_air_barrier and not other.inside_air_barrier:
        return "outside"
    outer = other if room.inside_air_barrier else room
    return "wall" if outer.kind == "porch" else "garage_wall"


def _overlaps(edge: Edge, other: Room) -> list[tuple[float, float]]:
    """Stretches of `edge` that lie on an edge of `other`."""
    length = edge.length_ft
    ux, uy = (edge.x1 - edge.x0) / length, (edge.y1 - edge.y0) / length
    found = []
    for o in edges(other):
        off0 = (o.x0 - edge.x0) * uy - (o.y0 - edge.y0) * ux
        off1 = (o.x1 - edge.x0) * uy - (o.y1 - edge.y0) * ux
        if abs(off0) > 1e-4 or abs(off1) > 1e-4:
            continue
        s0 = (o.x0 - edge.x0) * ux + (o.y0 - edge.y0) * uy
        s1 = (o.x1 - edge.x0) * ux + (o.y1 - edge.y0) * uy
        low, high = max(0.0, min(s0, s1)), min(length, max(s0, s1))
        if high - low > TOLERANCE_FT:
            found.append((low, high))
    return found


@dataclass(frozen=True, slots=True)
class CutOpening:
    """An opening as it cuts one room's edge: stretch from the edge's start, counter-clockwise."""

    opening: Opening
    edge: Edge
    start_ft: float
    end_ft: float


def openings_of(house: House, room: Room) -> tuple[CutOpening, ...]:
    """Openings in the walls of a room, also those that a neighbour's row names."""
    by_id = {r.id: r for r in (room, *beside(house, room))}
    found: list[CutOpening] = []
    for opening in house.openings:
        owner = by_id.get(opening.room)
        edge = edge_of(owner, opening.side) if owner is not None else None
        if owner is None or edge is None:
            continue
        low, high = sorted((edge.along(opening.offset_ft), edge.along(opening.offset_ft + opening.width_ft)))
        if owner.id == room.id:
            found.append(CutOpening(opening, edge, low, high))
        else:
            found.extend(_seen_from(room, opening, edge.at(low), edge.at(high)))
    return tuple(found)


def _seen_from(room: Room, opening: Opening, p: Point, q: Point) -> list[CutOpening]:
    """The opening from p to q as it cuts an edge of `room`, if it does."""
    found = []
    for edge in edges(room):
        length = edge.length_ft
        ux, uy = (edge.x1 - edge.x0) / length, (edge.y1 - edge.y0) / length
        if any(abs((x - edge.x0) * uy - (y - edge.y0) * ux) > 1e-4 for x, y in (p, q)):
            continue
        s = sorted((x - edge.x0) * ux + (y - edge.y0) * uy for x, y in (p, q))
        low, high = max(0.0, s[0]), min(length, s[1])
        if high - low > TOLERANCE_FT:
            found.append(CutOpening(opening, edge, low, high))
    return found


@dataclass(frozen=True, slots=True)
class FixedSpot:
    """A fixed item at a wall: stretch of the edge that it takes, from the edge's start."""

    item: FixedItem
    edge: Edge
    start_ft: float
    end_ft: float


def fixed_at_walls(house: House, room: Room) -> tuple[FixedSpot, ...]:
    """Fixed items of a room that stand at a wall."""
    found = []
    for item in house.fixed:
        edge = edge_of(room, item.side) if item.room == room.id and item.side else None
        if edge is not None:
            low, high = sorted((edge.along(item.offset_ft), edge.along(item.offset_ft + item.width_ft)))
            found.append(FixedSpot(item, edge, low, high))
    return tuple(found)


def part_at(house: House, room: Room, side: str, along_ft: float) -> WallPart:
    """The wall part of `room` that holds the place `along_ft` from the start of the edge `side`."""
    parts = [p for p in wall_parts(house, room) if p.edge.side == side]
    inside = [p for p in parts if p.start_ft - TOLERANCE_FT <= along_ft <= p.end_ft + TOLERANCE_FT]
    if not inside:
        raise ValueError(f"room {room.id}: no place {along_ft:g} ft along its {side} wall")
    return max(inside, key=lambda p: min(along_ft - p.start_ft, p.end_ft - along_ft))


def level_of(house: House, room: Room) -> Level:
    """The level a room is on."""
    return next(lv for lv in house.levels if lv.id == room.level)


def space_at(house: House, name: str) -> Space | None:
    """The space that a level's `below` or `above` names, or None for ground, roof and level."""
    return next((s for s in house.spaces if s.id == name), None)


def is_envelope_ceiling(house: House, level: Level) -> bool:
    """True when the air barrier runs in the ceiling of this level."""
    if level.above == "level":
        return False
    space = space_at(house, level.above)
    return space is None or not space.inside_air_barrier
