"""Results of the step coincidence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from hpelec.core.results import StepResult, told
from hpelec.steps.coincidence.process import LoadProcess

__all__ = ["CoincidenceResult", "HeaterSet", "HourRow", "LevelRow", "LoadProcess", "TripRow"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HourRow:
    """Total current in one hour of the day, over the year."""

    hour: int = told("hour of the day that begins, 0 to 23")
    mean_A: float = told("mean")
    p50_A: float = told("exceeded for half of the time at most")
    p95_A: float = told("exceeded for 5 % of the time at most")
    p99_A: float = told("exceeded for 1 % of the time at most")
    p999_A: float = told("exceeded for 0.1 % of the time at most")


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelRow:
    """How often and how long the total is above one level."""

    level_A: float = told("level; above means more than this")
    hours_per_year: float = told("hours a year above it, all currents rounded up to the grid: never too low")
    hours_per_year_at_least: float = told("the same with all currents rounded down: never too high")
    events_per_year: float = told("how often a year the total comes above it")
    mean_min: float | None = told("mean minutes of one such time; none when the level is never passed")
    return_years: float | None = told("mean years between two such times; none when it is never passed")
    return_years_rounded_down: float | None = told(
        "the same with all currents rounded down, to show how much the grid matters; none when then never passed"
    )
    return_years_strangers: float | None = told(
        "the same if the loads of the household were switched on without regard to each other; none when never passed"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TripRow:
    """How often the same loads hold an overload for as long as a breaker takes to trip."""

    breaker: str = told("slow: the slowest that its standard allows; quick: a quick one by practice")
    multiple: float = told("total as a multiple of the main's rating")
    level_A: float = told("that total")
    trip_min: float = told("time until that breaker trips at that total")
    events_per_year: float = told("how often a year the total is held there for that long")
    return_years: float | None = told("mean years between two such times; none when there are none")


@dataclass(frozen=True, slots=True, kw_only=True)
class HeaterSet:
    """Some water heaters at full load together, against the main and the panel that feeds them."""

    heaters: tuple[str, ...] = told("ids of the heaters that run, all at their full current")
    together_A: float = told("their currents together")
    hours_per_year: float = told("hours a year in which all of them run, at whatever current")
    left_A: float | None = told("what the main leaves for the rest of the house; none when no main is known")
    rest_largest_A: float = told("everything else on at once")
    rest_over_share: float | None = told(
        "share of the time, while they run, in which the rest of the house draws more than is left; none when unknown"
    )
    panel: str = told("id of the panel that feeds large loads")
    panel_left_A: float | None = told("rating of that panel less these heaters; none when there is no such panel")
    verdict: str = told("may run together, in words")


@dataclass(frozen=True, slots=True, kw_only=True)
class CoincidenceResult(StepResult):
    """What really runs together, how often, and for how long. Advice: it never lowers a load of the code."""

    main: ClassVar[str] = "curve"

    loads: tuple[LoadProcess, ...] = told("every load as an on/off process")
    step_A: float = told("grid of the currents")
    hours: tuple[HourRow, ...] = told("total current by hour of the day")
    curve: tuple[LevelRow, ...] = told("how often and how long each level is passed")
    trips: tuple[TripRow, ...] = told("overloads held long enough to trip the main")
    sets: tuple[HeaterSet, ...] = told("which water heaters may run together")
    mean_A: float = told("mean total current over the year")
    p999_A: float = told("total current exceeded for 0.1 % of the year at most")
    largest_A: float = told("everything on at once, one of each interlock")
    code_A: float = told("load by the code, which sizes the service")
    main_A: float | None = told("main overcurrent device; none when the service names none")
    overload: LevelRow | None = told("how often and how long the main is loaded above its rating; none without a main")
    overload_years_even_legs: float | None = told(
        "mean years between overloads of the main if the two legs shared the 120 V loads evenly; none when never, or "
        "without a main"
    )
    trip_years_slow: float | None = told(
        "mean years between trips of a main as slow as its standard allows; none: over 10,000 years, or not known"
    )
    trip_years_quick: float | None = told("the same for a quick breaker by practice")
    own_loads: int = told("loads whose use the user has told")
