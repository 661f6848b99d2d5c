"""Clearances of an overhead drop."""

from __future__ import annotations

from hpelec.core.citing import Citation
from hpelec.core.findings import Verdict
from hpelec.house.sections_power import ServiceSite
from hpelec.steps.lateral import rules_overhead as rules
from hpelec.steps.lateral.model import Clearance
from hpelec.steps.lateral.told import Told, judged
from hpelec.steps.lateral.values import value, value_citation

MAST = Citation("NFPA 70", "230.28", "2017-2023", "memory")


def clearances(site: ServiceSite) -> tuple[Clearance, ...]:
    """Every clearance asked for, with what is planned where the heights are given."""
    attached, pole, sag = site.attachment_ft, site.pole_attachment_ft, site.sag_ft
    hangs = [n for n in ("attachment_ft", "pole_attachment_ft", "sag_ft") if getattr(site, n) is None]
    loop = None if attached is None else max(attached - value("drip_loop_ft"), 0.0)
    beside = site.window_distance_ft
    lowest = None
    if attached is not None and pole is not None and sag is not None:
        lowest = rules.lowest_ft(attached, pole, sag)
    made = [
        _row("attachment", "", attached, ["attachment_ft"] if attached is None else []),
        _row("drip_loop", "", loop, ["attachment_ft"] if attached is None else []),
        _row("span", site.drop_over, lowest, hangs),
        _row("window", "", beside, ["window_distance_ft"] if beside is None else []),
    ]  # fmt: skip
    if site.drop_over_roof != "none":
        missing = [] if site.roof_clearance_ft is not None else ["roof_clearance_ft"]
        made.append(_row("roof", site.drop_over_roof, site.roof_clearance_ft, missing))
    return tuple(made)


def _row(id: str, over: str, have_ft: float | None, missing: list[str]) -> Clearance:
    row = rules.clearance_row(id, over)
    return Clearance(
        what=row.text("what"),
        needed_ft=rules.clearance_ft(id, over),
        have_ft=have_ft,
        missing=", ".join(missing),
        citation=row.citation,
    )


def tell(told: Told, site: ServiceSite, made: tuple[Clearance, ...]) -> None:
    """Working, assumptions and findings of the drop."""
    if site.attachment_ft is not None:
        told.work(
            "drip loop: lowest point", f"{site.attachment_ft:g} - {value('drip_loop_ft'):g}",
            max(site.attachment_ft - value("drip_loop_ft"), 0.0), "ft", value_citation("drip_loop_ft"),
        )  # fmt: skip
        if site.pole_attachment_ft is not None and site.sag_ft is not None:
            told.work(
                "drop: lowest conductor",
                f"supports at {site.attachment_ft:g} and {site.pole_attachment_ft:g} ft, sag {site.sag_ft:g} ft",
                rules.lowest_ft(site.attachment_ft, site.pole_attachment_ft, site.sag_ft), "ft", rules.lowest_ft,
            )  # fmt: skip
    told.assume(
        "overhead drop",
        "cable on a bare messenger, at most 150 V to ground, level ground; the last span crosses what drop_over says",
        "other cables and sloping ground need more",
    )
    for row in made:
        verdict = Verdict.CANNOT_SAY if row.have_ft is None else judged(row.have_ft >= row.needed_ft - 1e-9)
        told.find(
            "drop-clearance",
            "overhead drop",
            row.what,
            "height not given" if row.have_ft is None else f"{row.have_ft:.1f} ft",
            f">= {row.needed_ft:g} ft",
            f"fill in {row.missing} in house.toml"
            if row.missing
            else "a higher attachment, or another way for the drop",
            verdict,
            row.citation,
        )
    told.find(
        "drop-mast",
        "mast",
        "a mast that holds the drop is strong enough or braced; nothing else is fixed to it",
        "pull of the drop and size of the mast are not known here",
        "",
        "ask the utility for the tension of its drop and for its mast drawing",
        Verdict.CANNOT_SAY,
        MAST,
    )
