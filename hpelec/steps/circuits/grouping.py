"""General outlets to circuits: which group a device belongs to, rooms kept whole, outlets spread evenly."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from hpelec.house.geometry import Point, edges, room_centre
from hpelec.house.rows import Room
from hpelec.house.rows_loads import Appliance
from hpelec.steps.circuits import rules
from hpelec.steps.devices.model import DeviceSpot

SMALL_APPLIANCE_ROOMS = ("kitchen", "dining", "pantry")
NO_OUTLET = ("switch",)
"""Devices that ride on a circuit without being an outlet."""
NO_POWER = ("data",)
PLUGS = ("receptacle", "counter_receptacle", "floor_receptacle", "outdoor_receptacle")


def group_of(device: DeviceSpot, room: Room | None, appliance: Appliance | None) -> str:
    """The kind of circuit a device without a circuit of its own belongs to."""
    kind = room.kind if room else ""
    plug = device.kind in PLUGS
    if device.kind == "counter_receptacle" and kind not in ("bathroom", "laundry"):
        return "small_appliance"
    if device.kind == "outdoor_receptacle":
        return "outdoor"
    if appliance is not None and appliance.kind == "washer":
        return "laundry"
    if kind in SMALL_APPLIANCE_ROOMS:
        cold = appliance is not None and appliance.kind == "refrigerator"
        return "small_appliance" if plug or cold else "general"
    by_room = {"laundry": "laundry", "bathroom": "bathroom", "garage": "garage"}
    return by_room.get(kind, "general") if plug else "general"


def counts(devices: Sequence[DeviceSpot]) -> int:
    """Outlets among the devices: switches are none."""
    return sum(d.kind not in NO_OUTLET for d in devices)


@dataclass(frozen=True, slots=True)
class Block:
    """Devices that stay together: a room's, or a part of a room that alone has too many outlets."""

    level: str
    place: Point
    name: str
    devices: tuple[DeviceSpot, ...]


def round_the_room(devices: Sequence[DeviceSpot], centre: Point) -> list[DeviceSpot]:
    """Devices in the order in which one meets them going round the room, from the east, counter-clockwise."""

    def angle(d: DeviceSpot) -> float:
        # + 0.0 turns a negative zero, which has another angle, into zero.
        dx, dy = round(d.x_ft - centre[0], 6) + 0.0, round(d.y_ft - centre[1], 6) + 0.0
        return round(math.atan2(dy, dx) % math.tau, 6)

    return sorted(devices, key=lambda d: (angle(d), d.id))


def blocks(devices: Sequence[DeviceSpot], rooms: dict[str, Room], most: int, *, together: bool = True) -> list[Block]:
    """One block a room, cut into even parts where the room has more than `most` outlets.

    together: rooms of a level that name the same circuit_group are one block, room after room.
    """
    by_place: dict[tuple[str, str, str], list[str]] = {}
    by_room: dict[tuple[str, str], list[DeviceSpot]] = {}
    for device in devices:
        by_room.setdefault((device.level, device.room or room_near(device, rooms)), []).append(device)
    for level, room in sorted(by_room):
        group = rooms[room].circuit_group.strip().casefold() if together and room in rooms else ""
        by_place.setdefault((level, group, "") if group else (level, "", room), []).append(room)
    made = []
    for (level, _, _), members in sorted(by_place.items(), key=lambda item: (item[0][0], item[1][0])):
        ordered = [d for room in members for d in _round(by_room[level, room], rooms.get(room))]
        parts = max(1, rules.circuits_by_outlets(counts(ordered), most))
        name = ", ".join((rooms[room].name or room) if room in rooms else "outdoors" for room in members)
        made += [Block(level, _middle(part), name, tuple(part)) for part in even_parts(ordered, parts) if part]
    return made


def _round(devices: Sequence[DeviceSpot], room: Room | None) -> list[DeviceSpot]:
    return round_the_room(devices, _middle(devices) if room is None else room_centre(room))


def room_near(device: DeviceSpot, rooms: dict[str, Room]) -> str:
    """The room of its level whose walls are nearest to a device outdoors; "" when the level has no room."""

    def away(room: Room) -> float:
        return min(_to_edge_ft((device.x_ft, device.y_ft), (e.x0, e.y0), (e.x1, e.y1)) for e in edges(room))

    near = [(round(away(r), 6), r.id) for r in rooms.values() if r.level == device.level]
    return min(near)[1] if near else ""


def _to_edge_ft(p: Point, a: Point, b: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy)
    t = min(1.0, max(0.0, t))
    return math.dist(p, (a[0] + t * dx, a[1] + t * dy))


