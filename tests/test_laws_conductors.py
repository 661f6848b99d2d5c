"""Laws of conductors: the ampacity chain, devices, grounding, the three answers on voltage drop; and bad input."""

from __future__ import annotations

import dataclasses
import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.common import rules_ampacity as amp
from hpelec.common import rules_conductors as conductors
from hpelec.common import rules_drop as drop
from hpelec.common import rules_grounding as ground
from hpelec.common import rules_nm
from hpelec.common import rules_overcurrent as device
from hpelec.common import rules_supply as wire
from hpelec.core.editions import EDITIONS
from hpelec.core.errors import EditionError, InputErrors, RangeError
from hpelec.core.findings import Verdict
from hpelec.core.tables import table
from hpelec.house.parse import parse_rows
from hpelec.house.read import read_house
from hpelec.house.sections_power import ServiceSite
from hpelec.house.write import write_starter
from hpelec.report.contents import Tables
from hpelec.report.html import report_html
from tests.adapters_service import service_of
from tests.houses import EXAMPLES, planned, starter

METALS = ("cu", "al")
QUICK = settings(max_examples=60, deadline=None)
WHOLE = settings(max_examples=20, deadline=None)
metals = st.sampled_from(METALS)
sized = metals.flatmap(lambda m: st.tuples(st.just(m), st.sampled_from(conductors.usable_sizes(m))))
pairs = metals.flatmap(
    lambda m: st.tuples(st.just(m), st.lists(st.sampled_from(conductors.usable_sizes(m)), min_size=2, max_size=2))
)
insulation = st.sampled_from((60, 75, 90))
heat = st.floats(-20, 90)
many = st.integers(1, 60)
arounds = st.builds(
    amp.Around,
    insulation_C=insulation,
    ambient_C=heat,
    conductors=many,
    together_in=st.floats(0, 200),
    sealed=st.booleans(),
    terminal_C=st.sampled_from((60, 75, 90)),
    cable=st.sampled_from(amp.CABLES),
    in_insulation=st.booleans(),
)


def allowed_A(size: str, material: str, around: amp.Around) -> float:
    """Allowable ampacity; 0 where none is permitted."""
    chain = amp.ampacity_chain(size, material, around)
    return 0.0 if chain is None else chain.allowable_A


# --- the chain ---------------------------------------------------------------------------------------------------


@QUICK
@given(sized, arounds, heat)
def test_hotter_air_never_means_more_ampacity(of: tuple[str, str], around: amp.Around, other_C: float) -> None:
    cool, hot = (dataclasses.replace(around, ambient_C=t) for t in sorted((around.ambient_C, other_C)))
    assert allowed_A(of[1], of[0], hot) <= allowed_A(of[1], of[0], cool), f"{of} {cool} {hot}"


@QUICK
@given(sized, arounds, many)
def test_more_conductors_never_mean_more_ampacity(of: tuple[str, str], around: amp.Around, other: int) -> None:
    few, lots = (dataclasses.replace(around, conductors=n) for n in sorted((around.conductors, other)))
    assert allowed_A(of[1], of[0], lots) <= allowed_A(of[1], of[0], few), f"{of} {few} {lots}"


@QUICK
@given(sized, arounds)
def test_sealing_a_short_opening_never_helps(of: tuple[str, str], around: amp.Around) -> None:
    open_, shut = (dataclasses.replace(around, sealed=s) for s in (False, True))
    assert allowed_A(of[1], of[0], shut) <= allowed_A(of[1], of[0], open_)


@QUICK
@given(pairs, arounds)
def test_a_larger_conductor_never_has_less_ampacity(of: tuple[str, list[str]], around: amp.Around) -> None:
    material, names = of
    small, large = sorted(names, key=conductors.area_cmil)
    # Small SE cable in insulation is the one kind whose limit ends at a size, so larger can only gain there too.
    assert allowed_A(small, material, around) <= allowed_A(large, material, around)


@QUICK
@given(sized, arounds)
def test_the_chain_is_the_smallest_of_its_links(of: tuple[str, str], around: amp.Around) -> None:
    chain = amp.ampacity_chain(of[1], of[0], around)
    if chain is None:
        assert amp.ambient_factor(around.insulation_C, around.ambient_C) is None
        return
    assert chain.base_A == conductors.ampacity_A(of[1], of[0], around.insulation_C)
    assert chain.terminal_A == conductors.ampacity_A(of[1], of[0], around.terminal_C), "a factor touched the terminals"
    assert chain.corrected_A == pytest.approx(chain.base_A * chain.ambient_factor * chain.count_factor)
    links = [chain.corrected_A, chain.terminal_A] + ([] if chain.cap_A is None else [chain.cap_A])
    assert chain.allowable_A == min(links)


