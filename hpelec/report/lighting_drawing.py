"""Pictures of the step lighting: levels by room, direct light on the plan of a level, a fan with its lights."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import groupby

import numpy as np

from hpelec.core.units import show_quantity
from hpelec.house.geometry import Point, outline, south_west
from hpelec.house.rows import CeilingFan, Room
from hpelec.plan import Plan
from hpelec.report import symbols
from hpelec.report.canvas import MARGIN, Canvas, canvas_for, draw_scale, draw_walls
from hpelec.report.charts import ticks
from hpelec.report.svg import (
    ACCENT,
    INK,
    PALE,
    PAPER,
    SOFT,
    Drawing,
    document,
    element,
    label,
    line,
    polygon,
    shortened,
    text_width,
)
from hpelec.steps.lighting.luminaires import Luminaire, Site
from hpelec.steps.lighting.model import ShadowRow
from hpelec.steps.lighting.points import box_grid, direct_lux

WIDTH, LEFT, RIGHT, TOP, ROW = 900.0, 210.0, 860.0, 40.0, 24.0
BANDS = (10.0, 30.0, 50.0, 100.0, 200.0, 400.0)
"""Bounds of the shades [lux]."""
SHADES = ("#7c8790", "#98a2aa", "#b2bac1", "#c9d0d5", "#dde2e6", "#eef1f3", "#ffffff")
"""From the least light to the most; also in grey each is lighter than the one before."""


# --- levels by room --------------------------------------------------------------------------------------------------

Placed = Callable[[float, float], Point]
Scaled = Callable[[float], float]
"""From the plan or the section to the drawing."""


def light_levels(plan: Plan) -> Drawing:
    """The mean level of each lit room, with what each list recommends."""
    rooms = [r for r in plan.lighting.rooms if r.luminaires or r.wanted_lux]
    names = _names(plan)
    marks = ticks(max([r.lux for r in rooms] + [v.lux for v in plan.lighting.levels] + [100.0]), 6)
    bottom = TOP + ROW * len(rooms)

    def at(lux: float) -> float:
        return LEFT + (RIGHT - LEFT) * lux / marks[-1]

    drawn = [line(at(m), TOP - 4, at(m), bottom, stroke=PALE) for m in marks]
    drawn += [label(at(m), bottom + 14, f"{m:g}", 12) for m in marks]
    drawn.append(label((LEFT + RIGHT) / 2, bottom + 34, "mean level on the work plane [lux]", 13))
    for i, row in enumerate(rooms):
        y = TOP + ROW * i
        drawn.append(label(LEFT - 10, y + ROW / 2, shortened(names[row.room], LEFT - 20, 12.5), 12.5, anchor="end"))
        drawn.append(element("rect", x=LEFT, y=y + 6, width=max(at(row.lux) - LEFT, 0.5), height=ROW - 12, fill=SOFT))
        for level in (v for v in plan.lighting.levels if v.room == row.room and not v.chosen):
            drawn.append(_mark(at(level.lux), y + ROW / 2, PAPER))
        if row.wanted_lux is not None:
            drawn.append(_mark(at(min(row.wanted_lux, marks[-1])), y + ROW / 2, INK))
    key = [(LEFT + 6, INK, "level wanted here"), (LEFT + 190, PAPER, "another list")]
    drawn += [_mark(x, 18, fill) + label(x + 12, 18, told, 12, anchor="start") for x, fill, told in key]
    alt = "Mean level of each room in lux: " + "; ".join(
        f"{names[r.room]} {r.lux:.0f}" + ("" if r.wanted_lux is None else f", wanted {r.wanted_lux:.0f}") for r in rooms
    )
    return Drawing(document(WIDTH, bottom + 48, "".join(drawn), "Level of light by room", alt), alt)


def _names(plan: Plan) -> dict[str, str]:
    """Name of each room, with its level where two rooms have one name."""
    said = [r.name or r.id for r in plan.house.rooms]
    levels = {v.id: v.name or v.id for v in plan.house.levels}
    return {
        r.id: name if said.count(name) == 1 else f"{name}, {levels[r.level].lower()}"
        for r, name in zip(plan.house.rooms, said, strict=True)
    }


def _mark(x: float, y: float, fill: str) -> str:
    return polygon([(x, y - 8), (x + 5, y), (x, y + 8), (x - 5, y)], fill=fill, stroke=INK, stroke_width=1.4)


# --- direct light on the plan ----------------------------------------------------------------------------------------


def lux_plan(plan: Plan, level_id: str) -> Drawing:
    """Direct light at the points of the work plane, room by room, as shades on the plan of a level."""
    site = Site(plan.house)
    rooms = [r for r in site.rooms if r.level == level_id]
    level = site.levels[level_id]
    canvas = canvas_for(plan.house, rooms, [])
    drawn = [_shades(canvas, site, r) for r in rooms]
    drawn.append(draw_walls(canvas))
    for room in rooms:
        for light in site.indoor(room):
            x, y = canvas.at(light.x_ft, light.y_ft)
            drawn.append(symbols.DEVICES["lighting_outlet"][1](x, y, 4.5))
            canvas.sheet.take((x - 5, y - 5, x + 5, y + 5))
    means = {r.room: r.direct_lux for r in plan.lighting.rooms if r.direct_lux is not None}
    drawn += [_room_label(canvas, r, means.get(r.id)) for r in rooms]
    top = canvas.sheet.height + 46
    bounds = ["0", *(f"{b:g}" for b in BANDS)]
    for i, shade in enumerate(SHADES):
        told = f"{bounds[i]} to {bounds[i + 1]}" if i < len(BANDS) else f"over {bounds[-1]}"
        x = MARGIN + i * 112
        drawn.append(element("rect", x=x, y=top, width=22.0, height=14.0, fill=shade, stroke=INK, stroke_width=0.8))
        drawn.append(label(x + 28, top + 7, told, 11, anchor="start"))
    drawn.append(
        label(MARGIN, top + 28, "direct light on the work plane [lux]; number in a room: its mean", 11, anchor="start")
    )
    told_rooms = [f"{r.name or r.id} {means[r.id]:.0f}" for r in rooms if r.id in means]
    alt = f"Direct light on {level.name or level.id}, mean lux by room: {'; '.join(told_rooms) or 'no lit room'}."
    content = "".join([*drawn, draw_scale(canvas)])
    title = f"{plan.house.general.name}: direct light on {level.name or level.id}"
    return Drawing(document(880.0, top + 44, content, title, alt), alt)


def _shades(canvas: Canvas, site: Site, room: Room) -> str:
    """The shade of each cell of a room, equal neighbours in a row as one piece."""
    lights = site.indoor(room)
    points = box_grid(room, site.settings.grid_ft)
    if not lights:
        return polygon([canvas.at(*p) for p in outline(room)], fill=SHADES[0])
    lux = sum(direct_lux(x, points, site.plane_ft, site.loss_factor) for x in lights)
    bands = np.searchsorted(BANDS, lux, side="right")
    cells = sorted(zip(points.y_ft.tolist(), points.x_ft.tolist(), bands.tolist(), strict=True))
    drawn = []
    half_x, half_y = points.wide_ft / 2, points.deep_ft / 2
    for y, row in groupby(cells, key=lambda c: c[0]):
        for start, end, band in _runs([(x, b) for _, x, b in row], points.wide_ft):
            (x0, y0), (x1, y1) = canvas.at(start - half_x, y + half_y), canvas.at(end + half_x, y - half_y)
            drawn.append(element("rect", x=x0, y=y0, width=x1 - x0 + 0.3, height=y1 - y0 + 0.3, fill=SHADES[band]))
    name = f"room-{site.rooms.index(room)}"
    clip = element("clipPath", polygon([canvas.at(*p) for p in outline(room)]), id=name)
    return clip + element("g", "".join(drawn), shape_rendering="crispEdges", clip_path=f"url(#{name})")


def _runs(cells: list[tuple[float, int]], step: float) -> list[tuple[float, float, int]]:
    """Neighbouring cells of one band: first x, last x, band."""
    made: list[tuple[float, float, int]] = []
    for x, band in cells:
        if made and made[-1][2] == band and x - made[-1][1] < 1.5 * step:
            made[-1] = (made[-1][0], x, band)
        else:
            made.append((x, x, band))
    return made


def _room_label(canvas: Canvas, room: Room, lux: float | None) -> str:
    """Name and mean of a room, where they hide no wall and no other label."""
    corners = [canvas.at(*p) for p in outline(room)]
    xs, ys = zip(*corners, strict=True)
    wide = max(xs) - min(xs) - 8
    name = shortened(room.name or room.id, wide, 10.5)
    if wide < text_width("xxxx", 10.5) or max(ys) - min(ys) < 30:
        return ""
    told = "no light" if lux is None else f"{lux:.0f}"
    told = told if text_width(told, 10.5) <= wide else ""
    x = (min(xs) + max(xs)) / 2
    places = [(x, min(ys) + (max(ys) - min(ys)) * part) for part in (0.5, 0.3, 0.7, 0.2, 0.8, 0.4, 0.6)]
    size = max(text_width(name, 10.5), text_width(told, 10.5))
    x, y = canvas.sheet.place(size, 26, places)
    return label(x, y - 7, name, 10.5, bold=True) + label(x, y + 7, told, 10.5)


# --- a fan with its lights -------------------------------------------------------------------------------------------


def worst_of(plan: Plan, fan_id: str) -> ShadowRow | None:
    """The light of a fan's room that is least clear of it: one that is not, else the one nearest to its limit."""
    rows = [r for r in plan.lighting.shadows if r.fan == fan_id]

    def margin(r: ShadowRow) -> tuple[bool, float, str]:
        return (r.clear, r.distance_in - (r.clear_in if r.clear_in is not None else r.distance_in), r.light)

    return min(rows, key=margin, default=None)


