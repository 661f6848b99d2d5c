"""Circuits of their own: from an appliance or water heater to breaker and cable."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from hpelec.common import rules_equipment
from hpelec.common.equipment import (
    SOURCES,
    TANKLESS_HEATER,
    TANKS,
    Rated,
    Sized,
    circuits_of,
    motor_current_A,
    nominal_V,
    rated_appliance,
    rated_heater,
    sized,
)
from hpelec.common.rules_ampacity import counted_conductors
from hpelec.core.citing import Citation, cite
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.working import Line, line
from hpelec.house.rows_loads import Appliance, Heater
from hpelec.steps.circuits import rules, rules_cable
from hpelec.steps.circuits.model import Circuit

ALWAYS_OWN = ("vehicle_charger", "furnace", "air_handler", "spa", "solar", "storage")
WITH_NEUTRAL = ("range", "wall_oven", "cooktop", "dryer", "spa")


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
    """One piece of equipment as a circuit sees it: how it is rated, and how many there are."""

    rated: Rated
    name: str
    count: int
    source: bool


def present(rows: Iterable[Appliance] | Iterable[Heater]) -> list[Appliance | Heater]:
    """Rows of the house itself that are not removed, by id; another building has circuits of its own."""
    return sorted((r for r in rows if r.status != "removed" and not r.building), key=lambda r: r.id)


def load_of(row: Appliance | Heater, voltage_V: float) -> float | None:
    """Nameplate load [VA], from VA, amperes or a motor's horsepower; None when none of them is given."""
    if isinstance(row, Appliance) and row.set_A is not None:
        return row.set_A * voltage_V  # a restricted setting stands for the nameplate: NFPA 70, 625.42
    if isinstance(row, Heater) or row.power_VA is not None:
        return row.power_VA
    motor_A = motor_current_A(row.motor_hp, voltage_V, row.kind)
    current_A = row.current_A if row.current_A is not None else motor_A
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
    voltage_V = nominal_V(row.voltage_V, service_V)
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
        return Equipment(rated_heater(row.id, row.kind, voltage_V, load_VA, row.volume_gal), row.name, 1, False)
    rated = rated_appliance(
        row.id,
        row.kind,
        voltage_V,
        load_VA,
        continuous=row.continuous,
        motor=row.motor,
        motor_hp=row.motor_hp,
        mca_A=row.mca_A,
        mocp_A=row.mocp_A,
        duty_percent=row.duty_percent,
    )
    return Equipment(rated, row.name, row.quantity, row.kind in SOURCES)


def _sized(item: Rated, parts: int, notes: Notes) -> Sized:
    """Breaker and ampacity by the rules that all steps share, its working and doubts told as this step's."""
    made = sized(item, parts, notes.edition)
    notes.working += made.working
    for doubt in made.doubts:
        notes.find(doubt.id, item.id, doubt.rule, doubt.got, doubt.allowed, doubt.fix, doubt.verdict, doubt.citation)
    return made


def own_circuits(item: Equipment, spots: Sequence[str], notes: Notes) -> list[Circuit]:
    """The circuit or circuits of one piece of equipment.

    spots: ids of its outlets, sorted. With fewer outlets than circuits an outlet takes several (a subdivided heater).
    """
    rated = item.rated
    parts = circuits_of(rated)
    made_A = _sized(rated, parts, notes)
    insulated = 3 if rated.kind in WITH_NEUTRAL and rated.voltage_V > 120 else 2
    cable = rules_cable.choose_cable(
        made_A.needed_A, made_A.breaker_A, insulated, notes.edition, marked_equipment=made_A.marked
    )
    _tell(item, parts, made_A, cable, spots, notes)
    total = item.count * parts
    shares = [[s for j, s in enumerate(spots) if j * total // len(spots) == i] for i in range(total)]
    made = []
    for i in range(total):
        outlets = shares[i] if len(spots) >= total else ([spots[i % len(spots)]] if spots else [])
        suffix = f"-{i + 1}" if total > 1 else ""
        made.append(
            Circuit(
                id=f"own-{rated.id}{suffix}",
                name=item.name + (f" ({i + 1} of {total})" if total > 1 else ""),
                kind="dedicated",
                panel="",
                breaker_A=made_A.breaker_A,
                poles=2 if rated.voltage_V > 120 else 1,
                voltage_V=rated.voltage_V,
                load_VA=rated.load_VA / parts,
                cable=cable.name,
                cable_size=cable.size,
                current_conductors=counted_conductors(*_wires(rated.voltage_V, insulated), rated.voltage_V),
                outlets=tuple(outlets),
                citation=made_A.citation,
                needed_A=made_A.needed_A,
            )
        )
    return made


def _wires(voltage_V: float, insulated: int) -> tuple[int, bool]:
    """Line conductors of a circuit, and whether it has a neutral."""
    return (1, True) if voltage_V <= 120 else (2, insulated == 3)


def _tell(
    item: Equipment, parts: int, made_A: Sized, cable: rules_cable.Cable, spots: Sequence[str], notes: Notes
) -> None:
    edition, rated = notes.edition, item.rated
    size_by = cite(rules_cable.nm_ampacity_A if cable.is_nm else rules_cable.terminal_ampacity_A, edition)
    notes.working.append(
        line(
            f"{rated.id} cable ampacity",
            f"{cable.name}, {made_A.needed_A:.2f} A needed",
            cable.ampacity_A,
            "A",
            size_by,
        )
    )
    if not cable.is_nm:
        notes.find(
            "cable-kind", rated.id, "a wiring method for sizes above nonmetallic-sheathed cable", cable.name, "",
            "choose conduit or another cable with your electrician", Verdict.CANNOT_SAY, size_by,
        )  # fmt: skip
    if rated.factor_of == TANKLESS_HEATER:
        notes.working.append(
            line(
                f"{rated.id} circuits",
                f"{rated.current_A:.2f} A / 48 A, rounded up",
                parts,
                "",
                rules_equipment.subdivisions,
                edition,
            )
        )
        notes.assumptions.append(
            Assumption(
                f"heaters.csv, {rated.id}",
                f"{parts} circuit(s) of {made_A.breaker_A:g} A at 100 % of its load",
                "not taken as continuous; the number and size of circuits marked on the heater win",
            )
        )
    if rated.water_heater and rated.kind in TANKS and rated.current_A > 0:
        most_A = rules_equipment.appliance_most_A(rated.current_A, edition)
        fits = made_A.breaker_A <= most_A
        notes.find(
            "heater-breaker", rated.id, "largest breaker of an unmarked water heater", f"{made_A.breaker_A:g} A",
            f"{most_A:g} A", "a smaller breaker, or the breaker marked on the heater",
            Verdict.MEETS if fits else Verdict.MISSES, cite(rules_equipment.appliance_most_A, edition),
        )  # fmt: skip
    if item.source:
        notes.find(
            "sources", rated.id, "interconnection of a source", "a breaker space only", "",
            "busbar, disconnect and interconnection rules of Article 705: not worked out here", Verdict.CANNOT_SAY,
            cite(rules_equipment.branch_minimum_A, edition),
        )  # fmt: skip
    if not spots:
        notes.find(
            "outlet", rated.id, "every circuit ends at an outlet", "no outlet found for it", "",
            "place its outlet in devices.csv", Verdict.CANNOT_SAY, cite(rules.needs_own_circuit, edition),
        )  # fmt: skip
