"""Rules of supply conductors: the dwelling reduction, parallel sets, feeders, neutrals."""

from __future__ import annotations

from collections.abc import Sequence

from hpelec.common.rules_ampacity import Around, ampacity_chain, is_adjusted
from hpelec.common.rules_conductors import area_cmil, usable_sizes
from hpelec.common.rules_overcurrent import breaker_protects, small_conductor_limit_A
from hpelec.core.citing import rule
from hpelec.core.editions import EDITIONS, check_edition
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import table

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
    around = Around(insulation_C=column_C, terminal_C=column_C)
    return smallest_allowed(needed_A, material, around, sets, least_cmil, EDITIONS[-1])


def fewest_sets(needed_A: float, material: str, column_C: int) -> tuple[int, str] | None:
    """Fewest parallel sets, with their size, that carry `needed_A` [A], >= 0; None beyond MOST_SETS."""
    return fewest_sets_allowed(needed_A, material, Around(insulation_C=column_C, terminal_C=column_C), EDITIONS[-1])


@rule(
    "conductor sizes tabulated for a dwelling service or its whole-load feeder",
    source="NFPA 70",
    locator="Table 310.12",
    accuracy="published",
)
def dwelling_table_size(rating_A: float, material: str, edition: int, around: Around) -> str | None:
    """Size of the table for a service rating [A], > 0; None where the table may not be used.

    It may not be used where an ambient or count factor applies (0.83 of the rating is then compared with the corrected
    ampacity), for a rating that it does not list, or in 2017, which has it only as an example in an annex.
    """
    check_edition(edition)
    in_range("rating_A", rating_A, above=0)
    if material not in ("al", "cu"):
        raise RangeError(f"material must be al or cu, got {material!r}")
    if edition < 2020 or is_adjusted(around):
        return None
    column = {"al": "aluminum_awg_kcmil", "cu": "copper_awg_kcmil"}[material]
    return next(
        (r.text(column) for r in table("tables/dwelling_service_conductors") if r.number("rating_a") == rating_A), None
    )


@rule(
    "ampacity that a feeder of a dwelling needs for its device",
    source="NFPA 70",
    locator={2017: "310.15(B)(7)(2), (3)", 2020: "310.12(B), (C)"},
    accuracy="published",
)
def feeder_ampacity_A(device_A: float, voltage_V: float, service_needed_A: float, *, whole_load: bool) -> float:
    """Ampacity [A] for a feeder's device [A], > 0: reduced to 83 % only if it carries the whole load of the dwelling.

    Never more than the service conductors need [A], > 0.
    """
    in_range("service_needed_A", service_needed_A, above=0)
    own_A = service_ampacity_A(device_A, voltage_V) if whole_load else in_range("device_A", device_A, above=0)
    return min(own_A, service_needed_A)


@rule(
    "smallest size that carries a current where it lies",
    source="NFPA 70",
    locator={2017: "310.10(H), 310.15(B), 240.4(D)", 2020: "310.10(G), 310.14, 240.4(D)"},
    accuracy="published",
)
def smallest_allowed(
    needed_A: float, material: str, around: Around, sets: int, least_cmil: float, edition: int, device_A: float = 0.0
) -> str | None:
    """Smallest size of which `sets` equal sets are allowed `needed_A` [A], >= 0; None when no size is.

    As `smallest_size`, with the whole ampacity chain. device_A: a device [A] that the small-conductor limit must
    not be below; 0 for none. Each set is counted in its own raceway.
    """
    in_range("needed_A", needed_A, low=0)
    in_range("sets", sets, low=1)
    in_range("least_cmil", least_cmil, low=0)
    in_range("device_A", device_A, low=0)
    least = max(least_cmil, area_cmil("1/0") if sets > 1 else 0.0)
    for size in usable_sizes(material):
        if area_cmil(size) < least or device_A > (small_conductor_limit_A(size, material, edition) or device_A):
            continue
        chain = ampacity_chain(size, material, around)
        if chain is not None and sets * chain.allowable_A >= needed_A * ENOUGH:
            return size
    return None


def fewest_sets_allowed(
    needed_A: float, material: str, around: Around, edition: int, device_A: float = 0.0
) -> tuple[int, str] | None:
    """Fewest parallel sets, with their size, that are allowed `needed_A` [A], >= 0; None beyond MOST_SETS."""
    for sets in range(1, MOST_SETS + 1):
        size = smallest_allowed(needed_A, material, around, sets, 0.0, edition, device_A)
        if size is not None:
            return sets, size
    return None


@rule(
    "smallest size that a device protects by the next size up",
    source="NFPA 70",
    locator="240.4(B), 230.42, 230.90(A)",
    accuracy="published",
)
def smallest_by_next_size_up(
    load_A: float, device_A: float, material: str, around: Around, sets: int, edition: int
) -> str | None:
    """Smallest size of which `sets` sets are allowed the load [A], >= 0, and that the device [A], > 0, protects.

    The ampacity may be below the device where the next standard rating above it is the device. None when no size is,
    or beyond the standard ratings.
    """
    in_range("load_A", load_A, low=0)
    in_range("device_A", device_A, above=0, high=6000)
    for size in usable_sizes(material):
        chain = ampacity_chain(size, material, around)
        if chain is None or (sets > 1 and area_cmil(size) < area_cmil("1/0")):
            continue
        total_A = sets * chain.allowable_A
        protected = total_A <= 6000 and breaker_protects(
            device_A, total_A, size, edition, several_receptacles=False, material=material
        )
        if protected and total_A >= load_A * ENOUGH:
            return size
    return None


@rule(
    "neutral of a service or feeder",
    source="NFPA 70",
    locator={2017: "310.15(B)(7)(4), 220.61, 250.24(C)", 2020: "310.12(D), 220.61, 250.24(C)"},
    accuracy="published",
)
def neutral_for(
    unbalanced_A: float, material: str, around: Around, sets: int, size: str, least_size: str, edition: int
) -> str:
    """Neutral of each set: carries the largest unbalanced load [A], >= 0, after its own reductions.

    Not below `least_size` (the grounded-conductor table, from the largest line conductor of the same raceway), not
    below 1/0 in parallel sets, and never larger than the line conductors.
    """
    found = smallest_allowed(unbalanced_A, material, around, sets, area_cmil(least_size), edition)
    return min(found or size, size, key=area_cmil)


@rule(
    "shares of the current in parallel conductors of unequal length",
    source="circuit theory",
    locator="conductors alike but for length, currents divide by 1 / length",
    accuracy="recomputed",
)
def parallel_shares(lengths_ft: Sequence[float]) -> tuple[float, ...]:
    """Share of the current that each of several like conductors in parallel takes; lengths [ft] > 0, at least one.

    It shows why the code asks for the same length: the shortest is loaded most.
    """
    in_range("number of conductors", len(lengths_ft), low=1)
    leads = [1 / in_range("length_ft", length, above=0) for length in lengths_ft]
    return tuple(lead / sum(leads) for lead in leads)
