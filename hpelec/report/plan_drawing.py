"""One level of the house drawn to scale with its devices and its holes, and cable routes on request."""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Iterable, Sequence

from shapely import Point as ShapelyPoint
from shapely import Polygon

from hpelec.house.geometry import Point, edge_of, edges, outline
from hpelec.house.rows import Room
from hpelec.house.sections import Level
from hpelec.plan import Plan
from hpelec.report import symbols
from hpelec.report.canvas import (
    HATCH,
    RADIUS,
    SMALL,
    WIDTH,
    Canvas,
    area_text,
    canvas_for,
    draw_fans,
    draw_fixed,
    draw_floors,
    draw_legend,
    draw_panels,
    draw_room_names,
    draw_scale,
    draw_walls,
    wall_sample,
)
from hpelec.report.labels import around
from hpelec.report.svg import ACCENT, PAPER, SOFT, document, element, label, line, path, text_width
from hpelec.steps.devices.model import DeviceSpot
from hpelec.steps.penetrations.model import Hole
from hpelec.steps.routes.model import Leg

PARTS = ("fixed", "devices", "labels", "holes")
"""What `show` may name: fixed items, devices, the numbers of devices, holes with their tags."""

MOST_NAMED = 8
"""With more circuits than this on one drawing their names would hide it."""

DASHES = {
    "below_floor": ("cable below the floor", "7 3"),
    "through_studs": ("cable through studs", "none"),
    "above_ceiling": ("cable above the ceiling", "1.5 2.5"),
    "between_levels": ("cable between levels", "9 3 2 3"),
}


def plan_svg(plan: Plan, level_id: str, *, show: Sequence[str] = PARTS, routes: Sequence[str] = ()) -> str:
    """The plan of one level as a standalone SVG.

    show: any of PARTS; the plan needs only the steps that they ask for (holes: also `sealing`, for the tags).
    routes: ids of circuits whose cables are drawn over it (named when they are few).
    Raises ValueError for a level, a part or a circuit that is not there, and for a level without rooms.
    """
    level = _level(plan, level_id)
    _check_words("part", show, PARTS)
    _check_words("circuit", routes, [r.circuit for r in plan.routes.routes] if routes else ())
    rooms = [r for r in plan.house.rooms if r.level == level_id]
    devices = [d for d in plan.devices.devices if d.level == level_id] if "devices" in show else []
    holes = [h for h in plan.penetrations.holes if h.level == level_id] if "holes" in show else []
    canvas = canvas_for(plan.house, rooms, [(s.x_ft, s.y_ft) for s in (*devices, *holes)])
    body = [draw_floors(canvas), draw_walls(canvas)]
    if "fixed" in show:
        body.append(draw_fixed(canvas))
    if devices:
        body.append(draw_fans(canvas))
    panels = draw_panels(canvas)
    spots = _spots(canvas, devices)
    marks = [_device(canvas, d, *spots[d.id]) for d in devices] + [_hole(canvas, h) for h in holes]
    body += [_routes(canvas, plan, routes, level_id), panels, *marks, draw_room_names(canvas)]
    if holes:
        body.append(_tags(canvas, holes, {i.hole: i.tag for i in plan.sealing.items}))
    if "labels" in show:
        body += [_device_label(canvas, d, *spots[d.id]) for d in devices]
    legend, height = draw_legend(canvas)
    title = f"{plan.house.general.name}: plan of {level.name or level.id}"
    text = "".join([*body, draw_scale(canvas), legend])
    return document(WIDTH, height, text, title, plan_alt(plan, level_id), HATCH)


def plan_alt(plan: Plan, level_id: str) -> str:
    """The plan of a level in words: rooms with areas, number of devices by kind, number of holes."""
    level, house = _level(plan, level_id), plan.house
    rooms = [f"{r.name or r.id} ({area_text(house, r)})" for r in house.rooms if r.level == level_id]
    told = [f"Plan of {level.name or level.id}, north up. Rooms: {', '.join(rooms)}."]
    if "devices" in plan.results:
        kinds = [d.kind for d in plan.devices.devices if d.level == level_id]
        devices = [f"{kinds.count(k)} {k.replace('_', ' ')}" for k in dict.fromkeys(kinds)]
        told.append(f"Devices: {', '.join(devices) or 'none'}.")
    if "penetrations" in plan.results:
        holes = sum(1 for h in plan.penetrations.holes if h.level == level_id)
        told.append(f"Holes in the air barrier: {holes}.")
    return " ".join(told)


def drawn_levels(plan: Plan) -> list[Level]:
    """The levels that hold rooms, lowest first."""
    used = {r.level for r in plan.house.rooms}
    return sorted((lv for lv in plan.house.levels if lv.id in used), key=lambda lv: lv.floor_ft)


