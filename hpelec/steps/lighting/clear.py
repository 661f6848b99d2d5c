"""The nearest place in a room that keeps a distance from each of some fans. Lengths in feet."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import combinations, pairwise
from typing import Any

import shapely

from hpelec.house.geometry import Point

NEAR_FT = 1e-9
Disc = tuple[float, float, float]
"""x, y, radius: nearer than the radius is not clear; at the radius is."""


def nearest_clear(start: Point, corners: Sequence[Point], margin_ft: float, discs: Sequence[Disc]) -> Point | None:
    """The place nearest to `start` that lies in the room, `margin_ft` (>= 0) from its walls, outside every disc.

    None when no such place is left. Exact: the nearest place is `start` itself, or lies on a wall line or a circle,
    there straight toward `start` or where two of those lines meet; all of these are tried. Of two equally near ones
    the one farther south, then farther west.
    """
    inner = shapely.Polygon(corners).buffer(-margin_ft, join_style="mitre") if margin_ft else shapely.Polygon(corners)
    if inner.is_empty:
        return None
    walls = [side for ring in _rings(inner) for side in pairwise(ring)]
    best: tuple[float, float, float] | None = None
    room = inner.buffer(NEAR_FT * 10)
    shapely.prepare(room)
    for x, y in _candidates(start, walls, discs):
        away = math.hypot(x - start[0], y - start[1])
        key = (round(away, 9), round(y, 9), round(x, 9))
        if (best is None or key < best) and _outside(x, y, discs) and shapely.contains_xy(room, x, y):
            best = key
    return None if best is None else (best[2], best[1])


def _outside(x: float, y: float, discs: Iterable[Disc]) -> bool:
    return all(math.hypot(x - cx, y - cy) >= r - NEAR_FT for cx, cy, r in discs)


def _rings(shape: Any) -> list[list[Point]]:
    parts = shape.geoms if hasattr(shape, "geoms") else [shape]
    return [list(ring.coords) for part in parts for ring in (part.exterior, *part.interiors)]


def _candidates(start: Point, walls: Sequence[tuple[Point, Point]], discs: Sequence[Disc]) -> Iterable[Point]:
    yield start
    for a, b in walls:
        yield a
        yield _foot(start, a, b)
        for disc in discs:
            yield from _line_circle(a, b, disc)
    for cx, cy, r in discs:
        away = math.hypot(start[0] - cx, start[1] - cy)
        if away > NEAR_FT:
            yield cx + (start[0] - cx) * r / away, cy + (start[1] - cy) * r / away
        else:
            yield from ((cx, cy - r), (cx - r, cy), (cx + r, cy), (cx, cy + r))
    for one, other in combinations(discs, 2):
        yield from _circles(one, other)


def _foot(p: Point, a: Point, b: Point) -> Point:
    """The point of the stretch a-b nearest to p."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy)
    t = min(max(t, 0.0), 1.0)
    return a[0] + t * dx, a[1] + t * dy


def _line_circle(a: Point, b: Point, disc: Disc) -> Iterable[Point]:
    """Where the stretch a-b crosses the circle."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    fx, fy = a[0] - disc[0], a[1] - disc[1]
    p, q, r = dx * dx + dy * dy, 2 * (fx * dx + fy * dy), fx * fx + fy * fy - disc[2] ** 2
    under = q * q - 4 * p * r
    if under >= 0:
        for sign in (-1, 1):
            t = (-q + sign * math.sqrt(under)) / (2 * p)
            if 0 <= t <= 1:
                yield a[0] + t * dx, a[1] + t * dy


def _circles(one: Disc, other: Disc) -> Iterable[Point]:
    """Where two circles meet."""
    (x0, y0, r0), (x1, y1, r1) = one, other
    apart = math.hypot(x1 - x0, y1 - y0)
    if not abs(r0 - r1) <= apart <= r0 + r1 or apart == 0:
        return
    along = (r0 * r0 - r1 * r1 + apart * apart) / (2 * apart)
    across = math.sqrt(max(r0 * r0 - along * along, 0.0))
    ux, uy = (x1 - x0) / apart, (y1 - y0) / apart
    for sign in (-1, 1):
        yield x0 + along * ux - sign * across * uy, y0 + along * uy + sign * across * ux
