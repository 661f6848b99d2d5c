"""The check that a notebook raises: a number of ours against a hand-worked or published one."""

from __future__ import annotations

import math

from hpelec.core.errors import HpelecError
from hpelec.core.working import show_number


class DisagreementError(HpelecError, AssertionError):
    """A computed value is not the value it was to agree with."""


def agree(what: str, got: float, expected: float, *, within: float, source: str) -> None:
    """Print that `got` agrees with `expected`, or raise DisagreementError.

    within: largest difference allowed, in the unit of both (half of the last printed digit of the source, as
    a rule). source: where `expected` stands, or "worked by hand above".
    """
    if not (math.isfinite(got) and math.isfinite(expected) and math.isfinite(within)):
        raise DisagreementError(f"{what}: got {got!r}, expected {expected!r}: not finite numbers")
    if abs(got - expected) > within * (1 + 1e-12):
        raise DisagreementError(
            f"{what}: got {show_number(got)}, expected {show_number(expected)} within {within:g} ({source})"
        )
    print(f"agrees: {what} = {show_number(got)} (expected {show_number(expected)}; {source})")
