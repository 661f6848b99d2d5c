"""Formulas of water heating: mixing, power, rise, recovery, first hour, and what counts together.

Heat is in kW, flow in gal/min, temperature in F. None depends on the edition of NFPA 70 but the last.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from hpelec.common.rules_water import flow_heat_kW
from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, in_range

BALANCE = "energy balance of water"
MIN_PER_H = 60.0


@rule("share of a mixed draw that is hot", source=BALANCE, locator="mixing", accuracy="recomputed")
def hot_share(hot_F: float, mixed_F: float, cold_F: float) -> float:
    """Share of the mixed flow that comes from the heater, 0 to 1.

    Raises RangeError unless cold_F < hot_F and cold_F <= mixed_F <= hot_F: no mix of the two gives another temperature.
    """
    in_range("hot_F", hot_F, above=in_range("cold_F", cold_F))
    in_range("mixed_F", mixed_F, low=cold_F, high=hot_F)
    return (mixed_F - cold_F) / (hot_F - cold_F)


@rule("heat to warm a flow at once", source=BALANCE, locator="P = k q dT", accuracy="recomputed")
def needed_kW(flow_gpm: float, rise_dF: float) -> float:
    """Heat to warm `flow_gpm` (>= 0) by `rise_dF` (>= 0) without storage [kW]."""
    in_range("flow_gpm", flow_gpm, low=0)
    in_range("rise_dF", rise_dF, low=0)
    return flow_heat_kW() * flow_gpm * rise_dF


@rule("rise that a heat input gives a flow", source=BALANCE, locator="dT = P / (k q)", accuracy="recomputed")
def rise_dF(heat_kW: float, flow_gpm: float) -> float:
    """Rise of a flow heated at once [F]; heat_kW >= 0; RangeError at no flow, where the heater is off."""
    in_range("heat_kW", heat_kW, low=0)
    in_range("flow_gpm", flow_gpm, above=0)
    return heat_kW / (flow_heat_kW() * flow_gpm)


@rule(
    "temperature that leaves an instantaneous heater", source=BALANCE, locator="dT = P / (k q)", accuracy="recomputed"
)
def delivered_F(heat_kW: float, flow_gpm: float, cold_F: float, setpoint_F: float) -> float:
    """Outlet temperature: the setpoint, or less when the heater is too small for the flow.

    Raises RangeError unless flow_gpm > 0 and setpoint_F > cold_F.
    """
    in_range("setpoint_F", setpoint_F, above=in_range("cold_F", cold_F))
    return min(setpoint_F, cold_F + rise_dF(heat_kW, flow_gpm))


@rule("largest flow at the full rise", source=BALANCE, locator="q = P / (k dT)", accuracy="recomputed")
def full_flow_gpm(heat_kW: float, rise_dF: float) -> float:
    """Largest flow that the heat warms by `rise_dF` (> 0) at once [gal/min]; heat_kW >= 0."""
    in_range("heat_kW", heat_kW, low=0)
    in_range("rise_dF", rise_dF, above=0)
    return heat_kW / (flow_heat_kW() * rise_dF)


@rule("power of a resistance element at another voltage", source="P = V^2 / R", locator="ohmic", accuracy="recomputed")
def element_kW(rated_kW: float, rated_V: float, supply_V: float) -> float:
    """Power of a resistance element rated `rated_kW` at `rated_V` on a supply of `supply_V`; not for compressors."""
    in_range("rated_kW", rated_kW, low=0)
    in_range("rated_V", rated_V, above=0)
    in_range("supply_V", supply_V, above=0)
    return rated_kW * (supply_V / rated_V) ** 2


@rule("current of a single-phase load", source="I = P / V", locator="definition", accuracy="recomputed")
def current_A(power_VA: float, voltage_V: float) -> float:
    """Current of a single-phase load [A]; power_VA >= 0, voltage_V > 0."""
    in_range("power_VA", power_VA, low=0)
    in_range("voltage_V", voltage_V, above=0)
    return power_VA / voltage_V


@rule("volume that a heater warms in an hour", source=BALANCE, locator="60 P / (k dT)", accuracy="recomputed")
def recovery_gph(heat_kW: float, rise_dF: float) -> float:
    """Volume warmed by `rise_dF` (> 0) in an hour [gal/h]; heat_kW >= 0."""
    return MIN_PER_H * full_flow_gpm(heat_kW, rise_dF)


@rule(
    "hot water of a tank in its first hour, when no rating is known",
    source="sizing rule of the trade",
    locator="usable share of the volume + one hour of recovery",
    accuracy="common practice",
)
def first_hour_gal(volume_gal: float, recovery_gph: float, usable_share: float = 0.70) -> float:
    """Estimate of the hot water in the first hour [gal]; a tested first-hour rating overrides it.

    volume_gal > 0, recovery_gph >= 0, usable_share 0 to 1.
    """
    in_range("volume_gal", volume_gal, above=0)
    in_range("recovery_gph", recovery_gph, low=0)
    in_range("usable_share", usable_share, low=0, high=1)
    return usable_share * volume_gal + recovery_gph


@rule(
    "hot water asked in the busiest hour",
    source="US DOE peak-hour worksheet",
    locator="sum of uses x gallons a use",
    accuracy="published",
)
def peak_hour_gal(uses: Sequence[float], gal_per_use: Sequence[float]) -> float:
    """Sum of uses times gallons a use [gal]; the two lists go together, each value >= 0.

    The method is published; the gallons a use differ by edition of the worksheet and carry their own accuracy.
    """
    if len(uses) != len(gal_per_use):
        raise RangeError(f"uses and gal_per_use must be equally long, got {len(uses)} and {len(gal_per_use)}")
    for n, gal in zip(uses, gal_per_use, strict=True):
        in_range("uses", n, low=0)
        in_range("gal_per_use", gal, low=0)
    return math.fsum(n * gal for n, gal in zip(uses, gal_per_use, strict=True))


@rule(
    "how long a tank feeds a flow at full temperature",
    source=BALANCE,
    locator="usable volume / (flow - recovery)",
    accuracy="recomputed",
)
def sustained_min(volume_gal: float, flow_gpm: float, recovery_gph: float, usable_share: float = 0.70) -> float | None:
    """Minutes until the usable volume is gone at a steady hot flow; None when recovery keeps up for ever.

    volume_gal > 0, flow_gpm > 0, recovery_gph >= 0, usable_share 0 to 1 (0.70 is common practice).
    """
    in_range("volume_gal", volume_gal, above=0)
    in_range("flow_gpm", flow_gpm, above=0)
    in_range("recovery_gph", recovery_gph, low=0)
    in_range("usable_share", usable_share, low=0, high=1)
    net_gpm = flow_gpm - recovery_gph / MIN_PER_H
    return usable_share * volume_gal / net_gpm if net_gpm > 0 else None


@rule(
    "the one load that counts among those that cannot run together",
    source="NFPA 70",
    locator={2017: "220.60", 2026: "120.60"},
    accuracy="published",
)
def noncoincident(loads: Sequence[float], edition: int) -> float:
    """The largest of loads of which only one can run at a time; each >= 0, at least one.

    The number 120.60 of edition 2026 is taken from the pattern of its renumbering.
    """
    check_edition(edition)
    if not loads:
        raise RangeError("loads must hold at least one load, got none")
    return max(in_range("load", load, low=0) for load in loads)
