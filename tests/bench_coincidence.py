"""Benchmarks of the step coincidence, as ratios so that they hold on any machine."""

from __future__ import annotations

import math
import statistics
import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from hpelec.plan import design, steps_for
from hpelec.steps.coincidence import cases, law, patterns
from hpelec.steps.coincidence.process import LoadProcess
from tests.adapters_coincidence import a_load
from tests.houses import EXAMPLES, example

GOAL = 1000


def best_s(work: Callable[[], object], times: int = 7) -> float:
    """Fastest of several runs: what the work costs when nobody else is using the machine."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def thirty_loads() -> list[LoadProcess]:
    """Thirty loads with hours of their own, some that follow people."""
    random = np.random.default_rng(30)
    names = ("cooking", "showers", "drying", "evening", "hot_water", "flat")
    loads = []
    for i in range(30):
        amps, starts, run = float(random.uniform(1, 45)), float(random.uniform(0.3, 6)), float(random.uniform(2, 50))
        shape = patterns.profile(names[i % len(names)])
        load = replace(a_load(f"load{i}", amps, 0.0, run), starts_per_h=tuple(starts * s for s in shape))
        loads.append(replace(load, follows="people") if i % 3 else load)
    return loads


def sampled(duty: np.ndarray, amps: np.ndarray, level: float, number: int, seed: int = 1) -> float:
    """Share of moments in which the sum is at least a level, by independent draws of the same loads."""
    random = np.random.default_rng(seed)
    hits = 0
    block = 50_000
    for start in range(0, number, block):
        on = random.random((min(block, number - start), duty.size)) < duty
        hits += int((on @ amps >= level - 1e-9).sum())
    return hits / number


def exact_against_sampling() -> dict[str, float]:
    """How much dearer sampling is than the exact law, for the same precision of a rare level's share of the time.

    Independent draws, the cheapest of all samplings: no paths in time, no rates of crossings. The exact law errs by its
    rounding of the currents, and here they stand on the grid, so its result is exact; sampling is given one per cent.
    """
    random = np.random.default_rng(12)
    amps, duty = random.integers(1, 60, 12).astype(float), random.uniform(0.02, 0.3, 12)
    run_h = np.full(12, 0.5)

    def exact() -> law.Law:
        return law.single([int(a) for a in amps], duty.tolist(), (duty / run_h).tolist())

    exact_s, found = best_s(exact), exact()
    level = int(np.argmax(found.above < 1e-4))
    share = float(found.above[level])
    number = 200_000
    sample_s = best_s(lambda: sampled(duty, amps, level, number), 3)
    needed = (1 - share) / share / 0.01**2
    ratio = sample_s / number * needed / exact_s
    got, error = sampled(duty, amps, level, 3_000_000), math.sqrt(share / 3_000_000)
    assert abs(got - share) < 5 * error, (got, share, error)
    return {"exact_s": exact_s, "share": share, "draws_for_1_percent": needed, "times_dearer": ratio}


def year_of_thirty() -> dict[str, float]:
    """A year by hour for thirty loads: every hour of the day, three states of the household, four of the weather."""
    loads = thirty_loads()
    family = cases.household(patterns.constant("busy_share"), patterns.constant("busy_factor"))
    whole_s = best_s(lambda: cases.year(cases.law_of(loads, family, 0.5), family))
    hours_s = best_s(lambda: cases.by_hour(cases.law_of(loads, family, 0.5), family))
    return {"year_s": whole_s, "by_hour_s": hours_s}


def design_s(name: str) -> float:
    """One run of the step for an example house."""
    house = example(name)
    plan = design(house, only=("coincidence",))
    step = next(s for s in steps_for(("coincidence",)) if s.name == "coincidence")
    taken = {t: plan.results[t] for t in step.takes}
    return best_s(lambda: step.run(house, plan.edition, **taken))


def main() -> None:
    """Print each measurement with what it is compared to."""
    a = exact_against_sampling()
    print(
        f"exact law of 12 loads  {a['exact_s'] * 1000:7.2f} ms; sampling to 1 % of a share of {a['share']:.1e} takes "
        f"{a['draws_for_1_percent']:.1e} draws = {a['times_dearer']:,.0f} times as long (goal {GOAL:,})"
    )
    b = year_of_thirty()
    print(
        f"a year of 30 loads     {b['year_s'] * 1000:7.1f} ms over all states, {b['by_hour_s'] * 1000:.1f} ms by hour"
    )
    every = [design_s(name) for name in EXAMPLES]
    for name, seconds in zip(EXAMPLES, every, strict=True):
        print(f"  step for {name:18} {seconds * 1000:6.1f} ms")
    print(f"  median               {statistics.median(every) * 1000:8.1f} ms (aim 60)")


if __name__ == "__main__":
    main()
