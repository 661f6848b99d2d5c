"""Pictures of panels for the notebook: the report's own, as HTML that is stored and redrawn."""

from __future__ import annotations

from IPython.display import HTML

from hpelec.plan import Plan
from hpelec.report.panels_drawing import entry_pattern, panel_schedule


def schedules_html(plan: Plan) -> str:
    """The schedule of every panel."""
    return "".join(panel_schedule(plan, b.panel).img for b in plan.circuits.balance)


def schedules(plan: Plan) -> HTML:
    """The schedule of every panel, to show in a notebook."""
    return HTML(schedules_html(plan))


def entries(plan: Plan) -> HTML:
    """The holes for the cables of every panel, to show in a notebook."""
    return HTML("".join(entry_pattern(plan, b.panel).img for b in plan.circuits.balance))
