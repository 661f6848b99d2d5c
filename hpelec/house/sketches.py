"""Where on the plan an input problem lies: the rooms near it and the place itself, for a small picture."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from shapely.geometry import MultiPoint, Polygon
from shapely.geometry.base import BaseGeometry

from hpelec.core.errors import InputProblem, Outline, Sketch
from hpelec.house.geometry import Point, edge_of, edges, outline, south_west
from hpelec.house.model import TABLES, House
from hpelec.house.rows import Room

REACH_FT = 6.0
"""A picture shows the rooms that come this near to the problem."""

Mark = tuple[str, Sequence[Sequence[float]]]


def polygons(shape: BaseGeometry) -> list[Polygon]:
    """The polygons of any shape; lines and points are left out."""
    parts = getattr(shape, "geoms", [shape])
    return [p for p in parts if isinstance(p, Polygon) and not p.is_empty]


def sketch(house: House, level: str, marks: Iterable[Mark]) -> Sketch:
    """The marks with the rooms of the level near them."""
    marked = tuple((name, _corners(points)) for name, points in marks)
    near = MultiPoint([p for _, points in marked for p in points]).envelope.buffer(REACH_FT)
    shown = [(r.id, outline(r)) for r in house.rooms if r.level == level]
    return Sketch(level, tuple((name, pts) for name, pts in shown if Polygon(pts).intersects(near)), marked)


def sketched(house: House, whole: House, problem: InputProblem) -> InputProblem:
    """The problem with a sketch of its row, where the row has a place. whole: the house without unfit rooms."""
    part = next((a for a, (file, _) in TABLES.items() if problem.file == f"{file}.csv"), "")
    if problem.sketch is not None or not problem.about or not part:
        return problem
    row = next((r for r in getattr(house, part) if r.id == problem.about), None)
    with contextlib.suppress(ValueError):  # a room without a whole rectangle has no place
        found = _place(house, row)
        if found is not None:
            room, corners = found
            return replace(problem, sketch=sketch(whole, room.level, [(problem.about, corners)]))
    return problem


def _corners(points: Sequence[Sequence[float]]) -> Outline:
    return tuple((float(p[0]), float(p[1])) for p in points)


def _place(house: House, row: Any) -> tuple[Room, tuple[Point, ...]] | None:
    """The room of a row and the corners of what the row puts there; None when it has no place on the plan."""
    if isinstance(row, Room):
        return row, outline(row)
    room = next((r for r in house.rooms if r.id == getattr(row, "room", "")), None)
    if room is None:
        return None
    if getattr(row, "side", ""):
        return room, _on_wall(room, row)
    x, y = south_west(room)
    if hasattr(row, "x_offset_ft"):
        return room, ((x + row.x_offset_ft, y + row.y_offset_ft),)
    if hasattr(row, "depth_ft"):
        x, y = x + row.offset_ft, y + row.y_offset_ft
        wide, deep = row.width_ft, row.depth_ft
        return room, ((x, y), (x + wide, y), (x + wide, y + deep), (x, y + deep))
    return room, outline(room)


def _on_wall(room: Room, row: Any) -> tuple[Point, ...]:
    """The stretch of wall that a row takes, also where it reaches beyond the wall's end; a wall that is not there:
    the whole room.
    """
    edge = edge_of(room, row.side)
    if edge is None or any(e.length_ft == 0 for e in edges(room)):
        return outline(room)
    if not hasattr(row, "offset_ft"):  # a row of walls.csv: the whole wall
        return edge.at(0.0), edge.at(edge.length_ft)
    ends = row.offset_ft, row.offset_ft + getattr(row, "width_ft", 0.0)
    return tuple(dict.fromkeys(edge.at(edge.along(at)) for at in ends))
