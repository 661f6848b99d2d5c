"""Control on top of the law of the total: interlocks, energy managements, recovery after an outage.

Odds after control are advice as they are without. What the code lets one take off stands in `taken_off`, by edition.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from hpelec.core.editions import EDITIONS
from hpelec.house.model import House
from hpelec.house.sections_power import EnergyManagement
from hpelec.steps.coincidence import law, rules, rules_control
from hpelec.steps.coincidence.admission import (
    MOST_APART,
    MOST_FINE,
    Books,
    Stretch,
    Tally,
    group_law,
    longer,
    service_law,
    stretched,
    units,
    with_group,
)
from hpelec.steps.coincidence.cases import Cases, grouped, held_apart, largest_A, law_of, on_and_starts, parts, year
from hpelec.steps.coincidence.control_notes import tell_control
from hpelec.steps.coincidence.model_control import (
    ControlLevel,
    ControlResult,
    HeldLoad,
    LockedLoad,
    Recovery,
    TakenOff,
)
from hpelec.steps.coincidence.notes import Notes
from hpelec.steps.coincidence.process import HOURS_PER_YEAR, MIN_PER_H, LoadProcess
from hpelec.steps.hotwater.model import HotWaterResult

ROUNDS = 3
"""Rounds of the search for the calls that make up what was held back."""
MEANS = ("interlock", "energy_management", "priority", "probability")
TANKS = ("storage", "heat_pump_storage", "point_of_use_storage")


@dataclass(frozen=True, slots=True)
class Limited:
    """The law over the year with the energy managements at work, and the books they keep.

    ups are those of the loads before a service management; they hold above its set point only.
    """

    year: law.Law
    books: Books
    service_steps: int | None


def limited(
    loads: Sequence[LoadProcess],
    cases: Cases,
    step_A: float,
    managements: Sequence[EnergyManagement],
    stretch: Stretch | None = None,
    background: law.Law | None = None,
) -> Limited:
    """The law of all loads, some of them within set points.

    A load belongs to the management that it names. Several managements of the service act as one with the lowest set
    point. background: the law of the loads that no management touches, if it is known.
    """
    books, told = Books(cases, step_A), stretch or {}
    of_group, of_service, rest = shares_of(loads, managements)
    whole = law_of(rest, cases, step_A) if background is None else background
    for management, members in of_group:
        served = [longer(u, told) for u in units(members, _managed(members, (management,)), cases, step_A)]
        whole = with_group(whole, group_law(served, law.steps_down(management.setpoint_A, step_A), books))
    if not of_service:
        return Limited(year(whole, cases), books, None)
    services = [m for m in managements if m.kind == "service"]
    cap = law.steps_down(min(m.setpoint_A for m in services), step_A)
    served = [longer(u, told) for u in units(of_service, _managed(of_service, services), cases, step_A)]
    return Limited(year(service_law(whole, served, cap, books), cases), books, cap)


def shares_of(
    loads: Sequence[LoadProcess], managements: Sequence[EnergyManagement]
) -> tuple[list[tuple[EnergyManagement, list[LoadProcess]]], list[LoadProcess], list[LoadProcess]]:
    """Loads of each group management, those of the service's, and the rest; an interlock stays together."""
    home: dict[str, str] = {}
    names = {m.id: m for m in sorted(managements, key=lambda m: m.id)}
    for members in grouped(loads).values():
        owner = min((p.managed_by for p in members if p.managed_by in names), default="")
        home |= dict.fromkeys((p.id for p in members), owner)
    mine = {name: [p for p in loads if home[p.id] == name] for name in names}
    of_group = [(m, mine[m.id]) for m in names.values() if m.kind == "group" and mine[m.id]]
    of_service = [p for m in names.values() if m.kind == "service" for p in mine[m.id]]
    return of_group, of_service, [p for p in loads if not home[p.id]]


def _managed(members: Sequence[LoadProcess], by: Sequence[EnergyManagement]) -> list[str]:
    names = {m.id for m in by}
    return [p.id for p in members if p.managed_by in names]


