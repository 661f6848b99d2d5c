"""The pipeline: what is recomputed, what is kept, what a step may see."""

from __future__ import annotations

import random
import time
from dataclasses import replace

import pytest

from hpelec.core.editions import EDITIONS
from hpelec.core.errors import EditionError
from hpelec.house.geometry import edges
from hpelec.house.model import TABLES, House
from hpelec.house.rows import Furniture, Room, Sprinkler
from hpelec.plan import STEPS, Plan, design, steps_for
from tests.houses import DEMO, EXAMPLES, example, large_house, planned, starter


def with_appliance(house: House, **changes: object) -> House:
    first, *rest = house.appliances
    return house.changed(appliances=(replace(first, **changes), *rest))


def test_there_are_three_examples() -> None:
    assert len(EXAMPLES) == 3, EXAMPLES


def test_first_design_runs_every_step() -> None:
    assert planned(DEMO).recomputed == tuple(s.name for s in STEPS)


def test_an_equal_house_recomputes_nothing() -> None:
    plan = planned(DEMO)
    assert plan.redesign(example(DEMO).changed()).recomputed == ()


def test_a_name_change_recomputes_only_steps_that_read_it() -> None:
    plan = planned(DEMO)
    readers = {s.name for s in STEPS if "envelope" in s.reads}
    tried = plan.redesign(plan.house.changed(envelope=replace(plan.house.envelope, target_limit=0.123)))
    assert set(tried.recomputed) == readers | {"sealing"}


def test_a_kept_result_is_the_result_of_a_fresh_design() -> None:
    plan = planned(DEMO)
    changed = with_appliance(plan.house, power_VA=1234.0)
    assert plan.redesign(changed).results == design(changed).results


EDITS = {"heaters": {"power_VA": 9999.0}, "rooms": {"kind": "den"}, "panels": {"rating_A": 225.0}}
"""Parts whose rows other tables refer to: one of their rows is changed instead of taken out."""

ADDED = {
    "furniture": lambda house: (
        Furniture(
            id="f",
            room=bedroom(house).id,
            side=edges(bedroom(house))[0].side,
            offset_ft=2.0,
            width_ft=3.0,
            wants="beside both ends",
        ),
    ),
    "sprinklers": lambda house: (Sprinkler(id="s", room=house.fans[0].room, x_offset_ft=3.0, y_offset_ft=3.0),),
}
"""Rows of the tables that the example leaves out."""


def bedroom(house: House) -> Room:
    return next(r for r in house.rooms if r.kind == "bedroom")


NO_ROWS = ("wall_builds",)
"""Tables without rows in the example; test_wall_assemblies edits them."""


@pytest.mark.parametrize("part", [part for part in TABLES if part not in NO_ROWS])
def test_every_table_edit_equals_a_fresh_design(part: str) -> None:
    plan = planned(DEMO)
    if part in ADDED:
        plan = design(plan.house.changed(**{part: ADDED[part](plan.house)}))
    *first, last = getattr(plan.house, part)
    rows = (*first, replace(last, **EDITS[part])) if part in EDITS else tuple(first)
    changed = plan.house.changed(**{part: rows})
    assert plan.redesign(changed).results == design(changed).results


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("edition", EDITIONS)
def test_every_example_designs_in_every_edition(name: str, edition: int) -> None:
    plan = design(example(name), edition)
    assert plan.edition == edition
    assert all(r.edition == edition for r in plan.results.values())


@pytest.mark.parametrize("name", EXAMPLES)
def test_order_of_rows_never_matters(name: str) -> None:
    house = example(name)
    shuffle = random.Random(7)
    parts = {part: tuple(shuffle.sample(getattr(house, part), len(getattr(house, part)))) for part in TABLES}
    plan, mixed = planned(name), design(house.changed(**parts))
    for step in plan.results:
        a, b = plan.results[step], mixed.results[step]
        assert sorted(map(repr, getattr(a, a.main))) == sorted(map(repr, getattr(b, b.main))), (
            f"step {step} depends on row order"
        )


def test_only_runs_what_is_asked_and_what_it_takes() -> None:
    assert [s.name for s in steps_for(("service",))] == ["loads", "service"]
    assert set(design(starter(), only=("service",)).results) == {"loads", "service"}
    with pytest.raises(ValueError, match="no step 'servise'"):
        steps_for(("servise",))


def test_unknown_edition_is_refused() -> None:
    with pytest.raises(EditionError, match="2018"):
        design(starter(), 2018)


def test_a_step_sees_only_what_it_names(monkeypatch: pytest.MonkeyPatch) -> None:
    step = next(s for s in STEPS if s.name == "loads")
    blind = replace(step, reads=tuple(r for r in step.reads if r != "appliances"))
    monkeypatch.setattr("hpelec.plan.STEPS", (blind,))
    with pytest.raises(AttributeError, match="does not name it"):
        design(starter())


def test_steps_are_in_order() -> None:
    done: set[str] = set()
    for step in STEPS:
        assert set(step.takes) <= done, f"{step.name} takes a step that comes later"
        done.add(step.name)


@pytest.mark.parametrize("name", EXAMPLES)
def test_tables_working_and_findings_are_there(name: str) -> None:
    plan: Plan = planned(name)
    for step in plan.results:
        assert len(plan.table(step)), f"{step}: empty table"
        assert plan.working(step), f"{step}: no working"
    assert {f.step for f in plan.findings} <= {s.name for s in STEPS}
    verdicts = [f.verdict.value for f in plan.findings]
    assert verdicts == sorted(verdicts, key=["misses", "cannot say", "meets"].index)


def test_a_plan_has_no_other_names() -> None:
    with pytest.raises(AttributeError, match="steps: loads"):
        _ = planned(DEMO).nonsense


@pytest.mark.slow
def test_a_house_of_200_rooms_is_designed_to_the_end_within_seconds() -> None:
    start = time.process_time()
    plan = design(large_house())
    taken = time.process_time() - start
    assert len(plan.circuits.circuits) > 100 and plan.sealing is not None
    assert taken < 12, f"{taken:.1f} s of processor time; a quiet machine took 4"
