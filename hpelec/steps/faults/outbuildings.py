"""What a separate building needs where its feeder or circuit arrives."""

from __future__ import annotations

from hpelec.common.rules_conductors import area_cmil
from hpelec.core.citing import cite
from hpelec.core.findings import Finding, Verdict
from hpelec.house.sections_power import DWELLING
from hpelec.steps.faults import rules_electrodes as rules
from hpelec.steps.faults import rules_protection as protection
from hpelec.steps.faults.model import Outbuilding
from hpelec.steps.loads.model import LoadsResult
from hpelec.steps.service.model import ServiceResult


def outbuilding_rows(
    loads: LoadsResult, service: ServiceResult, edition: int
) -> tuple[tuple[Outbuilding, ...], tuple[Finding, ...]]:
    """Grounding and disconnect of each other building of the load calculation, by its feeder in the step service."""
    feeders = {row.part: row for row in service.conductors if row.chosen}
    made = []
    for building in loads.buildings:
        row = feeders.get(f"feeder to {building.id}")
        made.append(
            outbuilding_summary(
                building.name,
                "feeder",
                edition,
                is_dwelling=building.kind == DWELLING,
                branch_circuits=max(building.circuits, 1),
                disconnect_A=building.feeder_rating_A,
                ungrounded_cmil=None if row is None else row.sets * area_cmil(row.size),
                material="al" if row is None else row.material,
            )
        )
    return tuple(summary for summary, _ in made), tuple(finding for _, found in made for finding in found)


def outbuilding_summary(
    name: str,
    supply: str,
    edition: int,
    *,
    has_equipment_ground: bool = True,
    existing: bool = False,
    is_dwelling: bool = False,
    branch_circuits: int = 3,
    disconnect_A: float | None = None,
    ungrounded_cmil: float | None = None,
    material: str = "al",
) -> tuple[Outbuilding, tuple[Finding, ...]]:
    """Grounding and disconnect of one building.

    supply: one of `rules_electrodes.SUPPLIES`. branch_circuits: circuits in the building, >= 1. disconnect_A: its
    disconnect, or the feeder's device, if known. ungrounded_cmil, material: line conductors of the feeder, if sized.
    Raises RangeError for other words, and for a new supply without an equipment grounding conductor.
    """
    electrode = rules.building_electrode_needed(supply, has_equipment_ground)
    sized = electrode and ungrounded_cmil is not None
    conductor = rod = ""
    if sized and ungrounded_cmil is not None:
        conductor = rules.building_electrode_conductor(ungrounded_cmil, material, "")
        rod = rules.building_electrode_conductor(ungrounded_cmil, material, "rod")
    least_A = rules.building_disconnect_A(branch_circuits, is_dwelling)
    bonded = rules.building_neutral_bonded(has_equipment_ground, existing)
    surge = is_dwelling and protection.surge_needed("feeder", edition)
    remark = "electrodes at the building" if electrode else "no electrodes needed: one branch circuit with its ground"
    remark += "; neutral and ground kept apart there" if bonded is False else "; neutral bond: have it looked at"
    summary = Outbuilding(
        name=name,
        supply=supply,
        disconnect_least_A=least_A,
        disconnect_A=disconnect_A,
        electrode_needed=electrode,
        electrode_conductor=conductor,
        rod_conductor=rod,
        neutral_bonded=bonded,
        surge_needed=surge,
        remark=remark,
    )
    return summary, _findings(summary, edition)


def _findings(building: Outbuilding, edition: int) -> tuple[Finding, ...]:
    given = building.disconnect_A
    enough = None if given is None else given >= building.disconnect_least_A
    verdict = Verdict.CANNOT_SAY if enough is None else Verdict.MEETS if enough else Verdict.MISSES
    disconnect = Finding(
        "outbuilding-disconnect",
        "faults",
        building.name,
        "a disconnect at the building, large enough for the circuits in it",
        "rating not given" if given is None else f"{given:g} A",
        f">= {building.disconnect_least_A:g} A",
        "give its rating" if given is None else "a larger disconnect; the breaker of the feeder may stay smaller",
        verdict,
        cite(rules.building_disconnect_A, edition),
    )
    if not building.electrode_needed:
        return (disconnect,)
    electrodes = Finding(
        "outbuilding-electrode",
        "faults",
        building.name,
        "the building has its own grounding electrodes, joined to the equipment ground of its supply",
        "its electrodes are not described",
        f"electrodes by 250.50; {building.electrode_conductor or 'conductor by the table'}"
        + (f", to rods {building.rod_conductor}" if building.rod_conductor else ""),
        "plan two rods at least 6 ft apart, or the steel of its footing",
        Verdict.CANNOT_SAY,
        cite(rules.building_electrode_needed, edition),
    )
    return disconnect, electrodes