def caught_up(
    loads: Sequence[LoadProcess],
    cases: Cases,
    step_A: float,
    managements: Sequence[EnergyManagement],
    first: Limited,
    background: law.Law,
) -> Limited:
    """The same with longer calls of the loads that make up what was held back: energy is kept, times are not."""
    by_id = {p.id: p for p in loads}
    wanted = {
        name: t.asked_A
        for name, t in first.books.of.items()
        if rules_control.made_up_later(by_id[name].kind) and t.given_A < t.asked_A - 1e-12
    }
    if not wanted:
        return first
    now, stretch = first.books, dict[str, float]()
    for _ in range(ROUNDS - 1):
        stretch = stretched(stretch, now, wanted)
        now = _books_only(loads, cases, step_A, managements, stretch, background)
    return limited(loads, cases, step_A, managements, stretched(stretch, now, wanted), background)


def _books_only(
    loads: Sequence[LoadProcess],
    cases: Cases,
    step_A: float,
    managements: Sequence[EnergyManagement],
    stretch: Stretch,
    background: law.Law,
) -> Books:
    """The books alone: the law of a group needs nothing of the other loads."""
    of_group, of_service, _ = shares_of(loads, managements)
    if of_service:
        return limited(loads, cases, step_A, managements, stretch, background).books
    books = Books(cases, step_A)
    for management, members in of_group:
        served = [longer(u, stretch) for u in units(members, _managed(members, (management,)), cases, step_A)]
        group_law(served, law.steps_down(management.setpoint_A, step_A), books)
    return books


def control(
    house: House,
    loads: Sequence[LoadProcess],
    cases: Cases,
    step_A: float,
    before: law.Law,
    marks: Sequence[float],
    water: HotWaterResult,
    notes: Notes,
) -> ControlResult:
    """Everything on control for a house. before: the law over the year with interlocks alone; marks: levels to show."""
    managements = house.energy_managements
    free_loads = [replace(p, group="") for p in loads]
    free, background = _without(loads, cases, step_A, managements, before)
    now = later = Limited(before, Books(cases, step_A), None)
    if background is not None:
        now = limited(loads, cases, step_A, managements, None, background)
        later = caught_up(loads, cases, step_A, managements, now, background)
    held = held_loads(loads, managements, now.books, later.books, water, house.service_site.voltage_V)
    recovery = recoveries(house, water, loads)
    tanks_A = [r.current_A for r in recovery]
    service_set = min((m.setpoint_A for m in managements if m.kind == "service"), default=None)
    marks = sorted({*marks, *([] if service_set is None else [service_set])})
    result = ControlResult(
        levels=tuple(_level(level, free, before, now, later, step_A) for level in marks),
        held=held,
        locked=locked_loads(loads, cases),
        recovery=recovery,
        taken_off=_taken_off(loads, managements),
        service_set_A=service_set,
        free_largest_A=largest_A(free_loads),
        largest_A=_largest(now.year, largest_A(loads), step_A),
        free_p99_A=float(law.percentile_steps(free.above, 99)) * step_A,
        p99_A=float(law.percentile_steps(now.year.above, 99)) * step_A,
        recovery_together_A=math.fsum(tanks_A),
        recovery_staggered_A=max(tanks_A, default=0.0),
    )
    for what, why in _simplified(*shares_of(loads, managements)[:2]):
        notes.take("energy management", what, why)
    tell_control(result, loads, managements, notes)
    return result


def _without(
    loads: Sequence[LoadProcess],
    cases: Cases,
    step_A: float,
    managements: Sequence[EnergyManagement],
    before: law.Law,
) -> tuple[law.Law, law.Law | None]:
    """The law over the year without any control, and by case that of the loads that no management touches, if any does.

    What no control touches at all is added up once for both.
    """
    of_group, of_service, rest = shares_of(loads, managements)
    touched = {p.id for p in loads if p.group} | {p.id for _, m in of_group for p in m} | {p.id for p in of_service}
    if not touched:
        return before, None
    base = law_of([p for p in loads if p.id not in touched], cases, step_A)
    apart = [replace(p, group="") for p in loads if p.id in touched]
    free = year(law.total(parts(apart, cases, step_A), base), cases)
    if not (of_group or of_service):
        return free, None
    return free, law.total(parts([p for p in rest if p.id in touched], cases, step_A), base)


