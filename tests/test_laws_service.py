"""Laws of the step service: what must hold whatever the numbers, the edges exactly, and bad input refused."""

from __future__ import annotations

import dataclasses
import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.common import rules_conductors as conductors
from hpelec.common import rules_drop, rules_grounding, rules_supply
from hpelec.common import rules_ratings as ratings
from hpelec.core.editions import EDITIONS
from hpelec.core.errors import EditionError, RangeError
from hpelec.core.findings import Verdict
from hpelec.core.tables import table
from hpelec.steps.service import rules, rules_meter
from tests.adapters_service import service_of
from tests.houses import starter

METALS = ("cu", "al")
QUICK = settings(max_examples=60, deadline=None)
WHOLE = settings(max_examples=25, deadline=None)
currents = st.floats(0, 2000)
lengths = st.floats(0, 5000)
offers = st.lists(st.sampled_from((60.0, 100.0, 125.0, 150.0, 200.0, 225.0, 320.0, 400.0, 600.0)), min_size=1)
sizes = st.sampled_from(METALS).flatmap(
    lambda m: st.tuples(st.just(m), st.integers(0, len(conductors.usable_sizes(m)) - 2))
)


def at_least(smaller: float | None, larger: float | None) -> bool:
    """smaller <= larger, where None stands for "more than there is"."""
    return math.inf if larger is None else larger >= (math.inf if smaller is None else smaller)


# --- ratings -----------------------------------------------------------------------------------------------------


@QUICK
@given(st.floats(0, 6000), st.floats(0, 6000), st.sampled_from(EDITIONS))
def test_more_load_never_means_a_smaller_standard_rating(a: float, b: float, edition: int) -> None:
    low, high = sorted((a, b))
    small, large = ratings.next_standard_A(low, edition), ratings.next_standard_A(high, edition)
    assert small <= large, f"{low} A takes {small} A but {high} A takes {large} A"
    assert small >= low, f"{small} A is below the load {low} A"


@QUICK
@given(st.floats(0, 700), st.floats(0, 700), offers)
def test_more_load_never_means_a_smaller_service(a: float, b: float, offered: list[float]) -> None:
    low, high = sorted((a, b))
    small, large = (rules.smallest_offer_A(x, offered, 100.0) for x in (low, high))
    assert at_least(small, large), f"{low} A gets {small} but {high} A gets {large} of {offered}"
    mains = [rules.main_of_rating_A(x, 2023) for x in sorted(offered)]
    assert mains == sorted(mains), f"mains of {sorted(offered)} do not rise: {mains}"


@WHOLE
@given(st.floats(0, 450), offers, st.randoms(use_true_random=False))
def test_order_of_offers_and_panels_never_matters(load_A: float, offered: list[float], random) -> None:
    panel = starter().panels[0]
    panels = [
        panel,
        dataclasses.replace(panel, id="sub-a", rating_A=100.0, fed_from=panel.id),
        dataclasses.replace(panel, id="sub-b", rating_A=125.0, fed_from="sub-a"),
    ]
    mixed_offers, mixed_panels = list(offered), list(panels)
    random.shuffle(mixed_offers)
    random.shuffle(mixed_panels)
    one = service_of(load_A, offered_A=tuple(offered), panels=tuple(panels))
    other = service_of(load_A, offered_A=tuple(mixed_offers), panels=tuple(mixed_panels))
    assert one == other, "the result depends on the order of offers or panels"


@pytest.mark.parametrize(
    ("load_A", "rating_A"), [(100, 100), (math.nextafter(100, 101), 125), (200, 200), (400, 400), (0, 100)]
)
def test_a_load_equal_to_a_rating_is_carried(load_A: float, rating_A: float) -> None:
    result = service_of(load_A)
    assert result.rating_A == rating_A
    assert result.spare_A == rating_A - load_A
    assert [r.rating_A for r in result.ratings if r.chosen] == [rating_A]


def test_no_offer_below_the_minimum_is_taken() -> None:
    result = service_of(40.0, offered_A=(60.0, 30.0))
    assert result.rating_A is None
    assert result.standard_A == 100
    assert not any(r.carries for r in result.ratings)


def test_a_load_beyond_the_offers_is_a_finding_and_no_exception() -> None:
    for load_A in (500.0, 2100.0, 9000.0):
        result = service_of(load_A)
        verdicts = {f.id: f.verdict for f in result.findings}
        assert result.rating_A is None
        assert verdicts["service-size"] is Verdict.MISSES, f"{load_A} A: {verdicts}"
    assert service_of(9000.0).standard_A is None
    assert service_of(9000.0).conductors == ()


