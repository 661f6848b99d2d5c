"""Laws of the plan's geometry, pictures of its problems, elevations, and the DXF drawing."""

from __future__ import annotations

import dataclasses
import itertools
import random
import time
import xml.etree.ElementTree as ET
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon
from shapely.ops import unary_union

from hpelec import cli
from hpelec.core.errors import ExtraError, InputErrors
from hpelec.core.tables import data_folder
from hpelec.house.check import check
from hpelec.house.check_walls import told_assemblies, told_gaps, told_voids
from hpelec.house.geometry import edges, openings_of, outline, room_area_ft2, wall_parts
from hpelec.house.model import TABLES, House
from hpelec.house.read import read_house
from hpelec.house.rows import Opening, Room
from hpelec.house.walls import assembly_of, exterior_length_ft, faces_of, wall_faces
from hpelec.house.write import write_house
from hpelec.plan import Plan, design
from hpelec.report import dxf, elevation_drawing, problem_drawing
from hpelec.report.elevation_page import elevations_html
from hpelec.report.html import charts, report_html
from hpelec.screens import figures_geometry, problems_view
from hpelec.screens.editing import TableEditor
from tests.adapters_geometry import drawn
from tests.houses import EXAMPLES, example, planned, starter
from tests.ifc_models import box
from tests.test_house_laws import plans

SOME = settings(max_examples=25, deadline=None)
SVG = "{http://www.w3.org/2000/svg}"


# --- laws of the plan ------------------------------------------------------------------------------------------------

TURNS: dict[str, Callable[[float, float], tuple[float, float]]] = {
    "turned by 90 degrees": lambda x, y: (-y, x),
    "turned by 180 degrees": lambda x, y: (-x, -y),
    "mirrored east-west": lambda x, y: (-x, y),
    "mirrored along the diagonal": lambda x, y: (y, x),
    "moved": lambda x, y: (x + 13.125, y - 4.5),
}


def transformed(house: House, move: Callable[[float, float], tuple[float, float]]) -> House:
    """The same rooms with every corner moved, as outlines."""
    bare: dict[str, Any] = dict.fromkeys(("x_ft", "y_ft", "width_ft", "depth_ft"))
    rooms = [dataclasses.replace(r, **bare, outline_ft=tuple(move(*p) for p in outline(r))) for r in house.rooms]
    return house.changed(rooms=tuple(rooms))


def told(house: House) -> dict[str, Any]:
    """What no turn, mirror or move may change."""
    parts = [(r.id, p.behind, p.surface, round(p.length_ft, 6)) for r in house.rooms for p in wall_parts(house, r)]
    return {
        "areas": {r.id: round(room_area_ft2(r), 6) for r in house.rooms},
        "edges": {r.id: sorted(round(e.length_ft, 6) for e in edges(r)) for r in house.rooms},
        "parts": Counter(parts),
        "exterior": {lv.id: round(exterior_length_ft(house, lv.id), 6) for lv in house.levels},
    }


@pytest.mark.parametrize("turn", TURNS)
@SOME
@given(plans())
def test_no_turn_mirror_or_move_changes_areas_and_walls(turn: str, house: House) -> None:
    assert told(transformed(house, TURNS[turn])) == told(house)


@SOME
@given(plans(), st.randoms(use_true_random=False))
def test_the_order_of_rooms_does_not_matter(house: House, chance: random.Random) -> None:
    rooms = list(house.rooms)
    chance.shuffle(rooms)
    shuffled = house.changed(rooms=tuple(rooms))
    assert told(shuffled) == told(house)
    assert Counter(wall_faces(shuffled)) == Counter(wall_faces(house))


@SOME
@given(plans())
def test_wall_faces_add_up(house: House) -> None:
    for room in house.rooms:
        faces = faces_of(house, room)
        assert sum(f.length_ft for f in faces) == pytest.approx(sum(e.length_ft for e in edges(room)))
        assert sum(f.area_ft2 for f in faces) == pytest.approx(8.0 * sum(e.length_ft for e in edges(room)))
        assert all((f.assembly == "") == (f.surface in ("", "outside")) for f in faces)


