"""Rules of voltage drop on a two-wire run: resistance, effective impedance, drop, limit."""

from __future__ import annotations

import math

from hpelec.common.rules_conductors import area_cmil, conductor_citation, conductor_row, usable_sizes
from hpelec.core.citing import Citation, rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import Row, table

LARGE_DROP_percent = 10.0
"""Above this share the exact form replaces the usual approximation."""
LEAST_RUN_A = 0.001
"""Below this current [A] a longest run has no meaning."""


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


def drop_limit_row(run: str) -> Row:
    """Row of the drop that the code recommends as a limit for a `branch`, a `feeder`, or `feeder and branch`."""
    return table("tables/drop_limits").one(run=run)


@rule(
    "resistance of a conductor at another temperature",
    source="NFPA 70",
    locator="Ch 9 Table 8, note 2",
    accuracy="published",
)
def resistance_at_ohm_per_kft(resistance_75C_ohm_per_kft: float, material: str, temperature_C: float) -> float:
    """Resistance [ohm per 1000 ft] at a conductor temperature [C], -100 to 250, from that at 75 C, >= 0."""
    in_range("resistance_75C_ohm_per_kft", resistance_75C_ohm_per_kft, low=0)
    in_range("temperature_C", temperature_C, low=-100, high=250)
    rows = table("tables/conductor_metals").where(material=material)
    if not rows:
        raise RangeError(f"material must be al or cu, got {material!r}")
    return resistance_75C_ohm_per_kft * (1 + rows[0].number("alpha75_per_c") * (temperature_C - 75))


@rule(
    "longest run of a size within a limit of voltage drop",
    source="NFPA 70",
    locator="Ch 9 Table 9, note 2, solved for the length",
    accuracy="recomputed",
)
def longest_run_ft(
    size: str, material: str, sets: int, current_A: float, power_factor: float, voltage_V: float, limit_percent: float
) -> float:
    """Longest one-way run [ft] whose drop, as `run_drop_V` has it, is within the limit; the answer is unrounded.

    current_A: >= LEAST_RUN_A; voltage_V > 0; limit_percent: over 0, below 100. The exact form above 10 %; since it
    takes over there with a step, a limit just above 10 % may be met only by the run that loses 10 %.
    """
    in_range("sets", sets, low=1)
    in_range("current_A", current_A, low=LEAST_RUN_A)
    in_range("voltage_V", voltage_V, above=0)
    in_range("limit_percent", limit_percent, above=0, high=99.999)
    r = resistance_ohm_per_kft(size, material) / sets
    x = reactance_ohm_per_kft(size, material) / sets
    lost_V_per_ft = drop_V(current_A, 1.0, effective_ohm_per_kft(r, x, power_factor))
    usual_ft = min(limit_percent, LARGE_DROP_percent) / 100 * voltage_V / lost_V_per_ft
    if limit_percent <= LARGE_DROP_percent:
        return usual_ft
    across_V_per_ft = 2 * current_A * (x * power_factor - r * math.sin(math.acos(power_factor))) / 1000
    return max(usual_ft, _exact_run_ft(lost_V_per_ft, across_V_per_ft, voltage_V, limit_percent))


def _exact_run_ft(lost_V_per_ft: float, across_V_per_ft: float, voltage_V: float, limit_percent: float) -> float:
    """Length L at which sqrt(E^2 - (b L)^2) - a L is E less the limit: the positive root of a quadratic."""
    received_V = voltage_V * (1 - limit_percent / 100)
    square = lost_V_per_ft**2 + across_V_per_ft**2
    half = received_V * lost_V_per_ft
    return (math.sqrt(half**2 + square * (voltage_V**2 - received_V**2)) - half) / square


@rule(
    "smallest size of which a run is within a limit of voltage drop",
    source="NFPA 70",
    locator="Ch 9 Table 9, note 2, solved for the size",
    accuracy="recomputed",
)
def smallest_size_for_drop(
    material: str,
    sets: int,
    current_A: float,
    length_ft: float,
    power_factor: float,
    voltage_V: float,
    limit_percent: float,
    least_cmil: float = 0.0,
) -> str | None:
    """Smallest size of at least `least_cmil` [circular mil] whose drop, as `run_drop_V` has it, is within the limit.

    None when no size is. The drop alone: the size must carry the current too. Parallel sets are 1/0 AWG or larger.
    """
    in_range("least_cmil", least_cmil, low=0)
    in_range("limit_percent", limit_percent, low=0)
    least = max(least_cmil, area_cmil("1/0") if sets > 1 else 0.0)
    for size in (s for s in usable_sizes(material) if area_cmil(s) >= least):
        lost_V = run_drop_V(size, material, sets, current_A, length_ft, power_factor, voltage_V)
        if lost_V is not None and within_limit(lost_V, voltage_V, limit_percent):
            return size
    return None
