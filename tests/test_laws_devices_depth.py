"""Laws of the step devices in depth: wishes, prices, set-out, boxes and boots, alarms, needs, screws, a large house."""

from __future__ import annotations

import functools
import itertools
import math
import operator
import random
import time
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.common import rules_framing
from hpelec.core.errors import InputErrors, RangeError
from hpelec.core.findings import Verdict
from hpelec.house.check import check
from hpelec.house.geometry import edges
from hpelec.house.model import House
from hpelec.house.read import read_house
from hpelec.house.rows import Light, Opening, PlacedDevice, Room
from hpelec.house.sections_devices import DeviceWishes
from hpelec.house.write import write_starter
from hpelec.steps.devices import rules, rules_alarms, rules_boxes, rules_protection
from hpelec.steps.devices.design import design
from hpelec.steps.devices.model import DevicesResult
from hpelec.steps.devices.placing import Line, arrange, fewest
from hpelec.steps.devices.spans import Spans, merged, within
from tests.houses import EXAMPLES, example, large_house, starter
from tests.test_laws_devices import farthest, lines, outlined, random_houses

HOUSES = [starter(), *(example(name) for name in EXAMPLES), *random_houses(6)]
NAMES = ["starter", *EXAMPLES, *(f"random{i}" for i in range(len(HOUSES) - 1 - len(EXAMPLES)))]
RECTANGLES = [at for at, house in enumerate(HOUSES) if not any(r.outline_ft for r in house.rooms)]
"""Houses that the helper which turns them can draw anew."""
NOTHING_ELSE: dict[str, tuple[()]] = dict.fromkeys(("fixed", "appliances", "heaters", "draw_points", "panels"), ())
each_house = pytest.mark.parametrize("at", range(len(HOUSES)), ids=NAMES)


@functools.cache
def designed(at: int) -> DevicesResult:
    return design(HOUSES[at], HOUSES[at].general.edition)


def wishing(house: House, **wishes: object) -> House:
    return house.changed(device_wishes=replace(house.device_wishes, **wishes))


def prices(result: DevicesResult) -> dict[int, tuple[float, float | None]]:
    return {p.order: (p.fewest, p.with_preference) for p in result.preferences if p.order != 4}


# ------------------------------------------------------------------ the optimum against brute force, 500 runs


def random_run(rng: random.Random) -> tuple[Line, Spans, Spans]:
    """A run or ring with whole-foot ends, places that are inside, in the envelope or barred, pins, and counter gaps."""
    cells = rng.randint(2, 11)
    length = 2.0 * cells
    kinds = rng.choices(rng.choice(("iiooox", "iiooox", "ioxxx", "iixxxxx")), k=cells)
    inner = merged((2.0 * i, 2.0 * i + 2) for i, kind in enumerate(kinds) if kind == "i")
    outer = merged((2.0 * i, 2.0 * i + 2) for i, kind in enumerate(kinds) if kind in "io")
    closed = rng.random() < 0.25
    pins = tuple(sorted(rng.sample(range(int(length)), rng.choice((0, 0, 0, 1, 2)))))
    needs: Spans = ((0.0, length),)
    if not closed and rng.random() < 0.3:
        low, high = sorted(rng.sample(range(int(length) + 1), 2))
        needs = tuple(s for s in ((0.0, float(low)), (float(high), length)) if s[1] > s[0]) or needs
    return Line(length, needs, tuple(map(float, pins)), 6.0, closed), inner, outer


def brute(line: Line, inner: Spans, outer: Spans) -> tuple[int, int] | None:
    """Fewest, then fewest in the envelope, by trying every set of whole-foot places; bit masks of half feet."""
    points = [low + i / 2 for low, high in line.needs for i in range(int((high - low) * 2) + 1)]

    def mask(place: float) -> int:
        def away(x: float) -> float:
            plain = abs(x - place)
            return min(plain, line.length_ft - plain) if line.closed else plain

        return sum(1 << n for n, x in enumerate(points) if away(x) <= line.reach_ft + 1e-9)

    full = (1 << len(points)) - 1
    have = 0
    for pin in line.pins:
        have |= mask(pin)
    free = [float(p) for p in range(int(line.length_ft) + 1) if within(outer, p, p)]
    masks = [(mask(p), int(not within(inner, p, p))) for p in free]
    if functools.reduce(operator.or_, (covered for covered, _ in masks), have) != full:
        return None
    for count in range(len(free) + 1):
        costs = []
        for chosen in itertools.combinations(masks, count):
            seen = have
            for covered, _ in chosen:
                seen |= covered
            if seen == full:
                costs.append(sum(cost for _, cost in chosen))
        if costs:
            return count, min(costs)
    return None


