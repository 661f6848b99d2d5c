"""Outdoors: receptacles and lights at exterior doors, front and back, equipment that stands outside."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from hpelec.core.citing import cite
from hpelec.core.findings import Verdict
from hpelec.house.geometry import CutOpening, Point, south_west
from hpelec.house.rows import Light, Room
from hpelec.steps.devices import rules
from hpelec.steps.devices.draft import (
    CEILING,
    OUTDOOR_IN,
    OUTDOOR_LIGHT_IN,
    PLAIN_12,
    Draft,
    Mark,
    at_wall,
    distance_ft,
    lighting_rule,
    table_rule,
)
from hpelec.steps.devices.spans import Spans, common, nearest, within, without
from hpelec.steps.devices.walls import ENVELOPE, HALF_BOX_FT, Place, WallLine, opening_arc

BESIDE_DOOR_FT = 1.0
NEAR_DOOR_FT = 6.0
UNIT_APART_FT = 3.0
SERVICE = "service receptacle required by 210.63"
SHARED_FT = 0.25
"""A light that stands within this of the receptacle below it shares its hole."""
OPPOSITE = -0.7
"""Two walls whose outward directions have this dot product or less face away from each other."""


@dataclass(frozen=True, slots=True)
class ExteriorDoor:
    """A door to the outdoors or to a porch, in the wall of one room."""

    room: Room
    cut: CutOpening
    place: Place

    @property
    def outward(self) -> Point:
        """Unit vector out of the house."""
        x, y = self.place.edge.inward()
        return (-x, -y)


def is_outdoors(draft: Draft, behind: str) -> bool:
    """Whether what is behind a wall is outdoors: nothing drawn, or a porch."""
    return behind == "" or draft.room_by_id[behind].kind == "porch"


def exterior_doors(draft: Draft) -> list[ExteriorDoor]:
    """Doors to the outdoors, by room and place; vehicle doors are not among them."""
    found = []
    for room in draft.rooms:
        line = draft.lines[room.id]
        for cut in line.openings if room.kind != "porch" else ():
            place = line.place(sum(opening_arc(cut)) / 2)
            if cut.opening.kind in ("door", "sliding_glass") and is_outdoors(draft, place.part.behind):
                found.append(ExteriorDoor(room, cut, place))
    return found


def outer_spans(draft: Draft, line: WallLine, height_in: float) -> Spans:
    """Where a box may stand on the outer face of a room's walls."""
    outer = line.part_spans(lambda p: is_outdoors(draft, p.behind))
    return common(line.free(height_in, (), HALF_BOX_FT), outer)


def outside_face(room: Room, place: Place, **more: object) -> Mark:
    """A mark on the outer face of a wall; of an unheated room it is in no envelope."""
    surface = "outside" if place.part.surface in ENVELOPE else ""
    return at_wall(room, place, surface=surface, outdoors=True, **more)  # type: ignore[arg-type]


def door_receptacles(draft: Draft) -> None:
    """One receptacle at each exterior door, and front and back in any case."""
    doors = exterior_doors(draft)
    pins = [m for m in draft.marks if m.kind == "outdoor_receptacle" and _counts(draft, m)]
    draft.assume(
        "devices, outdoors",
        "one receptacle by every exterior door",
        "common practice; the rule asks for front and back",
    )
    for door in doors:
        here = [m for m in pins if math.hypot(m.x_ft - door.place.x_ft, m.y_ft - door.place.y_ft) <= NEAR_DOOR_FT]
        place = None if here else _under_light(draft, door) or _beside_door(draft, door, OUTDOOR_IN, BESIDE_DOOR_FT)
        if place is not None:
            draft.marks.append(_receptacle(door.room, place, "R-E-PRACTICE"))
    _front_and_back(draft, doors)
    _porches(draft, doors)


def _under_light(draft: Draft, door: ExteriorDoor) -> Place | None:
    """The place below the door's own light, where the user has given one and the wall is free: one hole serves both."""
    if not draft.house.device_wishes.door_light_shares_hole:
        return None
    line = draft.lines[door.room.id]
    spans = outer_spans(draft, line, OUTDOOR_IN)
    tries = []
    for light in draft.house.lights:
        if light.room != door.room.id or light.kind != "outdoor_wall":
            continue
        place = place_of_light(line, light)
        away = math.hypot(place.x_ft - door.place.x_ft, place.y_ft - door.place.y_ft)
        if away <= NEAR_DOOR_FT and within(spans, place.arc_ft, place.arc_ft):
            tries.append((round(away, 6), light.id, place))
    return min(tries, key=lambda t: t[:2])[2] if tries else None


