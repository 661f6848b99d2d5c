"""Circuits of their own: from an appliance or water heater to breaker and cable."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from hpelec.common import rules_ratings as ratings
from hpelec.core.citing import Citation, cite
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.working import Line, line
from hpelec.house.rows import Appliance, Heater
from hpelec.steps.circuits import rules, rules_cable
from hpelec.steps.circuits.model import Circuit

ALWAYS_OWN = ("vehicle_charger", "furnace", "air_handler", "spa", "solar", "storage")
SOURCES = ("solar", "storage")
COMPRESSOR = ("heat_pump", "air_conditioner")
TANKLESS = ("tankless", "point_of_use_tankless")
TANKS = ("storage", "heat_pump_storage", "point_of_use_storage")
WITH_NEUTRAL = ("range", "wall_oven", "cooktop", "dryer", "spa")
FACTOR_BY_KIND = {
    "vehicle_charger": "EVSE",
    "room_heater": "fixed electric space heating incl. its motors",
    "supplemental_heat": "fixed electric space heating incl. its motors",
    "furnace": "fixed electric space heating incl. its motors",
    "spa": "electric pool/spa water heater",
}
"""Kind of appliance -> load of the table loads/branch_circuit_factors."""
CONTINUOUS = "any continuous load (3 h or more)"


@dataclass(slots=True)
class Notes:
    """What the making of circuits has to tell: working, findings, assumptions."""

    edition: int
    working: list[Line] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    assumptions: list[Assumption] = field(default_factory=list)

    def find(
        self, id: str, place: str, rule: str, got: str, allowed: str, fix: str, verdict: Verdict, by: Citation
    ) -> None:
        """Add a finding of this step."""
        self.findings.append(Finding(id, "circuits", place, rule, got, allowed, fix, verdict, by))


@dataclass(frozen=True, slots=True)
class Equipment:
    """One piece of equipment as a circuit sees it."""

    id: str
    name: str
    kind: str
    voltage_V: float
    load_VA: float
    current_A: float
    factor_of: str
    motor: bool
    mca_A: float | None
    mocp_A: float | None
    count: int
    subdivide: bool
    source: bool


@dataclass(frozen=True, slots=True)
class Sized:
    """Breaker and what the cable must carry."""

    breaker_A: float
    needed_A: float
    marked: bool
    citation: Citation


def present(rows: Iterable[Appliance] | Iterable[Heater]) -> list[Appliance | Heater]:
    """Rows of the house itself that are not removed, by id; another building has circuits of its own."""
    return sorted((r for r in rows if r.status != "removed" and not r.building), key=lambda r: r.id)


def load_of(row: Appliance | Heater, voltage_V: float) -> float | None:
    """Nameplate load [VA], from VA or from amperes; None when neither is given."""
    if row.power_VA is not None:
        return row.power_VA
    current_A = row.current_A if isinstance(row, Appliance) else None
    return None if current_A is None else current_A * voltage_V


def has_own_circuit(row: Appliance | Heater) -> bool:
    """True when this equipment gets a circuit of its own."""
    if isinstance(row, Heater):
        return True
    marked = row.mca_A is not None or row.mocp_A is not None
    if row.kind == "washer" and row.voltage_V <= 120 and not marked:
        return False
    load_VA = load_of(row, row.voltage_V) or 0.0
    large = load_VA > rules.shared_appliance_most_VA(15.0)
    return (
        row.kind in ALWAYS_OWN
        or large
        or rules.needs_own_circuit(load_VA, row.voltage_V, row.fastened_in_place, marked)
    )


def equipment_of(row: Appliance | Heater, service_V: float, notes: Notes) -> Equipment:
    """The equipment behind a row, at the voltage that the service has."""
    voltage_V = min(row.voltage_V, service_V) if row.voltage_V > 120 else row.voltage_V
    load_VA = load_of(row, voltage_V)
    marked = isinstance(row, Appliance) and (row.mca_A is not None or row.mocp_A is not None)
    if load_VA is None:
        load_VA = (row.mca_A or row.mocp_A or 0.0) * voltage_V if isinstance(row, Appliance) else 0.0
        if marked:
            notes.assumptions.append(
                Assumption(
                    f"appliances.csv, {row.id}",
                    f"{load_VA:,.0f} VA counted on its panel",
                    "no load given: the marked circuit times the voltage, an upper bound",
                )
            )
    if isinstance(row, Heater):
        short_tank = row.kind in TANKS and row.volume_gal <= 120
        factor_of = "storage water heater of 120 gal (450 L) or less" if short_tank else ""
        factor_of = "tankless water heater" if row.kind in TANKLESS else factor_of
        return Equipment(
            row.id, row.name, row.kind, voltage_V, load_VA, load_VA / voltage_V, factor_of, False, None, None, 1,
            row.kind in TANKLESS, False,
        )  # fmt: skip
    factor_of = FACTOR_BY_KIND.get(row.kind, CONTINUOUS if row.continuous or row.kind in SOURCES else "")
    branch_VA = rules.range_branch_VA(load_VA) if row.kind == "range" and load_VA > 0 else load_VA
    return Equipment(
        row.id, row.name, row.kind, voltage_V, load_VA, branch_VA / voltage_V, factor_of, row.motor, row.mca_A,
        row.mocp_A, row.quantity, False, row.kind in SOURCES,
    )  # fmt: skip


def _from_nameplate(item: Equipment, notes: Notes) -> Sized:
    """Breaker and ampacity where MCA or MOCP is marked; the marks win."""
    edition = notes.edition
    by = cite(rules.nameplate_breaker_A, edition)
    mca_A, mocp_A = item.mca_A, item.mocp_A
    if mca_A is not None and mocp_A is not None and mca_A <= mocp_A:
        breaker_A = rules.nameplate_breaker_A(mca_A, mocp_A, edition)
        notes.working.append(line(f"{item.id} breaker", f"MCA {mca_A:g} A, MOCP {mocp_A:g} A", breaker_A, "A", by))
        return Sized(breaker_A, mca_A, item.kind in COMPRESSOR, by)
    if mca_A is not None and mocp_A is not None:
        notes.find(
            "nameplate", item.id, "MOCP is not below MCA", f"MCA {mca_A:g} A, MOCP {mocp_A:g} A", "MCA <= MOCP",
            "read the nameplate again; MCA and MOCP may be exchanged", Verdict.MISSES, by,
        )  # fmt: skip
    lower_A = max(15.0, mca_A if mca_A is not None else 0.0)
    if mca_A is None and mocp_A is not None and mocp_A >= 15:
        breaker_A = rules.breaker_within_A(mocp_A, edition)
    else:
        breaker_A = ratings.next_standard_A(lower_A, edition)
    if mca_A is None or mocp_A is None:
        notes.find(
            "nameplate", item.id, "breaker between MCA and MOCP of the nameplate",
            f"{breaker_A:g} A from the one value given", "", "the other of MCA and MOCP", Verdict.CANNOT_SAY, by,
        )  # fmt: skip
    notes.working.append(line(f"{item.id} breaker", "from the nameplate value given", breaker_A, "A", by))
    return Sized(breaker_A, mca_A if mca_A is not None else breaker_A, False, by)


def _compressor(item: Equipment, notes: Notes) -> Sized:
    """A heat pump or air conditioner without its nameplate's MCA: the whole current taken as its compressor's."""
    mca_A = rules.hermetic_mca_A(item.current_A, 0.0)
    most_A = max(rules.hermetic_most_A(item.current_A, 0.0), 15.0, mca_A)
    breaker_A = max(rules.breaker_within_A(most_A, notes.edition), 15.0)
    if breaker_A < mca_A:
        breaker_A = ratings.next_standard_A(mca_A, notes.edition)
    by = cite(rules.hermetic_most_A, notes.edition)
    notes.working += [
        line(f"{item.id} minimum ampacity", f"1.25 x {item.current_A:.2f} A", mca_A, "A", rules.hermetic_mca_A),
        line(f"{item.id} breaker", f"1.75 x {item.current_A:.2f} A, rounded down", breaker_A, "A", by),
    ]
    notes.find(
        "nameplate", item.id, "breaker and cable follow the nameplate of compressor equipment",
        f"{breaker_A:g} A taken from its load", "", "MCA and MOCP of the nameplate", Verdict.CANNOT_SAY, by,
    )  # fmt: skip
    return Sized(breaker_A, mca_A, False, by)


def _from_load(item: Equipment, parts: int, notes: Notes) -> Sized:
    """Breaker from the load and its factor."""
    edition = notes.edition
    current_A = item.current_A / parts
    row = rules.factor_row(item.factor_of) if item.factor_of else None
    factor = row.number("factor") if row else 1.0
    by = row.citation if row else cite(rules.branch_minimum_A, edition)
    needed_A = rules.branch_minimum_A(current_A, factor)
    if item.motor and factor == 1.0:
        needed_A, by = rules.motor_branch_A(current_A), cite(rules.motor_branch_A, edition)
    shown = f"{item.load_VA:,.0f} VA" if item.kind != "range" else f"{item.current_A * item.voltage_V:,.0f} VA"
    current_by = cite(rules.range_branch_VA, edition) if item.kind == "range" else cite(rules.branch_minimum_A, edition)
    shared = f" / {parts} circuits" if parts > 1 else ""
    notes.working += [
        line(f"{item.id} current", f"{shown} / {item.voltage_V:g} V{shared}", current_A, "A", current_by),
        line(f"{item.id} must carry", f"{current_A:.2f} A x {needed_A / current_A:g}", needed_A, "A", by),
    ]
    least_A = 15.0
    if item.kind == "range":
        least_A = rules.range_breaker_min_A(item.load_VA)
    elif item.kind == "dryer":
        least_A = rules.dryer_breaker_min_A(item.voltage_V)
    breaker_A = ratings.next_standard_A(max(needed_A, least_A), edition)
    least_by = {"range": rules.range_breaker_min_A, "dryer": rules.dryer_breaker_min_A}.get(item.kind)
    shown_by = least_by if least_by and least_A > needed_A else ratings.next_standard_A
    notes.working.append(
        line(f"{item.id} breaker", f"next standard rating from {max(needed_A, least_A):.2f} A", breaker_A, "A",
             cite(shown_by, edition))
    )  # fmt: skip
    return Sized(breaker_A, max(needed_A, least_A if least_A > 15 else 0.0), False, by)


def _sized(item: Equipment, parts: int, notes: Notes) -> Sized:
    if item.mca_A is not None or item.mocp_A is not None:
        return _from_nameplate(item, notes)
    if item.current_A <= 0:
        by = cite(rules.branch_minimum_A, notes.edition)
        notes.find(
            "load",
            item.id,
            "a circuit carries its load",
            "no load given",
            "",
            "the nameplate load",
            Verdict.CANNOT_SAY,
            by,
        )
        return Sized(15.0, 15.0, False, by)
    if item.kind in COMPRESSOR:
        return _compressor(item, notes)
    return _from_load(item, parts, notes)


def own_circuits(item: Equipment, spots: Sequence[str], notes: Notes) -> list[Circuit]:
    """The circuit or circuits of one piece of equipment.

    spots: ids of its outlets, sorted. With fewer outlets than circuits an outlet takes several (a subdivided heater).
    """
    parts = rules.subdivisions(item.current_A) if item.subdivide else 1
    sized = _sized(item, parts, notes)
    insulated = 3 if item.kind in WITH_NEUTRAL and item.voltage_V > 120 else 2
    cable = rules_cable.choose_cable(
        sized.needed_A, sized.breaker_A, insulated, notes.edition, marked_equipment=sized.marked
    )
    _tell(item, parts, sized, cable, spots, notes)
    total = item.count * parts
    shares = [[s for j, s in enumerate(spots) if j * total // len(spots) == i] for i in range(total)]
    made = []
    for i in range(total):
        outlets = shares[i] if len(spots) >= total else ([spots[i % len(spots)]] if spots else [])
        suffix = f"-{i + 1}" if total > 1 else ""
        made.append(
            Circuit(
                id=f"own-{item.id}{suffix}",
                name=item.name + (f" ({i + 1} of {total})" if total > 1 else ""),
                kind="dedicated",
                panel="",
                breaker_A=sized.breaker_A,
                poles=2 if item.voltage_V > 120 else 1,
                voltage_V=item.voltage_V,
                load_VA=item.load_VA / parts,
                cable=cable.name,
                cable_size=cable.size,
                current_conductors=2,
                outlets=tuple(outlets),
                citation=sized.citation,
            )
        )
    return made


def _tell(
    item: Equipment, parts: int, sized: Sized, cable: rules_cable.Cable, spots: Sequence[str], notes: Notes
) -> None:
    edition = notes.edition
    size_by = cite(rules_cable.nm_ampacity_A if cable.is_nm else rules_cable.terminal_ampacity_A, edition)
    notes.working.append(
        line(
            f"{item.id} cable ampacity", f"{cable.name}, {sized.needed_A:.2f} A needed", cable.ampacity_A, "A", size_by
        )
    )
    if not cable.is_nm:
        notes.find(
            "cable-kind", item.id, "a wiring method for sizes above nonmetallic-sheathed cable", cable.name, "",
            "choose conduit or another cable with your electrician", Verdict.CANNOT_SAY, size_by,
        )  # fmt: skip
    if item.factor_of == "tankless water heater":
        notes.working.append(
            line(
                f"{item.id} circuits",
                f"{item.current_A:.2f} A / 48 A, rounded up",
                parts,
                "",
                rules.subdivisions,
                edition,
            )
        )
        notes.assumptions.append(
            Assumption(
                f"heaters.csv, {item.id}",
                f"{parts} circuit(s) of {sized.breaker_A:g} A at 100 % of its load",
                "not taken as continuous; the number and size of circuits marked on the heater win",
            )
        )
    if item.kind in TANKS and not item.source and item.current_A > 0:
        most_A = rules.appliance_most_A(item.current_A, edition)
        fits = sized.breaker_A <= most_A
        notes.find(
            "heater-breaker", item.id, "largest breaker of an unmarked water heater", f"{sized.breaker_A:g} A",
            f"{most_A:g} A", "a smaller breaker, or the breaker marked on the heater",
            Verdict.MEETS if fits else Verdict.MISSES, cite(rules.appliance_most_A, edition),
        )  # fmt: skip
    if item.source:
        notes.find(
            "sources", item.id, "interconnection of a source", "a breaker space only", "",
            "busbar, disconnect and interconnection rules of Article 705: not worked out here", Verdict.CANNOT_SAY,
            cite(rules.branch_minimum_A, edition),
        )  # fmt: skip
    if not spots:
        notes.find(
            "outlet", item.id, "every circuit ends at an outlet", "no outlet found for it", "",
            "place its outlet in devices.csv", Verdict.CANNOT_SAY, cite(rules.needs_own_circuit, edition),
        )  # fmt: skip
