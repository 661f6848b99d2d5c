"""Tables of the report about equipment amperes and about what was measured elsewhere."""

from __future__ import annotations

from hpelec.report.contents_base import Shown
from hpelec.report.tables import Column, Grid
from hpelec.steps.loads.model_amps import EquipmentAmps
from hpelec.steps.loads.model_reality import PublishedFigure


class LoadsAmpsTables(Shown):
    """Tables of the step loads beside its calculation."""

    def equipment_amps(self) -> Grid:
        """Every appliance and water heater with its circuit and its part in a feeder."""
        return self.grid(
            "Amperes of each appliance and water heater",
            self.plan.loads.amps,
            Column("What", lambda r: r.name if r.quantity == 1 else f"{r.quantity} x {r.name}"),
            Column("Voltage", lambda r: r.voltage_V, "V", 0),
            Column("Load of one", lambda r: r.load_VA, "VA", 0),
            Column("Full load", lambda r: r.full_load_A, "A", 1),
            Column("Each circuit [A]", self._circuits, css="nowrap"),
            Column("Factor", lambda r: r.factor, "", 2),
            Column("Minimum ampacity", lambda r: r.minimum_A, "A", 1),
            Column("Device", lambda r: r.device_A, "A", 0),
            Column("Device at most", lambda r: r.device_most_A, "A", 0),
            Column("In a feeder", lambda r: r.feeder_A, "A", 1),
            Column("When it is sized", lambda r: r.feeder_sizing_A, "A", 1),
            Column("Rule and remark", lambda r: f"{r.rule}; {r.remark}" if r.remark else r.rule),
            Column("Source", lambda r: self.number(r.citation), css="nowrap"),
        )

    def _circuits(self, row: EquipmentAmps) -> str:
        if row.circuit_A is None:
            return ""
        return f"{row.circuit_A:.1f}" if row.circuits == 1 else f"{row.circuits} x {row.circuit_A:.1f}"

    def reality(self) -> Grid:
        """Published figures, those that compare first."""
        return self.grid(
            "Published figures, those that compare with the load of one house first",
            self.plan.loads.reality.figures,
            Column("Who", lambda r: r.population),
            Column("What", lambda r: r.quantity),
            Column("Value", self._value, css="nowrap"),
            Column("Kind", lambda r: r.kind),
            Column("Compares", lambda r: r.comparable),
            Column("Remark", lambda r: r.remark),
            Column("Source", lambda r: r.citation),
        )

    def _value(self, figure: PublishedFigure) -> str:
        if figure.low is None:
            return ""
        top = "" if figure.high is None else f" to {figure.high:,g}"
        return f"{figure.low:,g}{top} {figure.unit}"
