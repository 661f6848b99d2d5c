"""The wall faces of a house: how long and large each is, what lies behind it, which assembly it is built as."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.core.tables import table
from hpelec.house import assemblies
from hpelec.house.assemblies import BuiltWalls, built_walls
from hpelec.house.geometry import level_of, openings_of, wall_parts
from hpelec.house.model import House
from hpelec.house.rows import Room

THINNEST_WALL_FT = table("geometry/wall_thickness").one(limit="thinnest").number("thickness_in") / 12
"""A gap thinner than studs of 3.5 in with half an inch of board on both faces (common practice) can hold no wall and
no chase: it is a typing error."""

THICKEST_WALL_FT = table("geometry/wall_thickness").one(limit="thickest").number("thickness_in") / 12
"""A gap up to this may be a wall that was drawn with its thickness; the user is told how it is read."""


@dataclass(frozen=True, slots=True)
class WallFace:
    """A stretch of wall as one room sees it, with one thing behind it.

    room, side: whose wall. behind: id of the room behind it, "" for outdoors. surface: as `geometry.WallPart`.
    start_ft: from the edge's start, counter-clockwise. area_ft2: from floor to ceiling, openings included.
    opening_ft2: the part of it that openings take. assembly: id of its assembly, "" inside the air barrier.
    """

    room: str
    side: str
    behind: str
    surface: str
    start_ft: float
    length_ft: float
    area_ft2: float
    opening_ft2: float
    assembly: str


def wall_faces(house: House) -> tuple[WallFace, ...]:
    """Every wall face, room by room in the order of the house, counter-clockwise in each."""
    walls = built_walls(house)
    return tuple(face for room in house.rooms for face in faces_of(house, room, walls))


def faces_of(house: House, room: Room, walls: BuiltWalls | None = None) -> tuple[WallFace, ...]:
    """The wall faces of one room."""
    high = level_of(house, room).ceiling_height_ft
    walls = built_walls(house) if walls is None else walls
    cuts = openings_of(house, room)
    made = []
    for part in wall_parts(house, room):
        taken = 0.0
        for cut in cuts:
            if cut.edge.side == part.edge.side:
                wide = min(cut.end_ft, part.end_ft) - max(cut.start_ft, part.start_ft)
                top = min(cut.opening.sill_ft + cut.opening.height_ft, high)
                taken += max(wide, 0.0) * max(top - cut.opening.sill_ft, 0.0)
        middle = part.edge.at((part.start_ft + part.end_ft) / 2)
        built = walls.at(part.surface, room.level, middle, room.id, part.edge.side)
        made.append(
            WallFace(
                room.id,
                part.edge.side,
                part.behind,
                part.surface,
                part.start_ft,
                part.length_ft,
                part.length_ft * high,
                taken,
                "" if built is None else built.id,
            )
        )
    return tuple(made)


def assembly_of(house: House, surface: str) -> str:
    """Id of the assembly that a surface has where no wall has its own (`house.assemblies`), "" without one."""
    found = assemblies.assembly_of(house.assemblies, (), surface)
    return "" if found is None else found.id


def exterior_length_ft(house: House, level: str) -> float:
    """Length of the wall faces of a level with outdoors behind them, measured inside."""
    rooms = [r for r in house.rooms if r.level == level]
    return sum(p.length_ft for r in rooms for p in wall_parts(house, r) if not p.behind)


def shared_length_ft(house: House, room: str, other: str) -> float:
    """Length of the wall between two rooms, 0 when they share none."""
    return sum(p.length_ft for r in house.rooms if r.id == room for p in wall_parts(house, r) if p.behind == other)
