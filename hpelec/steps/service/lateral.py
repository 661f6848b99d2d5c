"""The lateral: its conductors, and its voltage drop by size."""

from __future__ import annotations

import dataclasses

from hpelec.common import rules_conductors as conductors
from hpelec.common import rules_drop as drop
from hpelec.common import rules_supply as wire
from hpelec.core.citing import cite
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.working import Line, line
from hpelec.steps.service.chains import chain_lines
from hpelec.steps.service.model import DropRow
from hpelec.steps.service.model_conductors import Run
from hpelec.steps.service.runs import run_lines, run_of
from hpelec.steps.service.supply import OTHER, POWER_FACTOR, Part, Supply, unsized, whole_load_row, why_size


def lateral(supply: Supply) -> tuple[Part, tuple[DropRow, ...], float | None]:
    """Lateral conductors, the table of drops by size in both metals, and the drop [%] of the lateral proposed."""
    named = supply.site.lateral_material
    tables = {m: _drops_of(supply, m) for m in (named, OTHER[named])}
    picked = {m: _proposed(found) for m, found in tables.items()}
    around = supply.outside
    made = [
        whole_load_row(
            supply, "lateral", m, m == named, around, row.sets, row.size, _why_lateral(supply, tables[m], row)
        )
        for m, row in picked.items()
        if row is not None
    ]
    rows = tuple(row for row, _ in made)
    worked = tuple(chain for _, chain in made if chain is not None)
    drops = tuple(
        dataclasses.replace(row, chosen=m == named and row == picked[m])
        for m in sorted(tables)
        for row in sorted(tables[m], key=lambda r: (r.sets, conductors.area_cmil(r.size)))
    )
    chosen = picked[named]
    if chosen is None:
        return Part(findings=(unsized(supply, "lateral", supply.needed_A, around),), material=named), drops, None
    run = _lateral_run(supply, chosen)
    part = Part(
        rows,
        worked,
        (run,),
        (
            *(c for w in worked[:1] for c in chain_lines(w, around, supply.edition)),
            *_lateral_working(supply, chosen),
            *run_lines(run, POWER_FACTOR, supply.loads.voltage_V, supply.edition),
        ),
        (_drop_finding(supply, tables[named][0], chosen),),
        _lateral_assumptions(supply, chosen),
        named,
        chosen.sets * conductors.area_cmil(chosen.size),
    )
    return part, drops, chosen.drop_percent


def _lateral_run(supply: Supply, row: DropRow) -> Run:
    return run_of(
        "lateral",
        row.material,
        row.sets,
        row.size,
        current_A=row.current_A,
        length_ft=row.length_ft,
        power_factor=POWER_FACTOR,
        voltage_V=supply.loads.voltage_V,
        limit_percent=supply.site.drop_limit_percent,
    )


def _drop_row(supply: Supply, material: str, sets: int, size: str) -> DropRow:
    site, voltage_V, load_A = supply.site, supply.loads.voltage_V, supply.loads.design_A
    lost_V = drop.run_drop_V(size, material, sets, load_A, site.lateral_length_ft, POWER_FACTOR, voltage_V)
    return DropRow(
        material=material,
        size=size,
        sets=sets,
        length_ft=site.lateral_length_ft,
        current_A=load_A,
        drop_V=lost_V,
        drop_percent=None if lost_V is None else lost_V / voltage_V * 100,
        meets=lost_V is not None and drop.within_limit(lost_V, voltage_V, site.drop_limit_percent),
        chosen=False,
    )


def _drops_of(supply: Supply, material: str) -> tuple[DropRow, ...]:
    """Drop of every size that carries the main in the fewest sets; then, if none is small enough, of more sets."""
    start = wire.fewest_sets_allowed(supply.needed_A, material, supply.outside, supply.edition)
    if start is None:
        return ()
    sizes = conductors.usable_sizes(material)
    sets, size = start
    rows = [_drop_row(supply, material, sets, s) for s in sizes[sizes.index(size) :]]
    while not any(r.meets for r in rows) and sets < wire.MOST_SETS:
        sets += 1
        least = wire.smallest_allowed(supply.needed_A, material, supply.outside, sets, 0.0, supply.edition)
        more = [_drop_row(supply, material, sets, s) for s in sizes[sizes.index(least or size) :]]
        rows += [r for r in more if r.meets][:1] or more[-1:]
    return tuple(rows)


def _proposed(rows: tuple[DropRow, ...]) -> DropRow | None:
    """The first row within the limit; the smallest that carries the main when none is; None without rows."""
    return next((r for r in rows if r.meets), rows[0] if rows else None)


