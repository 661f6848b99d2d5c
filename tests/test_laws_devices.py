"""Laws of the step devices: the covering against brute force, and what must hold for any house."""

from __future__ import annotations

import itertools
import math
import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.core.errors import EditionError, RangeError
from hpelec.house.check import check
from hpelec.house.geometry import SIDES
from hpelec.house.model import House
from hpelec.house.rows import FixedItem, Opening, PlacedDevice, Room
from hpelec.steps.devices import rules, rules_boxes, rules_protection
from hpelec.steps.devices.design import design
from hpelec.steps.devices.draft import Draft
from hpelec.steps.devices.model import DevicesResult
from hpelec.steps.devices.placing import Line, arrange, fewest
from hpelec.steps.devices.spans import Spans, merged, within
from hpelec.steps.devices.wall_runs import HABITABLE
from hpelec.steps.devices.walls import runs_of, to_serve
from tests.houses import EXAMPLES, example, starter

# ------------------------------------------------------------------ the covering against exhaustive search


def grid(spans: Spans) -> list[float]:
    """Every whole-foot place in the stretches: with whole-foot ends some optimum stands on these."""
    return [float(x) for low, high in spans for x in range(math.ceil(low), math.floor(high) + 1)]


def reached(line: Line, places: tuple[float, ...]) -> bool:
    """Whether every half foot of what needs serving is within reach of a place."""
    for low, high in line.needs:
        for i in range(int((high - low) * 2) + 1):
            x = low + i / 2
            away = [abs(x - p) for p in places]
            if line.closed:
                away = [min(d, line.length_ft - d) for d in away]
            if min(away, default=math.inf) > line.reach_ft + 1e-9:
                return False
    return True


def brute(line: Line, inner: Spans, outer: Spans) -> tuple[int, int] | None:
    """Fewest further places and, with that many, the fewest of them in the envelope, by trying all sets."""
    free = sorted({*grid(inner), *grid(outer)})
    inside = set(grid(inner))
    for count in range(len(free) + 1):
        costs = [
            sum(p not in inside for p in chosen)
            for chosen in itertools.combinations(free, count)
            if reached(line, (*chosen, *line.pins))
        ]
        if costs:
            return count, min(costs)
    return None


