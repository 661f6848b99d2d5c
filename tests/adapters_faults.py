"""Published checks of fault current, grounding and working space whose value needs several of our rules at once."""

from __future__ import annotations

import cmath
import dataclasses
import math
from typing import Any

from hpelec.house.rows import Panel
from hpelec.house.sections_power import Grounding
from hpelec.plan import design
from hpelec.steps.faults import rules, rules_protection, rules_space
from hpelec.steps.faults import rules_electrodes as electrodes
from hpelec.steps.faults.model import FaultsResult
from hpelec.steps.faults.outbuildings import outbuilding_summary
from tests.houses import starter


def faults_of(
    edition: int = 2023,
    panels: tuple[Panel, ...] | None = None,
    grounding: Grounding | None = None,
    changes: dict[str, Any] | None = None,
    **site: Any,
) -> FaultsResult:
    """The step faults on the starter house; `site` changes columns of [service], `changes` other parts."""
    house = starter()
    house = house.changed(
        service_site=dataclasses.replace(house.service_site, **site),
        grounding=house.grounding if grounding is None else grounding,
        panels=house.panels if panels is None else panels,
        **(changes or {}),
    )
    return design(house, edition, only=("faults",)).faults


def at_terminals(kva: float, voltage_V: float, percent: float, share: float, phases: int) -> dict[str, float]:
    full_A = rules.full_load_A(kva, voltage_V, phases)
    return {"full_load_A": full_A, "fault_A": rules.terminal_fault_A(full_A, percent * share)}


def along(
    fault_A: float, length_ft: float, c_value: float, sets: float, voltage_V: float, phases: int
) -> dict[str, float]:
    """f, M and the current at the end, by our one function."""
    end_A = rules.point_to_point_A(fault_A, length_ft, c_value, sets, voltage_V, phases)
    return {"f": fault_A / end_A - 1, "m": end_A / fault_A, "end_A": end_A}


def line_to_neutral(line_to_line_A: float, length_ft: float, c_value: float) -> dict[str, float]:
    """Line to neutral with the 1.5 put before the run (ours), and after it (as one published sheet has it)."""
    first_A = rules.half_winding_A(line_to_line_A)
    sheet_A = rules.point_to_point_A(line_to_line_A, length_ft, c_value, 1, 120.0)
    return {
        "f_sheet": line_to_line_A / sheet_A - 1,
        "sheet_A": 1.5 * sheet_A,
        "ours_A": rules.point_to_point_A(first_A, length_ft, c_value, 1, 120.0),
    }


def vector_and_points(
    kva: float, percent: float, x_over_r: float, length_ft: float, r_ohm_per_kft: float, x_ohm_per_kft: float
) -> dict[str, float]:
    fault_A = rules.terminal_fault_A(rules.full_load_A(kva, 240.0, 1), percent)
    way = complex(r_ohm_per_kft, x_ohm_per_kft) * length_ft / 1000
    vector_A = rules.vector_fault_A(240.0, rules.source_ohm(240.0, fault_A, x_over_r) + 2 * way)
    c = 1000 / abs(complex(r_ohm_per_kft, x_ohm_per_kft))
    return {"vector_A": vector_A, "points_A": rules.point_to_point_A(fault_A, length_ft, c, 1, 240.0)}


def half_winding_share(
    r1: float, r2: float, r3: float, xhl: float, xht: float, xlt: float, kva: float
) -> dict[str, float]:
    """Line-to-line and line-to-neutral current of a center-tap transformer from its three windings, in percent."""
    x1, x2, x3 = (xhl + xht - xlt) / 2, (xhl + xlt - xht) / 2, (xht + xlt - xhl) / 2
    whole = complex(r1, x1) + complex(r2 + r3, x2 + x3) / 4 * 2 / 2
    half = complex(r1 + r2, x1 + x2)
    full_A = rules.full_load_A(kva, 240.0, 1)
    return {
        "whole_percent": abs(whole),
        "half_percent": abs(half),
        "whole_A": rules.terminal_fault_A(full_A, abs(whole)),
        "half_A": rules.terminal_fault_A(2 * full_A, abs(half)),
    }


