"""Plans and walls to zoom and hover, made with plotly: a device tells its id, circuit, height, box and rule."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import plotly.graph_objects as go

from hpelec.core.units import show_quantity
from hpelec.house.fixed_shapes import fixed_shapes
from hpelec.house.geometry import (
    Point,
    edges,
    fixed_at_walls,
    level_of,
    openings_of,
    room_area_ft2,
    room_centre,
    wall_parts,
)
from hpelec.house.rows import Room
from hpelec.plan import Plan
from hpelec.report.canvas import WALL_NAMES, solid
from hpelec.report.elevation_drawing import fixed_heights_in, side_name
from hpelec.report.plan_drawing import drawn_levels
from hpelec.report.symbols import DEVICES, OTHER
from hpelec.screens.figures import ACCENT, INK, PALE
from hpelec.steps.devices.model import DeviceSpot

SIGNS = {
    "receptacle": "circle-open",
    "counter_receptacle": "circle",
    "outdoor_receptacle": "circle-x-open",
    "floor_receptacle": "square-open",
    "appliance_outlet": "triangle-up",
    "switch": "diamond",
    "lighting_outlet": "x",
    "alarm": "square-x-open",
    "data": "square",
}
"""Kind of device -> plotly's mark; shape alone tells them apart, the legend names them."""
WALL_WIDTH = {"wall": 5, "garage_wall": 5, "outside": 2.5, "": 2}


def plan_figure(plan: Plan, level: str | None = None) -> go.Figure:
    """One level (the lowest when none is named) to scale, with a hover text for each room, opening and device."""
    levels = drawn_levels(plan)
    name = level or levels[0].id
    if name not in [lv.id for lv in levels]:
        raise ValueError(f"no level {name!r} with rooms; there are: {', '.join(lv.id for lv in levels)}")
    rooms = [r for r in plan.house.rooms if r.level == name]
    shapes = [[*c, c[0]] for _, c in fixed_shapes(plan.house, rooms)]
    devices = [d for d in _devices(plan) if d.level == name]
    traces = [
        _strokes("fixed items", shapes, width=1, dash="dot"),
        *_walls(plan, rooms),
        _openings(plan, rooms),
        _room_names(plan, rooms),
        *_marks(plan, [(d, (d.x_ft, d.y_ft)) for d in devices]),
    ]
    return _to_scale(plan, traces, f"Plan of {name}, north up", "east", "north")


def wall_figure(plan: Plan, room: str, side: str) -> go.Figure:
    """One wall seen from inside its room, to scale, with a hover text for each opening and device.

    Raises ValueError for a room or a wall that is not there.
    """
    found = [(r, e) for r in plan.house.rooms for e in edges(r) if (r.id, e.side) == (room, side)]
    if not found:
        raise ValueError(f"no wall {side!r} of a room {room!r}")
    place, edge = found[0]
    long, high = edge.length_ft, level_of(plan.house, place).ceiling_height_ft
    fixed = [
        _box(long - s.end_ft, long - s.start_ft, *(h / 12 for h in fixed_heights_in(s.item.kind)))
        for s in fixed_at_walls(plan.house, place)
        if s.edge.side == side
    ]
    cuts = [c for c in openings_of(plan.house, place) if c.edge.side == side]
    frames = [
        _box(long - c.end_ft, long - c.start_ft, c.opening.sill_ft, c.opening.sill_ft + c.opening.height_ft)
        for c in cuts
    ]
    here = [d for d in _devices(plan) if (d.room, d.side) == (room, side) and d.offset_ft is not None]
    spots = [(d, (long - edge.along(d.offset_ft or 0.0), d.height_in / 12)) for d in here]
    traces = [
        _strokes("wall", [_box(0, long, 0, high)], width=3),
        _strokes("fixed items, usual heights", fixed, width=1, dash="dot"),
        _strokes("openings", frames, width=2),
        *_marks(plan, spots),
    ]
    title = f"{side_name(side)} of {place.name.strip() or place.id}, from inside"
    return _to_scale(plan, traces, title, "from the left end", "above the floor")


def _devices(plan: Plan) -> tuple[DeviceSpot, ...]:
    return tuple(plan.devices.devices) if "devices" in plan.results else ()


def _box(x0: float, x1: float, y0: float, y1: float) -> list[Point]:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)]


def _strokes(name: str, strokes: Iterable[Sequence[Point]], *, width: float, dash: str = "solid") -> go.Scatter:
    """Many strokes as one trace, a gap between them."""
    xs: list[float | None] = []
    ys: list[float | None] = []
    for stroke in strokes:
        xs += [*(round(p[0], 4) for p in stroke), None]
        ys += [*(round(p[1], 4) for p in stroke), None]
    look = {"color": INK, "width": width, "dash": dash}
    return go.Scatter(x=xs, y=ys, mode="lines", line=look, name=name, hoverinfo="skip", showlegend=bool(xs))


