"""Feeders to other buildings: one circuit at the panel for all that stands there."""

from __future__ import annotations

from collections.abc import Sequence

from hpelec.common import rules_equipment
from hpelec.common import rules_ratings as ratings
from hpelec.common.rules_ampacity import counted_conductors
from hpelec.core.citing import cite
from hpelec.core.findings import Verdict
from hpelec.core.working import line
from hpelec.house.sections_power import DWELLING, Building
from hpelec.steps.circuits import rules_cable
from hpelec.steps.circuits.dedicated import Notes
from hpelec.steps.circuits.model import Circuit
from hpelec.steps.circuits.rules_panel import yoke_circuits
from hpelec.steps.loads.model import BuildingLoad

YOKES_A = 20.0
"""Circuits that receptacles of another building are counted on."""


def building_feeders(
    loads: Sequence[BuildingLoad], buildings: Sequence[Building], voltage_V: float, notes: Notes
) -> list[Circuit]:
    """A feeder to each other building, of the rating given or the smallest that carries its load."""
    for building in sorted(buildings, key=lambda b: b.id):
        if building.kind != DWELLING and building.receptacle_yokes:
            notes.working.append(
                line(f"{building.name}: fewest receptacle circuits", f"{building.receptacle_yokes} yokes of 180 VA, "
                     f"whole yokes on {YOKES_A:g} A circuits", yoke_circuits(building.receptacle_yokes, YOKES_A), "",
                     yoke_circuits, notes.edition)
            )  # fmt: skip
    return [_feeder(load, voltage_V, notes) for load in loads]


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
        current_conductors=counted_conductors(2, True, voltage_V),
        outlets=(),
        citation=by,
        needed_A=breaker_A,
    )
