"""Rules of the step sealing: how much tape, sealant, rod and foam a hole takes."""

from __future__ import annotations

import math

from hpelec.core.citing import rule
from hpelec.core.errors import in_range
from hpelec.core.rounding import ceil_tol


@rule("volume of a bead", source="geometry", locator="V = w d L", accuracy="recomputed")
def bead_volume_mL(width_mm: float, depth_mm: float, length_m: float, waste: float = 0.0) -> float:
    """Sealant in a bead [mL]: width, depth [mm] > 0, length [m] >= 0, waste as a share >= 0."""
    in_range("width", width_mm, above=0, high=200)
    in_range("depth", depth_mm, above=0, high=200)
    in_range("length", length_m, low=0)
    return width_mm * depth_mm * length_m * (1 + in_range("waste", waste, low=0, high=5))


@rule("volume of a fillet", source="geometry", locator="V = leg^2/2 L", accuracy="recomputed")
def fillet_volume_mL(leg_mm: float, length_m: float, waste: float = 0.0) -> float:
    """Sealant in a triangular bead laid in a corner [mL]: leg [mm] > 0, length [m] >= 0, waste as a share."""
    in_range("leg", leg_mm, above=0, high=200)
    in_range("length", length_m, low=0)
    return leg_mm**2 / 2 * length_m * (1 + in_range("waste", waste, low=0, high=5))


@rule("depth of a bead", source="trade rule", locator="half its width, 6 mm least", accuracy="common practice")
def bead_depth_mm(width_mm: float, least_mm: float = 6.0) -> float:
    """Depth of a bead [mm]: about half its width [mm] > 0, and not less than `least_mm`."""
    in_range("width", width_mm, above=0, high=200)
    return max(width_mm / 2, in_range("least", least_mm, above=0, high=50))


@rule("cartridges for a volume", source="trade rule", locator="310 mL, rounded up", accuracy="common practice")
def cartridges(volume_mL: float, cartridge_mL: float = 310.0) -> int:
    """Cartridges to buy for a volume [mL] >= 0; a full cartridge exactly used is one."""
    in_range("volume", volume_mL, low=0)
    return ceil_tol(volume_mL / in_range("cartridge", cartridge_mL, above=0))


@rule("bead that a cartridge gives", source="geometry", locator="V/(w d)", accuracy="recomputed")
def bead_length_m(width_mm: float, depth_mm: float, cartridge_mL: float = 310.0) -> float:
    """Length of bead from one cartridge [m]: width, depth [mm] > 0."""
    return in_range("cartridge", cartridge_mL, above=0) / bead_volume_mL(width_mm, depth_mm, 1.0)


@rule("tape collar round one cable", source="geometry", locator="pi (d + 2 o)(1 + waste)", accuracy="common practice")
def tape_collar_mm(cable_mm: float, overlap_mm: float, waste: float) -> float:
    """Tape for one collar [mm]: cable or box size, overlap on each side [mm], waste as a share."""
    in_range("size", cable_mm, low=0, high=2000)
    in_range("overlap", overlap_mm, low=0, high=500)
    return math.pi * (cable_mm + 2 * overlap_mm) * (1 + in_range("waste", waste, low=0, high=5))


@rule("foam in an open area", source="geometry", locator="pi/4 (D^2 - d^2) L", accuracy="recomputed")
def foam_volume_mL(open_area_mm2: float, depth_mm: float, waste: float) -> float:
    """Foam to fill an open area [mm2] through its depth [mm], with waste as a share [mL]."""
    in_range("open area", open_area_mm2, low=0)
    in_range("depth", depth_mm, low=0, high=2000)
    return open_area_mm2 * depth_mm / 1000 * (1 + in_range("waste", waste, low=0, high=5))


@rule("diameter of backer rod", source="trade rule", locator="1.25 x gap", accuracy="common practice")
def rod_diameter_mm(gap_mm: float, ratio: float = 1.25) -> float:
    """Least diameter of backer rod for a gap [mm] >= 0; 1.25 to 1.5 times the gap is usual."""
    return in_range("gap", gap_mm, low=0, high=200) * in_range("ratio", ratio, low=1, high=2)
