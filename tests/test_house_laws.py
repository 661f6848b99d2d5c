"""Laws of the house: nothing is lost between a folder and a House; a wall is the same from either side."""

from __future__ import annotations

import csv
import dataclasses
import io
import itertools
import math
import random
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon
from shapely.ops import unary_union

from hpelec.core.errors import UnitError
from hpelec.core.units import METRIC, UNITS, convert, example, feet_inches, read_quantity, show_quantity
from hpelec.house.check import check
from hpelec.house.columns import Column, columns_of
from hpelec.house.geometry import (
    WallPart,
    edge_of,
    edges,
    openings_of,
    outline,
    part_at,
    room_area_ft2,
    wall_parts,
)
from hpelec.house.model import SECTIONS, TABLES, House
from hpelec.house.parse import cell_text, parse_cell
from hpelec.house.read import read_house
from hpelec.house.rows import SIDES, Opening, Room
from hpelec.house.rows_loads import DUTY_KINDS
from hpelec.house.sections import SURFACES, Assembly, Layer, Level, Space
from hpelec.house.sections_power import BUILD_STAGES
from hpelec.house.write import write_house, write_starter
from tests.houses import starter

SLOW = settings(
    max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
MANY = settings(max_examples=50, deadline=None)
FAR = 1e9
NEAR_FT = 1e-9


# --- random houses from the column descriptions ----------------------------------------------------------------------

TEXT = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\r"), max_size=30).map(str.strip)
ID = st.from_regex(r"[A-Za-z0-9][A-Za-z0-9_-]{0,6}", fullmatch=True)


def value_of(column: Column, ids: dict[str, list[str]]) -> st.SearchStrategy[Any]:
    """Any value that the description of a column allows."""
    low, high = max(column.low, column.above, -FAR), min(column.high, FAR)
    numbers = st.floats(low, high, exclude_min=column.above >= low)
    made: dict[str, st.SearchStrategy[Any]] = {
        "text": TEXT if not column.required else TEXT.filter(bool),
        "flag": st.booleans(),
        "number": numbers,
        "numbers": st.lists(numbers, min_size=1, max_size=4).map(tuple),
        "whole": st.integers(int(low), int(high)),
        "day": st.dates().map(str),
    }
    if column.kind == "choice":
        return st.sampled_from(column.allowed)
    if column.kind == "ref":
        known = ids[column.refers] + ([] if column.required else [""])
        return st.sampled_from(known) if known else st.nothing()
    strategy = made[column.kind]
    return st.one_of(st.none(), strategy) if column.default is None and not column.required else strategy


def record_of(record: type, ids: dict[str, list[str]], **fixed: Any) -> st.SearchStrategy[Any]:
    """A record whose columns hold anything allowed, but for those given."""
    parts = {
        c.name: st.just(fixed[c.name]) if c.name in fixed else value_of(c, ids)
        for c in columns_of(record)
        if c.kind != "points" or c.name in fixed
    }
    return st.builds(record, **parts)


@st.composite
def rooms_apart(draw: st.DrawFn, names: list[str], levels: list[str]) -> tuple[Room, ...]:
    """Rooms far from each other, as rectangles or as outlines in either direction."""
    made = []
    for i, name in enumerate(names):
        x, y = 600.0 * i, draw(st.floats(-5000, 5000))
        wide, deep = draw(st.floats(8, 500)), draw(st.floats(8, 500))
        shape: dict[str, Any] = {"x_ft": x, "y_ft": y, "width_ft": wide, "depth_ft": deep, "outline_ft": ()}
        if draw(st.booleans()):
            corners = [(x, y), (x + wide, y), (x + wide, y + deep), (x + wide / 2, y + deep), (x, y + deep / 2)]
            corners = corners[::-1] if draw(st.booleans()) else corners
            shape = dict.fromkeys(shape) | {"outline_ft": tuple(corners)}
        made.append(draw(record_of(Room, {"levels": levels}, id=name, **shape)))
    return tuple(made)


@st.composite
def on_a_wall(draw: st.DrawFn, room: Room, width_ft: float | None = None) -> dict[str, Any]:
    """A place on one wall of a room that holds it."""
    edge = draw(st.sampled_from(edges(room)))
    width = draw(st.floats(0.1, edge.length_ft)) if width_ft is None else width_ft
    width = min(width, edge.length_ft)
    return {
        "room": room.id,
        "side": edge.side,
        "width_ft": min(width, 100.0),
        "offset_ft": draw(st.floats(0, edge.length_ft - width)),
    }


@st.composite
def houses(draw: st.DrawFn) -> House:
    """A house in which every table has rows and every column any value that its description allows."""
    names = {
        key: draw(st.lists(ID, min_size=1, max_size=3, unique=True)) for key in ("levels", "spaces", "rooms", *TABLES)
    }
    names["uses"] = names["appliances"]
    ids = {file: names[attribute] for attribute, (file, _) in TABLES.items()} | {"levels": names["levels"]}
    ids["buildings"] = []
    below, above = ([*names["spaces"], "level", word] for word in ("ground", "roof"))
    plain = {"place": {"weather_file": ""}}  # a weather file named is read, so it must be there
    parts: dict[str, Any] = {a: draw(record_of(record, ids, **plain.get(a, {}))) for a, (_, record) in SECTIONS.items()}
    parts["measured"] = dataclasses.replace(parts["measured"], peak_A=None)
    site = parts["service_site"]
    shares = sorted(draw(st.lists(st.floats(0, 1), min_size=len(site.bends_deg), max_size=len(site.bends_deg))))
    at_ft = tuple(s * site.lateral_length_ft for s in shares) if draw(st.booleans()) else ()
    parts["service_site"] = dataclasses.replace(site, bends_at_ft=at_ft)
    parts["levels"] = tuple(
        draw(record_of(Level, ids, id=n, below=draw(st.sampled_from(below)), above=draw(st.sampled_from(above))))
        for n in names["levels"]
    )
    parts["spaces"] = tuple(draw(record_of(Space, ids, id=n)) for n in names["spaces"])
    parts["assemblies"] = tuple(
        Assembly(
            id=f"a{i}",
            surface=surface,
            layers=tuple(draw(record_of(Layer, ids, air_barrier=n == 1)) for n in range(draw(st.integers(2, 4)))),
        )
        for i, surface in enumerate(SURFACES)
    )
    rooms = draw(rooms_apart(names["rooms"], names["levels"]))
    parts["rooms"] = rooms
    for attribute, (_, record) in TABLES.items():
        # walls.csv stays empty: a row needs an envelope wall, which these rooms may not have (test_wall_assemblies).
        if attribute not in ("rooms", "wall_builds"):
            parts[attribute] = tuple(
                draw(
                    record_of(
                        record, ids, **(draw(placed(attribute, rooms, i)) | draw(agreeing(attribute)) | {"id": name})
                    )
                )
                for i, name in enumerate(names[attribute])
            )
    return House(**parts)


@st.composite
def placed(draw: st.DrawFn, attribute: str, rooms: tuple[Room, ...], number: int) -> dict[str, Any]:
    """The columns of a row that must agree with a room; openings take a room's wall each, so that none collide."""
    room = draw(st.sampled_from(rooms))
    if attribute == "openings":
        edge = edges(rooms[0])[number]
        return {"room": rooms[0].id, "side": edge.side, "offset_ft": 0.25, "width_ft": min(edge.length_ft - 1, 99.0)}
    if attribute in ("placed_devices", "panels"):
        spot = draw(on_a_wall(room, 0.0))
        del spot["width_ft"]
        return spot | ({"fed_from": "service"} if attribute == "panels" else {})
    if attribute in ("fixed", "furniture"):
        return draw(on_a_wall(room))
    if attribute in ("lights", "fans", "sprinklers"):
        (x0, y0), (x1, y1) = (map(f, zip(*outline(room), strict=True)) for f in (min, max))
        return {"room": room.id, "x_offset_ft": (x1 - x0) * 0.5, "y_offset_ft": (y1 - y0) * 0.5}
    return {"room": room.id} if attribute == "heaters" else {}


@st.composite
def agreeing(draw: st.DrawFn, attribute: str) -> dict[str, Any]:
    """The columns of a row that must agree with each other."""
    if attribute == "appliances":
        duty = st.fixed_dictionaries({"kind": st.sampled_from(DUTY_KINDS), "duty_percent": st.floats(0.5, 100)})
        return draw(st.one_of(st.just({"duty_percent": None}), duty)) | {"set_A": None}
    if attribute == "uses":
        return {"of": "appliance", "starts_per_day": draw(st.floats(0, 4)), "run_min": draw(st.floats(0.5, 300))}
    if attribute == "placed_devices":
        wish = st.just({"kind": "receptacle", "circuit": "", "firm": False})
        return draw(st.one_of(st.just({"firm": True}), wish))
    if attribute == "panels":
        spaces = draw(st.integers(2, 84))
        return {"spaces": spaces, "tandem_spaces": draw(st.integers(0, spaces))}
    if attribute == "site_loads":
        stages = draw(st.lists(st.sampled_from(BUILD_STAGES), min_size=2, max_size=2))
        return dict(zip(("from_stage", "to_stage"), sorted(stages, key=BUILD_STAGES.index), strict=True))
    return {}


@SLOW
@given(houses())
def test_a_house_written_and_read_is_the_same(house: House) -> None:
    assert check(house) == [], "the strategy must make good houses"
    with TemporaryDirectory() as folder:
        write_house(house, folder)
        back = read_house(folder)
    for field in dataclasses.fields(House):
        if field.name != "assumptions":
            assert getattr(back, field.name) == getattr(house, field.name), f"{field.name} changed on the way"


@SLOW
@given(houses(), st.randoms(use_true_random=False))
def test_order_of_rows_changes_only_the_order(house: House, chance: random.Random) -> None:
    with TemporaryDirectory() as folder:
        write_house(house, folder)
        first = read_house(folder)
        for file, _ in TABLES.values():
            path = Path(folder) / f"{file}.csv"
            if not path.exists():
                assert file == "walls", "only walls.csv has no rows here"
                continue
            header, *rows = csv.reader(io.StringIO(path.read_bytes().decode(), newline=""))
            chance.shuffle(rows)
            order = list(range(1, len(header)))
            chance.shuffle(order)
            order = [0, *order]  # the id stays first: a line that begins with # would be a remark
            with path.open("w", encoding="utf-8", newline="") as out:
                csv.writer(out).writerows([[cells[i] for i in order] for cells in (header, *rows)])
        then = read_house(folder)
    for attribute in TABLES:
        one, other = (sorted(getattr(h, attribute), key=lambda r: r.id) for h in (first, then))
        assert one == other, f"{attribute} changed by shuffling rows and columns"


def test_the_starter_reads_and_is_written_back() -> None:
    with TemporaryDirectory() as folder:
        write_house(starter(), folder)
        again = read_house(folder)
    assert again.changed(assumptions=()) == starter().changed(assumptions=())


def test_the_starter_refuses_a_folder_that_holds_files(tmp_path: Path) -> None:
    (tmp_path / "precious.csv").write_text("mine")
    with pytest.raises(FileExistsError, match="not empty"):
        write_starter(tmp_path)
    assert [p.name for p in tmp_path.iterdir()] == ["precious.csv"]


@pytest.mark.parametrize("record", [r for _, r in [*SECTIONS.values(), *TABLES.values()]], ids=lambda r: r.__name__)
def test_every_default_is_a_value_that_may_be_typed(record: type) -> None:
    for column in columns_of(record):
        if column.required or column.default in (None, "", ()):
            continue
        assert parse_cell(column, cell_text(column.default)) == column.default, f"{record.__name__}.{column.name}"


@MANY
@given(st.data())
def test_a_cell_is_read_as_it_was_written(data: st.DataObject) -> None:
    columns = [c for _, r in TABLES.values() for c in columns_of(r) if c.kind not in ("id", "ref", "points")]
    column = data.draw(st.sampled_from(columns))
    value = data.draw(value_of(column, {}))
    if value not in (None, ""):
        assert parse_cell(column, cell_text(value)) == value


# --- quantities ------------------------------------------------------------------------------------------------------


@MANY
@given(st.sampled_from(sorted(UNITS)), st.floats(-1e12, 1e12))
def test_a_quantity_in_its_own_unit_is_read_exactly(unit: str, value: float) -> None:
    assert read_quantity(repr(value), unit) == value
    if unit not in ("ft", "in"):
        assert read_quantity(f"{value!r} {unit}", unit) == value
        assert read_quantity(f"{value!r}{unit}", unit) == value


@pytest.mark.parametrize("unit", UNITS)
def test_the_example_shown_to_people_can_be_read(unit: str) -> None:
    for said in example(unit).split(" or "):
        assert math.isfinite(read_quantity(said, unit)), said


@MANY
@given(st.integers(-200_000, 200_000))
def test_feet_and_inches_come_back_to_the_sixteenth(sixteenths: int) -> None:
    length = sixteenths / 192
    shown = feet_inches(length)
    assert read_quantity(shown, "ft") == pytest.approx(length, abs=1e-9), shown
    assert feet_inches(read_quantity(shown, "ft")) == shown
    assert read_quantity(shown, "in") == pytest.approx(length * 12, abs=1e-8)


@MANY
@given(st.floats(-10_000, 10_000))
def test_feet_and_inches_are_never_off_by_more_than_half_a_sixteenth(length: float) -> None:
    assert abs(read_quantity(feet_inches(length), "ft") - length) <= 1 / 384 + 1e-9


@MANY
@given(st.integers(0, 60), st.integers(0, 11), st.integers(0, 15))
def test_ways_to_write_feet_and_inches_agree(feet: int, inches: int, part: int) -> None:
    value = feet + inches / 12 + part / 192
    ways = [
        f"{feet}'-{inches} {part}/16\"",
        f"{feet}' {inches} {part}/16\"",
        f"{feet} ft {inches} {part}/16 in",
        f"{feet}ft {inches + part / 16}in",
        f"{feet * 12 + inches} {part}/16 in",
    ]
    for way in ways:
        assert read_quantity(way, "ft") == pytest.approx(value, abs=1e-9), way
    if value:
        assert read_quantity(f"-{ways[0]}", "ft") == pytest.approx(-value, abs=1e-9)


@pytest.mark.parametrize("unit", METRIC)
@given(value=st.floats(0, 900))
@settings(max_examples=20, deadline=None)
def test_metric_shown_is_the_quantity(unit: str, value: float) -> None:
    shown = show_quantity(value, unit, metric=True, digits=9)
    assert read_quantity(shown.replace(",", ""), unit) == pytest.approx(value, abs=1e-6), shown


@MANY
@given(st.floats(-1e6, 1e6))
def test_conversions_go_there_and_back(value: float) -> None:
    for one, other in (
        ("ft", "m"),
        ("in", "mm"),
        ("gal", "L"),
        ("F", "C"),
        ("dF", "K"),
        ("ft2", "m2"),
        ("cfm50", "cfm"),
    ):
        assert convert(convert(value, one, other), other, one) == pytest.approx(value, rel=1e-9, abs=1e-6)


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("1 m", "ft", 1 / 0.3048),
        ("1 gal", "L", 3.785411784),
        ("32 F", "C", 0.0),
        ("100 C", "F", 212.0),
        ("10 C", "dF", 18.0),
        ("10 F", "dF", 10.0),
        ("1 hp", "kW", 0.745699872),
        ("4.5 kW", "VA", 4500.0),
        ("1 kV", "V", 1000.0),
        ("7/8 in", "in", 0.875),
        ("1 1/2 in", "in", 1.5),
        ("1000 L/s", "cfm", 1000 / 0.3048**3 * 60 / 1000),
        ("20 R", "R", 20.0),
        ("5 perm", "perm", 5.0),
        ("5 m²", "ft2", 5 / 0.3048**2),
        ("5 ft^2", "ft2", 5.0),
        ("5 in2", "in2", 5.0),
        ("5 cm3", "in3", 5 / 2.54**3),
        ("5 cm2", "in2", 5 / 2.54**2),
        ("5 cu ft", "ft3", 5.0),
        ("3 %", "percent", 3.0),
    ],
)
def test_known_conversions(text: str, unit: str, value: float) -> None:
    assert read_quantity(text, unit) == pytest.approx(value, rel=1e-7, abs=1e-9)


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "ft",
        "one",
        "1 ft 2 m",
        "1;2",
        "nan",
        "inf",
        "1/0",
        "--1",
        "1''2",
        "5 ft/s",
        "5 m**9",
        "5 (m)",
        "5 m*9**9**9",
        "5 __import__",
    ],
)
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(UnitError):
        read_quantity(text, "ft")


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=40), st.sampled_from(sorted(UNITS)))
def test_any_text_is_a_quantity_or_a_unit_error(text: str, unit: str) -> None:
    try:
        assert math.isfinite(read_quantity(text, unit))
    except UnitError as error:
        assert len(str(error)) < 300


