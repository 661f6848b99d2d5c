"""Step loads: every method of load calculation for one house, and the one that sets the service."""

from __future__ import annotations

from hpelec.core.editions import PROVISIONAL, check_edition
from hpelec.core.findings import Assumption
from hpelec.core.working import Line, line, show_number
from hpelec.house.model import House
from hpelec.house.sections import General, ServiceSite
from hpelec.steps.loads import rules, rules_optional
from hpelec.steps.loads.amps import equipment_amps
from hpelec.steps.loads.gather import HVAC, Load, gather
from hpelec.steps.loads.model import LoadsResult, MethodResult
from hpelec.steps.loads.notes import Worked, findings
from hpelec.steps.loads.pooled import existing, optional
from hpelec.steps.loads.reality import check_reality
from hpelec.steps.loads.sheet import Case, Sheet, Writer, cited, largest
from hpelec.steps.loads.standard import standard

WRITERS: dict[str, Writer] = {"standard": standard, "optional": optional, "existing": existing}
WYE_V = 208.0


def design(house: House, edition: int) -> LoadsResult:
    """Calculate the load by every method that applies, its neutral, and choose the one that sets the service."""
    check_edition(edition)
    general, site = house.general, house.service_site
    loads = gather(house, edition)
    case = Case(general, edition, site.voltage_V == WYE_V)
    reasons = {
        "standard": (True, "applies to every dwelling"),
        "optional": _optional_applies(site),
        "existing": _existing_applies(general, edition),
    }
    sheets: dict[str, Sheet] = {}
    tried: dict[str, list[Sheet]] = {}
    for name, (applies, _) in reasons.items():
        if applies:
            sheets[name], tried[name] = largest(WRITERS[name], case, loads)
    neutral_sheet = max(tried["standard"], key=lambda sheet: sheet.neutral_VA)
    methods = tuple(
        _method(name, sheets.get(name), reasons[name], _title(name, loads, edition), site.voltage_V) for name in WRITERS
    )
    chosen = _choose(methods, general.load_method)
    neutral_A = _neutral_A(neutral_sheet, site.voltage_V, edition)
    worked = Worked(case, loads, sheets, WRITERS, chosen, general.load_method, site.voltage_V, neutral_A)
    amps = equipment_amps(house, edition)
    real = check_reality(general, chosen.demand_VA, chosen.demand_A, edition)
    return LoadsResult(
        edition=edition,
        working=(
            *_working(methods, sheets, edition, site.voltage_V),
            *_neutral_working(neutral_sheet, neutral_A, worked),
            *amps.working,
            *real.working,
        ),
        findings=(*findings(worked), *amps.findings, *real.findings),
        assumptions=_assumptions(loads),
        voltage_V=site.voltage_V,
        methods=methods,
        chosen=chosen.method,
        lines=chosen.lines,
        design_VA=chosen.demand_VA,
        design_A=chosen.demand_A,
        neutral_VA=neutral_sheet.neutral_VA,
        neutral_A=neutral_A,
        provisional=edition in PROVISIONAL,
        amps=amps.rows,
        reality=real.reality,
    )


def _optional_applies(site: ServiceSite) -> tuple[bool, str]:
    top_A = max(site.offered_A)
    system = "208Y/120 V" if site.voltage_V == WYE_V else f"{site.voltage_V / 2:g}/{site.voltage_V:g} V"
    if rules_optional.optional_permitted(site.voltage_V, top_A):
        return True, f"one dwelling on one three-wire {system} service; the service must be 100 A or more"
    return False, f"needs a three-wire 120/240 V or 208Y/120 V service of 100 A or more; here {system}, {top_A:g} A"


def _existing_applies(general: General, edition: int) -> tuple[bool, str]:
    if general.project != "existing":
        return False, "for an existing dwelling only; this one is new"
    if edition not in rules_optional.EXISTING_EDITIONS:
        return False, f"the {edition} text (one table without a split for heating and cooling) was not seen"
    return True, "existing dwelling: tells whether the service that stands can carry the load, old and new"


def _title(name: str, loads: tuple[Load, ...], edition: int) -> str:
    article = 120 if edition >= 2026 else 220
    if name == "standard":
        return f"standard method, Article {article} Part III"
    if name == "optional":
        return f"optional method for one dwelling, {article}.82"
    part = "" if edition >= 2026 else "(B)" if any(load.category == HVAC and load.added for load in loads) else "(A)"
    return f"existing dwelling, {article}.83{part}"


def _method(name: str, sheet: Sheet | None, reason: tuple[bool, str], title: str, voltage_V: float) -> MethodResult:
    applies, why = reason
    if sheet is None:
        return MethodResult(method=name, title=title, applies=applies, why=why)
    return MethodResult(
        method=name,
        title=title,
        applies=applies,
        why=why,
        lines=tuple(sheet.lines),
        connected_VA=sheet.connected_VA,
        demand_VA=sheet.demand_VA,
        demand_A=_demand_A(sheet, voltage_V),
        season=sheet.season,
    )


