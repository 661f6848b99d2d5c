"""Published coincidence checks: whole laws made from the few numbers that a source gives."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np

from hpelec.core.citing import OUR_OWN
from hpelec.steps.coincidence import law, rules, rules_water
from hpelec.steps.coincidence.cases import largest_A
from hpelec.steps.coincidence.process import LoadProcess


def a_load(name: str, amps: float, starts_per_h: float = 0.1, run_min: float = 30.0, **more: Any) -> LoadProcess:
    """A load that is the same in every hour."""
    made = LoadProcess(
        id=name,
        name=name,
        kind="other",
        current_A=amps,
        levels=((amps, 1.0),),
        run_min=run_min,
        starts_per_h=(starts_per_h,) * 24,
        citation=OUR_OWN,
    )
    return replace(made, **more)


def equal_units(n: int, duty: float, mean_on_h: float) -> dict[str, float | None]:
    starts = duty / mean_on_h
    found = law.single([1] * n, [duty] * n, [starts] * n)
    back = rules.return_years(float(found.ups[3]))
    return {
        "starts_per_h": starts,
        "ups2_per_h": float(found.ups[2]),
        "ups3_per_h": float(found.ups[3]),
        "above2": float(found.above[2]),
        "above3": float(found.above[3]),
        "return3_days": None if back is None else back * 365,
        "mean3_min": rules.mean_above_min(float(found.above[3]), float(found.ups[3])),
    }


def _on_off(loads: list[list[float]], step_A: float = 0.25) -> law.Law:
    steps = [law.steps_up(amps, step_A) for amps, _, _ in loads]
    return law.single(steps, [p for _, p, _ in loads], [p / h for _, p, h in loads])


def all_on(amps_duty_hours: list[list[float]]) -> dict[str, float]:
    found = _on_off(amps_duty_hours)
    return {
        "ups_per_h": float(found.ups[-1]),
        "return_h": 1 / float(found.ups[-1]),
        "above": float(found.above[-1]),
        "level_A": found.top * 0.25,
    }


def rarest_level_A(amps_duty_hours: list[list[float]], target_h: float) -> float | None:
    """Smallest total that is reached no oftener than once in target_h; None where even all together come oftener."""
    found = _on_off(amps_duty_hours)
    totals = {0.0}
    for amps, _, _ in amps_duty_hours:
        totals |= {t + amps for t in totals}
    rare = [t for t in sorted(totals) if t > 0 and found.ups[law.steps_up(t, 0.25)] * target_h <= 1]
    return rare[0] if rare else None


def towards_poisson(n: int, load: float, duration_min: float, m: int) -> float:
    """Crossings of n thin on/off loads over those of Poisson starts with the same offered load."""
    starts_per_h = load * 60 / duration_min
    found = law.single([1] * n, [load / n] * n, [starts_per_h / n] * n)
    return float(found.ups[m]) / rules.overlaps_per_h(starts_per_h, duration_min, m)


def balance(starts_per_h: float, run_min: float, m: int) -> dict[str, float]:
    exactly = rules.overlap_share(starts_per_h, run_min, m) - rules.overlap_share(starts_per_h, run_min, m + 1)
    return {"up": rules.overlaps_per_h(starts_per_h, run_min, m), "down": m * exactly * 60 / run_min}


def hunter(n: int, p: float) -> dict[str, float]:
    found = law.single([1] * n, [p] * n, [0.0] * n)
    m = rules.busy_number(n, p)
    return {"m": m, "more": float(found.above[m + 1]), "more_than_one_less": float(found.above[m])}


def hot_side(fixtures: list[list[float]]) -> dict[str, float]:
    """Flows in tenths of a gallon a minute."""
    each = [(round(10 * q), p) for n, p, q in fixtures for _ in range(int(n))]
    found = law.single([q for q, _ in each], [p for _, p in each], [0.0] * len(each))
    none = 1 - float(found.above[1])
    at = np.arange(found.top + 1)
    density = found.above - np.append(found.above[1:], 0.0)
    mean = float(law.mean_steps(found.above)) / 10
    given = found.above / found.above[1]
    given[0] = 1.0
    return {
        "mean_gpm": mean,
        "variance": float((density * at**2).sum()) / 100 - mean**2,
        "p_zero": none,
        "exact_99_gpm": float(law.percentile_steps(found.above, 99)) / 10,
        "exact_99_given_flow_gpm": float(law.percentile_steps(given, 99)) / 10,
    }


def tank_day(gal_per_day: float, rise_dF: float, standby_W: float, rated_kW: float) -> dict[str, float]:
    draws = rules_water.volume_kWh(gal_per_day, rise_dF)
    duty = rules_water.heater_duty(draws, standby_W, rated_kW)
    return {"draws_kWh": draws, "day_kWh": duty * rated_kW * 24, "duty": duty}


def peak_hour(draws_kWh: float, hour_share: float, standby_W: float, rated_kW: float) -> dict[str, float]:
    kW = rules_water.peak_hour_kW(draws_kWh, hour_share, standby_W)
    return {"kW": kW, "duty": kW / rated_kW}


def together(n: int, duty: float) -> dict[str, float]:
    found = law.single([1] * n, [duty] * n, [0.0] * n)
    return {"all": float(found.above[n]), "two": float(found.above[2])}


def locked_pair(amps: list[float]) -> dict[str, float]:
    counted = largest_A([a_load(f"load{i}", a, group="pair") for i, a in enumerate(amps)])
    return {"counted_A": counted, "saved_A": math.fsum(amps) - counted}


def busiest_hour(events_per_day: float, onset_share: float, duration_min: float) -> dict[str, float]:
    rate = events_per_day * onset_share
    return {"rate_per_h": rate, "on": rules.on_share_by_hour([rate] * 24, duration_min)[0]}


def sums_by_hand(amps: list[int], on: list[float]) -> list[float]:
    """Share of the time of each total from 0 to the largest, in steps of 10 A."""
    found = law.single([a // 10 for a in amps], on, [0.0] * len(on))
    return [float(x) for x in found.above - np.append(found.above[1:], 0.0)]


def day_of_one_start(hour: int, run_min: float) -> list[float]:
    return list(rules.on_share_by_hour([1.0 if h == hour else 0.0 for h in range(24)], run_min))
