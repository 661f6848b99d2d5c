"""A hand-made result of the step coincidence, for the tests of the report: invented numbers, no step is run."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hpelec.core.citing import Citation
from hpelec.steps.coincidence.model import CoincidenceResult, HeaterSet, HourRow, LevelRow, TripRow
from tests.adapters_coincidence import a_load


def _level(amps: float, years: float | None) -> LevelRow:
    return LevelRow(
        level_A=amps,
        hours_per_year=100 / amps,
        hours_per_year_at_least=90 / amps,
        events_per_year=0.0 if years is None else 1 / years,
        mean_min=None if years is None else 3.5,
        return_years=years,
        return_years_rounded_down=None if years is None else 2 * years,
        return_years_strangers=None if years is None else 5 * years,
    )


def _set(heaters: tuple[str, ...], amps: float, verdict: str) -> HeaterSet:
    return HeaterSet(
        heaters=heaters,
        together_A=amps,
        hours_per_year=12.5,
        left_A=125 - amps,
        rest_largest_A=90.0,
        rest_over_share=0.0123,
        panel="P1",
        panel_left_A=200 - amps,
        verdict=verdict,
    )


def coincidence(common: dict[str, Any], citation: Citation) -> CoincidenceResult:
    """Two heaters, a range, and a main of 125 A that is passed now and then."""
    range_, tank, far = (
        replace(a_load(name, amps), citation=citation, follows="people")
        for name, amps in (("range", 40.0), ("tank", 18.75), ("far", 12.0))
    )
    hours = tuple(HourRow(hour=h, mean_A=10.0 + h, p50_A=9.0, p95_A=40.0, p99_A=60.0, p999_A=80.0) for h in range(24))
    return CoincidenceResult(
        **common,
        loads=(range_, replace(tank, kind="storage"), replace(far, kind="point_of_use_storage")),
        step_A=0.5,
        hours=hours,
        curve=(_level(40, 1 / 2000), _level(80, 0.05), _level(125, 3.0), _level(160, 900.0), _level(180, None)),
        trips=(
            TripRow(
                breaker="slow", multiple=1.35, level_A=168.75, trip_min=120, events_per_year=0.0, return_years=None
            ),
        ),
        sets=(
            _set(("far",), 12.0, "yes, with everything else on"),
            _set(("tank",), 18.75, "yes, while the rest stays within what is left"),
            _set(("far", "tank"), 30.75, "never: an interlock keeps them apart"),
        ),
        mean_A=15.0,
        p999_A=77.0,
        largest_A=190.0,
        code_A=110.0,
        main_A=125.0,
        overload=_level(125, 3.0),
        overload_years_even_legs=7.0,
        trip_years_slow=None,
        trip_years_quick=400.0,
        own_loads=0,
    )
