"""The trench: cover, depth, width, volumes, ribbon; the riser and its seal."""

from __future__ import annotations

import math

from hpelec.core.citing import Citation
from hpelec.core.findings import Verdict
from hpelec.house.sections_power import ServiceSite
from hpelec.steps.lateral import rules_raceway
from hpelec.steps.lateral import rules_trench as rules
from hpelec.steps.lateral.model import Raceway, Trench
from hpelec.steps.lateral.raceway import sizes_of
from hpelec.steps.lateral.told import Told, judged
from hpelec.steps.lateral.values import value, value_citation
from hpelec.steps.service.model import ConductorChoice

SEAL = Citation("NFPA 70", "300.5(G), 300.7(A)", "2017-2023", "memory")


def least_cover(site: ServiceSite, edition: int) -> tuple[float, int, int]:
    """Least cover [in] for the method and place of the house, with row and column of the table."""
    row = int(rules.place_row(site.lateral_under).number("location_row"))
    column = int(rules.method_row(site.lateral_method).number("burial_column"))
    return rules.least_cover_in(row, column, edition), row, column


def trench(site: ServiceSite, row: ConductorChoice, conduit: Raceway | None, edition: int) -> Trench:
    """Cross-section and volumes for the conductors of the lateral."""
    least_in, _, _ = least_cover(site, edition)
    cover = _cover_in(site, least_in)
    if conduit is not None:
        body, bodies = conduit.outside_in, conduit.used + conduit.spare
    else:
        body = value("triplex") * max(rules_raceway.conductor_outside_in("USE-2", s) for s in sizes_of(row))
        bodies = row.sets
    gap = value("conduit_gap_in")
    needed = rules.least_width_in(bodies, body, gap)
    width = site.trench_width_in or max(value("trench_width_in"), needed)
    depth = rules.depth_in(cover, body, site.bedding_in)
    length = site.lateral_length_ft
    wiring = bodies * math.pi / 4 * body**2 * length / 144
    dug, bedding = rules.volume_ft3(width, depth, length), rules.volume_ft3(width, site.bedding_in, length)
    ribbon = rules.ribbon_required(cover, site.concrete_encased)
    return Trench(
        under=rules.place_row(site.lateral_under).text("name"),
        least_cover_in=least_in,
        cover_in=cover,
        body_in=body,
        bodies=bodies,
        bedding_in=site.bedding_in,
        depth_in=depth,
        width_in=width,
        least_width_in=needed,
        gap_in=gap,
        ribbon_depth_in=rules.deepest_ribbon_in(cover) if ribbon else None,
        length_ft=length,
        dug_ft3=dug,
        bedding_ft3=bedding,
        wiring_ft3=wiring,
        backfill_ft3=dug - bedding - wiring,
        left_over_ft3=bedding + wiring,
    )


def _cover_in(site: ServiceSite, least_in: float) -> float:
    """Cover as the house has it; else the least by the code, and the utility's own where it owns what is buried."""
    if site.cover_in is not None:
        return site.cover_in
    return max(least_in, value("utility_cover_in")) if site.lateral_owner == "utility" else least_in


def tell(told: Told, site: ServiceSite, made: Trench, findings: bool) -> None:
    """Working, assumptions and findings of the trench."""
    least_in, row, column = least_cover(site, told.edition)
    method = rules.method_row(site.lateral_method).text("name")
    told.work(
        f"least cover: {method}, {made.under}", f"row {row}, column {column}",
        least_in, "in", rules.burial_citation(row, column),
    )  # fmt: skip
    told.work(
        "depth to dig", f"{made.cover_in:g} cover + {made.body_in:.3f} outside diameter + {made.bedding_in:g} bedding",
        made.depth_in, "in", rules.depth_in,
    )  # fmt: skip
    told.work(
        "volume dug", f"{made.width_in:g} x {made.depth_in:.2f} / 144 x {made.length_ft:g}", made.dug_ft3, "ft3",
        rules.volume_ft3,
    )  # fmt: skip
    told.work(
        "bedding", f"{made.width_in:g} x {made.bedding_in:g} / 144 x {made.length_ft:g}", made.bedding_ft3, "ft3",
        rules.volume_ft3,
    )  # fmt: skip
    told.work(
        "backfill", f"{made.dug_ft3:.1f} - {made.bedding_ft3:.1f} - {made.wiring_ft3:.1f} (wiring)", made.backfill_ft3,
        "ft3",
    )  # fmt: skip
    if made.ribbon_depth_in is not None:
        told.work(
            "ribbon: deepest place", f"{made.cover_in:g} - {value('ribbon_above_in'):g}", made.ribbon_depth_in, "in",
            rules.deepest_ribbon_in,
        )  # fmt: skip
    _assume(told, site, made.cover_in)
    if findings:
        _find_cover(told, site, made)
        _find_width(told, made)
        _find_ribbon(told, made)
        _find_riser(told, site, made)


