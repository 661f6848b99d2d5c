"""Single published values of the topic, by name, with where each comes from."""

from __future__ import annotations

from functools import cache

from hpelec.core.citing import Citation
from hpelec.core.tables import Row, table


@cache
def _row(name: str) -> Row:
    return table("hotwater/values").one(name=name)


@cache
def value(name: str) -> float:
    """The value of that name in the unit that its row states; TableError for a name that is not there."""
    return _row(name).number("value")


def source(name: str) -> Citation:
    """Where that value comes from."""
    return _row(name).citation