def fan_drawing(plan: Plan, fan_id: str) -> Drawing:
    """A fan from above with all lights of its room, and from the side with the light that is least clear."""
    site = Site(plan.house)
    fan = next(f for f in plan.house.fans if f.id == fan_id)
    room, worst = site.by_id[fan.room], worst_of(plan, fan_id)
    by_id = {x.id: x for x in site.indoor(room)}
    light = by_id.get(worst.light) if worst else None
    from_above, high = _above(site, room, fan, worst, plan)
    aside = _aside(site, room, fan, worst, light) if worst and light else label(680, 150, "no light in this room", 12)
    title = f"{fan.id} in {room.name or room.id}"
    alt = _fan_alt(plan, fan_id, worst)
    content = label(16, 16, shortened(title, 440, 13), 13, anchor="start", bold=True) + from_above + aside
    return Drawing(
        document(WIDTH, max(high, 372.0), content, f"Ceiling fan {title}, from above and from the side", alt), alt
    )


def _fan_alt(plan: Plan, fan_id: str, worst: ShadowRow | None) -> str:
    rows = [r for r in plan.lighting.shadows if r.fan == fan_id]
    told = [f"{r.light} {'clear' if r.clear else 'not clear'}, {r.distance_in:.0f} in apart" for r in rows]
    text = f"Fan {fan_id}: " + ("; ".join(told) or "no light in its room") + "."
    fan = next(f for f in plan.house.fans if f.id == fan_id)
    heads = sorted(h.id for h in plan.house.sprinklers if h.room == fan.room)
    text += f" Also in the room: {', '.join(f'sprinkler {h}' for h in heads)}." if heads else ""
    if worst and worst.move_ft is not None:
        text += f" Nearest clear place of {worst.light}: {worst.move_ft:.2f} ft away."
    return text


