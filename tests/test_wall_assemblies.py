"""Walls with an assembly of their own (walls.csv): boxes, holes and routes differ by wall, and what is refused."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from hpelec.core.errors import InputErrors
from hpelec.house.assemblies import assembly_of, built_walls
from hpelec.house.check import check
from hpelec.house.check_walls import told_assemblies
from hpelec.house.geometry import edges
from hpelec.house.model import House
from hpelec.house.read import read_house
from hpelec.house.rows import FieldNote, Room, WallBuild
from hpelec.house.sections import Assembly, Layer
from hpelec.house.walls import wall_faces
from hpelec.house.write import write_house, write_starter
from hpelec.plan import Plan, design
from hpelec.report.elevation_page import elevations_html
from hpelec.steps.devices.model import BoxRow
from hpelec.steps.penetrations.barrier import barriers_of
from hpelec.steps.penetrations.cable_holes import by_barrier
from hpelec.steps.routes.media import INDOORS, Cavity
from hpelec.steps.routes.model import Crossing
from hpelec.steps.routes.walls import build_walls
from tests.houses import EXAMPLES, example, starter

OWN = "walls-with-cavity"
USUAL = "default-wall"
"""The starter's: gypsum board, studs with insulation, taped sheathing as the barrier, cladding."""


def with_cavity(depth_in: float = 1.5, *, id: str = OWN, surface: str = "wall") -> Assembly:
    """Gypsum board, a service cavity inside a membrane, studs with insulation."""
    return Assembly(
        id=id,
        surface=surface,
        layers=(
            Layer(material="gypsum board", thickness_in=0.5),
            Layer(material="battens laid flat", thickness_in=depth_in, service_cavity=True),
            Layer(material="interior membrane, taped", thickness_in=0.02, air_barrier=True),
            Layer(material="studs with dense fibre", thickness_in=5.5, insulation=True),
            Layer(material="wood sheathing", thickness_in=0.4375),
        ),
    )


def row(room: str = "living", side: str = "south", assembly: str = OWN, id: str = "w1") -> WallBuild:
    return WallBuild(id=id, room=room, side=side, assembly=assembly)


def built(*rows: WallBuild, depth_in: float = 1.5) -> House:
    return starter().changed(assemblies=(*starter().assemblies, with_cavity(depth_in)), wall_builds=rows)


@cache
def planned(depth_in: float) -> Plan:
    """The starter with the south wall of its living room built with a service cavity."""
    return design(built(row(), depth_in=depth_in))


@cache
def plain() -> Plan:
    return design(starter())


def boxes_on(plan: Plan, room: str, side: str) -> list[BoxRow]:
    those = {d.id for d in plan.devices.devices if (d.room, d.side, d.surface) == (room, side, "wall")}
    found = [b for b in plan.devices.boxes if b.device in those]
    assert found, f"no box in the {side} wall of {room}"
    return found


# --- the one home ----------------------------------------------------------------------------------------------------


def test_a_wall_takes_its_own_assembly_and_every_other_wall_the_first_of_the_surface() -> None:
    house = built(row())
    told = {(f.room, f.side): f.assembly for f in wall_faces(house) if f.surface == "wall"}
    assert {wall for wall, assembly in told.items() if assembly == OWN} == {("living", "south")}
    assert set(told.values()) == {OWN, USUAL}


def test_a_row_counts_only_for_the_surface_of_its_assembly() -> None:
    garage = with_cavity(id="to-garage", surface="garage_wall")
    given = (*starter().assemblies, garage)
    rows = (row(assembly="to-garage"),)
    wall, other = (assembly_of(given, rows, surface, "living", "south") for surface in ("wall", "garage_wall"))
    assert wall is not None and wall.id == USUAL
    assert other == garage
    assert assembly_of((), rows, "wall", "living", "south") is None
    ceiling = assembly_of(given, rows, "ceiling", "living", "south")
    assert ceiling is not None and ceiling.surface == "ceiling"


def test_a_place_without_a_side_takes_the_nearest_wall() -> None:
    walls = built_walls(built(row()))
    near, far = walls.at("wall", "main", (20.0, 0.3)), walls.at("wall", "main", (29.9, 6.0), "living")
    assert near is not None and near.id == OWN
    assert far is not None and far.id == USUAL