def _walls(plan: Plan, rooms: Sequence[Room]) -> list[go.Scatter]:
    strokes: dict[str, list[list[Point]]] = {}
    for room in rooms:
        cuts = openings_of(plan.house, room)
        for part in wall_parts(plan.house, room):
            gaps = [(c.start_ft, c.end_ft) for c in cuts if c.edge.side == part.edge.side]
            for low, high in solid(part.start_ft, part.end_ft, gaps):
                strokes.setdefault(part.surface, []).append([part.edge.at(low), part.edge.at(high)])
    made, told = [], set()
    for surface, found in sorted(strokes.items()):
        trace = _strokes(WALL_NAMES[surface], found, width=WALL_WIDTH[surface])
        trace.update(legendgroup=WALL_NAMES[surface], showlegend=WALL_NAMES[surface] not in told)
        told.add(WALL_NAMES[surface])
        made.append(trace)
    return made


def _openings(plan: Plan, rooms: Sequence[Room]) -> go.Scatter:
    """A mark in the middle of each opening, for its hover text."""
    spots, texts = [], []
    for room in rooms:
        for cut in openings_of(plan.house, room):
            if cut.opening.room == room.id:
                o = cut.opening
                spots.append(cut.edge.at((cut.start_ft + cut.end_ft) / 2))
                size = " x ".join(_length(plan, v) for v in (o.width_ft, o.height_ft))
                texts.append(f"{o.id}<br>{o.kind.replace('_', ' ')} {size}<br>sill {_length(plan, o.sill_ft)}")
    look = {"symbol": "line-ns-open", "size": 7, "color": INK}
    return _points("openings", spots, texts, look)


def _room_names(plan: Plan, rooms: Sequence[Room]) -> go.Scatter:
    area = [show_quantity(room_area_ft2(r), "ft2", metric=plan.house.general.show_metric) for r in rooms]
    made = _points(
        "rooms", [room_centre(r) for r in rooms], [f"{r.id}<br>{a}" for r, a in zip(rooms, area, strict=True)], {}
    )
    made.update(mode="text", text=[r.name.strip() or r.id for r in rooms], showlegend=False)
    return made


def _marks(plan: Plan, spots: Sequence[tuple[DeviceSpot, Point]]) -> list[go.Scatter]:
    """A trace for each kind of device."""
    circuits = plan.circuits.circuits if "circuits" in plan.results else ()
    circuit_of = {device: c.id for c in circuits for device in c.outlets}
    made = []
    for kind in dict.fromkeys(d.kind for d, _ in spots):
        here = [(d, at) for d, at in spots if d.kind == kind]
        texts = [_told(plan, d, circuit_of.get(d.id, "")) for d, _ in here]
        colours = [ACCENT if d.surface in ("wall", "garage_wall", "ceiling") else INK for d, _ in here]
        look = {"symbol": SIGNS.get(kind, "star"), "size": 10, "color": colours, "line": {"width": 1.5}}
        made.append(_points(DEVICES.get(kind, OTHER)[0], [at for _, at in here], texts, look))
    return made


def _told(plan: Plan, device: DeviceSpot, circuit: str) -> str:
    """The hover text of a device."""
    height = show_quantity(device.height_in, "in", metric=plan.house.general.show_metric, digits=0)
    lines = [
        f"<b>{device.id}</b>, {device.kind.replace('_', ' ')}",
        f"serves {device.serves}" if device.serves else "",
        f"circuit {circuit}" if circuit else "",
        f"{height} above the floor",
        f"box: {device.box}",
        "in a surface of the air barrier" if device.surface in ("wall", "garage_wall", "ceiling") else "",
        str(device.citation),
    ]
    return "<br>".join(text for text in lines if text)


def _points(name: str, spots: Sequence[Point], texts: Sequence[str], look: dict[str, Any]) -> go.Scatter:
    xs, ys = [round(p[0], 4) for p in spots], [round(p[1], 4) for p in spots]
    hover = {"hovertext": list(texts), "hoverinfo": "text"}
    return go.Scatter(x=xs, y=ys, mode="markers", marker=look, name=name, showlegend=bool(xs), **hover)


def _length(plan: Plan, value_ft: float) -> str:
    return show_quantity(value_ft, "ft", metric=plan.house.general.show_metric, digits=2)


def _to_scale(plan: Plan, traces: Sequence[go.Scatter], title: str, x: str, y: str) -> go.Figure:
    """The common look, both axes at one scale, in feet or metres as the house asks."""
    unit, factor = ("m", 0.3048) if plan.house.general.show_metric else ("ft", 1.0)
    for trace in traces:
        for axis in ("x", "y"):
            trace[axis] = [None if v is None else round(v * factor, 4) for v in trace[axis]]
    figure = go.Figure(list(traces))
    figure.update_layout(
        template="none",
        title={"text": title, "x": 0.01},
        height=620,
        margin={"l": 60, "r": 20, "t": 50, "b": 50},
        font={"family": "sans-serif", "size": 12, "color": INK},
        hoverlabel={"bgcolor": "white", "bordercolor": INK, "font": {"color": INK}},
        legend={"orientation": "h", "y": -0.1, "yanchor": "top"},
    )
    figure.update_xaxes(title=f"{x}, {unit}", showgrid=False, zeroline=False, automargin=True)
    figure.update_yaxes(
        title=f"{y}, {unit}", showgrid=False, zeroline=False, scaleanchor="x", automargin=True, gridcolor=PALE
    )
    return figure
