"""Formulas of coincidence: shares of time, starts, overlap, return periods. None depends on the edition of NFPA 70.

Probability is advice. No function here, and nothing made from it, lowers a load of the code's calculation.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.steps.coincidence import law

RENEWAL = "renewal theory"
CROSSING = "level crossing of independent on/off processes"
HOURS = 24
MIN_PER_H = 60.0
HOURS_PER_YEAR = 8760.0


@rule(
    "share of each hour of the day that a load runs",
    source=RENEWAL,
    locator="starts of the last T minutes, fixed run length T",
    accuracy="recomputed",
)
def on_share_by_hour(starts_per_h: Sequence[float], run_min: float) -> tuple[float, ...]:
    """Mean share of each hour that a load runs, from its starts in each hour (24, >= 0) and its run length (>= 0).

    A run reaches into later hours, also over midnight; the same day is taken to repeat. Raises RangeError when the runs
    need more than the time there is (share above 1).
    """
    if len(starts_per_h) != HOURS:
        raise RangeError(f"starts_per_h must hold 24 values, got {len(starts_per_h)}")
    for starts in starts_per_h:
        in_range("starts_per_h", starts, low=0)
    run_h = in_range("run_min", run_min, low=0) / MIN_PER_H
    if (day := math.fsum(starts_per_h) * run_h) > HOURS * (1 + 1e-9):
        raise RangeError(f"the runs of a day take {day:.4g} h; allowed: <= 24 h")
    shares = np.array(starts_per_h) @ _reach(run_h)
    if shares.max() > 1 + 1e-9:
        raise RangeError(f"runs overlap in hour {int(shares.argmax())}: {shares.max():.4g} on at once; allowed: <= 1")
    return tuple(float(s) for s in np.minimum(shares, 1.0))


def _reach(run_h: float) -> law.Array:
    """Hours of running in hour h by one start, anywhere in hour g: entry [g, h]."""
    whole = math.ceil(run_h) + 1
    reach = np.zeros((HOURS, HOURS))
    for later in range(whole + 1):
        share = _ramp(run_h, later)
        for g in range(HOURS):
            reach[g, (g + later) % HOURS] += share
    return reach


def _ramp(run_h: float, later: int) -> float:
    """Mean running time, in the hour that begins `later` hours after the hour of the start, of one run [h]."""

    def since(x: float) -> float:
        """Mean over a start s in [0, 1) of the time from s to x, where x comes later."""
        return 0.0 if x <= 0 else x * x / 2 if x <= 1 else x - 0.5

    return since(later + 1) - since(later) - since(later + 1 - run_h) + since(later - run_h)


@rule(
    "starts of a thermostat-driven load",
    source="thermostat cycling curve",
    locator="N = 4 Nmax d (1 - d)",
    accuracy="memory",
)
def cycles_per_h(duty: float, most_per_h: float) -> float:
    """Starts an hour at a duty of 0 to 1; most_per_h (> 0) is reached at half duty."""
    in_range("duty", duty, low=0, high=1)
    return 4 * in_range("most_per_h", most_per_h, above=0) * duty * (1 - duty)


@rule(
    "chance that several runs overlap",
    source="M/G/infinity queue",
    locator="Poisson(rate x mean)",
    accuracy="recomputed",
)
def overlap_share(starts_per_h: float, run_min: float, at_least: int) -> float:
    """Share of the time in which at least that many of many independent runs are on; starts and runs >= 0."""
    load = in_range("starts_per_h", starts_per_h, low=0) * in_range("run_min", run_min, low=0) / MIN_PER_H
    in_range("at_least", at_least, low=0)
    return 1 - math.exp(-load) * math.fsum(load**n / math.factorial(n) for n in range(at_least))


@rule(
    "how often many independent runs come to overlap",
    source=CROSSING,
    locator="rate x P(N = m - 1), Poisson starts",
    accuracy="recomputed",
)
def overlaps_per_h(starts_per_h: float, run_min: float, at_least: int) -> float:
    """How often an hour the number of runs that are on rises to at_least (>= 1); starts and runs >= 0."""
    load = in_range("starts_per_h", starts_per_h, low=0) * in_range("run_min", run_min, low=0) / MIN_PER_H
    in_range("at_least", at_least, low=1)
    return starts_per_h * math.exp(-load) * load ** (at_least - 1) / math.factorial(at_least - 1)


@rule(
    "mean length of a time above a level",
    source=CROSSING,
    locator="share of time / up-crossings",
    accuracy="recomputed",
)
def mean_above_min(above_share: float, ups_per_h: float) -> float | None:
    """Mean minutes above a level, from its share of the time (0 to 1) and crossings an hour (>= 0); None for none."""
    in_range("above_share", above_share, low=0, high=1)
    in_range("ups_per_h", ups_per_h, low=0)
    return MIN_PER_H * above_share / ups_per_h if ups_per_h > 0 else None


@rule("return period", source=CROSSING, locator="1 / rate of up-crossings", accuracy="recomputed")
def return_years(ups_per_h: float) -> float | None:
    """Mean years between two crossings, from their rate an hour (>= 0); None when there are none."""
    in_range("ups_per_h", ups_per_h, low=0)
    return 1 / (ups_per_h * HOURS_PER_YEAR) if ups_per_h > 0 else None


@rule(
    "chance of at least one crossing",
    source="Poisson approximation",
    locator="1 - exp(-rate x hours)",
    accuracy="recomputed",
)
def chance_of_one(ups_per_h: float, hours: float) -> float:
    """Chance of at least one crossing in so many hours (>= 0); only for crossings that are rare and do not cluster."""
    return -math.expm1(-in_range("ups_per_h", ups_per_h, low=0) * in_range("hours", hours, low=0))


@rule(
    "of loads that lock each other out, the share of time of each",
    source="loss system with finite sources (product form)",
    locator="truncated to one at a time",
    accuracy="recomputed",
)
def interlocked_shares(on_shares: Sequence[float]) -> tuple[float, ...]:
    """Share of the time of each load of a group of which one at most runs; a start that finds another on is lost.

    on_shares: share of the time that each would run alone, >= 0 and < 1.
    """
    for p in on_shares:
        if in_range("on_shares", p, low=0) >= 1:
            raise RangeError(f"on_shares must be below 1, got {p!r}: such a load never lets another one start")
    odds = [p / (1 - p) for p in on_shares]
    whole = 1 + math.fsum(odds)
    return tuple(o / whole for o in odds)


@rule(
    "how many of n fixtures are counted on",
    source="Hunter 1940 (BMS 65)",
    locator="smallest m with P(X > m) <= 1 - percent",
    accuracy="recomputed",
)
def busy_number(number: int, on_share: float, percent: float = 99.0) -> int:
    """Number of equal loads that are on together at that percentile; a percentile met exactly is met.

    number >= 0, on_share 0 to 1, percent 0 to below 100.
    """
    in_range("number", number, low=0)
    in_range("on_share", on_share, low=0, high=1)
    in_range("percent", percent, low=0, high=99.999999)
    same = law.single([1] * number, [on_share] * number, [0.0] * number)
    return int(law.percentile_steps(same.above, percent))
