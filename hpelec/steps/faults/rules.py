"""Rules of fault current: source, conductors, the two ways to add them, the rating that the current asks for."""

from __future__ import annotations

import cmath
import math
from functools import cache

from hpelec.common import rules_drop as drop
from hpelec.core.citing import Citation, rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import Row, table

TOLERANCE = 0.1
"""Share by which the impedance of a transformer may differ from its nameplate (the trade's 0.9 x %Z)."""


@cache
def transformers() -> tuple[Row, ...]:
    """Rows of the usual single-phase transformers, rising by kVA."""
    return tuple(sorted(table("faults/transformers"), key=lambda r: r.number("kva")))


@rule(
    "full-load current of a transformer",
    source="circuit theory",
    locator="single phase: kVA x 1000 / E; three phase: also / sqrt 3",
    accuracy="recomputed",
)
def full_load_A(rating_kVA: float, voltage_V: float, phases: int) -> float:
    """Full-load current [A] of a transformer of `rating_kVA` [kVA], > 0, at `voltage_V` line to line [V], > 0.

    phases: 1 or 3. Raises RangeError otherwise.
    """
    in_range("rating_kVA", rating_kVA, above=0)
    in_range("voltage_V", voltage_V, above=0)
    if phases not in (1, 3):
        raise RangeError(f"phases must be 1 or 3, got {phases!r}")
    return rating_kVA * 1000 / voltage_V / (math.sqrt(3) if phases == 3 else 1)


@rule(
    "fault current at the terminals of a transformer, supply without limit",
    source="point-to-point method",
    locator="full-load current x 100 / percent impedance",
    accuracy="published",
)
def terminal_fault_A(full_load_A: float, impedance_percent: float) -> float:
    """Fault current [A] at the secondary terminals, full-load current [A] > 0, impedance [%] over 0 to 100."""
    in_range("full_load_A", full_load_A, above=0)
    in_range("impedance_percent", impedance_percent, above=0, high=100)
    return full_load_A * 100 / impedance_percent


@rule(
    "range of a transformer's impedance about its nameplate",
    source="point-to-point method",
    locator="0.9 x nameplate impedance for interrupting ratings; 1.1 x for the least current",
    accuracy="common practice",
)
def impedance_range_percent(nameplate_percent: float) -> tuple[float, float]:
    """Lowest and highest impedance [%] behind a nameplate impedance [%], over 0 to 90."""
    in_range("nameplate_percent", nameplate_percent, above=0, high=90)
    return nameplate_percent * (1 - TOLERANCE), nameplate_percent * (1 + TOLERANCE)


@rule(
    "fault current from one line to neutral at a center-tapped transformer",
    source="point-to-point method",
    locator="half winding: 1.5 x the line-to-line current at the terminals",
    accuracy="published",
)
def half_winding_A(line_to_line_A: float) -> float:
    """Current [A] of a fault from line to neutral at the terminals; line_to_line_A: that across 240 V [A], >= 0."""
    return 1.5 * in_range("line_to_line_A", line_to_line_A, low=0)


@rule(
    "resistance and reactance of a source by its fault current",
    source="circuit theory",
    locator="|Z| = E / I, split by X / R",
    accuracy="recomputed",
)
def source_ohm(voltage_V: float, fault_A: float, x_over_r: float) -> complex:
    """Loop impedance [ohm] of a source that drives `fault_A` [A], > 0, at `voltage_V` [V], > 0; x_over_r >= 0."""
    in_range("voltage_V", voltage_V, above=0)
    in_range("fault_A", fault_A, above=0)
    in_range("x_over_r", x_over_r, low=0)
    return cmath.rect(voltage_V / fault_A, math.atan(x_over_r))


@cache
def _alpha(material: str) -> Row:
    if material not in ("cu", "al"):
        raise RangeError(f"material must be al or cu, got {material!r}")
    return table("faults/temperature_coefficients").one(material=material)


@rule("resistance at another temperature", source="NFPA 70", locator="Ch 9 Table 8, note 2", accuracy="published")
def at_temperature(resistance_75C: float, material: str, conductor_C: float) -> float:
    """Resistance at `conductor_C` [C], -50 to 150, of a conductor whose resistance at 75 C is given (any unit, >= 0).

    material: cu or al. Raises RangeError for anything else.
    """
    in_range("resistance_75C", resistance_75C, low=0)
    in_range("conductor_C", conductor_C, low=-50, high=150)
    return resistance_75C * (1 + _alpha(material).number("alpha_75_per_C") * (conductor_C - 75))


def temperature_citation(material: str) -> Citation:
    """Source of the coefficient that `at_temperature` takes."""
    return _alpha(material).citation


