"""Tables of other buildings and second dwellings that the service feeds."""

from __future__ import annotations

from hpelec.report.contents_base import Shown, words
from hpelec.report.tables import Column, Grid


class BuildingTables(Shown):
    """The feeder of each other building, and the lines behind it."""

    def buildings(self) -> Grid:
        """One row a building: load, neutral, least breaker and disconnect, what the service counts for it."""
        return self.grid(
            "Other buildings and second dwellings, each by its own calculation",
            self.plan.loads.buildings,
            Column("Building", lambda r: r.name),
            Column("Kind", lambda r: words(r.kind)),
            Column("Method", lambda r: r.chosen),
            Column("Load", lambda r: r.demand_VA, "VA", 0),
            Column("Current", lambda r: r.demand_A, "A", 1),
            Column("Neutral", lambda r: r.neutral_A, "A", 1),
            Column("Least breaker", lambda r: r.feeder_least_A, "A", 0),
            Column("Least disconnect", lambda r: r.disconnect_least_A, "A", 0),
            Column("Feeder given", lambda r: r.feeder_rating_A, "A", 0),
            Column(
                "At the service",
                lambda r: "its rows one by one" if r.service_VA is None else f"{r.service_VA:,.0f} VA in full",
            ),
        )

    def building_lines(self) -> Grid:
        """Every line of each building's own method."""
        return self.grid(
            "Lines of each building's own calculation",
            [(b.name, line) for b in self.plan.loads.buildings for line in b.lines],
            Column("Building", lambda r: r[0]),
            Column("What", lambda r: r[1].what),
            Column("Connected", lambda r: r[1].connected_VA, "VA", 0),
            Column("Factor", lambda r: r[1].factor, "", 2),
            Column("Demand", lambda r: r[1].demand_VA, "VA", 0),
            Column("Neutral", lambda r: r[1].neutral_VA, "VA", 0),
            Column("Remark", lambda r: r[1].remark),
            Column("Rule", lambda r: r[1].citation),
        )
