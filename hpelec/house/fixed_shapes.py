"""Outlines on the plan of the fixed items."""

from __future__ import annotations

from collections.abc import Iterable

from hpelec.house.geometry import Point, fixed_at_walls, south_west
from hpelec.house.model import House
from hpelec.house.rows import Room


def fixed_shapes(house: House, rooms: Iterable[Room]) -> list[tuple[str, list[Point]]]:
    """Kind and corners [ft] of each fixed item in some rooms."""
    shapes = []
    for room in rooms:
        for spot in fixed_at_walls(house, room):
            (ix, iy), depth = spot.edge.inward(), spot.item.depth_ft
            near = [spot.edge.at(spot.start_ft), spot.edge.at(spot.end_ft)]
            far = [(x + ix * depth, y + iy * depth) for x, y in reversed(near)]
            shapes.append((spot.item.kind, [*near, *far]))
        x0, y0 = south_west(room)
        for item in house.fixed:
            if item.room == room.id and not item.side:
                x, y, w, d = x0 + item.offset_ft, y0 + item.y_offset_ft, item.width_ft, item.depth_ft
                shapes.append((item.kind, [(x, y), (x + w, y), (x + w, y + d), (x, y + d)]))
    return shapes
