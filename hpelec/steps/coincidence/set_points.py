"""A sweep over set points for the whole service: what each would ask of the loads that can wait. No input needed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from hpelec.house.model import House
from hpelec.house.sections_power import EnergyManagement
from hpelec.steps.coincidence import law, rules_control
from hpelec.steps.coincidence.cases import household, household_settings, largest_A, law_of, year
from hpelec.steps.coincidence.control import Limited, limited
from hpelec.steps.coincidence.model import CoincidenceResult
from hpelec.steps.coincidence.model_control import SetPointRow
from hpelec.steps.coincidence.process import HOURS_PER_YEAR, MIN_PER_H, LoadProcess

TRIED = "tried set point"
SHARES = (0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 1.0)
"""Set points to try, as shares of the main; 0.8 is the largest that a continuous load leaves."""


def waits(load: LoadProcess) -> bool:
    """Whether a load is put under the set point tried: it makes up later what is held back, or is managed already."""
    return bool(load.managed_by) or rules_control.made_up_later(load.kind)


def set_point_rows(
    house: House, found: CoincidenceResult, set_points_A: Sequence[float] | None = None
) -> tuple[SetPointRow, ...]:
    """One row for each set point, by default for shares of the main; none when no main is known or no load can wait.

    Everything that can wait, or is managed now, stands under the one set point; the energy managements of the house
    are left out meanwhile. Raises RangeError for a set point that is not above 0.
    """
    if set_points_A is None:
        set_points_A = [] if found.main_A is None else [share * found.main_A for share in SHARES]
    loads = [replace(p, managed_by=TRIED if waits(p) else "") for p in found.loads]
    if not any(p.managed_by for p in loads):
        return ()
    cases, step_A = household(*household_settings(house.use_settings)), found.step_A
    groups = {p.group for p in loads if p.managed_by and p.group}
    rest = [p for p in loads if not p.managed_by and p.group not in groups]
    background = law_of(rest, cases, step_A)
    free = year(background, cases)
    rows = []
    for set_A in set_points_A:
        rules_control.admitted_A((), set_A)
        management = EnergyManagement(id=TRIED, kind="service", setpoint_A=set_A)
        tried = limited(loads, cases, step_A, (management,), None, background)
        rows.append(_row(set_A, tried, loads, free, step_A))
    return tuple(rows)


def _row(set_A: float, tried: Limited, loads: Sequence[LoadProcess], free: law.Law, step_A: float) -> SetPointRow:
    volts = {p.id: p.voltage_V for p in loads}
    some = np.flatnonzero(tried.year.above > 0)
    over = min(float(law.at(free.above, law.steps_down(set_A, step_A) + 1)), 1.0)
    tallies = tried.books.of.items()
    return SetPointRow(
        set_A=set_A,
        largest_A=min(float(some[-1]) * step_A, largest_A(loads)),
        p99_A=float(law.percentile_steps(tried.year.above, 99)) * step_A,
        over_hours=over * HOURS_PER_YEAR,
        held_min=math.fsum(t.held_share + t.limited_share for _, t in tallies) * HOURS_PER_YEAR * MIN_PER_H,
        held_kWh=math.fsum(max(t.asked_A - t.given_A, 0.0) * volts[n] / 1000 for n, t in tallies) * HOURS_PER_YEAR,
    )