@pytest.mark.parametrize(
    ("project", "stands_A", "verdict"),
    [
        ("new", None, None),
        ("existing", None, Verdict.CANNOT_SAY),
        ("existing", 150.0, Verdict.MEETS),
        ("existing", 149.9, Verdict.MISSES),
        ("existing", 60.0, Verdict.MISSES),
    ],
)
def test_the_service_that_stands_is_compared(project: str, stands_A: float | None, verdict: Verdict | None) -> None:
    result = service_of(150.0, project=project, existing_service_A=stands_A)
    found = [f.verdict for f in result.findings if f.id == "service-existing"]
    assert found == ([] if verdict is None else [verdict])


@pytest.mark.parametrize(("load_A", "verdict"), [(200.0, Verdict.MEETS), (201.0, Verdict.CANNOT_SAY)])
def test_meter_above_class_200_is_for_the_utility_to_say(load_A: float, verdict: Verdict) -> None:
    found = {f.id: f for f in service_of(load_A).findings}
    assert found["service-meter"].verdict is verdict, str(found["service-meter"])


# --- tables ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("material", METALS)
def test_ampacity_rises_with_area_and_with_temperature(material: str) -> None:
    names = conductors.usable_sizes(material)
    for column in (60, 75, 90):
        amps = [conductors.ampacity_A(s, material, column) for s in names]
        assert all(a < b for a, b in itertools.pairwise(amps)), (
            f"{material} {column} C: {dict(zip(names, amps, strict=True))}"
        )
    for size in names:
        row = [conductors.ampacity_A(size, material, c) for c in (60, 75, 90)]
        assert row == sorted(set(row)), f"{size} {material}: {row}"


def test_aluminium_carries_less_and_resists_more_than_copper() -> None:
    for size in conductors.usable_sizes("al"):
        amps = [conductors.ampacity_A(size, m, 75) for m in ("al", "cu")]
        ohms = [rules_drop.resistance_ohm_per_kft(size, m) for m in ("cu", "al")]
        assert amps[0] < amps[1] and ohms[0] < ohms[1], f"{size}: {amps} A, {ohms} ohm/kft"


def test_dc_resistance_follows_from_resistivity_and_area() -> None:
    """rho20 (1 + a20 55) lay / A within 0.6 %: 100 % and 61 % IACS, class B lay 1.02."""
    rho20 = {"cu": 1 / 58, "al": 1 / 58 / 0.61}
    a20 = {"cu": 0.00393, "al": 0.00403}
    for row in table("tables/conductors"):
        metal, mm2 = row.text("material"), row.number("area_kcmil") * 0.5067075
        expected = rho20[metal] * (1 + a20[metal] * 55) * 1.02 / mm2 * 304.8
        got = row.number("dc_resistance_ohm_per_kft_75c")
        assert got == pytest.approx(expected, rel=0.006), f"{row.text('size')} {metal}"


def test_awg_areas_follow_from_the_gauge_formula() -> None:
    names = ["14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0"]
    numbers = [14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3]
    for name, n in zip(names, numbers, strict=True):
        expected = (5 * 92 ** ((36 - n) / 39)) ** 2
        assert conductors.area_cmil(name) == pytest.approx(expected, rel=0.001), name


def test_sizes_are_ordered_by_area_not_by_text() -> None:
    names = conductors.usable_sizes("cu")
    areas = [conductors.area_cmil(s) for s in names]
    assert areas == sorted(areas)
    assert names.index("4/0") < names.index("250") and names.index("1") < names.index("1/0")
    assert names.index("2") < names.index("1") and list(names) != sorted(names)


@pytest.mark.parametrize("material", METALS)
@pytest.mark.parametrize("of", METALS)
def test_grounding_conductors_never_shrink_as_conductors_grow(material: str, of: str) -> None:
    areas = sorted({1000.0 * k for k in range(10, 1750, 7)} | {66360.0, 105600.0, 167800.0, 500000.0, 600000.0})
    for function in (rules_grounding.electrode_conductor, rules_grounding.bonding_jumper):
        found = [function(a, material, of) for a in areas]
        grown = [conductors.area_cmil(s) for s in found if s is not None]
        assert grown == sorted(grown), f"{function.__name__} {material} -> {of}"