def _above(site: Site, room: Room, fan: CeilingFan, worst: ShadowRow | None, plan: Plan) -> tuple[str, float]:
    """The room from above: blade circle, lights, their patch of light at blade height, the way to the clear place."""
    pts = outline(room)
    xs, ys = zip(*pts, strict=True)
    scale = min(420 / (max(xs) - min(xs)), 420 / (max(ys) - min(ys)))
    left, top = 24.0, 40.0

    def at(x: float, y: float) -> Point:
        return left + (x - min(xs)) * scale, top + (max(ys) - y) * scale

    corners = [at(*p) for p in pts]
    hub = at(*site.fan_at(fan))
    drawn = [polygon(corners, fill=PAPER, stroke=INK, stroke_width=4.0)]
    rows = {r.light: r for r in plan.lighting.shadows if r.fan == fan.id}
    lights = site.indoor(room)
    patches = [_patch(at, scale, x, rows[x.id]) for x in lights]
    clip = element("clipPath", polygon(corners), id="room")
    inside = "".join(patches)
    if worst and worst.clear_in is not None:
        r = worst.clear_in / 12 * scale
        inside += element(
            "circle", cx=hub[0], cy=hub[1], r=r, fill="none", stroke=INK, stroke_width=1.2, stroke_dasharray="5 4"
        )
    drawn.append(element("defs", clip) + element("g", inside, clip_path="url(#room)"))
    r = fan.diameter_in / 24 * scale
    drawn.append(element("circle", cx=hub[0], cy=hub[1], r=r, fill="none", stroke=INK, stroke_width=2.2))
    for i in range(fan.blades):
        turn = 2 * math.pi * i / fan.blades
        drawn.append(line(*hub, hub[0] + r * math.cos(turn), hub[1] + r * math.sin(turn), stroke_width=2.0))
    for x in lights:
        drawn += _spot(at, x, rows[x.id], (left, left + (max(xs) - min(xs)) * scale))
    across = (left, left + (max(xs) - min(xs)) * scale)
    for number, head in enumerate(sorted(site.sprinklers[room.id], key=site.sprinkler_at)):
        drawn += _sprinkler(*at(*site.sprinkler_at(head)), head.id, across, above=number % 2 == 1)
    drawn += _way(at, room, lights, worst)
    return "".join(drawn), top + (max(ys) - min(ys)) * scale + 20


