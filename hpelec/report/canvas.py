"""The ground of a plan drawing: rooms, walls, openings and fixed items of one level, to scale, north up."""

from __future__ import annotations

import math
import textwrap
from dataclasses import dataclass, field

from shapely import Point as ShapelyPoint
from shapely import Polygon

from hpelec.core.units import show_quantity
from hpelec.house.fixed_shapes import fixed_shapes
from hpelec.house.geometry import (
    Point,
    edge_of,
    openings_of,
    outline,
    room_area_ft2,
    room_centre,
    south_west,
    wall_parts,
)
from hpelec.house.model import House
from hpelec.house.rows import Opening, Room
from hpelec.report import symbols
from hpelec.report.labels import Sheet, around
from hpelec.report.svg import INK, PALE, SOFT, element, label, line, polygon, text_width

WIDTH = 880.0
MARGIN = 46.0
TALLEST = 870.0
RADIUS = 5.8
SMALL = 11.5
NAME_SIZES = (13.0, 11.0, 9.5)
WALLS = {"wall": 6.5, "garage_wall": 6.5, "outside": 3.0, "": 2.0}
"""Stroke width by what the wall is part of (see `geometry.WallPart`)."""

WALL_NAMES = {
    "wall": "wall in the air barrier",
    "garage_wall": "wall in the air barrier",
    "outside": "wall outside the air barrier",
    "": "wall inside",
}

HATCH = element(
    "pattern",
    element("path", d="M0 8 L8 0", stroke=SOFT, stroke_width=0.7),
    id="outside",
    width=8.0,
    height=8.0,
    patternUnits="userSpaceOnUse",
)


@dataclass
class Canvas:
    """One level on its sheet: turns plan feet into drawing units, and notes which symbols the legend must explain."""

    house: House
    rooms: list[Room]
    scale: float
    west_ft: float
    north_ft: float
    left: float
    sheet: Sheet
    used: dict[str, symbols.Symbol] = field(default_factory=dict)

    def at(self, x_ft: float, y_ft: float) -> Point:
        """Drawing units of a place on the plan."""
        return (self.left + (x_ft - self.west_ft) * self.scale, MARGIN + (self.north_ft - y_ft) * self.scale)


def canvas_for(house: House, rooms: list[Room], others: list[Point]) -> Canvas:
    """A canvas that holds the rooms and the other points [ft], as large as the page allows."""
    points = [p for r in rooms for p in outline(r)] + others
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    wide, deep = max(xs) - min(xs), max(ys) - min(ys)
    scale = min((WIDTH - 2 * MARGIN) / wide, (TALLEST - 2 * MARGIN) / deep)
    sheet = Sheet(WIDTH, deep * scale + 2 * MARGIN)
    return Canvas(house, rooms, scale, min(xs), max(ys), (WIDTH - wide * scale) / 2, sheet)


def draw_floors(canvas: Canvas) -> str:
    """Hatches over the rooms that lie outside the air barrier."""
    outside = [r for r in canvas.rooms if not r.inside_air_barrier]
    if outside:
        canvas.used["outside the air barrier"] = _hatched
    return "".join(polygon([canvas.at(*p) for p in outline(r)], fill="url(#outside)") for r in outside)


def draw_walls(canvas: Canvas) -> str:
    """Walls with the openings left out, then the marks of the openings."""
    drawn, marks, seen = [], [], set()
    for room in canvas.rooms:
        cuts = openings_of(canvas.house, room)
        for part in wall_parts(canvas.house, room):
            gaps = [(c.start_ft, c.end_ft) for c in cuts if c.edge.side == part.edge.side]
            for low, high in solid(part.start_ft, part.end_ft, gaps):
                drawn.append(_wall(canvas, part.surface, *part.edge.at(low), *part.edge.at(high)))
        for cut in cuts:
            if cut.opening.id not in seen and cut.opening.room == room.id:
                seen.add(cut.opening.id)
                start, end = canvas.at(*cut.edge.at(cut.start_ft)), canvas.at(*cut.edge.at(cut.end_ft))
                marks.append(_opening(cut.opening.kind, start, end))
                canvas.sheet.take_stroke(*start, *end, 8)
                canvas.used[cut.opening.kind.replace("_", " ")] = _sample(cut.opening)
    return "".join(drawn + marks)


