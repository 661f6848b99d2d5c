"""Pictures of control and of the methods, for the notebooks."""

from __future__ import annotations

import pandas as pd
from IPython.display import HTML

from hpelec.core.results import frame
from hpelec.plan import Plan
from hpelec.report import control_drawing
from hpelec.steps.coincidence.set_points import set_point_rows


def exceedance(plan: Plan) -> HTML:
    """Hours a year above each level, before and after control."""
    return HTML(control_drawing.exceedance(plan.coincidence).img)


def flows(plan: Plan) -> HTML:
    """Hot-water flow by every method."""
    return HTML(control_drawing.flow_bars(plan).img)


def currents(plan: Plan) -> HTML:
    """Current at the main by every method."""
    return HTML(control_drawing.current_bars(plan).img)


def held(plan: Plan) -> pd.DataFrame:
    """What energy managements hold back in a year; empty for a house without."""
    return frame(plan.coincidence.control.held).round(2).astype(object).fillna("")


def locked(plan: Plan) -> pd.DataFrame:
    """What each load of an interlock loses in a year; empty for a house without."""
    return frame(plan.coincidence.control.locked).round(2)


def set_points(plan: Plan) -> pd.DataFrame:
    """What a set point on the whole service would ask of the loads that can wait."""
    return frame(set_point_rows(plan.house, plan.coincidence)).round(2)
