"""How far the conductors of the supply, and branch circuits of usual sizes, may run."""

from __future__ import annotations

from functools import cache

from hpelec.common import rules_drop as drop
from hpelec.common.rules_conductors import ampacity_A, area_cmil
from hpelec.common.rules_overcurrent import largest_device_A, small_conductor_limit_A
from hpelec.core.findings import Assumption
from hpelec.core.working import Line, line
from hpelec.steps.service.model_conductors import BranchRun, Run

BRANCH_SIZES = ("14", "12", "10", "8", "6")
BRANCH_SHARES = (0.5, 0.8, 1.0)
"""Shares of the breaker for which the table tells the longest run; 0.8 is the most for a continuous load."""
BRANCH_POWER_FACTOR = 1.0
BRANCH_TOLD = Assumption(
    "service, branch circuits",
    "power factor 1, the whole load at the far end, both conductors of the run loaded",
    "the careful reading for small sizes, whose resistance rules; loads along the run lose less",
)


def run_of(
    part: str,
    material: str,
    sets: int,
    size: str,
    *,
    current_A: float,
    length_ft: float | None,
    power_factor: float,
    voltage_V: float,
    limit_percent: float,
) -> Run:
    """The three answers for one part; those that need a length or a current are blank without it."""
    lost_V, least = None, None
    if length_ft is not None:
        lost_V = drop.run_drop_V(size, material, sets, current_A, length_ft, power_factor, voltage_V)
        least = drop.smallest_size_for_drop(
            material, sets, current_A, length_ft, power_factor, voltage_V, limit_percent
        )
    longest_ft = None
    if current_A >= drop.LEAST_RUN_A:
        longest_ft = drop.longest_run_ft(size, material, sets, current_A, power_factor, voltage_V, limit_percent)
    return Run(
        part=part,
        material=material,
        size=size,
        sets=sets,
        current_A=current_A,
        limit_percent=limit_percent,
        length_ft=length_ft,
        drop_V=lost_V,
        drop_percent=None if lost_V is None else lost_V / voltage_V * 100,
        smallest_size=least or "",
        longest_ft=longest_ft,
    )


def run_lines(run: Run, power_factor: float, voltage_V: float, edition: int) -> tuple[Line, ...]:
    """The longest run and the smallest size, as lines of working."""
    lines: list[Line] = []
    name = f"{run.part}, {run.sets} x {run.size} {run.material}"
    if run.longest_ft is not None:
        r = drop.resistance_ohm_per_kft(run.size, run.material)
        x = drop.reactance_ohm_per_kft(run.size, run.material)
        z = drop.effective_ohm_per_kft(r, x, power_factor)
        limit_V = f"{run.limit_percent:g} % x {voltage_V:g}"
        expression = f"{limit_V} x 1000 x {run.sets} / (2 x {run.current_A:.1f} x {z:.4f})"
        if run.limit_percent > drop.LARGE_DROP_percent:
            expression = f"length at which the exact form loses {limit_V} V"
        lines.append(line(f"{name}: longest run", expression, run.longest_ft, "ft", drop.longest_run_ft, edition))
    if run.smallest_size and run.length_ft is not None:
        expression = f"first size that loses at most {run.limit_percent:g} % over {run.length_ft:.4g} ft"
        kcmil, by = area_cmil(run.smallest_size) / 1000, drop.smallest_size_for_drop
        what = f"{run.part}: smallest size for the drop alone {run.smallest_size} {run.material}"
        lines.append(line(what, expression, kcmil, "kcmil", by, edition))
    return tuple(lines)


@cache
def branch_runs(line_V: float, edition: int) -> tuple[BranchRun, ...]:
    """Longest runs of copper branch circuits at 120 V and line to line, by size and load."""
    limit = drop.drop_limit_row("branch").number("limit_percent")
    rows = []
    for voltage_V in (120.0, line_V):
        for size in BRANCH_SIZES:
            cap_A = small_conductor_limit_A(size, "cu", edition) or float("inf")
            breaker_A = largest_device_A(min(ampacity_A(size, "cu", 60), cap_A), edition, several_receptacles=True)
            for load_A in () if breaker_A is None else (share * breaker_A for share in BRANCH_SHARES):
                longest_ft = drop.longest_run_ft(size, "cu", 1, load_A, BRANCH_POWER_FACTOR, voltage_V, limit)
                rows.append(
                    BranchRun(
                        voltage_V=voltage_V,
                        size=size,
                        breaker_A=breaker_A or 0.0,
                        load_A=load_A,
                        limit_percent=limit,
                        longest_ft=longest_ft,
                    )
                )
    return tuple(rows)