def test_500_random_wall_runs_agree_with_brute_force() -> None:
    rng = random.Random(20520)
    none = 0
    for number in range(500):
        line, inner, outer = random_run(rng)
        expected = brute(line, inner, outer)
        found = arrange(line, ((0, inner), (1, outer)))
        told = f"run {number}: {line}, inner {inner}, outer {outer}"
        if expected is None:
            none += 1
            assert found is None, f"{told}: brute force finds nothing, the step {found}"
            continue
        assert found is not None, f"{told}: brute force {expected}, the step finds nothing"
        assert (len(found), sum(c for _, c in found)) == expected, f"{told}: {found}, brute force {expected}"
    assert 20 < none < 480, f"{none} of 500 runs have no answer: the sample is one-sided"


@settings(max_examples=80, deadline=None)
@given(lines(closed=False, pins=True), st.lists(st.integers(0, 26), max_size=3))
def test_wishes_cost_nothing_on_runs(case: tuple[Line, Spans, Spans], wishes: list[int]) -> None:
    wishes_cost_nothing(case, wishes)


@settings(max_examples=50, deadline=None)
@given(lines(closed=True, pins=False), st.lists(st.integers(0, 26), max_size=3))
def test_wishes_cost_nothing_on_rings(case: tuple[Line, Spans, Spans], wishes: list[int]) -> None:
    wishes_cost_nothing(case, wishes)


def wishes_cost_nothing(case: tuple[Line, Spans, Spans], wishes: list[int]) -> None:
    line, inner, outer = case
    here = tuple(float(w) for w in sorted(set(wishes)) if w <= line.length_ft)
    plain, wished = (arrange(line, ((0, inner), (1, outer)), w) for w in ((), here))
    assert (plain is None) == (wished is None)
    if plain is None or wished is None:
        return
    a, b = ((len(s), sum(c for _, c in s)) for s in (plain, wished))
    assert a == b, f"{line}, wishes {here}: (number, cost) {a} became {b}"
    assert fewest(replace(line, pins=(*line.pins, *(p for p, _ in wished))), ()) == (), "a point is not reached"


@settings(max_examples=60, deadline=None)
@given(st.floats(6.5, 11.5), st.floats(0, 1))
def test_a_wish_that_costs_nothing_is_met(length_ft: float, share: float) -> None:
    wish = length_ft - 6 + share * (12 - length_ft)  # one receptacle there serves the whole run
    found = arrange(Line(length_ft, ((0.0, length_ft),)), ((0, ((0.0, length_ft),)),), (wish,))
    assert found is not None
    assert [round(p, 9) for p, _ in found] == [round(wish, 9)], f"{length_ft} ft, wish {wish}: {found}"


# ------------------------------------------------------------------ wishes and preferences of houses


def test_a_wished_place_in_a_room_is_taken_and_told() -> None:
    room = Room(id="den", level="main", kind="den", x_ft=0, y_ft=0, width_ft=23.0, depth_ft=17.0)
    door = Opening(id="d", room="den", side="south", offset_ft=8.0, width_ft=3.0, kind="door")
    bare = starter().changed(
        rooms=(room,), openings=(door,), fixed=(), appliances=(), heaters=(), draw_points=(), panels=()
    )
    spots = [d for d in design(bare, 2023).devices if d.kind == "receptacle" and d.side == "east"]
    assert spots, "no receptacle on the east wall"
    beside_ft = (spots[0].offset_ft or 0) + 0.7
    near = PlacedDevice(id="lamp", room="den", kind="receptacle", side="east", offset_ft=beside_ft,
                        firm=False)  # fmt: skip
    house = bare.changed(placed_devices=(near,))
    result = design(house, 2023)
    assert not [d for d in result.devices if d.id == "lamp"], "a wish became a device of its own"
    assert result.wall_receptacles == design(bare, 2023).wall_receptacles, "a wish added a receptacle"
    told = [p for p in result.preferences if p.order == 4]
    assert [p.preference for p in told] == ["a receptacle at the wished place lamp"]
    assert told[0].with_preference == pytest.approx(0, abs=1e-6), f"the wish is missed by {told[0].with_preference} ft"
    assert not farthest(house, result, 2023)


