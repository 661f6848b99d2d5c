"""The rows of the house as the load calculation sees them: one `Load` for each appliance and water heater."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace

from hpelec.core.errors import RangeError
from hpelec.house.model import House
from hpelec.house.rows_loads import Appliance, Heater
from hpelec.house.sections_power import DWELLING
from hpelec.steps.loads.rules_appliances import motor_VA
from hpelec.steps.loads.rules_more import charger_setting_VA

FIXED, DRYER, COOKING = "fixed appliances", "dryers", "cooking"
HVAC, VEHICLE, OTHER, COVERED = "heating and cooling", "vehicle", "other", "covered"
CATEGORIES = (FIXED, DRYER, COOKING, HVAC, VEHICLE, OTHER, COVERED)
"""Categories of loads in the order of a calculation; `covered` ones are in the lighting block already."""

HVAC_KINDS = ("air_conditioner", "heat_pump", "air_handler", "supplemental_heat", "room_heater", "furnace")
IN_SEASON = {
    "heating": frozenset(HVAC_KINDS) - {"air_conditioner"},
    "cooling": frozenset(("air_conditioner", "heat_pump", "air_handler")),
}
"""Kinds that run in a season; a heat pump and an air handler run in both."""
SEASONS = tuple(IN_SEASON)

NO_LOAD = ("solar", "storage")
COOKING_KINDS = ("range", "cooktop", "wall_oven")
PORTABLE_KINDS = ("refrigerator", "freezer", "kitchen_appliance")
MOTOR_KINDS = frozenset(("air_conditioner", "heat_pump", "pump", "fan", "ventilator", "disposer"))
"""Kinds that are motors by their nature, whether or not the row says so."""
_KIND_CATEGORY = {
    **dict.fromkeys(COOKING_KINDS, COOKING),
    **dict.fromkeys(HVAC_KINDS, HVAC),
    **dict.fromkeys((*PORTABLE_KINDS, "workshop", "welder"), OTHER),
    "dryer": DRYER,
    "vehicle_charger": VEHICLE,
}


@dataclass(frozen=True, slots=True)
class Load:
    """One row of appliances or heaters. each_VA: nameplate of one; 0 and `known` False where none is given."""

    id: str
    name: str
    kind: str
    category: str
    each_VA: float
    known: bool
    source: str
    quantity: int
    voltage_V: float
    motor: bool
    motor_hp: float | None
    continuous: bool
    interlock: str
    managed_by: str
    added: bool
    remark: str = ""
    building: str = ""

    @property
    def total_VA(self) -> float:
        """Connected load of all of them [VA]."""
        return self.each_VA * self.quantity

    @property
    def line_to_neutral(self) -> bool:
        """Whether it is connected to the neutral."""
        return self.voltage_V == 120.0

    def runs_in(self, season: str) -> bool:
        """Whether it can run in that season; only heating and cooling depend on it."""
        return self.category != HVAC or self.kind in IN_SEASON[season]


def nameplate(row: Appliance) -> tuple[float | None, str]:
    """Volt-amperes of one appliance and where they come from; None where nothing allowed gives them.

    Never from the minimum circuit ampacity or the breaker: they hold additions for sizing a circuit.
    """
    if row.set_A is not None:
        return charger_setting_VA(row.set_A, row.voltage_V), f"set to {row.set_A:g} A x {row.voltage_V:g} V"
    if row.power_VA is not None:
        return row.power_VA, "nameplate"
    if row.current_A is not None:
        return row.current_A * row.voltage_V, f"{row.current_A:g} A x {row.voltage_V:g} V"
    if row.motor_hp is not None:
        try:
            return motor_VA(row.motor_hp, row.voltage_V), f"{row.motor_hp:g} hp by Table 430.248"
        except RangeError:
            return None, ""
    return None, ""


def _covered_by(row: Appliance, yokes: int | None) -> str:
    """The circuits whose allowance covers a 120 V appliance already; blank for none.

    yokes: receptacle yokes counted in the building of the row, which is no dwelling; None in a dwelling.
    """
    if row.voltage_V != 120.0 or row.kind == "vehicle_charger":
        return ""
    if yokes is not None:
        plugged = yokes > 0 and not row.fastened_in_place
        return "plugged into a receptacle that counts by its yoke" if plugged else ""
    if row.kind == "washer":
        return "on a laundry circuit, whose 1,500 VA covers it"
    if row.fastened_in_place:
        return ""
    circuit = "a laundry" if row.kind == "dryer" else "a small-appliance or general-use"
    return f"plugged into {circuit} circuit, whose allowance covers it"


def categorise(row: Appliance, edition: int, yokes: int | None = None) -> tuple[str, str]:
    """Category of an appliance, and what a reader should know about that choice; yokes: see `_covered_by`."""
    if covered := _covered_by(row, yokes):
        return COVERED, covered
    if row.kind in _KIND_CATEGORY:
        remark = "on a circuit of its own, so counted in full" if row.kind in PORTABLE_KINDS else ""
        return _KIND_CATEGORY[row.kind], remark
    if not row.fastened_in_place:
        return OTHER, "not fastened in place, on an outlet of its own: counted in full"
    if row.kind == "microwave" and edition >= 2020:
        return OTHER, "built-in microwave read as cooking equipment, outside the group of fixed appliances"
    return FIXED, ""


def _of_appliance(row: Appliance, edition: int, yokes: int | None) -> Load:
    category, remark = categorise(row, edition, yokes)
    each_VA, source = nameplate(row)
    return Load(
        id=row.id,
        name=row.name,
        kind=row.kind,
        category=category,
        each_VA=0.0 if each_VA is None else each_VA,
        known=each_VA is not None,
        source=source,
        quantity=row.quantity,
        voltage_V=row.voltage_V,
        motor=row.motor or row.kind in MOTOR_KINDS,
        motor_hp=row.motor_hp,
        continuous=row.continuous,
        interlock=row.interlock,
        managed_by=row.managed_by,
        added=row.status == "new",
        remark=remark,
        building=row.building,
    )


def _of_heater(row: Heater) -> Load:
    return Load(
        id=row.id,
        name=row.name,
        kind=row.kind,
        category=FIXED,
        each_VA=row.power_VA,
        known=True,
        source="nameplate",
        quantity=1,
        voltage_V=row.voltage_V,
        motor=False,
        motor_hp=None,
        continuous=False,
        interlock=row.interlock,
        managed_by=row.managed_by,
        added=row.status == "new",
        building=row.building,
    )


def gather(house: House, edition: int) -> tuple[Load, ...]:
    """Every load that stands or will stand, by category, then id; the order of the rows plays no part."""
    yokes = {b.id: b.receptacle_yokes for b in house.buildings if b.kind != DWELLING}
    loads = [
        _of_appliance(row, edition, yokes.get(row.building))
        for row in house.appliances
        if row.status != "removed" and row.kind not in NO_LOAD
    ]
    loads += [_of_heater(row) for row in house.heaters if row.status != "removed"]
    return tuple(sorted(loads, key=lambda load: (CATEGORIES.index(load.category), load.id, load.kind)))


@dataclass(frozen=True, slots=True)
class Limit:
    """An energy management whose set point stands for loads. whole: it sheds those that name it to limit the service.

    least_VA: what the loads that it governs draw at the least.
    """

    id: str
    set_A: float
    set_VA: float
    whole: bool
    least_VA: float = 0.0


@dataclass(frozen=True, slots=True)
class Scenario:
    """Loads that can run at the same time, those that an interlock keeps off, and those within a set point."""

    running: tuple[Load, ...]
    held_off: tuple[Load, ...]
    limited: tuple[tuple[Limit, tuple[Load, ...]], ...] = ()


def governed(load: Load, limit: Limit) -> bool:
    """Whether the set point stands for this load; what a circuit's allowance covers is no load of its own."""
    return load.managed_by == limit.id and load.category != COVERED