@pytest.mark.parametrize("row", table("tables/ambient_correction").rows, ids=lambda r: r.place[-8:])
def test_the_table_of_ambient_factors_is_the_equation_at_the_top_of_each_band(row) -> None:
    rating_C, top_C = int(row.number("conductor_rating_c")), row.number("ambient_max_c")
    by_equation = amp.ambient_factor_by_equation(rating_C, top_C)
    printed = row.number_or_none("correction_factor")
    assert amp.ambient_factor(rating_C, top_C) == printed, "the top of a band belongs to it"
    if printed is None:
        assert by_equation is None or by_equation < 0.4, f"{rating_C} C at {top_C} C could carry {by_equation}"
    else:
        assert by_equation is not None and abs(by_equation - printed) <= 0.005 + 1e-12


def test_the_bands_of_ambient_leave_no_gap() -> None:
    for rating_C in (60, 75, 90):
        rows = table("tables/ambient_correction").where(conductor_rating_c=str(rating_C))
        tops = [r.number("ambient_max_c") for r in rows]
        assert tops == sorted(tops)
        for low, high in itertools.pairwise(rows):
            assert high.number("ambient_min_c") == low.number("ambient_max_c") + 1
        assert amp.ambient_factor(rating_C, 30.5) == amp.ambient_factor(rating_C, 35), "30.5 C is above the band to 30"
        assert amp.ambient_factor(rating_C, 86) is None and amp.ambient_factor(rating_C, 200) is None


def test_count_factors_fall_and_cover_every_number() -> None:
    factors = [amp.count_factor(n, 100.0) for n in range(1, 101)]
    assert factors == sorted(factors, reverse=True) and factors[0] == 1.0 and factors[-1] == 0.35
    assert all(amp.count_factor(n, 24.0) == 1.0 for n in range(1, 101))
    assert math.isclose(amp.count_factor(10, math.nextafter(24.0, 25.0) + 1e-6), 0.5)


@QUICK
@given(st.sampled_from(("14", "12", "10", "8", "6")), st.integers(1, 20), st.floats(20, 60))
def test_the_chain_agrees_with_the_rule_of_sealed_holes(size: str, cables: int, ambient_C: float) -> None:
    factor = rules_nm.sealed_hole_factor([2] * cables, 2023)
    theirs = rules_nm.sealed_hole_ampacity_A(size, factor, 2023, ambient_factor=rules_nm.ambient_factor_90(ambient_C))
    counted = 2 * cables if rules_nm.sealed_hole_adjusts(cables) else 2
    around = amp.Around(90, ambient_C, counted, 1.5, sealed=True, terminal_C=90, cable="NM-B")
    assert allowed_A(size, "cu", around) == pytest.approx(theirs)


@QUICK
@given(st.floats(-20, 50), st.floats(0, 10), st.floats(0, 10), st.sampled_from(EDITIONS))
def test_a_roof_farther_away_never_heats_more(ambient_C: float, a: float, b: float, edition: int) -> None:
    near, far = (amp.rooftop_ambient_C(ambient_C, c, edition) for c in sorted((a, b)))
    assert near >= far >= ambient_C
    assert amp.rooftop_ambient_C(ambient_C, 0.875, edition) == ambient_C


# --- sizes, sets, devices ----------------------------------------------------------------------------------------


@QUICK
@given(st.floats(0, 2500), metals, st.sampled_from((60, 75)), st.integers(1, 6))
def test_one_home_for_the_smallest_size(needed_A: float, material: str, column: int, sets: int) -> None:
    around = amp.Around(insulation_C=column, terminal_C=column)
    by_chain = wire.smallest_allowed(needed_A, material, around, sets, 0.0, 2023)
    assert by_chain == wire.smallest_size(needed_A, material, column, sets, 0.0)
    one = wire.smallest_allowed(needed_A / sets, material, around, 1, conductors.area_cmil("1/0") * (sets > 1), 2023)
    assert by_chain == one, f"{sets} sets of {needed_A} A differ from one of {needed_A / sets} A"


