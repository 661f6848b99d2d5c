"""A sheet of paper for one load calculation: its lines, its working and their sums; what all methods share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from hpelec.core.citing import Citation, cite, weakest
from hpelec.core.editions import PROVISIONAL
from hpelec.core.working import Line, show_number
from hpelec.house.sections import General
from hpelec.steps.loads import rules, rules_appliances, rules_more, rules_optional
from hpelec.steps.loads.gather import (
    COOKING,
    COVERED,
    DRYER,
    HVAC,
    OTHER,
    SEASONS,
    VEHICLE,
    Limit,
    Load,
    Scenario,
    governed,
    scenarios,
    within,
)
from hpelec.steps.loads.model import LoadLine

LIGHTING, MOTOR, BUILDING, MANAGED = "lighting", "motor", "other buildings", "energy management"

NEUTRAL_TOO = (COOKING, DRYER)
"""Categories whose 240 V appliances load the neutral as well."""
SEEN_IN_SUMMARIES = frozenset(
    (rules.general_lighting_VA, rules.neutral_of_cooking_or_dryer_VA, rules_optional.optional_general_VA)
)
"""Rules whose values in a provisional edition stood in a published summary of its changes."""


@lru_cache(maxsize=512)
def cited(function: Callable[..., Any], edition: int) -> Citation:
    """Citation of a rule; `memory` in an edition of which its text was not seen."""
    citation = cite(function, edition)
    if edition in PROVISIONAL and function not in SEEN_IN_SUMMARIES:
        return replace(citation, accuracy=weakest((citation.accuracy, "memory")))
    return citation


@dataclass
class Sheet:
    """Lines of one method in one season; `add` writes a line and keeps the sums, `note` writes working only."""

    method: str
    season: str
    edition: int
    running: tuple[Load, ...]
    lines: list[LoadLine] = field(default_factory=list)
    work: list[Line] = field(default_factory=list)
    connected_VA: float = 0.0
    demand_VA: float = 0.0
    neutral_VA: float = 0.0
    line_to_neutral_VA: float = 0.0
    neutral_of_240_VA: float = 0.0
    pool_VA: float = 0.0
    managed_A: float = 0.0
    """Set points within the sum, which are continuous."""
    units_VA: tuple[float, ...] = ()
    """Connected load of each dwelling, where the method counts by dwellings."""

    def add(
        self,
        id_: str,
        what: str,
        category: str,
        *,
        connected_VA: float,
        demand_VA: float,
        by: Callable[..., Any],
        expression: str = "",
        factor: float | None = None,
        line_to_neutral: bool = False,
        neutral_VA: float | None = None,
        mixed: tuple[float, float] | None = None,
        remark: str = "",
    ) -> None:
        """Write a line; neutral_VA: of a load between lines; one to neutral puts its whole demand on it.

        mixed: of a line that holds both kinds, its demand to neutral and what its 240 V part puts on the neutral.
        """
        on_neutral_VA = neutral_VA if neutral_VA is not None else demand_VA if line_to_neutral else 0.0
        line_to_neutral_VA = demand_VA if line_to_neutral else 0.0
        of_240_VA = 0.0 if line_to_neutral else on_neutral_VA
        if mixed is not None:
            line_to_neutral_VA, of_240_VA = mixed
        self.lines.append(
            LoadLine(
                method=self.method,
                id=id_,
                what=what,
                category=category,
                connected_VA=connected_VA,
                factor=factor,
                demand_VA=demand_VA,
                neutral_VA=on_neutral_VA,
                remark=remark,
                citation=cited(by, self.edition),
            )
        )
        if expression:
            self.note(what, expression, demand_VA, by)
        self.connected_VA += connected_VA
        self.demand_VA += demand_VA
        self.neutral_VA += on_neutral_VA
        self.line_to_neutral_VA += line_to_neutral_VA
        self.neutral_of_240_VA += of_240_VA

    def note(self, what: str, expression: str, value_VA: float, by: Callable[..., Any]) -> None:
        """Write a line of working that is no line of the calculation."""
        self.work.append(Line(f"{self.method}: {what}", expression, value_VA, "VA", cited(by, self.edition)))

    def working(self) -> list[Line]:
        """The working of every line, and their sum."""
        parts = " + ".join(show_number(e.demand_VA) for e in self.lines if e.demand_VA)
        return [*self.work, Line(f"{self.method}: calculated load", parts or "0", self.demand_VA, "VA")]


@dataclass(frozen=True, slots=True)
class Fed:
    """The calculated load of another building as the service that feeds it counts it [VA]."""

    id: str
    name: str
    connected_VA: float
    demand_VA: float
    neutral_VA: float
    line_to_neutral_VA: float
    neutral_of_240_VA: float


@dataclass(frozen=True, slots=True)
class Case:
    """What every sheet of one service or feeder shares.

    wye: two legs of a 208Y/120 V system, whose neutral is not reduced. others: the further dwellings on it. fed:
    other buildings, each with its own calculated load. limits: set points that stand for the loads they limit.
    yokes, lighting_VA: of a building that is no dwelling, else None and 0.
    """

    general: General
    edition: int
    wye: bool
    others: tuple[General, ...] = ()
    fed: tuple[Fed, ...] = ()
    limits: tuple[Limit, ...] = ()
    yokes: int | None = None
    lighting_VA: float = 0.0


Writer = Callable[[Case, Scenario, str], Sheet]


def largest(write: Writer, case: Case, loads: tuple[Load, ...]) -> tuple[Sheet, list[Sheet]]:
    """The sheet that counts over seasons and interlock choices, and all of them."""
    groups = tuple(limit for limit in case.limits if not limit.whole)
    sheets = []
    for chosen in scenarios(loads):
        free = within(chosen, groups)
        for season in SEASONS:
            sheet = write(case, free, season)
            for limit in (limit for limit in case.limits if limit.whole):
                rest = tuple(load for load in free.running if not governed(load, limit))
                rest_VA = write(case, replace(free, running=rest), season).demand_VA
                sheet = _held(sheet, limit, rules_more.held_load_VA(limit.set_VA, rest_VA, limit.least_VA))
            sheets.append(sheet)
    return sheets[rules.noncoincident([sheet.demand_VA for sheet in sheets])], sheets


def _held(sheet: Sheet, limit: Limit, held_VA: float) -> Sheet:
    """The same lines without demand of their own, and what the set point holds the whole service to instead."""
    if held_VA >= sheet.demand_VA:
        return sheet
    made = Sheet(sheet.method, sheet.season, sheet.edition, sheet.running, work=list(sheet.work))
    made.lines = [replace(e, demand_VA=0.0, neutral_VA=0.0, remark=_joined(e.remark, _by(limit))) for e in sheet.lines]
    made.connected_VA, made.pool_VA = sheet.connected_VA, sheet.pool_VA
    made.managed_A = limit.set_A * held_VA / limit.set_VA
    _limit_line(made, limit, held_VA, min(sheet.neutral_VA, held_VA))
    return made


def _joined(*remarks: str) -> str:
    return "; ".join(r for r in remarks if r)


def _by(limit: Limit) -> str:
    return f"within the set point of {limit.id}"


def _limit_line(sheet: Sheet, limit: Limit, demand_VA: float, neutral_VA: float) -> None:
    less, more = demand_VA < limit.set_VA, demand_VA > limit.set_VA
    remark = "continuous: sized at 125 percent"
    if less:
        remark = "the loads it limits are together less than its set point"
    if more:
        remark = "what it does not govern is more than its set point"
    sheet.add(
        f"set-point-{limit.id}",
        f"set point of {limit.id}",
        MANAGED,
        connected_VA=0.0,
        demand_VA=demand_VA,
        by=rules_more.set_point_VA,
        expression=f"{'less than ' if less else 'more than ' if more else ''}{limit.set_A:g} A x "
        f"{limit.set_VA / limit.set_A:g} V",
        neutral_VA=neutral_VA,
        remark=remark,
    )


def limit_lines(sheet: Sheet, chosen: Scenario) -> None:
    """A line for each set point, and lines without demand for the loads within it."""
    for limit, loads in chosen.limited:
        mine = [load for load in loads if load.runs_in(sheet.season)]
        each_VA = {(e.id, e.kind): row_VA(e, sheet.edition) for e in mine}
        demand_VA = min(limit.set_VA, sum(each_VA.values()))
        to_neutral_VA = sum(each_VA[e.id, e.kind] for e in mine if e.line_to_neutral or e.category in NEUTRAL_TOO)
        for load in loads:
            sheet.add(
                load.id,
                load.name,
                load.category,
                connected_VA=load.total_VA,
                demand_VA=0.0,
                by=rules_more.set_point_VA,
                remark=remark_of(load, _by(limit)),
            )
        if demand_VA:
            sheet.managed_A += limit.set_A * demand_VA / limit.set_VA
            _limit_line(sheet, limit, demand_VA, min(to_neutral_VA, demand_VA))


def fed_lines(sheet: Sheet, case: Case) -> None:
    """A line for each other building: the load calculated for its feeder, in full and once."""
    for fed in case.fed:
        sheet.add(
            fed.id,
            f"feeder to {fed.name}",
            BUILDING,
            connected_VA=fed.connected_VA,
            factor=1.0,
            demand_VA=fed.demand_VA,
            by=rules_appliances.connected_VA,
            expression=f"{show_number(fed.demand_VA)} x 1",
            neutral_VA=fed.neutral_VA,
            mixed=(fed.line_to_neutral_VA, fed.neutral_of_240_VA),
            remark="its own calculated load, with its own addition for the largest motor",
        )


def row_VA(load: Load, edition: int) -> float:
    """What one row brings [VA]: its nameplate, a charger by its own rule."""
    return charger_VA(load, edition) * load.quantity if load.category == VEHICLE else load.total_VA


def charger_VA(load: Load, edition: int) -> float:
    """Load of one vehicle charger [VA]; 0 where neither a nameplate nor a rule gives one."""
    if load.known:
        return rules_appliances.vehicle_charger_VA(load.each_VA, edition)
    return rules_appliances.vehicle_charger_VA(None, edition) if edition >= 2023 else 0.0


def times(each_VA: float, quantity: int) -> str:
    """A load as an expression: `4,500`, or `2 x 4,500`."""
    each = show_number(each_VA)
    return each if quantity == 1 else f"{quantity} x {each}"


def remark_of(load: Load, *more: str) -> str:
    """What a reader should know about a load, as one text."""
    source = "LOAD NOT KNOWN" if not load.known else "" if load.source == "nameplate" else load.source
    return "; ".join(r for r in (load.remark, source, *more) if r)


def idle_lines(sheet: Sheet, chosen: Scenario) -> None:
    """Lines of what adds nothing: covered by a circuit's allowance, held off, or of the other season."""

    def idle(load: Load, category: str, connected_VA: float, by: Callable[..., object], remark: str) -> None:
        sheet.add(load.id, load.name, category, connected_VA=connected_VA, demand_VA=0.0, by=by, remark=remark)

    for load in chosen.running:
        if load.category == COVERED:
            by = rules.laundry_VA if load.kind in ("washer", "dryer") else rules.small_appliance_VA
            idle(load, OTHER, 0.0, by, remark_of(load))
        elif not load.runs_in(sheet.season):
            remark = remark_of(load, f"does not run with the {sheet.season}, which is larger")
            idle(load, HVAC, load.total_VA, rules.noncoincident, remark)
    for load in chosen.held_off:
        remark = remark_of(load, f"held off by the interlock {load.interlock}, of which another runs")
        idle(load, load.category, load.total_VA, rules.noncoincident, remark)


