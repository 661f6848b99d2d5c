"""What the parts of the step hand to each other while devices are being placed, before boxes are chosen."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property

from hpelec.core.citing import Citation
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.tables import table
from hpelec.core.working import Line
from hpelec.house.geometry import is_envelope_ceiling, room_centre
from hpelec.house.model import House
from hpelec.house.rows import Room
from hpelec.house.sections import Level
from hpelec.steps.devices.model import WallRun
from hpelec.steps.devices.spans import Spans, nearest, without
from hpelec.steps.devices.walls import ENVELOPE, HALF_BOX_FT, TALL, Place, WallLine, wall_line

RECEPTACLE_IN = 16.0
SWITCH_IN = 48.0
COUNTER_IN = 36.0
COUNTER_RECEPTACLE_IN = 42.0
OUTDOOR_IN = 18.0
OUTDOOR_LIGHT_IN = 78.0
CLEAR_FT = 0.25
"""Boxes other than wall receptacles keep this far from corners and openings."""
SEAT_FT = 0.75
"""Boxes of one wall are kept this far apart, as far as there is room."""


@dataclass(frozen=True, slots=True)
class Wiring:
    """What is in a box: conductors and grounds that enter, gangs of each device, shapes of box to choose from."""

    size_AWG: int = 14
    conductors: int = 4
    grounds: int = 2
    yokes: tuple[int, ...] = (1,)
    shapes: tuple[str, ...] = ("device",)
    internal_clamps: bool = True
    fittings: int = 0
    own_box: str = ""


PLAIN_14 = Wiring()
PLAIN_12 = Wiring(size_AWG=12)
CEILING = Wiring(yokes=(), shapes=("round_octagonal",))


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A device placed: where and why; its id, box and protection come later.

    letter and name make the id: `room.letter-name`, or `room.letter` and a number along the wall where name is "".
    arc_ft: on the wall line of its room; -1 away from walls. plugged: an appliance outlet that is a receptacle.
    dedicated_space: of an appliance that is not easily moved. shares: the device whose hole its cable shares.
    """

    kind: str
    letter: str
    room: Room
    level: str
    x_ft: float
    y_ft: float
    height_in: float
    surface: str
    citation: Citation
    name: str = ""
    arc_ft: float = -1.0
    side: str = ""
    offset_ft: float | None = None
    serves: str = ""
    pinned_id: str = ""
    wiring: Wiring = PLAIN_14
    protect_as: str = ""
    voltage_V: float = 120.0
    outdoors: bool = False
    what: str = ""
    plugged: bool = False
    dedicated_space: bool = False
    shares: Mark | None = None


@dataclass(frozen=True, slots=True)
class Wish:
    """A place that the user would like for a wall receptacle, on the wall line of its room.

    words: how it is told; piece: the furniture that wishes it, empty for a wish of devices.csv.
    """

    id: str
    arc_ft: float
    words: str = ""
    piece: str = ""


@dataclass
class Draft:
    """The collecting basket of one design: devices and what is to be told about them."""

    house: House
    edition: int
    marks: list[Mark] = field(default_factory=list)
    runs: list[WallRun] = field(default_factory=list)
    working: list[Line] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    assumptions: list[Assumption] = field(default_factory=list)
    wishes: dict[str, tuple[Wish, ...]] = field(default_factory=dict)
    """Wished places of wall receptacles, by room."""
    furniture_met: list[tuple[int, int]] = field(default_factory=list)
    """For each run with furniture: wishes met without minding them, and with."""

    @cached_property
    def rooms(self) -> tuple[Room, ...]:
        """Rooms by id, so that the order of rows does not matter."""
        return tuple(sorted(self.house.rooms, key=lambda r: r.id))

    @cached_property
    def lines(self) -> dict[str, WallLine]:
        """Wall line of each room."""
        return {room.id: wall_line(self.house, room) for room in self.rooms}

    @cached_property
    def room_by_id(self) -> dict[str, Room]:
        """Rooms by id."""
        return {room.id: room for room in self.rooms}

    @cached_property
    def levels(self) -> dict[str, Level]:
        """Levels by id."""
        return {level.id: level for level in self.house.levels}

    @cached_property
    def envelope_ceilings(self) -> frozenset[str]:
        """Levels with the air barrier in their ceiling."""
        return frozenset(lv.id for lv in self.house.levels if is_envelope_ceiling(self.house, lv))

    @cached_property
    def laundry_areas(self) -> frozenset[str]:
        """Rooms with a washer or dryer, or of that kind."""
        machines = (a for a in self.house.appliances if a.kind in ("washer", "dryer") and a.status != "removed")
        return frozenset({a.room for a in machines} | {r.id for r in self.rooms if r.kind == "laundry"}) - {""}

    def in_room(self, room: Room, *kinds: str) -> list[Mark]:
        """Devices of these kinds that the room has so far."""
        return [m for m in self.marks if m.room.id == room.id and m.kind in kinds]

    def pins(self, room: Room, kind: str) -> list[Mark]:
        """Devices of a kind that the user has placed in the room."""
        return [m for m in self.in_room(room, kind) if m.pinned_id]

    def told(
        self,
        rule_id: str,
        place: str,
        rule: str,
        got: str,
        allowed: str,
        verdict: Verdict,
        citation: Citation,
        fix: str = "",
    ) -> None:
        """Add a finding."""
        self.findings.append(Finding(rule_id, "devices", place, rule, got, allowed, fix, verdict, citation))

    def assume(self, where: str, taken: str, why: str) -> None:
        """Add an assumption, once."""
        entry = Assumption(where, taken, why)
        if entry not in self.assumptions:
            self.assumptions.append(entry)


