"""The records of house.toml: each field is a described column (see `house.columns`), in base units."""

from __future__ import annotations

from dataclasses import dataclass, field

from hpelec.core.editions import EDITIONS
from hpelec.house.columns import choice, flag, key, number, numbers, text, whole

BUILD_STAGES = (
    "groundwork",
    "framing",
    "rough-in",
    "seal",
    "interim test",
    "insulation",
    "gypsum",
    "trim",
    "final test",
    "occupied",
)
"""Stages of the work in order; those from framing to the final test are the stages of the sealing plan."""
SURFACES = ("wall", "ceiling", "floor", "garage_wall")
BUILDING_KINDS = ("second_dwelling", "garage", "workshop", "barn", "shed", "other")
DWELLING = "second_dwelling"


@dataclass(frozen=True, slots=True, kw_only=True)
class General:
    """Section [house]."""

    name: str = text("name of the house, as the report shows it")
    note: str = text("a sentence about it (say here that it is invented, if it is)", "")
    project: str = choice(("new", "existing"), "a new dwelling, or an existing one being electrified", "new")
    edition: int = choice(EDITIONS, "edition of NFPA 70 that applies", 2023)
    load_method: str = choice(
        ("lowest", "standard", "optional", "existing", "measured", "dwellings"),
        "which load calculation sets the service: one by name, or the lowest of those that apply",
        "lowest",
    )
    show_metric: bool = flag("show lengths, flows and temperatures in metric", False)
    floor_area_ft2: float = number(
        "floor area by outside dimensions, all floors, without garage and open porches", above=0
    )
    bedrooms: int = whole("number of bedrooms", 3, low=0, high=20)
    occupants: int = whole("number of people", 3, low=1, high=30)
    small_appliance_circuits: int = whole("20 A small-appliance branch circuits", 2, low=2, high=10)
    laundry_circuits: int = whole("20 A laundry branch circuits", 1, low=1, high=5)
    outlets_per_circuit: int = whole(
        "most outlets on one general 15 A circuit: your own practice, the code sets none for dwellings",
        10,
        low=1,
        high=50,
    )
    heating_zones: int = whole("separately controlled electric space heaters", 1, low=1, high=50)
    annual_kWh: float | None = number(
        "electricity used in a year by this house's own meter, if it is known", None, low=0, high=1e6
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitSettings:
    """Section [circuits]: the user's own habits for circuits and panels."""

    spare_percent: float = number(
        "share of a panel's spaces to keep free for later: your own practice, the code sets none",
        20.0,
        low=0,
        high=80,
    )
    multiwire: str = choice(
        ("none", "small_appliance", "general", "all"),
        "which 120 V circuits are paired as multiwire circuits, two on one three-wire cable with a shared neutral",
        "none",
    )
    drop_limit_percent: float = number("largest voltage drop wanted on a branch circuit", 3.0, above=0, high=10)
    leg_limit_percent: float = number(
        "largest difference wanted between the legs of a panel, as a share of the larger: your own practice",
        20.0,
        low=0,
        high=100,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Section [place]."""

    latitude_deg: float = number("latitude, north positive", low=-90, high=90)
    climate_zone: str = text("climate zone of the adopted energy code, e.g. 6A")
    mean_air_F: float = number("annual mean of the hourly outdoor air temperature", low=-20, high=100)
    air_range_dF: float = number("hottest minus coldest monthly mean air temperature", low=0, high=120)
    winter_design_F: float = number("winter design outdoor temperature", low=-80, high=80)
    summer_design_F: float = number("summer design outdoor temperature", low=40, high=130)
    elevation_ft: float = number("height above sea level", 0.0, low=-1500, high=20000)


@dataclass(frozen=True, slots=True, kw_only=True)
class Envelope:
    """Section [envelope]: the volume inside the air barrier, its area, the airtightness wanted."""

    volume_ft3: float = number("conditioned volume, as the target's own standard counts it", above=0)
    area_ft2: float = number("area of the air barrier, all six sides", above=0)
    target_metric: str = choice(
        ("ACH50", "q50", "q75"), "metric of the target: air changes at 50 Pa, or flow per envelope area", "ACH50"
    )
    target_limit: float = number("limit in that metric: 1/h for ACH50, cfm/ft2 for q50 and q75", above=0)
    target_source: str = text("where the target comes from (standard and edition, or the client)")
    background_best_cfm50: float | None = number(
        "leakage of everything that is not electrical: best estimate", None, low=0
    )
    background_low_cfm50: float | None = number("the same, lowest likely", None, low=0)
    background_high_cfm50: float | None = number("the same, highest likely", None, low=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceSite:
    """Section [service]: what the utility offers and how far it is."""

    voltage_V: float = choice((240.0, 208.0), "line-to-line voltage: 240 (120/240 V) or 208 (208Y/120 V)", 240.0)
    offered_A: tuple[float, ...] = numbers(
        "service ratings the utility offers", (100.0, 125.0, 150.0, 200.0, 320.0, 400.0), low=30, high=2000
    )
    lateral: str = choice(("underground", "overhead"), "how the supply reaches the house", "underground")
    lateral_length_ft: float = number("one-way length from transformer to meter", above=0, high=5000)
    lateral_material: str = choice(("al", "cu"), "metal of the lateral conductors", "al")
    lateral_owner: str = choice(("utility", "customer"), "who owns the lateral", "utility")
    feeder_material: str = choice(("al", "cu"), "metal of service-entrance conductors and feeders", "al")
    service_entrance_length_ft: float = number("one-way length from meter to main panel", 10.0, above=0, high=1000)
    drop_limit_percent: float = number("largest voltage drop wanted on the lateral", 3.0, above=0, high=10)
    transformer_kVA: float | None = number("rating of the transformer, if known", None, above=0)
    transformer_impedance_percent: float | None = number(
        "impedance of the transformer, if known", None, above=0, high=20
    )
    existing_service_A: float | None = number("rating of the service that stands, for an existing house", None, above=0)
    serves: str = choice(
        ("one_family", "other", "two_circuits", "one_circuit"),
        "what the service supplies, for the smallest disconnect allowed (two_circuits: not more than two 2-wire ones)",
        "one_family",
    )
    main_rated_percent: float = choice(
        (80.0, 100.0), "share of its rating that the main may carry for three hours or more, by its label", 80.0
    )
    metering_limit_A: float | None = number(
        "continuous current above which the utility meters through instrument transformers; blank: not asked yet, 320 "
        "is taken",
        None,
        above=0,
        high=2000,
    )
    meter_200_continuous_A: float | None = number(
        "continuous rating on the label of class 200 meter equipment, 160 to 200; blank: not known",
        None,
        low=160,
        high=200,
    )
    disconnects: int = whole("service disconnects (mains) side by side", 1, low=1, high=20)
    disconnects_grouped: bool = flag("they stand together at one place", True)
    disconnect_enclosures: str = choice(
        ("separate", "one"), "each disconnect in an enclosure or panel of its own, or several in one", "separate"
    )
    supply_insulation_C: int = choice(
        (75, 90), "wet rating of the insulation of service-entrance conductors, lateral and feeders", 75
    )
    supply_ambient_F: float = number(
        "hottest air round service-entrance conductors and feeders, without what a roof in the sun adds",
        86.0,
        low=-40,
        high=185,
    )
    supply_conductors: int | None = whole(
        "current-carrying conductors together in one raceway or cable of them; blank: those of one circuit (its "
        "neutral counts at 208Y/120 V only)",
        None,
        low=2,
        high=60,
    )
    supply_roof_clearance_in: float | None = number(
        "clearance of their raceway or cable above a roof in the sun; blank: not on a roof, or XHHW-2 (exempt)",
        None,
        low=0,
        high=120,
    )
    supply_in_insulation: bool = flag("they are service-entrance cable inside thermal insulation", False)
    terminals_75C: bool = flag("all terminals of the feeders and their panels are marked for 75 C", False)
    available_fault_A: float | None = number(
        "available fault current that the utility states, line to line; blank: from the transformer", None, above=0
    )
    available_fault_at: str | None = choice(
        ("transformer", "meter"), "where that current is stated; blank: at the meter, the careful reading", None
    )
    surge_protector: str | None = choice(
        ("none", "type 1", "type 2", "type 3"), "surge protector at the service; blank: not known", None
    )
    surge_nominal_kA: float | None = number("its nominal discharge current, from its label", None, above=0, high=200)
    emergency_disconnect: str | None = choice(
        ("outside_on_house", "outside_in_sight", "outside_elsewhere", "inside", "none"),
        "where the emergency disconnect stands, in sight meaning within 50 ft; blank: not known",
        None,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TemporarySupply:
    """Section [temporary]: what feeds the site until the permanent service is live."""

    rating_A: float | None = number("main of the temporary supply; blank: there is none", None, low=15, high=1200)
    voltage_V: float = choice((240.0, 120.0), "240 for a three-wire 120/240 V supply, 120 for a two-wire one", 240.0)
    source: str = choice(
        ("pole", "existing_service", "generator"),
        "where it comes from; an existing house may keep its old service",
        "pole",
    )
    live_stage: str = choice(BUILD_STAGES, "stage at whose start the permanent service goes live", "trim")
    people_protected: bool | None = flag(
        "all 125 V, 15, 20 and 30 A receptacles that people use on site have ground-fault protection", None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Grounding:
    """Section [grounding]: electrodes and bonding; blank everywhere means not known."""

    concrete_encased: bool | None = flag(
        "reinforcing bar or copper, 20 ft or more, in a footing in contact with the earth", None
    )
    metal_water_pipe: bool | None = flag("metal water pipe, 10 ft or more in contact with the earth", None)
    building_frame: bool | None = flag("metal frame of the building in contact with the earth", None)
    ground_ring: bool | None = flag("bare copper ring round the house, 2 AWG or larger, 20 ft or more", None)
    rods: int | None = whole("ground rods, 8 ft or longer", None, low=0, high=50)
    rod_spacing_ft: float | None = number("smallest distance between rods", None, low=0, high=1000)
    rod_resistance_ohm: float | None = number("measured resistance of a single rod", None, low=0, high=100000)
    water_piping_metal: bool | None = flag("water piping inside the house is metal", None)
    gas_piping: bool | None = flag("there is metal gas piping", None)
    intersystem_terminals: int | None = whole(
        "conductors that the bonding termination for other systems takes", None, low=0, high=50
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterSettings:
    """Section [water]."""

    design_cold_F: float | None = number(
        "coldest mains temperature; blank: computed from the climate", None, low=32, high=95
    )
    peak_fixtures_share_percent: float = number(
        "share of the marked peak flow taken to run at once", 100.0, above=0, high=100
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Routing:
    """Section [routing]: what a cable route costs. All weights are the user's own; none is a published value."""

    cable_cost_USD: float = number("weight of one foot of cable", 1.0, low=0)
    hole_cost_USD: float = number("weight of one bored hole in framing", 2.0, low=0)
    crossing_cost_USD: float = number("weight of one sealed crossing of the air barrier", 40.0, low=0)
    insulation_cost_USD: float = number("weight of one foot of cable in insulation", 3.0, low=0)
    hole_min: float = number("minutes to bore one hole", 2.0, low=0)
    pull_min: float = number("minutes to pull one foot of cable", 0.25, low=0)
    joist_direction: str = choice(
        ("east-west", "north-south"), "direction the floor and ceiling joists run", "north-south"
    )
    joist_spacing_in: float = number("spacing of joists", 16.0, above=0, high=48)
    stud_spacing_in: float = number("spacing of studs", 16.0, above=0, high=48)
    run_below_floor_in: float = number("depth of a run below the floor surface", 12.0, low=0, high=60)
    run_above_ceiling_in: float = number("height of a run above the ceiling surface", 6.0, low=0, high=60)
    end_allowance_box_in: float = number("cable left at each box", 8.0, low=6.25, high=60)
    end_allowance_panel_ft: float = number("cable left at each panel", 5.0, low=0, high=20)
    waste_percent: float = number("cable bought beyond the lengths drawn", 10.0, low=0, high=100)


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One layer of an assembly, listed from inside to outside."""

    material: str = text("what it is")
    thickness_in: float = number("thickness", above=0, high=60)
    thermal_R: float = number("thermal resistance of the layer", 0.0, low=0)
    vapour_perm: float | None = number("vapour permeance of the layer", None, low=0)
    air_barrier: bool = flag("this layer is the air barrier of the surface", False)
    service_cavity: bool = flag("cables and boxes run in this layer", False)
    insulation: bool = flag("cables in this layer disturb insulation", False)
    rain_screen: bool = flag("a drained and vented gap: nothing sealed there counts", False)
    vapour_retarder: bool = flag("this layer is the vapour retarder", False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly:
    """One table [[assemblies]] of house.toml: how a surface of the envelope is built."""

    id: str = key()
    surface: str = choice(SURFACES, "which surface of the envelope it is")
    layers: tuple[Layer, ...] = field(default=(), metadata={"meaning": "layers from inside to outside"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """One table [[levels]] of house.toml."""

    id: str = key()
    name: str = text("name shown on the plan", "")
    floor_ft: float = number("height of the floor surface", 0.0, low=-50, high=200)
    ceiling_height_ft: float = number("floor to ceiling", above=0, high=40)
    below: str = text("space id under this level, or `level` (another level) or `ground` (slab)", "ground")
    above: str = text("space id above this level, or `level` or `roof`", "roof")


@dataclass(frozen=True, slots=True, kw_only=True)
class Space:
    """One table [[spaces]] of house.toml: crawl space, attic, basement or the like that is no room."""

    id: str = key()
    kind: str = choice(("crawl_space", "attic", "basement", "floor_cavity", "roof_cavity"), "what it is")
    inside_air_barrier: bool = flag("it lies inside the air barrier")
    cables_allowed: bool = flag("cables may run in it", True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """Section [measured]: a record of what an existing house drew. A blank entry is asked for, never guessed."""

    peak_VA: float | None = number(
        "largest demand in the record, an average over the interval", None, above=0, high=1e6
    )
    peak_A: float | None = number(
        "the same in amperes of the highest-loaded line, where no VA is given", None, above=0, high=5000
    )
    period_days: int | None = whole("length of the record in days: 365 or more, or 30 or more", None, low=1, high=36500)
    interval_min: float | None = number("interval over which the demand is averaged", None, above=0, high=1440)
    highest_line: bool | None = flag("the recorder was on the highest-loaded line (for a record under a year)", None)
    occupied: bool | None = flag("the house was occupied during the record (for a record under a year)", None)
    hvac_ran: bool | None = flag(
        "the larger of heating and cooling ran in the record (for a record under a year)", None
    )
    seasonal_VA: float | None = number(
        "load of a season or of another period that did not run in the record; blank with hvac_ran = no: the larger "
        "of the heating and cooling that stands",
        None,
        low=0,
        high=1e6,
    )
    sources_or_shaving: bool | None = flag("solar, storage or any shaving of peaks worked during the record", None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Building:
    """One table [[buildings]] of house.toml: another building or second dwelling that the house's service feeds."""

    id: str = key()
    name: str = text("what people call it")
    kind: str = choice(BUILDING_KINDS, "what it is; a second dwelling is calculated as a dwelling")
    status: str = choice(
        ("new", "existing"), "new, or existing (its load stood when an existing house was measured)", "new"
    )
    floor_area_ft2: float | None = number(
        "floor area by outside dimensions; needed for a second dwelling, not used for others", None, above=0, high=1e5
    )
    small_appliance_circuits: int | None = whole(
        "second dwelling: 20 A small-appliance branch circuits; blank: 2", None, low=2, high=10
    )
    laundry_circuits: int | None = whole(
        "second dwelling: 20 A laundry branch circuits; blank: 1; 0 where laundry is shared or not permitted",
        None,
        low=0,
        high=5,
    )
    heating_zones: int = whole("separately controlled electric space heaters", 1, low=1, high=50)
    receptacle_yokes: int = whole("receptacle yokes that no dwelling's unit load covers", 0, low=0, high=500)
    lighting_VA: float = number("lighting that no dwelling's unit load covers", 0.0, low=0, high=1e6)
    circuits: int | None = whole("branch circuits in it; blank: counted from its loads", None, low=1, high=84)
    feeder_length_ft: float | None = number("one-way length of its feeder", None, above=0, high=5000)
    feeder_rating_A: float | None = number(
        "rating of its feeder's breaker; blank: from its load", None, above=0, high=1200
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class EnergyManagement:
    """One table [[energy_managements]] of house.toml: a control that keeps loads within a set point."""

    id: str = text("its name, as the column managed_by of appliances and heaters writes it")
    kind: str = choice(
        ("group", "service"),
        "group: limits the loads that name it; service: limits all that the service carries",
        "group",
    )
    setpoint_A: float = number("set point in amperes of each line", above=0, high=2000)
    restricted_access: bool = flag("the setting is behind a lock, a tool or a password of qualified people", False)
    minimum_A: float = number("least current at which the controlled loads still run", 0.0, low=0, high=2000)