# --- plans -----------------------------------------------------------------------------------------------------------

SIZE = st.integers(16, 320).map(lambda n: n / 16)  # dyadic, so that sums and shifts are exact


@st.composite
def plans(draw: st.DrawFn) -> House:
    """Rooms of a grid with some cells left out; each a rectangle or an outline, in either direction."""
    xs, ys = (
        [sum(cuts[:i]) for i in range(len(cuts) + 1)]
        for cuts in draw(st.tuples(*2 * [st.lists(SIZE, min_size=1, max_size=3)]))
    )
    rooms = []
    for i, (x0, x1) in enumerate(itertools.pairwise(xs)):
        for j, (y0, y1) in enumerate(itertools.pairwise(ys)):
            if draw(st.integers(0, 5)) == 0:
                continue
            more = {"name": "", "kind": "living", "inside_air_barrier": draw(st.booleans())}
            level = draw(st.sampled_from(("main", "main", "main", "upper")))
            if draw(st.booleans()):
                corners = [(x0, y0), ((x0 + x1) / 2, y0), (x1, y0), (x1, y1), (x0, y1)]
                turn = draw(st.integers(0, 4))
                corners = corners[turn:] + corners[:turn]
                corners = corners[::-1] if draw(st.booleans()) else corners
                rooms.append(Room(id=f"r{i}{j}", level=level, outline_ft=tuple(corners), **more))
            else:
                size = {"x_ft": x0, "y_ft": y0, "width_ft": x1 - x0, "depth_ft": y1 - y0}
                rooms.append(Room(id=f"r{i}{j}", level=level, **size, **more))
    empty = dict.fromkeys(
        ("openings", "fixed", "placed_devices", "panels", "lights", "fans", "appliances", "heaters"), ()
    )
    levels = tuple(Level(id=n, ceiling_height_ft=8.0) for n in ("main", "upper"))
    return starter().changed(
        rooms=tuple(draw(st.permutations(rooms))), levels=levels, draw_points=(), field_notes=(), **empty
    )


