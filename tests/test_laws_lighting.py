"""Laws of the step lighting, its clear places against brute force, its findings, bad input of its columns."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from hpelec.core.errors import InputErrors, RangeError
from hpelec.core.results import as_json
from hpelec.core.tables import table
from hpelec.house.geometry import outline
from hpelec.house.read import read_house
from hpelec.house.rows import FixedItem, Opening, Room
from hpelec.house.write import write_starter
from hpelec.plan import design
from hpelec.report.lighting_drawing import fan_drawing, light_levels, lux_plan
from hpelec.report.plan_drawing import drawn_levels
from hpelec.steps.devices.model import DevicesResult
from hpelec.steps.lighting import rules, rules_fans, rules_point
from hpelec.steps.lighting.clear import nearest_clear
from hpelec.steps.lighting.design import design as lighting_design
from hpelec.steps.lighting.luminaires import Site
from hpelec.steps.lighting.model import LightingResult
from hpelec.steps.lighting.points import behind_blades, direct_lux, grid
from tests.adapters_lighting import any_ray_crosses, fan, house_of, light, lit, room
from tests.houses import DEMO, EXAMPLES, example, planned
from tests.test_house_laws import houses
from tests.test_report import boxes

SIDE = st.integers(6, 30).map(float)
SHARE = st.integers(1, 15).map(lambda n: n / 16)
KINDS = st.sampled_from(["recessed", "surface", "pendant", "wall"])
FEW = settings(max_examples=15)


@st.composite
def furnished(draw):
    """Sides of a room, up to four lights and two fans in it, all at sixteenths of its sides."""
    wide, deep = draw(SIDE), draw(SIDE)
    spot = st.tuples(SHARE.map(lambda s: s * wide), SHARE.map(lambda s: s * deep))
    lights = [
        light(*draw(spot), f"l{i}", kind=draw(KINDS), cutoff_deg=draw(st.sampled_from([None, 30.0, 55.0])))
        for i in range(draw(st.integers(1, 4)))
    ]
    fans = [
        fan(*draw(spot), f"f{i}", diameter_in=draw(st.sampled_from([36.0, 52.0])))
        for i in range(draw(st.integers(0, 2)))
    ]
    return wide, deep, lights, fans


def told(found: LightingResult) -> list[tuple]:
    """What may not change when a room is moved or turned."""
    lit_room = found.rooms[0]
    numbers = ("room_ratio", "utilisation", "lux", "reflected_lux", "least_lux", "direct_lux", "most_lux", "needed")
    rows = [tuple(getattr(lit_room, n) for n in numbers)]
    rows += [(r.distance_in, r.clear_in, float(r.clear), r.move_ft) for r in found.shadows]
    rows += [(f.tip_to_wall_in, f.modulation_percent) for f in found.fans]
    return rows


def same(one: list[tuple], other: list[tuple]) -> None:
    for one_row, other_row in zip(one, other, strict=True):
        a, b = ([-1.0 if v is None else v for v in row] for row in (one_row, other_row))
        assert a == pytest.approx(b, rel=1e-6, abs=1e-6)


@FEW
@given(furnished(), st.integers(-50, 50), st.sampled_from(["moved", "turned", "mirrored"]))
def test_moving_turning_or_mirroring_a_room_changes_nothing(case, shift, way) -> None:
    wide, deep, lights, fans = case
    before = told(lit([room(wide, deep)], lights, fans))

    def placed(row):
        x, y = row.x_offset_ft, row.y_offset_ft
        x, y = {"moved": (x, y), "turned": (deep - y, x), "mirrored": (wide - x, y)}[way]
        return replace(row, x_offset_ft=x, y_offset_ft=y)

    sides = (deep, wide) if way == "turned" else (wide, deep)
    there = room(*sides, x_ft=float(shift), y_ft=float(2 * shift))
    same(told(lit([there], [placed(x) for x in lights], [placed(x) for x in fans])), before)


@FEW
@given(furnished(), st.randoms(use_true_random=False))
def test_the_order_of_rows_changes_nothing(case, chance: random.Random) -> None:
    wide, deep, lights, fans = case
    other = room(8, 8, id="other", x_ft=100.0)
    before = lit([room(wide, deep), other], lights, fans)
    mixed = [lights[:], fans[:]]
    for rows in mixed:
        chance.shuffle(rows)
    assert lit([other, room(wide, deep)], *mixed).rooms == before.rooms
    assert lit([other, room(wide, deep)], *mixed).shadows == before.shadows


@FEW
@given(furnished(), st.floats(1.0, 5.0))
def test_more_lumens_never_give_less_light(case, more) -> None:
    wide, deep, lights, fans = case
    first, *rest = lights
    before = lit([room(wide, deep)], lights, fans).rooms[0]
    after = lit([room(wide, deep)], [replace(first, lumens_lm=900.0 * more), *rest], fans).rooms[0]
    assert after.lux >= before.lux - 1e-9
    assert after.direct_lux >= before.direct_lux - 1e-9
    assert after.needed <= before.needed


@settings(max_examples=40)
@given(SIDE, SIDE, st.floats(1.0, 2.0), st.floats(1.0, 2.0), st.sampled_from(["recessed", "surface"]))
def test_a_larger_room_never_needs_fewer_luminaires(wide, deep, more_wide, more_deep, kind) -> None:
    needed = []
    for w, d in ((wide, deep), (wide * more_wide, deep * more_deep)):
        needed.append(lit([room(w, d)], [light(w / 2, d / 2, kind=kind)]).rooms[0])
    assert needed[1].needed_lm >= needed[0].needed_lm * (1 - 1e-9)
    assert needed[1].needed >= needed[0].needed


@given(st.integers(1, 12), st.floats(1, 1000), st.floats(1, 3))
def test_the_frequency_of_the_blades_is_linear_in_speed(blades, speed, times) -> None:
    once = rules_fans.blade_frequency_hz(blades, speed)
    assert rules_fans.blade_frequency_hz(blades, speed * times) == pytest.approx(once * times)


@given(st.floats(20, 70), st.floats(0, 10), st.floats(1, 40), st.floats(0, 85))
def test_the_widest_clear_cone_is_the_inverse_of_the_clear_distance(radius, opening, above, half) -> None:
    need = rules_fans.clear_distance_in(radius, opening, above, half)
    assert rules_fans.widest_clear_deg(radius, opening, above, need) == pytest.approx(half, abs=1e-6)


@settings(max_examples=8)
@given(st.floats(15, 35), st.floats(1, 6), st.floats(4, 20), st.floats(20, 70), st.floats(0.6, 1.4))
def test_the_shadow_rule_is_what_rays_say(radius, opening, above, half, times) -> None:
    need = rules_fans.clear_distance_in(radius, opening, above, half)
    if abs(times - 1) < 0.005:
        return
    # nearer than the radius of the lit patch some rays pass on either side; the rule is for what may be hit at all
    crossed = any_ray_crosses(radius, opening, above, half, need * times)
    assert crossed == (times < 1)


SHAPES = st.sampled_from(
    [
        ((0.0, 0.0), (14.0, 0.0), (14.0, 11.0), (0.0, 11.0)),
        ((0.0, 0.0), (16.0, 0.0), (16.0, 7.0), (8.0, 7.0), (8.0, 14.0), (0.0, 14.0)),
    ]
)


@settings(max_examples=30)
@given(
    SHAPES,
    st.tuples(st.floats(0.5, 7.5), st.floats(0.5, 6.5)),
    st.lists(st.tuples(st.floats(0, 14), st.floats(0, 11), st.floats(0.5, 5)), min_size=1, max_size=3),
)
def test_the_nearest_clear_place_is_clear_and_brute_force_finds_none_nearer(corners, start, discs) -> None:
    import shapely

    margin = 0.25
    found = nearest_clear(start, corners, margin, discs)
    inner = shapely.Polygon(corners).buffer(-margin, join_style="mitre")
    x, y = (a.ravel() for a in np.meshgrid(np.arange(0, 16.01, 0.05), np.arange(0, 14.01, 0.05)))
    free = shapely.contains_xy(inner, x, y)
    for cx, cy, r in discs:
        free &= np.hypot(x - cx, y - cy) >= r
    away = np.hypot(x - start[0], y - start[1])[free]
    if found is None:
        assert not len(away), "brute force finds a clear place"
        return
    assert all(math.hypot(found[0] - cx, found[1] - cy) >= r - 1e-6 for cx, cy, r in discs)
    assert inner.buffer(1e-6).contains(shapely.Point(found))
    if len(away):
        assert math.hypot(found[0] - start[0], found[1] - start[1]) <= away.min() + 1e-6


@FEW
@given(furnished())
def test_a_light_moved_to_its_clear_place_is_clear_of_every_fan(case) -> None:
    wide, deep, lights, fans = case
    found = lit([room(wide, deep)], lights, fans)
    for row in found.shadows:
        if row.move_x_ft is None:
            continue
        moved = [
            replace(x, x_offset_ft=row.move_x_ft, y_offset_ft=row.move_y_ft) if x.id == row.light else x for x in lights
        ]
        again = lit([room(wide, deep)], moved, fans)
        assert all(r.clear for r in again.shadows if r.light == row.light)


@FEW
@given(furnished())
def test_a_light_that_is_clear_throws_no_shadow_on_any_point(case) -> None:
    wide, deep, lights, fans = case
    house = house_of([room(wide, deep)], lights, fans)
    site, found = Site(house), design(house, only=("lighting",)).lighting
    points = grid(house.rooms[0], 0.5)
    by_id = {x.id: x for x in site.indoor(house.rooms[0])}
    for row in (r for r in found.shadows if r.clear):
        one = next(f for f in fans if f.id == row.fan)
        hub = (*site.fan_at(one), site.blades_ft(one))
        hidden = behind_blades(by_id[row.light], points, site.plane_ft, hub, one.diameter_in / 24)
        assert not (direct_lux(by_id[row.light], points, site.plane_ft, 1.0)[hidden] > 0).any()
        assert not row.on_plane


@settings(max_examples=20)
@given(st.floats(4, 40), st.floats(4, 40), st.floats(3, 9))
def test_a_cosine_emitter_reaches_the_plane_as_the_form_factor_says(wide, deep, high) -> None:
    summed = rules.direct_ratio(wide, deep, high, 90.0, True)
    assert summed == pytest.approx(rules.facing_form_factor(wide, deep, high), abs=0.01)


@settings(max_examples=60)
@given(
    st.floats(4, 40),
    st.floats(4, 40),
    st.floats(2, 10),
    st.tuples(*[st.floats(0, 90)] * 3),
    st.floats(0, 1),
    st.floats(0, 1),
)
def test_utilisation_is_a_share_and_lighter_surfaces_never_lower_it(wide, deep, high, dark, direct, up) -> None:
    first = rules.utilisation(wide, deep, high, dark, direct, up)
    lighter = tuple(min(r + 5, 95) for r in dark)
    assert 0 <= first <= rules.utilisation(wide, deep, high, lighter, direct, up) + 1e-12
    assert first * (1 - dark[2] / 100) <= 1 + 1e-9, "the floor keeps more light than there is"


def test_the_balance_agrees_with_the_whole_published_table() -> None:
    worst = 0.0
    for row in table("layout/effective_cavity_reflectance"):
        ratio, base, wall = (row.number(c) for c in ("cavity_ratio", "base_reflectance_pct", "wall_reflectance_pct"))
        ours = rules.balanced_reflectance_percent(base, wall, 10, 10, ratio)
        worst = max(worst, abs(ours - row.number("table_pct")))
        assert rules.tabulated_reflectance_percent(base, wall, ratio) in (None, row.number("table_pct"))
    assert worst <= 2.5, "the reference says 2.1 points at worst"


@given(st.floats(0, 9), st.floats(0, 9), st.sampled_from(["recessed", "surface"]))
def test_the_light_at_points_is_what_the_rule_says_of_one_point(x, y, kind) -> None:
    house = house_of(
        [room(10, 10)], [light(x, y, kind=kind, drop_in=0.0, beam_deg=None if kind == "surface" else 100.0)]
    )
    site = Site(house)
    (one,) = site.indoor(house.rooms[0])
    points = grid(house.rooms[0], 2.0)
    got = direct_lux(one, points, site.plane_ft, 1.0)
    height = (one.height_ft - site.plane_ft) * 0.3048
    for px, py, lux in zip(points.x_ft, points.y_ft, got, strict=True):
        aside = math.hypot(px - one.x_ft, py - one.y_ft) * 0.3048
        if kind == "surface":
            assert lux == pytest.approx(rules_point.cosine_point_lux(900, height, aside))
        elif math.degrees(math.atan2(aside, height)) < 50 - 1e-6:
            assert lux == pytest.approx(rules_point.point_lux(rules_point.cone_candela(900, 100), height, aside))
        elif math.degrees(math.atan2(aside, height)) > 50 + 1e-6:
            assert lux == 0


def test_light_on_a_wide_plane_adds_up_to_the_lumens() -> None:
    """Summed over a fine grid that the whole beam falls on, level times area gives the lumens back."""
    for kind in ("recessed", "surface"):
        house = house_of([room(60, 60)], [light(30, 30, kind=kind, cutoff_deg=60.0, drop_in=0.0)], grid_ft=0.5)
        site = Site(house)
        points = grid(house.rooms[0], 0.5)
        lux = direct_lux(site.indoor(house.rooms[0])[0], points, site.plane_ft, 1.0)
        lumens = lux.sum() * points.wide_ft * points.deep_ft * 0.3048**2
        assert lumens == pytest.approx(900, rel=0.03), kind


@settings(max_examples=40)
@given(st.tuples(SHARE, SHARE), st.tuples(SHARE, SHARE), st.sampled_from([0.0, 3.0]))
def test_a_ray_behind_the_blades_is_found_by_walking_along_it(at, hub, drop) -> None:
    house = house_of([room(16, 12)], [light(16 * at[0], 12 * at[1], drop_in=drop)])
    site = Site(house)
    (one,) = site.indoor(house.rooms[0])
    points = grid(house.rooms[0], 3.0)
    place, radius = (16 * hub[0], 12 * hub[1], one.height_ft - 1.0), 2.0
    got = behind_blades(one, points, site.plane_ft, place, radius)
    for px, py, hidden in zip(points.x_ft, points.y_ft, got, strict=True):
        high, x, y = one.height_ft, one.x_ft, one.y_ft
        steps = 4000
        for _ in range(steps):  # down along the ray until it reaches the height of the blades
            if high <= place[2]:
                break
            high -= (one.height_ft - site.plane_ft) / steps
            x += (px - one.x_ft) / steps
            y += (py - one.y_ft) / steps
        away = math.hypot(x - place[0], y - place[1])
        if abs(away - radius) > 0.02:
            assert hidden == (away < radius)


def test_the_level_of_a_room_is_the_chain_of_the_rules() -> None:
    """A square room of 14 ft, one flat diffuser on its 8 ft ceiling, work plane at 30 in, step by step."""
    found = lit([room(14, 14)], [light(7, 7, kind="surface", drop_in=0.0)]).rooms[0]
    assert found.room_ratio == pytest.approx(5 * 5.5 * 28 / 196)
    floor = rules.balanced_reflectance_percent(20, 50, 14, 14, 2.5)
    assert (found.ceiling_percent, found.floor_percent) == (80.0, pytest.approx(floor))
    direct = rules.facing_form_factor(14, 14, 5.5)
    used = rules.utilisation(14, 14, 5.5, (80.0, 50.0, floor), direct)
    assert found.utilisation == pytest.approx(used, abs=0.004)
    assert found.lux == pytest.approx(900 * found.utilisation * 0.85 * 0.95 / (196 * 0.3048**2))
    assert found.reflected_lux == pytest.approx(900 * (used - direct) * 0.85 * 0.95 / (196 * 0.3048**2), rel=0.03)
    assert found.density == pytest.approx(10 / 196)


def test_a_level_equal_to_the_one_wanted_is_enough() -> None:
    got = lit([room()], [light(6, 6)]).rooms[0].lux
    assert lit([room(wanted_lux=got)], [light(6, 6)]).rooms[0].enough is True
    assert lit([room(wanted_lux=got * 1.001)], [light(6, 6)]).rooms[0].enough is False
    assert verdicts(lit([room(wanted_lux=got / 1.2)], [light(6, 6)]), "light-level") == ["meets"]
    assert verdicts(lit([room(wanted_lux=got * 1.05)], [light(6, 6)]), "light-level") == ["cannot say"]
    assert verdicts(lit([room(wanted_lux=got * 1.2)], [light(6, 6)]), "light-level") == ["misses"]


def test_reflected_light_is_steady_and_so_lowers_the_modulation() -> None:
    black = dict.fromkeys(("ceiling_reflectance_percent", "wall_reflectance_percent", "floor_reflectance_percent"), 0.0)
    flat, turning = [light(13, 10, kind="surface", drop_in=0.0)], [fan(10, 10)]
    dark, pale = (lit([room(20, 20, **more)], flat, turning).fans[0] for more in (black, {}))
    assert dark.modulation_percent == pytest.approx(100), "where nothing is reflected the only light is chopped wholly"
    assert 0 < pale.modulation_percent < 100


def test_light_that_goes_up_from_below_the_blades_is_told_as_such() -> None:
    hanging = light(18, 10, kind="pendant", uplight_percent=30.0)
    found = lit([room(20, 20)], [hanging], [fan(10, 10)])
    assert [(r.how, r.clear, r.on_plane) for r in found.shadows] == [("uplight", False, False)]
    assert verdicts(found, "blade-shadow") == ["misses"]
    assert lit([room(20, 20)], [replace(hanging, uplight_percent=0.0)], [fan(10, 10)]).shadows[0].clear


# --- findings --------------------------------------------------------------------------------------------------------


def verdicts(found: LightingResult, name: str) -> list[str]:
    return [f.verdict.value for f in found.findings if f.id == name]


def test_a_closet_without_a_door_is_not_judged_unless_every_wall_is_clear() -> None:
    small, large = room(4, 3, kind="closet"), room(12, 12, kind="closet")
    assert verdicts(lit([small], [light(2, 1.5, kind="surface")]), "place-closet") == ["cannot say"]
    assert verdicts(lit([large], [light(6, 6, kind="surface")]), "place-closet") == ["meets"]
    door = Opening(id="d", room="den", side="south", offset_ft=0.5, width_ft=2.5, kind="door")
    assert verdicts(lit([small], [light(2, 1.5, kind="surface")], openings=[door]), "place-closet") == ["misses"]
    assert verdicts(lit([large], [light(6, 6, kind="pendant")], openings=[]), "place-closet") == ["misses"]
    assert verdicts(lit([large], [light(6, 6, kind="surface", lamp="open")]), "place-closet") == ["misses"]


@pytest.mark.parametrize(("x_ft", "verdict"), [(5.99, "misses"), (6.26, "meets")])
def test_nothing_hangs_in_the_zone_of_a_tub(x_ft, verdict) -> None:
    tub = FixedItem(id="t", room="den", kind="tub", side="west", offset_ft=2, width_ft=5, depth_ft=2.5)
    hanging = light(x_ft, 4, kind="pendant", diameter_in=12.0)  # its edge is half a foot nearer than its middle
    assert verdicts(lit([room(20, 12, kind="bathroom")], [hanging], fixed=[tub]), "place-tub") == [verdict]


def test_a_fan_in_the_zone_of_a_shower_misses() -> None:
    shower = FixedItem(id="s", room="den", kind="shower", side="west", offset_ft=2, width_ft=3, depth_ft=3)
    assert verdicts(lit([room(20, 12)], fans=[fan(6, 4)], fixed=[shower]), "place-tub") == ["misses"]
    assert verdicts(lit([room(20, 12)], fans=[fan(12, 4)], fixed=[shower]), "place-tub") == ["meets"]


@pytest.mark.parametrize(("mark", "damp", "wet"), [("unknown", "cannot say", "cannot say"), ("dry", "misses", "misses"),
                                                   ("damp", "meets", "misses"), ("wet", "meets", "meets")])  # fmt: skip
def test_marks_for_damp_and_wet_places(mark, damp, wet) -> None:
    found = lit([room(kind="porch", inside_air_barrier=False)], [light(6, 6, kind="surface", rated_for=mark)])
    assert verdicts(found, "place-damp") == [damp]
    found = lit([room()], [light(6, 0, kind="outdoor_wall", rated_for=mark)])
    assert verdicts(found, "place-wet") == [wet]
    assert found.rooms[0].luminaires == 0, "a light on the outer face lights no room"


def test_recessed_lights_in_the_barrier_are_counted_and_judged() -> None:
    tight, leaky = light(4, 4, "a", airtight_rated=True, insulation_contact=True), light(8, 4, "b")
    found = lit([room()], [tight, leaky, light(8, 8, "c", kind="surface")])
    assert [(r.light, r.tested) for r in found.recessed] == [("a", True), ("b", False)]
    assert found.recessed[0].allowed_cfm50 == pytest.approx(1.537, abs=0.001)
    assert verdicts(found, "recessed-airtight") == ["misses"] and verdicts(found, "recessed-contact") == ["cannot say"]
    assert verdicts(lit([room()], [tight]), "recessed-airtight") == ["meets"]
    assert not lit([room(inside_air_barrier=False)], [leaky]).recessed


@pytest.mark.parametrize(
    ("more", "verdict"),
    [({}, "cannot say"), ({"weight_lb": 70.0, "box_for_fan": True}, "meets"),
     ({"weight_lb": 70.1, "box_for_fan": True}, "misses"), ({"box_for_fan": False}, "misses"),
     ({"weight_lb": 20.0}, "cannot say")],
)  # fmt: skip
def test_the_box_of_a_fan(more, verdict) -> None:
    assert verdicts(lit([room()], fans=[fan(7, 6, **more)]), "fan-box") == [verdict]


@pytest.mark.parametrize(
    ("drop_in", "head", "ceiling"), [(12.0, "meets", "meets"), (12.1, "misses", "meets"), (7.9, "meets", "misses")]
)
def test_the_height_of_the_blades(drop_in, head, ceiling) -> None:
    found = lit([room(20, 20)], fans=[fan(10, 10, drop_in=drop_in)])
    assert (verdicts(found, "fan-head"), verdicts(found, "fan-ceiling")) == ([head], [ceiling])


@pytest.mark.parametrize(("x_ft", "verdict"), [(44 / 12, "meets"), (43.9 / 12, "misses")])
def test_blade_tips_keep_from_walls(x_ft, verdict) -> None:
    assert verdicts(lit([room(30, 30)], fans=[fan(x_ft, 15)]), "fan-wall") == [verdict]


def test_cabinets_and_doors_near_the_blades_are_pointed_out() -> None:
    case = FixedItem(id="c", room="den", kind="cabinet", side="west", offset_ft=2, width_ft=6, depth_ft=2)
    assert verdicts(lit([room(20, 12)], fans=[fan(4.5, 5)], fixed=[case]), "fan-cabinet") == ["cannot say"]
    assert not verdicts(lit([room(20, 12)], fans=[fan(8, 5)], fixed=[case]), "fan-cabinet")
    door = Opening(id="d", room="den", side="west", offset_ft=3, width_ft=3, kind="door", height_ft=7.5)
    low = fan(4, 5, drop_in=12.0)
    assert verdicts(lit([room(20, 12)], fans=[low], openings=[door]), "fan-door") == ["cannot say"]
    assert not verdicts(lit([room(20, 12)], fans=[low], openings=[replace(door, height_ft=6.8)]), "fan-door")


@pytest.mark.parametrize(("away_in", "verdict"), [(26 + 6 + 6, None), (37.9, "misses")])
def test_blades_keep_from_what_hangs(away_in, verdict) -> None:
    hanging = light(10 + away_in / 12, 10, kind="pendant", diameter_in=12.0)
    found = lit([room(20, 20)], [hanging], [fan(10, 10, drop_in=12.0)])
    assert verdicts(found, "fan-hangs") == ([verdict] if verdict else [])
    assert found.shadows[0].clear == (verdict is None)


def test_light_that_leaves_in_every_direction_is_never_clear_and_the_modulation_says_how_bad() -> None:
    flat = light(13, 10, kind="surface", drop_in=0.0)
    found = lit([room(20, 20)], [flat], [fan(10, 10)])
    (row,) = found.shadows
    assert (row.clear, row.clear_in, row.move_x_ft) == (False, None, None)
    assert found.fans[0].modulation_percent > found.fans[0].low_risk_percent
    assert verdicts(found, "fan-flicker") == ["misses"]
    steady = [light(x, y, f"s{x}{y}", kind="surface", drop_in=0.0, lumens_lm=1e6) for x in (1, 19) for y in (1, 19)]
    more = lit([room(20, 20)], [flat, *steady], [fan(10, 10)])
    assert (
        more.fans[0].modulation_percent < found.fans[0].modulation_percent
        or more.fans[0].chopped != found.fans[0].chopped
    )


def test_a_light_below_the_work_plane_is_told_and_not_counted() -> None:
    found = lit([room()], [light(6, 6, kind="pendant", drop_in=90.0)])
    assert verdicts(found, "light-low") == ["cannot say"] and found.rooms[0].lux == 0


def test_the_lists_stand_side_by_side_and_the_chosen_one_judges() -> None:
    bath = room(kind="bathroom")
    found = lit([bath], [light(6, 6)], levels_list="trade_list")
    assert {r.listed: r.lux for r in found.levels} == {"handbook": 54.0, "trade_list": 300.0}
    assert [r.listed for r in found.levels if r.chosen] == ["trade_list"]
    assert found.rooms[0].wanted_lux == 300
    assert lit([replace(bath, wanted_lux=77.0)], [light(6, 6)]).rooms[0].wanted_lux == 77
    quoted = lit([replace(bath, task="sewing")], [light(6, 6)], levels_list="quoted_2017")
    assert quoted.rooms[0].wanted_lux is None and verdicts(quoted, "light-level") == ["cannot say"]


def test_a_makers_utilisation_is_taken_instead_of_ours() -> None:
    found = lit([room(12, 10)], [light(6, 5, utilisation=0.5)]).rooms[0]
    assert found.utilisation == 0.5
    assert found.lux == pytest.approx(900 * 0.5 * 0.85 * 0.95 / 120 / 0.3048**2)


def test_efficacy_is_judged_where_lumens_are_given() -> None:
    assert verdicts(lit([room()], [light(6, 6, power_VA=20.0)]), "light-efficacy") == ["meets"]
    assert verdicts(lit([room()], [light(6, 6, power_VA=20.1)]), "light-efficacy") == ["misses"]
    assert verdicts(lit([room()], [light(6, 6, lumens_lm=None)]), "light-efficacy") == ["cannot say"]


def test_a_long_flight_is_controlled_at_both_floors() -> None:
    assert set(verdicts(planned(DEMO).lighting, "stair-control")) <= {"meets", "misses"}
    assert verdicts(planned(DEMO).lighting, "stair-control"), "the demo has a stair"


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_door_to_the_outdoors_is_judged(name) -> None:
    plan = planned(name)
    found = [f for f in plan.lighting.findings if f.id == "light-entrance"]
    assert found and {f.verdict.value for f in found} == {"meets"}, "the step devices places what is missing"
    dark = replace(plan.devices, devices=tuple(d for d in plan.devices.devices if d.kind != "lighting_outlet"))
    again = lighting_design(plan.house, plan.edition, devices=dark)
    assert {f.verdict.value for f in again.findings if f.id == "light-entrance"} <= {"misses", "cannot say"}


def test_an_outline_room_is_lit_like_its_rectangle() -> None:
    corners = outline(room(14, 12))
    shaped = Room(id="den", level="main", kind="den", outline_ft=corners)
    same(told(lit([shaped], [light(5, 5)])), told(lit([room(14, 12)], [light(5, 5)])))


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_example_shows_a_conflict_or_a_clear_light(name) -> None:
    found = planned(name).lighting
    assert found.fans and found.shadows
    assert {r.room for r in found.rooms} == {r.id for r in example(name).rooms}


def test_the_demo_shows_a_conflict_with_its_cure_and_clear_lights() -> None:
    rows = planned(DEMO).lighting.shadows
    assert any(not r.clear and r.move_ft is not None for r in rows) and any(r.clear for r in rows)


@settings(max_examples=12, phases=[Phase.explicit, Phase.generate], suppress_health_check=list(HealthCheck))
@given(houses())
def test_every_house_that_the_columns_allow_is_designed(house) -> None:
    nothing = DevicesResult(
        edition=2023, devices=(), runs=(), fewest_wall_receptacles=0, wall_receptacles=0, in_envelope=0
    )
    found = lighting_design(house, 2023, devices=nothing)
    assert as_json(found) and {r.room for r in found.rooms} == {r.id for r in house.rooms}


# --- bad input -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("file", "header", "row", "column", "said"),
    [
        ("lights", "lumens_lm", "-1", "lumens_lm", ">= 0"),
        ("lights", "lumens_lm", "bright", "lumens_lm", "a number"),
        ("lights", "beam_deg", "0.9", "beam_deg", ">= 1"),
        ("lights", "beam_deg", "181", "beam_deg", "<= 180"),
        ("lights", "cutoff_deg", "91", "cutoff_deg", "<= 90"),
        ("lights", "cutoff_deg", "0", "cutoff_deg", ">= 1"),
        ("lights", "diameter_in", "0", "diameter_in", ">= 0.1"),
        ("lights", "drop_in", "-3", "drop_in", ">= 0"),
        ("lights", "uplight_percent", "101", "uplight_percent", "<= 100"),
        ("lights", "utilisation", "1.3", "utilisation", "<= 1.2"),
        ("lights", "lamp", "enclosd", "lamp", "did you mean 'enclosed'"),
        ("lights", "rated_for", "moist", "rated_for", "unknown, dry, damp, wet"),
        ("lights", "insulation_contact", "perhaps", "insulation_contact", "yes, no"),
        ("fans", "weight_lb", "0", "weight_lb", "> 0"),
        ("fans", "box_for_fan", "2", "box_for_fan", "yes, no"),
    ],
)
def test_bad_cells_of_lights_and_fans_are_told(tmp_path: Path, file, header, row, column, said) -> None:
    write_starter(tmp_path / "house")
    kind = ("kind,", "surface,") if file == "lights" else ("", "")
    (tmp_path / "house" / f"{file}.csv").write_text(
        f"id,room,{kind[0]}x_offset_ft,y_offset_ft,{header}\na,kitchen,{kind[1]}3,3,{row}\n", encoding="utf-8"
    )
    refused(tmp_path, f"{file}.csv", column, said)


def refused(tmp_path: Path, file: str, column: str, said: str) -> None:
    with pytest.raises(InputErrors) as errors:
        read_house(tmp_path / "house")
    (problem,) = errors.value.problems
    assert (problem.file, problem.column) == (file, column)
    assert said in str(problem)


@pytest.mark.parametrize(
    ("column", "cell", "said"),
    [
        ("task", "readin", "did you mean 'reading'"),
        ("wanted_lux", "0", ">= 1"),
        ("ceiling_reflectance_percent", "96", "<= 95"),
        ("wall_reflectance_percent", "-1", ">= 0"),
        ("floor_reflectance_percent", "dark", "not a"),
    ],
)
def test_bad_cells_of_rooms_are_told(tmp_path: Path, column, cell, said) -> None:
    write_starter(tmp_path / "house")
    path = tmp_path / "house" / "rooms.csv"
    lines = [x for x in path.read_text("utf-8").splitlines() if not x.startswith("#")]
    head, first, *rest = lines
    path.write_text(
        "\n".join([f"{head},{column}", f"{first},{cell}", *(f"{x}," for x in rest)]) + "\n", encoding="utf-8"
    )
    with pytest.raises(InputErrors) as errors:
        read_house(tmp_path / "house")
    found = [p for p in errors.value.problems if p.file == "rooms.csv" and p.column == column]
    assert len(found) == 1 and (said in str(found[0]) or "number" in str(found[0]))


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ('levels_list = "handbok"', "did you mean 'handbook'"),
        ("work_plane_in = -1", ">= 0"),
        ("efficacy = 0", ">= 1"),
        ("lumen_maintenance = 1.1", "<= 1"),
        ("dirt_maintenance = 0", ">= 0.1"),
        ("other_maintenance = 2", "<= 1"),
        ("grid_ft = 0.1", ">= 0.25"),
        ("pendant_gap_in = 100", "<= 60"),
        ("closet_shelf_in = -1", ">= 0"),
        ("closet_rod_in = 200", "<= 120"),
        ("tub_rim_in = 60", "<= 48"),
        ("shower_threshold_in = 30", "<= 24"),
    ],
)
def test_bad_entries_of_lighting_are_told(tmp_path: Path, entry: str, said: str) -> None:
    write_starter(tmp_path / "house")
    path = tmp_path / "house" / "house.toml"
    name = entry.split(" ", maxsplit=1)[0]
    lines = [x for x in path.read_text("utf-8").splitlines() if not x.startswith(f"# {name} =")]
    lines.insert(lines.index("[lighting]") + 1, entry)
    path.write_text("\n".join(lines), encoding="utf-8")
    refused(tmp_path, "house.toml", f"lighting.{name}", said)


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), -1.0])
def test_rules_refuse_what_is_no_number_or_negative(bad) -> None:
    for call in (
        lambda: rules.cavity_ratio(bad, 40, 100),
        lambda: rules.facing_form_factor(10, 10, bad),
        lambda: rules.lumens_needed_lm(bad, 0.5, 0.8, 100),
        lambda: rules_point.cone_candela(bad, 60),
        lambda: rules_point.point_lux(100, 2, bad),
        lambda: rules_fans.clear_distance_in(26, 3, 10, bad),
        lambda: rules_fans.blade_frequency_hz(3, bad),
        lambda: rules_fans.modulation_percent(bad, 1),
        lambda: rules_fans.flicker_limit_percent(bad, "low_risk"),
    ):
        with pytest.raises(RangeError):
            call()


# --- pictures --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", EXAMPLES)
def test_pictures_say_what_they_show_and_no_label_leaves_them(name) -> None:
    plan = planned(name)
    pictures = [light_levels(plan), *(lux_plan(plan, level.id) for level in drawn_levels(plan))]
    pictures += [fan_drawing(plan, row.fan) for row in plan.lighting.fans]
    for picture in pictures:
        assert picture.alt
        texts, wide, high = boxes(picture.svg)
        for text, left, top, right, bottom in texts:
            assert left >= 0 and right <= wide and top >= 0 and bottom <= high, f"{text!r} leaves the drawing"
    for row in plan.lighting.shadows:
        (alt,) = [fan_drawing(plan, f.fan).alt for f in plan.lighting.fans if f.fan == row.fan]
        assert f"{row.light} {'clear' if row.clear else 'not clear'}" in alt