def place_of_light(line: WallLine, light: Light) -> Place:
    """The place on the wall line nearest to where the user has put a light of the wall."""
    x0, y0 = south_west(line.room)
    return place_nearest(line, x0 + light.x_offset_ft, y0 + light.y_offset_ft)


def place_nearest(line: WallLine, x: float, y: float) -> Place:
    """The place on the wall line nearest to a point of the plan."""
    tries = []
    for edge in line.edges:
        length = edge.length_ft
        t = ((edge.x1 - edge.x0) / length, (edge.y1 - edge.y0) / length)
        along = min(max((x - edge.x0) * t[0] + (y - edge.y0) * t[1], 1e-6), length - 1e-6)
        px, py = edge.at(along)
        tries.append((round((px - x) ** 2 + (py - y) ** 2, 6), edge.start_ft + along))
    return line.place(min(tries)[1])


def _porches(draft: Draft, doors: list[ExteriorDoor]) -> None:
    """A receptacle on each porch, deck or balcony that is drawn at the house."""
    for porch in (r for r in draft.rooms if r.kind == "porch"):
        shared = [line for line in draft.lines.values() if any(p.behind == porch.id for p in line.parts)]
        entered = any(d.place.part.behind == porch.id for d in doors)
        needed = rules.porch_receptacles(0.0, entered, draft.edition) if shared else 0
        here = _on_porch(draft, porch)
        if needed and not here:
            _add_on_porch(draft, porch, shared)
            here = _on_porch(draft, porch)
        draft.told(
            "porch-receptacle", porch.id, "a porch, deck or balcony at the house has a receptacle of its own",
            f"{len(here)} placed" if shared else "it does not touch the house as drawn", f"at least {needed}",
            Verdict.CANNOT_SAY if not shared else Verdict.MEETS if len(here) >= needed else Verdict.MISSES,
            cite(rules.porch_receptacles, draft.edition), "say how far it stands from the house; make room for a box",
        )  # fmt: skip


def _on_porch(draft: Draft, porch: Room) -> list[Mark]:
    """Outdoor receptacles on walls that face the porch, and receptacles that the user has placed in it."""
    found = [m for m in draft.in_room(porch, "receptacle", "outdoor_receptacle") if m.pinned_id]
    for mark in draft.marks:
        if mark.kind == "outdoor_receptacle" and mark.outdoors and mark.room.id != porch.id:
            behind = draft.lines[mark.room.id].place(mark.arc_ft).part.behind
            if behind == porch.id and rules.outdoor_height_counts(mark.height_in):
                found.append(mark)
    return found


def _add_on_porch(draft: Draft, porch: Room, shared: list[WallLine]) -> None:
    tries = []
    for line in shared:
        facing = line.part_spans(lambda p: p.behind == porch.id)
        for low, high in common(outer_spans(draft, line, OUTDOOR_IN), facing):
            place = line.place((low + high) / 2)
            tries.append((-round(high - low, 6), line.room.id, round(place.arc_ft, 6), place))
    if tries and shared:
        _, room_id, _, place = min(tries, key=lambda t: t[:3])
        draft.marks.append(_receptacle(draft.room_by_id[room_id], place, porch_rule(draft.edition)))


def porch_rule(edition: int) -> str:
    """The row of the table of receptacle rules for porches, by edition."""
    return "R-E3-BALCONY17" if edition < 2020 else "R-E3-BALCONY20"


def _beside_door(draft: Draft, door: ExteriorDoor, height_in: float, beside_ft: float) -> Place | None:
    """The free place beside a door on its outer wall; round the corner where that wall is full."""
    line = draft.lines[door.room.id]
    low, high = opening_arc(door.cut)
    spans = outer_spans(draft, line, height_in)
    edge = door.cut.edge
    spans = common(spans, ((edge.start_ft, edge.start_ft + edge.length_ft),)) or spans
    tries = [
        (round(abs(p - wanted), 6), p)
        for wanted in (high + beside_ft, low - beside_ft)
        if (p := nearest(spans, wanted)) is not None
    ]
    return line.place(min(tries)[1]) if tries else None


def _receptacle(room: Room, place: Place, rule_id: str) -> Mark:
    return outside_face(
        room, place, kind="outdoor_receptacle", letter="O", height_in=OUTDOOR_IN, citation=table_rule(rule_id),
        wiring=PLAIN_12, protect_as="outdoors receptacle",
    )  # fmt: skip


def _counts(draft: Draft, mark: Mark) -> bool:
    good = rules.outdoor_height_counts(mark.height_in)
    if not good:
        draft.told(
            "pinned-outdoor-receptacle", mark.pinned_id, "a placed outdoor receptacle counts",
            f"{mark.height_in:g} in high", "up to 78 in above grade", Verdict.MISSES,
            cite(rules.outdoor_height_counts, draft.edition), "move it; the tool has not counted it",
        )  # fmt: skip
    return good


