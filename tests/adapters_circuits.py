"""A plain set of devices made by hand for trials of circuits and routes, and adapters for published checks."""

from __future__ import annotations

from hpelec.common import rules_equipment as equipment
from hpelec.common import rules_ratings as ratings
from hpelec.core.citing import OUR_OWN
from hpelec.house.geometry import edges, outline, part_at, room_centre, south_west
from hpelec.house.model import House
from hpelec.house.rows import Room
from hpelec.steps.circuits import rules, rules_cable
from hpelec.steps.devices.model import DeviceSpot, DevicesResult


def spot(id: str, room: str, level: str, kind: str, at: tuple[float, float], side: str, **more) -> DeviceSpot:
    values = {
        "id": id,
        "room": room,
        "level": level,
        "kind": kind,
        "serves": "",
        "x_ft": at[0],
        "y_ft": at[1],
        "side": side,
        "offset_ft": None,
        "height_in": 16.0,
        "surface": "",
        "box": "single-gang, 18 in3",
        "box_volume_in3": 18.0,
        "box_fill_in3": 9.0,
        "box_depth_in": 2.75,
        "citation": OUR_OWN,
    }
    return DeviceSpot(**(values | more))


def devices_result(devices: list[DeviceSpot]) -> DevicesResult:
    return DevicesResult(
        edition=2023,
        devices=tuple(devices),
        runs=(),
        fewest_wall_receptacles=0,
        wall_receptacles=0,
        in_envelope=0,
    )


def on_wall(house: House, room: Room, side: str, along_ft: float, id: str, kind: str, **more) -> DeviceSpot:
    edge = next(e for e in edges(room) if e.side == side)
    part = part_at(house, room, side, along_ft)
    return spot(id, room.id, room.level, kind, edge.at(along_ft), side, **({"surface": part.surface} | more))


def trial_devices(house: House) -> DevicesResult:
    """Receptacles about every 8 ft of wall, a switch and a ceiling light a room, an outlet for each equipment."""
    rooms = {r.id: r for r in house.rooms}
    heights = {lv.id: lv.ceiling_height_ft * 12 for lv in house.levels}
    made: list[DeviceSpot] = []
    for room in house.rooms:
        for edge in edges(room):
            for i in range(int(edge.length_ft // 8) + (edge.length_ft > 4)):
                counter = room.kind == "kitchen" and i == 0
                made.append(
                    on_wall(
                        house, room, edge.side, min(2.3 + 8 * i, edge.length_ft - 0.7), f"{room.id}-{edge.side}-{i}",
                        "counter_receptacle" if counter else "receptacle", height_in=44.0 if counter else 16.0,
                        gfci=counter, afci=room.kind == "bedroom",
                    )
                )  # fmt: skip
        first = edges(room)[0]
        made.append(on_wall(house, room, first.side, 1.1, f"{room.id}-switch", "switch", height_in=48.0))
        ceiling = "ceiling" if room.inside_air_barrier else ""
        made.append(
            spot(f"{room.id}-light", room.id, room.level, "lighting_outlet", room_centre(room), "",
                 height_in=heights[room.level], surface=ceiling)
        )  # fmt: skip
    for row in (*house.appliances, *house.heaters):
        room = rooms.get(row.room)
        if room is None:
            x, y = south_west(house.rooms[0])
            made.append(
                spot(f"out-{row.id}", "", house.rooms[0].level, "appliance_outlet", (x + 1.0, y - 1.0), "",
                     serves=row.id, surface="outside", height_in=30.0)
            )  # fmt: skip
            continue
        side = edges(room)[len(row.id) % len(outline(room))]
        made.append(
            on_wall(
                house, room, side.side, side.length_ft * 0.45, f"{room.id}-{row.id}", "appliance_outlet", serves=row.id
            )
        )
    return devices_result(made)


def general_circuits(floor_area_ft2: float) -> dict[str, float]:
    return {
        "circuit_va": floor_area_ft2 * 3,
        "min_15a": rules.general_circuits_min(floor_area_ft2, 15),
        "min_20a": rules.general_circuits_min(floor_area_ft2, 20),
    }


def storage_heater(power_VA: float, voltage_V: float, edition: int) -> dict[str, float | str]:
    factor = equipment.factor_row("storage water heater of 120 gal (450 L) or less").number("factor")
    current_A = power_VA / voltage_V
    needed_A = equipment.branch_minimum_A(current_A, factor)
    breaker_A = ratings.next_standard_A(needed_A, edition)
    cable = rules_cable.choose_cable(needed_A, breaker_A, 2, edition)
    return {
        "amps": current_A,
        "needed_A": needed_A,
        "breaker_A": breaker_A,
        "most_A": equipment.appliance_most_A(current_A, edition),
        "size": cable.size,
        "cable": cable.name,
    }


def vehicle_charger(current_A: list[float], edition: int) -> list[float]:
    factor = equipment.factor_row("EVSE").number("factor")
    return [ratings.next_standard_A(equipment.branch_minimum_A(a, factor), edition) for a in current_A]


def tankless(power_VA: float, edition: int) -> dict[str, float]:
    parts = equipment.subdivisions(power_VA / 240)
    current_A = power_VA / 240 / parts
    breaker_A = ratings.next_standard_A(equipment.branch_minimum_A(current_A, 1.0), edition)
    return {"circuits": parts, "amps_per_circuit": current_A, "breaker_A": breaker_A}


def compressor(largest_A: float, others_A: float, edition: int) -> dict[str, float]:
    mca_A = equipment.hermetic_mca_A(largest_A, others_A)
    most_A = {share: equipment.hermetic_most_A(largest_A, others_A, share=share) for share in (1.75, 2.25)}
    return {
        "mca_a": mca_A,
        "mocp_175_a": most_A[1.75],
        "mocp_225_a": most_A[2.25],
        "mocp_rating_175_a": equipment.nameplate_breaker_A(mca_A, most_A[1.75], edition),
        "mocp_rating_225_a": equipment.nameplate_breaker_A(mca_A, most_A[2.25], edition),
    }


def cable_name(needed_A: float, breaker_A: float, insulated: int, edition: int) -> str:
    return rules_cable.choose_cable(needed_A, breaker_A, insulated, edition).name


def cooktop_circuit(nameplates_VA: list[float], voltage_V: float, edition: int) -> dict[str, float]:
    branch_VA = equipment.range_branch_VA(sum(nameplates_VA))
    least_A = equipment.range_breaker_min_A(sum(nameplates_VA))
    current_A = branch_VA / voltage_V
    return {
        "branch_demand_kw": branch_VA / 1000,
        "branch_a": current_A,
        "branch_rating_a": ratings.next_standard_A(max(current_A, least_A), edition),
    }
