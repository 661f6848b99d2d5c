"""Tables of the report on the size of the service: thresholds, single changes, mains, what could still be added."""

from __future__ import annotations

from functools import cached_property

from hpelec.core.findings import Verdict
from hpelec.report.contents_base import Shown, words
from hpelec.report.service_sizing_drawing import WORTH_VA
from hpelec.report.tables import Column, Grid, verdict_mark
from hpelec.study.additions import additions, largest_additions
from hpelec.study.single_changes import ChangeResult, crossing_changes, single_changes

MOST_ROWS, MOST_NAMED = 14, 5


class SizingTables(Shown):
    """Tables of the thresholds of the service and of what could still be added."""

    @cached_property
    def _changes(self) -> tuple[ChangeResult, ...]:
        return single_changes(self.plan)

    def thresholds(self) -> Grid:
        """Every load at which equipment changes, with the single changes that cross it."""
        crossing = {c.threshold: list(c.changes) for c in crossing_changes(self.plan, self._changes)}
        for added in additions(self.plan):
            for threshold in added.crosses:
                crossing[threshold].append(f"add {added.id}")
        return self.grid(
            "Loads at which equipment changes, and the single changes that bring the load across them",
            self.plan.service.thresholds,
            Column("What", lambda r: r.what),
            Column("Up to", lambda r: r.at_A, "A", 0),
            Column("Needs up to there", lambda r: r.within),
            Column("Needs above", lambda r: r.beyond),
            Column("Distance of the load", lambda r: r.distance_A, "A", 1),
            Column("Distance", lambda r: r.distance_VA, "VA", 0),
            Column("The load is", lambda r: "above" if r.crossed else "within"),
            Column("Single changes that cross it", lambda r: "; ".join(crossing[r.id][:MOST_NAMED]) or "none alone"),
            Column("Rule", lambda r: self.number(r.citation)),
        )

    def single_changes(self) -> Grid:
        """Every single change that saves load, each calculated anew."""
        saving = [c for c in self._changes if c.saves_VA >= WORTH_VA]
        return self.grid(
            f"Single changes that save most, each calculated anew ({len(saving)} save load, at most {MOST_ROWS} shown)",
            saving[:MOST_ROWS],
            Column("Change", lambda r: r.what),
            Column("Kind", lambda r: r.kind),
            Column("Saves", lambda r: r.saves_VA, "VA", 0),
            Column("Saves", lambda r: r.saves_A, "A", 1),
            Column("Load then", lambda r: r.load_A, "A", 1),
            Column("Rating then", lambda r: r.rating_A, "A", 0),
            Column("Crosses", lambda r: "; ".join(r.crosses)),
            Column("Asks for", lambda r: r.asks),
            Column("Source", lambda r: r.citation),
        )

    def mains(self) -> Grid:
        """The service disconnects."""
        return self.grid(
            "Service disconnects",
            self.plan.service.mains,
            Column("Main", lambda r: r.name),
            Column("Rating", lambda r: r.main_A, "A", 0),
            Column("Three hours or more", lambda r: r.continuous_A, "A", 0),
            Column("Most that can be behind it", lambda r: r.most_A, "A", 1),
            Column("Carries it", lambda r: "cannot say" if r.carries is None else r.carries),
        )

    def still_added(self) -> Grid:
        """Largest load of each kind that still fits, by the load calculation."""
        return self.grid(
            "What could still be added to the service proposed: the largest circuit of each kind by itself",
            largest_additions(self.plan),
            Column("Kind", lambda r: words(r.kind)),
            Column("Largest circuit", lambda r: r.circuit_A if r.circuit_A else "none fits", "A", 0),
            Column("Its load", lambda r: r.power_VA, "VA", 0),
            Column("Adds by the load calculation", lambda r: r.adds_A, "A", 1),
            Column("Then left", lambda r: r.left_A, "A", 1),
        )

    def future_loads(self) -> Grid:
        """Loads of future.csv, each calculated anew."""
        return self.grid(
            "Loads wished for later, each calculated anew with the house",
            additions(self.plan),
            Column("Load", lambda r: r.id),
            Column("What", lambda r: r.what),
            Column("Adds", lambda r: r.adds_A, "A", 1),
            Column("Load then", lambda r: r.load_A, "A", 1),
            Column("Left of the rating proposed", lambda r: r.left_A, "A", 1),
            Column("Fits", lambda r: verdict_mark(Verdict.MEETS if r.fits else Verdict.MISSES)),
            Column("Rating then", lambda r: r.rating_A, "A", 0),
        )

    def source_room(self) -> Grid:
        """Room for solar and storage."""
        return self.grid(
            "Room for solar and storage, by place and way of connection",
            self.plan.service.sources,
            Column("Place", lambda r: r.place),
            Column("Way", lambda r: r.way),
            Column("Bus", lambda r: r.bus_A, "A", 0),
            Column("Main", lambda r: r.main_A, "A", 0),
            Column("Taken by sources", lambda r: r.taken_A, "A", 1),
            Column("Output that still fits", lambda r: r.source_A, "A", 1),
            Column("Largest breaker", lambda r: r.breaker_A, "A", 0),
            Column("Output", lambda r: r.power_VA, "VA", 0),
            Column("Remark", lambda r: r.remark),
            Column("Rule", lambda r: self.number(r.citation)),
        )
