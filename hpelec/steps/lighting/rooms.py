"""The light of each room: lumen method, levels of the lists, direct light at points."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from hpelec.core.citing import OUR_OWN, Citation
from hpelec.core.findings import Finding, Verdict
from hpelec.core.working import Line, line
from hpelec.house.geometry import room_area_ft2
from hpelec.house.rows import Light, Room
from hpelec.house.sections import LEVEL_LISTS
from hpelec.steps.lighting import rules
from hpelec.steps.lighting.luminaires import Luminaire, Site, kind_row, luminaire, perimeter_ft, sides_ft
from hpelec.steps.lighting.model import LevelRow, RoomLight
from hpelec.steps.lighting.points import LEAST_ABOVE_FT, direct_lux, grid
from hpelec.steps.lighting.rules_zones import place_rule

OWN = "the room's own"
ABOUT_PERCENT = 10.0
"""A level this near the one wanted is not told apart: simple beams and reflectances are no better known."""


@dataclass(frozen=True, slots=True)
class Cavities:
    """A luminaire in its room: room cavity ratio, effective reflectances, utilisation, the reflected part of it."""

    ratio: float
    ceiling_percent: float
    floor_percent: float
    utilisation: float
    reflected: float


def effective_percent(base: float, wall: float, sides: tuple[float, float], height_ft: float) -> float:
    """Effective reflectance: by the published table where it reaches, else by the flux balance it agrees with."""
    if height_ft <= 1e-6:
        return base
    wide, deep = sides
    ratio = rules.cavity_ratio(height_ft, 2 * (wide + deep), wide * deep)
    found = rules.tabulated_reflectance_percent(base, wall, ratio)
    return rules.balanced_reflectance_percent(base, wall, wide, deep, height_ft) if found is None else found


def cavities(room: Room, ceiling_ft: float, plane_ft: float, light: Luminaire) -> Cavities | None:
    """What the zonal-cavity method makes of one luminaire; None where it hangs no higher than the work plane."""
    height = light.height_ft - plane_ft
    if height <= LEAST_ABOVE_FT:
        return None
    wide, deep = sides_ft(room)
    wall = room.wall_reflectance_percent
    ceiling = effective_percent(room.ceiling_reflectance_percent, wall, (wide, deep), ceiling_ft - light.height_ft)
    floor = effective_percent(room.floor_reflectance_percent, wall, (wide, deep), plane_ft)
    ratio = rules.cavity_ratio(height, perimeter_ft(room), room_area_ft2(room))
    used = light.row.utilisation
    direct = rules.direct_ratio(wide, deep, round(height, 6), light.half_deg, light.cosine)
    if used is None:
        used = rules.utilisation(wide, deep, height, (ceiling, wall, floor), direct, light.up_share)
    return Cavities(ratio, ceiling, floor, used, max(used - direct * (1 - light.up_share), 0.0))


def wanted(site: Site, room: Room) -> tuple[float | None, str, Citation]:
    """Level wanted [lux], where it comes from, and its source."""
    if room.wanted_lux is not None:
        return room.wanted_lux, OWN, OUR_OWN
    chosen = site.settings.levels_list
    found = rules.recommended(chosen, room.task, room.kind)
    if found is None:
        return None, f"{chosen} has no row for it", OUR_OWN
    said, lux, citation = found
    return lux, f"{chosen}: {said}", citation


@dataclass(frozen=True, slots=True)
class RoomStudy:
    """A room's row with its lines of working and findings."""

    row: RoomLight
    lines: tuple[Line, ...]
    findings: tuple[Finding, ...]
    levels: tuple[LevelRow, ...]


