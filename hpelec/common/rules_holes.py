"""Rules that several steps apply: the hole that one cable or several need."""

from __future__ import annotations

import math
from collections.abc import Sequence

from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.rounding import ceil_tol


@rule(
    "outside size of cables stacked in one hole",
    source="geometry",
    locator="circle round flat cables laid on one another",
    accuracy="common practice",
)
def stacked_size_in(widths_in: Sequence[float], thicknesses_in: Sequence[float]) -> float:
    """Smallest circle that holds cables laid flat side to flat side [in].

    widths_in, thicknesses_in: outside sizes of each cable [in], > 0. One cable: its width. Several: the diagonal
    of the widest by the sum of the thicknesses; for round cables that is a little more than needed.
    Raises RangeError for no cable, unequal lists or a size out of range.
    """
    if not widths_in or len(widths_in) != len(thicknesses_in):
        raise RangeError("stacked_size_in needs a width and a thickness for each of one or more cables")
    for value in (*widths_in, *thicknesses_in):
        in_range("cable outside size", value, above=0, high=12)
    if len(widths_in) == 1:
        return max(widths_in[0], thicknesses_in[0])
    return math.hypot(max(widths_in), math.fsum(sorted(thicknesses_in)))


@rule(
    "hole drilled for what passes",
    source="trade rule",
    locator="outside size and 1/8 in, up to the next 1/16 in",
    accuracy="common practice",
)
def hole_diameter_in(outside_in: float, *, clearance_in: float = 0.125) -> float:
    """Diameter of the hole to drill [in]: outside size [in] > 0 plus the clearance, rounded up to 1/16 in."""
    in_range("outside size", outside_in, above=0, high=12)
    in_range("clearance", clearance_in, low=0, high=2)
    return ceil_tol((outside_in + clearance_in) * 16) / 16