def _by_legs(sheet: Sheet, voltage_V: float) -> bool:
    """Whether line-to-neutral load can be told apart, as the wye formula needs; the pools mix it."""
    return voltage_V == WYE_V and sheet.method == "standard"


def _demand_A(sheet: Sheet, voltage_V: float) -> float:
    if _by_legs(sheet, voltage_V):
        return rules.two_leg_wye_A(sheet.line_to_neutral_VA, _between_lines_VA(sheet))
    return rules.service_A(sheet.demand_VA, voltage_V)


def _between_lines_VA(sheet: Sheet) -> float:
    """Load connected from line to line [VA]; the sums of a sheet may differ by rounding of floats only."""
    return sum(e.demand_VA for e in sheet.lines) - sheet.line_to_neutral_VA


def _neutral_A(sheet: Sheet, voltage_V: float, edition: int) -> float:
    if voltage_V == WYE_V:
        return rules.two_leg_wye_A(sheet.neutral_VA - sheet.neutral_of_240_VA, sheet.neutral_of_240_VA)
    return rules.neutral_over_200_A(rules.service_A(sheet.neutral_VA, voltage_V), edition)


def _choose(methods: tuple[MethodResult, ...], wanted: str) -> MethodResult:
    """The method asked for where it applies, else the lowest of those that apply (the first of equals)."""
    applying = [m for m in methods if m.applies]
    asked = [m for m in applying if m.method == wanted]
    return asked[0] if asked else min(applying, key=lambda m: m.demand_VA)


def _working(methods: tuple[MethodResult, ...], sheets: dict[str, Sheet], edition: int, voltage_V: float) -> list[Line]:
    lines: list[Line] = []
    for method in methods:
        if not method.applies:
            continue
        sheet = sheets[method.method]
        lines += sheet.working()
        load = show_number(method.demand_VA)
        if _by_legs(sheet, voltage_V):
            between_VA = _between_lines_VA(sheet)
            text = f"{show_number(sheet.line_to_neutral_VA)} / 240 V + {show_number(between_VA)} / 208 V"
            cited_by = cited(rules.two_leg_wye_A, edition)
        else:
            text, cited_by = f"{load} / {voltage_V:g} V", cited(rules.service_A, edition)
        lines.append(line(f"{method.method}: amperes", text, method.demand_A, "A", cited_by))
        lines.append(
            line(
                f"{method.method}: amperes as the code lets them be rounded",
                f"nearest whole ampere of {method.demand_A:.2f}",
                rules.rounded_A(method.demand_A),
                "A",
                rules.rounded_A,
                edition,
            )
        )
    return lines


def _neutral_working(sheet: Sheet, neutral_A: float, worked: Worked) -> list[Line]:
    edition, voltage_V = worked.edition, worked.voltage_V
    parts = " + ".join(show_number(e.neutral_VA) for e in sheet.lines if e.neutral_VA)
    by = rules.neutral_of_cooking_or_dryer_VA
    lines = [line("neutral: largest unbalanced load", parts or "0", sheet.neutral_VA, "VA", by, edition)]
    if voltage_V == WYE_V:
        text = (
            f"{show_number(sheet.neutral_VA - sheet.neutral_of_240_VA)} / 240 V"
            f" + {show_number(sheet.neutral_of_240_VA)} / 208 V, without reductions"
        )
        return [*lines, line("neutral: amperes", text, neutral_A, "A", rules.two_leg_wye_A, edition)]
    before_A = rules.service_A(sheet.neutral_VA, voltage_V)
    text = f"{show_number(sheet.neutral_VA)} / {voltage_V:g} V"
    lines.append(line("neutral: amperes", text, before_A, "A", rules.service_A, edition))
    if before_A > neutral_A:
        text = f"200 + 0.7 x ({before_A:.2f} - 200)"
        lines.append(line("neutral: amperes after reduction", text, neutral_A, "A", rules.neutral_over_200_A, edition))
    return lines


def _assumptions(loads: tuple[Load, ...]) -> tuple[Assumption, ...]:
    made = [
        Assumption(
            "loads, amperes",
            "nominal service voltage, and no rounding in the results",
            "the code lets whole amperes be used; the working shows them",
        )
    ]
    if sum(load.line_to_neutral for load in loads) > 1:
        made.append(
            Assumption(
                "loads, neutral",
                "all 120 V appliances on the same side",
                "the sides are known once circuits are balanced; this is the largest neutral load",
            )
        )
    made += [
        Assumption(f"loads, {load.id}", f"{show_number(load.each_VA)} VA each", f"from {load.source}")
        for load in loads
        if load.known and load.source.endswith("430.248")
    ]
    return tuple(made)
