"""Branch circuits: how many are required, their breakers, and what a circuit must carry."""

from __future__ import annotations

import math

from hpelec.common.rules_ratings import largest_standard_A, next_standard_A, standard_ratings_A
from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.rounding import EPS, ceil_tol
from hpelec.core.tables import Row, table


def breaker_within_A(limit_A: float, edition: int) -> float:
    """Largest standard breaker not above `limit_A` [A], 15 to 6000: none smaller protects a branch circuit here."""
    found = largest_standard_A(in_range("limit_A", limit_A, low=15, high=6000), edition)
    if found is None:
        raise RangeError(f"no standard breaker is as small as {limit_A:g} A")
    return found


@rule(
    "what a branch circuit must carry: load times its factor",
    source="NFPA 70",
    locator="210.19(A), 210.20(A)",
    accuracy="published",
)
def branch_minimum_A(current_A: float, factor: float) -> float:
    """Smallest ampacity and breaker of a branch circuit [A].

    current_A: load current, > 0. factor: 1 or 1.25, from the table of branch-circuit factors.
    """
    in_range("current_A", current_A, above=0, high=10000)
    in_range("factor", factor, low=1, high=3)
    return current_A * factor


def factor_row(load: str) -> Row:
    """The row of the branch-circuit factors for a kind of load; its `factor` and its source."""
    return table("loads/branch_circuit_factors").one(load=load)


def required_row(circuit: str) -> Row:
    """The row of the required circuits of a dwelling whose name begins with `circuit`."""
    rows = [r for r in table("loads/required_branch_circuits_dwelling") if r.text("circuit").startswith(circuit)]
    if len(rows) != 1:
        raise RangeError(f"no single required circuit begins with {circuit!r}")
    return rows[0]


@rule("conductors of a single motor", source="NFPA 70", locator="430.22", accuracy="memory")
def motor_branch_A(current_A: float, *, factor: float = 1.25) -> float:
    """Smallest conductor ampacity for one motor [A]: 125 % of its full-load current, > 0."""
    return in_range("current_A", current_A, above=0, high=1000) * factor


@rule(
    "largest overcurrent device of a single appliance that is not a motor",
    source="NFPA 70",
    locator="422.11(E)(3)",
    accuracy="memory",
)
def appliance_most_A(current_A: float, edition: int, *, share: float = 1.5) -> float:
    """Largest breaker where the appliance marks none [A]: 20 A up to 13.3 A of load, else 150 %, next size up.

    current_A: nameplate current, > 0.
    """
    in_range("current_A", current_A, above=0, high=1000)
    if current_A <= 13.3:
        return 20.0
    return next_standard_A(current_A * share, edition)


@rule(
    "breaker from a nameplate with minimum circuit ampacity and maximum protection",
    source="NFPA 70",
    locator="110.3(B), 440.4(B), 440.22(A)",
    accuracy="memory",
)
def nameplate_breaker_A(mca_A: float, mocp_A: float, edition: int) -> float:
    """Largest standard breaker not above MOCP, but never below MCA (then the next size above MCA) [A].

    Raises RangeError when MOCP is below MCA: no nameplate says so.
    """
    in_range("mca_A", mca_A, above=0, high=2000)
    in_range("mocp_A", mocp_A, low=mca_A, high=2000)
    fits = [r for r in standard_ratings_A(edition) if mca_A - EPS <= r <= mocp_A + EPS]
    return max(fits) if fits else next_standard_A(mca_A, edition)


@rule("minimum circuit ampacity of compressor equipment", source="NFPA 70", locator="440.33", accuracy="recomputed")
def hermetic_mca_A(largest_A: float, others_A: float) -> float:
    """125 % of the largest motor current plus the others [A]; both finite, largest > 0, others >= 0."""
    return 1.25 * in_range("largest_A", largest_A, above=0, high=1000) + in_range("others_A", others_A, low=0)


@rule(
    "largest overcurrent device of compressor equipment",
    source="NFPA 70",
    locator="440.22(A),(B)",
    accuracy="recomputed",
)
def hermetic_most_A(largest_A: float, others_A: float, *, share: float = 1.75) -> float:
    """175 % of the largest motor current plus the others, before rounding down [A] (225 % where it will not start)."""
    in_range("share", share, low=1.75, high=2.25)
    return share * in_range("largest_A", largest_A, above=0, high=1000) + in_range("others_A", others_A, low=0)


@rule("circuits of a subdivided heater", source="NFPA 70", locator="422.11(F)(1)", accuracy="memory")
def subdivisions(current_A: float, *, most_A: float = 48.0) -> int:
    """Circuits of a resistance heater so that none carries more than 48 A; exactly 48 A needs no split."""
    return ceil_tol(in_range("current_A", current_A, above=0, high=2000) / most_A)


