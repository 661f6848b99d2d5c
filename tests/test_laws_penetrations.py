"""Laws of the step penetrations; `crossing`, `circuit`, `holes_of` also build input for the steps after it."""

from __future__ import annotations

import dataclasses
import math
import tempfile
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.common import rules_holes, rules_nm
from hpelec.core.citing import OUR_OWN
from hpelec.core.errors import EditionError, RangeError
from hpelec.core.findings import Verdict
from hpelec.core.tables import table
from hpelec.house.model import House
from hpelec.house.read import read_house
from hpelec.house.rows import FieldNote, Light, Panel
from hpelec.house.sections import Assembly, Layer
from hpelec.house.write import write_starter
from hpelec.steps.circuits.model import Circuit, CircuitsResult
from hpelec.steps.devices.model import DeviceSpot, DevicesResult
from hpelec.steps.lateral.model import LateralResult
from hpelec.steps.penetrations import rules, rules_methods
from hpelec.steps.penetrations.barrier import barriers, layer_words
from hpelec.steps.penetrations.cable_holes import bundles, near_groups
from hpelec.steps.penetrations.design import design
from hpelec.steps.penetrations.model import Hole, PenetrationsResult
from hpelec.steps.routes.model import Crossing, RoutesResult
from hpelec.steps.service.model import ServiceResult

SIZES = {"14": 15.0, "12": 20.0, "10": 30.0}
QUICK = settings(max_examples=40, deadline=None)


@cache
def house() -> House:
    """The starter, with its panel in the garage's place: outside every envelope, so that it makes no hole."""
    with tempfile.TemporaryDirectory() as folder:
        write_starter(folder)
        made = read_house(folder)
    return made.changed(panels=())


def crossing(
    circuit_id: str, x_ft: float = 3.0, *, size: str = "12", surface: str = "floor", **more: object
) -> Crossing:
    told = {"device": f"kitchen-{circuit_id}", "level": "main", "room": "kitchen", "y_ft": 3.0, "z_ft": 0.0, **more}
    return Crossing(circuit=circuit_id, cable=f"NM-B {size}/2", surface=surface, x_ft=x_ft, **told)


def circuit(id: str, size: str = "12", outlets: tuple[str, ...] = ()) -> Circuit:
    return Circuit(
        id=id, name=id, kind="general", panel="P1", breaker_A=SIZES[size], poles=1, voltage_V=120, load_VA=0,
        cable=f"NM-B {size}/2", cable_size=size, current_conductors=2, outlets=outlets, citation=OUR_OWN,
    )  # fmt: skip


def device(id: str, surface: str, *, kind: str = "receptacle", depth_in: float = 2.75, **more: object) -> DeviceSpot:
    told = {"room": "kitchen", "x_ft": 3.0, "y_ft": 0.0, "side": "south", "height_in": 16.0, "gangs": 1, **more}
    return DeviceSpot(
        id=id, level="main", kind=kind, offset_ft=3.0, surface=surface, box="device box", box_volume_in3=18,
        box_fill_in3=10, box_depth_in=depth_in, citation=OUR_OWN, **told,
    )  # fmt: skip


def holes_of(
    crossings: Sequence[Crossing] = (),
    devices: Sequence[DeviceSpot] = (),
    at: House | None = None,
    circuits: Sequence[Circuit] | None = None,
) -> PenetrationsResult:
    used = {c.circuit: circuit(c.circuit, c.cable.split()[1].split("/")[0]) for c in crossings}
    made = circuits if circuits is not None else tuple(used.values())
    return design(
        at or house(),
        2023,
        devices=blank(DevicesResult, devices=tuple(devices)),
        circuits=blank(CircuitsResult, circuits=tuple(made)),
        routes=blank(RoutesResult, crossings=tuple(crossings)),
        service=blank(ServiceResult),
        lateral=blank(LateralResult, entrance=None),
    )


def blank(kind: type, **told: object):
    """A result with nothing in it but what is told, whatever else its step has come to report."""
    needed = [f for f in dataclasses.fields(kind) if f.default is dataclasses.MISSING and f.name not in told]
    empty = {f.name: () if str(f.type).startswith("tuple") else 0 for f in needed}
    return kind(**{**empty, "edition": 2023, **told})


def cables_in(holes: Sequence[Hole]) -> Counter[str]:
    return Counter(p for h in holes for p in h.passes if p.startswith("NM"))


