"""The records of the CSV tables: each field is a described column (see `house.columns`), in base units."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.house.columns import choice, day, flag, key, number, points, ref, text, whole

ROOM_KINDS = (
    "kitchen",
    "dining",
    "living",
    "family",
    "den",
    "library",
    "bedroom",
    "sunroom",
    "recreation",
    "foyer",
    "hallway",
    "stair",
    "bathroom",
    "laundry",
    "closet",
    "pantry",
    "utility",
    "garage",
    "basement_unfinished",
    "porch",
    "workshop",
)
OPENING_KINDS = ("door", "cased_opening", "window", "fixed_glass", "sliding_glass", "garage_door")
FIXED_KINDS = (
    "counter",
    "island",
    "peninsula",
    "cabinet",
    "fireplace",
    "stair",
    "sink",
    "range",
    "refrigerator",
    "basin",
    "tub",
    "shower",
    "stationary_appliance",
)
DEVICE_KINDS = (
    "receptacle",
    "counter_receptacle",
    "outdoor_receptacle",
    "floor_receptacle",
    "appliance_outlet",
    "switch",
    "lighting_outlet",
    "alarm",
    "data",
)
LIGHT_KINDS = ("surface", "recessed", "pendant", "wall", "outdoor_wall")
LAMPS = ("enclosed", "open", "fluorescent", "storage")
PLACES = ("unknown", "dry", "damp", "wet")
TASKS = (
    "general",
    "dining",
    "casual_reading",
    "reading",
    "writing",
    "study",
    "cooking",
    "preparation",
    "laundry",
    "workbench",
    "sewing",
    "fine_sewing",
    "mirror",
    "dressing",
    "cards",
)
"""What a room is lit for; `general` is the level of its kind of room, the others stand in the lists by this word."""
SIDES = ("south", "east", "north", "west")
FURNITURE_WANTS = ("beside both ends", "behind", "none")
SPRINKLERS = ("unknown", "pendent", "sidewall")
EVENTS = ("made", "sealed", "inspected", "unplanned_hole", "blower_door")


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A row of rooms.csv: a rectangle, or an outline by corners."""

    id: str = key()
    name: str = text("name shown on the plan", "")
    level: str = ref("levels", "level it is on")
    kind: str = choice(ROOM_KINDS, "use of the room")
    x_ft: float | None = number("west edge of a rectangle", None, low=-10000, high=10000)
    y_ft: float | None = number("south edge of a rectangle", None, low=-10000, high=10000)
    width_ft: float | None = number("east-west size of a rectangle", None, above=0, high=500)
    depth_ft: float | None = number("north-south size of a rectangle", None, above=0, high=500)
    outline_ft: tuple[tuple[float, float], ...] = points("corners, counter-clockwise, instead of a rectangle", ())
    inside_air_barrier: bool = flag("inside the air barrier (no for a garage or porch)", True)
    task: str = choice(TASKS, "what it is lit for; general: the level of its kind of room", "general")
    wanted_lux: float | None = number("level wanted, instead of the list's [lux]", None, low=1, high=100000)
    ceiling_reflectance_percent: float = number("light that the ceiling reflects", 80.0, low=0, high=95)
    wall_reflectance_percent: float = number("light that the walls reflect, windows included", 50.0, low=0, high=95)
    floor_reflectance_percent: float = number("light that the floor reflects", 20.0, low=0, high=95)
    circuit_group: str = text("rooms of a level with the same word here are put on circuits together", "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A row of openings.csv: a door, window or glass in one wall."""

    id: str = key()
    room: str = ref("rooms", "room whose wall it is in")
    side: str = text("wall: south, east, north, west of a rectangle, or the number of the outline's edge (1 is first)")
    offset_ft: float = number(
        "from the wall's west or south end (an outline's edge: from its first corner)", low=0, high=500
    )
    width_ft: float = number("width", above=0, high=100)
    kind: str = choice(OPENING_KINDS, "what it is")
    sill_ft: float = number("height of its lower edge above the floor", 0.0, low=0, high=40)
    height_ft: float = number("its height", 6.6667, above=0, high=40)


@dataclass(frozen=True, slots=True, kw_only=True)
class WallBuild:
    """A row of walls.csv: an envelope wall that is not built as the other walls of its surface."""

    id: str = key()
    room: str = ref("rooms", "room inside the air barrier whose wall it is")
    side: str = text("wall: south, east, north, west of a rectangle, or the number of the outline's edge (1 is first)")
    assembly: str = ref("assemblies", "assembly of that wall, of surface wall or garage_wall")


@dataclass(frozen=True, slots=True, kw_only=True)
class FixedItem:
    """A row of fixed.csv: what stands at a wall or on the floor and does not move."""

    id: str = key()
    room: str = ref("rooms", "room it is in")
    kind: str = choice(FIXED_KINDS, "what it is")
    side: str = text("wall it stands at; blank for free-standing", "")
    offset_ft: float = number(
        "along that wall, as for openings; free-standing: from the room's west edge", 0.0, low=0, high=500
    )
    width_ft: float = number("along the wall; free-standing: east-west", above=0, high=200)
    depth_ft: float = number("away from the wall; free-standing: north-south", above=0, high=200)
    y_offset_ft: float = number("free-standing only: from the room's south edge", 0.0, low=0, high=500)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedDevice:
    """A row of devices.csv: a device that the user has placed; the tool places the others."""

    id: str = key()
    room: str = ref("rooms", "room it is in")
    kind: str = choice(DEVICE_KINDS, "what it is")
    side: str = text("wall it is on")
    offset_ft: float = number("along that wall, as for openings", low=0, high=500)
    height_in: float = number("centre above the floor", 16.0, low=0, high=200)
    circuit: str = text("circuit it must be on; blank: the tool decides", "")
    firm: bool = flag(
        "it stands exactly there; no: a wish, for a wall receptacle only, that costs no further one", True
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """A row of panels.csv."""

    id: str = key()
    name: str = text("name shown on drawings")
    room: str = ref("rooms", "room it is in")
    side: str = text("wall it is on")
    offset_ft: float = number("its centre along that wall, as for openings", low=0, high=500)
    height_in: float = number("top breaker handle above the floor", 66.0, above=0, high=120)
    rating_A: float = number("bus rating", 200.0, above=0, high=1200)
    spaces: int = whole("breaker spaces", 40, low=2, high=84)
    fed_from: str = text("`service`, or the id of the panel that feeds it", "service")
    feeder_length_ft: float | None = number(
        "one-way length of the feeder from the panel that feeds it; blank: from the plan", None, low=0, high=5000
    )
    interrupting_kA: float | None = number(
        "interrupting rating of its main and breakers, the lowest of them, from their labels; blank: not known",
        None,
        above=0,
        high=500,
    )
    takes: str = choice(
        ("all", "large", "small"), "which loads it takes: all, large (over 30 A or 240 V), small", "all"
    )
    main_A: float | None = number(
        "breaker that feeds its bus, its own main or the feeder's; blank: taken from the bus rating and what feeds it",
        None,
        above=0,
        high=1200,
    )
    tandem_spaces: int = whole(
        "spaces that take a tandem breaker (two circuits in one space), by the panel's label", 0, low=0, high=84
    )
    feed_at: str = choice(("end", "center"), "where the main feeds the bus: at one end, or at its center", "end")


@dataclass(frozen=True, slots=True, kw_only=True)
class Light:
    """A row of lights.csv."""

    id: str = key()
    room: str = ref("rooms", "room it is in")
    kind: str = choice(LIGHT_KINDS, "how it is mounted")
    x_offset_ft: float = number("from the room's west edge", low=0, high=500)
    y_offset_ft: float = number("from the room's south edge", low=0, high=500)
    power_VA: float = number("load", 10.0, low=0, high=5000)
    airtight_rated: bool = flag("luminaire or its box is tested for air leakage", False)
    lumens_lm: float | None = number("light it gives, as its maker states; blank: from its load", None, low=0, high=1e6)
    beam_deg: float | None = number(
        "full beam angle; blank: by kind (a recessed one a cone, a diffuse one falls off as the cosine)",
        None,
        low=1,
        high=180,
    )
    cutoff_deg: float | None = number(
        "angle from straight down beyond which no light leaves it; blank: half the beam", None, low=1, high=90
    )
    diameter_in: float | None = number(
        "size across (a recessed one: its opening); blank: by kind", None, low=0.1, high=120
    )
    drop_in: float | None = number(
        "ceiling to the opening that the light leaves; blank: by kind", None, low=0, high=240
    )
    uplight_percent: float | None = number("share of its light that goes up; blank: by kind", None, low=0, high=100)
    utilisation: float | None = number(
        "coefficient of utilisation from its maker's table for this room; blank: worked out", None, low=0.01, high=1.2
    )
    lamp: str = choice(
        LAMPS, "enclosed or open lamp, fluorescent, or one identified for use in storage space", "enclosed"
    )
    rated_for: str = choice(PLACES, "places that it is marked for", "unknown")
    insulation_contact: bool | None = flag("a recessed one is of the insulation-contact type", None)


@dataclass(frozen=True, slots=True, kw_only=True)
class CeilingFan:
    """A row of fans.csv."""

    id: str = key()
    room: str = ref("rooms", "room it is in")
    x_offset_ft: float = number("from the room's west edge", low=0, high=500)
    y_offset_ft: float = number("from the room's south edge", low=0, high=500)
    diameter_in: float = number("blade circle", 52.0, above=0, high=144)
    blades: int = whole("number of blades", 3, low=1, high=12)
    speed_rpm: float = number("highest speed", 180.0, above=0, high=1000)
    drop_in: float = number("ceiling to blades", 12.0, above=0, high=120)
    power_VA: float = number("load", 60.0, low=0, high=2000)
    weight_lb: float | None = number("weight, if known", None, above=0, high=1000)
    box_for_fan: bool | None = flag("its box is listed to carry a fan, or it hangs from the framing", None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Furniture:
    """A row of furniture.csv: a piece that is to stand at a wall, and where a receptacle would serve it."""

    id: str = key()
    name: str = text("name shown in tables", "")
    room: str = ref("rooms", "room it is in")
    side: str = text("wall it stands at")
    offset_ft: float = number("along that wall, as for openings", low=0, high=500)
    width_ft: float = number("along the wall", above=0, high=200)
    wants: str = choice(
        FURNITURE_WANTS, "where a wall receptacle would serve it: a wish that costs no further one", "none"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Sprinkler:
    """A row of sprinklers.csv: a sprinkler that ceiling fans must not obstruct."""

    id: str = key()
    room: str = ref("rooms", "room it is in")
    x_offset_ft: float = number("from the room's west edge", low=0, high=500)
    y_offset_ft: float = number("from the room's south edge", low=0, high=500)
    kind: str = choice(SPRINKLERS, "how it is mounted and sprays", "unknown")


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldNote:
    """A row of field.csv: what happened on site."""

    id: str = key()
    event: str = choice(EVENTS, "what happened")
    date: str = day("day it happened")
    hole: str = text("id of the hole, as the sealing plan names it", "")
    by: str = text("initials", "")
    reading_cfm50: float | None = number("blower-door reading", None, above=0)
    room: str = ref("rooms", "room, for an unplanned hole", "")
    diameter_in: float | None = number("size of an unplanned hole", None, above=0, high=48)
    photo: str = text("file of a photo", "")
    note: str = text("remark", "")
