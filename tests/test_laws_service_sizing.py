"""Laws of thresholds, meter, mains, busbars and future loads; single changes against a fresh design; bad input."""

from __future__ import annotations

import dataclasses
import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.common.rules_set_points import rating_with_set_point_A
from hpelec.core.editions import EDITIONS
from hpelec.core.errors import InputErrors, RangeError
from hpelec.core.findings import Verdict
from hpelec.house.read import read_house
from hpelec.house.rows import Panel
from hpelec.house.rows_loads import Appliance, FutureLoad
from hpelec.house.write import write_house
from hpelec.plan import design
from hpelec.report.service_sizing_drawing import thresholds_scale
from hpelec.steps.service import rules, rules_bus, rules_meter
from hpelec.steps.service.design import design as service_design
from hpelec.steps.service.model import ServiceResult
from hpelec.steps.service.sizing import sized as sizing_of
from hpelec.steps.service.thresholds import RATING
from hpelec.study.additions import TOGETHER, additions, largest_additions, with_loads
from hpelec.study.service_only import service_plan
from hpelec.study.single_changes import changes, crossing_changes, single_changes
from tests.adapters_service import loads_of, service_of
from tests.adapters_service_sizing import sized
from tests.houses import DEMO, EXAMPLES, example, starter
from tests.test_bad_input import Edit, entry, read_with, whole

QUICK = settings(max_examples=60, deadline=None)
WHOLE = settings(max_examples=25, deadline=None)
OFFERS = (60.0, 100.0, 125.0, 150.0, 200.0, 225.0, 320.0, 400.0, 600.0)
offers = st.lists(st.sampled_from(OFFERS), min_size=1, unique=True)
amperes = st.floats(0, 700)


def service(load_A: float = 120.0, edition: int = 2023, **parts: Any) -> ServiceResult:
    """The service of the starter house with a stated load; parts of the house, or columns of [service], changed."""
    house = starter()
    whole_parts = {k: parts.pop(k) for k in ("panels", "appliances", "future") if k in parts}
    site = dataclasses.replace(house.service_site, **parts)
    changed = house.changed(service_site=site, **whole_parts)
    return service_design(changed, edition, loads=loads_of(load_A, 60.0, site.voltage_V))


def finding(result: ServiceResult, name: str, place: str | None = None) -> Any:
    return next(f for f in result.findings if f.id == name and place in (None, f.place))


# --- thresholds ------------------------------------------------------------------------------------------------------


@WHOLE
@given(amperes, offers, st.sampled_from(EDITIONS), st.sampled_from((208.0, 240.0)))
def test_thresholds_rise_and_agree_with_the_rating_chosen(
    load_A: float, offered: list[float], edition: int, voltage_V: float
) -> None:
    result = service_of(load_A, edition=edition, offered_A=tuple(offered), voltage_V=voltage_V)
    at_A = [t.at_A for t in result.thresholds]
    assert at_A == sorted(at_A)
    assert len({t.id for t in result.thresholds}) == len(at_A), "two thresholds share an id"
    for row in result.thresholds:
        assert row.crossed == (load_A > row.at_A), row
        assert row.distance_A == pytest.approx(row.at_A - load_A)
        assert row.distance_VA == pytest.approx(row.distance_A * voltage_V)
    ratings = [t for t in result.thresholds if t.what == RATING and t.offered]
    first = next((t.at_A for t in ratings if not t.crossed), None)
    assert first == result.rating_A, f"first rating not crossed {first}, chosen {result.rating_A}"


@WHOLE
@given(st.floats(0, 600), offers)
def test_the_meter_of_the_table_is_the_meter_of_the_service(load_A: float, offered: list[float]) -> None:
    result = service_of(load_A, offered_A=tuple(offered))
    rows = [t for t in result.thresholds if t.what == "meter equipment"]
    if result.rating_A is None or not rows:
        return
    told = next((t.within for t in rows if not t.crossed), rows[-1].beyond)
    assert told == result.meter


