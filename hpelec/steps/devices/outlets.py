"""Outlets of appliances and water heaters: where they stand, what enters their boxes; devices that the user placed."""

from __future__ import annotations

from dataclasses import replace

from hpelec.core.citing import OUR_OWN, Citation, cite
from hpelec.core.findings import Verdict
from hpelec.house.rows import PlacedDevice, Room
from hpelec.house.rows_loads import Appliance, Heater
from hpelec.steps.devices import rules
from hpelec.steps.devices.draft import (
    CEILING,
    PLAIN_12,
    PLAIN_14,
    SWITCH_IN,
    Draft,
    Mark,
    Wiring,
    Wish,
    at_wall,
    best_place,
    centre,
    free_spans,
    spread,
    table_rule,
)
from hpelec.steps.devices.outdoors import nearest_outer_place, outside_face
from hpelec.steps.devices.walls import HALF_BOX_FT, Place, WallLine

Load = Appliance | Heater
LETTERS = {
    "receptacle": "R", "counter_receptacle": "C", "outdoor_receptacle": "O", "floor_receptacle": "F",
    "appliance_outlet": "A", "switch": "S", "lighting_outlet": "L", "alarm": "D", "data": "N",
}  # fmt: skip
STANDS_AT = {
    "range": ("range",),
    "cooktop": ("range",),
    "wall_oven": ("range",),
    "fan": ("range",),
    "refrigerator": ("refrigerator",),
    "dishwasher": ("sink",),
    "disposer": ("sink",),
}
"""Fixed items at which an appliance of a kind stands, when none carries its own id."""
PLUGGED = (
    "range", "dryer", "washer", "dishwasher", "disposer", "microwave", "refrigerator", "freezer", "kitchen_appliance",
)  # fmt: skip
NEUTRAL = ("range", "cooktop", "wall_oven", "dryer")
NOT_MOVED = ("range", "washer", "dryer", "dishwasher", "disposer", "microwave", "refrigerator", "freezer")
"""Plugged appliances that stand in a space of their own and are not easily moved."""
LOW_IN, HIGH_IN = 16.0, 42.0
SERVICED = ("heat_pump", "air_conditioner", "air_handler", "furnace")
SIZES_A = ((20.0, 12), (30.0, 10), (40.0, 8), (60.0, 6))
"""Largest circuit taken on a conductor size, to choose the box only; the circuits step sizes the cable."""


def rating_A(row: Load) -> float | None:
    """Amperes of the circuit as far as the input tells; None when it tells nothing."""
    if isinstance(row, Heater):
        return row.power_VA / row.voltage_V * 1.25
    if row.mocp_A is not None:
        return row.mocp_A
    load_A = row.current_A if row.current_A is not None else row.mca_A
    if load_A is None and row.power_VA is not None:
        load_A = row.power_VA / row.voltage_V
    return load_A if load_A is None or not row.continuous else load_A * 1.25


def is_receptacle(row: Load) -> bool:
    """Whether the outlet is taken to be a receptacle rather than a hard-wired box."""
    return isinstance(row, Appliance) and row.kind in PLUGGED


def wiring_for(row: Load) -> Wiring:
    """What enters the box of an appliance outlet: one cable of its own, a whip too where it is hard-wired."""
    amps = rating_A(row)
    size = next((awg for limit, awg in SIZES_A if (amps or 0.0) <= limit), None)
    if size is None:
        return Wiring(own_box="terminal compartment of the equipment")
    insulated = 3 if row.kind in NEUTRAL and row.voltage_V > 120 else 2
    if is_receptacle(row):
        gangs = 2 if size < 12 else 1
        shapes = ("square",) if size < 12 else ("device",)
        return Wiring(size, insulated, 1, (gangs,), shapes, internal_clamps=size == 12)
    return Wiring(size, 2 * insulated, 2, (), ("square",), internal_clamps=False)