@pytest.mark.parametrize("name", EXAMPLES)
def test_openings_take_the_same_area_of_a_wall_from_both_sides(name: str) -> None:
    faces = wall_faces(example(name))
    shared = {(f.room, f.behind): 0.0 for f in faces if f.behind}
    for face in faces:
        if face.behind:
            shared[face.room, face.behind] += face.opening_ft2
    levels = {r.id: r.level for r in example(name).rooms}
    heights = {lv.id: lv.ceiling_height_ft for lv in example(name).levels}
    for (room, other), area in shared.items():
        if heights[levels[room]] == heights[levels[other]]:
            assert area == pytest.approx(shared[other, room]), (room, other)


# --- what is refused, and the picture of its place -------------------------------------------------------------------


def changed(house: House, part: str, row: str, **cells: Any) -> House:
    rows = tuple(dataclasses.replace(r, **cells) if r.id == row else r for r in getattr(house, part))
    assert rows != getattr(house, part)
    return house.changed(**{part: rows})


NO_RECTANGLE = dict.fromkeys(("x_ft", "y_ft", "width_ft", "depth_ft"))
BOW_TIE = ((0.0, 13.0), (12.0, 26.0), (12.0, 13.0), (0.0, 26.0))
TOUCHING = ((0.0, 13.0), (12.0, 13.0), (6.0, 20.0), (12.0, 26.0), (0.0, 26.0), (6.0, 20.0))
WRONG: tuple[tuple[str, str, dict[str, Any], str, str], ...] = (
    ("rooms", "kitchen", {"x_ft": 26.1, "width_ft": 13.9}, "rooms.csv", "a gap of 1.2 in to room kitchen"),
    ("rooms", "kitchen", {"x_ft": 25.9995, "width_ft": 14.0005}, "rooms.csv", "overlaps room"),
    ("rooms", "dining", {"width_ft": 12.0}, "rooms.csv", "overlaps room kitchen by 26.00 ft2"),
    ("rooms", "den", {**NO_RECTANGLE, "outline_ft": BOW_TIE}, "rooms.csv", "crosses itself"),
    ("rooms", "den", {**NO_RECTANGLE, "outline_ft": TOUCHING}, "rooms.csv", "crosses itself"),
    ("openings", "overhead", {"width_ft": 30.0}, "openings.csv", "wider than the wall"),
    ("openings", "front", {"offset_ft": 3.0}, "openings.csv", "overlaps"),
    ("openings", "hall-den", {"offset_ft": 1.5, "width_ft": 3.0}, "openings.csv", "between hall and bath"),
    ("fixed", "counter-south", {"side": "up"}, "fixed.csv", "no such wall"),
)


@pytest.mark.parametrize(("part", "row", "cells", "file", "said"), WRONG, ids=[f"{w[1]}-{w[4]}" for w in WRONG])
def test_what_does_not_fit_is_told_with_a_picture(
    part: str, row: str, cells: dict[str, Any], file: str, said: str
) -> None:
    problems = check(changed(example("wintermoss-hill"), part, row, **cells))
    found = [p for p in problems if said in str(p)]
    assert found, problems
    assert found[0].file == file
    drawing = problem_drawing.problem_drawing(found[0])
    assert drawing is not None and found[0].sketch is not None
    root = ET.fromstring(drawing.svg)
    words = " ".join(t.text or "" for t in root.iter(f"{SVG}text"))
    assert str(found[0]) in root.attrib["aria-label"], "the picture does not tell its problem in words"
    assert any(name in words for name, _ in found[0].sketch.marks)
    wide, high = (float(v) for v in root.attrib["viewBox"].split()[2:])
    for mark in root.iter(f"{SVG}text"):
        half = (
            0.6
            * float(mark.attrib["font-size"])
            * len(mark.text or "")
            / (1 if mark.get("text-anchor") == "start" else 2)
        )
        x, y = float(mark.attrib["x"]), float(mark.attrib["y"])
        assert 0 <= y <= high and x + half <= wide + 0.5, f"{mark.text} is cut"


def test_a_sliver_of_overlap_too_thin_for_the_overlap_rule_is_told() -> None:
    house = drawn({"a": box(0, 0, 10, 2), "b": box(9.9997, 0, 8, 2)})
    assert ["an overlap of 0.0036 in to room b" in str(p) for p in check(house)] == [True]