@each_house
def test_the_price_of_preferences_adds_up(at: int) -> None:
    result = designed(at)
    for p in result.preferences:
        if p.with_preference is None:
            assert p.difference is None, p
        else:
            assert p.difference == pytest.approx(p.with_preference - p.fewest), p
    by_order = {p.order: p for p in result.preferences}
    assert by_order[1].fewest == result.fewest_wall_receptacles
    assert by_order[1].with_preference == sum(r.with_pins for r in result.runs)
    assert by_order[2].with_preference == result.wall_receptacles == sum(r.placed for r in result.runs)
    assert (by_order[3].difference or 0) <= 0, "preferring inside walls put more boxes into the envelope"
    for r in result.runs:
        assert r.fewest <= r.with_pins <= r.placed, r
        assert r.inside_only is None or r.inside_only >= r.with_pins, r
        assert r.in_envelope <= r.even_in_envelope, r
        assert r.in_floor <= r.placed, r


@pytest.mark.parametrize("at", RECTANGLES, ids=[NAMES[at] for at in RECTANGLES])
def test_a_house_turned_mirrored_or_moved_has_the_same_prices_boxes_and_needs(at: int) -> None:
    whole = HOUSES[at]
    house = whole.changed(lights=(), fans=(), fixed=tuple(f for f in whole.fixed if f.side))
    before = design(house, house.general.edition)
    for turn in ("moved", "turned", "mirrored"):
        after = design(outlined(house, turn), house.general.edition)
        told = f"{NAMES[at]} {turn}"
        assert _same(prices(after), prices(before)), f"{told}: {prices(before)} became {prices(after)}"
        for what in (lambda r: [b.box for b in r.boxes], lambda r: [n.need for n in r.needs]):
            assert Counter(what(after)) == Counter(what(before)), told
        assert len(after.set_out) == len(before.set_out), told


def _same(a: dict[int, tuple[float, float | None]], b: dict[int, tuple[float, float | None]]) -> bool:
    pairs = ((x, y) for key in a for x, y in zip(a[key], b[key], strict=True))
    return a.keys() == b.keys() and all(x == y or math.isclose(x or 0, y or -1, abs_tol=1e-6) for x, y in pairs)


@each_house
def test_keeping_out_of_the_envelope_keeps_the_spacing_rule(at: int) -> None:
    house = HOUSES[at]
    base = designed(at)
    for mode in ("inside", "floor"):
        other = wishing(house, wall_boxes=mode)
        result = design(other, house.general.edition)
        boxes = sum(r.in_envelope for r in result.runs)
        assert boxes <= sum(r.in_envelope for r in base.runs), f"{mode}: more boxes in the envelope"
        assert mode == "inside" or boxes == 0, "floor: a box of the tool still stands in the envelope"
        assert result.fewest_wall_receptacles == base.fewest_wall_receptacles
        served = [f.verdict for f in result.findings if f.id == "wall-receptacles"]
        assert set(served) <= {Verdict.MEETS}, f"{mode}: a point of a wall is too far"


# ------------------------------------------------------------------ set-out


@each_house
def test_set_out_leads_back_to_the_place_on_the_plan(at: int) -> None:
    house, result = HOUSES[at], designed(at)
    spots = {d.id: d for d in result.devices}
    rooms = {r.id: r for r in house.rooms}
    assert sorted(r.device for r in result.set_out) == sorted(spots), "each device is set out once"
    for row in result.set_out:
        spot = spots[row.device]
        walls = {e.side: e for e in edges(rooms[row.room])}
        if row.left_ft is not None and row.right_ft is not None:
            wall = walls[row.wall]
            assert row.left_ft + row.right_ft == pytest.approx(wall.length_ft), row
            assert math.dist(wall.at(min(row.right_ft, wall.length_ft)), (spot.x_ft, spot.y_ft)) < 1e-6, row
            assert row.height_in == spot.height_in
        else:
            found = crossing(walls, row)
            tries = [(x, y) for x, y in found if math.dist((x, y), (spot.x_ft, spot.y_ft)) < 1e-6]
            assert tries, f"{row}: the two distances lead to {found}, the device is at {spot.x_ft, spot.y_ft}"


