"""The error tree: bad input, a rule outside its range, an unfit published table.

A bad *design* is never an exception; it is a `core.findings.Finding`.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import ClassVar


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


class ExtraError(HpelecError):
    """An optional package that the task needs is not installed."""


class ModelError(HpelecError, ValueError):
    """A building model cannot be read, or holds nothing that can be taken."""


Outline = tuple[tuple[float, float], ...]
"""Corners in plan feet; two of them are a stretch of wall, one a place."""


@dataclass(frozen=True, slots=True)
class Sketch:
    """The place of a problem on the plan: the level, the rooms near it by name, and what is wrong, marked."""

    level: str
    rooms: tuple[tuple[str, Outline], ...]
    marks: tuple[tuple[str, Outline], ...]


@dataclass(frozen=True, slots=True)
class InputProblem:
    """One thing wrong in a house folder: where, what was found, what is allowed, the nearest good value.

    about: id of the row it is told of, "" when there is none. sketch: its place on the plan, where it has one.
    """

    file: str
    row: int | None
    column: str
    value: str
    problem: str
    allowed: str = ""
    suggestion: str = ""
    about: str = ""
    sketch: Sketch | None = field(default=None, compare=False, repr=False)

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
    """All problems of a house folder at once.

    shown_by: what a notebook does with the pictures of the problems; set by `hpelec.screens`.
    """

    shown_by: ClassVar[Callable[[InputErrors], None] | None] = None

    def __init__(self, problems: Sequence[InputProblem]) -> None:
        self.problems = tuple(problems)
        self._shown = False
        count = len(self.problems)
        head = f"{count} problem{'s' if count != 1 else ''} in the house folder"
        super().__init__("\n".join([head, *(f"  {p}" for p in self.problems)]))

    def _render_traceback_(self) -> list[str]:
        """What a notebook prints in place of a traceback: the problems (IPython calls this, more than once)."""
        show = type(self).shown_by
        if show is not None and not self._shown:
            self._shown = True
            show(self)
        return str(self).splitlines()


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
