"""Rooms from a building model: what is written with the open library is read back; what cannot be taken is told."""

from __future__ import annotations

import math
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hpelec import cli
from hpelec.core.errors import ExtraError, InputErrors, ModelError
from hpelec.house.geometry import outline, room_area_ft2
from hpelec.house.ifc import Imported, import_ifc, kind_of, slug
from hpelec.house.read import read_house
from hpelec.house.walls import exterior_length_ft, shared_length_ft
from hpelec.plan import design
from tests.ifc_models import Builder, box, small_house

FT2_PER_M2 = 1 / 0.3048**2
SCHEMAS = ("IFC2X3", "IFC4")


def taken(model: Builder, folder: Path) -> Imported:
    return import_ifc(model.write(folder / "model.ifc"), folder / "house")


@pytest.mark.parametrize("schema", SCHEMAS)
def test_areas_levels_and_doors_come_back(schema: str, tmp_path: Path) -> None:
    house = taken(small_house(schema), tmp_path).house
    areas = {r.id: round(room_area_ft2(r) / FT2_PER_M2, 3) for r in house.rooms}
    assert areas == {"kitchen": 12.0, "living-room": 42.0, "bedroom": 30.0, "hall": 24.0}
    assert {r.id: r.kind for r in house.rooms} == {
        "kitchen": "kitchen",
        "living-room": "living",
        "bedroom": "bedroom",
        "hall": "hallway",
    }
    assert [
        (lv.id, round(lv.floor_ft * 0.3048, 3), round(lv.ceiling_height_ft * 0.3048, 3)) for lv in house.levels
    ] == [
        ("ground-floor", 0.0, 2.5),
        ("upper-floor", 2.8, 2.4),
    ]
    assert bool(house.rooms[1].outline_ft) and not house.rooms[0].outline_ft, "an L is an outline, a rectangle is not"
    metres = {
        o.id: (o.room, o.kind, *(round(v * 0.3048, 3) for v in (o.offset_ft, o.width_ft, o.sill_ft, o.height_ft)))
        for o in house.openings
    }
    assert metres["d1"] == ("kitchen", "door", 1.0, 0.9, 0.0, 2.1)
    assert metres["w1"] == ("kitchen", "window", 1.0, 1.5, 0.9, 1.2)
    assert metres["d3"] == ("bedroom", "door", 2.0, 0.8, 0.0, 2.0)
    assert metres["d2"][:2] == ("living-room", "door") and metres["d2"][3] == 1.0
    assert shared_length_ft(house, "kitchen", "living-room") * 0.3048 == pytest.approx(7.0, abs=1e-3)
    assert exterior_length_ft(house, "upper-floor") * 0.3048 == pytest.approx(30.0, abs=1e-3)
    assert house.general.floor_area_ft2 == pytest.approx(108 * FT2_PER_M2, abs=0.1)
    assert house.envelope.volume_ft3 == pytest.approx((54 * 2.5 + 54 * 2.4) / 0.3048**3, rel=1e-4)


@pytest.mark.parametrize("schema", SCHEMAS)
def test_walls_between_rooms_are_drawn_to_their_middle_and_that_is_told(schema: str, tmp_path: Path) -> None:
    got = taken(small_house(schema, wall=0.12), tmp_path)
    assert any("walls between rooms (up to 4.7 in)" in n for n in got.notes)
    rooms = {r.id: r for r in got.house.rooms}
    assert room_area_ft2(rooms["kitchen"]) / FT2_PER_M2 == pytest.approx(4.06 * 3.06, abs=1e-3)
    assert shared_length_ft(got.house, "bedroom", "hall") * 0.3048 == pytest.approx(6.0, abs=1e-3)
    assert {o.id for o in got.house.openings} == {"d1", "d2", "d3", "w1"}


def test_the_folder_written_is_the_house_and_can_be_designed(tmp_path: Path) -> None:
    got = taken(small_house(), tmp_path)
    assert read_house(tmp_path / "house") == got.house
    plan = design(got.house)
    assert {d.room for d in plan.devices.devices} >= {"kitchen", "living-room", "bedroom"}
    assert any("the starter's" in n for n in got.notes), "what the model does not say is not told"


SIZES = st.integers(6, 40).map(lambda n: n / 4)


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(SIZES, min_size=1, max_size=4), SIZES, st.sampled_from(SCHEMAS), st.sampled_from([None, "MILLI", "CENTI"])
)
def test_rooms_in_a_row_come_back_as_they_were_written(
    tmp_path_factory: pytest.TempPathFactory, widths: list[float], deep: float, schema: str, prefix: str | None
) -> None:
    scale = {None: 1.0, "CENTI": 100.0, "MILLI": 1000.0}[prefix]
    model, at = Builder(schema, prefix=prefix), 0.0
    storey = model.storey("Main", 0.0)
    for n, wide in enumerate(widths):
        model.space(storey, f"{n}", box(at * scale, 0, wide * scale, deep * scale), 2.5 * scale, use=f"Bedroom {n}")
        at += wide
    house = taken(model, tmp_path_factory.mktemp("ifc")).house
    assert [(r.width_ft or 0) * 0.3048 for r in house.rooms] == pytest.approx(widths, abs=1e-4)
    assert exterior_length_ft(house, "main") * 0.3048 == pytest.approx(2 * (at + deep), abs=1e-3)


