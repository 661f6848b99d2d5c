"""Other ways to count what runs together: normal sums, the zero-truncated one, European design flows.

Each is a rule of thumb of its own world; for one house the exact law of the step is the better answer.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import NormalDist

from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import Row, table
from hpelec.steps.coincidence import rules

WISTORT = "Wistort 1994, direct normal approximation"
TRUNCATED = "Peak Water Demand Study (2017), zero-truncated binomial"
GAL_L = 3.785411784
L_S_PER_GPM = GAL_L / 60
"""US gallon, by definition 3.785411784 L."""
Group = tuple[float, float, float]
"""How many alike, share of the time that each is on, what each adds."""


def _checked(groups: Sequence[Group]) -> None:
    for number, share, each in groups:
        in_range("number", number, low=0)
        in_range("share", share, low=0, high=1)
        in_range("each", each, low=0)


def z_of(percent: float) -> float:
    """Standard normal quantile; percent between 0 and 100."""
    return NormalDist().inv_cdf(in_range("percent", percent, above=0, high=99.999999) / 100)


@rule("mean and variance of a sum", source=WISTORT, locator="sum n p q, sum n p (1 - p) q^2", accuracy="recomputed")
def mean_and_variance(groups: Sequence[Group]) -> tuple[float, float]:
    """Mean, and variance, of what groups of independent on/off units add up to."""
    _checked(groups)
    mean = math.fsum(n * p * q for n, p, q in groups)
    return mean, math.fsum(n * p * (1 - p) * q * q for n, p, q in groups)


@rule("demand by a normal sum", source=WISTORT, locator="mean + z sd", accuracy="recomputed")
def normal_demand(groups: Sequence[Group], percent: float = 99.0) -> float:
    """Mean + z x standard deviation, over all time."""
    mean, variance = mean_and_variance(groups)
    return mean + z_of(percent) * math.sqrt(variance)


@rule("share of the time that nothing is on", source=TRUNCATED, locator="product of (1 - p)^n", accuracy="recomputed")
def idle_share(groups: Sequence[Group]) -> float:
    """Chance that no unit is on."""
    _checked(groups)
    return float(math.prod((1 - p) ** n for n, p, q in groups if q > 0))


@rule(
    "demand by a zero-truncated normal sum",
    source=TRUNCATED,
    locator="[mean + z sqrt((1 - P0) var - P0 mean^2)] / (1 - P0)",
    accuracy="recomputed",
)
def truncated_demand(groups: Sequence[Group], percent: float = 99.0) -> float:
    """Mean + z x standard deviation, of the time in which something is on; 0 when nothing ever is."""
    none = idle_share(groups)
    if none >= 1:
        return 0.0
    mean, variance = mean_and_variance(groups)
    inside = max((1 - none) * variance - none * mean * mean, 0.0)  # never below 0 but for rounding
    return (mean + z_of(percent) * math.sqrt(inside)) / (1 - none)


@rule(
    "demand of units taken as alike",
    source="Hunter 1940 (BMS 65)",
    locator="m of n at the percentile, times the mean",
    accuracy="recomputed",
)
def alike_demand(groups: Sequence[Group], percent: float = 99.0) -> float:
    """Number on at the percentile for n units of the mean share, times what one adds on average while on.

    The printed curve by fixture units is not used here: its table was not at hand.
    """
    _checked(groups)
    number = round(math.fsum(n for n, _, _ in groups))
    on = math.fsum(n * p for n, p, _ in groups)
    if number == 0 or on == 0:
        return 0.0
    return rules.busy_number(number, on / number, percent) * mean_and_variance(groups)[0] / on


def curve_row(standard: str, building: str = "residential") -> Row:
    """The row of a European design-flow curve."""
    return table("hotwater/design_flow_curves").one(standard=standard, building=building)


@rule("design flow by a European curve", source="DIN 1988-300", locator="V = a (sum V)^b - c", accuracy="published")
def curve_flow_L_s(
    sum_L_s: float, largest_L_s: float, standard: str = "DIN 1988-300", building: str = "residential"
) -> float:
    """Design flow [L/s] from the sum of calculated flows and the largest of them.

    Never below the largest single draw, never above the sum. Raises RangeError outside the range of the curve.
    """
    row = curve_row(standard, building)
    low, high = row.number("least_sum_L_s"), row.number("most_sum_L_s")
    in_range("sum_L_s", sum_L_s, low=low, high=high)
    in_range("largest_L_s", largest_L_s, low=0, high=sum_L_s)
    curve = float(row.number("a") * sum_L_s ** row.number("b") - row.number("c"))
    return min(max(curve, largest_L_s), sum_L_s)


@rule("sum of loading units", source="EN 806-3", locator="Table 2; 1 unit = 0.1 L/s", accuracy="published")
def loading_units(kinds: Sequence[str]) -> float:
    """Loading units of fixtures by kind, before any simultaneity. Raises RangeError for a kind without a row."""
    return math.fsum(fixture_row("EN 806-3", kind).number("loading_units") for kind in kinds)


def fixture_row(standard: str, kind: str) -> Row:
    """The row of a fixture in a European table. Raises RangeError for a kind without a row."""
    found = table("hotwater/fixture_design_flows").where(standard=standard, kind=kind)
    if not found:
        raise RangeError(f"{standard} has no row here for {kind!r}")
    return found[0]


def busy_row(kind: str) -> Row:
    """The row of a fixture in the table of busy shares. Raises RangeError for a kind without a row."""
    found = table("hotwater/busy_fixtures").where(kind=kind)
    if not found:
        raise RangeError(f"no busy share is known for {kind!r}")
    return found[0]
