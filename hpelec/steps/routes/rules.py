"""Counting along a route: holes, cable, minutes, weighted cost."""

from __future__ import annotations

import math
from collections.abc import Sequence

from hpelec.core.citing import rule
from hpelec.core.errors import in_range
from hpelec.core.rounding import ceil_tol


@rule("holes bored across framing", source="counting", locator="one hole a member", accuracy="recomputed")
def holes_across(length_ft: float, spacing_in: float) -> int:
    """Members that a run of `length_ft` [ft, >= 0] crosses at `spacing_in` [in, > 0]: the ratio, rounded up."""
    in_range("length_ft", length_ft, low=0)
    in_range("spacing_in", spacing_in, above=0)
    return ceil_tol(length_ft * 12 / spacing_in)


@rule("detour over an opening", source="geometry", locator="up to the header, over, down", accuracy="recomputed")
def header_detour_ft(header_in: float, run_in: float) -> float:
    """Extra cable to pass over an opening: twice the height from the run to its header [ft].

    header_in: top of the opening above the floor [in]; run_in: height of the run, not above it.
    """
    in_range("run_in", run_in, low=0, high=header_in)
    return 2 * (in_range("header_in", header_in, low=0) - run_in) / 12


@rule("cable drawn, with ends", source="formula", locator="segments + ends", accuracy="recomputed")
def drawn_ft(
    segments_ft: Sequence[float], box_ends: int, box_end_in: float, panel_ends: int, panel_end_ft: float
) -> float:
    """Cable along the way plus what is left at each box and panel [ft]; all values >= 0."""
    for length in segments_ft:
        in_range("segment", length, low=0)
    in_range("box_ends", box_ends, low=0)
    in_range("box_end_in", box_end_in, low=0)
    in_range("panel_ends", panel_ends, low=0)
    in_range("panel_end_ft", panel_end_ft, low=0)
    return math.fsum(segments_ft) + box_ends * box_end_in / 12 + panel_ends * panel_end_ft


@rule("cable to buy", source="formula", locator="drawn x (1 + waste)", accuracy="recomputed")
def buy_ft(cable_ft: float, waste_percent: float) -> float:
    """Cable with the user's waste [ft]; cable >= 0, waste 0 to 100 %."""
    return in_range("cable_ft", cable_ft, low=0) * (1 + in_range("waste_percent", waste_percent, low=0, high=100) / 100)


@rule("labour of a route", source="formula", locator="sum of quantity x unit time", accuracy="recomputed")
def labour_min(quantities: Sequence[float], units_min: Sequence[float]) -> float:
    """Sum of quantity times the user's own minutes for one [min]; same count of both, all >= 0."""
    return math.fsum(
        in_range("quantity", q, low=0) * in_range("unit", u, low=0) for q, u in zip(quantities, units_min, strict=True)
    )


@rule("weighted cost of a route", source="definition", locator="sum of weight x count", accuracy="recomputed")
def weighted_cost_USD(counts: Sequence[float], weights_USD: Sequence[float]) -> float:
    """Sum of counts times the user's weights; same count of both, all >= 0."""
    return math.fsum(
        in_range("count", c, low=0) * in_range("weight", w, low=0) for c, w in zip(counts, weights_USD, strict=True)
    )
