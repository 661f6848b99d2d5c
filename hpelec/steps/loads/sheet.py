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
from hpelec.steps.loads import rules, rules_appliances, rules_optional
from hpelec.steps.loads.gather import COVERED, HVAC, OTHER, SEASONS, VEHICLE, Load, Scenario, scenarios
from hpelec.steps.loads.model import LoadLine

LIGHTING, MOTOR = "lighting", "motor"

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
        remark: str = "",
    ) -> None:
        """Write a line; neutral_VA: of a load between lines; one to neutral puts its whole demand on it."""
        on_neutral_VA = neutral_VA if neutral_VA is not None else demand_VA if line_to_neutral else 0.0
        line_to_neutral_VA = demand_VA if line_to_neutral else 0.0
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
        self.neutral_of_240_VA += 0.0 if line_to_neutral else on_neutral_VA

    def note(self, what: str, expression: str, value_VA: float, by: Callable[..., Any]) -> None:
        """Write a line of working that is no line of the calculation."""
        self.work.append(Line(f"{self.method}: {what}", expression, value_VA, "VA", cited(by, self.edition)))

    def working(self) -> list[Line]:
        """The working of every line, and their sum."""
        parts = " + ".join(show_number(e.demand_VA) for e in self.lines if e.demand_VA)
        return [*self.work, Line(f"{self.method}: calculated load", parts or "0", self.demand_VA, "VA")]


@dataclass(frozen=True, slots=True)
class Case:
    """What every sheet of a house shares. wye: two legs of a 208Y/120 V system, whose neutral is not reduced."""

    general: General
    edition: int
    wye: bool


Writer = Callable[[Case, Scenario, str], Sheet]


def largest(write: Writer, case: Case, loads: tuple[Load, ...]) -> tuple[Sheet, list[Sheet]]:
    """The sheet that counts over seasons and interlock choices, and all of them."""
    sheets = [write(case, chosen, season) for chosen in scenarios(loads) for season in SEASONS]
    return sheets[rules.noncoincident([sheet.demand_VA for sheet in sheets])], sheets


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
    """Lighting, small-appliance and laundry load: (id, what, VA, expression, rule)."""
    general, edition = case.general, case.edition
    small, laundry = general.small_appliance_circuits, general.laundry_circuits
    area = f"{show_number(general.floor_area_ft2)} ft2"
    unit = f"{rules.parameter('dwelling_unit_load_feeder_service', edition):g} VA/ft2"
    area_VA = rules.general_lighting_VA(general.floor_area_ft2, edition)
    small_VA, laundry_VA = rules.small_appliance_VA(small, edition), rules.laundry_VA(laundry, edition)
    each_small, each_laundry = (
        show_number(rules.parameter(f"{name}_circuit", edition)) for name in ("small_appliance", "laundry")
    )
    return [
        ("lighting", "lighting and general-use receptacles", area_VA, f"{area} x {unit}", rules.general_lighting_VA),
        ("small-appliance", "small-appliance circuits", small_VA, f"{small} x {each_small}", rules.small_appliance_VA),
        ("laundry", "laundry circuits", laundry_VA, f"{laundry} x {each_laundry}", rules.laundry_VA),
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
