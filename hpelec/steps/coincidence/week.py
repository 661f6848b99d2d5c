"""One week that could happen: a single draw of the same processes by the minute. An example to look at, no answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hpelec.steps.coincidence import patterns
from hpelec.steps.coincidence.cases import Cases, household, on_and_starts
from hpelec.steps.coincidence.law import Array
from hpelec.steps.coincidence.process import HOURS, MIN_PER_H, LoadProcess

DAYS = 7
SEED = 20_011
"""Kept, so that the same house always shows the same week."""
MINUTES = DAYS * HOURS * int(MIN_PER_H)
WARM_UP = HOURS * int(MIN_PER_H)
"""Minutes before the week, so that it begins with loads that are on."""


@dataclass(frozen=True, slots=True)
class Week:
    """Current of each load in each minute; `weather` names the state of the weather taken for the whole week."""

    loads: tuple[LoadProcess, ...]
    current_A: Array
    weather: str


def example_week(loads: Sequence[LoadProcess], *, weather: int = 1, seed: int = SEED) -> Week:
    """A week of the loads; weather: number of its state. The same seed gives the same week."""
    random = np.random.default_rng(seed)
    cases = household(patterns.constant("busy_share"), patterns.constant("busy_factor"))
    states = _states(cases, random)
    starts = np.stack([_starts(load, cases, states, weather, random) for load in loads])
    runs = [max(1, round(_run_min(load, weather))) for load in loads]
    current = _run(loads, starts, runs, random)[:, WARM_UP:]
    return Week(tuple(loads), current, patterns.weather()[weather].name)


def _states(cases: Cases, random: np.random.Generator) -> np.ndarray[tuple[int, ...], np.dtype[np.int64]]:
    """State of the household in each hour of the week and of the day before it."""
    chance = np.cumsum(np.array(cases.chance), axis=0)
    drawn = random.random((DAYS + 1, HOURS))
    return np.asarray((drawn[:, :, None] > chance.T[None]).sum(axis=-1).reshape(-1))


def _run_min(load: LoadProcess, weather: int) -> float:
    if not load.weather_duty:
        return load.run_min
    starts = load.weather_starts_per_h[weather]
    return MIN_PER_H * load.weather_duty[weather] / starts if starts else 0.0


def _starts(
    load: LoadProcess,
    cases: Cases,
    states: np.ndarray[tuple[int, ...], np.dtype[np.int64]],
    weather: int,
    random: np.random.Generator,
) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """Minutes in which the load would start if it were off."""
    on, begun = on_and_starts(load, cases)
    w = min(weather, on.shape[0] - 1)
    shape = (len(cases.chance), HOURS)
    # a start is only possible while off, so the rate while off is higher than the mean rate
    rate = np.broadcast_to(begun[w], shape) / np.maximum(1 - np.broadcast_to(on[w], shape), 0.02)
    by_hour = rate[states, np.tile(np.arange(HOURS), DAYS + 1)]
    by_minute = np.repeat(by_hour, int(MIN_PER_H)) / MIN_PER_H
    return np.asarray(random.random(by_minute.size) < by_minute)


def _run(
    loads: Sequence[LoadProcess],
    starts: np.ndarray[tuple[int, ...], np.dtype[np.bool_]],
    runs: Sequence[int],
    random: np.random.Generator,
) -> Array:
    """Current by minute: a load that is on does not start again, an interlock lets one at a time run."""
    size = starts.shape[1]
    current = np.zeros((len(loads), size))
    free_at = [0] * len(loads)
    locked: dict[str, int] = {}
    for i, load in enumerate(loads):
        if load.always_on or (load.weather_duty and not starts[i].any() and max(load.weather_duty) >= 1):
            current[i] = load.mean_current_A
    for minute, i in zip(*(a.tolist() for a in np.nonzero(starts.T)), strict=True):
        load = loads[i]
        if load.always_on or minute < free_at[i] or (load.group and minute < locked.get(load.group, 0)):
            continue
        end = minute + runs[i]
        amps, shares = zip(*load.levels, strict=True)
        level = amps[min(int(np.searchsorted(np.cumsum(shares), random.random())), len(amps) - 1)]
        current[i, minute:end] = level
        free_at[i] = end
        if load.group:
            locked[load.group] = end
    return current
