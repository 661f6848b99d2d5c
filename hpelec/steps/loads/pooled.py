"""The two methods that pool the general loads: the optional one for a new dwelling, and that for an existing one."""

from __future__ import annotations

from collections.abc import Callable

from hpelec.core.working import show_number
from hpelec.steps.loads import rules_appliances, rules_optional
from hpelec.steps.loads.gather import COVERED, HVAC, VEHICLE, Load, Scenario
from hpelec.steps.loads.sheet import (
    LIGHTING,
    Case,
    Sheet,
    block,
    charger_line,
    fed_lines,
    idle_lines,
    limit_lines,
    remark_of,
    row_VA,
    times,
)

GENERAL = "general loads"
POOL = "general loads together"


def hvac_share(load: Load, season: str, case: Case) -> tuple[float, Callable[..., object]]:
    """Factor of a heating or cooling load in the optional method, and the rule it follows."""
    if season == "cooling":
        return rules_optional.cooling_factor(), rules_optional.cooling_factor
    if load.kind in ("heat_pump", "air_handler"):
        return rules_optional.heat_pump_factor("compressor"), rules_optional.heat_pump_factor
    if load.kind == "supplemental_heat":
        return rules_optional.heat_pump_factor("supplemental"), rules_optional.heat_pump_factor
    if load.continuous:
        return rules_optional.continuous_heat_factor(), rules_optional.continuous_heat_factor
    return rules_optional.room_heat_factor(case.general.heating_zones), rules_optional.room_heat_factor


def chargers_apart(edition: int) -> bool:
    """Whether vehicle chargers stand beside the pool at 100 percent (from 2026)."""
    return edition >= 2026


def _running(chosen: Scenario, season: str) -> list[Load]:
    return [load for load in chosen.running if load.runs_in(season) and load.category != COVERED]


def _pool_lines(sheet: Sheet, case: Case, loads: list[Load], by: Callable[..., object]) -> None:
    """A line for each pooled load, with no demand of its own."""
    for id_, what, VA, expression, part_by in block(case):
        remark = f"{expression}; counted with the {POOL}"
        sheet.note(f"{what} (connected)", expression, VA, part_by)
        sheet.add(id_, what, LIGHTING, connected_VA=VA, demand_VA=0.0, by=part_by, remark=remark)
    for load in loads:
        brought_VA = row_VA(load, case.edition)
        load_by = rules_appliances.vehicle_charger_VA if load.category == VEHICLE else by
        sheet.note(f"{load.name} (connected)", times(brought_VA / load.quantity, load.quantity), brought_VA, load_by)
        sheet.add(
            load.id,
            load.name,
            load.category,
            connected_VA=brought_VA,
            demand_VA=0.0,
            by=load_by,
            remark=remark_of(load, f"counted with the {POOL}"),
        )


def _tier_lines(sheet: Sheet, pool_VA: float, first_VA: float, demand_VA: float, by: Callable[..., object]) -> None:
    """The pool's demand: its first part in full, the rest by its factor."""
    parts = " + ".join(show_number(line.connected_VA) for line in sheet.lines if line.connected_VA)
    sheet.note(f"{POOL} (connected)", parts, pool_VA, by)
    sheet.pool_VA = pool_VA
    full_VA = min(pool_VA, first_VA)
    tiers = [("first-tier", f"first {show_number(first_VA / 1000)} kVA of the {POOL}", 1.0, full_VA, full_VA)]
    if pool_VA > first_VA:
        rest_VA = demand_VA - full_VA
        share = round(rest_VA / (pool_VA - first_VA), 9)
        tiers.append(("remainder", f"rest of the {POOL}", share, rest_VA, pool_VA - first_VA))
    for id_, what, share, tier_demand_VA, of_VA in tiers:
        sheet.add(
            id_,
            what,
            GENERAL,
            connected_VA=0.0,
            factor=share,
            demand_VA=tier_demand_VA,
            by=by,
            expression=f"{share:g} x {show_number(of_VA)}",
        )


def _hvac_line(sheet: Sheet, load: Load, share: float, by: Callable[..., object]) -> None:
    sheet.add(
        load.id,
        load.name,
        HVAC,
        connected_VA=load.total_VA,
        factor=share,
        demand_VA=load.total_VA * share,
        by=by,
        expression=f"{times(load.each_VA, load.quantity)} x {share:g}",
        remark=remark_of(load),
    )


def optional(case: Case, chosen: Scenario, season: str) -> Sheet:
    """The optional method for the loads that run in one season."""
    sheet = Sheet("optional", season, case.edition, chosen.running)
    by = rules_optional.optional_general_VA
    running = _running(chosen, season)
    apart = [load for load in running if load.category == VEHICLE and chargers_apart(case.edition)]
    pool = [load for load in running if load.category != HVAC and load not in apart]
    _pool_lines(sheet, case, pool, by)
    pool_VA = sheet.connected_VA
    _tier_lines(sheet, pool_VA, rules_optional.optional_first_tier_VA(case.edition), by(pool_VA, case.edition), by)
    for load in running:
        if load.category == HVAC:
            _hvac_line(sheet, load, *hvac_share(load, season, case))
    for load in apart:
        charger_line(sheet, load)
    limit_lines(sheet, chosen)
    fed_lines(sheet, case)
    idle_lines(sheet, chosen)
    return sheet


def existing(case: Case, chosen: Scenario, season: str) -> Sheet:
    """The method for an existing dwelling for the loads, old and new, that run in one season."""
    sheet = Sheet("existing", season, case.edition, chosen.running)
    by = rules_optional.existing_general_VA
    running = _running(chosen, season)
    _pool_lines(sheet, case, [load for load in running if load.category != HVAC], by)
    pool_VA = sheet.connected_VA
    _tier_lines(sheet, pool_VA, rules_optional.existing_first_tier_VA(case.edition), by(pool_VA, case.edition), by)
    for load in running:
        if load.category == HVAC:
            _hvac_line(sheet, load, rules_optional.existing_hvac_factor(season), rules_optional.existing_hvac_factor)
    limit_lines(sheet, chosen)
    fed_lines(sheet, case)
    idle_lines(sheet, chosen)
    return sheet
