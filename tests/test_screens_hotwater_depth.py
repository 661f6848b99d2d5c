"""The what-if on a heater, and the pictures of hot water in depth, for every example house."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from hpelec.plan import Plan, design
from hpelec.report.contents import Tables
from hpelec.report.hotwater_charts import WIDTH, layout_bars, need_by_day, tank_day_chart
from hpelec.report.html import report_html
from hpelec.report.svg import text_width
from hpelec.screens import figures_hotwater_depth as figures
from hpelec.screens.hotwater_depth import AS_IT_IS, CHOICES, DOWN, PUMP, TANK, UP, OtherHeater, shower_F
from tests.houses import EXAMPLES, example, planned


def water(name: str) -> Plan:
    return design(example(name), only=("hotwater", "service"))


@pytest.mark.parametrize("choice", CHOICES)
@pytest.mark.parametrize("name", EXAMPLES)
def test_every_choice_answers_for_every_heater(name: str, choice: str) -> None:
    screen = OtherHeater(water(name))
    for _, heater in screen.rows.options:
        screen.rows.value = heater
        screen.choice.value = choice
        said = screen.said.value
        if "Not computed" in said:
            assert choice in (DOWN, UP) and "common sizes" in said, said
        else:
            assert f"{heater} tried as {choice}" in said
            assert "all heaters together, A" in screen.table.value and "design load" in screen.table.value


def test_the_next_size_down_takes_fewer_amperes_and_gives_colder_water() -> None:
    screen = OtherHeater(water("wintermoss-hill"))
    screen.rows.value, screen.choice.value = "tankless", DOWN
    then = screen.tried()
    assert then.hotwater.all_on_A < screen.plan.hotwater.all_on_A
    assert shower_F(then, "tankless") < shower_F(screen.plan, "tankless")
    down = next(s for s in screen.plan.hotwater.sizes if s.heater == "tankless")
    assert shower_F(then, "tankless") == pytest.approx(down.smaller_fixture_F)


def test_a_heat_pump_tank_in_its_place_serves_the_shower_with_less() -> None:
    screen = OtherHeater(water("wintermoss-hill"))
    screen.rows.value, screen.choice.value = "tankless", PUMP
    then = screen.tried()
    assert then.hotwater.all_on_A < screen.plan.hotwater.all_on_A / 2
    assert shower_F(then, "tankless") > shower_F(screen.plan, "tankless")
    assert "<img" in screen.drawing.value
    screen.choice.value = TANK
    assert "kWh of electricity" in screen.drawing.value
    screen.choice.value = AS_IT_IS
    assert screen.tried().house == screen.plan.house


def test_a_house_without_heater_says_so() -> None:
    plan = design(example("wintermoss-hill").changed(heaters=(), draw_points=()), only=("hotwater",))
    assert "no water heater" in OtherHeater(plan).said.value
    for drawing in (need_by_day(plan), layout_bars(plan)):
        ET.fromstring(drawing.svg)
    assert "No tank" in figures.tank_days(plan).data
    assert figures.needed_by_day(plan).layout.title.text.endswith("in this house")


@pytest.mark.parametrize("name", EXAMPLES)
def test_charts_keep_their_labels_on_the_sheet(name: str) -> None:
    plan = planned(name)
    drawings = [need_by_day(plan), layout_bars(plan), *(tank_day_chart(plan, d) for d in plan.hotwater.tank_days)]
    for drawing in drawings:
        for text in ET.fromstring(drawing.svg).iter("{http://www.w3.org/2000/svg}text"):
            wide = text_width(text.text or "", float(text.get("font-size", "0")))
            x, anchor = float(text.get("x", "0")), text.get("text-anchor")
            left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor or "start"]
            assert left >= -1 and left + wide <= WIDTH + 1, f"{text.text!r} leaves the sheet"
        assert drawing.alt


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_report_shows_every_table(name: str) -> None:
    plan = planned(name)
    page = report_html(plan)
    tables = Tables(plan)
    for grid in (
        tables.heater_months(), tables.heater_sizes(), tables.runs_together(), tables.pipe_runs(),
        tables.heat_pump_airs(), tables.tank_days(), tables.layouts_power(), tables.layouts_year(),
    ):  # fmt: skip
        assert grid.caption in page
    assert ("No cost is given" in page) is bool(tables.blank_prices)
