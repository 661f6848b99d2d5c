"""Pictures and tables of panels, and the controls of the notebook: everything told, nothing cut, errors shown."""

from __future__ import annotations

import dataclasses
import re
from typing import Any

import pytest

from hpelec.house.model import House
from hpelec.plan import Plan, design
from hpelec.report.contents import Tables
from hpelec.report.html import report_html
from hpelec.report.panels_drawing import entry_pattern, panel_schedule
from hpelec.report.svg import Drawing
from hpelec.screens import figures_panels
from hpelec.screens.panels import WhatIfPanel
from tests.houses import DEMO, EXAMPLES, example, planned
from tests.test_report import boxes


def changed(name: str, spaces: int = 0, tandem: int = 0, **settings: Any) -> Plan:
    house: House = example(name)
    panels = tuple(dataclasses.replace(p, spaces=spaces or p.spaces, tandem_spaces=tandem) for p in house.panels)
    house = house.changed(panels=panels, circuit_settings=dataclasses.replace(house.circuit_settings, **settings))
    return design(house, only=("circuits",))


def drawings(plan: Plan) -> list[Drawing]:
    return [draw(plan, b.panel) for b in plan.circuits.balance for draw in (panel_schedule, entry_pattern)]


def fits(drawing: Drawing) -> None:
    found, wide, high = boxes(drawing.svg)
    for i, (text, left, top, right, bottom) in enumerate(found):
        assert left >= 0, f"{text!r} is cut at the left"
        assert right <= wide, f"{text!r} is cut at the right"
        assert 0 <= top <= bottom <= high, f"{text!r} is cut"
        for other, left2, top2, right2, bottom2 in found[i + 1 :]:
            over = min(right, right2) - max(left, left2) > 0.5 and min(bottom, bottom2) - max(top, top2) > 2
            assert not over, f"{text!r} lies on {other!r}"


@pytest.mark.parametrize("name", EXAMPLES)
def test_labels_lie_inside_and_apart(name: str) -> None:
    for drawing in drawings(planned(name)):
        fits(drawing)


def test_a_full_panel_with_pairs_and_tandems_is_drawn_whole() -> None:
    plan = changed(DEMO, spaces=13, tandem=6, multiwire="all")
    for drawing in drawings(plan):
        fits(drawing)
    svg = "".join(d.svg for d in drawings(plan))
    assert "No space left for" in svg and "a multiwire pair, opened together" in svg
    for slot in (s for s in plan.circuits.slots if s.poles):
        assert slot.name.split(",")[0] in "".join(d.alt for d in drawings(plan)), slot


def test_a_long_and_wild_name_is_only_text_and_stays_inside() -> None:
    house = example(DEMO)
    rooms = tuple(dataclasses.replace(r, name="<b>&" + "long " * 30) for r in house.rooms)
    plan = design(house.changed(rooms=rooms), only=("circuits",))
    for drawing in drawings(plan):
        assert "<b>" not in drawing.svg
        fits(drawing)


def test_nothing_is_told_by_colour_alone() -> None:
    svg = panel_schedule(planned(DEMO), planned(DEMO).circuits.balance[0].panel).svg
    assert svg.count(">A<") >= 10 and svg.count(">B<") >= 10, "each row names its leg"


@pytest.mark.parametrize("name", EXAMPLES)
def test_tables_hold_every_row(name: str) -> None:
    plan = planned(name)
    tables = Tables(plan)
    for balance in plan.circuits.balance:
        rows = tables.schedule(balance.panel).rows
        assert len(rows) == sum(s.panel == balance.panel for s in plan.circuits.slots)
    assert len(tables.balance().rows) == len(plan.circuits.balance)
    assert len(tables.cable_uses().rows) == len(plan.circuits.cable_uses)
    assert len(tables.entry_holes().rows) == len(plan.circuits.entries)
    drops = tables.branch_drop().rows
    assert drops and all(str(r[-1].text) in ("yes", "no", "if shared") for r in drops)


def test_the_report_shows_schedules_and_multiwire_pairs_only_where_there_are_some() -> None:
    plan = planned(DEMO)
    text = report_html(plan)
    for balance in plan.circuits.balance:
        assert f"Schedule of panel {balance.panel}" in text
    assert "Multiwire branch circuits" not in text
    pairs = changed(DEMO, multiwire="small_appliance").circuits
    paired = dataclasses.replace(plan, results={**plan.results, "circuits": pairs})
    assert "Multiwire branch circuits" in report_html(paired)


def test_the_controls_of_a_panel_redraw_and_recompute_little() -> None:
    plan = planned(DEMO)
    tried = WhatIfPanel(plan)
    first = tried.drawing.value
    assert "<img" in first and "Recomputed: nothing" in tried.said.value
    tried.spaces.value = 24
    assert tried.drawing.value != first
    assert "misses" in tried.found.value
    assert "loads" not in tried.said.value
    tried.pairs.value = "small_appliance"
    assert "two-pole" in tried.found.value
    tried.spaces.value = plan.house.panels[0].spaces
    tried.pairs.value = "none"
    assert tried.drawing.value == first


def test_another_panel_brings_its_own_spaces() -> None:
    tried = WhatIfPanel(planned("wintermoss-hill"))
    tried.panel.value = "PS"
    assert tried.spaces.value == 42
    assert "Schedule of panel PS" in tried.drawing.value


def test_notebook_pictures_are_images_with_words() -> None:
    for shown in (figures_panels.schedules(planned(DEMO)), figures_panels.entries(planned(DEMO))):
        assert re.search(r'<img src="data:image/svg\+xml;base64,[^"]+" alt="[^"]+"', shown.data)