@pytest.mark.parametrize("degrees", [17.0, 45.0, -30.0, 90.0])
def test_a_building_that_stands_askew_is_turned_to_the_axes(degrees: float, tmp_path: Path) -> None:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    model = Builder()
    storey = model.storey("Main", 0.0)
    for n, rect in enumerate((box(100, 50, 4, 3), box(104, 50, 5, 3))):
        model.space(storey, f"{n}", [(c * x - s * y, s * x + c * y) for x, y in rect], use=f"Bedroom {n}")
    got = taken(model, tmp_path)
    assert [round(room_area_ft2(r) / FT2_PER_M2, 2) for r in got.house.rooms] == [12.0, 15.0]
    assert all(r.width_ft for r in got.house.rooms), "a rectangle was not seen as one"
    assert min(p[0] for r in got.house.rooms for p in outline(r)) == pytest.approx(0, abs=1e-4)
    assert any("not true north" in n for n in got.notes) == (degrees != 90.0)
    assert shared_length_ft(got.house, "bedroom-0", "bedroom-1") * 0.3048 == pytest.approx(3.0, abs=1e-3)


def test_what_cannot_be_taken_is_told(tmp_path: Path) -> None:
    model = Builder()
    storey = model.storey("Main", 0.0)
    model.space(storey, "1", box(0, 0, 4, 3), use="Kitchen")
    model.space(storey, "2", (), use="Shapeless")
    model.space(storey, "3", box(20, 20, 4, 3), use="Terrace", PredefinedType="EXTERNAL")
    model.space(storey, "4", box(4, 0, 5, 6), use="Garage")
    model.space(storey, "5", box(0, 3, 4, 3), use="Zimmer")
    model.opening(storey, "IfcDoor", "Far", (50.0, 50.0), 0.9, 2.1)
    model.opening(storey, "IfcDoor", "Long", (-1.0, 0.0), 6.0, 2.1)
    model.opening(storey, "IfcDoor", "Gate", (5.0, 0.0), 2.5, 2.1)
    got = taken(model, tmp_path)
    told = "\n".join(got.notes)
    for said in (
        "Shapeless): has no floor outline",
        "Terrace): outdoors",
        "room zimmer: its use is not known from its name, taken as utility",
        "room garage: a garage, taken as outside",
        "door Far: stands in no wall",
        "door Long: reaches beyond the end",
    ):
        assert said in told, told
    rooms = {r.id: r for r in got.house.rooms}
    assert sorted(rooms) == ["garage", "kitchen", "zimmer"] and not rooms["garage"].inside_air_barrier
    assert [(o.id, o.kind) for o in got.house.openings] == [("gate", "garage_door")]


@pytest.mark.parametrize(("ratios", "said"), [((0.5, 0.8660254), "30.0 degrees clockwise"), ((0.0, 1.0), "")])
def test_true_north_is_told(ratios: tuple[float, float], said: str, tmp_path: Path) -> None:
    model = small_house()
    model.context.TrueNorth = model.model.create_entity("IfcDirection", ratios)
    notes = [n for n in taken(model, tmp_path).notes if "true north" in n]
    assert [said in n for n in notes] == ([True] if said else [])


def test_an_opening_across_two_rooms_is_left_out_and_told(tmp_path: Path) -> None:
    model = Builder()
    storey = model.storey("Main", 0.0)
    for n, rect in enumerate((box(0, 0, 8, 3), box(0, 3, 4, 3), box(4, 3, 4, 3))):
        model.space(storey, f"{n}", rect, use=f"Bedroom {n}")
    model.opening(storey, "IfcDoor", "Wide", (3.0, 3.0), 2.0, 2.1)
    got = taken(model, tmp_path)
    assert not got.house.openings
    assert "reaches across the wall between" in "\n".join(got.notes)


def test_rooms_of_the_same_name_get_ids_of_their_own(tmp_path: Path) -> None:
    model = Builder()
    for n in range(2):
        storey = model.storey("Level", 3.0 * n)
        model.space(storey, "1", box(0, 0, 4, 3), use="Bedroom")
    house = taken(model, tmp_path).house
    assert [r.id for r in house.rooms] == ["bedroom", "bedroom-2"]
    assert [lv.id for lv in house.levels] == ["level", "level-2"]
    assert slug("Größe 7!", (), "x") == "groe-7" and slug("家", ("room",), "room") == "room-2"