def rating_for(fault_A: float) -> dict[str, object]:
    return {
        "needed_kA": rules.rating_needed_kA(fault_A),
        "ok_10": rules.interrupts(10, fault_A),
        "ok_22": rules.interrupts(22, fault_A),
    }


def coefficients() -> list[float]:
    """Temperature coefficients of copper and aluminium referred to 75 C, as our rule applies them."""
    return [rules.at_temperature(1.0, m, 76.0) - 1.0 for m in ("cu", "al")]


def c_values(material: str, conductor_C: float, sizes: list[str]) -> list[float]:
    return [rules.c_value(size, material, conductor_C) for size in sizes]


def source_parts(voltage_V: float, fault_A: float, x_over_r: float) -> list[float]:
    z = rules.source_ohm(voltage_V, fault_A, x_over_r)
    return [abs(z), math.tan(cmath.phase(z))]


def surge_by_edition(editions: list[int]) -> dict[str, list[object]]:
    return {
        "service": [rules_protection.surge_needed("service", e) for e in editions],
        "feeder": [rules_protection.surge_needed("feeder", e) for e in editions],
        "least_kA": [rules_protection.surge_least_kA(e) for e in editions],
    }


def emergency_sections(editions: list[int]) -> list[str]:
    return [rules_protection.emergency_section(e) for e in editions]


def emergency_places(edition: int) -> list[bool]:
    return [rules_protection.emergency_place_fits(p, edition) for p in rules_protection.PLACES]


def surge_kinds(kinds: list[int]) -> list[bool]:
    return [rules_protection.surge_kind_fits(k) for k in kinds]


def alcoves(widths_in: list[float], equipment_in: list[float]) -> list[bool]:
    """Whether a 30 in space fits in alcoves of these widths with the equipment at a place from their left wall."""
    width_ft = rules_space.width_ft(equipment_in[1] - equipment_in[0])
    ends = (equipment_in[0] / 12, equipment_in[1] / 12)
    return [rules_space.slide(ends, width_ft, (0.0, w / 12), ()) is not None for w in widths_in]


def depths(to_ground_V: list[float], condition: list[int]) -> list[float]:
    return [rules_space.depth_ft(v, c) for v, c in zip(to_ground_V, condition, strict=True)]


def handles(heights_in: list[float]) -> list[bool]:
    return [rules_space.handle_in_reach(h) for h in heights_in]


def kinds_of_room(kinds: list[str]) -> list[bool | None]:
    return [rules_space.room_allows(k) for k in kinds]


def electrodes_needed(supplies: list[str]) -> list[bool]:
    return [electrodes.building_electrode_needed(s, True) for s in supplies]


def disconnects(circuits: list[int], dwelling: list[bool]) -> list[float]:
    return [electrodes.building_disconnect_A(n, d) for n, d in zip(circuits, dwelling, strict=True)]


def shed(edition: int, supply: str, **given: Any) -> dict[str, object]:
    """Summary of an outbuilding, with the verdicts of its findings by id."""
    summary, findings = outbuilding_summary("shed", supply, edition, **given)
    return {**dataclasses.asdict(summary), "verdicts": {f.id: f.verdict.value for f in findings}}


def rods(counts: list[int], ohms: list[float | None]) -> list[bool | None]:
    return [electrodes.rods_enough(n, o) for n, o in zip(counts, ohms, strict=True)]


def spacings(feet: list[float]) -> list[bool]:
    return [electrodes.rods_apart(f) for f in feet]


def water_sizes(jumper: str, editions: list[int]) -> list[str]:
    return [electrodes.water_bonding(jumper, e) for e in editions]


def ring_sizes(sizes: list[str]) -> list[str]:
    return [electrodes.ring_conductor(s) for s in sizes]
