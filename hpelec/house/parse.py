"""Texts to records, one row or section at a time, every problem kept: for the CSV reader and the editable tables."""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from hpelec.core.errors import InputProblem, UnitError, nearest
from hpelec.core.units import read_quantity
from hpelec.house.columns import Column, columns_of

YES, NO = ("yes", "true", "y", "1", "x"), ("no", "false", "n", "0")
_ID = re.compile(r"^[A-Za-z0-9][A-Za-z0-9_-]*$")
_DAY = re.compile(r"^\d{4}-\d{2}-\d{2}$")
LONGEST_CELL = 2000


@dataclass(slots=True)
class Parsed:
    """What came out of a set of rows: good records, problems, and how often each default was used."""

    records: list[Any] = field(default_factory=list)
    lines: list[int | None] = field(default_factory=list)
    problems: list[InputProblem] = field(default_factory=list)
    defaults: dict[str, int] = field(default_factory=dict)


def parse_rows(record: type, rows: Iterable[tuple[int | None, Mapping[str, Any]]], file: str) -> Parsed:
    """Turn rows (line number, cells by column name) into records of one type; ids must be unique."""
    out = Parsed()
    columns = columns_of(record)
    seen: dict[str, int | None] = {}
    for line, cells in rows:
        made, problems = parse_row(record, columns, cells, file, line, out.defaults)
        out.problems.extend(problems)
        if made is None:
            continue
        name = getattr(made, "id", None)
        if name is not None and name in seen:
            where = f"row {seen[name]}" if seen[name] is not None else "an earlier one"
            out.problems.append(
                InputProblem(file, line, "id", name, f"this id stands already in {where}", "a unique id")
            )
            continue
        if name is not None:
            seen[name] = line
        out.records.append(made)
        out.lines.append(line)
    return out


def parse_row(
    record: type,
    columns: tuple[Column, ...],
    cells: Mapping[str, Any],
    file: str,
    line: int | None,
    defaults: dict[str, int],
) -> tuple[Any | None, list[InputProblem]]:
    """One record, or None with the problems that stand in its way."""
    problems = []
    values: dict[str, Any] = {}
    for column in columns:
        raw = cells.get(column.name)
        blank = raw is None or (isinstance(raw, str) and not raw.strip())
        if blank and column.required:
            problems.append(InputProblem(file, line, column.name, "", "a value is needed", column.allowed_text))
        elif blank:
            values[column.name] = column.default
            if column.assumed and column.default is not None:
                defaults[column.name] = defaults.get(column.name, 0) + 1
        else:
            try:
                values[column.name] = parse_cell(column, raw)
            except _Bad as bad:
                problems.append(
                    InputProblem(file, line, column.name, _shown(raw), bad.problem, column.allowed_text, bad.suggestion)
                )
    return (None if problems else record(**values)), problems


def _shown(raw: Any) -> str:
    text = str(raw)
    return text if len(text) <= 80 else text[:77] + "..."


class _Bad(Exception):
    def __init__(self, problem: str, suggestion: str = "") -> None:
        self.problem, self.suggestion = problem, suggestion


def parse_cell(column: Column, raw: Any) -> Any:
    """One cell as the column's value."""
    if isinstance(raw, str) and len(raw) > LONGEST_CELL:
        raise _Bad(f"the text is longer than {LONGEST_CELL} characters")
    return _PARSERS[column.kind](column, raw)


def _text(_column: Column, raw: Any) -> str:
    if not isinstance(raw, str | int | float) or isinstance(raw, bool):
        raise _Bad("a text is wanted")
    return str(raw).strip()


def _id(column: Column, raw: Any) -> str:
    text = _text(column, raw)
    if not _ID.match(text):
        raise _Bad("not a usable id")
    return text


