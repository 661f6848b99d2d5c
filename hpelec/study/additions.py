"""What could still be added: each load joined to the house and the load calculated again, none estimated."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from hpelec.core.results import told
from hpelec.core.tables import table
from hpelec.house.model import House
from hpelec.house.rows_loads import Appliance, FutureLoad
from hpelec.plan import Plan
from hpelec.study.service_only import crossings, load_A, rating_A, service_plan

SOURCES = ("solar", "storage")
AS_APPLIANCE = {
    "vehicle_charger": "vehicle_charger",
    "outbuilding": "workshop",
    "space_heater": "room_heater",
    "water_heater": "other",
    "appliance": "other",
}
"""Kind of appliance that the load calculation treats as it would the load wished for; a water heater is a fixed one."""
LOADED = {"vehicle_charger": 0.8, "space_heater": 0.8, "water_heater": 0.8, "outbuilding": 1.0}
"""Kinds to look for the largest circuit of, with the share of the circuit that the load takes."""
LARGEST_A = 125.0
TOGETHER = "all of them"


@dataclass(frozen=True, slots=True, kw_only=True)
class Addition:
    """One load added to the house, and what the load calculation makes of it."""

    id: str = told("id in future.csv, or all of them together")
    what: str = told("its name")
    adds_A: float = told("design load with it, less the design load without it")
    load_A: float = told("design load with it")
    left_A: float | None = told("what the rating proposed now then leaves; negative when it no longer carries the load")
    fits: bool = told("the rating proposed now still carries the load")
    rating_A: float | None = told("offered rating that carries the load with it; none when no offer does")
    crosses: tuple[str, ...] = told("thresholds that lie between the two loads, by id")


@dataclass(frozen=True, slots=True, kw_only=True)
class Largest:
    """Largest circuit of one kind that the rating proposed now still carries."""

    kind: str = told("kind of load")
    circuit_A: float | None = told("largest standard circuit; none when not even the smallest fits")
    power_VA: float | None = told("load on it")
    adds_A: float | None = told("what it adds to the design load by the load calculation")
    left_A: float | None = told("what the rating then leaves")


def additions(plan: Plan) -> tuple[Addition, ...]:
    """Each load of future.csv by itself, by id, then all together when there are several; sources are no load."""
    base = service_plan(plan)
    wished = [f for f in sorted(plan.house.future, key=lambda f: f.id) if _known(f)]
    rows = [_addition(base, f.id, f.name, [f]) for f in wished]
    if len(wished) > 1:
        rows.append(_addition(base, TOGETHER, ", ".join(f.id for f in wished), wished))
    return tuple(rows)


def _known(row: FutureLoad) -> bool:
    return row.kind not in SOURCES and (row.power_VA is not None or row.current_A is not None)


def with_loads(house: House, rows: Iterable[FutureLoad]) -> House:
    """The house with loads added as appliances that are not there yet."""
    taken = {a.id for a in house.appliances} | {h.id for h in house.heaters}
    added: list[Appliance] = []
    for row in rows:
        name = f"future-{row.id}"
        while name in taken:
            name += "-"
        taken.add(name)
        added.append(
            Appliance(
                id=name,
                name=row.name,
                kind=AS_APPLIANCE[row.kind],
                power_VA=row.power_VA,
                current_A=row.current_A,
                voltage_V=row.voltage_V,
                continuous=row.kind == "vehicle_charger",
            )
        )
    return house.changed(appliances=(*house.appliances, *added))


def _addition(base: Plan, name: str, what: str, rows: list[FutureLoad]) -> Addition:
    house, now_A = with_loads(base.house, rows), base.service.rating_A
    new_A = load_A(base, house)
    return Addition(
        id=name,
        what=what,
        adds_A=new_A - base.service.design_A,
        load_A=new_A,
        left_A=None if now_A is None else now_A - new_A,
        fits=now_A is not None and new_A <= now_A,
        rating_A=rating_A(base, house, new_A),
        crosses=crossings(base, new_A),
    )


def largest_additions(plan: Plan) -> tuple[Largest, ...]:
    """For each kind the largest circuit that the rating proposed now still carries, by the load calculation."""
    base = service_plan(plan)
    return tuple(_largest(base, kind, share) for kind, share in LOADED.items())


def _largest(base: Plan, kind: str, share: float) -> Largest:
    now_A = base.service.rating_A or 0.0
    for circuit_A in reversed(_circuits_A()):
        row = FutureLoad(id="tried", name="tried", kind=kind, current_A=circuit_A * share)
        new_A = load_A(base, with_loads(base.house, [row]))
        if new_A <= now_A:
            return Largest(
                kind=kind,
                circuit_A=circuit_A,
                power_VA=circuit_A * share * row.voltage_V,
                adds_A=new_A - base.service.design_A,
                left_A=now_A - new_A,
            )
    return Largest(kind=kind, circuit_A=None, power_VA=None, adds_A=None, left_A=None)


def _circuits_A() -> list[float]:
    """Standard circuits from 15 A up to LARGEST_A, rising; the 10 A one feeds no such load."""
    rows = table("tables/standard_ocpd_ratings")
    sizes = {r.number("rating_a") for r in rows if r.text("breaker") == "all"}
    return sorted(size for size in sizes if size <= LARGEST_A)
