"""Walls of a room seen from inside it, to scale: openings, fixed items, and devices at their heights and offsets."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cache

from hpelec.core.tables import table
from hpelec.core.units import show_quantity
from hpelec.house.geometry import Edge, edges, fixed_at_walls, level_of, openings_of, wall_parts
from hpelec.house.rows import Opening, Room
from hpelec.plan import Plan
from hpelec.report import symbols
from hpelec.report.canvas import RADIUS, SMALL
from hpelec.report.labels import Sheet, around
from hpelec.report.plan_drawing import short_id
from hpelec.report.svg import (
    ACCENT,
    INK,
    PALE,
    PAPER,
    SOFT,
    Drawing,
    document,
    element,
    escape,
    label,
    line,
    number,
    shortened,
    text_width,
)
from hpelec.steps.devices.model import DeviceSpot

WIDTH = 880.0
SIDE = 74.0
"""Room left of a wall for its heights."""
RIGHT = 26.0
HEAD = 40.0
FOOT = 74.0
"""Room below a wall for its dimensions."""
TWO_BESIDE_FT = 22.0
LEAST_WIDE = 250.0
"""Room for the heading of a short wall."""
LARGEST = 30.0
LARGEST_LONG = 20.0
"""Most drawing units for a foot, and the same for a room with a long wall."""
DIMENSION = 10.0
ENVELOPE = "box in a wall of the air barrier"


@cache
def fixed_heights_in(kind: str) -> tuple[float, float]:
    """Heights of the lower and upper edge at which a kind of fixed item is drawn, common practice."""
    row = table("geometry/fixed_heights").one(kind=kind)
    return row.number("bottom_in"), row.number("top_in")


@dataclass
class _Wall:
    """One wall on the sheet: turns a distance along the edge and a height into drawing units."""

    plan: Plan
    room: Room
    edge: Edge
    scale: float
    left: float
    floor: float
    high_ft: float
    sheet: Sheet
    used: dict[str, symbols.Symbol] = field(default_factory=dict)

    def at(self, along_ft: float, height_ft: float) -> tuple[float, float]:
        """A viewer inside the room has the end of the edge at the left hand."""
        return self.left + (self.edge.length_ft - along_ft) * self.scale, self.floor - height_ft * self.scale

    def length(self, value_ft: float) -> str:
        """A dimension as the house shows it."""
        metric = self.plan.house.general.show_metric
        return f"{value_ft * 304.8:.0f}" if metric else show_quantity(value_ft, "ft")

    def height(self, value_in: float) -> str:
        """A height above the floor as the house shows it."""
        return f"{value_in * 25.4:.0f}" if self.plan.house.general.show_metric else f"{value_in:g} in"


def elevations(plan: Plan, room_id: str, sides: Sequence[str] = ()) -> Drawing:
    """The walls of a room as small multiples at one scale, with their legend.

    sides: names of the walls wanted, all when left out. Devices are drawn when the plan holds them.
    Raises ValueError for a room or a wall that is not there.
    """
    room = next((r for r in plan.house.rooms if r.id == room_id), None)
    if room is None:
        raise ValueError(f"no room {room_id!r}; there are: {', '.join(r.id for r in plan.house.rooms)}")
    found = {e.side: e for e in edges(room)}
    odd = [s for s in sides if s not in found]
    if odd:
        raise ValueError(f"room {room_id} has no wall {odd[0]!r}; it has: {', '.join(found)}")
    chosen = [found[s] for s in (sides or found)]
    high_ft = level_of(plan.house, room).ceiling_height_ft
    scale = _scale(chosen)
    used: dict[str, symbols.Symbol] = {}
    row_high = HEAD + high_ft * scale + FOOT
    places = _places(chosen, scale)
    rows = places[-1][1] + 1
    sheet = Sheet(WIDTH, rows * row_high)
    drawn = [
        _wall(_Wall(plan, room, edge, scale, left, row * row_high + HEAD + high_ft * scale, high_ft, sheet, used))
        for edge, (left, row) in zip(chosen, places, strict=True)
    ]
    legend, height = _legend(used, rows * row_high + 14)
    name = room.name.strip() or room.id
    alt = _alt(plan, room, chosen)
    foot = _scale_bar(plan, scale, height)
    return Drawing(document(WIDTH, height + 40, "".join(drawn) + legend + foot, f"Walls of {name}", alt), alt)


def rooms_with_devices(plan: Plan) -> list[Room]:
    """Rooms that have a device on a wall, in the order of the house."""
    used = {d.room for d in plan.devices.devices if d.side}
    return [r for r in plan.house.rooms if r.id in used]


def rooms_with_counters(plan: Plan) -> list[Room]:
    """Rooms with a counter at a wall: those whose walls an electrician asks for first."""
    used = {f.room for f in plan.house.fixed if f.kind in ("counter", "peninsula") and f.side}
    return [r for r in rooms_with_devices(plan) if r.id in used]


def _scale(chosen: Sequence[Edge]) -> float:
    """Drawing units for a foot: two walls beside each other unless that makes the longest one too small to read."""
    longest = max(e.length_ft for e in chosen)
    if len(chosen) > 1 and longest <= TWO_BESIDE_FT:
        return min(LARGEST, (WIDTH / 2 - SIDE - RIGHT) / longest)
    return min(LARGEST_LONG, (WIDTH - SIDE - RIGHT) / longest)


def _places(chosen: Sequence[Edge], scale: float) -> list[tuple[float, int]]:
    """Left end and row of each wall, set like words: beside the last one where there is room, else on a new row."""
    places, at, row = [], 0.0, 0
    for edge in chosen:
        wide = max(SIDE + edge.length_ft * scale + RIGHT, LEAST_WIDE)
        if at > 0 and at + wide > WIDTH + 1e-6:
            at, row = 0.0, row + 1
        places.append((at + SIDE, row))
        at += wide
    return places


def _devices(wall: _Wall) -> list[tuple[DeviceSpot, float]]:
    """Devices of a wall with their distance from the edge's start."""
    if "devices" not in wall.plan.results:
        return []
    here = [d for d in wall.plan.devices.devices if d.room == wall.room.id and d.side == wall.edge.side]
    return [(d, wall.edge.along(d.offset_ft)) for d in here if d.offset_ft is not None]


