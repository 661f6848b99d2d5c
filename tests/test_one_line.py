"""The one-line diagram: everything that the plan holds is on it, and no feeder crosses the bus of another panel."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from hpelec.house.rows import Panel
from hpelec.plan import Plan, design
from hpelec.report.one_line import SUPPLY_X, _place, one_line
from tests.houses import EXAMPLES, planned, starter


def words(plan: Plan) -> str:
    return " ".join(t.text or "" for t in ET.fromstring(one_line(plan).svg).iter("{http://www.w3.org/2000/svg}text"))


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_supply_and_every_large_circuit_are_on_it(name: str) -> None:
    plan = planned(name)
    told = words(plan)
    assert f"main {plan.service.main_A:g} A" in told
    for panel in plan.house.panels:
        assert f"{panel.name}: bus {panel.rating_A:g} A" in told
    large = [c for c in plan.circuits.circuits if c.kind != "feeder" and (c.breaker_A >= 30 or c.voltage_V > 120)]
    small = [c for c in plan.circuits.circuits if c.kind != "feeder" and c not in large]
    assert len(re.findall(r"\d A [12]p", told)) >= len(large)
    counts = [int(n) for n in re.findall(r"(\d+) circuits", told)]
    assert sum(counts) == len(small), f"{counts} small circuits told, the plan has {len(small)}"


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_text_lies_on_the_sheet(name: str) -> None:
    root = ET.fromstring(one_line(planned(name)).svg)
    width, height = (float(root.attrib[k]) for k in ("width", "height"))
    for text in root.iter("{http://www.w3.org/2000/svg}text"):
        x, y = float(text.attrib["x"]), float(text.attrib["y"])
        reach = 0.6 * float(text.attrib["font-size"]) * len(text.text or "")
        left = {"start": x, "middle": x - reach / 2, "end": x - reach}[text.attrib["text-anchor"]]
        assert left >= -4 and left + reach <= width + 4, f"{text.text!r} is cut off at the side"
        assert 0 < y < height, f"{text.text!r} is cut off above or below"


def test_no_feeder_crosses_the_bus_of_another_panel() -> None:
    first = starter().panels[0]
    fed = {"A": first.id, "B": first.id, "C": "A", "D": "A", "E": "B"}
    panels = [Panel(id=i, name=i, room=first.room, side=first.side, offset_ft=1, fed_from=p) for i, p in fed.items()]
    plan = design(starter().changed(panels=(first, *panels)), only=("service",))
    buses = list(_place(plan, first, SUPPLY_X, 0, frozenset({first.id})))
    assert sorted(b.panel.id for b in buses) == sorted([first.id, *fed])
    where = {b.panel.id: b for b in buses}
    for child, parent in fed.items():
        x, top, bottom = where[child].x, where[parent].y, where[child].y
        crossed = [b.panel.id for b in buses if top < b.y < bottom and b.x - 14 <= x <= b.right]
        assert not crossed, f"the feeder of {child} crosses the bus of {crossed}"


def test_it_draws_without_circuits_and_where_no_rating_carries_the_load() -> None:
    house = starter()
    plan = design(house.changed(service_site=replace(house.service_site, offered_A=(30.0,))), only=("service",))
    assert "no offered rating carries the load" in words(plan)