def compact_tags(tags: Iterable[str]) -> str:
    """Tags in short: runs of numbers joined, e.g. `S01–S03, S07`."""
    runs: list[list[str]] = []
    for tag in sorted(tags, key=natural):
        if runs and _follows(runs[-1][-1], tag):
            runs[-1].append(tag)
        else:
            runs.append([tag])
    return ", ".join(r[0] if len(r) == 1 else f"{r[0]}–{r[-1]}" for r in runs)


def _follows(before: str, tag: str) -> bool:
    a, b = re.fullmatch(r"(.*?)(\d+)", before), re.fullmatch(r"(.*?)(\d+)", tag)
    return a is not None and b is not None and a[1] == b[1] and int(b[2]) == int(a[2]) + 1


def natural(text: str) -> list[tuple[int, str]]:
    """Sorting key that puts `C2` before `C10`."""
    return [(int(p), "") if p.isdecimal() else (-1, p) for p in re.split(r"([0-9]+)", text)]


def _level(plan: Plan, level_id: str) -> Level:
    found = {lv.id: lv for lv in drawn_levels(plan)}
    if level_id not in found:
        raise ValueError(f"no level {level_id!r} with rooms; there are: {', '.join(found)}")
    return found[level_id]


def _check_words(what: str, words: Iterable[str], known: Sequence[str]) -> None:
    odd = [w for w in words if w not in known]
    if odd:
        raise ValueError(f"no {what} {', '.join(map(repr, odd))}; there are: {', '.join(known)}")


def _spots(canvas: Canvas, devices: list[DeviceSpot]) -> dict[str, Point]:
    """Where each symbol is drawn: beside its wall, on its room's side, moved apart where two would overlap."""
    by_id = {r.id: r for r in canvas.rooms}
    shapes = {r.id: Polygon([canvas.at(*p) for p in outline(r)]).buffer(-RADIUS) for r in canvas.rooms}
    spots: dict[str, Point] = {}
    for device in sorted(devices, key=lambda d: d.id):
        (x, y), (ix, iy) = canvas.at(device.x_ft, device.y_ft), _inward(by_id, device)
        x, y = x + ix * (RADIUS + 5.5), y - iy * (RADIUS + 5.5)
        ax, ay = (iy, ix) if (ix, iy) != (0.0, 0.0) else (1.0, 0.0)
        step = 2.4 * RADIUS
        row = [(x + k * ax * step, y + k * ay * step) for k in (0, 1, -1, 2, -2, 3, -3)]
        places = [(px + n * ix * step, py - n * iy * step) for n in (0, 1, 2) for px, py in row]
        own = [p for p in places if _on_its_side(device.room, shapes, p)]
        spots[device.id] = canvas.sheet.place(2.1 * RADIUS, 2.1 * RADIUS, own or places)
        below = symbols.REACH_BELOW.get(device.kind, 0.0) * RADIUS
        if below:
            sx, sy = spots[device.id]
            canvas.sheet.take((sx - RADIUS, sy + RADIUS, sx + RADIUS, sy + below))
    return spots


def _on_its_side(room: str, shapes: dict[str, Polygon], place: Point) -> bool:
    """True when the place lies in the room; outdoors: in no room."""
    spot = ShapelyPoint(place)
    return bool(shapes[room].contains(spot)) if room in shapes else not any(s.contains(spot) for s in shapes.values())


def _inward(rooms: dict[str, Room], device: DeviceSpot) -> Point:
    """Unit vector from the wall of a device to the side it is used from; (0, 0) for ceilings and floors."""
    if device.room in rooms:
        edge = edge_of(rooms[device.room], device.side) if device.side else None
        return edge.inward() if edge else (0.0, 0.0)
    walls = [e for r in rooms.values() for e in edges(r)]
    nearest = min(walls, key=lambda e: _distance((device.x_ft, device.y_ft), (e.x0, e.y0), (e.x1, e.y1)))
    ix, iy = nearest.inward()
    return (-ix, -iy)


def _distance(p: Point, a: Point, b: Point) -> float:
    """Distance of p from the stretch a-b."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy)
    t = min(max(t, 0.0), 1.0)
    return math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy)


def _device(canvas: Canvas, device: DeviceSpot, x: float, y: float) -> str:
    name, draw = symbols.DEVICES.get(device.kind, symbols.OTHER)
    canvas.used[name] = draw
    return element("g", draw(x, y, RADIUS), class_="device", data_device=device.id)


def short_id(device: DeviceSpot) -> str:
    """What stands beside a symbol: the name of what it serves, else the end of its id, both without its room's id."""
    name = device.serves or device.id
    return (name.removeprefix(device.room) if device.room else name).lstrip("-_.:") or name


