"""Rules of supply conductors: the dwelling reduction, parallel sets."""

from __future__ import annotations

from hpelec.common.rules_conductors import ampacity_A, area_cmil, usable_sizes
from hpelec.core.citing import rule
from hpelec.core.errors import in_range

DWELLING_LOCATOR = {2017: "310.15(B)(7)", 2020: "310.12"}
MOST_SETS = 6
"""Parallel sets that the step will propose; beyond it the design is no ordinary dwelling service."""
ENOUGH = 1 - 1e-9
"""A share below which an ampacity misses: lets 0.83 x rating equal a table value in spite of binary fractions."""


@rule(
    "83 % rule: range of ratings of a dwelling service to which it applies",
    source="NFPA 70",
    locator=DWELLING_LOCATOR,
    accuracy="published",
)
def dwelling_reduction_applies(main_A: float, voltage_V: float) -> bool:
    """True for a 120/240 V service of 100 to 400 A, both included, that carries the whole dwelling.

    At 208Y/120 V it is not taken: the extension was seen for feeders, not verified for services.
    """
    in_range("main_A", main_A, above=0)
    in_range("voltage_V", voltage_V, above=0)
    return voltage_V == 240 and 100 <= main_A <= 400


@rule(
    "83 % rule: ampacity that the conductors of a dwelling service need",
    source="NFPA 70",
    locator=DWELLING_LOCATOR,
    accuracy="published",
)
def service_ampacity_A(main_A: float, voltage_V: float) -> float:
    """Ampacity [A] needed: 0.83 of the main [A], > 0, where the reduction applies, otherwise all of it."""
    return main_A * 83 / 100 if dwelling_reduction_applies(main_A, voltage_V) else main_A


@rule(
    "smallest size that carries a current in so many parallel sets",
    source="NFPA 70",
    locator={2017: "310.10(H), Table 310.15(B)(16)", 2020: "310.10(G), Table 310.16"},
    accuracy="published",
)
def smallest_size(needed_A: float, material: str, column_C: int, sets: int, least_cmil: float) -> str | None:
    """Smallest size of which `sets` equal sets carry `needed_A` [A], >= 0; None when the largest does not.

    Conductors in parallel are 1/0 AWG or larger. least_cmil: smallest area of each wanted for another reason
    (0: none) [circular mil]. column_C: 60, 75 or 90. Raises RangeError for fewer than one set.
    """
    in_range("needed_A", needed_A, low=0)
    in_range("sets", sets, low=1)
    in_range("least_cmil", least_cmil, low=0)
    least = max(least_cmil, area_cmil("1/0") if sets > 1 else 0.0)
    for size in usable_sizes(material):
        if area_cmil(size) >= least and sets * ampacity_A(size, material, column_C) >= needed_A * ENOUGH:
            return size
    return None


def fewest_sets(needed_A: float, material: str, column_C: int) -> tuple[int, str] | None:
    """Fewest parallel sets, with their size, that carry `needed_A` [A], >= 0; None beyond MOST_SETS."""
    for sets in range(1, MOST_SETS + 1):
        size = smallest_size(needed_A, material, column_C, sets, 0.0)
        if size is not None:
            return sets, size
    return None
