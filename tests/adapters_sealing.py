"""Whole answers of several sealing rules, for the published checks."""

from __future__ import annotations

import math

from hpelec.steps.sealing import rules


def bead(width_mm: float, depth_mm: float, length_m: float) -> dict[str, float]:
    return {
        "volume_mL": rules.bead_volume_mL(width_mm, depth_mm, length_m),
        "m_per_cartridge": rules.bead_length_m(width_mm, depth_mm),
    }


def foam(hole_mm: float, cable_mm: float, depth_mm: float, waste: float) -> float:
    return rules.foam_volume_mL(math.pi / 4 * (hole_mm**2 - cable_mm**2), depth_mm, waste)
