"""Laws of equipment amperes and of the comparison with measurements, and bad input of their columns."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.common import rules_equipment
from hpelec.common.rules_ratings import standard_ratings_A
from hpelec.core.editions import EDITIONS
from hpelec.core.errors import InputErrors, RangeError
from hpelec.core.findings import Verdict
from hpelec.house.check import check
from hpelec.house.read import read_house
from hpelec.house.rows_loads import APPLIANCE_KINDS, HEATER_KINDS, Appliance, Heater
from hpelec.house.write import write_starter
from hpelec.plan import design as design_plan
from hpelec.steps.loads import rules_reality
from hpelec.steps.loads.amps import equipment_amps
from hpelec.steps.loads.design import design
from hpelec.steps.loads.model_amps import EquipmentAmps
from hpelec.steps.loads.reality import figures
from tests.adapters_loads import appliance, heater, house
from tests.houses import EXAMPLES, planned, starter

QUICK = settings(max_examples=60, deadline=None)
KINDS = tuple(k for k in APPLIANCE_KINDS if k not in ("solar", "storage"))
amperes = st.floats(0.5, 90, allow_nan=False)
editions = st.sampled_from(EDITIONS)


@st.composite
def appliances(draw: st.DrawFn) -> Appliance:
    kind = draw(st.sampled_from(KINDS))
    marks = st.one_of(st.none(), st.floats(1, 120))
    return appliance(
        kind,
        id=f"a{draw(st.integers(0, 10**6))}",
        power_VA=draw(st.one_of(st.none(), st.floats(1, 20000))),
        current_A=draw(st.one_of(st.none(), amperes)),
        mca_A=draw(marks),
        mocp_A=draw(marks),
        quantity=draw(st.integers(1, 4)),
        voltage_V=draw(st.sampled_from((120.0, 208.0, 240.0))),
        continuous=draw(st.booleans()),
        motor=draw(st.booleans()),
        motor_hp=draw(st.sampled_from((None, None, 0.5, 1.0, 0.6))),
        duty_percent=draw(st.sampled_from((None, 20.0, 60.0))) if kind == "welder" else None,
        status=draw(st.sampled_from(("new", "existing"))),
    )


@st.composite
def heaters(draw: st.DrawFn) -> Heater:
    return heater(
        draw(st.floats(500, 36000)),
        id=f"h{draw(st.integers(0, 10**6))}",
        kind=draw(st.sampled_from(HEATER_KINDS)),
        volume_gal=draw(st.sampled_from((0.0, 50.0, 120.0, 121.0))),
        voltage_V=draw(st.sampled_from((240.0, 208.0))),
    )


def of(rows: list[Appliance], tanks: tuple[Heater, ...] = (), edition: int = 2023, V: float = 240.0):
    return equipment_amps(replace(house(voltage_V=V), appliances=tuple(rows), heaters=tuple(tanks)), edition)


def one(row: Appliance, edition: int = 2023) -> EquipmentAmps:
    return of([row], edition=edition).rows[0]


@QUICK
@given(st.lists(appliances(), max_size=5), st.lists(heaters(), max_size=2), editions, st.sampled_from((240.0, 208.0)))
def test_every_row_is_told_and_its_device_is_standard_and_carries_it(
    rows: list[Appliance], tanks: list[Heater], edition: int, V: float
) -> None:
    made = of(rows, tanks, edition, V)
    assert len(made.rows) == len(rows) + len(tanks)
    for row in made.rows:
        if row.device_A is None:
            assert row.minimum_A is None and row.load_VA in (None, 0), row
            continue
        assert row.device_A in standard_ratings_A(edition)
        if row.minimum_A is not None:
            assert row.device_A >= row.minimum_A - 1e-9, f"a device below the minimum ampacity: {row}"
        if row.load_VA is not None and row.full_load_A is not None:
            assert row.full_load_A * row.voltage_V == pytest.approx(row.load_VA)


@QUICK
@given(appliances(), editions)
def test_no_load_comes_from_the_marked_circuit(row: Appliance, edition: int) -> None:
    bare = replace(row, power_VA=None, current_A=None, motor_hp=None)
    made = one(bare, edition)
    assert made.load_VA is None and made.full_load_A is None
    if row.kind != "vehicle_charger" or edition < 2023:
        assert made.feeder_A is None and made.feeder_sizing_A is None


@QUICK
@given(appliances(), editions)
def test_a_marked_circuit_changes_no_feeder_load(row: Appliance, edition: int) -> None:
    if row.kind != "welder":  # a welder's marked current is its effective primary current, which is what flows
        with_marks, without = one(row, edition), one(replace(row, mca_A=None, mocp_A=None), edition)
        assert with_marks.feeder_A == without.feeder_A


@QUICK
@given(st.floats(1, 100), st.floats(1, 100), amperes, st.booleans())
def test_a_larger_duty_never_lowers_amperes(a: float, b: float, current_A: float, rotating: bool) -> None:
    low, high = (one(appliance("welder", current_A=current_A, duty_percent=d, motor=rotating)) for d in sorted((a, b)))
    assert (low.minimum_A or 0) <= (high.minimum_A or 0) + 1e-9
    assert (low.feeder_A or 0) <= (high.feeder_A or 0) + 1e-9
    assert (high.minimum_A or 0) <= current_A + 1e-9, "never above the rated primary current"
    unknown = one(appliance("welder", current_A=current_A, motor=rotating))
    assert (unknown.minimum_A or 0) >= (high.minimum_A or 0) - 1e-9, "an unknown duty is the most careful one"


@QUICK
@given(appliances(), st.integers(2, 5), editions)
def test_quantity_multiplies_the_feeder_and_leaves_the_circuit(row: Appliance, count: int, edition: int) -> None:
    single, many = one(replace(row, quantity=1), edition), one(replace(row, quantity=count), edition)
    assert (single.minimum_A, single.device_A, single.circuit_A) == (many.minimum_A, many.device_A, many.circuit_A)
    if single.feeder_A is not None and many.feeder_A is not None:
        assert many.feeder_A == pytest.approx(count * single.feeder_A)


@QUICK
@given(st.lists(appliances(), min_size=2, max_size=6, unique_by=lambda r: r.id), st.integers(0, 999))
def test_the_order_of_rows_does_not_matter(rows: list[Appliance], seed: int) -> None:
    mixed = rows[:]
    random.Random(seed).shuffle(mixed)
    assert of(rows) == of(mixed)


@QUICK
@given(appliances(), editions)
def test_the_part_in_a_feeder_is_never_smaller_when_it_is_sized(row: Appliance, edition: int) -> None:
    made = one(row, edition)
    if made.feeder_A is not None and made.feeder_sizing_A is not None:
        assert made.feeder_A - 1e-9 <= made.feeder_sizing_A <= 1.25 * made.feeder_A + 1e-9


@QUICK
@given(amperes, amperes, st.sampled_from(("room_heater", "vehicle_charger", "kiln", "pump", "heat_pump", "other")))
def test_a_larger_current_never_asks_for_a_smaller_device(a: float, b: float, kind: str) -> None:
    low, high = (one(appliance(kind, current_A=c)) for c in sorted((a, b)))
    assert (low.device_A or 0) <= (high.device_A or 0)
    assert (low.minimum_A or 0) <= (high.minimum_A or 0)


@pytest.mark.parametrize("name", EXAMPLES)
def test_loads_and_circuits_size_the_same_equipment_alike(name: str) -> None:
    plan = planned(name)
    by_id = {r.id: r for r in plan.loads.amps}
    own = [c for c in plan.circuits.circuits if c.id.startswith("own-")]
    assert len(own) > 5
    for circuit in own:
        row = next((by_id[i] for i in by_id if circuit.id == f"own-{i}" or circuit.id.startswith(f"own-{i}-")), None)
        assert row is not None and row.device_A == circuit.breaker_A, circuit.id


def test_loads_and_circuits_size_a_set_charger_alike() -> None:
    start = starter()
    charger = appliance("vehicle_charger", power_VA=11520, set_A=24, room="utility")
    plan = design_plan(start.changed(appliances=(*start.appliances, charger)), only=("circuits",))
    (circuit,) = [c for c in plan.circuits.circuits if c.id == f"own-{charger.id}"]
    assert circuit.breaker_A == next(r.device_A for r in plan.loads.amps if r.id == charger.id) == 30


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("edition", EDITIONS)
def test_every_row_of_the_examples_has_amperes_and_a_source(name: str, edition: int) -> None:
    made = equipment_amps(planned(name).house, edition)
    assert made.rows and all(r.citation.source and r.rule and r.minimum_A for r in made.rows)
    assert all(entry.what.startswith("amps: ") for entry in made.working)


def test_exchanged_marks_miss_and_the_device_still_carries_the_minimum() -> None:
    made = of([appliance("heat_pump", power_VA=4000, mca_A=30, mocp_A=20)])
    (found,) = [f for f in made.findings if f.id == "amps-nameplate"]
    assert found.verdict is Verdict.MISSES and "exchanged" in found.fix
    assert made.rows[0].device_A == 30


def test_a_compressor_without_marks_cannot_be_said() -> None:
    (found,) = of([appliance("air_conditioner", current_A=14)]).findings
    assert found.verdict is Verdict.CANNOT_SAY and "MCA and MOCP" in found.fix


def test_nothing_known_says_so_and_gives_no_number() -> None:
    made = design(replace(house(), appliances=(appliance("welder"),)), 2023)
    (row,) = made.amps
    assert (row.minimum_A, row.device_A, row.feeder_A) == (None, None, None)
    assert [f for f in made.findings if f.id == "load-not-known" and f.place == "welder"]


def test_a_kiln_does_not_get_lower_by_its_duty_and_says_so() -> None:
    made = of([appliance("kiln", power_VA=9600, duty_percent=30)])
    assert made.rows[0].minimum_A == pytest.approx(50)
    assert [f.verdict for f in made.findings] == [Verdict.CANNOT_SAY]


def test_a_charger_is_sized_at_its_restricted_setting_and_its_nameplate_is_told() -> None:
    (row,) = of([appliance("vehicle_charger", power_VA=11520, set_A=24)]).rows
    assert (row.minimum_A, row.device_A) == (30, 30)
    assert "at its nameplate it would need 60 A and 60 A" in row.remark


@pytest.mark.parametrize(
    ("power_VA", "told"), [(11520, []), (11521, ["amps-subdivided"]), (19200, ["amps-subdivided"])]
)
def test_large_strip_heat_needs_the_number_of_circuits_from_its_nameplate(power_VA: float, told: list[str]) -> None:
    assert [f.id for f in of([appliance("supplemental_heat", power_VA=power_VA)]).findings] == told


@pytest.mark.parametrize("bad", [0.0, -1.0, 101.0, math.nan, math.inf])
def test_rules_refuse_a_duty_that_is_none(bad: float) -> None:
    with pytest.raises(RangeError):
        rules_equipment.welder_multiplier(bad)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_rules_refuse_a_current_that_is_none(bad: float) -> None:
    for call in (
        lambda: rules_equipment.welder_effective_A(bad, 50),
        lambda: rules_equipment.welder_device_most_A(bad, 2023),
        lambda: rules_equipment.motor_device_most_A(bad, 2023),
        lambda: rules_equipment.motor_full_load_A(bad, 120),
        lambda: rules_reality.load_factor_percent(100, bad),
    ):
        with pytest.raises(RangeError):
            call()


# --- input ---------------------------------------------------------------------------------------------------------


def written(tmp_path: Path, file: str, text: str, instead: str) -> Path:
    folder = tmp_path / "house"
    write_starter(folder)
    old = (folder / file).read_text("utf-8")
    assert text in old
    (folder / file).write_text(old.replace(text, instead, 1), "utf-8")
    return folder


def with_appliance(tmp_path: Path, columns: dict[str, str]) -> Path:
    folder = tmp_path / "house"
    write_starter(folder)
    file = folder / "appliances.csv"
    file.write_text(",".join(columns) + "\n" + ",".join(columns.values()) + "\n", "utf-8")
    return folder


WELDER = {"id": "welder", "name": "Welder", "kind": "welder", "current_A": "30", "duty_percent": "20"}


@pytest.mark.parametrize("typed", ["20", "20 %", "0.5"])
def test_a_duty_may_be_typed(tmp_path: Path, typed: str) -> None:
    read = read_house(with_appliance(tmp_path, WELDER | {"duty_percent": typed}))
    assert 0 < (read.appliances[0].duty_percent or 0) <= 20


@pytest.mark.parametrize(
    ("change", "column"),
    [
        ({"duty_percent": "0"}, "duty_percent"),
        ({"duty_percent": "120"}, "duty_percent"),
        ({"duty_percent": "-20"}, "duty_percent"),
        ({"duty_percent": "often"}, "duty_percent"),
        ({"duty_percent": "nan"}, "duty_percent"),
        ({"duty_percent": "20 A"}, "duty_percent"),
        ({"kind": "dryer"}, "duty_percent"),
        ({"kind": "wleder"}, "kind"),
    ],
)
def test_a_bad_duty_is_refused_with_its_place(tmp_path: Path, change: dict[str, str], column: str) -> None:
    with pytest.raises(InputErrors) as errors:
        read_house(with_appliance(tmp_path, WELDER | change))
    assert [p.column for p in errors.value.problems] == [column]
    assert errors.value.problems[0].row == 2


@pytest.mark.parametrize("kind", [k for k in APPLIANCE_KINDS if k not in ("welder", "kiln")])
def test_a_duty_elsewhere_is_a_problem(kind: str) -> None:
    problems = check(starter().changed(appliances=(appliance(kind, duty_percent=50.0),)))
    assert [p.column for p in problems] == ["duty_percent"]


@pytest.mark.parametrize(("typed", "kWh"), [("9000", 9000.0), ('"9 MWh"', 9000.0), ("0", 0.0)])
def test_a_year_may_be_typed(tmp_path: Path, typed: str, kWh: float) -> None:
    folder = written(tmp_path, "house.toml", "[house]\n", f"[house]\nannual_kWh = {typed}\n")
    assert read_house(folder).general.annual_kWh == pytest.approx(kWh)


@pytest.mark.parametrize("typed", ["-1", "nan", '"much"', '"9 kW"', "2e6", "true"])
def test_a_bad_year_is_refused(tmp_path: Path, typed: str) -> None:
    with pytest.raises(InputErrors) as errors:
        read_house(written(tmp_path, "house.toml", "[house]\n", f"[house]\nannual_kWh = {typed}\n"))
    assert [p.column for p in errors.value.problems] == ["house.annual_kWh"]


# --- reality -------------------------------------------------------------------------------------------------------


def test_judgement_is_no_figure_and_only_an_own_peak_compares() -> None:
    assert all("judgement" not in f.kind and f.citation.accuracy == "published" for f in figures())
    assert {f.use for f in figures() if f.comparable} == {"own peak"}
    assert all(f.remark for f in figures() if not f.comparable), "each other figure says why it does not compare"


def loads_without_reality(made: Any) -> tuple[Any, ...]:
    return made.methods, made.chosen, made.design_VA, made.design_A, made.neutral_A, made.amps


@QUICK
@given(st.floats(0, 1e6), editions)
def test_a_metered_year_changes_no_load(year_kWh: float, edition: int) -> None:
    base = house(appliances=[{"kind": "room_heater", "power_VA": 4000.0}])
    known = base.changed(general=replace(base.general, annual_kWh=year_kWh))
    assert loads_without_reality(design(base, edition)) == loads_without_reality(design(known, edition))


@QUICK
@given(st.floats(0, 1e6), st.floats(0, 1e6))
def test_the_year_misses_exactly_where_its_average_is_above_the_load(a: float, b: float) -> None:
    shares = []
    for year_kWh in sorted((a, b)):
        made = design(house(annual_kWh=year_kWh), 2023)
        assert made.reality is not None and made.reality.load_factor_percent is not None
        shares.append(made.reality.load_factor_percent)
        (year,) = [f for f in made.findings if f.id == "reality-year"]
        assert (year.verdict is Verdict.MISSES) == (made.reality.load_factor_percent > 100 + 1e-9)
    assert shares == sorted(shares)


@pytest.mark.parametrize("voltage_V", [120.0, 240.0])
@pytest.mark.parametrize("size", [{"power_VA": 1e5}, {"power_VA": None, "current_A": 800.0}, {"power_VA": 0.0}])
def test_the_largest_and_smallest_equipment_allowed_is_designed_to_the_end(size: dict, voltage_V: float) -> None:
    start = starter()
    for kind in APPLIANCE_KINDS:
        extreme = replace(start.appliances[0], id="extreme", kind=kind, voltage_V=voltage_V, quantity=3, **size)
        plan = design_plan(
            start.changed(appliances=(*start.appliances, extreme)), only=("circuits", "lateral", "faults")
        )
        assert plan.loads.design_A >= 0, kind
    if size["power_VA"]:
        for kind in HEATER_KINDS:
            extreme = replace(start.heaters[0], id="extreme", kind=kind, voltage_V=voltage_V, power_VA=1e5)
            design_plan(start.changed(heaters=(*start.heaters, extreme)), only=("circuits", "coincidence"))
