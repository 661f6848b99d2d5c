"""Published checks of control and of the methods: small cases that a hand can follow, through the code of the step."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hpelec.house.sections_power import EnergyManagement
from hpelec.steps.coincidence import law, rules, rules_control, rules_methods
from hpelec.steps.coincidence.cases import largest_A, strangers
from hpelec.steps.coincidence.control import Limited, limited, locked_loads
from hpelec.steps.coincidence.process import LoadProcess
from tests.adapters_coincidence import a_load

STEP_A = 0.25


def management(setpoint_A: float, kind: str = "group", name: str = "controller") -> EnergyManagement:
    return EnergyManagement(id=name, kind=kind, setpoint_A=setpoint_A, restricted_access=True)


def managed(name: str, amps: float, on: float, run_min: float, priority: int, **more: Any) -> LoadProcess:
    """A load that is on for that share of every hour and under the controller."""
    told = {"managed_by": "controller", "priority": priority, **more}
    return a_load(name, amps, on * 60 / run_min, run_min, **told)


def shed(background_A: float, loads: Sequence[tuple[str, int, float]], setpoint_A: float) -> dict[str, Any]:
    """Which loads go, in the order of their priority."""
    ordered = sorted(loads, key=lambda load: (load[1], load[0]))
    given = rules_control.admitted_A([amps for _, _, amps in ordered], setpoint_A, background_A)
    gone = [load for load, got in zip(ordered, given, strict=True) if got == 0]
    return {
        "n_shed": len(gone),
        "total_A": background_A + sum(given),
        "first_shed": gone[-1][0] if gone else None,
    }


def run(
    loads: Sequence[Sequence[Any]], setpoint_A: float, kind: str = "group", background: Sequence[Sequence[Any]] = ()
) -> Limited:
    """loads: name, amperes, share on, minutes each, priority; background: name, amperes, share on, minutes each."""
    made = [managed(n, a, p, t, rank) for n, a, p, t, rank in loads]
    made += [a_load(n, a, p * 60 / t, t) for n, a, p, t in background]
    return limited(made, strangers(), STEP_A, [management(setpoint_A, kind)])


def two_by_priority(
    loads: Sequence[Sequence[Any]],
    setpoint_A: float,
    levels_A: Sequence[float],
    kind: str = "group",
    background: Sequence[Sequence[Any]] = (),
) -> dict[str, Any]:
    """Share of the time at or above some levels, how often they are come to, and what each load is refused."""
    found = run(loads, setpoint_A, kind, background)
    index = [law.steps_up(level, STEP_A) for level in levels_A]
    return {
        "above": [float(law.at(found.year.above, i)) for i in index],
        "ups_per_h": [float(law.at(found.year.ups, i)) for i in index],
        "held": {name: tally.held_share for name, tally in found.books.of.items()},
        "given_A": {name: tally.given_A for name, tally in found.books.of.items()},
        "limited": {name: tally.limited_share for name, tally in found.books.of.items()},
    }


def turned_down_charger(on: float, first_on: float, first_A: float, setpoint_A: float) -> dict[str, float]:
    """A charger of 28 A behind a better load: what is left of it, and when that is too little."""
    loads = [managed("first", first_A, first_on, 30, 1), managed("car", 28.0, on, 120, 9, kind="vehicle_charger")]
    found = limited(loads, strangers(), STEP_A, [management(setpoint_A)])
    car = found.books.of["car"]
    return {"held": car.held_share, "limited": car.limited_share, "given_A": car.given_A, "asked_A": car.asked_A}


def locked_pair(on: Sequence[float], run_min: float) -> dict[str, Any]:
    """Minutes a year that two interlocked loads lose, first come or by priority."""
    loads = [a_load(f"l{i}", 10.0, p * 60 / run_min, run_min, group="pair", priority=i + 1) for i, p in enumerate(on)]
    rows = locked_loads(loads, strangers())
    year = 8760 * 60
    return {
        "largest_A": largest_A(loads),
        "asked": [r.asked_min / year for r in rows],
        "lost": [r.lost_min / year for r in rows],
        "lost_by_priority": [r.lost_by_priority_min / year for r in rows],
    }


def hot_side(groups: Sequence[rules_methods.Group]) -> dict[str, float]:
    mean, variance = rules_methods.mean_and_variance(groups)
    return {
        "mean_gpm": mean,
        "variance": variance,
        "p_zero": rules_methods.idle_share(groups),
        "normal_gpm": rules_methods.normal_demand(groups),
        "truncated_gpm": rules_methods.truncated_demand(groups),
    }


def towards_normal(groups: Sequence[rules_methods.Group]) -> float:
    """Zero-truncated over plain normal sum: 1 where something is always on."""
    return rules_methods.truncated_demand(groups) / rules_methods.normal_demand(groups)


def alike(groups: Sequence[rules_methods.Group]) -> float:
    return rules_methods.alike_demand(groups)


def busy_numbers(cases: Sequence[tuple[int, float]]) -> list[int]:
    return [rules.busy_number(n, p) for n, p in cases]


def curves(sums_L_s: Sequence[float], standard: str) -> list[float]:
    return [rules_methods.curve_flow_L_s(total, 0.1, standard) for total in sums_L_s]


def units(fixtures: Sequence[tuple[str, int]]) -> float:
    return rules_methods.loading_units([kind for kind, number in fixtures for _ in range(number)])
