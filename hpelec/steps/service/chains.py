"""The ampacity chain of each conductor of the supply, as a row and as lines of working."""

from __future__ import annotations

from hpelec.common import rules_ampacity as amp
from hpelec.common import rules_conductors as conductors
from hpelec.common import rules_supply as wire
from hpelec.core.citing import cite
from hpelec.core.findings import Finding, Verdict
from hpelec.core.working import Line, line
from hpelec.steps.service.model import ConductorChoice
from hpelec.steps.service.model_conductors import ConductorWorking


def chain_row(
    row: ConductorChoice, around: amp.Around, *, reduced: bool, capped: bool, table_size: str, smaller: str
) -> ConductorWorking | None:
    """The chain behind a choice; None where the heat permits no ampacity or no device is known.

    reduced: the 83 % rule sets what is needed; capped: the service conductors do.
    """
    chain = amp.ampacity_chain(row.size, row.material, around)
    if chain is None or row.device_A is None or row.required_A is None:
        return None
    total_A = row.sets * chain.allowable_A
    return ConductorWorking(
        part=row.part,
        material=row.material,
        chosen=row.chosen,
        size=row.size,
        sets=row.sets,
        insulation_C=around.insulation_C,
        base_A=chain.base_A,
        ambient_C=around.ambient_C,
        ambient_factor=chain.ambient_factor,
        conductors=around.conductors,
        count_factor=chain.count_factor,
        corrected_A=chain.corrected_A,
        cap_A=chain.cap_A,
        terminal_C=around.terminal_C,
        terminal_A=chain.terminal_A,
        allowable_A=chain.allowable_A,
        total_A=total_A,
        required_A=row.required_A,
        device_A=row.device_A,
        protected_by=_protected_by(row.device_A, total_A, reduced=reduced, capped=capped),
        table_size=table_size,
        next_size_up=smaller,
    )


def _protected_by(device_A: float, total_A: float, *, reduced: bool, capped: bool) -> str:
    if device_A <= total_A * (2 - wire.ENOUGH):
        return "ampacity not below the device"
    if reduced:
        return "83 % rule of dwelling services"
    return "no more needed than in the service conductors" if capped else "next size up"


def chain_lines(row: ConductorWorking, around: amp.Around, edition: int) -> tuple[Line, ...]:
    """The links of a chain, each with the clause it follows."""
    name = f"{row.part}, {row.size} {row.material}"
    base_by = conductors.conductor_citation(row.size, row.material, "ampacity")
    heat_by = amp.ambient_citation(around.insulation_C, around.ambient_C) or cite(amp.ambient_factor, edition)
    product = f"{row.base_A:g} x {row.ambient_factor:g} x {row.count_factor:g}"
    lines = [
        line(f"{name}: base, {row.insulation_C} C column", "table", row.base_A, "A", base_by),
        line(f"{name}: ambient factor", f"table, {row.ambient_C:.4g} C", row.ambient_factor, "", heat_by),
        line(
            f"{name}: count factor", f"table, {row.conductors} conductors", row.count_factor, "",
            amp.adjustment_row(row.conductors).citation,
        ),
        line(f"{name}: corrected", product, row.corrected_A, "A", amp.ampacity_chain, edition),
    ]  # fmt: skip
    limits = [f"{row.corrected_A:.4g}", f"{row.terminal_A:g} ({row.terminal_C} C terminals)"]
    cap = amp.cap_row(row.size, around)
    if row.cap_A is not None and cap is not None:
        limits.append(f"{row.cap_A:g} (cable)")
        lines.append(line(f"{name}: limit of the cable", "table", row.cap_A, "A", cap.citation))
    smallest = f"smallest of {', '.join(limits)}"
    return (*lines, line(f"{name}: allowable", smallest, row.allowable_A, "A", conductors.terminal_column_C, edition))


def too_hot(place: str, around: amp.Around, edition: int) -> Finding:
    """The finding that no ampacity is permitted where the conductors lie."""
    return Finding(
        "conductor-heat",
        "service",
        place,
        "the air round the conductors leaves them an ampacity",
        f"{around.ambient_C:.0f} C round {around.insulation_C} C insulation",
        f"below {around.insulation_C} C, and a factor in the table",
        "a cooler way for the conductors, clear of the roof, or insulation of 90 C",
        Verdict.MISSES,
        cite(amp.ambient_factor, edition),
    )


def smaller_by_next_size(load_A: float, device_A: float, row: ConductorChoice, around: amp.Around, edition: int) -> str:
    """A size below the one chosen that the next size up would allow for a load; empty when there is none."""
    found = wire.smallest_by_next_size_up(load_A, device_A, row.material, around, row.sets, edition)
    return found if found and conductors.area_cmil(found) < conductors.area_cmil(row.size) else ""


def sets_remark(sets: int) -> str:
    """What parallel sets ask for, and what one longer set would do."""
    if sets < 2:
        return ""
    most = max(wire.parallel_shares([1.1] + [1.0] * (sets - 1))) * 100
    return (
        "; sets of the same length, size, metal, insulation and terminations: one of them 10 % longer would leave "
        f"{most:.1f} % of the current to each other set, instead of {100 / sets:.1f} %"
    )