@QUICK
@given(st.floats(0, 1500), st.floats(0, 1500), metals, arounds)
def test_more_current_never_takes_a_smaller_size(a: float, b: float, material: str, around: amp.Around) -> None:
    found = []
    for needed_A in sorted((a, b)):
        sets, size = wire.fewest_sets_allowed(needed_A, material, around, 2023) or (wire.MOST_SETS + 1, "14")
        found.append((sets, conductors.area_cmil(size)))
        if sets <= wire.MOST_SETS:
            assert sets * allowed_A(size, material, around) >= needed_A * (1 - 1e-9)
    assert found[0] <= found[1], f"{sorted((a, b))}: fewer sets, or a smaller size of as many: {found}"


@QUICK
@given(st.floats(1, 900), st.floats(1, 900), st.booleans(), st.sampled_from(EDITIONS))
def test_more_ampacity_never_allows_a_smaller_device(a: float, b: float, several: bool, edition: int) -> None:
    low, high = (device.largest_device_A(x, edition, several_receptacles=several) or 0.0 for x in sorted((a, b)))
    assert low <= high
    strict = device.largest_device_A(a, edition, several_receptacles=True) or 0.0
    assert strict <= a + 1e-9 and strict <= (device.largest_device_A(a, edition, several_receptacles=False) or 0.0)
    assert a <= 800 or (device.largest_device_A(a, edition, several_receptacles=False) or 0.0) <= a


@pytest.mark.parametrize("rating_A", [100.0, 125.0, 200.0, 400.0, 800.0])
def test_an_ampacity_equal_to_a_rating_takes_that_rating(rating_A: float) -> None:
    assert device.largest_device_A(rating_A, 2023, several_receptacles=False) == rating_A


@QUICK
@given(st.floats(1, 800), st.floats(1, 800), metals, arounds, st.sampled_from(EDITIONS))
def test_the_next_size_up_protects_what_it_says(load_A, device_A, material, around, edition) -> None:
    size = wire.smallest_by_next_size_up(load_A, device_A, material, around, 1, edition)
    if size is None:
        return
    total_A = allowed_A(size, material, around)
    assert total_A >= load_A * (1 - 1e-9)
    assert device.breaker_protects(device_A, total_A, size, edition, several_receptacles=False, material=material), (
        f"{size}: {total_A} A on {device_A} A"
    )


@QUICK
@given(st.lists(st.floats(1, 1000), min_size=1, max_size=6), st.randoms(use_true_random=False))
def test_parallel_sets_share_by_length_in_any_order(lengths: list[float], random) -> None:
    shares = wire.parallel_shares(lengths)
    assert sum(shares) == pytest.approx(1.0)
    for (one, a), (other, b) in itertools.combinations(zip(lengths, shares, strict=True), 2):
        assert (a >= b - 1e-12) or one > other, "a shorter set carries less"
    mixed = list(lengths)
    random.shuffle(mixed)
    assert sorted(wire.parallel_shares(mixed)) == pytest.approx(sorted(shares))
    assert wire.parallel_shares([lengths[0]] * 3) == pytest.approx((1 / 3, 1 / 3, 1 / 3))


@QUICK
@given(st.floats(0, 500), st.floats(0, 500), st.integers(1, 3), metals)
def test_neutrals_rise_with_their_load_and_stay_below_the_line(a: float, b: float, sets: int, material: str) -> None:
    low, high = (
        conductors.area_cmil(wire.neutral_for(x, material, amp.Around(), sets, "350", "2", 2023))
        for x in sorted((a, b))
    )
    assert conductors.area_cmil("2") <= low <= high <= conductors.area_cmil("350")
    assert sets == 1 or low >= conductors.area_cmil("1/0")


# --- grounding ---------------------------------------------------------------------------------------------------


@QUICK
@given(st.floats(15, 400), pairs, st.sampled_from(EDITIONS), st.sampled_from(ground.ENLARGED_FOR))
def test_enlarging_line_conductors_never_shrinks_the_grounding(amps, of, edition: int, why: str) -> None:
    base = ground.equipment_grounding(amps, "cu")
    needed, installed = sorted(conductors.area_cmil(s) for s in of[1])
    got = ground.enlarged_grounding(base, "cu", needed, installed, edition, why)
    assert ground.enlarged_grounding(base, "cu", needed, needed, edition, why) == base
    if why == "temperature" and edition >= 2020:
        assert got == base
    elif got is not None:
        assert conductors.area_cmil(got) >= conductors.area_cmil(base) * installed / needed * (1 - 1e-9)


