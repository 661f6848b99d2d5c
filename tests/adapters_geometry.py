"""Adapters for tests/published/geometry.json: plans of a few rooms, told by their corners."""

from __future__ import annotations

import dataclasses
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from hpelec.core.errors import InputErrors
from hpelec.house.check import check
from hpelec.house.geometry import edges, openings_of, room_area_ft2
from hpelec.house.ifc import import_ifc
from hpelec.house.ifc_rooms import walls_to_middle
from hpelec.house.model import House
from hpelec.house.rows import Opening, Room
from hpelec.house.sections import Level
from hpelec.house.walls import exterior_length_ft, shared_length_ft, wall_faces
from tests.houses import starter
from tests.ifc_models import Builder, box

Corners = Sequence[Sequence[float]]
EMPTY: dict[str, Any] = dict.fromkeys(
    ("openings", "fixed", "placed_devices", "panels", "lights", "fans", "draw_points", "heaters", "field_notes"), ()
)


def drawn(rooms: Mapping[str, Corners], high_ft: float = 8.0, doors: Sequence[Opening] = ()) -> House:
    """A house of outlines on one level, all inside the air barrier."""
    made = [
        Room(id=name, level="main", kind="living", outline_ft=tuple((float(x), float(y)) for x, y in corners))
        for name, corners in rooms.items()
    ]
    base = starter()
    appliances = tuple(dataclasses.replace(a, room="") for a in base.appliances)
    level = Level(id="main", ceiling_height_ft=high_ft)
    return base.changed(
        rooms=tuple(made), levels=(level,), **{**EMPTY, "openings": tuple(doors), "appliances": appliances}
    )


def outline(corners: Corners) -> dict[str, float]:
    room = drawn({"a": corners}).rooms[0]
    return {"area_ft2": room_area_ft2(room), "perimeter_ft": sum(e.length_ft for e in edges(room))}


def lattice_area(corners: Corners, inner_points: int) -> dict[str, float]:
    """Area of ours beside that by the points of the unit lattice: inner + boundary / 2 - 1."""
    told = outline(corners)
    return {"area_ft2": told["area_ft2"], "by_lattice_ft2": inner_points + told["perimeter_ft"] / 2 - 1}


def walls(rooms: Mapping[str, Corners]) -> dict[str, Any]:
    house = drawn(rooms)
    names = list(rooms)
    shared = [shared_length_ft(house, a, b) for n, a in enumerate(names) for b in names[n + 1 :]]
    return {"exterior_ft": exterior_length_ft(house, "main"), "shared_ft": shared}


def face(wide_ft: float, high_ft: float, door_ft: Sequence[float], window_ft: Sequence[float]) -> dict[str, float]:
    cuts = [
        Opening(id="d", room="a", side="1", offset_ft=1, width_ft=door_ft[0], kind="door", height_ft=door_ft[1]),
        Opening(
            id="w",
            room="a",
            side="1",
            offset_ft=6,
            width_ft=window_ft[0],
            kind="window",
            height_ft=window_ft[1],
            sill_ft=3,
        ),
    ]
    house = drawn({"a": box(0, 0, wide_ft, 10)}, high_ft, cuts)
    first = wall_faces(house)[0]
    return {"area_ft2": first.area_ft2, "net_ft2": first.area_ft2 - first.opening_ft2}


def door_from_both_rooms(offset_ft: float, width_ft: float) -> list[float]:
    """A door in the east wall of a 10 by 10 room, seen from a room whose west wall begins 4 ft farther north."""
    cut = Opening(id="d", room="a", side="2", offset_ft=offset_ft, width_ft=width_ft, kind="door")
    house = drawn({"a": box(0, 0, 10, 10), "b": box(10, 4, 8, 10)}, doors=[cut])
    seen = openings_of(house, house.rooms[1])[0]
    return [seen.edge.offset(seen.start_ft), seen.edge.offset(seen.end_ft)]


def checked(rooms: Mapping[str, Corners]) -> list[str]:
    problems = check(drawn(rooms))
    if problems:
        raise InputErrors(problems)
    return list(rooms)


def imported_room_ft2(corners: Corners, unit: str, prefix: str | None, schema: str) -> dict[str, float]:
    model = Builder(schema, unit, prefix)
    model.space(model.storey("Main", 0.0), "1", [(x, y) for x, y in corners], use="Living", high=corners[1][0] / 2)
    with tempfile.TemporaryDirectory() as folder:
        house = import_ifc(model.write(Path(folder) / "m.ifc"), Path(folder) / "h").house
    return {"area_ft2": room_area_ft2(house.rooms[0]), "floor_area_ft2": house.general.floor_area_ft2}


def joined_widths_ft(widths_ft: Sequence[float], wall_ft: float) -> list[float]:
    """Widths of rooms in a row after the walls between them are drawn to their middle."""
    rings, at = [], 0.0
    for wide in widths_ft:
        rings.append(box(at, 0, wide, 10))
        at += wide + wall_ft
    return [max(p[0] for p in ring) - min(p[0] for p in ring) for ring in walls_to_middle(rings)[0]]