def _middle(devices: Sequence[DeviceSpot]) -> Point:
    n = len(devices)
    return (sum(d.x_ft for d in devices) / n, sum(d.y_ft for d in devices) / n)


def even_parts(devices: Sequence[DeviceSpot], parts: int) -> list[list[DeviceSpot]]:
    """The sequence cut into `parts` stretches with outlets spread evenly (a switch goes with the outlet before it)."""
    total = counts(devices)
    cut: list[list[DeviceSpot]] = [[] for _ in range(parts)]
    seen = 0
    for device in devices:
        at = max(seen - (device.kind in NO_OUTLET), 0)
        cut[min(parts - 1, at * parts // max(total, 1))].append(device)
        seen += device.kind not in NO_OUTLET
    return cut


def tour(made: Sequence[Block]) -> list[Block]:
    """Blocks of one level in an order of neighbours: from the south-west, always on to the nearest not yet met."""
    left = sorted(made, key=lambda b: (b.devices[0].room, b.devices[0].id))
    if not left:
        return []
    low_x, low_y = min(b.place[0] for b in left), min(b.place[1] for b in left)
    at, ordered = (low_x, low_y), []
    while left:
        origin = at
        step = min(left, key=lambda b: (round(math.dist(b.place, origin), 6), b.devices[0].id))
        left.remove(step)
        ordered.append(step)
        at = step.place
    return ordered


def spread(level_blocks: Sequence[Block], circuits: int, most: int) -> list[list[Block]] | None:
    """Blocks in tour order cut into `circuits` stretches, the largest as small as can be; None if one exceeds `most`.

    Exact, by dynamic programming over the cuts; among equals the one with the smallest sum of squares.
    """
    sizes = [counts(b.devices) for b in level_blocks]
    n = len(sizes)
    if circuits > n:
        return None
    never = (10**9, 10**9, 0)
    best: list[list[tuple[int, int, int]]] = [[(0, 0, 0)] + [never] * n]
    for _ in range(circuits):
        row = [never]
        for end in range(1, n + 1):
            found, load = never, 0
            for cut in range(end - 1, -1, -1):
                load += sizes[cut]
                if load > most:
                    break  # longer stretches only grow
                before = best[-1][cut]
                found = min(found, (max(before[0], load), before[1] + load * load, cut))
            row.append(found)
        best.append(row)
    if best[circuits][n][0] > most:
        return None
    groups, end = [], n
    for k in range(circuits, 0, -1):
        cut = best[k][end][2]
        groups.append(list(level_blocks[cut:end]))
        end = cut
    return groups[::-1]


def general_groups(devices: Sequence[DeviceSpot], rooms: dict[str, Room], most: int, least: int) -> list[list[Block]]:
    """General outlets by circuit: at most `most` outlets each, at least `least` circuits if outlets suffice.

    Levels are kept apart; where more circuits are needed they go to the level with most outlets on each.
    """
    made = blocks(devices, rooms, most)
    levels = sorted({b.level for b in made})
    tours = {level: tour([b for b in made if b.level == level]) for level in levels}
    split = {level: _fewest(tours[level], most) for level in levels}
    while sum(len(s) for s in split.values()) < least:
        growing = sorted(levels, key=lambda lv: (-_outlets(tours[lv]) / len(split[lv]), lv))
        for level in growing:
            more = spread(tours[level], len(split[level]) + 1, most)
            if more is None:
                finer = _halved(tours[level])
                more = spread(finer, len(split[level]) + 1, most)
                if more is None:
                    continue
                tours[level] = finer
            split[level] = more
            break
        else:
            break
    return [group for level in levels for group in split[level]]


def _outlets(made: Sequence[Block]) -> int:
    return sum(counts(b.devices) for b in made)


def _fewest(ordered: list[Block], most: int) -> list[list[Block]]:
    start = max(1, rules.circuits_by_outlets(_outlets(ordered), most))
    for circuits in range(start, len(ordered) + 1):
        found = spread(ordered, circuits, most)
        if found is not None:
            return found
    return [[b] for b in ordered]


def _halved(ordered: list[Block]) -> list[Block]:
    """The same tour with its largest block cut in two, where it has two outlets or more."""
    sizes = [counts(b.devices) for b in ordered]
    largest = sizes.index(max(sizes))
    block = ordered[largest]
    if sizes[largest] < 2:
        return ordered
    halves = [Block(block.level, _middle(p), block.name, tuple(p)) for p in even_parts(block.devices, 2)]
    return [*ordered[:largest], *halves, *ordered[largest + 1 :]]
