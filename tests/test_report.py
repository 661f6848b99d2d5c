"""The report and its drawings: everything told once, well formed, offline, the same bytes twice."""

from __future__ import annotations

import base64
import dataclasses
import re
import xml.etree.ElementTree as ET
from html.parser import HTMLParser

import pytest

from hpelec.core.tables import data_folder
from hpelec.house.rows import FixedItem
from hpelec.plan import STEPS, Plan, design, read_house
from hpelec.report.charts import leakage_bars, load_waterfall, mains_curve, methods_bars, ticks
from hpelec.report.html import SECTIONS, charts, css_string, report_html, slug, write_report
from hpelec.report.labels import Sheet, around
from hpelec.report.plan_drawing import compact_tags, plan_alt, plan_svg, short_id
from hpelec.report.sources import sources
from hpelec.report.svg import Drawing, escape, picture
from tests.hand_plan import DEVICES, HOLES, LAST_HOLE, hand_plan, spread, starter

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = '<b>&"\u0007 </style><script>alert(1)</script>'
VOID = {"meta", "img", "br", "hr", "link", "input"}


class Walk(HTMLParser):
    """Reads HTML strictly: tags must close in order; keeps attributes, texts and the text of each section."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.section = ""
        self.texts: dict[str, list[str]] = {}
        self.sealing_tags: list[str] = []
        self.in_tag = False
        self.feed(html)
        self.close()
        assert not self.open, f"tags left open: {self.open}"

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self.in_tag = tag == "th" and dict(attrs).get("class") == "tag"
        if tag == "section":
            self.section = dict(attrs)["id"]
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open and self.open[-1] == tag, f"</{tag}> closes {self.open[-3:]} at {self.getpos()}"
        self.open.pop()
        self.in_tag = False
        if tag == "section":
            self.section = ""

    def handle_data(self, data):
        if self.in_tag:
            self.sealing_tags.append(data)
        if data.strip():
            self.texts.setdefault(self.section, []).append(" ".join(data.split()))

    def told(self, section: str) -> str:
        return " ".join(self.texts.get(section, []))


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    return starter(tmp_path_factory.mktemp("report"))


@pytest.fixture(scope="module")
def plan(house) -> Plan:
    return hand_plan(house)


@pytest.fixture(scope="module")
def metric_plan(tmp_path_factory) -> Plan:
    return hand_plan(starter(tmp_path_factory.mktemp("metric"), show_metric=True))


@pytest.fixture(scope="module")
def page(plan) -> Walk:
    return Walk(report_html(plan))


def images(html: str) -> list[str]:
    return [base64.b64decode(d).decode() for d in re.findall(r'src="data:image/svg\+xml;base64,([^"]+)"', html)]


def boxes(svg: str) -> tuple[list[tuple[str, float, float, float, float]], float, float]:
    """Text, left, top, right, bottom of each text of an SVG (by the width its font is taken to need), and its size."""
    root = ET.fromstring(svg)
    _, _, wide, high = map(float, root.attrib["viewBox"].split())
    found = []
    for node in root.iter(f"{SVG}text"):
        size, x, y = (float(node.attrib[k]) for k in ("font-size", "x", "y"))
        text = node.text or ""
        width = 0.6 * size * len(text)
        left = {"start": x, "middle": x - width / 2, "end": x - width}[node.attrib["text-anchor"]]
        found.append((text, left, y - size, left + width, y + 0.25 * size))
    return found, wide, high


def count(svg: str, name: str) -> int:
    return sum(1 for g in ET.fromstring(svg).iter() if g.attrib.get("class") == name)


def test_every_section_is_there_once_and_in_the_contents(page):
    ids = [a["id"] for t, a in page.tags if t == "section"]
    assert ids == [name for name, _ in SECTIONS]
    links = [a["href"] for t, a in page.tags if t == "a"]
    assert links[: len(SECTIONS)] == [f"#{name}" for name, _ in SECTIONS]
    targets = {f"#{a['id']}" for _, a in page.tags if "id" in a}
    assert set(links) <= targets, f"links to nowhere: {set(links) - targets}"
    assert page.told("cautions").startswith("1 Cautions Planning help, not a permit drawing.")


def test_every_finding_and_assumption_is_told(plan, page):
    told = page.told("findings")
    for finding in plan.findings:
        assert finding.rule in told, f"finding {finding.id} is not in the report"
    order = [told.index(f.rule) for f in plan.findings]
    assert order == sorted(order), "findings are not in the order of plan.findings (misses first)"
    for missed in plan.misses:
        assert missed.rule in page.told("summary"), f"{missed.id} misses but the summary does not say so"
    for taken in plan.assumptions:
        assert taken.taken in page.told("assumptions")


@pytest.mark.parametrize("step", [s.name for s in STEPS])
def test_the_working_of_every_step_is_shown(step, plan, page):
    everything = " ".join(page.told(name) for name, _ in SECTIONS)
    for entry in plan.working(step):
        assert entry.what in everything and entry.expression in everything, f"working of {step} is missing: {entry}"


def test_each_tag_stands_once_in_the_sealing_list_in_the_order_of_stages(plan, page):
    tags = page.sealing_tags
    assert sorted(tags) == sorted(i.tag for i in plan.sealing.items)
    expected = [i.tag for i in sorted(plan.sealing.items, key=lambda i: (i.stage_number, i.order))]
    assert tags == expected
    boxes_to_tick = [a for t, a in page.tags if t == "span" and a.get("class") == "tick"]
    assert len(boxes_to_tick) == len(plan.sealing.items)
    assert LAST_HOLE in page.told("sealing"), "a hole without a method must be named"


def test_sources_are_listed_with_their_accuracy(plan, page):
    told = page.told("sources")
    used = sources(plan)
    assert len(used) == 4
    for citation, steps in used:
        assert citation.source in told and citation.accuracy in told
        assert ", ".join(steps) in told
    assert told.index("common practice") < told.index("memory") < told.index("published")
    assert "memory" in page.told("loads"), "the value from memory is not marked where it stands"
    assert "common practice" in page.told("sealing")


def test_the_page_asks_nothing_of_the_network_and_runs_nothing(plan):
    html = report_html(plan)
    walk = Walk(html)
    assert not [t for t, _ in walk.tags if t in ("script", "link", "iframe", "object", "form")]
    for tag, attributes in walk.tags:
        for name, value in attributes.items():
            assert not name.startswith("on"), f"<{tag}> has a handler {name}"
            if name in ("src", "href", "srcset", "action", "data"):
                assert value.startswith(("#", "data:image/svg+xml;base64,")), f"<{tag} {name}={value[:60]}>"
    assert "http" not in html and "@import" not in html and "url(" not in html
    for svg in images(html):
        assert svg.count("http") == 1, "an SVG names an address beside its namespace"


def test_tables_and_pictures_are_accessible(plan):
    walk = Walk(report_html(plan))
    assert dict(walk.tags)["html"] == {"lang": "en"}
    tables = sum(1 for t, _ in walk.tags if t == "table")
    assert tables == sum(1 for t, _ in walk.tags if t == "caption") == sum(1 for t, _ in walk.tags if t == "thead")
    assert all(a.get("scope") in ("col", "row") for t, a in walk.tags if t == "th")
    assert all(len(a["alt"] or "") > 20 for t, a in walk.tags if t == "img")


def test_a_hostile_name_is_only_text(house):
    odd = hand_plan(house.changed(general=dataclasses.replace(house.general, name=HOSTILE, note=HOSTILE)))
    html = report_html(odd, prepared=HOSTILE)
    walk = Walk(html)
    assert not [t for t, _ in walk.tags if t in ("script", "b")]
    assert "<b>&" in " ".join(walk.texts[""]), "the name is not shown as written"
    style = html.split("<style>")[1].split("</style>")[0]
    assert "@page" in style and "Planning help" in style and "<" not in style
    for svg in images(html):
        ET.fromstring(svg)


def test_the_same_plan_gives_the_same_bytes(plan, house, tmp_path):
    first = write_report(plan, tmp_path / "a")
    second = write_report(hand_plan(house), tmp_path / "b")
    assert first.read_bytes() == second.read_bytes()
    assert first.name == "report-my-house-invented-starter-change-everything.html"
    assert "1999-12-31" not in first.read_text("utf-8")
    assert "1999-12-31" in report_html(plan, prepared="1999-12-31")


@pytest.mark.parametrize(
    ("name", "expected"),
    [("Größe 7!", "große-7"), ("../../etc/passwd", "etc-passwd"), ("家", "house"), ("a" * 200, "a" * 60)],
)
def test_the_file_name_is_plain(name, expected):
    assert slug(name) == expected.replace("ß", "").replace("ö", "o")


def test_css_string_cannot_be_left():
    assert css_string('a"\\</style>\n') == '"a\\22 \\5c \\3c \\2f style\\3e \\a "'


def test_every_picture_is_xml_with_a_title_and_words(plan):
    pictures = images(report_html(plan))
    assert len(pictures) == len(charts(plan)) + 3, "a picture is made but not shown, or shown twice"
    for svg in pictures:
        root = ET.fromstring(svg)
        assert root.find(f"{SVG}title").text
        assert root.attrib["aria-label"] == root.find(f"{SVG}desc").text != ""


def test_all_devices_and_holes_are_drawn_and_no_other(plan):
    svg = plan_svg(plan, "main")
    assert count(svg, "device") == len(DEVICES)
    assert count(svg, "hole") == len(HOLES)
    assert count(svg, "panel") == 1
    assert count(plan_svg(plan, "main", show=("devices",)), "hole") == 0
    assert count(plan_svg(plan, "main", show=("holes",)), "device") == 0
    drawn = {g.attrib["data-device"] for g in ET.fromstring(svg).iter() if "data-device" in g.attrib}
    assert drawn == {d.id for d in DEVICES}


def test_a_device_of_another_level_is_not_drawn(plan):
    moved = dataclasses.replace(DEVICES[0], level="attic")
    results = {**plan.results, "devices": dataclasses.replace(plan.devices, devices=(moved, *DEVICES[1:]))}
    assert count(plan_svg(dataclasses.replace(plan, results=results), "main"), "device") == len(DEVICES) - 1


def test_labels_lie_inside_and_apart(plan, metric_plan):
    for which in (plan, metric_plan):
        texts, wide, high = boxes(plan_svg(which, "main"))
        for text, left, top, right, bottom in texts:
            assert left >= 0 and right <= wide and top >= 0 and bottom <= high, f"{text!r} leaves the drawing"
        for svg in images(report_html(which)):
            for text, left, _, right, _ in boxes(svg)[0]:
                assert left >= 0 and right <= boxes(svg)[1], f"{text!r} leaves a picture"


def tags_apart(plan: Plan, level: str) -> int:
    """Number of tag labels of a level; fails when two of them overlap by more than a rim."""
    found = re.search(r'<g class="tags">.*?</g>', plan_svg(plan, level, show=("fixed", "holes")))
    svg = f'<svg xmlns="{SVG[1:-1]}" viewBox="0 0 1 1">{found[0] if found else ""}</svg>'
    texts = boxes(svg)[0]
    for i, (a, left, top, right, bottom) in enumerate(texts):
        for b, left2, top2, right2, bottom2 in texts[i + 1 :]:
            inside = min(right, right2) - max(left, left2), min(bottom, bottom2) - max(top, top2)
            assert min(inside) <= 3, f"{level}: {a!r} and {b!r} overlap by {inside}"
    return len(texts)


def test_tags_do_not_lie_on_one_another(plan):
    assert tags_apart(plan, "main") >= 3


def test_devices_at_one_place_are_drawn_apart(plan):
    root = ET.fromstring(plan_svg(plan, "main", show=("devices",)))
    groups = {g.attrib["data-device"]: g for g in root.iter() if "data-device" in g.attrib}
    places = [tuple(float(groups[k].find(f"{SVG}text").attrib[a]) for a in "xy") for k in ("living-1", "living-2")]
    assert abs(places[0][0] - places[1][0]) + abs(places[0][1] - places[1][1]) > 8


def test_the_legend_explains_only_what_is_drawn(plan):
    words = {t[0] for t in boxes(plan_svg(plan, "main", show=("holes",)))[0]}
    assert {"hole in the ceiling", "hole in the floor", "hole in a wall", "panel"} <= words
    assert not {"switch", "receptacle", "luminaire", "sweep of a ceiling fan"} & words
    assert {"switch", "receptacle", "luminaire", "sweep of a ceiling fan"} <= {
        t[0] for t in boxes(plan_svg(plan, "main"))[0]
    }


def test_routes_are_drawn_on_request(plan):
    assert count(plan_svg(plan, "main"), "leg") == 0
    assert count(plan_svg(plan, "main", routes=("C1",)), "leg") == 2
    svg = plan_svg(plan, "main", routes=("C1", "C2"))
    assert count(svg, "leg") == 3
    assert {"cable below the floor", "cable through studs", "cable above the ceiling"} <= {t[0] for t in boxes(svg)[0]}


def test_circuits_are_named_when_they_are_few(plan):
    def words(which: Plan, circuits: tuple[str, ...]) -> set[str]:
        return {t[0] for t in boxes(plan_svg(which, "main", routes=circuits))[0]}

    assert {"C1", "C2"} <= words(plan, ("C1", "C2"))
    many = tuple(f"C{i}" for i in range(10))
    routes = plan.routes
    more = dataclasses.replace(
        routes,
        routes=tuple(dataclasses.replace(routes.routes[0], circuit=name) for name in many),
        legs=tuple(dataclasses.replace(routes.legs[0], circuit=name) for name in many),
    )
    crowded = dataclasses.replace(plan, results={**plan.results, "routes": more})
    assert not set(many) & words(crowded, many)
    assert set(many[:3]) <= words(crowded, many[:3])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({"level_id": "cellar"}, "no level 'cellar'"),
        ({"show": ("dragons",)}, "no part 'dragons'"),
        ({"routes": ("C9",)}, "no circuit 'C9'"),
    ],
)
def test_what_is_not_there_is_refused(plan, words, said):
    with pytest.raises(ValueError, match=said):
        plan_svg(plan, **{"level_id": "main", **words})


def test_a_plan_of_some_steps_can_be_drawn(plan):
    some = dataclasses.replace(plan, results={"devices": plan.devices})
    assert count(plan_svg(some, "main", show=("fixed", "devices", "labels")), "device") == len(DEVICES)
    assert "Holes" not in plan_alt(some, "main")


def test_rooms_outside_the_air_barrier_are_hatched_and_fixed_items_drawn(plan):
    house = plan.house
    assert "url(#outside)" not in plan_svg(plan, "main")
    rooms = tuple(dataclasses.replace(r, inside_air_barrier=r.id != "utility") for r in house.rooms)
    items = (
        FixedItem(id="a", room="kitchen", kind="counter", side="north", offset_ft=0, width_ft=6, depth_ft=2),
        FixedItem(id="b", room="kitchen", kind="island", offset_ft=4, y_offset_ft=4, width_ft=5, depth_ft=3),
    )
    svg = plan_svg(dataclasses.replace(plan, house=house.changed(rooms=rooms, fixed=items)), "main")
    assert "url(#outside)" in svg
    assert {"counter", "island", "outside the air barrier"} <= {t[0] for t in boxes(svg)[0]}


def test_long_room_names_stay_inside(plan):
    rooms = tuple(
        dataclasses.replace(r, name="Room with a name that nobody would " + "x" * 90) for r in plan.house.rooms
    )
    texts, wide, high = boxes(plan_svg(dataclasses.replace(plan, house=plan.house.changed(rooms=rooms)), "main"))
    assert all(left >= 0 and right <= wide and top >= 0 and bottom <= high for _, left, top, right, bottom in texts)


def test_a_metric_house_is_shown_in_metric(plan, metric_plan):
    feet, metres = report_html(plan), report_html(metric_plan)
    assert "[ft]" in feet and "[m]" not in feet and "[cfm]" in feet
    assert "[m]" in metres and "[ft]" not in metres and "[cfm]" not in metres and "[gpm]" not in metres
    assert "38.0 F" in Walk(feet).told("summary") and "3.3 C" in Walk(metres).told("summary")
    shown = Walk(metres)
    assert {"14.38", "45.6", "21.3"} <= set(shown.texts["hotwater"]), "3.8 gpm, 82 dF or 70.3 F is not converted"
    assert "37" in shown.texts["service"], "the lateral of 120 ft is 37 m long"
    assert "11.33 (5.66 to 33.98)" in shown.told("leakage"), "24 cfm (12 to 72) is not converted"
    bar = [t[0] for t in boxes(plan_svg(metric_plan, "main"))[0]]
    assert any(re.fullmatch(r"\d+ m", t) for t in bar) and not any(re.fullmatch(r"\d+ ft", t) for t in bar)
    assert "15.6 m2" in bar, "the kitchen of 14 ft by 12 ft is 15.6 m2"


def test_the_scale_bar_is_as_long_as_it_says(plan):
    root = ET.fromstring(plan_svg(plan, "main"))
    scale = next(g for g in root.iter(f"{SVG}g") if g.attrib.get("class") == "scale")
    length = sum(float(r.attrib["width"]) for r in scale.iter(f"{SVG}rect"))
    words = [t.text for t in scale.iter(f"{SVG}text")]
    told_ft = next(float(w.split()[0]) for w in words if w.endswith(" ft"))
    walls = [n for n in root.iter(f"{SVG}line") if n.attrib["stroke-width"] == "6.5"]
    xs = [float(n.attrib[k]) for n in walls for k in ("x1", "x2")]
    drawn_ft = 30.0  # the starter house is 30 ft wide
    legend = [n for g in root.iter(f"{SVG}g") if g.attrib.get("class") == "legend" for n in g.iter(f"{SVG}line")]
    xs = [float(n.attrib[k]) for n in walls if n not in legend for k in ("x1", "x2")]
    assert length / told_ft == pytest.approx((max(xs) - min(xs)) / drawn_ft, rel=1e-3)


def test_the_waterfall_ends_at_the_design_load(plan):
    drawing = load_waterfall(plan.loads)
    texts = [t[0] for t in boxes(drawing.svg)[0]]
    assert {"15,000", "−1,500", "−6,300", "+725", "7,925"} <= set(texts)
    assert "7,925 VA" in drawing.alt


def test_the_waterfall_joins_loads_that_share_one_factor(plan):
    lines = (
        *(dataclasses.replace(entry, demand_VA=0.0) for entry in plan.loads.lines if entry.connected_VA),
        dataclasses.replace(plan.loads.lines[0], category="general loads", connected_VA=0, demand_VA=12000),
    )
    drawing = load_waterfall(dataclasses.replace(plan.loads, lines=lines, design_VA=12000))
    assert "Changes: general loads -3,000 VA." in drawing.alt


def test_methods_that_do_not_apply_have_no_bar(plan):
    drawing = methods_bars(plan.loads)
    assert "existing: does not apply" in drawing.alt and "optional: 33.0 A (chosen)" in drawing.alt
    assert sum(1 for _ in ET.fromstring(drawing.svg).iter(f"{SVG}rect")) == 1 + 2


def test_the_leakage_chart_shows_the_limit_and_what_is_unknown(plan):
    drawing = leakage_bars(plan.airtightness, metric=False)
    assert "limit for the whole house 433" in drawing.alt and "everything else" not in drawing.alt
    told = leakage_bars(dataclasses.replace(plan.airtightness, background=spread(300)), metric=True)
    assert "everything else 141.6 (70.8 to 424.8) L/s" in told.alt


def test_the_mains_chart_survives_an_empty_curve(plan):
    empty = dataclasses.replace(
        plan, results={**plan.results, "hotwater": dataclasses.replace(plan.hotwater, mains=())}
    )
    assert "design value 38.0 F" in mains_curve(empty).alt
    assert "38.0 to 62.0 F" in mains_curve(plan).alt


@pytest.mark.parametrize(("high", "last"), [(7925, 8000), (0.2, 0.2), (433, 500), (1, 1.0), (0, 1.0)])
def test_axis_ends_at_a_round_value_not_below_the_highest(high, last):
    marks = ticks(high)
    assert marks[0] == 0 and marks[-1] == pytest.approx(last) and marks[-1] >= high * (1 - 1e-9)


@pytest.mark.parametrize(
    ("tags", "short"),
    [
        (["S10", "S02", "S01", "S03"], "S01–S03, S10"),
        (["A", "B2"], "A, B2"),
        (["W9", "W10", "F10"], "F10, W9–W10"),
        ([], ""),
    ],
)
def test_tags_in_short(tags, short):
    assert compact_tags(tags) == short


def test_short_ids_drop_the_room():
    assert short_id(DEVICES[0]) == "1"
    assert short_id(DEVICES[2]) == "range", "a device that serves one thing is marked with its name"
    assert short_id(DEVICES[9]) == "out-1"


def test_a_label_takes_the_first_free_place_and_stays_on_the_sheet():
    sheet = Sheet(100, 100)
    assert sheet.place(20, 10, [(50, 50)]) == (50, 50)
    assert sheet.place(20, 10, [(50, 50), (50, 62)]) == (50, 62)
    assert sheet.place(20, 10, [(-40, 50)]) == (10, 50)
    assert sheet.place(20, 10, [(50, 140)]) == (50, 95)
    assert sheet.hit((0, 0, 5, 5)) == 0
    assert next(around(0, 0, 3, 4)) == (3, 0)


def test_picture_is_an_image_with_words():
    img = picture("<svg/>", 'a "b" <c>')
    assert img.startswith('<img src="data:image/svg+xml;base64,PHN2Zy8+" alt="a &quot;b&quot; &lt;c&gt;"')
    assert Drawing("<svg/>", "words").img == picture("<svg/>", "words")
    assert escape("a\x00<") == "a\ufffd&lt;"


def test_edition_2026_is_said_to_be_provisional(plan):
    later = dataclasses.replace(plan, edition=2026)
    assert "Edition 2026 is provisional" in Walk(report_html(later)).told("cautions")
    assert "provisional" not in Walk(report_html(plan)).told("cautions")


def test_a_load_that_no_offer_carries_is_told(plan):
    service = dataclasses.replace(plan.service, rating_A=None, spare_A=None, standard_A=None)
    told = Walk(report_html(dataclasses.replace(plan, results={**plan.results, "service": service}))).told("summary")
    assert "None of the ratings that the utility offers carries the load of 33.0 A. No standard rating does." in told


def test_a_device_in_a_corner_stays_on_its_side_of_the_wall(plan):
    crowd = tuple(dataclasses.replace(DEVICES[4], id=f"living-{i}", x_ft=29.9) for i in range(6))
    results = {**plan.results, "devices": dataclasses.replace(plan.devices, devices=(*DEVICES[:1], *crowd))}
    root = ET.fromstring(plan_svg(dataclasses.replace(plan, results=results), "main", show=("devices",)))
    walls = [float(n.attrib["x1"]) for n in root.iter(f"{SVG}line") if n.attrib["stroke-width"] == "6.5"]
    groups = [g for g in root.iter() if g.attrib.get("data-device", "").startswith("living")]
    places = {(g.find(f"{SVG}text").attrib["x"], g.find(f"{SVG}text").attrib["y"]) for g in groups}
    assert len(groups) == len(places) == 6, "two symbols lie on one another"
    assert all(float(x) < max(walls) for x, _ in places), "a symbol was moved through the outside wall"


@pytest.mark.parametrize("folder", sorted((data_folder() / "houses").iterdir()), ids=lambda p: p.name)
def test_the_report_of_an_example_house(folder):
    plan = design(read_house(folder))
    html = report_html(plan)
    walk = Walk(html)
    assert sorted(walk.sealing_tags) == sorted(i.tag for i in plan.sealing.items)
    for finding in plan.findings:
        assert " ".join(finding.rule.split()) in walk.told("findings")
    for citation, _ in sources(plan):
        assert " ".join(citation.source.split()) in walk.told("sources")
    for level in {r.level for r in plan.house.rooms}:
        svg = plan_svg(plan, level)
        assert count(svg, "device") == sum(d.level == level for d in plan.devices.devices)
        assert count(svg, "hole") == sum(h.level == level for h in plan.penetrations.holes)
        tags_apart(plan, level)
    for svg in images(html):
        texts, wide, high = boxes(svg)
        for text, left, top, right, bottom in texts:
            assert left >= 0 and right <= wide and top >= 0 and bottom <= high, f"{text!r} leaves a picture"
