"""Ceiling fans: clearances, size, the shadow of the blades and its flicker."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from hpelec.core.citing import Citation, cite
from hpelec.core.findings import Finding, Verdict
from hpelec.core.rounding import EPS
from hpelec.core.working import Line, line, show_number
from hpelec.house.geometry import Point, edges, outline, room_area_ft2, south_west
from hpelec.house.rows import CeilingFan, Room
from hpelec.steps.lighting import rules_fans as rules
from hpelec.steps.lighting.clear import Disc, nearest_clear
from hpelec.steps.lighting.luminaires import AT_WALL, Luminaire, Site
from hpelec.steps.lighting.model import FanRow, RoomLight, ShadowRow
from hpelec.steps.lighting.points import Points, behind_blades, direct_lux, grid

UP_DEG = 90.0
"""Light that goes up is taken to leave in every direction: its shape is not described."""


@dataclass(frozen=True, slots=True)
class Pair:
    """What a light must keep from a fan [in]: None where no distance is enough; and which rule decides."""

    need_in: float | None
    half_deg: float
    how: str


def pair(site: Site, light: Luminaire, fan: CeilingFan) -> Pair:
    """The distance from which on a light is clear of a fan: of its shadow and of the blades themselves."""
    above_in = (light.height_ft - site.blades_ft(fan)) * 12
    radius = fan.diameter_in / 2
    if above_in > EPS:
        if light.up_share >= 1:
            return Pair(0.0, light.shadow_deg, "none")
        if light.shadow_deg >= UP_DEG - 1e-6:
            return Pair(None, light.shadow_deg, "shadow")
        need = rules.clear_distance_in(radius, light.radius_in, above_in, light.shadow_deg)
        return Pair(need, light.shadow_deg, "shadow")
    if light.up_share > 0:
        return Pair(None, UP_DEG, "uplight")
    gap = site.settings.pendant_gap_in
    return Pair(rules.hub_to_pendant_in(fan.diameter_in, 2 * light.radius_in, gap), light.shadow_deg, "hangs")


def shadows(site: Site, room: Room) -> list[ShadowRow]:
    """Each light and fan of a room, with the nearest place that is clear of all its fans."""
    made = []
    points = grid(room, site.settings.grid_ft) if site.fans[room.id] else None
    for fan in site.fans[room.id]:
        x, y = site.fan_at(fan)
        for light in site.indoor(room):
            found = pair(site, light, fan)
            distance = math.hypot(light.x_ft - x, light.y_ft - y) * 12
            above = (light.height_ft - site.blades_ft(fan)) * 12
            clear = found.need_in is not None and distance >= found.need_in - EPS
            moved = None if clear or light.kind in AT_WALL else place_for(site, room, light)
            x0, y0 = south_west(room)
            widest = (
                rules.widest_clear_deg(fan.diameter_in / 2, light.radius_in, above, distance) if above > EPS else None
            )
            made.append(
                ShadowRow(
                    fan=fan.id,
                    light=light.id,
                    distance_in=distance,
                    above_in=above,
                    half_deg=found.half_deg,
                    clear_in=found.need_in,
                    clear=clear,
                    how=found.how,
                    on_plane=points is not None and _reaches(site, light, points, (x, y, site.blades_ft(fan)), fan),
                    widest_deg=widest,
                    move_x_ft=None if moved is None else moved[0] - x0,
                    move_y_ft=None if moved is None else moved[1] - y0,
                    move_ft=None if moved is None else math.hypot(moved[0] - light.x_ft, moved[1] - light.y_ft),
                )
            )
    return made


def _reaches(site: Site, light: Luminaire, points: Points, hub: tuple[float, float, float], fan: CeilingFan) -> bool:
    """Whether light of this luminaire that reaches the work plane passes the blade circle."""
    hidden = behind_blades(light, points, site.plane_ft, hub, fan.diameter_in / 24)
    return bool((hidden & (direct_lux(light, points, site.plane_ft, site.loss_factor) > 0)).any())


def place_for(site: Site, room: Room, light: Luminaire) -> Point | None:
    """The place nearest to a light that is clear of every fan of its room; None when there is none."""
    discs: list[Disc] = []
    for fan in site.fans[room.id]:
        need = pair(site, light, fan).need_in
        if need is None:
            return None
        discs.append((*site.fan_at(fan), need / 12))
    return nearest_clear((light.x_ft, light.y_ft), outline(room), light.radius_in / 12, discs)


def fan_row(site: Site, room: Room, fan: CeilingFan, rows: list[ShadowRow], lit: RoomLight) -> FanRow:
    """One fan: clearances, size, flicker at the worst point of the work plane."""
    hz = rules.blade_frequency_hz(fan.blades, fan.speed_rpm)
    advised = rules.fan_span_in(room_area_ft2(room))
    hub = site.fan_at(fan)
    return FanRow(
        fan=fan.id,
        room=room.id,
        x_ft=hub[0],
        y_ft=hub[1],
        span_in=fan.diameter_in,
        blades_ft=site.blades_ft(fan),
        tip_to_wall_in=min(_to_stretch(hub, (e.x0, e.y0), (e.x1, e.y1)) for e in edges(room)) * 12
        - fan.diameter_in / 2,
        advised_from_in=advised[0] if advised else None,
        advised_to_in=advised[1] if advised else None,
        frequency_hz=hz,
        low_risk_percent=rules.flicker_limit_percent(hz, "low_risk") if hz > 0 else None,
        unseen_percent=rules.flicker_limit_percent(hz, "no_observable_effect") if hz > 0 else None,
        modulation_percent=_modulation(site, room, fan, lit),
        chopped=tuple(r.light for r in rows if r.fan == fan.id and not r.clear and r.how != "hangs"),
    )


def _modulation(site: Site, room: Room, fan: CeilingFan, lit: RoomLight) -> float | None:
    """Largest modulation over the grid: the direct light behind the blades comes and goes, all other light stays."""
    lights, points = site.indoor(room), grid(room, site.settings.grid_ft)
    if not lights or not len(points.x_ft) or lit.lux <= 0:
        return None
    hub = (*site.fan_at(fan), site.blades_ft(fan))
    chopped, steady = np.zeros(len(points.x_ft)), np.zeros(len(points.x_ft))
    for light in lights:
        lux = direct_lux(light, points, site.plane_ft, site.loss_factor)
        hidden = behind_blades(light, points, site.plane_ft, hub, fan.diameter_in / 24)
        chopped += np.where(hidden, lux, 0.0)
        steady += np.where(hidden, 0.0, lux)
    steady += lit.reflected_lux
    worst = np.where(chopped > 0, 100 * chopped / (2 * steady + np.where(chopped > 0, chopped, 1.0)), 0.0)
    i = int(worst.argmax())
    return rules.modulation_percent(float(chopped[i]), float(steady[i]))


def _to_stretch(p: Point, a: Point, b: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    t = min(max(((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy), 0.0), 1.0)
    return math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy)


def fan_lines(row: FanRow, fan: CeilingFan, rows: list[ShadowRow]) -> Iterable[Line]:
    """Working of a fan: frequency, and the clear distance of each light above it."""
    yield line(
        f"{fan.id}: blades pass", f"{fan.blades} x {fan.speed_rpm:g} / 60", row.frequency_hz, "Hz",
        rules.blade_frequency_hz,
    )  # fmt: skip
    for r in rows:
        if r.fan == fan.id and r.clear_in is not None and r.how == "shadow":
            opening = r.clear_in - fan.diameter_in / 2 - r.above_in * math.tan(math.radians(r.half_deg))
            yield line(
                f"{r.light}: clear of {fan.id} from", f"{fan.diameter_in / 2:g} + {opening:g} + {r.above_in:g} x "
                f"tan({r.half_deg:g})", r.clear_in, "in", rules.clear_distance_in,
            )  # fmt: skip


def _verdict(met: bool) -> Verdict:
    return Verdict.MEETS if met else Verdict.MISSES


def _finding(
    name: str, place: str, rule: str, got: str, allowed: str, fix: str, verdict: Verdict, by: Citation
) -> Finding:
    return Finding(name, "lighting", place, rule, got, allowed, fix, verdict, by)


def fan_findings(site: Site, room: Room, fan: CeilingFan, row: FanRow, rows: list[ShadowRow]) -> Iterable[Finding]:
    """What the rules say of one fan."""
    low, ceiling, wall = (rules.fan_rule(name) for name in ("F-FLOOR", "F-CEIL", "F-WALL"))
    high_enough = rules.blades_high_enough(site.ceiling_ft(room) * 12, fan.drop_in)
    yield _finding(
        "fan-head", fan.id, "blades above heads", f"{row.blades_ft:.2f} ft", f">= {low.number('value'):g} ft",
        "a shorter rod", _verdict(high_enough), low.citation,
    )  # fmt: skip
    free = ceiling.number("value")
    yield _finding(
        "fan-ceiling", fan.id, "blades far enough below the ceiling for their flow", f"{fan.drop_in:g} in",
        f">= {free:g} in", "a longer rod, if heads allow it", _verdict(fan.drop_in >= free - EPS), ceiling.citation,
    )  # fmt: skip
    gap = wall.number("value")
    yield _finding(
        "fan-wall", fan.id, "blade tips far enough from walls", f"{row.tip_to_wall_in:.1f} in", f">= {gap:g} in",
        f"a smaller fan, or its hub {rules.hub_to_wall_in(fan.diameter_in, gap):g} in from the walls",
        _verdict(row.tip_to_wall_in >= gap - 1e-6), wall.citation,
    )  # fmt: skip
    yield from _size_finding(room, fan, row)
    yield from _box_finding(fan)
    yield from _shadow_findings(fan, [r for r in rows if r.fan == fan.id])
    yield _flicker_finding(fan, row)


def _size_finding(room: Room, fan: CeilingFan, row: FanRow) -> Iterable[Finding]:
    by = cite(rules.fan_span_in)
    area = f"{room_area_ft2(room):.0f} ft2"
    if row.advised_from_in is None or row.advised_to_in is None:
        yield _finding(
            "fan-size", fan.id, "size suits the area of the room", f"{fan.diameter_in:g} in for {area}", "",
            "larger than the advice reaches: more than one fan, or the maker's own advice", Verdict.CANNOT_SAY, by,
        )  # fmt: skip
        return
    met = row.advised_from_in - EPS <= fan.diameter_in <= row.advised_to_in + EPS
    yield _finding(
        "fan-size", fan.id, "size suits the area of the room", f"{fan.diameter_in:g} in for {area}",
        f"{row.advised_from_in:g} to {row.advised_to_in:g} in",
        "advice from memory, no rule of safety: look it up, and at the maker's own",
        Verdict.MEETS if met else Verdict.CANNOT_SAY, by,
    )  # fmt: skip


def _box_finding(fan: CeilingFan) -> Iterable[Finding]:
    most = rules.fan_rule("F-BOX70")
    limit = most.number("value")
    missing = [n for n, v in (("weight_lb", fan.weight_lb), ("box_for_fan", fan.box_for_fan)) if v is None]
    heavy = fan.weight_lb is not None and fan.weight_lb > limit + EPS
    misses = fan.box_for_fan is False or heavy
    verdict = Verdict.MISSES if misses else Verdict.CANNOT_SAY if missing else Verdict.MEETS
    weight = "weight not given" if fan.weight_lb is None else f"{fan.weight_lb:g} lb"
    box = {None: "box not known", True: "box listed for fans, or framing", False: "box not listed for fans"}
    marked = rules.fan_rule("F-BOXMARK").number("value")
    fix = "hang it from the framing" if heavy else (
        f"a box listed for fans (marked with the weight above {marked:g} lb)" if misses
        else f"fill in {', '.join(missing)}"
    )  # fmt: skip
    yield _finding(
        "fan-box", fan.id, "its box carries it", f"{weight}; {box[fan.box_for_fan]}",
        f"<= {limit:g} lb on a listed box", fix, verdict, most.citation,
    )  # fmt: skip


def _shadow_findings(fan: CeilingFan, rows: list[ShadowRow]) -> Iterable[Finding]:
    by = cite(rules.clear_distance_in)
    for r in rows:
        if r.clear:
            continue
        if r.how == "hangs":
            yield _finding(
                "fan-hangs", f"{fan.id} and {r.light}", "blades keep their distance from what hangs",
                f"{r.distance_in:.1f} in", f">= {r.clear_in:.1f} in", _move(r), Verdict.MISSES,
                rules.fan_rule("F-PENDANT").citation,
            )  # fmt: skip
            continue
        allowed = "never: its light leaves in every direction" if r.clear_in is None else f">= {r.clear_in:.1f} in"
        where = "shadow on the work plane" if r.on_plane else "shadow on walls or ceiling only"
        what = "upward light passes no blades" if r.how == "uplight" else "no light passes the blades"
        yield _finding(
            "blade-shadow", f"{fan.id} and {r.light}", what, f"{r.distance_in:.1f} in apart, light up to "
            f"{r.half_deg:g} deg; {where}", allowed, _move(r),
            Verdict.MISSES if r.on_plane or r.how == "uplight" else Verdict.CANNOT_SAY, by,
        )  # fmt: skip
    clear = [r.light for r in rows if r.clear]
    if clear:
        yield _finding(
            "blade-shadow",
            fan.id,
            "no light passes the blades",
            f"clear: {', '.join(clear)}",
            "",
            "",
            Verdict.MEETS,
            by,
        )


def _move(r: ShadowRow) -> str:
    told = []
    if r.move_ft is not None and r.move_x_ft is not None and r.move_y_ft is not None:
        told.append(f"move it {r.move_ft:.2f} ft, to x {r.move_x_ft:.2f}, y {r.move_y_ft:.2f} ft of its room")
    if r.widest_deg:
        told.append(f"a light cut off at {r.widest_deg:.0f} deg here")
    if r.how == "uplight":
        told.append("a shade that is closed above")
    return ", or ".join(told) or "another light: no place in the room is clear for this one"


def _flicker_finding(fan: CeilingFan, row: FanRow) -> Finding:
    by = cite(rules.flicker_limit_percent)
    limit = row.low_risk_percent
    rule = f"modulation by the blades at {row.frequency_hz:.2f} Hz stays low in risk (an analogy: written for drivers)"
    if row.modulation_percent is None or limit is None:
        return _finding(
            "fan-flicker", fan.id, rule, "no light on the work plane" if limit else "no limit at that frequency", "",
            "give the room a light", Verdict.CANNOT_SAY, by,
        )  # fmt: skip
    return _finding(
        "fan-flicker", fan.id, rule, f"{show_number(round(row.modulation_percent, 2))} % at the worst point",
        f"<= {limit:.2f} %", "lights clear of the shadow: a lower speed does not help",
        _verdict(row.modulation_percent <= limit + 1e-9), by,
    )  # fmt: skip
