"""Laws of the step lateral: what must hold whatever the numbers, edges exactly, tables in themselves, bad input."""

from __future__ import annotations

import dataclasses
import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.common import rules_conductors as conductors
from hpelec.core.editions import EDITIONS
from hpelec.core.errors import EditionError, InputErrors, RangeError, TableError
from hpelec.core.findings import Verdict
from hpelec.core.tables import table
from hpelec.house.read import read_house
from hpelec.house.write import write_starter
from hpelec.plan import design
from hpelec.steps.lateral import (
    losses,
    pulling,
    rules_overhead,
    rules_pull,
    rules_raceway,
    rules_start,
    rules_trench,
    starts,
)
from hpelec.steps.lateral.values import pulling as pulling_value
from hpelec.steps.service.model import ConductorChoice
from tests.adapters_lateral import (
    KNOWN_MISSES,
    annex_c_cells,
    annex_c_count,
    cable,
    example_changed,
    finding,
    lateral_of,
    pulled,
    site_house,
)
from tests.adapters_service import loads_of
from tests.houses import DEMO, EXAMPLES, planned

QUICK = settings(max_examples=60, deadline=None)
WHOLE = settings(max_examples=12, deadline=None)
RACEWAYS = ("EMT", "RMC", "PVC40", "PVC80")
METHODS = ("pvc40", "pvc80", "hdpe", "rmc", "direct_buried")
PLACES = ("yard", "driveway", "road", "slab", "building", "concrete_in_trench")
lengths = st.floats(1, 2000)
bends = st.lists(st.floats(1, 180), max_size=6)
frictions = st.floats(0, 1)
raceways = st.sampled_from(RACEWAYS)
sizes = st.sampled_from(("2", "1", "1/0", "2/0", "4/0", "250", "350", "500"))


def same(a: float, b: float) -> bool:
    return math.isclose(a, b, rel_tol=1e-9, abs_tol=1e-9)


# --- raceways ----------------------------------------------------------------------------------------------------


@QUICK
@given(raceways, st.lists(sizes, min_size=3, max_size=6), sizes, st.floats(0.5, 300))
def test_one_more_conductor_never_takes_a_smaller_conduit(
    raceway: str, inside: list[str], more: str, length_ft: float
) -> None:
    areas = [rules_raceway.conductor_area_in2("XHHW-2", s) for s in inside]
    added = [*areas, rules_raceway.conductor_area_in2("XHHW-2", more)]
    order = [*rules_raceway.trade_sizes(raceway), None]
    fewer, larger = (rules_raceway.smallest_trade_size(raceway, a, length_ft) for a in (areas, added))
    assert order.index(fewer) <= order.index(larger), f"{inside} take {fewer}, with {more} only {larger}"


@QUICK
@given(raceways, st.lists(sizes, min_size=1, max_size=5), st.floats(0.5, 300))
def test_the_size_taken_holds_and_the_next_smaller_does_not(raceway: str, inside: list[str], length_ft: float) -> None:
    areas = [rules_raceway.conductor_area_in2("XHHW-2", s) for s in inside]
    size = rules_raceway.smallest_trade_size(raceway, areas, length_ft)
    limit = rules_raceway.fill_limit_percent(len(areas), length_ft) / 100
    known = rules_raceway.trade_sizes(raceway)
    room = {s: limit * rules_raceway.raceway_row(raceway, s).number("internal_area_in2") for s in known}
    if size is not None:
        assert sum(areas) <= room[size] * (1 + 1e-9)
    smaller = known[: known.index(size)] if size is not None else known
    assert all(sum(areas) > room[s] for s in smaller)


@QUICK
@given(st.floats(0.1, 15), st.floats(0.1, 15), st.floats(0.005, 2))
def test_a_larger_bore_never_holds_fewer(a: float, b: float, conductor: float) -> None:
    low, high = sorted((a, b))
    small, large = (rules_raceway.most_conductors(x, conductor) for x in (low, high))
    assert small <= large, f"{small} in {low} in2 but {large} in {high} in2"


@pytest.mark.parametrize("raceway", RACEWAYS)
def test_a_larger_trade_size_has_a_larger_bore_and_outside(raceway: str) -> None:
    known = rules_raceway.trade_sizes(raceway)
    assert len(known) == 10
    bores = [rules_raceway.bore_in(raceway, s) for s in known]
    outsides = [rules_raceway.outside_in(raceway, s) for s in known]
    assert bores == sorted(set(bores))
    assert outsides == sorted(set(outsides))
    assert all(o > b for o, b in zip(outsides, bores, strict=True))