def _outward(draft: Draft, mark: Mark) -> Point:
    x, y = draft.lines[mark.room.id].place(mark.arc_ft).edge.inward()
    return (-x, -y)


def _dot(a: Point, b: Point) -> float:
    return a[0] * b[0] + a[1] * b[1]


def grade_level(draft: Draft) -> str:
    """The level taken to be at grade: the one whose floor is nearest to height 0."""
    return min(draft.levels.values(), key=lambda lv: (abs(lv.floor_ft), lv.id)).id


def _front_and_back(draft: Draft, doors: list[ExteriorDoor]) -> None:
    """Make sure that two receptacles at grade face away from each other."""
    grade = grade_level(draft)
    facing = [
        _outward(draft, m)
        for m in draft.marks
        if m.kind == "outdoor_receptacle" and m.level == grade and rules.outdoor_height_counts(m.height_in)
    ]
    citation = table_rule("R-E1-FRONTBACK")
    if not facing:
        facing = _add_facing(draft, grade, None)
    if facing and not any(_dot(a, b) <= OPPOSITE for a in facing for b in facing):
        widest = max(doors, key=lambda d: (round(d.cut.end_ft - d.cut.start_ft, 6), d.room.id), default=None)
        front = widest.outward if widest and widest.outward in facing else facing[0]
        facing += _add_facing(draft, grade, front)
    both = any(_dot(a, b) <= OPPOSITE for a in facing for b in facing)
    draft.told(
        "outdoor-receptacles", "outdoors", "a receptacle at the front and one at the back, reachable from grade",
        f"{len(facing)} at grade, {'on opposite sides' if both else 'not on opposite sides'}", "front and back",
        Verdict.MEETS if both else Verdict.MISSES, citation, "add one on the other side of the house",
    )  # fmt: skip
    draft.assume(
        "devices, outdoors", f"level {grade} is at grade; receptacles 18 in above its floor", "grade is not drawn"
    )


def _add_facing(draft: Draft, level: str, front: Point | None) -> list[Point]:
    """Add a receptacle on the longest free outer wall, facing away from `front` where one is given."""
    tries = []
    for room in draft.rooms:
        line = draft.lines[room.id]
        if room.level != level or room.kind == "porch":
            continue
        for low, high in outer_spans(draft, line, OUTDOOR_IN):
            place = line.place((low + high) / 2)
            x, y = place.edge.inward()
            if front is None or _dot((-x, -y), front) <= OPPOSITE:
                tries.append((-round(high - low, 6), round(place.x_ft, 6), round(place.y_ft, 6), room.id, place))
    if not tries:
        return []
    *_, room_id, place = min(tries, key=lambda t: t[:4])
    mark = _receptacle(draft.room_by_id[room_id], place, "R-E1-FRONTBACK")
    draft.marks.append(mark)
    return [_outward(draft, mark)]


def door_lights(draft: Draft) -> None:
    """A lighting outlet outside each exterior door that has none."""
    citation = lighting_rule("L-70A2-2")
    lights = [m for m in draft.marks if m.kind == "lighting_outlet" and m.outdoors]
    for door in exterior_doors(draft):
        porch_lit = door.place.part.behind and draft.in_room(
            draft.room_by_id[door.place.part.behind], "lighting_outlet"
        )
        near = any(math.hypot(m.x_ft - door.place.x_ft, m.y_ft - door.place.y_ft) <= NEAR_DOOR_FT for m in lights)
        if near or porch_lit:
            continue
        place = _over_receptacle(draft, door) or _beside_door(draft, door, OUTDOOR_LIGHT_IN, BESIDE_DOOR_FT / 2)
        if place is not None:
            draft.marks.append(
                outside_face(
                    door.room, place, kind="lighting_outlet", letter="E",
                    height_in=OUTDOOR_LIGHT_IN, citation=citation, wiring=CEILING,
                )
            )  # fmt: skip
    if draft.house.device_wishes.door_light_shares_hole:
        _share_holes(draft)


def _over_receptacle(draft: Draft, door: ExteriorDoor) -> Place | None:
    """The place above the receptacle that the tool has put beside a door, where the wall is free."""
    if not draft.house.device_wishes.door_light_shares_hole:
        return None
    line = draft.lines[door.room.id]
    spans = outer_spans(draft, line, OUTDOOR_LIGHT_IN)
    near = [
        (round(math.hypot(m.x_ft - door.place.x_ft, m.y_ft - door.place.y_ft), 6), m.arc_ft)
        for m in draft.in_room(door.room, "outdoor_receptacle")
        if within(spans, m.arc_ft, m.arc_ft)
    ]
    return line.place(min(near)[1]) if near and min(near)[0] <= NEAR_DOOR_FT else None


