"""Published load calculations run through a whole house of ours; each returns its result line by line."""

from __future__ import annotations

from typing import Any

from hpelec.house.model import House
from hpelec.house.rows_loads import Appliance, Heater
from hpelec.house.sections import Envelope, General, Place, Routing, WaterSettings
from hpelec.house.sections_power import ServiceSite
from hpelec.steps.loads import rules, rules_appliances, rules_cooking, rules_optional
from hpelec.steps.loads.design import design
from hpelec.steps.loads.model import LoadsResult, MethodResult


def house(
    floor_area_ft2: float = 1500.0,
    *,
    appliances: list[dict[str, Any]] | None = None,
    heaters: list[dict[str, Any]] | None = None,
    voltage_V: float = 240.0,
    offered_A: tuple[float, ...] = (100.0, 150.0, 200.0, 400.0),
    **general: Any,
) -> House:
    """A house that has only what the load calculation reads."""
    return House(
        general=General(name="check", floor_area_ft2=floor_area_ft2, **general),
        place=Place(
            latitude_deg=45,
            climate_zone="6A",
            mean_air_F=45,
            air_range_dF=50,
            winter_design_F=-10,
            summer_design_F=85,
        ),
        envelope=Envelope(volume_ft3=1e4, area_ft2=5e3, target_limit=1, target_source="check"),
        service_site=ServiceSite(voltage_V=voltage_V, offered_A=offered_A, lateral_length_ft=50),
        water=WaterSettings(),
        routing=Routing(),
        appliances=tuple(appliance(**row) for row in appliances or []),
        heaters=tuple(heater(**row) for row in heaters or []),
        assemblies=(),
        levels=(),
        spaces=(),
        draw_points=(),
        rooms=(),
        openings=(),
        fixed=(),
        placed_devices=(),
        panels=(),
        lights=(),
        fans=(),
        field_notes=(),
    )


def appliance(kind: str, **more: Any) -> Appliance:
    return Appliance(**{"id": kind, "name": kind, "kind": kind, **more})


def heater(power_VA: float, **more: Any) -> Heater:
    row = {"id": "water-heater", "name": "water heater", "kind": "storage", "room": "utility", "power_VA": power_VA}
    return Heater(**{**row, **more})


def method(result: LoadsResult, name: str) -> MethodResult:
    return next(m for m in result.methods if m.method == name)


def by_line(result: LoadsResult, name: str) -> dict[str, Any]:
    """A method as a plain object: demand by line id, connected load by line id, totals, neutral, amperes."""
    made = method(result, name)
    demands = {"demand:" + e.id: e.demand_VA for e in made.lines}
    connected = {"connected:" + e.id: e.connected_VA for e in made.lines}
    return {
        **demands,
        **connected,
        "demand:heating-and-cooling": sum(e.demand_VA for e in made.lines if e.category == "heating and cooling"),
        "demand:fixed": sum(e.demand_VA for e in made.lines if e.category == "fixed appliances"),
        "connected:fixed": sum(e.connected_VA for e in made.lines if e.category == "fixed appliances"),
        "demand:cooking": sum(e.demand_VA for e in made.lines if e.category == "cooking"),
        "connected:general": sum(e.connected_VA for e in made.lines if e.category != "heating and cooling"),
        "demand:general": sum(e.demand_VA for e in made.lines if e.category == "general loads"),
        "applies": made.applies,
        "total_VA": made.demand_VA,
        "total_A": made.demand_A,
        "rounded_A": rules.rounded_A(made.demand_A),
        "neutral_VA": result.neutral_VA,
        "neutral_A": result.neutral_A,
        "neutral_rounded_A": rules.rounded_A(result.neutral_A),
        "chosen": result.chosen,
    }


def whole_house(edition: int, name: str, **parts: Any) -> dict[str, Any]:
    """A house calculated by one method, line by line."""
    return by_line(design(house(**parts), edition), name)


def several_houses(edition: int, name: str, shared: dict[str, Any], cases: list[dict[str, Any]]) -> list[float]:
    """The total of one method for each of several houses [VA]."""
    return [method(design(house(**shared, **case), edition), name).demand_VA for case in cases]


def each(function: str, argument: str, values: list[Any], **fixed: Any) -> list[Any]:
    """A rule applied to each of several values."""
    homes = (rules, rules_appliances, rules_cooking, rules_optional)
    rule = next(getattr(home, function) for home in homes if hasattr(home, function))
    return [rule(**{argument: value}, **fixed) for value in values]


