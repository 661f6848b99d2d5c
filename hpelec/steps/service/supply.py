"""What the conductors of the supply follow from, and the service entrance."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.common import rules_conductors as conductors
from hpelec.common import rules_grounding as ground
from hpelec.common import rules_supply as wire
from hpelec.core.citing import cite
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.working import Line, line
from hpelec.house.rows import Panel
from hpelec.house.sections import ServiceSite
from hpelec.steps.loads.model import LoadsResult
from hpelec.steps.service.model import ConductorChoice

OTHER = {"al": "cu", "cu": "al"}


@dataclass(frozen=True, slots=True)
class Supply:
    """What the conductors follow from: the site, the panels, the loads, and the main that they are sized for."""

    site: ServiceSite
    panels: tuple[Panel, ...]
    edition: int
    loads: LoadsResult
    main_A: float
    unoffered: bool

    @property
    def reduced(self) -> bool:
        """Whether the dwelling's 83 % rule applies."""
        return wire.dwelling_reduction_applies(self.main_A, self.loads.voltage_V)

    @property
    def needed_A(self) -> float:
        """Ampacity that conductors carrying the whole dwelling need."""
        return wire.service_ampacity_A(self.main_A, self.loads.voltage_V)

    @property
    def column_C(self) -> int:
        """Temperature column for them; the 83 % rule is written for the 75 C column."""
        return 75 if self.reduced else conductors.terminal_column_C(self.main_A, False)


@dataclass(frozen=True, slots=True)
class Part:
    """Rows, working, findings and assumptions of one part of the supply; `area_cmil` of its proposed conductors."""

    rows: tuple[ConductorChoice, ...] = ()
    working: tuple[Line, ...] = ()
    findings: tuple[Finding, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    material: str = ""
    area_cmil: float = 0.0


def unsized(supply: Supply, place: str, needed_A: float) -> Finding:
    """The finding that no parallel sets within reach carry a current."""
    return Finding(
        "service-conductors",
        "service",
        place,
        f"conductors in at most {wire.MOST_SETS} parallel sets carry the main",
        f"{needed_A:g} A needed",
        f"<= {wire.MOST_SETS} sets of 750 kcmil",
        "a supply of this size needs an engineer's design",
        Verdict.CANNOT_SAY,
        cite(wire.smallest_size, supply.edition),
    )


def neutral_size(supply: Supply, material: str, sets: int, size: str) -> str:
    """Neutral of each set: the unbalanced load, not below the grounded-conductor table, not above the line conductors.

    At 208Y/120 V the neutral of two legs carries about the line current: full size.
    """
    if supply.loads.voltage_V != 240:
        return size
    table_size = ground.bonding_jumper(conductors.area_cmil(size), material, material)
    least_cmil = conductors.area_cmil(table_size or size)
    found = wire.smallest_size(supply.loads.neutral_A, material, supply.column_C, sets, least_cmil)
    return min(found or size, size, key=conductors.area_cmil)


def whole_load_row(
    supply: Supply, part: str, material: str, chosen: bool, sets: int, size: str, remark: str
) -> ConductorChoice:
    """Row of conductors that carry the whole dwelling."""
    return ConductorChoice(
        part=part,
        material=material,
        chosen=chosen,
        size=size,
        sets=sets,
        device_A=supply.main_A,
        required_A=supply.needed_A,
        ampacity_A=sets * conductors.ampacity_A(size, material, supply.column_C),
        neutral_size=neutral_size(supply, material, sets, size),
        remark=remark,
    )


def why_size(supply: Supply, material: str, sets: int, size: str) -> str:
    """Remark: why this size, and the next parallel sets where the size is large."""
    text = f"{supply.needed_A:g} A in the {supply.column_C} C column"
    if supply.reduced:
        text = f"0.83 x {supply.main_A:g} A = {text}"
    if supply.unoffered:
        text = f"no offer carries the load, sized for the standard rating: {text}"
    more = wire.smallest_size(supply.needed_A, material, supply.column_C, sets + 1, 0.0)
    if more is not None and conductors.area_cmil(size) > conductors.area_cmil("4/0"):
        text += f"; or {sets + 1} sets of {more}"
    return text


def service_entrance(supply: Supply) -> Part:
    """Conductors from the meter to the main, in the metal that the house names, and in the other."""
    named = supply.site.feeder_material
    rows: list[ConductorChoice] = []
    for material in (named, OTHER[named]):
        found = wire.fewest_sets(supply.needed_A, material, supply.column_C)
        if found is not None:
            sets, size = found
            why = why_size(supply, material, sets, size)
            rows.append(whole_load_row(supply, "service entrance", material, material == named, sets, size, why))
    assumptions = [
        Assumption(
            "service, conductors",
            "ambient 30 C (86 F), three current-carrying conductors at most in a raceway or cable",
            "ampacities are the table's own, without correction; heat or bundling calls for a larger size",
        )
    ]
    if supply.loads.voltage_V != 240:
        taken = "no 83 % reduction, neutral as large as the line conductors"
        why = "208Y/120 V: the reduction was not verified for services, and the neutral of two legs is fully loaded"
        assumptions.append(Assumption("service, conductors", taken, why))
    if not rows or not rows[0].chosen:
        findings = (unsized(supply, "service entrance", supply.needed_A),)
        return Part(tuple(rows), (), findings, tuple(assumptions), named)
    row = rows[0]
    return Part(
        tuple(rows),
        _entrance_working(supply, row),
        (),
        tuple(assumptions),
        named,
        row.sets * conductors.area_cmil(row.size),
    )  # fmt: skip


def _entrance_working(supply: Supply, row: ConductorChoice) -> tuple[Line, ...]:
    one_A = conductors.ampacity_A(row.size, row.material, supply.column_C)
    source = conductors.conductor_citation(row.size, row.material, "ampacity")
    area = conductors.area_cmil(row.size)
    least = ground.bonding_jumper(area, row.material, row.material) or row.size
    needed = f"{'0.83 x ' if supply.reduced else ''}{supply.main_A:g}"
    return (
        line(
            "service conductors: ampacity needed", needed, supply.needed_A, "A", wire.service_ampacity_A, supply.edition
        ),
        line(
            f"{name_of(row)} in the {supply.column_C} C column",
            f"{row.sets} x {one_A:g}",
            row.sets * one_A,
            "A",
            source,
        ),
        line(
            f"neutral of {row.sets} x {row.neutral_size} {row.material}: load",
            f"step loads: {supply.loads.neutral_VA:.0f} VA / {supply.loads.voltage_V:g} V after its reductions",
            supply.loads.neutral_A,
            "A",
        ),
        line(
            f"neutral: least size by the grounded-conductor table {least}",
            f"for {row.size} {row.material}",
            conductors.area_cmil(least) / 1000,
            "kcmil",
            ground.bonding_jumper_citation(area, row.material),
        ),
    )


def name_of(row: ConductorChoice) -> str:
    """Sets, size and metal as one text."""
    return f"{row.sets} x {row.size} {row.material}" if row.sets > 1 else f"{row.size} {row.material}"
