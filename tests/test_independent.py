"""Fault currents and voltage drop against two other ways: a nodal solution with numpy, and a network library.

The impedances are put together here anew, from the published table and the house alone, so that a slip in the
library's own chain shows. The network library lives in an environment of its own (`tests/independent.lock`): the tests
that need it run it as a program and are skipped, saying why, where it is not there.

Agreement: nodal solution 1e-9 of the value; network library 1e-4 of the value.
"""

from __future__ import annotations

import csv
import dataclasses
import json
import math
import os
import subprocess
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from hpelec.common import rules_drop
from hpelec.core.tables import data_folder
from hpelec.house.geometry import edge_of
from hpelec.house.model import House
from hpelec.house.rows import Panel
from hpelec.plan import Plan, design
from tests.houses import EXAMPLES, example, planned, starter

ROOT = Path(__file__).parent.parent
SCRIPT = ROOT / "tests" / "independent" / "network.py"
PYTHON = Path(os.environ.get("HPELEC_INDEPENDENT_PYTHON") or ROOT / ".venv-independent" / "bin" / "python")
NODAL, LIBRARY = 1e-9, 1e-4
ALPHA = {"cu": 0.00323, "al": 0.00330}
X_OVER_R = 1.7 / 1.2


def table() -> dict[tuple[str, str], dict[str, str]]:
    """Rows of the conductor table by size and metal, read as plain CSV."""
    with (data_folder() / "standards" / "tables" / "conductors.csv").open(encoding="utf-8") as file:
        return {(row["size"], row["material"]): row for row in csv.DictReader(file)}


CONDUCTORS = table()


def way_ohm(size: str, material: str, sets: int, length_ft: float, conductor_C: float) -> complex:
    row = CONDUCTORS[size, material]
    small = float(row["area_kcmil"]) <= 211.6
    r = float(row["dc_resistance_ohm_per_kft_75c" if small else "ac_resistance_pvc_ohm_per_kft"])
    r *= 1 + ALPHA[material] * (conductor_C - 75)
    return complex(r, float(row["reactance_pvc_aluminum_ohm_per_kft"])) * length_ft / 1000 / sets


def split(voltage_V: float, current_A: float) -> complex:
    r = voltage_V / current_A / math.hypot(1, X_OVER_R)
    return complex(r, r * X_OVER_R)


def first_A(plan: Plan) -> float:
    """Highest line-to-line current at the first point."""
    site = plan.house.service_site
    if site.available_fault_A is not None:
        return site.available_fault_A * (1 if site.voltage_V == 240 else math.sqrt(3) / 2)
    assert site.transformer_kVA is not None
    assert site.transformer_impedance_percent is not None
    volt_amperes = site.transformer_kVA * 1000 * 100 / (0.9 * site.transformer_impedance_percent)
    return volt_amperes / site.voltage_V / (1 if site.voltage_V == 240 else 2)


def shortest_ft(house: House, panel: Panel) -> float:
    if panel.feeder_length_ft is not None:
        return panel.feeder_length_ft
    ends = []
    for p in (panel, next(p for p in house.panels if p.id == panel.fed_from)):
        room = next(r for r in house.rooms if r.id == p.room)
        edge = edge_of(room, p.side)
        assert edge is not None
        floor_ft = next(lv.floor_ft for lv in house.levels if lv.id == room.level)
        ends.append((*edge.at(edge.along(p.offset_ft)), floor_ft + p.height_in / 12))
    return math.dist(*ends)