def _behind(wall: _Wall) -> str:
    names = {r.id: r.name.strip() or r.id for r in wall.plan.house.rooms}
    parts = [p for p in wall_parts(wall.plan.house, wall.room) if p.edge.side == wall.edge.side]
    seen = dict.fromkeys(names.get(p.behind, "outdoors") for p in reversed(parts))
    return ", ".join(seen)


def side_name(side: str) -> str:
    """South wall, or wall 3."""
    return f"Wall {side}" if side.isdecimal() else f"{side.capitalize()} wall"


def _wall(wall: _Wall) -> str:
    (x0, top), (x1, floor) = wall.at(wall.edge.length_ft, wall.high_ft), wall.at(0, 0)
    size = show_quantity(wall.edge.length_ft, "ft", metric=wall.plan.house.general.show_metric, digits=2)
    title = f"{side_name(wall.edge.side)}, {size}"
    behind = shortened(f"behind it: {_behind(wall)}", max(x1 - x0, LEAST_WIDE - SIDE), SMALL - 1.5)
    drawn = [
        label(x0, top - 25, title, 12, anchor="start", bold=True),
        label(x0, top - 11, behind, SMALL - 1.5, anchor="start", colour=SOFT),
        element("rect", x=x0, y=top, width=x1 - x0, height=floor - top, fill=PAPER, stroke=INK, stroke_width=1.0),
        line(x0, floor, x1, floor, stroke_width=2.6),
    ]
    drawn += [_fixed(wall, *f) for f in _fixed_spans(wall)]
    cuts = [c for c in openings_of(wall.plan.house, wall.room) if c.edge.side == wall.edge.side]
    drawn += [_opening(wall, c.opening, c.start_ft, c.end_ft) for c in cuts]
    devices = _devices(wall)
    drawn += [_height_line(wall, h) for h in sorted({d.height_in for d, _ in devices})]
    spots = [_spot(wall, d, along) for d, along in devices]
    drawn += [mark for mark, _, _ in spots]
    drawn += [_named(wall, d, *at) for (d, _), (_, *at) in zip(devices, spots, strict=True)]
    edges_ft = {e for c in cuts for e in (c.start_ft, c.end_ft)}
    drawn.append(_heights(wall, {d.height_in for d, _ in devices}, [c.opening for c in cuts]))
    drawn.append(_offsets(wall, {a for _, a in devices}, edges_ft))
    return element("g", "".join(drawn), class_="elevation")


def _fixed_spans(wall: _Wall) -> list[tuple[str, float, float]]:
    """Kind and stretch of the fixed items at a wall."""
    spots = [s for s in fixed_at_walls(wall.plan.house, wall.room) if s.edge.side == wall.edge.side]
    return [(s.item.kind, s.start_ft, s.end_ft) for s in spots]


def _fixed(wall: _Wall, kind: str, start_ft: float, end_ft: float) -> str:
    low, top = (h / 12 for h in fixed_heights_in(kind))
    (x0, y0), (x1, y1) = wall.at(end_ft, min(top, wall.high_ft)), wall.at(start_ft, low)
    rim: dict[str, str | float] = {
        "fill": PALE,
        "fill_opacity": 0.6,
        "stroke": SOFT,
        "stroke_width": 0.9,
        "stroke_dasharray": "4 2",
    }
    drawn = element("rect", x=x0, y=y0, width=x1 - x0, height=y1 - y0, **rim)
    wall.used["fixed item, drawn as high as such an item usually is"] = _sample(rim)
    name = kind.replace("_", " ")
    if text_width(name, 9) < x1 - x0 - 4 and y1 - y0 > 12:
        x, y = wall.sheet.place(text_width(name, 9), 10, [((x0 + x1) / 2, y1 - 8), ((x0 + x1) / 2, (y0 + y1) / 2)])
        drawn += label(x, y, name, 9, colour=SOFT)
    return drawn


