"""Lighting outlets and the switches at the entries of rooms."""

from __future__ import annotations

import math
from dataclasses import replace

from hpelec.core.citing import Citation
from hpelec.core.findings import Verdict
from hpelec.house.geometry import CutOpening, south_west
from hpelec.house.rows import CeilingFan, Light, Room
from hpelec.steps.devices.draft import (
    CEILING,
    SWITCH_IN,
    Draft,
    Mark,
    Wiring,
    at_wall,
    best_place,
    centre,
    free_spans,
    lighting_rule,
    spread,
)
from hpelec.steps.devices.outdoors import is_outdoors, outside_face, place_nearest
from hpelec.steps.devices.stairs import stairways, tell_stairs
from hpelec.steps.devices.walls import DOORS, ENVELOPE, Place, WallLine, opening_arc

WALL_LIGHT_IN = 78.0
UNLIT = ("closet", "porch")
"""Kinds of room that get no lighting outlet of the tool's own: no rule asks for one, and each may be a hole."""
THROUGH = ("hallway", "stair")
SMALL = ("bathroom", "closet", "pantry", "laundry", "utility", "bedroom")
BEHIND = ("hallway", "foyer", "stair", "living", "family", "dining", "kitchen", "den", "library", "recreation")
BESIDE_FT = 0.5
SECOND = Citation("trade rule", "a switch at each way through a room", "none", "common practice")
ONE_SWITCH = Wiring()
THREE_WAY = Wiring(conductors=5)
TWO_SWITCHES = Wiring(conductors=6, grounds=3, yokes=(1, 1))
THREE_WAY_TWO = Wiring(conductors=7, grounds=3, yokes=(1, 1))
SECOND_APART_FT = 6.0
"""A second switch of a room stands at least this far from the first, else one serves both entries."""


def lights(draft: Draft) -> None:
    """An outlet for each light and fan, and one in each room that has none."""
    for light in sorted(draft.house.lights, key=lambda r: r.id):
        draft.marks.append(_light(draft, draft.room_by_id[light.room], light))
    for fan in sorted(draft.house.fans, key=lambda r: r.id):
        draft.marks.append(_ceiling(draft, draft.room_by_id[fan.room], fan, replace(CEILING, fittings=1)))
    added = []
    for room in draft.rooms:
        lit = [m for m in draft.in_room(room, "lighting_outlet") if not m.outdoors]
        if room.kind in UNLIT or lit:
            continue
        x, y = centre(room)
        citation = lighting_rule("L-70A2-1" if room.kind in (*THROUGH, "garage") else "L-70A1")
        draft.marks.append(_overhead(draft, room, x, y, citation=citation))
        added.append(room.id)
    if added:
        draft.assume(
            "devices, lights", f"a lighting outlet in the middle of the ceiling of {', '.join(added)}", "no light given"
        )
    draft.told(
        "lighting-outlets", "all rooms", "each room that needs one has a lighting outlet",
        f"{len(added)} added by the tool", "at least one in each", Verdict.MEETS, lighting_rule("L-70A1"),
    )  # fmt: skip


def _overhead(draft: Draft, room: Room, x: float, y: float, **more: object) -> Mark:
    envelope = room.inside_air_barrier and room.level in draft.envelope_ceilings
    told: dict[str, object] = {"wiring": CEILING, "citation": lighting_rule("L-70A1"), **more}
    return Mark(
        kind="lighting_outlet", letter="L", room=room, level=room.level, x_ft=x, y_ft=y,
        height_in=draft.levels[room.level].ceiling_height_ft * 12, surface="ceiling" if envelope else "", **told,  # type: ignore[arg-type]
    )  # fmt: skip


def _ceiling(draft: Draft, room: Room, row: Light | CeilingFan, wiring: Wiring) -> Mark:
    x, y = south_west(room)
    letter = "L" if isinstance(row, Light) else "V"
    mark = _overhead(draft, room, x + row.x_offset_ft, y + row.y_offset_ft, serves=row.id, name=row.id, wiring=wiring)
    return replace(mark, letter=letter)


def _light(draft: Draft, room: Room, light: Light) -> Mark:
    mark = _ceiling(draft, room, light, CEILING)
    if light.kind not in ("wall", "outdoor_wall"):
        return mark
    line = draft.lines[room.id]
    place = place_nearest(line, mark.x_ft, mark.y_ft)
    if light.kind == "wall":
        return at_wall(
            room, place, kind="lighting_outlet", letter="L", name=light.id, serves=light.id, height_in=WALL_LIGHT_IN,
            citation=mark.citation, wiring=CEILING,
        )  # fmt: skip
    if not is_outdoors(draft, place.part.behind):
        draft.told(
            "outdoor-light", light.id, "an outdoor light is at an outer wall", f"behind it is {place.part.behind}",
            "outdoors", Verdict.MISSES, mark.citation, "move it to an outer wall",
        )  # fmt: skip
    return outside_face(
        room, place, kind="lighting_outlet", letter="L", name=light.id, serves=light.id, height_in=WALL_LIGHT_IN,
        citation=lighting_rule("L-70A2-2"), wiring=CEILING,
    )  # fmt: skip


