"""Rules of the load calculation: lighting block, small-appliance and laundry circuits, neutral, amperes."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import in_range
from hpelec.core.tables import table

NEC = "NFPA 70"


@lru_cache(maxsize=256)
def parameter(name: str, edition: int) -> float:
    """A value of the table of edition parameters; TableError where the edition has no number."""
    check_edition(edition)
    return table("loads/edition_parameters").one(parameter=name).number(f"nec_{edition}")


@rule(
    "general lighting and general-use receptacles by floor area",
    source=NEC,
    locator={2017: "Table 220.12", 2020: "220.14(J)", 2023: "220.41", 2026: "120.41"},
    accuracy="published",
)
def general_lighting_VA(floor_area_ft2: float, edition: int) -> float:
    """General lighting load of a dwelling for its service or feeder [VA].

    floor_area_ft2: by outside dimensions, all floors counted by the edition [ft2], > 0.
    """
    in_range("floor_area_ft2", floor_area_ft2, above=0)
    return floor_area_ft2 * parameter("dwelling_unit_load_feeder_service", edition)


@rule(
    "allowance for the small-appliance circuits",
    source=NEC,
    locator={2017: "220.52(A)", 2026: "120.52(A)"},
    accuracy="published",
)
def small_appliance_VA(circuits: int, edition: int) -> float:
    """Load of the 20 A small-appliance circuits [VA]; circuits: at least two."""
    in_range("small_appliance_circuits", circuits, low=2)
    return circuits * parameter("small_appliance_circuit", edition)


@rule(
    "allowance for the laundry circuits",
    source=NEC,
    locator={2017: "220.52(B)", 2026: "120.52(B)"},
    accuracy="published",
)
def laundry_VA(circuits: int, edition: int) -> float:
    """Load of the laundry circuits [VA]; circuits: 0 only where the code lets the circuit be left out."""
    in_range("laundry_circuits", circuits, low=0)
    return circuits * parameter("laundry_circuit", edition)


@lru_cache(maxsize=1)
def lighting_tiers() -> tuple[tuple[float, float], ...]:
    """(start of the tier [VA], share counted) of the lighting demand table, in order."""
    rows = table("loads/table_lighting_demand")
    return tuple((row.number("from_va"), row.number("demand_pct") / 100) for row in rows)


@rule(
    "demand of the lighting block by tiers",
    source=NEC,
    locator={2017: "Table 220.42", 2023: "Table 220.45", 2026: "Table 120.45"},
    accuracy="published",
)
def lighting_demand_VA(connected_VA: float) -> float:
    """Demand of general lighting, small-appliance and laundry load together [VA]; connected_VA: >= 0."""
    in_range("connected_VA", connected_VA, low=0)
    tiers = lighting_tiers()
    ends = [start for start, _ in tiers[1:]] + [connected_VA]
    return sum(
        (min(connected_VA, end) - start) * share
        for (start, share), end in zip(tiers, ends, strict=True)
        if connected_VA > start
    )


@rule(
    "amperes of a calculated load at the nominal voltage",
    source=NEC,
    locator={2017: "220.5(A)", 2026: "120.5(A)"},
    accuracy="published",
)
def service_A(load_VA: float, voltage_V: float) -> float:
    """Current of a single-phase load [A], not rounded; load_VA >= 0, voltage_V line to line, > 0."""
    return in_range("load_VA", load_VA, low=0) / in_range("voltage_V", voltage_V, above=0)


@rule(
    "amperes of a dwelling on two legs and the neutral of a 208Y/120 V system",
    source=NEC,
    locator="Annex D, Example D5(a)",
    accuracy="published",
)
def two_leg_wye_A(
    line_to_neutral_VA: float, line_to_line_VA: float, *, phase_V: float = 120.0, line_V: float = 208.0
) -> float:
    """Current in each leg [A]: line-to-neutral load over two legs of 120 V, plus line-to-line load at 208 V."""
    in_range("line_to_neutral_VA", line_to_neutral_VA, low=0)
    in_range("line_to_line_VA", line_to_line_VA, low=0)
    return line_to_neutral_VA / (2 * phase_V) + line_to_line_VA / line_V


@rule(
    "rounding of calculated amperes that the code permits",
    source=NEC,
    locator={2017: "220.5(B)", 2026: "120.5(B)"},
    accuracy="memory",
)
def rounded_A(current_A: float) -> int:
    """Current rounded to the nearest ampere, 0.5 upward [A]; current_A: >= 0."""
    return int(in_range("current_A", current_A, low=0) + 0.5)


@rule(
    "neutral load of cooking equipment and dryers",
    source=NEC,
    locator={2017: "220.61(B)(1)", 2026: "120.61(B)(1)"},
    accuracy="published",
)
def neutral_of_cooking_or_dryer_VA(demand_VA: float, edition: int) -> float:
    """What ranges, ovens, cooktops or dryers put on the neutral [VA], from their calculated load."""
    return in_range("demand_VA", demand_VA, low=0) * parameter("neutral_70pct_cooking_dryer", edition)


@rule(
    "reduction of the neutral load above 200 A",
    source=NEC,
    locator={2017: "220.61(B)(2)", 2026: "120.61(B)(2)"},
    accuracy="published",
)
def neutral_over_200_A(neutral_A: float, edition: int, *, full_A: float = 200.0) -> float:
    """Neutral current after the reduction of its part above 200 A [A]; neutral_A: >= 0.

    Not for the three-wire part of a four-wire wye system, nor for nonlinear loads on one.
    """
    in_range("neutral_A", neutral_A, low=0)
    above_A = max(neutral_A - full_A, 0.0)
    return neutral_A - above_A * (1 - parameter("neutral_70pct_over_200a", edition))


@rule(
    "which of several sets of loads that do not run together counts",
    source=NEC,
    locator={2017: "220.60", 2026: "120.60"},
    accuracy="published",
)
def noncoincident(sums_VA: Sequence[float]) -> int:
    """Position of the set with the largest load (the first of equals).

    sums_VA: load of each set with its own addition for the largest motor [VA], at least one, each >= 0. With the
    addition inside each sum, an air conditioner smaller than the heating counts where its 125 percent is more.
    """
    for sum_VA in sums_VA:
        in_range("sum_VA", sum_VA, low=0)
    in_range("number of sets", len(sums_VA), low=1)
    return max(range(len(sums_VA)), key=sums_VA.__getitem__)