@pytest.mark.parametrize("cell", annex_c_cells(), ids=lambda c: "-".join(list(c.values())[:4]))
def test_printed_count_of_annex_c(cell: dict[str, str]) -> None:
    key = (cell["raceway"], cell["insulation"], cell["size"], cell["trade_size_in"])
    printed, ours = int(cell["max_conductors"]), annex_c_count(cell)
    assert ours == printed - 1 if key in KNOWN_MISSES else ours == printed, f"{ours}, printed {printed}"


# --- tables in themselves ----------------------------------------------------------------------------------------


def test_areas_of_raceways_follow_from_their_diameters() -> None:
    for row in table("lateral/raceways"):
        area = math.pi / 4 * row.number("nominal_internal_diameter_in") ** 2
        assert abs(area - row.number("internal_area_in2")) < 0.0011, row.place


def test_fill_columns_are_shares_of_the_area() -> None:
    shares = {"fill_1_conductor_53pct_in2": 0.53, "fill_2_conductors_31pct_in2": 0.31, "fill_over_2_40pct_in2": 0.4,
              "fill_nipple_60pct_in2": 0.6}  # fmt: skip
    for row in table("lateral/raceways"):
        for column, share in shares.items():
            assert abs(row.number(column) - share * row.number("internal_area_in2")) < 0.0016, f"{row.place}, {column}"


def test_areas_of_conductors_follow_from_their_diameters() -> None:
    for row in table("lateral/insulated_areas"):
        area = math.pi / 4 * row.number("outside_diameter_in") ** 2
        assert abs(area - row.number("area_in2")) <= 0.0006, row.place


def test_a_larger_conductor_has_a_larger_covering() -> None:
    for insulation in {r.text("insulation") for r in table("lateral/insulated_areas")}:
        rows = table("lateral/insulated_areas").where(insulation=insulation)
        ordered = sorted(rows, key=lambda r: conductors.area_cmil(r.text("size")))
        found = [r.number("outside_diameter_in") for r in ordered]
        assert found == sorted(set(found)), insulation


def test_cover_of_a_metal_conduit_is_never_more_than_of_plastic_nor_that_of_bare_soil() -> None:
    for row in range(1, 8):
        direct, metal, plastic = (rules_trench.least_cover_in(row, c, 2023) for c in (1, 2, 3))
        assert metal <= plastic <= direct


def test_currents_of_the_transformer_table_follow_from_its_impedance() -> None:
    for row in table("lateral/transformers"):
        kva, percent = row.number("kva"), row.number("impedance_typical_percent")
        assert abs(rules_start.full_load_A(kva, 240) - row.number("full_load_240_A")) < 0.06, row.place
        found = rules_start.short_circuit_A(kva, 240, percent)
        assert abs(found - row.number("typical_short_circuit_240_A")) < 0.6, row.place


def test_more_starts_never_allow_a_larger_dip() -> None:
    rows = sorted(table("lateral/flicker_limits"), key=lambda r: r.number("most_starts_per_hour"))
    limits = [r.number("dip_percent") for r in rows]
    assert limits == sorted(limits, reverse=True)


# --- trench ------------------------------------------------------------------------------------------------------


@WHOLE
@given(lengths, lengths)
def test_a_longer_trench_is_never_less_volume(a: float, b: float) -> None:
    low, high = sorted((a, b))
    volumes = [rules_trench.volume_ft3(12, 24, x) for x in (low, high)]
    assert volumes == sorted(volumes)


@QUICK
@given(st.floats(0, 60), st.floats(0, 60), st.floats(0.5, 6), st.floats(0, 12))
def test_deeper_is_never_less(a: float, b: float, outside: float, bedding: float) -> None:
    low, high = sorted((a, b))
    assert rules_trench.depth_in(low, outside, bedding) <= rules_trench.depth_in(high, outside, bedding)