def study(site: Site, room: Room) -> RoomStudy:
    """The light of one room."""
    ceiling, area = site.ceiling_ft(room), room_area_ft2(room)
    there = site.indoor(room)
    pairs = [(x, c) for x in there if (c := cavities(room, ceiling, site.plane_ft, x)) is not None]
    lumens = sum(x.lumens_lm for x, _ in pairs)
    reaching = sum(x.lumens_lm * c.utilisation for x, c in pairs)
    shown = pairs[0][1] if pairs else _bare(site, room)
    used = reaching / lumens if lumens else shown.utilisation if shown else None
    lux = rules.mean_lux(lumens, used, site.loss_factor, area) if used else 0.0
    goal, by, citation = wanted(site, room)
    needed_lm = rules.lumens_needed_lm(goal, used, site.loss_factor, area) if goal is not None and used else None
    count = rules.luminaires_needed(needed_lm, lumens / len(pairs)) if needed_lm is not None and lumens >= 1 else None
    power = sum(x.row.power_VA for x in there)
    row = RoomLight(
        room=room.id,
        task=room.task,
        luminaires=len(pairs),
        area_ft2=area,
        room_ratio=shown.ratio if shown else None,
        ceiling_percent=shown.ceiling_percent if shown else None,
        floor_percent=shown.floor_percent if shown else None,
        utilisation=used,
        loss_factor=site.loss_factor,
        lumens_lm=lumens,
        lux=lux,
        reflected_lux=sum(x.lumens_lm * c.reflected for x, c in pairs) * site.loss_factor / area * rules.LUX_PER_FC,
        wanted_lux=goal,
        wanted_by=by,
        needed_lm=needed_lm,
        needed=count,
        enough=None if goal is None else lux >= goal * (1 - 1e-9),
        power_VA=power,
        density=power / area,
        least_lux=None,
        direct_lux=None,
        most_lux=None,
        uniformity=None,
    )
    row = _with_points(site, room, row, [x for x, _ in pairs])
    lines = tuple(_lines(row, pairs, site)) if pairs else ()
    return RoomStudy(row, lines, tuple(_findings(site, room, row, citation)), tuple(_levels(site, room, lux)))


def _bare(site: Site, room: Room) -> Cavities | None:
    """What a plain surface luminaire in the middle would make of a room that has none."""
    light = Light(id="none", room=room.id, kind="surface", x_offset_ft=0.0, y_offset_ft=0.0)
    level = site.levels[room.level]
    return cavities(room, level.ceiling_height_ft, site.plane_ft, luminaire(light, room, level, site.settings.efficacy))


def _with_points(site: Site, room: Room, row: RoomLight, lights: list[Luminaire]) -> RoomLight:
    points = grid(room, site.settings.grid_ft)
    if not lights or not len(points.x_ft):
        return row
    total = sum(direct_lux(x, points, site.plane_ft, site.loss_factor) for x in lights)
    least, mean, most = float(total.min()), float(total.mean()), float(total.max())
    return replace(row, least_lux=least, direct_lux=mean, most_lux=most, uniformity=least / mean if mean > 0 else None)


def _lines(row: RoomLight, pairs: list[tuple[Luminaire, Cavities]], site: Site) -> Iterable[Line]:
    light, used = pairs[0]
    high = light.height_ft - site.plane_ft
    around = perimeter_ft(site.by_id[row.room])
    yield line(
        f"{row.room}: room cavity ratio", f"2.5 x {high:.2f} x {around:.1f} / {row.area_ft2:.1f}", used.ratio, "",
        rules.cavity_ratio,
    )  # fmt: skip
    if all(x.row.utilisation is not None for x, _ in pairs):
        how = "given with the luminaires, weighted by lumens"
    else:
        how = (
            f"ceiling {used.ceiling_percent:.0f} %, floor {used.floor_percent:.0f} % effective; {light.id} and others"
            if len(pairs) > 1
            else f"ceiling {used.ceiling_percent:.0f} %, floor {used.floor_percent:.0f} % effective"
        )
    yield line(f"{row.room}: utilisation", how, row.utilisation or 0.0, "", rules.utilisation)
    yield line(
        f"{row.room}: level",
        f"{row.lumens_lm:.0f} x {row.utilisation:.3f} x {row.loss_factor:.3f} / {row.area_ft2:.1f} ft2",
        row.lux, "lux", rules.mean_lux,
    )  # fmt: skip
    if row.needed is not None and row.needed_lm is not None:
        each = row.lumens_lm / row.luminaires
        yield line(
            f"{row.room}: luminaires for {row.wanted_lux:g} lux", f"{row.needed_lm:.0f} lm / {each:.0f} lm", row.needed,
            "", rules.luminaires_needed,
        )  # fmt: skip