def _assume(told: Told, site: ServiceSite, cover_in: float) -> None:
    told.assume(
        "trench",
        "upright walls, level, as long as the lateral; volumes as they lie in the ground",
        "dug soil takes more room than it did; deep or loose trenches need sloped walls or shoring",
    )
    if site.spare_conduits and site.lateral_method == "direct_buried":
        told.assume("trench", "without the spare conduits", "a conduit beside direct-buried conductors is not drawn")
    if site.cover_in is None:
        by = "usual for a lateral that the utility owns" if site.lateral_owner == "utility" else "the least by the code"
        told.assume(
            "cover", f"{cover_in:g} in: {by}", "cover_in is not given; frost, plow and utility may ask for more"
        )


def _find_cover(told: Told, site: ServiceSite, made: Trench) -> None:
    enough = rules.cover_is_enough(made.cover_in, made.least_cover_in)
    bare = site.lateral_under == "building" and site.lateral_method == "direct_buried"
    theirs = site.lateral_owner == "utility" and enough and not bare
    told.find(
        "lateral-cover",
        made.under,
        f"cover over {rules.method_row(site.lateral_method).text('name')}",
        f"{made.cover_in:g} in",
        "in a raceway under a building" if bare else f">= {made.least_cover_in:g} in",
        "ask the utility for its own cover"
        if theirs
        else "take a conduit"
        if bare
        else "dig deeper, or take metal conduit",
        judged(enough and not bare, theirs),
        rules.cover_is_enough,
    )


def _find_width(told: Told, made: Trench) -> None:
    told.find(
        "trench-width",
        "trench",
        "conduits or bundles lie side by side with bedding round each",
        f"{made.width_in:g} in",
        f">= {made.least_width_in:.1f} in",
        "a wider trench",
        judged(made.width_in >= made.least_width_in - 1e-9),
        value_citation("conduit_gap_in"),
    )


def _find_ribbon(told: Told, made: Trench) -> None:
    if made.ribbon_depth_in is None:
        got = "not required: less than 18 in of cover, or encased in concrete"
    else:
        got = f"ribbon at most {made.ribbon_depth_in:g} in below grade is part of the plan"
    told.find(
        "lateral-ribbon",
        "trench",
        "a warning ribbon lies at least 12 in above service conductors that are 18 in deep or more",
        got,
        "",
        "",
        Verdict.MEETS,
        rules.ribbon_required,
    )


def _find_riser(told: Told, site: ServiceSite, made: Trench) -> None:
    row = rules.method_row(site.riser_method)
    told.find(
        "lateral-riser",
        "where the conductors leave the ground",
        "protected from the least cover to 8 ft above grade or to the enclosure; PVC is schedule 80 there",
        f"{row.text('name')}, {rules.riser_ft(made.least_cover_in):.1f} ft at most",
        "PVC schedule 80, or rigid metal conduit",
        "schedule 80 for the riser, unless the inspector finds no exposure to damage",
        judged(row.text("riser_protected") == "yes"),
        rules.riser_ft,
    )
    told.find(
        "lateral-raceway-seal",
        "upper end of the lateral's conduit",
        "a raceway from the ground is sealed inside, and so is one that passes from cold to warm",
        "the conduit carries soil gas, water and air to the meter and on through the service entrance",
        "sealed at the end by a compound listed for it",
        "seal both ends of the service-entrance conduit; the sealing plan lists its hole where the panel is inside",
        Verdict.CANNOT_SAY,
        SEAL,
    )