@pytest.mark.parametrize("wide_in", [0.01, 1.0, 4.49])
def test_gaps_thinner_than_a_wall_are_refused(wide_in: float) -> None:
    problems = check(drawn({"a": box(0, 0, 10, 10), "b": box(10 + wide_in / 12, 3, 8, 10)}))
    assert len(problems) == 1 and problems[0].about == "a" and f"{wide_in:.3g} in" in str(problems[0])


@pytest.mark.parametrize("wide_in", [4.5, 8.0, 13.9])
def test_gaps_as_thick_as_a_wall_are_told_as_an_assumption(wide_in: float) -> None:
    house = drawn({"a": box(0, 0, 10, 10), "b": box(10 + wide_in / 12, 3, 8, 10)})
    assert not check(house)
    assert [f"a and b ({wide_in:.3g} in)" in a.taken for a in told_gaps(house)] == [True]


def test_rooms_that_meet_at_a_corner_or_have_a_thin_closet_between_them_leave_no_gap() -> None:
    corner = drawn({"a": box(0, 0, 10, 10), "b": box(10.1, 10.1, 8, 10)})
    closet = drawn({"a": box(0, 0, 10, 10), "thin": box(10, 0, 0.3, 10), "b": box(10.3, 0, 8, 10)})
    assert not check(corner) and not check(closet) and not told_gaps(closet)


def test_an_enclosed_place_that_no_room_fills_is_told() -> None:
    ring = {"a": box(0, 0, 10, 4), "b": box(0, 4, 4, 6), "c": box(7, 4, 3, 6), "d": box(0, 10, 10, 3)}
    told_of = told_voids(drawn(ring))
    assert len(told_of) == 1 and "main: 18.0 ft2 at 5.5, 7.0" in told_of[0].taken, told_of
    assert not told_voids(drawn({**ring, "chase": box(4, 4, 3, 6)}))
    assert not told_voids(drawn({name: ring[name] for name in ("a", "b", "d")})), "an open court is no void"


@SOME
@given(plans())
def test_enclosed_places_and_rooms_fill_what_the_rooms_surround(house: House) -> None:
    for level in ("main", "upper"):
        shapes = [Polygon(outline(r)) for r in house.rooms if r.level == level]
        whole = unary_union(shapes)
        parts = getattr(whole, "geoms", [whole])
        holes = sum(len(p.interiors) for p in parts if p.geom_type == "Polygon")
        said = "; ".join(a.taken for a in told_voids(house))
        assert said.count(f"{level}: ") == holes


def test_an_assembly_that_is_not_used_is_told() -> None:
    house = starter()
    wall = next(a for a in house.assemblies if a.surface == "wall")
    second = dataclasses.replace(wall, id=f"{wall.id}-second")
    assert not told_assemblies(house)
    told_of = told_assemblies(house.changed(assemblies=(second, *house.assemblies)))
    assert [f"{wall.id} for every wall, not {wall.id}-second" in a.taken for a in told_of] == [True]
    assert assembly_of(house.changed(assemblies=(second, *house.assemblies)), "wall") == wall.id


def test_openings_told_from_both_rooms_say_in_what_they_disagree() -> None:
    rows = [
        Opening(id="one", room="a", side="2", offset_ft=2, width_ft=3, kind="door"),
        Opening(id="two", room="b", side="4", offset_ft=5, width_ft=2.5, kind="window", sill_ft=1),
    ]
    house = drawn({"a": box(0, 0, 10, 10), "b": box(10, 0, 8, 10)}, doors=rows)
    said = " ".join(map(str, check(house)))
    assert (
        "window here, door there" in said and "width_ft 2.5 here, 3 there" in said and "sill_ft 1 here, 0 there" in said
    )


