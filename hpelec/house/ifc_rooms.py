"""Outlines of a building model made fit for rooms that share edges: turned to the axes, walls drawn to their middle."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import networkx as nx

from hpelec.house.geometry import Point
from hpelec.house.ifc_model import BuildingModel
from hpelec.house.walls import THICKEST_WALL_FT

SQUARE_DEG = 0.02
GRID_FT = 1e-5
"""Coordinates are rounded to this: far below what anyone measures, so that equal places are equal."""

Corners = list[list[float]]


def turned_to_axes(model: BuildingModel) -> BuildingModel:
    """The model with its most common wall direction along the axes and its south-west corner at 0, 0."""
    angle = _main_angle([s.corners_ft for s in model.spaces])
    spaces = [replace(s, corners_ft=tuple(_turn(p, -angle) for p in s.corners_ft)) for s in model.spaces]
    openings = [replace(o, centre_ft=_turn(o.centre_ft, -angle)) for o in model.openings]
    west = min(p[0] for s in spaces for p in s.corners_ft)
    south = min(p[1] for s in spaces for p in s.corners_ft)
    notes = list(model.notes)
    if angle:
        notes.append(f"the plan is turned by {-math.degrees(angle):.2f} degrees: north of it is not true north")
    if math.hypot(west, south) > 1e-3:
        notes.append(f"the plan is moved by {-west:.2f} ft east and {-south:.2f} ft north")

    def moved(point: Point) -> Point:
        return point[0] - west, point[1] - south

    return BuildingModel(
        model.storeys,
        [replace(s, corners_ft=tuple(map(moved, s.corners_ft))) for s in spaces],
        [replace(o, centre_ft=moved(o.centre_ft)) for o in openings],
        notes,
    )


def _turn(point: Point, angle: float) -> Point:
    if angle == 0:
        return point
    c, s = math.cos(angle), math.sin(angle)
    return point[0] * c - point[1] * s, point[0] * s + point[1] * c


def _main_angle(outlines: Sequence[Sequence[Point]]) -> float:
    """Direction of most of the walls, within 45 degrees of east; 0 when they lie along the axes."""
    east = north = 0.0
    for ring in outlines:
        for (x0, y0), (x1, y1) in zip(ring, [*ring[1:], ring[0]], strict=True):
            long, turn = math.hypot(x1 - x0, y1 - y0), 4 * math.atan2(y1 - y0, x1 - x0)
            east, north = east + long * math.cos(turn), north + long * math.sin(turn)
    angle = math.atan2(north, east) / 4
    return angle if abs(math.degrees(angle)) > SQUARE_DEG else 0.0


def walls_to_middle(outlines: Sequence[Sequence[Point]]) -> tuple[list[tuple[Point, ...]], float]:
    """Outlines of one storey with each wall between two of them drawn to its middle; also the widest wall met.

    Only walls along the axes are moved. Outer walls stay at their inner faces. Outlines run counter-clockwise.
    """
    rings: list[Corners] = [[list(p) for p in ring] for ring in outlines]
    widest = 0.0
    for axis in (0, 1):
        widest = max(widest, _join(rings, axis))
    rounded = [tuple((_round(x), _round(y)) for x, y in ring) for ring in rings]
    return rounded, widest


def _round(value: float) -> float:
    return round(round(value / GRID_FT) * GRID_FT, 6) + 0.0


@dataclass(frozen=True, slots=True)
class _Face:
    """An edge across one axis: its place on that axis, its stretch, which side of it the room lies on."""

    at: float
    low: float
    high: float
    room_below: bool
    ring: int
    corner: int


def _join(rings: list[Corners], axis: int) -> float:
    """Move the edges across one axis (0: those that run north-south) to the middle of their walls."""
    faces = _faces(rings, axis)
    walls, widest = _walls(faces)
    for wall in walls:
        places = [faces[n].at for n in wall]
        if len(wall) > 1 and max(places) - min(places) <= THICKEST_WALL_FT:
            for n in wall:
                ring, i = rings[faces[n].ring], faces[n].corner
                ring[i][axis] = ring[(i + 1) % len(ring)][axis] = (min(places) + max(places)) / 2
    return widest


def _faces(rings: list[Corners], axis: int) -> list[_Face]:
    """The edges that run across the axis, in order of their place."""
    other, found = 1 - axis, []
    for r, ring in enumerate(rings):
        for i, (a, b) in enumerate(zip(ring, ring[1:] + ring[:1], strict=True)):
            if abs(a[axis] - b[axis]) < 1e-3 and abs(a[other] - b[other]) > 1e-3:
                below = (b[other] > a[other]) == (axis == 0)
                found.append(_Face(a[axis], min(a[other], b[other]), max(a[other], b[other]), below, r, i))
    return sorted(found, key=lambda f: (f.at, f.low, f.ring, f.corner))


def _walls(faces: list[_Face]) -> tuple[list[list[int]], float]:
    """Groups of faces that belong to one wall, and the widest gap bridged: faces that look at each other across it."""
    links: nx.Graph[int] = nx.Graph()
    links.add_nodes_from(range(len(faces)))
    widest = 0.0
    for n, low in enumerate(faces):
        for m in range(n + 1, len(faces)):
            high = faces[m]
            gap = high.at - low.at
            if gap > THICKEST_WALL_FT:
                break
            faced = low.room_below and not high.room_below
            touching = gap < 1e-3 and low.room_below != high.room_below
            if (faced or touching) and min(low.high, high.high) - max(low.low, high.low) > 0.05:
                links.add_edge(n, m)
                widest = max(widest, gap)
    return [sorted(g) for g in nx.connected_components(links)], widest


def as_rectangle(corners: Sequence[Point]) -> tuple[float, float, float, float] | None:
    """x, y, width, depth of four corners along the axes, None for any other outline."""
    xs, ys = sorted({p[0] for p in corners}), sorted({p[1] for p in corners})
    if len(corners) != 4 or len(xs) != 2 or len(ys) != 2:
        return None
    return xs[0], ys[0], round(xs[1] - xs[0], 6), round(ys[1] - ys[0], 6)
