"""Rules of the step airtightness: flow, area and pressure; metrics of a house; leakage rows."""

from __future__ import annotations

import math

from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range

AIR_DENSITY_KG_M3 = 1.2041
"""Reference air: 20 C, 101 325 Pa."""
EXPONENT = 0.65
"""Flow exponent where only one pressure is known (small cracks, Dols and Walton 2002)."""
L_S_PER_CFM = 0.4719474432


@rule("flow at another pressure", source="power law", locator="Q2 = Q1 (P2/P1)^n", accuracy="published")
def flow_at_pressure(flow: float, from_Pa: float, to_Pa: float, exponent: float = EXPONENT) -> float:
    """Flow of a leak at `to_Pa`, in the unit of `flow`, from its flow at `from_Pa`.

    flow >= 0; pressures [Pa] > 0; exponent 0.5 (orifice) to 1 (laminar). Raises RangeError outside.
    """
    in_range("flow", flow, low=0)
    in_range("from_Pa", from_Pa, above=0, high=1000)
    in_range("to_Pa", to_Pa, above=0, high=1000)
    in_range("exponent", exponent, low=0.5, high=1.0)
    return flow * float((to_Pa / from_Pa) ** exponent)


def _velocity_m_s(pressure_Pa: float, density_kg_m3: float) -> float:
    in_range("pressure", pressure_Pa, above=0, high=1000)
    in_range("density", density_kg_m3, above=0, high=3)
    return math.sqrt(2 * pressure_Pa / density_kg_m3)


@rule(
    "leakage area of a flow",
    source="ASTM E779; CAN/CGSB-149.10",
    locator="A = Q(Pr) / (Cd sqrt(2 Pr/rho))",
    accuracy="recomputed",
)
def leakage_area_cm2(
    flow_cfm50: float,
    *,
    reference_Pa: float = 4.0,
    discharge: float = 1.0,
    exponent: float = EXPONENT,
    density_kg_m3: float = AIR_DENSITY_KG_M3,
) -> float:
    """Area that leaks as much at the reference pressure [cm2]. ELA: 4 Pa, discharge 1; EqLA: 10 Pa, 0.611.

    flow_cfm50 [cfm at 50 Pa] >= 0. Never quote the area without its pressure and discharge coefficient.
    """
    in_range("discharge", discharge, above=0, high=1)
    flow_m3_s = flow_at_pressure(flow_cfm50, 50, reference_Pa, exponent) * L_S_PER_CFM / 1000
    return flow_m3_s / (discharge * _velocity_m_s(reference_Pa, density_kg_m3)) * 1e4


@rule(
    "flow of a leakage area",
    source="ASTM E779",
    locator="Q = A sqrt(2 x 4 Pa/rho), power law to 50 Pa",
    accuracy="recomputed",
)
def area_flow_cfm50(ela4_cm2: float, exponent: float = EXPONENT) -> float:
    """Flow at 50 Pa [cfm] of an effective leakage area at 4 Pa with discharge 1 [cm2] >= 0."""
    in_range("ela4_cm2", ela4_cm2, low=0)
    flow_cfm4 = ela4_cm2 / 1e4 * _velocity_m_s(4.0, AIR_DENSITY_KG_M3) * 1000 / L_S_PER_CFM
    return flow_at_pressure(flow_cfm4, 4, 50, exponent)


@rule("air changes at 50 Pa", source="definition", locator="60 Q/V", accuracy="published")
def ach50(flow_cfm50: float, volume_ft3: float) -> float:
    """Air changes an hour at 50 Pa [1/h]; the volume [ft3] > 0 is the one of the target's own standard."""
    return 60 * in_range("flow", flow_cfm50, low=0) / in_range("volume", volume_ft3, above=0)


@rule("flow for each square foot of envelope", source="definition", locator="Q/A", accuracy="published")
def flow_per_area(flow_cfm: float, area_ft2: float) -> float:
    """Flow over envelope area [cfm/ft2], at the pressure of the flow; area [ft2] > 0."""
    return in_range("flow", flow_cfm, low=0) / in_range("area", area_ft2, above=0)


@rule("flow that a target allows", source="definition", locator="metric turned round", accuracy="published")
def limit_cfm50(metric: str, limit: float, volume_ft3: float, area_ft2: float) -> float:
    """Largest flow at 50 Pa [cfm] under a target: ACH50 [1/h], or q50, q75 [cfm/ft2]; limit > 0."""
    in_range("limit", limit, above=0)
    in_range("volume", volume_ft3, above=0)
    in_range("area", area_ft2, above=0)
    if metric == "ACH50":
        return limit * volume_ft3 / 60
    if metric == "q50":
        return limit * area_ft2
    if metric == "q75":
        return flow_at_pressure(limit * area_ft2, 75, 50)
    raise RangeError(f"metric {metric!r} is not one of ACH50, q50, q75")


@rule(
    "whether a flow meets its limit",
    source="International Energy Conservation Code, residential",
    locator="R402.4.1.2: not exceeding",
    accuracy="published",
)
def meets_limit(flow_cfm50: float, largest_cfm50: float) -> bool:
    """True when the flow is not above the limit; exactly at the limit meets it."""
    in_range("flow", flow_cfm50, low=0)
    in_range("limit", largest_cfm50, above=0)
    return flow_cfm50 <= largest_cfm50 * (1 + 1e-12)
