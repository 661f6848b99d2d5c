"""Feeders to other buildings: device by the load there, conductors for the device and for the drop over the length."""

from __future__ import annotations

from dataclasses import replace

from hpelec.common import rules_ampacity as amp
from hpelec.common import rules_conductors as conductors
from hpelec.common import rules_drop as drop
from hpelec.common import rules_grounding as ground
from hpelec.common import rules_ratings as ratings
from hpelec.core.citing import cite
from hpelec.core.findings import Finding, Verdict
from hpelec.core.working import Line, line
from hpelec.steps.loads.model import BuildingLoad
from hpelec.steps.service.feeders import feeder_to
from hpelec.steps.service.model import ConductorChoice
from hpelec.steps.service.model_conductors import Run
from hpelec.steps.service.runs import run_of
from hpelec.steps.service.supply import POWER_FACTOR, Part, Supply, joined


def building_feeders(supply: Supply) -> Part:
    """Feeder to each other building, by id."""
    return joined([_feeder(supply, b) for b in sorted(supply.loads.buildings, key=lambda b: b.id)])


def _feeder(supply: Supply, building: BuildingLoad) -> Part:
    place = f"feeder to {building.id}"
    # A building beyond the standard devices leaves the service without a main, and then nothing is sized here.
    wanted_A = building.feeder_rating_A or building.feeder_least_A or 0.0
    device_A = ratings.next_standard_A(max(wanted_A, 15.0), supply.edition)
    told = "as given" if building.feeder_rating_A else f"first standard rating for {building.demand_A:.2f} A"
    part = feeder_to(supply, place, device_A, told, ratings.next_standard_A)
    row = part.rows[0] if part.rows and part.rows[0].chosen else None
    if row is None:
        return part
    limit_percent = drop.drop_limit_row("feeder").number("limit_percent")
    run = _run(supply, building, row, limit_percent)
    larger = run.smallest_size
    if larger and conductors.area_cmil(larger) > conductors.area_cmil(row.size):
        row = _enlarged(supply, row, larger)
        run = _run(supply, building, row, limit_percent)
    return replace(
        part,
        rows=(row, *part.rows[1:]),
        runs=(run,),
        working=(*part.working, *_drop_lines(supply, run)),
        findings=(*part.findings, _drop_finding(supply, run, limit_percent)),
    )


def _run(supply: Supply, building: BuildingLoad, row: ConductorChoice, limit_percent: float) -> Run:
    return run_of(
        row.part,
        row.material,
        row.sets,
        row.size,
        current_A=building.demand_A,
        length_ft=building.feeder_length_ft,
        power_factor=POWER_FACTOR,
        voltage_V=supply.loads.voltage_V,
        limit_percent=limit_percent,
    )


def _enlarged(supply: Supply, row: ConductorChoice, size: str) -> ConductorChoice:
    """The row with conductors enlarged for the drop, and the grounding conductor in the same proportion."""
    needed_cmil, installed_cmil = (row.sets * conductors.area_cmil(s) for s in (row.size, size))
    egc = ground.enlarged_grounding(
        row.grounding_size, row.material, needed_cmil, installed_cmil, supply.edition, "voltage drop"
    )
    around = supply.around(conductors.terminal_column_C(row.device_A or 0.0, supply.site.terminals_75C))
    chain = amp.ampacity_chain(size, row.material, around)
    return replace(
        row,
        size=size,
        neutral_size=size,
        ampacity_A=None if chain is None else row.sets * chain.allowable_A,
        grounding_size=egc or row.grounding_size,
        remark=f"{row.size} would carry it; enlarged for the voltage drop",
    )


def _drop_lines(supply: Supply, run: Run) -> tuple[Line, ...]:
    if run.drop_V is None or run.drop_percent is None or run.length_ft is None:
        return ()
    expression = f"{run.size} {run.material}, {run.current_A:.2f} A over {run.length_ft:g} ft"
    volts = line(f"{run.part}: voltage drop", expression, run.drop_V, "V", drop.drop_V, supply.edition)
    share = f"{run.drop_V:.3f} / {supply.loads.voltage_V:g} x 100"
    return (volts, line(f"{run.part}: voltage drop, share", share, run.drop_percent, "%"))


def _drop_finding(supply: Supply, run: Run, limit_percent: float) -> Finding:
    known = run.drop_percent is not None
    meets = run.drop_percent is not None and run.drop_percent <= limit_percent * (1 + 1e-12)
    fix = "a larger feeder in parallel sets, or less load there" if known else "give feeder_length_ft of the building"
    return Finding(
        "building-feeder-drop",
        "service",
        run.part,
        "voltage drop of a feeder at its calculated load is within what the code recommends",
        "length not given" if run.length_ft is None else f"{run.drop_percent or 0:.2f} % over {run.length_ft:g} ft",
        f"<= {limit_percent:g} %",
        fix,
        Verdict.CANNOT_SAY if not known else Verdict.MEETS if meets else Verdict.MISSES,
        cite(drop.within_limit, supply.edition),
    )
