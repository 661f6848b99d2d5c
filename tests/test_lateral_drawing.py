"""The drawing of the trench: to scale, nothing outside the sheet, conductors that lie in their bore."""

from __future__ import annotations

import dataclasses
import itertools
import math
import xml.etree.ElementTree as ET

import pytest

from hpelec.plan import design
from hpelec.report.html import report_html
from hpelec.report.lateral_drawing import SIZE, WIDTH, conductor_places, trench_drawing
from hpelec.report.svg import text_width
from hpelec.steps.lateral import rules_raceway
from tests.adapters_lateral import example_changed
from tests.houses import DEMO, EXAMPLES, planned

SVG = "{http://www.w3.org/2000/svg}"
SITES = {
    "as it is": {},
    "direct buried": {"lateral_method": "direct_buried", "cover_in": None, "spare_conduits": 0},
    "shallow and wide": {"lateral_method": "rmc", "lateral_under": "yard", "cover_in": None, "bedding_in": 0.0,
                         "spare_conduits": 5, "trench_width_in": None},
    "no cover": {"lateral_under": "building", "cover_in": 0.0, "bedding_in": 0.0},
    "deep and narrow": {"cover_in": 96.0, "trench_width_in": 12.0, "spare_conduits": 0},
}  # fmt: skip


@pytest.mark.parametrize("metric", [False, True], ids=["feet", "metric"])
@pytest.mark.parametrize("site", SITES)
def test_every_text_stands_on_the_sheet(site: str, metric: bool) -> None:
    drawing = trench_drawing(example_changed(DEMO, **SITES[site]), metric=metric)
    assert drawing is not None
    root = ET.fromstring(drawing.svg)
    height = float(root.attrib["height"])
    for text in root.iter(f"{SVG}text"):
        wide = text_width(text.text or "", float(text.attrib["font-size"]))
        x = float(text.attrib["x"])
        left = x - {"middle": wide / 2, "end": wide, "start": 0.0}[text.attrib["text-anchor"]]
        assert left >= 0, f"{text.text} begins at {left:.0f}"
        assert left + wide <= WIDTH, f"{text.text} ends at {left + wide:.0f}"
        assert SIZE / 2 <= float(text.attrib["y"]) <= height


@pytest.mark.parametrize("site", SITES)
def test_the_trench_is_to_scale(site: str) -> None:
    result = example_changed(DEMO, **SITES[site])
    drawing = trench_drawing(result)
    assert drawing is not None
    white = [r for r in ET.fromstring(drawing.svg).iter(f"{SVG}rect") if r.attrib["fill"] == "#ffffff"]
    cut = next(r for r in white if "stroke" in r.attrib)
    ratio = float(cut.attrib["height"]) / float(cut.attrib["width"])
    assert math.isclose(ratio, result.trench.depth_in / result.trench.width_in, rel_tol=1e-3)


def test_every_conduit_is_drawn_and_the_spare_ones_are_empty() -> None:
    result = example_changed(DEMO, spare_conduits=2, trench_width_in=None)
    drawing = trench_drawing(result)
    assert drawing is not None
    circles = list(ET.fromstring(drawing.svg).iter(f"{SVG}circle"))
    in_trench = [c for c in circles if float(c.attrib["cx"]) < WIDTH * 0.7 and c.attrib["fill"] == "#22303c"]
    assert len(in_trench) == result.conduit.used + 2
    assert f"{result.conduit.used} x" in drawing.alt
    assert "2 spare" in drawing.alt


@pytest.mark.parametrize("raceway", ["PVC40", "PVC80", "RMC"])
@pytest.mark.parametrize("neutral", ["same", "smaller"])
@pytest.mark.parametrize("size", ["2", "1/0", "4/0", "350", "500", "750"])
def test_conductors_lie_in_the_bore_without_overlap(raceway: str, neutral: str, size: str) -> None:
    sizes = (size, size, size if neutral == "same" else "4")
    diameters = tuple(rules_raceway.conductor_outside_in("XHHW-2", s) for s in sizes)
    areas = [rules_raceway.conductor_area_in2("XHHW-2", s) for s in sizes]
    trade_size = rules_raceway.smallest_trade_size(raceway, areas, 100)
    assert trade_size is not None
    bore = rules_raceway.bore_in(raceway, trade_size)
    places = conductor_places(bore, diameters)
    for x, y, r in places:
        assert math.hypot(x, y) + r <= bore / 2 + 1e-9, f"{size} leaves the bore of {raceway} {trade_size}"
    for (x0, y0, r0), (x1, y1, r1) in itertools.combinations(places, 2):
        assert math.hypot(x1 - x0, y1 - y0) >= r0 + r1 - 1e-9


def test_no_trench_no_drawing_and_the_report_still_stands() -> None:
    plan = planned(DEMO)
    heaters = [a for a in plan.house.appliances if a.kind == "supplemental_heat"]
    heavy = tuple(dataclasses.replace(heaters[0], id=f"heat{n}", power_VA=100_000.0, mca_A=None) for n in range(20))
    plan = design(plan.house.changed(appliances=(*plan.house.appliances, *heavy)))
    assert plan.lateral.trench is None
    assert trench_drawing(plan.lateral) is None
    assert 'id="lateral"' in report_html(plan)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_report_shows_the_lateral(name: str) -> None:
    plan = planned(name)
    text = report_html(plan)
    part = text[text.index('<section id="lateral"') :]
    part = part[: part.index("</section>")]
    assert "<img" in part
    for head in ("In the ground or in the air", "Trench", "Conduits", "Pulling the conductors", "Clearances"):
        assert head in part
    assert ("Energy lost in a year" in part) == (plan.house.service_site.expected_kWh is not None)
