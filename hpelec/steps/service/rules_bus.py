"""Rules of sources at a busbar or on the supply side: how much solar or storage current still fits.

Each `..._source_A` gives the largest sum of source output currents [A] that a way of connection allows; a source's
current counts 1.25 times, not its breaker. Equal passes. Zero when nothing is left.
"""

from __future__ import annotations

from hpelec.common import rules_ratings as ratings
from hpelec.core.citing import rule
from hpelec.core.errors import in_range

SOURCE_FACTOR = (5, 4)
"""1.25 as a fraction, so that a limit met exactly passes in spite of binary fractions."""


def _output_A(room_A: float) -> float:
    over, under = SOURCE_FACTOR
    return max(room_A, 0.0) * under / over


def _checked(bus_A: float, main_A: float) -> tuple[float, float]:
    return in_range("bus_A", bus_A, above=0), in_range("main_A", main_A, low=0)


@rule(
    "source anywhere on a bus: 125 % of its current and the main are within the bus rating",
    source="NFPA 70",
    locator={2017: "705.12(B)(2)(3)(a)", 2020: "705.12(B)(3)(1)", 2023: "705.12(B)(1)", 2026: "705.12 (not verified)"},
    accuracy="memory",
)
def anywhere_source_A(bus_A: float, main_A: float) -> float:
    """Largest source current [A]; bus_A: rating of the bus [A], > 0; main_A: device that feeds it [A], >= 0."""
    bus, main = _checked(bus_A, main_A)
    return _output_A(bus - main)


@rule(
    "source at the end of a bus opposite its main: 125 % of its current and the main are within 120 % of the bus",
    source="NFPA 70",
    locator={2017: "705.12(B)(2)(3)(b)", 2020: "705.12(B)(3)(2)", 2023: "705.12(B)(2)", 2026: "705.12 (not verified)"},
    accuracy="published",
)
def opposite_end_source_A(bus_A: float, main_A: float) -> float:
    """Largest source current [A]; bus_A [A], > 0; main_A [A], >= 0."""
    bus, main = _checked(bus_A, main_A)
    return _output_A(bus * 6 / 5 - main)


@rule(
    "source at one end of a bus fed at its center, in a dwelling: as at the opposite end, but at one end only",
    source="NFPA 70",
    locator={2017: "705.12(B)(2)(3)(d)", 2020: "705.12(B)(3)(4)", 2023: "705.12(B)(4)", 2026: "705.12 (not verified)"},
    accuracy="memory",
)
def center_fed_source_A(bus_A: float, main_A: float) -> float:
    """Largest source current [A]; bus_A [A], > 0; main_A [A], >= 0."""
    return opposite_end_source_A(bus_A, main_A)


@rule(
    "sum of all breakers on a bus, of loads and sources alike and without its main, is within the bus rating",
    source="NFPA 70",
    locator={2017: "705.12(B)(2)(3)(c)", 2020: "705.12(B)(3)(3)", 2023: "705.12(B)(3)", 2026: "705.12 (not verified)"},
    accuracy="memory",
)
def breaker_sum_room_A(bus_A: float, breakers_A: float) -> float:
    """Room [A] for the breakers of sources; breakers_A: sum of all others except the main [A], >= 0; bus_A > 0."""
    bus, breakers = _checked(bus_A, breakers_A)
    return max(bus - breakers, 0.0)


@rule(
    "sources on the supply side of the main are together within the rating of the service",
    source="NFPA 70",
    locator={2017: "705.12(A)", 2020: "705.11", 2026: "705.11 (not verified)"},
    accuracy="memory",
)
def supply_side_source_A(service_A: float) -> float:
    """Largest sum of source currents [A] on the supply side; service_A: rating of the service [A], > 0.

    The careful reading: the breakers of the sources (125 % of their currents) are within the rating.
    """
    return _output_A(in_range("service_A", service_A, above=0))


@rule(
    "device of a current that runs three hours or more, or of a source",
    source="NFPA 70",
    locator="210.20(A), 215.3, 625.41, 705.30",
    accuracy="memory",
)
def continuous_device_A(current_A: float, edition: int) -> float:
    """Smallest standard device [A] of at least 1.25 times `current_A` [A], 0 to 4800."""
    over, under = SOURCE_FACTOR
    return ratings.next_standard_A(in_range("current_A", current_A, low=0, high=4800) * over / under, edition)
