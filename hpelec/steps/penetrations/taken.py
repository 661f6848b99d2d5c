"""Sizes that this step takes where the house does not say them."""

from __future__ import annotations

from hpelec.core.tables import table


def taken(item: str) -> float:
    """Value of an item of air/taken_sizes; its unit is the end of its name."""
    return table("air/taken_sizes").one(item=item).number("value")