@st.composite
def lines(draw: st.DrawFn, *, closed: bool, pins: bool) -> tuple[Line, Spans, Spans]:
    length = draw(st.integers(3, 13)) * 2
    kinds = draw(st.lists(st.sampled_from("iioox"), min_size=length // 2, max_size=length // 2))
    cells = [(float(2 * i), float(2 * i + 2), kind) for i, kind in enumerate(kinds)]
    inner = merged((a, b) for a, b, kind in cells if kind == "i")
    outer = merged((a, b) for a, b, kind in cells if kind in "io")
    at = draw(st.lists(st.integers(0, length - 1), max_size=2, unique=True)) if pins else []
    return Line(float(length), ((0.0, float(length)),), tuple(float(p) for p in sorted(at)), 6.0, closed), inner, outer


def agrees(case: tuple[Line, Spans, Spans]) -> None:
    line, inner, outer = case
    expected = brute(line, inner, outer)
    found = arrange(line, ((0, inner), (1, outer)))
    greedy = fewest(line, outer)
    told = f"line {line}, inner {inner}, outer {outer}"
    if expected is None:
        assert found is None, f"{told}: brute force finds nothing, the step finds {found}"
        assert greedy is None, f"{told}: brute force finds nothing, the greedy finds {greedy}"
        return
    assert greedy is not None, f"{told}: brute force needs {expected}, the greedy finds nothing"
    assert found is not None, f"{told}: brute force needs {expected}, the step finds nothing"
    got = (len(found), sum(cost for _, cost in found))
    assert got == expected, f"{told}: (number, in envelope) {got}, brute force {expected}"
    assert len(greedy) == expected[0], f"{told}: greedy {greedy}, brute force {expected}"
    places = tuple(p for p, _ in found)
    assert reached(line, (*places, *line.pins)), f"{told}: {places} do not reach every point"
    same = {
        p: (p, line.length_ft) if line.closed and p < 1e-6 else (p,) for p in places
    }  # a ring's corner is 0 and all
    bad = [p for p in places if not any(within(outer, q, q) for q in same[p])]
    assert not bad, f"{told}: boxes at {bad} stand where none may"


@settings(max_examples=120, deadline=None)
@given(lines(closed=False, pins=False))
def test_open_runs_agree_with_brute_force(case: tuple[Line, Spans, Spans]) -> None:
    agrees(case)


@settings(max_examples=80, deadline=None)
@given(lines(closed=False, pins=True))
def test_runs_with_pins_agree_with_brute_force(case: tuple[Line, Spans, Spans]) -> None:
    agrees(case)


@settings(max_examples=80, deadline=None)
@given(lines(closed=True, pins=False))
def test_rings_agree_with_brute_force(case: tuple[Line, Spans, Spans]) -> None:
    agrees(case)


@settings(max_examples=40, deadline=None)
@given(lines(closed=True, pins=True))
def test_rings_with_pins_agree_with_brute_force(case: tuple[Line, Spans, Spans]) -> None:
    agrees(case)


@settings(max_examples=60, deadline=None)
@given(st.integers(4, 14), st.integers(0, 10), st.integers(1, 10), st.lists(st.sampled_from("iox"), min_size=14))
def test_counters_leave_gaps_that_brute_force_agrees_with(half: int, start: int, size: int, kinds: list[str]) -> None:
    length = 2 * half
    gap = (float(min(start, length)), float(min(start + size, length)))
    needs = tuple(s for s in ((0.0, gap[0]), (gap[1], float(length))) if s[1] > s[0])
    blocked = [k for i, k in enumerate(kinds[:half])]
    outer = merged((2.0 * i, 2.0 * i + 2) for i, k in enumerate(blocked) if k in "io")
    inner = merged((2.0 * i, 2.0 * i + 2) for i, k in enumerate(blocked) if k == "i")
    agrees((Line(float(length), needs), inner, outer))


@settings(max_examples=100, deadline=None)
@given(st.floats(0.5, 200))
def test_free_runs_need_what_the_rule_says_and_stand_evenly(length_ft: float) -> None:
    found = arrange(Line(length_ft, ((0.0, length_ft),)), ((0, ((0.0, length_ft),)),))
    assert found is not None
    expected = rules.receptacles_on_run(length_ft, shortest_ft=0.0)
    assert len(found) == expected, f"{length_ft} ft: {len(found)} placed, the rule asks for {expected}"
    even = rules.even_places_ft(length_ft, expected)
    off = max(abs(p - e) for (p, _), e in zip(found, even, strict=True))
    assert off < 1e-6, f"{length_ft} ft: places {found} are not the even ones {even}"


# ------------------------------------------------------------------ random houses


def random_house(seed: int) -> House:
    """A row of rooms on a grid, two deep, some without doors, with windows, glass, counters and a garage."""
    rng = random.Random(seed)
    columns = rng.randint(1, 3)
    widths = [rng.choice((8.0, 10.5, 13.0, 17.0, 26.0)) for _ in range(columns)]
    depths = [rng.choice((9.0, 12.0, 14.25, 30.0)) for _ in range(2)]
    kinds = [*HABITABLE, "bathroom", "hallway", "foyer", "garage", "laundry", "closet"]
    rooms, openings, fixed = [], [], []
    for i, j in itertools.product(range(columns), range(2)):
        kind = rng.choice(kinds)
        name = f"r{i}{j}"
        size = (widths[i], depths[j])
        x, y = sum(widths[:i]), sum(depths[:j])
        rooms.append(Room(id=name, level="main", kind=kind, x_ft=x, y_ft=y, width_ft=size[0], depth_ft=size[1],
                          inside_air_barrier=kind != "garage"))  # fmt: skip
        for side in SIDES:
            long = size[0] if side in ("south", "north") else size[1]
            edge = {"south": j == 0, "north": j == 1, "west": i == 0, "east": i == columns - 1}[side]
            if side in ("west", "north") and not edge:
                continue
            if rng.random() < 0.6:
                outside = ("door", "window", "fixed_glass", "sliding_glass", "window")
                what = rng.choice(outside if edge else ("door", "cased_opening"))
                sill = rng.choice((0.0, 2.5)) if what == "window" else 0.0
                width = rng.choice((2.5, 3.0, 5.0))
                openings.append(Opening(id=f"{name}{side}", room=name, side=side, width_ft=width, kind=what,
                                        offset_ft=round(rng.uniform(0, long - width), 2), sill_ft=sill,
                                        height_ft=4.0))  # fmt: skip
        if kind == "kitchen":
            fixed.append(FixedItem(id=f"{name}c", room=name, kind="counter", side="south", depth_ft=2.0,
                                   offset_ft=rng.choice((0.0, 2.0)), width_ft=rng.choice((3.0, 6.0))))  # fmt: skip
        if kind == "bathroom":
            fixed.append(FixedItem(id=f"{name}b", room=name, kind="basin", side="east", offset_ft=1.0, width_ft=2.0,
                                   depth_ft=1.75))  # fmt: skip
    base = starter()
    panel = replace(base.panels[0], room="r00", side="south", offset_ft=1.0)
    return base.changed(rooms=tuple(rooms), openings=tuple(openings), fixed=tuple(fixed), appliances=(), heaters=(),
                         draw_points=(), panels=(panel,), lights=(), fans=(), placed_devices=())  # fmt: skip


def random_houses(count: int) -> list[House]:
    made = [random_house(seed) for seed in range(3 * count)]
    return [h for h in made if not check(h)][:count]


HOUSES = [starter(), *(example(name) for name in EXAMPLES), *random_houses(30)]
NAMES = ["starter", *EXAMPLES, *(f"random{i}" for i in range(len(HOUSES) - 1 - len(EXAMPLES)))]
each_house = pytest.mark.parametrize("house", HOUSES, ids=NAMES)


def farthest(house: House, result: DevicesResult, edition: int) -> list[str]:
    """Places on wall runs that no receptacle of the same run reaches within 6 ft, measured on the plan's arc."""
    draft = Draft(house, edition)
    wrong = []
    for room in draft.rooms:
        if room.kind not in HABITABLE:
            continue
        line = draft.lines[room.id]
        spots = [d for d in result.devices if d.room == room.id and d.kind in ("receptacle", "floor_receptacle")]
        arcs = []
        for d in spots:
            near = min(
                range(int(line.length_ft * 24)), key=lambda k: math.dist(line.corner_at(k / 24), (d.x_ft, d.y_ft))
            )
            arcs.append(near / 24)
        for run in runs_of(line, edition):
            if run.length_ft < 2 and not run.closed:
                continue
            here = [p for a in arcs if (p := run.local_place(a, line.length_ft)) is not None]
            for low, high in to_serve(line, run):
                for i in range(int((high - low) * 4) + 1):
                    x = low + i / 4
                    away = [abs(x - p) for p in here]
                    away = [min(d, run.length_ft - d) for d in away] if run.closed else away
                    least = min(away, default=math.inf)
                    if least > 6 + 1 / 12:
                        wrong.append(f"{room.id}: {x:.2f} ft along the run at {run.start_ft:.2f}: {least:.2f} ft")
    return wrong


@each_house
def test_every_point_of_a_wall_run_is_within_six_feet(house: House) -> None:
    for edition in (2017, 2023):
        wrong = farthest(house, design(house, edition), edition)
        assert not wrong, f"edition {edition}: " + "; ".join(wrong[:5])


def counts(result: DevicesResult) -> dict[str, int]:
    """What must not change when a house is turned, mirrored or moved."""
    by_kind: dict[str, int] = {}
    for d in result.devices:
        by_kind[d.kind] = by_kind.get(d.kind, 0) + 1
    by_kind |= {"fewest": result.fewest_wall_receptacles, "placed": result.wall_receptacles}
    wall = [d for d in result.devices if d.kind in ("receptacle", "counter_receptacle") and d.surface]
    return by_kind | {"envelope": len(wall)}


def outlined(house: House, turn: str) -> House:
    """The same house moved, turned by 90 degrees or mirrored, rooms as outlines, what is at walls carried along."""
    numbers = {side: str(i + 1) for i, side in enumerate(SIDES)}
    rooms, sides, backwards = [], {}, {}
    for room in house.rooms:
        x, y, w, d = (float(v or 0.0) for v in (room.x_ft, room.y_ft, room.width_ft, room.depth_ft))
        corners = [(x, y), (x + w, y), (x + w, y + d), (x, y + d)]
        if turn == "moved":
            rooms.append(replace(room, x_ft=x + 31.25, y_ft=y - 17.5))
            continue
        new = [(-b, a) for a, b in corners] if turn == "turned" else [(-a, b) for a, b in corners]
        if turn == "mirrored":
            new = new[::-1]
            sides[room.id] = {"south": "3", "east": "2", "north": "1", "west": "4"}
            backwards[room.id] = {"south": True, "east": True, "north": False, "west": False}
        else:
            sides[room.id] = numbers
            backwards[room.id] = {"south": False, "east": False, "north": True, "west": True}
        rooms.append(replace(room, x_ft=None, y_ft=None, width_ft=None, depth_ft=None, outline_ft=tuple(new)))
    if turn == "moved":
        return house.changed(rooms=tuple(rooms))
    sizes = {
        r.id: {"south": r.width_ft, "north": r.width_ft, "east": r.depth_ft, "west": r.depth_ft} for r in house.rooms
    }

    def carried(row):
        side, width = row.side, getattr(row, "width_ft", 0.0)
        offset = row.offset_ft
        if backwards[row.room][side]:
            offset = float(sizes[row.room][side] or 0.0) - offset - width
        return replace(row, side=sides[row.room][side], offset_ft=offset)

    parts = {p: tuple(carried(r) for r in getattr(house, p)) for p in ("openings", "fixed", "panels", "placed_devices")}
    return house.changed(rooms=tuple(rooms), **parts)


@pytest.mark.parametrize("turn", ["moved", "turned", "mirrored"])
@pytest.mark.parametrize("house", [h for h in HOUSES if not any(r.outline_ft for r in h.rooms) and not h.lights])
def test_turning_or_moving_a_house_changes_no_count(house: House, turn: str) -> None:
    before = counts(design(house, 2020))
    after = counts(design(outlined(house, turn), 2020))
    assert before == after, f"{turn}: {before} became {after}"


@each_house
def test_row_order_does_not_matter(house: House) -> None:
    tables = ("rooms", "openings", "fixed", "appliances", "heaters", "lights", "fans", "panels", "placed_devices")
    turned = house.changed(**{t: getattr(house, t)[::-1] for t in tables})
    assert design(house, 2023) == design(turned, 2023)


@each_house
def test_ids_are_unique_and_boxes_hold_their_fill(house: House) -> None:
    result = design(house, 2023)
    ids = [d.id for d in result.devices]
    assert len(ids) == len(set(ids)), sorted(i for i in ids if ids.count(i) > 1)
    for d in result.devices:
        assert d.box_fill_in3 <= d.box_volume_in3 + 1e-9, f"{d.id}: {d.box_fill_in3} in3 in {d.box} {d.box_volume_in3}"
        assert all(map(math.isfinite, (d.x_ft, d.y_ft, d.height_in))), d
    assert result.in_envelope == sum(bool(d.surface) for d in result.devices)
    assert all(r.placed >= r.fewest for r in result.runs), [r for r in result.runs if r.placed < r.fewest]


@each_house
def test_what_the_tool_placed_stays_fewest_when_pinned(house: House) -> None:
    result = design(house, 2023)
    walls = [
        d for d in result.devices if d.kind == "receptacle" and not d.pinned and d.side and d.offset_ft is not None
    ]
    pins = tuple(
        PlacedDevice(id=f"pin{i}", room=d.room, kind="receptacle", side=d.side, offset_ft=max(d.offset_ft or 0.0, 0.0),
                     height_in=d.height_in)
        for i, d in enumerate(walls)
    )  # fmt: skip
    again = design(house.changed(placed_devices=(*house.placed_devices, *pins)), 2023)
    kept = [d for d in again.devices if d.pinned and d.id.startswith("pin")]
    assert len(kept) == len(pins), "a pinned device is missing"
    for pin, d in zip(walls, sorted(kept, key=lambda d: int(d.id[3:])), strict=True):
        assert math.dist((pin.x_ft, pin.y_ft), (d.x_ft, d.y_ft)) < 1e-6, f"{pin.id} moved"
    assert again.wall_receptacles == result.wall_receptacles, "pinning what stands changes the number"


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 3), st.floats(0, 9), st.integers(0, 60))
def test_a_pin_anywhere_is_respected_and_the_rule_still_met(wall: int, offset_ft: float, height_in: int) -> None:
    whole = starter()
    house = whole.changed(
        rooms=tuple(r for r in whole.rooms if r.id == "bedroom"),
        openings=tuple(o for o in whole.openings if o.room == "bedroom"),
        appliances=(), heaters=(), draw_points=(), panels=(),
    )  # fmt: skip
    pin = PlacedDevice(id="mine", room="bedroom", kind="receptacle", side=SIDES[wall], offset_ft=offset_ft,
                       height_in=float(height_in))  # fmt: skip
    pinned = house.changed(placed_devices=(pin,))
    result = design(pinned, 2023)
    assert [d.id for d in result.devices if d.pinned] == ["mine"]
    assert all(r.placed <= r.fewest + 1 for r in result.runs if r.room == "bedroom"), "one pin added more than one"
    assert not farthest(pinned, result, 2023)


