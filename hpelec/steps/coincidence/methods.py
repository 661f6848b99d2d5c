"""All ways to count what runs together, side by side: hot-water flow on one axis, current on another.

Each method answers a question of its own; what it is for stands beside it. For one house the exact law is the answer.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from hpelec.core.citing import OUR_OWN, Citation, cite
from hpelec.core.errors import RangeError
from hpelec.house.model import House
from hpelec.house.rows_loads import DrawPoint
from hpelec.steps.coincidence import law, rules, rules_control, rules_methods
from hpelec.steps.coincidence.appliances import fitted
from hpelec.steps.coincidence.cases import Cases, by_hour, largest_A, law_of, on_and_starts, year
from hpelec.steps.coincidence.heaters import draws_of
from hpelec.steps.coincidence.model_control import ControlResult, CurrentMethod, FlowMethod, MethodsResult
from hpelec.steps.coincidence.notes import Notes
from hpelec.steps.coincidence.process import HOURS, LoadProcess
from hpelec.steps.coincidence.rules_methods import L_S_PER_GPM, Group
from hpelec.steps.coincidence.totals import Totals
from hpelec.steps.hotwater.model import HotWaterResult

STEP_GPM = 0.05
"""Grid of the flows."""
PERCENT = 99.0
HOUSEHOLD = "patterns of use of this household"


@dataclass(frozen=True, slots=True)
class Sides:
    """What the methods of flow share: points that draw hot water, and their hot flows."""

    points: tuple[DrawPoint, ...]
    flows: tuple[float, ...]


def methods(
    house: House,
    water: HotWaterResult,
    loads: Sequence[LoadProcess],
    cases: Cases,
    found: Totals,
    control: ControlResult,
    code: tuple[float, Citation],
    notes: Notes,
) -> MethodsResult:
    """Both comparisons. code: load by the code [A] with its citation."""
    return MethodsResult(
        flows=flow_methods(house, water, cases, notes), currents=current_methods(loads, cases, found, control, code)
    )


def flow_methods(house: House, water: HotWaterResult, cases: Cases, notes: Notes) -> tuple[FlowMethod, ...]:
    """Hot-water flow of the whole house by every method; none for a house without hot water."""
    needs = {p.point: p for p in water.points if p.hot_flow_gpm > 0}
    points = tuple(p for p in house.draw_points if p.id in needs)
    if not points:
        return ()
    sides = Sides(points, tuple(needs[p.id].hot_flow_gpm for p in points))
    peak = math.fsum(n.hot_flow_gpm for n in needs.values() if n.at_peak)
    return (
        _flow("All points at once", math.fsum(sides.flows), "the upper limit; hardly ever comes", "", OUR_OWN),
        _flow("Busiest minutes as entered", peak, "sizes each heater in the step hotwater", "points at_peak", OUR_OWN),
        *_by_busy_shares(sides),
        *_by_household(house, water, cases, notes),
        *_european(sides),
    )


def _flow(name: str, flow_gpm: float | None, use: str, remark: str, by: Citation) -> FlowMethod:
    return FlowMethod(method=name, flow_gpm=flow_gpm, use=use, remark=remark, citation=by)


def _by_busy_shares(sides: Sides) -> list[FlowMethod]:
    """Methods on the published busy share of each fixture in the busiest hour, with the hot flows of this house."""
    groups: list[Group] = []
    missing: set[str] = set()
    sources = []
    for point, flow in zip(sides.points, sides.flows, strict=True):
        try:
            row = rules_methods.busy_row(point.fixture)
        except RangeError:
            missing.add(point.fixture)
            continue
        groups.append((1.0, row.number("busy_share"), flow))
        sources.append(row.citation)
    remark = f"left out, no busy share known: {', '.join(sorted(missing))}" if missing else "hot flows of this house"
    if not groups:
        return [
            _flow("Methods on busy shares", None, "pipes", remark, cite(rules_methods.truncated_demand))
        ]  # fmt: skip
    steps = [law.steps_up(flow, STEP_GPM) for _, _, flow in groups]
    exact = law.single(steps, [p for _, p, _ in groups], [0.0] * len(groups))
    shares = sources[0]
    return [
        _flow(
            "Hunter's rule, fixtures alike",
            rules_methods.alike_demand(groups),
            "many fixtures of one sort; too rough for one house",
            remark,
            cite(rules_methods.alike_demand),
        ),
        _flow(
            "Normal sum, 99 % of the time",
            rules_methods.normal_demand(groups),
            "pipes of large buildings",
            remark,
            cite(rules_methods.normal_demand),
        ),
        _flow(
            "Zero-truncated, 99 % of flow",
            rules_methods.truncated_demand(groups),
            "pipes of dwellings where UPC Appendix M holds",
            remark,
            cite(rules_methods.truncated_demand),
        ),
        _flow(
            "Exact, same shares, all time",
            float(law.percentile_steps(exact.above, PERCENT)) * STEP_GPM,
            "checks the two normal sums",
            remark,
            shares,
        ),
        _flow(
            "Exact, same shares, given flow",
            _given_flow(exact.above) * STEP_GPM,
            "checks the zero-truncated sum",
            remark,
            shares,
        ),
    ]


def _given_flow(above: law.Array) -> float:
    """The same percentile of the time in which anything flows."""
    if above.shape[-1] < 2 or above[1] <= 0:
        return 0.0
    given = above / above[1]
    given[0] = 1.0
    return float(law.percentile_steps(given, PERCENT))


def _by_household(house: House, water: HotWaterResult, cases: Cases, notes: Notes) -> list[FlowMethod]:
    """The exact law of this household's draws; flow stands in the place of current."""
    draws = [d for mine in draws_of(house, water).values() for d in mine if d.hot_gpm > 0 and sum(d.starts_per_h) > 0]
    if not draws:
        return []
    made = []
    for draw in draws:
        base = LoadProcess(
            id=draw.point,
            name=draw.point,
            kind="draw",
            current_A=draw.hot_gpm,
            levels=((draw.hot_gpm, 1.0),),
            run_min=draw.run_min,
            starts_per_h=(0.0,) * HOURS,
            follows="people",
            citation=draw.citation,
        )
        day = sum(draw.starts_per_h)
        made.append(fitted(base, day, tuple(s / day for s in draw.starts_per_h), notes))
    whole = law_of(made, cases, STEP_GPM)
    over_year = year(whole, cases).above
    busiest = float(law.percentile_steps(by_hour(whole, cases).above, PERCENT).max()) * STEP_GPM
    by = Citation(HOUSEHOLD, "exact law of the draws", "none", "common practice")
    return [
        _flow("Exact, this house, all time", float(law.percentile_steps(over_year, PERCENT)) * STEP_GPM,
              "how often a flow comes over the year", "", by),
        _flow("Exact, this house, given flow", _given_flow(over_year) * STEP_GPM,
              "how a heater is loaded while it runs", "", by),
        _flow("Exact, this house, busiest hour", busiest, "the peak hour of this household", "", by),
    ]  # fmt: skip


