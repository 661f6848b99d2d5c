"""Rules of the step airtightness: the sum of uncertain leaks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import NormalDist

from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.steps.airtightness.total import Total, Triple, checked


@rule("mean of a triangular leak", source="triangular moments", locator="(a + m + b)/3", accuracy="published")
def triangular_mean(triple: Triple) -> float:
    """Mean of a triangular distribution (lowest, likeliest, highest); a constant when all are equal."""
    return math.fsum(checked(triple)) / 3


@rule(
    "variance of a triangular leak",
    source="triangular moments",
    locator="(a2 + m2 + b2 - am - ab - mb)/18",
    accuracy="published",
)
def triangular_variance(triple: Triple) -> float:
    """Variance of a triangular distribution (lowest, likeliest, highest)."""
    a, m, b = checked(triple)
    return ((m - a) ** 2 + (b - m) ** 2 + (b - a) ** 2) / 36


@rule("chance under a limit, normal total", source="normal distribution", locator="Phi", accuracy="recomputed")
def normal_probability(mean: float, sd: float, limit: float) -> float:
    """Chance that a normal total is not above the limit; sd >= 0, a sum without spread is a step."""
    in_range("mean", mean)
    in_range("sd", sd, low=0)
    in_range("limit", limit)
    if sd == 0:
        return 1.0 if mean <= limit else 0.0
    return NormalDist(mean, sd).cdf(limit)


@rule(
    "chance that a sum of triangular leaks is under a limit",
    source="convolution of independent distributions",
    locator="grid and FFT",
    accuracy="recomputed",
)
def sum_probability(leaks: Sequence[Triple], limit: float) -> float:
    """Chance that a sum of independent triangular leaks (lowest, likeliest, highest) is not above the limit."""
    if not leaks:
        raise RangeError("sum_probability needs a leak")
    return Total(leaks).probability(limit)
