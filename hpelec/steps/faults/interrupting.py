"""Whether each panel can interrupt the fault current at its line terminals."""

from __future__ import annotations

from dataclasses import replace

from hpelec.core.citing import cite
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.house.rows_loads import Appliance
from hpelec.house.sections_power import ServiceSite
from hpelec.steps.faults import rules
from hpelec.steps.faults.chain import Chain
from hpelec.steps.faults.model import FaultPoint
from hpelec.steps.faults.source import Source, source_of

SERIES = (
    "breakers with a lower rating behind a main are allowed only in combinations that the label of the panel lists "
    "(series ratings): verify them there"
)


def interrupting(chain: Chain, source: Source, edition: int) -> list[Finding]:
    """One finding for each panel."""
    found = [_one(point, source, edition) for point in chain.panels]
    missing = [name for name in chain.unsized if name != "service"]
    if chain.unsized:
        found.append(
            Finding(
                "fault-conductors",
                "faults",
                ", ".join(missing) or "meter",
                "the conductors on the way are sized, so that they may count against the fault current",
                "no conductor is sized for a part of the way; it counts as no impedance",
                "",
                "size the service and its feeders first",
                Verdict.CANNOT_SAY,
                cite(rules.vector_fault_A, edition),
            )
        )
    return found


def plausible(site: ServiceSite, design_A: float, edition: int) -> list[Finding]:
    """A stated current above what the transformer named can give; nothing to say where one of the two is missing."""
    known = site.transformer_kVA is not None and site.transformer_impedance_percent is not None
    if site.available_fault_A is None or not known:
        return []
    most_A = source_of(replace(site, available_fault_A=None), design_A).high_A
    stated_A = source_of(site, design_A).high_A
    if stated_A <= most_A:
        return []
    return [
        Finding(
            "available-fault",
            "faults",
            "service",
            "the fault current stated is one that the transformer named can give",
            f"{stated_A:,.0f} A line to line stated; a {site.transformer_kVA:g} kVA transformer gives {most_A:,.0f} A",
            f"<= {most_A:,.0f} A",
            "ask the utility again: the figure may be for another transformer, or three-phase",
            Verdict.CANNOT_SAY,
            cite(rules.terminal_fault_A, edition),
        )
    ]


def _one(point: FaultPoint, source: Source, edition: int) -> Finding:
    high = f"up to {point.needed_A:,.0f} A at its line terminals ({source.told})"
    needed = f"{point.needed_kA:g} kA" if point.needed_kA is not None else "more than the usual ratings"
    if point.given_kA is None:
        verdict, got = Verdict.CANNOT_SAY, f"{high}; its rating is not given"
        fix = f"choose equipment of {needed}, or give its label's rating as interrupting_kA in panels.csv; {SERIES}"
    else:
        verdict = _verdict(point, point.given_kA, source)
        got = f"{point.given_kA:g} kA; {high}"
        fix = f"equipment of {needed}, or a longer or smaller supply; {SERIES}"
        if verdict is Verdict.CANNOT_SAY:
            lowest = "unknown" if point.low_A is None else f"{point.low_A:,.0f} A"
            fix = f"ask the utility for its fault current and X/R (lowest here: {lowest}), or rate it higher; {SERIES}"
    return Finding(
        "interrupting-rating",
        "faults",
        point.id,
        "main and breakers can interrupt the fault current that is available",
        got,
        f">= {point.needed_A / 1000:.1f} kA",
        fix,
        verdict,
        cite(rules.interrupts, edition),
    )


def _verdict(point: FaultPoint, given_kA: float, source: Source) -> Verdict:
    """Against the highest current; what was only assumed of the source can show a miss only by its lowest current."""
    if rules.interrupts(given_kA, max(point.needed_A, point.other_ratio_A)):
        return Verdict.MEETS
    if rules.interrupts(given_kA, point.needed_A):
        return Verdict.CANNOT_SAY
    sure_A = point.low_A
    if source.certain or (sure_A is not None and not rules.interrupts(given_kA, sure_A)):
        return Verdict.MISSES
    return Verdict.CANNOT_SAY


def motors(appliances: tuple[Appliance, ...]) -> Assumption:
    """What motors would add, and that it is left out."""
    running = [a for a in appliances if a.motor and a.status != "removed" and a.voltage_V > 120]
    full_A = sum(a.quantity * (a.current_A or (a.power_VA or 0.0) / a.voltage_V) for a in running)
    added_A = rules.motor_contribution_A(full_A)
    return Assumption(
        "faults, motors",
        "the current that running motors feed into a fault is left out",
        f"usual for a dwelling; by 4 x full-load current the motors above 120 V here would add {added_A:,.0f} A at "
        "most, in the first cycle",
    )