def test_the_table_of_wall_faces_shows_the_walls_own() -> None:
    line = re.compile(r"<tr><td>living</td><td>south</td>.*?</tr>")
    (own,), (usual,) = line.findall(elevations_html(planned(1.5))), line.findall(elevations_html(plain()))
    assert f"<td>{OWN}</td>" in own and f"<td>{USUAL}</td>" in usual


# --- boxes -----------------------------------------------------------------------------------------------------------


def test_a_box_is_chosen_for_the_cavity_of_its_own_wall() -> None:
    for box in boxes_on(planned(1.5), "living", "south"):
        assert box.barrier_in == 2.0 and box.outside_depth_in < 2.0, "shallow, in front of the membrane"
        assert box.keeps_barrier == "in front of the barrier"
    for box in boxes_on(planned(1.5), "living", "east") + boxes_on(planned(1.5), "kitchen", "south"):
        assert box.barrier_in == 6.0 and box.outside_depth_in > 2.0, "in the studs, in front of the sheathing"


def test_a_cavity_too_shallow_for_any_box_needs_boots_in_that_wall_only() -> None:
    plan = planned(0.75)
    assert {b.keeps_barrier for b in boxes_on(plan, "living", "south")} == {"membrane boot"}
    assert {b.keeps_barrier for b in boxes_on(plan, "living", "east")} == {"in front of the barrier"}


@pytest.mark.parametrize("depth_in", [0.5, 0.75, 1.5])
def test_battens_of_a_walls_own_cavity_are_told(depth_in: float) -> None:
    (limit,) = [f for f in planned(depth_in).devices.framing if f.member.endswith(f"outer wall as {OWN}")]
    assert limit.depth_in == depth_in and limit.plate_for_cables
    assert not any("batten" in f.member for f in plain().devices.framing)


# --- holes -----------------------------------------------------------------------------------------------------------


def test_a_hole_is_in_the_layer_of_its_own_wall() -> None:
    holes = planned(0.75).penetrations.holes
    assert {h.layer for h in holes if h.assembly == OWN} == {"interior membrane, taped"}
    assert {h.layer for h in holes if h.assembly == USUAL} == {"taped sheathing"}
    boxes = {b.device for b in boxes_on(planned(0.75), "living", "south")}
    cut = [h for h in holes if h.id.removeprefix("wall:") in boxes]
    assert len(cut) == len(boxes) and {(h.kind, h.assembly) for h in cut} == {("box_membrane", OWN)}


def test_the_box_outdoors_takes_the_method_of_the_wall_it_stands_on() -> None:
    """Sheathing takes a bundle in one hole; a membrane a hole for each cable, with another method."""
    outdoors = [d for d in plain().devices.devices if d.kind == "outdoor_receptacle" and d.y_ft == 0.0]
    assert len(outdoors) == 1
    id = f"outside:{outdoors[0].id}"
    now, then = ([h for h in p.penetrations.holes if h.id.startswith(id)] for p in (plain(), planned(1.5)))
    assert [(h.kind, h.assembly) for h in now] == [("box_outside", USUAL)]
    assert {(h.kind, h.assembly) for h in then} == {("cable_wall", OWN)}
    assert len(now[0].passes) > 2 and {len(h.passes) for h in then} == {2}, "cables, and the words for the boxes"
    crossings = [c for c in planned(1.5).routes.crossings if c.y_ft == 0.0 and c.surface == "wall"]
    assert len(then) == len(crossings) > 1
    assert now[0].method != then[0].method
    others = [
        [h for h in p.penetrations.holes if h.surface == "wall" and not h.id.startswith(id)]
        for p in (plain(), planned(1.5))
    ]
    assert others[0] == others[1] != [], "holes of other walls stay"


def test_the_service_enters_through_the_barrier_of_its_wall() -> None:
    (hole,) = [h for h in plain().penetrations.holes if h.kind == "service_entrance"]
    rows = [row(hole.room, e.side, id=f"w-{e.side}") for e in edges(room_of(starter(), hole.room))]
    house = built(*(r for r in rows if not check(built(r))))
    (then,) = [h for h in design(house).penetrations.holes if h.kind == "service_entrance"]
    assert (hole.assembly, then.assembly) == (USUAL, OWN)
    assert then.layer_family == "membrane"


