"""Receptacles of counters: along the wall, at islands and peninsulas."""

from __future__ import annotations

from hpelec.core.citing import cite
from hpelec.core.findings import Verdict
from hpelec.core.working import line as working_line
from hpelec.house.geometry import edge_of, south_west
from hpelec.house.rows import FixedItem, Room
from hpelec.steps.devices import rules
from hpelec.steps.devices.draft import COUNTER_IN, COUNTER_RECEPTACLE_IN, PLAIN_12, Draft, Mark, at_wall
from hpelec.steps.devices.placing import Line
from hpelec.steps.devices.spans import ring_pieces, without
from hpelec.steps.devices.wall_runs import OFF_WALL, is_served, solve
from hpelec.steps.devices.walls import CLEARANCES_FT, TALL, Run, WallLine

ROOMS = ("kitchen", "dining", "pantry")
REACH_FT = 2.0
OUTER_END_FT = 1.0
"""A peninsula's receptacle stands this far from its outer end; the 2020 edition wants it within 24 in."""


def wall_counters(draft: Draft, room: Room) -> None:
    """Receptacles along the wall counters of a kitchen, pantry or dining room."""
    line = draft.lines[room.id]
    counter = without(line.fixed_spans("counter"), line.fixed_spans("sink", "range", "refrigerator"))
    pieces = [Run(start, length, False) for start, length in ring_pieces(counter, line.length_ft)]
    pins = tuple(m.arc_ft for m in draft.pins(room, "counter_receptacle") if _counts(draft, m))
    needed = placed = 0
    for number, piece in enumerate(pieces, 1):
        plain = rules.counter_receptacles(piece.length_ft * 12)
        told = f"ceil({piece.length_ft * 12:.1f} in / 48 in)" if plain else f"{piece.length_ft * 12:.1f} in < 12 in"
        draft.working.append(
            working_line(
                f"{room.id}, counter {number}: receptacles", told, plain, "", rules.counter_receptacles, draft.edition
            )
        )
        fewest, count = _one_counter(draft, line, piece, number, pins) if plain else (0, 0)
        needed, placed = needed + fewest, placed + count
    stands = (*pins, *(m.arc_ft for m in draft.in_room(room, "counter_receptacle") if not m.pinned_id))
    lines = [_to_serve(line, p, stands) for p in pieces if rules.counter_receptacles(p.length_ft * 12)]
    served = all(is_served(p) for p in lines)
    if pieces:
        draft.told(
            "counter-receptacles", room.id, "no point of a wall counter is farther than 24 in from a receptacle",
            f"{placed} on {len(pieces)} counter spaces", f"at least {needed}",
            Verdict.MEETS if served else Verdict.MISSES,
            cite(rules.counter_receptacles, draft.edition),
        )  # fmt: skip
        draft.assume(
            f"devices, {room.id}",
            "counters 36 in high; the strip behind a sink or range is less than 12 in deep and needs no receptacle",
            "neither is drawn",
        )


def _counts(draft: Draft, mark: Mark) -> bool:
    above_in = mark.height_in - COUNTER_IN
    good = rules.counter_height_counts(above_in)
    if not good:
        draft.told(
            "pinned-counter-receptacle", mark.pinned_id, "a placed counter receptacle serves the counter",
            f"{above_in:g} in above a 36 in counter", "0 to 20 in", Verdict.MISSES,
            cite(rules.counter_height_counts, draft.edition), "move it; the tool has not counted it",
        )  # fmt: skip
    return good


def _to_serve(line: WallLine, piece: Run, pins: tuple[float, ...]) -> Line:
    here = (piece.local_place(pin, line.length_ft) for pin in pins)
    return Line(piece.length_ft, ((0.0, piece.length_ft),), tuple(sorted(p for p in here if p is not None)), REACH_FT)