def _sprinkler(x: float, y: float, name: str, across: Point, *, above: bool) -> list[str]:
    """A sprinkler: a small open square, told in words above or below it so that neighbours do not meet."""
    told = shortened(f"sprinkler {name}", across[1] - across[0], 10.5)
    half = text_width(told, 10.5) / 2
    middle = min(max(x, across[0] + half + 4), max(across[1] - half - 4, across[0] + half + 4))
    corners = [(x - 4, y - 4), (x + 4, y - 4), (x + 4, y + 4), (x - 4, y + 4)]
    return [
        polygon(corners, fill=PAPER, stroke=INK, stroke_width=1.4),
        label(middle, y - 12 if above else y + 17, told, 10.5),
    ]


def _patch(at: Placed, scale: float, light: Luminaire, row: ShadowRow) -> str:
    """The patch of light at the height of the blades."""
    if row.above_in <= 0 or row.half_deg >= 89.9:
        return ""
    x, y = at(light.x_ft, light.y_ft)
    r = (light.radius_in + row.above_in * math.tan(math.radians(row.half_deg))) / 12 * scale
    return element("circle", cx=x, cy=y, r=r, fill=PALE, fill_opacity=0.8, stroke=SOFT, stroke_width=0.9)


def _spot(at: Placed, light: Luminaire, row: ShadowRow, across: Point) -> list[str]:
    x, y = at(light.x_ft, light.y_ft)
    told = shortened(light.id if row.clear else f"{light.id}: not clear", across[1] - across[0], 10.5)
    half = text_width(told, 10.5) / 2
    middle = min(max(x, across[0] + half + 4), max(across[1] - half - 4, across[0] + half + 4))
    mark = symbols.DEVICES["lighting_outlet"][1](x, y, 5.5)
    return [mark, label(middle, y + 15, told, 10.5, bold=not row.clear)]


def _way(at: Placed, room: Room, lights: list[Luminaire], worst: ShadowRow | None) -> list[str]:
    """A stroke from the worst light to the nearest clear place."""
    if worst is None or worst.move_x_ft is None or worst.move_y_ft is None:
        return []
    light = next(x for x in lights if x.id == worst.light)
    x0, y0 = south_west(room)
    start = at(light.x_ft, light.y_ft)
    end = at(x0 + worst.move_x_ft, y0 + worst.move_y_ft)
    ring = element("circle", cx=end[0], cy=end[1], r=5.5, fill="none", stroke=ACCENT, stroke_width=2.4)
    return [line(*start, *end, stroke=ACCENT, stroke_width=2.4), ring, label(end[0], end[1] - 14, "clear", 10.5)]


