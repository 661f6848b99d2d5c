"""The records of house.toml that describe the supply of power; see `house.sections`."""

from __future__ import annotations

from dataclasses import dataclass

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
BUILDING_KINDS = ("second_dwelling", "garage", "workshop", "barn", "shed", "other")
DWELLING = "second_dwelling"


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
    lateral_method: str = choice(
        ("pvc40", "pvc80", "hdpe", "rmc", "direct_buried"),
        "wiring method of an underground lateral: PVC conduit schedule 40 or 80, HDPE conduit, rigid metal conduit, or "
        "direct-burial conductors",
        "pvc40",
    )
    lateral_insulation: str = choice(
        ("XHHW-2", "THWN-2", "USE-2"), "type of the lateral's conductors; direct-buried ones are USE-2", "XHHW-2"
    )
    lateral_under: str = choice(
        ("yard", "driveway", "road", "slab", "building", "concrete_in_trench"),
        "what the trench runs under, where the least cover is largest",
        "yard",
    )
    cover_in: float | None = number(
        "cover planned, from the top of the wiring to grade; blank: the least by the code", None, low=0, high=120
    )
    concrete_encased: bool = flag("the underground lateral is encased in concrete", False)
    trench_owner: str = choice(("utility", "customer"), "who digs and fills the trench", "customer")
    conduit_owner: str = choice(("utility", "customer"), "who provides the conduit of the lateral", "customer")
    conduit_size: str = choice(
        ("auto", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4"),
        "trade size of the lateral's conduit, as the utility asks; auto: the smallest by fill",
        "auto",
    )
    spare_conduits: int = whole("empty conduits laid in the same trench", 0, low=0, high=6)
    trench_width_in: float | None = number(
        "width of the trench; blank: a usual bucket, or what the conduits need", None, above=0, high=120
    )
    bedding_in: float = number("bedding below the wiring", 3.0, low=0, high=24)
    riser_method: str = choice(
        ("pvc80", "pvc40", "rmc"), "conduit that protects the conductors where they leave the ground", "pvc80"
    )
    bends_deg: tuple[float, ...] = numbers(
        "bends of the lateral's conduit in order from the transformer; a single 0: none", (90.0, 90.0), low=0, high=180
    )
    bends_at_ft: tuple[float, ...] = numbers(
        "where they are, from the transformer; left out: the first and last at the ends, others evenly between",
        (),
        low=0,
        high=5000,
    )
    bend_radius_in: float = number("inside radius of the bends", 24.0, above=0, high=240)
    pull_friction: float = number("friction of the conductors in the conduit", 0.5, low=0, high=2)
    reel_tension_lb: float = number("tension with which the conductors leave the reel", 0.0, low=0, high=2000)
    attachment_ft: float | None = number(
        "overhead: height of the point of attachment at the house above grade", None, above=0, high=60
    )
    pole_attachment_ft: float | None = number(
        "overhead: height of the attachment at the pole, above the same grade", None, above=0, high=100
    )
    span_ft: float | None = number(
        "overhead: free span from the last pole; blank: the whole lateral", None, above=0, high=5000
    )
    sag_ft: float | None = number(
        "overhead: sag in the middle of the span below the line between its supports", None, low=0, high=50
    )
    drop_over: str = choice(("walk", "driveway", "road"), "overhead: what the drop crosses", "driveway")
    drop_over_roof: str = choice(
        ("none", "overhang", "steep", "flat"),
        "overhead: roof below the drop: none, only its overhang, slope of 4 in 12 or more, flatter",
        "none",
    )
    roof_clearance_ft: float | None = number("overhead: clearance above that roof", None, low=0, high=60)
    window_distance_ft: float | None = number(
        "overhead: distance of the drop's conductors from the nearest window, door or porch", None, low=0, high=100
    )
    motor_starts_per_hour: float = number("starts of the largest motor in an hour", 4.0, above=0, high=3600)
    expected_kWh: float | None = number(
        "energy that the house as designed is expected to use in a year, from a simulation or from bills",
        None,
        low=0,
        high=1e6,
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