def test_the_points_where_equipment_changes() -> None:
    found = {(t.what, t.at_A): (t.within, t.beyond) for t in service(172.0, offered_A=(100, 200, 400, 600)).thresholds}
    assert found["smallest disconnect", 100.0][1] == "the load decides"
    assert found["meter equipment", 100.0] == ("class 100 meter", "class 200 meter")
    assert found["meter equipment", 200.0] == ("class 200 meter", "class 320 meter")
    assert found["meter equipment", 400.0] == ("class 320 meter", "instrument transformers")
    assert found["ampacity of service conductors", 400.0] == ("83 % of the main", "all of the main")
    assert found["mains", 200.0][0] == "one main panel"
    assert found["parallel service conductors", 400.0] == ("one set", "two sets or more")
    assert found["service rating", 600.0] == ("600 A", "no offer")


def test_a_rating_of_320_is_met_by_a_400_A_main() -> None:
    result = service(310.0, offered_A=(200, 320))
    assert (result.rating_A, result.main_A, result.meter) == (320, 400, "class 320 meter")
    assert result.meter_needed_A == 320


# --- meter, minimum, mains -------------------------------------------------------------------------------------------


@QUICK
@given(st.floats(0.1, 2000), st.floats(0.1, 2000), st.floats(100, 2000), st.floats(160, 200))
def test_more_current_never_means_a_smaller_meter(a: float, b: float, limit_A: float, label_A: float) -> None:
    order = ["CL100", "CL200", "CL320", "CT (CL10/CL20)"]
    small, large = (
        order.index(rules_meter.meter_class(x, limit_A, label_A).text("meter_class")) for x in sorted((a, b))
    )
    assert small <= large


@pytest.mark.parametrize(
    ("site", "load_A", "meter", "verdict"),
    [
        ({}, 100.0, "class 100 meter", Verdict.MEETS),
        ({}, 200.0, "class 200 meter", Verdict.MEETS),
        ({"offered_A": (225.0,)}, 210.0, "class 320 meter", Verdict.CANNOT_SAY),
        ({"offered_A": (225.0,), "meter_200_continuous_A": 200.0}, 210.0, "class 200 meter", Verdict.MEETS),
        ({"main_rated_percent": 100.0}, 200.0, "class 320 meter", Verdict.CANNOT_SAY),
        ({}, 400.0, "class 320 meter", Verdict.CANNOT_SAY),
        ({"metering_limit_A": 320.0}, 400.0, "class 320 meter", Verdict.MEETS),
        ({"metering_limit_A": 200.0}, 400.0, "instrument transformers", Verdict.MEETS),
    ],
)
def test_meter_is_said_only_when_label_and_utility_are_known(
    site: dict[str, Any], load_A: float, meter: str, verdict: Verdict
) -> None:
    result = service(load_A, **site)
    assert result.meter == meter
    assert finding(result, "service-meter").verdict is verdict, str(finding(result, "service-meter"))


@pytest.mark.parametrize(("serves", "least_A"), [("one_family", 100), ("other", 60), ("two_circuits", 30)])
def test_the_minimum_follows_what_is_served(serves: str, least_A: float) -> None:
    result = service(20.0, serves=serves, offered_A=(30.0, 60.0, 100.0))
    assert (result.minimum_A, result.rating_A) == (least_A, least_A)


def panel(name: str, **columns: Any) -> Panel:
    return dataclasses.replace(starter().panels[0], id=name, name=name, **columns)


