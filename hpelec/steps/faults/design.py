"""Step faults: fault current to each panel, grounding and bonding, protection by edition, the space before panels."""

from __future__ import annotations

from dataclasses import replace

from hpelec.core.citing import cite
from hpelec.core.editions import PROVISIONAL, check_edition
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.house.model import House
from hpelec.steps.faults import rules
from hpelec.steps.faults.chain import Chain, chain
from hpelec.steps.faults.electrodes import grounding_findings, grounding_rows, sizes_of
from hpelec.steps.faults.interrupting import interrupting, motors, plausible
from hpelec.steps.faults.model import FaultsResult
from hpelec.steps.faults.outbuildings import outbuilding_rows
from hpelec.steps.faults.protection import protection
from hpelec.steps.faults.source import Source, source_of
from hpelec.steps.faults.space import places
from hpelec.steps.loads.model import LoadsResult
from hpelec.steps.service.model import ServiceResult


def design(house: House, edition: int, *, loads: LoadsResult, service: ServiceResult) -> FaultsResult:
    """Fault currents along the conductors of the step service, and what the rules say of grounding and place.

    Raises EditionError for an unknown edition.
    """
    check_edition(edition)
    source = source_of(house.service_site, loads.design_A)
    found = _with_other_ratios(house, source, service, loads)
    outbuildings, told = outbuilding_rows(loads, service, edition)
    needed_A = max((p.needed_A for p in found.panels), default=None)
    lowest = [p.low_A for p in found.panels if p.low_A is not None]
    space = places(house, edition)
    sizes = sizes_of(service)
    return FaultsResult(
        edition=edition,
        points=found.points,
        panels_needed_A=needed_A,
        panels_needed_kA=None if needed_A is None else rules.rating_needed_kA(needed_A),
        panels_lowest_A=min(lowest) if lowest and len(lowest) == len(found.panels) else None,
        source=source.told,
        certain=source.certain,
        x_over_r=source.x_over_r,
        grounding=grounding_rows(house.grounding, sizes, edition),
        spaces=space.spaces,
        outbuildings=outbuildings,
        working=(*source.working, *found.working, *space.working),
        findings=(
            *interrupting(found, source, edition),
            *plausible(house.service_site, loads.design_A, edition),
            *grounding_findings(house.grounding, edition),
            *protection(house.service_site, house.panels, edition, existing=house.general.project == "existing"),
            *space.findings,
            *told,
            *_provisional(edition),
        ),
        assumptions=(
            *source.assumptions,
            _ratio(source, found),
            *found.assumptions,
            motors(house.appliances),
            *space.assumptions,
        ),
    )


RATIOS = (0.8, 3.0)
"""X/R of small and of large distribution transformers, tried beside the one taken (common practice)."""


def _with_other_ratios(house: House, source: Source, service: ServiceResult, loads: LoadsResult) -> Chain:
    """The chain, each point with the highest current that another X/R of the source would give."""
    found = chain(house, source, service, loads.buildings)
    others = [chain(house, replace(source, x_over_r=ratio), service, loads.buildings).points for ratio in RATIOS]
    points = (
        replace(point, other_ratio_A=max(o.needed_A for o in tried))
        for point, *tried in zip(found.points, *others, strict=True)
    )
    return replace(found, points=tuple(points))


def _ratio(source: Source, found: Chain) -> Assumption:
    """X/R of the source, and what others would give at the panel that must interrupt most."""
    worst = max(found.panels or found.points, key=lambda p: (p.needed_A, p.id))
    return Assumption(
        "faults, source",
        f"X/R {source.x_over_r:.2f} behind the source",
        "from the windings of one published transformer, not known for this one; "
        f"{worst.id} must interrupt {worst.needed_A:,.0f} A, and at most {worst.other_ratio_A:,.0f} A with X/R "
        f"{RATIOS[0]:g} or {RATIOS[1]:g}",
    )


def _provisional(edition: int) -> tuple[Finding, ...]:
    if edition not in PROVISIONAL:
        return ()
    return (
        Finding(
            "faults-edition",
            "faults",
            "grounding and protection",
            "clauses of grounding, protection and working space in this edition",
            f"edition {edition} seen only in change summaries; clauses of 2023 used where none was seen",
            "clauses read in the edition itself",
            f"verify section numbers against the adopted edition {edition}",
            Verdict.CANNOT_SAY,
            cite(rules.interrupts, edition),
        ),
    )
