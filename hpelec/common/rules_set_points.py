"""The set point of an energy management in a load, as the sizing of a service or feeder sees it."""

from __future__ import annotations

from hpelec.core.citing import rule
from hpelec.core.errors import in_range
from hpelec.core.rounding import EPS
from hpelec.core.tables import table

MANAGED_EDITIONS = (2023, 2026)
"""Editions whose load calculation lets a set point stand for the loads it limits."""


@rule(
    "rating that a load with a set point in it needs",
    source="NFPA 70",
    locator={2023: "220.70, 750.30, 215.2", 2026: "120.7, 215.2"},
    accuracy="published",
    editions=MANAGED_EDITIONS,
)
def rating_with_set_point_A(load_A: float, managed_A: float) -> float:
    """Calculated amperes with the set points in them counted as continuous, 1.25 times them [A].

    load_A: calculated load, the set points within. managed_A: the set points in it, 0 to load_A.
    """
    in_range("load_A", load_A, low=0)
    in_range("managed_A", managed_A, low=0, high=load_A + EPS)
    factor = table("loads/further_parameters").one(parameter="set_point_continuous").number("value")
    return load_A + (factor - 1) * managed_A
