"""Places with rules of their own: clothes closets, the zone of a tub or shower, the barrier, stairs."""

from __future__ import annotations

import math
from functools import cache

from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.rounding import EPS, ceil_tol
from hpelec.core.tables import Row, table

FAR_IN = 100000.0


@cache
def place_rule(rule_id: str) -> Row:
    """A row of the rules on places of luminaires, by its id."""
    return table("layout/luminaire_places").one(rule_id=rule_id)


@cache
def outlet_rule(rule_id: str) -> Row:
    """A row of the rules on lighting outlets and the tub zone, by its id."""
    return table("layout/lighting_outlets_switching").one(rule_id=rule_id)


@cache
def closet_row(lamp: str, mounting: str) -> Row:
    """The row of the closet clearances for a lamp (a word of `house.rows.LAMPS`) and a mounting."""
    rows = table("layout/closet_luminaire_clearance")
    found = rows.where(lamp=lamp, mounting=mounting) or rows.where(lamp=lamp) or ()
    if not found or mounting not in ("surface", "recessed", "pendant"):
        raise RangeError(f"no closet clearance for lamp {lamp!r}, mounting {mounting!r}")
    return rows.one(lamp="open") if mounting == "pendant" else found[0]


@rule("clear distance of a luminaire to closet storage", source="NFPA 70", locator="410.16(C)", accuracy="published")
def closet_clearance_in(lamp: str, mounting: str) -> float | None:
    """Least distance [in] to the nearest storage space; None: not permitted in a clothes closet.

    lamp: enclosed, open, fluorescent, storage. mounting: surface, recessed, pendant. RangeError for other words.
    """
    return closet_row(lamp, mounting).number_or_none("clearance_in")


@rule(
    "room that a closet leaves for a ceiling luminaire",
    source="NFPA 70",
    locator="Art. 100 and 410.16(C)",
    accuracy="recomputed",
)
def closet_strip_in(depth_in: float, shelf_in: float, clearance_in: float) -> float:
    """Strip along the front wall [in] outside storage and clearance, in the upper part; 0 when none is left.

    depth_in: front to back, > 0. shelf_in: depth of the shelf, >= 0; storage is no less deep than the definition says.
    """
    return max(0.0, _left_in(depth_in, shelf_in, clearance_in))


@rule("a luminaire on the wall over a closet's door", source="NFPA 70", locator="410.16(C)", accuracy="recomputed")
def clear_over_door(depth_in: float, shelf_in: float, clearance_in: float) -> bool:
    """Something of no depth on the front wall keeps the clearance."""
    return _left_in(depth_in, shelf_in, clearance_in) >= -EPS


def _left_in(depth_in: float, shelf_in: float, clearance_in: float) -> float:
    in_range("depth_in", depth_in, above=0, high=FAR_IN)
    in_range("clearance_in", clearance_in, low=0, high=FAR_IN)
    return depth_in - upper_storage_in(shelf_in) - clearance_in


@rule("depth of the upper storage space", source="NFPA 70", locator="Art. 100 (formerly 410.2)", accuracy="published")
def upper_storage_in(shelf_in: float) -> float:
    """Depth of storage above the rod [in]: the shelf (>= 0), no less than the definition's depth."""
    least = table("layout/closet_storage_space").one(part="upper").number("depth_in")
    return max(least, in_range("shelf_in", shelf_in, low=0, high=FAR_IN))


@rule("zone of a tub or shower", source="NFPA 70", locator="410.10(D)", accuracy="published")
def in_bath_zone(away_ft: float, above_ft: float) -> bool:
    """Whether a place `away_ft` (>= 0) beside a tub or shower, `above_ft` over its rim or threshold, is in the zone."""
    in_range("away_ft", away_ft, low=0, high=FAR_IN)
    in_range("above_ft", above_ft, low=-FAR_IN, high=FAR_IN)
    wide, high = outlet_rule("L-41010D-H").number("value"), outlet_rule("L-41010D-V").number("value")
    return away_ft <= wide + EPS and above_ft <= high + EPS


@rule(
    "leakage at another pressure", source="power law of leakage", locator="Q2 = Q1 (p2 / p1)^n", accuracy="recomputed"
)
def leakage_at_cfm(leakage_cfm: float, at_Pa: float, wanted_Pa: float, exponent: float = 0.65) -> float:
    """Leakage [cfm] at `wanted_Pa` (> 0) from that at `at_Pa` (> 0); exponent: 0.5 to 1."""
    in_range("leakage_cfm", leakage_cfm, low=0, high=1e6)
    in_range("exponent", exponent, low=0.5, high=1)
    at, wanted = in_range("at_Pa", at_Pa, above=0, high=1e4), in_range("wanted_Pa", wanted_Pa, above=0, high=1e4)
    return leakage_cfm * math.pow(wanted / at, exponent)


@rule("recessed luminaire that may leak", source="IECC", locator="R402.4.5", accuracy="published")
def recessed_limit_L_s() -> float:
    """Largest leakage of a recessed luminaire in the envelope at 75 Pa [L/s]."""
    return place_rule("P-LEAK").number("value") * 0.3048**3 / 60 * 1000


@rule("fewest risers of a flight", source="IRC", locator="R311.7.5.1", accuracy="memory")
def fewest_risers(rise_ft: float) -> int:
    """Fewest risers between two floors `rise_ft` apart (> 0)."""
    return ceil_tol(in_range("rise_ft", rise_ft, above=0, high=1000) * 12 / place_rule("P-RISER").number("value"))


@cache
def lower_storage() -> tuple[float, float]:
    """Depth of the lower storage space and its least top above the floor [in], as the definition has them."""
    row = table("layout/closet_storage_space").one(part="lower")
    return row.number("depth_in"), row.number("height_in")
