"""Charts to zoom and hover, made with plotly from a plan: one function a picture, one look for all.

Every chart has axis titles with units and tells things apart by place, pattern or mark, not by colour alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from typing import Any

import plotly.graph_objects as go
import plotly.io

from hpelec.common.rules_conductors import area_cmil
from hpelec.plan import Plan

INK, ACCENT, PALE = "#22333b", "#b5651d", "#c9d2d3"
# Lab draws this type by itself, offline and in a notebook that is not trusted; plotly's own choice adds a script.
plotly.io.renderers.default = "plotly_mimetype"

PATTERN = {"solid": "", "striped": "/"}


def styled(figure: go.Figure, title: str, x: str, y: str, height: int = 380) -> go.Figure:
    """The common look: white ground, ink, axis titles."""
    figure.update_layout(
        template="none",
        title={"text": title, "x": 0.01},
        height=height,
        margin={"l": 80, "r": 30, "t": 70, "b": 70},
        font={"family": "sans-serif", "size": 13, "color": INK},
        legend={"orientation": "h", "y": 1.02, "yanchor": "bottom", "x": 1, "xanchor": "right"},
        colorway=[INK, ACCENT, PALE],
        bargap=0.35,
    )
    figure.update_xaxes(title=x, automargin=True)
    figure.update_yaxes(title=y, automargin=True, gridcolor="#e6e9e9", rangemode="tozero")
    return figure


def bars(
    name: str, x: Sequence[Any], y: Sequence[float], *, look: str = "solid", colour: str = INK, **more: Any
) -> go.Bar:
    """One series of bars in the common look, told apart by pattern as well as by colour."""
    striped = {"shape": PATTERN[look], "fgcolor": INK, "bgcolor": colour, "size": 7, "solidity": 0.15}
    marker = {"color": colour, "pattern": striped, "line": {"color": INK, "width": 1}}
    return go.Bar(name=name, x=list(x), y=[round(v, 3) for v in y], marker=marker, **more)


def load_steps(plan: Plan) -> go.Figure:
    """From connected load to demand, by category, for the chosen method."""
    lines = plan.loads.lines
    categories = list(dict.fromkeys(entry.category for entry in lines))
    connected = [sum(e.connected_VA for e in lines if e.category == c) for c in categories]
    demand = [sum(e.demand_VA for e in lines if e.category == c) for c in categories]
    figure = go.Figure(
        [
            bars("connected", categories, connected, look="striped", colour=PALE),
            bars("demand", categories, demand),
        ]
    )
    return styled(figure, f"Connected load and demand, {plan.loads.chosen} method", "category", "load, VA")


def methods(plan: Plan) -> go.Figure:
    """The methods of load calculation side by side."""
    used = [m for m in plan.loads.methods if m.applies]
    figure = go.Figure(bars("calculated load", [m.method for m in used], [m.demand_A for m in used]))
    return styled(figure, "Calculated load by method", "method", f"load, A at {plan.loads.voltage_V:g} V", 320)


def mains(plan: Plan) -> go.Figure:
    """Mains water temperature through the year."""
    days = plan.hotwater.mains
    line = go.Scatter(x=[d.day for d in days], y=[round(d.mains_F, 2) for d in days], mode="lines", line={"color": INK})
    figure = go.Figure(line)
    return styled(figure, "Mains water temperature", "day of the year", "temperature, F", 320)


def heaters(plan: Plan) -> go.Figure:
    """Power needed at the peak flow on the coldest day against the nameplate, for each instantaneous heater."""
    rows = [h for h in plan.hotwater.heaters if h.needed_kW is not None]
    names = [h.heater for h in rows]
    figure = go.Figure(
        [
            bars("needed", names, [h.needed_kW for h in rows], look="striped", colour=PALE),
            bars("nameplate", names, [h.nameplate_kW for h in rows]),
        ]
    )
    return styled(figure, "Instantaneous heaters on the coldest day", "heater", "power, kW", 340)


def ratings(plan: Plan) -> go.Figure:
    """Each offered service rating with the share that the design load takes of it."""
    rows = plan.service.ratings
    names = [f"{r.rating_A:g} A" + (" (chosen)" if r.chosen else "") for r in rows]
    figure = go.Figure(bars("share of the rating", names, [r.share_percent for r in rows]))
    figure.add_hline(y=100, line={"color": ACCENT, "dash": "dash"}, annotation_text="rating")
    return styled(figure, "Design load as a share of each offered rating", "service rating", "share, percent", 340)


def drops(plan: Plan) -> go.Figure:
    """Voltage drop of the lateral by conductor size."""
    rows = plan.service.drops
    figure = go.Figure()
    for material, look, colour in (("al", "striped", PALE), ("cu", "solid", INK)):
        part = [r for r in rows if r.material == material and r.drop_percent is not None]
        if part:
            name = {"al": "aluminium", "cu": "copper"}[material]
            sets = [f"{r.sets} in parallel" if r.sets > 1 else "" for r in part]
            drops = [r.drop_percent for r in part]
            figure.add_trace(bars(name, [r.size for r in part], drops, look=look, colour=colour, text=sets))
    sizes = sorted({r.size for r in rows}, key=area_cmil)
    figure.update_xaxes(type="category", categoryorder="array", categoryarray=sizes)
    limit = plan.house.service_site.drop_limit_percent
    figure.add_hline(
        y=limit, line={"color": ACCENT, "dash": "dash"}, annotation_text="limit wanted", annotation_position="top left"
    )
    return styled(figure, "Voltage drop of the lateral at the design load", "conductor, AWG or kcmil", "drop, percent")


def receptacles(plan: Plan) -> go.Figure:
    """Wall receptacles by room: the fewest that the spacing rule allows, and those placed."""
    rooms = list(dict.fromkeys(r.room for r in plan.devices.runs if r.counts))
    fewest = [sum(r.fewest for r in plan.devices.runs if r.room == room) for room in rooms]
    placed = [sum(r.placed for r in plan.devices.runs if r.room == room) for room in rooms]
    figure = go.Figure(
        [
            bars("fewest", rooms, fewest, look="striped", colour=PALE),
            bars("placed", rooms, placed),
        ]
    )
    return styled(figure, "Wall receptacles by room", "room", "number")


def panels(plan: Plan) -> go.Figure:
    """Spaces used in each panel."""
    rows = plan.circuits.panels
    names = [p.name for p in rows]
    figure = go.Figure(
        [
            bars("spaces used", names, [p.spaces_used for p in rows]),
            bars("spaces there", names, [p.spaces for p in rows], look="striped", colour=PALE),
        ]
    )
    return styled(figure, "Breaker spaces", "panel", "number", 340)


def ways(plan: Plan) -> go.Figure:
    """The routing alternatives: cable, and crossings of the air barrier."""
    rows = [w for w in plan.routes.ways if w.possible]
    names = [w.ways.replace("_", " ") for w in rows]
    figure = go.Figure(
        [
            bars("cable, ft (left)", names, [w.cable_ft for w in rows], offsetgroup="1"),
            bars(
                "crossings (right)",
                names,
                [w.crossings for w in rows],
                look="striped",
                colour=PALE,
                yaxis="y2",
                offsetgroup="2",
            ),
        ]
    )
    styled(figure, "Cable and crossings of the air barrier by way", "way", "cable, ft", 400)
    return figure.update_layout(
        yaxis2={"title": {"text": "crossings"}, "overlaying": "y", "side": "right", "rangemode": "tozero"},
        margin={"r": 70},
    )


def holes(plan: Plan) -> go.Figure:
    """Holes by surface of the envelope."""
    rows = plan.penetrations.surfaces
    names = [f"{s.surface.replace('_', ' ')}<br>{s.layer.split(',')[0]}" for s in rows]
    figure = go.Figure(
        [
            bars("cables", names, [s.cable_holes for s in rows]),
            bars("boxes and luminaires", names, [s.box_holes for s in rows], look="striped", colour=PALE),
        ]
    )
    return styled(figure, "Holes in the air barrier", "surface and layer", "holes").update_layout(barmode="stack")


def leakage(plan: Plan) -> go.Figure:
    """Leakage of the electrical holes, unsealed and sealed, with its spread, against the target of the whole house."""
    air = plan.airtightness
    parts = [("unsealed", air.unsealed), ("sealed", air.sealed)]
    if air.background is not None:
        parts.append(("everything else", air.background))
    spread = {
        "type": "data",
        "symmetric": False,
        "color": ACCENT,
        "array": [round(s.high_cfm50 - s.best_cfm50, 3) for _, s in parts],
        "arrayminus": [round(s.best_cfm50 - s.low_cfm50, 3) for _, s in parts],
    }
    figure = go.Figure(bars("leakage", [n for n, _ in parts], [s.best_cfm50 for _, s in parts], error_y=spread))
    figure.add_hline(y=air.limit_cfm50, line={"color": ACCENT, "dash": "dash"}, annotation_text="target, whole house")
    return styled(figure, "Leakage at 50 Pa", "", "flow, cfm at 50 Pa")


def removed(plan: Plan) -> go.Figure:
    """Leakage removed as the sealing list is worked through."""
    items = plan.sealing.items
    total = [round(v, 3) for v in accumulate(i.removes_cfm50 for i in items)]
    line = go.Scatter(
        x=[i.order for i in items],
        y=total,
        mode="lines+markers",
        line={"color": INK, "shape": "hv"},
        text=[f"{i.tag} {i.what}" for i in items],
    )
    return styled(go.Figure(line), "Leakage removed, hole by hole", "hole on the list", "removed, cfm at 50 Pa")
