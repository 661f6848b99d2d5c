"""Pictures of what runs together, for the notebooks: own SVG to keep and redraw fast, one chart to zoom."""

from __future__ import annotations

import pandas as pd
import plotly.graph_objects as go
from IPython.display import HTML

from hpelec.core.results import frame
from hpelec.plan import Plan
from hpelec.report import coincidence_drawing, coincidence_week
from hpelec.screens.figures import ACCENT, INK, styled
from hpelec.steps.coincidence.cases import household, household_settings
from hpelec.steps.coincidence.present import present_above


def curve_html(plan: Plan) -> str:
    """How often each level is passed, as HTML."""
    return coincidence_drawing.curve(plan.coincidence).img


def curve(plan: Plan) -> HTML:
    """How often each level is passed, with the main and the load by the code."""
    return HTML(curve_html(plan))


def week(plan: Plan) -> HTML:
    """An example week, drawn once from the same odds."""
    return HTML(coincidence_week.week(plan.coincidence).img)


def present(plan: Plan) -> pd.DataFrame:
    """The largest loads by how often they are on while the total is above the main; empty without a main."""
    found, cases = plan.coincidence, household(*household_settings(plan.house.use_settings))
    return frame([] if found.main_A is None else present_above(found.loads, cases, found.main_A))


def heaters(plan: Plan) -> HTML:
    """Which water heaters may run together."""
    return HTML(coincidence_drawing.heater_matrix(plan).img)


def hours(plan: Plan) -> go.Figure:
    """Total current by hour of the day: mean and percentiles."""
    rows = plan.coincidence.hours
    figure = go.Figure()
    for name, values, dash in (
        ("mean", [r.mean_A for r in rows], "solid"),
        ("passed 5 % of the time", [r.p95_A for r in rows], "dash"),
        ("passed 1 % of the time", [r.p99_A for r in rows], "dot"),
        ("passed 0.1 % of the time", [r.p999_A for r in rows], "dashdot"),
    ):
        line = {"color": INK, "dash": dash, "shape": "hv"}
        figure.add_trace(go.Scatter(name=name, x=[r.hour for r in rows], y=[round(v, 2) for v in values], line=line))
    if plan.coincidence.main_A is not None:
        figure.add_hline(y=plan.coincidence.main_A, line={"color": ACCENT, "dash": "dash"}, annotation_text="main")
    return styled(figure, "Total current by hour of the day", "hour", "current at the main, A")