def ends(part: WallPart) -> tuple[tuple[float, float], ...]:
    """The two ends of a stretch of wall on the plan, in one order for both sides of it."""
    return tuple(
        sorted((round(x, 6), round(y, 6)) for x, y in (part.edge.at(part.start_ft), part.edge.at(part.end_ft)))
    )


@MANY
@given(plans())
def test_plans_of_a_grid_fit(house: House) -> None:
    assert check(house) == []


@MANY
@given(plans())
def test_wall_parts_add_up_to_the_perimeter_without_gap(house: House) -> None:
    for room in house.rooms:
        parts = wall_parts(house, room)
        assert sum(p.length_ft for p in parts) == pytest.approx(Polygon(outline(room)).length, abs=NEAR_FT)
        for edge in edges(room):
            on = [p for p in parts if p.edge == edge]
            stops = [0.0, *(p.end_ft for p in on)]
            assert [p.start_ft for p in on] == stops[:-1], f"gap or overlap in wall {edge.side} of {room.id}"
            assert stops[-1] == edge.length_ft


@MANY
@given(plans())
def test_a_shared_wall_is_the_same_from_both_sides(house: House) -> None:
    seen = {}
    for room in house.rooms:
        for part in wall_parts(house, room):
            if part.behind:
                seen.setdefault((room.id, part.behind), []).append((ends(part), part.surface))
    for (one, other), stretches in seen.items():
        back = seen.get((other, one), [])
        assert spans(stretches) == pytest.approx(spans(back)), f"{one} and {other} see their wall differently"
        assert {s for _, s in stretches} == {s for _, s in back}


