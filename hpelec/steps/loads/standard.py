"""The standard method: a sheet of lines for the loads that run in one season."""

from __future__ import annotations

from hpelec.core.working import show_number
from hpelec.steps.loads import rules, rules_appliances, rules_cooking, rules_more
from hpelec.steps.loads.gather import COOKING, COVERED, DRYER, FIXED, HVAC, OTHER, VEHICLE, Load, Scenario
from hpelec.steps.loads.sheet import (
    LIGHTING,
    MOTOR,
    Case,
    Sheet,
    block,
    charger_line,
    fed_lines,
    idle_lines,
    limit_lines,
    remark_of,
    times,
)


def standard(case: Case, chosen: Scenario, season: str) -> Sheet:
    """The standard method for the loads that run in one season, of the dwellings or of another building."""
    sheet = Sheet("standard", season, case.edition, chosen.running)
    running = [load for load in chosen.running if load.runs_in(season) and load.category != COVERED]
    by_category = {c: [load for load in running if load.category == c] for c in (FIXED, DRYER, COOKING)}
    if case.yokes is None:
        _lighting_line(sheet, case)
        _fixed_lines(sheet, by_category[FIXED])
    else:
        _outlet_lines(sheet, case, case.yokes)
        for load in by_category[FIXED]:
            _full_line(sheet, load)
    _dryer_lines(sheet, case, by_category[DRYER])
    _cooking_lines(sheet, case, by_category[COOKING])
    for load in running:
        if load.category in (HVAC, OTHER):
            _full_line(sheet, load)
        elif load.category == VEHICLE:
            charger_line(sheet, load)
    limit_lines(sheet, chosen)
    fed_lines(sheet, case)
    _motor_line(sheet, running)
    idle_lines(sheet, chosen)
    return sheet


def _outlet_lines(sheet: Sheet, case: Case, yokes: int) -> None:
    """Lighting and receptacles of a building that is no dwelling."""
    by_yoke, each = rules_more.receptacle_yokes_VA, show_number(rules_more.further("receptacle_yoke"))
    in_full = rules_appliances.connected_VA
    for id_, what, VA, expression, by in (
        ("lighting", "lighting", case.lighting_VA, f"{show_number(case.lighting_VA)} x 1", in_full),
        ("receptacles", "receptacle yokes", by_yoke(yokes), f"{yokes} x {each}", by_yoke),
    ):
        if VA:
            sheet.add(
                id_,
                what,
                LIGHTING,
                connected_VA=VA,
                demand_VA=VA,
                by=by,
                expression=expression,
                line_to_neutral=True,
            )


def _lighting_line(sheet: Sheet, case: Case) -> None:
    parts = block(case)
    for _, what, VA, part_expression, by in parts:
        sheet.note(what, part_expression, VA, by)
    connected_VA = sum(VA for _, _, VA, _, _ in parts)
    demand_VA = rules.lighting_demand_VA(connected_VA)
    remark = " + ".join(f"{what} {show_number(VA)} VA" for _, what, VA, _, _ in parts)
    tiers = rules.lighting_tiers()
    ends = [start for start, _ in tiers[1:]] + [connected_VA]
    expression = " + ".join(
        f"{share:g} x {show_number(min(connected_VA, end) - start)}"
        for (start, share), end in zip(tiers, ends, strict=True)
        if connected_VA > start
    )
    sheet.add(
        "lighting-block",
        "lighting, small-appliance and laundry circuits",
        LIGHTING,
        connected_VA=connected_VA,
        demand_VA=demand_VA,
        by=rules.lighting_demand_VA,
        expression=expression,
        line_to_neutral=True,
        remark=remark,
    )


def in_group(load: Load, edition: int) -> bool:
    """Whether a fixed appliance belongs to the group counted toward four."""
    return rules_appliances.counts_as_fixed(load.each_VA, load.motor_hp, edition)


def _fixed_lines(sheet: Sheet, loads: list[Load]) -> None:
    group = [load for load in loads if in_group(load, sheet.edition)]
    count = sum(load.quantity for load in group)
    factor = rules_appliances.fixed_factor(count, sheet.edition)
    for load in loads:
        small = load not in group
        share = 1.0 if small else factor
        reason = (
            "under 500 W and 1/4 hp: in full, and not counted toward four" if small else f"one of {count} in the group"
        )
        sheet.add(
            load.id,
            load.name,
            FIXED,
            connected_VA=load.total_VA,
            factor=share,
            demand_VA=load.total_VA * share,
            by=rules_appliances.counts_as_fixed if small else rules_appliances.fixed_factor,
            expression=f"{times(load.each_VA, load.quantity)} x {share:g}",
            line_to_neutral=load.line_to_neutral,
            remark=remark_of(load, reason),
        )


