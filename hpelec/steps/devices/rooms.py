"""Receptacles of rooms with a rule of their own: foyer, hallway, bathroom, garage, laundry, unfinished basement."""

from __future__ import annotations

from hpelec.core.citing import cite
from hpelec.core.findings import Verdict
from hpelec.core.working import line as working_line
from hpelec.house.geometry import edges, room_area_ft2
from hpelec.house.rows import Room
from hpelec.steps.devices import rules
from hpelec.steps.devices.draft import (
    COUNTER_RECEPTACLE_IN,
    PLAIN_12,
    PLAIN_14,
    RECEPTACLE_IN,
    SWITCH_IN,
    Draft,
    at_wall,
    best_place,
    free_spans,
    spread,
    table_rule,
)
from hpelec.steps.devices.spans import Span, Spans, common, without
from hpelec.steps.devices.wall_runs import BLOCKED, counts_for_walls
from hpelec.steps.devices.walls import (
    ENVELOPE,
    HALF_BOX_FT,
    TALL,
    Run,
    WallLine,
    runs_of,
)

TUB_ZONE_FT = 3.0


def _single(draft: Draft, room: Room, citation_id: str, *, why: str, size_12: bool) -> None:
    """One receptacle for a room that needs just one; a pinned one will do."""
    citation = table_rule(citation_id)
    line = draft.lines[room.id]
    if not any(counts_for_walls(draft, line, m) for m in draft.pins(room, "receptacle")):
        place = spread(line, free_spans(draft, line, RECEPTACLE_IN), 1)[0]
        wiring = PLAIN_12 if size_12 else PLAIN_14
        draft.marks.append(
            at_wall(
                room, place, kind="receptacle", letter="R", height_in=RECEPTACLE_IN, citation=citation, wiring=wiring
            )
        )
    count = len(draft.in_room(room, "receptacle"))
    verdict = Verdict.MEETS if count else Verdict.MISSES
    draft.told("room-receptacle", room.id, why, f"{count} receptacle(s)", "at least 1", verdict, citation)


def hallway(draft: Draft, room: Room) -> None:
    """One receptacle in a hallway of 10 ft or more."""
    perimeter_ft = sum(e.length_ft for e in edges(room))
    area_ft2 = room_area_ft2(room)
    if area_ft2 > (perimeter_ft / 4) ** 2 * (1 + 1e-9):
        draft.told(
            "hallway-length", room.id, "a hallway of 10 ft or more has a receptacle", "its outline is no strip",
            "", Verdict.CANNOT_SAY, cite(rules.hallway_receptacles, draft.edition), "measure its centre line",
        )  # fmt: skip
        length_ft = perimeter_ft / 2
    else:
        length_ft = rules.hallway_length_ft(area_ft2, perimeter_ft)
    needed = rules.hallway_receptacles(length_ft)
    draft.working.append(
        working_line(
            f"{room.id}: receptacles in the hallway",
            f"centre line {length_ft:.2f} ft against 10 ft",
            needed,
            "",
            rules.hallway_receptacles,
            draft.edition,
        )
    )
    if needed:
        _single(draft, room, "R-H-HALL", why="a hallway of 10 ft or more has a receptacle", size_12=False)


def foyer(draft: Draft, room: Room) -> None:
    """One receptacle in each wall space of 3 ft or more of a foyer larger than 60 ft2."""
    line = draft.lines[room.id]
    glass = line.opening_spans(lambda o: o.opening.kind in ("window", "fixed_glass") and o.opening.sill_ft < 0.5)
    pieces: list[Run] = []
    for run in runs_of(line, draft.edition):
        spans = without(((0.0, run.length_ft),), run.local(glass, line.length_ft))
        pieces += [Run(run.start_ft + a, b - a, run.closed and not glass) for a, b in spans]
    area_ft2 = room_area_ft2(room)
    needed = rules.foyer_receptacles(area_ft2, [p.length_ft for p in pieces])
    lengths = ", ".join(f"{p.length_ft:.2f}" for p in pieces)
    draft.working.append(
        working_line(
            f"{room.id}: receptacles in the foyer",
            f"{area_ft2:.1f} ft2; wall spaces {lengths} ft",
            needed,
            "",
            rules.foyer_receptacles,
            draft.edition,
        )
    )
    citation = cite(rules.foyer_receptacles, draft.edition)
    pins = [m.arc_ft for m in draft.pins(room, "receptacle") if counts_for_walls(draft, line, m)]
    spans = line.free(RECEPTACLE_IN, BLOCKED, HALF_BOX_FT)
    for piece in pieces if needed else ():
        if rules.foyer_receptacles(area_ft2, [piece.length_ft]) and not any(
            piece.local_place(p, line.length_ft) is not None for p in pins
        ):
            here = common(_on_ring(piece, line.length_ft), spans)
            if here:
                place = best_place(line, here, piece.start_ft + piece.length_ft / 2, farthest_ft=piece.length_ft)
                draft.marks.append(
                    at_wall(room, place, kind="receptacle", letter="R", height_in=RECEPTACLE_IN, citation=citation)
                )
    if needed:
        placed = len(draft.in_room(room, "receptacle"))
        verdict = Verdict.MEETS if placed >= needed else Verdict.MISSES
        draft.told("foyer-receptacles", room.id, "each wall space of 3 ft or more of a foyer has a receptacle",
                   f"{placed}", f"at least {needed}", verdict, citation, "make room for a box")  # fmt: skip