def spans(stretches: list[Any]) -> list[float]:
    """Where the stretches begin and end in all, and how long they are together."""
    points = [p for (two, _) in stretches for p in two]
    return [*min(points), *max(points), sum(math.dist(*two) for two, _ in stretches)] if points else []


@MANY
@given(plans())
def test_behind_a_wall_lies_what_is_there(house: House) -> None:
    shapes = {r.id: (r, Polygon(outline(r))) for r in house.rooms}
    for room in house.rooms:
        for part in wall_parts(house, room):
            x, y = part.edge.at((part.start_ft + part.end_ft) / 2)
            inx, iny = part.edge.inward()
            outside = Polygon([(x - inx / 50 + d, y - iny / 50 + e) for d, e in ((0, 0), (1e-3, 0), (0, 1e-3))])
            there = [n for n, (r, s) in shapes.items() if r.level == room.level and s.intersects(outside)]
            assert there == ([part.behind] if part.behind else []), f"{room.id} {part.edge.side}"


@MANY
@given(plans())
def test_areas_are_those_of_the_outlines(house: House) -> None:
    for level in ("main", "upper"):
        rooms = [r for r in house.rooms if r.level == level]
        union = unary_union([Polygon(outline(r)) for r in rooms])
        assert sum(room_area_ft2(r) for r in rooms) == pytest.approx(union.area)


