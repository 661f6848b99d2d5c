"""Laws, edges and bad input of the step stages."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.core.editions import EDITIONS
from hpelec.core.errors import EditionError, InputErrors, RangeError
from hpelec.core.findings import Verdict
from hpelec.house.read import read_house
from hpelec.house.rows_loads import SiteLoad
from hpelec.house.sections_power import BUILD_STAGES
from hpelec.house.write import write_starter
from hpelec.steps.stages import rules
from tests.adapters_stages import staged

POWER = st.integers(1, 6000)
STAGE = st.sampled_from(BUILD_STAGES)


@st.composite
def site_loads(draw: st.DrawFn) -> list[SiteLoad]:
    made = []
    for i in range(draw(st.integers(1, 6))):
        first, last = sorted((draw(STAGE), draw(STAGE)), key=BUILD_STAGES.index)
        made.append(
            SiteLoad(
                id=f"load{i}",
                name=f"Load {i}",
                power_VA=draw(POWER),
                voltage_V=draw(st.sampled_from((120.0, 240.0))),
                continuous=draw(st.booleans()),
                from_stage=first,
                to_stage=last,
                priority=draw(st.integers(1, 9)),
            )
        )
    return made


@settings(max_examples=60)
@given(st.lists(POWER, min_size=1, max_size=9), st.integers(0, 9000))
def test_no_other_split_gives_a_lighter_heavier_leg(loads: list[int], between_VA: int) -> None:
    best = min(
        max(sum(v for v, left in zip(loads, sides, strict=True) if left is side) for side in (True, False))
        for sides in product((True, False), repeat=len(loads))
    )
    assert rules.heavier_leg_A(loads, between_VA) == pytest.approx(best / 120 + between_VA / 240)


@settings(max_examples=40)
@given(site_loads(), st.randoms(use_true_random=False))
def test_the_order_of_rows_never_matters(loads, random) -> None:
    mixed = list(loads)
    random.shuffle(mixed)
    assert staged(mixed, rating_A=60) == staged(loads, rating_A=60)


@settings(max_examples=40)
@given(site_loads(), POWER)
def test_a_further_load_never_makes_a_leg_lighter(loads, power_VA) -> None:
    more = SiteLoad(
        id="more", name="More", power_VA=power_VA, voltage_V=240.0, from_stage="groundwork", to_stage="occupied"
    )
    before = {s.stage: s.leg_A for s in staged(loads, rating_A=60).supplies}
    after = {s.stage: s.leg_A for s in staged([*loads, more], rating_A=60).supplies}
    assert all(after[stage] >= leg_A - 1e-9 for stage, leg_A in before.items())


@settings(max_examples=40)
@given(site_loads(), STAGE)
def test_moving_takes_from_one_supply_what_it_gives_to_the_other(loads, live) -> None:
    moves = staged(loads, rating_A=60, live_stage=live).moves
    for earlier, later in pairwise(moves):
        assert later.temporary_A <= earlier.temporary_A + 1e-9
        assert later.permanent_A >= earlier.permanent_A - 1e-9
    if moves:
        assert moves[0].permanent_A == 0 and moves[-1].temporary_A == 0
        assert [m.order for m in moves] == list(range(1, len(moves) + 1))


def test_a_rating_equal_to_the_current_passes() -> None:
    load = SiteLoad(id="a", name="A", power_VA=1800, from_stage="framing", to_stage="framing")
    assert staged([load], rating_A=15).supplies[0].carries is True
    assert staged([replace(load, power_VA=1801)], rating_A=15).supplies[0].carries is False


def test_without_a_temporary_rating_nothing_is_said_of_it() -> None:
    load = SiteLoad(id="a", name="A", power_VA=1800, from_stage="framing", to_stage="framing")
    found = staged([load])
    assert found.supplies[0].carries is None
    assert {f.verdict for f in found.findings if f.id == "stage-load"} == {Verdict.CANNOT_SAY}


def test_a_240_V_load_on_a_120_V_supply_is_a_miss() -> None:
    load = SiteLoad(id="a", name="Mixer", power_VA=1800, voltage_V=240, from_stage="framing", to_stage="framing")
    found = [f for f in staged([load], rating_A=30, voltage_V=120).findings if f.id == "temporary-voltage"]
    assert [f.verdict for f in found] == [Verdict.MISSES]


@pytest.mark.parametrize(("told", "verdict"), [(None, "cannot say"), (True, "meets"), (False, "misses")])
def test_protection_of_people_is_judged_by_what_is_told(told, verdict) -> None:
    load = SiteLoad(id="a", name="A", power_VA=1800, from_stage="framing", to_stage="framing")
    found = [f for f in staged([load], rating_A=30, people_protected=told).findings if f.id == "temporary-people"]
    assert [f.verdict.value for f in found] == [verdict]


def test_a_house_without_site_loads_says_so_and_finds_nothing() -> None:
    found = staged([])
    assert not found.findings and not found.supplies and found.temporary_needed_A == 0
    assert "site.csv" in found.assumptions[0].where


@pytest.mark.parametrize("edition", EDITIONS)
def test_every_edition_has_the_rules(edition: int) -> None:
    for name in ("service", "removal", "people", "lighting", "one supply", "continuous"):
        assert rules.temporary_rule(name, edition).text("said")


def test_a_stranger_edition_and_a_bad_number_are_refused() -> None:
    with pytest.raises(EditionError):
        rules.temporary_rule("people", 1999)
    for bad in (float("nan"), float("inf"), -1.0):
        with pytest.raises(RangeError):
            rules.heavier_leg_A([bad], 0)


GOOD = "id,name,power_VA,voltage_V,from_stage,to_stage\n"


@pytest.mark.parametrize(
    ("row", "column", "said"),
    [
        ("saw,Saw,0,120,framing,trim", "power_VA", "> 0"),
        ("saw,Saw,lots,120,framing,trim", "power_VA", "a number"),
        ("saw,Saw,900,230,framing,trim", "voltage_V", "120.0, 240.0"),
        ("saw,Saw,900,120,framming,trim", "from_stage", "framing"),
        ("saw,Saw,900,120,trim,framing", "to_stage", "not before"),
        ("saw,Saw,900,120,,trim", "from_stage", "value is needed"),
    ],
)
def test_bad_rows_of_site_are_told(tmp_path: Path, row: str, column: str, said: str) -> None:
    write_starter(tmp_path / "house")
    (tmp_path / "house" / "site.csv").write_text(GOOD + row + "\n", encoding="utf-8")
    with pytest.raises(InputErrors) as errors:
        read_house(tmp_path / "house")
    (problem,) = errors.value.problems
    assert (problem.file, problem.row, problem.column) == ("site.csv", 2, column)
    assert said in str(problem)


@pytest.mark.parametrize(
    ("entry", "said"),
    [("rating_A = -5", ">= 15"), ('live_stage = "never"', "groundwork"), ('people_protected = "maybe"', "yes, no")],
)
def test_bad_entries_of_temporary_are_told(tmp_path: Path, entry: str, said: str) -> None:
    write_starter(tmp_path / "house")
    toml = tmp_path / "house" / "house.toml"
    name = entry.split(" ", maxsplit=1)[0]
    lines = [line for line in toml.read_text("utf-8").splitlines() if not line.startswith(f"# {name} =")]
    lines.insert(lines.index("[temporary]") + 1, entry)
    toml.write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(InputErrors, match=name) as errors:
        read_house(tmp_path / "house")
    assert said in str(errors.value)