@QUICK
@given(st.floats(15, 1200), st.integers(2, 6), metals)
def test_every_parallel_raceway_has_the_full_grounding_conductor(amps: float, sets: int, of: str) -> None:
    egc = ground.equipment_grounding(amps, of)
    assert ground.grounding_in_set(egc, "1/0", sets) == egc
    assert conductors.area_cmil(ground.grounding_in_set(egc, "8", 1)) <= conductors.area_cmil("8")


# --- voltage drop solved three ways ------------------------------------------------------------------------------

volts = st.sampled_from((120.0, 208.0, 240.0))
amps_ = st.floats(0.5, 400)
factors = st.floats(0.6, 1.0)
limits = st.floats(0.1, 60)


@QUICK
@given(sized, st.integers(1, 3), amps_, factors, volts, limits)
def test_the_longest_run_is_within_the_limit_and_a_longer_one_is_not(of, sets, current_A, pf, voltage_V, limit) -> None:
    material, size = of
    longest_ft = drop.longest_run_ft(size, material, sets, current_A, pf, voltage_V, limit)
    lost_V = drop.run_drop_V(size, material, sets, current_A, longest_ft * (1 - 1e-9), pf, voltage_V)
    assert lost_V is not None and lost_V <= limit / 100 * voltage_V * (1 + 1e-7)
    more_V = drop.run_drop_V(size, material, sets, current_A, longest_ft * (1 + 1e-6), pf, voltage_V)
    assert more_V is None or more_V > limit / 100 * voltage_V, f"{longest_ft} ft is not the longest"


@QUICK
@given(sized, st.integers(1, 3), amps_, factors, volts, st.floats(1, 3000))
def test_drop_and_longest_run_turn_each_other_round(of, sets, current_A, pf, voltage_V, length_ft) -> None:
    material, size = of
    lost_V = drop.run_drop_V(size, material, sets, current_A, length_ft, pf, voltage_V)
    if lost_V is None or not 1e-6 < lost_V / voltage_V < 0.999:
        return
    back_ft = drop.longest_run_ft(size, material, sets, current_A, pf, voltage_V, lost_V / voltage_V * 100)
    assert back_ft == pytest.approx(length_ft, rel=1e-7)


@QUICK
@given(sized, st.integers(1, 3), amps_, factors, volts, st.floats(0.1, 10))
def test_size_and_longest_run_turn_each_other_round(of, sets, current_A, pf, voltage_V, limit) -> None:
    material, size = of
    if sets > 1 and conductors.area_cmil(size) < conductors.area_cmil("1/0"):
        return
    length_ft = drop.longest_run_ft(size, material, sets, current_A, pf, voltage_V, limit) * (1 - 1e-9)
    found = drop.smallest_size_for_drop(material, sets, current_A, length_ft, pf, voltage_V, limit)
    assert found is not None and conductors.area_cmil(found) <= conductors.area_cmil(size), f"{found} for {size}"
    again_ft = drop.longest_run_ft(found, material, sets, current_A, pf, voltage_V, limit)
    assert again_ft >= length_ft
    names = conductors.usable_sizes(material)
    below = names.index(found) - 1
    if below >= 0 and (sets == 1 or conductors.area_cmil(names[below]) >= conductors.area_cmil("1/0")):
        shorter_ft = drop.longest_run_ft(names[below], material, sets, current_A, pf, voltage_V, limit)
        assert shorter_ft < length_ft * (1 + 1e-9), f"{names[below]} would do"


@QUICK
@given(pairs, st.integers(1, 3), amps_, st.floats(0.8, 1.0), volts, st.floats(1, 3000))
def test_a_larger_conductor_never_raises_the_drop(of, sets, current_A, pf, voltage_V, length_ft) -> None:
    material, names = of
    small, large = sorted(names, key=conductors.area_cmil)
    lost = [drop.run_drop_V(s, material, sets, current_A, length_ft, pf, voltage_V) for s in (small, large)]
    assert lost[0] is None or (lost[1] is not None and lost[1] <= lost[0] * (1 + 1e-12)), f"{small} {large}: {lost}"
    runs = [drop.longest_run_ft(s, material, sets, current_A, pf, voltage_V, 3.0) for s in (small, large)]
    assert runs[0] <= runs[1] * (1 + 1e-12)