SURFACES = st.sampled_from(["floor", "ceiling", "wall", "garage_wall"])
CROSSINGS = st.lists(
    st.builds(
        lambda n, x, size, surface: crossing(f"c{n}", x / 4, size=size, surface=surface),
        st.integers(0, 30),
        st.integers(0, 100),
        st.sampled_from(sorted(SIZES)),
        SURFACES,
    ),
    max_size=25,
    unique_by=lambda c: (c.circuit,),
)


@QUICK
@given(CROSSINGS)
def test_every_crossing_is_in_one_hole(crossings: list[Crossing]) -> None:
    got = cables_in(holes_of(crossings).holes)
    want = Counter(c.cable for c in crossings)
    assert got == want, f"cables in holes {got}, crossings {want}"


@QUICK
@given(CROSSINGS, st.randoms())
def test_the_order_of_rows_does_not_matter(crossings: list[Crossing], chance) -> None:
    mixed = list(crossings)
    chance.shuffle(mixed)
    assert holes_of(mixed) == holes_of(crossings), "another order of crossings gave another result"


@QUICK
@given(CROSSINGS)
def test_ids_are_unique_and_totals_count_all(crossings: list[Crossing]) -> None:
    result = holes_of(crossings)
    ids = [h.id for h in result.holes]
    assert len(ids) == len(set(ids)), f"twice: {[i for i in ids if ids.count(i) > 1]}"
    assert sum(s.cable_holes + s.box_holes for s in result.surfaces) == len(ids)


@QUICK
@given(CROSSINGS)
def test_a_far_row_leaves_the_other_holes_alone(crossings: list[Crossing]) -> None:
    before = {h.id: h for h in holes_of(crossings).holes}
    after = {h.id: h for h in holes_of([*crossings, crossing("zz", 500.0)]).holes}
    assert {i: after[i] for i in before} == before
    assert len(after) == len(before) + 1


@QUICK
@given(CROSSINGS)
def test_no_sealed_bundle_takes_from_its_breakers(crossings: list[Crossing]) -> None:
    result = holes_of(crossings)
    bad = [f for f in result.findings if f.id == "sealed-bundle" and f.verdict is not Verdict.MEETS]
    assert not bad, bad


@QUICK
@given(CROSSINGS, st.floats(0.0, 60.0))
def test_combining_keeps_the_cables_and_never_adds_holes(crossings: list[Crossing], reach_in: float) -> None:
    circuits = {c.circuit: circuit(c.circuit, c.cable.split()[1].split("/")[0]) for c in crossings}
    groups = near_groups(crossings, reach_in)
    made = [b for g in groups for b in bundles(g, circuits, 2023, together=True)]
    assert sorted(c.circuit for b in made for c in b.crossings) == sorted(c.circuit for c in crossings)
    assert len(made) <= len(crossings)


def test_crossings_at_one_place_share_a_hole_up_to_the_limit() -> None:
    holes = holes_of([crossing(f"c{n:02}", device="P1") for n in range(26)]).holes
    assert sorted(len(h.passes) for h in holes) == [2, 4, 4, 4, 4, 4, 4], [h.passes for h in holes]
    towards_attic = holes_of([crossing(f"c{n}", surface="ceiling", device="P1") for n in range(6)]).holes
    assert [len(h.passes) for h in towards_attic] == [3, 3], "45 C towards the attic lets three 12/2 pass, not four"


def test_the_six_inch_edge() -> None:
    assert len(holes_of([crossing("a", 3.0), crossing("b", 3.5)]).holes) == 1
    assert len(holes_of([crossing("a", 3.0), crossing("b", 3.51)]).holes) == 2


def test_a_membrane_takes_a_hole_for_each_cable() -> None:
    layers = (
        Layer(material="gypsum", thickness_in=0.5),
        Layer(material="membrane", thickness_in=0.02, air_barrier=True),
    )
    tight = house().changed(assemblies=(Assembly(id="f", surface="floor", layers=layers),))
    holes = holes_of([crossing("a"), crossing("b")], at=tight).holes
    assert [(h.kind, h.method) for h in holes] == [
        ("cable_wall", "grommet" if h.gap_mm <= 3 else "tape") for h in holes
    ]
    assert len(holes) == 2


