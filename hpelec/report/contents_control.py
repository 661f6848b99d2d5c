"""Tables of control and of the comparison of methods."""

from __future__ import annotations

from hpelec.report.contents_base import Shown, words
from hpelec.report.tables import Column, Grid
from hpelec.steps.coincidence.set_points import set_point_rows
from hpelec.steps.coincidence.words import period_words


class ControlTables(Shown):
    """Tables of what control does, and of other ways to count."""

    def held_loads(self) -> Grid:
        """What energy managements hold back."""
        return self.grid(
            "What each energy management holds back in a year",
            self.plan.coincidence.control.held,
            Column("Load", lambda r: r.load),
            Column("Under", lambda r: r.management),
            Column("Priority", lambda r: str(r.priority)),
            Column("Asks for", lambda r: r.asked_kWh, "kWh", 0),
            Column("Without, hours", lambda r: r.held_min / 60, "", 1),
            Column("Turned down, hours", lambda r: r.limited_min / 60, "", 1),
            Column("Held back", lambda r: r.held_kWh, "kWh", 0),
            Column("Made up", lambda r: "later" if r.later else "never"),
            Column("Never gets", lambda r: r.not_made_up_kWh, "kWh", 0),
            Column("Water colder, mean", lambda r: r.lost_dF, "dF", 1),
            Column("At worst", lambda r: r.most_lost_dF, "dF", 1),
        )

    def locked_loads(self) -> Grid:
        """What interlocks cost."""
        return self.grid(
            "What each load of an interlock loses in a year",
            self.plan.coincidence.control.locked,
            Column("Load", lambda r: r.load),
            Column("Interlock", lambda r: r.group),
            Column("Current", lambda r: r.current_A, "A", 1),
            Column("Would run, hours", lambda r: r.asked_min / 60, "", 1),
            Column("Lost to the others, hours", lambda r: r.lost_min / 60, "", 2),
            Column("Lost", lambda r: r.lost_kWh, "kWh", 1),
            Column("Lost, if by priority, hours", lambda r: r.lost_by_priority_min / 60, "", 2),
        )

    def controlled_levels(self) -> Grid:
        """Hours above each level, with more and more control."""
        return self.grid(
            "Hours a year above a level, with more and more control",
            self.plan.coincidence.control.levels,
            Column("Above", lambda r: f"{r.level_A:g} A"),
            Column("No control", lambda r: r.free_hours, "", 3),
            Column("Interlocks", lambda r: r.locked_hours, "", 3),
            Column("And set points", lambda r: r.controlled_hours, "", 3),
            Column("Energy made up", lambda r: r.caught_up_hours, "", 3),
            Column("Passed without control", lambda r: period_words(r.free_return_years)),
            Column("Passed with control", self._controlled_words),
        )

    def _controlled_words(self, row: object) -> str:
        years, hours, level = (getattr(row, n) for n in ("controlled_return_years", "controlled_hours", "level_A"))
        set_A = self.plan.coincidence.control.service_set_A
        if years is None and set_A is not None and level <= set_A and hours > 0:
            return "not worked out"
        return period_words(years)

    def set_points(self) -> Grid:
        """What a set point on the whole service would ask."""
        return self.grid(
            "What a set point on the whole service would ask of the loads that can wait",
            set_point_rows(self.plan.house, self.plan.coincidence),
            Column("Set point", lambda r: r.set_A, "A", 0),
            Column("Largest total", lambda r: r.largest_A, "A", 0),
            Column("p99", lambda r: r.p99_A, "A", 1),
            Column("Other loads above it, hours a year", lambda r: r.over_hours, "", 3),
            Column("Held back or turned down, hours a year", lambda r: r.held_min / 60, "", 1),
            Column("Energy that waits", lambda r: r.held_kWh, "kWh", 0),
        )

    def recoveries(self) -> Grid:
        """Storage heaters after an outage."""
        return self.grid(
            "Storage heaters after an outage, all tanks cold",
            self.plan.coincidence.control.recovery,
            Column("Heater", lambda r: r.heater),
            Column("Priority", lambda r: str(r.priority)),
            Column("Current", lambda r: r.current_A, "A", 1),
            Column("Hot after, all at once", lambda r: r.alone_h, "h", 1),
            Column("Hot after, one after another", lambda r: r.hot_after_h, "h", 1),
        )

    def taken_off(self) -> Grid:
        """What each edition lets one take off."""
        meanings = {
            "larger_only": "only the larger of the loads counts",
            "set_point": "the set point stands for the loads it limits, as a continuous load",
            "nothing": "nothing",
        }
        return self.grid(
            "What the code lets one take off for a control",
            self.plan.coincidence.control.taken_off,
            Column("Edition", lambda r: str(r.edition)),
            Column("Control", lambda r: words(r.means)),
            Column("What counts", lambda r: meanings[r.counts]),
            Column("Here at most, before demand factors", lambda r: r.at_most_A, "A", 1),
            Column("Source", lambda r: r.citation),
        )

    def flow_methods(self) -> Grid:
        """Methods for hot-water flow."""
        return self.grid(
            "Hot-water flow of the house by method",
            self.plan.coincidence.methods.flows,
            Column("Method", lambda r: r.method),
            Column("Flow", lambda r: r.flow_gpm, "gpm", 2),
            Column("What it is for", lambda r: r.use),
            Column("Remark", lambda r: r.remark),
            Column("Source", lambda r: r.citation),
        )

    def current_methods(self) -> Grid:
        """Methods for current."""
        return self.grid(
            "Current at the main by method",
            self.plan.coincidence.methods.currents,
            Column("Method", lambda r: r.method),
            Column("Current", lambda r: r.current_A, "A", 1),
            Column("What it is for", lambda r: r.use),
            Column("Remark", lambda r: r.remark),
            Column("Source", lambda r: r.citation),
        )
