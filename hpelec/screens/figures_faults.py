"""Charts of fault current: a static one to zoom, and the report's own picture for what-ifs."""

from __future__ import annotations

import plotly.graph_objects as go

from hpelec.plan import Plan
from hpelec.report.faults_drawing import fault_profile
from hpelec.screens.figures import ACCENT, INK, styled


def along_the_supply(plan: Plan) -> go.Figure:
    """Highest and lowest line-to-line current, and the highest to neutral, by length of conductor from the source."""
    points = plan.faults.points
    feet = [round(p.distance_ft, 1) for p in points]
    names = [p.name for p in points]
    series = (
        ("line to line, highest", [p.high_A for p in points], "circle", INK, "solid"),
        ("line to line, lowest", [p.low_A for p in points], "circle-open", INK, "dot"),
        ("line to neutral, highest", [p.neutral_high_A for p in points], "diamond", ACCENT, "dash"),
    )
    figure = go.Figure()
    for name, values, symbol, colour, dash in series:
        if any(v is not None for v in values):
            figure.add_trace(
                go.Scatter(
                    x=feet,
                    y=[None if v is None else round(v / 1000, 3) for v in values],
                    name=name,
                    text=names,
                    mode="lines+markers",
                    marker={"symbol": symbol, "size": 10, "color": colour},
                    line={"dash": dash, "color": colour, "width": 1},
                )
            )
    title = "Fault current along the supply (straight lines between the points computed)"
    return styled(figure, title, "conductor from the source, ft", "fault current, kA", 400)


def picture(plan: Plan) -> str:
    """The report's picture as HTML that a what-if redraws."""
    return fault_profile(plan).img
