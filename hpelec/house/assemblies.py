"""Which assembly a place of the envelope is built as: that of its wall where walls.csv names one, else that of its
surface. Every step asks here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from hpelec.house.geometry import Point, wall_parts
from hpelec.house.model import House
from hpelec.house.rows import WallBuild
from hpelec.house.sections import Assembly

WALLS = ("wall", "garage_wall")
"""Surfaces of which a single wall may have an assembly of its own; ceilings and floors have one a surface."""


def assembly_of(
    assemblies: Iterable[Assembly], wall_builds: Iterable[WallBuild], surface: str, room: str = "", side: str = ""
) -> Assembly | None:
    """The assembly of a surface in the wall `side` of `room` (inside the air barrier); None where none is given.

    A row of the wall counts where its assembly is one of this surface. Without such a row: the assembly of the
    surface, where several name it the one whose id sorts first.
    """
    of_surface = {a.id: a for a in assemblies if a.surface == surface}
    own = (w.assembly for w in wall_builds if room and (w.room, w.side) == (room, side))
    return of_surface.get(next(own, "")) or min(of_surface.values(), key=lambda a: a.id, default=None)


@dataclass(frozen=True, slots=True)
class Face:
    """A stretch of an envelope wall as the room inside the air barrier sees it, from `start` to `end` on the plan."""

    room: str
    side: str
    level: str
    surface: str
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class BuiltWalls:
    """The assemblies of a house by place. faces: only kept where a wall has an assembly of its own."""

    assemblies: tuple[Assembly, ...]
    wall_builds: tuple[WallBuild, ...]
    faces: tuple[Face, ...]

    def at(self, surface: str, level: str, at: Point, room: str = "", side: str = "") -> Assembly | None:
        """The assembly of a surface at a place of the plan.

        room, side: the wall as it is told, where that is known. A wall that is told from outside the air barrier, or
        of which the side is not known, is the nearest wall of that surface; at a corner that of the room itself, then
        the one whose room and side sort first.
        """
        if surface not in WALLS or not self.wall_builds:
            return assembly_of(self.assemblies, (), surface)
        here = [f for f in self.faces if (f.surface, f.level) == (surface, level)]
        known = [f for f in here if (f.room, f.side) == (room, side)]
        if not known:
            known = sorted(here, key=lambda f: (round(_away_ft(at, f), 4), f.room != room, f.room, f.side))
        wall = (known[0].room, known[0].side) if known else ("", "")
        return assembly_of(self.assemblies, self.wall_builds, surface, *wall)

    def own(self) -> tuple[Assembly, ...]:
        """Assemblies that walls have of their own and that their surface does not have anyway, by id."""
        named = {w.assembly for w in self.wall_builds}
        usual = [assembly_of(self.assemblies, (), surface) for surface in WALLS]
        return tuple(sorted((a for a in self.assemblies if a.id in named and a not in usual), key=lambda a: a.id))


def built_walls(house: House) -> BuiltWalls:
    """The assemblies of a house, ready to be asked by place."""
    faces = [
        Face(r.id, p.edge.side, r.level, p.surface, p.edge.at(p.start_ft), p.edge.at(p.end_ft))
        for r in (house.rooms if house.wall_builds else ())
        if r.inside_air_barrier
        for p in wall_parts(house, r)
        if p.surface in WALLS
    ]
    return BuiltWalls(house.assemblies, house.wall_builds, tuple(faces))


def _away_ft(at: Point, face: Face) -> float:
    """Distance of a place from a stretch of wall."""
    (ax, ay), (bx, by) = face.start, face.end
    dx, dy = bx - ax, by - ay
    along = min(1.0, max(0.0, ((at[0] - ax) * dx + (at[1] - ay) * dy) / (dx * dx + dy * dy)))
    return math.dist(at, (ax + along * dx, ay + along * dy))