def _one_counter(draft: Draft, line: WallLine, piece: Run, number: int, pins: tuple[float, ...]) -> tuple[int, int]:
    """Place the receptacles of one counter space; returns the fewest and the number placed."""
    room, round_ft = line.room, line.length_ft
    to_serve = _to_serve(line, piece, pins)
    free = {c: line.free(COUNTER_RECEPTACLE_IN, TALL, c) for c in (0.0, *CLEARANCES_FT)}
    local = {c: piece.local(spans, round_ft) for c, spans in free.items()}
    inner = {c: piece.local(line.inside(spans), round_ft) for c, spans in free.items()}
    placed = solve(to_serve, local, inner)
    citation = cite(rules.counter_receptacles, draft.edition)
    for at, cost in placed.stands:
        place = line.place(piece.start_ft + at)
        if cost < OFF_WALL:
            draft.marks.append(
                at_wall(
                    room, place, kind="counter_receptacle", letter="C", height_in=COUNTER_RECEPTACLE_IN,
                    citation=citation, wiring=PLAIN_12, protect_as="kitchen countertop receptacle",
                )
            )  # fmt: skip
            continue
        inward = place.edge.inward()
        draft.marks.append(
            _in_counter(draft, room, place.x_ft + inward[0] / 2, place.y_ft + inward[1] / 2, place.arc_ft)
        )
        draft.told(
            "counter-without-wall", room.id, "counters are served by wall boxes where they can be",
            f"no wall for a box at {place.offset_ft:.2f} ft of the {place.edge.side} wall",
            "an assembly listed for countertops", Verdict.MEETS, citation,
        )  # fmt: skip
    before, after = placed.even_in_envelope, sum(cost == 1 for _, cost in placed.stands)
    if before or after:
        told = f"even spacing {before}, after moving along the counter {after}"
        draft.working.append(working_line(f"{room.id}, counter {number}: boxes in the envelope", told, after, ""))
    return placed.fewest, len(placed.stands) + len(to_serve.pins)


def _in_counter(draft: Draft, room: Room, x_ft: float, y_ft: float, arc_ft: float = -1.0) -> Mark:
    return Mark(
        kind="counter_receptacle", letter="C", room=room, level=room.level, x_ft=x_ft, y_ft=y_ft,
        height_in=COUNTER_IN, surface="", citation=cite(rules.island_receptacles, draft.edition), arc_ft=arc_ft,
        wiring=PLAIN_12, protect_as="kitchen countertop receptacle",
    )  # fmt: skip


def islands(draft: Draft, room: Room) -> None:
    """Receptacles at the islands and peninsulas of a room, by edition; one for the provision from 2023."""
    items = sorted((f for f in draft.house.fixed if f.room == room.id), key=lambda f: f.id)
    for item in items:
        if item.kind in ("island", "peninsula"):
            _one_island(draft, room, item)


def _one_island(draft: Draft, room: Room, item: FixedItem) -> None:
    long_ft, short_ft = max(item.width_ft, item.depth_ft), min(item.width_ft, item.depth_ft)
    needed = rules.island_receptacles(long_ft * 12, short_ft * 12, draft.edition)
    provision = needed == 0 and rules.island_provision_required(draft.edition)
    count = max(needed, int(provision))
    for x, y in _island_places(room, item, count):
        draft.marks.append(_in_counter(draft, room, x, y))
    citation = cite(rules.island_receptacles, draft.edition)
    draft.working.append(
        working_line(
            f"{room.id}, {item.id}: receptacles",
            f"{item.kind} {long_ft * 12:.0f} x {short_ft * 12:.0f} in, {long_ft * short_ft:.2f} ft2",
            needed,
            "",
            rules.island_receptacles,
            draft.edition,
        )
    )
    got = f"{count} placed" + (" (none required, but then a provision for one)" if provision else "")
    draft.told("island", f"{room.id}, {item.id}", "an island or peninsula has its receptacles, or the provision",
               got, f"at least {needed}", Verdict.MEETS, citation)  # fmt: skip
    if provision:
        draft.assume(
            f"devices, {item.id}",
            "one receptacle listed for countertops in its surface",
            "none is required; without one a provision for a later one is, which costs the same box and cable",
        )


def _island_places(room: Room, item: FixedItem, count: int) -> list[tuple[float, float]]:
    edge = edge_of(room, item.side) if item.side else None
    if edge is None:
        x, y = south_west(room)
        x, y = x + item.offset_ft, y + item.y_offset_ft
        shares = [(2 * i + 1) / (2 * count) for i in range(count)]
        if item.width_ft >= item.depth_ft:
            return [(x + s * item.width_ft, y + item.depth_ft / 2) for s in shares]
        return [(x + item.width_ft / 2, y + s * item.depth_ft) for s in shares]
    middle = edge.at(edge.along(item.offset_ft + item.width_ft / 2))
    inward = edge.inward()
    out_ft = max(item.depth_ft - OUTER_END_FT, item.depth_ft / 2)
    return [
        (middle[0] + inward[0] * out_ft * (count - i) / count, middle[1] + inward[1] * out_ft * (count - i) / count)
        for i in range(count)
    ]