def _flag(_column: Column, raw: Any) -> bool:
    if isinstance(raw, bool):
        return raw
    word = str(raw).strip().lower()
    if word in YES:
        return True
    if word in NO:
        return False
    raise _Bad("not yes or no", nearest(word, ("yes", "no")))


def _number(column: Column, raw: Any) -> float:
    if isinstance(raw, bool):
        raise _Bad("a number is wanted, not yes or no")
    if isinstance(raw, int | float):
        value = float(raw)
    elif column.unit:
        try:
            value = read_quantity(str(raw), column.unit)
        except UnitError as error:
            raise _Bad(str(error)) from None
    else:
        value = _plain_number(raw, "not a number")
    _limit(column, value)
    return value


def _plain_number(raw: Any, said: str) -> float:
    """A number as people write it; Python would also take 1_000."""
    try:
        return float(str(raw).strip().replace("_", "?"))
    except ValueError:
        raise _Bad(said) from None


def _limit(column: Column, value: float) -> None:
    if not math.isfinite(value):
        raise _Bad("not a finite number")
    if value < column.low or value > column.high or value <= column.above:
        raise _Bad("outside the limits")


def _whole(column: Column, raw: Any) -> int:
    value = float("nan") if isinstance(raw, bool) else _plain_number(raw, "not a whole number")
    if not math.isfinite(value) or value != int(value):
        raise _Bad("not a whole number")
    _limit(column, value)
    return int(value)


def _choice(column: Column, raw: Any) -> Any:
    kind = type(column.allowed[0])
    if kind is str:
        word = str(raw).strip().lower().replace(" ", "_")
        exact = [a for a in column.allowed if a.lower().replace(" ", "_") == word]
        if exact:
            return exact[0]
        raise _Bad("not one of the words allowed", nearest(word, column.allowed))
    value = _number(column, raw) if column.unit else _whole(column, raw)
    if kind(value) not in column.allowed:
        raise _Bad("not one of the values allowed")
    return kind(value)


def _numbers(column: Column, raw: Any) -> tuple[float, ...]:
    parts = raw if isinstance(raw, list | tuple) else str(raw).split()
    if not parts and column.default != ():
        raise _Bad("an empty list")
    return tuple(_number(column, p) for p in parts)


def _day(_column: Column, raw: Any) -> str:
    text = _text(_column, raw)
    try:
        if not _DAY.match(text):
            raise ValueError
        datetime.date.fromisoformat(text)
    except ValueError:
        raise _Bad("not a day of the calendar") from None
    return text


def _points(_column: Column, raw: Any) -> tuple[tuple[float, float], ...]:
    if isinstance(raw, str):
        pairs = [p.split(",") for p in raw.split(";") if p.strip()]
    elif isinstance(raw, list | tuple):
        pairs = [list(p) for p in raw]
    else:
        raise _Bad("corners are wanted")
    corners = []
    for pair in pairs:
        if len(pair) != 2:
            raise _Bad(f"{','.join(map(str, pair))!r} is not a corner x,y")
        try:
            corners.append((read_quantity(str(pair[0]), "ft"), read_quantity(str(pair[1]), "ft")))
        except UnitError as error:
            raise _Bad(str(error)) from None
    if len(corners) < 3:
        raise _Bad("an outline needs three corners or more")
    return tuple(corners)


_PARSERS = {
    "text": _text,
    "id": _id,
    "ref": _text,
    "flag": _flag,
    "number": _number,
    "whole": _whole,
    "choice": _choice,
    "numbers": _numbers,
    "points": _points,
    "day": _day,
}


def cell_text(value: Any) -> str:
    """A value as the writer puts it into a CSV cell; `parse_cell` gives the same value back."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return repr(int(value)) if value == int(value) and abs(value) < 1e15 else repr(value)
    if isinstance(value, tuple):
        if value and isinstance(value[0], tuple):
            return "; ".join(",".join(cell_text(c) for c in corner) for corner in value)
        return " ".join(cell_text(v) for v in value)
    return str(value)
