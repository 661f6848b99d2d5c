"""Rules of motor starts and losses: source impedance, dip, limit, loss of a year."""

from __future__ import annotations

import math
from functools import cache

from hpelec.core.citing import Citation, rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import Row, table
from hpelec.steps.lateral.values import value


@cache
def transformer_row(rating_kVA: float) -> Row:
    """Row of the smallest usual transformer of at least this rating [kVA], > 0; the largest beyond it."""
    in_range("rating_kVA", rating_kVA, above=0)
    rows = sorted(table("lateral/transformers"), key=lambda r: r.number("kva"))
    return next((r for r in rows if r.number("kva") >= rating_kVA), rows[-1])


@rule(
    "usual impedance of a service transformer",
    source="service transformers",
    locator="impedance band",
    accuracy="memory",
)
def usual_impedance_percent(rating_kVA: float) -> float:
    """Usual impedance [%] of a single-phase service transformer of a rating [kVA], > 0."""
    return transformer_row(rating_kVA).number("impedance_typical_percent")


@rule(
    "full-load current of a single-phase transformer",
    source="circuit theory",
    locator="kVA x 1000 / V",
    accuracy="recomputed",
)
def full_load_A(rating_kVA: float, voltage_V: float) -> float:
    """Current [A] at the rating [kVA], > 0, and voltage [V], > 0."""
    return in_range("rating_kVA", rating_kVA, above=0) * 1000 / in_range("voltage_V", voltage_V, above=0)


@rule(
    "short-circuit current at a transformer, endless supply before it",
    source="circuit theory",
    locator="full-load current x 100 / %Z",
    accuracy="published",
)
def short_circuit_A(rating_kVA: float, voltage_V: float, impedance_percent: float) -> float:
    """Current [A] of a bolted fault at the terminals; impedance [%], > 0."""
    return full_load_A(rating_kVA, voltage_V) * 100 / in_range("impedance_percent", impedance_percent, above=0)


@rule(
    "impedance of a center-tapped transformer",
    source="open test feeder data",
    locator="center-tapped service transformer, 120 V half winding: 1.5 R, 1.2 X per unit",
    accuracy="recomputed",
)
def transformer_ohm(rating_kVA: float, impedance_percent: float, line_V: float, half: bool) -> tuple[float, float]:
    """Resistance and reactance [ohm] seen from the secondary.

    impedance_percent: of the whole winding [%], > 0, split as the model of lateral/transformers has it. line_V:
    line-to-line [V], > 0. half: a load on one half (120 V) winding instead of the whole.
    """
    row = transformer_row(rating_kVA)
    in_range("impedance_percent", impedance_percent, above=0)
    r, x = row.number("model_resistance_percent"), row.number("model_reactance_percent")
    scale = impedance_percent / math.hypot(r, x) / 100
    base_V = in_range("line_V", line_V, above=0) / (2 if half else 1)
    base_ohm = base_V**2 / (rating_kVA * 1000)
    more_r, more_x = (value("half_winding_resistance"), value("half_winding_reactance")) if half else (1.0, 1.0)
    return r * scale * more_r * base_ohm, x * scale * more_x * base_ohm


@rule(
    "locked-rotor current from the full-load current",
    source="NFPA 70",
    locator="Table 430.251(A)",
    accuracy="memory",
)
def locked_rotor_A(full_load_A: float) -> float:
    """Locked-rotor current [A] of a single-phase motor: six times its full-load current [A], > 0."""
    return value("locked_rotor_multiple") * in_range("full_load_A", full_load_A, above=0)


@rule(
    "dip of the voltage as a motor starts",
    source="circuit theory",
    locator="I (R cos + X sin)",
    accuracy="recomputed",
)
def dip_V(current_A: float, resistance_ohm: float, reactance_ohm: float, power_factor: float) -> float:
    """Dip [V] of a current [A] through R and X [ohm], all >= 0, at a lagging power factor, 0 to 1."""
    in_range("current_A", current_A, low=0)
    in_range("resistance_ohm", resistance_ohm, low=0)
    in_range("reactance_ohm", reactance_ohm, low=0)
    in_range("power_factor", power_factor, low=0, high=1)
    return current_A * (resistance_ohm * power_factor + reactance_ohm * math.sqrt(1 - power_factor**2))


