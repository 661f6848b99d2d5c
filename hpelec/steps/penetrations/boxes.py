"""Holes that boxes, luminaires and panels make: which of them reach the air barrier."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from hpelec.common.cable_sizes import cable_size
from hpelec.house.geometry import edge_of, is_envelope_ceiling, level_of, part_at, south_west, wall_parts
from hpelec.house.model import House
from hpelec.house.rows import Light, Panel, Room
from hpelec.steps.circuits.model import Circuit
from hpelec.steps.devices.model import DeviceSpot
from hpelec.steps.penetrations import rules
from hpelec.steps.penetrations.barrier import Barrier, cable_layer
from hpelec.steps.penetrations.cable_holes import drilled, with_method
from hpelec.steps.penetrations.model import Hole
from hpelec.steps.penetrations.taken import taken
from hpelec.steps.routes.model import Crossing, Leg


@dataclass(frozen=True, slots=True)
class Spot:
    """A box, luminaire or panel that may reach the air barrier."""

    id: str
    kind: str
    surface: str
    room: str
    level: str
    x_ft: float
    y_ft: float
    z_ft: float
    outside_depth_in: float
    perimeter_in: float
    row_count: float
    tested: bool
    what: str
    side: str = ""


def floors(house: House) -> dict[str, float]:
    """Height of the floor of each level [ft]."""
    return {lv.id: lv.floor_ft for lv in house.levels}


def device_spots(house: House, devices: Iterable[DeviceSpot]) -> list[Spot]:
    """Boxes of the devices that stand in a surface of the envelope."""
    lights = {light.id: light for light in house.lights}
    floor_ft = floors(house)
    made = []
    for d in devices:
        if d.surface in ("", "outside"):
            continue
        light = lights.get(d.serves)
        if light is not None and light.kind == "recessed":
            made.append(_recessed(d.id, light, d.room, d.level, (d.x_ft, d.y_ft), floor_ft[d.level] + d.height_in / 12))
            continue
        flat = d.surface in ("ceiling", "floor")
        made.append(
            Spot(
                d.id,
                "ceiling" if flat else "data" if d.kind == "data" else "box",
                d.surface,
                d.room,
                d.level,
                d.x_ft,
                d.y_ft,
                floor_ft[d.level] + d.height_in / 12,
                rules.box_outside_depth_in(d.box_depth_in or taken("unlisted_box_depth_in")),
                math.pi * taken("ceiling_box_in") if flat else rules.box_perimeter_in(d.gangs),
                1.0 if flat else float(d.gangs),
                light is not None and light.airtight_rated,
                d.box,
                d.side,
            )
        )
    return made


def _recessed(name: str, light: Light, room: str, level: str, at: tuple[float, float], z_ft: float) -> Spot:
    perimeter_in = math.pi * taken("recessed_depth_in")
    return Spot(
        name,
        "recessed",
        "ceiling",
        room,
        level,
        *at,
        z_ft,
        taken("recessed_depth_in"),
        perimeter_in,
        1.0,
        light.airtight_rated,
        "recessed luminaire",
    )


def light_spots(house: House, devices: Iterable[DeviceSpot]) -> list[Spot]:
    """Lights in envelope ceilings that no device serves."""
    served = {d.serves for d in devices}
    rooms = {r.id: r for r in house.rooms}
    made = []
    for light in house.lights:
        room = rooms[light.room]
        level = level_of(house, room)
        if light.id in served or light.kind in ("wall", "outdoor_wall") or not room.inside_air_barrier:
            continue
        if not is_envelope_ceiling(house, level):
            continue
        x0, y0 = south_west(room)
        at = (x0 + light.x_offset_ft, y0 + light.y_offset_ft)
        z_ft = level.floor_ft + level.ceiling_height_ft
        if light.kind == "recessed":
            made.append(_recessed(light.id, light, room.id, level.id, at, z_ft))
        else:
            depth_in = rules.box_outside_depth_in(taken("ceiling_box_depth_in"))
            made.append(
                Spot(
                    light.id,
                    "ceiling",
                    "ceiling",
                    room.id,
                    level.id,
                    *at,
                    z_ft,
                    depth_in,
                    math.pi * taken("ceiling_box_in"),
                    1.0,
                    light.airtight_rated,
                    f"{light.kind} light",
                )
            )
    return made


def panel_spot(house: House, panel: Panel) -> Spot | None:
    """The panel as a box in its wall, or None when that wall is no envelope."""
    room, at, z_ft = panel_place(house, panel)
    edge = edge_of(room, panel.side)
    if edge is None:
        return None
    surface = part_at(house, room, panel.side, edge.along(panel.offset_ft)).surface
    if surface not in ("wall", "garage_wall"):
        return None
    perimeter_in = 2 * (taken("panel_width_in") + taken("panel_height_in"))
    ratio = perimeter_in / rules.box_perimeter_in(1)
    return Spot(
        panel.id,
        "panel",
        surface,
        room.id,
        room.level,
        *at,
        z_ft,
        taken("panel_depth_in"),
        perimeter_in,
        ratio,
        False,
        f"panel {panel.name}",
        panel.side,
    )


def panel_place(house: House, panel: Panel) -> tuple[Room, tuple[float, float], float]:
    """Room, place on the plan and height of a panel."""
    room = next(r for r in house.rooms if r.id == panel.room)
    edge = edge_of(room, panel.side)
    at = edge.at(edge.along(panel.offset_ft)) if edge is not None else south_west(room)
    return room, at, floors(house)[room.level] + panel.height_in / 12


def margin_in(spot: Spot, barrier: Barrier) -> float:
    """Room between the box and the barrier; a barrier that is the finish itself is always cut."""
    if barrier.inner_layers == 0:
        return -spot.outside_depth_in
    return rules.box_margin_in(barrier.distance_in, spot.outside_depth_in)


def box_kind(spot: Spot, barrier: Barrier) -> str:
    """Kind of the sealing catalogue."""
    if spot.kind in ("recessed", "panel", "data"):
        return {"recessed": "recessed", "panel": "panel_wall", "data": "lv"}[spot.kind]
    if spot.surface == "ceiling" and barrier.family in ("gypsum", "sheathing"):
        return "surface_light"
    return "box_wall" if barrier.family == "gypsum" else "box_membrane"


def box_hole(spot: Spot, barrier: Barrier, entries: int, circuits: Sequence[str]) -> Hole:
    """The hole of a box that cuts the barrier."""
    made = Hole(
        id=f"{spot.surface}:{spot.id}",
        kind=box_kind(spot, barrier),
        surface=spot.surface,
        assembly=barrier.assembly,
        layer=barrier.layer,
        layer_family=barrier.family,
        room=spot.room,
        level=spot.level,
        x_ft=spot.x_ft,
        y_ft=spot.y_ft,
        z_ft=spot.z_ft,
        passes=(spot.what,),
        circuits=tuple(sorted(set(circuits))),
        diameter_in=spot.perimeter_in / math.pi,
        gap_mm=taken("box_gap_in") * rules.MM_PER_IN,
        free_area_mm2=spot.perimeter_in * taken("box_gap_in") * rules.MM_PER_IN**2,
        depth_mm=barrier.thickness_in * rules.MM_PER_IN,
        row_count=spot.row_count,
        cable_entries=entries,
        tested_box=spot.tested,
        made_at="rough-in",
        reach_until=barrier.reach_until(),
    )
    return with_method(made, barrier.words)


def entries_of(device: str, legs: Iterable[Leg]) -> list[Leg]:
    """The cables that enter a device's box."""
    return [leg for leg in legs if device in (leg.start, leg.end)]


