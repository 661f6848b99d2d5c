"""Rules of voltage drop on a two-wire run: resistance, effective impedance, drop, limit."""

from __future__ import annotations

import math

from hpelec.common.rules_conductors import area_cmil, conductor_citation, conductor_row
from hpelec.core.citing import Citation, rule
from hpelec.core.errors import RangeError, in_range

LARGE_DROP_percent = 10.0
"""Above this share the exact form replaces the usual approximation."""


def _resistance_column(size: str) -> tuple[str, str]:
    """Column of the resistance, and the word for its accuracy: dc to 4/0 (three digits), ac in PVC above."""
    if area_cmil(size) <= area_cmil("4/0"):
        return "dc_resistance_ohm_per_kft_75c", "dc_resistance"
    return "ac_resistance_pvc_ohm_per_kft", "ac"


@rule(
    "resistance of a conductor at 75 C",
    source="NFPA 70",
    locator="Ch 9 Table 8 to 4/0, Ch 9 Table 9 (PVC) above",
    accuracy="published",
)
def resistance_ohm_per_kft(size: str, material: str) -> float:
    """Resistance of one conductor [ohm per 1000 ft] at 75 C.

    To 4/0 AWG the dc table (three digits; skin effect is under 1 %), above it the ac table, which has two digits.
    Raises RangeError for a size without a value (700 kcmil).
    """
    column, _ = _resistance_column(size)
    value = conductor_row(size, material).number_or_none(column)
    if value is None:
        raise RangeError(f"size {size} in {material} has no ac resistance in the table")
    return value


def resistance_citation(size: str, material: str) -> Citation:
    """Source of the value that `resistance_ohm_per_kft` takes."""
    return conductor_citation(size, material, _resistance_column(size)[1])


@rule("reactance of a conductor", source="NFPA 70", locator="Ch 9 Table 9 (PVC)", accuracy="published")
def reactance_ohm_per_kft(size: str, material: str) -> float:
    """Reactance of one conductor [ohm per 1000 ft], single conductors in PVC, 60 Hz. RangeError for 700 kcmil."""
    value = conductor_row(size, material).number_or_none("reactance_pvc_aluminum_ohm_per_kft")
    if value is None:
        raise RangeError(f"size {size} in {material} has no reactance in the table")
    return value


@rule("effective impedance at a power factor", source="NFPA 70", locator="Ch 9 Table 9, note 2", accuracy="published")
def effective_ohm_per_kft(resistance_ohm_per_kft: float, reactance_ohm_per_kft: float, power_factor: float) -> float:
    """R cos phi + X sin phi [ohm per 1000 ft]; power_factor: lagging, over 0 to 1."""
    in_range("resistance_ohm_per_kft", resistance_ohm_per_kft, low=0)
    in_range("reactance_ohm_per_kft", reactance_ohm_per_kft, low=0)
    in_range("power_factor", power_factor, above=0, high=1)
    return resistance_ohm_per_kft * power_factor + reactance_ohm_per_kft * math.sin(math.acos(power_factor))


@rule(
    "voltage drop of a two-wire run, both conductors",
    source="NFPA 70",
    locator="Ch 9 Table 9, note 2 (2 I L Z / 1000)",
    accuracy="published",
)
def drop_V(current_A: float, length_ft: float, impedance_ohm_per_kft: float) -> float:
    """Drop [V] there and back; current_A, length_ft (one way) and effective impedance, all >= 0."""
    in_range("current_A", current_A, low=0)
    in_range("length_ft", length_ft, low=0)
    in_range("impedance_ohm_per_kft", impedance_ohm_per_kft, low=0)
    return 2 * current_A * length_ft * impedance_ohm_per_kft / 1000


@rule(
    "voltage drop of a two-wire run by the exact phasor form",
    source="circuit theory",
    locator="receiving voltage = sqrt(E^2 - (I q)^2) - I r",
    accuracy="recomputed",
)
def exact_drop_V(
    current_A: float,
    length_ft: float,
    resistance_ohm_per_kft: float,
    reactance_ohm_per_kft: float,
    power_factor: float,
    voltage_V: float,
) -> float | None:
    """Drop [V] there and back with the source held at `voltage_V` [V], > 0; None when the load cannot be served.

    r = R cos + X sin and q = X cos - R sin of the loop; never less than the approximation I r.
    """
    in_range("voltage_V", voltage_V, above=0)
    in_phase_V = drop_V(
        current_A, length_ft, effective_ohm_per_kft(resistance_ohm_per_kft, reactance_ohm_per_kft, power_factor)
    )
    q_ohm_per_kft = reactance_ohm_per_kft * power_factor - resistance_ohm_per_kft * math.sin(math.acos(power_factor))
    across_V = 2 * current_A * length_ft * q_ohm_per_kft / 1000
    if across_V**2 >= voltage_V**2:
        return None
    received_V = math.sqrt(voltage_V**2 - across_V**2) - in_phase_V
    return voltage_V - received_V if received_V > 0 else None


@rule("drop within a limit", source="NFPA 70", locator="215.2, 210.19 informational notes", accuracy="published")
def within_limit(drop_V: float, voltage_V: float, limit_percent: float) -> bool:
    """True when the drop [V] is at most `limit_percent` of the source voltage [V]; exactly at the limit passes."""
    in_range("drop_V", drop_V, low=0)
    in_range("voltage_V", voltage_V, above=0)
    in_range("limit_percent", limit_percent, low=0)
    return drop_V * 100 <= limit_percent * voltage_V * (1 + 1e-12)


def run_drop_V(
    size: str, material: str, sets: int, current_A: float, length_ft: float, power_factor: float, voltage_V: float
) -> float | None:
    """Drop [V] of `sets` equal parallel sets of a size: the approximation, or the exact form where the drop is large.

    None when the load cannot be served through it. Raises RangeError for values out of range.
    """
    in_range("sets", sets, low=1)
    r = resistance_ohm_per_kft(size, material) / sets
    x = reactance_ohm_per_kft(size, material) / sets
    usual = drop_V(current_A, length_ft, effective_ohm_per_kft(r, x, power_factor))
    if within_limit(usual, voltage_V, LARGE_DROP_percent):
        return usual
    return exact_drop_V(current_A, length_ft, r, x, power_factor, voltage_V)
