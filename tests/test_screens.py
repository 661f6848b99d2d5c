"""The widgets as plain functions: what a browser would do is done here by setting their values."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import ipywidgets as widgets
import pytest

from hpelec.core.errors import InputErrors
from hpelec.core.tables import data_folder
from hpelec.screens import (
    answer_view,
    assumptions_view,
    choose_house,
    chosen_house,
    edit_table,
    exercise,
    figures,
    findings_view,
    plan_view,
    what_if,
    working_view,
)
from hpelec.screens.safely import shown
from hpelec.screens.trying import judge
from tests.houses import DEMO, EXAMPLES, planned

FIGURES = [
    n
    for n in vars(figures)
    if n not in ("styled", "bars", "accumulate")
    and not n.startswith("_")
    and callable(getattr(figures, n))
    and getattr(figures, n).__module__ == figures.__name__
]


def children(box: Any) -> list[Any]:
    found = [box]
    for child in getattr(box, "children", ()):
        found += children(child)
    return found


def html_of(box: Any) -> str:
    return " ".join(w.value for w in children(box) if isinstance(w, widgets.HTML))


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("figure", FIGURES)
def test_every_figure_draws_with_titles(name: str, figure: str) -> None:
    drawn = getattr(figures, figure)(planned(name))
    assert drawn.layout.title.text and drawn.layout.yaxis.title.text, f"{figure} lacks a title or a unit"
    assert len(drawn.data) > 0


def test_edit_changes_the_answer_and_undo_takes_it_back() -> None:
    box = edit_table(planned(DEMO), "appliances", ("power_VA",), ("loads.design_A",))
    cells = [w for w in children(box) if isinstance(w, widgets.Text)]
    undo = next(w for w in children(box) if isinstance(w, widgets.Button))
    first, before = cells[0].value, html_of(box)
    cells[0].value = "23.5 kW"
    assert "became" in html_of(box) and "Recomputed: loads" in html_of(box)
    undo.click()
    assert cells[0].value == first
    assert "taken back" in html_of(box)
    answer = [w for w in children(box) if isinstance(w, widgets.HTML)][-1].value
    assert answer in before


def test_edit_refuses_bad_input_and_keeps_the_value() -> None:
    box = edit_table(planned(DEMO), "appliances", ("power_VA",), ("loads.design_A",))
    cell = next(w for w in children(box) if isinstance(w, widgets.Text))
    kept = cell.value
    cell.value = "many"
    assert cell.value == kept
    assert 'role="alert"' in html_of(box) and "is kept" in html_of(box)


def test_what_if_shows_now_beside_tried() -> None:
    plan = planned(DEMO)
    box = what_if(
        plan,
        "service_site",
        "lateral_length_ft",
        ("service.lateral_drop_percent",),
        low=10,
        high=900,
        step=10,
    )
    slider = next(w for w in children(box) if isinstance(w, widgets.FloatSlider))
    typed = next(w for w in children(box) if isinstance(w, widgets.BoundedFloatText))
    slider.value = 900
    assert typed.value == 900
    assert "tried (900)" in html_of(box)
    ran = html_of(box).split("recomputed: ")[1].split(".")[0].split(", ")
    assert "service" in ran and "routes" not in ran, ran


def test_what_if_on_a_table_lets_choose_the_row() -> None:
    plan = planned(DEMO)
    box = what_if(
        plan, "heaters", "power_VA", ("loads.design_A", "hotwater.heaters[].delivered_F"), low=0, high=40000, step=500
    )
    rows = next(w for w in children(box) if isinstance(w, widgets.Dropdown))
    rows.value = plan.house.heaters[-1].id
    slider = next(w for w in children(box) if isinstance(w, widgets.FloatSlider))
    assert slider.value == plan.house.heaters[-1].power_VA


@pytest.mark.parametrize(
    ("given", "word"),
    [("12", "Right"), ("12.04", "Right"), ("1,2", "Right"), ("13", "Hint"), ("x", "not a number"), ("nan", "finite")],
)
def test_exercise_judges(given: str, word: str) -> None:
    assert word in judge(given, 12.0, "A", 0.05, "think")


def test_exercise_needs_a_finite_answer() -> None:
    with pytest.raises(ValueError, match="finite"):
        exercise("?", float("nan"), "A", within=1, hint="")


def test_a_failing_callback_is_shown() -> None:
    box = widgets.HTML("old answer")

    @shown(box)
    def fails() -> None:
        raise ValueError("flow must be > 0")

    fails()
    assert "flow must be" in box.value and "old answer" not in box.value


def test_a_fault_of_ours_is_shown_and_raised() -> None:
    box = widgets.HTML()

    @shown(box)
    def fails() -> None:
        raise KeyError("x")

    with pytest.raises(KeyError):
        fails()
    assert "A fault of the program" in box.value


def test_choosing_a_house_keeps_the_choice(tmp_path: Path) -> None:
    box = choose_house(notebooks=tmp_path)
    listed = next(w for w in children(box) if isinstance(w, widgets.Dropdown))
    button = next(w for w in children(box) if isinstance(w, widgets.Button))
    listed.value = str(data_folder() / "houses" / EXAMPLES[0])
    button.click()
    assert "is chosen" in html_of(box)
    assert chosen_house(notebooks=tmp_path).general.name == planned(EXAMPLES[0]).house.general.name


def test_choosing_a_bad_folder_says_so(tmp_path: Path) -> None:
    box = choose_house(notebooks=tmp_path)
    next(w for w in children(box) if isinstance(w, widgets.Text)).value = str(tmp_path)
    next(w for w in children(box) if isinstance(w, widgets.Button)).click()
    assert "house.toml" in html_of(box)
    assert not (tmp_path / "house.txt").exists()


def test_no_choice_is_told(tmp_path: Path) -> None:
    with pytest.raises(InputErrors, match=r"house\.txt"):
        chosen_house(notebooks=tmp_path)


@pytest.mark.parametrize("name", EXAMPLES)
def test_views_show_what_the_plan_holds(name: str) -> None:
    plan = planned(name)
    assert findings_view(plan).data.count("<tr>") == len(plan.findings) + 1
    assert working_view(plan.working("loads")).data.count("<tr>") == len(plan.working("loads")) + 1
    assert assumptions_view(plan.assumptions).data.count("<tr>") == len(plan.assumptions) + 1
    assert "Design load" in answer_view(plan).data
    for level in plan.house.levels:
        assert "data:image/svg+xml" in plan_view(plan, level.id).data


def test_working_escapes_what_it_shows() -> None:
    lines = working_view(planned(DEMO).working("loads")).data
    assert "<script" not in lines