def test_a_pin_too_high_misses_and_is_not_counted() -> None:
    pin = PlacedDevice(id="high", room="bedroom", kind="receptacle", side="east", offset_ft=4.0, height_in=66.1)
    result = design(starter().changed(placed_devices=(pin,)), 2023)
    assert any(f.id == "pinned-receptacle" and f.place == "high" for f in result.findings), (
        "no finding for the high pin"
    )
    assert result.wall_receptacles == design(starter(), 2023).wall_receptacles + 1


@settings(max_examples=40, deadline=None)
@given(st.floats(2.0, 9.0), st.floats(0.1, 5.0), st.floats(0.0, 0.9))
def test_a_wider_door_never_adds_outlets(width_ft: float, wider_ft: float, share: float) -> None:
    def number(door_ft: float) -> int:
        room = Room(id="den", level="main", kind="den", x_ft=0, y_ft=0, width_ft=23.0, depth_ft=17.0)
        door = Opening(id="d", room="den", side="south", offset_ft=share * 8.0, width_ft=door_ft, kind="door")
        house = starter().changed(rooms=(room,), openings=(door,), appliances=(), heaters=(), draw_points=(), panels=())
        return design(house, 2023).fewest_wall_receptacles

    assert number(width_ft + wider_ft) <= number(width_ft)


