"""The editions of the National Electrical Code (NFPA 70) that the rules know.

An edition is an argument of each rule that has editions; nothing here or elsewhere keeps a "current" one.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from hpelec.core.errors import EditionError

EDITIONS: tuple[int, ...] = (2017, 2020, 2023, 2026)
PROVISIONAL: frozenset[int] = frozenset({2026})
"""Editions seen only in change summaries: every result of theirs is marked."""

T = TypeVar("T")


def check_edition(edition: int, known: tuple[int, ...] = EDITIONS) -> int:
    """Return `edition`, or raise EditionError naming the editions that are known."""
    if edition not in known:
        raise EditionError(f"edition {edition!r} is not known here; allowed: {', '.join(map(str, known))}")
    return edition


def by_edition(values: Mapping[int, T], edition: int) -> T:
    """The value in force in `edition`: keys are the edition from which a value holds.

    Raises EditionError when every key is later than `edition` (the rule is not in that edition).
    """
    held = [year for year in values if year <= edition]
    if not held:
        raise EditionError(f"no such rule in edition {edition}; it begins with {min(values)}")
    return values[max(held)]