def fixed_demand_VA(appliances_VA: list[float], edition: int, motors_hp: list[float | None] | None = None) -> float:
    """Demand of a group of fixed appliances by the two rules of the clause."""
    motors = motors_hp or [None] * len(appliances_VA)
    group = [rules_appliances.counts_as_fixed(p, hp, edition) for p, hp in zip(appliances_VA, motors, strict=True)]
    factor = rules_appliances.fixed_factor(sum(group), edition)
    return sum(p * (factor if counts else 1.0) for p, counts in zip(appliances_VA, group, strict=True))


def dryers(counts: list[int], nameplate_VA: float) -> dict[str, list[float]]:
    percents = [rules_appliances.dryer_percent(n) for n in counts]
    least_VA = rules_appliances.dryer_VA(nameplate_VA)
    return {"percent": percents, "demand_VA": [n * least_VA * p / 100 for n, p in zip(counts, percents, strict=True)]}


def cooking(ratings_kW: list[float]) -> dict[str, float]:
    """Cooking on a feeder: each column by itself, their sum, and all of them by column C."""
    made: dict[str, float] = {}
    for column in rules_cooking.COLUMNS:
        group = [r for r in ratings_kW if rules_cooking.cooking_column(r) == column]
        made[f"sum_{column}_kW"] = sum(group)
        made[f"demand_{column}_kW"] = rules_cooking.cooking_kW(group, column)
        if column in ("A", "B") and group:
            made[f"share_{column}"] = rules_cooking.small_cooking_kW(group, column) / sum(group)
    made["demand_kW"] = sum(made[f"demand_{column}_kW"] for column in rules_cooking.COLUMNS)
    made["all_by_C_kW"] = rules_cooking.column_C_kW(ratings_kW)
    made["table_C_kW"] = rules_cooking.column_C_kW([12.0] * len(ratings_kW))
    return made


def single_cooking(ratings_kW: list[float]) -> dict[str, list[Any]]:
    columns = [rules_cooking.cooking_column(r) for r in ratings_kW]
    return {
        "column": columns,
        "demand_kW": [rules_cooking.cooking_kW([r], c) for r, c in zip(ratings_kW, columns, strict=True)],
    }


def bank(units: int, connected_VA: float, ranges: int, range_kW: float, edition: int) -> dict[str, float]:
    """Feeder to a bank of apartments by the rules: lighting tiers, ranges, neutral with its steps on whole amperes."""
    lighting_VA = rules.lighting_demand_VA(units * connected_VA)
    range_VA = 1000 * rules_cooking.cooking_kW([range_kW] * ranges, "C")
    neutral_VA = lighting_VA + rules.neutral_of_cooking_or_dryer_VA(range_VA, edition)
    neutral_A = rules.rounded_A(rules.service_A(neutral_VA, 240))
    return {
        "lighting_VA": lighting_VA,
        "range_VA": range_VA,
        "total_VA": lighting_VA + range_VA,
        "total_A": rules.rounded_A(rules.service_A(lighting_VA + range_VA, 240)),
        "neutral_VA": neutral_VA,
        "neutral_A": neutral_A,
        "neutral_reduced_A": rules.rounded_A(rules.neutral_over_200_A(neutral_A, edition)),
    }


def neutral_of_three_phase(lighting_VA: float, ranges: int, edition: int) -> dict[str, float]:
    """Neutral of a main feeder on 208Y/120 V, from the column C load of its ranges."""
    range_VA = 1000 * rules_cooking.column_C_kW([12.0] * ranges)
    neutral_VA = lighting_VA + rules.neutral_of_cooking_or_dryer_VA(range_VA, edition)
    neutral_A = rules.service_A(neutral_VA, 3**0.5 * 208)
    return {
        "range_VA": range_VA,
        "neutral_VA": neutral_VA,
        "neutral_A": neutral_A,
        "reduced_A": rules.neutral_over_200_A(neutral_A, edition),
    }


def two_legs(line_to_neutral_VA: float, line_to_line_VA: float) -> dict[str, float]:
    return {
        "line_to_neutral_A": rules.two_leg_wye_A(line_to_neutral_VA, 0.0),
        "line_to_line_A": rules.two_leg_wye_A(0.0, line_to_line_VA),
        "total_A": rules.two_leg_wye_A(line_to_neutral_VA, line_to_line_VA),
        "simple_A": rules.service_A(line_to_neutral_VA + line_to_line_VA, 208.0),
    }


def optional_hvac_VA(heat_pump_VA: float, supplemental_VA: float, interlock: str, edition: int) -> dict[str, float]:
    """Heating and cooling of a heat pump with strip heat: standard and optional method, and the sets themselves."""
    rows = [
        {"kind": "heat_pump", "power_VA": heat_pump_VA, "interlock": interlock},
        {"kind": "supplemental_heat", "power_VA": supplemental_VA, "interlock": interlock},
    ]
    result = design(house(appliances=rows), edition)
    return {name: by_line(result, name)["demand:heating-and-cooling"] for name in ("standard", "optional")}
