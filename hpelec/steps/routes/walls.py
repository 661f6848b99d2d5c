"""The lines of the walls of one level as a graph: where a cable can run through studs, and what that costs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any, NamedTuple

import networkx as nx

from hpelec.house.assemblies import assembly_of
from hpelec.house.geometry import Point, edges, openings_of, wall_parts
from hpelec.house.model import House
from hpelec.house.sections import Assembly, Level, Routing
from hpelec.steps.routes import rules
from hpelec.steps.routes.media import INDOORS, OUTDOORS, Cavity, cavity_of

NEAR_FT = 1e-4
Node = tuple[int, bool]
"""A corner of the wall lines, and the state of the cavity there."""


class Tally(NamedTuple):
    """What a piece of route counts: cable, bored holes, crossings of the air barrier, cable in insulation."""

    cable_ft: float
    holes: int
    crossings: int
    insulation_ft: float

    def plus(self, other: Tally) -> Tally:
        """Both together."""
        return Tally(self[0] + other[0], self[1] + other[1], self[2] + other[2], self[3] + other[3])


NOTHING = Tally(0.0, 0, 0, 0.0)


@dataclass(frozen=True, slots=True)
class Weights:
    """The user's weights for a Tally [USD]."""

    cable: float
    hole: float
    crossing: float
    insulation: float

    def of(self, tally: Tally) -> float:
        """Weighted cost of a tally (plain sum; the rule `weighted_cost_USD` is the same for whole routes)."""
        return (
            self.cable * tally[0] + self.hole * tally[1] + self.crossing * tally[2] + self.insulation * tally[3]
        ) + 1e-9 * tally[0]  # among equals the shorter


def weights_of(routing: Routing) -> Weights:
    """The weights of a house."""
    return Weights(
        routing.cable_cost_USD, routing.hole_cost_USD, routing.crossing_cost_USD, routing.insulation_cost_USD
    )


@dataclass(frozen=True, slots=True)
class Gap:
    """An opening in a segment: from, to along it, sill and header above the floor [in]."""

    start_ft: float
    end_ft: float
    sill_in: float
    header_in: float


@dataclass(frozen=True, slots=True)
class Segment:
    """A wall line between two corners, with its cavities: that of inside rooms, and that of rooms outside."""

    p: int
    q: int
    length_ft: float
    surface: str
    inner: Cavity
    outer: Cavity
    gaps: tuple[Gap, ...]
    rooms: tuple[str, ...]

    def cavities(self) -> tuple[Cavity, ...]:
        """The cavities that differ in state."""
        return (self.inner,) if self.inner.inside == self.outer.inside else (self.inner, self.outer)

    def cavity(self, inside: bool) -> Cavity:
        """The cavity with that state."""
        return self.inner if self.inner.inside == inside else self.outer


@dataclass(frozen=True, slots=True)
class Place:
    """A place on a segment, from its corner p."""

    segment: int
    along_ft: float
    inside: bool


@dataclass
class Walls:
    """The wall lines of one level."""

    level: Level
    routing: Routing
    weights: Weights
    corners: tuple[Point, ...]
    segments: tuple[Segment, ...]
    joints: Mapping[int, str]
    graphs: dict[float, Any] = field(default_factory=dict)
    reached: dict[tuple[float, Node], tuple[dict[Node, float], dict[Node, list[Node]]]] = field(default_factory=dict)

    def stretch(self, number: int, low_ft: float, high_ft: float, inside: bool, run_in: float) -> Tally | None:
        """What it counts to run along a segment from low to high at height `run_in`; None where it is blocked."""
        segment = self.segments[number]
        length = high_ft - low_ft
        cable_ft = length
        for gap in segment.gaps:
            if not self.in_the_way(gap, max(low_ft, gap.start_ft), min(high_ft, gap.end_ft), run_in):
                continue
            if gap.header_in >= self.level.ceiling_height_ft * 12 - 1:
                return None
            cable_ft += rules.header_detour_ft(gap.header_in, run_in)
        insulation_ft = cable_ft if segment.cavity(inside).insulated else 0.0
        return Tally(cable_ft, rules.holes_across(length, self.routing.stud_spacing_in), 0, insulation_ft)

    @staticmethod
    def in_the_way(gap: Gap, start_ft: float, end_ft: float, run_in: float) -> bool:
        """Whether a run at this height meets the opening between two places along the segment."""
        return end_ft - start_ft > NEAR_FT and gap.sill_in - 1 < run_in < gap.header_in

    def graph(self, run_in: float) -> Any:
        """The graph of all segments at one height of run."""
        if run_in not in self.graphs:
            graph: Any = nx.Graph()
            for number, segment in enumerate(self.segments):
                for cavity in segment.cavities():
                    tally = self.stretch(number, 0.0, segment.length_ft, cavity.inside, run_in)
                    if tally is not None:
                        graph.add_edge(
                            (segment.p, cavity.inside), (segment.q, cavity.inside),
                            weight=self.weights.of(tally), tally=tally, segment=number,
                        )  # fmt: skip
            joint = Tally(0.0, 1, 1, 0.0)
            for corner in self.joints:
                graph.add_edge((corner, True), (corner, False), weight=self.weights.of(joint), tally=joint, segment=-1)
            self.graphs[run_in] = graph
        return self.graphs[run_in]

    def reach(self, run_in: float, node: Node) -> tuple[dict[Node, float], dict[Node, list[Node]]]:
        """Least cost from a corner to every other at one height, and the corner before each."""
        key = (run_in, node)
        if key not in self.reached:
            graph = self.graph(run_in)
            if node not in graph:
                self.reached[key] = ({node: 0.0}, {node: []})
            else:
                before, cost = nx.dijkstra_predecessor_and_distance(graph, node)
                self.reached[key] = (cost, before)
        return self.reached[key]

    def nearest(self, at: Point, wanted: Iterable[str], room: str) -> tuple[Place, float, Point] | None:
        """The nearest place on a segment of those surfaces (of `room`, where given), its distance and its point."""
        surfaces = set(wanted)
        found = []
        for number, segment in enumerate(self.segments):
            if segment.surface in surfaces and (not room or room in segment.rooms):
                (x0, y0), (x1, y1) = self.corners[segment.p], self.corners[segment.q]
                ux, uy = (x1 - x0) / segment.length_ft, (y1 - y0) / segment.length_ft
                along = (at[0] - x0) * ux + (at[1] - y0) * uy
                along = min(max(along, 0.0), segment.length_ft)
                point = (x0 + along * ux, y0 + along * uy)
                away = ((at[0] - point[0]) ** 2 + (at[1] - point[1]) ** 2) ** 0.5
                found.append((round(away, 6), number, along, point))
        if not found:
            return None
        away, number, along, point = min(found)
        return Place(number, along, self.segments[number].inner.inside), away, point


