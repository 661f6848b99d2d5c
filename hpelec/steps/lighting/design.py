"""Step lighting: light of each room, places with rules of their own, fans and the shadow of their blades."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from hpelec.core.editions import check_edition
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.working import Line, line
from hpelec.house.model import House
from hpelec.house.rows import Room
from hpelec.house.sections import Layer
from hpelec.steps.devices.model import DevicesResult
from hpelec.steps.lighting import fans, places, rooms, rules, rules_zones
from hpelec.steps.lighting.luminaires import Luminaire, Site
from hpelec.steps.lighting.model import LightingResult, RecessedRow
from hpelec.steps.lighting.sprinklers import sprinkler_findings, sprinklers_assumed

TEST_PA, SHOWN_PA = 75.0, 50.0
RISERS_ID = "L-70A2-3"


def design(house: House, edition: int, *, devices: DevicesResult) -> LightingResult:
    """Light, places and fans of a house. Raises EditionError for an unknown edition."""
    check_edition(edition)
    site = Site(house)
    studies = [rooms.study(site, room) for room in site.rooms]
    lit = {s.row.room: s.row for s in studies}
    shadow_rows = [row for room in site.rooms for row in fans.shadows(site, room)]
    pairs = [(room, fan) for room in site.rooms for fan in site.fans[room.id]]
    fan_rows = [fans.fan_row(site, room, fan, shadow_rows, lit[room.id]) for room, fan in pairs]
    noted = [p for room in site.rooms for p in _places(site, room)]
    recessed = _recessed(site, devices)
    return LightingResult(
        edition=edition,
        rooms=tuple(s.row for s in studies),
        levels=tuple(level for s in studies for level in s.levels),
        places=tuple(p.row() for p in noted),
        recessed=tuple(row for row, _ in recessed),
        fans=tuple(fan_rows),
        shadows=tuple(shadow_rows),
        work_plane_in=house.lighting.work_plane_in,
        working=(
            *_loss_line(site),
            *(entry for s in studies for entry in s.lines),
            *(e for (_, fan), row in zip(pairs, fan_rows, strict=True) for e in fans.fan_lines(row, fan, shadow_rows)),
        ),
        findings=(
            *(f for s in studies for f in s.findings),
            *rooms.unlisted_finding(site, [s.row for s in studies]),
            *rooms.efficacy_finding(site),
            *(p.finding() for p in noted),
            *_recessed_findings([light for _, light in recessed]),
            *_stair_findings(site, devices),
            *places.entrance_findings(site, devices),
            *(f for (room, fan), row in zip(pairs, fan_rows, strict=True)
              for f in fans.fan_findings(site, room, fan, row, shadow_rows)),
            *(f for room in site.rooms for f in places.fan_obstacles(site, room)),
            *(f for room, fan in pairs for f in sprinkler_findings(site, room, fan)),
        ),
        assumptions=tuple(_assumptions(site)),
    )  # fmt: skip


def _places(site: Site, room: Room) -> Iterable[places.Place]:
    yield from places.closet_places(site, room)
    yield from places.bath_places(site, room)
    yield from places.outdoor_places(site, room)


def _loss_line(site: Site) -> Iterable[Line]:
    s = site.settings
    parts = f"{s.lumen_maintenance:g} x {s.dirt_maintenance:g} x {s.other_maintenance:g}"
    yield line("light loss factor", parts, site.loss_factor, "", rules.light_loss_factor)


def _recessed(site: Site, devices: DevicesResult) -> list[tuple[RecessedRow, Luminaire]]:
    """Recessed luminaires whose box is in a ceiling of the envelope."""
    in_barrier = {d.serves for d in devices.devices if d.surface == "ceiling"}
    ceilings = [a for a in site.house.assemblies if a.surface == "ceiling"]
    cavity = sum(x.thickness_in for a in ceilings for x in _inside_barrier(a.layers) if x.service_cavity)
    instead = "a surface luminaire on a sealed box"
    instead += (
        f", or one no deeper than the service cavity ({cavity:g} in)"
        if cavity
        else ", or a service cavity below the barrier"
    )
    limit = rules_zones.leakage_at_cfm(rules_zones.place_rule("P-LEAK").number("value"), TEST_PA, SHOWN_PA)
    made = []
    for room in site.rooms:
        for light in site.lights[room.id]:
            if light.kind == "recessed" and light.id in in_barrier:
                row = RecessedRow(
                    light=light.id, room=room.id, tested=light.row.airtight_rated,
                    insulation_contact=light.row.insulation_contact,
                    allowed_cfm50=limit if light.row.airtight_rated else None, instead=instead,
                )  # fmt: skip
                made.append((row, light))
    return made


def _inside_barrier(layers: Iterable[Layer]) -> Iterable[Layer]:
    for layer in layers:
        if layer.air_barrier:
            return
        yield layer


def _recessed_findings(lights: list[Luminaire]) -> Iterable[Finding]:
    if not lights:
        return
    leak, contact = rules_zones.place_rule("P-LEAK"), rules_zones.place_rule("P-IC")
    most = leak.number("value")
    untested = [x.id for x in lights if not x.row.airtight_rated]
    told = f"; not: {', '.join(untested)}" if untested else ""
    yield Finding(
        "recessed-airtight", "lighting", "ceilings in the barrier", f"{leak.text('rule')} {most:g} cfm "
        f"({rules_zones.recessed_limit_L_s():.2f} L/s)",
        f"{len(lights) - len(untested)} of {len(lights)} tested{told}",
        "all tested", "tested luminaires with their trim sealed to the ceiling, or surface luminaires on sealed boxes",
        Verdict.MISSES if untested else Verdict.MEETS, leak.citation,
    )  # fmt: skip
    wrong = [x.id for x in lights if x.row.insulation_contact is False]
    unknown = [x.id for x in lights if x.row.insulation_contact is None]
    verdict = Verdict.MISSES if wrong else Verdict.CANNOT_SAY if unknown else Verdict.MEETS
    got = (
        f"not of that type: {', '.join(wrong)}"
        if wrong
        else f"not known: {', '.join(unknown)}"
        if unknown
        else "all are"
    )
    yield Finding(
        "recessed-contact", "lighting", "ceilings in the barrier", contact.text("rule"), got, "all in insulation",
        "another type" if wrong else "fill in insulation_contact", verdict, contact.citation,
    )  # fmt: skip


def _stair_findings(site: Site, devices: DevicesResult) -> Iterable[Finding]:
    """A wall control at each floor that a long flight joins: a switch in the stair's room of each level."""
    row = rules_zones.outlet_rule(RISERS_ID)
    levels = sorted(site.levels.values(), key=lambda lv: lv.floor_ft)
    stairs = {lv.id: [r for r in site.rooms if r.kind == "stair" and r.level == lv.id] for lv in levels}
    for low, high in pairwise(levels):
        if not stairs[low.id] or high.floor_ft - low.floor_ft <= 0:
            continue
        risers = rules_zones.fewest_risers(high.floor_ft - low.floor_ft)
        if risers < row.number("value"):
            continue
        rooms_of = {lv.id: {r.id for r in stairs[lv.id]} for lv in (low, high)}
        without = [
            lv.name or lv.id for lv in (low, high)
            if not any(d.kind == "switch" and d.room in rooms_of[lv.id] for d in devices.devices)
        ]  # fmt: skip
        yield Finding(
            "stair-control", "lighting", f"stair from {low.name or low.id} to {high.name or high.id}",
            "a wall control at each floor level of a long flight",
            f"{risers} risers or more" + (f"; no switch in its room on {', '.join(without)}" if without else ""),
            "a switch at both ends", "a switch in the stair at that level, or draw the way in",
            Verdict.MISSES if without else Verdict.MEETS, row.citation,
        )  # fmt: skip


def _assumptions(site: Site) -> Iterable[Assumption]:
    told = rooms.defaults_used(site)
    if told:
        yield Assumption("lights.csv", "; ".join(told), "taken where a light's own columns are blank")
    blank = sum(1 for group in site.lights.values() for x in group if x.row.lumens_lm is None)
    if blank:
        yield Assumption(
            "lights.csv, lumens_lm", f"{site.settings.efficacy:g} lm for each volt-ampere of {blank} luminaires",
            "their lumens are not given",
        )  # fmt: skip
    yield Assumption(
        "lighting, utilisation", "worked out by a balance of diffuse surfaces, luminaires evenly spread",
        "no maker's table is given (lights.csv, utilisation)",
    )  # fmt: skip
    yield Assumption(
        "lighting, points", "direct light only, even cones and flat diffusers, furniture not counted",
        "no measured distribution is given; a maker's beam angle is where its light has fallen to half",
    )  # fmt: skip
    if any(site.fans.values()):
        yield sprinklers_assumed(site)
        yield Assumption(
            "lighting, blade shadow", "blades shade wholly, thin and level; lights are small for the modulation",
            "blade widths and droop are not described",
        )  # fmt: skip
