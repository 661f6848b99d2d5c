"""Pictures of hot water in depth for the notebooks: the year to zoom, tanks and layouts as drawn in the report."""

from __future__ import annotations

import plotly.graph_objects as go
from IPython.display import HTML

from hpelec.plan import Plan
from hpelec.report.hotwater_charts import layout_bars, tank_day_chart
from hpelec.screens.figures import ACCENT, INK, styled

DASHES = ("solid", "dash", "dot", "dashdot")


def needed_by_day(plan: Plan) -> go.Figure:
    """Heat that the peak flow of each heater without tank needs on each day, and what it has (thin, dotted)."""
    has = {h.heater: h.heat_kW for h in plan.hotwater.heaters}
    figure = go.Figure()
    for i, year in enumerate(plan.hotwater.year):
        look = {"color": INK, "dash": DASHES[i % len(DASHES)]}
        needed = [round(v, 3) for v in year.needed_kW]
        days = list(range(1, len(needed) + 1))
        figure.add_trace(go.Scatter(name=f"{year.heater} needs", x=days, y=needed, mode="lines", line=look))
        figure.add_hline(
            y=round(has[year.heater], 3),
            line={"color": ACCENT, "dash": "dot", "width": 1.5},
            annotation_text=f"{year.heater} has {has[year.heater]:.1f} kW",
            annotation_position="top left",
        )
    title = "Heat needed by day" if plan.hotwater.year else "Heat needed by day: no heater without tank in this house"
    return styled(figure, title, "day of the year", "heat, kW", 360)


def tank_days(plan: Plan) -> HTML:
    """Each tank through its day of draws."""
    drawn = [tank_day_chart(plan, day).img for day in plan.hotwater.tank_days]
    return HTML("".join(drawn) or "<p>No tank in this house.</p>")


def layouts(plan: Plan) -> HTML:
    """The ways to place the heaters, by current, circuits, holes and wait."""
    return HTML(layout_bars(plan).img)