def test_check_writes_pictures_on_request(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "house"
    write_house(changed(example("wintermoss-hill"), "openings", "overhead", width_ft=30.0), folder)
    assert cli.main(["check", str(folder), "--pictures", str(tmp_path / "pics")]) == cli.UNREADABLE
    out = capsys.readouterr()
    assert "openings.csv, row" in out.err and "wider than the wall" in out.err
    assert [p.name for p in sorted((tmp_path / "pics").iterdir())] == ["problem-01-openings-overhead.svg"]
    assert "picture written" in out.out


def test_a_notebook_shows_the_pictures_and_the_texts() -> None:
    errors = InputErrors(check(changed(example("wintermoss-hill"), "openings", "overhead", width_ft=30.0)))
    shown = problems_view(errors).data
    assert "wider than the wall" in shown and shown.count("<img ") == 1
    assert InputErrors.shown_by is not None
    assert errors._render_traceback_() == str(errors).splitlines()
    bad_id = InputErrors(check(changed(starter(), "appliances", starter().appliances[0].id, room="nowhere")))
    assert "<img" not in problems_view(bad_id).data and "no such id" in problems_view(bad_id).data


def test_the_table_editor_shows_the_place_of_a_refused_value() -> None:
    editor = TableEditor(planned("saltreed-bend"), "openings", ("width_ft",), ())
    row = example("saltreed-bend").openings[0].id
    editor.cells[row, "width_ft"].value = "90"
    assert "wider than the wall" in editor.said.value and "<img " in editor.said.value


# --- elevations ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_wall_device_is_drawn_once_at_its_height(name: str) -> None:
    plan = planned(name)
    for room in elevation_drawing.rooms_with_devices(plan):
        svg = elevation_drawing.elevations(plan, room.id).svg
        root = ET.fromstring(svg)
        shown = [g.attrib["data-device"] for g in root.iter(f"{SVG}g") if g.get("class") == "device"]
        assert sorted(shown) == sorted(d.id for d in plan.devices.devices if d.room == room.id and d.side)
        frames = [g for g in root.iter(f"{SVG}g") if g.get("class") == "opening"]
        assert len(frames) == len(openings_of(plan.house, room))
        _nothing_cut(root)


def _nothing_cut(root: ET.Element) -> None:
    wide, high = (float(v) for v in root.attrib["viewBox"].split()[2:])
    for text in root.iter(f"{SVG}text"):
        if text.get("transform"):
            long = 0.6 * float(text.attrib["font-size"]) * len(text.text or "")
            assert float(text.attrib["y"]) + long <= high
            continue
        long = 0.6 * float(text.attrib["font-size"]) * len(text.text or "")
        anchor = text.get("text-anchor")
        left = float(text.attrib["x"]) - {"start": 0.0, "middle": long / 2, "end": long}[anchor or "start"]
        assert left >= -0.5 and left + long <= wide + 0.5, f"{text.text!r} is cut"
        assert 0 <= float(text.attrib["y"]) <= high


def test_a_wall_is_seen_from_inside() -> None:
    """West lies at the left hand of one who looks north, and at the right hand of one who looks south."""
    plan = planned("wintermoss-hill")
    for side, west_left in (("north", True), ("south", False)):
        root = ET.fromstring(elevation_drawing.elevations(plan, "kitchen", [side]).svg)
        spots = [d for d in plan.devices.devices if d.room == "kitchen" and d.side == side]
        at = {
            g.attrib["data-device"]: next(float(v) for e in g.iter() if (v := e.get("cx") or e.get("x1") or e.get("x")))
            for g in root.iter(f"{SVG}g")
            if g.get("class") == "device"
        }
        shown = sorted(spots, key=lambda d: at[d.id])
        assert len({d.x_ft for d in shown}) > 2
        assert [d.x_ft for d in shown] == sorted((d.x_ft for d in shown), reverse=not west_left)


def test_the_legend_of_an_elevation_explains_only_what_is_drawn() -> None:
    plan = planned("wintermoss-hill")
    walls: dict[tuple[str, str], set[str]] = {}
    for d in plan.devices.devices:
        if d.side and not d.surface:
            walls.setdefault((d.room, d.side), set()).add(d.kind)
    room, side = next(wall for wall, kinds in sorted(walls.items()) if kinds == {"receptacle"})
    texts = [t.text for t in ET.fromstring(elevation_drawing.elevations(plan, room, [side]).svg).iter(f"{SVG}text")]
    assert "receptacle" in texts
    assert "switch" not in texts and "receptacle at a counter" not in texts
    assert elevation_drawing.ENVELOPE not in texts


def test_what_is_no_wall_is_refused() -> None:
    plan = planned("saltreed-bend")
    with pytest.raises(ValueError, match="no room 'nowhere'"):
        elevation_drawing.elevations(plan, "nowhere")
    with pytest.raises(ValueError, match="no wall 'up'"):
        elevation_drawing.elevations(plan, "kitchen", ["up"])
    with pytest.raises(ValueError, match="no wall"):
        figures_geometry.wall_figure(plan, "kitchen", "up")
    with pytest.raises(ValueError, match="no level"):
        figures_geometry.plan_figure(plan, "cellar")


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(0, 300), max_size=12).map(sorted), st.floats(1, 30))
def test_dimension_labels_keep_apart_and_in_order(places: list[float], least: float) -> None:
    moved = elevation_drawing._apart(places, least)
    assert len(moved) == len(places)
    assert all(b - a >= least - 1e-6 for a, b in itertools.pairwise(moved))
    assert sum(moved) == pytest.approx(sum(places), abs=1e-4), "labels drift from what they tell"


