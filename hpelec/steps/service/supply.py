"""What the conductors of the supply follow from, and the service entrance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hpelec.common import rules_ampacity as amp
from hpelec.common import rules_conductors as conductors
from hpelec.common import rules_drop as drop
from hpelec.common import rules_grounding as ground
from hpelec.common import rules_supply as wire
from hpelec.core.citing import cite
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.working import Line, line
from hpelec.house.rows import Panel
from hpelec.house.sections_power import ServiceSite
from hpelec.steps.loads.model import LoadsResult
from hpelec.steps.service import chains
from hpelec.steps.service.model import ConductorChoice
from hpelec.steps.service.model_conductors import ConductorWorking, Run
from hpelec.steps.service.runs import run_lines, run_of

OTHER = {"al": "cu", "cu": "al"}
POWER_FACTOR = 0.95
"""Taken for the whole dwelling at its design load; told as an assumption with what other values would give."""


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
        return 75 if self.reduced else conductors.terminal_column_C(self.main_A, self.site.terminals_75C)

    @property
    def own_conductors(self) -> int:
        """Current-carrying conductors of one service or feeder: two line conductors, and the neutral if it counts."""
        return amp.counted_conductors(2, True, self.loads.voltage_V)

    def around(self, terminal_C: int) -> amp.Around:
        """What lies round service-entrance conductors and feeders that end on terminals of a column [C]."""
        site = self.site
        ambient_C = round((site.supply_ambient_F - 32) / 1.8, 6)
        if site.supply_roof_clearance_in is not None:
            ambient_C = amp.rooftop_ambient_C(ambient_C, site.supply_roof_clearance_in, self.edition)
        return amp.Around(
            insulation_C=site.supply_insulation_C,
            ambient_C=ambient_C,
            conductors=site.supply_conductors or self.own_conductors,
            terminal_C=terminal_C,
            cable="SE" if site.supply_in_insulation else "",
            in_insulation=site.supply_in_insulation,
        )

    @property
    def entrance(self) -> amp.Around:
        """What lies round the service-entrance conductors."""
        return self.around(self.column_C)

    @property
    def outside(self) -> amp.Around:
        """What lies round the lateral: 30 C, each set by itself."""
        return amp.Around(
            insulation_C=self.site.supply_insulation_C, conductors=self.own_conductors, terminal_C=self.column_C
        )


@dataclass(frozen=True, slots=True)
class Part:
    """Rows, working, findings and assumptions of one part of the supply; `area_cmil` of its proposed conductors."""

    rows: tuple[ConductorChoice, ...] = ()
    chains: tuple[ConductorWorking, ...] = ()
    runs: tuple[Run, ...] = ()
    working: tuple[Line, ...] = ()
    findings: tuple[Finding, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    material: str = ""
    area_cmil: float = 0.0


def joined(parts: Sequence[Part]) -> Part:
    """Several parts as one; of no single metal or area."""
    return Part(
        tuple(row for p in parts for row in p.rows),
        tuple(row for p in parts for row in p.chains),
        tuple(row for p in parts for row in p.runs),
        tuple(entry for p in parts for entry in p.working),
        tuple(f for p in parts for f in p.findings),
        tuple(a for p in parts for a in p.assumptions),
    )


def unsized(supply: Supply, place: str, needed_A: float, around: amp.Around) -> Finding:
    """The finding that no parallel sets within reach carry a current, or that it is too hot for any."""
    if amp.ambient_factor(around.insulation_C, around.ambient_C) is None:
        return chains.too_hot(place, around, supply.edition)
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


def neutral_size(supply: Supply, material: str, around: amp.Around, sets: int, size: str) -> str:
    """Neutral of each set: the unbalanced load, not below the grounded-conductor table, not above the line conductors.

    At 208Y/120 V the neutral of two legs carries about the line current: full size.
    """
    if supply.loads.voltage_V != 240:
        return size
    table_size = ground.bonding_jumper(conductors.area_cmil(size), material, material) or size
    return wire.neutral_for(supply.loads.neutral_A, material, around, sets, size, table_size, supply.edition)


def whole_load_row(
    supply: Supply, part: str, material: str, chosen: bool, around: amp.Around, sets: int, size: str, remark: str
) -> tuple[ConductorChoice, ConductorWorking | None]:
    """Row of conductors that carry the whole dwelling, and the chain behind it."""
    chain = amp.ampacity_chain(size, material, around)
    row = ConductorChoice(
        part=part,
        material=material,
        chosen=chosen,
        size=size,
        sets=sets,
        device_A=supply.main_A,
        required_A=supply.needed_A,
        ampacity_A=None if chain is None else sets * chain.allowable_A,
        neutral_size=neutral_size(supply, material, around, sets, size),
        remark=remark + chains.sets_remark(sets),
    )
    tabulated = wire.dwelling_table_size(supply.main_A, material, supply.edition, around) if supply.reduced else None
    smaller = ""
    if not supply.reduced:
        smaller = chains.smaller_by_next_size(supply.loads.design_A, supply.main_A, row, around, supply.edition)
    worked = chains.chain_row(
        row, around, reduced=supply.reduced, capped=False, table_size=tabulated or "", smaller=smaller
    )
    return row, worked


def why_size(supply: Supply, material: str, around: amp.Around, sets: int, size: str) -> str:
    """Remark: why this size, and the next parallel sets where the size is large."""
    text = f"{supply.needed_A:g} A in the {supply.column_C} C column"
    if amp.is_adjusted(around):
        text = f"{supply.needed_A:g} A after the factors for heat and number"
    if supply.reduced:
        text = f"0.83 x {supply.main_A:g} A = {text}"
    if supply.unoffered:
        text = f"no offer carries the load, sized for the standard rating: {text}"
    more = wire.smallest_allowed(supply.needed_A, material, around, sets + 1, 0.0, supply.edition)
    if more is not None and conductors.area_cmil(size) > conductors.area_cmil("4/0"):
        text += f"; or {sets + 1} sets of {more}"
    return text


def service_entrance(supply: Supply) -> Part:
    """Conductors from the meter to the main, in the metal that the house names, and in the other."""
    named, around = supply.site.feeder_material, supply.entrance
    rows: list[ConductorChoice] = []
    worked: list[ConductorWorking] = []
    for material in (named, OTHER[named]):
        found = wire.fewest_sets_allowed(supply.needed_A, material, around, supply.edition)
        if found is not None:
            sets, size = found
            why = why_size(supply, material, around, sets, size)
            row, chain = whole_load_row(
                supply, "service entrance", material, material == named, around, sets, size, why
            )
            rows.append(row)
            worked += [chain] if chain is not None else []
    assumptions = _entrance_assumptions(supply)
    if not rows or not rows[0].chosen:
        findings = (unsized(supply, "service entrance", supply.needed_A, around),)
        return Part(tuple(rows), tuple(worked), (), (), findings, assumptions, named)
    row = rows[0]
    run = _entrance_run(supply, row)
    return Part(
        tuple(rows),
        tuple(worked),
        (run,),
        (
            *chains.chain_lines(worked[0], around, supply.edition),
            *_entrance_working(supply, row, worked[0]),
            *run_lines(run, POWER_FACTOR, supply.loads.voltage_V, supply.edition),
        ),
        (),
        assumptions,
        named,
        row.sets * conductors.area_cmil(row.size),
    )


def _entrance_assumptions(supply: Supply) -> tuple[Assumption, ...]:
    found = []
    if supply.site.supply_conductors is None:
        taken = f"{supply.own_conductors} current-carrying conductors in each raceway or cable"
        why = "each service or feeder by itself; the neutral counts at 208Y/120 V only"
        found.append(Assumption("service, conductors", taken, why))
    if supply.loads.voltage_V != 240:
        taken = "no 83 % reduction, neutral as large as the line conductors"
        why = "208Y/120 V: the reduction was not verified for services, and the neutral of two legs is fully loaded"
        found.append(Assumption("service, conductors", taken, why))
    return tuple(found)


def _entrance_run(supply: Supply, row: ConductorChoice) -> Run:
    """The code recommends no limit for a service; that of a feeder is shown."""
    return run_of(
        row.part,
        row.material,
        row.sets,
        row.size,
        current_A=supply.loads.design_A,
        length_ft=supply.site.service_entrance_length_ft,
        power_factor=POWER_FACTOR,
        voltage_V=supply.loads.voltage_V,
        limit_percent=drop.drop_limit_row("feeder").number("limit_percent"),
    )


def _entrance_working(supply: Supply, row: ConductorChoice, worked: ConductorWorking) -> tuple[Line, ...]:
    area = conductors.area_cmil(row.size)
    least = ground.bonding_jumper(area, row.material, row.material) or row.size
    needed = f"{'0.83 x ' if supply.reduced else ''}{supply.main_A:g}"
    return (
        line(
            "service conductors: ampacity needed", needed, supply.needed_A, "A", wire.service_ampacity_A, supply.edition
        ),
        line(
            f"{name_of(row)} where they lie",
            f"{row.sets} x {worked.allowable_A:g}",
            worked.total_A,
            "A",
            amp.ampacity_chain,
            supply.edition,
        ),
        line(
            f"neutral of {row.sets} x {row.neutral_size} {row.material}: load",
            f"step loads: {supply.loads.neutral_VA:.0f} VA / {supply.loads.voltage_V:g} V after its reductions",
            supply.loads.neutral_A,
            "A",
            wire.neutral_for,
            supply.edition,
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
