"""The picture and the tables of fault current: everything told, nothing cut, legible without colour."""

from __future__ import annotations

import dataclasses

import pytest

from hpelec.plan import Plan, design
from hpelec.report.contents import Tables
from hpelec.report.faults_drawing import WIDTH, fault_profile
from hpelec.report.html import report_html
from tests.houses import DEMO, EXAMPLES, planned
from tests.test_report import boxes


def cells(plan: Plan, name: str) -> list[list[str]]:
    return [[str(c.text) for c in row] for row in getattr(Tables(plan), name)().rows]


def with_point(plan: Plan, **changes: object) -> Plan:
    first, *rest = plan.faults.points
    faults = dataclasses.replace(plan.faults, points=(dataclasses.replace(first, **changes), *rest))
    return dataclasses.replace(plan, results={**plan.results, "faults": faults})


@pytest.mark.parametrize("name", EXAMPLES)
def test_labels_lie_inside_and_apart(name: str) -> None:
    found, wide, high = boxes(fault_profile(planned(name)).svg)
    for i, (text, left, top, right, bottom) in enumerate(found):
        assert left >= 0, f"{text!r} is cut at the left"
        assert right <= wide, f"{text!r} is cut at the right"
        assert 0 <= top <= bottom <= high, f"{text!r} is cut"
        for other, left2, top2, right2, bottom2 in found[i + 1 :]:
            over = min(right, right2) - max(left, left2) > 0.5 and min(bottom, bottom2) - max(top, top2) > 2
            assert not over, f"{text!r} lies on {other!r}"


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_point_is_told_in_words_and_in_the_table(name: str) -> None:
    plan = planned(name)
    alt, table = fault_profile(plan).alt, cells(plan, "fault_points")
    for point, row in zip(plan.faults.points, table, strict=True):
        assert point.name in alt
        assert f"{point.high_A:,.0f} A line to line" in alt
        assert f"{point.high_A:,.0f}" in row
        assert f"{point.needed_kA:.0f}" in row


def test_a_long_name_is_shortened_and_a_wild_one_is_only_text() -> None:
    plan = with_point(planned(DEMO), id="X1", name="<b>&" + "long " * 40)
    svg = fault_profile(plan).svg
    assert "<b>" not in svg
    found, wide, _ = boxes(svg)
    assert all(left >= 0 and right <= wide for _, left, _, right, _ in found)
    assert wide == WIDTH


def test_a_current_beyond_every_usual_rating_has_no_rating() -> None:
    plan = with_point(planned(DEMO), needed_A=90000.0, needed_kA=None, high_A=90000.0)
    assert cells(plan, "fault_points")[0][-2] == "–"


def test_metric_houses_have_metres() -> None:
    plan = planned(DEMO)
    metric = plan.house.changed(general=dataclasses.replace(plan.house.general, show_metric=True))
    shown = design(metric)
    assert " m from the source" in fault_profile(shown).svg
    assert "mm" in cells(shown, "working_spaces")[0][2] or " m" in cells(shown, "working_spaces")[0][2]


def test_a_space_that_is_not_free_says_so() -> None:
    plan = planned(DEMO)
    spaces = (dataclasses.replace(plan.faults.spaces[0], start_ft=None), *plan.faults.spaces[1:])
    changed = dataclasses.replace(plan.faults, spaces=spaces)
    table = cells(dataclasses.replace(plan, results={**plan.results, "faults": changed}), "working_spaces")
    assert "not free" in table[0]


def test_separate_buildings_are_shown_only_where_there_are_some() -> None:
    assert "Separate buildings" not in report_html(planned(DEMO))