def _on_ring(run: Run, round_ft: float) -> Spans:
    end = run.start_ft + run.length_ft
    if end <= round_ft:
        return ((run.start_ft, end),)
    return ((0.0, end - round_ft), (run.start_ft, round_ft))


def bathroom(draft: Draft, room: Room) -> None:
    """A receptacle within 3 ft of each basin; one may serve several."""
    line = draft.lines[room.id]
    citation = cite(rules.serves_basin, draft.edition)
    basins = [(f.edge.start_ft + f.start_ft, f.edge.start_ft + f.end_ft) for f in line.fixed if f.item.kind == "basin"]
    if not basins:
        draft.assume(
            f"devices, {room.id}",
            "one receptacle at a basin taken to stand at an inside wall",
            "no basin drawn in fixed.csv",
        )
        _single(draft, room, "R-D-3FT", why="a bathroom has a receptacle beside each basin", size_12=True)
        return
    spans = line.free(COUNTER_RECEPTACLE_IN, TALL, HALF_BOX_FT)
    if draft.edition >= 2020:
        tubs = line.fixed_spans("tub", "shower")
        spans = without(spans, [(a - TUB_ZONE_FT, b + TUB_ZONE_FT) for a, b in tubs])
    spans = without(spans, basins)
    served = [m.arc_ft for m in draft.pins(room, "receptacle")]
    missing = 0
    for low, high in basins:
        if any(rules.serves_basin(12 * _from_basin(line, p, (low, high))) for p in served):
            continue
        here = [s for s in common(spans, _around(line, low - 3.0, high + 3.0))]
        if not here:
            missing += 1
            continue
        place = _beside_basins(line, tuple(here), (low, high), basins)
        served.append(place)
        draft.marks.append(
            at_wall(
                room,
                line.place(place),
                kind="receptacle",
                letter="R",
                height_in=COUNTER_RECEPTACLE_IN,
                citation=citation,
                wiring=PLAIN_12,
            )
        )
    draft.told(
        "bathroom-receptacle", room.id, "a receptacle stands within 3 ft of the outer edge of each basin",
        f"{len(basins) - missing} of {len(basins)} basins served", f"{len(basins)} served",
        Verdict.MISSES if missing else Verdict.MEETS, citation,
        "move the basin or the tub, or use the side of the cabinet",
    )  # fmt: skip


def _around(line: WallLine, low: float, high: float) -> Spans:
    """A stretch that may pass the first corner, as stretches of the ring."""
    return _on_ring(Run(low % line.length_ft, min(high - low, line.length_ft), False), line.length_ft)


def _from_basin(line: WallLine, place: float, basin: Span) -> float:
    low, high = basin
    if low <= place <= high:
        return 0.0
    return min((low - place) % line.length_ft, (place - high) % line.length_ft)


def _beside_basins(line: WallLine, here: Spans, basin: Span, basins: list[Span]) -> float:
    """Beside the basin, on the side where it serves most basins, inside rather than in the envelope, close by."""
    wanted = [(s + d) for s, d in ((basin[0], -0.5), (basin[1], 0.5))]
    inner = line.inside(here)
    tries = [best_place(line, pool, w, farthest_ft=0.0).arc_ft for w in wanted for pool in (here, inner) if pool]

    def rank(place: float) -> tuple[float, ...]:
        serves = sum(rules.serves_basin(12 * _from_basin(line, place, b)) for b in basins)
        return (-serves, line.place(place).part.surface in ENVELOPE, round(_from_basin(line, place, basin), 6), place)

    return min(tries, key=rank)


def garage(draft: Draft, room: Room) -> None:
    """One receptacle for each vehicle bay."""
    line = draft.lines[room.id]
    doors = [o.end_ft - o.start_ft for o in line.openings if o.opening.kind == "garage_door"]
    bays = rules.garage_bays(doors)
    needed = rules.garage_receptacles(bays)
    citation = cite(rules.garage_receptacles, draft.edition)
    told = " + ".join(f"{w:.1f} ft door" for w in doors) or "no vehicle door drawn: one bay"
    draft.working.append(working_line(f"{room.id}: vehicle bays", told, bays, "", rules.garage_bays, draft.edition))
    have = sum(counts_for_walls(draft, line, m) for m in draft.pins(room, "receptacle"))
    if needed > have:
        for place in spread(line, free_spans(draft, line, SWITCH_IN), needed - have):
            draft.marks.append(
                at_wall(
                    room,
                    place,
                    kind="receptacle",
                    letter="R",
                    height_in=SWITCH_IN,
                    citation=citation,
                    wiring=PLAIN_12,
                )
            )
    count = have + sum(not m.pinned_id for m in draft.in_room(room, "receptacle"))
    draft.assume(
        f"devices, {room.id}", f"{bays} vehicle bay(s)", "taken from the widths of the vehicle doors, 8 ft a bay"
    )
    draft.told(
        "garage-receptacles",
        room.id,
        "each vehicle bay has a receptacle",
        f"{count}",
        f"at least {needed}",
        Verdict.MEETS if count >= needed else Verdict.MISSES,
        citation,
    )


def laundry(draft: Draft, room: Room) -> None:
    """One receptacle in a laundry area, unless the washer has its own."""
    here = [a for a in draft.house.appliances if a.room == room.id and a.status != "removed"]
    if not any(a.kind == "washer" for a in here):
        _single(draft, room, "R-F-LAUNDRY", why="a laundry area has a receptacle", size_12=True)


def basement(draft: Draft, room: Room) -> None:
    """One receptacle in each unfinished part of a basement."""
    _single(draft, room, "R-G3-BASEMENT", why="each unfinished part of a basement has a receptacle", size_12=True)
