"""Published load calculations as a whole sheet: every line in order, so that no line is missing and none is added."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hpelec.core.findings import Verdict
from hpelec.house.model import House
from hpelec.house.sections_power import Building, EnergyManagement, Measured
from hpelec.steps.loads import rules, rules_cooking, rules_more
from hpelec.steps.loads.design import design
from hpelec.steps.loads.model import LoadLine, LoadsResult, MethodResult
from tests.adapters_loads import house, method


def estate(
    *,
    buildings: list[dict[str, Any]] | None = None,
    managements: list[dict[str, Any]] | None = None,
    measured: dict[str, Any] | None = None,
    existing_service_A: float | None = None,
    **parts: Any,
) -> House:
    """A house with what stands beside it: other buildings, set points, a record."""
    made = house(**parts)
    return made.changed(
        buildings=tuple(Building(**{"name": row["id"], **row}) for row in buildings or []),
        energy_managements=tuple(EnergyManagement(**row) for row in managements or []),
        measured=Measured(**(measured or {})),
        service_site=replace(made.service_site, existing_service_A=existing_service_A),
    )


def _pairs(lines: tuple[LoadLine, ...], what: str) -> list[list[Any]]:
    return [[e.id, getattr(e, what)] for e in lines if getattr(e, what)]


def _sheet(made: MethodResult, result: LoadsResult) -> dict[str, Any]:
    parts = {line.what: line.value for line in result.working}
    names = ("lighting and general-use receptacles", "small-appliance circuits", "laundry circuits")
    return {
        "block": [parts[f"standard: {name}"] for name in names if parts[f"standard: {name}"]],
        "connected": _pairs(made.lines, "connected_VA"),
        "lines": _pairs(made.lines, "demand_VA"),
        "total_VA": made.demand_VA,
        "total_A": made.demand_A,
        "rounded_A": made.rounded_A,
        "managed_A": made.managed_A,
        "applies": made.applies,
        "why": made.why,
        "neutral": _pairs(method(result, "standard").lines, "neutral_VA"),
        "neutral_VA": result.neutral_VA,
        "neutral_A": result.neutral_A,
        "neutral_rounded_A": rules.rounded_A(result.neutral_A),
        "chosen": result.chosen,
        "findings": sorted({f.id for f in result.findings if f.verdict is not Verdict.MEETS}),
    }


def sheet(edition: int, name: str, **parts: Any) -> dict[str, Any]:
    """One method: the block's parts, every connected load and every demand in order, totals, neutral."""
    result = design(estate(**parts), edition)
    return _sheet(method(result, name), result)


def feeder(edition: int, building: str, **parts: Any) -> dict[str, Any]:
    """The feeder of another building, line by line, and what the service counts for it by every method."""
    result = design(estate(**parts), edition)
    made = next(b for b in result.buildings if b.id == building)
    counted = {m.method: [e.demand_VA for e in m.lines if e.id == building] for m in result.methods if m.applies}
    return {
        "lines": _pairs(made.lines, "demand_VA"),
        "connected": _pairs(made.lines, "connected_VA"),
        "total_VA": made.demand_VA,
        "total_A": made.demand_A,
        "neutral_VA": made.neutral_VA,
        "neutral_A": made.neutral_A,
        "feeder_least_A": made.feeder_least_A,
        "disconnect_least_A": made.disconnect_least_A,
        "chosen": made.chosen,
        "at_the_service": counted,
    }


def alike(count: int, **unit: Any) -> list[dict[str, Any]]:
    """Second dwellings that are all alike."""
    return [{"id": f"unit{i:02d}", "kind": "second_dwelling", **unit} for i in range(1, count + 1)]


def apartments(
    edition: int, name: str, units: int, ranges: int, floor_area_ft2: float, rows: list[dict[str, Any]], range_VA: float
) -> dict[str, Any]:
    """Apartments alike on one feeder, the first of them as the house: totals by category.

    rows: the further appliances of each; ranges: how many of the units have one, by one row.
    """
    ids = ["", *(f"unit{i:02d}" for i in range(1, units))]
    appliances = [
        {**row, "id": f"{row['kind']}-{n}", "building": unit} for n, unit in enumerate(ids) for row in rows
    ] + [
        {"id": f"range-{n}", "kind": "range", "power_VA": range_VA, "building": unit}
        for n, unit in enumerate(ids[:ranges])
    ]
    of = estate(
        floor_area_ft2=floor_area_ft2,
        laundry_circuits=0,
        appliances=appliances,
        buildings=alike(units - 1, floor_area_ft2=floor_area_ft2, laundry_circuits=0),
    )
    result = design(of, edition)
    made = method(result, name)
    sums: dict[str, float] = {}
    for line in made.lines:
        sums[line.category] = sums.get(line.category, 0.0) + line.demand_VA
    neutral_A = rules.rounded_A(rules.service_A(result.neutral_VA, 240))
    return {
        "applies": made.applies,
        "lighting_VA": sums.get("lighting", 0.0),
        "range_VA": sums.get("cooking", 0.0),
        "factor": next((e.factor for e in made.lines if e.id == "dwellings"), None),
        "connected_VA": made.connected_VA,
        "total_VA": made.demand_VA,
        "rounded_A": made.rounded_A,
        "neutral_VA": result.neutral_VA,
        "neutral_A": result.neutral_A,
        "neutral_rounded_A": neutral_A,
        "neutral_reduced_A": rules.rounded_A(rules.neutral_over_200_A(neutral_A, edition)),
    }


def finding(edition: int, id_: str, **parts: Any) -> dict[str, Any]:
    """One finding of a house."""
    found = [f for f in design(estate(**parts), edition).findings if f.id == id_]
    assert len(found) == 1, f"{len(found)} findings {id_}"
    return {"got": found[0].got, "verdict": found[0].verdict.value}


def kitchen(cooktop_kW: float, ovens_kW: list[float], voltage_V: float) -> dict[str, float]:
    """A cooktop and wall ovens on one branch circuit: as one range of the table."""
    sum_kW = rules_more.cooktop_with_ovens_kW(cooktop_kW, tuple(ovens_kW))
    branch_kW = rules_cooking.cooking_kW([sum_kW], rules_cooking.cooking_column(sum_kW))
    return {"sum_kW": sum_kW, "branch_kW": branch_kW, "branch_A": rules.service_A(1000 * branch_kW, voltage_V)}


def words(**record: Any) -> str:
    """Why a record is refused; "" where it is not."""
    return rules_more.record_refused(record.pop("period_days"), record.pop("interval_min"), **record)


def refused(cases: list[dict[str, Any]]) -> list[bool]:
    """Whether each of several records is refused."""
    return [bool(words(**case)) for case in cases]


def each_disconnect(cases: list[list[Any]]) -> list[float]:
    """Smallest disconnect for pairs of (whether a dwelling, circuits)."""
    return [rules_more.building_disconnect_A(dwelling, circuits) for dwelling, circuits in cases]


def each_share(units: list[int]) -> list[float]:
    """Table factor for several numbers of dwellings."""
    return [rules_more.dwellings_percent(count) for count in units]