def within(chosen: Scenario, limits: tuple[Limit, ...]) -> Scenario:
    """The same scenario with the loads of each energy management taken out of those that run freely."""
    if not limits:
        return chosen
    taken = tuple((m, tuple(load for load in chosen.running if governed(load, m))) for m in limits)
    gone = {(load.id, load.kind) for _, loads in taken for load in loads}
    free = tuple(load for load in chosen.running if (load.id, load.kind) not in gone)
    return replace(chosen, running=free, limited=taken)


def interlocked(loads: tuple[Load, ...]) -> dict[str, list[Load]]:
    """Interlock groups of more than one appliance, by name."""
    groups: dict[str, list[Load]] = {}
    for load in loads:
        if load.interlock and load.category != COVERED:
            groups.setdefault(load.interlock, []).append(load)
    return {name: groups[name] for name in sorted(groups) if sum(m.quantity for m in groups[name]) > 1}


def _leaders(members: list[Load]) -> list[Load]:
    """The largest member of each kind of treatment: no other member can make a larger sum."""
    best: dict[tuple[object, ...], Load] = {}
    for load in members:
        treatment = (
            load.category,
            load.kind,
            load.voltage_V,
            load.motor,
            load.continuous,
            load.managed_by,
            load.building,
        )
        if treatment not in best or load.each_VA > best[treatment].each_VA:
            best[treatment] = load
    return list(best.values())


def scenarios(loads: tuple[Load, ...]) -> Iterator[Scenario]:
    """Every choice of one appliance running from each interlock group, the rest of the group held off."""
    groups = interlocked(loads)
    free = [load for load in loads if load.interlock not in groups or load.category == COVERED]
    place = {(load.category, load.id, load.kind): i for i, load in enumerate(loads)}

    def in_order(some: list[Load]) -> tuple[Load, ...]:
        return tuple(sorted(some, key=lambda load: place[(load.category, load.id, load.kind)]))

    for chosen in itertools.product(*(_leaders(members) for members in groups.values())):
        running = [*free, *(replace(load, quantity=1) for load in chosen)]
        held = [m for members in groups.values() for m in members if m not in chosen]
        held += [replace(load, quantity=load.quantity - 1) for load in chosen if load.quantity > 1]
        yield Scenario(in_order(running), in_order(held))
