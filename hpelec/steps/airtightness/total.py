"""The sum of independent triangular leaks, by convolution on a grid."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from hpelec.core.errors import in_range

Array = npt.NDArray[np.floating[Any]]
Triple = tuple[float, float, float]
"""Lowest, most likely, highest."""
STEPS = 4096
"""Steps of the grid over the whole range of a sum."""

LEAST_WIDTH = 1e-6
"""A leak narrower than this share of a step is a constant on the grid."""
NO_SPREAD = 1e-9
"""A sum whose range is smaller than this is a constant."""


def checked(triple: Triple) -> Triple:
    """Return the triple, or raise RangeError unless 0 <= lowest <= likeliest <= highest, all finite."""
    low, mode, high = triple
    in_range("lowest", low, low=0)
    in_range("highest", high, low=low)
    in_range("likeliest", mode, low=low, high=high)
    return triple


class Total:
    """Distribution of a sum of independent triangular leaks, by convolution on a grid.

    Each leak is put on the grid so that its mean is kept exactly; constants shift the grid.
    """

    def __init__(self, leaks: Sequence[Triple]) -> None:
        self.shift = math.fsum(sorted(low for low, _, _ in map(checked, leaks)))
        self.range = math.fsum(sorted(high - low for low, _, high in leaks))
        self.step = self.range / STEPS if self.range > NO_SPREAD else 0.0
        self.chances: Array | None = _convolved(leaks, self.step) if self.step else None

    def probability(self, limit: float) -> float:
        """Chance that the sum is not above the limit."""
        in_range("limit", limit)
        if self.chances is None:
            return 1.0 if self.shift <= limit * (1 + 1e-12) else 0.0
        if limit >= (self.shift + self.range) * (1 - 1e-12):
            return 1.0
        if limit < self.shift:
            return 0.0
        below, at = np.concatenate([[0.0], np.cumsum(self.chances)]), (limit - self.shift) / self.step + 0.5
        return float(np.interp(at, np.arange(below.size), below))

    def quantile(self, share: float) -> float:
        """Level that the sum does not pass with the chance `share`, 0 < share < 1; within its lowest and highest."""
        in_range("share", share, above=0, high=1 - 1e-9)
        if self.chances is None:
            return self.shift
        below = np.concatenate([[0.0], np.cumsum(self.chances)])
        at = float(np.interp(share, below, np.arange(below.size))) - 0.5
        return self.shift + min(self.range, max(0.0, at * self.step))


def _convolved(leaks: Sequence[Triple], step: float) -> Array:
    size = 2 * STEPS  # room for the few cells by which rounding up each leak can pass the range
    counts: dict[Triple, int] = {}
    for low, mode, high in leaks:
        key = (0.0, mode - low, high - low)
        counts[key] = counts.get(key, 0) + 1
    product = np.ones(size // 2 + 1, dtype=complex)
    for triple, count in sorted(counts.items()):
        if triple[2] > LEAST_WIDTH * step:
            product *= np.fft.rfft(_on_grid(triple, step, size)) ** count
    chances = np.maximum(np.fft.irfft(product, size), 0.0)  # FFT noise of 1e-17 below zero
    return np.asarray(chances / chances.sum())


def _on_grid(triple: Triple, step: float, size: int) -> Array:
    """Masses on a grid with the exact mean: second differences of the integral of the distribution."""
    x = step * np.arange(-1, size + 1)
    g = _integral(x, triple[1], triple[2])
    return (g[2:] - 2 * g[1:-1] + g[:-2]) / step


def _integral(x: Array, mode: float, high: float) -> Array:
    """Integral of the distribution function of a triangle on 0, mode, high."""
    rising = np.zeros_like(x) if mode == 0 else mode**2 * (np.clip(x, 0, mode) / mode) ** 3 / (3 * high)
    at_mode = mode**2 / (3 * high)
    left = high - mode
    inside = np.clip(x, mode, high)
    falling = np.zeros_like(x)
    if left > 0:
        falling = (inside - mode) - left**2 * (1 - ((high - inside) / left) ** 3) / (3 * high)
    return np.where(x <= mode, rising, at_mode + falling + np.maximum(x - high, 0.0))