@MANY
@given(plans(), st.data())
def test_an_opening_is_at_the_same_place_from_both_rooms(house: House, data: st.DataObject) -> None:
    if not house.rooms:
        return
    room = data.draw(st.sampled_from(house.rooms))
    edge = data.draw(st.sampled_from(edges(room)))
    width = edge.length_ft * data.draw(st.sampled_from((0.125, 0.5, 1.0)))
    offset = (edge.length_ft - width) * data.draw(st.sampled_from((0.0, 0.25, 1.0)))
    hole = Opening(id="o", room=room.id, side=edge.side, offset_ft=offset, width_ft=width, kind="door")
    house = house.changed(openings=(hole,))
    assert check(house) == []
    (own,) = openings_of(house, room)
    assert own.end_ft - own.start_ft == pytest.approx(width)
    along = sorted((edge.along(offset), edge.along(offset + width)))
    assert [own.start_ft, own.end_ft] == pytest.approx(along)
    shared = {}
    for part in wall_parts(house, room):
        low, high = max(part.start_ft, own.start_ft), min(part.end_ft, own.end_ft)
        if part.edge == edge and part.behind and high - low > 1e-6:
            shared[part.behind] = shared.get(part.behind, 0.0) + high - low
    for other in house.rooms:
        cuts = openings_of(house, other) if other.id != room.id else ()
        assert sum(c.end_ft - c.start_ft for c in cuts) == pytest.approx(shared.get(other.id, 0.0)), other.id
        for cut in cuts:
            for place in (cut.edge.at(cut.start_ft), cut.edge.at(cut.end_ft)):
                distance = math.dist(place, edge.at(own.start_ft)) + math.dist(place, edge.at(own.end_ft))
                assert distance == pytest.approx(width), "the neighbour sees the opening elsewhere"