def network_of(plan: Plan, *, neutral: bool) -> dict[str, Any]:
    """The radial network of a plan for the highest current, loop by loop."""
    house, site = plan.house, plan.house.service_site
    rows = {r.part: r for r in plan.service.conductors if r.chosen}
    voltage_V = 120.0 if neutral else site.voltage_V
    current_A = first_A(plan)
    if neutral:
        current_A *= 1.5 if site.voltage_V == 240 else 2 / math.sqrt(3)

    def loop(part: str, length_ft: float, largest: bool = False) -> list[float]:
        row = rows[part]
        size = "750" if largest else row.size
        back = (size if largest else row.neutral_size) if neutral else size
        z = sum(way_ohm(s, row.material, row.sets, length_ft, 25) for s in (size, back))
        return [z.real, z.imag]

    lines = []
    stated_at_meter = site.available_fault_A is not None and site.available_fault_at != "transformer"
    if not stated_at_meter:
        theirs = site.lateral_owner == "utility"
        lines.append({"from": "transformer", "to": "meter", "ohm": loop("lateral", site.lateral_length_ft, theirs)})
    waiting = list(house.panels)
    known = {"meter"}
    while waiting:
        for panel in list(waiting):
            fed = "meter" if panel.fed_from == "service" else panel.fed_from
            if fed in known:
                length_ft = site.service_entrance_length_ft if fed == "meter" else shortest_ft(house, panel)
                part = "service entrance" if fed == "meter" else f"feeder to {panel.id}"
                lines.append({"from": fed, "to": panel.id, "ohm": loop(part, length_ft)})
                known.add(panel.id)
                waiting.remove(panel)
    first = min(p.id for p in house.panels if p.fed_from == "service")
    for building in plan.loads.buildings:
        feeder = loop(f"feeder to {building.id}", building.feeder_length_ft)
        lines.append({"from": first, "to": building.id, "ohm": feeder})
    z = split(voltage_V, current_A)
    return {"voltage_V": voltage_V, "source_ohm": [z.real, z.imag], "lines": lines, "load": None}


def drop_network(plan: Plan) -> dict[str, Any]:
    """The lateral at the design load, behind a source that is almost without impedance."""
    row = next(r for r in plan.service.drops if r.chosen)
    z = 2 * way_ohm(row.size, row.material, row.sets, row.length_ft, 75)
    load = {"at": "meter", "current_A": row.current_A, "power_factor": 0.95}
    line = {"from": "transformer", "to": "meter", "ohm": [z.real, z.imag]}
    voltage_V = plan.house.service_site.voltage_V
    return {"voltage_V": voltage_V, "source_ohm": [1e-6, 1e-6], "lines": [line], "load": load}


def made(name: str) -> Plan:
    """Made networks: a tree of panels, a far transformer with parallel sets, 208Y/120 V, a stated current."""
    house = starter()
    first = house.panels[0]
    more = {"fed_from": first.id, "rating_A": 100.0}
    tree = (
        first,
        dataclasses.replace(first, id="P2", feeder_length_ft=63.0, **more),
        dataclasses.replace(first, id="P3", fed_from="P2", feeder_length_ft=118.0, rating_A=60.0),
        dataclasses.replace(first, id="P4", offset_ft=1.0),
    )
    known = {"transformer_kVA": 75.0, "transformer_impedance_percent": 1.6}
    sites: dict[str, dict[str, Any]] = {
        "tree": {**known, "lateral_owner": "customer"},
        "far": {**known, "lateral_owner": "customer", "lateral_length_ft": 1400.0, "lateral_material": "cu"},
        "utility": {**known, "lateral_owner": "utility", "feeder_material": "cu"},
        "wye": {**known, "voltage_V": 208.0, "offered_A": (200.0,), "lateral_owner": "customer"},
        "stated": {"available_fault_A": 18200.0, "available_fault_at": "transformer", "lateral_owner": "customer"},
    }
    site = dataclasses.replace(house.service_site, **sites[name])
    return design(house.changed(service_site=site, panels=tree), only=("faults",))


MADE = ("tree", "far", "utility", "wye", "stated")
CASES = (*EXAMPLES, *MADE)


@cache
def plan_of(case: str) -> Plan:
    return planned(case) if case in EXAMPLES else made(case)


