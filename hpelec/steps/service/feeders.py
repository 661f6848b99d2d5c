"""Grounding of the service, and the feeders to panels that another panel feeds."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from hpelec.common import rules_ampacity as amp
from hpelec.common import rules_conductors as conductors
from hpelec.common import rules_drop as drop
from hpelec.common import rules_grounding as ground
from hpelec.common import rules_ratings as ratings
from hpelec.common import rules_supply as wire
from hpelec.core.citing import cite
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.working import Line, line
from hpelec.house.rows import Panel
from hpelec.steps.service import chains
from hpelec.steps.service.model import ConductorChoice
from hpelec.steps.service.model_conductors import ConductorWorking
from hpelec.steps.service.runs import run_lines, run_of
from hpelec.steps.service.supply import OTHER, POWER_FACTOR, Part, Supply, joined, name_of, unsized


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
        remark = (
            f"not within 18 in of earth; to a rod, pipe or plate alone {ground.electrode_cap_aluminum(size)} is enough"
        )
        if of == "cu":
            rod, concrete = ground.electrode_cap(size, "rod"), ground.electrode_cap(size, "concrete")
            ring = ground.electrode_cap_ring(size, "2")
            remark = (
                f"to a rod, pipe or plate alone {rod} is enough, to a concrete-encased electrode alone {concrete}, "
            )
            remark += f"to a ground ring of 2 AWG alone {ring}"
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
    return Part(tuple(rows), working=tuple(lines))


def _single(part: str, of: str, size: str, remark: str) -> ConductorChoice:
    return ConductorChoice(part=part, material=of, chosen=of == "cu", size=size, remark=remark)


def feeders(supply: Supply) -> Part:
    """Feeder to each panel that another panel feeds, by id: its device, conductors, neutral, grounding."""
    by_id = {p.id: p for p in supply.panels}
    fed = sorted((p for p in supply.panels if p.fed_from in by_id), key=lambda p: p.id)
    parts = [_feeder(supply, panel, by_id[panel.fed_from]) for panel in fed]
    if not parts:
        return Part()
    marked = "marked" if supply.site.terminals_75C else "not marked"
    told = Assumption(
        "service, feeders",
        "feeder breaker as large as the panel's rating (not above the feeding panel or the main), terminals "
        f"{marked} for 75 C up to 100 A, full-size neutral",
        "the load of each panel is not known here, so no feeder is taken to carry the whole dwelling",
    )
    return joined([*parts, Part(assumptions=(told,))])


def _feeder(supply: Supply, panel: Panel, source: Panel) -> Part:
    place = f"feeder to {panel.id}"
    limit_A = min(panel.rating_A, source.rating_A, supply.main_A)
    device_A = ratings.largest_standard_A(limit_A, supply.edition)
    if device_A is None:
        return Part(findings=(_no_device(place, limit_A, supply.edition),))
    told = f"largest standard rating within {limit_A:g}"
    part = feeder_to(supply, place, device_A, told, ratings.largest_standard_A)
    lines = (
        entry for run in part.runs for entry in run_lines(run, POWER_FACTOR, supply.loads.voltage_V, supply.edition)
    )
    return replace(part, working=(*part.working, *lines))


def feeder_to(supply: Supply, place: str, device_A: float, device_told: str, by: Callable[..., object]) -> Part:
    """Conductors of a feeder in both metals for its device [A]; device_told, by: where the device comes from."""
    around = supply.around(conductors.terminal_column_C(device_A, supply.site.terminals_75C))
    needed_A = wire.feeder_ampacity_A(device_A, supply.loads.voltage_V, supply.needed_A, whole_load=False)
    rows: list[ConductorChoice] = []
    worked: list[ConductorWorking] = []
    named = supply.site.feeder_material
    for material in (named, OTHER[named]):
        row = _feeder_row(supply, place, material, device_A, needed_A, around)
        if row is None:
            continue
        smaller = chains.smaller_by_next_size(0.0, device_A, row, around, supply.edition)
        chain = chains.chain_row(row, around, reduced=False, capped=needed_A < device_A, table_size="", smaller=smaller)
        rows.append(row)
        worked += [chain] if chain is not None else []
    if not rows or not rows[0].chosen:
        return Part(tuple(rows), tuple(worked), findings=(unsized(supply, place, needed_A, around),))
    row = rows[0]
    run = run_of(
        place,
        row.material,
        row.sets,
        row.size,
        current_A=device_A,
        length_ft=None,
        power_factor=POWER_FACTOR,
        voltage_V=supply.loads.voltage_V,
        limit_percent=drop.drop_limit_row("feeder").number("limit_percent"),
    )
    lines = (
        line(f"{place}: breaker", device_told, device_A, "A", by, supply.edition),
        *_feeder_working(supply, row, worked[0], around),
    )
    return Part(tuple(rows), tuple(worked), (run,), lines)


def _no_device(place: str, limit_A: float, edition: int) -> Finding:
    return Finding(
        "feeder-device",
        "service",
        place,
        "a standard breaker protects the panel",
        f"{limit_A:g} A",
        ">= 10 A",
        "check rating_A in panels.csv",
        Verdict.MISSES,
        cite(ratings.largest_standard_A, edition),
    )


def _feeder_row(
    supply: Supply, place: str, material: str, device_A: float, needed_A: float, around: amp.Around
) -> ConductorChoice | None:
    """Conductors of a feeder in one metal; None when no parallel sets within reach carry it."""
    found = wire.fewest_sets_allowed(needed_A, material, around, supply.edition, device_A)
    if found is None:
        return None
    sets, size = found
    chain = amp.ampacity_chain(size, material, around)
    return ConductorChoice(
        part=place,
        material=material,
        chosen=material == supply.site.feeder_material,
        size=size,
        sets=sets,
        device_A=device_A,
        required_A=needed_A,
        ampacity_A=None if chain is None else sets * chain.allowable_A,
        neutral_size=size,
        grounding_size=_grounding_size(supply, material, device_A, needed_A, around, (sets, size)),
        remark=_why_feeder(supply, material, device_A, needed_A, around) + chains.sets_remark(sets),
    )


def _grounding_size(
    supply: Supply, material: str, device_A: float, needed_A: float, around: amp.Around, chosen: tuple[int, str]
) -> str:
    """By the device; in 2017 enlarged with line conductors that heat or number made larger; full size in each set."""
    sets, size = chosen
    egc = ground.equipment_grounding(device_A, material)
    cool = amp.Around(insulation_C=around.insulation_C, terminal_C=around.terminal_C)
    enough = wire.fewest_sets_allowed(needed_A, material, cool, supply.edition, device_A)
    if enough is not None:
        areas = [n * conductors.area_cmil(s) for n, s in (enough, chosen)]
        egc = ground.enlarged_grounding(egc, material, areas[0], areas[1], supply.edition, "temperature") or egc
    return ground.grounding_in_set(egc, size, sets)


def _feeder_working(
    supply: Supply, row: ConductorChoice, worked: ConductorWorking, around: amp.Around
) -> tuple[Line, ...]:
    place, device_A = row.part, worked.device_A
    return (
        line(
            f"{place}: ampacity needed",
            f"smaller of {device_A:g} and {supply.needed_A:g} (service conductors)",
            worked.required_A,
            "A",
            wire.feeder_ampacity_A,
            supply.edition,
        ),
        *chains.chain_lines(worked, around, supply.edition),
        line(
            f"{place}: {name_of(row)} where they lie",
            f"{row.sets} x {worked.allowable_A:g}",
            worked.total_A,
            "A",
            amp.ampacity_chain,
            supply.edition,
        ),
        line(
            f"{place}: device for {row.grounding_size} {row.material} equipment grounding conductor",
            "table",
            device_A,
            "A",
            ground.equipment_grounding,
            supply.edition,
        ),
    )


def _why_feeder(supply: Supply, material: str, device_A: float, needed_A: float, around: amp.Around) -> str:
    text = f"{device_A:g} A breaker, {around.terminal_C} C column"
    if needed_A < device_A:
        return f"{text}; needs no more than the service conductors ({needed_A:g} A)"
    text += "; carries part of the load: no 83 % reduction"
    if around.terminal_C == 60:
        marked = wire.fewest_sets_allowed(needed_A, material, supply.around(75), supply.edition, device_A)
        text += f"; {marked[1]} if all terminals are marked 75 C" if marked is not None else ""
    return text