def _findings(site: Site, room: Room, row: RoomLight, citation: Citation) -> Iterable[Finding]:
    if row.wanted_lux is not None:
        share = 100 * row.lux / row.wanted_lux
        near = abs(share - 100) <= ABOUT_PERCENT
        # Lumens taken from watts, not given, carry no judgement of a shortfall.
        lights = site.indoor(room)
        guessed = share < 100 and (not lights or any(x.row.lumens_lm is None for x in lights))
        verdict = Verdict.CANNOT_SAY if near or guessed else Verdict.MEETS if share > 100 else Verdict.MISSES
        more = f"{row.needed} luminaires like these instead of {row.luminaires}" if row.needed else (
            f"luminaires of {row.needed_lm:,.0f} lm together" if row.needed_lm else "luminaires above the work plane"
        )  # fmt: skip
        fix = "too near to tell with simple beams: measure it, or use the maker's utilisation" if near else more
        if guessed and not near:
            told = "give lumens_lm of its lights; as far as watts tell" if lights else "give its lights in lights.csv"
            fix = f"{told}: {more}"
        yield Finding(
            "light-level", "lighting", room.id, f"mean level for {_use(row.task)} ({row.wanted_by})",
            f"{row.lux:.0f} lux from {row.luminaires} luminaires", f">= {row.wanted_lux:g} lux", fix, verdict, citation,
        )  # fmt: skip
    elif room.task != "general":
        yield Finding(
            "light-level", "lighting", room.id, f"mean level for {_use(room.task)}",
            f"{row.lux:.0f} lux", "", f"{row.wanted_by}: choose another list, or give wanted_lux",
            Verdict.CANNOT_SAY, OUR_OWN,
        )  # fmt: skip
    low = [x.id for x in site.indoor(room) if x.height_ft - site.plane_ft <= LEAST_ABOVE_FT]
    if low:
        yield Finding(
            "light-low", "lighting", room.id, "a luminaire hangs above the work plane", ", ".join(low), "",
            "look at drop_in: its light is not counted", Verdict.CANNOT_SAY, OUR_OWN,
        )  # fmt: skip


def _use(task: str) -> str:
    return "general use" if task == "general" else task.replace("_", " ")


def _levels(site: Site, room: Room, lux: float) -> Iterable[LevelRow]:
    for listed in LEVEL_LISTS:
        found = rules.recommended(listed, room.task, room.kind)
        if found is not None:
            said, level, citation = found
            yield LevelRow(
                room=room.id, listed=listed, chosen=listed == site.settings.levels_list, said=said, lux=level,
                share_percent=100 * lux / level, citation=citation,
            )  # fmt: skip


def unlisted_finding(site: Site, rows: list[RoomLight]) -> Iterable[Finding]:
    """Lit rooms for whose kind the chosen list has no level."""
    without = [r.room for r in rows if r.wanted_lux is None and r.task == "general" and r.luminaires]
    if without:
        listed = site.settings.levels_list
        yield Finding(
            "light-unlisted", "lighting", ", ".join(without), "mean level for the kind of room",
            "lit, level not judged", "", f"the list {listed} has no row for these: give wanted_lux",
            Verdict.CANNOT_SAY, OUR_OWN,
        )  # fmt: skip


def efficacy_finding(site: Site) -> Iterable[Finding]:
    """Lumens per volt-ampere of all luminaires whose lumens are given, against the energy code's row."""
    lights = [x for group in site.lights.values() for x in group if x.row.power_VA > 0]
    if not lights:
        return
    row = place_rule("P-EFFICACY")
    least = row.number("value")
    known = [x for x in lights if x.row.lumens_lm is not None]
    weak = sorted(x.id for x in known if x.lumens_lm / x.row.power_VA < least - 1e-9)
    unknown = len(lights) - len(known)
    verdict = Verdict.MISSES if weak else Verdict.CANNOT_SAY if unknown else Verdict.MEETS
    got = f"{len(known) - len(weak)} of {len(lights)} luminaires are known to" + (
        f"; less: {', '.join(weak)}" if weak else ""
    )
    yield Finding(
        "light-efficacy", "lighting", "all luminaires", row.text("rule"), got, f">= {least:g} lm/W",
        f"other lamps for {', '.join(weak)}" if weak else f"give lumens_lm of {unknown} luminaires",
        verdict, row.citation,
    )  # fmt: skip


def defaults_used(site: Site) -> list[str]:
    """Kinds of luminaires for which something was taken from the table of kinds, with what was taken."""
    kinds = sorted({x.kind for group in site.lights.values() for x in group})
    return [f"{kind.replace('_', ' ')}: {kind_row(kind).text('note').partition(': ')[2]}" for kind in kinds]