@QUICK
@given(st.floats(1, 6000), st.floats(1, 6000), st.sampled_from(METALS))
def test_equipment_grounding_never_shrinks_as_the_device_grows(a: float, b: float, of: str) -> None:
    low, high = (conductors.area_cmil(rules_grounding.equipment_grounding(x, of)) for x in sorted((a, b)))
    assert low <= high


# --- conductors --------------------------------------------------------------------------------------------------


@QUICK
@given(st.floats(0, 2500), st.sampled_from(METALS), st.sampled_from((60, 75)))
def test_fewest_sets_carry_and_the_next_smaller_size_does_not(needed_A: float, material: str, column: int) -> None:
    found = rules_supply.fewest_sets(needed_A, material, column)
    names = conductors.usable_sizes(material)
    if found is None:
        most = rules_supply.MOST_SETS * conductors.ampacity_A(names[-1], material, column)
        assert most < needed_A, f"{needed_A} A should fit"
        return
    sets, size = found
    assert sets * conductors.ampacity_A(size, material, column) >= needed_A * (1 - 1e-9)
    below = names.index(size) - 1
    if below >= 0 and (sets == 1 or conductors.area_cmil(names[below]) >= 105600):
        assert sets * conductors.ampacity_A(names[below], material, column) < needed_A
    assert sets == 1 or conductors.area_cmil(size) >= 105600, f"{size} in parallel is below 1/0"


@WHOLE
@given(st.floats(0, 420), st.floats(0, 420), st.sampled_from(METALS), st.sampled_from(EDITIONS))
def test_more_load_never_means_smaller_service_conductors(a: float, b: float, metal: str, edition: int) -> None:
    area = []
    for load_A in sorted((a, b)):
        result = service_of(load_A, neutral_A=load_A / 2, edition=edition, feeder_material=metal)
        rows = [c for c in result.conductors if c.part == "service entrance" and c.chosen]
        assert len(rows) == 1 and rows[0].material == metal
        area.append(rows[0].sets * conductors.area_cmil(rows[0].size))
        assert rows[0].ampacity_A is not None and rows[0].required_A is not None
        assert rows[0].ampacity_A >= rows[0].required_A
    assert area[0] <= area[1], f"{sorted((a, b))} A: {area} circular mil"


@WHOLE
@given(st.floats(0, 420), st.floats(0, 420), st.sampled_from(METALS))
def test_neutral_lies_between_the_least_allowed_and_the_line_conductors(
    load_A: float, neutral_A: float, metal: str
) -> None:
    for row in service_of(load_A, neutral_A=neutral_A, feeder_material=metal, lateral_owner="customer").conductors:
        if not row.neutral_size or row.grounding_size:
            continue
        area, line_area = (conductors.area_cmil(s) for s in (row.neutral_size, row.size))
        least = rules_grounding.bonding_jumper(line_area, row.material, row.material)
        assert area <= line_area, f"{row}: neutral above the line conductors"
        assert least is not None and area >= conductors.area_cmil(least), f"{row}: below {least}"
        if area < line_area:
            carried = row.sets * conductors.ampacity_A(row.neutral_size, row.material, 75)
            assert carried >= neutral_A * (1 - 1e-9), f"{row}: neutral carries {carried} of {neutral_A} A"


def test_no_reduction_and_a_full_neutral_at_208_volts() -> None:
    row = next(c for c in service_of(150.0, voltage_V=208.0).conductors if c.part == "service entrance")
    assert (row.required_A, row.size, row.neutral_size) == (150, "3/0", "3/0"), row


def test_feeders_take_no_reduction_and_never_need_more_than_the_service() -> None:
    panel = starter().panels[0]
    fed = [dataclasses.replace(panel, id=f"s{a}", rating_A=float(a), fed_from=panel.id) for a in (60, 100, 150, 400)]
    result = service_of(190.0, panels=(panel, *fed), feeder_material="al")
    rows = {c.part: c for c in result.conductors if c.part.startswith("feeder") and c.chosen}
    got = {k: (r.device_A, r.required_A, r.size, r.grounding_size) for k, r in rows.items()}
    assert got == {
        "feeder to s60": (60, 60, "3", "8"),
        "feeder to s100": (100, 100, "1/0", "6"),
        "feeder to s150": (150, 150, "3/0", "4"),
        "feeder to s400": (200, 166, "4/0", "4"),
    }


def test_a_panel_too_small_for_any_breaker_is_a_finding() -> None:
    panel = starter().panels[0]
    tiny = dataclasses.replace(panel, id="tiny", rating_A=5.0, fed_from=panel.id)
    result = service_of(90.0, panels=(panel, tiny))
    assert [f.verdict for f in result.findings if f.id == "feeder-device"] == [Verdict.MISSES]