@QUICK
@given(metals, amps_, st.floats(1, 2000), st.floats(1, 2000), factors, volts, limits)
def test_a_longer_run_never_takes_a_smaller_size(material, current_A, a, b, pf, voltage_V, limit) -> None:
    sizes = [
        drop.smallest_size_for_drop(material, 1, current_A, length, pf, voltage_V, limit) for length in sorted((a, b))
    ]
    areas = [math.inf if s is None else conductors.area_cmil(s) for s in sizes]
    assert areas[0] <= areas[1], f"{sorted((a, b))} ft: {sizes}"


@QUICK
@given(sized, amps_, factors, volts, st.floats(0.1, 9.9))
def test_two_sets_run_twice_as_far_and_one_set_is_a_single_run(of, current_A, pf, voltage_V, limit) -> None:
    material, size = of
    one, two = (drop.longest_run_ft(size, material, n, current_A, pf, voltage_V, limit) for n in (1, 2))
    assert two == pytest.approx(2 * one)
    half = drop.longest_run_ft(size, material, 1, current_A / 2, pf, voltage_V, limit)
    assert two == pytest.approx(half) if current_A / 2 >= drop.LEAST_RUN_A else True


@QUICK
@given(st.floats(-40, 200), st.floats(-40, 200), metals)
def test_a_hotter_conductor_resists_more(a: float, b: float, material: str) -> None:
    cool, hot = (drop.resistance_at_ohm_per_kft(1.0, material, t) for t in sorted((a, b)))
    assert cool <= hot and drop.resistance_at_ohm_per_kft(1.0, material, 75.0) == 1.0


# --- the step ----------------------------------------------------------------------------------------------------


def entrance(**site: object):
    result = service_of(180.0, **site)
    return result, next(c for c in result.conductors if c.part == "service entrance" and c.chosen)


@WHOLE
@given(st.floats(60, 150), st.floats(60, 150), metals, st.sampled_from((75, 90)))
def test_hotter_air_never_shrinks_the_service_entrance(a: float, b: float, metal: str, insulation_C: int) -> None:
    areas = []
    for ambient_F in sorted((a, b)):
        result = service_of(180.0, supply_ambient_F=ambient_F, feeder_material=metal, supply_insulation_C=insulation_C)
        row = next((c for c in result.conductors if c.part == "service entrance" and c.chosen), None)
        areas.append(math.inf if row is None else row.sets * conductors.area_cmil(row.size))
        if row is not None:
            assert row.ampacity_A is not None and row.ampacity_A >= 166 * (1 - 1e-9)
    assert areas[0] <= areas[1]


def test_factors_put_the_dwelling_table_out_of_use() -> None:
    plain, _ = entrance()
    assert {c.material: c.table_size for c in plain.chains if c.part == "service entrance"} == {
        "al": "4/0",
        "cu": "2/0",
    }
    for change in ({"supply_ambient_F": 104.0}, {"supply_conductors": 6}):
        hot, row = entrance(**change)
        assert all(c.table_size == "" for c in hot.chains if c.part == "service entrance")
        assert conductors.area_cmil(row.size) * row.sets > conductors.area_cmil("4/0"), f"{change}: {row}"


def test_insulation_of_90_c_saves_a_size_in_a_hot_attic() -> None:
    _, plain = entrance(supply_ambient_F=122.0)
    result, better = entrance(supply_ambient_F=122.0, supply_insulation_C=90)
    assert better.size == "4/0" and better.ampacity_A == pytest.approx(205 * 0.82)
    assert conductors.area_cmil(plain.size) > conductors.area_cmil(better.size)
    lateral = next(c for c in result.chains if c.part == "lateral" and c.chosen)
    assert lateral.ambient_C == 30.0 and lateral.ambient_factor == 1.0, "the attic's heat reached the lateral"


def test_too_hot_is_a_finding_not_a_crash() -> None:
    result = service_of(180.0, supply_ambient_F=176.0)
    found = [f for f in result.findings if f.id == "conductor-heat"]
    assert [f.verdict for f in found] == [Verdict.MISSES]
    assert not [c for c in result.conductors if c.part == "service entrance"]
    for clearance_in, too_hot in ((0.5, True), (0.875, False)):
        result = service_of(180.0, supply_ambient_F=131.0, supply_roof_clearance_in=clearance_in)
        assert ("conductor-heat" in {f.id for f in result.findings}) == too_hot, f"{clearance_in} in above the roof"


