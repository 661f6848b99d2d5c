"""Checks of the walls between rooms: gaps too thin for a wall, openings that two rooms tell differently."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from functools import cache

from shapely import STRtree
from shapely.geometry import Polygon
from shapely.ops import unary_union

from hpelec.core.errors import InputProblem, nearest
from hpelec.core.findings import Assumption
from hpelec.house.assemblies import WALLS
from hpelec.house.geometry import Edge, Point, edge_of, edges, outline, wall_parts
from hpelec.house.model import House
from hpelec.house.rows import Opening, Room, WallBuild
from hpelec.house.sketches import polygons, sketch
from hpelec.house.walls import THICKEST_WALL_FT, THINNEST_WALL_FT

Lines = Mapping[str, Mapping[str, int | None]]

Gap = tuple[float, tuple[Point, ...]]
"""Width [ft] and corners."""

ON_LINE_FT = 1e-4
"""Two walls closer than this lie on one line, see `geometry.wall_parts`."""


def gaps(house: House, at: Lines) -> Iterator[InputProblem]:
    """Rooms that face each other across a gap thinner than any wall, so that their wall is not shared."""
    for room, other, found in _facing(house, 0.0, THINNEST_WALL_FT):
        yield _gap(house, room, other, found, at)


def told_gaps(house: House) -> list[Assumption]:
    """Gaps as thick as a wall: what they are read as."""
    told = [
        f"{room.id} and {other.id} ({wide * 12:.3g} in)"
        for room, other, (wide, _) in _facing(house, THINNEST_WALL_FT, THICKEST_WALL_FT)
    ]
    why = "rooms share the edge where a partition stands between them; its thickness is not drawn"
    return [Assumption("rooms.csv", f"outdoors between {', '.join(told)}", why)] if told else []


def told_voids(house: House) -> list[Assumption]:
    """Places that rooms enclose and none fills: what they are read as."""
    told = []
    for level in dict.fromkeys(r.level for r in house.rooms):
        rooms = [r for r in house.rooms if r.level == level]
        # grown a little, so that walls on one line within ON_LINE_FT leave no crack
        whole = unary_union([Polygon(outline(r)).buffer(2 * ON_LINE_FT, join_style="mitre") for r in rooms])
        rings = [Polygon(ring) for part in polygons(whole) for ring in part.interiors]
        for void in sorted(rings, key=lambda v: v.bounds):
            if not void.buffer(-THINNEST_WALL_FT / 2).is_empty:
                x, y = void.representative_point().coords[0][:2]
                told.append(f"{level}: {void.area:.1f} ft2 at {x:.1f}, {y:.1f}")
    why = "rooms enclose it and none fills it; draw it as a room (a chase: a closet) if it lies inside the air barrier"
    return [Assumption("rooms.csv", f"outdoors, {'; '.join(told)}", why)] if told else []


def told_assemblies(house: House) -> list[Assumption]:
    """Assemblies that are given but not used, because another names the same surface."""
    told, own = [], {w.assembly for w in house.wall_builds}
    for surface in dict.fromkeys(a.surface for a in house.assemblies):
        first, *others = sorted(a.id for a in house.assemblies if a.surface == surface)
        rest = [name for name in others if name not in own]
        if rest:
            told.append(f"{first} for every {surface.replace('_', ' ')}, not {', '.join(rest)}")
    why = "a wall without a row in walls.csv, a ceiling and a floor: the assembly of the surface whose id sorts first"
    return [Assumption("house.toml, assemblies", "; ".join(told), why)] if told else []


def own_walls(house: House, at: Lines, *, whole_plan: bool) -> Iterator[InputProblem]:
    """Rows of walls.csv: each tells one envelope wall, from inside, and an assembly that it can have.

    whole_plan: every room is there; otherwise nothing is said of what lies behind a wall.
    """
    rooms, kinds = {r.id: r for r in house.rooms}, {a.id: a.surface for a in house.assemblies}
    first: dict[tuple[str, str], str] = {}
    for row in house.wall_builds:
        wall, surface = (row.room, row.side), kinds.get(row.assembly)
        if surface not in (None, *WALLS):
            allowed = ", ".join(sorted(a for a, s in kinds.items() if s in WALLS))
            said = f"the assembly is one of a {surface}, not of a wall"
            yield _build(row, at, "assembly", row.assembly, said, allowed)
        if row.room not in rooms:
            continue
        room = rooms[row.room]
        sides = [e.side for e in edges(room)]
        if row.side not in sides:
            said = f"room {room.id} has no such wall"
            yield _build(row, at, "side", row.side, said, ", ".join(sides), nearest(row.side, sides))
        elif wall in first:
            yield _build(row, at, "side", row.side, f"{first[wall]} tells this wall already", "one row a wall")
        elif whole_plan and (said := _not_its_wall(house, room, row.side, surface)):
            yield _build(row, at, "side", row.side, said, "an envelope wall as the room inside sees it")
        first.setdefault(wall, row.id)


def _not_its_wall(house: House, room: Room, side: str, surface: str | None) -> str:
    """Why a wall cannot have an assembly of that surface, or ""."""
    if not room.inside_air_barrier:
        return f"room {room.id} is outside the air barrier: tell the wall from the room inside"
    found = sorted({p.surface for p in wall_parts(house, room) if p.edge.side == side} - {""})
    if not found:
        return "not a wall of the envelope: rooms inside the air barrier lie on both sides"
    if surface in WALLS and surface not in found:
        return f"the wall is a {' and a '.join(found)}, the assembly one of a {surface}"
    return ""


def _build(
    row: WallBuild, at: Lines, column: str, value: str, said: str, allowed: str, suggestion: str = ""
) -> InputProblem:
    line = at.get("wall_builds", {}).get(row.id)
    return InputProblem("walls.csv", line, column, value, f"{row.id}: {said}", allowed, suggestion, about=row.id)


def _facing(house: House, low_ft: float, high_ft: float) -> Iterator[tuple[Room, Room, Gap]]:
    """Pairs of rooms with the longest gap between them that is at least low_ft and less than high_ft wide."""
    for level in dict.fromkeys(r.level for r in house.rooms):
        rooms = [r for r in house.rooms if r.level == level]
        shapes = [Polygon(outline(r)) for r in rooms]
        tree = STRtree(shapes)
        for i, shape in enumerate(shapes):
            near = sorted(int(j) for j in tree.query(shape, "dwithin", high_ft) if j > i)
            for j in near:
                if found := _longest_gap(rooms[i], rooms[j], low_ft, high_ft):
                    between = Polygon(found[1])
                    if not any(shapes[int(n)].intersection(between).area > 1e-3 for n in tree.query(between)):
                        yield rooms[i], rooms[j], found


def _gap(house: House, room: Room, other: Room, found: Gap, at: Lines) -> InputProblem:
    wide, corners = found
    inches = abs(wide) * 12
    said = f"a gap of {inches:.3g} in" if wide > 0 else f"an overlap of {inches:.3g} in"
    return InputProblem(
        "rooms.csv",
        at.get("rooms", {}).get(room.id),
        "outline_ft" if room.outline_ft else "x_ft",
        "",
        f"{room.id}: {said} to room {other.id}: their wall is not shared and both would count as outer walls",
        "rooms that share the edge; the thickness of a partition is not drawn",
        about=room.id,
        sketch=sketch(house, room.level, [(said, corners)]),
    )


def _longest_gap(room: Room, other: Room, low_ft: float, high_ft: float) -> Gap | None:
    """The longest gap of such a width between two rooms, None when there is none."""
    found = [g for a in edges(room) for b in edges(other) if (g := _between(a, b)) is not None]
    fitting = [g for g in found if (g[0] < 0 and low_ft == 0) or low_ft <= g[0] < high_ft - 1e-9]
    return max(fitting, key=lambda g: math.dist(g[1][0], g[1][1]), default=None)


def _between(a: Edge, b: Edge) -> Gap | None:
    """The gap between two edges that face each other nearly in parallel; negative where they overlap too little to be
    told as rooms that overlap.
    """
    ux, uy = (a.x1 - a.x0) / a.length_ft, (a.y1 - a.y0) / a.length_ft
    if ((b.x1 - b.x0) * ux + (b.y1 - b.y0) * uy) / b.length_ft > -0.9999:
        return None
    outs = [(x - a.x0) * uy - (y - a.y0) * ux for x, y in ((b.x0, b.y0), (b.x1, b.y1))]
    wide = sum(outs) / 2
    ends = sorted((x - a.x0) * ux + (y - a.y0) * uy for x, y in ((b.x0, b.y0), (b.x1, b.y1)))
    low, high = max(0.0, ends[0]), min(a.length_ft, ends[1])
    on_one_line = all(abs(out) <= ON_LINE_FT for out in outs)
    told_as_overlap = -wide * (high - low) > 1e-3
    if high - low <= max(abs(wide), ON_LINE_FT) or on_one_line or told_as_overlap:
        return None
    (x0, y0), (x1, y1) = a.at(low), a.at(high)
    return wide, ((x0, y0), (x1, y1), (x1 + wide * uy, y1 - wide * ux), (x0 + wide * uy, y0 - wide * ux))


def said_twice(first: Opening, second: Opening) -> str:
    """What is wrong with two openings at one place of a wall that are told from its two rooms."""
    told = [
        f"{name} {getattr(second, name):g} here, {getattr(first, name):g} there"
        for name in ("width_ft", "height_ft", "sill_ft")
        if abs(getattr(second, name) - getattr(first, name)) > 1e-6
    ]
    if second.kind != first.kind:
        told.insert(0, f"{second.kind} here, {first.kind} there")
    differs = f"; the two disagree: {', '.join(told)}" if told else ""
    return f"overlaps {first.id}, which stands in the same wall as seen from {first.room}{differs}"


def straddling(house: House, at: Lines) -> Iterable[InputProblem]:
    """Openings that reach past the corner of the room behind their wall: half of them would lead elsewhere."""
    rooms = {r.id: r for r in house.rooms}
    parts = cache(lambda name: wall_parts(house, rooms[name]))
    for opening in house.openings:
        room = rooms.get(opening.room)
        edge = edge_of(room, opening.side) if room is not None else None
        if room is None or edge is None:
            continue
        low, high = sorted((edge.along(opening.offset_ft), edge.along(opening.offset_ft + opening.width_ft)))
        if low < -1e-6 or high > edge.length_ft + 1e-6:
            continue
        behind = [
            p.behind or "outdoors"
            for p in parts(room.id)
            if p.edge.side == opening.side and min(p.end_ft, high) - max(p.start_ft, low) > ON_LINE_FT
        ]
        if len(set(behind)) > 1:
            yield InputProblem(
                "openings.csv",
                at.get("openings", {}).get(opening.id),
                "offset_ft",
                f"{opening.offset_ft:g}",
                f"{opening.id}: reaches across the wall between {' and '.join(dict.fromkeys(behind))}",
                "an opening leads to one room, or outdoors",
                about=opening.id,
            )