@MANY
@given(plans(), st.integers(-800, 800), st.integers(-800, 800))
def test_moving_the_whole_plan_changes_nothing_else(house: House, east: int, north: int) -> None:
    dx, dy = east / 8, north / 8
    moved = []
    for room in house.rooms:
        if room.outline_ft:
            moved.append(dataclasses.replace(room, outline_ft=tuple((x + dx, y + dy) for x, y in room.outline_ft)))
        else:
            assert room.x_ft is not None and room.y_ft is not None
            moved.append(dataclasses.replace(room, x_ft=room.x_ft + dx, y_ft=room.y_ft + dy))
    away = house.changed(rooms=tuple(moved))
    for before, after in zip(house.rooms, away.rooms, strict=True):
        assert room_area_ft2(before) == pytest.approx(room_area_ft2(after))
        one, other = wall_parts(house, before), wall_parts(away, after)
        assert [(p.edge.side, p.behind, p.surface) for p in one] == [(p.edge.side, p.behind, p.surface) for p in other]
        assert [p.start_ft for p in one] == pytest.approx([p.start_ft for p in other])
        for p, q in zip(one, other, strict=True):
            assert q.edge.at(0) == pytest.approx((p.edge.x0 + dx, p.edge.y0 + dy))


@MANY
@given(plans())
def test_sides_keep_the_users_own_numbers_and_ends(house: House) -> None:
    for room in house.rooms:
        if room.outline_ft:
            for i, (a, b) in enumerate(zip(room.outline_ft, room.outline_ft[1:] + room.outline_ft[:1], strict=True), 1):
                edge = edge_of(room, str(i))
                assert edge is not None
                assert edge.at(edge.along(0)) == pytest.approx(a), "offsets run from the edge's first corner"
                assert edge.at(edge.along(edge.length_ft)) == pytest.approx(b)
        else:
            assert [e.side for e in edges(room)] == list(SIDES)
            for edge in edges(room):
                start, end = edge.at(edge.along(0)), edge.at(edge.along(edge.length_ft))
                assert start < end, "offsets run from the west or south end"
        assert edge_of(room, "nowhere") is None