def _simplified(
    of_group: Sequence[tuple[EnergyManagement, Sequence[LoadProcess]]], of_service: Sequence[LoadProcess]
) -> Iterator[tuple[str, str]]:
    """What is simplified in a very large house."""
    for management, members in of_group:
        if sum(len(p.levels) for p in members) > MOST_FINE:
            yield f"{management.id}: its many loads are added on a coarser grid", "currents are rounded up to it"
    apart = [m for m in grouped(of_service).values() if len({bool(p.managed_by) for p in m}) > 1]
    if len(apart) > MOST_APART:
        what = f"of {len(apart)} interlocks that reach outside the control, {MOST_APART} keep their loads apart exactly"
        yield what, "the others count as free of each other: the same means, longer tails"


def _largest(found: law.Law, without: float, step_A: float) -> float:
    """The largest total with a chance at all, never above that without control (currents are rounded up)."""
    some = np.flatnonzero(found.above > 0)
    return min(float(some[-1]) * step_A if some.size else 0.0, without)


def _level(level_A: float, free: law.Law, before: law.Law, now: Limited, later: Limited, step_A: float) -> ControlLevel:
    index = law.steps_down(level_A, step_A) + 1
    free_h, locked_h, now_h, later_h = (
        min(float(law.at(found.above, index)), 1.0) * HOURS_PER_YEAR for found in (free, before, now.year, later.year)
    )
    known = now.service_steps is None or index > now.service_steps
    return ControlLevel(
        level_A=level_A,
        free_hours=free_h,
        locked_hours=locked_h,
        controlled_hours=now_h,
        caught_up_hours=later_h,
        free_return_years=rules.return_years(float(law.at(free.ups, index))),
        controlled_return_years=rules.return_years(float(law.at(now.year.ups, index))) if known else None,
    )


def held_loads(
    loads: Sequence[LoadProcess],
    managements: Sequence[EnergyManagement],
    first: Books,
    later: Books,
    water: HotWaterResult,
    service_V: float,
) -> tuple[HeldLoad, ...]:
    """What each managed load asks for and does not get, in the order in which they are served."""
    known, rises = {m.id for m in managements}, {n.heater: max(n.rise_dF, 0.0) for n in water.heaters}
    managed = sorted((p for p in loads if p.managed_by in known), key=lambda p: (p.managed_by, p.priority, p.id))
    return tuple(_held(p, first.of.get(p.id, Tally()), later.of.get(p.id, Tally()), rises, service_V) for p in managed)


def _held(load: LoadProcess, now: Tally, later: Tally, rises: Mapping[str, float], service_V: float) -> HeldLoad:
    year_kWh = _kilovolts(load, service_V) * HOURS_PER_YEAR
    makes_up = rules_control.made_up_later(load.kind)
    missing = now.missing / now.limited_share if now.limited_share > 0 else 0.0
    rise = rises.get(load.id) if load.kind in ("tankless", "point_of_use_tankless") else None
    return HeldLoad(
        load=load.id,
        management=load.managed_by,
        priority=load.priority,
        largest_A=load.current_A,
        asked_kWh=now.asked_A * year_kWh,
        held_min=now.held_share * HOURS_PER_YEAR * MIN_PER_H,
        limited_min=now.limited_share * HOURS_PER_YEAR * MIN_PER_H,
        held_kWh=max(now.asked_A - now.given_A, 0.0) * year_kWh,
        later=makes_up,
        not_made_up_kWh=max(now.asked_A - (later if makes_up else now).given_A, 0.0) * year_kWh,
        lost_dF=None if rise is None else rules_control.lost_dF(rise, 1.0, 1 - missing),
        most_lost_dF=None if rise is None else rules_control.lost_dF(rise, 1.0, 1 - now.most_missing),
    )