@WHOLE
@given(st.sampled_from(METHODS), st.sampled_from(PLACES), st.integers(0, 3), st.floats(0, 8), st.floats(20, 1500))
def test_the_trench_adds_up(method: str, under: str, spare: int, bedding: float, length_ft: float) -> None:
    result = lateral_of(
        lateral_method=method, lateral_under=under, spare_conduits=spare, bedding_in=bedding,
        lateral_length_ft=length_ft, lateral_owner="customer",
    )  # fmt: skip
    trench = result.trench
    assert trench is not None
    assert same(trench.depth_in, trench.cover_in + trench.body_in + trench.bedding_in)
    assert same(trench.dug_ft3, trench.bedding_ft3 + trench.wiring_ft3 + trench.backfill_ft3)
    assert trench.width_in >= trench.least_width_in - 1e-9
    assert trench.cover_in >= trench.least_cover_in
    assert (result.conduit is None) == (method == "direct_buried")
    bare = method == "direct_buried" and under == "building"
    assert finding(result, "lateral-cover") == ("misses" if bare else "meets"), "bare conductors under a building"
    if trench.ribbon_depth_in is not None:
        assert trench.cover_in - trench.ribbon_depth_in >= 12 - 1e-9


@WHOLE
@given(st.floats(20, 1500), st.integers(0, 2))
def test_a_spare_conduit_and_length_never_take_soil_away(length_ft: float, spare: int) -> None:
    small = lateral_of(lateral_length_ft=length_ft, spare_conduits=spare).trench
    large = lateral_of(lateral_length_ft=length_ft * 1.1, spare_conduits=spare + 1).trench
    assert small is not None
    assert large is not None
    assert small.dug_ft3 <= large.dug_ft3


@pytest.mark.parametrize(
    ("cover", "verdict", "ribbon"), [(17.9, "misses", None), (18.0, "meets", 6.0), (30.0, "meets", 18.0)]
)
def test_cover_at_its_edge(cover: float, verdict: str, ribbon: float | None) -> None:
    result = lateral_of(cover_in=cover, lateral_owner="customer")
    assert finding(result, "lateral-cover") == verdict
    assert result.trench is not None
    assert result.trench.ribbon_depth_in == ribbon


def test_what_the_utility_owns_is_for_the_utility_to_say() -> None:
    result = lateral_of(lateral_owner="utility")
    assert result.trench is not None
    assert result.trench.cover_in == 24
    assert finding(result, "lateral-cover") == "cannot say"
    assert finding(lateral_of(lateral_owner="utility", cover_in=6), "lateral-cover") == "misses"


def test_narrow_trench_plain_riser_and_small_conduit_miss() -> None:
    result = lateral_of(trench_width_in=5.0, riser_method="pvc40", conduit_size="1-1/4", lateral_length_ft=600)
    assert finding(result, "trench-width") == "misses"
    assert finding(result, "lateral-riser") == "misses"
    assert finding(result, "raceway-fill", "lateral conduit") == "misses"


# --- pull --------------------------------------------------------------------------------------------------------


@QUICK
@given(bends, st.data(), frictions, st.floats(0.05, 3))
def test_more_bend_never_means_less_tension(
    angles: list[float], data: st.DataObject, friction: float, weight: float
) -> None:
    run = [data.draw(st.floats(1, 300)) for _ in range(len(angles) + 1)]
    more = [min(a * 1.3, 180) for a in angles]
    a, b = pulled(run, angles, weight, friction), pulled(run, more, weight, friction)
    assert a["there_lb"] <= b["there_lb"] * (1 + 1e-9)
    assert a["back_lb"] <= b["back_lb"] * (1 + 1e-9)


@QUICK
@given(bends, st.data(), st.floats(0, 200))
def test_without_friction_both_ways_keep_the_tension_of_the_reel(
    angles: list[float], data: st.DataObject, reel: float
) -> None:
    run = [data.draw(st.floats(1, 300)) for _ in range(len(angles) + 1)]
    found = pulled(run, angles, 0.8, 0.0, reel)
    assert found["there_lb"] == found["back_lb"] == reel


@QUICK
@given(bends, st.data(), frictions, frictions)
def test_more_friction_length_and_weight_never_pull_easier(
    angles: list[float], data: st.DataObject, a: float, b: float
) -> None:
    low, high = sorted((a, b))
    run = [data.draw(st.floats(1, 200)) for _ in range(len(angles) + 1)]
    easy = pulled(run, angles, 0.5, low)
    hard = pulled([r * 1.2 for r in run], angles, 0.7, high)
    assert easy["there_lb"] <= hard["there_lb"] + 1e-9
    assert easy["back_lb"] <= hard["back_lb"] + 1e-9


