"""Rules of pulling conductors into conduit: weight, tension along a run, pressure in bends, limits.

Symbols as the handbooks have them: w weight [lb/ft], m friction, W weight correction factor, a angle [rad].
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.steps.lateral.values import pulling

HANDBOOK = "handbooks of cable pulling (general formulas)"


@rule(
    "weight of a covered conductor",
    source="geometry and densities",
    locator="metal x lay x density + covering x density",
    accuracy="recomputed",
)
def weight_lb_per_ft(metal_cmil: float, strand_in: float, outside_in: float, material: str) -> float:
    """Weight of one conductor [lb/ft].

    metal_cmil: area of the metal [circular mil], > 0. strand_in: diameter over the strands [in], > 0. outside_in:
    over the covering [in], more than strand_in. material: cu or al; RangeError for another.
    """
    if material not in ("cu", "al"):
        raise RangeError(f"material must be al or cu, got {material!r}")
    in_range("metal_cmil", metal_cmil, above=0)
    in_range("strand_in", strand_in, above=0)
    in_range("outside_in", outside_in, above=strand_in)
    metal_ft2 = math.pi / 4 * metal_cmil * 1e-6 / 144
    covering_ft2 = math.pi / 4 * (outside_in**2 - strand_in**2) / 144
    metal = metal_ft2 * pulling("lay") * pulling(f"density_{material}")
    return metal + covering_ft2 * pulling("density_covering")


@rule("weight correction factor", source=HANDBOOK, locator="weight correction factor", accuracy="memory")
def weight_factor(conductor_in: float, bore_in: float, count: int) -> float:
    """How much harder several conductors press on a conduit than one: 1 for one or two.

    Three in a triangle (bore under 2.5 diameters): 1 / sqrt(1 - (d / (D - d))^2). Three in a cradle, the careful
    reading above that: 1 + 4/3 (d / (D - d))^2. Four and more: 1 + 2 (d / (D - d))^2.
    conductor_in: diameter d, > 0. bore_in: D; for three or more over 2.155 d, the least bore that holds three.
    """
    in_range("count", count, low=1)
    in_range("conductor_in", conductor_in, above=0)
    in_range("bore_in", bore_in, above=conductor_in)
    if count <= 2:
        return 1.0
    in_range("bore_in", bore_in, above=2.155 * conductor_in)
    share = conductor_in / (bore_in - conductor_in)
    if count > 3:
        return 1 + 2 * share**2
    if bore_in / conductor_in < pulling("triangle_below"):
        return 1 / math.sqrt(1 - share**2)
    return 1 + 4 / 3 * share**2


@rule("tension after a level straight run", source=HANDBOOK, locator="T = T0 + w m W L", accuracy="memory")
def after_straight_lb(tension_lb: float, length_ft: float, weight_lb_per_ft: float, friction: float,
                      factor: float) -> float:  # fmt: skip
    """Tension [lb] at the end of a level straight run; all >= 0, factor >= 1."""
    in_range("tension_lb", tension_lb, low=0)
    in_range("length_ft", length_ft, low=0)
    in_range("weight_lb_per_ft", weight_lb_per_ft, low=0)
    in_range("friction", friction, low=0)
    in_range("factor", factor, low=1)
    return tension_lb + weight_lb_per_ft * friction * factor * length_ft


@rule("tension after a bend", source=HANDBOOK, locator="T = T0 exp(W m a)", accuracy="memory")
def after_bend_lb(tension_lb: float, angle_deg: float, friction: float, factor: float) -> float:
    """Tension [lb] after a bend of an angle [deg], >= 0; tension and friction >= 0, factor >= 1."""
    in_range("tension_lb", tension_lb, low=0)
    in_range("angle_deg", angle_deg, low=0, high=3600)
    in_range("friction", friction, low=0)
    in_range("factor", factor, low=1)
    return tension_lb * math.exp(factor * friction * math.radians(angle_deg))


@rule("pressure on the inside of a bend", source=HANDBOOK, locator="sidewall bearing pressure", accuracy="memory")
def sidewall_lb_per_ft(tension_lb: float, radius_ft: float, conductor_in: float, bore_in: float, count: int) -> float:
    """Pressure [lb/ft] on the conductor that is pressed hardest, where the tension [lb], >= 0, leaves a bend.

    One: T / R. Two: T / 2R. Three in a triangle: W T / 2R; cradled: (3 W - 2) T / 3R. More: (W - 1) T / R, the
    careful reading. radius_ft: inside radius of the bend, > 0.
    """
    in_range("tension_lb", tension_lb, low=0)
    in_range("radius_ft", radius_ft, above=0)
    factor = weight_factor(conductor_in, bore_in, count)
    if count == 1:
        return tension_lb / radius_ft
    if count == 2 or (count == 3 and bore_in / conductor_in < pulling("triangle_below")):
        return factor * tension_lb / (2 * radius_ft)
    if count == 3:
        return (3 * factor - 2) * tension_lb / (3 * radius_ft)
    return max(factor - 1, 0.5) * tension_lb / radius_ft


@rule("largest pull on conductors by an eye", source=HANDBOOK, locator="maximum pulling tension", accuracy="memory")
def eye_limit_lb(areas_cmil: Sequence[float], material: str) -> float:
    """Largest pull [lb] on conductors of these metal areas [circular mil], > 0; a share of it for more than three.

    material: cu or al. With unequal conductors the smallest counts for each of them.
    """
    if material not in ("cu", "al"):
        raise RangeError(f"material must be al or cu, got {material!r}")
    in_range("number of conductors", len(areas_cmil), low=1)
    least_cmil = min(in_range("areas_cmil", a, above=0) for a in areas_cmil)
    share = pulling("share_over_three") if len(areas_cmil) > 3 else 1.0
    return pulling(f"tension_{material}") * least_cmil * len(areas_cmil) * share