@rule(
    "largest dip whatever the power factor",
    source="circuit theory",
    locator="I |Z|",
    accuracy="recomputed",
)
def worst_dip_V(current_A: float, resistance_ohm: float, reactance_ohm: float) -> float:
    """Dip [V] of a current [A] whose angle matches that of the impedance; all >= 0."""
    in_range("current_A", current_A, low=0)
    in_range("resistance_ohm", resistance_ohm, low=0)
    return current_A * math.hypot(resistance_ohm, in_range("reactance_ohm", reactance_ohm, low=0))


@rule("largest dip that utilities let a motor cause", source="utility practice",
      locator="largest dip by number of motor starts", accuracy="common practice")  # fmt: skip
def dip_limit_percent(starts_per_hour: float) -> float | None:
    """Largest dip [%] for so many starts in an hour, > 0; None for more starts than the table has."""
    row = flicker_row(starts_per_hour)
    return None if row is None else row.number("dip_percent")


def flicker_row(starts_per_hour: float) -> Row | None:
    """Row of lateral/flicker_limits for so many starts in an hour, > 0; None beyond the table."""
    in_range("starts_per_hour", starts_per_hour, above=0)
    rows = sorted(table("lateral/flicker_limits"), key=lambda r: r.number("most_starts_per_hour"))
    return next((r for r in rows if starts_per_hour <= r.number("most_starts_per_hour")), None)


def flicker_citation() -> Citation:
    """Source of the limits of dip."""
    return table("lateral/flicker_limits").rows[0].citation


@rule("load factor", source="arithmetic", locator="energy of a year / (peak x 8760 h)", accuracy="recomputed")
def load_factor(annual_kWh: float, peak_kW: float) -> float:
    """Mean load over peak load. annual_kWh: >= 0. peak_kW: > 0. RangeError when the mean is above the peak."""
    in_range("annual_kWh", annual_kWh, low=0)
    factor = annual_kWh / (in_range("peak_kW", peak_kW, above=0) * value("hours"))
    if factor > 1:
        raise RangeError(f"annual_kWh is more than the peak all year: {annual_kWh:g} kWh at {peak_kW:g} kW")
    return factor


@rule(
    "loss factor from the load factor",
    source="loss factor of distribution feeders",
    locator="loss factor = k LF + (1 - k) LF^2",
    accuracy="memory",
)
def loss_factor(load_factor: float) -> float:
    """Mean loss over loss at the peak, for a load factor of 0 to 1; between its square and itself."""
    in_range("load_factor", load_factor, low=0, high=1)
    k = value("loss_linear")
    return k * load_factor + (1 - k) * load_factor**2


@rule("loss in a two-wire run", source="circuit theory", locator="2 I^2 R", accuracy="recomputed")
def loss_W(current_A: float, resistance_ohm: float) -> float:
    """Heat [W] of a current [A] in two conductors of a resistance [ohm] each, both >= 0."""
    return 2 * in_range("current_A", current_A, low=0) ** 2 * in_range("resistance_ohm", resistance_ohm, low=0)


@rule(
    "loss of a year",
    source="loss factor of distribution feeders",
    locator="loss at the peak x loss factor x 8760 h",
    accuracy="memory",
)
def annual_loss_kWh(peak_loss_W: float, loss_factor: float) -> float:
    """Energy lost in a year [kWh] from the loss at the peak [W], >= 0, and the loss factor, 0 to 1."""
    in_range("peak_loss_W", peak_loss_W, low=0)
    return peak_loss_W / 1000 * in_range("loss_factor", loss_factor, low=0, high=1) * value("hours")
