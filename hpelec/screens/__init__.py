"""The few widgets that all notebooks share: house, editable table, what-if, findings, working, exercise."""

from hpelec.screens.choosing import choose_house, chosen_house
from hpelec.screens.editing import edit_table
from hpelec.screens.problems import problems_view
from hpelec.screens.showing import answer_view, assumptions_view, findings_view, plan_view, working_view
from hpelec.screens.trying import exercise, sealed_so_far, what_if

__all__ = [
    "answer_view",
    "assumptions_view",
    "choose_house",
    "chosen_house",
    "edit_table",
    "exercise",
    "findings_view",
    "plan_view",
    "problems_view",
    "sealed_so_far",
    "what_if",
    "working_view",
]
