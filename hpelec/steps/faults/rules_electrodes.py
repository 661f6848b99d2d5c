"""Rules of grounding electrodes, bonding, and what a separate building needs."""

from __future__ import annotations

from hpelec.common import rules_conductors as conductors
from hpelec.common import rules_grounding as ground
from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, in_range

SUPPLIES = ("branch circuit", "multiwire branch circuit", "feeder", "branch circuits")
"""How a separate building is supplied: one branch circuit, one multiwire one, a feeder, or several branch circuits."""
RING_LEAST = "2"
"""Smallest copper of a ground ring (250.52(A)(4))."""


@rule("smallest spacing of rods", source="NFPA 70", locator="250.53(A)(3)", accuracy="memory")
def rods_apart(spacing_ft: float) -> bool:
    """True when rods stand at least 6 ft apart; spacing_ft [ft], >= 0; exactly 6 passes."""
    return in_range("spacing_ft", spacing_ft, low=0) >= 6


@rule("one rod alone", source="NFPA 70", locator="250.53(A)(2)", accuracy="memory")
def rods_enough(count: int, resistance_ohm: float | None) -> bool | None:
    """Whether rods suffice as they are: two or more do; one does when shown to have at most 25 ohm.

    count: rods, >= 0 (0: False). resistance_ohm: measured resistance of the one rod [ohm], >= 0, or None when it was
    not measured; then None is returned for one rod: a second one is needed, or the measurement.
    """
    in_range("count", count, low=0)
    if resistance_ohm is not None:
        in_range("resistance_ohm", resistance_ohm, low=0)
    if count != 1:
        return count >= 2
    return None if resistance_ohm is None else resistance_ohm <= 25


@rule(
    "largest electrode conductor that a ground ring calls for",
    source="NFPA 70",
    locator="250.66(C), 250.52(A)(4)",
    accuracy="memory",
)
def ring_conductor(table_size: str) -> str:
    """Copper size to a ground ring alone: by the table, not larger than the ring's own conductor (2 AWG at least)."""
    return min(table_size, RING_LEAST, key=conductors.area_cmil)


@rule(
    "bonding of the metal water piping inside",
    source="NFPA 70",
    locator={2017: "250.104(A)(1), Table 250.102(C)(1)", 2020: "250.104(A)(1), not larger than 3/0 copper"},
    accuracy="memory",
)
def water_bonding(jumper_size: str, edition: int) -> str:
    """Copper size that bonds metal water piping; jumper_size: copper by Table 250.102(C)(1)."""
    check_edition(edition)
    return min(jumper_size, "3/0", key=conductors.area_cmil) if edition >= 2020 else jumper_size


@rule(
    "grounding electrode at a separate building",
    source="NFPA 70",
    locator="250.32(A) and its exception",
    accuracy="published",
)
def building_electrode_needed(supply: str, has_equipment_ground: bool) -> bool:
    """Whether a building or structure needs its own electrodes.

    supply: one of SUPPLIES. A single branch circuit, multiwire included, with an equipment grounding conductor needs
    none. Raises RangeError for another word.
    """
    if supply not in SUPPLIES:
        raise RangeError(f"supply must be one of {', '.join(SUPPLIES)}, got {supply!r}")
    return not (supply in ("branch circuit", "multiwire branch circuit") and has_equipment_ground)


@rule(
    "smallest disconnect of a separate building",
    source="NFPA 70",
    locator="225.39(A) to (D)",
    accuracy="memory",
)
def building_disconnect_A(branch_circuits: int, is_dwelling: bool) -> float:
    """Smallest rating [A]: 15 for one branch circuit, 30 for two two-wire ones, 100 for a one-family dwelling, else 60.

    branch_circuits: that the building holds, >= 1.
    """
    in_range("branch_circuits", branch_circuits, low=1)
    if is_dwelling:
        return 100.0
    return {1: 15.0, 2: 30.0}.get(branch_circuits, 60.0)


@rule("neutral at a separate building", source="NFPA 70", locator="250.32(B)(1)", accuracy="published")
def building_neutral_bonded(has_equipment_ground: bool, existing: bool) -> bool | None:
    """Whether the neutral is bonded to the enclosure at the building: never with an equipment grounding conductor.

    Without one only an existing supply may keep the bond, under conditions (no metal path between, no ground-fault
    protection ahead): None, it has to be looked at. A new supply without one is not permitted: RangeError.
    """
    if has_equipment_ground:
        return False
    if not existing:
        raise RangeError("a new supply to a building needs an equipment grounding conductor")
    return None


@rule(
    "electrode conductor at a separate building",
    source="NFPA 70",
    locator="250.32(E), Table 250.66",
    accuracy="published",
)
def building_electrode_conductor(ungrounded_cmil: float, material: str, electrode: str) -> str:
    """Copper size by the line conductors [circular mil], > 0; electrode: "rod", "concrete" or "" (by the table)."""
    size = ground.electrode_conductor(ungrounded_cmil, material, "cu")
    return ground.electrode_cap(size, electrode) if electrode else size


@rule(
    "terminals for bonding other systems",
    source="NFPA 70",
    locator="250.94(A)",
    accuracy="memory",
)
def intersystem_terminals(edition: int) -> int:
    """Fewest conductors that the intersystem bonding termination must take (telephone, cable, satellite)."""
    check_edition(edition)
    return 3
