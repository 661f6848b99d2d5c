"""Underground and overhead side by side: who owns what, what has to be asked."""

from __future__ import annotations

from hpelec.core.tables import table
from hpelec.house.sections_power import ServiceSite
from hpelec.steps.lateral.model import Clearance, Raceway, SideRow, Trench
from hpelec.steps.lateral.raceway import METALS, insulation_of, said
from hpelec.steps.service.model import ConductorChoice, ServiceResult


def usual(kind: str, owner: str) -> tuple[str, ...]:
    """Parts that this owner usually has, underground or overhead."""
    return tuple(r.text("part") for r in table("lateral/ownership").where(kind=kind, owner=owner))


def sides(
    site: ServiceSite,
    service: ServiceResult,
    row: ConductorChoice | None,
    trench: Trench | None,
    conduit: Raceway | None,
    clearances: tuple[Clearance, ...],
) -> tuple[SideRow, SideRow]:
    """Both ways, the chosen one first."""
    made = [
        SideRow(
            kind="underground",
            chosen=site.lateral == "underground",
            length_ft=site.lateral_length_ft,
            conductors=_conductors(row, insulation_of(site)),
            drop_percent=service.lateral_drop_percent,
            utility_owns=(*usual("underground", "utility"), *_owned(site, conduit, "utility")),
            customer_provides=(*usual("underground", "customer"), *_owned(site, conduit, "customer")),
            remains_unknown=_unknown_underground(site, trench),
        ),
        SideRow(
            kind="overhead",
            chosen=site.lateral == "overhead",
            length_ft=site.lateral_length_ft,
            conductors=_conductors(row, "cable on a messenger"),
            drop_percent=service.lateral_drop_percent,
            utility_owns=usual("overhead", "utility"),
            customer_provides=usual("overhead", "customer"),
            remains_unknown=_unknown_overhead(site, clearances),
        ),
    ]
    first, second = sorted(made, key=lambda r: not r.chosen)
    return first, second


def _conductors(row: ConductorChoice | None, kind: str) -> str:
    if row is None:
        return "none proposed"
    text = said(row, kind)
    return f"{row.sets} sets of {text}" if row.sets > 1 else text


def _owned(site: ServiceSite, conduit: Raceway | None, owner: str) -> tuple[str, ...]:
    """The parts whose owner the house names."""
    parts = [(f"{METALS[site.lateral_material]} conductors", site.lateral_owner)]
    if conduit is not None:
        count = conduit.used + conduit.spare
        text = f"{count} x " if count > 1 else ""
        parts.append((f"{text}{conduit.name}", site.conduit_owner))
    parts.append(("trench, bedding, ribbon and backfill", site.trench_owner))
    return tuple(text for text, who in parts if who == owner)


def _unknown_underground(site: ServiceSite, trench: Trench | None) -> tuple[str, ...]:
    """What to ask before it is certain, underground."""
    made = ["other things in the ground: have them marked before anyone digs"]
    if site.lateral_owner == "utility":
        made.append("conductors, conduit and cover that the utility asks for")
    if site.cover_in is None:
        made.append("cover against frost and plow")
    if site.transformer_kVA is None:
        made.append("transformer")
    if trench is None:
        made.append("trench, as no conductors are proposed")
    return tuple(made)


def _unknown_overhead(site: ServiceSite, clearances: tuple[Clearance, ...]) -> tuple[str, ...]:
    """What to ask before it is certain, overhead."""
    missing = dict.fromkeys(name for row in clearances for name in row.missing.split(", ") if name)
    made = [f"{name} (not given)" for name in missing]
    if site.span_ft is None:
        made.append("free span from the last pole")
    made.append("tension of the drop and the mast that holds it")
    if site.transformer_kVA is None:
        made.append("transformer")
    return tuple(made)
