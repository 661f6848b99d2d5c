"""Laws of the step routes: chains, walls, crossings counted once, more freedom never costs more."""

from __future__ import annotations

import dataclasses
import itertools
import math
from collections import Counter
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.core.errors import RangeError
from hpelec.core.findings import Verdict
from hpelec.house.model import House
from hpelec.house.rows import Opening, Room
from hpelec.house.sections import Assembly, Layer, Level, Space
from hpelec.steps.circuits.design import design as design_circuits
from hpelec.steps.circuits.model import CircuitsResult
from hpelec.steps.devices.model import DevicesResult
from hpelec.steps.routes import rules
from hpelec.steps.routes.chain import best_chain, chain_length, good_chain, shortest_chain, spanning_tree_length
from hpelec.steps.routes.design import design
from hpelec.steps.routes.model import RoutesResult
from tests.adapters_circuits import devices_result, on_wall, spot, trial_devices
from tests.adapters_routes import random_distances
from tests.test_laws_circuits import starter

places = st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), min_size=2, max_size=7)
many_places = st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), min_size=2, max_size=20)


def crawl_house(**routing) -> House:
    """The starter over a vented crawl space, under an attic."""
    house = starter()
    level = Level(id="main", name="Main", floor_ft=0.0, ceiling_height_ft=8.0, below="crawl", above="attic")
    spaces = (
        Space(id="crawl", kind="crawl_space", inside_air_barrier=False),
        Space(id="attic", kind="attic", inside_air_barrier=False),
    )
    return house.changed(levels=(level,), spaces=spaces, routing=dataclasses.replace(house.routing, **routing))


def routed(house: House, devices: DevicesResult | None = None) -> RoutesResult:
    devices = devices or trial_devices(house)
    circuits = design_circuits(house, 2023, devices=devices)
    return design(house, 2023, devices=devices, circuits=circuits)


@cache
def base() -> RoutesResult:
    return routed(crawl_house())


def one_circuit(devices: DevicesResult, house: House, outlets: list[str]) -> CircuitsResult:
    """All the devices named on one circuit, nothing else."""
    circuits = design_circuits(house, 2023, devices=devices)
    only = dataclasses.replace(
        circuits.circuits[0], id="only", kind="general", outlets=tuple(outlets), panel=house.panels[0].id
    )
    return dataclasses.replace(circuits, circuits=(only,))


@settings(max_examples=60, deadline=None)
@given(places)
def test_the_exact_chain_is_the_best_of_all_orders(at) -> None:
    distances = random_distances(at)
    got = shortest_chain(distances)
    best = min(chain_length(distances, order) for order in itertools.permutations(range(1, len(at))))
    assert got.length == pytest.approx(best)
    assert chain_length(distances, got.order) == pytest.approx(got.length)
    assert sorted(got.order) == list(range(1, len(at)))


@settings(max_examples=60, deadline=None)
@given(many_places)
def test_tree_bounds_chain_and_chain_is_at_most_twice_the_tree(at) -> None:
    distances = random_distances(at)
    tree, chain = spanning_tree_length(distances), best_chain(distances)
    assert tree <= chain.length + 1e-9
    assert chain.bound <= chain.length + 1e-9
    if chain.proven:
        assert chain.length <= 2 * tree + 1e-9, "a proven chain is longer than a walk round the tree"


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), min_size=3, max_size=12), st.randoms())
def test_a_good_chain_visits_all_and_never_beats_the_exact_one(at, random) -> None:
    distances = random_distances(at)
    start = list(range(1, len(at)))
    random.shuffle(start)
    good, exact = good_chain(distances, [start]), shortest_chain(distances)
    assert sorted(good.order) == list(range(1, len(at)))
    assert exact.length - 1e-9 <= good.length <= chain_length(distances, start) + 1e-9
    assert good.bound <= exact.length + 1e-9


def test_no_boxes_or_one_box() -> None:
    assert shortest_chain([[0.0]]).length == 0
    assert shortest_chain([[0.0, 7.0], [7.0, 0.0]]) == best_chain(np.array([[0.0, 7.0], [7.0, 0.0]]))
    assert shortest_chain([[0.0, 7.0], [7.0, 0.0]]).length == 7


