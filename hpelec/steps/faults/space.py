"""Working space and place of each panel, as far as the plan of its room tells."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from hpelec.core.citing import cite
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.tables import table
from hpelec.core.working import Line, line
from hpelec.house.geometry import Edge, edge_of, fixed_at_walls, outline, south_west
from hpelec.house.model import House
from hpelec.house.rows import Panel, Room
from hpelec.steps.faults import rules_space as rules
from hpelec.steps.faults.doors import door_findings
from hpelec.steps.faults.model import WorkingSpace

STANDING = ("washer", "dryer", "refrigerator", "freezer", "air_handler", "furnace", "storage", "range")
"""Kinds of appliance that stand on the floor."""
TANKS = ("storage", "heat_pump_storage")
CONDITION = 1
"""Of the working space; up to 150 V to ground the depth is the same for all three."""
TO_GROUND_V = 120.0


@dataclass(frozen=True, slots=True)
class Places:
    """Spaces, working, findings and what was taken."""

    spaces: tuple[WorkingSpace, ...]
    working: tuple[Line, ...]
    findings: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]


def places(house: House, edition: int) -> Places:
    """Every panel by id."""
    rooms = {r.id: r for r in house.rooms}
    wide_in, high_in = (table("air/taken_sizes").one(item=f"panel_{s}_in").number("value") for s in ("width", "height"))
    spaces: list[WorkingSpace] = []
    working: list[Line] = []
    findings: list[Finding] = []
    for panel in sorted(house.panels, key=lambda p: p.id):
        room = rooms[panel.room]
        space = _space(house, panel, room, wide_in)
        spaces.append(space)
        working += [
            line(f"{panel.id}: working depth", "120 V to ground", space.depth_ft, "ft", rules.depth_ft, edition),
            line(
                f"{panel.id}: working width",
                f"larger of 30 and {wide_in:g} in",
                space.width_ft,
                "ft",
                rules.width_ft,
                edition,
            ),
        ]
        findings += [
            _room_finding(panel, room, edition),
            _handle_finding(panel, edition),
            _space_finding(space, edition),
            _height_finding(house, panel, space, edition),
        ]
    findings += door_findings(house, spaces, wide_in)
    told = Assumption(
        "faults, working space",
        f"panels {wide_in:g} in wide and {high_in:g} in high; only what fixed.csv places in the room is in the way",
        "no size is given; keep doors, storage and later equipment out of the space too",
    )
    return Places(tuple(spaces), tuple(working), tuple(findings), (told,) if spaces else ())


def _local(edge: Edge, points: Iterable[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Points as (along the edge from its start, away from it into the room)."""
    ux, uy = (edge.x1 - edge.x0) / edge.length_ft, (edge.y1 - edge.y0) / edge.length_ft
    nx, ny = edge.inward()
    shifted = [(x - edge.x0, y - edge.y0) for x, y in points]
    return tuple((x * ux + y * uy, x * nx + y * ny) for x, y in shifted)


def obstacles(house: House, room: Room) -> dict[str, Polygon]:
    """Shape on the plan of every fixed item of a room."""
    shapes: dict[str, Polygon] = {}
    for spot in fixed_at_walls(house, room):
        (ax, ay), (bx, by) = spot.edge.at(spot.start_ft), spot.edge.at(spot.end_ft)
        nx, ny = spot.edge.inward()
        deep = spot.item.depth_ft
        corners = [(ax, ay), (bx, by), (bx + deep * nx, by + deep * ny), (ax + deep * nx, ay + deep * ny)]
        shapes[spot.item.id] = Polygon(corners)
    x, y = south_west(room)
    for item in house.fixed:
        if item.room == room.id and not item.side:
            west, south = x + item.offset_ft, y + item.y_offset_ft
            shapes[item.id] = box(west, south, west + item.width_ft, south + item.depth_ft)
    return shapes