@pytest.mark.parametrize(
    ("site", "edition", "verdict"),
    [
        ({"disconnects": 6}, 2023, Verdict.MEETS),
        ({"disconnects": 7}, 2023, Verdict.MISSES),
        ({"disconnects": 2, "disconnects_grouped": False}, 2023, Verdict.MISSES),
        ({"disconnects": 2, "disconnect_enclosures": "one"}, 2017, Verdict.MEETS),
        ({"disconnects": 2, "disconnect_enclosures": "one"}, 2020, Verdict.MISSES),
    ],
)
def test_disconnects_by_edition(site: dict[str, Any], edition: int, verdict: Verdict) -> None:
    assert finding(service(150.0, edition, **site), "service-disconnects").verdict is verdict


def test_one_disconnect_needs_no_finding() -> None:
    assert "service-disconnects" not in {f.id for f in service(150.0).findings}


def test_two_mains_whose_load_nobody_told_cannot_be_judged() -> None:
    alike = (panel("A"), panel("B"))
    result = service(310.0, disconnects=2, panels=alike)
    assert [(m.name, m.main_A, m.most_A, m.carries) for m in result.mains] == [
        ("A", 200.0, None, None),
        ("B", 200.0, None, None),
    ]
    assert finding(result, "service-main-share", "A").verdict is Verdict.CANNOT_SAY


def two_mains(large_A: float) -> ServiceResult:
    house = example(DEMO)
    first = house.panels[0]
    panels = (
        dataclasses.replace(first, id="L", takes="large", fed_from="service", main_A=large_A, rating_A=400.0),
        dataclasses.replace(first, id="S", takes="small", fed_from="service", main_A=200.0),
    )
    site = dataclasses.replace(house.service_site, disconnects=2)
    return design(house.changed(panels=panels, service_site=site), only=("service",)).service


def test_two_mains_are_judged_where_one_takes_the_large_loads() -> None:
    enough = two_mains(400.0)
    most = {m.name: m.most_A for m in enough.mains}
    standard = next(m for m in design(example(DEMO), only=("loads",)).loads.methods if m.method == "standard")
    whole_A = sum(entry.connected_VA for entry in standard.lines) / 240
    assert most["L"] + most["S"] / 2 == pytest.approx(whole_A), "load is lost or counted twice between the mains"
    assert most["L"] > most["S"] > 0
    verdicts = [finding(two_mains(a), "service-main-share", "L").verdict for a in (math.ceil(most["L"]), 100.0)]
    assert verdicts == [Verdict.MEETS, Verdict.CANNOT_SAY]


@pytest.mark.parametrize(("main_A", "verdict"), [(200.0, Verdict.MEETS), (201.0, Verdict.MISSES)])
def test_a_main_above_its_bus_misses(main_A: float, verdict: Verdict) -> None:
    assert finding(service(panels=(panel("A", main_A=main_A),)), "panel-main").verdict is verdict


@QUICK
@given(st.floats(1, 1200), st.floats(0, 1200))
def test_the_largest_set_point_just_fits(rating_A: float, uncontrolled_A: float) -> None:
    set_A = rules_meter.largest_set_point_A(rating_A, uncontrolled_A)
    assert rating_with_set_point_A(uncontrolled_A + set_A, set_A) == pytest.approx(max(rating_A, uncontrolled_A))


@pytest.mark.parametrize(("percent", "main_A"), [(80.0, 200.0), (100.0, 175.0)])
def test_a_set_point_counts_as_continuous_unless_the_main_is_marked_for_100_percent(percent, main_A) -> None:
    house = starter()
    site = dataclasses.replace(house.service_site, main_rated_percent=percent, offered_A=(175.0, 200.0))
    loads = dataclasses.replace(loads_of(165.0, 60.0), managed_continuous_A=80.0)
    assert sizing_of(house.changed(service_site=site), 2023, loads).main_A == main_A


# --- busbars ---------------------------------------------------------------------------------------------------------


@QUICK
@given(st.floats(1, 1200), st.floats(0, 1200), st.floats(0, 1200))
def test_a_larger_main_never_leaves_more_for_a_source(bus_A: float, a: float, b: float) -> None:
    low, high = sorted((a, b))
    for limit in (rules_bus.anywhere_source_A, rules_bus.opposite_end_source_A, rules_bus.breaker_sum_room_A):
        assert limit(bus_A, high) <= limit(bus_A, low)
    assert rules_bus.anywhere_source_A(bus_A, low) <= rules_bus.opposite_end_source_A(bus_A, low)