def test_a_bend_near_the_reel_pulls_easier_than_one_near_the_winch() -> None:
    early, late = pulled([5, 200], [90], 0.75, 0.5), pulled([200, 5], [90], 0.75, 0.5)
    assert early["there_lb"] < late["there_lb"]
    assert same(early["there_lb"], late["back_lb"])


def test_a_straight_run_pulls_alike_both_ways() -> None:
    found = pulled([300], [], 0.75, 0.5)
    assert found["there_lb"] == found["back_lb"]
    assert found["pressure"] is None


@WHOLE
@given(st.lists(st.floats(10, 180), min_size=1, max_size=12), st.floats(50, 3000), st.floats(0, 0.6))
def test_sections_cover_the_run_and_keep_the_circle(angles: list[float], length_ft: float, friction: float) -> None:
    site = site_house(bends_deg=tuple(angles), lateral_length_ft=length_ft, pull_friction=friction).service_site
    pieces = pulling.pieces_of(site)
    held = dataclasses.replace(cable(0.8, friction), limit_lb=900.0)
    cut = pulling.sections(pieces, held)
    assert same(sum(p.length_ft for s in cut for p in s), length_ft)
    assert same(sum(p.angle_deg for s in cut for p in s), sum(angles))
    assert all(sum(p.angle_deg for p in s) <= 360 + 1e-9 for s in cut)
    starts = [s[0].start_ft for s in cut]
    assert starts == sorted(starts)
    assert len(cut) == 1 or sum(angles) > 360 or not held.can(pieces)


def test_a_full_circle_passes_and_a_degree_more_needs_a_box() -> None:
    full = lateral_of(bends_deg=(90.0,) * 4, lateral_owner="customer")
    over = lateral_of(bends_deg=(90.0, 90.0, 90.0, 91.0), lateral_owner="customer")
    assert finding(full, "lateral-bends") == "meets"
    assert full.pull_boxes_ft == ()
    assert finding(over, "lateral-bends") == "misses"
    assert len(over.pull_boxes_ft) == 1


def test_one_way_of_each_section_is_the_easier() -> None:
    for name in EXAMPLES:
        found = planned(name).lateral.pulls
        for section in {p.section for p in found}:
            ways = [p for p in found if p.section == section]
            assert len(ways) == 2
            assert [p.tension_lb for p in ways if p.easier] == [min(p.tension_lb for p in ways)]


def test_jam_range_is_that_of_the_note() -> None:
    assert (pulling_value("jam_low"), pulling_value("jam_high")) == (2.8, 3.2)
    made = lateral_of().conduit
    assert made is not None
    assert made.jam_ratio is not None
    assert not rules_raceway.may_jam(made.jam_ratio), "auto takes a size in which conductors cannot wedge"


# --- overhead ----------------------------------------------------------------------------------------------------


@QUICK
@given(st.floats(8, 30), st.floats(8, 40), st.floats(0, 6), st.floats(0, 6))
def test_more_sag_never_hangs_higher_and_never_above_a_support(house: float, pole: float, a: float, b: float) -> None:
    low, high = sorted((a, b))
    taut, slack = (rules_overhead.lowest_ft(house, pole, s) for s in (low, high))
    assert slack <= taut + 1e-9
    assert taut <= min(house, pole) + 1e-9


@pytest.mark.parametrize(
    ("attachment", "loop"), [(11.4, "misses"), (11.5, "meets"), (None, "cannot say")], ids=["low", "edge", "unknown"]
)
def test_drip_loop_at_its_edge(attachment: float | None, loop: str) -> None:
    result = lateral_of(lateral="overhead", attachment_ft=attachment)
    found = [f.verdict.value for f in result.findings if f.rule.startswith("lowest point of the drip loop")]
    assert found == [loop]


def test_both_ways_are_told_whichever_is_chosen() -> None:
    for lateral in ("underground", "overhead"):
        result = lateral_of(lateral=lateral)
        assert [s.kind for s in result.sides if s.chosen] == [lateral]
        assert {s.kind for s in result.sides} == {"underground", "overhead"}
        assert result.trench is not None
        assert result.clearances
        ids = {f.id for f in result.findings}
        assert ("lateral-cover" in ids) == (lateral == "underground")
        assert ("drop-clearance" in ids) == (lateral == "overhead")


# --- starts and losses -------------------------------------------------------------------------------------------


