"""Rules that several steps apply: nonmetallic-sheathed cables together in one sealed hole."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from hpelec.common.rules_ampacity import ambient_factor, count_factor
from hpelec.common.rules_conductors import ampacity_A
from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, in_range


@dataclass(frozen=True, slots=True)
class NmCable:
    """One NM cable in a hole: copper size, loaded conductors, breaker [A]."""

    size: str
    current_conductors: int
    breaker_A: float


@rule(
    "ambient factor of 90 C conductors",
    source="NFPA 70",
    locator={2017: "310.15(B)(2)(a)", 2020: "310.15(B)(1)", 2023: "310.15(B)(1)(1)"},
    accuracy="recomputed",
)
def ambient_factor_90(ambient_C: float) -> float:
    """Correction factor of a 90 C conductor at an ambient temperature [C], by the table's row."""
    factor = ambient_factor(90, in_range("ambient", ambient_C, low=-50, high=85))
    if factor is None:
        raise RangeError(f"no ampacity is permitted at {ambient_C} C")
    return factor


@rule("whether cables in one sealed hole are adjusted", source="NFPA 70", locator="334.80", accuracy="published")
def sealed_hole_adjusts(cables: int) -> bool:
    """True for more than two NM cables, each with two or more loaded conductors, in one sealed opening."""
    in_range("cables", cables, low=0, high=500)
    return cables > 2


@rule(
    "adjustment factor of cables in one sealed hole",
    source="NFPA 70",
    locator={2017: "334.80, 310.15(B)(3)(a)", 2020: "334.80, 310.15(C)(1)"},
    accuracy="published",
)
def sealed_hole_factor(current_conductors: Sequence[int], edition: int) -> float:
    """Factor on the 90 C ampacity for NM cables that pass one sealed hole; each cable by its loaded conductors."""
    check_edition(edition)
    counted = [in_range("loaded conductors of a cable", n, low=1, high=12) for n in current_conductors]
    if not sealed_hole_adjusts(sum(1 for n in counted if n >= 2)):
        return 1.0
    return count_factor(int(sum(counted)), 0.0, sealed=True)


@rule(
    "ampacity of a cable in a sealed hole",
    source="NFPA 70",
    locator={2017: "334.80, Table 310.15(B)(16)", 2020: "334.80, Table 310.16"},
    accuracy="published",
)
def sealed_hole_ampacity_A(size: str, factor: float, edition: int, *, ambient_factor: float = 1.0) -> float:
    """Ampacity of one copper NM cable [A]: 90 C column times the factors, not above the 60 C column."""
    check_edition(edition)
    in_range("factor", factor, above=0, high=1)
    in_range("ambient factor", ambient_factor, above=0, high=1.5)
    return min(ampacity_A(size, "cu", 90) * factor * ambient_factor, ampacity_A(size, "cu", 60))


def needed_A(cable: NmCable, edition: int) -> float:
    """What a cable must still carry in the hole [A]: its breaker, or its 60 C ampacity where that is the smaller.

    A breaker may stand above the ampacity by 240.4(B) or (G); the hole must then not take anything away.
    """
    return min(cable.breaker_A, sealed_hole_ampacity_A(cable.size, 1.0, edition))


def hole_carries(cables: Sequence[NmCable], edition: int, ambient_C: float) -> bool:
    """True when every cable of a sealed hole still carries what it must.

    Up to two cables are not adjusted; their own circuit is sized elsewhere, so they are not judged here.
    """
    if not sealed_hole_adjusts(len(cables)):
        return True
    factor = sealed_hole_factor([c.current_conductors for c in cables], edition)
    ambient = ambient_factor_90(ambient_C)
    return all(
        sealed_hole_ampacity_A(c.size, factor, edition, ambient_factor=ambient) >= needed_A(c, edition) - 1e-9
        for c in cables
    )


@rule(
    "most equal cables in one sealed hole",
    source="NFPA 70",
    locator={2017: "334.80, 310.15(B)(3)(a)", 2020: "334.80, 310.15(C)(1)"},
    accuracy="recomputed",
)
def most_cables(cable: NmCable, edition: int, *, ambient_C: float = 30.0) -> int:
    """Largest number of equal cables that one sealed hole takes at this breaker and ambient [C]."""
    count = 2
    while hole_carries([cable] * (count + 1), edition, ambient_C):
        count += 1
        if count > 100:
            raise RangeError(f"{cable}: no limit found; the breaker is too small for its conductors")
    return count


@rule("holes for a number of cables", source="arithmetic", locator="cables over cables a hole", accuracy="recomputed")
def holes_needed(cables: int, most_a_hole: int) -> int:
    """Fewest holes for `cables` cables (>= 0) with at most `most_a_hole` (>= 1) in each."""
    in_range("cables", cables, low=0, high=10000)
    in_range("most a hole", most_a_hole, low=1, high=10000)
    return math.ceil(cables / most_a_hole)
