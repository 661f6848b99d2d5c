"""Results of the step loads, beside the calculation: amperes of each piece of equipment."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.core.citing import Citation
from hpelec.core.results import told


@dataclass(frozen=True, slots=True, kw_only=True)
class EquipmentAmps:
    """What one row of appliances or water heaters asks of its circuit and of a feeder."""

    id: str = told("id of the appliance or water heater")
    name: str = told("what people call it")
    kind: str = told("kind of appliance or water heater")
    quantity: int = told("how many there are")
    voltage_V: float = told("nominal voltage on this service")
    load_VA: float | None = told("nameplate load of one; none where nothing allowed gives it", default=None)
    load_from: str = told("where the load comes from", default="")
    full_load_A: float | None = told("full-load current of one", default=None)
    duty_percent: float | None = told("duty cycle of an arc welder", default=None)
    circuits: int = told("circuits of one piece", default=1)
    circuit_A: float | None = told("current in each of its circuits, before any factor", default=None)
    factor: float | None = told("factor from that current to the minimum ampacity", default=None)
    minimum_A: float | None = told("minimum ampacity of each of its circuits", default=None)
    device_A: float | None = told("standard overcurrent device of each of its circuits", default=None)
    device_most_A: float | None = told("largest device that a rule or the nameplate allows", default=None)
    feeder_A: float | None = told("what all of them add to the load of a feeder, at 100 percent", default=None)
    feeder_sizing_A: float | None = told(
        "what all of them add when that feeder is sized: continuous load at 125 percent", default=None
    )
    rule: str = told("rule that sizes the circuit, in words")
    remark: str = told("what a reader should know about the row", default="")
    citation: Citation = told("source of that rule")