def test_a_plan_of_rooms_alone_can_be_drawn() -> None:
    bare = Plan(example("saltreed-bend"), 2023, {})
    ET.fromstring(elevation_drawing.elevations(bare, "living").svg)
    assert dxf.dxf_text(bare)
    assert len(figures_geometry.plan_figure(bare).data) > 3


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_report_shows_the_walls_with_counters_and_stays_small(name: str) -> None:
    plan = planned(name)
    walls = {k: v for k, v in charts(plan).items() if k.startswith("walls ")}
    assert list(walls) == [f"walls {r.id}" for r in elevation_drawing.rooms_with_counters(plan)] != []
    assert sum(len(d.img) for d in walls.values()) < 300_000
    html = report_html(plan)
    assert all(html.count(d.img) == 1 for d in walls.values())


def test_the_page_of_all_walls_names_each_room_and_each_face(tmp_path: Path) -> None:
    plan = planned("saltreed-bend")
    html = elevations_html(plan)
    assert html.count("<img ") == len(elevation_drawing.rooms_with_devices(plan))
    assert html.count("<tr>") == len(wall_faces(plan.house)) + 1
    assert "Planning help" in html and "http" not in html
    folder = str(data_folder() / "houses" / "saltreed-bend")
    assert cli.main(["elevations", folder, "-o", str(tmp_path / "walls.html")]) == cli.ALL_MET
    assert (tmp_path / "walls.html").read_text("utf-8") == html


@pytest.mark.parametrize("name", EXAMPLES)
def test_hover_texts_tell_rule_and_circuit_of_every_device(name: str) -> None:
    plan = planned(name)
    circuit_of = {d: c.id for c in plan.circuits.circuits for d in c.outlets}
    for level in {d.level for d in plan.devices.devices}:
        figure = figures_geometry.plan_figure(plan, level)
        texts = [t for trace in figure.data for t in (trace.hovertext or ()) if t.startswith("<b>")]
        devices = [d for d in plan.devices.devices if d.level == level]
        assert len(texts) == len(devices)
        for device in devices:
            text = next(t for t in texts if t.startswith(f"<b>{device.id}</b>"))
            assert str(device.citation) in text
            assert device.id not in circuit_of or f"circuit {circuit_of[device.id]}" in text
        assert figure.layout.yaxis.scaleanchor == "x"


# --- the DXF drawing -------------------------------------------------------------------------------------------------


def read_back(plan: Plan, path: Path) -> Any:
    document = ezdxf.readfile(dxf.write_dxf(plan, path))
    audit = document.audit()
    assert not audit.errors and not audit.fixes
    return document


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_dxf_holds_every_device_at_its_place(name: str, tmp_path: Path) -> None:
    plan = planned(name)
    document = read_back(plan, tmp_path / "a.dxf")
    metric = plan.house.general.show_metric
    unit = 0.3048 if metric else 1.0
    assert document.units == (6 if metric else 2) and document.header["$MEASUREMENT"] == int(metric)
    found = {}
    for block in document.modelspace().query("INSERT"):
        tags = {a.dxf.tag: a.dxf.text for a in block.attribs}
        assert tags["ID"] not in found
        found[tags["ID"]] = (block.dxf.name, block.dxf.layer, block.dxf.insert, tags)
    circuit_of = {d: c.id for c in plan.circuits.circuits for d in c.outlets}
    expected = [*(d.id for d in plan.devices.devices), *(h.id for h in plan.penetrations.holes)]
    assert sorted(found) == sorted([*expected, *(p.id for p in plan.house.panels)])
    for device in plan.devices.devices:
        name, layer, at, tags = found[device.id]
        assert (at.x, at.y) == pytest.approx((device.x_ft * unit, device.y_ft * unit))
        assert layer == f"{device.level} {dxf.DEVICE_LAYER.get(device.kind, 'receptacles')}"
        assert name == dxf.BLOCK_OF[device.kind]
        assert tags["CIRCUIT"] == circuit_of.get(device.id, "")
        assert tags["HEIGHT"] == (f"{device.height_in * 25.4:.0f} mm" if metric else f"{device.height_in:g} in")
    words = " ".join(t.dxf.text for t in document.modelspace().query('TEXT[layer=="notes"]'))
    assert "Planning help" in words and ("metres" if metric else "feet") in words
    tag_of = {i.hole: i.tag for i in plan.sealing.items}
    for hole in plan.penetrations.holes:
        assert found[hole.id][3]["TAG"] == tag_of.get(hole.id, "")


