"""The step coincidence: what really runs together, how often and how long, beside the load by the code."""

from __future__ import annotations

from collections.abc import Sequence

from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError
from hpelec.house.model import House
from hpelec.steps.coincidence import judge, law, rules_trip
from hpelec.steps.coincidence.appliances import OWN, appliance_processes
from hpelec.steps.coincidence.cases import Cases, grid_A, household, household_settings, largest_A
from hpelec.steps.coincidence.heater_sets import heater_sets
from hpelec.steps.coincidence.heaters import heater_processes
from hpelec.steps.coincidence.model import CoincidenceResult, LoadProcess, TripRow
from hpelec.steps.coincidence.notes import Notes
from hpelec.steps.coincidence.totals import (
    Totals,
    even_legs_years,
    hour_rows,
    level_row,
    levels,
    totals,
    trip_rows,
    trip_years,
)
from hpelec.steps.hotwater.model import HotWaterResult
from hpelec.steps.loads.model import LoadsResult
from hpelec.steps.service.model import ServiceResult

FINEST_A = 0.5
"""Grid of the currents: fine enough that rounding up and down give nearly the same, coarse enough for a slider."""


def design(
    house: House, edition: int, loads: LoadsResult, hotwater: HotWaterResult, service: ServiceResult
) -> CoincidenceResult:
    """How often and how long the loads of the house run together. Raises EditionError for an unknown edition."""
    check_edition(edition)
    notes = Notes()
    heaters = heater_processes(house, hotwater, notes)
    rest = appliance_processes(house, loads, notes)
    everything = (*rest, *heaters)
    share, factor = household_settings(house.use_settings)
    judge.tell_household(share, factor, notes)
    cases = household(share, factor)
    most = largest_A(everything)
    step = grid_A(most, FINEST_A)
    found = totals(everything, cases, step)
    main = service.main_A if service.main_A is not None else service.rating_A
    overload = None if main is None else level_row(found, main)
    trips = _trips(found, everything, cases, main, notes)
    judge.tell_model(notes)
    judge.tell_loads(everything, notes)
    judge.tell_total(found, most, loads.design_A, overload, notes)
    even = None if main is None else even_legs_years(everything, cases, 2 * step, main)
    judge.judge(most, main, overload, trips, even, loads.design_A, everything, notes)
    sets = heater_sets(heaters, rest, cases, step, main, house.panels)
    judge.judge_sets(sets, main, notes)
    marks = sorted({*levels(most), *([main] if main is not None and main < most else [])})
    return CoincidenceResult(
        edition=edition,
        loads=everything,
        step_A=step,
        hours=hour_rows(found),
        curve=tuple(level_row(found, level) for level in marks),
        trips=trips,
        sets=sets,
        mean_A=float(law.mean_steps(found.up.above)) * step,
        p999_A=float(law.percentile_steps(found.up.above, 99.9)) * step,
        largest_A=most,
        code_A=loads.design_A,
        main_A=main,
        overload=overload,
        overload_years_even_legs=even,
        trip_years_slow=trip_years(trips, "slow"),
        trip_years_quick=trip_years(trips, "quick"),
        own_loads=sum(1 for p in everything if p.citation == OWN),
        working=tuple(notes.working),
        findings=tuple(notes.findings),
        assumptions=tuple(notes.assumptions),
    )


def _trips(
    found: Totals, loads: Sequence[LoadProcess], cases: Cases, main: float | None, notes: Notes
) -> tuple[TripRow, ...]:
    if main is None:
        return ()
    try:
        rules_trip.points(main, "slow")
    except RangeError:
        judge.trip_note(main, notes, known=False)
        return ()
    judge.trip_note(main, notes, known=True)
    return trip_rows(found, loads, cases, main)
