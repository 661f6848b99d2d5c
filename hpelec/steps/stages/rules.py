"""Rules of temporary power: what a supply must carry, its two legs, the order of moving."""

from __future__ import annotations

from collections.abc import Sequence

from hpelec.core.citing import Citation, rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import in_range
from hpelec.core.tables import Row, table

MOST_VA = 10_000_000


@rule(
    "continuous load counts 1.25 times when a supply is sized",
    source="NFPA 70",
    locator="215.3, 230.42(A)",
    accuracy="published",
)
def counted_VA(power_VA: float, continuous: bool) -> float:
    """Load to size a supply for [VA]; power_VA: >= 0."""
    return in_range("power_VA", power_VA, low=0, high=MOST_VA) * (1.25 if continuous else 1.0)


@rule(
    "heavier leg of a three-wire supply, its 120 V loads shared as evenly as whole loads allow",
    source="arithmetic",
    locator="smallest larger part of a set split in two",
    accuracy="recomputed",
)
def heavier_leg_A(line_to_neutral_VA: Sequence[float], line_to_line_VA: float) -> float:
    """Current of the heavier leg [A] of a 120/240 V supply.

    line_to_neutral_VA: each 120 V load, >= 0, taken to whole volt-amperes upward; line_to_line_VA: the 240 V loads
    together, >= 0. The split is exact: no other sharing of whole loads gives a lighter heavier leg.
    """
    loads = [-int(-in_range("line_to_neutral_VA", v, low=0, high=MOST_VA) // 1) for v in line_to_neutral_VA]
    in_range("line_to_line_VA", line_to_line_VA, low=0, high=MOST_VA)
    # Bit i of `reached` says whether some of the loads add up to i volt-amperes.
    reached, total_VA = 1, sum(loads)
    for load in loads:
        reached |= reached << load
    light_VA = next(v for v in range(total_VA // 2, -1, -1) if reached >> v & 1)
    return (total_VA - light_VA) / 120 + line_to_line_VA / 240


def temporary_rule(name: str, edition: int) -> Row:
    """The row of a rule of temporary wiring; raises TableError for a stranger, EditionError for an unknown edition."""
    check_edition(edition)
    return table("tables/temporary_rules").one(rule=name)


def temporary_citation(name: str, edition: int) -> Citation:
    """Source of a rule of temporary wiring."""
    return temporary_rule(name, edition).citation
