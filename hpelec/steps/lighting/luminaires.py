"""The luminaires as the rules see them: where the light leaves, how much, up to which angle."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache, cached_property

from hpelec.core.tables import Row, table
from hpelec.house.geometry import Point, outline, room_area_ft2, south_west
from hpelec.house.model import House
from hpelec.house.rows import CeilingFan, FixedItem, Light, Room, Sprinkler
from hpelec.house.sections import Level
from hpelec.steps.lighting.rules import equal_rectangle_ft, light_loss_factor

OUTDOOR = ("outdoor_wall",)
AT_WALL = ("wall", "outdoor_wall")


@cache
def kind_row(kind: str) -> Row:
    """What is taken for a kind of luminaire where its row is blank."""
    return table("layout/luminaire_kinds").one(kind=kind)


@dataclass(frozen=True, slots=True)
class Luminaire:
    """One light, resolved: coordinates on the plan, opening above the floor, light, angles.

    half_deg: beyond it our simple beam has no light. cosine: falls off as the cosine, else even. shadow_deg: beyond
    it no light leaves (the cut-off given, else half_deg).
    """

    id: str
    room: str
    kind: str
    x_ft: float
    y_ft: float
    height_ft: float
    lumens_lm: float
    up_share: float
    half_deg: float
    cosine: bool
    shadow_deg: float
    radius_in: float
    row: Light


def luminaire(light: Light, room: Room, level: Level, efficacy: float) -> Luminaire:
    """A light of a room of a level; efficacy: lumens for each volt-ampere where none are given."""
    x, y = south_west(room)
    kind = kind_row(light.kind)
    cosine = light.beam_deg is None and kind.text("distribution") == "cosine"
    beam = light.beam_deg if light.beam_deg is not None else 180.0 if cosine else kind.number("beam_deg")
    half = min(beam / 2, light.cutoff_deg or 90.0)
    up = light.uplight_percent if light.uplight_percent is not None else kind.number("uplight_percent")
    at = kind.number_or_none("height_in")
    drop = light.drop_in if light.drop_in is not None else kind.number_or_none("drop_in")
    ceiling = level.ceiling_height_ft
    height = min(at / 12, ceiling) if light.drop_in is None and at is not None else ceiling - (drop or 0.0) / 12
    return Luminaire(
        id=light.id,
        room=light.room,
        kind=light.kind,
        x_ft=x + light.x_offset_ft,
        y_ft=y + light.y_offset_ft,
        height_ft=height,
        lumens_lm=light.power_VA * efficacy if light.lumens_lm is None else light.lumens_lm,
        up_share=up / 100,
        half_deg=half,
        cosine=cosine,
        shadow_deg=light.cutoff_deg or half,
        radius_in=(light.diameter_in or kind.number("diameter_in")) / 2,
        row=light,
    )


class Site:
    """The parts of a house that this step reads, by room, in an order that does not depend on that of the rows."""

    def __init__(self, house: House) -> None:
        self.house = house
        self.settings = house.lighting
        self.levels = {level.id: level for level in house.levels}
        self.rooms = tuple(sorted(house.rooms, key=lambda r: r.id))
        self.by_id = {r.id: r for r in self.rooms}
        self.lights: dict[str, list[Luminaire]] = {r.id: [] for r in self.rooms}
        self.fans: dict[str, list[CeilingFan]] = {r.id: [] for r in self.rooms}
        self.fixed: dict[str, list[FixedItem]] = {r.id: [] for r in self.rooms}
        self.sprinklers: dict[str, list[Sprinkler]] = {r.id: [] for r in self.rooms}
        for head in sorted(house.sprinklers, key=lambda r: r.id):
            self.sprinklers[head.room].append(head)
        for light in sorted(house.lights, key=lambda r: r.id):
            room = self.by_id[light.room]
            self.lights[room.id].append(luminaire(light, room, self.levels[room.level], self.settings.efficacy))
        for fan in sorted(house.fans, key=lambda r: r.id):
            self.fans[fan.room].append(fan)
        for item in sorted(house.fixed, key=lambda r: r.id):
            self.fixed[item.room].append(item)

    @cached_property
    def loss_factor(self) -> float:
        """Light loss factor of the house."""
        s = self.settings
        return light_loss_factor(s.lumen_maintenance, s.dirt_maintenance, s.other_maintenance)

    @property
    def plane_ft(self) -> float:
        """Height of the work plane above the floor."""
        return self.settings.work_plane_in / 12

    def ceiling_ft(self, room: Room) -> float:
        """Height of a room's ceiling above its floor."""
        return self.levels[room.level].ceiling_height_ft

    def indoor(self, room: Room) -> list[Luminaire]:
        """Luminaires that light a room (not those on its outer face)."""
        return [x for x in self.lights[room.id] if x.kind not in OUTDOOR]

    def sprinkler_at(self, head: Sprinkler) -> Point:
        """Where a sprinkler is on the plan."""
        x, y = south_west(self.by_id[head.room])
        return (x + head.x_offset_ft, y + head.y_offset_ft)

    def fan_at(self, fan: CeilingFan) -> Point:
        """Where the hub of a fan is on the plan."""
        x, y = south_west(self.by_id[fan.room])
        return (x + fan.x_offset_ft, y + fan.y_offset_ft)

    def blades_ft(self, fan: CeilingFan) -> float:
        """Height of a fan's blades above the floor."""
        return self.ceiling_ft(self.by_id[fan.room]) - fan.drop_in / 12


def perimeter_ft(room: Room) -> float:
    """Length of a room's wall line."""
    pts = outline(room)
    return sum(math.hypot(x1 - x0, y1 - y0) for (x0, y0), (x1, y1) in zip(pts, pts[1:] + pts[:1], strict=True))


def sides_ft(room: Room) -> tuple[float, float]:
    """The rectangle that stands for a room: same area and perimeter, the longer side first (rounded to a millionth)."""
    wide, deep = equal_rectangle_ft(room_area_ft2(room), perimeter_ft(room))
    return round(wide, 6), round(deep, 6)
