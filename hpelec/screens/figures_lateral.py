"""Pictures of the lateral for the notebook: trench, pull, motor starts."""

from __future__ import annotations

import html

import plotly.graph_objects as go
from IPython.display import HTML

from hpelec.plan import Plan
from hpelec.report.lateral_drawing import trench_drawing
from hpelec.screens.figures import ACCENT, INK, PALE, bars, styled
from hpelec.screens.safely import alert
from hpelec.screens.showing import html_table


def sides(plan: Plan) -> HTML:
    """Underground and overhead side by side, every text in full."""
    rows = plan.lateral.sides
    heads = ("", *(f"{r.kind}{' (chosen)' if r.chosen else ''}" for r in rows))
    told = [
        ("conductors", [r.conductors for r in rows]),
        ("voltage drop", ["not computed" if r.drop_percent is None else f"{r.drop_percent:.2f} %" for r in rows]),
        ("the utility owns", ["; ".join(r.utility_owns) for r in rows]),
        ("the customer provides", ["; ".join(r.customer_provides) for r in rows]),
        ("to be asked", ["; ".join(r.remains_unknown) for r in rows]),
    ]
    return HTML(html_table(heads, [(name, *map(html.escape, cells)) for name, cells in told]))


def trench_picture(plan: Plan) -> str:
    """The trench to scale as HTML, for a what-if."""
    drawing = trench_drawing(plan.lateral, metric=plan.house.general.show_metric)
    return alert("No trench: no conductors are proposed.") if drawing is None else drawing.img


def trench(plan: Plan) -> HTML:
    """The trench to scale, with the fill of its conduit."""
    return HTML(trench_picture(plan))


def pulls(plan: Plan) -> go.Figure:
    """Tension at the end of each pull, both ways, against the limit."""
    rows = plan.lateral.pulls
    figure = go.Figure()
    for way, look, colour in (("to the meter", "solid", INK), ("to the transformer", "striped", PALE)):
        part = [r for r in rows if r.direction == way]
        names = [f"{r.start_ft:.0f} to {r.end_ft:.0f} ft" for r in part]
        figure.add_trace(bars(way, names, [r.tension_lb for r in part], look=look, colour=colour))
    if rows:
        line = {"color": ACCENT, "dash": "dash"}
        figure.add_hline(y=rows[0].tension_limit_lb, line=line, annotation_text="limit", annotation_position="top left")
    return styled(figure, "Tension of the pull, both ways", "section, from the transformer", "tension, lb", 340)


def starts(plan: Plan) -> go.Figure:
    """Dip of each motor start, and what it is at most."""
    rows = [r for r in plan.lateral.starts if r.dip_percent is not None]
    names = [r.name for r in rows]
    figure = go.Figure(
        [
            bars("dip", names, [r.dip_percent or 0.0 for r in rows]),
            bars("at most", names, [r.worst_percent or 0.0 for r in rows], look="striped", colour=PALE),
        ]
    )
    if rows and rows[0].limit_percent is not None:
        line = {"color": ACCENT, "dash": "dash"}
        figure.add_hline(y=rows[0].limit_percent, line=line, annotation_text="limit", annotation_position="top right")
    return styled(figure, "Dip at the panel when a motor starts", "motor", "dip, percent of its voltage", 400)