def nodal(network: dict[str, Any]) -> dict[str, float]:
    """Fault current at each node: the source's admittance and the runs' in one matrix, inverted."""
    names = list(dict.fromkeys(n for line in network["lines"] for n in (line["from"], line["to"])))
    y = np.zeros((len(names), len(names)), dtype=complex)
    y[0, 0] += 1 / complex(*network["source_ohm"])
    for line in network["lines"]:
        i, j = names.index(line["from"]), names.index(line["to"])
        admittance = 1 / complex(*line["ohm"])
        y[i, i] += admittance
        y[j, j] += admittance
        y[i, j] -= admittance
        y[j, i] -= admittance
    z = np.linalg.inv(y)
    return {name: network["voltage_V"] / abs(z[i, i]) for i, name in enumerate(names)}


def ours(plan: Plan, *, neutral: bool) -> dict[str, float]:
    return {p.id: p.neutral_high_A if neutral else p.high_A for p in plan.faults.points}


def compared(told: str, got: dict[str, float], expected: dict[str, float], within: float) -> None:
    assert set(got) == set(expected), f"{told}: points differ"
    for name, value in expected.items():
        share = abs(got[name] / value - 1)
        assert share <= within, f"{told}, {name}: {got[name]:.3f} A here, {value:.3f} A there ({share:.2e})"


@pytest.mark.parametrize("neutral", [False, True], ids=["line-line", "line-neutral"])
@pytest.mark.parametrize("case", CASES)
def test_nodal_solution_agrees(case: str, neutral: bool) -> None:
    plan = plan_of(case)
    compared(case, ours(plan, neutral=neutral), nodal(network_of(plan, neutral=neutral)), NODAL)


def test_made_networks_are_what_they_say() -> None:
    assert len(plan_of("tree").faults.points) == 6
    assert max(r.sets for r in plan_of("far").service.conductors if r.chosen) > 1, "no parallel sets in the far case"
    assert plan_of("wye").house.service_site.voltage_V == 208


@cache
def by_library() -> list[dict[str, Any]]:
    """All networks in one run of the other environment."""
    if not PYTHON.exists():
        pytest.skip(
            "NOT CHECKED against the network library: its own environment is not there; "
            "make .venv-independent from tests/independent.lock or set HPELEC_INDEPENDENT_PYTHON"
        )
    networks = [network_of(plan_of(c), neutral=n) for c in CASES for n in (False, True)]
    networks += [drop_network(plan_of(c)) for c in CASES]
    run = subprocess.run(
        [str(PYTHON), str(SCRIPT)], input=json.dumps(networks), capture_output=True, text=True, timeout=300, check=False
    )
    assert run.returncode == 0, run.stderr[-2000:]
    answers: list[dict[str, Any]] = json.loads(run.stdout)
    return answers


@pytest.mark.slow
@pytest.mark.parametrize("neutral", [False, True], ids=["line-line", "line-neutral"])
@pytest.mark.parametrize("case", CASES)
def test_network_library_agrees_on_fault_current(case: str, neutral: bool) -> None:
    answer = by_library()[2 * CASES.index(case) + neutral]
    compared(case, ours(plan_of(case), neutral=neutral), answer["fault_A"], LIBRARY)


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES)
def test_network_library_agrees_on_voltage_drop(case: str) -> None:
    plan = plan_of(case)
    answer = by_library()[2 * len(CASES) + CASES.index(case)]["drop_V"]
    row = next(r for r in plan.service.drops if r.chosen)
    assert row.drop_V is not None
    r = rules_drop.resistance_ohm_per_kft(row.size, row.material) / row.sets
    x = rules_drop.reactance_ohm_per_kft(row.size, row.material) / row.sets
    exact = rules_drop.exact_drop_V(row.current_A, row.length_ft, r, x, 0.95, plan.house.service_site.voltage_V)
    assert exact is not None
    assert abs(exact / answer - 1) <= LIBRARY, f"{case}: exact form {exact} V, network library {answer} V"
    assert abs(row.drop_V / answer - 1) <= 0.02, f"{case}: the step's {row.drop_V} V, network library {answer} V"


def test_example_houses_are_all_compared() -> None:
    assert {example(c).general.name for c in EXAMPLES} <= {plan_of(c).house.general.name for c in CASES}