def crossing(walls: dict, row) -> list[tuple[float, float]]:
    """Where the lines at the two distances from the datum walls cross, on either side of each."""
    a, b = walls[row.datum_1], walls[row.datum_2]
    made = []
    for s, t in itertools.product((1, -1), repeat=2):
        (ax, ay), (bx, by) = a.inward(), b.inward()
        p = ax * a.x0 + ay * a.y0 + s * row.from_1_ft
        q = bx * b.x0 + by * b.y0 + t * row.from_2_ft
        det = ax * by - ay * bx
        made.append(((p * by - q * ay) / det, (ax * q - bx * p) / det))
    return made


def test_left_is_left_for_one_who_faces_the_wall() -> None:
    room = Room(id="den", level="main", kind="den", x_ft=0, y_ft=0, width_ft=11.0, depth_ft=9.0)
    pins = tuple(
        PlacedDevice(id=side, room="den", kind="receptacle", side=side, offset_ft=2.0)
        for side in ("south", "east", "north", "west")
    )
    house = starter().changed(rooms=(room,), openings=(), fixed=(), appliances=(), heaters=(), draw_points=(),
                              panels=(), placed_devices=pins)  # fmt: skip
    rows = {r.device: r for r in design(house, 2023).set_out}
    # offsets run from the west or south end; facing south, west is on the right; facing east, south is.
    got = {side: rows[side].left_ft for side in ("south", "east", "north", "west")}
    assert got == {"south": 9.0, "east": 7.0, "north": 2.0, "west": 2.0}


# ------------------------------------------------------------------ boxes, boots, needs


@each_house
def test_boxes_are_deep_enough_and_told_once(at: int) -> None:
    result = designed(at)
    spots = {d.id: d for d in result.devices}
    for row in result.boxes:
        spot = spots[row.device]
        assert (row.box, row.gangs, row.surface) == (spot.box, spot.gangs, spot.surface), row
        assert row.depth_in == 0 or row.depth_in >= row.least_depth_in - 1e-9, row
        assert row.outside_depth_in > row.depth_in, row
        assert row.cut_width_in > row.outside_width_in, row
        in_front = row.keeps_barrier == "in front of the barrier"
        assert not in_front or (row.margin_in is not None and row.margin_in >= -1e-9), row
        assert (row.keeps_barrier == "inside") == (spot.surface == ""), row
        assert (row.fits_boot is None) == (row.keeps_barrier != "membrane boot"), row
        assert (row.seals == row.cable_entries + 1) or row.keeps_barrier not in ("membrane boot", "airtight box"), row
    left = set(spots) - {r.device for r in result.boxes}
    assert all("equipment" in spots[d].box for d in left), f"devices without a box row: {left}"


def test_a_shallow_boot_is_told() -> None:
    house = example("wintermoss-hill")
    deep, shallow = (design(wishing(house, boot_depth_in=d), 2023) for d in (4.0, 1.5))
    boots = [r for r in shallow.boxes if r.keeps_barrier == "membrane boot"]
    assert boots, "the house has no box in a boot; the test shows nothing"
    verdicts = [next(f.verdict for f in r.findings if f.id == "box-in-boot") for r in (deep, shallow)]
    assert verdicts == [Verdict.MEETS, Verdict.MISSES]


@each_house
def test_every_need_has_its_clause_and_agrees_with_the_flags(at: int) -> None:
    result = designed(at)
    asked: dict[str, set[str]] = {}
    for need in result.needs:
        assert need.citation.locator, need
        asked.setdefault(need.device, set()).add(need.need)
    for d in result.devices:
        mine = asked.get(d.id, set())
        assert d.gfci == ("ground-fault protection" in mine), d
        assert d.afci == ("arc-fault protection" in mine), d
        if d.kind in ("receptacle", "counter_receptacle", "outdoor_receptacle", "floor_receptacle"):
            assert ("tamper-resistant" in mine) == (d.height_in <= 66), d
        if d.kind == "outdoor_receptacle":
            assert {"weather-resistant", "cover"} <= mine, d
        assert d.kind != "alarm" or "interconnection" in mine, d