def feeder_of(rating_A: float, edition: int = 2023, metal: str = "cu", **site: object):
    panel = starter().panels[0]
    fed = dataclasses.replace(panel, id="sub", rating_A=rating_A, fed_from=panel.id)
    result = service_of(190.0, edition=edition, panels=(panel, fed), feeder_material=metal, **site)
    row = next(c for c in result.conductors if c.part == "feeder to sub" and c.chosen)
    return row, next(c for c in result.chains if c.part == "feeder to sub" and c.chosen)


def test_marked_terminals_save_a_size_but_not_the_small_conductor_limit() -> None:
    assert feeder_of(100.0)[0].size == "1" and feeder_of(100.0, terminals_75C=True)[0].size == "3"
    row, chain = feeder_of(35.0, terminals_75C=True)
    assert (row.size, chain.terminal_C) == ("8", 75), "35 A on 10 AWG: 240.4(D) allows 30"


def test_small_cable_in_insulation_is_limited_to_60_c() -> None:
    row, chain = feeder_of(30.0, supply_insulation_C=90, supply_in_insulation=True, terminals_75C=True)
    assert (row.size, chain.cap_A, chain.allowable_A) == ("10", 30.0, 30.0)
    row, chain = feeder_of(60.0, supply_insulation_C=90, supply_in_insulation=True, terminals_75C=True)
    assert (row.size, chain.cap_A, chain.allowable_A) == ("6", None, 65.0)


def test_grounding_grows_with_heat_in_2017_only() -> None:
    hot = {"supply_ambient_F": 113.0, "terminals_75C": True}
    sizes = {edition: feeder_of(60.0, edition, **hot)[0] for edition in (2017, 2020, 2023)}
    assert {row.size for row in sizes.values()} == {"4"}, "60 A over 0.82 is 73 A: 4 AWG"
    # 6 AWG was enough at 30 C: 10 AWG x 41740 / 26240 = 16512 circular mil, which just misses 8 AWG.
    assert {e: row.grounding_size for e, row in sizes.items()} == {2017: "6", 2020: "10", 2023: "10"}


def test_the_next_size_up_is_told_where_no_reduction_applies() -> None:
    row, chain = feeder_of(100.0)
    assert (row.size, chain.next_size_up) == ("1", "2"), "2 AWG: 95 A at 60 C, next rating 100 A"
    result = service_of(176.0, voltage_V=208.0, offered_A=(200.0,), feeder_material="al")
    chain = next(c for c in result.chains if c.part == "service entrance" and c.chosen)
    assert (chain.size, chain.next_size_up) == ("250", "4/0"), "4/0 aluminum: 180 A, next rating 200 A"
    assert all(c.next_size_up == "" for c in service_of(176.0).chains if "feeder" not in c.part), (
        "the 83 % rule is used"
    )


def test_every_chosen_conductor_shows_its_chain_and_its_run() -> None:
    panel = starter().panels[0]
    fed = dataclasses.replace(panel, id="sub", rating_A=100.0, fed_from=panel.id)
    result = service_of(190.0, panels=(panel, fed), lateral_owner="customer", lateral_length_ft=300.0)
    parts = {"service entrance", "lateral", "feeder to sub"}
    for row in (c for c in result.conductors if c.part in parts):
        chain = next(c for c in result.chains if (c.part, c.material) == (row.part, row.material))
        assert (chain.size, chain.sets, chain.total_A, chain.chosen) == (row.size, row.sets, row.ampacity_A, row.chosen)
        assert chain.total_A >= chain.required_A * (1 - 1e-9)
    runs = {r.part: r for r in result.runs}
    assert set(runs) == parts
    lateral = next(r for r in result.drops if r.chosen)
    assert runs["lateral"].drop_V == lateral.drop_V
    assert runs["lateral"].longest_ft >= 300.0, "the lateral proposed meets its limit, so it may be longer"
    assert runs["feeder to sub"].length_ft is None and runs["feeder to sub"].longest_ft > 0
    values = [entry.value for entry in result.working]
    for number in (*(r.longest_ft for r in result.runs), *(c.corrected_A for c in result.chains if c.chosen)):
        assert number in values, f"no line of working gives {number}"