@WHOLE
@given(st.floats(0, 80), st.floats(0, 80))
def test_a_source_that_stands_takes_its_share_of_the_bus(standing_A: float, more_A: float) -> None:
    def left(current_A: float) -> float:
        solar = Appliance(id="roof", name="Solar", kind="solar", current_A=current_A)
        rows = service(appliances=(*starter().appliances, solar)).sources
        return max(r.source_A for r in rows if r.bus_A is not None and r.source_A is not None)

    before, after = left(standing_A), left(standing_A + more_A)
    assert after == pytest.approx(max(before - more_A, 0.0), abs=1e-9)


def test_a_source_of_unknown_current_leaves_nothing_to_say() -> None:
    solar = Appliance(id="roof", name="Solar", kind="solar")
    rows = service(appliances=(*starter().appliances, solar)).sources
    at_bus = [r for r in rows if r.bus_A is not None]
    assert all(r.source_A is None for r in at_bus)
    assert any("roof" in r.remark for r in at_bus)


def test_a_panel_never_has_more_room_than_the_one_that_feeds_it() -> None:
    panels = (panel("A", main_A=200.0), panel("B", rating_A=225.0, main_A=100.0, fed_from="A"))
    rows = service(180.0, panels=panels).sources
    most = {p: max(r.source_A for r in rows if r.place == p and r.source_A is not None) for p in ("A", "B")}
    assert most["B"] == most["A"] == 32.0
    assert any("limited by the bus of A" in r.remark for r in rows if r.place == "B")


def test_a_bus_fed_at_its_center_has_its_own_way() -> None:
    ways = {r.way for r in service(180.0, panels=(panel("A", feed_at="center"),)).sources}
    assert "at one end of a bus fed at its center" in ways
    assert "at the end opposite the main" not in ways


# --- what could still be added ---------------------------------------------------------------------------------------


def wish(name: str = "later", **columns: Any) -> FutureLoad:
    return FutureLoad(**{"id": name, "name": name, "kind": "outbuilding", "current_A": 10.0} | columns)


@WHOLE
@given(st.floats(0, 400), st.floats(0, 100), st.floats(0, 100))
def test_a_larger_wish_never_leaves_more(load_A: float, a: float, b: float) -> None:
    low, high = sorted((a, b))
    small, large = (service(load_A, future=(wish(current_A=x),)).wishes[0] for x in (low, high))
    assert large.left_A <= small.left_A
    order = [Verdict.MEETS.value, Verdict.CANNOT_SAY.value, Verdict.MISSES.value]
    assert order.index(small.fits) <= order.index(large.fits)


@WHOLE
@given(st.floats(0, 400), st.floats(0, 400))
def test_a_larger_load_never_leaves_room_for_a_larger_circuit(a: float, b: float) -> None:
    rows = [service(x, offered_A=(400.0,)).spare for x in sorted((a, b))]
    for small, large in zip(*rows, strict=True):
        assert (large.circuit_A or 0) <= (small.circuit_A or 0)
        assert large.current_A <= 400.0 - max(a, b)


