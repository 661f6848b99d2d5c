"""The whole ampacity chain: insulation column, heat around, neighbours, the cable's own limit, terminals."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from hpelec.common.rules_conductors import COLUMNS, ampacity_A, area_cmil
from hpelec.core.citing import Citation, rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, TableError, in_range
from hpelec.core.rounding import EPS
from hpelec.core.tables import Row, table

AMBIENT_LOCATOR = {2017: "310.15(B)(2)(a)", 2020: "310.15(B)(1)", 2023: "310.15(B)(1)(1)"}
COUNT_LOCATOR = {2017: "310.15(B)(3)(a)", 2020: "310.15(C)(1)"}
TABLE_AMBIENT_C = 30.0
"""Ambient for which the ampacity table is made; its factors are 1 there."""
RELIEF_in = 24.0
"""Conductors together for no more than this length are not adjusted for their number."""
CABLES = ("", "NM-B", "UF-B", "SE")
"""Kinds of cable with a limit of their own; "" is none of them."""


@dataclass(frozen=True, slots=True)
class Around:
    """What lies round a conductor, and what it ends on. The defaults are those of the ampacity table.

    insulation_C: 60, 75 or 90 (the wet rating where it may get wet). ambient_C: air round it, a rooftop's addition
    included. conductors: current-carrying ones together. together_in: for how long [in]; sealed: in an opening that
    is sealed, where the short-length relief does not apply. terminal_C: column that the terminals allow.
    cable: a kind of CABLES; in_insulation: inside thermal insulation.
    """

    insulation_C: int = 75
    ambient_C: float = TABLE_AMBIENT_C
    conductors: int = 3
    together_in: float = 120.0
    sealed: bool = False
    terminal_C: int = 75
    cable: str = ""
    in_insulation: bool = False


@dataclass(frozen=True, slots=True)
class Chain:
    """Ampacity of one conductor, link by link [A]; the cap is None where the cable sets none."""

    base_A: float
    ambient_factor: float
    count_factor: float
    corrected_A: float
    cap_A: float | None
    terminal_A: float
    allowable_A: float


@cache
def _ambient_rows(rating_C: int) -> tuple[Row, ...]:
    rows = table("tables/ambient_correction").where(conductor_rating_c=str(rating_C))
    if not rows:
        raise RangeError(f"insulation must be rated {', '.join(map(str, COLUMNS))} C, got {rating_C!r}")
    return tuple(sorted(rows, key=lambda r: r.number("ambient_max_c")))


def ambient_row(rating_C: int, ambient_C: float) -> Row | None:
    """Row of the correction table whose band holds the ambient [C]; None above the last band."""
    in_range("ambient_C", ambient_C, low=-60, high=200)
    return next((r for r in _ambient_rows(rating_C) if ambient_C <= r.number("ambient_max_c") + EPS), None)


@rule("ambient factor by the table", source="NFPA 70", locator=AMBIENT_LOCATOR, accuracy="recomputed")
def ambient_factor(rating_C: int, ambient_C: float) -> float | None:
    """Correction factor of a conductor of 60, 75 or 90 C at an ambient [C], -60 to 200: that of the table's band.

    The top of a band belongs to it, so 30.0 C has the factor 1. None where no ampacity is permitted.
    """
    row = ambient_row(rating_C, ambient_C)
    return None if row is None else row.number_or_none("correction_factor")


@rule("ambient factor by the equation", source="NFPA 70", locator=AMBIENT_LOCATOR, accuracy="published")
def ambient_factor_by_equation(rating_C: float, ambient_C: float) -> float | None:
    """sqrt((Tc - Ta) / (Tc - 30)), which may be used instead of the table; None at and above the conductor's rating.

    rating_C: over 30 to 250. ambient_C: -60 to 200.
    """
    in_range("rating_C", rating_C, above=TABLE_AMBIENT_C, high=250)
    in_range("ambient_C", ambient_C, low=-60, high=200)
    if ambient_C >= rating_C:
        return None
    return float(((rating_C - ambient_C) / (rating_C - TABLE_AMBIENT_C)) ** 0.5)


@rule(
    "ambient of a raceway or cable in the sun close to a roof",
    source="NFPA 70",
    locator={2017: "310.15(B)(3)(c)", 2020: "310.15(B)(2)"},
    accuracy="published",
)
def rooftop_ambient_C(outdoor_C: float, clearance_in: float, edition: int) -> float:
    """Outdoor temperature [C] plus the rooftop's addition; none at 7/8 in of clearance [in], >= 0, or more.

    XHHW-2 conductors are exempt: do not ask for them.
    """
    in_range("outdoor_C", outdoor_C, low=-60, high=150)
    in_range("clearance_in", clearance_in, low=0)
    row = rooftop_row(edition)
    return outdoor_C + (row.number("adder_c") if clearance_in < row.number("below_clearance_in") - EPS else 0.0)


def rooftop_row(edition: int) -> Row:
    """Row of the rooftop table in force in an edition."""
    check_edition(edition)
    rows = [r for r in table("tables/rooftop_adder") if r.number("first_edition") <= edition]
    return max(rows, key=lambda r: r.number("first_edition"))


@cache
def adjustment_row(conductors: int) -> Row:
    """Row of the adjustment table for a number of current-carrying conductors, 1 to 500."""
    in_range("current-carrying conductors", conductors, low=1, high=500)
    for row in table("tables/conductor_count_adjustment"):
        last = row.number_or_none("conductors_max")
        if row.number("conductors_min") <= conductors and (last is None or conductors <= last):
            return row
    raise TableError(f"tables/conductor_count_adjustment has no row for {conductors} conductors")


@rule(
    "factor for more than three current-carrying conductors",
    source="NFPA 70",
    locator=COUNT_LOCATOR,
    accuracy="published",
)
def count_factor(conductors: int, together_in: float, *, sealed: bool = False) -> float:
    """Factor for so many current-carrying conductors together over a length [in], >= 0.

    None is taken away up to 24 in, unless the opening that they pass is sealed (334.80 for NM cables).
    """
    in_range("together_in", together_in, low=0)
    factor = adjustment_row(conductors).number("adjustment_percent") / 100
    return 1.0 if together_in <= RELIEF_in and not sealed else factor


@rule(
    "current-carrying conductors of a circuit",
    source="NFPA 70",
    locator={2017: "310.15(B)(5), (6)", 2020: "310.15(E), (F)"},
    accuracy="memory",
)
def counted_conductors(hots: int, neutral: bool, voltage_V: float) -> int:
    """Conductors to count: the hots, and the neutral unless it carries only the unbalance of a 120/240 V circuit.

    hots: 1 to 3. The equipment grounding conductor never counts. At 208Y/120 V the neutral of two legs counts.
    """
    in_range("hots", hots, low=1, high=3)
    in_range("voltage_V", voltage_V, above=0)
    unbalance_only = (hots == 2 and voltage_V == 240) or hots == 3
    return hots + (1 if neutral and not unbalance_only else 0)


def cap_row(size: str, around: Around) -> Row | None:
    """Row of the limit that the kind of cable sets for a size; None where it sets none."""
    if around.cable not in CABLES:
        raise RangeError(f"cable must be one of {', '.join(c for c in CABLES if c)} or empty, got {around.cable!r}")
    for row in table("tables/cable_temperature").where(cable=around.cable):
        placed = row.text("in_insulation") == "any" or around.in_insulation
        largest = row.text("largest_size")
        if placed and (largest == "any" or area_cmil(size) <= area_cmil(largest)):
            return row
    return None


@rule(
    "limit of a cable's own on its ampacity",
    source="NFPA 70",
    locator="334.80, 338.10(B)(4)(a), 340.80",
    accuracy="memory",
)
def cable_cap_A(size: str, material: str, around: Around) -> float | None:
    """Column [A] that the finished ampacity of NM-B, UF-B or small SE cable in insulation may not exceed, or None."""
    row = cap_row(size, around)
    return None if row is None else ampacity_A(size, material, int(row.number("cap_c")))


@cache
@rule(
    "allowable ampacity of a conductor where it lies",
    source="NFPA 70",
    locator={
        2017: "110.14(C), Table 310.15(B)(16), 310.15(B)(2), (3)",
        2020: "110.14(C), Table 310.16, 310.15(B), (C)",
    },
    accuracy="published",
)
def ampacity_chain(size: str, material: str, around: Around) -> Chain | None:
    """Every link of a conductor's ampacity [A]; None where the heat permits none.

    The insulation's column times both factors, each once; then the smallest of that, the cable's own limit and the
    column of the terminals, which no factor touches. Raises RangeError for a size, metal, column or cable unknown.
    """
    heat = ambient_factor(around.insulation_C, around.ambient_C)
    crowd = count_factor(around.conductors, around.together_in, sealed=around.sealed)
    base_A = ampacity_A(size, material, around.insulation_C)
    terminal_A = ampacity_A(size, material, around.terminal_C)
    cap_A = cable_cap_A(size, material, around)
    if heat is None:
        return None
    corrected_A = base_A * heat * crowd
    limits = [corrected_A, terminal_A] if cap_A is None else [corrected_A, terminal_A, cap_A]
    return Chain(base_A, heat, crowd, corrected_A, cap_A, terminal_A, min(limits))


def is_adjusted(around: Around) -> bool:
    """True where a factor other than 1 applies, or the heat permits no ampacity."""
    heat = ambient_factor(around.insulation_C, around.ambient_C)
    return heat != 1.0 or count_factor(around.conductors, around.together_in, sealed=around.sealed) != 1.0


def ambient_citation(rating_C: int, ambient_C: float) -> Citation | None:
    """Source of the ambient factor used; None above the table."""
    row = ambient_row(rating_C, ambient_C)
    return None if row is None else row.citation
