"""Rounding up to whole things, forgiving what only binary fractions made."""

from __future__ import annotations

import math

EPS = 1e-9
"""Differences smaller than this come from binary fractions, not from designs: a limit met but for EPS is met."""


def ceil_tol(value: float) -> int:
    """The next whole number; a value above a whole number by no more than EPS is that number."""
    return math.ceil(value - EPS)