@given(st.floats(0, 500), st.floats(0, 500), st.floats(1, 48))
def test_holes_across_two_stretches_are_never_fewer_than_across_both(a: float, b: float, spacing_in: float) -> None:
    together = rules.holes_across(a + b, spacing_in)
    assert together <= rules.holes_across(a, spacing_in) + rules.holes_across(b, spacing_in)
    assert rules.holes_across(a, spacing_in) <= together


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_rules_refuse_what_is_no_length(bad: float) -> None:
    for call in (
        lambda: rules.holes_across(bad, 16),
        lambda: rules.holes_across(1, bad),
        lambda: rules.header_detour_ft(80, bad),
        lambda: rules.drawn_ft([bad], 2, 8, 1, 5),
        lambda: rules.buy_ft(bad, 10),
        lambda: rules.labour_min([bad], [1]),
        lambda: rules.weighted_cost_USD([1], [bad]),
    ):
        with pytest.raises(RangeError):
            call()


def test_every_leg_is_as_long_as_it_is_drawn_and_every_crossing_is_told_once() -> None:
    result = base()
    for leg in result.legs:
        drawn_ft = math.fsum(math.dist(p, q) for p, q in itertools.pairwise(leg.points_ft))
        assert drawn_ft == pytest.approx(leg.cable_ft, abs=1e-6), f"{leg.circuit}, {leg.start} to {leg.end}"
    counted = Counter()
    for leg in result.legs:
        counted[leg.circuit] += leg.crossings
    assert counted == Counter(c.circuit for c in result.crossings)
    assert sum(r.crossings for r in result.routes) == len(result.crossings)


def test_a_chain_visits_every_outlet_once() -> None:
    house = crawl_house()
    devices = trial_devices(house)
    circuits = {c.id: c for c in design_circuits(house, 2023, devices=devices).circuits}
    result = base()
    assert {r.circuit for r in result.routes} == {c.id for c in circuits.values() if c.outlets}
    for route in result.routes:
        assert sorted(route.chain) == sorted(circuits[route.circuit].outlets), route.circuit
        legs = [x for x in result.legs if x.circuit == route.circuit]
        assert [x.start for x in legs] == [route.panel, *route.chain[:-1]]
        assert [x.end for x in legs] == list(route.chain)


def test_sums_agree_from_legs_to_routes_to_the_house() -> None:
    result = base()
    best = next(w for w in result.ways if w.ways == "best of all")
    assert best.cable_ft == pytest.approx(math.fsum(r.cable_ft for r in result.routes))
    assert best.cost_USD == pytest.approx(math.fsum(r.cost_USD for r in result.routes))
    assert best.holes == sum(x.holes for x in result.legs)
    assert math.fsum(c.drawn_ft for c in result.cables) == pytest.approx(best.cable_ft)
    for c in result.cables:
        assert c.buy_ft == pytest.approx(c.drawn_ft * 1.1)


@settings(max_examples=12, deadline=None)
@given(st.floats(0, 5), st.floats(0, 20), st.floats(0, 100), st.floats(0, 10))
def test_more_ways_never_cost_more(cable: float, hole: float, crossing: float, insulation: float) -> None:
    house = crawl_house(
        cable_cost_USD=cable, hole_cost_USD=hole, crossing_cost_USD=crossing, insulation_cost_USD=insulation
    )
    result = routed(house)
    totals = {w.ways: w for w in result.ways}
    for name, total in totals.items():
        assert totals["best of all"].cost_USD <= total.cost_USD + 1e-4, f"{name} is cheaper than the best of all"
    for route in result.routes:
        assert route.bound_USD <= route.cost_USD + 1e-6
        assert not route.proven or route.bound_USD == route.cost_USD


@settings(max_examples=12, deadline=None)
@given(st.floats(0, 80), st.floats(0, 80))
def test_dearer_crossings_are_never_more_crossings(a: float, b: float) -> None:
    low, high = sorted((a, b))
    few, many = routed(crawl_house(crossing_cost_USD=high)), routed(crawl_house(crossing_cost_USD=low))
    before = {r.circuit: r for r in many.routes}
    for route in few.routes:
        old = before[route.circuit]
        if route.proven and old.proven:
            assert route.crossings <= old.crossings, (
                f"{route.circuit}: {old.crossings} at {low}, {route.crossings} at {high}"
            )


@settings(max_examples=10, deadline=None)
@given(st.randoms(use_true_random=False))
def test_the_order_of_rows_does_not_matter(random) -> None:
    house = crawl_house()
    devices = trial_devices(house)
    circuits = design_circuits(house, 2023, devices=devices)

    def shuffled(rows):
        mixed = list(rows)
        random.shuffle(mixed)
        return tuple(mixed)

    parts = ("rooms", "openings", "panels", "spaces", "assemblies", "fixed")
    other = house.changed(**{p: shuffled(getattr(house, p)) for p in parts})
    mixed = dataclasses.replace(devices, devices=shuffled(devices.devices))
    turned = dataclasses.replace(circuits, circuits=shuffled(circuits.circuits))
    got = design(other, 2023, devices=mixed, circuits=turned)
    assert got.routes == base().routes
    assert got.legs == base().legs