def wall_behind(
    house: House, level: str, at: tuple[float, float]
) -> tuple[Room, str, float, tuple[float, float]] | None:
    """The envelope wall nearest to a place: room, surface, distance [ft], point; None when the level has none."""
    found: list[tuple[float, str, Room, str, tuple[float, float]]] = []
    for room in house.rooms:
        if room.level != level or not room.inside_air_barrier:
            continue
        for part in wall_parts(house, room):
            if part.surface == "wall":
                a, b = part.edge.at(part.start_ft), part.edge.at(part.end_ft)
                point = _nearest(at, a, b)
                found.append((math.dist(at, point), room.id, room, part.surface, point))
    if not found:
        return None
    distance_ft, _, room, surface, point = min(found, key=lambda f: f[:2])
    return room, surface, distance_ft, point


def _nearest(p: tuple[float, float], a: tuple[float, float], b: tuple[float, float]) -> tuple[float, float]:
    """Point of the wall from a to b that is nearest to p."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    along = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy)
    along = min(1.0, max(0.0, along))
    return (a[0] + along * dx, a[1] + along * dy)


def outside_holes(
    together: Sequence[DeviceSpot],
    room: Room,
    barrier: Barrier,
    circuits: dict[str, Circuit],
    crossings: Sequence[Crossing],
    z_ft: float,
) -> list[Hole]:
    """The hole behind a box outdoors: the crossings of its own cables are this hole, not further ones.

    Through sheathing it is one hole; a layer that no bundle can be sealed in takes a hole for each cable. None for a
    box that no cable reaches. together: the device behind whose box the hole is, then those that share the hole.
    """
    device = together[0]
    names = {d.id for d in together}
    feeding = sorted(c.id for c in circuits.values() if names & set(c.outlets))
    pairs = [(c.cable, c.circuit) for c in crossings] or [(circuits[c].cable, c) for c in feeding]
    if not pairs:
        return []
    layer = cable_layer(barrier)
    kind = "box_outside" if barrier.family == "sheathing" else layer.kind
    made = []
    for group in [pairs] if layer.bundles else [[pair] for pair in pairs]:
        size = drilled([cable_size(cable) for cable, _ in group])
        hole = Hole(
            id=f"outside:{device.id}",
            kind=kind,
            surface=barrier.surface,
            assembly=barrier.assembly,
            layer=barrier.layer,
            layer_family=layer.words[0] if layer.words else "",
            room=room.id,
            level=device.level,
            x_ft=device.x_ft,
            y_ft=device.y_ft,
            z_ft=z_ft,
            passes=(*(cable for cable, _ in group), _to_boxes(together)),
            circuits=tuple(sorted({circuit for _, circuit in group})),
            diameter_in=size.diameter_in,
            gap_mm=size.gap_mm,
            free_area_mm2=size.free_area_mm2,
            depth_mm=layer.depth_mm,
            made_at="rough-in",
            reach_until=layer.reach_until,
        )
        made.append(with_method(hole, layer.words, cables=len(group)))
    return made


def _to_boxes(together: Sequence[DeviceSpot]) -> str:
    kinds = " and ".join(d.kind.replace("_", " ") for d in together)
    return f"to {'a box' if len(together) == 1 else 'boxes'} outdoors ({kinds})"
