"""What to buy for sealing, added up over the holes."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from hpelec.core.citing import Citation, cite
from hpelec.core.tables import table
from hpelec.core.working import Line, line
from hpelec.steps.penetrations.model import Hole
from hpelec.steps.sealing import rules
from hpelec.steps.sealing.model import TakeOff

MM_PER_IN = 25.4
COUNTED = {
    "box_airtight": "air-sealed box",
    "box_in_box": "enclosure behind a box",
    "luminaire_airtight": "luminaire tested for air leakage, Type IC",
    "patch": "patch over a bare hole",
    "mastic": "hole coated with mastic or liquid membrane",
}
"""Methods bought by the piece (grommets are counted by cable)."""


def taken(item: str) -> float:
    """Value of an item of air/taken_sizes; its unit is the end of its name."""
    return table("air/taken_sizes").one(item=item).number("value")


def take_off(holes: Sequence[Hole]) -> tuple[tuple[TakeOff, ...], list[Line]]:
    """Material for all holes that have a method, with the lines of working of what is measured."""
    by_method: dict[str, list[Hole]] = {}
    for hole in sorted(holes, key=lambda h: h.id):
        if hole.method:
            by_method.setdefault(hole.method, []).append(hole)
    rows = [*_grommets(by_method.get("grommet", [])), *_counted(by_method)]
    measured: list[tuple[TakeOff, Line]] = []
    for make, methods in (
        (_tape, ("tape", "box_in_box")),
        (_sealant, ("sealant", "backer_sealant")),
        (_rod, ("backer_sealant",)),
        (_foam, ("foam",)),
    ):
        found = [h for m in methods for h in by_method.get(m, [])]
        if found:
            measured.append(make(found))
    bores = [h for h in holes if h.method and h.bore_method]
    if bores:
        basis = f"bores of {len(bores)} conduits, at the end inside"
        rows.append(_piece("duct seal putty", len(bores), basis, bores[0].bore_method))
    return (*rows, *(m[0] for m in measured)), [m[1] for m in measured]


def _of_method(method: str) -> Citation:
    return table("air/sealing_methods").one(method_id=method).citation


def _piece(item: str, count: int, basis: str, method: str) -> TakeOff:
    return TakeOff(item=item, quantity=float(count), unit="pieces", basis=basis, citation=_of_method(method))


def _grommets(holes: Sequence[Hole]) -> list[TakeOff]:
    sizes: dict[tuple[str, float], int] = {}
    for hole in holes:
        key = (hole.passes[0], hole.diameter_in)
        sizes[key] = sizes.get(key, 0) + 1
    return [
        _piece(f"grommet for {cable}", count, f"one a hole of {diameter_in:g} in", "grommet")
        for (cable, diameter_in), count in sorted(sizes.items())
    ]


def _counted(by_method: dict[str, list[Hole]]) -> list[TakeOff]:
    return [
        _piece(item, len(by_method[method]), f"one a hole, {len(by_method[method])} holes", method)
        for method, item in COUNTED.items()
        if method in by_method
    ]


def _measured(item: str, quantity: float, unit: str, basis: str, by: Callable[..., object]) -> tuple[TakeOff, Line]:
    row = TakeOff(item=item, quantity=quantity, unit=unit, basis=basis, citation=cite(by))
    return row, line(item, basis, quantity, unit, by)


def _tape(holes: Sequence[Hole]) -> tuple[TakeOff, Line]:
    overlap_mm, waste = taken("tape_overlap_mm"), taken("tape_waste")
    length_m = math.fsum(rules.tape_collar_mm(_inner_mm(h), overlap_mm, waste) for h in holes) / 1000
    basis = f"{len(holes)} collars of pi (d + 2 x {overlap_mm:g} mm), {100 * waste:g} % waste"
    return _measured("tape", length_m, "m", basis, rules.tape_collar_mm)


def _inner_mm(hole: Hole) -> float:
    """Size of what a collar goes round: the cable; the box itself; nothing in a bare hole, so its edge."""
    if hole.kind in ("cable_wall", "cable_bundle", "plate_hole", "garage_cable", "box_outside", "service_entrance"):
        return hole.diameter_in * MM_PER_IN - 2 * hole.gap_mm
    return hole.diameter_in * MM_PER_IN


def _sealant(holes: Sequence[Hole]) -> tuple[TakeOff, Line]:
    leg_mm, waste, cartridge_mL = taken("fillet_leg_mm"), taken("sealant_waste"), taken("cartridge_mL")
    volumes = []
    for hole in holes:
        length_m = math.pi * hole.diameter_in * MM_PER_IN / 1000
        if hole.gap_mm <= leg_mm:
            volumes.append(rules.fillet_volume_mL(leg_mm, length_m, waste))
        else:
            depth_mm = rules.bead_depth_mm(hole.gap_mm, leg_mm)
            volumes.append(rules.bead_volume_mL(hole.gap_mm, depth_mm, length_m, waste))
    volume_mL = math.fsum(volumes)
    bead_m = rules.bead_length_m(leg_mm, leg_mm, cartridge_mL)
    basis = (
        f"{volume_mL:.0f} mL in {len(holes)} rings, fillets of {leg_mm:g} mm where the gap is not wider, "
        f"{100 * waste:g} % waste; {cartridge_mL:g} mL each ({bead_m:.1f} m of {leg_mm:g} x {leg_mm:g} mm bead)"
    )
    count = float(rules.cartridges(volume_mL, cartridge_mL))
    return _measured("sealant cartridge", count, "pieces", basis, rules.cartridges)


def _rod(holes: Sequence[Hole]) -> tuple[TakeOff, Line]:
    length_m = math.fsum(math.pi * h.diameter_in * MM_PER_IN for h in holes) / 1000
    thick_mm = max(rules.rod_diameter_mm(h.gap_mm, taken("rod_ratio")) for h in holes)
    basis = f"round {len(holes)} holes; {thick_mm:.0f} mm thick or more for the widest gap"
    return _measured("backer rod", length_m, "m", basis, rules.rod_diameter_mm)


def _foam(holes: Sequence[Hole]) -> tuple[TakeOff, Line]:
    waste = taken("foam_waste")
    volume_mL = math.fsum(rules.foam_volume_mL(h.free_area_mm2, h.depth_mm, waste) for h in holes)
    basis = f"open area by depth of {len(holes)} holes, {100 * waste:g} % waste"
    return _measured("one-component foam", volume_mL, "mL", basis, rules.foam_volume_mL)
