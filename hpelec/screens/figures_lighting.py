"""Pictures and tables of the lighting notebook: levels, light on the plan, fans with their lights."""

from __future__ import annotations

import html

import plotly.graph_objects as go
from IPython.display import HTML
from markupsafe import escape

from hpelec.plan import Plan
from hpelec.report.contents import Tables
from hpelec.report.lighting_drawing import fan_drawing, light_levels, lux_plan
from hpelec.report.plan_drawing import drawn_levels
from hpelec.report.tables import Grid
from hpelec.screens.figures import INK, PALE, styled
from hpelec.screens.showing import html_table


def levels_html(plan: Plan) -> str:
    """The level of each room as HTML, for a what-if."""
    return light_levels(plan).img


def levels_view(plan: Plan) -> HTML:
    """The level of each room beside what the lists recommend."""
    return HTML(levels_html(plan))


def lux_view(plan: Plan, level: str | None = None) -> HTML:
    """Direct light on the work plane of one level (the first with rooms when none is named)."""
    return HTML(lux_plan(plan, level or drawn_levels(plan)[0].id).img)


def fans_html(plan: Plan) -> str:
    """Every fan with the lights of its room, as HTML, for a what-if."""
    return "".join(fan_drawing(plan, row.fan).img for row in plan.lighting.fans) or "<p>No ceiling fan.</p>"


def fans_view(plan: Plan) -> HTML:
    """Every fan with the lights of its room, from above and from the side."""
    return HTML(fans_html(plan))


def _grid_view(grid: Grid) -> HTML:
    cells = [[str(escape(c.text)) for c in row] for row in grid.rows]
    if not cells:
        return HTML(f"<p>{html.escape(grid.caption)}: none.</p>")
    return HTML(html_table([str(escape(h.text)) for h in grid.heads], cells, grid.caption))


def rooms_view(plan: Plan) -> HTML:
    """The lumen method, room by room."""
    return _grid_view(Tables(plan).room_light())


def lists_view(plan: Plan) -> HTML:
    """What the lists recommend, side by side."""
    rows = [
        tuple(map(html.escape, (r.room, r.listed, r.said, f"{r.lux:g}", f"{r.share_percent:.0f} %", str(r.citation))))
        for r in plan.lighting.levels
    ]
    return HTML(html_table(("room", "list", "its row", "recommended, lux", "level here", "source"), rows))


def places_view(plan: Plan) -> HTML:
    """Closets, tubs and showers, damp and wet places."""
    return _grid_view(Tables(plan).light_places())


def recessed_view(plan: Plan) -> HTML:
    """Recessed luminaires in the air barrier."""
    return _grid_view(Tables(plan).recessed_lights())


def fan_lights_view(plan: Plan) -> HTML:
    """Each light and fan of a room."""
    return _grid_view(Tables(plan).fan_lights())


def clear_distances(plan: Plan) -> go.Figure:
    """How far each light is from its fan, and from where on it would be clear (no bar: at no distance)."""
    rows = plan.lighting.shadows
    names = [f"{r.light}<br>{r.fan}" for r in rows]
    striped = {"color": PALE, "line": {"color": INK, "width": 1}, "pattern": {"shape": "/", "fgcolor": INK}}
    figure = go.Figure(
        [
            go.Bar(name="apart", x=names, y=[round(r.distance_in, 2) for r in rows], marker={"color": INK}),
            go.Bar(
                name="clear from",
                x=names,
                y=[None if r.clear_in is None else round(r.clear_in, 2) for r in rows],
                marker=striped,
            ),
        ]
    )
    return styled(figure, "Lights and fans: distance and clear distance", "light and fan", "axis to axis, in")