def test_branch_runs_lose_exactly_the_recommended_share() -> None:
    rows = service_of(150.0).branch_runs
    assert {(r.voltage_V, r.size) for r in rows} >= {(120.0, "14"), (120.0, "12"), (240.0, "10"), (240.0, "6")}
    for r in rows:
        lost_V = drop.run_drop_V(r.size, "cu", 1, r.load_A, r.longest_ft, 1.0, r.voltage_V)
        assert lost_V == pytest.approx(r.limit_percent / 100 * r.voltage_V)
    assert {r.breaker_A for r in rows if r.size == "12"} == {20.0}


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_report_shows_every_chain_and_run(name: str) -> None:
    plan = planned(name)
    tables, service = Tables(plan), plan.service
    assert len(tables.chains().rows) == len(tables.protections().rows) == len(service.chains) > 0
    assert len(tables.runs().rows) == len(service.runs) > 0
    assert 3 * len(tables.branch_runs().rows) == len(service.branch_runs)
    heads = {h.text for h in tables.chains().heads}
    assert ("Air round it [C]" if plan.house.general.show_metric else "Air round it [F]") in heads
    page = report_html(plan)
    for grid in (tables.chains(), tables.protections(), tables.runs(), tables.branch_runs()):
        assert f"<caption>{grid.caption}</caption>" in page, grid.caption


# --- bad input ---------------------------------------------------------------------------------------------------

BAD = (math.nan, math.inf, -math.inf)


@pytest.mark.parametrize("bad", BAD)
def test_no_rule_takes_nonsense(bad: float) -> None:
    calls = [
        lambda: amp.ambient_factor(75, bad),
        lambda: amp.ambient_factor_by_equation(bad, 40.0),
        lambda: amp.ambient_factor_by_equation(75.0, bad),
        lambda: amp.rooftop_ambient_C(bad, 1.0, 2023),
        lambda: amp.rooftop_ambient_C(40.0, bad, 2023),
        lambda: amp.count_factor(4, bad),
        lambda: amp.counted_conductors(2, True, bad),
        lambda: amp.ampacity_chain("4", "cu", amp.Around(ambient_C=bad)),
        lambda: device.largest_device_A(bad, 2023, several_receptacles=False),
        lambda: device.breaker_protects(bad, 20.0, "12", 2023, several_receptacles=False),
        lambda: wire.smallest_allowed(bad, "cu", amp.Around(), 1, 0.0, 2023),
        lambda: wire.smallest_allowed(10.0, "cu", amp.Around(), 1, bad, 2023),
        lambda: wire.smallest_allowed(10.0, "cu", amp.Around(), 1, 0.0, 2023, bad),
        lambda: wire.smallest_by_next_size_up(bad, 100.0, "cu", amp.Around(), 1, 2023),
        lambda: wire.smallest_by_next_size_up(10.0, bad, "cu", amp.Around(), 1, 2023),
        lambda: wire.dwelling_table_size(bad, "cu", 2023, amp.Around()),
        lambda: wire.feeder_ampacity_A(bad, 240.0, 166.0, whole_load=False),
        lambda: wire.feeder_ampacity_A(100.0, 240.0, bad, whole_load=False),
        lambda: wire.parallel_shares([1.0, bad]),
        lambda: ground.enlarged_grounding("8", "cu", bad, 1.0, 2023, "other"),
        lambda: ground.enlarged_grounding("8", "cu", 1.0, bad, 2023, "other"),
        lambda: drop.resistance_at_ohm_per_kft(bad, "cu", 20.0),
        lambda: drop.resistance_at_ohm_per_kft(1.0, "cu", bad),
        lambda: drop.longest_run_ft("12", "cu", 1, bad, 1.0, 120.0, 3.0),
        lambda: drop.longest_run_ft("12", "cu", 1, 16.0, bad, 120.0, 3.0),
        lambda: drop.longest_run_ft("12", "cu", 1, 16.0, 1.0, bad, 3.0),
        lambda: drop.longest_run_ft("12", "cu", 1, 16.0, 1.0, 120.0, bad),
        lambda: drop.smallest_size_for_drop("cu", 1, bad, 10.0, 1.0, 120.0, 3.0),
        lambda: drop.smallest_size_for_drop("cu", 1, 16.0, bad, 1.0, 120.0, 3.0),
    ]
    for i, call in enumerate(calls):
        with pytest.raises(RangeError):
            print(f"call {i} gave", call())


