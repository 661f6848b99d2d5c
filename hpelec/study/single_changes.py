"""Which single change of a house brings its load across a threshold: each one designed anew, none estimated."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from hpelec.core.citing import Citation
from hpelec.core.results import told
from hpelec.core.tables import Row, table
from hpelec.house.model import House
from hpelec.house.rows_loads import Appliance, Heater
from hpelec.plan import Plan
from hpelec.study.service_only import crossings, load_A, rating_A, service_plan

SIZES = "service_sizing/common_sizes"
MOST_INTERLOCKED = 8
"""Interlocks are tried among this many of the largest loads: every pair of them."""
MANAGEMENT_FROM = 2023
"""First edition that lets energy management take load out of the calculation (`parameter` ems_pcs_rule)."""
NOT_HELD_OFF = ("air_handler", "ventilator", "solar", "storage")
"""Kinds that nobody holds off: air must move, and sources are no load."""
HVAC = ("air_conditioner", "heat_pump", "air_handler", "supplemental_heat", "room_heater", "furnace")
Load = Appliance | Heater


@dataclass(frozen=True, slots=True)
class Change:
    """One change of a house, not yet designed. asks: what it needs on site or from the authority."""

    id: str
    kind: str
    what: str
    asks: str
    house: House
    citation: Citation


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeResult:
    """One single change and what the load calculation makes of it."""

    id: str = told("short name, unique in the list")
    kind: str = told("managed, interlocked, smaller heater, heat-pump tank, lower set current, other method")
    what: str = told("what is changed")
    asks: str = told("what it needs on site or from the authority")
    load_A: float = told("design load of the changed house")
    saves_A: float = told("design load of the house as it is, less that; negative when the change adds load")
    saves_VA: float = told("the same in volt-amperes")
    rating_A: float | None = told("offered rating that then carries the load; none when no offer does")
    crosses: tuple[str, ...] = told("thresholds that lie between the two loads, by id")
    citation: Citation = told("where the changed size, or the leave to count less, comes from")


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """One threshold, and the single changes that bring the load across it."""

    threshold: str = told("id of the threshold")
    at_A: float = told("load up to which the smaller equipment is enough")
    crossed: bool = told("the design load is above it now, so that a change crosses it downwards")
    changes: tuple[str, ...] = told("single changes that cross it, the lowest load first; empty when none does")


def single_changes(plan: Plan) -> tuple[ChangeResult, ...]:
    """Every single change, the lowest load first, then by id."""
    base = service_plan(plan)
    results = [_result(base, change) for change in changes(base)]
    return tuple(sorted(results, key=lambda r: (r.load_A, r.id)))


def crossing_changes(plan: Plan, results: tuple[ChangeResult, ...]) -> tuple[Crossing, ...]:
    """For each threshold the changes of `results` that cross it, in either direction."""
    rows = service_plan(plan).service.thresholds
    return tuple(
        Crossing(
            threshold=row.id,
            at_A=row.at_A,
            crossed=row.crossed,
            changes=tuple(r.id for r in results if row.id in r.crosses),
        )
        for row in rows
    )


def _result(base: Plan, change: Change) -> ChangeResult:
    new_A, now_A = load_A(base, change.house), base.service.design_A
    return ChangeResult(
        id=change.id,
        kind=change.kind,
        what=change.what,
        asks=change.asks,
        load_A=new_A,
        saves_A=now_A - new_A,
        saves_VA=(now_A - new_A) * base.loads.voltage_V,
        rating_A=rating_A(base, change.house, new_A),
        crosses=crossings(base, new_A),
        citation=change.citation,
    )


def changes(base: Plan) -> Iterator[Change]:
    """Every single change that the house offers, in a fixed order."""
    house = base.house
    if base.edition >= MANAGEMENT_FROM:
        yield from _managed(house, base.edition)
    yield from _interlocked(house, base.edition)
    yield from _heaters(house)
    yield from _set_currents(house)
    yield from _methods(base)


def _loads(house: House) -> list[tuple[str, Load]]:
    """Rows that draw load, with the part of the house they stand in, by id."""
    rows: list[tuple[str, Load]] = [("appliances", a) for a in house.appliances if a.kind not in NOT_HELD_OFF]
    rows += [("heaters", h) for h in house.heaters]
    return sorted(((p, r) for p, r in rows if r.status != "removed"), key=lambda entry: (entry[1].id, entry[0]))


def _with(house: House, part: str, row: Load, **columns: Any) -> House:
    """The house with some columns of one row changed."""
    rows = tuple(replace(r, **columns) if r.id == row.id else r for r in getattr(house, part))
    return house.changed(**{part: rows})


def nameplate_VA(row: Load) -> float:
    """Nameplate of all of a row [VA]; zero when it is not given."""
    if isinstance(row, Heater):
        return row.power_VA
    each_VA = row.power_VA if row.power_VA is not None else (row.current_A or 0.0) * row.voltage_V
    return each_VA * row.quantity


def _managed(house: House, edition: int) -> Iterator[Change]:
    place = "120.7, Article 130 Part II" if edition >= 2026 else "220.70, 750.30"
    asks = "a listed energy management that holds it off entirely while the rest runs"
    for part, row in _loads(house):
        if nameplate_VA(row) > 0:
            citation = Citation("NFPA 70", place, str(edition), "published")
            held = _with(house, part, row, status="removed")
            yield Change(f"manage {row.id}", "managed", f"{row.name}: held off at the peak", asks, held, citation)


def _interlocked(house: House, edition: int) -> Iterator[Change]:
    """Every pair of the largest loads that no interlock joins yet; heating and cooling are left alone."""
    place = "120.60" if edition >= 2026 else "220.60"
    able = [(p, r) for p, r in _loads(house) if r.kind not in HVAC and r.voltage_V != 120.0]
    able = _first_of_groups(sorted(able, key=lambda entry: -nameplate_VA(entry[1])))[:MOST_INTERLOCKED]
    for (part_a, a), (part_b, b) in itertools.combinations(able, 2):
        if a.interlock and b.interlock:
            continue
        group = a.interlock or b.interlock or f"{a.id} or {b.id}"
        joined = _with(_with(house, part_a, a, interlock=group), part_b, b, interlock=group)
        what = f"{a.name} and {b.name}: only one at a time" + (
            ", with their group" if a.interlock or b.interlock else ""
        )
        asks = "a listed interlock or changeover, and the authority's leave to count the larger only"
        citation = Citation("NFPA 70", place, str(edition), "published")
        yield Change(f"interlock {a.id} with {b.id}", "interlocked", what, asks, joined, citation)


def _first_of_groups(entries: list[tuple[str, Load]]) -> list[tuple[str, Load]]:
    """The first row of each interlock group, and every row outside one: joining any member joins the group."""
    seen: set[str] = set()
    kept = []
    for part, row in entries:
        if not row.interlock or row.interlock not in seen:
            kept.append((part, row))
            seen.add(row.interlock)
    return kept


def _sizes(group: str) -> list[Row]:
    return sorted(table(SIZES).where(group=group), key=lambda row: row.number("size"))


def _heaters(house: House) -> Iterator[Change]:
    for heater in sorted((h for h in house.heaters if h.status != "removed"), key=lambda h: h.id):
        smaller = [row for row in _sizes(heater.kind) if row.number("size") < heater.power_VA]
        if smaller:
            size_VA = smaller[-1].number("size")
            yield Change(
                f"smaller {heater.id}",
                "smaller heater",
                f"{heater.name}: {size_VA / 1000:g} kW instead of {heater.power_VA / 1000:g} kW",
                "less hot water at once: see the step hotwater",
                _with(house, "heaters", heater, power_VA=size_VA),
                smaller[-1].citation,
            )
        if heater.kind not in ("tankless", "storage"):
            continue
        for row in _sizes("heat_pump_storage"):
            if (size_VA := row.number("size")) < heater.power_VA:
                yield Change(
                    f"heat-pump tank {size_VA / 1000:g} kW for {heater.id}",
                    "heat-pump tank",
                    f"{heater.name}: a heat-pump tank of {size_VA / 1000:g} kW in its place",
                    "room, air and a drain for the tank; see the step hotwater for its volume",
                    _with(house, "heaters", heater, kind="heat_pump_storage", power_VA=size_VA, voltage_V=240.0),
                    row.citation,
                )


def _set_currents(house: House) -> Iterator[Change]:
    for part, row in _loads(house):
        if row.kind != "vehicle_charger" or not isinstance(row, Appliance):
            continue
        present_A = row.set_A or nameplate_VA(row) / row.quantity / row.voltage_V
        for size in _sizes("charger_current"):
            if (set_A := size.number("size")) < present_A:
                yield Change(
                    f"set {row.id} to {set_A:g} A",
                    "lower set current",
                    f"{row.name}: set to {set_A:g} A instead of {present_A:g} A",
                    "a charger whose setting is adjustable by qualified people only, and marked",
                    _with(house, part, row, set_A=set_A),
                    Citation("NFPA 70", "625.42", "2017-2026", "published"),
                )


def _methods(base: Plan) -> Iterator[Change]:
    for method in base.loads.methods:
        if method.applies and method.method != base.loads.chosen:
            general = replace(base.house.general, load_method=method.method)
            yield Change(
                f"{method.method} method",
                "other method",
                f"calculated by the {method.title}",
                "the authority accepts either method",
                base.house.changed(general=general),
                Citation("NFPA 70", method.title, str(base.edition), "published"),
            )
