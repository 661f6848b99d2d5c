"""Other buildings and second dwellings: the load of each one's own feeder, and what the service counts for it."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.common import rules_ratings
from hpelec.core.working import Line, line
from hpelec.house.model import House
from hpelec.house.sections_power import DWELLING, Building
from hpelec.steps.loads import rules_more, rules_optional
from hpelec.steps.loads.dwellings import general_of
from hpelec.steps.loads.gather import COVERED, Load
from hpelec.steps.loads.limits import least, limits_on
from hpelec.steps.loads.methods import (
    WYE_V,
    choose,
    method_result,
    method_working,
    needed_A,
    neutral_A,
    neutral_working,
)
from hpelec.steps.loads.model import BuildingLoad, MethodResult
from hpelec.steps.loads.pooled import optional
from hpelec.steps.loads.sheet import Case, Fed, Sheet, Writer, cited
from hpelec.steps.loads.standard import standard


@dataclass(frozen=True, slots=True)
class Feeder:
    """A building's load with the working behind it and, for the service, the load that it feeds."""

    result: BuildingLoad
    fed: Fed
    working: tuple[Line, ...]
    running: tuple[Load, ...]


def feeders(house: House, edition: int, loads: tuple[Load, ...]) -> tuple[Feeder, ...]:
    """The feeder of every building, by id."""
    return tuple(
        _feeder(house, building, edition, tuple(x for x in loads if x.building == building.id))
        for building in sorted(house.buildings, key=lambda b: b.id)
    )


def circuits_in(building: Building, loads: tuple[Load, ...]) -> int:
    """Branch circuits of a building: as told, else one for each load, for its lighting and for its receptacles."""
    if building.circuits is not None:
        return building.circuits
    own = sum(load.quantity for load in loads if load.category != COVERED)
    return max(1, own + (building.lighting_VA > 0) + (building.receptacle_yokes > 0))


def _case(house: House, building: Building, edition: int) -> Case:
    wye = house.service_site.voltage_V == WYE_V
    if building.kind == DWELLING:
        return Case(general_of(building, house.general), edition, wye)
    return Case(house.general, edition, wye, yokes=building.receptacle_yokes, lighting_VA=building.lighting_VA)


def _optional_applies(building: Building, voltage_V: float) -> tuple[bool, str]:
    if building.kind != DWELLING:
        return False, "for a dwelling only"
    least_A = rules_more.building_disconnect_A(True, 1)
    rating_A = least_A if building.feeder_rating_A is None else building.feeder_rating_A
    if rules_optional.optional_permitted(voltage_V, rating_A):
        return True, "one dwelling on one three-wire feeder of 100 A or more"
    return False, f"needs a three-wire feeder of 100 A or more; here {rating_A:g} A"


@dataclass(frozen=True, slots=True)
class _Worked:
    """The methods of one feeder with their sheets, and its neutral."""

    methods: tuple[MethodResult, ...]
    sheets: dict[str, Sheet]
    neutral: Sheet


def _worked(house: House, building: Building, edition: int, loads: tuple[Load, ...]) -> _Worked:
    voltage_V = house.service_site.voltage_V
    case = _case(house, building, edition)
    limits = limits_on(house.energy_managements, loads, voltage_V, edition, service=False)
    article = 120 if edition >= 2026 else 220
    every, single = (True, "applies to every feeder"), _optional_applies(building, voltage_V)
    writers: dict[str, tuple[Writer, tuple[bool, str], str]] = {
        "standard": (standard, every, f"standard method, Article {article} Part III"),
        "optional": (optional, single, f"optional method for one dwelling, {article}.82"),
    }
    sheets: dict[str, Sheet] = {}
    tried: list[Sheet] = []
    for name, (write, (applies, _), _) in writers.items():
        if applies:
            sheets[name], all_of_them, _ = least(write, case, loads, limits, voltage_V)
            tried = tried or all_of_them
    methods = tuple(
        method_result(name, sheets.get(name), reason, title, voltage_V) for name, (_, reason, title) in writers.items()
    )
    return _Worked(methods, sheets, max(tried, key=lambda sheet: sheet.neutral_VA))


def _result(house: House, building: Building, edition: int, loads: tuple[Load, ...], worked: _Worked) -> BuildingLoad:
    chosen = choose(worked.methods, house.general.load_method)
    circuits, dwelling = circuits_in(building, loads), building.kind == DWELLING
    rated_A = needed_A(chosen.demand_A, chosen.managed_A)
    listed = rated_A <= rules_ratings.standard_ratings_A(edition)[-1]
    return BuildingLoad(
        id=building.id,
        name=building.name,
        kind=building.kind,
        methods=worked.methods,
        chosen=chosen.method,
        lines=chosen.lines,
        demand_VA=chosen.demand_VA,
        demand_A=chosen.demand_A,
        neutral_VA=worked.neutral.neutral_VA,
        neutral_A=neutral_A(worked.neutral, house.service_site.voltage_V, edition),
        managed_A=chosen.managed_A,
        circuits=circuits,
        disconnect_least_A=rules_more.building_disconnect_A(dwelling, circuits),
        feeder_least_A=rules_ratings.next_standard_A(rated_A, edition) if listed else None,
        feeder_rating_A=building.feeder_rating_A,
        feeder_length_ft=building.feeder_length_ft,
        service_VA=None if dwelling else worked.sheets["standard"].demand_VA,
    )


def _working(house: House, result: BuildingLoad, edition: int, worked: _Worked) -> tuple[Line, ...]:
    voltage_V, name = house.service_site.voltage_V, result.name
    lines: list[Line] = []
    for method in worked.methods:
        if method.applies:
            lines += method_working(method, worked.sheets[method.method], edition, voltage_V, name)
    lines += neutral_working(worked.neutral, result.neutral_A, edition, voltage_V, name)
    if result.feeder_least_A is not None:
        text = f"next standard rating from {needed_A(result.demand_A, result.managed_A):.2f} A"
        by = cited(rules_ratings.next_standard_A, edition)
        lines.append(line(f"{name}: smallest breaker of its feeder", text, result.feeder_least_A, "A", by))
    text = "a dwelling" if result.kind == DWELLING else f"{result.circuits} branch circuit(s)"
    by = cited(rules_more.building_disconnect_A, edition)
    return (*lines, line(f"{name}: smallest disconnect", text, result.disconnect_least_A, "A", by))


def _feeder(house: House, building: Building, edition: int, loads: tuple[Load, ...]) -> Feeder:
    worked = _worked(house, building, edition, loads)
    result = _result(house, building, edition, loads, worked)
    sheet = worked.sheets["standard"]
    fed = Fed(
        id=building.id,
        name=building.name,
        connected_VA=sheet.connected_VA,
        demand_VA=sheet.demand_VA,
        neutral_VA=worked.neutral.neutral_VA,
        line_to_neutral_VA=sheet.line_to_neutral_VA,
        neutral_of_240_VA=worked.neutral.neutral_of_240_VA,
    )
    return Feeder(result, fed, _working(house, result, edition, worked), sheet.running)
