"""Tables of the step stages."""

from __future__ import annotations

from hpelec.report.contents_base import Shown
from hpelec.report.tables import Column, Grid


class StageTables(Shown):
    """Tables of temporary power."""

    def supplies_by_stage(self) -> Grid:
        """Each supply at each stage."""
        names = {x.id: x.name for x in self.plan.house.site_loads}
        return self.grid(
            "What each supply feeds at each stage",
            self.plan.stages.supplies,
            Column("Stage", lambda r: r.stage),
            Column("Supply", lambda r: r.supply),
            Column("Feeds", lambda r: "; ".join(names[x] for x in r.loads)),
            Column("Connected", lambda r: r.connected_VA, "VA", 0),
            Column("Counted", lambda r: r.counted_VA, "VA", 0),
            Column("Heavier leg", lambda r: r.leg_A, "A", 1),
            Column("Main", lambda r: r.rating_A, "A", 0),
            Column("Carries it", lambda r: "cannot say" if r.carries is None else r.carries),
        )

    def moves(self) -> Grid:
        """The order of moving."""
        return self.grid(
            "The change to the permanent service, step by step",
            self.plan.stages.moves,
            Column("Step", lambda r: r.order, "", 0),
            Column("What is done", lambda r: r.what),
            Column("Temporary after it", lambda r: r.temporary_A, "A", 1),
            Column("Permanent after it", lambda r: r.permanent_A, "A", 1),
            Column("Both carry it", lambda r: "cannot say" if r.carries is None else r.carries),
        )

    def site_rules(self) -> Grid:
        """Rules that only the people on site can keep."""
        return self.grid(
            "Rules that only the people on site can keep",
            self.plan.stages.site_rules,
            Column("Rule", lambda r: r.rule),
            Column("Source", lambda r: r.citation),
        )
