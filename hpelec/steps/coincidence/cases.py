"""From processes to parts of the law: by hour of the day, state of the household and state of the weather.

Loads of one family are not independent: they are switched on when someone is awake at home, and more in a busy hour.
Here they are independent once the state of the household is given (away or asleep, at home, busy); over the states they
are not.
The mean use of each load in each hour is the same with the states as without, so that only the dependence differs.
Axes of every array: weather, household, hour.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache

import numpy as np

from hpelec.core.citing import OUR_OWN
from hpelec.core.errors import RangeError
from hpelec.house.sections import UseSettings
from hpelec.steps.coincidence import law, patterns, rules
from hpelec.steps.coincidence.law import Array, Part
from hpelec.steps.coincidence.process import HOURS, MIN_PER_H, LoadProcess

MOST_ON = 0.95
"""A load is not pressed into the busy hours beyond this share of their time."""
MOST_STEPS = 1500
"""A very large house gets a coarser grid, so that it is designed in a moment; the result tells the grid."""
NEVER_OFF = 1 - 1e-12
"""Share of the time of an interlocked load that never stops, kept below 1 for the odds."""


@dataclass(frozen=True, slots=True)
class Cases:
    """States of household and weather. chance: share of each household state by hour (state, hour); factor: how much
    oftener than on average things are switched on in it; weather: share of the year of each state of the weather.
    """

    chance: tuple[tuple[float, ...], ...]
    factor: tuple[tuple[float, ...], ...]
    weather: tuple[float, ...]

    @property
    def weights(self) -> Array:
        """Share of the time of each case, adding up to 1."""
        return np.asarray(np.array(self.weather)[:, None, None] * np.array(self.chance)[None] / HOURS)


def household_settings(settings: UseSettings) -> tuple[float, float]:
    """Share of busy hours at home, and how much busier they are: the user's own, or the defaults of the tables."""
    share, factor = settings.busy_share_percent, settings.busy_factor
    return (
        patterns.constant("busy_share") if share is None else share / 100,
        patterns.constant("busy_factor") if factor is None else factor,
    )


def household(busy_share: float, busy_factor: float) -> Cases:
    """Away or asleep, at home, busy: the mean of the factors is 1 in every hour."""
    home = patterns.presence()
    usual = [1 / (a * (1 - busy_share + busy_share * busy_factor)) for a in home]
    chance = ([1 - a for a in home], [a * (1 - busy_share) for a in home], [a * busy_share for a in home])
    factor = ([0.0] * HOURS, usual, [c * busy_factor for c in usual])
    return Cases(tuple(map(tuple, chance)), tuple(map(tuple, factor)), _weather_shares())


def strangers() -> Cases:
    """One state only: every load is switched on without regard to the others, as in an independent model."""
    return Cases(((1.0,) * HOURS,), ((1.0,) * HOURS,), _weather_shares())


def _weather_shares() -> tuple[float, ...]:
    return tuple(s.year_share for s in patterns.weather())


@cache
def _on(starts_per_h: tuple[float, ...], run_min: float) -> tuple[float, ...]:
    return rules.on_share_by_hour(starts_per_h, run_min) if run_min > 0 else (0.0,) * HOURS


def on_and_starts(load: LoadProcess, cases: Cases, shorter_min: float = 0.0) -> tuple[Array, Array]:
    """Share of the time on, and starts an hour, in each case.

    shorter_min: shorten each run by so much. What is left of the runs are the moments from which the load stays on for
    shorter_min more, so the law of the shortened runs says how often a level is held that long by the same loads.
    """
    if load.always_on:
        return np.ones((1, 1, 1)), np.zeros((1, 1, 1))
    if load.weather_duty:
        on = np.array(load.weather_duty)[:, None, None]
        starts = np.array(load.weather_starts_per_h)[:, None, None]
        left = np.maximum(on - starts * shorter_min / MIN_PER_H, 0.0)
        return left, np.where(left > 0, starts, 0.0)
    starts_h = np.array(load.starts_per_h)
    usual = np.array(_on(load.starts_per_h, load.run_min))
    on_h = usual if shorter_min == 0 else np.array(_on(load.starts_per_h, max(load.run_min - shorter_min, 0.0)))
    factor = np.array(cases.factor) if load.follows == "people" else np.ones((1, HOURS))
    factor = _pressed(factor, usual)
    starts = starts_h * factor if load.run_min > shorter_min else np.zeros_like(factor)
    return (on_h * factor)[None], starts[None]


def _pressed(factor: Array, on: Array) -> Array:
    """The factors, nearer to 1 in hours where a load would be on for more than MOST_ON of a busy hour."""
    most = factor.max(axis=0)
    with np.errstate(divide="ignore", invalid="ignore"):
        room = np.where(on * most > MOST_ON, (MOST_ON / on - 1) / (most - 1), 1.0)
    return 1 + np.maximum(room, 0.0) * (factor - 1)


def parts(
    loads: Sequence[LoadProcess], cases: Cases, step_A: float, *, up: bool = True, shorter_min: float = 0.0
) -> list[Part]:
    """One part for each load, one for each interlock. up: round currents up to the grid (an upper bound), or down."""
    members = grouped(loads).values()
    return [_part(some, cases, step_A, up=up, shorter_min=shorter_min) for some in members]


def grouped(loads: Iterable[LoadProcess]) -> dict[str, list[LoadProcess]]:
    """Loads that lock each other out together, every other one by itself; by id, so that the order plays no part."""
    groups: dict[str, list[LoadProcess]] = {}
    for load in sorted(loads, key=lambda p: p.id):
        groups.setdefault(f"group {load.group}" if load.group else f"load {load.id}", []).append(load)
    return groups