def _wall(canvas: Canvas, surface: str, x0_ft: float, y0_ft: float, x1_ft: float, y1_ft: float) -> str:
    (x0, y0), (x1, y1) = canvas.at(x0_ft, y0_ft), canvas.at(x1_ft, y1_ft)
    width = WALLS[surface]
    canvas.sheet.take_stroke(x0, y0, x1, y1, width + 2)
    canvas.used[WALL_NAMES[surface]] = wall_sample(width)
    return line(x0, y0, x1, y1, stroke_width=width, stroke_linecap="square")


def solid(start: float, end: float, gaps: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The stretches between start and end that no gap takes."""
    left, at = [], start
    for low, high in sorted(gaps):
        if low > at:
            left.append((at, min(low, end)))
        at = max(at, high)
    if at < end:
        left.append((at, end))
    return [(a, b) for a, b in left if b - a > 1e-6]


PANES = {"window": (-0.4, 0.4), "fixed_glass": (-0.4, 0.4), "sliding_glass": (-0.5, 0.0, 0.5)}
SILLS = {"door": (0.0,), "garage_door": (-0.4, 0.4)}


def _opening(kind: str, start: Point, end: Point) -> str:
    """Jambs across the wall; a dashed sill for doors (no swing is known), two or three panes for glass."""
    (x0, y0), (x1, y1) = start, end
    length = math.hypot(x1 - x0, y1 - y0)
    nx, ny = -(y1 - y0) / length * 4.5, (x1 - x0) / length * 4.5
    marks = [line(x - nx, y - ny, x + nx, y + ny, stroke_width=1.5) for x, y in (start, end)]
    for shift, dash in [(s, "none") for s in PANES.get(kind, ())] + [(s, "4 3") for s in SILLS.get(kind, ())]:
        dx, dy = shift * nx, shift * ny
        marks.append(line(x0 + dx, y0 + dy, x1 + dx, y1 + dy, stroke_width=1.1, stroke_dasharray=dash))
    return element("g", "".join(marks), class_="opening")


def draw_fixed(canvas: Canvas) -> str:
    """Fixed items as outlines, named where the name fits."""
    drawn, named = [], []
    for kind, corners in fixed_shapes(canvas.house, canvas.rooms):
        points = [canvas.at(*p) for p in corners]
        drawn.append(polygon(points, fill=PALE, fill_opacity=0.55, stroke=SOFT, stroke_width=0.9))
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        name = kind.replace("_", " ")
        if text_width(name, 9) < max(xs) - min(xs) - 4 and max(ys) - min(ys) > 26:
            x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
            x, y = canvas.sheet.place(text_width(name, 9), 10, [(x, y), (x, y - 8), (x, y + 8)])
            named.append(label(x, y, name, 9, colour=SOFT))
    return "".join(drawn + named)


def draw_fans(canvas: Canvas) -> str:
    """The sweep of the ceiling fans."""
    drawn = []
    corners = {r.id: south_west(r) for r in canvas.rooms}
    for fan in canvas.house.fans:
        if fan.room in corners:
            x, y = corners[fan.room]
            at = canvas.at(x + fan.x_offset_ft, y + fan.y_offset_ft)
            drawn.append(symbols.blade_circle(*at, fan.diameter_in / 24 * canvas.scale))
            canvas.used["sweep of a ceiling fan"] = symbols.blade_circle
    return "".join(drawn)


def draw_panels(canvas: Canvas) -> str:
    """The panels on their walls, with their ids."""
    drawn = []
    by_id = {r.id: r for r in canvas.rooms}
    for entry in canvas.house.panels:
        edge = edge_of(by_id[entry.room], entry.side) if entry.room in by_id else None
        if edge is None:
            continue
        (x, y), (ix, iy) = canvas.at(*edge.at(edge.along(entry.offset_ft))), edge.inward()
        x, y = x + ix * 9, y - iy * 9
        canvas.sheet.take((x - 10, y - 6, x + 10, y + 6))
        wide = text_width(entry.id, SMALL)
        lx, ly = canvas.sheet.place(wide, SMALL, around(x, y, 12 + wide / 2, 8 + SMALL / 2))
        drawn.append(element("g", symbols.panel(x, y, RADIUS), class_="panel") + label(lx, ly, entry.id, bold=True))
        canvas.used["panel"] = symbols.panel
    return "".join(drawn)


def area_text(house: House, room: Room) -> str:
    """Floor area of a room in the units of the house."""
    metric = house.general.show_metric
    return show_quantity(room_area_ft2(room), "ft2", metric=metric, digits=1 if metric else 0)


def draw_room_names(canvas: Canvas) -> str:
    """Name and area of each room, where and as large as it hides the least."""
    drawn = []
    for room in sorted(canvas.rooms, key=lambda r: r.id):
        name = room.name.strip() or room.id
        area, places = area_text(canvas.house, room), _room_places(canvas, room)
        xs = [canvas.at(*p)[0] for p in outline(room)]
        tries = []
        for size in NAME_SIZES:
            longest = max(len(word) for word in name.split())
            per_row = max(min(longest, 14), int((max(xs) - min(xs) - 8) / text_width("x", size)))
            names = textwrap.wrap(name, per_row, max_lines=3, placeholder="…")
            wide = max(text_width(r, size) for r in [*names, area])
            high = size * (1.2 * len(names) + 1)
            centre, hit = canvas.sheet.find(wide, high, places)
            tries.append((hit, size, names, wide, high, centre))
        _, size, names, wide, high, (x, y) = min(tries, key=lambda t: (t[0], -t[1]))
        top = y - high / 2
        canvas.sheet.take((x - wide / 2, top, x + wide / 2, top + high))
        drawn += [label(x, top + 1.2 * size * (i + 0.5), r, size, bold=True) for i, r in enumerate(names)]
        drawn.append(label(x, y + high / 2 - 0.5 * size, area, min(size, 10.5), colour=SOFT))
    return element("g", "".join(drawn), class_="rooms")


def _room_places(canvas: Canvas, room: Room) -> list[Point]:
    """Places for a room's name: its middle first, then a grid of places inside it, near ones first."""
    shape, (cx, cy) = Polygon(outline(room)), room_centre(room)
    x0, y0, x1, y1 = shape.bounds
    grid = [(x0 + (x1 - x0) * i / 12, y0 + (y1 - y0) * j / 12) for i in range(2, 11) for j in range(2, 11)]
    inside = [p for p in [(cx, cy), *grid] if shape.contains(ShapelyPoint(p))]
    inside.sort(key=lambda p: (round(math.hypot(p[0] - cx, p[1] - cy), 6), p))
    return [canvas.at(*p) for p in inside or [(cx, cy)]]


def draw_scale(canvas: Canvas) -> str:
    """A bar of a round length in feet or metres, and the north arrow; below the plan."""
    unit, unit_ft = ("m", 1 / 0.3048) if canvas.house.general.show_metric else ("ft", 1.0)
    lengths = [n for n in (1, 2, 5, 10, 20, 50, 100, 200) if n * unit_ft * canvas.scale <= 260]
    length = max(lengths, default=1)
    half, y = length * unit_ft * canvas.scale / 2, canvas.sheet.height + 8
    bars = [
        element("rect", x=MARGIN, y=y, width=half, height=6.0, fill=INK),
        element("rect", x=MARGIN + half, y=y, width=half, height=6.0, fill="none", stroke=INK, stroke_width=1.0),
    ]
    ticks = [(0.0, "0"), (half, f"{length / 2:g}"), (2 * half, f"{length:g} {unit}")]
    words = [label(MARGIN + dx, y + 16, text, 10.5) for dx, text in ticks]
    x = WIDTH - MARGIN
    arrow = polygon([(x, y - 16), (x - 6, y + 6), (x, y + 1), (x + 6, y + 6)], fill=INK) + label(x, y + 16, "N", 12)
    return element("g", "".join(bars + words) + arrow, class_="scale")


def draw_legend(canvas: Canvas) -> tuple[str, float]:
    """What the symbols used mean, in three columns; returns the markup and the height of the whole drawing."""
    top = canvas.sheet.height + 48
    entries = sorted(canvas.used.items())
    per_column = math.ceil(len(entries) / 3)
    drawn = []
    for i, (name, draw) in enumerate(entries):
        x, y = MARGIN + 14 + (i // per_column) * 268, top + 24 * (i % per_column)
        drawn.append(draw(x, y, RADIUS) + label(x + 24, y, name, SMALL, anchor="start"))
    return element("g", "".join(drawn), class_="legend"), top + 24 * per_column


def wall_sample(width: float, dash: str = "none", colour: str = INK) -> symbols.Symbol:
    """A stroke for the legend."""

    def draw(x: float, y: float, _: float) -> str:
        return line(x - 14, y, x + 14, y, stroke_width=width, stroke_dasharray=dash, stroke=colour)

    return draw


def _hatched(x: float, y: float, r: float) -> str:
    return element("rect", x=x - 14, y=y - r, width=28.0, height=2 * r, fill="url(#outside)", stroke=SOFT)


def _sample(opening: Opening) -> symbols.Symbol:
    def draw(x: float, y: float, _: float) -> str:
        return _opening(opening.kind, (x - 12, y), (x + 12, y))

    return draw
