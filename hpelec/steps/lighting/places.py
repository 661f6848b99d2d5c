"""Luminaires and fans where a rule of their own applies: closets, tubs and showers, outdoors, openings, the barrier."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import shapely

from hpelec.core.citing import Citation
from hpelec.core.findings import Finding, Verdict
from hpelec.core.rounding import EPS
from hpelec.house.geometry import Edge, Point, edge_of, edges, openings_of, outline, part_at, south_west
from hpelec.house.rows import FixedItem, Room
from hpelec.steps.devices.model import DevicesResult
from hpelec.steps.lighting import rules_fans, rules_zones
from hpelec.steps.lighting.luminaires import OUTDOOR, Luminaire, Site
from hpelec.steps.lighting.model import PlaceRow

WAYS_IN = ("door", "cased_opening", "sliding_glass")
ENTRANCES = ("door", "sliding_glass")
BY_DOOR_FT = 6.0
"""How near an outlet counts as lighting the outside of a door: our reading, the rule names no distance."""
HIGH_FT = 5.0
"""Doors of a floor higher than this above the zero of the levels are not taken to be at grade."""
BATHS = ("tub", "shower")
MARKS = {"damp": ("damp", "wet"), "wet": ("wet",)}


@dataclass(frozen=True, slots=True)
class Place:
    """One rule at one luminaire: becomes a row of the table and a finding."""

    light: str
    room: str
    place: str
    rule: str
    got: str
    allowed: str
    fix: str
    verdict: Verdict
    citation: Citation

    def row(self) -> PlaceRow:
        """As a row of the result."""
        return PlaceRow(
            light=self.light, room=self.room, place=self.place, got=self.got, allowed=self.allowed,
            verdict=self.verdict.value, citation=self.citation,
        )  # fmt: skip

    def finding(self) -> Finding:
        """As a finding."""
        name = f"place-{self.place.split()[0]}"
        return Finding(
            name, "lighting", self.light, self.rule, self.got, self.allowed, self.fix, self.verdict, self.citation
        )


def corners_of(room: Room, item: FixedItem) -> list[Point]:
    """Corners of a fixed item on the plan."""
    edge = edge_of(room, item.side) if item.side else None
    if edge is None:
        x, y = south_west(room)
        x, y, w, d = x + item.offset_ft, y + item.y_offset_ft, item.width_ft, item.depth_ft
        return [(x, y), (x + w, y), (x + w, y + d), (x, y + d)]
    (ix, iy), depth = edge.inward(), item.depth_ft
    near = [edge.at(edge.along(item.offset_ft)), edge.at(edge.along(item.offset_ft + item.width_ft))]
    return [*near, *((x + ix * depth, y + iy * depth) for x, y in reversed(near))]


def _away_ft(x: float, y: float, shape: shapely.Geometry) -> float:
    return float(shapely.Point(x, y).distance(shape))


def closet_places(site: Site, room: Room) -> Iterable[Place]:
    """Clear distance of each luminaire of a clothes closet to the storage along its side and back walls."""
    if room.kind != "closet" or not site.indoor(room):
        return
    fronts = {c.edge.side for c in openings_of(site.house, room) if c.opening.kind in WAYS_IN}
    stores = [e for e in edges(room) if e.side not in fronts]
    for light in site.indoor(room):
        mounting = light.kind if light.kind in ("recessed", "pendant") else "surface"
        row = rules_zones.closet_row("open" if light.row.lamp == "open" else light.row.lamp, mounting)
        need = row.number_or_none("clearance_in")
        rule = "distance to the storage of a clothes closet"
        if need is None:
            yield Place(light.id, room.id, "closet", rule, f"{light.kind}, {light.row.lamp} lamp", "not permitted",
                        "an enclosed lamp, recessed or on the surface", Verdict.MISSES, row.citation)  # fmt: skip
            continue
        least = min((_storage_in(site, light, edge) for edge in stores), default=math.inf)
        met = least >= need - 1e-6
        verdict = Verdict.MEETS if met else Verdict.MISSES if fronts else Verdict.CANNOT_SAY
        got = f"{least:.1f} in ({light.kind}, {light.row.lamp} lamp)" if least < math.inf else "no storage wall"
        fix = _closet_fix(site, room, fronts, need)
        yield Place(light.id, room.id, "closet", rule, got, f">= {need:g} in", fix, verdict, row.citation)


def _closet_fix(site: Site, room: Room, fronts: set[str], need_in: float) -> str:
    """What would cure a luminaire too near to storage: the strip that is left along the front, or another kind."""
    front = next((e for e in edges(room) if e.side in fronts), None)
    if front is None:
        return "draw the closet's door: without it every wall is taken for storage"
    (ix, iy), shelf = front.inward(), site.settings.closet_shelf_in
    depth_in = max((x - front.x0) * ix + (y - front.y0) * iy for x, y in outline(room)) * 12
    strip = rules_zones.closet_strip_in(depth_in, shelf, need_in)
    if strip > EPS:
        return f"within the strip of {strip:.1f} in along the front, away from side shelves; or a kind that needs less"
    if rules_zones.clear_over_door(depth_in, shelf, need_in):
        return "only flat on the wall over the door; or a kind that needs less"
    return "no place here: a recessed one, or one identified for storage space"


def _storage_in(site: Site, light: Luminaire, edge: Edge) -> float:
    """Distance [in] from the body of a luminaire to the storage along one wall, its upper and its lower part."""
    wall = shapely.LineString([(edge.x0, edge.y0), (edge.x1, edge.y1)])
    level = _away_ft(light.x_ft, light.y_ft, wall) * 12 - light.radius_in
    s = site.settings
    lower = rules_zones.lower_storage()
    top = max(lower[1], s.closet_rod_in)
    above = max(light.height_ft * 12 - top, 0.0)
    upper_in = max(level - rules_zones.upper_storage_in(s.closet_shelf_in), 0.0)
    lower_in = math.hypot(max(level - lower[0], 0.0), above)
    return min(upper_in, lower_in)


def bath_places(site: Site, room: Room) -> Iterable[Place]:
    """Hanging luminaires and fans in the zone of a tub or shower; the marking of luminaires right over one."""
    baths = [(i, shapely.Polygon(corners_of(room, i))) for i in site.fixed[room.id] if i.kind in BATHS]
    for item, shape in baths:
        rim = site.settings.tub_rim_in if item.kind == "tub" else site.settings.shower_threshold_in
        for light in site.indoor(room):
            above = light.height_ft - rim / 12
            away = _away_ft(light.x_ft, light.y_ft, shape) - light.radius_in / 12
            where = f"{max(away, 0.0):.2f} ft beside, {above:.2f} ft above the {item.kind}"
            if light.kind == "pendant":
                yield _hanging(light.id, room.id, where, max(away, 0.0), above)
            elif away <= EPS and above <= rules_zones.place_rule("P-TUB").number("value") + EPS:
                yield _marked(light, room.id, "tub or shower", f"over the {item.kind}", "damp", "P-TUB")
        for fan in site.fans[room.id]:
            x, y = site.fan_at(fan)
            above = site.blades_ft(fan) - rim / 12
            away = max(_away_ft(x, y, shape) - fan.diameter_in / 24, 0.0)
            yield _hanging(fan.id, room.id, f"{away:.2f} ft beside, {above:.2f} ft above the {item.kind}", away, above)


def _hanging(name: str, room: str, where: str, away_ft: float, above_ft: float) -> Place:
    row = rules_zones.outlet_rule("L-41010D-H")
    wide, high = row.number("value"), rules_zones.outlet_rule("L-41010D-V").number("value")
    verdict = Verdict.MISSES if rules_zones.in_bath_zone(away_ft, above_ft) else Verdict.MEETS
    return Place(
        name, room, "tub or shower", "nothing hangs, and no fan turns, in the zone of a tub or shower", where,
        f"> {wide:g} ft beside, or > {high:g} ft above its rim", "a recessed or surface luminaire; a fan elsewhere",
        verdict, row.citation,
    )  # fmt: skip


def _marked(light: Luminaire, room: str, place: str, where: str, asked: str, rule_id: str) -> Place:
    row = rules_zones.place_rule(rule_id)
    known = light.row.rated_for
    verdict = Verdict.CANNOT_SAY if known == "unknown" else Verdict.MEETS if known in MARKS[asked] else Verdict.MISSES
    told = "marking not given" if known == "unknown" else f"marked for {known} places"
    fix = "fill in rated_for" if known == "unknown" else f"a luminaire marked for {' or '.join(MARKS[asked])} places"
    return Place(light.id, room, place, row.text("rule"), f"{where}: {told}", f"{' or '.join(MARKS[asked])}", fix,
                 verdict, row.citation)  # fmt: skip


def outdoor_places(site: Site, room: Room) -> Iterable[Place]:
    """Marking of luminaires on outer walls (wet unless sheltered) and on porches (damp)."""
    for light in site.lights[room.id]:
        if light.kind in OUTDOOR:
            yield _marked(light, room.id, "wet place", "on an outer wall", "wet", "P-WET")
        elif room.kind == "porch":
            yield _marked(light, room.id, "damp place", "on a porch", "damp", "P-DAMP")


def entrance_findings(site: Site, devices: DevicesResult) -> Iterable[Finding]:
    """A lighting outlet outside each door to the outdoors: on the wall near it, or on the porch behind it."""
    row = rules_zones.outlet_rule("L-70A2-2")
    outlets = [d for d in devices.devices if d.kind == "lighting_outlet"]
    for opening in sorted(site.house.openings, key=lambda o: o.id):
        room = site.by_id[opening.room]
        edge = edge_of(room, opening.side)
        if opening.kind not in ENTRANCES or room.kind == "porch" or edge is None:
            continue
        along = edge.along(opening.offset_ft + opening.width_ft / 2)
        behind = part_at(site.house, room, opening.side, along).behind
        if behind and site.by_id[behind].kind != "porch":
            continue
        (x, y), level = edge.at(along), room.level
        near = [
            d.id
            for d in outlets
            if not d.room and d.level == level and math.hypot(d.x_ft - x, d.y_ft - y) <= BY_DOOR_FT
        ]
        near += [d.id for d in outlets if behind and d.room == behind]
        high = site.levels[level].floor_ft > HIGH_FT
        verdict = Verdict.MEETS if near else Verdict.CANNOT_SAY if high else Verdict.MISSES
        yield Finding(
            "light-entrance", "lighting", opening.id, "a lighting outlet lights the outside of a door at grade",
            f"outlet {near[0]}" if near else f"none within {BY_DOOR_FT:g} ft", "at least one",
            "the door is high above grade: the rule is for doors at grade" if high else "a light beside the door",
            verdict, row.citation,
        )  # fmt: skip


def fan_obstacles(site: Site, room: Room) -> Iterable[Finding]:
    """Tall fixed items and doors near the blades."""
    wall = rules_fans.fan_rule("F-WALL")
    gap = wall.number("value")
    for fan in site.fans[room.id]:
        x, y = site.fan_at(fan)
        for item in site.fixed[room.id]:
            if item.kind == "cabinet":
                tip = _away_ft(x, y, shapely.Polygon(corners_of(room, item))) * 12 - fan.diameter_in / 2
                if tip < gap - 1e-6:
                    yield Finding(
                        "fan-cabinet", "lighting", f"{fan.id} and {item.id}", "blade tips far enough from cabinets",
                        f"{tip:.1f} in on the plan", f">= {gap:g} in if it reaches the blades",
                        "the cabinet's height is not described: look at it", Verdict.CANNOT_SAY, wall.citation,
                    )  # fmt: skip
        for cut in openings_of(site.house, room):
            top = cut.opening.sill_ft + cut.opening.height_ft
            if cut.opening.kind != "door" or site.blades_ft(fan) > top + EPS:
                continue
            ends = (cut.edge.at(cut.start_ft), cut.edge.at(cut.end_ft))
            reach = shapely.LineString(ends).buffer(cut.opening.width_ft)
            tip = _away_ft(x, y, reach) * 12 - fan.diameter_in / 2
            if tip < -1e-6:
                yield Finding(
                    "fan-door", "lighting", f"{fan.id} and {cut.opening.id}",
                    "a door's leaf swings clear of the blades",
                    f"blades {site.blades_ft(fan):.2f} ft high within the leaf's reach", f"above its top, {top:.2f} ft",
                    "which way the door swings is not described: look at it", Verdict.CANNOT_SAY, wall.citation,
                )  # fmt: skip


def room_shape(room: Room) -> shapely.Geometry:
    """The room as a polygon."""
    return shapely.Polygon(outline(room))
