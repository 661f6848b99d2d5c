"""Place every receptacle, switch, lighting outlet and appliance outlet of a house, and choose its box."""

from __future__ import annotations

from hpelec.core.citing import cite
from hpelec.core.editions import PROVISIONAL
from hpelec.core.findings import Verdict
from hpelec.house.assemblies import built_walls
from hpelec.house.model import House
from hpelec.house.rows import Room
from hpelec.steps.devices import counters, lighting, outdoors, outlets, rooms, rules
from hpelec.steps.devices.alarms import alarms
from hpelec.steps.devices.box_rows import box_rows
from hpelec.steps.devices.boxes import Box, box_of, cavity_of, tell_boxes
from hpelec.steps.devices.data_points import data_points
from hpelec.steps.devices.draft import Draft, Mark, table_rule
from hpelec.steps.devices.framing import framing
from hpelec.steps.devices.furniture import furniture
from hpelec.steps.devices.model import DeviceNeed, DeviceSpot, DevicesResult
from hpelec.steps.devices.needs import needs_of
from hpelec.steps.devices.preferences import preferences
from hpelec.steps.devices.set_out import set_out
from hpelec.steps.devices.wall_runs import HABITABLE, habitable

WALL_KINDS = ("receptacle", "floor_receptacle")


def design(house: House, edition: int) -> DevicesResult:
    """Lay out the devices of a house by an edition of NFPA 70.

    Wall receptacles: the fewest that the spacing rule allows with the user's own, then as few as possible of them in
    the envelope, then evenly spaced. The result does not depend on the order of rows.
    """
    draft = Draft(house, edition)
    outlets.pinned(draft)
    furniture(draft)
    for room in draft.rooms:
        _receptacles(draft, room)
    outlets.appliance_outlets(draft)
    outdoors.door_receptacles(draft)
    serviced = {a.id for a in house.appliances if a.kind in outlets.SERVICED and not a.building}
    outdoors.service_receptacles(draft, [m for m in draft.marks if m.serves in serviced])
    lighting.lights(draft)
    outdoors.door_lights(draft)
    lighting.switches(draft)
    data_points(draft)
    alarms(draft)
    _provisional(draft)
    return _result(draft)


def _receptacles(draft: Draft, room: Room) -> None:
    """The receptacles that the kind of a room asks for."""
    if room.kind in HABITABLE:
        habitable(draft, room)
    if room.kind in counters.ROOMS:
        counters.wall_counters(draft, room)
        counters.islands(draft, room)
    single = {"hallway": rooms.hallway, "foyer": rooms.foyer, "bathroom": rooms.bathroom, "garage": rooms.garage,
              "basement_unfinished": rooms.basement}  # fmt: skip
    if room.kind in single:
        single[room.kind](draft, room)
    if room.id in draft.laundry_areas:
        rooms.laundry(draft, room)


def _provisional(draft: Draft) -> None:
    if not draft.laundry_areas:
        draft.told(
            "laundry-area", "house", "a laundry area has a receptacle", "no laundry room, washer or dryer is given", "",
            Verdict.CANNOT_SAY, table_rule("R-F-LAUNDRY"), "say where the laundry is",
        )  # fmt: skip
    if draft.edition in PROVISIONAL:
        draft.told(
            "edition-2026", "house", "places where counter receptacles are prohibited, room dividers with counters",
            "the 2026 lists were seen in summaries only", "", Verdict.CANNOT_SAY,
            cite(rules.island_receptacles, draft.edition), "check 210.52(A)(5) and (C)(4) in the adopted text",
        )  # fmt: skip


def _result(draft: Draft) -> DevicesResult:
    marks = dict(_named(draft.marks))
    names = {id(mark): name for name, mark in marks.items()}
    walls = built_walls(draft.house)
    built = {n: walls.at(m.surface, m.level, (m.x_ft, m.y_ft), m.room.id, m.side) for n, m in marks.items()}
    boxes = {name: box_of(draft, mark, cavity_of(built[name])) for name, mark in marks.items()}
    needs = {name: needs_of(draft, name, mark) for name, mark in marks.items()}
    devices = tuple(
        _spot(name, mark, boxes[name], needs[name], names.get(id(mark.shares), "")) for name, mark in marks.items()
    )
    tell_boxes(draft, devices, {name: mark.wiring for name, mark in marks.items()})
    rows = box_rows(draft, devices, marks, boxes, built)
    limits = framing(draft)
    in_walls = {r.id for r in draft.rooms if r.kind in HABITABLE}
    return DevicesResult(
        edition=draft.edition,
        devices=devices,
        runs=tuple(draft.runs),
        fewest_wall_receptacles=sum(r.fewest for r in draft.runs),
        wall_receptacles=sum(d.room in in_walls and d.kind in WALL_KINDS for d in devices),
        in_envelope=sum(d.surface != "" for d in devices),
        needs=tuple(need for each in needs.values() for need in each),
        boxes=rows,
        set_out=set_out(draft, devices, marks),
        preferences=preferences(draft, devices, marks),
        framing=limits,
        working=tuple(draft.working),
        findings=tuple(draft.findings),
        assumptions=tuple(draft.assumptions),
    )


def _named(marks: list[Mark]) -> list[tuple[str, Mark]]:
    """Each device with its id: room, letter and what it serves, or its number along the room's wall line."""
    ordered = sorted(
        marks,
        key=lambda m: (
            m.room.id,
            m.letter,
            m.arc_ft < 0,
            round(m.arc_ft, 6),
            round(m.x_ft, 6),
            round(m.y_ft, 6),
            m.name,
        ),
    )
    numbers: dict[tuple[str, str], int] = {}
    named = []
    for mark in ordered:
        if mark.pinned_id:
            named.append((mark.pinned_id, mark))
        elif mark.name:
            named.append((f"{mark.room.id}.{mark.letter}-{mark.name}", mark))
        else:
            key = (mark.room.id, mark.letter)
            numbers[key] = numbers.get(key, 0) + 1
            named.append((f"{mark.room.id}.{mark.letter}{numbers[key]}", mark))
    return named


def _spot(name: str, mark: Mark, box: Box, needs: tuple[DeviceNeed, ...], shares: str) -> DeviceSpot:
    asked = {need.need for need in needs}
    return DeviceSpot(
        id=name,
        room="" if mark.outdoors else mark.room.id,
        level=mark.level,
        kind=mark.kind,
        serves=mark.serves,
        x_ft=mark.x_ft,
        y_ft=mark.y_ft,
        side=mark.side,
        offset_ft=mark.offset_ft,
        height_in=mark.height_in,
        surface=mark.surface,
        pinned=bool(mark.pinned_id),
        gfci="ground-fault protection" in asked,
        afci="arc-fault protection" in asked,
        box=box.name,
        box_volume_in3=box.volume_in3,
        box_fill_in3=box.fill_in3,
        box_depth_in=box.depth_in,
        gangs=box.gangs,
        citation=mark.citation,
        what=mark.what,
        shares_hole_with=shares,
    )
