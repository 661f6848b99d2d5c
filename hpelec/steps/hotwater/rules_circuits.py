"""Circuits of water heaters, for the comparison of layouts; the step circuits designs those that are built."""

from __future__ import annotations

import math

from hpelec.common.rules_conductors import ampacity_A, usable_sizes
from hpelec.common.rules_ratings import next_standard_A
from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.rounding import EPS, ceil_tol
from hpelec.core.tables import table
from hpelec.steps.hotwater.values import value

CONTINUOUS = 1.25


@rule("circuits of a resistance heater", source="NFPA 70", locator="422.11(F)(1)", accuracy="memory")
def heater_circuits(current_A: float) -> int:
    """Number of subdivided circuits of a heater of `current_A` (> 0), each of at most 48 A; exactly 48 A is one."""
    return max(1, ceil_tol(in_range("current_A", current_A, above=0) / value("element_circuit_A")))


@rule("breaker of a heater's circuit", source="NFPA 70", locator="422.13, 422.10(A), 240.6(A)", accuracy="published")
def heater_breaker_A(current_A: float, edition: int) -> float:
    """Next standard rating of 125 % of the current of one circuit [A], > 0.

    For tanks up to 120 gal by the code; for tankless heaters, which can run three hours, design practice.
    """
    return next_standard_A(CONTINUOUS * in_range("current_A", current_A, above=0), edition)


@rule("copper conductor of a heater's circuit", source="NFPA 70", locator="310.16, 240.4", accuracy="published")
def heater_conductor(current_A: float, edition: int) -> str:
    """Smallest copper size [AWG] by the 60 C column for 125 % of the current, within the small-conductor limits."""
    wanted, breaker_A = CONTINUOUS * current_A, heater_breaker_A(current_A, edition)
    for size in usable_sizes("cu"):
        rows = table("tables/small_conductor_ocpd").where(size_awg=size, material="cu")
        limit_A = rows[0].number("max_ocpd_a") if rows else math.inf
        if ampacity_A(size, "cu", 60) >= wanted - EPS and breaker_A <= limit_A:
            return size
    raise RangeError(f"no copper size carries {wanted:.1f} A by the 60 C column")