@pytest.mark.parametrize(
    ("row", "verdict"),
    [
        ({"current_A": 28.0}, Verdict.MEETS),
        ({"current_A": 28.1}, Verdict.CANNOT_SAY),
        ({"current_A": 70.0}, Verdict.CANNOT_SAY),
        ({"current_A": 70.1}, Verdict.MISSES),
        ({"current_A": 70.1, "kind": "space_heater"}, Verdict.CANNOT_SAY),
        ({"current_A": None}, Verdict.CANNOT_SAY),
        ({"current_A": 1.0, "connect_at": "supply_side"}, Verdict.MISSES),
        ({"kind": "solar", "current_A": 32.0}, Verdict.MEETS),
        ({"kind": "solar", "current_A": 32.1}, Verdict.CANNOT_SAY),
        ({"kind": "solar", "current_A": 160.0, "connect_at": "supply_side"}, Verdict.MEETS),
        ({"kind": "solar", "current_A": 160.1, "connect_at": "supply_side"}, Verdict.MISSES),
    ],
)
def test_wishes_at_their_limits(row: dict[str, Any], verdict: Verdict) -> None:
    result = service(172.0, offered_A=(200.0,), future=(wish(**row),))
    assert result.wishes[0].fits == verdict.value, result.wishes[0]
    name = "future-source" if row.get("kind") == "solar" else "future-load"
    assert finding(result, name).verdict is verdict


def test_two_sources_that_fit_apart_may_not_fit_together() -> None:
    both = (wish("a", kind="solar", current_A=20.0), wish("b", kind="storage", current_A=20.0))
    result = service(172.0, offered_A=(200.0,), future=both)
    assert [w.fits for w in result.wishes] == ["meets", "meets"]
    assert finding(result, "future-sources-together").verdict is Verdict.CANNOT_SAY


@WHOLE
@given(st.randoms(use_true_random=False))
def test_order_of_rows_never_matters(random) -> None:
    wanted = [wish("a"), wish("b", kind="solar"), wish("c", kind="vehicle_charger"), wish("d", kind="storage")]
    panels = [panel("A"), panel("B", fed_from="A", rating_A=100.0), panel("C", rating_A=125.0)]
    mixed, mixed_panels = list(wanted), list(panels)
    random.shuffle(mixed)
    random.shuffle(mixed_panels)
    one = service(150.0, future=tuple(wanted), panels=tuple(panels), disconnects=2)
    other = service(150.0, future=tuple(mixed), panels=tuple(mixed_panels), disconnects=2)
    assert one == other
    plans = [sized(future=tuple(rows)) for rows in (wanted, mixed)]
    assert additions(plans[0]) == additions(plans[1])


# --- studies ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_single_change_equals_a_fresh_design(name: str) -> None:
    base = service_plan(design(example(name), only=("service",)))
    results = {r.id: r for r in single_changes(base)}
    houses = {c.id: c.house for c in changes(base)}
    assert results.keys() == houses.keys()
    for key, result in results.items():
        fresh = design(houses[key], base.edition, only=("service",))
        assert result.load_A == fresh.service.design_A, key
        assert result.rating_A == fresh.service.rating_A, key
        assert result.saves_A == pytest.approx(base.service.design_A - fresh.service.design_A), key
    assert [r.load_A for r in results.values()] == sorted(r.load_A for r in results.values())


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_change_is_named_at_exactly_the_thresholds_it_crosses(name: str) -> None:
    plan = design(example(name), only=("service",))
    results = single_changes(plan)
    for row, crossing in zip(plan.service.thresholds, crossing_changes(plan, results), strict=True):
        expected = [r.id for r in results if (r.load_A > row.at_A) != row.crossed]
        assert list(crossing.changes) == expected, row.id


def test_the_demo_offers_every_kind_of_change() -> None:
    kinds = {r.kind for r in single_changes(design(example(DEMO), only=("service",)))}
    assert kinds == {
        "managed",
        "interlocked",
        "smaller heater",
        "heat-pump tank",
        "lower set current",
        "other method",
    }


def test_no_management_before_the_edition_that_knows_it() -> None:
    plan = design(example(DEMO), 2020, only=("service",))
    assert "managed" not in {r.kind for r in single_changes(plan)}


def test_taking_load_away_never_adds_load() -> None:
    for result in single_changes(design(example(DEMO), only=("service",))):
        assert result.saves_A >= -1e-9 or result.kind == "other method", result


