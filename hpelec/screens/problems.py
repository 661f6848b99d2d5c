"""Input problems in a notebook: each with a small picture of its place on the plan."""

from __future__ import annotations

import html
from collections.abc import Iterable

from IPython import get_ipython
from IPython.display import HTML, display

from hpelec.core.errors import InputErrors, InputProblem
from hpelec.report.problem_drawing import problem_drawing

MOST_PICTURES = 12
"""More pictures than this would bury the texts; the rest are told in words."""


def pictures_html(problems: Iterable[InputProblem]) -> str:
    """The pictures of the problems that have a place, each under its text."""
    drawn = [(p, d) for p in problems if (d := problem_drawing(p)) is not None]
    shown = [
        f'<figure style="margin:0 0 1em"><figcaption>{html.escape(str(p))}</figcaption>{d.img}</figure>'
        for p, d in drawn[:MOST_PICTURES]
    ]
    left = len(drawn) - MOST_PICTURES
    return "".join(shown) + (f"<p>{left} more have a place on the plan; mend these first.</p>" if left > 0 else "")


def problems_view(errors: InputErrors) -> HTML:
    """All problems of a house folder, with pictures of those that have a place on the plan."""
    bare = [p for p in errors.problems if p.sketch is None]
    told = "".join(f"<li>{html.escape(str(p))}</li>" for p in bare)
    return HTML((f"<ul>{told}</ul>" if told else "") + pictures_html(errors.problems))


def show_pictures(errors: InputErrors) -> None:
    """Show the pictures above the error text of a notebook cell; nothing outside a notebook."""
    pictures = pictures_html(errors.problems)
    if pictures and get_ipython() is not None:
        display(HTML(pictures))


InputErrors.shown_by = staticmethod(show_pictures)
