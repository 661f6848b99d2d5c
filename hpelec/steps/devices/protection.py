"""Ground-fault and arc-fault protection of each device, by what it is and where it stands."""

from __future__ import annotations

import math

from hpelec.core.citing import cite
from hpelec.core.findings import Verdict
from hpelec.house.geometry import edge_of, south_west
from hpelec.house.rows import FixedItem, Room
from hpelec.house.rows_loads import Appliance
from hpelec.steps.devices import rules_protection
from hpelec.steps.devices.draft import Draft, Mark
from hpelec.steps.devices.outdoors import grade_level
from hpelec.steps.devices.outlets import Load, rating_A

LIVING = "living, family, dining, den, library, parlor, sunroom, recreation"
PLACES = {
    "kitchen": "kitchen other receptacle (refrigerator, range, disposal)",
    "dining": LIVING,
    "living": LIVING,
    "family": LIVING,
    "den": LIVING,
    "library": LIVING,
    "sunroom": LIVING,
    "recreation": LIVING,
    "bedroom": "bedroom",
    "foyer": "hallway",
    "hallway": "hallway",
    "stair": "hallway",
    "bathroom": "bathroom",
    "laundry": "laundry area",
    "closet": "closet",
    "garage": "garage",
    "basement_unfinished": "unfinished basement",
}
"""Row of the table of protection for each kind of room; other kinds are in neither list."""
RECEPTACLES = ("receptacle", "counter_receptacle", "outdoor_receptacle", "floor_receptacle")
WATER_FT = 6.0
NO_POWER = ("data",)


OUTDOOR_OUTLET = "outdoor outlet incl. hard-wired (210.8(F))"
SINK = "within 6 ft of sink inside edge of bowl"
TUB = "within 6 ft of bathtub or shower stall outside edge"


def afci_place(draft: Draft, mark: Mark) -> str:
    """The row of the table by which a device needs arc-fault protection; "" when it needs none."""
    if mark.outdoors or mark.kind in NO_POWER:
        return ""
    needed = (
        p
        for p in _room_places(draft, mark)
        if rules_protection.afci_required(p, draft.edition, voltage_V=mark.voltage_V)
    )
    return next(needed, "")


def _room_places(draft: Draft, mark: Mark) -> list[str]:
    """Rows of the table for the room that a device is in: by its kind, and as a laundry area."""
    places = [PLACES[mark.room.kind]] if mark.room.kind in PLACES else []
    if mark.room.id in draft.laundry_areas and PLACES["laundry"] not in places:
        places.append(PLACES["laundry"])
    return places


def gfci_place(draft: Draft, mark: Mark) -> str:
    """The row of the table by which a device needs ground-fault protection; "" when it needs none."""
    if mark.kind in NO_POWER:
        return ""
    if mark.protect_as == "outside equipment":
        return OUTDOOR_OUTLET if _outside_equipment(draft, mark) else ""
    if mark.kind not in RECEPTACLES and not mark.protect_as:
        return ""
    if draft.edition < 2020 and mark.voltage_V > 125:
        return ""
    near = _near_water(draft, mark)
    own = mark.protect_as if mark.protect_as != "room" else ""
    if own.startswith("electric range") and draft.edition == 2020:
        own = ""
    places = [own] if own else [] if mark.outdoors else _room_places(draft, mark)
    places += [p for p in _places_for_gfci_alone(draft, mark) if not own]
    places += [{"sink": SINK, "tub": TUB}[n] for n in sorted(near) if not own]
    needed = (p for p in places if rules_protection.gfci_required(p, draft.edition, near_sink="sink" in near))
    return next(needed, "")


def _places_for_gfci_alone(draft: Draft, mark: Mark) -> list[str]:
    """Rows that only ground-fault protection knows: rooms below grade, a pantry or the like with a sink."""
    if mark.outdoors:
        return []
    found = []
    below = draft.levels[mark.room.level].floor_ft < draft.levels[grade_level(draft)].floor_ft
    if below and mark.room.kind != "basement_unfinished":
        found.append("finished basement room")
    if mark.room.kind == "pantry" and any(f.room == mark.room.id and f.kind == "sink" for f in draft.house.fixed):
        found.append("area with sink and permanent food/beverage provisions (wet bar, pantry)")
    return found


def _outside_equipment(draft: Draft, mark: Mark) -> bool:
    """Hard-wired outdoor outlets by their rating; equipment that feeds the house is no outlet."""
    loads: list[Load] = [*draft.house.appliances, *draft.house.heaters]
    row = next(r for r in loads if r.id == mark.serves)
    citation = cite(rules_protection.outdoor_outlet_gfci, draft.edition)
    if row.kind in ("solar", "storage"):
        return False
    amps = rating_A(row)
    if amps is None or amps <= 0:
        draft.told(
            "outdoor-outlet-gfci", row.id, "outdoor outlets up to a rating need ground-fault protection",
            "its load is not given", "", Verdict.CANNOT_SAY, citation, "give its power or amperes",
        )  # fmt: skip
        return False
    needed = rules_protection.outdoor_outlet_gfci(amps, draft.edition)
    if needed and isinstance(row, Appliance) and row.kind in ("heat_pump", "air_conditioner"):
        draft.told(
            "outdoor-outlet-gfci", row.id, "outdoor outlets up to a rating need ground-fault protection",
            f"{amps:.0f} A: taken as needed; an exception for listed heating and cooling equipment has a date in it",
            "", Verdict.CANNOT_SAY, citation, "ask the local authority whether the exception applies",
        )  # fmt: skip
    return needed


def _near_water(draft: Draft, mark: Mark) -> set[str]:
    """Which of sink and tub are within 6 ft of the device in its room."""
    if mark.outdoors:
        return set()
    kinds = {"sink": "sink", "basin": "sink", "tub": "tub", "shower": "tub"}
    items = [f for f in draft.house.fixed if f.room == mark.room.id and f.kind in kinds]
    return {kinds[i.kind] for i in items if distance_to_item_ft(mark.room, i, mark.x_ft, mark.y_ft) <= WATER_FT + 1e-9}


def distance_to_item_ft(room: Room, item: FixedItem, x: float, y: float) -> float:
    """Distance on the plan from a point to the rectangle of a fixed item."""
    edge = edge_of(room, item.side) if item.side else None
    if edge is None:
        x0, y0 = south_west(room)
        u, v, low = x - x0, y - y0 - item.y_offset_ft, item.offset_ft
    else:
        t = ((edge.x1 - edge.x0) / edge.length_ft, (edge.y1 - edge.y0) / edge.length_ft)
        n = edge.inward()
        dx, dy = x - edge.x0, y - edge.y0
        u, v = dx * t[0] + dy * t[1], dx * n[0] + dy * n[1]
        low = min(edge.along(item.offset_ft), edge.along(item.offset_ft + item.width_ft))
    return math.hypot(max(low - u, 0.0, u - low - item.width_ft), max(-v, 0.0, v - item.depth_ft))