def _dryer_lines(sheet: Sheet, case: Case, loads: list[Load]) -> None:
    count = sum(load.quantity for load in loads)
    for load in loads:
        share = rules_appliances.dryer_percent(count) / 100
        each_VA = rules_appliances.dryer_VA(load.each_VA)
        demand_VA = each_VA * load.quantity * share
        sheet.add(
            load.id,
            load.name,
            DRYER,
            connected_VA=load.total_VA,
            factor=share,
            demand_VA=demand_VA,
            by=rules_appliances.dryer_percent if share < 1 else rules_appliances.dryer_VA,
            expression=f"{times(each_VA, load.quantity)} x {share:g}",
            line_to_neutral=load.line_to_neutral,
            neutral_VA=None if load.line_to_neutral else _reduced_VA(demand_VA, case),
            remark=remark_of(load, "taken at 5,000 VA, the least for a dryer" if each_VA > load.each_VA else ""),
        )


def _reduced_VA(demand_VA: float, case: Case) -> float:
    return demand_VA if case.wye else rules.neutral_of_cooking_or_dryer_VA(demand_VA, case.edition)


def cooking_ratings(loads: list[Load]) -> dict[str, list[Load]]:
    """Cooking appliances by the column of the table they fall in; those of unknown load are left out."""
    groups: dict[str, list[Load]] = {}
    for load in loads:
        if load.each_VA > 0:
            groups.setdefault(rules_cooking.cooking_column(load.each_VA / 1000), []).append(load)
    return {column: groups[column] for column in rules_cooking.COLUMNS if column in groups}


def ratings_kW(loads: list[Load]) -> list[float]:
    """The rating of each single appliance [kW]."""
    return [load.each_VA / 1000 for load in loads for _ in range(load.quantity)]


def _cooking_lines(sheet: Sheet, case: Case, loads: list[Load]) -> None:
    for column, group in cooking_ratings(loads).items():
        ratings = ratings_kW(group)
        demand_VA = 1000 * rules_cooking.cooking_kW(ratings, column)
        table_said = f"column {column}" if column in ("A", "B", "C") else "outside the table, at nameplate"
        sheet.add(
            "+".join(load.id for load in group),
            ", ".join(load.name for load in group),
            COOKING,
            connected_VA=sum(load.total_VA for load in group),
            demand_VA=demand_VA,
            by=rules_cooking.cooking_kW,
            expression=f"{' + '.join(f'{r:g}' for r in ratings)} kW by {table_said}, {len(ratings)} appliance(s)",
            neutral_VA=demand_VA if any(load.line_to_neutral for load in group) else _reduced_VA(demand_VA, case),
            line_to_neutral=all(load.line_to_neutral for load in group),
            remark="; ".join(dict.fromkeys([table_said, *(r for load in group if (r := remark_of(load)))])),
        )
    for load in loads:
        if load.each_VA == 0:
            _full_line(sheet, load)


def _full_line(sheet: Sheet, load: Load) -> None:
    sheet.add(
        load.id,
        load.name,
        load.category,
        connected_VA=load.total_VA,
        factor=1.0,
        demand_VA=rules_appliances.connected_VA(load.each_VA, load.quantity),
        by=rules_appliances.connected_VA,
        expression=f"{times(load.each_VA, load.quantity)} x 1",
        line_to_neutral=load.line_to_neutral,
        remark=remark_of(load),
    )


def _motor_line(sheet: Sheet, running: list[Load]) -> None:
    motors = [load for load in running if load.motor and load.each_VA > 0]
    if not motors:
        return
    top = max(motors, key=lambda load: load.each_VA)
    addition_VA = rules_appliances.largest_motor_VA(load.each_VA for load in motors)
    share = next((e.factor for e in sheet.lines if e.id == top.id and e.category == FIXED), None)
    reduced = share is not None and share < 1
    sheet.add(
        "largest-motor",
        f"addition for the largest motor ({top.name})",
        MOTOR,
        connected_VA=0.0,
        factor=0.25,
        demand_VA=addition_VA,
        by=rules_appliances.largest_motor_VA,
        expression=f"0.25 x {show_number(top.each_VA)}",
        line_to_neutral=top.line_to_neutral,
        neutral_VA=rules_appliances.largest_motor_VA(load.each_VA for load in motors if load.line_to_neutral),
        remark="of its full load, though it counts 75 percent above: some add half of it" if reduced else "",
    )