def _opening(wall: _Wall, opening: Opening, start_ft: float, end_ft: float) -> str:
    high = min(opening.sill_ft + opening.height_ft, wall.high_ft)
    (x0, y0), (x1, y1) = wall.at(end_ft, high), wall.at(start_ft, min(opening.sill_ft, wall.high_ft))
    rim: dict[str, str | float] = {"fill": PAPER, "stroke": INK, "stroke_width": 1.4}
    drawn = [element("rect", x=x0, y=y0, width=x1 - x0, height=max(y1 - y0, 0.0), **rim)]
    kind = opening.kind.replace("_", " ")
    if opening.kind not in ("door", "cased_opening", "garage_door"):
        drawn.append(line(x0 + 3, y1 - 3, x1 - 3, y0 + 3, stroke=SOFT, stroke_width=0.7))
    words = [kind, f"{wall.length(opening.width_ft)} x {wall.length(opening.height_ft)}"]
    for n, word in enumerate(words):
        if text_width(word, 9) < x1 - x0 - 2 and y1 - y0 > 30:
            drawn.append(label((x0 + x1) / 2, (y0 + y1) / 2 - 6 + 12 * n, word, 9, colour=SOFT))
    return element("g", "".join(drawn), class_="opening")


def _spot(wall: _Wall, device: DeviceSpot, along_ft: float) -> tuple[str, float, float]:
    """A device's symbol at its true place, moved aside only where two would lie on each other."""
    x, y = wall.at(along_ft, min(device.height_in / 12, wall.high_ft))
    step = 2.3 * RADIUS
    places = [(x + dx * step, y + dy * step) for dy in (0, -1, 1) for dx in (0, 1, -1, 2, -2)]
    sx, sy = wall.sheet.place(2 * RADIUS, 2 * RADIUS, places)
    name, draw = symbols.DEVICES.get(device.kind, symbols.OTHER)
    wall.used[name] = draw
    mark = draw(sx, sy, RADIUS)
    if device.surface in ("wall", "garage_wall"):
        wall.used[ENVELOPE] = _ring
        mark += _ring(sx, sy, RADIUS)
    told = element("title", escape(f"{device.id}, {device.height_in:g} in, {device.citation}"))
    return element("g", told + mark, class_="device", data_device=device.id), sx, sy


def _named(wall: _Wall, device: DeviceSpot, x: float, y: float) -> str:
    size = SMALL - 2
    text = short_id(device)
    wide = text_width(text, size)
    lx, ly = wall.sheet.place(wide, size, around(x, y, RADIUS + 4 + wide / 2, RADIUS + 4 + size / 2, rings=4))
    return label(lx, ly, text, size, colour=SOFT)


def _ring(x: float, y: float, r: float) -> str:
    return element(
        "circle", cx=x, cy=y, r=1.75 * r, fill="none", stroke=ACCENT, stroke_width=1.3, stroke_dasharray="3 2"
    )


def _sample(rim: dict[str, str | float]) -> symbols.Symbol:
    def draw(x: float, y: float, r: float) -> str:
        return element("rect", x=x - 14, y=y - r, width=28.0, height=2 * r, **rim)

    return draw


def _height_line(wall: _Wall, height_in: float) -> str:
    """A fine line across the wall at a height that devices share."""
    (x0, y), (x1, _) = wall.at(wall.edge.length_ft, height_in / 12), wall.at(0, 0)
    return line(x0 - 4, y, x1, y, stroke=SOFT, stroke_width=0.5, stroke_dasharray="1.5 3")


def _heights(wall: _Wall, device_in: set[float], cuts: Iterable[Opening]) -> str:
    """Heights above the floor along the left side: devices in ink, sills and heads in grey."""
    told = {h: INK for h in device_in if 0 <= h <= wall.high_ft * 12}
    for cut in cuts:
        for height_in in (cut.sill_ft * 12, (cut.sill_ft + cut.height_ft) * 12):
            if 0 < height_in < wall.high_ft * 12 and not any(abs(height_in - h) < 1e-6 for h in told):
                told[round(height_in, 4)] = SOFT
    told[wall.high_ft * 12] = SOFT
    x = wall.at(wall.edge.length_ft, 0)[0]
    wanted = {h: wall.at(0, h / 12)[1] for h in sorted(told, reverse=True)}
    drawn = []
    for (height_in, y), shown in zip(wanted.items(), _apart(list(wanted.values()), 11), strict=True):
        drawn.append(line(x - 12, shown, x - 2, y, stroke=SOFT, stroke_width=0.7))
        drawn.append(label(x - 14, shown, _rounded(wall, height_in), DIMENSION, anchor="end", colour=told[height_in]))
    return "".join(drawn)


