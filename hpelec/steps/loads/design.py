"""Step loads: every method of load calculation for one house, and the one that sets the service."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.core.editions import PROVISIONAL, check_edition
from hpelec.core.findings import Assumption
from hpelec.core.working import show_number
from hpelec.house.model import House
from hpelec.house.sections_power import DWELLING
from hpelec.steps.loads.amps import equipment_amps
from hpelec.steps.loads.buildings import Feeder, feeders
from hpelec.steps.loads.dwellings import Dwellings, Unit, dwellings_apply, units_of
from hpelec.steps.loads.gather import HVAC, Load, gather
from hpelec.steps.loads.limits import least, limits_on
from hpelec.steps.loads.measured import FromRecord, measured_applies
from hpelec.steps.loads.methods import (
    WYE_V,
    choose,
    existing_applies,
    method_result,
    method_working,
    neutral_A,
    neutral_working,
    optional_applies,
)
from hpelec.steps.loads.model import LoadsResult
from hpelec.steps.loads.notes import Worked, findings
from hpelec.steps.loads.notes_more import more_findings
from hpelec.steps.loads.pooled import existing, optional
from hpelec.steps.loads.reality import check_reality
from hpelec.steps.loads.sheet import Case, Sheet, Writer
from hpelec.steps.loads.standard import standard


@dataclass(frozen=True, slots=True)
class Task:
    """One method to carry out: its writer, the case and loads that it sees, whether it applies and why, its title."""

    write: Writer
    case: Case
    loads: tuple[Load, ...]
    reason: tuple[bool, str]
    title: str


def design(house: House, edition: int) -> LoadsResult:
    """Calculate the load by every method that applies, its neutral, and choose the one that sets the service."""
    check_edition(edition)
    voltage_V = house.service_site.voltage_V
    every = gather(house, edition)
    branches = feeders(house, edition, every)
    units = units_of(house.general, house.buildings, every)
    loads = tuple(load for load in every if load.building in {unit.id for unit in units})
    limits = limits_on(house.energy_managements, loads, voltage_V, edition, service=True)
    tasks = _tasks(house, edition, every, loads, units, branches)
    sheets: dict[str, Sheet] = {}
    cases: dict[str, Case] = {}
    tried: list[Sheet] = []
    for name, task in tasks.items():
        if task.reason[0]:
            sheets[name], all_of_them, cases[name] = least(task.write, task.case, task.loads, limits, voltage_V)
            tried = all_of_them if name == "standard" else tried
    neutral = max(tried, key=lambda sheet: sheet.neutral_VA)
    methods = tuple(
        method_result(name, sheets.get(name), task.reason, task.title, voltage_V) for name, task in tasks.items()
    )
    chosen = choose(methods, house.general.load_method)
    neutral_amperes = neutral_A(neutral, voltage_V, edition)
    worked = Worked(
        cases[chosen.method],
        loads,
        sheets,
        {name: task.write for name, task in tasks.items()},
        methods,
        chosen,
        house.general.load_method,
        voltage_V,
        neutral_amperes,
        house,
        units,
        branches,
        limits,
        every,
    )
    amps = equipment_amps(house, edition)
    real = check_reality(house.general, chosen.demand_VA, chosen.demand_A, edition)
    return LoadsResult(
        edition=edition,
        working=(
            *(e for m in methods if m.applies for e in method_working(m, sheets[m.method], edition, voltage_V)),
            *neutral_working(neutral, neutral_amperes, edition, voltage_V),
            *(entry for branch in branches for entry in branch.working),
            *amps.working,
            *real.working,
        ),
        findings=(*findings(worked), *more_findings(worked), *amps.findings, *real.findings),
        assumptions=_assumptions(every),
        voltage_V=voltage_V,
        methods=methods,
        chosen=chosen.method,
        lines=chosen.lines,
        design_VA=chosen.demand_VA,
        design_A=chosen.demand_A,
        neutral_VA=neutral.neutral_VA,
        neutral_A=neutral_amperes,
        managed_continuous_A=chosen.managed_A,
        buildings=tuple(branch.result for branch in branches),
        provisional=edition in PROVISIONAL,
        amps=amps.rows,
        reality=real.reality,
    )


def _tasks(
    house: House,
    edition: int,
    every: tuple[Load, ...],
    loads: tuple[Load, ...],
    units: tuple[Unit, ...],
    branches: tuple[Feeder, ...],
) -> dict[str, Task]:
    """Every method by name, in the order in which equals are chosen."""
    general, site, record = house.general, house.service_site, house.measured
    article = 120 if edition >= 2026 else 220
    dwellings = {b.id for b in house.buildings if b.kind == DWELLING}
    case = Case(
        general,
        edition,
        site.voltage_V == WYE_V,
        others=tuple(unit.general for unit in units[1:]),
        fed=tuple(branch.fed for branch in branches if branch.result.id not in dwellings),
    )
    new = {b.id for b in house.buildings if b.status == "new"}
    beside = Case(general, edition, case.wye, fed=tuple(b.fed for b in branches if b.result.id in new))
    added = tuple(load for load in every if load.added and load.building not in new)
    standing = tuple(load for load in loads if load.building not in new)
    sources = any(row.kind in ("solar", "storage") and row.status == "existing" for row in house.appliances)
    part = "" if edition >= 2026 else "(B)" if any(load.category == HVAC and load.added for load in loads) else "(A)"
    together = f"two dwellings, {article}.85" if len(units) < 3 else f"several dwellings, {article}.84"
    return {
        "standard": Task(
            standard,
            case,
            loads,
            (True, "applies to every dwelling"),
            f"standard method, Article {article} Part III",
        ),
        "optional": Task(
            optional,
            case,
            loads,
            optional_applies(site, len(units)),
            f"optional method for one dwelling, {article}.82",
        ),
        "existing": Task(
            existing,
            case,
            loads,
            existing_applies(general.project, edition, len(units)),
            f"existing dwelling, {article}.83{part}",
        ),
        "measured": Task(
            FromRecord(record, site.voltage_V, standing),
            beside,
            added,
            measured_applies(general.project, record, standing, sources),
            f"existing load from a record of its demand, {article}.87",
        ),
        "dwellings": Task(Dwellings(units), case, loads, dwellings_apply(units), together),
    }


def _assumptions(loads: tuple[Load, ...]) -> tuple[Assumption, ...]:
    made = [
        Assumption(
            "loads, amperes",
            "nominal service voltage, and no rounding in the results",
            "the code lets whole amperes be used; the working shows them",
        )
    ]
    if sum(load.line_to_neutral for load in loads) > 1:
        made.append(
            Assumption(
                "loads, neutral",
                "all 120 V appliances on the same side",
                "the sides are known once circuits are balanced; this is the largest neutral load",
            )
        )
    made += [
        Assumption(f"loads, {load.id}", f"{show_number(load.each_VA)} VA each", f"from {load.source}")
        for load in loads
        if load.known and load.source.endswith("430.248")
    ]
    return tuple(made)