def _kilovolts(load: LoadProcess, service_V: float) -> float:
    return (load.voltage_V if load.voltage_V == 120.0 else min(load.voltage_V, service_V)) / 1000


def locked_loads(loads: Sequence[LoadProcess], cases: Cases) -> tuple[LockedLoad, ...]:
    """What each load of an interlock loses to the others, first come or by priority."""
    groups: dict[str, list[LoadProcess]] = {}
    for load in sorted(loads, key=lambda p: (p.priority, p.id)):
        if load.group:
            groups.setdefault(load.group, []).append(load)
    rows: list[LockedLoad] = []
    minutes = HOURS_PER_YEAR * MIN_PER_H
    for name in sorted(n for n, members in groups.items() if len(members) > 1):
        members = groups[name]
        shape = cases.weights.shape
        alone = [np.broadcast_to(on_and_starts(p, cases)[0], shape) for p in members]
        first_come = [np.broadcast_to(on, shape) for on, _ in held_apart(members, cases, 0.0)]
        free = np.ones(shape)
        for load, on, held in zip(members, alone, first_come, strict=True):
            lost = float((cases.weights * np.maximum(on - held, 0.0)).sum()) * minutes
            rows.append(
                LockedLoad(
                    load=load.id,
                    group=name,
                    current_A=load.current_A,
                    asked_min=float((cases.weights * on).sum()) * minutes,
                    lost_min=lost,
                    lost_kWh=lost / MIN_PER_H * load.mean_current_A * load.voltage_V / 1000,
                    lost_by_priority_min=float((cases.weights * on * (1 - free)).sum()) * minutes,
                )
            )
            free = free * (1 - on)
    return tuple(rows)


def recoveries(house: House, water: HotWaterResult, loads: Sequence[LoadProcess]) -> tuple[Recovery, ...]:
    """All storage heaters cold after an outage: started at once, or one after another in the order of priority."""
    needs, amps = {n.heater: n for n in water.heaters}, {p.id: p.current_A for p in loads}
    tanks = sorted(
        (h for h in house.heaters if h.kind in TANKS and h.id in amps and needs[h.id].heat_kW > 0 and h.volume_gal > 0),
        key=lambda h: (h.priority, h.id),
    )
    alone = [rules_control.reheat_h(h.volume_gal, max(needs[h.id].rise_dF, 0.0), needs[h.id].heat_kW) for h in tanks]
    return tuple(
        Recovery(heater=h.id, priority=h.priority, current_A=amps[h.id], alone_h=hours, hot_after_h=done)
        for h, hours, done in zip(tanks, alone, rules_control.hot_after_h(alone), strict=True)
    )


def _taken_off(loads: Sequence[LoadProcess], managements: Sequence[EnergyManagement]) -> tuple[TakenOff, ...]:
    """For each edition and each means of control: what it counts, and how much of this house's current at most."""
    groups: dict[str, list[float]] = {}
    for load in loads:
        if load.group:
            groups.setdefault(load.group, []).append(load.current_A)
    locked = [amps for _, amps in sorted(groups.items()) if len(amps) > 1]
    limits = [
        ([p.current_A for p in loads if p.managed_by == m.id], m.setpoint_A)
        for m in sorted(managements, key=lambda m: m.id)
        if m.kind == "group" and m.restricted_access and any(p.managed_by == m.id for p in loads)
    ]
    rows = []
    for edition in EDITIONS:
        for means in MEANS:
            row = rules_control.allowance(means, edition)
            at_most: float | None = 0.0
            if means == "interlock":
                at_most = math.fsum(rules_control.taken_off_A(means, a, edition) for a in locked) if locked else None
            if means == "energy_management":
                each = [rules_control.taken_off_A(means, a, edition, s) for a, s in limits]
                at_most = math.fsum(each) if limits else None
            rows.append(
                TakenOff(
                    edition=edition,
                    means=means,
                    counts=row.text("counts"),
                    at_most_A=at_most,
                    citation=row.citation,
                )
            )
    return tuple(rows)
