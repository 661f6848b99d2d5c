"""The error tree: bad input, a rule outside its range, an unfit published table.

A bad *design* is never an exception; it is a `core.findings.Finding`.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass


class HpelecError(Exception):
    """Root of every error that this library raises on purpose."""


class RangeError(HpelecError, ValueError):
    """A rule was asked for a value outside its valid range (NaN and infinity included)."""


class EditionError(HpelecError, ValueError):
    """The code edition is unknown, or has no such rule."""


class TableError(HpelecError):
    """A published table lacks a source, an accuracy word, or the row asked for."""


class UnitError(HpelecError, ValueError):
    """A text cannot be read as a quantity of the unit wanted."""


@dataclass(frozen=True, slots=True)
class InputProblem:
    """One thing wrong in a house folder: where, what was found, what is allowed, the nearest good value."""

    file: str
    row: int | None
    column: str
    value: str
    problem: str
    allowed: str = ""
    suggestion: str = ""

    def __str__(self) -> str:
        """One line a person can act on."""
        place = self.file
        if self.row is not None:
            place += f", row {self.row}"
        if self.column:
            place += f", column {self.column}"
        text = f"{place}: {self.problem}"
        if self.value:
            text += f" (got {self.value!r})"
        if self.allowed:
            text += f"; allowed: {self.allowed}"
        if self.suggestion:
            text += f"; did you mean {self.suggestion!r}?"
        return text


class InputErrors(HpelecError):
    """All problems of a house folder at once."""

    def __init__(self, problems: Sequence[InputProblem]) -> None:
        self.problems = tuple(problems)
        count = len(self.problems)
        head = f"{count} problem{'s' if count != 1 else ''} in the house folder"
        super().__init__("\n".join([head, *(f"  {p}" for p in self.problems)]))


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word closest to `word`, or "" when none is near."""
    lowered = {k.lower(): k for k in known}
    found = difflib.get_close_matches(word.strip().lower(), list(lowered), n=1, cutoff=0.6)
    return lowered[found[0]] if found else ""


def in_range(
    name: str, value: float, *, low: float = -math.inf, high: float = math.inf, above: float = -math.inf
) -> float:
    """Return `value`, or raise RangeError unless it is finite, `low <= value <= high` and `value > above`."""
    if not math.isfinite(value):
        raise RangeError(f"{name} must be a finite number, got {value!r}")
    if value < low or value > high or value <= above:
        bounds = [
            f"> {above:g}" if above > -math.inf else "",
            f">= {low:g}" if low > -math.inf else "",
            f"<= {high:g}" if high < math.inf else "",
        ]
        raise RangeError(f"{name} must be {' and '.join(b for b in bounds if b)}, got {value!r}")
    return value
