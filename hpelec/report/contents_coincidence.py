"""Tables of what really runs together: loads, hours, levels, trips, sets of heaters."""

from __future__ import annotations

from hpelec.report.contents_base import Shown, words
from hpelec.report.tables import Column, Grid
from hpelec.steps.coincidence.cases import household, household_settings
from hpelec.steps.coincidence.present import present_above
from hpelec.steps.coincidence.words import period_words


class CoincidenceTables(Shown):
    """Tables of the step coincidence."""

    def use_of_loads(self) -> Grid:
        """Every load as it is taken to be used."""
        return self.grid(
            "How each load is taken to be used",
            self.plan.coincidence.loads,
            Column("Load", lambda r: r.name),
            Column("Current", lambda r: r.current_A, "A", 1),
            Column("Mean while on", lambda r: r.mean_current_A, "A", 1),
            Column("Runs a day", lambda r: None if r.always_on else r.starts_per_day, "", 2),
            Column("Minutes each", lambda r: None if r.always_on else r.run_min, "", 1),
            Column("Follows", lambda r: "always on" if r.always_on else words(r.follows)),
            Column("Interlock", lambda r: r.group),
            Column("Remark", lambda r: r.remark),
            Column("Use from", lambda r: r.citation),
        )

    def hours_of_day(self) -> Grid:
        """Total current by hour."""
        return self.grid(
            "Total current by hour of the day; p99 is passed for 1 % of the time",
            self.plan.coincidence.hours,
            Column("Hour", lambda r: f"{r.hour}:00"),
            Column("Mean", lambda r: r.mean_A, "A", 1),
            Column("p50", lambda r: r.p50_A, "A", 1),
            Column("p95", lambda r: r.p95_A, "A", 1),
            Column("p99", lambda r: r.p99_A, "A", 1),
            Column("p99.9", lambda r: r.p999_A, "A", 1),
        )

    def passed_levels(self) -> Grid:
        """How often and how long each level is passed."""
        return self.grid(
            "How often and how long the total is above a level",
            self.plan.coincidence.curve,
            Column("Above", lambda r: f"{r.level_A:g} A"),
            Column("Passed", lambda r: period_words(r.return_years)),
            Column("Currents rounded down", lambda r: period_words(r.return_years_rounded_down)),
            Column("Were the loads independent", lambda r: period_words(r.return_years_strangers)),
            Column("Hours a year", lambda r: r.hours_per_year, "", 3),
            Column("At least", lambda r: r.hours_per_year_at_least, "", 3),
            Column("Minutes each", lambda r: r.mean_min, "", 1),
        )

    def present(self) -> Grid:
        """What is on while the main is passed."""
        found, settings = self.plan.coincidence, self.plan.house.use_settings
        share, factor = household_settings(settings)
        rows = () if found.main_A is None else present_above(found.loads, household(share, factor), found.main_A)
        return self.grid(
            "What is on while the total is above the main: the largest loads",
            rows,
            Column("Load", lambda r: r.name),
            Column("Current", lambda r: r.current_A, "A", 1),
            Column("On, of all time", lambda r: f"{r.on_share:.1%}"),
            Column("On, of the time above the main", lambda r: f"{r.on_share_above:.1%}"),
        )

    def trips(self) -> Grid:
        """Overloads that last until the main trips."""
        return self.grid(
            "Overloads that the same loads hold until the main trips (totals reached once in 10,000 years or oftener)",
            self.plan.coincidence.trips,
            Column("Main", lambda r: r.breaker),
            Column("Times its rating", lambda r: r.multiple, "", 2),
            Column("Total", lambda r: r.level_A, "A", 0),
            Column("Trips within", lambda r: r.trip_min, "min", 1),
            Column("Happens", lambda r: period_words(r.return_years)),
        )

    def heater_sets(self) -> Grid:
        """Which heaters may run together."""
        return self.grid(
            "Water heaters at their full current together",
            self.plan.coincidence.sets,
            Column("Heaters", lambda r: " + ".join(r.heaters)),
            Column("Together", lambda r: r.together_A, "A", 1),
            Column("Hours a year", lambda r: r.hours_per_year, "", 1),
            Column("Left for the rest", lambda r: r.left_A, "A", 1),
            Column("All the rest", lambda r: r.rest_largest_A, "A", 1),
            Column("Rest is over that", lambda r: None if r.rest_over_share is None else f"{r.rest_over_share:.3%}"),
            Column("Panel leaves", lambda r: r.panel_left_A, "A", 1),
            Column("May they", lambda r: r.verdict),
        )