def _device_label(canvas: Canvas, device: DeviceSpot, x: float, y: float) -> str:
    size = SMALL - 1.5
    text = short_id(device)
    wide = text_width(text, size)
    lx, ly = canvas.sheet.place(wide, size, around(x, y, RADIUS + 3 + wide / 2, RADIUS + 2 + size / 2, rings=3))
    leader = _leader((x, y), (lx, ly), wide, size, reach=RADIUS + 7, colour=SOFT)
    return leader + label(lx, ly, text, size, colour=SOFT)


def _leader(mark: Point, centre: Point, wide: float, high: float, *, reach: float, colour: str) -> str:
    """A thin line from a mark to its label, where the label had to be put farther away than `reach`."""
    (x, y), (lx, ly) = mark, centre
    tx, ty = min(max(x, lx - wide / 2), lx + wide / 2), min(max(y, ly - high / 2), ly + high / 2)
    gap = math.hypot(tx - x, ty - y)
    if gap <= reach:
        return ""
    clear = RADIUS / gap
    return line(x + clear * (tx - x), y + clear * (ty - y), tx, ty, stroke=colour, stroke_width=0.7)


def _hole(canvas: Canvas, hole: Hole) -> str:
    x, y = canvas.at(hole.x_ft, hole.y_ft)
    canvas.sheet.take((x - 5, y - 5, x + 5, y + 5))
    draw = symbols.hole(hole.surface)
    canvas.used[symbols.HOLES.get(hole.surface, symbols.HOLES["wall"])] = draw
    return element("g", draw(x, y, 5), class_="hole", data_hole=hole.id)


def _tags(canvas: Canvas, holes: list[Hole], tags: dict[str, str]) -> str:
    """The sealing tags; holes that stand together share one label, tied to them by a thin line."""
    groups: list[tuple[Point, list[str]]] = []
    for hole in sorted(holes, key=lambda h: natural(tags.get(h.id, h.id))):
        x, y = canvas.at(hole.x_ft, hole.y_ft)
        text = tags.get(hole.id, "no tag")
        near = next((g for g in groups if math.hypot(g[0][0] - x, g[0][1] - y) < 12), None)
        if near:
            near[1].append(text)
        else:
            groups.append(((x, y), [text]))
    return element("g", "".join(_tag(canvas, *at, texts) for at, texts in groups), class_="tags")


def _tag(canvas: Canvas, x: float, y: float, texts: list[str]) -> str:
    rows = textwrap.wrap(compact_tags(texts), 15)
    row = SMALL * 1.15
    wide, high = max(text_width(r, SMALL) for r in rows), row * len(rows)
    lx, ly = canvas.sheet.place(wide, high, around(x, y, 7 + wide / 2, 6 + high / 2, rings=12))
    drawn = [label(lx, ly - high / 2 + row * (i + 0.5), r, colour=ACCENT, bold=True) for i, r in enumerate(rows)]
    return _leader((x, y), (lx, ly), wide, high, reach=9, colour=ACCENT) + "".join(drawn)


def _routes(canvas: Canvas, plan: Plan, circuits: Sequence[str], level_id: str) -> str:
    """The cables of the circuits named that start or end on this level, told apart by dashes."""
    rooms = {r.id for r in canvas.rooms}
    here = {d.id for d in plan.devices.devices if d.level == level_id}
    here |= {p.id for p in plan.house.panels if p.room in rooms}
    drawn, named = [], []
    for name in circuits:
        legs = [leg for leg in plan.routes.legs if leg.circuit == name and {leg.start, leg.end} & here]
        strokes = [[canvas.at(x, y) for x, y, _ in leg.points_ft] for leg in legs]
        drawn += [_cable(canvas, leg, stroke) for leg, stroke in zip(legs, strokes, strict=True)]
        if strokes:
            longest = max(strokes, key=lambda s: math.dist(s[0], s[-1]))
            named.append((name, longest[len(longest) // 2]))
    if len(named) <= MOST_NAMED:
        drawn += [_circuit_name(canvas, name, *at) for name, at in named]
    return element("g", "".join(drawn), class_="routes") if drawn else ""


def _circuit_name(canvas: Canvas, name: str, x: float, y: float) -> str:
    wide = text_width(name, SMALL)
    lx, ly = canvas.sheet.place(wide, SMALL, around(x, y, wide / 2 + 2, SMALL / 2 + 3))
    return label(lx, ly, name, SMALL, colour=ACCENT)


def _cable(canvas: Canvas, leg: Leg, points: list[Point]) -> str:
    """A stroke with a paper-coloured rim, so that it can be told from the wall it runs in."""
    told, dash = DASHES[leg.way.split("+", maxsplit=1)[0]]
    canvas.used[told] = wall_sample(1.6, dash, ACCENT)
    rim = path(points, fill="none", stroke=PAPER, stroke_width=3.2)
    return rim + path(points, fill="none", stroke=ACCENT, stroke_width=1.6, stroke_dasharray=dash, class_="leg")