def _aside(site: Site, room: Room, fan: CeilingFan, worst: ShadowRow, light: Luminaire) -> str:
    """From the side, hub to the left, light to the right: the cone, the blades, the work plane."""
    ceiling, blades = site.ceiling_ft(room), site.blades_ft(fan)
    metric = site.house.general.show_metric
    x0, x1, floor = 480.0, 884.0, 330.0
    reach = max(worst.distance_in, worst.clear_in or 0.0) / 12
    span = fan.diameter_in / 24 + reach + 2.5
    scale = min((x1 - x0) / span, 270 / ceiling)

    def x(feet: float) -> float:
        return x0 + (feet + fan.diameter_in / 24 + 0.3) * scale

    def y(feet: float) -> float:
        return floor - feet * scale

    drawn = [line(x0, y(h), x1, y(h), stroke_width=2.5) for h in (0.0, ceiling)]
    plane = site.plane_ft
    d, a = worst.distance_in / 12, light.radius_in / 12
    if worst.half_deg < 89.9 and worst.how != "uplight":
        drawn.append(_cone(x, y, d, a, light.height_ft, plane, worst.half_deg, (x0, x1)))
    else:
        # light in every direction: all that lies below the opening (uplight: above it)
        high, low = (ceiling, light.height_ft) if worst.how == "uplight" else (light.height_ft, plane)
        corners = [(x0, y(high)), (x1, y(high)), (x1, y(low)), (x0, y(low))]
        drawn.append(polygon(corners, fill=PALE, fill_opacity=0.8))
    drawn.append(line(x0, y(plane), x1, y(plane), stroke=SOFT, stroke_dasharray="2 4"))
    drawn.append(label(x1 - 6, y(plane) + 11, "work plane", 10.5, anchor="end"))
    r = fan.diameter_in / 24
    drawn.append(line(x(0), y(ceiling), x(0), y(blades), stroke_width=2.0))
    drawn.append(line(x(-r), y(blades), x(r), y(blades), stroke_width=4.0))
    if worst.clear_in is not None:
        need = x(worst.clear_in / 12)
        drawn.append(line(need, y(ceiling), need, y(ceiling) + 46, stroke_dasharray="5 4"))
        told = f"clear from {show_quantity(worst.clear_in, 'in', metric=metric, digits=0 if metric else 1)}"
        drawn.append(label(min(need, x1 - text_width(told, 10.5) / 2), y(ceiling) - 12, told, 10.5))
    if light.height_ft < ceiling:
        drawn.append(line(x(d), y(ceiling), x(d), y(light.height_ft), stroke_width=1.2))
    drawn.append(line(x(d - a), y(light.height_ft), x(d + a), y(light.height_ft), stroke=ACCENT, stroke_width=5.0))
    apart = show_quantity(worst.distance_in, "in", metric=metric, digits=0 if metric else 1)
    never = "not clear, and at no distance" if worst.clear_in is None else "not clear"
    verdict = "clear" if worst.clear else never
    told = shortened(f"{light.id}, {apart} from the hub: {verdict}", x1 - x0, 11)
    drawn.append(label((x0 + x1) / 2, 352, told, 11, bold=True))
    told = shortened(f"from the side: {fan.id} and {light.id}", x1 - x0, 12)
    drawn.append(label((x0 + x1) / 2, 16, told, 12))
    return "".join(drawn)


def _cone(
    x: Scaled,
    y: Scaled,
    d: float,
    a: float,
    high: float,
    plane: float,
    half: float,
    ends: Point,
) -> str:
    """The light cone from the opening down to the work plane, cut at the ends of the drawing."""
    slope = math.tan(math.radians(half))
    left_end, right_end = ends
    fall = high - plane
    sides = []
    for sign, edge in ((-1, left_end), (1, right_end)):
        start, stop = x(d + sign * a), x(d + sign * (a + fall * slope))
        top, bottom = y(high), y(plane)
        share = 1.0 if abs(stop - start) < 1e-9 else min(1.0, max((edge - start) / (stop - start), 0.0))
        sides.append(
            [
                (start, top),
                (start + share * (stop - start), top + share * (bottom - top)),
                (start + share * (stop - start), bottom),
            ]
        )
    outline_points = [*sides[0], *reversed(sides[1])]
    return polygon(outline_points, fill=PALE, fill_opacity=0.8, stroke=SOFT, stroke_width=0.9)