def room_of(house: House, name: str) -> Room:
    return next(r for r in house.rooms if r.id == name)


def test_cables_of_differing_walls_share_no_hole() -> None:
    def crossing(x_ft: float, y_ft: float) -> Crossing:
        return Crossing(circuit="c", cable="NM-B 12/2", device="d", surface="wall", level="main", room="living",
                        x_ft=x_ft, y_ft=y_ft, z_ft=1.0)  # fmt: skip

    corner = [crossing(29.95, 0.0), crossing(30.0, 0.05)]
    apart = by_barrier(corner, barriers_of(built(row())))
    assert [(b.assembly, len(c)) for b, c in apart] == [(USUAL, 1), (OWN, 1)]
    together = by_barrier(corner, barriers_of(starter()))
    assert [(b.assembly, len(c)) for b, c in together] == [(USUAL, 2)]


def test_depth_and_ways_to_have_fewer_are_told_for_each_kind_of_wall() -> None:
    places = {f.place: f.verdict.name for f in planned(0.75).penetrations.findings if f.id == "box-depth"}
    assert places == {"wall": "MEETS", f"wall as {OWN}": "MISSES"}
    fewer = [f.what for f in planned(0.75).penetrations.fewer]
    assert f"a service cavity inboard of the air barrier (wall as {OWN})" in fewer


def test_an_unplanned_hole_of_which_the_wall_is_not_told_says_so() -> None:
    note = FieldNote(id="n1", date="2026-05-01", event="unplanned_hole", room="living", note="nail hole in the wall")
    plan = design(built(row()).changed(field_notes=(note,)))
    (hole,) = [h for h in plan.penetrations.holes if h.kind == "unplanned"]
    assert hole.assembly == USUAL
    assert any("does not tell the wall" in a.why for a in plan.penetrations.assumptions)


# --- routes ----------------------------------------------------------------------------------------------------------


def test_cables_run_in_the_cavity_of_their_own_wall() -> None:
    found = {}
    house = built(row())
    walls = build_walls(house, house.levels[0])
    for segment in walls.segments:
        if segment.surface == "wall":
            (x0, y0), (x1, y1) = walls.corners[segment.p], walls.corners[segment.q]
            found[(x0 + x1) / 2, (y0 + y1) / 2] = segment.inner
    south = {at: c for at, c in found.items() if at[1] == 0.0 and at[0] > 14.0}
    assert south and set(south.values()) == {INDOORS}, "in the service cavity: inside, no insulation"
    assert {c for at, c in found.items() if at not in south} == {Cavity(True, True)}, "in the insulated studs"


def test_the_garages_side_of_a_wall_is_built_as_the_room_inside_tells() -> None:
    garage = Room(id="garage", level="main", kind="garage", x_ft=30, y_ft=0, width_ft=20, depth_ft=12,
                  inside_air_barrier=False)  # fmt: skip
    own = with_cavity(id="to-garage", surface="garage_wall")
    base = built(row(side="east", assembly="to-garage"))
    house = base.changed(rooms=(*base.rooms, garage), assemblies=(*base.assemblies, own))
    assert check(house) == []
    faces = {(f.room, f.side): f.assembly for f in wall_faces(house) if f.surface == "garage_wall"}
    assert faces == {("living", "east"): "to-garage", ("garage", "west"): "to-garage"}
    (segment,) = [s for s in build_walls(house, house.levels[0]).segments if s.surface == "garage_wall"]
    assert segment.inner == INDOORS and not segment.outer.inside
    without = house.changed(wall_builds=())
    assert build_walls(without, house.levels[0]) != build_walls(house, house.levels[0])
    assert {f.assembly for f in wall_faces(without) if f.surface == "garage_wall"} == {"default-garage_wall"}


# --- the whole plan --------------------------------------------------------------------------------------------------


def test_removing_the_row_restores_the_old_answer() -> None:
    old = design(built(depth_in=0.75))
    assert planned(0.75).results != old.results
    without = planned(0.75).redesign(built(depth_in=0.75))
    assert without.results == old.results
    assert {"devices", "routes", "penetrations"} <= set(without.recomputed)


def test_an_assembly_that_no_wall_names_changes_nothing() -> None:
    assert design(built()).results == plain().results


