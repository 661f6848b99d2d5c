"""Receptacles along the wall runs of habitable rooms."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hpelec.core.citing import cite
from hpelec.core.findings import Verdict
from hpelec.core.working import line as working_line
from hpelec.house.rows import Room
from hpelec.steps.devices import rules
from hpelec.steps.devices.draft import (
    PLAIN_12,
    PLAIN_14,
    RECEPTACLE_IN,
    Draft,
    Mark,
    at_wall,
    table_rule,
)
from hpelec.steps.devices.model import WallRun
from hpelec.steps.devices.placing import Classes, Line, Stand, arrange, fewest
from hpelec.steps.devices.spans import Spans
from hpelec.steps.devices.walls import (
    CLEARANCES_FT,
    COUNTERS,
    HALF_BOX_FT,
    TALL,
    Run,
    WallLine,
    in_the_way,
    line_to_serve,
    runs_of,
)

HABITABLE = ("kitchen", "dining", "living", "family", "den", "library", "bedroom", "sunroom", "recreation")
OFF_WALL = 1000
"""Cost of a receptacle in the floor: taken only where no wall box will do."""
BLOCKED = (*TALL, *COUNTERS, "range")
MET_FT = 1e-6
FLOOR_OUT_FT = 0.5
"""A floor receptacle stands this far from the wall; the rule counts it up to 18 in."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A run with its receptacles, and what its preferences cost.

    stands: places on the run and their costs. fewest: by the rule alone. even_in_envelope: boxes in the envelope when
    only evenness counts. with_pins: fewest with the user's own, boxes anywhere. inside_only: fewest in inside walls
    alone, None where these do not reach. in_floor: of the fewest, those in the floor when no envelope wall is used.
    """

    stands: tuple[Stand, ...]
    fewest: int
    even_in_envelope: int
    with_pins: int = 0
    inside_only: int | None = None
    in_floor: int = 0


def solve(
    line: Line,
    free: dict[float, Spans],
    inner: dict[float, Spans],
    mode: str = "fewest",
    wishes: tuple[float, ...] = (),
) -> Placed:
    """Place receptacles on a run: the fewest, then fewest in the envelope, then at wished places, then even.

    free, inner: places for a box, and those of them that are not envelope, by clearance from corners and openings
    (0 included). The largest clearance that keeps the count is used; a bare point beside a corner is never used
    while a clear place is to be had. Where no wall box will do, receptacles in the floor make up for it.
    mode: `inside` takes inside walls alone where they reach, `floor` adds the floor where they do not.
    """
    bare = Line(line.length_ft, line.needs, (), line.reach_ft, line.closed)
    whole: Spans = ((0.0, line.length_ft),)
    least = len(_any(bare, free[0.0], whole))
    with_pins = len(line.pins) + len(_any(line, free[0.0], whole))
    counts = {c: found for c in free if c > 0 and (found := fewest(line, free[c])) is not None}
    off_wall: Classes = ()
    if counts:
        few = min(len(found) for found in counts.values())
        clearance = max(c for c, found in counts.items() if len(found) == few)
    else:
        clearance, off_wall = HALF_BOX_FT, ((OFF_WALL, whole),)
    indoors = {c: len(found) for c in free if c > 0 and (found := fewest(line, inner[c])) is not None}
    to_floor = arrange(line, ((0, inner[clearance]), (OFF_WALL, whole))) or ()
    even = arrange(line, ((0, free[clearance]), *off_wall)) or ()
    if mode == "inside" and indoors:
        best = max(c for c, count in indoors.items() if count == min(indoors.values()))
        moved = arrange(line, ((0, inner[best]),), wishes) or ()
    elif mode == "floor":
        moved = arrange(line, ((0, inner[clearance]), (OFF_WALL, whole)), wishes) or ()
    else:
        moved = arrange(line, ((0, inner[clearance]), (1, free[clearance]), *off_wall), wishes) or ()
    before = sum(cost < OFF_WALL and not holds(inner[clearance], place) for place, cost in even)
    inside_only = len(line.pins) + min(indoors.values()) if indoors else None
    return Placed(moved, least, before, with_pins, inside_only, sum(cost >= OFF_WALL for _, cost in to_floor))


def _any(line: Line, free: Spans, whole: Spans) -> tuple[float, ...]:
    """The fewest further receptacles in free wall; where that does not reach, anywhere along it."""
    found = fewest(line, free)
    return found if found is not None else fewest(line, whole) or ()


def counts_as_wall(run: Run) -> bool:
    """Whether a run is long enough to be a wall space."""
    return run.closed or rules.receptacles_on_run(run.length_ft) > 0


def is_served(line: Line) -> bool:
    """Whether the receptacles that stand (the pins) reach every point that needs serving."""
    return fewest(line, ()) == ()


def holds(spans: Spans, place: float) -> bool:
    """Whether a place lies in one of the stretches."""
    return any(low - 1e-6 <= place <= high + 1e-6 for low, high in spans)


def habitable(draft: Draft, room: Room) -> None:
    """Wall receptacles of one room of the habitable kinds."""
    line = draft.lines[room.id]
    found = runs_of(line, draft.edition)
    free = {0.0: line.free(RECEPTACLE_IN, BLOCKED, 0.0)}
    free |= {c: line.free(RECEPTACLE_IN, BLOCKED, c) for c in CLEARANCES_FT}
    pins = tuple(
        m.arc_ft
        for m in (*draft.pins(room, "receptacle"), *draft.pins(room, "floor_receptacle"))
        if counts_for_walls(draft, line, m)
    )
    for number, run in enumerate(found, 1):
        _one_run(draft, line, run, number, free, pins)
    stands = tuple(m.arc_ft for m in draft.in_room(room, "receptacle", "floor_receptacle") if not m.pinned_id)
    served = all(is_served(line_to_serve(line, r, (*pins, *stands))) for r in found if counts_as_wall(r))
    needed = sum(r.fewest for r in draft.runs if r.room == room.id)
    placed = sum(r.placed for r in draft.runs if r.room == room.id)
    draft.working.append(
        working_line(
            f"{room.id}: receptacles the wall spaces need",
            " + ".join(str(r.fewest) for r in draft.runs if r.room == room.id) or "no wall",
            needed,
            "",
            rules.receptacles_on_run,
            draft.edition,
        )
    )
    draft.told(
        "wall-receptacles", room.id, "no point of a wall space is farther than 6 ft from a receptacle in it",
        f"{placed} receptacles on {len(found)} wall runs" + ("" if served else ": a point is farther"),
        f"at least {needed}", Verdict.MEETS if served else Verdict.MISSES,
        cite(rules.receptacles_on_run, draft.edition),
    )  # fmt: skip
    if line.fixed_spans(*COUNTERS):
        draft.assume(
            f"devices, {room.id}",
            "the wall behind counters is served by the counter rule; wall boxes stand beside the counter, not below it",
            "a counter does not break the wall space, but a box under it would stand in a cabinet and not count",
        )


def counts_for_walls(draft: Draft, line: WallLine, mark: Mark) -> bool:
    """Whether a receptacle that the user placed counts for the wall spaces; a finding says when it does not."""
    wrong = ""
    if not rules.height_counts(mark.height_in):
        wrong = f"{mark.height_in:g} in above the floor"
    elif mark.kind == "receptacle" and holds(line.opening_spans(lambda o: in_the_way(o, mark.height_in)), mark.arc_ft):
        wrong = "stands in an opening"
    elif mark.kind == "receptacle" and holds(line.fixed_spans(*BLOCKED), mark.arc_ft):
        wrong = "stands in or behind a fixed item, or at a counter"
    if wrong:
        draft.told(
            "pinned-receptacle", mark.pinned_id, "a placed receptacle counts for the wall spaces", wrong,
            "up to 66 in, in free wall", Verdict.MISSES, cite(rules.height_counts, draft.edition),
            "move it; the tool has not counted it",
        )  # fmt: skip
    return not wrong


def _one_run(
    draft: Draft, line: WallLine, run: Run, number: int, free: dict[float, Spans], pins: tuple[float, ...]
) -> None:
    room, round_ft = line.room, line.length_ft
    to_serve = line_to_serve(line, run, pins)
    if counts_as_wall(run):
        local = {c: run.local(spans, round_ft) for c, spans in free.items()}
        inner = {c: run.local(line.inside(spans), round_ft) for c, spans in free.items()}
        placed = _wishing(draft, line, run, to_serve, local, inner)
    else:
        placed = Placed((), 0, 0, len(to_serve.pins), len(to_serve.pins))
    citation = cite(rules.receptacles_on_ring if run.closed else rules.receptacles_on_run, draft.edition)
    wiring = PLAIN_12 if room.kind in ("kitchen", "dining") else PLAIN_14
    for at, cost in placed.stands:
        place = line.place(run.start_ft + at)
        if cost < OFF_WALL:
            mark = at_wall(
                room, place, kind="receptacle", letter="R", height_in=RECEPTACLE_IN, citation=citation, wiring=wiring
            )
        else:
            mark = _in_floor(draft, room, place.arc_ft, line)
        draft.marks.append(mark)
    _tell_run(draft, line, run, number, placed, len(to_serve.pins))


def _wishing(
    draft: Draft, line: WallLine, run: Run, to_serve: Line, local: dict[float, Spans], inner: dict[float, Spans]
) -> Placed:
    """The run solved with its wishes; those of furniture are minded only where that meets no fewer of them."""
    mode = draft.house.device_wishes.wall_boxes
    wishes = draft.wishes.get(line.room.id, ())
    told = [(at, bool(w.piece)) for w in wishes if (at := run.local_place(w.arc_ft, line.length_ft)) is not None]
    placed = solve(to_serve, local, inner, mode, tuple(sorted(at for at, _ in told)))
    furniture = [at for at, of_piece in told if of_piece]
    if not furniture:
        return placed
    plain = solve(to_serve, local, inner, mode, tuple(sorted(at for at, of_piece in told if not of_piece)))
    before, after = (_met(to_serve, found, furniture) for found in (plain, placed))
    draft.furniture_met.append((before, max(before, after)))
    return plain if before > after else placed


def _met(line: Line, placed: Placed, wishes: list[float]) -> int:
    """How many wished places have a wall receptacle."""
    stands = [*line.pins, *(at for at, cost in placed.stands if cost < OFF_WALL)]
    ring = line.length_ft if line.closed else math.inf
    return sum(any(min(abs(at - w), ring - abs(at - w)) <= MET_FT for at in stands) for w in wishes)


def _in_floor(draft: Draft, room: Room, arc_ft: float, line: WallLine) -> Mark:
    place = line.place(arc_ft)
    inward = place.edge.inward()
    draft.told(
        "floor-receptacle", room.id, "wall spaces are served by wall boxes where they can be",
        f"no wall box can serve the {place.edge.side} wall at {place.offset_ft:.2f} ft: one stands in the floor",
        "a floor receptacle within 18 in of the wall counts", Verdict.MEETS, table_rule("R-A3-FLOOR18"),
    )  # fmt: skip
    return Mark(
        kind="floor_receptacle", letter="F", room=room, level=room.level, x_ft=place.x_ft + inward[0] * FLOOR_OUT_FT,
        y_ft=place.y_ft + inward[1] * FLOOR_OUT_FT, height_in=0.0, surface="", citation=table_rule("R-A3-FLOOR18"),
        arc_ft=place.arc_ft,
    )  # fmt: skip


def _tell_run(draft: Draft, line: WallLine, run: Run, number: int, placed: Placed, pinned: int) -> None:
    by_rule = rules.receptacles_on_ring if run.closed else rules.receptacles_on_run
    plain = by_rule(run.length_ft)
    draft.runs.append(
        WallRun(
            room=line.room.id,
            number=number,
            start_ft=run.start_ft,
            length_ft=run.length_ft,
            closed=run.closed,
            counts=run.closed or plain > 0,
            fewest=placed.fewest,
            placed=len(placed.stands) + pinned,
            with_pins=placed.with_pins,
            inside_only=placed.inside_only,
            in_floor=placed.in_floor,
            even_in_envelope=placed.even_in_envelope,
            in_envelope=sum(cost == 1 for _, cost in placed.stands),
            off_even_ft=_off_even_ft(line, run, placed, pinned),
        )
    )
    what = f"{line.room.id}, wall run {number}"
    expression = f"ceil({run.length_ft:.2f} ft / 12 ft)" if plain else f"{run.length_ft:.2f} ft < 2 ft: no wall space"
    draft.working.append(working_line(f"{what}: without obstacles", expression, plain, "", by_rule, draft.edition))
    if placed.fewest != plain:
        draft.working.append(
            working_line(
                f"{what}: fewest with the places where no box may stand",
                "covering from the start of the run",
                placed.fewest,
                "",
                rules.places_with_obstacles_ft,
                draft.edition,
            )
        )
    stands = ", ".join(f"{at:.2f}" for at, _ in placed.stands)
    if placed.stands or pinned:
        total = (
            f"{len(placed.stands)} by the tool" + (f" at {stands} ft" if stands else "") + f" + {pinned} by the user"
        )
        draft.working.append(working_line(f"{what}: receptacles", total, len(placed.stands) + pinned, ""))
    moved = sum(cost == 1 for _, cost in placed.stands)
    if placed.even_in_envelope or moved:
        told = f"even spacing {placed.even_in_envelope}, after moving along the run {moved}"
        draft.working.append(working_line(f"{what}: boxes in the envelope", told, moved, ""))


def _off_even_ft(line: WallLine, run: Run, placed: Placed, pinned: int) -> float | None:
    """How far the receptacles stand from even spacing at most; None where even spacing is not defined."""
    needs = line_to_serve(line, run, ()).needs
    if pinned or run.closed or not placed.stands or needs != ((0.0, run.length_ft),):
        return None
    even = rules.even_places_ft(run.length_ft, len(placed.stands))
    return max(abs(at - place) for (at, _), place in zip(sorted(placed.stands), even, strict=True))