def test_spaces_that_overlap_are_an_input_error_with_a_picture(tmp_path: Path) -> None:
    model = Builder()
    storey = model.storey("Main", 0.0)
    model.space(storey, "1", box(0, 0, 4, 3), use="Kitchen")
    model.space(storey, "2", box(2, 1, 4, 3), use="Bedroom")
    with pytest.raises(InputErrors, match="overlaps room") as raised:
        taken(model, tmp_path)
    assert raised.value.problems[0].sketch is not None
    assert not (tmp_path / "house").exists(), "a folder was left behind"


def test_a_courtyard_and_a_round_room(tmp_path: Path) -> None:
    model = Builder()
    storey = model.storey("Main", 0.0)
    ring = [(5 + 3 * math.cos(k * math.pi / 60), 3 * math.sin(k * math.pi / 60)) for k in range(120)]
    model.space(storey, "1", ring, use="Living")
    got = taken(model, tmp_path)
    assert "curved walls are taken as short straight ones" in "\n".join(got.notes)
    assert len(got.house.rooms[0].outline_ft) <= 60
    assert room_area_ft2(got.house.rooms[0]) / FT2_PER_M2 == pytest.approx(math.pi * 9, rel=0.02)


# --- what is no model ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "content",
    [b"", b"not a model", b"ISO-10303-21;\nHEADER;\n", bytes(range(256)), b"ISO-10303-21;\nEND-ISO-10303-21;\n"],
)
def test_a_broken_file_is_refused(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "bad.ifc"
    path.write_bytes(content)
    with pytest.raises(ModelError, match=r"bad\.ifc"):
        import_ifc(path, tmp_path / "house")


def test_a_model_that_is_cut_off_is_refused(tmp_path: Path) -> None:
    whole = small_house().write(tmp_path / "whole.ifc").read_bytes()
    for share in (0.3, 0.6, 0.9, 0.999):
        path = tmp_path / f"cut{share}.ifc"
        path.write_bytes(whole[: int(len(whole) * share)])
        with pytest.raises(ModelError, match="not a whole building model"):
            import_ifc(path, tmp_path / f"house{share}")


def test_models_without_spaces_units_or_sense_are_refused(tmp_path: Path) -> None:
    empty = Builder()
    empty.storey("Main", 0.0)
    with pytest.raises(ModelError, match="holds no spaces"):
        taken(empty, tmp_path)
    shapeless = Builder()
    shapeless.space(shapeless.storey("Main", 0.0), "1", ())
    with pytest.raises(ModelError, match="no space could be taken"):
        taken(shapeless, tmp_path)
    unitless = Builder(units=False)
    unitless.space(unitless.storey("Main", 0.0), "1", box(0, 0, 4, 3))
    with pytest.raises(ModelError, match="names no units"):
        taken(unitless, tmp_path)
    with pytest.raises(ModelError, match="no such file"):
        import_ifc(tmp_path / "nowhere.ifc", tmp_path / "house")


@pytest.mark.parametrize(("scale", "prefix"), [(1000.0, None), (1.0, "MILLI")])
def test_a_wrong_unit_of_length_is_noticed(scale: float, prefix: str | None, tmp_path: Path) -> None:
    model = Builder(prefix=prefix)
    model.space(model.storey("Main", 0.0), "1", box(0, 0, 4 * scale, 3 * scale), 2.5 * scale)
    with pytest.raises(ModelError, match="unit of length of the model is wrong"):
        taken(model, tmp_path)


def test_an_unknown_schema_is_refused(tmp_path: Path) -> None:
    path = small_house().write(tmp_path / "m.ifc")
    path.write_text(path.read_text("utf-8").replace("('IFC4')", "('IFC9')"), "utf-8")
    with pytest.raises(ModelError):
        import_ifc(path, tmp_path / "house")


def test_the_command_tells_what_it_did_and_writes_only_into_a_new_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = small_house().write(tmp_path / "m.ifc")
    assert cli.main(["import-ifc", str(path), str(tmp_path / "h")]) == cli.ALL_MET
    said = capsys.readouterr().out
    assert "4 rooms, 4 openings written" in said and "change them all" in said
    assert cli.main(["check", str(tmp_path / "h")]) in (cli.ALL_MET, cli.SOMETHING_MISSES)
    assert cli.main(["import-ifc", str(path), str(tmp_path / "h")]) == cli.UNREADABLE
    assert "not empty" in capsys.readouterr().err
    monkeypatch.setitem(sys.modules, "ifcopenshell", None)
    with pytest.raises(ExtraError, match=r"hpelec\[drawings\]"):
        import_ifc(path, tmp_path / "h2")


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("Master Bedroom", "bedroom"),
        ("WC", "bathroom"),
        ("Kitchen/Dining", "kitchen"),
        ("Stairs 2", "stair"),
        ("Hallway", "hallway"),
        ("001", None),
        ("Raum", None),
    ],
)
def test_the_use_of_a_room_is_read_from_its_name(name: str, kind: str | None) -> None:
    assert kind_of(name) == kind
