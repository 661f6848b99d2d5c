"""Rules of the load calculation: several dwellings, other buildings, set points, a measured record."""

from __future__ import annotations

from functools import lru_cache

from hpelec.common.rules_set_points import MANAGED_EDITIONS
from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, in_range
from hpelec.core.rounding import EPS
from hpelec.core.tables import table
from hpelec.steps.loads.rules import NEC


@lru_cache(maxsize=16)
def further(name: str) -> float:
    """A value of the table of further parameters."""
    return table("loads/further_parameters").one(parameter=name).number("value")


# Several dwellings -----------------------------------------------------------------------------------------------


@lru_cache(maxsize=1)
def _shares() -> tuple[tuple[float, float], ...]:
    rows = table("loads/table_220_84_multifamily")
    return tuple((row.number("n_units_from"), row.number("demand_pct")) for row in rows)


@rule(
    "demand factor of several dwellings in their optional method",
    source=NEC,
    locator={2017: "Table 220.84", 2026: "Table 120.84"},
    accuracy="memory",
)
def dwellings_percent(units: int) -> float:
    """Share of the connected load of all units that counts [percent]; units: >= 3 (RangeError below)."""
    in_range("units", units, low=3)
    return max((first, percent) for first, percent in _shares() if first <= units)[1]


@rule(
    "demand of two dwellings on one service or feeder",
    source=NEC,
    locator={2017: "220.85", 2026: "120.85"},
    accuracy="published",
)
def two_dwellings_VA(larger_unit_VA: float) -> float:
    """Two dwellings as three identical units of the optional table [VA].

    larger_unit_VA: connected load of one unit, with the larger of its heating and cooling, >= 0. The clause speaks
    of identical units; the larger of two unequal ones is the careful reading.
    """
    units = int(further("two_dwellings_as"))
    return units * in_range("larger_unit_VA", larger_unit_VA, low=0) * dwellings_percent(units) / 100


# Other buildings -------------------------------------------------------------------------------------------------


@rule(
    "receptacles that no dwelling's unit load covers",
    source=NEC,
    locator={2017: "220.14(I)", 2026: "120.14(I)"},
    accuracy="memory",
)
def receptacle_yokes_VA(yokes: int) -> float:
    """Load of general-use receptacles beyond a dwelling's unit load: 180 VA a yoke [VA]; yokes: >= 0."""
    return in_range("yokes", yokes, low=0) * further("receptacle_yoke")


@rule("smallest disconnect of another building", source=NEC, locator="225.39", accuracy="memory")
def building_disconnect_A(dwelling: bool, circuits: int) -> float:
    """Least rating of the disconnect of a building that a feeder supplies [A]; circuits in it: >= 1."""
    in_range("circuits", circuits, low=1)
    rows = {
        "second building that is a one-family dwelling": dwelling,
        "second building, one branch circuit": circuits == 1,
        "second building, not more than two 2-wire circuits": circuits == 2,
        "second building, all others (garage/workshop feeder)": True,
    }
    name = next(name for name, fits in rows.items() if fits)
    return table("loads/minimum_service_and_feeder_disconnect").one(installation=name).number("min_rating_a")


# Set points ------------------------------------------------------------------------------------------------------


@rule(
    "load of a vehicle charger that is set below its nameplate",
    source=NEC,
    locator="625.42",
    accuracy="memory",
)
def charger_setting_VA(set_A: float, voltage_V: float) -> float:
    """Set current times the nominal voltage [VA]; only where access to the setting is restricted. Both > 0."""
    return in_range("set_A", set_A, above=0) * in_range("voltage_V", voltage_V, above=0)


@rule(
    "whether a set point may stand for the loads that it limits",
    source=NEC,
    locator={2017: "220 (no such clause)", 2023: "220.70, 750.30", 2026: "120.7"},
    accuracy="published",
)
def set_point_refused(edition: int, restricted_access: bool) -> str:
    """Why a set point may not stand for the loads it limits; "" where it may. The 2026 text was seen in a summary."""
    if check_edition(edition) not in MANAGED_EDITIONS:
        return f"the load calculation of {edition} has no clause for it"
    return "" if restricted_access else "access to the set point is not restricted"


@rule(
    "load that a set point stands for",
    source=NEC,
    locator={2023: "220.70", 2026: "120.7"},
    accuracy="published",
    editions=MANAGED_EDITIONS,
)
def set_point_VA(setpoint_A: float, voltage_V: float, edition: int) -> float:
    """Set point times voltage [VA]; setpoint_A, voltage_V: > 0. Raises EditionError before 2023."""
    check_edition(edition, MANAGED_EDITIONS)
    return in_range("setpoint_A", setpoint_A, above=0) * in_range("voltage_V", voltage_V, above=0)


