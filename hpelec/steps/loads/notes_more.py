"""What the load calculation tells of energy managements, other buildings, several dwellings, records and settings."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from hpelec.core.citing import Citation
from hpelec.core.findings import Finding, Verdict
from hpelec.core.working import show_number
from hpelec.house.sections_power import DWELLING
from hpelec.steps.loads import rules, rules_appliances, rules_cooking, rules_more, rules_optional
from hpelec.steps.loads.buildings import Feeder
from hpelec.steps.loads.gather import FIXED, HVAC, SEASONS, VEHICLE, Load
from hpelec.steps.loads.measured import is_short
from hpelec.steps.loads.methods import needed_A
from hpelec.steps.loads.notes import POOLED, PRACTICE, Worked
from hpelec.steps.loads.pooled import optional
from hpelec.steps.loads.sheet import BUILDING, Case, cited, largest, row_VA
from hpelec.steps.loads.standard import in_group


def more_findings(worked: Worked) -> tuple[Finding, ...]:
    """All notes of this module, in a fixed order."""
    tellers = (
        _managements,
        _rating_with_set_points,
        _buildings,
        _building_in_pool,
        _unequal_dwellings,
        _optional_results_added,
        _record,
        _charger_setting,
        _charger_as_fixed,
        _smaller_motor,
        _one_cooking_circuit,
    )
    return tuple(finding for teller in tellers for finding in teller(worked))


def _VA(load_VA: float) -> str:
    return f"{show_number(round(load_VA, 1))} VA"


def _told(id_: str, place: str, rule: str, got: str, allowed: str, fix: str, by: Citation, verdict: Verdict) -> Finding:
    return Finding(id_, "loads", place, rule, got, allowed, fix, verdict, by)


def _open(id_: str, place: str, rule: str, got: str, fix: str, by: Citation) -> Finding:
    return _told(id_, place, rule, got, "", fix, by, Verdict.CANNOT_SAY)


# Energy managements ----------------------------------------------------------------------------------------------


def _managements(w: Worked) -> Iterator[Finding]:
    listed = {m.id: m for m in w.house.energy_managements}
    named = {load.managed_by for load in w.every if load.managed_by}
    used = {limit.id for limit in w.case.limits}
    used |= {
        e.id.removeprefix("set-point-") for f in w.feeders for e in f.result.lines if e.id.startswith("set-point-")
    }
    by = cited(rules_more.set_point_refused, w.edition)
    for name in sorted(named | set(listed)):
        ids = ", ".join(load.id for load in w.every if load.managed_by == name)
        rule = f"loads limited by the energy management {name}"
        if not ids:
            yield _open(
                "energy-management", name, rule, "no load names it in managed_by: it changes nothing", "name it", by
            )
            continue
        management = listed.get(name)
        if management is None:
            no_rule = rules_more.set_point_refused(w.edition, True)
            said = no_rule or "the edition lets a set point stand for the loads it limits, and no set point is given"
            fix = "get the listed set point in amperes and the authority's agreement"
            yield _open("energy-management", ids, rule, f"counted in full: {said}", fix, by)
        elif refused := rules_more.set_point_refused(w.edition, management.restricted_access):
            fix = "see what the adopted edition and the authority admit"
            yield _open("energy-management", ids, rule, f"counted in full: {refused}", fix, by)
        else:
            said = "stands for them" if name in used else "would not lower the load: counted without it"
            yield _told(
                "energy-management",
                ids,
                rule,
                f"set point {management.setpoint_A:g} A: {said}",
                "a listed control with restricted access to its setting",
                "",
                by,
                Verdict.MEETS,
            )


def _rating_with_set_points(w: Worked) -> Iterator[Finding]:
    managed_A = w.chosen.managed_A
    if managed_A:
        least_A = needed_A(w.chosen.demand_A, managed_A)
        yield _open(
            "set-point-rating",
            "service",
            "a set point is a continuous load: the rating holds 125 percent of it",
            f"load {w.chosen.demand_A:.1f} A with a set point of {managed_A:.1f} A in it: at least {least_A:.1f} A",
            "have the authority accept the control, its listing and its set point",
            cited(rules_more.set_point_VA, w.edition),
        )


# Other buildings -------------------------------------------------------------------------------------------------


def _buildings(w: Worked) -> Iterator[Finding]:
    for feeder in w.feeders:
        yield from _feeder(w, feeder)


def _feeder(w: Worked, feeder: Feeder) -> Iterator[Finding]:
    b = feeder.result
    if b.demand_VA == 0:
        fix = "list its loads with this building, or receptacle_yokes and lighting_VA"
        by = cited(rules_more.receptacle_yokes_VA, w.edition)
        yield _open("building-empty", b.id, "a building that is fed has a load", "no load is listed for it", fix, by)
    least_A = needed_A(b.demand_A, b.managed_A)
    got = f"load {least_A:.1f} A"
    if b.feeder_rating_A is None:
        size = "no standard rating carries it" if b.feeder_least_A is None else f"{b.feeder_least_A:g} A carries it"
        yield _told(
            "building-feeder", b.id, "the feeder of another building carries its load", f"{got}; {size}", "", "",
            cited(rules.service_A, w.edition), Verdict.MEETS if b.feeder_least_A is not None else Verdict.MISSES,
        )  # fmt: skip
    else:
        fits = rules_more.measured_fits(least_A, b.feeder_rating_A)
        yield _told(
            "building-feeder", b.id, "the feeder of another building carries its load",
            f"{b.feeder_rating_A:g} A given", f">= {least_A:.1f} A", "a larger feeder, or less load in the building",
            cited(rules.service_A, w.edition), Verdict.MEETS if fits else Verdict.MISSES,
        )  # fmt: skip
    yield _open(
        "building-disconnect",
        b.id,
        "smallest rating of the disconnect of another building by its circuits",
        f"at least {b.disconnect_least_A:g} A for {b.circuits} branch circuit(s)"
        if b.kind != DWELLING
        else f"at least {b.disconnect_least_A:g} A for a dwelling",
        "choose its disconnect; the breaker of the feeder may be smaller",
        cited(rules_more.building_disconnect_A, w.edition),
    )


def _building_in_pool(w: Worked) -> Iterator[Finding]:
    fed = [line for line in w.chosen.lines if line.category == BUILDING and line.demand_VA]
    if w.chosen.method not in POOLED or not fed:
        return
    sheet = w.sheets[w.chosen.method]
    by_optional = w.chosen.method == "optional"
    tiered = rules_optional.optional_general_VA if by_optional else rules_optional.existing_general_VA
    fed_VA = sum(line.demand_VA for line in fed)
    pooled_VA = w.chosen.demand_VA - fed_VA - tiered(sheet.pool_VA, w.edition)
    pooled_VA += tiered(sheet.pool_VA + fed_VA, w.edition)
    yield _open(
        "building-in-pool",
        ", ".join(line.id for line in fed),
        f"another building in the {w.chosen.method} method",
        f"its calculated load counts in full beside the general loads; among them: {_VA(pooled_VA)} in all",
        "ask the authority which reading it takes",
        PRACTICE,
    )


# Several dwellings -----------------------------------------------------------------------------------------------


def _unequal_dwellings(w: Worked) -> Iterator[Finding]:
    if "dwellings" not in w.sheets or len(w.units) != 2:
        return
    each_VA = w.sheets["dwellings"].units_VA
    if abs(each_VA[0] - each_VA[1]) > 0.5:
        yield _open(
            "unequal-dwellings",
            ", ".join(unit.name for unit in w.units),
            "the clause for two dwellings speaks of three identical units",
            f"the two differ: {_VA(each_VA[0])} and {_VA(each_VA[1])} connected; three of the larger are taken",
            "ask the authority whether it accepts this for unequal units",
            cited(rules_more.two_dwellings_VA, w.edition),
        )


def _optional_results_added(w: Worked) -> Iterator[Finding]:
    if len(w.units) < 2:
        return
    article = 120 if w.edition >= 2026 else 220
    alone = Case(w.house.general, w.edition, w.case.wye)
    each_VA = [largest(optional, alone, w.units[0].loads)[0].demand_VA]
    for feeder in w.feeders:
        each_VA += [m.demand_VA for m in feeder.result.methods if m.method == "optional" and m.applies]
    if len(each_VA) < len(w.units):
        return
    yield _open(
        "optional-results-added",
        ", ".join(unit.name for unit in w.units),
        "the common service of several dwellings",
        f"the {w.chosen.method} method is used, {_VA(w.chosen.demand_VA)}; the optional results of each dwelling,"
        f" added, would be {' + '.join(show_number(round(VA)) for VA in each_VA)} = {_VA(sum(each_VA))}",
        "some add them: ask the authority before you do",
        Citation("NFPA 70", f"{article}.82(A), {article}.85", str(w.edition), "common practice"),
    )


# Records ---------------------------------------------------------------------------------------------------------


def _record(w: Worked) -> Iterator[Finding]:
    record = w.house.measured
    if record.peak_VA is None and record.peak_A is None:
        return
    method = next(m for m in w.methods if m.method == "measured")
    by = cited(rules_more.record_refused, w.edition)
    rule = "a record of the demand may stand for the existing load"
    if not method.applies:
        yield _open("measured-record", "house", rule, method.why, "record again, or use another method", by)
        return
    interval = rules_more.further("measured_interval")
    if record.interval_min is None or record.interval_min > interval:
        said = "is not told" if record.interval_min is None else f"is {record.interval_min:g} minutes"
        yield _open(
            "measured-interval",
            "house",
            "demand averaged over 15 minutes",
            f"the interval of the record {said}: a longer one hides the peak of 15 minutes",
            "get 15-minute data, or ask the authority for a correction",
            by,
        )
    if not is_short(record) and record.sources_or_shaving is not False:
        yield _open(
            "measured-sources",
            "house",
            "the record shows what the house draws",
            "a source or shaving of peaks may hide part of it",
            "make sure that the record is of the load itself, without solar, storage or shaving",
            by,
        )
    stands_A = w.house.service_site.existing_service_A
    if stands_A is None:
        return
    continuous_VA = sum(row_VA(x, w.edition) for x in w.sheets["measured"].running if x.continuous)
    variant_A = method.demand_A + 0.25 * rules.service_A(continuous_VA, w.voltage_V)
    left_A = stands_A - method.demand_A
    got = f"{method.demand_A:.2f} A, {abs(left_A):.2f} A {'left' if left_A >= 0 else 'over'}"
    got += f"; {variant_A:.2f} A with the added continuous loads at 125 percent" if continuous_VA else ""
    fits = rules_more.measured_fits(method.demand_A, stands_A)
    yield _told(
        "measured-fits",
        "service that stands",
        "125 percent of the record and the added load are not above the rating",
        got,
        f"<= {stands_A:g} A",
        "less added load, a set point for it, or a larger service"
        + ("" if w.chosen.method == "measured" else f"; the {w.chosen.method} method sets the service"),
        cited(rules_more.measured_fits, w.edition),
        Verdict.MEETS if fits else Verdict.MISSES if w.chosen.method == "measured" else Verdict.CANNOT_SAY,
    )


# Single appliances -----------------------------------------------------------------------------------------------


def _charger_setting(w: Worked) -> Iterator[Finding]:
    set_rows = {row.id: row for row in w.house.appliances if row.set_A is not None}
    for load in w.every:
        row = set_rows.get(load.id)
        if row is None or load.category != VEHICLE:
            continue
        least = row_VA(load, w.edition) > load.total_VA
        yield _open(
            "charger-setting",
            load.id,
            "an adjustable charger counts at its setting where access to the setting is restricted",
            f"{load.name} set to {row.set_A:g} A: {_VA(load.each_VA)}"
            + ("; the least of this edition counts instead" if least else ""),
            "mark the setting on it, and lock it as its clause asks",
            cited(rules_more.charger_setting_VA, w.edition),
        )


def _charger_as_fixed(w: Worked) -> Iterator[Finding]:
    """Before 2023 the clause of the fixed appliances does not leave chargers out by name."""
    running = w.sheets["standard"].running
    chargers = [x for x in running if x.category == VEHICLE and x.voltage_V > 120 and x.known]
    group = [x for x in running if x.category == FIXED and in_group(x, w.edition)]
    if w.edition >= 2023 or not chargers or w.chosen.method != "standard":
        return
    count = sum(x.quantity for x in group)
    before, after = (
        rules_appliances.fixed_factor(n, w.edition) for n in (count, count + sum(x.quantity for x in chargers))
    )
    if after == 1:
        return
    less_VA = sum(x.total_VA for x in group) * (before - after) + sum(x.total_VA for x in chargers) * (1 - after)
    yield _open(
        "charger-as-fixed",
        ", ".join(x.id for x in chargers),
        f"vehicle chargers in the standard method of {w.edition}",
        f"counted in full; among the fixed appliances the load would be {_VA(less_VA)} less",
        "the clause leaves them out by name from 2023 only: ask the authority before you use the lower number",
        cited(rules_appliances.fixed_factor, w.edition),
    )


def _hvac_VA(running: tuple[Load, ...], season: str) -> float:
    return sum(load.total_VA for load in running if load.category == HVAC and load.runs_in(season))


def _smaller_motor(w: Worked) -> Iterator[Finding]:
    """From 2020: 125 percent of the motor of the smaller set, where another motor takes the addition of the sum."""
    if w.edition < 2020:
        return
    running = w.sheets["standard"].running
    sets = {season: _hvac_VA(running, season) for season in SEASONS}
    smaller, larger = sorted(SEASONS, key=lambda s: sets[s])
    only = [x for x in running if x.category == HVAC and x.runs_in(smaller) and not x.runs_in(larger) and x.motor]
    top = max(only, key=lambda x: x.each_VA, default=None)
    others_VA = max((x.each_VA for x in running if x.motor and x.category != HVAC), default=0.0)
    if top is None or top.each_VA >= others_VA:
        return
    with_VA = sets[smaller] + rules_appliances.largest_motor_VA([top.each_VA])
    if with_VA > sets[larger]:
        yield _open(
            "smaller-motor",
            top.id,
            "a motor in the smaller of two sets that do not run together is compared at 125 percent",
            f"{_VA(with_VA)} against {_VA(sets[larger])}; the sum counts the addition of a larger motor instead",
            f"with this reading the load is {_VA(with_VA - sets[larger])} more: ask the authority",
            replace(cited(rules.noncoincident, w.edition), accuracy="memory"),
        )


def _one_cooking_circuit(w: Worked) -> Iterator[Finding]:
    rows = [r for r in w.house.appliances if r.status != "removed" and r.building == "" and r.room and r.power_VA]
    for room in sorted({r.room for r in rows}):
        tops = [r for r in rows if r.room == room and r.kind == "cooktop" for _ in range(r.quantity)]
        ovens = [r for r in rows if r.room == room and r.kind == "wall_oven" for _ in range(r.quantity)]
        if len(tops) != 1 or not 1 <= len(ovens) <= 2:
            continue
        sum_kW = rules_more.cooktop_with_ovens_kW(
            (tops[0].power_VA or 0) / 1000, tuple((o.power_VA or 0) / 1000 for o in ovens)
        )
        branch_kW = rules_cooking.cooking_kW([sum_kW], rules_cooking.cooking_column(sum_kW))
        yield _told(
            "one-cooking-circuit",
            ", ".join(r.id for r in (*tops, *ovens)),
            "a cooktop and up to two wall ovens of a room may share one branch circuit as one range",
            f"{sum_kW:g} kW as one range: {branch_kW:g} kW, {1000 * branch_kW / w.voltage_V:.1f} A;"
            " on circuits of their own each counts its nameplate",
            "",
            "",
            cited(rules_more.cooktop_with_ovens_kW, w.edition),
            Verdict.MEETS,
        )