def table_rule(rule_id: str) -> Citation:
    """The citation of a rule that only asks for an outlet, from the table of receptacle rules."""
    return table("layout/receptacle_rules").one(rule_id=rule_id).citation


def lighting_rule(rule_id: str) -> Citation:
    """The citation of a rule on lighting outlets and switches."""
    return table("layout/lighting_outlets_switching").one(rule_id=rule_id).citation


def at_wall(
    room: Room, place: Place, *, kind: str, letter: str, height_in: float, citation: Citation, **more: object
) -> Mark:
    """A mark in a wall, seen from inside the room. Outer walls of unheated rooms are no envelope."""
    surface = place.part.surface if place.part.surface in ENVELOPE else ""
    told: dict[str, object] = {"surface": surface, **more}
    return Mark(
        kind=kind,
        letter=letter,
        room=room,
        level=room.level,
        x_ft=place.x_ft,
        y_ft=place.y_ft,
        height_in=height_in,
        citation=citation,
        arc_ft=place.arc_ft,
        side=place.edge.side,
        offset_ft=place.offset_ft,
        **told,  # type: ignore[arg-type]
    )


def free_spans(draft: Draft, line: WallLine, height_in: float) -> Spans:
    """Where one more box may stand in a room: clear of openings, fixed things and the boxes that stand."""
    spans = line.free(height_in, TALL, CLEAR_FT) or line.free(height_in, TALL, HALF_BOX_FT)
    taken = [m.arc_ft for m in draft.marks if m.room is line.room and m.arc_ft >= 0 and not m.outdoors]
    clear = without(spans, [(a - SEAT_FT, a + SEAT_FT) for a in taken])
    return clear or spans or line.edge_spans()


def best_place(line: WallLine, spans: Spans, target_ft: float, *, farthest_ft: float = 3.0) -> Place:
    """The free place for one box near a target: not in the envelope if such a place is within `farthest_ft`."""
    near = _nearest_round(line, spans, target_ft)
    inner = line.inside(spans)
    if inner:
        inside = _nearest_round(line, inner, target_ft)
        if _apart(line, inside, target_ft) <= max(farthest_ft, _apart(line, near, target_ft)):
            return line.place(inside)
    return line.place(near)


def _apart(line: WallLine, a: float, b: float) -> float:
    around = abs(a - b) % line.length_ft
    return min(around, line.length_ft - around)


def _nearest_round(line: WallLine, spans: Spans, target_ft: float) -> float:
    target = target_ft % line.length_ft
    tries = (nearest(spans, target + turn * line.length_ft) for turn in (-1, 0, 1))
    places = [p for p in tries if p is not None]
    return min(places, key=lambda p: (round(_apart(line, p, target), 9), p))


def spread(line: WallLine, spans: Spans, count: int) -> list[Place]:
    """`count` places spread evenly over the longest stretch that is not envelope, else over the longest."""
    pool = line.inside(spans) or spans
    low, high = max(pool, key=lambda s: (round(s[1] - s[0], 6), -s[0]))
    step = (high - low) / count
    return [line.place(low + step * (i + 0.5)) for i in range(count)]


def distance_ft(a: Mark, b: Mark) -> float:
    """Straight distance on the plan."""
    return math.hypot(a.x_ft - b.x_ft, a.y_ft - b.y_ft)


def centre(room: Room) -> tuple[float, float]:
    """Middle of a room; for a bent outline a point that lies inside it."""
    if not room.outline_ft:
        return room_centre(room)
    from shapely.geometry import Point, Polygon  # noqa: PLC0415 - only bent rooms need it

    shape = Polygon(room.outline_ft)
    middle = Point(room_centre(room))
    inside = middle if shape.contains(middle) else shape.representative_point()
    return (inside.x, inside.y)
