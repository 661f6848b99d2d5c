"""Laws of the step airtightness."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.core.errors import RangeError
from hpelec.core.findings import Verdict
from hpelec.core.tables import table
from hpelec.steps.airtightness import leaks, rules, rules_gap, rules_sums
from hpelec.steps.airtightness.design import design, total_of
from hpelec.steps.airtightness.model import AirtightnessResult, Spread
from hpelec.steps.airtightness.total import Total
from hpelec.steps.penetrations.model import Hole, PenetrationsResult
from tests.test_laws_penetrations import house

QUICK = settings(max_examples=60, deadline=None)
KINDS = sorted(r.text("kind_id") for r in table("air/hole_leakage"))
FLOWS = st.floats(0.0, 1e5)
TRIPLES = st.lists(st.floats(0.0, 50.0), min_size=3, max_size=3).map(lambda v: tuple(sorted(v)))


def methods_of(kind: str) -> list[str]:
    listed = table("air/sealing_catalogue").one(kind_id=kind).text("methods")
    known = {r.text("method_id") for r in table("air/seal_leakage")}
    return ["", *(m.strip() for m in listed.split(";") if m.strip() in known)]


@st.composite
def holes(draw: st.DrawFn) -> Hole:
    kind = draw(st.sampled_from(KINDS))
    diameter_in = draw(st.floats(0.25, 6.0))
    whole_mm2 = math.pi / 4 * (diameter_in * 25.4) ** 2
    return Hole(
        id=f"floor:{draw(st.integers(0, 10**9))}", kind=kind, surface="floor", assembly="a", layer="l",
        layer_family="plates", room="kitchen", level="main", x_ft=0, y_ft=0, z_ft=0, passes=("NM-B 12/2",),
        circuits=(), diameter_in=diameter_in, gap_mm=1.0, free_area_mm2=whole_mm2 * draw(st.floats(0.001, 1.0)),
        depth_mm=draw(st.floats(0.0, 200.0)), bore_area_mm2=draw(st.sampled_from([0.0, 1000.0])),
        row_count=draw(st.floats(1.0, 10.0)), made_at="rough-in", reach_until="trim",
        method=draw(st.sampled_from(methods_of(kind))),
    )  # fmt: skip


def result_of(made: list[Hole], **envelope: object) -> AirtightnessResult:
    at = house().changed(envelope=replace(house().envelope, **envelope))
    return design(at, 2023, penetrations=PenetrationsResult(edition=2023, holes=tuple(made), surfaces=(), fewer=()))


HOLES = st.lists(holes(), max_size=12, unique_by=lambda h: h.id)


@QUICK
@given(holes())
def test_sealing_never_raises_leakage(hole: Hole) -> None:
    before = leaks.unsealed(hole)
    after = leaks.sealed(hole, before)
    for end in ("low_cfm50", "best_cfm50", "high_cfm50"):
        assert getattr(after.leak, end) <= getattr(before.leak, end) * (1 + 1e-12), f"{hole.kind} {hole.method}: {end}"


def test_sealing_never_raises_leakage_for_any_kind_and_listed_method() -> None:
    """The tables as they stand: every kind with every method that its catalogue row lists, at one gang."""
    base = Hole(
        id="x", kind="", surface="wall", assembly="a", layer="l", layer_family="f", room="", level="", x_ft=0, y_ft=0,
        z_ft=0, passes=(), circuits=(), diameter_in=0.5, gap_mm=1, free_area_mm2=80, depth_mm=11, made_at="rough-in",
        reach_until="trim",
    )  # fmt: skip
    for kind in KINDS:
        for method in methods_of(kind):
            hole = replace(base, kind=kind, method=method)
            leaks.sealed(hole, leaks.unsealed(hole))


@QUICK
@given(holes())
def test_low_best_high_are_in_order(hole: Hole) -> None:
    before = leaks.unsealed(hole)
    for basis in (before, leaks.sealed(hole, before)):
        leak = basis.leak
        assert 0 <= leak.low_cfm50 <= leak.best_cfm50 * (1 + 1e-12), f"{hole.kind}: {leak} by {basis.by}"
        assert leak.best_cfm50 <= leak.high_cfm50 * (1 + 1e-12), f"{hole.kind}: {leak} by {basis.by}"


@QUICK
@given(HOLES, holes())
def test_another_hole_never_lowers_a_total(made: list[Hole], more: Hole) -> None:
    if more.id in {h.id for h in made}:
        return
    before, after = result_of(made), result_of([*made, more])
    for name in ("unsealed", "sealed"):
        for end in ("low_cfm50", "best_cfm50", "high_cfm50"):
            assert getattr(getattr(after, name), end) >= getattr(getattr(before, name), end) - 1e-9


@QUICK
@given(HOLES, st.randoms())
def test_the_order_of_holes_does_not_matter(made: list[Hole], chance) -> None:
    mixed = list(made)
    chance.shuffle(mixed)
    assert result_of(mixed) == result_of(made)


@QUICK
@given(HOLES)
def test_totals_are_plain_sums_and_the_band_is_narrower(made: list[Hole]) -> None:
    result = result_of(made)
    assert math.isclose(result.sealed.best_cfm50, math.fsum(k.sealed.best_cfm50 for k in result.leaks), abs_tol=1e-9)
    for total in result.totals:
        assert total.leak.low_cfm50 - 1e-9 <= total.band_low_cfm50 <= total.band_high_cfm50 + 1e-9, total
        assert total.band_high_cfm50 <= total.leak.high_cfm50 + 1e-9, total


def test_a_hole_without_a_method_counts_as_unsealed() -> None:
    hole = replace(holes_example(), method="")
    before = leaks.unsealed(hole)
    assert leaks.sealed(hole, before).leak == before.leak


def holes_example() -> Hole:
    return Hole(
        id="x", kind="cable_wall", surface="wall", assembly="a", layer="l", layer_family="sheathing", room="", level="",
        x_ft=0, y_ft=0, z_ft=0, passes=("NM-B 14/2",), circuits=(), diameter_in=0.5, gap_mm=1.6, free_area_mm2=88.7,
        depth_mm=11.1, made_at="rough-in", reach_until="interim test", method="grommet",
    )  # fmt: skip


def test_a_cable_hole_cannot_leak_more_than_its_open_area() -> None:
    leak = leaks.unsealed(holes_example()).leak
    open_cfm50 = rules_gap.orifice_flow_L_s(88.7, 50, 1.0) / rules.L_S_PER_CFM
    assert leak.high_cfm50 < open_cfm50
    assert rules.leakage_area_cm2(leak.best_cfm50) < 2, "one drilled cable hole is far from the handbook's 6 cm2"


LIMIT = 13000 * 2.0 / 60


@pytest.mark.parametrize(
    ("low", "best", "high", "verdict"),
    [
        (LIMIT, LIMIT, LIMIT, Verdict.MEETS),
        (1.0, LIMIT, LIMIT, Verdict.MEETS),
        (1.0, 2.0, LIMIT * 1.001, Verdict.CANNOT_SAY),
        (1.0, LIMIT, LIMIT * 1.001, Verdict.CANNOT_SAY),
        (1.0, LIMIT * 1.001, LIMIT * 1.1, Verdict.MISSES),
        (None, None, None, Verdict.CANNOT_SAY),
    ],
)
def test_the_verdict_at_the_limit(low: float | None, best: float | None, high: float | None, verdict: Verdict) -> None:
    result = result_of([], background_low_cfm50=low, background_best_cfm50=best, background_high_cfm50=high)
    assert math.isclose(result.limit_cfm50, LIMIT)
    assert result.findings[0].verdict is verdict, str(result.findings[0])
    assert (result.probability_percent is None) == (best is None)


def test_holes_alone_over_the_limit_miss_without_a_background() -> None:
    result = result_of([replace(holes_example(), method="")], target_limit=1e-4)
    assert result.findings[0].verdict is Verdict.MISSES


def test_a_background_out_of_order_is_refused() -> None:
    with pytest.raises(RangeError):
        result_of([], background_best_cfm50=100.0, background_low_cfm50=200.0)


@QUICK
@given(FLOWS, st.floats(1.0, 100.0), st.floats(1.0, 100.0), st.floats(0.5, 1.0))
def test_pressure_round_trip(flow: float, from_Pa: float, to_Pa: float, exponent: float) -> None:
    there = rules.flow_at_pressure(flow, from_Pa, to_Pa, exponent)
    assert math.isclose(rules.flow_at_pressure(there, to_Pa, from_Pa, exponent), flow, rel_tol=1e-9, abs_tol=1e-12)


@QUICK
@given(FLOWS, st.floats(10.0, 1e6), st.floats(10.0, 1e5))
def test_area_and_metric_round_trips(flow: float, volume_ft3: float, area_ft2: float) -> None:
    back = rules.area_flow_cfm50(rules.leakage_area_cm2(flow))
    assert math.isclose(back, flow, rel_tol=1e-9, abs_tol=1e-12)
    if flow > 0.001:
        for metric, value in (
            ("ACH50", rules.ach50(flow, volume_ft3)),
            ("q50", rules.flow_per_area(flow, area_ft2)),
            ("q75", rules.flow_per_area(rules.flow_at_pressure(flow, 50, 75), area_ft2)),
        ):
            assert math.isclose(rules.limit_cfm50(metric, value, volume_ft3, area_ft2), flow, rel_tol=1e-9), metric


@QUICK
@given(st.floats(0.01, 10.0), st.floats(0.0, 100.0), st.floats(1.0, 75.0), st.floats(0.0, 1.0), st.floats(1.01, 3.0))
def test_gap_flow_is_monotone(gap: float, depth: float, pressure: float, off: float, more: float) -> None:
    flow = rules_gap.gap_flow_L_s(gap, 40.0, depth, pressure, eccentricity=off)
    assert rules_gap.gap_flow_L_s(gap * more, 40.0, depth, pressure, eccentricity=off) > flow
    assert rules_gap.gap_flow_L_s(gap, 40.0, depth * more + 0.1, pressure, eccentricity=off) < flow
    assert rules_gap.gap_flow_L_s(gap, 40.0, depth, pressure * more, eccentricity=off) > flow
    assert rules_gap.gap_flow_L_s(gap, 40.0, depth, pressure) <= flow * (1 + 1e-12)
    free = rules_gap.orifice_flow_L_s(gap * 40.0, pressure, rules_gap.STRAIGHT**-0.5)
    assert flow <= free * (1 + 1e-9), "friction can only take away"


@QUICK
@given(st.floats(1.0, 100.0), st.floats(0.0, 1.0))
def test_the_ring_keeps_the_open_area(hole_mm: float, share: float) -> None:
    open_mm2 = share * math.pi / 4 * hole_mm**2
    gap_mm = rules_gap.ring_gap_mm(hole_mm, open_mm2)
    assert math.isclose(rules_gap.ring_length_mm(hole_mm, gap_mm) * gap_mm, open_mm2, rel_tol=1e-6, abs_tol=1e-6)


def test_no_gap_no_flow() -> None:
    assert rules_gap.gap_flow_L_s(0.0, 40.0, 12.0, 50.0) == 0.0


@QUICK
@given(st.lists(TRIPLES, min_size=1, max_size=12))
def test_the_distribution_of_a_sum(triples: list[tuple[float, float, float]]) -> None:
    total = Total(triples)
    low, high = (math.fsum(t[i] for t in triples) for i in (0, 2))
    levels = np.linspace(low, high, 9)
    chances = [total.probability(float(x)) for x in levels]
    assert all(a <= b + 1e-9 for a, b in itertools.pairwise(chances)), "not monotone"
    assert total.probability(high) == 1.0
    assert total.probability(high + 1) == 1.0
    assert total.probability(low - 1e-6) == 0.0 or low == 0.0
    assert low - 1e-9 <= total.quantile(0.05) <= total.quantile(0.95) <= high + 1e-9
    if high - low > 0.01 and total.chances is not None:
        grid = total.shift + total.step * np.arange(total.chances.size)
        mean = float(np.dot(grid, total.chances))
        want = math.fsum(rules_sums.triangular_mean(t) for t in triples)
        assert math.isclose(mean, want, rel_tol=1e-6, abs_tol=1e-6), f"mean {mean}, moments say {want}"


def test_one_triangle_against_its_closed_form() -> None:
    total = Total([(1.0, 2.0, 5.0)])
    for x in (1.5, 2.0, 3.0, 4.5):
        exact = (x - 1) ** 2 / 4 if x <= 2 else 1 - (5 - x) ** 2 / 12
        assert abs(total.probability(x) - exact) < 2e-3, f"P(<= {x}) {total.probability(x)}, exact {exact}"


def test_a_sum_of_constants_is_a_step() -> None:
    total = Total([(1.0, 1.0, 1.0), (2.0, 2.0, 2.0)])
    assert (total.probability(3.0), total.probability(2.999), total.quantile(0.5)) == (1.0, 0.0, 3.0)
    assert total_of([]).spread == Spread(best_cfm50=0.0, low_cfm50=0.0, high_cfm50=0.0)


BAD = [
    lambda v: rules.flow_at_pressure(v, 75, 50),
    lambda v: rules.flow_at_pressure(1, v, 50),
    rules.leakage_area_cm2,
    rules.area_flow_cfm50,
    lambda v: rules.ach50(1, v),
    lambda v: rules.flow_per_area(1, v),
    lambda v: rules.limit_cfm50("ACH50", v, 1000, 1000),
    lambda v: rules.meets_limit(v, 1),
    lambda v: rules_gap.gap_flow_L_s(v, 1, 1, 50),
    lambda v: rules_gap.gap_flow_L_s(1, 1, 1, v),
    lambda v: rules_gap.ring_gap_mm(10, v),
    lambda v: rules_gap.orifice_flow_L_s(v, 50),
    rules_gap.eccentric_factor,
    lambda v: rules_sums.triangular_mean((0, v, 1)),
    lambda v: rules_sums.normal_probability(0, v, 1),
]


@pytest.mark.parametrize("bad", [math.nan, math.inf, -1.0])
@pytest.mark.parametrize("call", BAD, ids=range(len(BAD)))
def test_rules_refuse_what_is_no_number(call, bad: float) -> None:
    with pytest.raises(RangeError):
        call(bad)


def test_more_is_refused() -> None:
    with pytest.raises(RangeError):
        rules.limit_cfm50("n50", 1, 1000, 1000)
    with pytest.raises(RangeError):
        rules_gap.sealed_shares((7, 1, 8), (6, 2, 24))
    with pytest.raises(RangeError):
        rules_sums.sum_probability([], 1.0)
