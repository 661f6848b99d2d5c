"""Step lateral: the run from the transformer to the meter, in the ground and in the air, whichever is chosen.

Conductors and voltage drop are those of the step service. Findings are said of the way that the house has chosen; the
table of sides, the trench and the clearances are there for both.
"""

from __future__ import annotations

from hpelec.core.editions import PROVISIONAL, check_edition
from hpelec.core.findings import Verdict
from hpelec.house.model import House
from hpelec.steps.lateral import losses, overhead, pulling, raceway, rules_trench, starts, trench
from hpelec.steps.lateral.model import LateralResult, Loss, MotorStart, Pull, Raceway
from hpelec.steps.lateral.sides import sides
from hpelec.steps.lateral.told import Told
from hpelec.steps.loads.model import LoadsResult
from hpelec.steps.service.model import ConductorChoice, ServiceResult

ENTRANCE_METHOD, ENTRANCE_INSULATION = "pvc40", "XHHW-2"
"""Taken for the conduit from the meter to the panel; told as an assumption."""


def design(house: House, edition: int, *, loads: LoadsResult, service: ServiceResult) -> LateralResult:
    """Conduit, trench, pull, clearances, motor starts and losses of the lateral that step service proposes.

    Raises EditionError for an unknown edition.
    """
    check_edition(edition)
    site = house.service_site
    told = Told(edition)
    row, entrance_row = _chosen(service, "lateral"), _chosen(service, "service entrance")
    underground = site.lateral == "underground"
    conduit = made_trench = entrance = None
    sections: tuple[Pull, ...] = ()
    boxes_ft: tuple[float, ...] = ()
    if row is not None:
        conduit = _conduit(told, house, row, findings=underground)
        made_trench = trench.trench(site, row, conduit, edition)
        trench.tell(told, site, made_trench, underground)
        if conduit is not None:
            sections, boxes_ft = _pulled(told, house, row, conduit, findings=underground)
    elif underground:
        _unsized(told)
    if entrance_row is not None:
        entrance = _entrance(told, house, entrance_row)
    hung = overhead.clearances(site)
    if not underground:
        overhead.tell(told, site, hung)
    started, lost = _electrical(told, house, loads, row, entrance_row)
    if edition in PROVISIONAL:
        _provisional(told, edition)
    least_in, _, _ = trench.least_cover(site, edition)
    return LateralResult(
        edition=edition,
        chosen=site.lateral,
        sides=sides(site, service, row, made_trench, conduit, hung),
        conduit=conduit,
        entrance=entrance,
        trench=made_trench,
        riser_ft=rules_trench.riser_ft(least_in),
        pulls=sections,
        pull_boxes_ft=boxes_ft,
        clearances=hung,
        starts=started,
        losses=lost,
        working=tuple(told.working),
        findings=tuple(told.findings),
        assumptions=tuple(told.assumptions),
    )


def _chosen(service: ServiceResult, part: str) -> ConductorChoice | None:
    return next((c for c in service.conductors if c.part == part and c.chosen), None)


def _conduit(told: Told, house: House, row: ConductorChoice, *, findings: bool) -> Raceway | None:
    """Conduit of the lateral; None for direct-buried conductors."""
    site = house.service_site
    if site.lateral_method == "direct_buried":
        if site.lateral_insulation != "USE-2":
            told.assume(
                "conductors", "type USE-2", f"{site.lateral_insulation} may not lie in the soil without conduit"
            )
        return None
    insulation = raceway.insulation_of(site)
    made = raceway.raceway(
        row,
        site.lateral_method,
        site.conduit_size,
        insulation,
        site.lateral_length_ft,
        site.spare_conduits,
        bends=any(site.bends_deg),
    )
    theirs = site.lateral_owner == "utility"
    raceway.tell(
        told, "lateral conduit", row, made, insulation, bends=any(site.bends_deg), theirs=theirs, findings=findings
    )
    return made


def _pulled(
    told: Told, house: House, row: ConductorChoice, conduit: Raceway, *, findings: bool
) -> tuple[tuple[Pull, ...], tuple[float, ...]]:
    """Sections between pull points both ways, and where pull boxes are needed."""
    site = house.service_site
    if any(d >= conduit.bore_in / 2.155 for d in conduit.diameters_in):
        return (), ()
    cable = pulling.cable_of(site, row, conduit)
    cut = pulling.sections(pulling.pieces_of(site), cable)
    boxes_ft = tuple(section[0].start_ft for section in cut[1:])
    made = pulling.pulls(cut, cable, site.lateral_length_ft)
    pulling.tell(told, site, cable, made, boxes_ft, findings)
    return made, boxes_ft


def _entrance(told: Told, house: House, row: ConductorChoice) -> Raceway:
    """Conduit of the service entrance, which the step penetrations takes for its hole."""
    length_ft = house.service_site.service_entrance_length_ft
    made = raceway.raceway(row, ENTRANCE_METHOD, "auto", ENTRANCE_INSULATION, length_ft, 0, bends=True)
    raceway.tell(
        told, "service entrance", row, made, ENTRANCE_INSULATION, bends=True, theirs=False, findings=True
    )  # fmt: skip
    told.assume(
        "service entrance",
        f"{ENTRANCE_INSULATION} conductors in {made.name}",
        "method and trade size of the service entrance are not in the house folder",
    )
    return made


def _electrical(
    told: Told, house: House, loads: LoadsResult, row: ConductorChoice | None, entrance: ConductorChoice | None
) -> tuple[tuple[MotorStart, ...], tuple[Loss, ...]]:
    """Motor starts and losses, once both parts have conductors."""
    if row is None or entrance is None:
        return (), ()
    site = house.service_site
    of = starts.sources(site, row, entrance)
    started = starts.starts(house, of)
    starts.tell(told, house, started, of)
    lost = losses.losses(site, loads, row, entrance)
    losses.tell(told, site, loads, lost)
    return started, lost


def _unsized(told: Told) -> None:
    told.find(
        "lateral-trench",
        "lateral",
        "conduit and trench for the conductors of the lateral",
        "step service proposes no conductors",
        "",
        "a load that the conductors within reach can carry",
        Verdict.CANNOT_SAY,
        rules_trench.depth_in,
    )


def _provisional(told: Told, edition: int) -> None:
    told.find(
        "lateral-edition",
        "lateral",
        "cover, fill and clearances of this edition",
        f"edition {edition} seen only in change summaries; values of 2023 used",
        "values read in the edition itself",
        f"verify section and table numbers against the adopted edition {edition}",
        Verdict.CANNOT_SAY,
        rules_trench.least_cover_in,
    )