def _european(sides: Sides) -> list[FlowMethod]:
    """European design flows, on their own calculated flows where the tables here have them."""
    made = []
    for standard, name in (("DIN 1988-300", "DIN 1988-300 curve"), ("DIN 1988-3", "DIN 1988-3 curve, older")):
        flows, own = _calculated(sides)
        remark = f"own flow, no value in the table here: {', '.join(own)}" if own else ""
        try:
            flow = rules_methods.curve_flow_L_s(math.fsum(flows), max(flows), standard) / L_S_PER_GPM
        except RangeError as error:
            made.append(_flow(name, None, "pipes in Germany", str(error), rules_methods.curve_row(standard).citation))
        else:
            made.append(_flow(name, flow, "pipes in Germany", remark, rules_methods.curve_row(standard).citation))
    kinds = [p.fixture for p in sides.points]
    rows = [rules_methods.fixture_row("EN 806-3", k) for k in kinds if k != "other"]
    units_gpm = math.fsum(r.number("flow_L_s") for r in rows) / L_S_PER_GPM if rows else None
    units = f"{rules_methods.loading_units([k for k in kinds if k != 'other']):g} loading units"
    remark = f"{units}; the table that reduces them is not here" + (
        "; other points left out" if "other" in kinds else ""
    )
    use = "start of the European pipe tables, before simultaneity"
    return [*made, _flow("EN 806-3, sum of units", units_gpm, use, remark, cite(rules_methods.loading_units))]


def _calculated(sides: Sides) -> tuple[list[float], list[str]]:
    """Calculated flows by the German table; the house's own hot flow for a fixture that it lacks here."""
    flows, own = [], set()
    for point, gpm in zip(sides.points, sides.flows, strict=True):
        try:
            flows.append(rules_methods.fixture_row("DIN 1988-300", point.fixture).number("flow_L_s"))
        except RangeError:
            flows.append(gpm * L_S_PER_GPM)
            own.add(point.fixture.replace("_", " "))
    return flows, sorted(own)


def current_methods(
    loads: Sequence[LoadProcess], cases: Cases, found: Totals, control: ControlResult, code: tuple[float, Citation]
) -> tuple[CurrentMethod, ...]:
    """Current at the main by every method."""
    groups = [(1.0, float((cases.weights * on_and_starts(p, cases)[0]).sum()), p.mean_current_A) for p in loads]
    groups = [(n, min(max(p, 0.0), 1.0), q) for n, p, q in groups]
    step = found.step_A
    p99, p999 = (float(law.percentile_steps(found.up.above, p)) * step for p in (PERCENT, 99.9))
    busiest = float(law.percentile_steps(found.hours.above, PERCENT).max()) * step
    exact, limited_by = cite(rules.on_share_by_hour), cite(rules_control.admitted_A)
    made = [
        ("All on at once", control.free_largest_A, "the upper limit; hardly ever comes", "", OUR_OWN),
        ("Load by the code", code[0], "sizes the service: the only one that a permit accepts", "", code[1]),
        ("Exact, 99 % of the year", p99, "how high the total is as a rule", "", exact),
        ("Exact, 99.9 % of the year", p999, "how high it is for 9 hours a year", "", exact),
        ("Exact, busiest hour, 99 %", busiest, "the evening or morning peak", "", exact),
        ("Exact, 99 %, with control", control.p99_A, "the same house, with interlock and set point", "", limited_by),
        ("Normal sum, 99 %", rules_methods.normal_demand(groups), "many small loads; too low for few large ones",
         "loads of one household taken as independent", cite(rules_methods.normal_demand)),
        ("Hunter's rule, loads alike", rules_methods.alike_demand(groups), "many loads of one sort",
         "mean share and mean current of all", cite(rules_methods.alike_demand)),
    ]  # fmt: skip
    if largest_A(loads) < control.free_largest_A:
        one = ("All on, one of each interlock", largest_A(loads), "the upper limit with interlocks", "", OUR_OWN)
        made.insert(1, one)
    return tuple(CurrentMethod(method=n, current_A=a, use=u, remark=r, citation=c) for n, a, u, r, c in made)