def _rounded(wall: _Wall, height_in: float) -> str:
    return wall.height(round(height_in, 2))


def _offsets(wall: _Wall, devices_ft: set[float], edges_ft: set[float]) -> str:
    """Distances from the wall's left end below the floor: devices in ink, edges of openings in grey."""
    length = wall.edge.length_ft
    told = {round(length - e, 6): SOFT for e in edges_ft}
    told |= {round(length, 6): SOFT, 0.0: SOFT}
    told |= {round(length - d, 6): INK for d in devices_ft}
    floor = wall.floor
    wanted = {t: wall.left + t * wall.scale for t in sorted(told)}
    drawn = [line(wall.left, floor + 9, wall.left + length * wall.scale, floor + 9, stroke=SOFT, stroke_width=0.7)]
    for (from_left, x), shown in zip(wanted.items(), _apart(list(wanted.values()), 11.5), strict=True):
        drawn.append(line(x, floor + 5, x, floor + 12, stroke=told[from_left], stroke_width=1.0))
        drawn.append(line(x, floor + 12, shown, floor + 18, stroke=SOFT, stroke_width=0.6))
        drawn.append(_upright(shown, floor + 20, wall.length(from_left), told[from_left]))
    return element("g", "".join(drawn), class_="dimensions")


def _upright(x: float, y: float, text: str, colour: str) -> str:
    """A text that reads from below, its end at the height y."""
    turn = f"rotate(-90 {number(x)} {number(y)})"
    return element(
        "text",
        escape(text),
        x=x,
        y=y + 0.35 * DIMENSION,
        font_size=DIMENSION,
        text_anchor="end",
        fill=colour,
        transform=turn,
    )


def _apart(places: Sequence[float], least: float) -> list[float]:
    """Rising places moved so that neighbours are at least so far apart, each group kept about its middle."""
    groups: list[list[float]] = []  # [sum of (place - its rank), first rank, count]
    for n, place in enumerate(places):
        groups.append([place - n * least, float(n), 1.0])
        while len(groups) > 1 and groups[-2][0] / groups[-2][2] > groups[-1][0] / groups[-1][2]:
            last = groups.pop()
            groups[-1] = [groups[-1][0] + last[0], groups[-1][1], groups[-1][2] + last[2]]
    return [total / count + (first + k) * least for total, first, count in groups for k in range(int(count))]


def _legend(used: dict[str, symbols.Symbol], top: float) -> tuple[str, float]:
    """What the symbols on this sheet mean, in two columns, and the height where it ends."""
    entries = sorted(used.items())
    per_column = -(-len(entries) // 2)
    drawn = []
    for i, (name, draw) in enumerate(entries):
        x, y = 60 + (i // max(per_column, 1)) * 420, top + 24 * (i % max(per_column, 1))
        drawn.append(draw(x, y, RADIUS) + label(x + 24, y, name, SMALL, anchor="start"))
    return element("g", "".join(drawn), class_="legend"), top + 24 * per_column


def _scale_bar(plan: Plan, scale: float, y: float) -> str:
    unit, unit_ft = ("m", 1 / 0.3048) if plan.house.general.show_metric else ("ft", 1.0)
    length = max((n for n in (1, 2, 5, 10) if n * unit_ft * scale <= 200), default=1)
    long = length * unit_ft * scale
    bar = element("rect", x=46.0, y=y, width=long, height=5.0, fill=INK)
    told = (
        "offsets from the left end; heights and offsets in mm"
        if plan.house.general.show_metric
        else "offsets from the left end"
    )
    words = label(46, y + 17, f"{length} {unit}", 10.5, anchor="start")
    return element("g", bar + words + label(46 + long + 30, y + 4, told, 10.5, anchor="start"), class_="scale")


def _alt(plan: Plan, room: Room, chosen: Sequence[Edge]) -> str:
    """The walls in words."""
    told = [f"Walls of {room.name.strip() or room.id}, seen from inside."]
    for edge in chosen:
        wall = _Wall(plan, room, edge, 1, 0, 0, 8, Sheet(1, 1))
        size = show_quantity(edge.length_ft, "ft", metric=plan.house.general.show_metric, digits=2)
        names = [f"{d.kind.replace('_', ' ')} {short_id(d)}" for d, _ in _devices(wall)]
        told.append(f"{side_name(edge.side)} {size}: {', '.join(names) or 'no device'}.")
    return " ".join(told)
