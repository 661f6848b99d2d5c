"""Charts of the devices in depth: what each preference costs; the report's picture of depths for what-ifs."""

from __future__ import annotations

import plotly.graph_objects as go

from hpelec.plan import Plan
from hpelec.report.devices_depth_drawing import depths_drawing
from hpelec.screens.figures import INK, PALE, styled


def prices(plan: Plan) -> go.Figure:
    """Each preference that counts something: the fewest possible, and the number with the preference."""
    rows = [p for p in plan.devices.preferences if not p.counted.startswith("distance")]
    names = [f"rank {p.order}: {p.counted}" for p in rows]
    told = [p.preference for p in rows]
    after = [p.with_preference for p in rows]
    looks = (("fewest possible", [p.fewest for p in rows], PALE, "/"), ("with it", after, INK, ""))
    figure = go.Figure(
        [
            go.Bar(
                name=name,
                y=names,
                x=values,
                orientation="h",
                hovertext=told,
                marker={
                    "color": colour,
                    "pattern": {"shape": shape, "fgcolor": INK},
                    "line": {"color": INK, "width": 1},
                },
            )
            for name, values, colour, shape in looks
        ]
    )
    figure.update_yaxes(autorange="reversed")
    return styled(figure, "What each preference costs (no dark bar: not possible here)", "number", "", 460)


def depths(plan: Plan) -> str:
    """The report's picture of depths behind the finish, as HTML that a what-if redraws."""
    return depths_drawing(plan).img
