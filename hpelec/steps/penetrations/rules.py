"""Rules of the step penetrations: size of a cable hole, what stays open in it, whether a box reaches the barrier."""

from __future__ import annotations

import math
from collections.abc import Sequence

from hpelec.common.rules_holes import hole_diameter_in as hole_diameter_in  # noqa: PLC0414 (the notebook reads it here)
from hpelec.core.citing import rule
from hpelec.core.errors import in_range
from hpelec.core.rounding import EPS

MM_PER_IN = 25.4


@rule("gap round what passes", source="geometry", locator="half of hole less outside size", accuracy="recomputed")
def gap_mm(hole_in: float, outside_in: float) -> float:
    """Half the difference of hole and outside size [mm]; a flat cable leaves more at its flat sides.

    hole_in, outside_in [in], > 0. Raises RangeError when what passes is larger than the hole.
    """
    in_range("hole", hole_in, above=0, high=48)
    in_range("outside size", outside_in, above=0, high=hole_in)
    return (hole_in - outside_in) / 2 * MM_PER_IN


@rule(
    "open area of a hole round its cables",
    source="geometry",
    locator="circle less flat cables with round edges",
    accuracy="recomputed",
)
def free_area_mm2(hole_in: float, widths_in: Sequence[float], thicknesses_in: Sequence[float]) -> float:
    """Area left open between a round hole and the cables in it [mm2].

    Each cable is a rectangle with half-round edges, round when width equals thickness. No cable: the whole hole.
    Raises RangeError when the cables fill the hole or more.
    """
    in_range("hole", hole_in, above=0, high=48)
    taken_in2 = math.fsum(
        sorted(
            (in_range("cable width", max(w, t), above=0) - min(w, t)) * in_range("cable thickness", min(w, t), above=0)
            + math.pi / 4 * min(w, t) ** 2
            for w, t in zip(widths_in, thicknesses_in, strict=True)
        )
    )
    hole_in2 = math.pi / 4 * hole_in**2
    in_range("area taken by cables", taken_in2, low=0, high=hole_in2)
    return (hole_in2 - taken_in2) * MM_PER_IN**2


@rule(
    "distance from the room to the air barrier",
    source="geometry",
    locator="sum of the layers inside of it",
    accuracy="recomputed",
)
def distance_to_barrier_in(inner_layers_in: Sequence[float]) -> float:
    """Depth from the face of the finish to the air-barrier layer [in]: the layers before it, finish included."""
    return math.fsum(in_range("layer thickness", t, above=0) for t in inner_layers_in)


@rule(
    "outside depth of a box", source="trade rule", locator="inside depth and its rear wall", accuracy="common practice"
)
def box_outside_depth_in(inside_depth_in: float, *, wall_in: float = 0.125) -> float:
    """Outside depth of a box [in]: inside depth [in] > 0 plus its rear wall (1/8 in taken)."""
    return in_range("inside depth", inside_depth_in, above=0, high=24) + in_range("wall", wall_in, low=0, high=1)


@rule("room between a box and the air barrier", source="geometry", locator="BX-20", accuracy="recomputed")
def box_margin_in(distance_in: float, outside_depth_in: float) -> float:
    """Distance to the air barrier less the outside depth of a box [in]; negative: the box cuts through it.

    Equality fits, with no tolerance left. A barrier that is the finish itself (distance 0) is always cut.
    """
    in_range("distance", distance_in, low=0, high=120)
    in_range("outside depth", outside_depth_in, above=0, high=24)
    margin_in = distance_in - outside_depth_in
    return 0.0 if math.isclose(distance_in, outside_depth_in, abs_tol=EPS) else margin_in


@rule(
    "perimeter of boxes side by side",
    source="trade rule",
    locator="3 x 2 in device box, 1-13/16 in a further gang",
    accuracy="common practice",
)
def box_perimeter_in(gangs: int, *, height_in: float = 3.0, width_in: float = 2.0, pitch_in: float = 1.8125) -> float:
    """Length of the edge round a device box of `gangs` gangs [in]."""
    in_range("gangs", gangs, low=1, high=12)
    return 2 * (height_in + width_in + pitch_in * (gangs - 1))
