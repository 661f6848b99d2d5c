"""Laws of the step sealing."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.core.errors import RangeError
from hpelec.core.findings import Verdict
from hpelec.core.tables import table
from hpelec.steps.airtightness.design import design as leakage
from hpelec.steps.penetrations.model import PenetrationsResult
from hpelec.steps.routes.model import Crossing
from hpelec.steps.sealing import rules
from hpelec.steps.sealing.design import design
from hpelec.steps.sealing.model import SealingResult
from tests.test_laws_penetrations import CROSSINGS, crossing, device, holes_of, house

QUICK = settings(max_examples=40, deadline=None)
BOXES = [
    device("kitchen.L1", "ceiling", kind="lighting_outlet"),
    device("kitchen.O1", "outside", kind="outdoor_receptacle"),
]


def plan_of(found: PenetrationsResult) -> SealingResult:
    leaks = leakage(house(), 2023, penetrations=found)
    return design(house(), 2023, penetrations=found, airtightness=leaks)


@QUICK
@given(CROSSINGS)
def test_every_hole_is_once_in_the_list_or_unmatched(crossings: list[Crossing]) -> None:
    found = holes_of(crossings, BOXES)
    plan = plan_of(found)
    told = [i.hole for i in plan.items] + list(plan.unmatched)
    assert sorted(told) == sorted(h.id for h in found.holes)
    misses = [f.place for f in plan.findings if f.verdict is Verdict.MISSES]
    assert sorted(misses) == sorted(plan.unmatched), "each unmatched hole is a finding that misses"


@QUICK
@given(CROSSINGS)
def test_tags_are_unique_and_the_order_is_by_stage_then_leakage(crossings: list[Crossing]) -> None:
    items = plan_of(holes_of(crossings, BOXES)).items
    tags = [i.tag for i in items]
    assert len(tags) == len(set(tags)), tags
    assert [i.order for i in items] == list(range(1, len(items) + 1))
    keys = [(i.stage_number, -i.removes_cfm50) for i in items]
    assert keys == sorted(keys)
    assert all(i.removes_cfm50 >= 0 for i in items)


@QUICK
@given(CROSSINGS, st.randoms())
def test_the_order_of_holes_does_not_matter(crossings: list[Crossing], chance) -> None:
    found = holes_of(crossings, BOXES)
    mixed = list(found.holes)
    chance.shuffle(mixed)
    assert plan_of(replace(found, holes=tuple(mixed))) == plan_of(found)


@QUICK
@given(CROSSINGS)
def test_more_holes_never_need_less(crossings: list[Crossing]) -> None:
    few = {t.item: t.quantity for t in plan_of(holes_of(crossings)).take_off}
    many = {t.item: t.quantity for t in plan_of(holes_of([*crossings, crossing("zz", 500.0)])).take_off}
    assert all(many.get(item, 0) >= quantity - 1e-9 for item, quantity in few.items()), (few, many)


@QUICK
@given(CROSSINGS)
def test_a_seal_fits_its_hole(crossings: list[Crossing]) -> None:
    found = holes_of(crossings, BOXES)
    holes = {h.id: h for h in found.holes}
    steps = {r.text("stage"): int(r.number("step")) for r in table("air/sealing_sequence")}
    for item in plan_of(found).items:
        hole = holes[item.hole]
        assert item.gap_limit_mm is None or hole.gap_mm <= item.gap_limit_mm + 1e-9, item
        assert item.stage_number <= steps[hole.reach_until], f"{item.hole} sealed at {item.stage} after it is covered"


def test_a_hole_that_nothing_fits_tells_why() -> None:
    hole = holes_of([crossing("a")]).holes[0]
    odd = replace(hole, method="", bore_method="", rejected=("sealant: too wide", "foam: too late"))
    plan = plan_of(PenetrationsResult(edition=2023, holes=(odd,), surfaces=(), fewer=()))
    assert plan.unmatched == (hole.id,)
    assert not plan.items
    finding = next(f for f in plan.findings if f.id == "no-seal")
    assert "sealant: too wide; foam: too late" in finding.got


def test_no_holes_no_plan() -> None:
    plan = plan_of(holes_of([]))
    assert (plan.items, plan.take_off, plan.unmatched) == ((), (), ())


@QUICK
@given(st.floats(0.1, 40.0), st.just(0.0) | st.floats(1e-6, 300.0), st.floats(0.0, 1.0), st.floats(1.01, 5.0))
def test_quantities_grow_with_what_they_fill(size: float, length: float, waste: float, more: float) -> None:
    assert rules.fillet_volume_mL(size * more, length, waste) >= rules.fillet_volume_mL(size, length, waste)
    assert rules.tape_collar_mm(size * more, 25, waste) > rules.tape_collar_mm(size, 25, waste)
    assert rules.foam_volume_mL(length * more, size, waste) >= rules.foam_volume_mL(length, size, waste)
    assert math.isclose(
        rules.bead_volume_mL(size, size, length, waste), 2 * rules.fillet_volume_mL(size, length, waste)
    )
    volume = rules.bead_volume_mL(size, size, length, waste)
    count = rules.cartridges(volume)
    assert 310 * count >= volume - 1e-6
    assert 310 * (count - 1) < volume or count == 0


BAD = [
    lambda v: rules.bead_volume_mL(v, 6, 1),
    lambda v: rules.fillet_volume_mL(6, v),
    rules.bead_depth_mm,
    rules.cartridges,
    lambda v: rules.tape_collar_mm(12, v, 0.1),
    lambda v: rules.foam_volume_mL(v, 10, 0.1),
    rules.rod_diameter_mm,
    lambda v: rules.bead_length_m(6, 6, v),
]


@pytest.mark.parametrize("bad", [math.nan, math.inf, -1.0])
@pytest.mark.parametrize("call", BAD, ids=range(len(BAD)))
def test_rules_refuse_what_is_no_quantity(call, bad: float) -> None:
    with pytest.raises(RangeError):
        call(bad)
