"""Checks across tables: do the ids exist, do rooms and openings fit. Used after reading and after every edit."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping
from typing import Any

from shapely import STRtree
from shapely.geometry import Polygon

from hpelec.core.errors import InputProblem, nearest
from hpelec.house.columns import columns_of
from hpelec.house.geometry import TOLERANCE_FT, edge_of, edges, outline, south_west
from hpelec.house.model import TABLES, House
from hpelec.house.rows import Room

Lines = Mapping[str, Mapping[str, int | None]]
"""Attribute of House -> id -> line in its file, where known."""


def check(house: House, lines: Lines | None = None) -> list[InputProblem]:
    """Every problem between the tables of a house; an empty list when it fits together."""
    at = lines or {}
    problems = [*_references(house, at), *_level_words(house)]
    good_rooms, room_problems = _room_shapes(house, at)
    problems += room_problems
    if len(good_rooms) == len(house.rooms) and not problems:
        problems += [*_overlaps(house, at), *_on_walls(house, at), *_in_rooms(house, at)]
    return problems


def _line(at: Lines, part: str, name: str) -> int | None:
    return at.get(part, {}).get(name)


def _problem(
    at: Lines, part: str, name: str, column: str, value: str, said: str, allowed: str = "", suggestion: str = ""
) -> InputProblem:
    file = f"{TABLES[part][0]}.csv" if part in TABLES else "house.toml"
    return InputProblem(file, _line(at, part, name), column, value, f"{name}: {said}", allowed, suggestion)


def _references(house: House, at: Lines) -> Iterable[InputProblem]:
    by_file = {file: attribute for attribute, (file, _) in TABLES.items()} | {"levels": "levels"}
    for attribute, (_, record) in TABLES.items():
        for column in (c for c in columns_of(record) if c.refers):
            known = [r.id for r in getattr(house, by_file[column.refers])]
            for row in getattr(house, attribute):
                value = getattr(row, column.name)
                if value in known or (value == "" and not column.required):
                    continue
                yield _problem(
                    at,
                    attribute,
                    row.id,
                    column.name,
                    value,
                    f"no such id in {column.refers}",
                    ", ".join(known[:12]) or f"add a row to {column.refers}",
                    nearest(value, known),
                )


def _level_words(house: House) -> Iterable[InputProblem]:
    spaces = [s.id for s in house.spaces]
    for level in house.levels:
        for column, word in (("below", "ground"), ("above", "roof")):
            value = getattr(level, column)
            if value not in (*spaces, "level", word):
                allowed = ", ".join([*spaces, "level", word])
                yield InputProblem(
                    "house.toml",
                    None,
                    f"levels.{column}",
                    value,
                    f"{level.id}: no such space",
                    allowed,
                    nearest(value, [*spaces, "level", word]),
                )
    for panel in house.panels:
        known = ["service", *(p.id for p in house.panels if p.id != panel.id)]
        if panel.fed_from not in known:
            yield _problem(
                {},
                "panels",
                panel.id,
                "fed_from",
                panel.fed_from,
                "no such feed",
                ", ".join(known),
                nearest(panel.fed_from, known),
            )


def _room_shapes(house: House, at: Lines) -> tuple[list[Room], list[InputProblem]]:
    good, problems = [], []
    for room in house.rooms:
        given = [n for n in ("x_ft", "y_ft", "width_ft", "depth_ft") if getattr(room, n) is not None]
        if room.outline_ft and given:
            problems.append(
                _problem(
                    at, "rooms", room.id, "outline_ft", "", "has both a rectangle and an outline", "one of the two"
                )
            )
        elif not room.outline_ft and len(given) < 4:
            missing = [n for n in ("x_ft", "y_ft", "width_ft", "depth_ft") if n not in given]
            problems.append(
                _problem(
                    at,
                    "rooms",
                    room.id,
                    missing[0],
                    "",
                    "the rectangle is not complete",
                    "x_ft, y_ft, width_ft and depth_ft, or outline_ft",
                )
            )
        elif not Polygon(outline(room)).is_valid or Polygon(outline(room)).area < 1e-3:
            problems.append(
                _problem(
                    at,
                    "rooms",
                    room.id,
                    "outline_ft",
                    "",
                    "the outline crosses itself or has no area",
                    "corners in order round the room",
                )
            )
        else:
            good.append(room)
    return good, problems


def _overlaps(house: House, at: Lines) -> Iterable[InputProblem]:
    for level in house.levels:
        rooms = [r for r in house.rooms if r.level == level.id]
        shapes = [Polygon(outline(r)) for r in rooms]
        tree = STRtree(shapes)
        for i, shape in enumerate(shapes):
            for j in tree.query(shape):
                if j > i and (area := shape.intersection(shapes[int(j)]).area) > 1e-3:
                    other = rooms[int(j)].id
                    yield _problem(
                        at,
                        "rooms",
                        rooms[i].id,
                        "outline_ft",
                        "",
                        f"overlaps room {other} by {area:.2f} ft2",
                        "rooms of a level side by side",
                    )


def _on_walls(house: House, at: Lines) -> Iterable[InputProblem]:
    rooms = {r.id: r for r in house.rooms}
    for part in ("openings", "fixed", "placed_devices", "panels"):
        for row in getattr(house, part):
            if part == "fixed" and not row.side:
                continue
            yield from _one_on_wall(rooms[row.room], part, row, at)
    yield from _crossing_openings(house, rooms, at)


def _one_on_wall(room: Room, part: str, row: Any, at: Lines) -> Iterable[InputProblem]:
    sides = [e.side for e in edges(room)]
    edge = edge_of(room, row.side)
    if edge is None:
        yield _problem(
            at,
            part,
            row.id,
            "side",
            row.side,
            f"room {room.id} has no such wall",
            ", ".join(sides),
            nearest(row.side, sides),
        )
        return
    width = getattr(row, "width_ft", 0.0)
    if width > edge.length_ft + TOLERANCE_FT:
        yield _problem(
            at,
            part,
            row.id,
            "width_ft",
            f"{width:g}",
            f"wider than the wall ({edge.length_ft:g} ft)",
            f"<= {edge.length_ft:g}",
        )
    elif row.offset_ft + width > edge.length_ft + TOLERANCE_FT:
        yield _problem(
            at,
            part,
            row.id,
            "offset_ft",
            f"{row.offset_ft:g}",
            "reaches beyond the end of the wall",
            f"<= {edge.length_ft - width:g}",
        )


def _crossing_openings(house: House, rooms: Mapping[str, Room], at: Lines) -> Iterable[InputProblem]:
    placed: dict[tuple[str, str], list[Any]] = {}
    for opening in house.openings:
        if edge_of(rooms[opening.room], opening.side) is not None:
            placed.setdefault((opening.room, opening.side), []).append(opening)
    for (room, side), group in placed.items():
        group.sort(key=lambda o: o.offset_ft)
        for first, second in itertools.pairwise(group):
            low, high = sorted((first, second), key=lambda o: o.sill_ft)
            stacked = low.sill_ft + low.height_ft <= high.sill_ft + TOLERANCE_FT
            if second.offset_ft < first.offset_ft + first.width_ft - TOLERANCE_FT and not stacked:
                yield _problem(
                    at,
                    "openings",
                    second.id,
                    "offset_ft",
                    f"{second.offset_ft:g}",
                    f"overlaps {first.id} in the {side} wall of {room}",
                    f">= {first.offset_ft + first.width_ft:g}",
                )


def _in_rooms(house: House, at: Lines) -> Iterable[InputProblem]:
    rooms = {r.id: r for r in house.rooms}
    for part in ("lights", "fans"):
        for row in getattr(house, part):
            room = rooms[row.room]
            x, y = south_west(room)
            xs, ys = zip(*outline(room), strict=True)
            if row.x_offset_ft > max(xs) - x + TOLERANCE_FT or row.y_offset_ft > max(ys) - y + TOLERANCE_FT:
                yield _problem(
                    at,
                    part,
                    row.id,
                    "x_offset_ft",
                    f"{row.x_offset_ft:g}, {row.y_offset_ft:g}",
                    f"outside room {room.id}",
                    f"x 0 to {max(xs) - x:g}, y 0 to {max(ys) - y:g}",
                )