# --- voltage drop ------------------------------------------------------------------------------------------------


@QUICK
@given(sizes, currents, lengths, st.floats(0.5, 1), st.integers(1, 4))
def test_a_larger_conductor_never_raises_the_drop(at, current_A, length_ft, power_factor, sets) -> None:
    material, i = at
    small, large = conductors.usable_sizes(material)[i : i + 2]
    drops = [
        rules_drop.run_drop_V(s, material, sets, current_A, length_ft, power_factor, 240.0) for s in (large, small)
    ]
    assert at_least(drops[0], drops[1]), f"{small} {drops[1]} V, {large} {drops[0]} V"


@QUICK
@given(sizes, currents, lengths, lengths, st.floats(0.5, 1))
def test_a_longer_lateral_never_drops_less(at, current_A, one_ft, other_ft, power_factor) -> None:
    size = conductors.usable_sizes(at[0])[at[1]]
    short, long = (
        rules_drop.run_drop_V(size, at[0], 1, current_A, x, power_factor, 240.0) for x in sorted((one_ft, other_ft))
    )
    assert at_least(short, long), f"{sorted((one_ft, other_ft))} ft: {short} V, {long} V"


@QUICK
@given(sizes, st.floats(0, 400), st.floats(0, 300), st.floats(0.5, 1))
def test_two_parallel_sets_have_half_the_drop(at, current_A, length_ft, power_factor) -> None:
    size = conductors.usable_sizes(at[0])[at[1]]
    one = rules_drop.run_drop_V(size, at[0], 1, current_A, length_ft, power_factor, 240.0)
    two = rules_drop.run_drop_V(size, at[0], 2, current_A, length_ft, power_factor, 240.0)
    if one is not None and one <= 24.0:
        assert two == pytest.approx(one / 2, rel=1e-9, abs=1e-12)
    else:
        assert two is None or one is None or two < one


@QUICK
@given(st.floats(0, 400), st.floats(0, 1000), st.floats(0, 1), st.floats(0, 0.1), st.floats(0.5, 1))
def test_the_exact_drop_is_never_below_the_approximation(current_A, length_ft, r, x, power_factor) -> None:
    z = rules_drop.effective_ohm_per_kft(r, x, power_factor)
    usual = rules_drop.drop_V(current_A, length_ft, z)
    exact = rules_drop.exact_drop_V(current_A, length_ft, r, x, power_factor, 240.0)
    assert exact is None or exact >= usual - 1e-9
    assert usual < 240 or exact is None, "a drop of the whole voltage cannot be served"


@QUICK
@given(st.floats(0.05, 1), st.floats(0, 0.1), st.floats(0.5, 1), st.floats(1, 400), st.floats(1, 500))
def test_the_exact_drop_agrees_with_phasors(r, x, power_factor, current_A, length_ft) -> None:
    drop_V = rules_drop.exact_drop_V(current_A, length_ft, r, x, power_factor, 240.0)
    if drop_V is None:
        return
    z = complex(r, x) * 2 * length_ft / 1000
    current = current_A * complex(power_factor, -math.sin(math.acos(power_factor)))
    assert abs(240.0 - drop_V + current * z) == pytest.approx(240.0, rel=1e-9)


@WHOLE
@given(st.floats(1, 400), st.floats(1, 3000), st.floats(0.5, 10), st.sampled_from(METALS))
def test_the_lateral_proposed_is_the_smallest_within_the_limit(load_A, length_ft, limit, metal) -> None:
    result = service_of(
        load_A,
        lateral_length_ft=length_ft,
        drop_limit_percent=limit,
        lateral_material=metal,
        lateral_owner="customer",
    )
    own = [r for r in result.drops if r.material == metal]
    chosen = [r for r in result.drops if r.chosen]
    assert len(chosen) == 1 and chosen[0].material == metal
    verdict = next(f.verdict for f in result.findings if f.id == "lateral-drop")
    assert verdict is (Verdict.MEETS if chosen[0].meets else Verdict.MISSES)
    assert chosen[0].meets == any(r.meets for r in own), "a size within the limit was passed over"
    before = own[: own.index(chosen[0])]
    assert not any(r.meets for r in before), "a smaller size would do"
    row = next(c for c in result.conductors if c.part == "lateral" and c.chosen)
    assert (row.size, row.sets) == (chosen[0].size, chosen[0].sets)
    assert row.ampacity_A is not None and row.required_A is not None and row.ampacity_A >= row.required_A
    assert result.lateral_drop_percent == chosen[0].drop_percent