def _why_lateral(supply: Supply, rows: tuple[DropRow, ...], row: DropRow) -> str:
    text = why_size(supply, row.material, supply.outside, row.sets, row.size) if row == rows[0] else ""
    if row != rows[0]:
        text = f"{rows[0].sets} x {rows[0].size} would carry it; enlarged for the voltage drop, check that lugs take it"
    if supply.site.lateral_owner == "utility":
        text += "; the utility owns the lateral and sizes it by its own rules: for planning only"
    if supply.site.lateral == "overhead":
        text += "; ampacity as in a raceway, which is low for conductors in free air"
    return text


def _lateral_working(supply: Supply, row: DropRow) -> tuple[Line, ...]:
    r = drop.resistance_ohm_per_kft(row.size, row.material)
    x = drop.reactance_ohm_per_kft(row.size, row.material)
    z = drop.effective_ohm_per_kft(r, x, POWER_FACTOR)
    name = f"lateral {row.sets} x {row.size} {row.material}"
    lines = [
        line(f"{name}: resistance at 75 C", "table", r, "ohm/kft", drop.resistance_citation(row.size, row.material)),
        line(f"{name}: reactance", "table", x, "ohm/kft", conductors.conductor_citation(row.size, row.material, "ac")),
        line(
            f"{name}: effective impedance",
            f"{r:g} x {POWER_FACTOR:g} + {x:g} x sin(acos {POWER_FACTOR:g})",
            z,
            "ohm/kft",
            drop.effective_ohm_per_kft,
            supply.edition,
        ),
    ]
    if row.drop_V is None or row.drop_percent is None:
        return tuple(lines)
    usual_V = drop.drop_V(row.current_A, row.length_ft, z / row.sets)
    exact = abs(usual_V - row.drop_V) > 1e-9 * usual_V
    expression = f"2 x {row.current_A:.1f} x {row.length_ft:g} x {z:.4f} / 1000 / {row.sets}"
    if exact:
        expression = f"{supply.loads.voltage_V:g} - received voltage, exact form (approximation: {usual_V:.2f} V)"
    by = drop.exact_drop_V if exact else drop.drop_V
    share = f"{row.drop_V:.3f} / {supply.loads.voltage_V:g} x 100"
    return (
        *lines,
        line("lateral: voltage drop at the design load", expression, row.drop_V, "V", by, supply.edition),
        line("lateral: voltage drop, share", share, row.drop_percent, "%"),
    )


def _percent(row: DropRow) -> str:
    return "cannot be served through it" if row.drop_percent is None else f"{row.drop_percent:.2f} %"


def _drop_finding(supply: Supply, smallest: DropRow, row: DropRow) -> Finding:
    site = supply.site
    got = f"{row.sets} x {row.size} {row.material}, {row.length_ft:g} ft: {_percent(row)}"
    if row != smallest:
        got += f" ({smallest.sets} x {smallest.size} would be enough to carry the load: {_percent(smallest)})"
    if not row.meets:
        fix = "bring the transformer nearer, or the load down: no size within reach holds the limit"
    else:
        fix = "ask the utility which conductor it will install and what drop it allows"
    theirs = site.lateral_owner == "utility" and row.meets
    verdict = Verdict.CANNOT_SAY if theirs else Verdict.MEETS if row.meets else Verdict.MISSES
    return Finding(
        "lateral-drop",
        "service",
        "lateral",
        "voltage drop at the design load is within the limit wanted (the code recommends 3 % for a feeder and sets "
        "no limit for a service)",
        got,
        f"<= {site.drop_limit_percent:g} % of {supply.loads.voltage_V:g} V",
        fix,
        verdict,
        cite(drop.within_limit, supply.edition),
    )


def _lateral_assumptions(supply: Supply, row: DropRow) -> tuple[Assumption, ...]:
    others = []
    for power_factor in (0.85, 1.0):
        lost_V = drop.run_drop_V(
            row.size, row.material, row.sets, row.current_A, row.length_ft, power_factor, supply.loads.voltage_V
        )
        told = "more than can be served" if lost_V is None else f"{lost_V / supply.loads.voltage_V * 100:.2f} %"
        others.append(f"at {power_factor:.2f} it is {told}")
    r = drop.resistance_ohm_per_kft(row.size, row.material)
    cool = drop.resistance_at_ohm_per_kft(r, row.material, 25.0) / r
    return (
        Assumption(
            "service, lateral",
            f"power factor {POWER_FACTOR:g} at the design load",
            f"not in the house folder; an all-electric house is mostly resistive at its peak ({', '.join(others)})",
        ),
        Assumption(
            "service, lateral",
            "conductors at 75 C in PVC, load on the two line conductors alone",
            "the usual basis; the table has two digits above 4/0 (within 3 %); at 25 C the resistance is "
            f"{cool:.2f} of it; a load on one leg alone loses twice the share of its 120 V",
        ),
        Assumption(
            "service, lateral",
            "30 C (86 F) round it, no more than three current-carrying conductors together",
            "ampacities of the table without factors; what [service] says of heat and number is for the conductors at "
            "the house",
        ),
    )
