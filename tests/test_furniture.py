"""Laws and bad input of furniture.csv: a piece wishes for receptacles and never costs one."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.core.errors import InputErrors
from hpelec.house.check import check
from hpelec.house.geometry import edges
from hpelec.house.model import House
from hpelec.house.read import read_house
from hpelec.house.rows import FURNITURE_WANTS, Furniture, Opening, PlacedDevice, Room
from hpelec.house.write import write_house, write_starter
from hpelec.steps.devices.design import design
from hpelec.steps.devices.model import DevicesResult, Preference
from tests.houses import EXAMPLES, example, starter
from tests.test_laws_devices import farthest, random_houses

HOUSES = [starter(), *(example(name).changed(furniture=()) for name in EXAMPLES), *random_houses(3)]
PLAIN = [design(house, house.general.edition) for house in HOUSES]


@st.composite
def furnished(draw: st.DrawFn) -> tuple[int, House]:
    """One of the houses with one to five pieces at its walls."""
    at = draw(st.integers(0, len(HOUSES) - 1))
    made = []
    for number in range(draw(st.integers(1, 5))):
        room = draw(st.sampled_from(HOUSES[at].rooms))
        edge = draw(st.sampled_from(edges(room)))
        width = draw(st.floats(0.2, 1.0)) * min(edge.length_ft, 8.0)
        offset = draw(st.floats(0, 1)) * (edge.length_ft - width)
        wants = draw(st.sampled_from(FURNITURE_WANTS))
        made.append(
            Furniture(id=f"f{number}", room=room.id, side=edge.side, offset_ft=offset, width_ft=width, wants=wants)
        )
    return at, HOUSES[at].changed(furniture=tuple(made))


def row_of(result: DevicesResult) -> list[Preference]:
    return [p for p in result.preferences if p.preference.startswith("receptacles stand where furniture")]


@settings(max_examples=40, deadline=None)
@given(furnished())
def test_furniture_never_adds_a_receptacle_nor_an_envelope_box(case: tuple[int, House]) -> None:
    at, house = case
    assert check(house) == [], "the strategy must make good rows"
    plain, result = PLAIN[at], design(house, house.general.edition)
    assert result.wall_receptacles == plain.wall_receptacles
    assert result.fewest_wall_receptacles == plain.fewest_wall_receptacles
    counted = [[(r.room, r.number, r.placed, r.in_envelope, r.in_floor) for r in x.runs] for x in (plain, result)]
    assert counted[0] == counted[1], "a run has more receptacles or more of them in the envelope"
    assert not farthest(house, result, house.general.edition) or farthest(house, plain, house.general.edition)
    for row in row_of(result):
        assert (row.difference or 0) >= 0, "minding furniture meets fewer of its wishes"


@settings(max_examples=15, deadline=None)
@given(furnished(), st.randoms(use_true_random=False))
def test_order_of_rows_does_not_matter(case: tuple[int, House], chance: random.Random) -> None:
    _, house = case
    mixed = house.changed(furniture=tuple(chance.sample(house.furniture, len(house.furniture))))
    assert design(house, 2023) == design(mixed, 2023)


@pytest.mark.parametrize("at", range(len(HOUSES)))
def test_a_piece_that_wants_nothing_changes_nothing(at: int) -> None:
    house = HOUSES[at]
    room = house.rooms[0]
    piece = Furniture(id="chest", room=room.id, side=edges(room)[0].side, offset_ft=0.5, width_ft=2.0)
    assert design(house.changed(furniture=(piece,)), house.general.edition) == PLAIN[at]


def bare_room() -> House:
    """One den of 23 ft by 17 ft with one door."""
    room = Room(id="den", level="main", kind="den", x_ft=0, y_ft=0, width_ft=23.0, depth_ft=17.0)
    door = Opening(id="d", room="den", side="south", offset_ft=8.0, width_ft=3.0, kind="door")
    return starter().changed(
        rooms=(room,), openings=(door,), fixed=(), appliances=(), heaters=(), draw_points=(), panels=()
    )


def test_a_wish_that_can_be_met_is_met_and_counts() -> None:
    bare = bare_room()
    spots = [d for d in design(bare, 2023).devices if d.kind == "receptacle" and d.side == "east"]
    middle_ft = (spots[0].offset_ft or 0) + 0.7
    desk = Furniture(id="desk", room="den", side="east", offset_ft=middle_ft - 2, width_ft=4.0, wants="behind")
    result = design(bare.changed(furniture=(desk,)), 2023)
    assert any(d.side == "east" and d.offset_ft == pytest.approx(middle_ft) for d in result.devices)
    (row,) = row_of(result)
    assert (row.fewest, row.with_preference, row.difference, row.where) == (0, 1, 1, ("desk",))
    (told,) = [p for p in result.preferences if p.preference.startswith("a receptacle behind desk")]
    assert told.with_preference == pytest.approx(0, abs=1e-6)


def test_beside_means_six_inches_beyond_an_end() -> None:
    bare = bare_room()
    spots = [d for d in design(bare, 2023).devices if d.kind == "receptacle" and d.side == "east"]
    beyond_ft = (spots[0].offset_ft or 0) + 0.4
    bed = Furniture(id="bed", room="den", side="east", offset_ft=beyond_ft + 0.5, width_ft=5.0,
                    wants="beside both ends")  # fmt: skip
    result = design(bare.changed(furniture=(bed,)), 2023)
    assert any(d.side == "east" and d.offset_ft == pytest.approx(beyond_ft) for d in result.devices)
    assert sum(p.preference.startswith("a receptacle beside bed") for p in result.preferences) == 2


def test_a_receptacle_that_the_user_placed_meets_a_wish_with_and_without() -> None:
    desk = Furniture(id="desk", room="den", side="north", offset_ft=8.0, width_ft=4.0, wants="behind")
    pin = PlacedDevice(id="mine", room="den", kind="receptacle", side="north", offset_ft=10.0)
    (row,) = row_of(design(bare_room().changed(furniture=(desk,), placed_devices=(pin,)), 2023))
    assert (row.fewest, row.with_preference) == (1, 1)


def test_what_cannot_be_a_wish_is_told() -> None:
    corner = Furniture(id="bed", room="den", side="north", offset_ft=0.0, width_ft=5.0, wants="beside both ends")
    told = [a for a in design(bare_room().changed(furniture=(corner,)), 2023).assumptions if "furniture" in a.where]
    assert len(told) == 1
    assert "no wish at -0.50 ft" in told[0].taken
    shelf = Furniture(id="shelf", room="bath", side="north", offset_ft=1.0, width_ft=2.0, wants="behind")
    told = [a for a in design(starter().changed(furniture=(shelf,)), 2023).assumptions if "furniture" in a.where]
    assert [a.taken for a in told] == ["its wish is not minded"]


def test_no_table_no_row() -> None:
    assert not any(row_of(result) for result in PLAIN)


# ------------------------------------------------------------------ the table


HEAD = "id,name,room,side,offset_ft,width_ft,wants"
GOOD = ["bed", "Bed", "bedroom", "north", "4", "5", "beside both ends"]
BAD = {
    "id": ["", "a b"],
    "room": ["", "attic"],
    "side": ["", "up"],
    "offset_ft": ["", "-1", "nan", "far", "9.5", "501"],
    "width_ft": ["", "0", "-2", "inf", "14.5", "5 kW"],
    "wants": ["above"],
}


def folder_with(tmp_path: Path, line: list[str]) -> Path:
    write_starter(tmp_path / "house")
    (tmp_path / "house" / "furniture.csv").write_text(f"{HEAD}\n{','.join(line)}\n", "utf-8")
    return tmp_path / "house"


@pytest.mark.parametrize(("column", "value"), [(c, v) for c, values in BAD.items() for v in values])
def test_a_bad_cell_is_told_at_its_place(column: str, value: str, tmp_path: Path) -> None:
    line = list(GOOD)
    line[HEAD.split(",").index(column)] = value
    with pytest.raises(InputErrors) as caught:
        read_house(folder_with(tmp_path, line))
    told = [(p.file, p.row, p.column) for p in caught.value.problems]
    assert told == [("furniture.csv", 2, column)], caught.value


def test_a_good_row_is_read_and_written_back(tmp_path: Path) -> None:
    house = read_house(folder_with(tmp_path, GOOD))
    assert house.furniture == (
        Furniture(id="bed", name="Bed", room="bedroom", side="north", offset_ft=4, width_ft=5, wants=GOOD[-1]),
    )
    write_house(house, tmp_path / "again")
    assert read_house(tmp_path / "again").furniture == house.furniture


def test_a_row_may_leave_out_its_wish(tmp_path: Path) -> None:
    house = read_house(folder_with(tmp_path, [*GOOD[:-1], ""]))
    assert house.furniture[0].wants == "none"
    assert any(a.where == "furniture.csv, wants" for a in house.assumptions)
