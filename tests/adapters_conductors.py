"""Published checks on conductors whose value needs several of our rules, and our tables against physics."""

from __future__ import annotations

import itertools
import math

from hpelec.common import rules_ampacity as amp
from hpelec.common import rules_conductors as conductors
from hpelec.common import rules_drop, rules_grounding
from hpelec.common import rules_overcurrent as device
from hpelec.common import rules_supply as wire
from hpelec.core.tables import table

CMIL_mm2 = math.pi / 4 * 0.0254**2
"""Area of a circular mil [mm2]: a circle of one mil across."""
COPPER_OHM_MM2_PER_M = 1 / 58
"""Resistivity at 20 C of copper of 100 % IACS."""
FT_M = 0.3048


def area_mm2(size: str) -> float:
    return conductors.area_cmil(size) * CMIL_mm2


def gauge(number: int, size: str) -> dict[str, float]:
    """Diameter and area from the gauge's own formula (4/0 is -3), and our area."""
    diameter_in = 0.005 * 92 ** ((36 - number) / 39)
    return {
        "diameter_in": diameter_in,
        "area_cmil": (1000 * diameter_in) ** 2,
        "ours_cmil": conductors.area_cmil(size),
    }


def dc_resistance(size: str, material: str, iacs_percent: float, alpha20: float, lay: float) -> dict[str, float]:
    """Resistance at 75 C from resistivity [ohm per 1000 ft], and the table's (solid when there is no lay)."""
    rho_75 = COPPER_OHM_MM2_PER_M * 100 / iacs_percent * (1 + alpha20 * 55)
    column = "dc_resistance_ohm_per_kft_75c" if lay > 1 else "dc_resistance_solid_ohm_per_kft_75c"
    return {
        "from_resistivity": rho_75 * lay / area_mm2(size) * 1000 * FT_M,
        "table": conductors.conductor_row(size, material).number(column),
    }


def alpha_75(material: str, alpha20: float) -> dict[str, float]:
    row = table("tables/conductor_metals").one(material=material)
    return {"from_20C": alpha20 / (1 + alpha20 * 55), "table": row.number("alpha75_per_c")}


def k_of(size: str, material: str) -> float:
    """R x area: the constant of the trade for voltage drop."""
    return rules_drop.resistance_ohm_per_kft(size, material) * conductors.area_cmil(size) / 1000


def impedance_cells_outside(band_percent: float, power_factor: float) -> int:
    """Cells of the table's own effective impedance further than the band from R cos + X sin."""
    outside = 0
    for row in table("tables/conductors"):
        for r, x, z in (("pvc", "pvc_aluminum", "pvc"), ("aluminum_conduit", "pvc_aluminum", "aluminum_conduit"),
                        ("steel", "steel", "steel")):  # fmt: skip
            values = [
                row.number_or_none(f"ac_resistance_{r}_ohm_per_kft"),
                row.number_or_none(f"reactance_{x}_ohm_per_kft"),
                row.number_or_none(f"effective_z_085pf_{z}_ohm_per_kft"),
            ]
            if None not in values:
                ours = rules_drop.effective_ohm_per_kft(values[0], values[1], power_factor)
                outside += abs(values[2] / ours - 1) * 100 > band_percent
    return outside


def ampacity_rises() -> bool:
    """Rising by size and by column in both metals, and aluminum below copper."""
    for material in ("cu", "al"):
        rows = [
            [conductors.ampacity_A(s, material, c) for c in (60, 75, 90)] for s in conductors.usable_sizes(material)
        ]
        if any(a >= b for row in rows for a, b in itertools.pairwise(row)):
            return False
        if any(a >= b for low, high in itertools.pairwise(rows) for a, b in zip(low, high, strict=True)):
            return False
    return all(
        conductors.ampacity_A(s, "al", c) < conductors.ampacity_A(s, "cu", c)
        for s in conductors.usable_sizes("al") for c in (60, 75, 90)
    )  # fmt: skip


def column_ratio(size: str, low_C: int, high_C: int) -> dict[str, float]:
    """Ratio of two columns: from heat balance with the metal's own resistance, and from the table."""
    alpha = table("tables/conductor_metals").one(material="cu").number("alpha75_per_c")
    r_low, r_high = (1 + alpha * (t - 75) for t in (low_C, high_C))
    return {
        "theory": math.sqrt((high_C - 30) / (low_C - 30) * r_low / r_high),
        "table": conductors.ampacity_A(size, "cu", high_C) / conductors.ampacity_A(size, "cu", low_C),
    }


def metal_ratio(size: str) -> dict[str, float]:
    column = "dc_resistance_ohm_per_kft_75c"
    cu, al = (conductors.conductor_row(size, m).number(column) for m in ("cu", "al"))
    ampacity = [conductors.ampacity_A(size, m, 75) for m in ("al", "cu")]
    return {"table": ampacity[0] / ampacity[1], "theory": math.sqrt(cu / al)}