def test_rooms_below_grade_are_protected_from_2020() -> None:
    house = example("copperfen-row")
    kinds = {r.id: r for r in house.rooms}
    plug = next(r.id for r in house.rooms if r.level == "basement" and r.kind == "utility")
    pin = PlacedDevice(id="bench", room=plug, kind="receptacle", side="south", offset_ft=1.0)
    with_pin = house.changed(placed_devices=(*house.placed_devices, pin))
    got = {y: next(d.gfci for d in design(with_pin, y).devices if d.id == "bench") for y in (2017, 2020, 2023)}
    assert got == {2017: False, 2020: True, 2023: True}, kinds[plug]


def test_a_covered_porch_is_damp_and_the_open_wall_wet() -> None:
    result = design(example("saltreed-bend"), 2020)
    rows = [n for n in result.needs if n.need == "weather-resistant"]
    assert {n.why for n in rows} == {"damp location", "wet location"}, rows


# ------------------------------------------------------------------ alarms, switches, data, porches, shared holes


@each_house
def test_every_bedroom_and_level_has_an_alarm_and_none_needs_a_hole_without_need(at: int) -> None:
    house, result = HOUSES[at], designed(at)
    alarms = [d for d in result.devices if d.kind == "alarm"]
    rooms = {r.id: r for r in house.rooms}
    for room in house.rooms:
        if room.kind == "bedroom":
            assert any(d.room == room.id for d in alarms), f"{room.id} has no alarm"
    levels = {r.level for r in house.rooms if r.inside_air_barrier and r.kind not in ("closet", "bathroom", "pantry")}
    assert levels <= {d.level for d in alarms}, "a level has no alarm"
    assert all(rooms[d.room].kind != "bathroom" for d in alarms)
    none = design(wishing(house, alarms=False), house.general.edition)
    assert not [d for d in none.devices if d.kind == "alarm"], "alarms = no still places alarms"
    own = [d for d in alarms if rooms[d.room].kind == "bedroom"][:1]
    for d in own:
        pin = PlacedDevice(
            id="mine", room=d.room, kind="alarm", side=d.side, offset_ft=d.offset_ft or 0.0, height_in=80
        )
        again = design(house.changed(placed_devices=(*house.placed_devices, pin)), house.general.edition)
        here = [x.id for x in again.devices if x.kind == "alarm" and x.room == d.room]
        assert here == ["mine"], f"the user's alarm is not taken: {here}"


def test_a_garage_door_into_the_house_or_fuel_asks_for_carbon_monoxide_alarms() -> None:
    house = example("wintermoss-hill")
    with_garage = design(house, 2023)
    assert any("carbon-monoxide" in d.what for d in with_garage.devices)
    closed = house.changed(openings=tuple(o for o in house.openings if not leads_to_garage(house, o)))
    assert not any("carbon-monoxide" in d.what for d in design(closed, 2023).devices), (
        "the garage no longer opens inside"
    )
    assert any("carbon-monoxide" in d.what for d in design(wishing(closed, fuel_burning=True), 2023).devices)


def leads_to_garage(house: House, opening: Opening) -> bool:
    one = house.changed(openings=(opening,))
    from hpelec.steps.devices.alarms import garage_opens
    from hpelec.steps.devices.draft import Draft

    return garage_opens(Draft(one, 2023))


def test_both_levels_of_a_stair_are_switched() -> None:
    result = design(example("wintermoss-hill"), 2023)
    finding = next(f for f in result.findings if f.id == "stair-switches")
    assert finding.verdict is Verdict.MEETS, finding
    for room in ("stair", "upperstair"):
        assert any(d.room == room and d.kind == "switch" and "three-way" in d.what for d in result.devices), room


@each_house
def test_second_switches_are_priced_and_can_be_left_out(at: int) -> None:
    house, result = HOUSES[at], designed(at)
    plain = design(wishing(house, three_way="halls"), house.general.edition)
    more, less = (sum(d.kind == "switch" for d in r.devices) for r in (result, plain))
    price = next(p for p in result.preferences if p.order == 10)
    assert (price.fewest, price.with_preference) == (less, more), f"{less} and {more} switches, the table says {price}"


def test_data_points_are_as_many_as_wished() -> None:
    house = wishing(starter(), data_points_bedroom=2, data_points_living=1)
    result = design(house, 2023)
    kinds = {r.id: r.kind for r in house.rooms}
    got = Counter(kinds[d.room] for d in result.devices if d.kind == "data")
    rooms = Counter(r.kind for r in house.rooms)
    assert got["bedroom"] == 2 * rooms["bedroom"], got
    assert got["living"] == rooms["living"], got
    assert len({(d.x_ft, d.y_ft) for d in result.devices if d.kind == "data"}) == sum(got.values()), "two at one place"


