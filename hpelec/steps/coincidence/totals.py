"""From laws of the total to the rows of the result: by hour, by level, by multiple of the main's rating."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from hpelec.steps.coincidence import law, rules, rules_trip
from hpelec.steps.coincidence.cases import Cases, by_hour, law_of, largest_A, strangers, year
from hpelec.steps.coincidence.model import HourRow, LevelRow, TripRow
from hpelec.steps.coincidence.process import HOURS, HOURS_PER_YEAR, LoadProcess

TRIP_STEP_A = 1.0
"""Grid for the runs cut short: coarser, since only a few levels are read; currents are rounded up as everywhere."""
MULTIPLES = (1.35, 1.5, 1.75, 2.0, 2.5, 3.0)
"""Multiples of the rating at which a trip is looked for, from the first point of the published curve on."""
CURVE_ROWS = 24


@dataclass(frozen=True, slots=True)
class Totals:
    """The laws of one set of loads over the year: rounded up, rounded down, and without the common household."""

    step_A: float
    hours: law.Law
    up: law.Law
    down: law.Law
    alone: law.Law


def totals(loads: Sequence[LoadProcess], cases: Cases, step_A: float) -> Totals:
    """All laws that the result is read from."""
    whole, apart = law_of(loads, cases, step_A), strangers()
    return Totals(
        step_A,
        by_hour(whole, cases),
        year(whole, cases),
        year(law_of(loads, cases, step_A, up=False), cases),
        year(law_of(loads, apart, step_A), apart),
    )


def hour_rows(found: Totals) -> tuple[HourRow, ...]:
    """Mean and percentiles by hour."""
    step, above = found.step_A, found.hours.above
    mean = law.mean_steps(above) * step
    p50, p95, p99, p999 = (law.percentile_steps(above, p) * step for p in (50, 95, 99, 99.9))
    return tuple(
        HourRow(
            hour=h,
            mean_A=float(mean[h]),
            p50_A=float(p50[h]),
            p95_A=float(p95[h]),
            p99_A=float(p99[h]),
            p999_A=float(p999[h]),
        )
        for h in range(HOURS)
    )


def level_row(found: Totals, level_A: float) -> LevelRow:
    """How often and how long the total is above a level."""
    index = law.steps_down(level_A, found.step_A) + 1
    above, ups = float(law.at(found.up.above, index)), float(law.at(found.up.ups, index))
    return LevelRow(
        level_A=level_A,
        hours_per_year=above * HOURS_PER_YEAR,
        events_per_year=ups * HOURS_PER_YEAR,
        mean_min=rules.mean_above_min(above, ups),
        return_years=rules.return_years(ups),
        return_years_at_most=rules.return_years(float(law.at(found.down.ups, index))),
        return_years_strangers=rules.return_years(float(law.at(found.alone.ups, index))),
    )


def levels(largest: float) -> tuple[float, ...]:
    """Round levels from low to the largest total."""
    if largest <= 0:
        return ()
    rough = largest / CURVE_ROWS
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(m * power for m in (1, 2, 2.5, 5, 10) if m * power >= rough * (1 - 1e-9))
    return tuple(i * step for i in range(1, math.ceil(largest / step - 1e-9)))


def trip_rows(loads: Sequence[LoadProcess], cases: Cases, main_A: float) -> tuple[TripRow, ...]:
    """Overloads held by the same loads for as long as the slowest allowed breaker may take.

    Left out, so that the truth may be worse: heat left from an overload before, loads that relieve each other without a
    gap, and a breaker that is quicker than the slowest allowed.
    """
    rows, most = [], largest_A(loads)
    for multiple in MULTIPLES:
        minutes = rules_trip.longest_trip_min(main_A, multiple)
        if minutes is None or multiple * main_A > most:
            continue
        held = year(law_of(loads, cases, TRIP_STEP_A, shorter_min=minutes), cases)
        ups = float(law.at(held.ups, law.level_index(multiple * main_A, TRIP_STEP_A, held.top)))
        rows.append(
            TripRow(
                multiple=multiple,
                level_A=multiple * main_A,
                longest_min=minutes,
                events_per_year=ups * HOURS_PER_YEAR,
                return_years=rules.return_years(ups),
            )
        )
    return tuple(rows)
