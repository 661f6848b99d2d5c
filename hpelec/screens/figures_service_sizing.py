"""The service on a scale of amperes, and the studies of single changes and future loads as tables, for the notebook."""

from __future__ import annotations

from typing import TYPE_CHECKING

from IPython.display import HTML

from hpelec.core.results import frame
from hpelec.plan import Plan
from hpelec.report.service_sizing_drawing import thresholds_drawing, thresholds_scale
from hpelec.study.additions import additions, largest_additions
from hpelec.study.single_changes import single_changes

if TYPE_CHECKING:
    import pandas as pd


def thresholds_picture(plan: Plan) -> str:
    """HTML of the scale of thresholds, without single changes: quick enough for a slider."""
    return thresholds_scale(plan.service).img


def thresholds(plan: Plan) -> HTML:
    """The scale of thresholds with the loads that single changes reach."""
    return HTML(thresholds_drawing(plan).img)


def changes_table(plan: Plan, most: int = 12) -> pd.DataFrame:
    """The single changes that save most, each one calculated anew."""
    columns = ["id", "saves_VA", "saves_A", "load_A", "rating_A", "crosses"]
    return frame(single_changes(plan)[:most])[columns].round({"saves_VA": 0, "saves_A": 1, "load_A": 1})


def additions_table(plan: Plan) -> pd.DataFrame:
    """Loads of future.csv, each calculated anew; an empty table when there are none."""
    return frame(additions(plan)).round(1)


def largest_table(plan: Plan) -> pd.DataFrame:
    """Largest circuit of each kind that the rating proposed now still carries."""
    return frame(largest_additions(plan)).round(1)