def test_glass_to_the_floor_all_round_leaves_receptacles_in_the_floor() -> None:
    room = Room(id="sun", level="main", kind="sunroom", x_ft=0, y_ft=0, width_ft=20.0, depth_ft=16.0)
    glass = tuple(
        Opening(id=s, room="sun", side=s, offset_ft=0.0, width_ft=20.0 if s in ("south", "north") else 16.0,
                kind="fixed_glass")
        for s in SIDES
    )  # fmt: skip
    house = starter().changed(rooms=(room,), openings=glass, appliances=(), heaters=(), draw_points=(), panels=())
    result = design(house, 2023)
    assert sum(d.kind == "floor_receptacle" for d in result.devices) == 6, "72 ft of glass need six in the floor"
    assert any(f.id == "floor-receptacle" for f in result.findings)
    assert not farthest(house, result, 2023)


# ------------------------------------------------------------------ rules: monotone, at the edge, bad input


@settings(max_examples=100, deadline=None)
@given(st.floats(0, 500), st.floats(0, 50))
def test_longer_never_needs_fewer(length: float, more: float) -> None:
    for rule in (rules.receptacles_on_run, rules.counter_receptacles, rules.hallway_receptacles):
        assert rule(length) <= rule(length + more), f"{rule.__name__}: {length} + {more}"