@WHOLE
@given(st.floats(1, 80), st.floats(1, 80), st.sampled_from(EDITIONS))
def test_another_charger_never_leaves_more(a: float, b: float, edition: int) -> None:
    first = wish("first", kind="vehicle_charger", current_A=a)
    second = wish("second", kind="vehicle_charger", current_A=b)
    rows = {r.id: r for r in additions(sized(edition, (first, second)))}
    alone, together = rows["first"], rows[TOGETHER]
    assert alone.adds_A >= 0
    assert together.load_A >= alone.load_A - 1e-9
    assert together.left_A is None or together.left_A <= alone.left_A + 1e-9


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_largest_circuit_fits_and_the_next_does_not(name: str) -> None:
    plan = design(example(name), only=("service",))
    sizes = [15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125]
    for row in largest_additions(plan):
        share = 1.0 if row.kind == "outbuilding" else 0.8

        def load_A(circuit_A: float, kind: str = row.kind, share: float = share) -> float:
            tried = wish("x", kind=kind, current_A=circuit_A * share)
            return design(with_loads(plan.house, [tried]), plan.edition, only=("service",)).service.design_A

        if row.circuit_A is not None:
            assert load_A(row.circuit_A) <= plan.service.rating_A
            assert row.left_A == pytest.approx(plan.service.rating_A - load_A(row.circuit_A))
        for larger in [s for s in sizes if s > (row.circuit_A or 0)]:
            assert load_A(larger) > plan.service.rating_A, f"{row.kind}: {larger} A fits too"


def test_future_loads_are_in_no_calculation() -> None:
    house = example(DEMO)
    with_future, without = design(house, only=("loads",)), design(house.changed(future=()), only=("loads",))
    assert house.future
    assert with_future.loads == without.loads


# --- drawing ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("load_A", [0.0, 113.2, 399.9, 900.0])
def test_the_scale_is_told_in_words_and_stays_on_the_sheet(load_A: float) -> None:
    drawn = thresholds_scale(service(load_A), (load_A * 0.9,))
    assert f"Design load {load_A:.1f} A" in drawn.alt
    assert "class 200" in drawn.svg
    assert "one change alone" in drawn.svg
    assert "instrument transformers" in drawn.alt


# --- input -----------------------------------------------------------------------------------------------------------