@rule(
    "load of one household range on its branch circuit",
    source="NFPA 70",
    locator={2017: "220.55 Notes 1 and 4, Column C", 2026: "120.55 Notes 1 and 4, Column C"},
    accuracy="memory",
)
def range_branch_VA(nameplate_VA: float) -> float:
    """Load of one range [VA]: nameplate up to 8 kVA, 8 kVA up to 12 kVA, then 5 % more for each kVA begun above.

    nameplate_VA: > 0. Above 27 kVA the table does not reach: nameplate.
    """
    in_range("nameplate_VA", nameplate_VA, above=0, high=1e5)
    if nameplate_VA <= 8000 or nameplate_VA > 27000:
        return nameplate_VA
    # Note 1 rounds a fraction of 0.5 kVA or more up to the next whole kVA.
    over_kVA = max(0, math.floor((nameplate_VA - 12000) / 1000 + 0.5 + EPS))
    return 8000 * (1 + 0.05 * over_kVA)


@rule(
    "smallest branch circuit of a large range",
    source="NFPA 70",
    locator={2017: "210.19(A)(3)", 2020: "210.19(C)"},
    accuracy="published",
)
def range_breaker_min_A(nameplate_VA: float) -> float:
    """40 A for a range of 8.75 kW or more, else 15 A (no special minimum)."""
    return 40.0 if in_range("nameplate_VA", nameplate_VA, above=0, high=1e5) >= 8750 else 15.0


@rule(
    "fewest general lighting and receptacle circuits",
    source="NFPA 70",
    locator={2017: "210.11(A), 220.12", 2026: "210.11(A), 120.13"},
    accuracy="published",
)
def general_circuits_min(
    floor_area_ft2: float, rating_A: float, *, unit_load_VA_per_ft2: float = 3.0, voltage_V: float = 120.0
) -> int:
    """Unit load over what one circuit carries, rounded up.

    floor_area_ft2: by outside dimensions, > 0. rating_A: 15 or 20. All editions count circuits with 3 VA per ft2.
    """
    in_range("floor_area_ft2", floor_area_ft2, above=0, high=1e6)
    in_range("rating_A", rating_A, low=15, high=20)
    return ceil_tol(floor_area_ft2 * unit_load_VA_per_ft2 / (voltage_V * rating_A))


@rule(
    "fewest circuits by the number of outlets on each",
    source="trade",
    locator="user's own limit; the code sets none for dwellings",
    accuracy="common practice",
)
def circuits_by_outlets(outlets: int, most_per_circuit: int) -> int:
    """Circuits so that none has more than `most_per_circuit` outlets; both whole numbers, the limit >= 1."""
    in_range("outlets", outlets, low=0)
    return ceil_tol(outlets / in_range("most_per_circuit", most_per_circuit, low=1))


@rule(
    "equipment that gets a circuit of its own",
    source="trade",
    locator="240 V, or fastened in place above 500 VA, or marked with its circuit",
    accuracy="common practice",
)
def needs_own_circuit(
    load_VA: float, voltage_V: float, fastened_in_place: bool, marked: bool, *, above_VA: float = 500.0
) -> bool:
    """True for 240 V equipment, for fastened equipment above 500 VA, and where MCA or MOCP is marked."""
    in_range("load_VA", load_VA, low=0)
    return marked or voltage_V > 120 or (fastened_in_place and load_VA > above_VA)


@rule(
    "largest cord-connected appliance on a shared circuit",
    source="NFPA 70",
    locator="210.23(A)(1)",
    accuracy="memory",
)
def shared_appliance_most_VA(rating_A: float, *, share: float = 0.8, voltage_V: float = 120.0) -> float:
    """80 % of a 15 or 20 A branch circuit that other outlets share [VA]."""
    return in_range("rating_A", rating_A, low=15, high=20) * share * voltage_V


@rule("usual circuit of an electric dryer", source="trade", locator="30 A receptacle", accuracy="common practice")
def dryer_breaker_min_A(voltage_V: float) -> float:
    """30 A for a 240 V household dryer (its usual receptacle), else 15 A."""
    return 30.0 if in_range("voltage_V", voltage_V, above=0, high=600) > 120 else 15.0


@rule("breaker spaces", source="trade", locator="one space a pole", accuracy="common practice")
def spaces_needed(poles: list[int]) -> int:
    """Spaces that full-size breakers take: one for each pole; poles are 1 or 2."""
    for count in poles:
        in_range("poles", count, low=1, high=2)
    return sum(poles)
