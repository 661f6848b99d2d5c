"""The editable table with its load lines and rows to add and remove, and the pictures of the loads notebook."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from hpelec.core.errors import InputErrors
from hpelec.plan import design
from hpelec.report.charts import NOT_TOGETHER, load_waterfall
from hpelec.report.loads_amps_charts import reality_axis
from hpelec.screens import figures_loads_amps as figures
from hpelec.screens.editing import TableEditor
from tests.houses import DEMO, EXAMPLES, example, planned

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def editor() -> TableEditor:
    plan = design(example(DEMO), only=("loads",))
    return TableEditor(plan, "appliances", ("power_VA", "quantity"), ("loads.design_VA",), figures.lines_html)


def test_each_load_line_is_shown_after_an_edit_and_after_undo(editor: TableEditor) -> None:
    first = editor.answer.value
    assert first.count("<tr>") >= len(editor.plan.loads.lines)
    editor.cells["range", "power_VA"].value = "14 kW"
    assert "14,000" in editor.answer.value and "Induction range" in editor.answer.value
    assert editor.plan.loads.design_VA != planned(DEMO).loads.design_VA
    editor.undo.click()
    assert editor.answer.value == first


def test_a_row_is_copied_edited_and_taken_back(editor: TableEditor) -> None:
    before = editor.plan
    editor.which.value, editor.new_id.value = "well", "second-well"
    editor.copy.click()
    assert ("second-well", "power_VA") in editor.cells
    assert editor.plan.loads.design_VA > before.loads.design_VA
    editor.cells["second-well", "power_VA"].value = "3.84 kW"
    assert "3,840" in editor.answer.value
    editor.undo.click()
    editor.undo.click()
    assert editor.plan is before and ("second-well", "power_VA") not in editor.cells
    assert editor.undo.disabled


def test_a_row_is_removed_and_comes_back(editor: TableEditor) -> None:
    before, shown = editor.plan, editor.answer.value
    editor.which.value = "well"
    editor.drop.click()
    assert editor.plan.loads.design_VA < before.loads.design_VA
    assert ("well", "power_VA") not in editor.cells and "well" not in editor.which.options
    editor.undo.click()
    assert editor.plan is before and editor.answer.value == shown and "well" in editor.which.options


@pytest.mark.parametrize("new", ["", "range", "two words", "<b>"])
def test_a_bad_id_for_a_new_row_changes_nothing(editor: TableEditor, new: str) -> None:
    before = editor.plan
    editor.which.value, editor.new_id.value = "charger", new
    editor.copy.click()
    assert editor.plan is before and editor.undo.disabled and "Nothing is changed" in editor.said.value


def test_a_row_that_others_name_stays() -> None:
    plan = design(example(DEMO), only=("loads",))
    editor = TableEditor(plan, "heaters", ("power_VA",), ("loads.design_VA",))
    editor.which.value = "tank"
    editor.drop.click()
    assert editor.plan is plan and "Nothing is changed" in editor.said.value
    with pytest.raises(InputErrors):
        editor.remove("tank")


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("method", ["lowest", "standard", "optional"])
def test_the_waterfall_rises_to_the_connected_load_and_ends_at_the_design_load(name: str, method: str) -> None:
    house = example(name)
    loads = design(house.changed(general=replace(house.general, load_method=method)), only=("loads",)).loads
    drawing = load_waterfall(loads)
    texts = ["".join(t.itertext()) for t in ET.fromstring(drawing.svg).iter(f"{SVG}text")]
    assert f"{loads.design_VA:,.0f}" in texts
    assert f"{sum(e.connected_VA for e in loads.lines):,.0f}" in texts
    changes = [float(t.replace("−", "-").replace(",", "")) for t in texts if t[:1] in "+−"]
    assert sum(changes) == pytest.approx(loads.design_VA, abs=len(changes))
    assert ("interlock" in " ".join(e.remark for e in loads.lines)) <= (NOT_TOGETHER in texts)


@pytest.mark.parametrize("name", EXAMPLES)
def test_pictures_and_tables_of_the_notebook_draw_for_every_house(name: str) -> None:
    plan = planned(name)
    for view in (figures.waterfall_view, figures.methods_view, figures.reality_view):
        assert "<img" in view(plan).data
    assert figures.refused_view(plan).data.count("<tr>") == 1 + len(plan.loads.methods)
    assert figures.amps_view(plan).data.count("<tr>") == 1 + len(plan.loads.amps)
    assert "coincident" in figures.figures_view(plan).data
    drawn = figures.feeder_parts(plan)
    assert drawn.layout.title.text and drawn.layout.yaxis.title.text and len(drawn.data[0].x) > 5


@pytest.mark.parametrize("name", EXAMPLES)
def test_labels_of_the_reality_picture_stay_inside_and_clear_of_their_marks(name: str) -> None:
    drawing = reality_axis(planned(name).loads)
    root = ET.fromstring(drawing.svg)
    for text in root.iter(f"{SVG}text"):
        words, x = "".join(text.itertext()), float(text.attrib["x"])
        wide = 0.6 * float(text.attrib["font-size"]) * len(words)
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[text.attrib["text-anchor"]]
        assert left >= -0.5 and left + wide <= float(root.attrib["width"]) + 0.5, words
    assert "change no calculated load" in drawing.alt and "104 A" in drawing.alt
    assert "1.9 kW" not in drawing.alt and "Massachusetts" not in drawing.alt, (
        "a coincident system figure must not stand on the axis"
    )


def test_a_metered_year_stands_on_the_axis() -> None:
    house = example(DEMO)
    known = house.changed(general=replace(house.general, annual_kWh=17520.0))
    assert "this meter's year, average: 8.3 A" in reality_axis(design(known, only=("loads",)).loads).alt
