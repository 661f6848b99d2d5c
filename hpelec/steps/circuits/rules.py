"""Branch circuits: how many are required, which equipment gets one of its own, what may be shared."""

from __future__ import annotations

from hpelec.common.rules_equipment import branch_minimum_A as branch_minimum_A  # noqa: PLC0414 (the notebook reads it here)
from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.rounding import ceil_tol
from hpelec.core.tables import Row, table


def required_row(circuit: str) -> Row:
    """The row of the required circuits of a dwelling whose name begins with `circuit`."""
    rows = [r for r in table("loads/required_branch_circuits_dwelling") if r.text("circuit").startswith(circuit)]
    if len(rows) != 1:
        raise RangeError(f"no single required circuit begins with {circuit!r}")
    return rows[0]


@rule(
    "load of general lighting and receptacles for the number of circuits",
    source="NFPA 70",
    locator={2017: "220.12, 210.11(A)", 2020: "220.14(J), 210.11(A)", 2023: "220.41, 210.11(A)", 2026: "120.13"},
    accuracy="published",
)
def unit_load_VA(floor_area_ft2: float) -> float:
    """3 VA for each ft2 of floor area by outside dimensions [ft2], > 0; so circuits are counted in all editions."""
    in_range("floor_area_ft2", floor_area_ft2, above=0, high=1e6)
    row = table("loads/edition_parameters").one(parameter="dwelling_unit_load_branch_circuit_count")
    return floor_area_ft2 * row.number("nec_2023")


@rule(
    "fewest general lighting and receptacle circuits",
    source="NFPA 70",
    locator={2017: "210.11(A), 220.12", 2026: "210.11(A), 120.13"},
    accuracy="published",
)
def general_circuits_min(floor_area_ft2: float, rating_A: float, *, voltage_V: float = 120.0) -> int:
    """Unit load over what one circuit carries, rounded up.

    floor_area_ft2: by outside dimensions, > 0. rating_A: 15 or 20. All editions count circuits with 3 VA per ft2.
    """
    in_range("rating_A", rating_A, low=15, high=20)
    return ceil_tol(unit_load_VA(floor_area_ft2) / (voltage_V * rating_A))


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


@rule("breaker spaces", source="trade", locator="one space a pole", accuracy="common practice")
def spaces_needed(poles: list[int]) -> int:
    """Spaces that full-size breakers take: one for each pole; poles are 1 or 2."""
    for count in poles:
        in_range("poles", count, low=1, high=2)
    return sum(poles)


@rule(
    "current for the voltage drop of a branch circuit",
    source="trade",
    locator="load of its equipment, or 80 % of a breaker that outlets share, all at the far end",
    accuracy="common practice",
)
def run_current_A(
    load_VA: float, voltage_V: float, breaker_A: float, single_equipment: bool, *, share: float = 0.8
) -> float:
    """Current [A] at the far end: load over voltage for one piece of equipment, otherwise `share` of the breaker.

    Never more than the breaker carries. load_VA >= 0 (0: not known), voltage_V and breaker_A > 0.
    """
    in_range("load_VA", load_VA, low=0)
    in_range("voltage_V", voltage_V, above=0)
    in_range("breaker_A", breaker_A, above=0)
    if single_equipment and load_VA > 0:
        return min(load_VA / voltage_V, breaker_A)
    return share * breaker_A
