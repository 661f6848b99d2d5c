"""What a cable can run in: the cavities of walls and the planes below floors and above ceilings.

Each has a state, inside or outside the air barrier, taken from the layers of its assembly; a change of state is a
crossing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hpelec.house.assemblies import assembly_of
from hpelec.house.geometry import outline, space_at
from hpelec.house.model import House
from hpelec.house.rows import Room
from hpelec.house.sections import Assembly, Layer, Level, Space

SLAB_ROOMS = ("garage", "porch")
"""Kinds of room taken to stand on a slab of their own, with nothing below to run in."""


@dataclass(frozen=True, slots=True)
class Cavity:
    """Where cables run in a wall: inside or outside the air barrier, in insulation or not."""

    inside: bool
    insulated: bool


INDOORS = Cavity(True, False)
OUTDOORS = Cavity(False, False)


def barrier_at(layers: Sequence[Layer]) -> int:
    """Number of the air-barrier layer, from inside; past the end where none is marked."""
    return next((i for i, layer in enumerate(layers) if layer.air_barrier), len(layers))


def cavity_of(assembly: Assembly | None, *, from_outside: bool = False) -> Cavity:
    """The cavity in which cables of a wall run: its service cavity, else the first insulated layer met.

    from_outside: as met by a box on the other face (a garage's side of the wall).
    """
    if assembly is None or not assembly.layers:
        return INDOORS
    numbers = list(range(len(assembly.layers)))
    seen = numbers[::-1] if from_outside else numbers
    barrier = barrier_at(assembly.layers)
    wanted = [i for i in seen if assembly.layers[i].service_cavity and (from_outside == (i > barrier))]
    wanted += [i for i in seen if assembly.layers[i].insulation]
    run = wanted[0] if wanted else seen[0]
    return Cavity(run <= barrier, assembly.layers[run].insulation)


@dataclass(frozen=True, slots=True)
class Plane:
    """A horizontal plane that cables can run in, as one level sees it.

    key: planes of two levels with one key are one place. way: how a leg in it is called. z_ft: height of the run.
    across: "joists" where moving across joists bores them, "battens" where moving along joists bores battens, else "".
    depth_in: height of the insulation that a vertical link passes; insulated: the run itself lies in it.
    """

    key: str
    way: str
    surface: str
    z_ft: float
    inside: bool
    across: str
    depth_in: float
    insulated: bool


def _insulation_in(layers: Sequence[Layer], run_in: float) -> tuple[float, bool]:
    """Inches of insulation that a link of `run_in` passes, and whether its end lies in insulation."""
    at, passed, within = 0.0, 0.0, False
    for layer in layers:
        if layer.insulation:
            passed += max(0.0, min(run_in, at + layer.thickness_in) - at)
            within = within or at <= run_in < at + layer.thickness_in
        at += layer.thickness_in
    return passed, within


def _in_space(house: House, space: Space, level: Level, surface: str) -> Plane:
    below = surface == "floor"
    routing = house.routing
    run_in = routing.run_below_floor_in if below else routing.run_above_ceiling_in
    z_ft = level.floor_ft - run_in / 12 if below else level.floor_ft + level.ceiling_height_ft + run_in / 12
    inside, depth_in, insulated = space.inside_air_barrier, 0.0, False
    assembly = assembly_of(house.assemblies, (), surface)
    if not inside and assembly is not None:
        depth_in, insulated = _insulation_in(assembly.layers, run_in)
        barrier = barrier_at(assembly.layers)
        inside = barrier < len(assembly.layers) and run_in < sum(x.thickness_in for x in assembly.layers[:barrier])
    across = "" if space.kind == "attic" else "joists"
    way = "below_floor" if below else "above_ceiling"
    return Plane(space.id, way, surface, z_ft, inside, across, depth_in, insulated)


def _in_ceiling_cavity(house: House, level: Level) -> Plane | None:
    """The service cavity of an envelope ceiling, where its assembly has one inside the air barrier."""
    assembly = assembly_of(house.assemblies, (), "ceiling")
    if assembly is None:
        return None
    barrier, at_in = barrier_at(assembly.layers), 0.0
    for i, layer in enumerate(assembly.layers):
        if layer.service_cavity and i < barrier:
            z_ft = level.floor_ft + level.ceiling_height_ft + (at_in + layer.thickness_in / 2) / 12
            key = f"ceiling of {level.id}"
            return Plane(key, "above_ceiling", "ceiling", z_ft, True, "battens", 0.0, layer.insulation)
        at_in += layer.thickness_in
    return None


def neighbour(house: House, level: Level, up: bool) -> Level | None:
    """The next level above or below by floor height."""
    others = [lv for lv in house.levels if (lv.floor_ft > level.floor_ft) == up and lv.floor_ft != level.floor_ft]
    return min(others, key=lambda lv: (abs(lv.floor_ft - level.floor_ft), lv.id), default=None)


def _between(house: House, level: Level, up: bool) -> Plane | None:
    other = neighbour(house, level, up)
    if other is None:
        return None
    low, high = (level, other) if up else (other, level)
    z_ft = (low.floor_ft + low.ceiling_height_ft + high.floor_ft) / 2
    way = "above_ceiling" if up else "below_floor"
    return Plane(f"floor of {high.id}", way, "ceiling" if up else "floor", z_ft, True, "joists", 0.0, False)


def plane_below(house: House, level: Level, room: Room | None) -> Plane | None:
    """What lies below a place on this level to run in; None over a slab or where cables may not run."""
    if room is not None and room.kind in SLAB_ROOMS:
        return None
    if level.below == "level":
        return _between(house, level, up=False)
    space = space_at(house, level.below)
    return _in_space(house, space, level, "floor") if space is not None and space.cables_allowed else None


def plane_above(house: House, level: Level, room: Room | None) -> Plane | None:
    """What lies above a place on this level to run in; None under a roof without a space."""
    if level.above == "level":
        if room is not None and not room.inside_air_barrier and not covered(house, level, room):
            z_ft = level.floor_ft + level.ceiling_height_ft + house.routing.run_above_ceiling_in / 12
            return Plane(f"roof of {room.id}", "above_ceiling", "ceiling", z_ft, False, "", 0.0, False)
        return _between(house, level, up=True)
    space = space_at(house, level.above)
    if space is not None and space.inside_air_barrier:
        return _in_space(house, space, level, "ceiling") if space.cables_allowed else None
    if room is None or room.inside_air_barrier:
        cavity = _in_ceiling_cavity(house, level)
        if cavity is not None:
            return cavity
    return _in_space(house, space, level, "ceiling") if space is not None and space.cables_allowed else None


def covered(house: House, level: Level, room: Room) -> bool:
    """Whether a room of the level above lies over this one (by their bounding boxes)."""
    upper = neighbour(house, level, up=True)
    xs, ys = zip(*outline(room), strict=True)
    for other in house.rooms:
        if upper is None or other.level != upper.id:
            continue
        ox, oy = zip(*outline(other), strict=True)
        if min(max(xs), max(ox)) - max(min(xs), min(ox)) > 0.1 and min(max(ys), max(oy)) - max(min(ys), min(oy)) > 0.1:
            return True
    return False