@settings(max_examples=100, deadline=None)
@given(st.integers(0, 20), st.integers(0, 20), st.sampled_from((2017, 2020, 2023, 2026)))
def test_more_conductors_fill_more(conductors: int, grounds: int, edition: int) -> None:
    fill = rules_boxes.box_fill_in3([(12, conductors)], [(12, grounds)], [(12, 1)], edition)
    more = rules_boxes.box_fill_in3([(12, conductors + 1)], [(12, grounds + 1)], [(12, 1)], edition)
    assert more > fill
    assert rules_boxes.box_holds(fill, fill), "a box that is exactly full passes"


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, -1.0])
def test_rules_refuse_what_is_no_length(bad: float) -> None:
    for call in (
        lambda: rules.receptacles_on_run(bad),
        lambda: rules.receptacles_on_ring(bad),
        lambda: rules.counter_receptacles(bad),
        lambda: rules.even_places_ft(bad, 2),
        lambda: rules.places_with_obstacles_ft(bad, [[0, 1]]),
        lambda: rules.island_receptacles(bad, bad, 2020),
        lambda: rules.serves_basin(bad),
        lambda: rules.foyer_receptacles(bad, [3.0]),
        lambda: rules.hallway_length_ft(bad, 40.0),
        lambda: rules.garage_bays([bad]),
        lambda: rules.height_counts(bad),
        lambda: rules_boxes.box_fits_cavity(bad, 0.5, 1.0),
        lambda: rules_protection.outdoor_outlet_gfci(bad, 2023),
    ):
        with pytest.raises(RangeError):
            call()


def test_rules_refuse_strange_sizes_places_and_editions() -> None:
    for size in (4, 7, 13, 20):
        with pytest.raises(RangeError, match="AWG"):
            rules_boxes.conductor_volume_in3(size)
    with pytest.raises(RangeError):
        rules.places_with_obstacles_ft(20.0, [[3.0, 21.0]])
    with pytest.raises(RangeError):
        rules.hallway_length_ft(100.0, 20.0)
    for call in (
        lambda: rules.breaks_wall_line("door", 2014),
        lambda: rules.island_receptacles(60, 36, 2014),
        lambda: rules_boxes.grounding_allowances(3, 1999),
        lambda: rules_protection.gfci_required("bathroom", 2021),
    ):
        with pytest.raises((EditionError, RangeError)):
            call()
