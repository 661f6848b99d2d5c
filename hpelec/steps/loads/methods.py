"""What the methods have in common: which apply and why, their titles, their amperes, their results."""

from __future__ import annotations

from hpelec.common.rules_set_points import rating_with_set_point_A
from hpelec.core.working import Line, line, show_number
from hpelec.house.sections_power import ServiceSite
from hpelec.steps.loads import rules, rules_optional
from hpelec.steps.loads.model import MethodResult
from hpelec.steps.loads.sheet import Sheet, cited

WYE_V = 208.0


def system(voltage_V: float) -> str:
    """The supply as people write it."""
    return "208Y/120 V" if voltage_V == WYE_V else f"{voltage_V / 2:g}/{voltage_V:g} V"


def optional_applies(site: ServiceSite, dwellings: int) -> tuple[bool, str]:
    """Whether the optional method for one dwelling may be used on the service, and why."""
    top_A, name = max(site.offered_A), system(site.voltage_V)
    if dwellings > 1:
        return False, f"for one dwelling only; {dwellings} are on this service"
    if rules_optional.optional_permitted(site.voltage_V, top_A):
        return True, f"one dwelling on one three-wire {name} service; the service must be 100 A or more"
    return False, f"needs a three-wire 120/240 V or 208Y/120 V service of 100 A or more; here {name}, {top_A:g} A"


def existing_applies(project: str, edition: int, dwellings: int) -> tuple[bool, str]:
    """Whether the method for an existing dwelling may be used, and why."""
    if project != "existing":
        return False, "for an existing dwelling only; this one is new"
    if dwellings > 1:
        return False, f"for one dwelling only; {dwellings} are on this service"
    if edition not in rules_optional.EXISTING_EDITIONS:
        return False, f"the {edition} text (one table without a split for heating and cooling) was not seen"
    return True, "existing dwelling: tells whether the service that stands can carry the load, old and new"


def by_legs(sheet: Sheet, voltage_V: float) -> bool:
    """Whether line-to-neutral load can be told apart, as the wye formula needs; the pools mix it."""
    return voltage_V == WYE_V and sheet.method == "standard"


def between_lines_VA(sheet: Sheet) -> float:
    """Load connected from line to line [VA]; the sums of a sheet may differ by rounding of floats only."""
    return sum(e.demand_VA for e in sheet.lines) - sheet.line_to_neutral_VA


def demand_A(sheet: Sheet, voltage_V: float) -> float:
    """Amperes of a sheet's load."""
    if by_legs(sheet, voltage_V):
        return rules.two_leg_wye_A(sheet.line_to_neutral_VA, max(between_lines_VA(sheet), 0.0))
    return rules.service_A(sheet.demand_VA, voltage_V)


def managed_A(sheet: Sheet, voltage_V: float) -> float:
    """Amperes of a sheet's load that are a set point, which is continuous."""
    return min(sheet.managed_A, demand_A(sheet, voltage_V))


def needed_A(load_A: float, managed_A: float) -> float:
    """Amperes that a rating must carry: the load, with the set points in it at 125 percent."""
    return rating_with_set_point_A(load_A, managed_A) if managed_A else load_A


def rated_VA(demand_VA: float, load_A: float, managed_A: float) -> float:
    """The load as a rating sees it, set points at 125 percent [VA]: what methods are compared by."""
    return demand_VA * needed_A(load_A, managed_A) / load_A if managed_A else demand_VA


def neutral_A(sheet: Sheet, voltage_V: float, edition: int) -> float:
    """Amperes of a sheet's neutral load after its reductions."""
    if voltage_V == WYE_V:
        return rules.two_leg_wye_A(max(sheet.neutral_VA - sheet.neutral_of_240_VA, 0.0), sheet.neutral_of_240_VA)
    return rules.neutral_over_200_A(rules.service_A(sheet.neutral_VA, voltage_V), edition)


def method_result(
    name: str, sheet: Sheet | None, reason: tuple[bool, str], title: str, voltage_V: float
) -> MethodResult:
    """One method as the result shows it."""
    applies, why = reason
    if sheet is None:
        return MethodResult(method=name, title=title, applies=applies, why=why)
    amperes = demand_A(sheet, voltage_V)
    return MethodResult(
        method=name,
        title=title,
        applies=applies,
        why=why,
        lines=tuple(sheet.lines),
        connected_VA=sheet.connected_VA,
        demand_VA=sheet.demand_VA,
        demand_A=amperes,
        rounded_A=rules.rounded_A(amperes),
        managed_A=managed_A(sheet, voltage_V),
        season=sheet.season,
    )


def choose(methods: tuple[MethodResult, ...], wanted: str) -> MethodResult:
    """The method asked for where it applies, else the one that asks for the least rating (the first of equals)."""
    applying = [m for m in methods if m.applies]
    asked = [m for m in applying if m.method == wanted]
    return asked[0] if asked else min(applying, key=lambda m: rated_VA(m.demand_VA, m.demand_A, m.managed_A))


def method_working(method: MethodResult, sheet: Sheet, edition: int, voltage_V: float, place: str = "") -> list[Line]:
    """The working of one method, its amperes, and the whole amperes beside them."""
    before = f"{place}, " if place else ""
    lines = [Line(before + e.what, e.expression, e.value, e.unit, e.citation) for e in sheet.working()]
    if by_legs(sheet, voltage_V):
        between_VA = between_lines_VA(sheet)
        text = f"{show_number(sheet.line_to_neutral_VA)} / 240 V + {show_number(between_VA)} / 208 V"
        cited_by = cited(rules.two_leg_wye_A, edition)
    else:
        text = f"{show_number(method.demand_VA)} / {voltage_V:g} V"
        cited_by = cited(rules.service_A, edition)
    lines.append(line(f"{before}{method.method}: amperes", text, method.demand_A, "A", cited_by))
    lines.append(
        line(
            f"{before}{method.method}: amperes as the code lets them be rounded",
            f"nearest whole ampere of {method.demand_A:.2f}",
            method.rounded_A,
            "A",
            rules.rounded_A,
            edition,
        )
    )
    return lines


def neutral_working(sheet: Sheet, amperes: float, edition: int, voltage_V: float, place: str = "") -> list[Line]:
    """The working of a neutral."""
    before = f"{place}, " if place else ""
    parts = " + ".join(show_number(e.neutral_VA) for e in sheet.lines if e.neutral_VA)
    by = rules.neutral_of_cooking_or_dryer_VA
    lines = [line(f"{before}neutral: largest unbalanced load", parts or "0", sheet.neutral_VA, "VA", by, edition)]
    if voltage_V == WYE_V:
        text = (
            f"{show_number(sheet.neutral_VA - sheet.neutral_of_240_VA)} / 240 V"
            f" + {show_number(sheet.neutral_of_240_VA)} / 208 V, without reductions"
        )
        return [*lines, line(f"{before}neutral: amperes", text, amperes, "A", rules.two_leg_wye_A, edition)]
    full_A = rules.service_A(sheet.neutral_VA, voltage_V)
    text = f"{show_number(sheet.neutral_VA)} / {voltage_V:g} V"
    lines.append(line(f"{before}neutral: amperes", text, full_A, "A", rules.service_A, edition))
    if full_A > amperes:
        text = f"200 + 0.7 x ({full_A:.2f} - 200)"
        by_200 = rules.neutral_over_200_A
        lines.append(line(f"{before}neutral: amperes after reduction", text, amperes, "A", by_200, edition))
    return lines
