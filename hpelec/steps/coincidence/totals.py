"""From laws of the total to the rows of the result: by hour, by level, by multiple of the main's rating."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from hpelec.steps.coincidence import law, rules, rules_trip
from hpelec.steps.coincidence.cases import Cases, by_hour, largest_A, law_of, strangers, year
from hpelec.steps.coincidence.model import HourRow, LevelRow, TripRow
from hpelec.steps.coincidence.process import HOURS, HOURS_PER_YEAR, LoadProcess

TRIP_STEP_A = 1.0
"""Grid for the runs cut short: coarser, since only a few levels are read; currents are rounded up as everywhere."""
MULTIPLES = (1.1, 1.35, 1.6, 2.0, 2.5, 3.0)
"""Multiples of the rating at which a trip is looked for."""
RAREST_YEARS = 10_000.0
CURVE_ROWS = 24
LEG_V = 120.0


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
    above = min(float(law.at(found.up.above, index)), 1.0)  # binary fractions may add up to a hair more
    ups = float(law.at(found.up.ups, index))
    return LevelRow(
        level_A=level_A,
        hours_per_year=above * HOURS_PER_YEAR,
        hours_per_year_at_least=float(law.at(found.down.above, index)) * HOURS_PER_YEAR,
        events_per_year=ups * HOURS_PER_YEAR,
        mean_min=rules.mean_above_min(above, ups),
        return_years=rules.return_years(ups),
        return_years_rounded_down=rules.return_years(float(law.at(found.down.ups, index))),
        return_years_strangers=rules.return_years(float(law.at(found.alone.ups, index))),
    )


def even_legs_years(loads: Sequence[LoadProcess], cases: Cases, step_A: float, main_A: float) -> float | None:
    """Return period of an overload if the 120 V loads were shared evenly by the legs: each with half its current."""
    halved = [_halved(p) if p.voltage_V == LEG_V else p for p in loads]
    found = year(law_of(halved, cases, step_A), cases)
    return rules.return_years(float(law.at(found.ups, law.steps_down(main_A, step_A) + 1)))


def _halved(load: LoadProcess) -> LoadProcess:
    levels_A = tuple((amps / 2, share) for amps, share in load.levels)
    return replace(load, current_A=load.current_A / 2, levels=levels_A)


def levels(largest: float) -> tuple[float, ...]:
    """Round levels from low to the largest total."""
    if largest <= 0:
        return ()
    rough = largest / CURVE_ROWS
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(m * power for m in (1, 2, 2.5, 5, 10) if m * power >= rough * (1 - 1e-9))
    return tuple(i * step for i in range(1, math.ceil(largest / step - 1e-9)))


def trip_rows(found: Totals, loads: Sequence[LoadProcess], cases: Cases, main_A: float) -> tuple[TripRow, ...]:
    """Overloads held by the same loads for as long as a slow and a quick breaker take to trip.

    Levels that are reached at all less than once in RAREST_YEARS are left out: none of these inputs carries that far.
    Left out, so that the truth may be worse: heat left from an overload before, and loads that relieve each other.
    """
    rows, most = [], largest_A(loads)
    for breaker in rules_trip.BREAKERS:
        for multiple in MULTIPLES:
            minutes = rules_trip.trip_min(main_A, multiple, breaker)
            reached = float(law.at(found.up.ups, law.steps_up(multiple * main_A, found.step_A)))
            if minutes is None or multiple * main_A > most or reached * HOURS_PER_YEAR * RAREST_YEARS < 1:
                continue
            ups = _held_per_h(loads, cases, max(TRIP_STEP_A, found.step_A), multiple * main_A, minutes)
            rows.append(
                TripRow(
                    breaker=breaker,
                    multiple=multiple,
                    level_A=multiple * main_A,
                    trip_min=minutes,
                    events_per_year=ups * HOURS_PER_YEAR,
                    return_years=rules.return_years(ups),
                )
            )
    return tuple(rows)


def _held_per_h(loads: Sequence[LoadProcess], cases: Cases, step_A: float, level_A: float, minutes: float) -> float:
    """How often an hour the same loads hold a level for so long."""
    lasting = [p for p in loads if p.always_on or p.weather_duty or p.run_min > minutes]
    if largest_A(lasting) < level_A - len(loads) * step_A:
        return 0.0  # not even all that run so long reach it, rounded up: no need to add them
    held = year(law_of(loads, cases, step_A, shorter_min=minutes), cases)
    return float(law.at(held.ups, law.level_index(level_A, step_A, held.top)))


def trip_years(rows: Sequence[TripRow], breaker: str) -> float | None:
    """Return period of a trip: that of the multiple that trips most often; None when none does, or none is known."""
    found = [r.return_years for r in rows if r.breaker == breaker and r.return_years is not None]
    return min(found, default=None)