def test_a_porch_without_a_door_gets_its_receptacle_from_2020() -> None:
    den = Room(id="den", level="main", kind="den", x_ft=0, y_ft=0, width_ft=20.0, depth_ft=12.0)
    porch = Room(id="deck", level="main", kind="porch", x_ft=0, y_ft=12, width_ft=20.0, depth_ft=8.0,
                 inside_air_barrier=False)  # fmt: skip
    house = starter().changed(rooms=(den, porch), openings=(), fixed=(), appliances=(), heaters=(), draw_points=(),
                              panels=(), lights=())  # fmt: skip
    for edition, count in ((2017, 0), (2020, 1), (2023, 1)):
        result = design(house, edition)
        finding = next(f for f in result.findings if f.id == "porch-receptacle")
        assert finding.allowed == f"at least {count}", finding
        assert finding.verdict is Verdict.MEETS, finding


def test_a_door_light_over_its_receptacle_shares_its_hole() -> None:
    den = Room(id="den", level="main", kind="den", x_ft=0, y_ft=0, width_ft=20.0, depth_ft=12.0)
    door = Opening(id="d", room="den", side="south", offset_ft=8.0, width_ft=3.0, kind="door")
    light = Light(id="lamp", room="den", kind="outdoor_wall", x_offset_ft=12.0, y_offset_ft=0.0)
    base = starter().changed(
        rooms=(den,), openings=(door,), fixed=(), appliances=(), heaters=(), draw_points=(), panels=()
    )
    for lights in ((), (light,)):
        house = base.changed(lights=lights)
        spots = {d.id: d for d in design(house, 2023).devices}
        shared = [d for d in spots.values() if d.shares_hole_with]
        assert len(shared) == 1, f"lights {lights}: {shared}"
        lead = spots[shared[0].shares_hole_with]
        assert lead.kind == "outdoor_receptacle"
        assert math.dist((lead.x_ft, lead.y_ft), (shared[0].x_ft, shared[0].y_ft)) <= 0.25 + 1e-9
        apart = design(wishing(house, door_light_shares_hole=False), 2023)
        assert not any(d.shares_hole_with for d in apart.devices)


# ------------------------------------------------------------------ framing and screws


@settings(max_examples=60, deadline=None)
@given(st.floats(0.5, 12), st.floats(0.01, 3))
def test_a_longer_screw_never_leaves_more_room(screw_in: float, more_in: float) -> None:
    short, long = (rules_framing.screw_reach_in(s, 0.5) for s in (screw_in, screw_in + more_in))
    assert long >= short
    assert rules_framing.clear_of_screw_in(1.625, min(long, 24)) <= rules_framing.clear_of_screw_in(1.625, short)


@settings(max_examples=60, deadline=None)
@given(st.floats(2.6, 12), st.floats(0, 1))
def test_the_plate_free_hole_needs_no_plate_in_the_middle_and_one_off_it(depth_in: float, share: float) -> None:
    hole_in = rules_framing.plate_free_hole_in(depth_in)
    assert not rules_framing.plate_needed(depth_in, hole_in, depth_in / 2)
    off_in = depth_in / 2 + 0.01 + share * (depth_in / 2 - hole_in / 2 - 0.02)
    assert rules_framing.plate_needed(depth_in, hole_in, off_in), f"{depth_in} in, {hole_in} in at {off_in} in"


def test_the_longest_screw_decides() -> None:
    house = example("wintermoss-hill")
    for screw_in, verdict in ((None, Verdict.CANNOT_SAY), (1.0, Verdict.MEETS), (3.0, Verdict.MISSES)):
        found = [f for f in design(wishing(house, longest_screw_in=screw_in), 2023).findings if f.id == "screw-reach"]
        assert found, "no finding"
        assert {f.verdict for f in found} == {verdict}, (screw_in, [f.got for f in found])


# ------------------------------------------------------------------ bad input


BAD = {
    "wall_boxes": '"attic"', "three_way": '"never"', "alarms": '"maybe"', "data_points_bedroom": "-1",
    "data_points_living": "1.5", "longest_screw_in": "0", "stud_depth_in": "40", "boot_cables": "0",
    "boot_depth_in": '"deep"', "joist_depth_in": "nan", "door_lights": "true",
}  # fmt: skip


