"""Ceiling fans and sprinklers: findings, their order, and bad input of sprinklers.csv."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.core.errors import InputErrors
from hpelec.core.findings import Finding, Verdict
from hpelec.house.model import House
from hpelec.house.read import read_house
from hpelec.house.rows import SPRINKLERS, CeilingFan, Sprinkler
from hpelec.house.write import write_house, write_starter
from hpelec.plan import design
from hpelec.report.lighting_drawing import fan_drawing
from hpelec.steps.lighting.rules_fans import fan_clear_of_sprinkler
from tests.houses import starter

FAN = CeilingFan(id="fan", room="living", x_offset_ft=6.0, y_offset_ft=6.0)


def with_heads(*heads: Sprinkler) -> House:
    return starter().changed(fans=(FAN,), sprinklers=heads)


def head(apart_ft: float, kind: str = "pendent", name: str = "s1") -> Sprinkler:
    return Sprinkler(id=name, room="living", x_offset_ft=6.0 + apart_ft, y_offset_ft=6.0, kind=kind)


def found(house: House) -> list[Finding]:
    return [f for f in design(house, only=("lighting",)).lighting.findings if f.id == "fan-sprinkler"]


@pytest.mark.parametrize(
    ("apart_ft", "kind", "verdict"),
    [
        (2.9, "pendent", Verdict.MISSES),
        (3.0, "pendent", Verdict.MEETS),
        (4.9, "sidewall", Verdict.MISSES),
        (5.0, "sidewall", Verdict.MEETS),
        (2.0, "unknown", Verdict.MISSES),
        (4.0, "unknown", Verdict.CANNOT_SAY),
        (5.0, "unknown", Verdict.MEETS),
    ],
)
def test_each_pair_has_its_verdict(apart_ft: float, kind: str, verdict: Verdict) -> None:
    (told,) = found(with_heads(head(apart_ft, kind)))
    assert told.verdict is verdict
    assert f"{apart_ft:.2f} ft" in told.got
    assert told.citation.accuracy == "memory"
    assert "decide" in told.fix


def test_one_finding_for_each_fan_and_sprinkler_whatever_their_order() -> None:
    heads = (head(4.0, name="b"), head(1.0, name="a"), head(5.0, "unknown", "c"))
    one, other = found(with_heads(*heads)), found(with_heads(*heads[::-1]))
    assert one == other
    assert [f.place for f in one] == ["fan and a", "fan and b", "fan and c"]


def test_a_sprinkler_of_another_room_is_not_compared_and_that_is_told() -> None:
    other = Sprinkler(id="s", room="bath", x_offset_ft=2.0, y_offset_ft=2.0)
    plan = design(with_heads(other), only=("lighting",))
    assert not [f for f in plan.lighting.findings if f.id == "fan-sprinkler"]
    told = [a.taken for a in plan.lighting.assumptions if a.where == "lighting, fans"]
    assert told == ["a fan obstructs no sprinkler but those of its own room"]


def test_without_the_table_it_is_said_that_sprinklers_are_not_known() -> None:
    told = [a.taken for a in design(with_heads(), only=("lighting",)).lighting.assumptions if "fans" in a.where]
    assert told == ["no sprinkler is known"]


@settings(max_examples=60, deadline=None)
@given(st.floats(0, 200), st.floats(0, 200), st.floats(1, 144), st.sampled_from(SPRINKLERS))
def test_farther_is_never_worse(near: float, more: float, span: float, kind: str) -> None:
    order = {False: 0, None: 1, True: 2}
    assert order[fan_clear_of_sprinkler(near, span, kind)] <= order[fan_clear_of_sprinkler(near + more, span, kind)]


@settings(max_examples=60, deadline=None)
@given(st.floats(0, 200), st.floats(1, 144))
def test_a_kind_not_known_is_never_surer_than_both_kinds(distance: float, span: float) -> None:
    said = {fan_clear_of_sprinkler(distance, span, kind) for kind in ("pendent", "sidewall")}
    unknown = fan_clear_of_sprinkler(distance, span, "unknown")
    assert said == {unknown} if unknown is not None else said != {False}


@pytest.mark.parametrize("bad", [math.nan, math.inf, -1.0])
def test_the_rule_refuses_what_is_no_distance(bad: float) -> None:
    with pytest.raises(ValueError, match="distance_in"):
        fan_clear_of_sprinkler(bad, 52, "pendent")


def test_the_fan_drawing_shows_each_sprinkler_of_its_room() -> None:
    drawn = fan_drawing(design(with_heads(head(4.0), head(5.0, name="s2"))), "fan")
    assert "sprinkler s1" in drawn.svg
    assert "sprinkler s2" in drawn.alt
    assert "sprinkler" not in fan_drawing(design(with_heads()), "fan").svg


# ------------------------------------------------------------------ the table


HEAD = "id,room,x_offset_ft,y_offset_ft,kind"
GOOD = ["s1", "bath", "4", "5", "pendent"]
BAD = {
    "id": ["", "a b"],
    "room": ["", "attic"],
    "x_offset_ft": ["", "-1", "nan", "8.5", "501", "left"],
    "y_offset_ft": ["", "-1", "inf", "501", "5 kW"],
    "kind": ["hose"],
}


def folder_with(tmp_path: Path, line: list[str]) -> Path:
    write_starter(tmp_path / "house")
    (tmp_path / "house" / "sprinklers.csv").write_text(f"{HEAD}\n{','.join(line)}\n", "utf-8")
    return tmp_path / "house"


@pytest.mark.parametrize(("column", "value"), [(c, v) for c, values in BAD.items() for v in values])
def test_a_bad_cell_is_told_at_its_place(column: str, value: str, tmp_path: Path) -> None:
    line = list(GOOD)
    line[HEAD.split(",").index(column)] = value
    with pytest.raises(InputErrors) as caught:
        read_house(folder_with(tmp_path, line))
    assert [(p.file, p.row, p.column) for p in caught.value.problems] == [("sprinklers.csv", 2, column)], caught.value


def test_outside_its_room_to_the_north_is_told(tmp_path: Path) -> None:
    with pytest.raises(InputErrors, match="outside room bath"):
        read_house(folder_with(tmp_path, ["s1", "bath", "4", "11.5", ""]))


def test_a_good_row_is_read_and_written_back(tmp_path: Path) -> None:
    house = read_house(folder_with(tmp_path, GOOD))
    assert house.sprinklers == (Sprinkler(id="s1", room="bath", x_offset_ft=4, y_offset_ft=5, kind="pendent"),)
    write_house(house, tmp_path / "again")
    assert read_house(tmp_path / "again").sprinklers == house.sprinklers
