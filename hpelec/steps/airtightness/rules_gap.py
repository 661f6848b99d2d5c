"""Rules of the step airtightness: what a drilled hole leaks, from its size."""

from __future__ import annotations

import math

from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.steps.airtightness.rules import AIR_DENSITY_KG_M3

VISCOSITY_PA_S = 1.81e-5
"""Reference air at 20 C."""
STRAIGHT = 1.5
"""Entrance and exit loss of a straight crack, in velocity heads."""
SHARP_DISCHARGE = 0.61
"""Discharge of a sharp hole in a thin sheet."""
SHARP = SHARP_DISCHARGE**-2
"""The same as a loss, in velocity heads."""
SOURCE = "Baker, Sharples and Ward 1987; Etheridge and Sandberg 1996"


@rule(
    "ring of the same open area",
    source="geometry",
    locator="round cable that leaves as much open",
    accuracy="recomputed",
)
def ring_gap_mm(hole_mm: float, free_area_mm2: float) -> float:
    """Gap of the even ring in a round hole that is as open as the hole round its cables [mm].

    hole_mm [mm] > 0; free_area_mm2 [mm2], not above the hole. A round cable gives half of hole less cable.
    """
    in_range("hole", hole_mm, above=0)
    in_range("open area", free_area_mm2, low=0, high=math.pi / 4 * hole_mm**2 * (1 + 1e-9))
    inner = max(0.0, hole_mm**2 - 4 / math.pi * free_area_mm2)  # below zero by rounding only, see the range above
    return (hole_mm - math.sqrt(inner)) / 2


@rule(
    "relief of friction when the cable touches one side",
    source="thin-annulus lubrication theory",
    locator="1 + 1.5 e^2",
    accuracy="recomputed",
)
def eccentric_factor(eccentricity: float) -> float:
    """How much more a laminar ring passes when its cable is off centre: 0 even, 1 touching (2.5)."""
    return 1 + 1.5 * in_range("eccentricity", eccentricity, low=0, high=1) ** 2


@rule("flow through a gap", source=SOURCE, locator="dP = 12 mu L V/w^2 + K rho V^2/2", accuracy="memory")
def gap_flow_L_s(
    gap_mm: float,
    length_mm: float,
    depth_mm: float,
    pressure_Pa: float,
    *,
    loss: float = STRAIGHT,
    eccentricity: float = 0.0,
) -> float:
    """Flow through a crack [L/s]: gap w, length b, depth L in the flow direction [mm].

    loss: K in velocity heads, > 0. eccentricity: of a cable in its ring; it eases friction only, so the flow never
    passes the friction-free one. gap 0 gives 0. Valid for Re under about 2000 and a gap small against its length.
    """
    in_range("gap", gap_mm, low=0, high=1000)
    in_range("length", length_mm, low=0, high=100000)
    in_range("depth", depth_mm, low=0, high=2000)
    in_range("pressure", pressure_Pa, above=0, high=1000)
    in_range("loss", loss, above=0, high=20)
    if gap_mm == 0 or length_mm == 0:
        return 0.0
    gap_m, depth_m = gap_mm / 1000, depth_mm / 1000
    friction = 12 * VISCOSITY_PA_S * depth_m / gap_m**2 / eccentric_factor(eccentricity)
    inertia = loss * AIR_DENSITY_KG_M3 / 2
    # Positive root of inertia V^2 + friction V = dP, written so that no large numbers cancel.
    velocity_m_s = 2 * pressure_Pa / (friction + math.sqrt(friction**2 + 4 * inertia * pressure_Pa))
    return velocity_m_s * gap_m * length_mm / 1000 * 1000


@rule("length of a ring", source="geometry", locator="b = pi (d + w)", accuracy="recomputed")
def ring_length_mm(hole_mm: float, gap_mm: float) -> float:
    """Mean length of the ring in a round hole [mm]: pi times (hole less gap)."""
    in_range("hole", hole_mm, above=0)
    return math.pi * (hole_mm - in_range("gap", gap_mm, low=0, high=hole_mm / 2 * (1 + 1e-9)))


@rule("loss of a gap by its depth", source=SOURCE, locator="L > w; else a sharp hole", accuracy="memory")
def straight_loss(gap_mm: float, depth_mm: float) -> float:
    """Loss in velocity heads of a gap: 1.5 when it is at least as deep as wide, else that of a sharp hole."""
    in_range("gap", gap_mm, low=0)
    in_range("depth", depth_mm, low=0)
    return STRAIGHT if depth_mm >= gap_mm else SHARP


@rule("flow through a bare hole", source="orifice", locator="Q = Cd A sqrt(2 dP/rho)", accuracy="recomputed")
def orifice_flow_L_s(area_mm2: float, pressure_Pa: float, discharge: float = SHARP_DISCHARGE) -> float:
    """Flow through an open area [L/s]: area [mm2] >= 0, pressure [Pa] > 0, discharge up to 1."""
    in_range("area", area_mm2, low=0)
    in_range("pressure", pressure_Pa, above=0, high=1000)
    in_range("discharge", discharge, above=0, high=1)
    return discharge * area_mm2 / 1e6 * math.sqrt(2 * pressure_Pa / AIR_DENSITY_KG_M3) * 1000


@rule(
    "share of a leak that a seal leaves",
    source="ASHRAE Handbook-Fundamentals, component leakage areas",
    locator="caulked over uncaulked penetration",
    accuracy="memory",
)
def sealed_shares(
    caulked_cm2: tuple[float, float, float], uncaulked_cm2: tuple[float, float, float]
) -> tuple[float, float, float]:
    """Share left by sealing (best, lowest, highest) from two rows (best, min, max) [cm2].

    Best over best, lowest over highest, highest over lowest. Raises RangeError when a share would pass 1: a seal
    never adds leakage.
    """
    (c_best, c_min, c_max), (u_best, u_min, u_max) = caulked_cm2, uncaulked_cm2
    for value in (u_best, u_min, u_max):
        in_range("uncaulked area", value, above=0)
    shares = (c_best / u_best, c_min / u_max, c_max / u_min)
    for share in shares:
        in_range("share left", share, low=0, high=1)
    if not shares[1] <= shares[0] <= shares[2]:
        raise RangeError(f"shares {shares} are not in order")
    return shares
