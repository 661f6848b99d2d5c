"""Tables of the report as plain data: heads, cells as text, which columns hold numbers."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from hpelec.core.citing import Citation
from hpelec.core.findings import Verdict
from hpelec.core.units import METRIC, show_quantity

NOTHING = "–"
SIGNS = {Verdict.MISSES: "✗", Verdict.CANNOT_SAY: "?", Verdict.MEETS: "✓"}


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its head, how to get the value from a row, and the unit of a number (a key of core.units.UNITS)."""

    head: str
    value: Callable[[Any], Any]
    unit: str = ""
    digits: int = 1
    css: str = ""


@dataclass(frozen=True, slots=True)
class Cell:
    """The text of a cell and how it is set."""

    text: str | Markup
    css: str = ""


@dataclass(frozen=True, slots=True)
class Grid:
    """A table ready to print; the first cell of each row is its head."""

    caption: str
    heads: tuple[Cell, ...]
    rows: tuple[tuple[Cell, ...], ...]


def grid(caption: str, rows: Iterable[Any], columns: Iterable[Column], *, metric: bool) -> Grid:
    """A table of rows. Units stand in the heads; blank values become a dash."""
    used = tuple(columns)
    body = tuple(tuple(_cell(column, column.value(row), metric) for column in used) for row in rows)
    numeric = [_is_numeric([row[i] for row in body]) for i in range(len(used))]
    heads = tuple(
        Cell(column.head + _unit_text(column.unit, metric), "number" if right else "")
        for column, right in zip(used, numeric, strict=True)
    )
    return Grid(caption, heads, tuple(tuple(map(_aligned, row, numeric)) for row in body))


def _is_numeric(cells: list[Cell]) -> bool:
    return any(c.css == "number" for c in cells) and all(c.css == "number" or c.text == NOTHING for c in cells)


def _aligned(cell: Cell, numeric: bool) -> Cell:
    return Cell(cell.text, "number") if numeric else cell


def _unit_text(unit: str, metric: bool) -> str:
    label = METRIC[unit][0] if metric and unit in METRIC else unit
    said = {"ach50": "1/h at 50 Pa", "cfm50": "cfm", "percent": "%"}.get(label, label)
    return f" [{said}]" if said else ""


def plain_number(value: float, unit: str, *, metric: bool, digits: int) -> str:
    """A number in the unit shown, without the unit (feet as decimals)."""
    if metric and unit in METRIC:
        return show_quantity(value, unit, metric=True, digits=digits).rsplit(" ", 1)[0]
    return f"{value:,.{digits}f}"


def _cell(column: Column, value: Any, metric: bool) -> Cell:
    if value is None or value in ("", ()):
        return Cell(NOTHING, column.css)
    if isinstance(value, float | int) and not isinstance(value, bool):
        return Cell(plain_number(value, column.unit, metric=metric, digits=column.digits), column.css or "number")
    if isinstance(value, Citation):
        return Cell(cited(value), "source")
    return Cell(_text(value), column.css)


def _text(value: Any) -> str | Markup:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ", ".join(str(v) for v in value)
    return value if isinstance(value, Markup) else str(value)


def cited(citation: Citation) -> Markup:
    """Source and place; a weaker accuracy than `published` is marked in words."""
    text = Markup("{}, {}").format(citation.source, citation.locator)
    return text if citation.accuracy == "published" else text + Markup(" ") + accuracy_mark(citation.accuracy)


def numbered(number: int, accuracy: str) -> Markup:
    """A source by its number in the list of sources, marked like `cited`."""
    text = Markup('<a href="#source-{0}">[{0}]</a>').format(number)
    return text if accuracy == "published" else text + Markup(" ") + accuracy_mark(accuracy)


def accuracy_mark(word: str) -> Markup:
    """The accuracy word; boxed where a reader has to be careful."""
    css = "mark strong" if word in ("memory", "common practice") else "mark"
    return Markup('<span class="{}">{}</span>').format(css, word)


def verdict_mark(verdict: Verdict) -> Markup:
    """A verdict as sign and word."""
    return Markup('<span class="verdict {}">{} {}</span>').format(
        verdict.name.lower().replace("_", "-"), SIGNS[verdict], verdict.value
    )


TICK_BOX = Markup('<span class="tick" role="img" aria-label="box to tick"></span>')
"""An empty box to tick by hand on paper."""