@cache
def conductor_ohm(size: str, material: str, sets: int, length_ft: float, conductor_C: float) -> complex:
    """Impedance [ohm] of one way along `sets` equal parallel conductors: R at a temperature [C], X in PVC, 60 Hz."""
    in_range("sets", sets, low=1)
    in_range("length_ft", length_ft, low=0)
    r = at_temperature(drop.resistance_ohm_per_kft(size, material), material, conductor_C)
    return complex(r, drop.reactance_ohm_per_kft(size, material)) * length_ft / 1000 / sets


@rule(
    "fault current by the vector sum of impedances",
    source="circuit theory",
    locator="I = E / |Z source + Z conductors|",
    accuracy="recomputed",
)
def vector_fault_A(voltage_V: float, loop_ohm: complex) -> float:
    """Current [A] of a bolted fault; loop_ohm: source and conductors there and back [ohm], not zero."""
    in_range("voltage_V", voltage_V, above=0)
    in_range("abs(loop_ohm)", abs(loop_ohm), above=0)
    return voltage_V / abs(loop_ohm)


@rule(
    "C value of a conductor",
    source="point-to-point method",
    locator="C = 1000 / Z [ohm per 1000 ft]",
    accuracy="published",
)
def c_value(size: str, material: str, conductor_C: float) -> float:
    """C [1/ohm of a foot] of one conductor at a temperature [C], in non-magnetic raceway."""
    return 1 / abs(conductor_ohm(size, material, 1, 1.0, conductor_C))


@rule(
    "fault current at the end of a run, point to point",
    source="point-to-point method",
    locator="f = 2 L I / (C n E); M = 1 / (1 + f); I x M",
    accuracy="published",
)
def point_to_point_A(
    fault_A: float, length_ft: float, c_value: float, sets: float, voltage_V: float, phases: int = 1
) -> float:
    """Current [A] at the end of a run that begins with `fault_A` [A], > 0.

    length_ft: one way [ft], >= 0; c_value: C of one conductor, > 0; sets: parallel sets, >= 1. phases: 1 for a fault
    between two conductors, 3 for one between all three lines. It adds magnitudes, so it never exceeds the vector sum.
    """
    in_range("fault_A", fault_A, above=0)
    in_range("length_ft", length_ft, low=0)
    in_range("c_value", c_value, above=0)
    in_range("sets", sets, low=1)
    in_range("voltage_V", voltage_V, above=0)
    if phases not in (1, 3):
        raise RangeError(f"phases must be 1 or 3, got {phases!r}")
    f = (math.sqrt(3) if phases == 3 else 2) * length_ft * fault_A / (c_value * sets * voltage_V)
    return fault_A / (1 + f)


@rule(
    "fault current that running motors add",
    source="point-to-point method",
    locator="4 x full-load current of the motors that run",
    accuracy="common practice",
)
def motor_contribution_A(motors_full_load_A: float) -> float:
    """Current [A] that motors feed into a fault in its first cycle; their full-load current together [A], >= 0."""
    return 4 * in_range("motors_full_load_A", motors_full_load_A, low=0)


@rule("interrupting rating is enough", source="NFPA 70", locator="110.9, 110.10", accuracy="published")
def interrupts(rating_kA: float, fault_A: float) -> bool:
    """True when a rating [kA], > 0, is at least the current [A], >= 0, at the line terminals; equal passes."""
    in_range("rating_kA", rating_kA, above=0)
    in_range("fault_A", fault_A, low=0)
    return rating_kA * 1000 >= fault_A * (1 - 1e-12)


@rule(
    "usual interrupting rating for a fault current",
    source="trade rule",
    locator="usual steps 10, 22, 25, 42, 65 kA",
    accuracy="common practice",
)
def rating_needed_kA(fault_A: float) -> float | None:
    """Smallest usual rating [kA] that is enough for a current [A], >= 0; None beyond the largest."""
    steps = sorted(r.number("rating_kA") for r in table("faults/interrupting_ratings"))
    return next((s for s in steps if interrupts(s, fault_A)), None)


@rule(
    "three-phase source seen from two lines, and from line to neutral",
    source="circuit theory",
    locator="208Y/120 V: 0.866 of the three-phase current between two lines, all of it to neutral",
    accuracy="recomputed",
)
def wye_fault_A(three_phase_A: float) -> tuple[float, float]:
    """Currents [A] between two lines and from line to neutral at the terminals, of a three-phase current [A], > 0."""
    in_range("three_phase_A", three_phase_A, above=0)
    return three_phase_A * math.sqrt(3) / 2, three_phase_A
