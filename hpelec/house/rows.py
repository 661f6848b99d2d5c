"""The records of the CSV tables: each field is a described column (see `house.columns`), in base units."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.house.columns import choice, day, flag, key, number, points, ref, text, whole
from hpelec.house.sections import BUILD_STAGES

APPLIANCE_KINDS = (
    "range",
    "cooktop",
    "wall_oven",
    "dryer",
    "washer",
    "dishwasher",
    "disposer",
    "microwave",
    "refrigerator",
    "freezer",
    "kitchen_appliance",
    "air_conditioner",
    "heat_pump",
    "air_handler",
    "supplemental_heat",
    "room_heater",
    "furnace",
    "ventilator",
    "fan",
    "pump",
    "vehicle_charger",
    "spa",
    "workshop",
    "welder",
    "kiln",
    "solar",
    "storage",
    "other",
)
DUTY_KINDS = ("welder", "kiln")
"""Kinds of appliances that may name a duty cycle."""
HEATER_KINDS = ("tankless", "storage", "heat_pump_storage", "point_of_use_tankless", "point_of_use_storage")
FIXTURES = (
    "shower",
    "tub",
    "lavatory",
    "kitchen_sink",
    "dishwasher",
    "clothes_washer",
    "laundry_sink",
    "bar_sink",
    "other",
)
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
FUTURE_KINDS = (
    "vehicle_charger",
    "outbuilding",
    "space_heater",
    "water_heater",
    "appliance",
    "solar",
    "storage",
)
LIGHT_KINDS = ("surface", "recessed", "pendant", "wall", "outdoor_wall")
SIDES = ("south", "east", "north", "west")
EVENTS = ("made", "sealed", "inspected", "unplanned_hole", "blower_door")
STATUS = ("new", "existing", "removed")


@dataclass(frozen=True, slots=True, kw_only=True)
class Appliance:
    """A row of appliances.csv."""

    id: str = key()
    name: str = text("what people call it")
    kind: str = choice(APPLIANCE_KINDS, "kind, by how the load calculation treats it")
    room: str = ref("rooms", "room it stands in; blank: outside", "")
    quantity: int = whole("how many", 1, low=1, high=100)
    power_VA: float | None = number("nameplate load", None, low=0, high=1e6)
    current_A: float | None = number("nameplate amperes, where no VA is given", None, low=0, high=2000)
    mca_A: float | None = number("minimum circuit ampacity on the nameplate", None, low=0, high=2000)
    mocp_A: float | None = number("maximum overcurrent protection on the nameplate", None, low=0, high=2000)
    voltage_V: float = choice((240.0, 120.0, 208.0), "nominal voltage", 240.0)
    fastened_in_place: bool = flag("fastened in place, permanently connected or on its own circuit", True)
    continuous: bool = flag("runs three hours or more", False)
    motor: bool = flag("motor load", False)
    motor_hp: float | None = number("motor rating", None, above=0, high=100)
    duty_percent: float | None = number(
        "duty cycle of an arc welder at its rated primary current (a kiln's is noted and lowers nothing)",
        None,
        above=0,
        high=100,
    )
    set_A: float | None = number(
        "current to which a vehicle charger is set, where access to the setting is restricted", None, above=0, high=500
    )
    interlock: str = text("name of a group of which only one can run at a time", "")
    managed_by: str = text("name of the energy management that limits it", "")
    priority: int = whole("1 is kept longest by an energy management", 5, low=1, high=9)
    status: str = choice(STATUS, "new, existing or removed (for an existing house)", "new")
    building: str = ref("buildings", "other building of house.toml that it stands in; blank: the house", "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Heater:
    """A row of heaters.csv: one water heater."""

    id: str = key()
    name: str = text("what people call it")
    kind: str = choice(HEATER_KINDS, "kind of water heater")
    room: str = ref("rooms", "room it stands in; blank only in another building", "")
    power_VA: float = number("nameplate electrical load", above=0, high=100000)
    voltage_V: float = choice((240.0, 208.0, 120.0), "nominal voltage", 240.0)
    setpoint_F: float = number("water temperature set", 120.0, low=90, high=180)
    volume_gal: float = number("rated storage volume; 0 for tankless", 0.0, low=0, high=500)
    first_hour_gal: float | None = number("first-hour rating, if known", None, low=0, high=1000)
    max_flow_gpm: float | None = number("flow limit of the heater, if any", None, above=0, high=50)
    heat_kW: float | None = number("heat delivered by a heat pump alone, if it is one", None, above=0, high=50)
    interlock: str = text("name of a group of which only one can run at a time", "")
    managed_by: str = text("name of the energy management that limits it", "")
    priority: int = whole("1 is kept longest by an energy management", 5, low=1, high=9)
    status: str = choice(STATUS, "new, existing or removed (for an existing house)", "new")
    building: str = ref("buildings", "other building of house.toml that it stands in; blank: the house", "")


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawPoint:
    """A row of hot_water.csv: one point of use."""

    id: str = key()
    name: str = text("what people call it")
    fixture: str = choice(FIXTURES, "kind of fixture")
    room: str = ref("rooms", "room it is in")
    heater: str = ref("heaters", "heater that serves it")
    flow_gpm: float = number("mixed flow at the fixture", above=0, high=50)
    use_F: float = number("temperature wanted at the fixture", 105.0, low=60, high=160)
    pipe_length_ft: float = number("pipe from the heater", 20.0, low=0, high=1000)
    at_peak: bool = flag("runs in the busiest minutes", True)


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
class FutureLoad:
    """A row of future.csv: a load or source that someone may want later; it is in no load calculation yet."""

    id: str = key()
    name: str = text("what people call it")
    kind: str = choice(FUTURE_KINDS, "what it is, by how the load calculation or the bus rule treats it")
    power_VA: float | None = number("nameplate load, or output of a source", None, above=0, high=1e6)
    current_A: float | None = number("nameplate amperes, where no VA is given", None, above=0, high=2000)
    voltage_V: float = choice((240.0, 120.0, 208.0), "nominal voltage", 240.0)
    panel: str = ref("panels", "panel it will be connected to; blank: the first at the service", "")
    connect_at: str = choice(
        ("panel", "supply_side"), "a source only: at a panel's bus, or on the supply side of the main", "panel"
    )


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


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteLoad:
    """A row of site.csv: what needs power while the house is built or changed."""

    id: str = key()
    name: str = text("what people call it")
    power_VA: float = number("load while it runs", above=0, high=1e6)
    voltage_V: float = choice((120.0, 240.0), "nominal voltage", 120.0)
    continuous: bool = flag("runs three hours or more", False)
    from_stage: str = choice(BUILD_STAGES, "first stage at which it is needed")
    to_stage: str = choice(BUILD_STAGES, "last stage at which it is needed")
    permanent: bool = flag("it stays: a load of the house that the temporary supply carries for now", False)
    priority: int = whole("order of moving to the permanent service: 1 first", 5, low=1, high=9)


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
