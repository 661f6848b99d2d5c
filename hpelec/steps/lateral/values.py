"""Single values that this step takes from its tables, by name."""

from __future__ import annotations

from functools import cache

from hpelec.core.citing import Citation
from hpelec.core.tables import Row, table


@cache
def _row(name: str, item: str) -> Row:
    return table(name).one(item=item)


@cache
def value(item: str) -> float:
    """Value of an item of lateral/values."""
    return _row("lateral/values", item).number("value")


def value_citation(item: str) -> Citation:
    """Source of an item of lateral/values."""
    return _row("lateral/values", item).citation


@cache
def pulling(item: str) -> float:
    """Value of an item of lateral/pulling."""
    return _row("lateral/pulling", item).number("value")


def pulling_citation(item: str) -> Citation:
    """Source of an item of lateral/pulling."""
    return _row("lateral/pulling", item).citation
