"""Pictures and tables of the loads notebook: the waterfall, the methods, equipment amperes, measurements."""

from __future__ import annotations

import html

import plotly.graph_objects as go
from IPython.display import HTML

from hpelec.core.working import show_number
from hpelec.plan import Plan
from hpelec.report.charts import load_waterfall, methods_bars
from hpelec.report.contents import Tables
from hpelec.report.loads_amps_charts import reality_axis
from hpelec.report.tables import Grid
from hpelec.screens.figures import INK, PALE, styled
from hpelec.screens.showing import html_table


def waterfall_html(plan: Plan) -> str:
    """The waterfall as HTML, for a what-if."""
    return load_waterfall(plan.loads).img


def waterfall_view(plan: Plan) -> HTML:
    """Nameplates by category up to the connected load, then the rules of the chosen method, to the design load."""
    return HTML(waterfall_html(plan))


def methods_view(plan: Plan) -> HTML:
    """All methods side by side; one that does not apply is named without a bar."""
    return HTML(methods_bars(plan.loads).img)


def reality_view(plan: Plan) -> HTML:
    """The calculated load, measured own peaks and installed panels on one axis."""
    return HTML(reality_axis(plan.loads).img)


def refused_view(plan: Plan) -> HTML:
    """Every method with its result, or the reason why it may not be used."""
    rows = []
    for m in plan.loads.methods:
        result = f"{show_number(round(m.demand_VA))} VA = {m.demand_A:.1f} A" if m.applies else "refused"
        rows.append((html.escape(m.title), result, html.escape(m.why), "yes" if m.method == plan.loads.chosen else ""))
    return HTML(html_table(("method", "result", "why it applies or not", "sets the service"), rows))


def lines_html(plan: Plan) -> str:
    """Every line of the chosen method: what, nameplate, factor, what counts, remark, rule."""
    rows = [
        (
            html.escape(e.what),
            show_number(round(e.connected_VA)),
            "" if e.factor is None else f"{e.factor:g}",
            show_number(round(e.demand_VA)),
            html.escape(e.remark),
            html.escape(str(e.citation)),
        )
        for e in plan.loads.lines
    ]
    heads = ("line", "nameplate, VA", "factor", "counts, VA", "remark", "rule")
    return html_table(heads, rows, f"Lines of the {plan.loads.chosen} method now")


def _grid_html(grid: Grid) -> str:
    cells = [[html.escape(str(c.text)) for c in row] for row in grid.rows]
    return html_table([html.escape(str(h.text)) for h in grid.heads], cells, grid.caption)


def amps_view(plan: Plan) -> HTML:
    """Amperes of each appliance and water heater."""
    rows = []
    for r in plan.loads.amps:
        each = "" if r.circuit_A is None else f"{r.circuits} x {r.circuit_A:.1f}" if r.circuits > 1 else r.circuit_A
        numbers = (r.full_load_A, each, r.factor, r.minimum_A, r.device_A, r.device_most_A, r.feeder_A)
        shown = [v if isinstance(v, str) else "cannot say" if v is None else f"{v:.2f}" for v in numbers]
        for place in (2, 5):  # no single factor, no largest device: nothing is missing
            shown[place] = "" if numbers[place] is None else shown[place]
        told = f"{r.rule}; {r.remark}" if r.remark else r.rule
        rows.append((html.escape(r.id), *shown, html.escape(told), html.escape(str(r.citation))))
    amperes = ("full load, A", "each circuit, A", "factor", "minimum, A", "device, A", "at most, A", "in a feeder, A")
    heads = ("row", *amperes, "rule and remark", "source")
    return HTML(html_table(heads, rows, "Amperes of each appliance and water heater"))


def figures_view(plan: Plan) -> HTML:
    """Published figures, those that compare with the load of one house first."""
    return HTML(_grid_html(Tables(plan).reality()))


def feeder_parts(plan: Plan) -> go.Figure:
    """What each row adds to a feeder, and what it adds when that feeder is sized."""
    rows = sorted((r for r in plan.loads.amps if r.feeder_A), key=lambda r: -(r.feeder_A or 0))
    names = [r.id for r in rows]
    striped = {"color": PALE, "line": {"color": INK, "width": 1}, "pattern": {"shape": "/", "fgcolor": INK}}
    figure = go.Figure(
        [
            go.Bar(name="in the load of a feeder", x=names, y=[round(r.feeder_A or 0, 2) for r in rows],
                   marker={"color": INK}),
            go.Bar(name="when the feeder is sized", x=names, y=[round(r.feeder_sizing_A or 0, 2) for r in rows],
                   marker=striped),
        ]
    )  # fmt: skip
    return styled(figure, "Current of each appliance and water heater in a feeder", "row of the input", "current, A")