@pytest.mark.parametrize(
    ("depth_in", "cut", "verdict"),
    [
        (1.874, False, Verdict.CANNOT_SAY),
        (1.875, False, Verdict.CANNOT_SAY),
        (1.876, True, Verdict.MISSES),
        (1.625, False, Verdict.MEETS),
        (1.626, False, Verdict.CANNOT_SAY),
    ],
)
def test_a_box_at_the_edge_of_its_cavity(depth_in: float, cut: bool, verdict: Verdict) -> None:
    layers = (
        Layer(material="gypsum", thickness_in=0.5),
        Layer(material="battens", thickness_in=1.5, service_cavity=True),
        Layer(material="membrane", thickness_in=0.02, air_barrier=True),
    )
    tight = house().changed(assemblies=(Assembly(id="w", surface="wall", layers=layers),))
    result = holes_of(devices=[device("kitchen.R1", "wall", depth_in=depth_in)], at=tight)
    assert bool(result.holes) == cut, f"{depth_in} in inside + 1/8 in against 2 in"
    assert [f.verdict for f in result.findings if f.id == "box-depth"] == [verdict]


def test_a_finish_that_is_the_barrier_is_always_cut() -> None:
    hole = holes_of(devices=[device("kitchen.L1", "ceiling", depth_in=0.5, kind="lighting_outlet")]).holes[0]
    assert (hole.kind, hole.id) == ("surface_light", "ceiling:kitchen.L1")


def test_a_crossing_at_a_box_that_cuts_the_same_barrier_is_no_second_hole() -> None:
    box = device("kitchen.L1", "ceiling", kind="lighting_outlet")
    into_it = crossing("a", surface="ceiling", device="kitchen.L1")
    assert [h.kind for h in holes_of([into_it], [box]).holes] == ["surface_light"]
    through_floor = crossing("a", surface="floor", device="kitchen.L1")
    assert len(holes_of([through_floor], [box]).holes) == 2


@pytest.mark.parametrize("named", ["kitchen.O1", "P1"])
def test_a_box_outdoors_is_one_hole(named: str) -> None:
    outdoors = device("kitchen.O1", "outside", kind="outdoor_receptacle", room="")
    cable = crossing("a", 3.0, surface="wall", device=named, y_ft=0.0, z_ft=1.5)
    holes = holes_of([cable], [outdoors], circuits=[circuit("a", outlets=("kitchen.O1",))]).holes
    assert [(h.id, h.kind, h.circuits) for h in holes] == [("outside:kitchen.O1", "box_outside", ("a",))]


def test_a_box_outdoors_on_a_wall_that_is_no_envelope_is_no_hole() -> None:
    far = device("garage.O1", "outside", x_ft=200.0, y_ft=200.0)
    assert not holes_of(devices=[far], circuits=[circuit("a", outlets=("garage.O1",))]).holes


def test_recessed_lights_count_once_with_or_without_a_device_row() -> None:
    light = Light(id="can", room="kitchen", kind="recessed", x_offset_ft=4, y_offset_ft=4)
    lit = house().changed(lights=(light,))
    served = device("kitchen.can", "ceiling", serves="can", kind="lighting_outlet")
    assert [h.kind for h in holes_of(at=lit).holes] == ["recessed"]
    assert [h.kind for h in holes_of(devices=[served], at=lit).holes] == ["recessed"]
    tested = house().changed(lights=(replace(light, airtight_rated=True),))
    assert holes_of(at=tested).holes[0].tested_box


def test_service_and_site_holes() -> None:
    panel = Panel(id="P1", name="Main", room="utility", side="east", offset_ft=4)
    note = FieldNote(
        id="N1", event="unplanned_hole", date="2031-05-01", room="kitchen", diameter_in=1.0, note="ceiling"
    )
    holes = holes_of(at=house().changed(panels=(panel,), field_notes=(note,))).holes
    kinds = {h.id: (h.kind, h.surface) for h in holes}
    assert kinds == {"site:N1": ("unplanned", "ceiling"), "wall:service:P1": ("service_entrance", "wall")}
    entrance = next(h for h in holes if h.kind == "service_entrance")
    assert entrance.bore_area_mm2 > 0
    assert entrance.bore_method == "putty", "a conduit has two paths, both to be closed"
    assert math.isclose(entrance.x_ft, 30.0), "the hole stands on the outside wall next to the panel"


def test_a_surface_without_assembly_is_a_finding() -> None:
    bare = house().changed(assemblies=())
    result = holes_of([crossing("a")], at=bare)
    assert not result.holes
    assert [f.verdict for f in result.findings] == [Verdict.CANNOT_SAY]


