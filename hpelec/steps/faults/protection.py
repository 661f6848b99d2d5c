"""Surge protection and the emergency disconnect, by edition."""

from __future__ import annotations

from dataclasses import replace

from hpelec.core.citing import Citation, cite
from hpelec.core.editions import PROVISIONAL
from hpelec.core.findings import Finding, Verdict
from hpelec.house.rows import Panel
from hpelec.house.sections_power import ServiceSite
from hpelec.steps.faults import rules_protection as rules

PLACE_WORDS = {
    "outside_on_house": "outdoors on the house",
    "outside_in_sight": "outdoors, within sight of the house",
    "outside_elsewhere": "outdoors, out of sight of the house",
    "inside": "inside",
    "none": "none",
}


def _finding(
    name: str, place: str, rule: str, got: str, allowed: str, fix: str, verdict: Verdict, by: Citation
) -> Finding:
    return Finding(name, "faults", place, rule, got, allowed, fix, verdict, by)


def protection(site: ServiceSite, panels: tuple[Panel, ...], edition: int, *, existing: bool) -> list[Finding]:
    """Findings on surge protection at the service and of feeders, and on the emergency disconnect.

    existing: an existing dwelling, where a miss counts only if the service equipment is replaced.
    """
    found = [*_surge(site, panels, edition), _emergency(site, edition)]
    return [_if_replaced(f) if existing and f.verdict is Verdict.MISSES else f for f in found]


def _if_replaced(finding: Finding) -> Finding:
    fix = f"{finding.fix}; asked of an existing house when its service equipment is replaced: ask the authority"
    return replace(finding, verdict=Verdict.CANNOT_SAY, fix=fix)


def _surge(site: ServiceSite, panels: tuple[Panel, ...], edition: int) -> list[Finding]:
    service = rules.protection_citation("service_surge", edition)
    asked = "a surge protector of type 1 or 2 at the service"
    if not rules.surge_needed("service", edition):
        got = site.surge_protector or "not given"
        return [
            _finding("surge", "service", f"{asked} (this edition asks for none)", got, "", "", Verdict.MEETS, service)
        ]
    least_kA = rules.surge_least_kA(edition)
    allowed = "type 1 or 2" + (f", >= {least_kA:g} kA nominal" if least_kA else "")
    fix = f"choose one: {allowed}, in or beside the service equipment"
    verdict, got = _surge_verdict(site, least_kA)
    if edition in PROVISIONAL and verdict is Verdict.MEETS:
        verdict, fix = Verdict.CANNOT_SAY, f"look the section up in edition {edition}: not seen here"
    found = [_finding("surge", "service", asked, got, allowed, fix, verdict, service)]
    fed = ", ".join(sorted(p.id for p in panels if p.fed_from != "service"))
    if fed and rules.surge_needed("feeder", edition):
        found.append(
            _finding(
                "surge-feeder",
                fed,
                "a surge protector at a panel that a feeder supplies in a dwelling, or where the feeder begins",
                "the one at the service serves a panel beside it; others are not described",
                allowed,
                "ask the authority whether the one at the service is accepted, or add one at the panel",
                Verdict.CANNOT_SAY,
                rules.protection_citation("feeder_surge", edition),
            )
        )
    return found


def _surge_verdict(site: ServiceSite, least_kA: float) -> tuple[Verdict, str]:
    given, nominal_kA = site.surge_protector, site.surge_nominal_kA
    if given is None:
        return Verdict.CANNOT_SAY, "not given"
    if given == "none" or not rules.surge_kind_fits(int(given.split()[-1])):
        return Verdict.MISSES, given
    if least_kA == 0:
        return Verdict.MEETS, given
    if nominal_kA is None:
        return Verdict.CANNOT_SAY, f"{given}, nominal discharge current not given"
    verdict = Verdict.MEETS if nominal_kA >= least_kA else Verdict.MISSES
    return verdict, f"{given}, {nominal_kA:g} kA"


def _emergency(site: ServiceSite, edition: int) -> Finding:
    section, place = rules.emergency_section(edition), site.emergency_disconnect
    by = rules.protection_citation("emergency_disconnect", edition)
    asked = "the emergency disconnect stands where the edition wants it (marked, readily accessible: seen on site)"
    got = "not given" if place is None else PLACE_WORDS[place]
    if section == "none":
        asked += " (this edition asks for none)"
        return _finding("emergency-disconnect", "service", asked, got, "", "", Verdict.MEETS, by)
    by = by if place is None else cite(rules.emergency_place_fits, edition)
    allowed = "outdoors" if edition < 2023 else "outdoors, on the house or within 50 ft and in sight of it"
    fix = "plan one beside the meter" if place is not None else "give emergency_disconnect in [service]"
    verdict = Verdict.CANNOT_SAY
    if place is not None:
        verdict = Verdict.MEETS if rules.emergency_place_fits(place, edition) else Verdict.MISSES
    if edition in PROVISIONAL and verdict is Verdict.MEETS:
        verdict = Verdict.CANNOT_SAY
        fix = (
            f"edition {edition} wants the service disconnect itself there; confirm that it is, and look the section up"
        )
    return _finding("emergency-disconnect", "service", asked, got, allowed, fix, verdict, by)