def _space(house: House, panel: Panel, room: Room, wide_in: float) -> WorkingSpace:
    edge = edge_of(room, panel.side)
    if edge is None:
        raise ValueError(f"panel {panel.id}: room {room.id} has no wall {panel.side!r}")
    depth, width = rules.depth_ft(TO_GROUND_V, CONDITION), rules.width_ft(wide_in)
    centre, half = edge.along(panel.offset_ft), wide_in / 24
    # A panel drawn nearer to a corner than half its width stands at the corner.
    centre = min(max(centre, half), max(edge.length_ft - half, half))
    equipment = (centre - half, centre + half)
    strip = box(equipment[1] - width, 1e-6, equipment[0] + width, depth - 1e-6)
    outside = strip.difference(Polygon(_local(edge, outline(room))))
    shapes = {
        name: Polygon(_local(edge, tuple((x, y) for x, y, *_ in s.exterior.coords)))
        for name, s in obstacles(house, room).items()
    }
    near = {name: s.intersection(strip) for name, s in shapes.items() if s.intersection(strip).area > 1e-6}
    blocked = unary_union([outside, *near.values()])
    parts = [p for p in getattr(blocked, "geoms", [blocked]) if p.area > 1e-6]
    taken = tuple((p.bounds[0], p.bounds[2]) for p in parts)
    reach = (equipment[1] - width, equipment[0] + width)
    start = rules.slide(equipment, width, reach, taken)
    level = next((lv for lv in house.levels if lv.id == room.level), None)
    return WorkingSpace(
        panel=panel.id,
        room=room.id,
        depth_ft=depth,
        width_ft=width,
        height_ft=rules.height_ft(panel.height_in / 12),
        start_ft=None if start is None else min(edge.offset(start), edge.offset(start + width)),
        ceiling_ft=level.ceiling_height_ft if level is not None else 8.0,
        in_the_way=tuple(sorted(near)),
        unplaced=_unplaced(house, room),
    )


def _unplaced(house: House, room: Room) -> tuple[str, ...]:
    """Floor-standing appliances and heaters of the room beyond the things that fixed.csv places for them."""
    things = [a.id for a in house.appliances if a.room == room.id and a.kind in STANDING and a.status != "removed"]
    things += [h.id for h in house.heaters if h.room == room.id and h.kind in TANKS and h.status != "removed"]
    stands = ("stationary_appliance", "refrigerator", "range")
    placed = sum(i.room == room.id and i.kind in stands for i in house.fixed)
    return tuple(sorted(things)) if len(things) > placed else ()


def _room_finding(panel: Panel, room: Room, edition: int) -> Finding:
    allowed = rules.room_allows(room.kind)
    verdict = Verdict.CANNOT_SAY if allowed is None else Verdict.MEETS if allowed else Verdict.MISSES
    fix = "move it" if allowed is False else "confirm that it does not stand over the steps, or move it"
    return Finding(
        "panel-room",
        "faults",
        panel.id,
        "no panel in a bathroom or clothes closet, or over the steps of a stair",
        f"{room.name or room.id} ({room.kind.replace('_', ' ')})",
        "another room",
        fix,
        verdict,
        cite(rules.room_allows, edition),
    )


def _handle_finding(panel: Panel, edition: int) -> Finding:
    meets = rules.handle_in_reach(panel.height_in)
    return Finding(
        "panel-handle",
        "faults",
        panel.id,
        "the highest breaker handle is in reach",
        f"{panel.height_in:.1f} in",
        f"<= {rules.HIGHEST_HANDLE_in:g} in",
        "hang the panel lower",
        Verdict.MEETS if meets else Verdict.MISSES,
        cite(rules.handle_in_reach, edition),
    )


def _space_finding(space: WorkingSpace, edition: int) -> Finding:
    got = "free on the plan"
    fix = "keep it free; it is no place for storage"
    verdict = Verdict.MEETS
    if space.start_ft is None:
        verdict = Verdict.MISSES
        got = f"not free: {', '.join(space.in_the_way) or 'the room is too small there'}"
        fix = "move the panel or what is in the way"
    elif space.unplaced:
        verdict = Verdict.CANNOT_SAY
        got = f"free on the plan, but these have no place on it: {', '.join(space.unplaced)}"
        fix = "place them in fixed.csv (kind stationary_appliance), clear of the panel"
    return Finding(
        "working-space",
        "faults",
        space.panel,
        "a free space stands in front of the panel, as deep and as wide as the code wants",
        got,
        f"{space.depth_ft:g} ft deep, {space.width_ft * 12:g} in wide",
        fix,
        verdict,
        cite(rules.slide, edition),
    )


def _height_finding(house: House, panel: Panel, space: WorkingSpace, edition: int) -> Finding:
    enough = space.ceiling_ft >= space.height_ft
    spared = not enough and rules.low_ceiling_allowed(house.general.project == "existing", panel.rating_A)
    by = rules.low_ceiling_allowed if spared else rules.height_ft
    got = f"ceiling {space.ceiling_ft:.2f} ft" + (", allowed in an existing dwelling up to 200 A" if spared else "")
    return Finding(
        "working-height",
        "faults",
        panel.id,
        "the space in front of the panel is high enough",
        got,
        f">= {space.height_ft:g} ft",
        "a place with a higher ceiling",
        Verdict.MEETS if enough or spared else Verdict.MISSES,
        cite(by, edition),
    )
