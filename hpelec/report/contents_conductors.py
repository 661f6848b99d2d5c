"""Tables of the report on conductors: the ampacity chain of each, and how far each may run."""

from __future__ import annotations

from itertools import groupby

from hpelec.report.contents_base import Shown
from hpelec.report.tables import Column, Grid
from hpelec.steps.service.model_conductors import BranchRun, ConductorWorking, Run

METALS = {"cu": "copper", "al": "aluminum"}


def _fahrenheit(temperature_C: float) -> float:
    """Temperatures are shown from Fahrenheit, the unit that the tables convert."""
    return temperature_C * 1.8 + 32


def _conductor(row: ConductorWorking | Run) -> str:
    sets = f"{row.sets} x " if row.sets > 1 else ""
    return f"{sets}{row.size} {METALS[row.material]}"


class ConductorTables(Shown):
    """Tables of what stands behind the sizes of the supply conductors."""

    def chains(self) -> Grid:
        """The ampacity of each conductor, link by link."""
        return self.grid(
            "Ampacity of the supply conductors, link by link",
            self.plan.service.chains,
            Column("Part", lambda r: r.part),
            Column("Conductor", _conductor),
            Column("Insulation", lambda r: f"{r.insulation_C} C", css="nowrap"),
            Column("Base", lambda r: r.base_A, "A", 0),
            Column("Air round it", lambda r: _fahrenheit(r.ambient_C), "F", 0),
            Column("Heat factor", lambda r: r.ambient_factor, "", 2),
            Column("Loaded", lambda r: r.conductors, "", 0),
            Column("Number factor", lambda r: r.count_factor, "", 2),
            Column("Corrected", lambda r: r.corrected_A, "A", 1),
            Column("Cable limit", lambda r: r.cap_A, "A", 0),
            Column("Terminals", lambda r: f"{r.terminal_A:g}, {r.terminal_C} C", css="nowrap"),
            Column("Allowed, all sets", lambda r: r.total_A, "A", 1),
            Column("Needed", lambda r: r.required_A, "A", 1),
            Column("Proposed", lambda r: r.chosen),
        )

    def protections(self) -> Grid:
        """Why the device of each conductor may protect it."""
        return self.grid(
            "Why the device may protect the supply conductors",
            self.plan.service.chains,
            Column("Part", lambda r: r.part),
            Column("Conductor", _conductor),
            Column("Proposed", lambda r: r.chosen),
            Column("Device", lambda r: r.device_A, "A", 0),
            Column("Allowed", lambda r: r.total_A, "A", 1),
            Column("Because", lambda r: r.protected_by),
            Column("Table of dwelling services", lambda r: r.table_size),
            Column("Smaller by the next size up, for a load within its ampacity", lambda r: r.next_size_up),
        )

    def runs(self) -> Grid:
        """Drop over the length, size for the limit, length for both."""
        return self.grid(
            "Voltage drop of the supply solved three ways: drop of the size, smallest size, longest run",
            self.plan.service.runs,
            Column("Part", lambda r: r.part),
            Column("Conductor", _conductor),
            Column("Current", lambda r: r.current_A, "A", 1),
            Column("One way", lambda r: r.length_ft, "ft", 0),
            Column("Drop", lambda r: r.drop_V, "V", 2),
            Column("Drop", lambda r: r.drop_percent, "percent", 2),
            Column("Limit wanted", lambda r: r.limit_percent, "percent", 1),
            Column("Smallest size for the drop alone", lambda r: r.smallest_size),
            Column("Longest run of this size", lambda r: r.longest_ft, "ft", 1),
        )

    def branch_runs(self) -> Grid:
        """Longest runs of branch circuits, a row a voltage and size."""
        rows = [list(group) for _, group in groupby(self.plan.service.branch_runs, lambda r: (r.voltage_V, r.size))]
        limit = f"{rows[0][0].limit_percent:g}" if rows else ""
        return self.grid(
            f"How far a copper branch circuit may run within a drop of {limit} %, by its load",
            rows,
            Column("Voltage", lambda r: r[0].voltage_V, "V", 0),
            Column("Size", lambda r: f"{r[0].size} AWG"),
            Column("Breaker", lambda r: r[0].breaker_A, "A", 0),
            *(column for i in range(3) for column in _at_load(i)),
        )


def _at_load(which: int) -> tuple[Column, Column]:
    def load_of(row: list[BranchRun]) -> float:
        return row[which].load_A

    def longest_of(row: list[BranchRun]) -> float:
        return row[which].longest_ft

    return Column("Load", load_of, "A", 1), Column("longest run", longest_of, "ft", 1)
