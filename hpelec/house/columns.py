"""What a column of the input is: the one description behind the reader, the docs, the starter and the error texts.

A record type (see `house.model`) is a frozen dataclass whose fields are made by the functions below; the unit is the
ending of the field's name, and the Python type of the field is the type of the value.
"""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass, field
from typing import Any

from hpelec.core.units import unit_of

REQUIRED = dataclasses.MISSING


@dataclass(frozen=True, slots=True)
class Column:
    """Meaning, unit, default, allowed values and limits of one input column."""

    name: str
    kind: str
    meaning: str
    unit: str | None
    required: bool
    default: Any
    allowed: tuple[Any, ...] = ()
    low: float = -math.inf
    high: float = math.inf
    above: float = -math.inf
    refers: str = ""
    assumed: bool = True

    @property
    def allowed_text(self) -> str:
        """What may stand in the cell, for an error text or the documentation."""
        if self.allowed:
            return ", ".join(str(a) for a in self.allowed)
        if self.refers:
            return f"an id from {self.refers}"
        limits = [
            f"> {self.above:g}" if self.above > -math.inf else "",
            f">= {self.low:g}" if self.low > -math.inf else "",
            f"<= {self.high:g}" if self.high < math.inf else "",
        ]
        words = {
            "number": "a number",
            "numbers": "a list of numbers, each",
            "whole": "a whole number",
            "flag": "yes, no",
            "id": "letters, digits, - and _",
            "text": "any text",
            "points": "corners as x,y; x,y; x,y",
            "day": "a day as 2031-05-20",
        }
        text = " and ".join([words[self.kind], *(limit for limit in limits if limit)])
        return f"{text} [{self.unit}]" if self.unit else text


def _made(kind: str, meaning: str, default: Any, **more: Any) -> Any:
    told: dict[str, Any] = {"kind": kind, "meaning": meaning, **more}
    return field(metadata={"column": told, "meaning": meaning}, default=default)


def key(meaning: str = "short unique name") -> Any:
    """A unique id within its table: letters, digits, - and _."""
    return _made("id", meaning, REQUIRED)


def text(meaning: str, default: Any = REQUIRED) -> Any:
    """Free text."""
    return _made("text", meaning, default, assumed=False)


def choice(allowed: tuple[Any, ...], meaning: str, default: Any = REQUIRED) -> Any:
    """One word (or whole number) of a fixed list."""
    return _made("choice", meaning, default, allowed=allowed)


def ref(table: str, meaning: str, default: Any = REQUIRED) -> Any:
    """The id of a row in another table; "" stands for none where a default is given."""
    return _made("ref", meaning, default, refers=table, assumed=False)


def flag(meaning: str, default: Any = REQUIRED) -> Any:
    """Yes or no."""
    return _made("flag", meaning, default)


def whole(meaning: str, default: Any = REQUIRED, *, low: float = 0, high: float = 1e6) -> Any:
    """A whole number within limits."""
    return _made("whole", meaning, default, low=low, high=high)


def number(
    meaning: str,
    default: Any = REQUIRED,
    *,
    low: float = -math.inf,
    high: float = math.inf,
    above: float = -math.inf,
) -> Any:
    """A number or quantity within limits; None as default means "may be left blank"."""
    return _made("number", meaning, default, low=low, high=high, above=above)


def numbers(meaning: str, default: tuple[float, ...], *, low: float, high: float) -> Any:
    """A list of numbers, each within limits."""
    return _made("numbers", meaning, default, low=low, high=high)


def day(meaning: str, default: Any = REQUIRED) -> Any:
    """A day of the calendar, written year-month-day."""
    return _made("day", meaning, default, assumed=False)


def points(meaning: str, default: Any = REQUIRED) -> Any:
    """Corners of an outline, written `0,0; 12,0; 12,9; 0,9` (feet, or with units)."""
    return _made("points", meaning, default, assumed=False)


def columns_of(record: type) -> tuple[Column, ...]:
    """The described columns of a record type, in order."""
    made = []
    for entry in dataclasses.fields(record):
        told = entry.metadata.get("column")
        if told is None:
            continue
        required = entry.default is REQUIRED
        made.append(
            Column(
                entry.name,
                unit=unit_of(entry.name),
                required=required,
                default=None if required else entry.default,
                **told,
            )
        )
    return tuple(made)
