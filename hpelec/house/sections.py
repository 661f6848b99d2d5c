"""The records of house.toml: each field is a described column (see `house.columns`), in base units."""

from __future__ import annotations

from dataclasses import dataclass, field

from hpelec.core.editions import EDITIONS
from hpelec.house.columns import choice, flag, key, number, text, whole

LEVEL_LISTS = ("handbook", "trade_list", "quoted_2017")
"""Lists of recommended levels of light; each names its source in its rows."""
SURFACES = ("wall", "ceiling", "floor", "garage_wall")


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
    weather_file: str = text(
        "hourly weather file (.epw, or .csv as TMY3) in the house folder; when read, it gives the two air temperatures "
        "instead of mean_air_F and air_range_dF",
        "",
    )
    climate_source: str = text("where mean_air_F and air_range_dF come from (filled in by a weather file)", "")


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
class WaterSettings:
    """Section [water]."""

    design_cold_F: float | None = number(
        "coldest mains temperature; blank: computed from the climate", None, low=32, high=95
    )
    peak_fixtures_share_percent: float = number(
        "share of the marked peak flow taken to run at once", 100.0, above=0, high=100
    )
    draw_pattern: str = choice(
        ("by_rating", "very_small", "low", "medium", "high"),
        "day of draws that a tank is tried with: a test pattern, or the one that goes with its first hour",
        "by_rating",
    )
    recirculation_h: float = number("hours a day that a hot-water loop circulates; 0: no loop", 0.0, low=0, high=24)
    loop_length_ft: float | None = number(
        "length of the loop, out and back; blank: from floor area and levels", None, above=0, high=2000
    )
    loop_insulation_in: float = number("insulation round the loop", 0.75, low=0, high=4)
    pump_W: float | None = number("power of the loop's pump", None, above=0, high=500)
    point_of_use_pipe_ft: float = number(
        "pipe from a point-of-use heater to its fixture, where layouts are compared", 4.0, low=0, high=100
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """Section [prices]: the user's own prices. Each may be blank; a sum that needs a blank one is not given."""

    tankless_USD: float | None = number("a tankless heater for the house", None, low=0)
    storage_USD: float | None = number("a tank with elements", None, low=0)
    heat_pump_storage_USD: float | None = number("a tank with a heat pump", None, low=0)
    point_of_use_USD: float | None = number("a heater at its point of use", None, low=0)
    heater_circuit_USD: float | None = number("a heater's circuit: breaker, cable and work", None, low=0)
    hot_pipe_ft_USD: float | None = number("one foot of hot-water pipe, laid", None, low=0)
    barrier_hole_USD: float | None = number("one sealed hole in the air barrier", None, low=0)
    loop_pump_USD: float | None = number("pump, valve and control of a hot-water loop", None, low=0)
    energy_kWh_USD: float | None = number("one kilowatt-hour", None, low=0)
    water_gal_USD: float | None = number("one gallon of water and sewage", None, low=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class UseSettings:
    """Section [use]: how far the loads of one household are switched on at the same times."""

    busy_share_percent: float | None = number(
        "share of the hours at home that are busy ones; blank: the default of the tables", None, low=0, high=100
    )
    busy_factor: float | None = number(
        "how much oftener things are switched on in a busy hour; blank: the default of the tables", None, low=1, high=10
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
class LightingSettings:
    """Section [lighting]: what light is wanted and how it is counted. The defaults are ours, none is published."""

    levels_list: str = choice(LEVEL_LISTS, "list of recommended levels to judge by; all are shown", "handbook")
    work_plane_in: float = number("height at which light is counted", 30.0, low=0, high=60)
    efficacy: float = number(
        "lumens for each volt-ampere of a luminaire whose lumens are not given", 80.0, low=1, high=250
    )
    lumen_maintenance: float = number("share of its first light that a lamp keeps", 0.85, low=0.1, high=1)
    dirt_maintenance: float = number("share that dirt leaves", 0.95, low=0.1, high=1)
    other_maintenance: float = number("share that all other losses leave: driver, heat, voltage", 1.0, low=0.1, high=1)
    grid_ft: float = number("largest spacing of the points at which light is computed", 1.0, low=0.25, high=10)
    pendant_gap_in: float = number("gap wanted between a blade tip and what hangs", 6.0, low=0, high=60)
    closet_shelf_in: float = number("depth of shelves in closets", 12.0, low=0, high=48)
    closet_rod_in: float = number("height of the highest rod in closets", 66.0, low=0, high=120)
    tub_rim_in: float = number("height of a tub's rim above the floor", 20.0, low=0, high=48)
    shower_threshold_in: float = number("height of a shower's threshold above the floor", 4.0, low=0, high=24)


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
