"""Tables of panels: schedule, legs, multiwire circuits, cables by breaker, entry holes, drop by routed length."""

from __future__ import annotations

from functools import cached_property

from hpelec.report.contents_base import Shown
from hpelec.report.tables import Column, Grid
from hpelec.study.branch_drop import BranchDrop, branch_drops


class PanelTables(Shown):
    """Tables of the panels of the step circuits."""

    @cached_property
    def _drops(self) -> tuple[BranchDrop, ...]:
        return branch_drops(self.plan)

    def schedule(self, panel: str) -> Grid:
        """The schedule of one panel, space by space."""
        return self.grid(
            f"Schedule of panel {panel}: odd spaces left, even spaces right",
            [s for s in self.plan.circuits.slots if s.panel == panel],
            Column("Space", lambda r: r.space or "none left", css="nowrap"),
            Column("Side", lambda r: r.side),
            Column("Breaker", lambda r: f"{r.breaker_A:g} A, {r.poles} pole" if r.poles else "", css="nowrap"),
            Column("Circuit", lambda r: r.circuit),
            Column("Feeds", lambda r: r.name),
            Column("Leg", lambda r: r.leg, css="nowrap"),
            Column("Leg A", lambda r: r.leg_A_VA if r.poles else None, "VA", 0),
            Column("Leg B", lambda r: r.leg_B_VA if r.poles else None, "VA", 0),
            Column("Note", lambda r: r.note),
        )

    def balance(self) -> Grid:
        """Legs and spare spaces of the panels."""
        return self.grid(
            "Legs and spare spaces",
            self.plan.circuits.balance,
            Column("Panel", lambda r: r.panel),
            Column("Leg A", lambda r: r.leg_A_VA, "VA", 0),
            Column("Leg B", lambda r: r.leg_B_VA, "VA", 0),
            Column("Difference", lambda r: r.difference_VA, "VA", 0),
            Column("None can be below", lambda r: r.bound_VA, "VA", 0),
            Column("Proven the best", lambda r: r.proven),
            Column("Largest first, by hand", lambda r: r.by_hand_VA, "VA", 0),
            Column("Neutral", lambda r: r.neutral_A, "A", 2),
            Column("Spaces used", lambda r: r.spaces_used, "", 0),
            Column("Free", lambda r: r.spaces_free, "", 0),
            Column("Free share", lambda r: r.spare_percent, "percent", 0),
            Column("Spaces for the share wanted", lambda r: r.spaces_wanted, "", 0),
            Column("Usual size", lambda r: r.size_wanted, "", 0),
            Column("Tandems", lambda r: r.tandems, "", 0),
        )

    def pairs(self) -> Grid:
        """Multiwire branch circuits."""
        return self.grid(
            "Multiwire branch circuits",
            self.plan.circuits.pairs,
            Column("Panel", lambda r: r.panel),
            Column("Circuit", lambda r: r.first),
            Column("Circuit", lambda r: r.second),
            Column("Cable to the first box", lambda r: r.cable),
            Column("Breakers", lambda r: r.breaker_A, "A", 0),
            Column("Opened and protected by", lambda r: r.protection),
            Column("Conductors that count", lambda r: r.counted_conductors, "", 0),
        )

    def cable_uses(self) -> Grid:
        """Cables by breaker: the chain of ampacity, and how many share a sealed hole."""
        return self.grid(
            "Cables by breaker: each link of the ampacity, and cables in one sealed hole",
            self.plan.circuits.cable_uses,
            Column("Cable", lambda r: r.cable, css="nowrap"),
            Column("Breaker", lambda r: r.breaker_A, "A", 0),
            Column("Circuits", lambda r: r.circuits, "", 0),
            Column("Must carry", lambda r: r.needed_A, "A", 2),
            Column("90 C column, alone at 30 C", lambda r: r.alone_A, "A", 0),
            Column("Limit of the cable", lambda r: r.cap_A, "A", 0),
            Column("Terminals", lambda r: r.terminal_A, "A", 0),
            Column("Small-conductor limit", lambda r: r.small_limit_A, "A", 0),
            Column("Allowed", lambda r: r.allowable_A, "A", 0),
            Column("Protected by", lambda r: r.protected_by),
            Column("Most in a sealed hole at 30 C", lambda r: r.most_a_hole, "", 0),
            Column("at 45 C, towards an attic", lambda r: r.most_a_hole_ceiling, "", 0),
        )

    def entry_holes(self) -> Grid:
        """Holes by which cables enter the panels."""
        return self.grid(
            "Holes in the plates for the cables of each panel",
            self.plan.circuits.entries,
            Column("Panel", lambda r: r.panel),
            Column("Hole", lambda r: r.hole, "", 0),
            Column("Line", lambda r: r.line, "", 0),
            Column("Centre from the left", lambda r: r.x_in, "in", 2),
            Column("Diameter", lambda r: r.diameter_in, "in", 4),
            Column("Cables", lambda r: f"{len(r.cables)} x {r.cables[0]}"),
            Column("Circuits", lambda r: r.circuits, css="fine"),
            Column("Size of cable known", lambda r: r.known),
        )

    def branch_drop(self) -> Grid:
        """Drop of branch circuits by routed length."""
        wanted = self.plan.house.circuit_settings.drop_limit_percent
        return self.grid(
            f"Voltage drop at the farthest device by routed length (wanted: {wanted:g} %)",
            self._drops,
            Column("Circuit", lambda r: r.circuit),
            Column("Feeds", lambda r: r.name),
            Column("Farthest device", lambda r: r.farthest),
            Column("Cable to it", lambda r: r.length_ft, "ft", 0),
            Column("Longest run within the drop", lambda r: r.longest_run_ft, "ft", 0),
            Column("Current", lambda r: r.run_A, "A", 1),
            Column("Drop, all at the far end", lambda r: r.end_percent, "percent", 1),
            Column("Drop, shared by the boxes", lambda r: r.spread_percent, "percent", 1),
            Column("Within it", lambda r: "yes" if r.meets else "if shared" if r.meets_spread else "no"),
        )