def test_drop_exactly_at_the_limit_passes() -> None:
    found = service_of(184.0, lateral_owner="customer", lateral_length_ft=250.0)
    row = next(r for r in found.drops if r.material == "al" and r.size == "300")
    assert row.drop_percent is not None and not row.meets
    again = service_of(184.0, lateral_owner="customer", lateral_length_ft=250.0, drop_limit_percent=row.drop_percent)
    assert next(r.size for r in again.drops if r.chosen) == "300"


def test_the_utility_decides_on_its_own_lateral() -> None:
    findings = {f.id: f.verdict for f in service_of(150.0, lateral_owner="utility").findings}
    assert findings["lateral-drop"] is Verdict.CANNOT_SAY


# --- bad input, editions, working --------------------------------------------------------------------------------

BAD = (math.nan, math.inf, -math.inf, -1.0)


@pytest.mark.parametrize("bad", BAD)
def test_no_rule_takes_nonsense(bad: float) -> None:
    calls = [
        lambda: ratings.next_standard_A(bad, 2023),
        lambda: ratings.largest_standard_A(bad, 2023),
        lambda: rules.smallest_offer_A(bad, (100.0,), 100.0),
        lambda: rules.smallest_offer_A(50.0, (bad,), 100.0),
        lambda: rules.main_of_rating_A(bad, 2023),
        lambda: rules_meter.meter_class(bad),
        lambda: conductors.terminal_column_C(bad, True),
        lambda: rules_supply.service_ampacity_A(bad, 240.0),
        lambda: rules_supply.smallest_size(bad, "cu", 75, 1, 0.0),
        lambda: conductors.size_of_area(bad, "cu"),
        lambda: rules_grounding.electrode_conductor(bad, "cu", "cu"),
        lambda: rules_grounding.bonding_jumper(bad, "al", "al"),
        lambda: rules_grounding.equipment_grounding(bad, "cu"),
        lambda: rules_drop.drop_V(bad, 1.0, 1.0),
        lambda: rules_drop.drop_V(1.0, bad, 1.0),
        lambda: rules_drop.effective_ohm_per_kft(bad, 0.1, 0.9),
        lambda: rules_drop.exact_drop_V(1.0, 1.0, 0.1, 0.1, 0.9, bad),
        lambda: rules_drop.within_limit(bad, 240.0, 3.0),
        lambda: service_of(bad),
        lambda: service_of(100.0, neutral_A=bad),
    ]
    for i, call in enumerate(calls):
        with pytest.raises(RangeError):
            print(f"call {i} gave", call())


def test_unknown_names_are_refused_with_what_is_allowed() -> None:
    for call, told in (
        (lambda: conductors.ampacity_A("5", "cu", 75), "4/0"),
        (lambda: conductors.ampacity_A("4", "tin", 75), "al or cu"),
        (lambda: conductors.ampacity_A("4", "cu", 70), "60, 75 or 90"),
        (lambda: conductors.area_cmil("5/0"), "AWG"),
        (lambda: rules_drop.resistance_ohm_per_kft("700", "al"), "700"),
        (lambda: rules_grounding.electrode_cap("4", "tree"), "rod or concrete"),
        (lambda: rules_grounding.equipment_grounding(100.0, "tin"), "al or cu"),
    ):
        with pytest.raises(RangeError, match=told):
            call()
    with pytest.raises(EditionError, match="2014"):
        service_of(100.0, edition=2014)


@pytest.mark.parametrize("edition", EDITIONS)
def test_edition_2026_is_told_as_unverified(edition: int) -> None:
    found = [f.verdict for f in service_of(150.0, edition=edition).findings if f.id == "service-edition"]
    assert found == ([Verdict.CANNOT_SAY] if edition == 2026 else [])


def test_every_main_number_has_its_working() -> None:
    result = service_of(310.0, lateral_owner="customer", lateral_length_ft=400.0)
    values = [entry.value for entry in result.working]
    drop = next(r for r in result.drops if r.chosen)
    for number in (result.design_A, result.standard_A, result.rating_A, result.main_A, result.spare_A, drop.drop_V):
        assert number in values, f"no line of working gives {number}: {[str(e) for e in result.working]}"
    for entry in result.working:
        assert math.isfinite(entry.value) and entry.citation.source, str(entry)