@rule(
    "least load of a service whose set point is held by shedding some of its loads",
    source=NEC,
    locator={2023: "220.70", 2026: "120.7"},
    accuracy="published",
    editions=MANAGED_EDITIONS,
)
def held_load_VA(set_VA: float, not_governed_VA: float, least_VA: float) -> float:
    """The set point, or what it cannot shed where that is more [VA].

    set_VA: > 0. not_governed_VA: calculated load without the loads it governs, in full, >= 0. least_VA: what the
    governed loads draw at the least, >= 0.
    """
    held_VA = in_range("not_governed_VA", not_governed_VA, low=0) + in_range("least_VA", least_VA, low=0)
    return max(in_range("set_VA", set_VA, above=0), held_VA)


# A measured record -----------------------------------------------------------------------------------------------


@rule(
    "whether a record of demand may stand for the existing load",
    source=NEC,
    locator={2017: "220.87", 2026: "120.87"},
    accuracy="published",
)
def record_refused(
    period_days: int | None,
    interval_min: float | None,
    *,
    highest_line: bool | None = None,
    occupied: bool | None = None,
    season_known: bool | None = None,
    sources_or_shaving: bool | None = None,
) -> str:
    """What stands in the way of using a record of demand; "" when nothing does.

    period_days, interval_min: > 0, None where not told. A year needs no more. 30 days need a 15-minute interval, the
    highest-loaded line, an occupied house, and the season's load run or known; they are barred where a source or the
    shaving of peaks worked. None means that it was not told, which is no yes.
    """
    if period_days is None:
        return "the length of the record is not told (period_days)"
    if interval_min is not None:
        in_range("interval_min", interval_min, above=0)
    if in_range("period_days", period_days, low=1) >= further("measured_year"):
        return ""
    if period_days < further("measured_short"):
        return f"{period_days} days are neither a year nor 30 days"
    needs = (
        (interval_min is None, "the interval is not told (interval_min)"),
        (
            interval_min is not None and interval_min > further("measured_interval"),
            "averaged over more than 15 minutes",
        ),
        (sources_or_shaving is None, "not told whether a source or shaving of peaks worked (sources_or_shaving)"),
        (bool(sources_or_shaving), "barred where a source or shaving of peaks worked during the record"),
        (not highest_line, "must be on the highest-loaded line (highest_line)"),
        (not occupied, "the house must be occupied during the record (occupied)"),
        (not season_known, "the load of the season that did not run is not known (hvac_ran, seasonal_VA)"),
    )
    reasons = [said for wrong, said in needs if wrong]
    return f"a record of {period_days} days: " + "; ".join(reasons) if reasons else ""


@rule(
    "existing load from a record of demand",
    source=NEC,
    locator={2017: "220.87", 2026: "120.87"},
    accuracy="published",
)
def measured_existing_VA(peak_VA: float) -> float:
    """125 percent of the largest demand of the record [VA]; peak_VA: > 0."""
    return in_range("peak_VA", peak_VA, above=0) * further("measured_factor")


@rule(
    "whether the measured load and what is added fit a service that stands",
    source=NEC,
    locator={2017: "220.87", 2026: "120.87"},
    accuracy="published",
)
def measured_fits(total_A: float, rating_A: float) -> bool:
    """Whether 125 percent of the record with the new load is not above the rating; equal passes. total_A >= 0."""
    return in_range("total_A", total_A, low=0) <= in_range("rating_A", rating_A, above=0) + EPS


# One circuit for several cooking appliances ----------------------------------------------------------------------


@rule(
    "one branch circuit for a cooktop and up to two wall ovens",
    source=NEC,
    locator={2017: "Table 220.55, Note 4", 2026: "Table 120.55, Note 4"},
    accuracy="memory",
)
def cooktop_with_ovens_kW(cooktop_kW: float, ovens_kW: tuple[float, ...]) -> float:
    """Rating of the one range that a cooktop with one or two wall ovens of its room counts as on one circuit [kW].

    Each > 0; RangeError for no oven or more than two. The branch circuit then follows column C for one range.
    """
    if not 1 <= len(ovens_kW) <= 2:
        raise RangeError(f"one or two wall ovens, got {len(ovens_kW)}")
    return in_range("cooktop_kW", cooktop_kW, above=0) + sum(in_range("oven_kW", o, above=0) for o in ovens_kW)
