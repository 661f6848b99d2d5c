"""Feeders to other buildings: one circuit at the panel for all that stands there."""

from __future__ import annotations

from collections.abc import Sequence

from hpelec.common import rules_equipment
from hpelec.common import rules_ratings as ratings
from hpelec.core.citing import cite
from hpelec.core.findings import Verdict
from hpelec.core.working import line
from hpelec.steps.circuits import rules_cable
from hpelec.steps.circuits.dedicated import Notes
from hpelec.steps.circuits.model import Circuit
from hpelec.steps.loads.model import BuildingLoad


def building_feeders(buildings: Sequence[BuildingLoad], voltage_V: float, notes: Notes) -> list[Circuit]:
    """A feeder to each other building, of the rating given or the smallest that carries its load."""
    return [_feeder(building, voltage_V, notes) for building in buildings]


def _feeder(building: BuildingLoad, voltage_V: float, notes: Notes) -> Circuit:
    wanted_A = building.feeder_rating_A or building.feeder_least_A or 0.0
    breaker_A = rules_equipment.breaker_within_A(max(wanted_A, 15.0), notes.edition)
    cable = rules_cable.choose_cable(breaker_A, breaker_A, 3, notes.edition)
    by = cite(ratings.next_standard_A, notes.edition)
    given = "as given" if building.feeder_rating_A else f"first standard rating for {building.demand_A:.2f} A"
    notes.working.append(line(f"feeder to {building.name} breaker", given, breaker_A, "A", by))
    notes.find(
        "building-feeder", building.id, "the feeder to another building as a circuit of its panel",
        f"{breaker_A:g} A breaker, {cable.name} carried only to have a size; its route, its hole in the air barrier and"
        " the circuits in the building are not worked out", "",
        "size it for its length and way (outdoors or in earth), and draw its hole by hand", Verdict.CANNOT_SAY,
        cite(rules_cable.terminal_ampacity_A, notes.edition),
    )  # fmt: skip
    return Circuit(
        id=f"feeder-{building.id}",
        name=f"Feeder to {building.name}",
        kind="feeder",
        panel="",
        breaker_A=breaker_A,
        poles=2,
        voltage_V=voltage_V,
        load_VA=building.demand_VA,
        cable=cable.name,
        cable_size=cable.size,
        current_conductors=2,
        outlets=(),
        citation=by,
    )