@SOME
@given(plans())
def test_walls_in_the_dxf_add_up_to_those_of_the_house(house: House) -> None:
    document = dxf.dxf_document(Plan(house, 2023, {}))
    drawn_ft = Counter[str]()
    for wall in document.modelspace().query("LWPOLYLINE"):
        layer = wall.dxf.layer.split(" ", 1)[1]
        points = [p[:2] for p in wall.get_points()]
        drawn_ft[layer] += sum(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5 for a, b in itertools.pairwise(points))
    unit = 0.3048 if house.general.show_metric else 1.0
    expected = Counter[str]()
    for room in house.rooms:
        for part in wall_parts(house, room):
            expected[dxf.WALL_LAYER[part.surface]] += part.length_ft * (0.5 if part.behind else 1.0) * unit
    assert dict(drawn_ft) == pytest.approx(dict(expected))


def test_only_the_lowest_level_is_switched_on_and_layers_have_plain_names() -> None:
    plan = planned("wintermoss-hill")
    document = dxf.dxf_document(plan)
    on = {layer.dxf.name.split(" ")[0] for layer in document.layers if " " in layer.dxf.name and layer.is_on()}
    assert on == {"main"}
    assert {f"{lv} {name}" for lv in ("main", "upper") for name in dxf.LAYERS} <= {x.dxf.name for x in document.layers}


def test_the_same_plan_gives_the_same_dxf_and_the_command_writes_it(tmp_path: Path) -> None:
    plan = planned("saltreed-bend")
    text = dxf.dxf_text(plan)
    assert text == dxf.dxf_text(design(read_house(data_folder() / "houses" / "saltreed-bend")))
    folder = str(data_folder() / "houses" / "saltreed-bend")
    assert cli.main(["dxf", folder, "-o", str(tmp_path / "sub" / "x.dxf")]) == cli.ALL_MET
    assert (tmp_path / "sub" / "x.dxf").read_text("utf-8") == text


def test_a_missing_package_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "ezdxf", None)
    with pytest.raises(ExtraError, match=r"hpelec\[drawings\]"):
        dxf.dxf_text(planned("saltreed-bend"))


# --- a large house ---------------------------------------------------------------------------------------------------


@pytest.mark.slow
def test_a_house_of_200_rooms_is_read_and_checked_within_a_second(tmp_path: Path) -> None:
    rooms, doors = [], []
    for i, j in itertools.product(range(20), range(10)):
        name = f"r{i}-{j}"
        size = {"x_ft": 12.0 * i, "y_ft": 10.0 * j, "width_ft": 12.0, "depth_ft": 10.0}
        rooms.append(Room(id=name, level="main", kind="living", **size))
        doors.append(Opening(id=f"d{i}-{j}", room=name, side="east", offset_ft=2, width_ft=3, kind="door"))
        doors.append(
            Opening(id=f"w{i}-{j}", room=name, side="north", offset_ft=4, width_ft=3, kind="window", sill_ft=3)
        )
    base = drawn({"r0-0": box(0, 0, 12, 10)})
    write_house(base.changed(rooms=tuple(rooms), openings=tuple(doors)), tmp_path)
    read_house(tmp_path)
    times = []
    for _ in range(3):
        start = time.perf_counter()
        house = read_house(tmp_path)
        times.append(time.perf_counter() - start)
    assert len(house.rooms) == 200 and len(house.openings) == 400
    assert min(times) < 1.0, f"reading and checking took {min(times):.2f} s"
    assert {a for a in TABLES if getattr(house, a)} >= {"rooms", "openings"}