def part_without(
    members: Sequence[LoadProcess], load: LoadProcess | None, cases: Cases, step_A: float
) -> tuple[Part, Array]:
    """The part of an interlocked group (or of one load) given that `load` is off, and the chance of that, by case."""
    held = dict(zip(members, held_apart(members, cases, 0.0), strict=True))
    off = np.ones((1, 1, 1)) if load is None else 1 - held[load][0]
    steps, on, starts = [], [], []
    for member in members:
        if member is load:
            continue
        for amps, share in member.levels:
            p, r = held[member]
            steps.append(law.steps_up(amps, step_A))
            on.append(np.divide(p * share, off, out=np.zeros(np.broadcast_shapes(p.shape, off.shape)), where=off > 0))
            starts.append(np.broadcast_to(r * share, on[-1].shape))
    if not on:
        return Part((), np.zeros((0, 1, 1, 1)), np.zeros((0, 1, 1, 1))), off
    shape = np.broadcast_shapes(*(a.shape for a in on))
    stacked = [np.stack([np.broadcast_to(a, shape) for a in arrays]) for arrays in (on, starts)]
    return Part(tuple(steps), stacked[0], stacked[1]), off


def _part(members: Sequence[LoadProcess], cases: Cases, step_A: float, *, up: bool, shorter_min: float) -> Part:
    rounded = law.steps_up if up else law.steps_down
    steps: list[int] = []
    on: list[Array] = []
    starts: list[Array] = []
    for load, (p, r) in zip(members, held_apart(members, cases, shorter_min), strict=True):
        for amps, share in load.levels:
            k = rounded(amps, step_A)
            if k in steps and len(members) == 1:
                i = steps.index(k)
                on[i], starts[i] = on[i] + p * share, starts[i] + r * share
            else:
                steps.append(k)
                on.append(p * share)
                starts.append(r * share)
    shape = np.broadcast_shapes(*(a.shape for a in on))
    return Part(
        tuple(steps),
        np.stack([np.broadcast_to(a, shape) for a in on]),
        np.stack([np.broadcast_to(a, shape) for a in starts]),
    )


def held_apart(members: Sequence[LoadProcess], cases: Cases, shorter_min: float) -> list[tuple[Array, Array]]:
    """On and starts of each member of an interlock: one at most runs, a start that finds another on is lost."""
    if len(members) == 1:
        return [on_and_starts(members[0], cases, shorter_min)]
    alone = [
        tuple(np.minimum(a, NEVER_OFF) if i == 0 else a for i, a in enumerate(on_and_starts(m, cases))) for m in members
    ]
    none_on = 1 / (1 + sum(on / (1 - on) for on, _ in alone))
    held = []
    for member, (on, starts) in zip(members, alone, strict=True):
        share, begun = on / (1 - on) * none_on, starts / (1 - on) * none_on
        if shorter_min:
            left, still = on_and_starts(member, cases, shorter_min)
            share = share * np.divide(left, on, out=np.zeros_like(on), where=on > 0)
            begun = np.where(still > 0, begun, 0.0)
        held.append((share, begun))
    return held


def largest_A(loads: Iterable[LoadProcess]) -> float:
    """All loads on at once, one of each interlock."""
    groups: dict[str, float] = {}
    for load in loads:
        name = f"group {load.group}" if load.group else f"load {load.id}"
        groups[name] = max(groups.get(name, 0.0), load.current_A)
    return math.fsum(groups.values())


def grid_A(most_A: float, finest_A: float) -> float:
    """Grid for a total of up to most_A: the finest, doubled until it has no more than MOST_STEPS steps."""
    step = finest_A
    while most_A / step > MOST_STEPS:
        step *= 2
    return step


def law_of(
    loads: Sequence[LoadProcess], cases: Cases, step_A: float, *, up: bool = True, shorter_min: float = 0.0
) -> law.Law:
    """The law of the total of all loads, by case. Raises RangeError unless step_A > 0."""
    if not step_A > 0:
        raise RangeError(f"step_A must be > 0, got {step_A!r}")
    return _kept_law(tuple(_bare(load) for load in loads), cases, step_A, up, shorter_min)


def _bare(load: LoadProcess) -> LoadProcess:
    """The load without what plays no part in the law, so that a slider on a set point finds the law of before."""
    return replace(load, name="", kind="", remark="", managed_by="", priority=5, citation=OUR_OWN)


@lru_cache(maxsize=16)
def _kept_law(loads: tuple[LoadProcess, ...], cases: Cases, step_A: float, up: bool, shorter_min: float) -> law.Law:
    made = parts(loads, cases, step_A, up=up, shorter_min=shorter_min)
    found = law.total(made, law.nothing((1, 1, 1)))
    for array in (found.above, found.ups):
        array.setflags(write=False)
    return found


def year(whole: law.Law, cases: Cases) -> law.Law:
    """The law over the year, from that by case."""
    return law.mean_over(whole, cases.weights)


def by_hour(whole: law.Law, cases: Cases) -> law.Law:
    """The law in each hour of the day, over the states."""
    weights = cases.weights * HOURS
    shape = np.broadcast_shapes(weights.shape, whole.above.shape[:-1])
    above, ups = (np.broadcast_to(a, (*shape, a.shape[-1])) for a in (whole.above, whole.ups))
    return law.Law(np.einsum("wsh,wshl->hl", weights, above), np.einsum("wsh,wshl->hl", weights, ups))
