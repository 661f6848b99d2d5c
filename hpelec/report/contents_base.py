"""What all tables of the report share: units, names of rooms, numbers of sources."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from markupsafe import Markup

from hpelec.core.citing import Citation
from hpelec.core.units import show_quantity
from hpelec.plan import Plan
from hpelec.report.sources import sources
from hpelec.report.tables import Column, Grid, numbered, plain_number
from hpelec.report.tables import grid as table_of
from hpelec.steps.airtightness.model import Spread


def words(text: str) -> str:
    """A word of the input as people write it."""
    return text.replace("_", " ")


@dataclass(frozen=True)
class Shown:
    """A plan as its tables show it: in the units of its house, rooms by name, sources by number."""

    plan: Plan

    @cached_property
    def source_numbers(self) -> dict[Citation, int]:
        """Each source of the plan and its number in the list of sources."""
        return {citation: i for i, (citation, _) in enumerate(sources(self.plan), 1)}

    @property
    def metric(self) -> bool:
        """Show metric units."""
        return bool(self.plan.house.general.show_metric)

    def grid(self, caption: str, rows: Any, *columns: Column) -> Grid:
        """A table of rows in the units of the house."""
        return table_of(caption, rows, columns, metric=self.metric)

    def spread(self, leak: Spread) -> str:
        """A leakage at 50 Pa as `best (low to high)`."""
        best, low, high = (
            plain_number(v, "cfm50", metric=self.metric, digits=2)
            for v in (leak.best_cfm50, leak.low_cfm50, leak.high_cfm50)
        )
        return f"{best} ({low} to {high})"

    def number(self, citation: Citation) -> Markup:
        """The number of a source in the list of sources, for tables where its name would take too much room."""
        return numbered(self.source_numbers[citation], citation.accuracy)

    def set_out(self, length_ft: float | None) -> str:
        """A length as it is measured on site."""
        return "" if length_ft is None else show_quantity(length_ft, "ft", metric=self.metric, digits=2)

    def room(self, room: str) -> str:
        """Name of a room; "outdoors" for none."""
        names = {r.id: r.name or r.id for r in self.plan.house.rooms}
        return names.get(room, room) or "outdoors"
