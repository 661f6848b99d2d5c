"""Feeders to other buildings: sized for their device and their length, and told at the building."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.common.rules_conductors import area_cmil
from hpelec.common.rules_drop import run_drop_V
from hpelec.core.findings import Verdict
from hpelec.house.sections_power import Building
from hpelec.plan import Plan, design
from tests.houses import starter

SHED = Building(id="shed", name="Shed", kind="workshop", receptacle_yokes=10, circuits=3)


def planned(edition: int = 2023, **shed: object) -> Plan:
    return design(starter().changed(buildings=(replace(SHED, **shed),)), edition, only=("faults",))


def feeder(plan: Plan, material: str = ""):
    named = plan.house.service_site.feeder_material
    return next(c for c in plan.service.conductors if c.part == "feeder to shed" and c.material == (material or named))


@settings(max_examples=25)
@given(st.floats(5, 2500), st.floats(5, 2500), st.sampled_from((30.0, 60.0, 100.0)))
def test_a_longer_feeder_is_never_thinner(a_ft: float, b_ft: float, rating_A: float) -> None:
    short, long = (feeder(planned(feeder_rating_A=rating_A, feeder_length_ft=ft)) for ft in sorted((a_ft, b_ft)))
    assert short.sets * area_cmil(short.size) <= long.sets * area_cmil(long.size)
    assert area_cmil(short.grounding_size) <= area_cmil(long.grounding_size)


@settings(max_examples=25)
@given(st.floats(5, 1500))
def test_the_drop_told_is_that_of_the_size_chosen(length_ft: float) -> None:
    plan = planned(feeder_rating_A=60.0, feeder_length_ft=length_ft)
    row, (building,) = feeder(plan), plan.loads.buildings
    run = next(r for r in plan.service.runs if r.part == row.part)
    lost_V = run_drop_V(row.size, row.material, row.sets, building.demand_A, length_ft, 0.95, 240.0)
    assert run.drop_V == pytest.approx(lost_V)
    found = next(f for f in plan.findings if f.id == "building-feeder-drop")
    assert (found.verdict is Verdict.MEETS) == (run.drop_percent <= run.limit_percent * (1 + 1e-12))


def test_conductors_enlarged_for_the_drop_enlarge_the_grounding_conductor_in_proportion() -> None:
    near, far = (feeder(planned(feeder_rating_A=60.0, feeder_length_ft=ft, lighting_VA=8000.0)) for ft in (10.0, 900.0))
    assert "enlarged for the voltage drop" in far.remark
    grown = area_cmil(near.grounding_size) * area_cmil(far.size) / area_cmil(near.size)
    assert area_cmil(far.grounding_size) >= grown * (1 - 1e-9), "250.122(B): the same proportion"


def test_without_a_length_the_drop_cannot_be_said_and_there_is_no_fault_current_at_it() -> None:
    plan = planned(feeder_rating_A=60.0)
    assert next(f.verdict for f in plan.findings if f.id == "building-feeder-drop") is Verdict.CANNOT_SAY
    assert "shed" not in {p.id for p in plan.faults.points}


def test_the_building_has_electrodes_a_disconnect_and_less_fault_current_than_its_panel() -> None:
    plan = planned(feeder_rating_A=60.0, feeder_length_ft=90.0)
    at = {p.id: p.high_A for p in plan.faults.points}
    assert at["shed"] < at[plan.house.panels[0].id]
    (row,) = plan.faults.outbuildings
    assert row.electrode_needed and row.neutral_bonded is False and row.disconnect_least_A == 60
