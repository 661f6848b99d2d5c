"""Result types: every field tells its meaning, and JSON, JSON Schema and tables are made from that alone."""

from __future__ import annotations

import dataclasses
import math
import types
import typing
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING, Any, ClassVar

from hpelec.core.findings import Assumption, Finding
from hpelec.core.working import Line

if TYPE_CHECKING:
    import pandas as pd

JSON_DIGITS = 10
"""Significant digits of a number in the JSON: enough for any use, the same on every machine."""


def told(meaning: str, **kwargs: Any) -> Any:
    """A dataclass field with its meaning; the unit stands in the field's name."""
    return field(metadata={"meaning": meaning}, **kwargs)


@dataclass(frozen=True, slots=True, kw_only=True)
class StepResult:
    """What every step returns beside its own numbers; `main` names the field that is its table."""

    main: ClassVar[str] = ""

    edition: int = told("edition of NFPA 70 used")
    working: tuple[Line, ...] = told("lines of working, in order", default=())
    findings: tuple[Finding, ...] = told("what the rules say about this design", default=())
    assumptions: tuple[Assumption, ...] = told("values the step took for the user", default=())


def frame(rows: Sequence[Any]) -> pd.DataFrame:
    """A pandas table of frozen dataclass rows: a column a field; nested rows become their text."""
    import pandas as pd

    if not rows:
        return pd.DataFrame()
    names = [f.name for f in dataclasses.fields(rows[0])]
    return pd.DataFrame([[_cell(getattr(row, name)) for name in names] for row in rows], columns=names)


def _cell(value: Any) -> Any:
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, tuple):
        return ", ".join(str(_cell(v)) for v in value)
    if dataclasses.is_dataclass(value):
        return str(value)
    return value


def as_json(value: Any) -> Any:
    """Plain JSON data of a result: dataclasses to objects, tuples to lists, floats to JSON_DIGITS digits."""
    if isinstance(value, Enum):
        return value.value
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {f.name: as_json(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {str(k): as_json(v) for k, v in value.items()}
    if isinstance(value, tuple | list | frozenset):
        return [as_json(v) for v in (sorted(value, key=str) if isinstance(value, frozenset) else value)]
    if isinstance(value, float):
        if not math.isfinite(value):
            raise ValueError(f"{value!r} has no JSON form; a result says None where there is no number")
        return float(f"{value:.{JSON_DIGITS}g}")
    return value


def json_schema(of: Any, meaning: str = "") -> dict[str, Any]:
    """JSON Schema of a type as `as_json` writes it."""
    schema = _schema_of(of)
    if meaning:
        schema["description"] = meaning
    return schema


_PLAIN: dict[Any, str] = {str: "string", bool: "boolean", int: "integer", float: "number", type(None): "null"}


def _schema_of(of: Any) -> dict[str, Any]:
    if of in _PLAIN:
        return {"type": _PLAIN[of]}
    if isinstance(of, type) and issubclass(of, Enum):
        return {"enum": [member.value for member in of]}
    if dataclasses.is_dataclass(of):
        return _schema_of_class(typing.cast(type, of))
    origin, args = typing.get_origin(of), typing.get_args(of)
    if origin in (tuple, frozenset):
        return {"type": "array"} | _items(args if origin is tuple else (*args, ...))
    if origin in (typing.Union, types.UnionType):
        return {"anyOf": [json_schema(a) for a in args]}
    if origin is dict or origin is Mapping:
        return {"type": "object", "additionalProperties": json_schema(args[1])}
    raise TypeError(f"no JSON form for {of!r}")


def _items(args: tuple[Any, ...]) -> dict[str, Any]:
    """Schema of the items of tuple[X, ...], which are alike, or of tuple[X, Y], which stand in order."""
    if args[-1] is Ellipsis:
        return {"items": json_schema(args[0])}
    return {"prefixItems": [json_schema(a) for a in args], "minItems": len(args), "maxItems": len(args)}


def _schema_of_class(of: type) -> dict[str, Any]:
    hints = typing.get_type_hints(of)
    fields = dataclasses.fields(of)
    return {
        "type": "object",
        "properties": {f.name: json_schema(hints[f.name], f.metadata.get("meaning", "")) for f in fields},
        "required": [f.name for f in fields],
        "additionalProperties": False,
    }
