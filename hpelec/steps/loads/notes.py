"""What the load calculation tells beside its numbers: traps, disputed readings, missing data."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from hpelec.core.citing import Citation
from hpelec.core.editions import PROVISIONAL
from hpelec.core.findings import Finding, Verdict
from hpelec.core.working import show_number
from hpelec.house.model import House
from hpelec.house.sections_power import DWELLING
from hpelec.steps.loads import rules, rules_appliances, rules_cooking, rules_optional
from hpelec.steps.loads.buildings import Feeder
from hpelec.steps.loads.dwellings import Unit
from hpelec.steps.loads.gather import (
    COOKING,
    COVERED,
    DRYER,
    FIXED,
    HVAC,
    SEASONS,
    VEHICLE,
    Limit,
    Load,
    Scenario,
    interlocked,
    within,
)
from hpelec.steps.loads.model import MethodResult
from hpelec.steps.loads.pooled import chargers_apart, hvac_share
from hpelec.steps.loads.sheet import Case, Sheet, Writer, cited, row_VA
from hpelec.steps.loads.standard import cooking_ratings, in_group, ratings_kW

PRACTICE = Citation("trade practice", "no published rule", "none", "common practice")
POOLED = ("optional", "existing")
LARGE_SHARE = 0.40
"""A single load drawing more than this share of the calculated load is told; the pool's own factor."""


@dataclass(frozen=True, slots=True)
class Worked:
    """The calculation that the notes speak of. loads: those that the service counts; every: those of all buildings."""

    case: Case
    loads: tuple[Load, ...]
    sheets: dict[str, Sheet]
    writers: dict[str, Writer]
    methods: tuple[MethodResult, ...]
    chosen: MethodResult
    wanted: str
    voltage_V: float
    neutral_A: float
    house: House
    units: tuple[Unit, ...]
    feeders: tuple[Feeder, ...]
    limits: tuple[Limit, ...]
    every: tuple[Load, ...]

    @property
    def edition(self) -> int:
        """Edition of the calculation."""
        return self.case.edition


def _VA(load_VA: float) -> str:
    return f"{show_number(load_VA)} VA"


def findings(worked: Worked) -> tuple[Finding, ...]:
    """All notes, in a fixed order."""
    tellers = (
        _wanted_method,
        _provisional,
        _unknown,
        _nothing_listed,
        _fixed_step,
        _cooking_reading,
        _heating_zones,
        _heating_together,
        _interlock_in_pool,
        _chargers_in_pool,
        _standing_heat,
        _large_loads,
        _neutral,
    )
    return tuple(finding for teller in tellers for finding in teller(worked))


def _told(
    id_: str, place: str, rule: str, got: str, allowed: str, fix: str, by: Citation, *, verdict: Verdict
) -> Finding:
    return Finding(id_, "loads", place, rule, got, allowed, fix, verdict, by)


def _open(id_: str, place: str, rule: str, got: str, fix: str, by: Citation, allowed: str = "") -> Finding:
    return _told(id_, place, rule, got, allowed, fix, by, verdict=Verdict.CANNOT_SAY)


def _wanted_method(w: Worked) -> Iterator[Finding]:
    if w.wanted not in ("lowest", w.chosen.method):
        yield _told(
            "load-method",
            "house",
            "the load calculation asked for must apply to this house",
            f"{w.wanted} asked for, {w.chosen.method} used",
            "a method that applies",
            "see why it does not apply in the list of methods, or set load_method to lowest",
            PRACTICE,
            verdict=Verdict.MISSES,
        )


def _provisional(w: Worked) -> Iterator[Finding]:
    if w.edition not in PROVISIONAL:
        return
    by = cited(rules.lighting_demand_VA, w.edition)
    yield _open(
        "provisional-edition",
        "house",
        f"values of edition {w.edition} come from published summaries of its changes",
        "text of the edition not seen: factors without a summary are those of 2023",
        "check every line against the adopted text",
        by,
    )
    tankless = [load.id for load in w.loads if "tankless" in load.kind]
    if tankless:
        yield _open(
            "tankless-table",
            ", ".join(tankless),
            "the 2026 edition has a new demand table for tankless water heaters (120.56)",
            "its values were not seen; nameplate by the fixed-appliance rule is used",
            "read Table 120.56 of the adopted text",
            by,
        )


def _taken_for(load: Load, edition: int) -> str:
    if load.category == VEHICLE and edition >= 2023:
        return "taken at 7,200 VA, the least for a charger where the nameplate is not known"
    if load.category == DRYER:
        return "COUNTED AS ZERO except in the standard method, which takes at least 5,000 VA; totals are too low"
    return "COUNTED AS ZERO, the totals are too low"


def _unknown(w: Worked) -> Iterator[Finding]:
    for load in w.every:
        if load.known or load.category == COVERED:
            continue
        yield _open(
            "load-not-known",
            load.id,
            "every load must be known from its nameplate",
            f"{load.name}: neither VA nor amperes given; {_taken_for(load, w.edition)}",
            "give power_VA or current_A (never from MCA or breaker size: those hold additions for the circuit)",
            cited(rules_appliances.connected_VA, w.edition),
        )