def test_order_of_rows_never_matters() -> None:
    rows = (row(), row(side="east", id="w2"), row("kitchen", "west", USUAL, "w3"))
    first = design(built(*rows, depth_in=0.75)).results
    for some in itertools.islice(itertools.permutations(rows), 1, None, 2):
        house = built(*some, depth_in=0.75)
        assert design(house.changed(assemblies=house.assemblies[::-1])).results == first


@pytest.mark.parametrize("name", EXAMPLES)
def test_telling_every_wall_as_it_is_anyway_changes_nothing(name: str) -> None:
    house = example(name)
    walls = dict.fromkeys((f.room, f.side, f.assembly) for f in wall_faces(house) if f.assembly)
    inside = {r.id for r in house.rooms if r.inside_air_barrier}
    seen: dict[tuple[str, str], WallBuild] = {}
    for n, (room, side, assembly) in enumerate(walls):
        if room in inside:
            seen.setdefault((room, side), row(room, side, assembly, f"w{n}"))
    told = house.changed(wall_builds=tuple(seen.values()))
    assert len(seen) > 5 and check(told) == []
    assert design(told).results == design(house).results


def test_walls_are_written_and_read_back(tmp_path: Path) -> None:
    house = built(row(), row("kitchen", "west", id="w2"))
    write_house(house, tmp_path)
    again = read_house(tmp_path)
    assert again.wall_builds == house.wall_builds and again.assemblies == house.assemblies


def test_an_assembly_that_a_wall_names_is_not_told_as_unused() -> None:
    assert told_assemblies(built(row())) == []
    (told,) = told_assemblies(built())
    assert OWN in told.taken


# --- what is refused -------------------------------------------------------------------------------------------------

BAD = {
    "unknown room": (row(room="livng"), "room", "no such id in rooms", "living"),
    "unknown side": (row(side="souht"), "side", "has no such wall", "south"),
    "unknown assembly": (row(assembly="walls-with-cavty"), "assembly", "no such id in assemblies", OWN),
    "ceiling assembly": (row(assembly="default-ceiling"), "assembly", "of a ceiling, not of a wall", ""),
    "inside wall": (row("living", "west"), "side", "not a wall of the envelope", ""),
    "assembly of the other surface": (row(assembly="default-garage_wall"), "side", "the wall is a wall", ""),
}


@pytest.mark.parametrize("case", BAD)
def test_a_bad_row_is_told_once_and_where(case: str) -> None:
    bad, column, said, suggestion = BAD[case]
    (problem,) = check(built(bad), {"wall_builds": {"w1": 2}})
    assert (problem.file, problem.row, problem.column) == ("walls.csv", 2, column)
    assert said in problem.problem and problem.suggestion == suggestion


def test_two_rows_for_one_wall_are_refused() -> None:
    (problem,) = check(built(row(), row(assembly=USUAL, id="w2")))
    assert problem.column == "side" and "w1 tells this wall already" in problem.problem


def test_a_wall_is_told_from_the_room_inside() -> None:
    house = built(row("living", "south"))
    outer = tuple(replace(r, inside_air_barrier=False, kind="porch") if r.id == "living" else r for r in house.rooms)
    (problem,) = check(house.changed(rooms=outer))
    assert "tell the wall from the room inside" in problem.problem


def test_rooms_that_could_not_be_read_cause_no_further_words(tmp_path: Path) -> None:
    write_starter(tmp_path)
    (tmp_path / "walls.csv").write_text(f"id,room,side,assembly\nw1,living,west,{USUAL}\n")
    text = (tmp_path / "rooms.csv").read_text()
    (tmp_path / "rooms.csv").write_text(text.replace("kitchen,Kitchen,main,kitchen", "kitchen,Kitchen,main,kitchn"))
    with pytest.raises(InputErrors) as caught:
        read_house(tmp_path)
    assert {p.file for p in caught.value.problems} == {"rooms.csv"}


def test_a_walls_file_with_a_bad_row_is_refused_when_read(tmp_path: Path) -> None:
    write_starter(tmp_path)
    (tmp_path / "walls.csv").write_text("id,room,side,assembly\nw1,living,south,nothing\n")
    with pytest.raises(InputErrors) as caught:
        read_house(tmp_path)
    (problem,) = caught.value.problems
    assert (problem.file, problem.row, problem.column) == ("walls.csv", 2, "assembly")