def build_walls(house: House, level: Level) -> Walls:
    """The wall lines of a level, cut at every corner that lies on them, each stretch once."""
    rooms = sorted((r for r in house.rooms if r.level == level.id), key=lambda r: r.id)
    inside_of = {r.id: r.inside_air_barrier for r in rooms}
    corners: list[Point] = []
    for room in rooms:
        for edge in edges(room):
            _corner(corners, (edge.x0, edge.y0))
    corners.sort()
    made: dict[tuple[int, int], dict[str, Any]] = {}
    for room in rooms:
        cuts = openings_of(house, room)
        for part in wall_parts(house, room):
            edge, length = part.edge, part.edge.length_ft
            ux, uy = (edge.x1 - edge.x0) / length, (edge.y1 - edge.y0) / length
            stops = sorted({
                (round((x - edge.x0) * ux + (y - edge.y0) * uy, 6), i)
                for i, (x, y) in enumerate(corners)
                if abs((x - edge.x0) * uy - (y - edge.y0) * ux) < NEAR_FT
                and part.start_ft - NEAR_FT <= (x - edge.x0) * ux + (y - edge.y0) * uy <= part.end_ft + NEAR_FT
            })  # fmt: skip
            for (low, i), (high, j) in pairwise(stops):
                p, q = min(i, j), max(i, j)
                entry = made.setdefault(
                    (p, q), {"length": high - low, "surface": part.surface, "gaps": {}, "rooms": set(), "faces": set()}
                )
                entry["rooms"].add(room.id)
                if room.inside_air_barrier:
                    entry["faces"].add((room.id, edge.side))
                for cut in cuts:
                    at, end = max(cut.start_ft, low) - low, min(cut.end_ft, high) - low
                    if cut.edge.side != edge.side or end - at <= NEAR_FT:
                        continue
                    if i > j:
                        at, end = (high - low) - end, (high - low) - at
                    sill = cut.opening.sill_ft * 12
                    header = round(sill + cut.opening.height_ft * 12, 4)
                    # Both rooms see the opening; once is enough.
                    entry["gaps"].setdefault(cut.opening.id, Gap(round(at, 6), round(end, 6), sill, header))
    segments = tuple(
        _segment(house, key, entry, any(inside_of[r] for r in entry["rooms"])) for key, entry in sorted(made.items())
    )
    return Walls(level, house.routing, weights_of(house.routing), tuple(corners), segments, _joints(segments))


def _corner(corners: list[Point], at: Point) -> None:
    if not any(abs(at[0] - x) < NEAR_FT and abs(at[1] - y) < NEAR_FT for x, y in corners):
        corners.append(at)


def _segment(house: House, key: tuple[int, int], entry: Mapping[str, Any], any_inside: bool) -> Segment:
    surface = entry["surface"]
    if surface == "garage_wall":
        assembly = _assembly(house, "garage_wall", entry) or _assembly(house, "wall", entry)
        inner, outer = cavity_of(assembly), cavity_of(assembly, from_outside=True)
    elif surface == "wall":
        inner = outer = cavity_of(_assembly(house, "wall", entry))
    else:
        inner = outer = INDOORS if any_inside else OUTDOORS
    gaps = tuple(sorted(entry["gaps"].values(), key=lambda g: (g.start_ft, g.end_ft, g.sill_in, g.header_in)))
    return Segment(key[0], key[1], entry["length"], surface, inner, outer, gaps, tuple(sorted(entry["rooms"])))


def _assembly(house: House, surface: str, entry: Mapping[str, Any]) -> Assembly | None:
    """The assembly of a stretch of wall, as the room inside the air barrier tells it."""
    wall = min(entry["faces"], default=("", ""))
    return assembly_of(house.assemblies, house.wall_builds, surface, *wall)


def _joints(segments: Iterable[Segment]) -> dict[int, str]:
    """Corners where cavities of both states meet, with the surface that a cable crosses there."""
    states: dict[int, set[bool]] = {}
    garage: set[int] = set()
    for segment in segments:
        for corner in (segment.p, segment.q):
            states.setdefault(corner, set()).update(c.inside for c in segment.cavities())
            if segment.surface == "garage_wall":
                garage.add(corner)
    return {c: "garage_wall" if c in garage else "wall" for c, s in sorted(states.items()) if len(s) == 2}
