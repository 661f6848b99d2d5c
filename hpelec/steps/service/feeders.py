"""Grounding of the service, and the feeders to panels that another panel feeds."""

from __future__ import annotations

from hpelec.common import rules_conductors as conductors
from hpelec.common import rules_grounding as ground
from hpelec.common import rules_ratings as ratings
from hpelec.common import rules_supply as wire
from hpelec.core.citing import cite
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.working import Line, line
from hpelec.house.rows import Panel
from hpelec.steps.service.model import ConductorChoice
from hpelec.steps.service.supply import OTHER, Part, Supply, name_of, unsized


def grounding(supply: Supply, entrance: Part, run: Part) -> Part:
    """Grounding electrode conductor and supply-side bonding jumper, in copper and aluminium.

    They follow the largest ungrounded conductors that the customer owns, parallel sets together.
    """
    named = [("service entrance", entrance), ("lateral", run)]
    owned = named if supply.site.lateral_owner == "customer" else named[:1]
    found = {(p.area_cmil, p.material): name for name, p in reversed(owned) if p.area_cmil > 0}
    if not found:
        return Part()
    rows: list[ConductorChoice] = []
    for of in ("cu", "al"):
        sizes = [ground.electrode_conductor(area, material, of) for area, material in found]
        size = max(sizes, key=conductors.area_cmil)
        remark = "not within 18 in of earth"
        if of == "cu":
            rod, concrete = ground.electrode_cap(size, "rod"), ground.electrode_cap(size, "concrete")
            remark = f"to a rod, pipe or plate alone {rod} is enough, to a concrete-encased electrode alone {concrete}"
        rows.append(_single("grounding electrode conductor", of, size, remark))
    for of in ("cu", "al"):
        jumpers = [ground.bonding_jumper(area, material, of) for area, material in found]
        known = [j for j in jumpers if j is not None]
        if known and len(known) == len(jumpers):
            remark = "between raceways and enclosures ahead of the main; main bonding jumper alike"
            rows.append(_single("supply-side bonding jumper", of, max(known, key=conductors.area_cmil), remark))
    lines: list[Line] = []
    for (area, material), name in found.items():
        electrode = ground.electrode_conductor(area, material, "cu")
        jumper = ground.bonding_jumper(area, material, "cu") or "none tabulated"
        kcmil, by = area / 1000, ground.electrode_conductor
        source = ground.bonding_jumper_citation(area, material)
        lines += [
            line(
                f"{name} in {material}, electrode conductor {electrode} cu", "table", kcmil, "kcmil", by, supply.edition
            ),
            line(f"{name} in {material}, bonding jumper {jumper} cu", "table", kcmil, "kcmil", source),
        ]
    return Part(tuple(rows), tuple(lines))


def _single(part: str, of: str, size: str, remark: str) -> ConductorChoice:
    return ConductorChoice(part=part, material=of, chosen=of == "cu", size=size, remark=remark)


def feeders(supply: Supply) -> Part:
    """Feeder to each panel that another panel feeds, by id: its device, conductors, neutral, grounding."""
    by_id = {p.id: p for p in supply.panels}
    fed = sorted((p for p in supply.panels if p.fed_from in by_id), key=lambda p: p.id)
    parts = [_feeder(supply, panel, by_id[panel.fed_from]) for panel in fed]
    if not parts:
        return Part()
    told = Assumption(
        "service, feeders",
        "feeder breaker as large as the panel's rating (not above the feeding panel or the main), terminals not "
        "marked for 75 C up to 100 A, full-size neutral",
        "the load of each panel and the marks of its terminals are not known here",
    )
    return Part(
        tuple(row for p in parts for row in p.rows),
        tuple(entry for p in parts for entry in p.working),
        tuple(f for p in parts for f in p.findings),
        (told,),
    )


def _feeder(supply: Supply, panel: Panel, source: Panel) -> Part:
    place = f"feeder to {panel.id}"
    limit_A = min(panel.rating_A, source.rating_A, supply.main_A)
    device_A = ratings.largest_standard_A(limit_A, supply.edition)
    if device_A is None:
        fix = "check rating_A in panels.csv"
        rule, citation = "a standard breaker protects the panel", cite(ratings.largest_standard_A, supply.edition)
        misses = Verdict.MISSES
        return Part(
            findings=(
                Finding("feeder-device", "service", place, rule, f"{limit_A:g} A", ">= 10 A", fix, misses, citation),
            )
        )
    column_C = conductors.terminal_column_C(device_A, False)
    # A feeder never needs more ampacity than the service conductors of the same dwelling.
    needed_A = min(device_A, supply.needed_A)
    rows: list[ConductorChoice] = []
    named = supply.site.feeder_material
    for material in (named, OTHER[named]):
        found = wire.fewest_sets(needed_A, material, column_C)
        if found is None:
            continue
        sets, size = found
        egc = min(ground.equipment_grounding(device_A, material), size, key=conductors.area_cmil)
        rows.append(
            ConductorChoice(
                part=place,
                material=material,
                chosen=material == named,
                size=size,
                sets=sets,
                device_A=device_A,
                required_A=needed_A,
                ampacity_A=sets * conductors.ampacity_A(size, material, column_C),
                neutral_size=size,
                grounding_size=egc,
                remark=_why_feeder(material, device_A, needed_A, column_C),
            )
        )
    if not rows or not rows[0].chosen:
        return Part(tuple(rows), findings=(unsized(supply, place, needed_A),))
    row = rows[0]
    one_A = conductors.ampacity_A(row.size, row.material, column_C)
    expression = f"largest standard rating within {limit_A:g}"
    ampacity_source = conductors.conductor_citation(row.size, row.material, "ampacity")
    return Part(
        tuple(rows),
        (
            line(f"{place}: breaker", expression, device_A, "A", ratings.largest_standard_A, supply.edition),
            line(
                f"{place}: {name_of(row)}, {column_C} C column",
                f"{row.sets} x {one_A:g}",
                row.sets * one_A,
                "A",
                ampacity_source,
            ),
            line(
                f"{place}: device for {row.grounding_size} {row.material} equipment grounding conductor",
                "table",
                device_A,
                "A",
                ground.equipment_grounding,
                supply.edition,
            ),
        ),
    )


def _why_feeder(material: str, device_A: float, needed_A: float, column_C: int) -> str:
    text = f"{device_A:g} A breaker, {column_C} C column"
    if needed_A < device_A:
        return f"{text}; needs no more than the service conductors ({needed_A:g} A)"
    text += "; carries part of the load: no 83 % reduction"
    if column_C == 60:
        marked = wire.fewest_sets(needed_A, material, 75)
        text += f"; {marked[1]} if all terminals are marked 75 C" if marked is not None else ""
    return text