@MANY
@given(plans(), st.floats(0, 1))
def test_every_place_along_a_wall_has_its_part(house: House, at: float) -> None:
    for room in house.rooms:
        for edge in edges(room):
            part = part_at(house, room, edge.side, at * edge.length_ft)
            assert part.edge == edge and part.start_ft - 1e-6 <= at * edge.length_ft <= part.end_ft + 1e-6
            with pytest.raises(ValueError, match="no place"):
                part_at(house, room, edge.side, edge.length_ft + 0.01)


def drawn(*rooms: Room) -> House:
    empty = dict.fromkeys(
        ("openings", "fixed", "placed_devices", "panels", "lights", "fans", "appliances", "heaters"), ()
    )
    level = Level(id="main", ceiling_height_ft=8.0)
    return starter().changed(rooms=rooms, levels=(level,), draw_points=(), field_notes=(), **empty)


def slanted(name: str, *corners: tuple[float, float]) -> Room:
    return Room(id=name, level="main", kind="living", outline_ft=corners)


def test_a_wall_that_only_begins_on_anothers_line_is_not_shared() -> None:
    square = slanted("square", (0, 0), (10, 0), (10, 10), (0, 10))
    wedge = slanted("wedge", (10, 0), (20, 5), (20, 8))
    house = drawn(square, wedge)
    assert check(house) == []
    for room in (square, wedge):
        assert {p.behind for p in wall_parts(house, room)} == {""}


def test_a_slanted_wall_is_shared_along_its_whole_length() -> None:
    below, above = slanted("below", (0, 0), (12, 0), (12, 5)), slanted("above", (0, 0), (12, 5), (0, 5))
    house = drawn(below, above)
    assert check(house) == []
    (one,) = (p for p in wall_parts(house, below) if p.behind == "above")
    (other,) = (p for p in wall_parts(house, above) if p.behind == "below")
    assert one.length_ft == other.length_ft == 13 and ends(one) == ends(other)