@pytest.mark.parametrize("name", sorted(BAD))
def test_bad_wishes_are_told(name: str, tmp_path: Path) -> None:
    write_starter(tmp_path / "house")
    toml = tmp_path / "house" / "house.toml"
    text = toml.read_text("utf-8")
    section = f"[devices]\n{name} = {BAD[name]}\n"
    kept = [] if "[devices]" not in text else ["[devices]"]
    toml.write_text(text.replace("[devices]\n", section, 1) if kept else f"{text}\n{section}", "utf-8")
    with pytest.raises(InputErrors) as caught:
        read_house(tmp_path / "house")
    assert any(f"devices.{name}" in p.column for p in caught.value.problems) or name in str(caught.value), caught.value


def test_the_section_may_be_left_out_and_each_default_is_told(tmp_path: Path) -> None:
    write_starter(tmp_path / "house")
    house = read_house(tmp_path / "house")
    assert house.device_wishes == DeviceWishes()
    assert design(house, 2023) == design(house.changed(device_wishes=DeviceWishes()), 2023)


def test_a_wish_is_for_a_wall_receptacle_without_a_circuit() -> None:
    house = starter()
    room = next(r for r in house.rooms if r.kind == "bedroom").id
    wish = PlacedDevice(id="w", room=room, kind="receptacle", side="east", offset_ft=2.0, firm=False)
    assert not check(house.changed(placed_devices=(wish,)))
    for bad in (replace(wish, kind="switch"), replace(wish, circuit="general-main-1")):
        problems = check(house.changed(placed_devices=(bad,)))
        assert [p.column for p in problems] in (["firm"], ["circuit"]), problems


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, -1.0])
def test_rules_refuse_what_is_no_size(bad: float) -> None:
    for call in (
        lambda: rules_framing.plate_free_hole_in(bad),
        lambda: rules_framing.plate_needed(3.5, bad, 1.75),
        lambda: rules_framing.plate_needed_along(bad),
        lambda: rules_framing.stud_hole_in(bad, bearing=True),
        lambda: rules_framing.joist_hole_in(bad),
        lambda: rules_framing.joist_notch_in(bad, at_end=True),
        lambda: rules_framing.screw_reach_in(bad, 0.5),
        lambda: rules_framing.clear_of_screw_in(bad, 0.5),
        lambda: rules_framing.middle_set_back_in(bad, 0.25),
        lambda: rules_boxes.least_depth_in(12, device=True, projects_in=bad),
        lambda: rules_boxes.set_back_allowed(bad, combustible=False),
        lambda: rules_boxes.cut_in(bad),
        lambda: rules_boxes.fits_boot(bad, 3.0, 6.0, 4.0, 0.25),
        lambda: rules_boxes.boot_seals(bad),
        lambda: rules_alarms.clear_of_bathroom(bad),
        lambda: rules_alarms.clear_of_cooking(bad),
        lambda: rules_alarms.wall_alarm_height_allowed(bad),
        lambda: rules_protection.tamper_resistant(bad),
        lambda: rules.porch_receptacles(bad, True, 2023),
        lambda: rules.switch_at_each_level(bad),
        lambda: rules.fewest_risers(bad),
    ):
        with pytest.raises(RangeError):
            call()
    for word in ("moist", "", "Wet"):
        with pytest.raises(RangeError):
            rules_protection.weather_resistant(word)
    with pytest.raises(RangeError):
        rules_alarms.clear_of_cooking(7, "heat")
    with pytest.raises(RangeError):
        rules_framing.plate_needed(3.5, 1.0, 0.4)


# ------------------------------------------------------------------ a large house


@pytest.mark.slow
def test_a_house_of_200_rooms_is_laid_out_in_about_two_seconds() -> None:
    house = large_house()
    assert not check(house)
    times = []
    for _ in range(3):
        start = time.process_time()
        result = design(house, 2023)
        times.append(time.process_time() - start)
    assert len(house.rooms) == 200
    assert {f.verdict for f in result.findings if f.id == "wall-receptacles"} == {Verdict.MEETS}
    assert min(times) < 2.5, f"{min(times):.2f} s of processor time; the budget is 2.5 s"