HEAD = "id,name,kind,power_VA,current_A,voltage_V,panel,connect_at"
REFUSED: dict[str, tuple[Edit, str, str, tuple[str, ...]]] = {
    "limit of zero": (entry("service", "metering_limit_A = 0"), "house.toml", "service.metering_limit_A", ("> 0",)),
    "label not possible": (
        entry("service", "meter_200_continuous_A = 120"),
        "house.toml",
        "service.meter_200_continuous_A",
        (">= 160",),
    ),
    "percent unknown": (
        entry("service", "main_rated_percent = 90"),
        "house.toml",
        "service.main_rated_percent",
        ("80",),
    ),
    "no disconnect": (entry("service", "disconnects = 0"), "house.toml", "service.disconnects", (">= 1",)),
    "half a disconnect": (entry("service", "disconnects = 1.5"), "house.toml", "service.disconnects", ()),
    "enclosures misspelt": (
        entry("service", 'disconnect_enclosures = "seperate"'),
        "house.toml",
        "service.disconnect_enclosures",
        ("did you mean 'separate'",),
    ),
    "serves unknown": (entry("service", 'serves = "farm"'), "house.toml", "service.serves", ("one_family",)),
    "main below zero": (
        whole("panels.csv", "id,name,room,side,offset_ft,main_A", "P1,Main,utility,east,2,-5"),
        "panels.csv",
        "main_A",
        ("> 0",),
    ),
    "feed misspelt": (
        whole("panels.csv", "id,name,room,side,offset_ft,feed_at", "P1,Main,utility,east,2,centre"),
        "panels.csv",
        "feed_at",
        ("did you mean 'center'",),
    ),
    "kind unknown": (
        whole("future.csv", HEAD, "a,A,windmill,,10,240,,panel"),
        "future.csv",
        "kind",
        ("vehicle_charger",),
    ),
    "panel unknown": (
        whole("future.csv", HEAD, "a,A,solar,,10,240,PX,panel"),
        "future.csv",
        "panel",
        ("no such id in panels",),
    ),
    "power not a number": (
        whole("future.csv", HEAD, "a,A,solar,much,,240,,panel"),
        "future.csv",
        "power_VA",
        (),
    ),
    "power not finite": (whole("future.csv", HEAD, "a,A,solar,nan,,240,,panel"), "future.csv", "power_VA", ()),
    "current below zero": (
        whole("future.csv", HEAD, "a,A,solar,,-1,240,,panel"),
        "future.csv",
        "current_A",
        ("> 0",),
    ),
    "id twice": (
        whole("future.csv", HEAD, "a,A,solar,,10,240,,panel", "a,B,solar,,10,240,,panel"),
        "future.csv",
        "id",
        (),
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_bad_input_of_the_new_columns_is_told(name: str, tmp_path: Path) -> None:
    edit, file, column, says = REFUSED[name]
    with pytest.raises(InputErrors) as caught:
        read_with(edit, tmp_path)
    problems = caught.value.problems
    assert [(p.file, p.column) for p in problems] == [(file, column)], str(caught.value)
    assert all(word in str(problems[0]) for word in says), str(problems[0])


def test_a_folder_without_the_new_columns_reads_as_before(tmp_path: Path) -> None:
    old = whole("panels.csv", "id,name,room,side,offset_ft", "P1,Main,utility,east,2")
    house = read_with(old, tmp_path)
    assert house.future == ()
    assert (house.panels[0].main_A, house.panels[0].feed_at) == (None, "end")
    assert house.service_site.disconnects == 1


def test_future_loads_are_written_and_read_again(tmp_path: Path) -> None:
    house = example(DEMO)
    write_house(house, tmp_path)
    assert read_house(tmp_path).future == house.future


@pytest.mark.parametrize("bad", [math.nan, math.inf, -1.0])
def test_rules_take_no_nonsense(bad: float) -> None:
    calls = (
        lambda: rules.continuous_A(bad),
        lambda: rules.continuous_A(100.0, bad),
        lambda: rules_meter.meter_class(100.0, bad),
        lambda: rules_meter.meter_class(100.0, 320.0, bad),
        lambda: rules_meter.each_main_A(bad, 2, 2023),
        lambda: rules_meter.largest_set_point_A(bad),
        lambda: rules_meter.largest_set_point_A(100.0, bad),
        lambda: rules_meter.disconnects_allowed(0, True, "separate", 2023),
        lambda: rules_meter.disconnects_allowed(2, True, "both", 2023),
        lambda: rules_bus.anywhere_source_A(bad, 100.0),
        lambda: rules_bus.center_fed_source_A(100.0, bad),
        lambda: rules_bus.breaker_sum_room_A(100.0, bad),
        lambda: rules_bus.supply_side_source_A(bad),
        lambda: rules_bus.continuous_device_A(bad, 2023),
    )
    for call in calls:
        with pytest.raises(RangeError):
            call()


def test_space_heating_circuits_are_held_against_the_rating_where_there_are_any() -> None:
    plain = design(starter(), only=("service",))
    assert not [f for f in plain.findings if f.id == "service-heating-branch"]
    heater = dataclasses.replace(starter().appliances[0], id="strip", kind="room_heater", power_VA=9600.0)
    heated = design(starter().changed(appliances=(*starter().appliances, heater)), only=("service",))
    (found,) = [f for f in heated.findings if f.id == "service-heating-branch"]
    assert found.verdict is Verdict.MEETS and "strip: 50 A" in found.got