def appliance_outlets(draft: Draft) -> None:
    """An outlet for each appliance and water heater that is there or comes."""
    house = draft.house
    loads: list[tuple[str, Load]] = [("A", a) for a in house.appliances] + [("H", h) for h in house.heaters]
    there = (p for p in loads if p[1].status != "removed" and not p[1].building)
    loads = sorted(there, key=lambda p: (p[1].id, p[0]))
    served = {m.serves for m in draft.marks if m.pinned_id}
    loads = [p for p in loads if p[1].id not in served]
    for room in draft.rooms:
        _in_room(draft, room, [p for p in loads if p[1].room == room.id])
    _outside(draft, [p for p in loads if p[1].room == ""])
    if loads:
        draft.assume(
            "devices, appliances",
            "cooking and laundry machines, dishwashers, disposers and cold appliances have a receptacle; "
            "other equipment is hard-wired",
            "how an appliance is connected is not an input",
        )


def _names(row: Load) -> list[str]:
    quantity = row.quantity if isinstance(row, Appliance) else 1
    return [row.id] if quantity == 1 else [f"{row.id}-{i}" for i in range(1, quantity + 1)]


def _protected_as(row: Load) -> str:
    if isinstance(row, Heater) or row.kind == "dishwasher":
        return "" if isinstance(row, Heater) else "dishwasher outlet"
    if row.kind in ("range", "wall_oven", "cooktop", "dryer", "microwave"):
        return "electric range, wall oven, cooktop, dryer, microwave (any connection)"
    return "room" if is_receptacle(row) else ""


def _citation(row: Load) -> Citation:
    return table_rule("R-50C-6FT") if is_receptacle(row) else replace(OUR_OWN, source="the house", locator=row.id)


def _in_room(draft: Draft, room: Room, loads: list[tuple[str, Load]]) -> None:
    line = draft.lines[room.id]
    floating: list[tuple[str, Load, str]] = []
    for letter, row in loads:
        target = _stands_at(line, row)
        for name in _names(row):
            if target is None:
                floating.append((letter, row, name))
            else:
                spans = line.free(_height_in(row), (), HALF_BOX_FT) or line.edge_spans()
                place = best_place(line, spans, target, farthest_ft=0.0)
                draft.marks.append(_indoors(room, place, letter, row, name))
    if floating:
        spans = free_spans(draft, line, SWITCH_IN)
        for (letter, row, name), place in zip(floating, spread(line, spans, len(floating)), strict=True):
            draft.marks.append(_indoors(room, place, letter, row, name))
        draft.assume(
            f"devices, {room.id}",
            f"outlets of {', '.join(name for _, _, name in floating)} spread over the longest free inside wall",
            "no fixed item with their id tells where they stand",
        )


def _stands_at(line: WallLine, row: Load) -> float | None:
    """Where the fixed item that the appliance belongs to stands on the wall line; None when there is none."""
    own = [f for f in line.fixed if f.item.id == row.id]
    kinds = STANDS_AT.get(row.kind, ())
    items = own or [f for f in line.fixed if f.item.kind in kinds]
    if not items:
        return None
    first = items[0]
    if row.kind == "dishwasher" and not own:
        return first.edge.start_ft + first.end_ft + 1.0
    return first.edge.start_ft + (first.start_ft + first.end_ft) / 2


def _height_in(row: Load) -> float:
    if row.kind in ("washer", "dryer", "microwave"):
        return HIGH_IN
    return 72.0 if row.kind == "fan" else LOW_IN if is_receptacle(row) else SWITCH_IN


def _indoors(room: Room, place: Place, letter: str, row: Load, name: str) -> Mark:
    return at_wall(
        room, place, kind="appliance_outlet", letter=letter, name=name, serves=row.id, height_in=_height_in(row),
        citation=_citation(row), wiring=wiring_for(row), voltage_V=row.voltage_V,
        protect_as=_protected_as(row), plugged=is_receptacle(row), dedicated_space=row.kind in NOT_MOVED,
    )  # fmt: skip