@settings(max_examples=10, deadline=None)
@given(st.floats(-300, 300), st.floats(-300, 300))
def test_a_house_drawn_elsewhere_costs_the_same(dx: float, dy: float) -> None:
    house = crawl_house()
    rooms = tuple(dataclasses.replace(r, x_ft=r.x_ft + dx, y_ft=r.y_ft + dy) for r in house.rooms)
    devices = trial_devices(house)
    moved = [dataclasses.replace(d, x_ft=d.x_ft + dx, y_ft=d.y_ft + dy) for d in devices.devices]
    got = {r.circuit: r.cost_USD for r in routed(house.changed(rooms=rooms), devices_result(moved)).routes}
    want = {r.circuit: r.cost_USD for r in base().routes}
    assert got == pytest.approx(want, abs=1e-4)


def row_of_boxes(house: House, count: int) -> DevicesResult:
    """Receptacles 2 ft apart on the long south wall of the kitchen and living room, from the west."""
    rooms = {r.id: r for r in house.rooms}
    made = [on_wall(house, rooms["kitchen"], "south", 1 + 2 * i, f"b{i}", "receptacle") for i in range(count)]
    return devices_result(made)


def test_a_chain_below_the_floor_counts_as_worked_by_hand() -> None:
    """n boxes at spacing s, h above the floor, run t below: (n-1)(s + 2(h+t)) cable, 2(n-1) plate holes."""
    house = crawl_house(run_below_floor_in=12.0, joist_direction="east-west", hole_cost_USD=0.0)
    house = house.changed(openings=())
    panel = dataclasses.replace(house.panels[0], room="kitchen", side="south", offset_ft=13, height_in=16.0)
    house = house.changed(panels=(panel,))
    devices = row_of_boxes(house, 6)
    result = design(house, 2023, devices=devices, circuits=one_circuit(devices, house, [f"b{i}" for i in range(6)]))
    below = next(w for w in result.ways if w.ways == "below_floor")
    studs = next(w for w in result.ways if w.ways == "through_studs")
    ends_ft = 11 * 8 / 12 + 5
    assert below.possible and studs.possible
    assert below.cable_ft - ends_ft == pytest.approx(6 * (2 + 2 * (16 + 12) / 12))
    assert below.holes == 12 and below.crossings == 12
    assert studs.cable_ft - ends_ft == pytest.approx(12)
    assert studs.holes == 6 * math.ceil(24 / 16) and studs.crossings == 0
    wall_ft = 6 * 2 * 16 / 12 + 12 * 9.25 / 12
    assert below.insulation_ft == pytest.approx(wall_ft), "outer wall down to the floor, then the insulated joists"


def test_an_opening_costs_twice_its_header() -> None:
    house = crawl_house()
    door = Opening(id="d", room="kitchen", side="south", offset_ft=4, width_ft=3, kind="door", height_ft=80 / 12)
    panel = dataclasses.replace(house.panels[0], room="kitchen", side="south", offset_ft=9, height_in=16.0)
    lengths = {}
    for name, openings in (
        ("plain", ()),
        ("door", (door,)),
        ("window", (dataclasses.replace(door, sill_ft=3.0, height_ft=3),)),
    ):
        h = house.changed(openings=openings, panels=(panel,))
        devices = devices_result([on_wall(h, h.rooms[0], "south", 2, "b0", "receptacle")])
        result = design(h, 2023, devices=devices, circuits=one_circuit(devices, h, ["b0"]))
        lengths[name] = next(w for w in result.ways if w.ways == "through_studs").cable_ft
    assert lengths["window"] == pytest.approx(lengths["plain"]), "a run below the sill needs no detour"
    assert lengths["door"] - lengths["plain"] == pytest.approx(2 * (80 - 16) / 12)


def garage_house(barrier_outside: bool) -> House:
    """The starter with a garage to its east; the air barrier on the shared wall's garage face or inside its studs."""
    house = crawl_house()
    garage = Room(
        id="garage", name="Garage", level="main", kind="garage", x_ft=30.0, y_ft=0.0, width_ft=20.0, depth_ft=23.0,
        inside_air_barrier=False,
    )  # fmt: skip
    board = Layer(material="gypsum board", thickness_in=0.5)
    studs = Layer(material="studs", thickness_in=5.5, insulation=True)
    inner = Layer(material="membrane", thickness_in=0.02, air_barrier=not barrier_outside)
    outer = Layer(material="board, garage side", thickness_in=0.5, air_barrier=barrier_outside)
    cavity = Layer(material="service cavity", thickness_in=1.5, service_cavity=True)
    wall = Assembly(id="a-garage", surface="garage_wall", layers=(board, cavity, inner, studs, outer))
    others = tuple(a for a in house.assemblies if a.surface != "garage_wall")
    return house.changed(rooms=(*house.rooms, garage), assemblies=(*others, wall))


