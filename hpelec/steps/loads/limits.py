"""Energy managements: which set points the edition admits, and the way of using them that gives the least load."""

from __future__ import annotations

import itertools
from dataclasses import replace

from hpelec.house.sections_power import EnergyManagement
from hpelec.steps.loads import rules_more
from hpelec.steps.loads.gather import Limit, Load, governed
from hpelec.steps.loads.methods import demand_A, managed_A, rated_VA
from hpelec.steps.loads.sheet import Case, Sheet, Writer, largest


def limit_of(management: EnergyManagement, voltage_V: float, edition: int) -> Limit | None:
    """The set point as the calculation uses it; None where the edition does not admit it."""
    if rules_more.set_point_refused(edition, management.restricted_access):
        return None
    set_A = management.setpoint_A
    set_VA = rules_more.set_point_VA(set_A, voltage_V, edition)
    return Limit(management.id, set_A, set_VA, management.kind == "service", management.minimum_A * voltage_V)


def limits_on(
    managements: tuple[EnergyManagement, ...],
    loads: tuple[Load, ...],
    voltage_V: float,
    edition: int,
    *,
    service: bool,
) -> tuple[Limit, ...]:
    """The set points admitted for these loads, by id. service: whether the loads are those of the service itself."""
    made = [limit_of(m, voltage_V, edition) for m in sorted(managements, key=lambda m: m.id)]
    return tuple(
        limit
        for limit in made
        if limit is not None and (service or not limit.whole) and any(governed(load, limit) for load in loads)
    )


def least(
    write: Writer, case: Case, loads: tuple[Load, ...], limits: tuple[Limit, ...], voltage_V: float
) -> tuple[Sheet, list[Sheet], Case]:
    """The sheet that counts, all sheets of the same use of set points, and the case with the set points used.

    A set point may be used, it need not: of all ways the one is taken that asks for the least rating, where a set
    point counts 1.25 times; of equals the one with the fewest set points.
    """
    ways = [way for count in range(len(limits) + 1) for way in itertools.combinations(limits, count)]
    cases = [replace(case, limits=way) for way in ways]
    made = [(*largest(write, case_, loads), case_) for case_ in cases]
    return min(made, key=lambda m: round(_rated_VA(m[0], voltage_V), 6))


def _rated_VA(sheet: Sheet, voltage_V: float) -> float:
    return rated_VA(sheet.demand_VA, demand_A(sheet, voltage_V), managed_A(sheet, voltage_V))
