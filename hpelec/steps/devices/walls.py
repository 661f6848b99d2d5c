"""Wall lines: the walls of a room as one arc, cut into runs; where on it a box may stand. Lengths in feet.

The arc runs counter-clockwise round the room along the floor line, inside corners and outside corners alike, from
the room's first corner.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property

from hpelec.house.geometry import (
    CutOpening,
    Edge,
    FixedSpot,
    Point,
    WallPart,
    edges,
    fixed_at_walls,
    openings_of,
    wall_parts,
)
from hpelec.house.model import House
from hpelec.house.rows import Room
from hpelec.steps.devices.placing import Line
from hpelec.steps.devices.rules import breaks_wall_line
from hpelec.steps.devices.spans import EPS_FT, Span, Spans, common, inset, merged, ring_pieces, turned, without

HALF_BOX_FT = 2 / 12
"""A box cannot stand nearer to a corner or an opening than half its own width and the stud beside it."""
CLEARANCES_FT = (0.5, 0.25, HALF_BOX_FT)
"""Distance that boxes keep from corners and openings, as far as the count allows; common practice."""
BOX_HEIGHT_IN = 4.0
ENVELOPE = ("wall", "garage_wall")
COUNTERS = ("counter", "peninsula", "sink")
TALL = ("cabinet", "fireplace", "tub", "shower")
DOORS = ("door", "cased_opening", "sliding_glass")
SHORTEST_WALL_SPACE_FT = 2.0


@dataclass(frozen=True, slots=True)
class Place:
    """A place on a wall line: plan coordinates, the wall, the user's offset along it, what its box stands in."""

    arc_ft: float
    x_ft: float
    y_ft: float
    edge: Edge
    offset_ft: float
    part: WallPart


@dataclass(frozen=True)
class WallLine:
    """The wall line of a room with what is in it and at it."""

    room: Room
    edges: tuple[Edge, ...]
    parts: tuple[WallPart, ...]
    openings: tuple[CutOpening, ...]
    fixed: tuple[FixedSpot, ...]

    @cached_property
    def length_ft(self) -> float:
        """Length of the whole ring."""
        return sum(e.length_ft for e in self.edges)

    def place(self, arc_ft: float) -> Place:
        """The place at this arc length (any number of turns round the room)."""
        arc = arc_ft % self.length_ft
        edge = next((e for e in self.edges if arc < e.start_ft + e.length_ft - EPS_FT), self.edges[0])
        along = max(arc - edge.start_ft, 0.0) if arc < self.length_ft - EPS_FT else 0.0
        here = [p for p in self.parts if p.edge.side == edge.side]
        part = max(here, key=lambda p: min(along - p.start_ft, p.end_ft - along))
        x, y = edge.at(along)
        return Place(arc, x, y, edge, edge.offset(along), part)

    def arc(self, side: str, offset_ft: float) -> float:
        """Arc length of a place that a user gives by wall and offset."""
        edge = next(e for e in self.edges if e.side == side)
        return edge.start_ft + edge.along(offset_ft)

    def edge_spans(self) -> Spans:
        """The straight walls."""
        return tuple((e.start_ft, e.start_ft + e.length_ft) for e in self.edges)

    def part_spans(self, wanted: Callable[[WallPart], bool]) -> Spans:
        """Stretches whose wall part is wanted."""
        return merged((p.edge.start_ft + p.start_ft, p.edge.start_ft + p.end_ft) for p in self.parts if wanted(p))

    def opening_spans(self, wanted: Callable[[CutOpening], bool]) -> Spans:
        """Stretches of the openings wanted."""
        return merged(opening_arc(o) for o in self.openings if wanted(o))

    def fixed_spans(self, *kinds: str) -> Spans:
        """Stretches where fixed items of these kinds stand."""
        return merged(
            (f.edge.start_ft + f.start_ft, f.edge.start_ft + f.end_ft) for f in self.fixed if f.item.kind in kinds
        )

    def free(self, height_in: float, blocked: Iterable[str], clearance_ft: float) -> Spans:
        """Where a box at this height may stand: clear of openings there, of these fixed items, and of corners."""
        holes = (*self.opening_spans(lambda o: in_the_way(o, height_in)), *self.fixed_spans(*blocked))
        return tuple(s for wall in self.edge_spans() for s in inset(without((wall,), holes), clearance_ft))

    def inside(self, spans: Spans) -> Spans:
        """The part of `spans` that is not envelope, clear of where the envelope begins."""
        kept = self.part_spans(lambda p: p.surface not in ENVELOPE)
        walls = tuple(s for wall in self.edge_spans() for s in common((wall,), kept))
        return common(spans, inset(walls, HALF_BOX_FT))

    def corner_at(self, arc_ft: float) -> Point:
        """Plan coordinates at an arc length."""
        place = self.place(arc_ft)
        return (place.x_ft, place.y_ft)


