"""Outlines of a building model made fit for rooms that share edges: turned to the axes, walls drawn to their middle."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from hpelec.house.geometry import Point
from hpelec.house.ifc_model import BuildingModel

THICKEST_WALL_FT = 14.0 / 12
"""Rooms that face each other across no more than this have a wall between them."""
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


def _join(rings: list[Corners], axis: int) -> float:
    """Move the edges across one axis (0: those that run north-south) to the middle of their walls."""
    other = 1 - axis
    found = []  # place, low, high, facing (+1: the room lies on the low side), ring, first corner
    for r, ring in enumerate(rings):
        for i, (x, y) in enumerate(zip(ring, ring[1:] + ring[:1], strict=True)):
            if abs(x[axis] - y[axis]) < 1e-3 and abs(x[other] - y[other]) > 1e-3:
                ahead = y[other] > x[other]
                facing = 1 if ahead == (axis == 0) else -1
                found.append((x[axis], min(x[other], y[other]), max(x[other], y[other]), facing, r, i))
    group = list(range(len(found)))

    def head(n: int) -> int:
        while group[n] != n:
            n = group[n]
        return n

    order = sorted(range(len(found)), key=lambda n: found[n][0])
    widest = 0.0
    for rank, n in enumerate(order):
        for m in order[rank + 1 :]:
            gap = found[m][0] - found[n][0]
            if gap > THICKEST_WALL_FT:
                break
            overlap = min(found[n][2], found[m][2]) - max(found[n][1], found[m][1])
            faces = found[n][3] == 1 and found[m][3] == -1
            if overlap > 0.05 and (faces or (gap < 1e-3 and found[n][3] != found[m][3])):
                group[head(m)] = head(n)
                widest = max(widest, gap)
    members: dict[int, list[int]] = defaultdict(list)
    for n in range(len(found)):
        members[head(n)].append(n)
    for wall in members.values():
        places = [found[n][0] for n in wall]
        middle = (min(places) + max(places)) / 2
        if len(wall) > 1 and max(places) - min(places) <= THICKEST_WALL_FT:
            for n in wall:
                ring, i = rings[found[n][4]], found[n][5]
                ring[i][axis] = ring[(i + 1) % len(ring)][axis] = middle
    return widest


def as_rectangle(corners: Sequence[Point]) -> tuple[float, float, float, float] | None:
    """x, y, width, depth of four corners along the axes, None for any other outline."""
    xs, ys = sorted({p[0] for p in corners}), sorted({p[1] for p in corners})
    if len(corners) != 4 or len(xs) != 2 or len(ys) != 2:
        return None
    return xs[0], ys[0], round(xs[1] - xs[0], 6), round(ys[1] - ys[0], 6)
