"""Sizing from either side: the size that a need asks for, and what a heater can serve at once."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache

from hpelec.core.citing import rule
from hpelec.core.errors import in_range
from hpelec.core.rounding import EPS
from hpelec.core.tables import table

MOST_POINTS = 12
"""More points than this have too many sets to list."""


@cache
def sizes(kind: str) -> tuple[tuple[float, float], ...]:
    """Rated kW and volume [gal] of the sizes of `tankless` or `storage` heaters, rising."""
    rows = table("hotwater/heater_sizes").where(kind=kind)
    return tuple(sorted((r.number("rated_kW"), r.number_or_none("volume_gal") or 0.0) for r in rows))


@rule(
    "size of a tankless heater for a need", source="ratings in which heaters are commonly sold",
    locator="smallest that covers it", accuracy="common practice",
)  # fmt: skip
def tankless_size_kW(needed_kW: float, voltage_share: float = 1.0) -> float | None:
    """Rating at 240 V [kW] that gives `needed_kW` (>= 0); None beyond the largest.

    voltage_share: what is left of the rating on this service, above 0 to 1 (0.751 at 208 V).
    """
    in_range("needed_kW", needed_kW, low=0)
    in_range("voltage_share", voltage_share, above=0, high=1)
    return next((kW for kW, _ in sizes("tankless") if kW * voltage_share >= needed_kW * (1 - EPS)), None)


@rule(
    "size of a tank for a busiest hour", source="volumes in which tanks are commonly sold",
    locator="smallest that covers it", accuracy="common practice",
)  # fmt: skip
def tank_size_gal(asked_gal: float, recovery_gph: float, usable_share: float = 0.70) -> float | None:
    """Volume [gal] whose usable share and one hour of recovery cover `asked_gal` (>= 0); None beyond the largest."""
    in_range("asked_gal", asked_gal, low=0)
    in_range("recovery_gph", recovery_gph, low=0)
    in_range("usable_share", usable_share, above=0, high=1)
    fit = (v for _, v in sizes("storage") if usable_share * v + recovery_gph >= asked_gal * (1 - EPS))
    return next(fit, None)


@rule(
    "what runs together within a limit", source="arithmetic", locator="largest sets whose sum is within it",
    accuracy="recomputed",
)  # fmt: skip
def largest_sets(asks: Mapping[str, float], limit: float) -> tuple[tuple[str, ...], ...]:
    """Every set of names whose sum is within `limit` and to which no other name can be added, the fullest first.

    asks: what each asks, >= 0, at most MOST_POINTS of them (RangeError). limit >= 0. A sum met exactly is within.
    Names within a set are in alphabetical order, so the order of `asks` never matters.
    """
    in_range("limit", limit, low=0)
    in_range("number of points", len(asks), high=MOST_POINTS)
    names = sorted(asks)
    amounts = [in_range(n, asks[n], low=0) for n in names]
    allowed = limit * (1 + EPS) + EPS
    sums = [0.0] * (1 << len(names))
    for mask in range(1, len(sums)):  # each set is a smaller one and its last name
        last = mask.bit_length() - 1
        sums[mask] = sums[mask ^ (1 << last)] + amounts[last]
    found = [
        tuple(n for i, n in enumerate(names) if mask >> i & 1)
        for mask in range(1, len(sums))
        if sums[mask] <= allowed
        and all(mask >> i & 1 or sums[mask] + amount > allowed for i, amount in enumerate(amounts))
    ]
    return tuple(sorted(found, key=lambda s: (-math.fsum(asks[n] for n in s), s)))