@pytest.mark.parametrize(
    ("material", "family"),
    [
        ("taped sheathing", "sheathing"),
        ("Interior membrane, variable, taped", "membrane"),
        ("subfloor, seams taped", "plates"),
        ("gypsum board, garage side", "gypsum"),
        ("plaster on lath", "gypsum"),
        ("concrete slab", "slab"),
        ("something else", ""),
    ],
)
def test_layers_are_known_by_their_words(material: str, family: str) -> None:
    words = layer_words(material, "wall")
    assert (words[0] if words else "") == family


def test_words_of_layers_are_words_of_the_sealing_tables() -> None:
    cells = [r.text("suited_layers") for r in table("air/sealing_methods")]
    cells += [r.text("layers") for r in table("air/sealing_catalogue")]
    known = {w for cell in cells for w in rules_methods.listed(cell)}
    for row in table("air/layer_words"):
        strangers = set(rules_methods.listed(row.text("answers_to"))) - known
        assert not strangers, f"{row.text('word')}: {strangers} stand in no sealing table"


def test_every_kind_lists_known_methods_and_steps() -> None:
    methods = {r.text("method_id") for r in table("air/sealing_methods")}
    for kind in table("air/hole_leakage"):
        row = table("air/sealing_catalogue").one(kind_id=kind.text("kind_id"))
        strangers = set(rules_methods.listed(row.text("methods"))) - methods
        assert not strangers, f"{kind.text('kind_id')}: {strangers}"
    for row in table("air/sealing_methods"):
        assert rules_methods.stage_number(rules_methods.stage_name(int(row.number("seal_step"))))


def test_the_barrier_of_a_surface_does_not_hang_on_row_order() -> None:
    layers = (Layer(material="membrane", thickness_in=0.02, air_barrier=True),)
    two = [Assembly(id=i, surface="wall", layers=layers) for i in ("b", "a")]
    assert barriers(two)["wall"].assembly == barriers(two[::-1])["wall"].assembly == "a"


@QUICK
@given(st.floats(0.05, 3.0), st.floats(0.05, 3.0))
def test_a_hole_holds_its_cable_and_leaves_less_than_a_larger_one(width_in: float, thickness_in: float) -> None:
    outside_in = rules_holes.stacked_size_in([width_in], [thickness_in])
    hole_in = rules_holes.hole_diameter_in(outside_in)
    assert 0.125 - 1e-6 <= hole_in - outside_in < 0.125 + 1 / 16 + 1e-6
    assert 0 < rules.free_area_mm2(hole_in, [width_in], [thickness_in]) < rules.free_area_mm2(hole_in, [], [])


@QUICK
@given(st.integers(1, 40), st.sampled_from(sorted(SIZES)), st.floats(20.0, 60.0))
def test_more_cables_or_heat_never_carry_more(count: int, size: str, ambient_C: float) -> None:
    few, many = (rules_nm.sealed_hole_factor([2] * n, 2023) for n in (count, count + 1))
    assert many <= few
    cool, hot = (rules_nm.ambient_factor_90(t) for t in (ambient_C, ambient_C + 5))
    at = [rules_nm.sealed_hole_ampacity_A(size, few, 2023, ambient_factor=f) for f in (cool, hot)]
    assert at[1] <= at[0]


NAN = math.nan
BAD = [
    rules_holes.hole_diameter_in,
    lambda v: rules.gap_mm(1.0, v),
    lambda v: rules.free_area_mm2(v, [], []),
    rules.box_outside_depth_in,
    lambda v: rules.box_margin_in(v, 2.0),
    lambda v: rules.distance_to_barrier_in([v]),
    lambda v: rules_holes.stacked_size_in([v], [0.2]),
    rules_nm.ambient_factor_90,
    lambda v: rules_nm.sealed_hole_ampacity_A("12", v, 2023),
    lambda v: rules_methods.choose_method("cable_wall", v, ("membrane",), "insulation"),
]


@pytest.mark.parametrize("bad", [NAN, math.inf, -math.inf, -1e6])
@pytest.mark.parametrize("call", BAD, ids=range(len(BAD)))
def test_rules_refuse_what_is_no_size(call, bad: float) -> None:
    with pytest.raises(RangeError):
        call(bad)


def test_an_unknown_edition_is_refused() -> None:
    with pytest.raises(EditionError):
        rules_nm.sealed_hole_factor([2, 2, 2], 2014)
    with pytest.raises(RangeError):
        rules_holes.stacked_size_in([], [])