@pytest.mark.parametrize("side", ["west", "east", "north", "south"])
@pytest.mark.parametrize("barrier_outside", [True, False])
def test_a_cable_into_the_garage_crosses_its_wall_once(side: str, barrier_outside: bool) -> None:
    house = garage_house(barrier_outside)
    room = next(r for r in house.rooms if r.id == "garage")
    devices = devices_result([on_wall(house, room, side, 9, "g", "receptacle")])
    result = design(house, 2023, devices=devices, circuits=one_circuit(devices, house, ["g"]))
    surfaces = [c.surface for c in result.crossings]
    # On the shared wall the box itself is the hole where its studs lie within the barrier.
    expected = [] if side == "west" and barrier_outside else ["garage_wall"]
    assert surfaces == expected, f"{side} wall: {result.crossings}"


def test_an_outdoor_box_crosses_the_wall_and_a_ceiling_box_is_its_own_hole() -> None:
    house = crawl_house()
    room = house.rooms[0]
    outdoor = on_wall(house, room, "south", 5, "o", "outdoor_receptacle", surface="outside")
    devices = devices_result([outdoor])
    result = design(house, 2023, devices=devices, circuits=one_circuit(devices, house, ["o"]))
    assert [(c.surface, c.device) for c in result.crossings] == [("wall", "o")]
    light = spot("l", room.id, "main", "lighting_outlet", (7.0, 6.0), "", height_in=96.0, surface="ceiling")
    devices = devices_result([light])
    result = design(house, 2023, devices=devices, circuits=one_circuit(devices, house, ["l"]))
    assert [(c.surface, c.device) for c in result.crossings] == [("ceiling", house.panels[0].id)]
    assert result.routes[0].holes == 1, "one top plate at the panel; the box stands between joists"


def test_a_ceiling_service_cavity_spares_the_crossing() -> None:
    house = crawl_house()
    cavity = Assembly(
        id="a-ceiling",
        surface="ceiling",
        layers=(
            Layer(material="gypsum board", thickness_in=0.5),
            Layer(material="service cavity", thickness_in=1.5, service_cavity=True),
            Layer(material="membrane", thickness_in=0.02, air_barrier=True),
            Layer(material="loose fibre", thickness_in=16.0, insulation=True),
        ),
    )
    house = house.changed(assemblies=(cavity, *(a for a in house.assemblies if a.surface != "ceiling")))
    result = routed(house)
    assert not [c for c in result.crossings if c.surface == "ceiling"]
    assert [c for c in base().crossings if c.surface == "ceiling"], "the house without the cavity has none to spare"


def test_what_cannot_be_reached_is_a_finding_not_an_error() -> None:
    house = starter()
    slab = Level(id="main", name="Main", floor_ft=0.0, ceiling_height_ft=8.0, below="ground", above="roof")
    house = house.changed(levels=(slab,), spaces=())
    result = routed(house)
    told = [f for f in result.findings if f.id == "route"]
    assert told and all(f.verdict is Verdict.CANNOT_SAY for f in told)
    assert all("light" in f.got for f in told), [f.got for f in told]
    lost = {box for f in told if f.got.startswith("no way to ") for box in f.got[len("no way to ") :].split(", ")}
    wired = {box for r in result.routes for box in r.chain}
    assert lost and wired.isdisjoint(lost), "a box without a way stands in a chain"
    partly = {f.place for f in told} & {r.circuit for r in result.routes}
    assert partly, "a circuit must keep the boxes that can be reached"
    totals = {w.ways: w for w in result.ways}
    assert not totals["below_floor"].possible and not totals["best of all"].possible


def test_all_weights_zero_is_told_and_the_shortest_way_is_taken() -> None:
    zero = {f"{k}_cost_USD": 0.0 for k in ("cable", "hole", "crossing", "insulation")}
    result = routed(crawl_house(**zero))
    assert [f.verdict for f in result.findings if f.id == "weights"] == [Verdict.MISSES]
    assert all(r.cost_USD == 0 for r in result.routes)


def test_a_whole_house_is_routed_quickly() -> None:
    import time

    house = crawl_house()
    devices = trial_devices(house)
    circuits = design_circuits(house, 2023, devices=devices)
    begin = time.process_time()
    design(house, 2023, devices=devices, circuits=circuits)
    took = time.process_time() - begin
    assert took < 1.5, f"{took:.2f} s for {len(devices.devices)} devices: what-ifs would feel slow"
