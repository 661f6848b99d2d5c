"""Tables of fault current, grounding and bonding, working space."""

from __future__ import annotations

from hpelec.report.contents_base import Shown
from hpelec.report.tables import Column, Grid


class FaultTables(Shown):
    """Tables of the step faults."""

    def fault_points(self) -> Grid:
        """Fault current at each point of the supply."""
        return self.grid(
            f"Fault current along the supply ({self.plan.faults.source})",
            self.plan.faults.points,
            Column("Point", lambda r: r.name if r.id in ("transformer", "meter") else f"{r.id} {r.name}"),
            Column("Conductors to it", lambda r: r.run),
            Column("From the source", lambda r: r.distance_ft, "ft", 0),
            Column("Loop impedance", lambda r: r.impedance_ohm, "ohm", 4),
            Column("Line to line, highest", lambda r: r.high_A, "A", 0),
            Column("the same point to point", lambda r: r.point_to_point_A, "A", 0),
            Column("best estimate", lambda r: r.best_A, "A", 0),
            Column("lowest", lambda r: r.low_A, "A", 0),
            Column("Line to neutral, highest", lambda r: r.neutral_high_A, "A", 0),
            Column("lowest", lambda r: r.neutral_low_A, "A", 0),
            Column("Rating needed", lambda r: r.needed_kA, "kA", 0),
            Column("Rating given", lambda r: r.given_kA, "kA", 0),
        )

    def grounding(self) -> Grid:
        """Grounding and bonding of the service."""
        return self.grid(
            "Grounding and bonding",
            self.plan.faults.grounding,
            Column("Part", lambda r: r.part),
            Column("There", lambda r: r.there),
            Column("Copper conductor", lambda r: r.size),
            Column("What the code asks", lambda r: r.remark),
            Column("Rule", lambda r: r.citation),
        )

    def working_spaces(self) -> Grid:
        """Working space of each panel."""
        return self.grid(
            "Working space in front of panels",
            self.plan.faults.spaces,
            Column("Panel", lambda r: r.panel),
            Column("Room", lambda r: self.room(r.room)),
            Column("Depth", lambda r: self.set_out(r.depth_ft), css="nowrap"),
            Column("Width", lambda r: self.set_out(r.width_ft), css="nowrap"),
            Column("Height", lambda r: self.set_out(r.height_ft), css="nowrap"),
            Column("Ceiling", lambda r: self.set_out(r.ceiling_ft), css="nowrap"),
            Column("Free from, along the wall", lambda r: self._start(r.start_ft), css="nowrap"),
            Column("Fixed things within reach", lambda r: r.in_the_way),
            Column("Without a place on the plan", lambda r: r.unplaced),
        )

    def outbuildings(self) -> Grid:
        """Separate buildings."""
        return self.grid(
            "Separate buildings",
            self.plan.faults.outbuildings,
            Column("Building", lambda r: r.name),
            Column("Supply", lambda r: r.supply),
            Column("Disconnect at least", lambda r: r.disconnect_least_A, "A", 0),
            Column("Disconnect given", lambda r: r.disconnect_A, "A", 0),
            Column("Own electrodes", lambda r: r.electrode_needed),
            Column("Electrode conductor", lambda r: r.electrode_conductor),
            Column("to rods alone", lambda r: r.rod_conductor),
            Column("Surge protection", lambda r: r.surge_needed),
            Column("In words", lambda r: r.remark),
        )

    def _start(self, start_ft: float | None) -> str:
        return "not free" if start_ft is None else self.set_out(start_ft)
