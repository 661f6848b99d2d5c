"""The working of a number: the lines that a careful person would write on paper."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from hpelec.core.citing import OUR_OWN, Citation, cite


@dataclass(frozen=True, slots=True)
class Line:
    """One line of working: what, the expression with its numbers, the value, its unit, the rule it follows."""

    what: str
    expression: str
    value: float
    unit: str
    citation: Citation = OUR_OWN

    def __str__(self) -> str:
        """`what = expression = value unit   (source)`."""
        return f"{self.what} = {self.expression} = {show_number(self.value)} {self.unit}   ({self.citation})"


def line(
    what: str,
    expression: str,
    value: float,
    unit: str,
    by: Callable[..., Any] | Citation = OUR_OWN,
    edition: int | None = None,
) -> Line:
    """A line of working; `by` is the rule function used, or a table row's citation."""
    citation = by if isinstance(by, Citation) else cite(by, edition)
    return Line(what, expression, float(value), unit, citation)


def show_number(value: float) -> str:
    """A number as a person writes it: thousands apart, no more than four significant decimals."""
    if value == int(value) and abs(value) < 1e15:
        return f"{int(value):,}"
    digits = 1 if abs(value) >= 1000 else 2 if abs(value) >= 10 else 4
    return f"{value:,.{digits}f}".rstrip("0").rstrip(".") or "0"


def written(lines: Iterable[Line]) -> str:
    """The working as plain text, one line each."""
    return "\n".join(str(entry) for entry in lines)
