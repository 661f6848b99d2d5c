"""Rules of overcurrent protection of conductors: small sizes, the next size up, equal for every step."""

from __future__ import annotations

from functools import cache

from hpelec.common.rules_ratings import largest_standard_A, next_standard_A, standard_ratings_A
from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, in_range
from hpelec.core.rounding import EPS
from hpelec.core.tables import Row, table

NEXT_SIZE_LIMIT_A = 800.0
"""The next size up may not be above this."""
FIRST_EDITION = {"2023+": 2023}
"""First edition of a row of the small-conductor table, by the word in its column `edition`; other rows stand in all."""


@cache
def _small_sizes(material: str) -> dict[str, Row]:
    """Rows of one metal by size."""
    rows = table("tables/small_conductor_ocpd").where(material=material)
    if not rows:
        raise RangeError(f"material must be al, cca or cu, got {material!r}")
    return {r.text("size_awg"): r for r in rows}


@rule("largest device on a small conductor", source="NFPA 70", locator="240.4(D)", accuracy="published")
def small_conductor_limit_A(size: str, material: str, edition: int) -> float | None:
    """Largest overcurrent device [A] on a small conductor, whatever its ampacity; None for larger sizes.

    material: cu, al or cca (copper-clad aluminum; 14 AWG in it from 2023). RangeError for another metal, or for
    14 AWG in copper-clad aluminum before 2023, which is no wire size then.
    """
    check_edition(edition)
    row = _small_sizes(material).get(size)
    if row is None:
        return None
    if FIRST_EDITION.get(row.text("edition"), 2017) > edition:
        raise RangeError(f"size {size} in {material} is not in edition {edition}")
    return row.number("max_ocpd_a")


@rule("next size up above an ampacity", source="NFPA 70", locator="240.4(B), 240.4(C)", accuracy="published")
def largest_device_A(ampacity_A: float, edition: int, *, several_receptacles: bool) -> float | None:
    """Largest standard device [A] that protects conductors of an ampacity [A], > 0; None below the smallest.

    The next standard rating above the ampacity, if the circuit does not feed several receptacles for plugs, if the
    ampacity is no standard rating itself, and if that rating is not above 800 A. Otherwise the rating within it.
    """
    in_range("ampacity_A", ampacity_A, above=0, high=standard_ratings_A(edition)[-1])
    up_A = next_standard_A(ampacity_A, edition)
    if not several_receptacles and up_A <= NEXT_SIZE_LIMIT_A:
        return up_A
    return largest_standard_A(ampacity_A, edition)


@rule("a breaker protects a conductor", source="NFPA 70", locator="240.4(B),(D)", accuracy="published")
def breaker_protects(
    breaker_A: float, ampacity_A: float, size: str, edition: int, *, several_receptacles: bool, material: str = "cu"
) -> bool:
    """True when the breaker [A], > 0 to 6000, is not above the small-conductor limit, nor above the ampacity.

    The next size up is allowed as in `largest_device_A`; a breaker that is no standard rating may stand up to it.
    """
    in_range("breaker_A", breaker_A, above=0, high=6000)
    cap_A = small_conductor_limit_A(size, material, edition)
    if cap_A is not None and breaker_A > cap_A:
        return False
    up_A = largest_device_A(ampacity_A, edition, several_receptacles=several_receptacles)
    return breaker_A <= max(ampacity_A, up_A or 0.0) + EPS