def block(case: Case) -> list[tuple[str, str, float, str, Callable[..., object]]]:
    """Lighting, small-appliance and laundry load of every dwelling: (id, what, VA, expression, rule)."""
    edition, units = case.edition, (case.general, *case.others)
    unit = f"{rules.parameter('dwelling_unit_load_feeder_service', edition):g} VA/ft2"
    area_VA = sum(rules.general_lighting_VA(g.floor_area_ft2, edition) for g in units)
    small_VA = sum(rules.small_appliance_VA(g.small_appliance_circuits, edition) for g in units)
    laundry_VA = sum(rules.laundry_VA(g.laundry_circuits, edition) for g in units)
    each_small, each_laundry = (
        show_number(rules.parameter(f"{name}_circuit", edition)) for name in ("small_appliance", "laundry")
    )
    area = " + ".join(f"{show_number(g.floor_area_ft2)} ft2 x {unit}" for g in units)
    small = " + ".join(f"{g.small_appliance_circuits} x {each_small}" for g in units)
    laundry = " + ".join(f"{g.laundry_circuits} x {each_laundry}" for g in units)
    return [
        ("lighting", "lighting and general-use receptacles", area_VA, area, rules.general_lighting_VA),
        ("small-appliance", "small-appliance circuits", small_VA, small, rules.small_appliance_VA),
        ("laundry", "laundry circuits", laundry_VA, laundry, rules.laundry_VA),
    ]


def charger_line(sheet: Sheet, load: Load) -> None:
    """A vehicle charger counted in full."""
    each_VA = charger_VA(load, sheet.edition)
    sheet.add(
        load.id,
        load.name,
        VEHICLE,
        connected_VA=load.total_VA,
        factor=1.0,
        demand_VA=each_VA * load.quantity,
        by=rules_appliances.vehicle_charger_VA,
        expression=f"{times(each_VA, load.quantity)} x 1",
        line_to_neutral=load.line_to_neutral,
        remark=remark_of(load, "taken at 7,200 VA, the least of this edition" if each_VA > load.each_VA else ""),
    )