def _outside(draft: Draft, loads: list[tuple[str, Load]]) -> None:
    """Equipment without a room: on the outer wall nearest to the first panel, units apart from each other."""
    if not loads:
        return
    panels = sorted(draft.house.panels, key=lambda p: (p.fed_from != "service", p.id))
    if panels:
        room = draft.room_by_id[panels[0].room]
        line = draft.lines[room.id]
        target = line.corner_at(line.arc(panels[0].side, panels[0].offset_ft))
    else:
        room = draft.rooms[0]
        target = centre(room)
    level = _level_with_outer_walls(draft, room)
    taken: list[tuple[float, float]] = []
    for letter, row in loads:
        for name in _names(row):
            found = nearest_outer_place(draft, level, target, SWITCH_IN, taken)
            if found is None:
                draft.told(
                    "outside-equipment", row.id, "equipment outside stands at an outer wall", "none is free",
                    "", Verdict.CANNOT_SAY, OUR_OWN, "name its place by hand",
                )  # fmt: skip
                continue
            there, place = found
            taken.append((place.x_ft, place.y_ft))
            mark = outside_face(
                there, place, kind="appliance_outlet", letter=letter, name=name, serves=row.id, height_in=SWITCH_IN,
                citation=_citation(row), wiring=wiring_for(row), voltage_V=row.voltage_V,
                protect_as="outside equipment",
            )  # fmt: skip
            draft.marks.append(mark)
    draft.assume(
        "devices, equipment outside", "stands at the outer wall nearest to the panel, 3 ft apart", "no place is given"
    )


def _level_with_outer_walls(draft: Draft, room: Room) -> str:
    """The panel's level, or for a panel below grade the level at grade."""
    level = draft.levels[room.level]
    at_grade = min(draft.levels.values(), key=lambda lv: (abs(lv.floor_ft), lv.id))
    return at_grade.id if level.floor_ft < at_grade.floor_ft else level.id


def pinned(draft: Draft) -> None:
    """Take over every device that the user has placed."""
    wirings = {"lighting_outlet": CEILING, "counter_receptacle": PLAIN_12, "outdoor_receptacle": PLAIN_12,
               "appliance_outlet": PLAIN_12}  # fmt: skip
    rows: list[Load] = [*draft.house.appliances, *draft.house.heaters]
    loads = {row.id: row for row in rows}
    for device in sorted(draft.house.placed_devices, key=lambda d: d.id):
        room = draft.room_by_id[device.room]
        line = draft.lines[room.id]
        place = line.place(line.arc(device.side, device.offset_ft))
        if not device.firm:
            draft.wishes[room.id] = (*draft.wishes.get(room.id, ()), Wish(device.id, place.arc_ft))
            continue
        row = loads.get(device.id) if device.kind == "appliance_outlet" else None
        mark = at_wall(
            room, place, kind=device.kind, letter=LETTERS[device.kind], height_in=device.height_in,
            citation=replace(OUR_OWN, source="the user", locator=f"devices.csv, {device.id}"), pinned_id=device.id,
            wiring=wiring_for(row) if row else wirings.get(device.kind, PLAIN_14), serves=row.id if row else "",
            protect_as=_pin_protection(device, row), voltage_V=row.voltage_V if row else 120.0,
            plugged=device.kind == "appliance_outlet" and (row is None or is_receptacle(row)),
            dedicated_space=row is not None and row.kind in NOT_MOVED,
        )  # fmt: skip
        if device.kind == "data":
            mark = replace(mark, wiring=Wiring(own_box="low-voltage ring", grounds=1))
        if device.kind == "outdoor_receptacle":
            mark = replace(mark, surface="outside" if mark.surface else "", outdoors=True)
        if device.kind == "floor_receptacle":
            mark = replace(mark, surface="", height_in=0.0)
        draft.marks.append(mark)
        if device.kind == "switch":
            _check_switch(draft, mark)


def _pin_protection(device: PlacedDevice, row: Load | None) -> str:
    words = {"counter_receptacle": "kitchen countertop receptacle", "outdoor_receptacle": "outdoors receptacle"}
    if device.kind == "appliance_outlet":
        return _protected_as(row) if row else "room"
    return words.get(device.kind, "")


def _check_switch(draft: Draft, mark: Mark) -> None:
    good = rules.switch_height_allowed(mark.height_in)
    draft.told(
        "switch-height", mark.pinned_id, "the grip of a switch is not too high", f"{mark.height_in:g} in", "79 in",
        Verdict.MEETS if good else Verdict.MISSES, cite(rules.switch_height_allowed, draft.edition), "set it lower",
    )  # fmt: skip
