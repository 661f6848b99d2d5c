"""The circuit of one piece of equipment, from its nameplate: minimum ampacity and breaker, the same for every step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from hpelec.common import rules_equipment as rules
from hpelec.common import rules_ratings as ratings
from hpelec.core.citing import Citation, cite
from hpelec.core.errors import RangeError
from hpelec.core.findings import Verdict
from hpelec.core.working import Line, line

COMPRESSOR = ("heat_pump", "air_conditioner")
TANKLESS = ("tankless", "point_of_use_tankless")
TANKS = ("storage", "heat_pump_storage", "point_of_use_storage")
SOURCES = ("solar", "storage")
MOTORS = ("pump", "fan", "ventilator", "disposer")
"""Kinds that are motors by their nature, compressors apart, whether or not the row says so."""
SPACE_HEATING = "fixed electric space heating incl. its motors"
CONTINUOUS = "any continuous load (3 h or more)"
SHORT_TANK = "storage water heater of 120 gal (450 L) or less"
TANKLESS_HEATER = "tankless water heater"
FACTOR_BY_KIND = {
    "vehicle_charger": "EVSE",
    "room_heater": SPACE_HEATING,
    "supplemental_heat": SPACE_HEATING,
    "furnace": SPACE_HEATING,
    "spa": "electric pool/spa water heater",
    "kiln": "kiln",
}
"""Kind of appliance -> load of the table loads/branch_circuit_factors."""
IN_WORDS = {
    "EVSE": "vehicle charger, continuous",
    SPACE_HEATING: "fixed space heating",
    "electric pool/spa water heater": "spa heater",
    "kiln": "kiln, taken as continuous",
    CONTINUOUS: "continuous load",
    SHORT_TANK: "tank up to 120 gal",
    TANKLESS_HEATER: "tankless heater",
}
"""Load of that table -> the few words that a table of ours has room for."""
LEAST_BREAKER_A = 15.0
"""Smallest breaker proposed for a branch circuit; no smaller branch-circuit rating is used in a dwelling."""


def factor_of_appliance(kind: str, continuous: bool) -> str:
    """The row of the branch-circuit factors that an appliance follows; blank for none."""
    return FACTOR_BY_KIND.get(kind, CONTINUOUS if continuous or kind in SOURCES else "")


def factor_of_heater(kind: str, volume_gal: float) -> str:
    """The row of the branch-circuit factors that a water heater follows; blank for none."""
    if kind in TANKLESS:
        return TANKLESS_HEATER
    return SHORT_TANK if kind in TANKS and volume_gal <= 120 else ""


def motor_current_A(motor_hp: float | None, voltage_V: float, kind: str) -> float | None:
    """Full-load current of a motor by its horsepower [A]; None without one, for a compressor, or outside the table."""
    if motor_hp is None or kind in COMPRESSOR:
        return None
    try:
        return rules.motor_full_load_A(motor_hp, voltage_V)
    except RangeError:
        return None


@dataclass(frozen=True, slots=True)
class Rated:
    """One piece of equipment as its circuit sees it.

    load_VA: nameplate. current_A: what flows in its circuit (a range by its demand, a motor by its table).
    factor_of: row of the branch-circuit factors, or blank. duty_percent: of an arc welder. water_heater: tells a
    storage tank from a battery, which share a word.
    """

    id: str
    kind: str
    voltage_V: float
    load_VA: float
    current_A: float
    factor_of: str = ""
    motor: bool = False
    mca_A: float | None = None
    mocp_A: float | None = None
    duty_percent: float | None = None
    motor_hp: float | None = None
    water_heater: bool = False


def nominal_V(row_V: float, service_V: float) -> float:
    """Voltage of equipment on a service [V]: equipment for 240 V stands at 208 V where the service has 208 V."""
    return min(row_V, service_V) if row_V > 120 else row_V


def rated_appliance(
    id: str,
    kind: str,
    voltage_V: float,
    load_VA: float,
    *,
    continuous: bool = False,
    motor: bool = False,
    motor_hp: float | None = None,
    mca_A: float | None = None,
    mocp_A: float | None = None,
    duty_percent: float | None = None,
) -> Rated:
    """An appliance as its circuit sees it. load_VA: nameplate, 0 where it is not known."""
    branch_VA = rules.range_branch_VA(load_VA) if kind == "range" and load_VA > 0 else load_VA
    table_A = motor_current_A(motor_hp, voltage_V, kind)
    return Rated(
        id,
        kind,
        voltage_V,
        load_VA,
        branch_VA / voltage_V if table_A is None else table_A,
        factor_of=factor_of_appliance(kind, continuous),
        motor=motor or motor_hp is not None or kind in MOTORS,
        mca_A=mca_A,
        mocp_A=mocp_A,
        duty_percent=duty_percent,
        motor_hp=motor_hp,
    )


def rated_heater(id: str, kind: str, voltage_V: float, load_VA: float, volume_gal: float) -> Rated:
    """A water heater as its circuit sees it."""
    return Rated(
        id,
        kind,
        voltage_V,
        load_VA,
        load_VA / voltage_V,
        factor_of=factor_of_heater(kind, volume_gal),
        water_heater=True,
    )


def circuits_of(item: Rated) -> int:
    """Circuits of one piece: a tankless heater is subdivided so that none carries more than 48 A."""
    return rules.subdivisions(item.current_A) if item.water_heater and item.kind in TANKLESS else 1


@dataclass(frozen=True, slots=True)
class Doubt:
    """What the sizing has to say beside its numbers, as a step turns it into a finding."""

    id: str
    rule: str
    got: str
    allowed: str
    fix: str
    verdict: Verdict
    citation: Citation


@dataclass(frozen=True, slots=True)
class Sized:
    """Breaker and what the cable must carry.

    needed_A: smallest cable ampacity. minimum_A: the clause's own minimum circuit ampacity, where it is another.
    marked: the breaker may exceed the cable's ampacity (240.4(G)). most_A: largest breaker, where a clause has one.
    """

    breaker_A: float
    needed_A: float
    marked: bool
    citation: Citation
    basis: str
    factor: float | None = None
    minimum_A: float | None = None
    most_A: float | None = None
    working: tuple[Line, ...] = field(default=())
    doubts: tuple[Doubt, ...] = field(default=())


def sized(item: Rated, parts: int, edition: int) -> Sized:
    """The circuit of one piece of equipment, or each of the `parts` circuits of a subdivided one."""
    if item.kind == "welder" and not (item.mca_A is not None and item.mocp_A is not None):
        return _welder(item, edition)
    if item.mca_A is not None or item.mocp_A is not None:
        return _from_nameplate(item, edition)
    if item.current_A <= 0:
        return _nothing(edition)
    if item.kind in COMPRESSOR:
        return _compressor(item, edition)
    return _from_load(item, parts, edition)


def _nothing(edition: int) -> Sized:
    by = cite(rules.branch_minimum_A, edition)
    said = Doubt(
        "load", "a circuit carries its load", "no load given", "", "the nameplate load", Verdict.CANNOT_SAY, by
    )
    return Sized(LEAST_BREAKER_A, LEAST_BREAKER_A, False, by, "nothing known", doubts=(said,))


def _from_nameplate(item: Rated, edition: int) -> Sized:
    """Breaker and ampacity where MCA or MOCP is marked; the marks win."""
    by = cite(rules.nameplate_breaker_A, edition)
    mca_A, mocp_A = item.mca_A, item.mocp_A
    if mca_A is not None and mocp_A is not None and mca_A <= mocp_A:
        breaker_A = rules.nameplate_breaker_A(mca_A, mocp_A, edition)
        told = line(f"{item.id} breaker", f"MCA {mca_A:g} A, MOCP {mocp_A:g} A", breaker_A, "A", by)
        return Sized(
            breaker_A, mca_A, item.kind in COMPRESSOR, by, "nameplate", minimum_A=mca_A, most_A=mocp_A, working=(told,)
        )
    doubts = []
    if mca_A is not None and mocp_A is not None:
        doubts.append(
            Doubt("nameplate", "MOCP is not below MCA", f"MCA {mca_A:g} A, MOCP {mocp_A:g} A", "MCA <= MOCP",
                  "read the nameplate again; MCA and MOCP may be exchanged", Verdict.MISSES, by)
        )  # fmt: skip
    lower_A = max(LEAST_BREAKER_A, mca_A if mca_A is not None else 0.0)
    if mca_A is None and mocp_A is not None and mocp_A >= LEAST_BREAKER_A:
        breaker_A = rules.breaker_within_A(mocp_A, edition)
    else:
        breaker_A = ratings.next_standard_A(lower_A, edition)
    if mca_A is None or mocp_A is None:
        doubts.append(
            Doubt("nameplate", "breaker between MCA and MOCP of the nameplate",
                  f"{breaker_A:g} A from the one value given", "", "the other of MCA and MOCP", Verdict.CANNOT_SAY, by)
        )  # fmt: skip
    told = line(f"{item.id} breaker", "from the nameplate value given", breaker_A, "A", by)
    needed_A = mca_A if mca_A is not None else breaker_A
    return Sized(
        breaker_A, needed_A, False, by, "nameplate", minimum_A=mca_A, most_A=mocp_A, working=(told,),
        doubts=tuple(doubts),
    )  # fmt: skip


def _compressor(item: Rated, edition: int) -> Sized:
    """A heat pump or air conditioner without its nameplate's MCA: the whole current taken as its compressor's."""
    mca_A = rules.hermetic_mca_A(item.current_A, 0.0)
    limit_A = rules.hermetic_most_A(item.current_A, 0.0)
    most_A = max(limit_A, LEAST_BREAKER_A, mca_A)
    breaker_A = max(rules.breaker_within_A(most_A, edition), LEAST_BREAKER_A)
    if breaker_A < mca_A:
        breaker_A = ratings.next_standard_A(mca_A, edition)
    by = cite(rules.hermetic_most_A, edition)
    working = (
        line(f"{item.id} minimum ampacity", f"1.25 x {item.current_A:.2f} A", mca_A, "A", rules.hermetic_mca_A),
        line(f"{item.id} breaker", f"1.75 x {item.current_A:.2f} A, rounded down", breaker_A, "A", by),
    )
    said = Doubt(
        "nameplate", "breaker and cable follow the nameplate of compressor equipment",
        f"{breaker_A:g} A taken from its load", "", "MCA and MOCP of the nameplate", Verdict.CANNOT_SAY, by,
    )  # fmt: skip
    return Sized(
        breaker_A, mca_A, False, by, "compressor without nameplate circuit", factor=1.25, minimum_A=mca_A,
        most_A=limit_A, working=working, doubts=(said,),
    )  # fmt: skip


def _welder(item: Rated, edition: int) -> Sized:
    """An arc welder: conductors by its duty cycle, breaker from its rated primary current."""
    if item.current_A <= 0:
        return _from_nameplate(item, edition) if item.mca_A or item.mocp_A else _nothing(edition)
    by = cite(rules.welder_effective_A, edition)
    duty_percent = 100.0 if item.duty_percent is None else item.duty_percent
    share = rules.welder_multiplier(duty_percent, motor_generator=item.motor)
    effective_A = rules.welder_effective_A(item.current_A, duty_percent, motor_generator=item.motor)
    expression = f"{item.current_A:.2f} A x {share:g} at {duty_percent:g} % duty"
    if item.mca_A is not None:
        effective_A, expression, share = item.mca_A, "effective primary current of the nameplate", 1.0
    most_A = rules.welder_device_most_A(item.current_A, edition)
    breaker_A = ratings.next_standard_A(max(item.current_A, effective_A, LEAST_BREAKER_A), edition)
    if item.mocp_A is not None and item.mocp_A >= max(effective_A, LEAST_BREAKER_A):
        breaker_A = rules.nameplate_breaker_A(effective_A, min(item.mocp_A, most_A), edition)
        most_A = min(item.mocp_A, most_A)
    needed_A = rules.welder_conductor_A(effective_A, breaker_A)
    doubts = []
    if item.duty_percent is None and item.mca_A is None:
        doubts.append(
            Doubt("welder-duty", "conductors of a welder follow its duty cycle", "no duty cycle given: taken as 100 %",
                  "", "the duty cycle or the effective primary current of the nameplate", Verdict.CANNOT_SAY, by)
        )  # fmt: skip
    working = (
        line(f"{item.id} must carry", expression, effective_A, "A", by),
        line(f"{item.id} breaker", f"next standard rating from the primary current, at most {most_A:g} A", breaker_A,
             "A", rules.welder_device_most_A, edition),
        line(f"{item.id} cable behind that breaker", f"larger of {effective_A:.2f} A and {breaker_A:g} A / 2",
             needed_A, "A", rules.welder_conductor_A, edition),
    )  # fmt: skip
    return Sized(
        breaker_A, needed_A, True, by, "arc welder, by duty cycle", factor=share, minimum_A=effective_A, most_A=most_A,
        working=working, doubts=tuple(doubts),
    )  # fmt: skip


def _from_load(item: Rated, parts: int, edition: int) -> Sized:
    """Breaker from the load and its factor."""
    current_A = item.current_A / parts
    row = rules.factor_row(item.factor_of) if item.factor_of else None
    factor = row.number("factor") if row else 1.0
    by = row.citation if row else cite(rules.branch_minimum_A, edition)
    needed_A, basis = rules.branch_minimum_A(current_A, factor), IN_WORDS.get(item.factor_of, "load as it is")
    if item.motor and factor == 1.0:
        needed_A, by, basis = rules.motor_branch_A(current_A), cite(rules.motor_branch_A, edition), "motor"
    expression, current_by = _current_told(item, parts, edition)
    least_A, least_by = _least_breaker(item)
    start_A = max(needed_A, least_A)
    breaker_A = ratings.next_standard_A(start_A, edition)
    shown_by = least_by if least_by is not None and least_A > needed_A else ratings.next_standard_A
    working = (
        line(f"{item.id} current", expression, current_A, "A", current_by),
        line(f"{item.id} must carry", f"{current_A:.2f} A x {needed_A / current_A:g}", needed_A, "A", by),
        line(f"{item.id} breaker", f"next standard rating from {start_A:.2f} A", breaker_A, "A",
             cite(shown_by, edition)),
    )  # fmt: skip
    carried_A = max(needed_A, least_A if least_A > LEAST_BREAKER_A else 0.0)
    return Sized(
        breaker_A, carried_A, False, by, basis, factor=needed_A / current_A, minimum_A=needed_A,
        most_A=_most_A(item, current_A, edition), working=working,
    )  # fmt: skip


def _current_told(item: Rated, parts: int, edition: int) -> tuple[str, Citation]:
    """The current of the circuit as an expression, and its rule."""
    if item.motor_hp is not None and abs(item.current_A * item.voltage_V - item.load_VA) > 0.5:
        return f"{item.motor_hp:g} hp at {item.voltage_V:g} V, by the table", cite(rules.motor_full_load_A, edition)
    shared = f" / {parts} circuits" if parts > 1 else ""
    if item.kind == "range":
        branch_VA = item.current_A * item.voltage_V
        return f"{branch_VA:,.0f} VA / {item.voltage_V:g} V{shared}", cite(rules.range_branch_VA, edition)
    return f"{item.load_VA:,.0f} VA / {item.voltage_V:g} V{shared}", cite(rules.branch_minimum_A, edition)


def _least_breaker(item: Rated) -> tuple[float, Callable[..., float] | None]:
    """Smallest breaker that a rule or the trade sets for the kind, and that rule."""
    if item.kind == "range":
        return rules.range_breaker_min_A(item.load_VA), rules.range_breaker_min_A
    if item.kind == "dryer":
        return rules.dryer_breaker_min_A(item.voltage_V), rules.dryer_breaker_min_A
    return LEAST_BREAKER_A, None


def _most_A(item: Rated, current_A: float, edition: int) -> float | None:
    """Largest breaker of an unmarked tank water heater, or of a motor by itself; None where no rule is at hand."""
    if item.water_heater and item.kind in TANKS:
        return rules.appliance_most_A(current_A, edition)
    return rules.motor_device_most_A(current_A, edition) if item.kind in MOTORS else None