@QUICK
@given(st.floats(0, 500), st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_the_dip_is_never_beyond_the_worst(current: float, r: float, x: float, power_factor: float) -> None:
    dip, worst = rules_start.dip_V(current, r, x, power_factor), rules_start.worst_dip_V(current, r, x)
    assert 0 <= dip <= worst * (1 + 1e-9)


@QUICK
@given(st.floats(0, 1), st.floats(0, 1))
def test_the_loss_factor_stands_between_its_bounds_and_rises(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert low**2 - 1e-12 <= rules_start.loss_factor(low) <= low + 1e-12
    assert rules_start.loss_factor(low) <= rules_start.loss_factor(high)


@WHOLE
@given(st.floats(20, 800), st.floats(1.05, 3))
def test_a_longer_lateral_of_one_size_dips_more(length_ft: float, times: float) -> None:
    near = example_changed(DEMO, lateral_length_ft=length_ft, bends_at_ft=(), drop_limit_percent=10.0)
    far = example_changed(DEMO, lateral_length_ft=length_ft * times, bends_at_ft=(), drop_limit_percent=10.0)
    if near.sides[0].conductors == far.sides[0].conductors:
        assert near.starts[0].dip_percent <= far.starts[0].dip_percent
        assert near.losses[0].annual_kWh <= far.losses[0].annual_kWh
    assert near.trench.dug_ft3 <= far.trench.dug_ft3


def test_what_is_not_known_is_said() -> None:
    result = example_changed(DEMO, transformer_kVA=None, expected_kWh=None)
    assert all(s.dip_percent is None for s in result.starts)
    assert finding(result, "motor-start-dip") == "cannot say"
    assert result.losses == ()
    assert finding(result, "lateral-loss") == "cannot say"
    assert "transformer_kVA" in next(f.fix for f in result.findings if f.id == "motor-start-dip")


def test_more_energy_than_the_design_load_gives_is_no_load_factor() -> None:
    result = example_changed(DEMO, expected_kWh=900000.0)
    assert result.losses == ()
    assert finding(result, "lateral-loss") == "cannot say"


def test_the_nameplate_goes_before_the_multiple() -> None:
    plan = planned(DEMO)
    by_id = {s.appliance: s for s in plan.lateral.starts}
    pump = next(a for a in plan.house.appliances if a.id == "heatpump")
    assert by_id["heatpump"].locked_rotor_A == pump.locked_rotor_A
    bare = tuple(dataclasses.replace(a, locked_rotor_A=None) for a in plan.house.appliances)
    again = {s.appliance: s for s in design(plan.house.changed(appliances=bare), only=("lateral",)).lateral.starts}
    assert same(again["heatpump"].locked_rotor_A, 6 * pump.power_VA / pump.voltage_V)
    assert by_id.keys() == again.keys()


def test_frequent_starts_tighten_the_verdict() -> None:
    def verdict(starts: float) -> Verdict:
        result = example_changed(DEMO, motor_starts_per_hour=starts, transformer_kVA=10.0)
        return next(f.verdict for f in result.findings if f.id == "motor-start-dip")

    order = [Verdict.MEETS, Verdict.CANNOT_SAY, Verdict.MISSES]
    found = [order.index(verdict(s)) for s in (1.0, 4.0, 12.0, 60.0)]
    assert found == sorted(found)
    assert len(set(found)) > 1


# --- whole step --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_step_runs_in_every_edition(edition: int) -> None:
    result = lateral_of(edition)
    assert result.edition == edition
    assert ("lateral-edition" in {f.id for f in result.findings}) == (edition == 2026)


@pytest.mark.parametrize("voltage", [240.0, 208.0])
@pytest.mark.parametrize("method", METHODS)
def test_every_method_designs_at_either_voltage(method: str, voltage: float) -> None:
    result = lateral_of(lateral_method=method, voltage_V=voltage, transformer_kVA=25.0)
    assert result.trench is not None
    assert (not result.pulls) == (method == "direct_buried")


def test_conductors_beyond_reach_leave_the_trench_unsaid() -> None:
    house = site_house()
    heavy = tuple(dataclasses.replace(a, power_VA=90_000.0, quantity=10) for a in house.appliances)
    result = design(house.changed(appliances=heavy), only=("lateral",)).lateral
    assert result.trench is None
    assert finding(result, "lateral-trench") == "cannot say"


def test_the_hole_of_the_service_is_bored_for_its_conduit() -> None:
    for name in EXAMPLES:
        plan = planned(name)
        conduit = plan.lateral.entrance
        holes = [h for h in plan.penetrations.holes if h.kind == "service_entrance"]
        assert holes, f"{name} shows no service hole"
        assert conduit is not None
        for hole in holes:
            assert hole.diameter_in >= conduit.outside_in
            open_in2 = math.pi / 4 * conduit.bore_in**2 * (1 - conduit.fill_percent / 100)
            assert same(hole.bore_area_mm2, open_in2 * 25.4**2)


# --- bad input ---------------------------------------------------------------------------------------------------

BAD = {
    "lateral_method": ('"pvc"', "pvc40"),
    "lateral_insulation": ('"NM"', "XHHW-2"),
    "lateral_under": ('"pond"', "yard"),
    "cover_in": ("-1", ">= 0"),
    "trench_owner": ('"neighbour"', "customer"),
    "conduit_owner": ('"builder"', "customer"),
    "conduit_size": ('"5"', "auto"),
    "spare_conduits": ("1.5", "whole number"),
    "trench_width_in": ("0", "> 0"),
    "bedding_in": ("25", "<= 24"),
    "riser_method": ('"emt"', "pvc80"),
    "bends_deg": ("[90, 200]", "<= 180"),
    "bend_radius_in": ("0", "> 0"),
    "pull_friction": ("-0.1", ">= 0"),
    "reel_tension_lb": ('"much"', "a number"),
    "attachment_ft": ("0", "> 0"),
    "pole_attachment_ft": ("101", "<= 100"),
    "span_ft": ("0", "> 0"),
    "sag_ft": ("-1", ">= 0"),
    "drop_over": ('"river"', "driveway"),
    "drop_over_roof": ('"green"', "overhang"),
    "roof_clearance_ft": ("-1", ">= 0"),
    "window_distance_ft": ("nan", "a number"),
    "motor_starts_per_hour": ("0", "> 0"),
    "expected_kWh": ("-5", ">= 0"),
    "concrete_encased": ('"perhaps"', "yes, no"),
    "bends_at_ft": ("[5]", "one place for each"),
}


def read_with(folder: Path, line: str) -> object:
    write_starter(folder)
    path = folder / "house.toml"
    text = path.read_text("utf-8")
    name = line.split(" = ", maxsplit=1)[0]
    kept = [x for x in text.splitlines() if not x.lstrip("# ").startswith(f"{name} =")]
    at = kept.index("[service]")
    path.write_text("\n".join([*kept[: at + 1], line, *kept[at + 1 :], ""]), "utf-8")
    return read_house(folder)


@pytest.mark.parametrize("column", BAD)
def test_bad_values_are_refused_with_what_is_allowed(column: str, tmp_path: Path) -> None:
    value, allowed = BAD[column]
    with pytest.raises(InputErrors) as caught:
        read_with(tmp_path, f"{column} = {value}")
    assert column in str(caught.value)
    assert allowed in str(caught.value), str(caught.value)


@pytest.mark.parametrize(
    ("places", "said"), [("[90, 5]", "not in order"), ("[0, 9999]", "bends_at_ft"), ("[0, 4000]", "beyond the end")]
)
def test_places_of_bends_must_fit(places: str, said: str, tmp_path: Path) -> None:
    with pytest.raises(InputErrors, match=said):
        read_with(tmp_path, f"bends_at_ft = {places}")


def test_units_are_read(tmp_path: Path) -> None:
    house = read_with(tmp_path, 'cover_in = "0.6 m"')
    assert same(house.service_site.cover_in, 600 / 25.4)


def test_no_bends_is_a_straight_run(tmp_path: Path) -> None:
    house = read_with(tmp_path, "bends_deg = [0]")
    result = design(house, only=("lateral",)).lateral
    assert {p.bends_deg for p in result.pulls} == {0}
    assert all(p.sidewall_lb_per_ft is None for p in result.pulls)


def test_an_empty_list_of_bends_is_refused_and_of_places_is_not(tmp_path: Path) -> None:
    with pytest.raises(InputErrors, match="bends_deg"):
        read_with(tmp_path / "a", "bends_deg = []")
    assert read_with(tmp_path / "b", "bends_at_ft = []").service_site.bends_at_ft == ()


@pytest.mark.parametrize(
    ("call", "error"),
    [
        (lambda: rules_raceway.bore_in("PVC99", "2"), RangeError),
        (lambda: rules_raceway.bore_in("PVC40", "5"), RangeError),
        (lambda: rules_raceway.conductor_area_in2("NM", "2"), RangeError),
        (lambda: rules_raceway.conductor_area_in2("XHHW-2", "9"), RangeError),
        (lambda: rules_raceway.fill_percent([0.1, math.nan], 2), RangeError),
        (lambda: rules_raceway.fill_limit_percent(0, 10), RangeError),
        (lambda: rules_raceway.most_conductors(0, 1), RangeError),
        (lambda: rules_raceway.jam_ratio(2, -1), RangeError),
        (lambda: rules_trench.depth_in(-1, 2, 3), RangeError),
        (lambda: rules_trench.deepest_ribbon_in(11), RangeError),
        (lambda: rules_trench.volume_ft3(math.inf, 1, 1), RangeError),
        (lambda: rules_trench.least_cover_in(1, 6, 2023), RangeError),
        (lambda: rules_trench.least_cover_in(1, 1, 2019), EditionError),
        (lambda: rules_trench.method_row("pvc"), TableError),
        (lambda: rules_pull.after_bend_lb(math.nan, 90, 0.5, 1), RangeError),
        (lambda: rules_pull.after_straight_lb(1, 1, 1, -0.1, 1), RangeError),
        (lambda: rules_pull.eye_limit_lb([], "al"), RangeError),
        (lambda: rules_pull.weight_lb_per_ft(1000, 0.5, 0.4, "cu"), RangeError),
        (lambda: rules_start.transformer_ohm(0, 2, 240, False), RangeError),
        (lambda: rules_start.dip_limit_percent(0), RangeError),
        (lambda: rules_start.loss_factor(1.01), RangeError),
        (lambda: rules_start.load_factor(1, 0), RangeError),
        (lambda: rules_overhead.lowest_ft(10, 10, -1), RangeError),
        (lambda: rules_overhead.clearance_ft("span", "river"), TableError),
    ],
)
def test_values_out_of_range_are_refused(call, error: type[Exception]) -> None:
    with pytest.raises(error):
        call()


# --- worked by hand on a stated supply ---------------------------------------------------------------------------


def conductors_of(part: str, size: str, neutral: str, sets: int) -> ConductorChoice:
    return ConductorChoice(part=part, material="al", chosen=True, size=size, neutral_size=neutral, sets=sets)


def test_a_motor_at_120_volts_comes_back_through_the_neutral() -> None:
    """100 ft of 4/0 and neutral 2, aluminum, two sets: (0.100 + 0.319) x 0.1 / 2 ohm; line to line 0.2 x 0.1 / 2."""
    site = site_house(lateral_length_ft=100.0, service_entrance_length_ft=1e-9).service_site
    run, short = conductors_of("lateral", "4/0", "2", 2), conductors_of("service entrance", "4/0", "2", 1)
    found = starts.sources(site, run, short)
    assert found[240.0].run_ohm[0] == pytest.approx(0.2 * 0.1 / 2, rel=1e-6)
    assert found[120.0].run_ohm[0] == pytest.approx((0.100 + 0.319) * 0.1 / 2, rel=1e-6)
    assert found[240.0].transformer_ohm is None


def test_parallel_sets_share_the_loss() -> None:
    """10 kVA at 41.7 A over 100 ft of 4/0 aluminum: 2 x 41.7^2 x 0.01 = 34.8 W, in two sets half of it."""
    site = site_house(lateral_length_ft=100.0, expected_kWh=21_900.0).service_site
    load = loads_of(41.7, 20.0)
    short = conductors_of("service entrance", "4/0", "2", 1)
    one, two = (losses.losses(site, load, conductors_of("lateral", "4/0", "2", n), short)[0] for n in (1, 2))
    assert one.peak_W == pytest.approx(2 * 41.7**2 * 0.01, rel=1e-6)
    assert same(two.peak_W, one.peak_W / 2)


def test_between_the_usual_and_the_worst_dip_nothing_is_sure() -> None:
    first = example_changed("copperfen-row").starts[0]
    assert first.dip_percent is not None
    assert first.worst_percent is not None
    assert first.limit_percent is not None
    assert first.dip_percent < first.limit_percent < first.worst_percent, "the example no longer stands between"
    assert finding(example_changed("copperfen-row"), "motor-start-dip") == "cannot say"