def switches(draft: Draft) -> None:
    """A switch at the main entry of each lit room, at every way through a hall or stair, and at exterior doors.

    A porch is switched from inside the house, at the door to it.
    """
    flights = stairways(draft)
    between = {room.id for flight in flights for room in flight}
    for room in draft.rooms:
        lit = draft.in_room(room, "lighting_outlet")
        if lit and room.kind != "porch":
            doors = [o for o in draft.lines[room.id].openings if o.opening.kind in DOORS]
            _switches_of(draft, room, doors, stairway=room.id in between)
    tell_stairs(draft, flights)
    draft.assume(
        "devices, switches",
        "beside the opening, 48 in high, inside the room; the latch side is not known",
        "the swing of doors is not drawn",
    )


def _rank(draft: Draft, line: WallLine, cut: CutOpening) -> tuple[float, ...]:
    """Which entry is the main one: from a hall before from a room, a wide one before a narrow one."""
    behind = line.place(sum(opening_arc(cut)) / 2).part.behind
    if is_outdoors(draft, behind):
        order = len(BEHIND) + 1
    else:
        kind = draft.room_by_id[behind].kind
        order = BEHIND.index(kind) if kind in BEHIND else len(BEHIND) + (2 if kind in SMALL else 0)
    return (order, -round(cut.end_ft - cut.start_ft, 6), round(opening_arc(cut)[0], 6))


def _switches_of(draft: Draft, room: Room, entries: list[CutOpening], *, stairway: bool) -> None:
    line = draft.lines[room.id]
    citation = lighting_rule("L-70A2-1" if room.kind in (*THROUGH, "garage") else "L-70A1")
    pinned = draft.pins(room, "switch")
    if not entries:
        if not pinned:
            place = spread(line, free_spans(draft, line, SWITCH_IN), 1)[0]
            draft.marks.append(at_wall(room, place, kind="switch", letter="S", height_in=SWITCH_IN, citation=citation))
        draft.told(
            "switch-at-entry", room.id, "a lighting outlet is switched at the entry", "no door or opening is drawn",
            "", Verdict.CANNOT_SAY, citation, "draw the entry in openings.csv",
        )  # fmt: skip
        return
    ranked = sorted(entries, key=lambda o: _rank(draft, line, o))
    main = ranked[0]
    ways = [o for o in ranked[1:] if _is_way_through(draft, line, o)]
    through = ways if room.kind in THROUGH else _second_entry(draft, line, main, ways)
    three_way = bool(through) or stairway
    for cut in ranked:
        outer = cut.opening.kind != "cased_opening" and is_outdoors(
            draft, line.place(sum(opening_arc(cut)) / 2).part.behind
        )
        controls = cut is main or cut in through
        if not (controls or outer) or (cut is main and pinned):
            continue
        wiring = {(False, False): ONE_SWITCH, (False, True): TWO_SWITCHES, (True, False): THREE_WAY,
                  (True, True): THREE_WAY_TWO}[three_way and controls, controls and outer]  # fmt: skip
        place = _beside(draft, line, cut)
        second = cut in through and not outer and room.kind not in THROUGH
        mark = at_wall(
            room, place, kind="switch", letter="S", height_in=SWITCH_IN, citation=SECOND if second else citation,
            wiring=wiring, what=_switch_words(three_way=three_way and controls, outer=outer, second=second),
        )  # fmt: skip
        draft.marks.append(mark)


def _switch_words(*, three_way: bool, outer: bool, second: bool) -> str:
    if second:
        return "three-way, second entry"
    return ", ".join([*(["three-way"] if three_way else []), *(["with the light outside"] if outer else [])])


def _second_entry(draft: Draft, line: WallLine, main: CutOpening, ways: list[CutOpening]) -> list[CutOpening]:
    """The way through a room that lies farthest from its main entry, where one switch cannot serve both."""
    if draft.house.device_wishes.three_way != "entries":
        return []

    def away_ft(cut: CutOpening) -> float:
        ends = (line.corner_at(sum(opening_arc(c)) / 2) for c in (main, cut))
        return math.dist(*ends)

    far = sorted(ways, key=lambda o: (-round(away_ft(o), 6), round(opening_arc(o)[0], 6)))
    return [o for o in far[:1] if away_ft(o) >= SECOND_APART_FT]


def _is_way_through(draft: Draft, line: WallLine, cut: CutOpening) -> bool:
    behind = line.place(sum(opening_arc(cut)) / 2).part.behind
    return is_outdoors(draft, behind) or draft.room_by_id[behind].kind not in SMALL


def _beside(draft: Draft, line: WallLine, cut: CutOpening) -> Place:
    low, high = opening_arc(cut)
    spans = free_spans(draft, line, SWITCH_IN)
    tries = []
    for wanted in (low - BESIDE_FT, high + BESIDE_FT):
        place = best_place(line, spans, wanted)
        around = abs(place.arc_ft - wanted % line.length_ft)
        away = min(around, line.length_ft - around)
        tries.append((away > 3.0, place.part.surface in ENVELOPE, round(away, 6), place.arc_ft))
    return line.place(min(tries)[3])
