"""Rules of the load calculation: the optional method for one dwelling, and the method for an existing one."""

from __future__ import annotations

from functools import lru_cache

from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import table
from hpelec.steps.loads.rules import NEC, parameter

EXISTING_EDITIONS = (2017, 2020, 2023)
"""Editions whose text for existing dwellings could be checked; that of 2026 was not seen."""


@rule(
    "whether the optional method may be used on a service",
    source=NEC,
    locator={2017: "220.82(A)", 2026: "120.82(A)"},
    accuracy="published",
)
def optional_permitted(voltage_V: float, rating_A: float, *, least_A: float = 100.0) -> bool:
    """Whether a three-wire 120/240 V or 208Y/120 V service of this rating is one the method allows.

    voltage_V: line to line [V], > 0. rating_A: of the service conductors [A], > 0.
    """
    in_range("voltage_V", voltage_V, above=0)
    return voltage_V in (240.0, 208.0) and in_range("rating_A", rating_A, above=0) >= least_A


def _tiered(pool_VA: float, first_VA: float, share: float) -> float:
    return min(pool_VA, first_VA) + share * max(pool_VA - first_VA, 0.0)


def optional_first_tier_VA(edition: int) -> float:
    """Part of the general load that the optional method counts in full [VA]."""
    return 1000.0 * parameter("optional_first_tier", edition)


@rule(
    "demand of the general loads in the optional method",
    source=NEC,
    locator={2017: "220.82(B)", 2026: "120.82(B)"},
    accuracy="published",
)
def optional_general_VA(general_VA: float, edition: int) -> float:
    """First 10 kVA (2026: 8 kVA) in full and 40 percent of the rest [VA]; general_VA: >= 0."""
    in_range("general_VA", general_VA, low=0)
    return _tiered(general_VA, optional_first_tier_VA(edition), parameter("optional_remainder_factor", edition))


def existing_first_tier_VA(edition: int) -> float:
    """Part of the general load that the method for existing dwellings counts in full [VA]."""
    return 1000.0 * parameter("existing_first_tier", edition)


@lru_cache(maxsize=4)
def existing_factor(group: str) -> float:
    """Factor of a group of loads in the method for existing dwellings with heating or cooling added."""
    rows = table("loads/existing_dwelling_220_83")
    return rows.one(case="B: HVAC added or enlarged", load_group=group).number("factor")


@rule(
    "demand of the general loads of an existing dwelling",
    source=NEC,
    locator="220.83",
    accuracy="published",
    editions=EXISTING_EDITIONS,
)
def existing_general_VA(general_VA: float, edition: int) -> float:
    """First 8 kVA of old and new load in full and 40 percent of the rest [VA].

    Heating and cooling stay outside, both where it was added and where it was not. The 2026 text was not
    seen: EditionError.
    """
    check_edition(edition, EXISTING_EDITIONS)
    in_range("general_VA", general_VA, low=0)
    share = existing_factor("remainder of all other load")
    return _tiered(general_VA, existing_first_tier_VA(edition), share)


@rule(
    "factor of heating and cooling in an existing dwelling",
    source=NEC,
    locator="220.83",
    accuracy="memory",
    editions=EXISTING_EDITIONS,
)
def existing_hvac_factor(season: str) -> float:
    """Factor of connected heating or cooling, `heating` or `cooling`, of which the larger counts (1 for both).

    220.83(B) says so where heating or cooling is added; where none is, 220.83(A) leaves the standing one out of
    its list, and counting it in full is the careful reading.
    """
    groups = {"heating": "central electric space heating", "cooling": "air conditioning"}
    if season not in groups:
        raise RangeError(f"season must be heating or cooling, got {season!r}")
    return existing_factor(groups[season])


@lru_cache(maxsize=16)
def hvac_factor(selection: str) -> float:
    """Factor of one row of the optional method's heating and cooling list."""
    return table("loads/hvac_selection_220_82C").one(selection=selection).number("factor")


@rule(
    "factor of electric room heaters in the optional method",
    source=NEC,
    locator={2017: "220.82(C)(4), (5)", 2026: "120.82(C)(4), (5)"},
    accuracy="published",
)
def room_heat_factor(separately_controlled: int) -> float:
    """Factor of electric space heating: 0.65, or 0.40 from four separately controlled units on."""
    in_range("separately_controlled", separately_controlled, low=1)
    return hvac_factor("space_heat_ge4" if separately_controlled >= 4 else "space_heat_lt4")


@rule(
    "factor of a heat pump and of its supplemental heat in the optional method",
    source=NEC,
    locator={2017: "220.82(C)(2), (3)", 2026: "120.82(C)(2), (3)"},
    accuracy="published",
)
def heat_pump_factor(kind: str) -> float:
    """Factor of the `compressor` (1) or of the `supplemental` heat (0.65) of a heat pump."""
    rows = {"compressor": "heat_pump_plus_supp_compressor", "supplemental": "heat_pump_plus_supp_heat"}
    if kind not in rows:
        raise RangeError(f"kind must be compressor or supplemental, got {kind!r}")
    return hvac_factor(rows[kind])


@rule(
    "factor of cooling in the optional method",
    source=NEC,
    locator={2017: "220.82(C)(1)", 2026: "120.82(C)(1)"},
    accuracy="published",
)
def cooling_factor() -> float:
    """Factor of air conditioning and cooling (1)."""
    return hvac_factor("ac")


@rule(
    "factor of heating that runs continuously at full load in the optional method",
    source=NEC,
    locator={2017: "220.82(C)(6)", 2026: "120.82(C)(6)"},
    accuracy="memory",
)
def continuous_heat_factor() -> float:
    """Factor of thermal storage and other heating expected to run continuously at its nameplate (1)."""
    return hvac_factor("thermal_storage")