def _nothing_listed(w: Worked) -> Iterator[Finding]:
    kinds = {load.kind for load in w.loads}
    heating = {"heat_pump", "room_heater", "furnace", "supplemental_heat"}
    water = any(load.category == FIXED and ("tankless" in load.kind or "storage" in load.kind) for load in w.loads)
    for missing, what, file in (
        (not kinds & heating, "space heating", "appliances.csv"),
        (not water, "water heater", "heaters.csv"),
    ):
        if missing:
            yield _open(
                "nothing-listed",
                "house",
                "an all-electric house has heating and hot water loads",
                f"no {what} in {file}: its load is not in the totals",
                f"add the {what}, or ignore this where it is not electric",
                PRACTICE,
            )


def _fixed_step(w: Worked) -> Iterator[Finding]:
    yield from _fixed_step_of("fixed appliances", w.sheets["standard"].running, w.edition)
    for feeder in w.feeders:
        if feeder.result.kind == DWELLING:
            yield from _fixed_step_of(f"fixed appliances, {feeder.result.id}", feeder.running, w.edition)


def _fixed_step_of(place: str, running: tuple[Load, ...], edition: int) -> Iterator[Finding]:
    group = [load for load in running if load.category == FIXED and in_group(load, edition)]
    each = sorted((load.each_VA for load in group for _ in range(load.quantity)), reverse=True)
    factor = rules_appliances.fixed_factor(len(each), edition)
    if factor == 1:
        return
    counted_VA, three_VA = factor * sum(each), sum(each[:3])
    reasons = []
    if counted_VA < three_VA:
        reasons.append(
            f"{len(each)} appliances count {_VA(counted_VA)}; the three largest alone would count {_VA(three_VA)}"
        )
    small = [load.id for load in group if load.each_VA * factor < 500 <= load.each_VA and edition >= 2020]
    if small:
        reasons.append(f"{', '.join(small)}: counts less than an appliance just under 500 VA would")
    for reason in reasons:
        yield _told(
            "fixed-appliance-step",
            place,
            "four or more fixed appliances count 75 percent, so one more can lower the load",
            reason,
            "permitted by the clause",
            "do not rely on a small fourth appliance: see what the load is without it",
            cited(rules_appliances.fixed_factor, edition),
            verdict=Verdict.MEETS,
        )


def _cooking_reading(w: Worked) -> Iterator[Finding]:
    running = [load for load in w.sheets["standard"].running if load.category == COOKING]
    groups = {c: ratings_kW(g) for c, g in cooking_ratings(running).items() if c in ("A", "B", "C")}
    if len(groups) < 2:
        return
    apart_VA = 1000 * sum(rules_cooking.cooking_kW(ratings, column) for column, ratings in groups.items())
    together_VA = 1000 * rules_cooking.column_C_kW([r for ratings in groups.values() for r in ratings])
    other_VA = [together_VA]
    got = f"each column by itself and added: {_VA(apart_VA)}; all by column C: {_VA(together_VA)}"
    if "A" in groups and "B" in groups:
        small_kW = rules_cooking.small_cooking_by_all_kW([*groups["A"], *groups["B"]])
        by_C_kW = rules_cooking.cooking_kW(groups["C"], "C") if "C" in groups else 0.0
        other_VA.append(1000 * (small_kW + by_C_kW))
        got += f"; columns A and B by the count of both: {_VA(other_VA[-1])}"
    lower = min(other_VA) < apart_VA
    yield _told(
        "cooking-reading",
        ", ".join(load.id for load in running),
        "cooking appliances of several columns of the table",
        got,
        "",
        "each column by itself is used; ask the authority whether the other reading is accepted",
        cited(rules_cooking.column_C_kW, w.edition),
        verdict=Verdict.CANNOT_SAY if lower else Verdict.MEETS,
    )


def _heating_zones(w: Worked) -> Iterator[Finding]:
    zones = w.case.general.heating_zones
    units = sum(load.quantity for load in w.loads if load.kind in ("room_heater", "furnace"))
    if "optional" in w.sheets and zones >= 4 and 0 < units < zones:
        yield _open(
            "heating-zones",
            "house",
            "four or more separately controlled heaters count 40 percent instead of 65",
            f"heating_zones is {zones}, and the table lists {units} heater(s)",
            "list each separately controlled heater, or correct heating_zones",
            cited(rules_optional.room_heat_factor, w.edition),
        )


def _heating_together(w: Worked) -> Iterator[Finding]:
    sheet = w.sheets.get("optional")
    if sheet is None:
        return
    parts: dict[str, float] = {}
    for load in sheet.running:
        if load.category == HVAC and load.runs_in("heating") and load.kind != "air_handler":
            system = "heat pump" if load.kind in ("heat_pump", "supplemental_heat") else "room heaters"
            share, _ = hvac_share(load, "heating", w.case)
            parts[system] = parts.get(system, 0.0) + share * load.total_VA
    if len(parts) > 1:
        yield _open(
            "heating-systems",
            "house",
            "the optional method names the largest of several kinds of heating",
            f"heat pump and other electric heaters can run together, so they are added: {_VA(sum(parts.values()))};"
            f" the largest alone would be {_VA(max(parts.values()))}",
            "ask the authority whether the largest alone is accepted",
            cited(rules_optional.room_heat_factor, w.edition),
        )


