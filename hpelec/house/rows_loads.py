"""The records of the CSV tables of loads: appliances, heaters, points of use, use, site, future; see `house.rows`."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.house.columns import choice, flag, key, number, ref, text, whole
from hpelec.house.sections_power import BUILD_STAGES

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
ELEMENTS = ("interlocked", "together")
PIPES = ("pex", "copper_m", "copper_l", "copper_k", "cpvc", "pex_al_pex")
PIPE_SIZES = ("3/8", "1/2", "3/4", "1")
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
FUTURE_KINDS = (
    "vehicle_charger",
    "outbuilding",
    "space_heater",
    "water_heater",
    "appliance",
    "solar",
    "storage",
)
STATUS = ("new", "existing", "removed")
USE_OF = ("appliance", "heater", "point")
USE_PROFILES = (
    "flat",
    "day",
    "evening",
    "night",
    "cooking",
    "dishwashing",
    "washing",
    "drying",
    "showers",
    "hot_water",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Appliance:
    """A row of appliances.csv."""

    id: str = key()
    name: str = text("what people call it")
    kind: str = choice(APPLIANCE_KINDS, "kind, by how the load calculation treats it")
    room: str = ref("rooms", "room it stands in; blank: outside", "")
    quantity: int = whole("how many", 1, low=1, high=100)
    power_VA: float | None = number("nameplate load of one", None, low=0, high=1e5)
    current_A: float | None = number("nameplate amperes of one, where no VA is given", None, low=0, high=800)
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
    locked_rotor_A: float | None = number(
        "locked-rotor or greatest starting amperes on the nameplate, of a motor", None, above=0, high=2000
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
    heat_kW: float | None = number(
        "heat delivered by a heat pump alone, if it is one, at test conditions", None, above=0, high=50
    )
    uef: float | None = number("uniform energy factor, if known", None, above=0, high=8)
    cop: float | None = number("coefficient of performance of a heat pump at test conditions", None, above=1, high=10)
    elements: str = choice(
        ELEMENTS,
        "two elements of a tank: interlocked (one at a time, each of the nameplate) or together (halves of it)",
        "interlocked",
    )
    air_F: float = number("air round the heater, entering a heat pump", 67.5, low=0, high=130)
    air_humidity_percent: float = number("relative humidity of that air", 50.0, low=5, high=99)
    ducted: bool = flag("a heat pump's air comes and goes through ducts", False)
    noise_dBA: float | None = number("sound level of a heat pump, if known", None, low=20, high=100)
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
    flow_gpm: float | None = number(
        "mixed flow at the fixture; blank: the published value for its kind (none for other)", None, above=0, high=50
    )
    use_F: float = number("temperature wanted at the fixture", 105.0, low=60, high=160)
    pipe_length_ft: float = number("pipe from the heater", 20.0, low=0, high=1000)
    pipe_material: str = choice(PIPES, "material of the pipe", "pex")
    pipe_size: str = choice(PIPE_SIZES, "nominal size of the pipe, in inches", "1/2")
    trunk_length_ft: float = number("pipe of a larger trunk before that, beside pipe_length_ft", 0.0, low=0, high=1000)
    trunk_size: str = choice(PIPE_SIZES, "nominal size of that trunk, in inches", "3/4")
    at_peak: bool = flag("runs in the busiest minutes", True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """A row of use.csv: how one load is used, where the user knows better than the defaults by kind."""

    id: str = key("id of the appliance, water heater or point of use")
    of: str = choice(USE_OF, "whether the id is that of an appliance, a water heater or a point of use", "appliance")
    starts_per_day: float | None = number("how often a day it is switched on; blank: by kind", None, low=0, high=2000)
    run_min: float | None = number("how long one run takes; blank: by kind", None, above=0, high=1440)
    load_percent: float | None = number(
        "share of the nameplate that it draws while it runs; blank: by kind", None, above=0, high=100
    )
    profile: str = choice(("by kind", *USE_PROFILES), "how its starts spread over the day", "by kind")
    source: str = text("where these values come from", "")


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