def cells(names: list[list[object]]) -> list[float]:
    """Ampacities by [size, metal, column]."""
    return [conductors.ampacity_A(str(s), str(m), int(str(c))) for s, m, c in names]


def chain(size: str, material: str, edition: int = 2023, device_A: float | None = None, **around: object):
    """The chain of one conductor; with a device, whether it protects it."""
    found = amp.ampacity_chain(size, material, amp.Around(**around))
    if found is None:
        return {"allowable_A": None}
    result: dict[str, object] = {
        "base_A": found.base_A,
        "ambient_factor": found.ambient_factor,
        "count_factor": found.count_factor,
        "corrected_A": found.corrected_A,
        "cap_A": found.cap_A,
        "terminal_A": found.terminal_A,
        "allowable_A": found.allowable_A,
        "largest_A": device.largest_device_A(found.allowable_A, edition, several_receptacles=False),
    }
    limit = device.small_conductor_limit_A(size, material, edition)
    result["with_small_limit_A"] = min(limit or math.inf, float(str(result["largest_A"])))
    if device_A is not None:
        result["protected"] = device.breaker_protects(
            device_A, found.allowable_A, size, edition, several_receptacles=False, material=material
        )
    return result


def sealed_hole(size: str, cables: list[int]) -> dict[str, list[float]]:
    """Factor and final ampacity of two-wire NM-B cables in one sealed hole: three or more are adjusted."""
    found = []
    for count in cables:
        together = 2 * count if count > 2 else 2
        around = amp.Around(
            insulation_C=90, conductors=together, together_in=1.5, sealed=True, terminal_C=60, cable="NM-B"
        )
        found.append(amp.ampacity_chain(size, "cu", around))
    return {"factor": [c.count_factor for c in found if c], "allowable_A": [c.allowable_A for c in found if c]}


def hot_service(ambients_C: list[float], size: str, material: str, rating_A: float) -> list[bool]:
    """Whether a size still meets 0.83 of a rating at each ambient; the table of sizes is out of use there."""
    needed_A = wire.service_ampacity_A(rating_A, 240.0)
    meets = []
    for ambient_C in ambients_C:
        around = amp.Around(insulation_C=90, ambient_C=ambient_C)
        found = amp.ampacity_chain(size, material, around)
        tabulated = wire.dwelling_table_size(rating_A, material, 2023, around)
        assert tabulated is None, f"the table gave {tabulated} at {ambient_C} C"
        meets.append(found is not None and found.allowable_A >= needed_A)
    return meets


def table_sizes(rating_A: float, edition: int) -> list[str | None]:
    return [wire.dwelling_table_size(rating_A, m, edition, amp.Around()) for m in ("cu", "al")]


def rooftop(ambient_C: float, clearances_in: list[float], edition: int) -> dict[str, list[float | None]]:
    ambients = [amp.rooftop_ambient_C(ambient_C, c, edition) for c in clearances_in]
    return {"ambient_C": list(ambients), "factor": [amp.ambient_factor(90, a) for a in ambients]}


def enlarged(device_A: float, needed: str, installed: str, edition: int, why: str) -> dict[str, object]:
    base = rules_grounding.equipment_grounding(device_A, "cu")
    needed_cmil, installed_cmil = conductors.area_cmil(needed), conductors.area_cmil(installed)
    return {
        "base": base,
        "egc_cmil": conductors.area_cmil(base) * installed_cmil / needed_cmil,
        "egc": rules_grounding.enlarged_grounding(base, "cu", needed_cmil, installed_cmil, edition, why),
    }


def longest_by_r(
    r: float, current_A: float, voltage_V: float, limit_percent: float, size: str, material: str
) -> dict[str, float]:
    """Longest run from a stated resistance by hand, and of a size by our rule at power factor 1."""
    return {
        "by_hand_ft": limit_percent / 100 * voltage_V / rules_drop.drop_V(current_A, 1.0, r),
        "ours_ft": rules_drop.longest_run_ft(size, material, 1, current_A, 1.0, voltage_V, limit_percent),
    }


def parallel_neutral(unbalanced_A: float, material: str, sets: int, size: str, least: str) -> str:
    return wire.neutral_for(unbalanced_A, material, amp.Around(), sets, size, least, 2023)


def smallest_allowed(
    needed_A: float, material: str, sets: int, device_A: float, edition: int = 2023, **around: object
) -> str | None:
    where = amp.Around(**around)
    return wire.smallest_allowed(needed_A, material, where, sets, 0.0, edition, device_A)


def next_size(load_A: float, device_A: float, material: str, sets: int) -> str | None:
    return wire.smallest_by_next_size_up(load_A, device_A, material, amp.Around(), sets, 2023)