def _share_holes(draft: Draft) -> None:
    """A light straight above an outdoor receptacle takes its cable through the receptacle's hole."""
    stands = [m for m in draft.marks if m.kind == "outdoor_receptacle" and m.surface == "outside"]
    shared = 0
    for at, mark in enumerate(draft.marks):
        if mark.kind != "lighting_outlet" or mark.surface != "outside":
            continue
        under = [m for m in stands if m.room is mark.room and abs(m.arc_ft - mark.arc_ft) <= SHARED_FT]
        if under:
            lead = min(under, key=lambda m: (round(abs(m.arc_ft - mark.arc_ft), 6), round(m.arc_ft, 6), m.name))
            draft.marks[at] = replace(mark, shares=lead)
            shared += 1
    if shared:
        draft.assume(
            "devices, outdoors",
            f"the light over a door's receptacle shares its hole ({shared}); its cable climbs outside the air barrier",
            "common practice; door_light_shares_hole = no in [devices] gives each its own",
        )


def nearest_outer_place(
    draft: Draft, level: str, target: Point, height_in: float, taken: list[Point]
) -> tuple[Room, Place] | None:
    """The free place on an outer wall of this level nearest to a point, clear of the units that stand."""
    best: tuple[tuple[float, float, float], Room, Place] | None = None
    for room in draft.rooms:
        line = draft.lines[room.id]
        if room.level != level or room.kind == "porch":
            continue
        for edge in line.edges:
            length = edge.length_ft
            t = ((edge.x1 - edge.x0) / length, (edge.y1 - edge.y0) / length)
            here = common(outer_spans(draft, line, height_in), ((edge.start_ft, edge.start_ft + length),))
            cuts = []
            for x, y in taken:
                if abs(_dot((x - edge.x0, y - edge.y0), (-t[1], t[0]))) < UNIT_APART_FT:
                    at = edge.start_ft + _dot((x - edge.x0, y - edge.y0), t)
                    cuts.append((at - UNIT_APART_FT, at + UNIT_APART_FT))
            wanted = edge.start_ft + _dot((target[0] - edge.x0, target[1] - edge.y0), t)
            arc = nearest(without(here, cuts), wanted)
            if arc is None:
                continue
            place = line.place(arc)
            away = math.hypot(place.x_ft - target[0], place.y_ft - target[1])
            rank = (round(away, 6), round(place.x_ft, 6), round(place.y_ft, 6))
            if best is None or rank < best[0]:
                best = (rank, room, place)
    return (best[1], best[2]) if best else None


def service_receptacles(draft: Draft, equipment: list[Mark]) -> None:
    """A receptacle within 25 ft of heating and cooling equipment, on the same level; one more where there is none."""
    citation = cite(rules.serves_equipment, draft.edition)
    for unit in equipment:
        kinds = ("outdoor_receptacle",) if unit.outdoors else ("receptacle", "floor_receptacle")
        have = [distance_ft(m, unit) for m in draft.marks if m.kind in kinds and m.level == unit.level]
        away = min(have, default=math.inf)
        if away == math.inf or not rules.serves_equipment(away):
            line = draft.lines[unit.room.id]
            if unit.outdoors:
                spans = outer_spans(draft, line, OUTDOOR_IN)
                arc = nearest(without(spans, [(unit.arc_ft - 1, unit.arc_ft + 1)]) or spans, unit.arc_ft)
                if arc is not None:
                    draft.marks.append(_receptacle(unit.room, line.place(arc), "R-63A-HVAC"))
            else:
                arc = nearest(line.free(OUTDOOR_IN, (), HALF_BOX_FT), unit.arc_ft + 1.5)
                if arc is not None:
                    mark = at_wall(
                        unit.room,
                        line.place(arc),
                        kind="receptacle",
                        letter="R",
                        height_in=16.0,
                        citation=citation,
                        wiring=PLAIN_12,
                        protect_as=SERVICE if draft.edition >= 2020 else "",
                    )
                    draft.marks.append(mark)
            away = min(
                (distance_ft(m, unit) for m in draft.marks if m.kind in kinds and m.level == unit.level),
                default=math.inf,
            )
        verdict = Verdict.MEETS if math.isfinite(away) and rules.serves_equipment(away) else Verdict.MISSES
        draft.told(
            "service-receptacle", unit.serves, "a receptacle on the same level within 25 ft of the equipment",
            f"{away:.1f} ft" if math.isfinite(away) else "none", "25 ft", verdict, citation, "add one beside it",
        )  # fmt: skip