def opening_arc(opening: CutOpening) -> Span:
    """The stretch of the wall line that an opening takes."""
    return (opening.edge.start_ft + opening.start_ft, opening.edge.start_ft + opening.end_ft)


def in_the_way(opening: CutOpening, height_in: float) -> bool:
    """Whether an opening leaves no wall for a box centred at this height."""
    sill_in = opening.opening.sill_ft * 12
    top_in = sill_in + opening.opening.height_ft * 12
    return sill_in - BOX_HEIGHT_IN / 2 < height_in < top_in + BOX_HEIGHT_IN / 2


def wall_line(house: House, room: Room) -> WallLine:
    """Read a room's wall line out of the house, in an order that does not depend on the order of rows."""
    return WallLine(
        room,
        edges(room),
        wall_parts(house, room),
        tuple(sorted(openings_of(house, room), key=lambda o: (*opening_arc(o), o.opening.id))),
        tuple(sorted(fixed_at_walls(house, room), key=lambda f: (f.edge.start_ft + f.start_ft, f.item.id))),
    )


@dataclass(frozen=True, slots=True)
class Run:
    """An unbroken stretch of a wall line: start on the arc, length; closed when nothing breaks the line."""

    start_ft: float
    length_ft: float
    closed: bool

    def local(self, spans: Spans, round_ft: float) -> Spans:
        """Stretches of the wall line, told from the start of this run."""
        return common(turned(spans, self.start_ft, round_ft), ((0.0, self.length_ft),))

    def local_place(self, arc_ft: float, round_ft: float) -> float | None:
        """A place of the wall line, told from the start of this run; None when it is not in the run."""
        at = (arc_ft - self.start_ft) % round_ft
        at = 0.0 if at > round_ft - EPS_FT else at
        return at if at <= self.length_ft + EPS_FT else None


def runs_of(line: WallLine, edition: int) -> tuple[Run, ...]:
    """The wall line cut at what breaks it in this edition."""
    cuts = merged(
        (
            *line.opening_spans(lambda o: breaks_wall_line(o.opening.kind, edition)),
            *(
                (f.edge.start_ft + f.start_ft, f.edge.start_ft + f.end_ft)
                for f in line.fixed
                if breaks_wall_line(f.item.kind, edition)
            ),
        )
    )
    if not cuts:
        return (Run(0.0, line.length_ft, True),)
    left = without(((0.0, line.length_ft),), cuts)
    return tuple(Run(start, length, False) for start, length in ring_pieces(left, line.length_ft))


def to_serve(line: WallLine, run: Run) -> Spans:
    """What a run's wall receptacles must serve: all of it but what stands behind counters.

    The wall behind a counter is served by the counter's own rule, and a box below the counter top would stand in a
    cabinet. What is left beside a counter is wall space from 2 ft on.
    """
    whole = ((0.0, run.length_ft),)
    behind = run.local(line.fixed_spans(*COUNTERS, "range"), line.length_ft)
    if not behind:
        return whole
    return tuple(s for s in without(whole, behind) if s[1] - s[0] >= SHORTEST_WALL_SPACE_FT - EPS_FT)


def line_to_serve(line: WallLine, run: Run, pins: tuple[float, ...]) -> Line:
    """The run as `placing` takes it; pins are arc lengths."""
    places = (run.local_place(p, line.length_ft) for p in pins)
    return Line(
        run.length_ft, to_serve(line, run), tuple(sorted(p for p in places if p is not None)), closed=run.closed
    )
