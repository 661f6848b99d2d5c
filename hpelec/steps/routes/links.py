"""Links between two stops: one medium from end to end, with what it counts, its corners and its crossings."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from hpelec.steps.routes import rules
from hpelec.steps.routes.media import Plane
from hpelec.steps.routes.stops import Site, Stop
from hpelec.steps.routes.walls import NOTHING, Node, Place, Tally, Walls, Weights

Point3 = tuple[float, float, float]
ANY = ""
"""Way of a link through a wall to its other face: allowed wherever the rest is."""


class Link(NamedTuple):
    """One way between two stops: its weighted cost, name and tally, and what is needed to draw it."""

    cost: float
    way: str
    tally: Tally
    planes: tuple[Plane, Plane] | None = None
    run_in: float = 0.0
    ends: tuple[Node, Node] | None = None


class Passage(NamedTuple):
    """A crossing on a link: surface, the stop it belongs to, and where."""

    surface: str
    stop: Stop
    at: Point3


def port(stop: Stop, plane: Plane, ceiling_in: float) -> Tally:
    """From a stop straight down or up to a plane."""
    wall_in = stop.height_in if plane.surface == "floor" else ceiling_in - stop.height_in
    insulation_ft = (wall_in if stop.insulated else 0.0) / 12 + plane.depth_in / 12
    return Tally(abs(plane.z_ft - stop.z_ft), int(stop.plate), int(stop.inside != plane.inside), insulation_ft)


def in_plane(site: Site, a: Stop, b: Stop, pa: Plane, pb: Plane) -> Tally:
    """From above or below one stop to above or below the other, square to the joists."""
    routing = site.house.routing
    dx, dy = abs(a.at[0] - b.at[0]), abs(a.at[1] - b.at[1])
    along, across = (dx, dy) if routing.joist_direction == "east-west" else (dy, dx)
    bored = {"joists": across, "battens": along, "": 0.0}[pa.across]
    run_ft = dx + dy + abs(pa.z_ft - pb.z_ft)
    holes = rules.holes_across(bored, routing.joist_spacing_in)
    return Tally(run_ft, holes, int(pa.inside != pb.inside), run_ft if pa.insulated else 0.0)


def plane_links(site: Site, a: Stop, b: Stop, weights: Weights) -> Iterator[Link]:
    """Links through each plane that both stops reach."""
    for pa in (a.below, a.above):
        for pb in (b.below, b.above):
            if pa is None or pb is None or pa.key != pb.key or pa.inside != pb.inside:
                continue
            tally = port(a, pa, _ceiling_in(site, a)).plus(in_plane(site, a, b, pa, pb))
            tally = tally.plus(port(b, pb, _ceiling_in(site, b)))
            way = pa.way if pa.way == pb.way else "between_levels"
            yield Link(weights.of(tally), way, tally, planes=(pa, pb))


def _ceiling_in(site: Site, stop: Stop) -> float:
    return site.levels[stop.level].ceiling_height_ft * 12


def _ends(walls: Walls, place: Place, run_in: float) -> list[tuple[Node, Tally]]:
    """From a place on a segment to the two corners of the segment."""
    segment = walls.segments[place.segment]
    found = []
    for corner, low, high in ((segment.p, 0.0, place.along_ft), (segment.q, place.along_ft, segment.length_ft)):
        tally = walls.stretch(place.segment, low, high, place.inside, run_in)
        if tally is not None:
            found.append(((corner, place.inside), tally))
    return found


def stud_link(site: Site, a: Stop, b: Stop, weights: Weights) -> Link | None:
    """The cheapest link through studs, at the height of one of the two stops; None where there is none."""
    if a.place is None or b.place is None or a.level != b.level:
        return None
    walls = site.walls(a.level)
    best: Link | None = None
    for run_in in dict.fromkeys((a.height_in, b.height_in)):
        rise_ft = abs(a.height_in - b.height_in) / 12
        riser = b if run_in == a.height_in else a
        rise = Tally(rise_ft, 0, 0, rise_ft if riser.insulated else 0.0)
        for link in _at_height(walls, a.place, b.place, run_in, weights):
            cost = link.cost + weights.of(rise)
            if best is None or round(cost, 7) < round(best.cost, 7):
                best = link._replace(cost=cost, tally=rise)
    return best


def _at_height(walls: Walls, a: Place, b: Place, run_in: float, weights: Weights) -> Iterator[Link]:
    """Ways between two places at one height; the tally is filled in when the link is drawn."""
    if a.segment == b.segment and a.inside == b.inside:
        low, high = sorted((a.along_ft, b.along_ft))
        tally = walls.stretch(a.segment, low, high, a.inside, run_in)
        if tally is not None:
            yield Link(weights.of(tally), "through_studs", NOTHING, run_in=run_in)
    for start, first in _ends(walls, a, run_in):
        cost, _ = walls.reach(run_in, start)
        base = weights.of(first)
        for end, last in _ends(walls, b, run_in):
            if end in cost:
                yield Link(
                    base + cost[end] + weights.of(last), "through_studs", NOTHING, run_in=run_in, ends=(start, end)
                )


def twin_link(a: Stop, b: Stop, weights: Weights) -> Link | None:
    """Through the wall from one face to the other, where one stop is the twin of the other."""
    outer = a if a.twin == b.id and a.twin else b if b.twin == a.id and b.twin else None
    if outer is None:
        return None
    tally = Tally(math.dist(a.at, b.at), 0, int(outer.twin_crosses), 0.0)
    return Link(weights.of(tally), ANY, tally)


class Drawn(NamedTuple):
    """A link drawn: its corners from a to b, what it counts, its crossings."""

    points: list[Point3]
    tally: Tally
    passages: list[Passage]


def draw(site: Site, a: Stop, b: Stop, link: Link) -> Drawn:
    """Corners, tally and crossings of a link."""
    if link.planes is not None:
        return _drawn_plane(site, a, b, link)
    if link.way == ANY:
        outer = a if a.twin == b.id else b
        inner = b if outer is a else a
        where = (inner.at[0], inner.at[1], inner.z_ft)
        passages = [Passage(outer.twin_surface, outer, where)] if outer.twin_crosses else []
        return Drawn([_point(a), _point(b)], link.tally, passages)
    return _drawn_studs(site, a, b, link)


def _point(stop: Stop) -> Point3:
    return (stop.at[0], stop.at[1], stop.z_ft)


def _drawn_plane(site: Site, a: Stop, b: Stop, link: Link) -> Drawn:
    assert link.planes is not None
    pa, pb = link.planes
    (ax, ay), (bx, by) = a.at, b.at
    points = [_point(a), (ax, ay, pa.z_ft), (bx, ay, pa.z_ft), (bx, by, pa.z_ft), (bx, by, pb.z_ft), _point(b)]
    passages = []
    for stop, plane in ((a, pa), (b, pb)):
        if stop.inside != plane.inside:
            level = site.levels[stop.level]
            z_ft = level.floor_ft + (level.ceiling_height_ft if plane.surface == "ceiling" else 0.0)
            passages.append(Passage(plane.surface, stop, (*stop.at, z_ft)))
    return Drawn(points, link.tally, passages)


def _drawn_studs(site: Site, a: Stop, b: Stop, link: Link) -> Drawn:
    assert a.place is not None and b.place is not None
    walls = site.walls(a.level)
    pieces: list[tuple[int, float, float, bool]] = []
    joints: list[int] = []
    if link.ends is None:
        pieces.append((a.place.segment, a.place.along_ft, b.place.along_ft, a.place.inside))
    else:
        start, end = link.ends
        pieces.append((a.place.segment, a.place.along_ft, _end_ft(walls, a.place, start), a.place.inside))
        nodes = _path(walls, link.run_in, start, end)
        for u, v in pairwise(nodes):
            number = walls.graph(link.run_in).edges[u, v]["segment"]
            if number < 0:
                joints.append(u[0])
                continue
            segment = walls.segments[number]
            low, high = (0.0, segment.length_ft) if segment.p == u[0] else (segment.length_ft, 0.0)
            pieces.append((number, low, high, u[1]))
        pieces.append((b.place.segment, _end_ft(walls, b.place, end), b.place.along_ft, b.place.inside))
    tally = link.tally.plus(Tally(0.0, len(joints), len(joints), 0.0))
    points = [_point(a)]
    for number, low, high, inside in pieces:
        part = walls.stretch(number, min(low, high), max(low, high), inside, link.run_in)
        assert part is not None
        tally = tally.plus(part)
        points += _along(walls, number, low, high, link.run_in)
    points.append(_point(b))
    z_ft = walls.level.floor_ft + link.run_in / 12
    passages = [Passage(walls.joints[c], a, (*walls.corners[c], z_ft)) for c in joints]
    return Drawn(points, tally, passages)


def _end_ft(walls: Walls, place: Place, node: Node) -> float:
    segment = walls.segments[place.segment]
    return 0.0 if segment.p == node[0] else segment.length_ft


def _path(walls: Walls, run_in: float, start: Node, end: Node) -> list[Node]:
    _, before = walls.reach(run_in, start)
    nodes = [end]
    while nodes[-1] != start:
        nodes.append(min(before[nodes[-1]]))
    return nodes[::-1]


def _along(walls: Walls, number: int, low: float, high: float, run_in: float) -> list[Point3]:
    """Corners along a segment from low to high, up and over the openings that are in the way."""
    segment = walls.segments[number]
    (x0, y0), (x1, y1) = walls.corners[segment.p], walls.corners[segment.q]
    floor_ft = walls.level.floor_ft

    def at(along: float, height_in: float) -> Point3:
        t = along / segment.length_ft
        return (x0 + t * (x1 - x0), y0 + t * (y1 - y0), floor_ft + height_in / 12)

    points = [at(low, run_in)]
    for gap in segment.gaps if low <= high else segment.gaps[::-1]:
        start, end = max(min(low, high), gap.start_ft), min(max(low, high), gap.end_ft)
        if walls.in_the_way(gap, start, end, run_in):
            first, second = (start, end) if low <= high else (end, start)
            points += [at(first, run_in), at(first, gap.header_in), at(second, gap.header_in), at(second, run_in)]
    return [*points, at(high, run_in)]
