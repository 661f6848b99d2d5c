"""Stops: boxes, panels and helping places as the routes see them, each with the media that its cable can reach."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from functools import lru_cache
from typing import cast

from hpelec.house.geometry import Point, edge_of, outline
from hpelec.house.model import House
from hpelec.house.rows import FixedItem, Opening, Panel, Room, WallBuild
from hpelec.house.sections import Assembly, Level, Routing, Space
from hpelec.steps.devices.model import DeviceSpot
from hpelec.steps.routes.media import Plane, plane_above, plane_below
from hpelec.steps.routes.walls import Place, Walls, build_walls

OFF_WALL_FT = 0.75
"""A box farther than this from every wall of its room stands free: on an island, or in the floor."""
ALL_SURFACES = ("", "wall", "garage_wall", "outside")


@dataclass(frozen=True, slots=True)
class Stop:
    """A place where a cable begins, ends, or may change its medium.

    device: id of the box or panel it belongs to. inside: state of the cavity in which the cable arrives.
    plate: a link up or down bores a plate. free: it has a single way of its own (ceiling and floor boxes).
    twin: the stop on the other face of the wall, and the surface crossed to it.
    """

    id: str
    device: str
    level: str
    room: str
    at: Point
    z_ft: float
    height_in: float
    inside: bool
    insulated: bool
    plate: bool
    place: Place | None
    below: Plane | None
    above: Plane | None
    free: bool = False
    helper: bool = False
    twin: str = ""
    twin_surface: str = ""
    twin_crosses: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """The parts of a house that routes are drawn on; it stands in for the house in the plan geometry."""

    levels: tuple[Level, ...]
    spaces: tuple[Space, ...]
    rooms: tuple[Room, ...]
    openings: tuple[Opening, ...]
    fixed: tuple[FixedItem, ...]
    assemblies: tuple[Assembly, ...]
    wall_builds: tuple[WallBuild, ...]
    routing: Routing


def site_of(house: House) -> Site:
    """The site of a house; the same object again for a house with the same ground."""
    return _site(Ground(**{part.name: getattr(house, part.name) for part in fields(Ground)}))


@lru_cache(maxsize=8)
def _site(ground: Ground) -> Site:
    return Site(cast(House, ground))


class Site:
    """The house as the stops need it: levels, rooms, walls and planes, each worked out once."""

    def __init__(self, house: House) -> None:
        self.house = house
        self.levels: Mapping[str, Level] = {lv.id: lv for lv in house.levels}
        self.rooms: Mapping[str, Room] = {r.id: r for r in house.rooms}
        self._walls: dict[str, Walls] = {}
        self._planes: dict[tuple[str, str], tuple[Plane | None, Plane | None]] = {}

    def walls(self, level: str) -> Walls:
        """The wall lines of a level."""
        if level not in self._walls:
            self._walls[level] = build_walls(self.house, self.levels[level])
        return self._walls[level]

    def planes(self, level: str, room: str) -> tuple[Plane | None, Plane | None]:
        """The planes below and above a room."""
        key = (level, room)
        if key not in self._planes:
            lv, found = self.levels[level], self.rooms.get(room)
            self._planes[key] = (plane_below(self.house, lv, found), plane_above(self.house, lv, found))
        return self._planes[key]

    def insulated(self, level: str, place: Place) -> bool:
        """Whether the cavity at a place of a wall is insulated."""
        return self.walls(level).segments[place.segment].cavity(place.inside).insulated


def stops_of_device(site: Site, device: DeviceSpot) -> list[Stop]:
    """The stop of a device, and its helper on the inner face of the wall where it has one."""
    level = site.levels[device.level]
    z_ft = level.floor_ft + device.height_in / 12
    at = (device.x_ft, device.y_ft)
    if device.kind == "outdoor_receptacle" or device.surface == "outside" or device.room == "":
        return _outdoors(site, device.id, device.level, at, z_ft, device.height_in)
    if not device.side:
        below, above = site.planes(device.level, device.room)
        room_inside = site.rooms[device.room].inside_air_barrier
        ceiling = device.height_in >= level.ceiling_height_ft * 12 - 6
        plane = above if ceiling else below
        # A box that stands in the barrier is itself the hole: its cable arrives on the far side.
        in_barrier = plane is not None and device.surface == plane.surface
        inside = plane.inside if plane is not None and in_barrier else room_inside
        near = site.walls(device.level).nearest(at, ALL_SURFACES, device.room)
        if ceiling or device.kind == "floor_receptacle" or near is None or near[1] > OFF_WALL_FT:
            return [
                Stop(
                    device.id, device.id, device.level, device.room, at, z_ft, device.height_in, inside, False, False,
                    None, None if ceiling else below, above if ceiling else None, free=True,
                )
            ]  # fmt: skip
    return _at_wall(site, device.id, device.level, device.room, at, z_ft, device.height_in)


def stops_of_panel(site: Site, panel: Panel) -> list[Stop]:
    """The stop of a panel, with its helper where it stands in a room outside the air barrier."""
    room = site.rooms[panel.room]
    edge = edge_of(room, panel.side)
    corners = outline(room)
    at = edge.at(edge.along(panel.offset_ft)) if edge is not None else corners[0]
    z_ft = site.levels[room.level].floor_ft + panel.height_in / 12
    return _at_wall(site, panel.id, room.level, room.id, at, z_ft, panel.height_in)


def _lane_room(site: Site, level: str, place: Place, room: str) -> str:
    """The room below and above which a cavity of a wall lies."""
    segment = site.walls(level).segments[place.segment]
    if place.inside:
        inner = [r for r in segment.rooms if site.rooms[r].inside_air_barrier]
        return room if room in inner or not inner else inner[0]
    return room


def _wall_stop(
    site: Site, id: str, device: str, level: str, room: str, at: Point, z_ft: float, height_in: float, place: Place
) -> Stop:
    lane = _lane_room(site, level, place, room)
    below, above = site.planes(level, lane)
    return Stop(
        id, device, level, lane, at, z_ft, height_in, place.inside, site.insulated(level, place), True, place, below,
        above, helper=id != device,
    )  # fmt: skip


def _at_wall(site: Site, id: str, level: str, room: str, at: Point, z_ft: float, height_in: float) -> list[Stop]:
    near = site.walls(level).nearest(at, ALL_SURFACES, room)
    if near is None:
        return []
    place, _, point = near
    segment = site.walls(level).segments[place.segment]
    if site.rooms[room].inside_air_barrier or segment.inner.inside == segment.outer.inside:
        return [_wall_stop(site, id, id, level, room, point, z_ft, height_in, place)]
    outer = Place(place.segment, place.along_ft, segment.outer.inside)
    stop = _wall_stop(site, id, id, level, room, point, z_ft, height_in, outer)
    twin = _wall_stop(site, f"{id}|in", id, level, room, point, z_ft, height_in, place)
    return _joined(stop, twin, "garage_wall", crosses=True)


def _outdoors(site: Site, id: str, level: str, at: Point, z_ft: float, height_in: float) -> list[Stop]:
    near = site.walls(level).nearest(at, ("wall", "garage_wall", "outside"), "")
    if near is None:
        return []
    place, _, point = near
    segment = site.walls(level).segments[place.segment]
    inner = [r for r in segment.rooms if site.rooms[r].inside_air_barrier] or list(segment.rooms)
    twin = _wall_stop(site, f"{id}|in", id, level, inner[0], point, z_ft, height_in, place)
    stop = Stop(id, id, level, inner[0], at, z_ft, height_in, False, False, False, None, None, None, free=True)
    surface = "garage_wall" if segment.surface == "garage_wall" else "wall"
    return _joined(stop, twin, surface, crosses=twin.inside)


def _joined(stop: Stop, twin: Stop, surface: str, *, crosses: bool) -> list[Stop]:
    values = {name: getattr(stop, name) for name in stop.__dataclass_fields__}
    values |= {"twin": twin.id, "twin_surface": surface, "twin_crosses": crosses}
    return [Stop(**values), twin]


def gates(site: Site, room: Room, beside: Sequence[Point]) -> list[Stop]:
    """Helping stops where a cable passes from a room outside the air barrier into the house, high in the shared wall.

    beside: points of interest; at the place of the shared wall nearest to each there is a pair, one stop on each face.
    """
    walls, level = site.walls(room.level), site.levels[room.level]
    height_in = level.ceiling_height_ft * 12 - 6
    z_ft = level.floor_ft + height_in / 12
    below, above = site.planes(room.level, room.id)
    made: dict[str, Stop] = {}
    for number, point in enumerate(beside):
        near = walls.nearest(point, ("garage_wall",), room.id)
        if near is None:
            continue
        place, _, at = near
        name = f"gate {number} of {room.id}"
        inner = _wall_stop(site, f"{name}|in", name, room.level, room.id, at, z_ft, height_in, place)
        outer = Stop(
            name, name, room.level, room.id, at, z_ft, height_in, False, False, False, None, below, above, helper=True
        )
        made |= {s.id: s for s in _joined(outer, inner, "garage_wall", crosses=inner.inside)}
    return list(made.values())


def chase(site: Site, level: str, at: Point) -> list[Stop]:
    """A helping stop in the inside wall of a level nearest to a point, to pass from the plane below to that above."""
    below, above = site.planes(level, "")
    near = site.walls(level).nearest(at, ("",), "")
    if below is None or above is None or near is None:
        return []
    lv = site.levels[level]
    height_in = lv.ceiling_height_ft * 6
    room = site.walls(level).segments[near[0].segment].rooms[0]
    name = f"chase of {level}"
    return [
        Stop(
            name, name, level, room, near[2], lv.floor_ft + height_in / 12, height_in, True, False, True, None, below,
            above, helper=True,
        )
    ]  # fmt: skip