def test_out_of_range_is_refused_with_what_is_allowed() -> None:
    for call, told in (
        (lambda: amp.ambient_factor(70, 40.0), "60, 75, 90"),
        (lambda: amp.count_factor(0, 100.0), ">= 1"),
        (lambda: amp.count_factor(4, -1.0), ">= 0"),
        (lambda: amp.counted_conductors(4, True, 240.0), "<= 3"),
        (lambda: amp.ampacity_chain("12", "cu", amp.Around(cable="ZZ")), "NM-B"),
        (lambda: amp.ampacity_chain("12", "tin", amp.Around()), "al or cu"),
        (lambda: amp.ampacity_chain("5", "cu", amp.Around()), "4/0"),
        (lambda: device.small_conductor_limit_A("12", "tin", 2023), "al, cca or cu"),
        (lambda: wire.smallest_allowed(10.0, "cu", amp.Around(), 0, 0.0, 2023), "sets"),
        (lambda: wire.dwelling_table_size(200.0, "tin", 2023, amp.Around()), "al or cu"),
        (lambda: wire.parallel_shares([]), ">= 1"),
        (lambda: wire.parallel_shares([0.0]), "> 0"),
        (lambda: ground.enlarged_grounding("8", "cu", 1.0, 2.0, 2023, "fun"), "voltage drop"),
        (lambda: ground.grounding_in_set("8", "4", 0), "sets"),
        (lambda: ground.electrode_cap_ring("1/0", "4"), "2 AWG or larger"),
        (lambda: drop.longest_run_ft("12", "cu", 1, 0.0, 1.0, 120.0, 3.0), "current_A"),
        (lambda: drop.longest_run_ft("12", "cu", 1, 16.0, 1.0, 120.0, 100.0), "limit_percent"),
        (lambda: drop.resistance_at_ohm_per_kft(1.0, "tin", 20.0), "al or cu"),
    ):
        with pytest.raises(RangeError, match=told):
            call()
    for call in (
        lambda: amp.rooftop_ambient_C(40.0, 1.0, 2014),
        lambda: device.small_conductor_limit_A("12", "cu", 2014),
        lambda: wire.dwelling_table_size(200.0, "cu", 2014, amp.Around()),
        lambda: ground.enlarged_grounding("8", "cu", 1.0, 2.0, 2014, "other"),
    ):
        with pytest.raises(EditionError, match="2014"):
            call()


@pytest.mark.parametrize(
    ("column", "text", "told"),
    [
        ("supply_insulation_C", "60", "75, 90"),
        ("supply_insulation_C", '"warm"', "75, 90"),
        ("supply_ambient_F", "200", "<= 185"),
        ("supply_ambient_F", '"90 C"', "<= 185"),
        ("supply_ambient_F", "nan", "a number"),
        ("supply_ambient_F", '"6 ft"', "[F]"),
        ("supply_conductors", "1", ">= 2"),
        ("supply_conductors", "4.5", "whole number"),
        ("supply_roof_clearance_in", "-1", ">= 0"),
        ("supply_in_insulation", '"perhaps"', "yes, no"),
        ("terminals_75C", "75", "yes, no"),
        ("terminal_75C", "true", "terminals_75C"),
    ],
)
def test_bad_cells_of_the_new_columns_are_told(tmp_path, column: str, text: str, told: str) -> None:
    write_starter(tmp_path / "house")
    file = tmp_path / "house" / "house.toml"
    lines = [line for line in file.read_text("utf-8").splitlines() if not line.lstrip("# ").startswith(f"{column} ")]
    at = lines.index("[service]")
    file.write_text("\n".join([*lines[: at + 1], f"{column} = {text}", *lines[at + 1 :]]), encoding="utf-8")
    with pytest.raises(InputErrors) as caught:
        read_house(tmp_path / "house")
    assert len(caught.value.problems) == 1, str(caught.value)
    assert column in str(caught.value) and told in str(caught.value), str(caught.value)


def test_the_new_columns_may_be_left_out_and_take_units() -> None:
    rows = [(None, {"lateral_length_ft": "100", "supply_ambient_F": "45 C", "supply_conductors": ""})]
    parsed = parse_rows(ServiceSite, rows, "house.toml")
    assert not parsed.problems, parsed.problems
    site = parsed.records[0]
    assert site.supply_ambient_F == pytest.approx(113.0) and site.supply_conductors is None
    assert (site.supply_insulation_C, site.supply_in_insulation, site.terminals_75C) == (75, False, False)