def _without_interlocks(w: Worked, method: str) -> float:
    everything = within(Scenario(w.loads, ()), tuple(m for m in w.case.limits if not m.whole))
    return max(w.writers[method](w.case, everything, season).demand_VA for season in SEASONS)


def _interlock_in_pool(w: Worked) -> Iterator[Finding]:
    groups = interlocked(w.loads)
    pooled = [name for name, members in groups.items() if any(m.category != HVAC for m in members)]
    if not pooled or w.chosen.method not in POOLED:
        return
    yield _open(
        "interlock-in-pool",
        ", ".join(pooled),
        "only the largest of interlocked loads counts, by the rule of noncoincident loads",
        f"the {w.chosen.method} method does not repeat that rule for its general loads;"
        f" with all of them counted: {_VA(_without_interlocks(w, w.chosen.method))} instead of"
        f" {_VA(w.chosen.demand_VA)}",
        "show the interlock to the authority and have the reading accepted",
        cited(rules.noncoincident, w.edition),
    )


def _chargers_in_pool(w: Worked) -> Iterator[Finding]:
    sheet = w.sheets[w.chosen.method]
    chargers = [load for load in sheet.running if load.category == VEHICLE]
    if w.chosen.method not in POOLED or not chargers or chargers_apart(w.edition):
        return
    general: dict[str, Callable[[float, int], float]] = {
        "optional": rules_optional.optional_general_VA,
        "existing": rules_optional.existing_general_VA,
    }
    ids, count = ", ".join(load.id for load in chargers), sum(load.quantity for load in chargers)
    together_VA = sum(row_VA(load, w.edition) for load in chargers)
    tiered = general[w.chosen.method]
    apart_VA = (
        w.chosen.demand_VA
        - tiered(sheet.pool_VA, w.edition)
        + tiered(sheet.pool_VA - together_VA, w.edition)
        + together_VA
    )
    if w.edition >= 2023:
        yield _open(
            "charger-in-pool",
            ids,
            f"vehicle chargers in the {w.chosen.method} method",
            f"counted with the general loads; at 100 percent beside them: {_VA(apart_VA)}",
            "ask the authority: the text is silent and some want 100 percent",
            Citation("NFPA 70", "220.82(B), 220.57", str(w.edition), "common practice"),
        )
    if count > 1 and together_VA > w.chosen.demand_VA / 2:
        yield _open(
            "several-chargers",
            ids,
            "several chargers that may run together count 40 percent only",
            f"{count} chargers draw {_VA(together_VA)} together, over half of the calculated {_VA(w.chosen.demand_VA)}",
            "look at the coincidence, or share the current by a listed energy management",
            PRACTICE,
        )


def _standing_heat(w: Worked) -> Iterator[Finding]:
    sheet = w.sheets.get("existing")
    if sheet is None:
        return
    hvac_VA = sum(line.demand_VA for line in sheet.lines if line.category == HVAC)
    if hvac_VA and not any(load.category == HVAC and load.added for load in w.loads):
        yield _open(
            "standing-heating",
            "house",
            "heating and cooling that stand already, where none is added",
            f"counted in full, {_VA(hvac_VA)}: the clause does not list them;"
            f" without, {_VA(sheet.demand_VA - hvac_VA)}",
            "ask the authority which reading it takes",
            cited(rules_optional.existing_hvac_factor, w.edition),
        )


def _large_loads(w: Worked) -> Iterator[Finding]:
    limit_VA = LARGE_SHARE * w.chosen.demand_VA
    for load in w.sheets[w.chosen.method].running:
        if load.category != HVAC and load.each_VA > limit_VA:
            yield _open(
                "large-load",
                load.id,
                "a single load that draws more than 40 percent of the calculated load",
                f"{load.name} draws {_VA(load.each_VA)}, {load.each_VA / w.voltage_V:.0f} A, of a calculated"
                f" {_VA(w.chosen.demand_VA)}, {w.chosen.demand_A:.0f} A",
                "the method spreads load that this one does not: see how often it runs with others, and what the"
                " transformer and lateral stand",
                PRACTICE,
                allowed=_VA(limit_VA),
            )


def _neutral(w: Worked) -> Iterator[Finding]:
    if w.neutral_A > w.chosen.demand_A:
        yield _open(
            "neutral-size",
            "service",
            "neutral load by its own rule against the load of the ungrounded conductors",
            f"neutral {w.neutral_A:.1f} A by the standard rules,"
            f" {w.chosen.demand_A:.1f} A by the {w.chosen.method} method",
            "make the neutral as large as the ungrounded conductors",
            cited(rules.neutral_over_200_A, w.edition),
        )
