"""Tables of the air-barrier side of the report: holes, leakage, sealing."""

from __future__ import annotations

from itertools import groupby

from hpelec.core.units import convert
from hpelec.report.contents_base import Shown, words
from hpelec.report.tables import TICK_BOX, Column, Grid
from hpelec.steps.airtightness.model import HoleLeak
from hpelec.steps.sealing.model import SealItem


class AirTables(Shown):
    """Tables of the steps penetrations to sealing."""

    def _leak(self, leak: HoleLeak | None, which: str) -> str:
        return "" if leak is None else self.spread(getattr(leak, which))

    def surfaces(self) -> Grid:
        """Holes by surface."""
        return self.grid(
            "Holes by surface",
            self.plan.penetrations.surfaces,
            Column("Surface", lambda r: words(r.surface)),
            Column("Air-barrier layer", lambda r: r.layer),
            Column("Cable holes", lambda r: r.cable_holes, "", 0),
            Column("Boxes and luminaires", lambda r: r.box_holes, "", 0),
        )

    def holes(self) -> Grid:
        """Every hole with what it leaks."""
        tags = {i.hole: i.tag for i in self.plan.sealing.items}
        leaks = {leak.hole: leak for leak in self.plan.airtightness.leaks}
        flow = "L/s" if self.metric else "cfm"
        return self.grid(
            "Every hole in the air barrier; leakage at 50 Pa as best estimate (low to high)",
            self.plan.penetrations.holes,
            Column("Tag", lambda r: tags.get(r.id, "")),
            Column("Id", lambda r: r.id, css="fine"),
            Column("Room", lambda r: self.room(r.room)),
            Column("Surface", lambda r: words(r.surface)),
            Column("Layer", lambda r: r.layer),
            Column("Passes", lambda r: r.passes),
            Column("Diameter", lambda r: r.diameter_in, "in", 2),
            Column("Gap", lambda r: r.gap_mm, "mm", 1),
            Column("Made at", lambda r: r.made_at),
            Column("In reach until", lambda r: r.reach_until),
            Column(f"Unsealed [{flow}]", lambda r: self._leak(leaks.get(r.id), "unsealed"), css="nowrap"),
            Column("Source", lambda r: self.number(leaks[r.id].citation) if r.id in leaks else "", css="nowrap"),
            Column(f"Sealed [{flow}]", lambda r: self._leak(leaks.get(r.id), "sealed"), css="nowrap"),
            Column("Source", lambda r: self.number(leaks[r.id].sealed_citation) if r.id in leaks else "", css="nowrap"),
        )

    def fewer(self) -> Grid:
        """Ways to have fewer holes."""
        return self.grid(
            "Ways to have fewer holes",
            self.plan.penetrations.fewer,
            Column("Change", lambda r: r.what),
            Column("Holes saved", lambda r: r.holes_saved, "", 0),
            Column("What it takes", lambda r: r.how),
        )

    def totals(self) -> Grid:
        """Leakage sums against the target."""
        flow = "L/s" if self.metric else "cfm"
        area = "m3/h per m2" if self.metric else "cfm/ft2"
        per_area = 60 * convert(1, "ft3", "m3") / convert(1, "ft2", "m2") if self.metric else 1.0
        return self.grid(
            "Leakage at 50 Pa against the target",
            self.plan.airtightness.totals,
            Column("What", lambda r: r.what),
            Column(f"Leakage [{flow}], best (low to high)", lambda r: self.spread(r.leak)),
            Column("Air changes [1/h]", lambda r: r.best_ach50, "", 3),
            Column(f"Per envelope area [{area}]", lambda r: per_area * r.best_q50, "", 4),
            Column("Share of what the target allows", lambda r: r.share_percent, "percent", 1),
        )

    def seal_stages(self) -> list[tuple[str, Grid, Grid]]:
        """For each stage in order its title, its list of holes, and what to mind with the methods used."""
        items = sorted(self.plan.sealing.items, key=lambda i: (i.stage_number, i.order))
        made = []
        for (number, stage), group in groupby(items, key=lambda i: (i.stage_number, i.stage)):
            rows = list(group)
            title = f"Stage {number}: {words(stage)}"
            made.append((title, self._seal_list(words(stage), rows), self._seal_methods(words(stage), rows)))
        return made

    def _seal_list(self, stage: str, rows: list[SealItem]) -> Grid:
        return self.grid(
            f"To seal at this stage: {stage}",
            rows,
            Column("Tag", lambda r: r.tag, css="tag"),
            Column("Done", lambda _: TICK_BOX),
            Column("Room", lambda r: self.room(r.room)),
            Column("Surface", lambda r: words(r.surface)),
            Column("Layer", lambda r: r.layer),
            Column("What passes", lambda r: r.what),
            Column("How", lambda r: r.how),
            Column("Gap up to", lambda r: r.gap_limit_mm, "mm", 1),
            Column("Hold point", lambda r: r.hold_point),
            Column("Removes", lambda r: r.removes_cfm50, "cfm50", 2),
            Column("Source", lambda r: self.number(r.citation), css="nowrap"),
        )

    def _seal_methods(self, stage: str, rows: list[SealItem]) -> Grid:
        return self.grid(
            f"What to look at and to mind at this stage: {stage}",
            list({(r.how, r.check, r.caution): r for r in rows}.values()),
            Column("How", lambda r: r.how),
            Column("Look at", lambda r: r.check),
            Column("Mind", lambda r: r.caution),
        )

    def take_off(self) -> Grid:
        """Sealing material to buy."""
        return self.grid(
            "Sealing material",
            self.plan.sealing.take_off,
            Column("Item", lambda r: r.item),
            Column("Quantity", lambda r: r.quantity, "", 1),
            Column("Unit", lambda r: r.unit),
            Column("Basis", lambda r: r.basis),
            Column("Rule of quantity", lambda r: r.citation),
        )
