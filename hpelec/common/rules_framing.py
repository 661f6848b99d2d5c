"""Cables in framing: bored holes, steel plates, how far a screw reaches. Sizes in inches."""

from __future__ import annotations

from hpelec.core.citing import rule
from hpelec.core.errors import in_range
from hpelec.core.rounding import EPS
from hpelec.core.tables import table


def _protection(rule_id: str) -> float:
    return table("layout/cable_protection_support").one(rule_id=rule_id).number("value")


def _limit(member: str, condition: str, limit: str) -> float:
    row = table("layout/boring_notching_limits").one(member=member, condition=condition, limit=limit)
    fraction = row.number_or_none("fraction_of_depth")
    return row.number("fixed_limit_in") if fraction is None else fraction


@rule("largest bored hole without a steel plate", source="NFPA 70", locator="300.4(A)(1)", accuracy="recomputed")
def plate_free_hole_in(depth_in: float) -> float:
    """Largest hole [in] bored in the middle of a member of this depth [in], > 0, that needs no plate; 0: none."""
    in_range("depth_in", depth_in, above=0, high=48)
    return max(0.0, depth_in - 2 * _protection("P-3004A1"))


@rule("whether a bored hole needs a steel plate", source="NFPA 70", locator="300.4(A)(1)", accuracy="published")
def plate_needed(depth_in: float, hole_in: float, centre_in: float) -> bool:
    """Whether a hole [in] needs a plate; centre_in: its centre from one face [in]; the nearer edge counts.

    An edge distance of exactly 1-1/4 in needs none. Raises RangeError for a hole that does not lie in the member.
    """
    in_range("depth_in", depth_in, above=0, high=48)
    in_range("hole_in", hole_in, above=0, high=depth_in)
    in_range("centre_in", centre_in, low=hole_in / 2, high=depth_in - hole_in / 2)
    edge_in = min(centre_in, depth_in - centre_in) - hole_in / 2
    return edge_in < _protection("P-3004A1") - EPS


@rule("whether a cable along a member needs a steel plate", source="NFPA 70", locator="300.4(D)", accuracy="memory")
def plate_needed_along(set_back_in: float) -> bool:
    """Whether a cable along a stud or batten, this far [in, >= 0] behind its face, needs a plate; 1-1/4 in does not."""
    return in_range("set_back_in", set_back_in, low=0, high=48) < _protection("P-3004D") - EPS


@rule("largest hole in a stud", source="IRC", locator="R602.6", accuracy="published")
def stud_hole_in(depth_in: float, *, bearing: bool) -> float:
    """Largest hole [in] bored in a stud of this depth [in], > 0: 40 % in bearing and outer walls, else 60 %."""
    in_range("depth_in", depth_in, above=0, high=24)
    edge_in = _limit("stud", "any", "hole edge distance")
    share = _limit("stud", "bearing or exterior" if bearing else "non-bearing", "hole diameter")
    return max(0.0, min(share * depth_in, depth_in - 2 * edge_in))


@rule("largest hole in a sawn joist", source="IRC", locator="R502.8.1", accuracy="published")
def joist_hole_in(depth_in: float) -> float:
    """Largest hole [in] bored in a sawn joist of this depth [in], > 0, 2 in clear of top and bottom.

    Never applies to trusses, I-joists and laminated members: their makers decide.
    """
    in_range("depth_in", depth_in, above=0, high=24)
    clear_in = _limit("joist_sawn", "any", "hole to top/bottom edge, other hole or notch")
    return max(0.0, min(_limit("joist_sawn", "any", "hole diameter") * depth_in, depth_in - 2 * clear_in))


@rule("largest notch in a sawn joist", source="IRC", locator="R502.8.1", accuracy="published")
def joist_notch_in(depth_in: float, *, at_end: bool) -> float:
    """Deepest notch [in] in a sawn joist of this depth [in], > 0: at its end, or in its outer thirds."""
    in_range("depth_in", depth_in, above=0, high=24)
    return depth_in * _limit("joist_sawn", "end" if at_end else "outer thirds", "notch depth")


@rule("how far a screw reaches behind the finish", source="geometry", locator="lengths less", accuracy="recomputed")
def screw_reach_in(screw_in: float, finish_in: float) -> float:
    """How far a screw [in], > 0, reaches behind a finish [in], >= 0; never below 0. Its head lies on the finish."""
    in_range("finish_in", finish_in, low=0, high=12)
    return max(0.0, in_range("screw_in", screw_in, above=0, high=24) - finish_in)


@rule("distance from a cable to the tip of a screw", source="geometry", locator="lengths less", accuracy="recomputed")
def clear_of_screw_in(set_back_in: float, reach_in: float) -> float:
    """Set-back of a cable less the reach of a screw [in], both >= 0; negative or 0: the screw can hit the cable."""
    return in_range("set_back_in", set_back_in, low=0, high=48) - in_range("reach_in", reach_in, low=0, high=24)


@rule("set-back of a cable in the middle of a space", source="geometry", locator="halves", accuracy="recomputed")
def middle_set_back_in(depth_in: float, cable_in: float) -> float:
    """Distance [in] from the face to a cable laid in the middle of a depth [in]; cable_in: its thickness, > 0."""
    in_range("depth_in", depth_in, above=0, high=48)
    return (depth_in - in_range("cable_in", cable_in, above=0, high=depth_in)) / 2
