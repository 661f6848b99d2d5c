"""Other buildings and second dwellings: the load of each one's own feeder, and what the service counts for it."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.common import rules_ratings
from hpelec.core.working import Line, line
from hpelec.house.model import House
from hpelec.house.sections import DWELLING, Building
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
from hpelec.steps.loads.model import BuildingLoad
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


def _feeder(house: House, building: Building, edition: int, loads: tuple[Load, ...]) -> Feeder:
    voltage_V, dwelling = house.service_site.voltage_V, building.kind == DWELLING
    case = _case(house, building, edition)
    limits = limits_on(house.energy_managements, loads, voltage_V, edition, service=False)
    article = 120 if edition >= 2026 else 220
    writers: dict[str, tuple[Writer, tuple[bool, str], str]] = {
        "standard": (standard, (True, "applies to every feeder"), f"standard method, Article {article} Part III"),
        "optional": (
            optional,
            _optional_applies(building, voltage_V),
            f"optional method for one dwelling, {article}.82",
        ),
    }
    sheets: dict[str, Sheet] = {}
    tried: list[Sheet] = []
    methods = []
    working: list[Line] = []
    for name, (write, reason, title) in writers.items():
        if reason[0]:
            sheets[name], all_of_them, _ = least(write, case, loads, limits, voltage_V)
            tried = tried or all_of_them
        methods.append(method_result(name, sheets.get(name), reason, title, voltage_V))
        if reason[0]:
            working += method_working(methods[-1], sheets[name], edition, voltage_V, building.name)
    chosen = choose(tuple(methods), house.general.load_method)
    neutral = max(tried, key=lambda sheet: sheet.neutral_VA)
    neutral_amperes = neutral_A(neutral, voltage_V, edition)
    working += neutral_working(neutral, neutral_amperes, edition, voltage_V, building.name)
    circuits = circuits_in(building, loads)
    disconnect_A = rules_more.building_disconnect_A(dwelling, circuits)
    listed = needed_A(chosen.demand_A, chosen.managed_A) <= rules_ratings.standard_ratings_A(edition)[-1]
    least_A = None
    if listed:
        least_A = rules_ratings.next_standard_A(needed_A(chosen.demand_A, chosen.managed_A), edition)
        text = f"next standard rating from {needed_A(chosen.demand_A, chosen.managed_A):.2f} A"
        by = cited(rules_ratings.next_standard_A, edition)
        working.append(line(f"{building.name}: smallest breaker of its feeder", text, least_A, "A", by))
    working.append(
        line(
            f"{building.name}: smallest disconnect",
            "a dwelling" if dwelling else f"{circuits} branch circuit(s)",
            disconnect_A,
            "A",
            cited(rules_more.building_disconnect_A, edition),
        )
    )
    standard_sheet = sheets["standard"]
    fed = Fed(
        id=building.id,
        name=building.name,
        added=building.status == "new",
        connected_VA=standard_sheet.connected_VA,
        demand_VA=standard_sheet.demand_VA,
        neutral_VA=neutral.neutral_VA,
        line_to_neutral_VA=standard_sheet.line_to_neutral_VA,
        neutral_of_240_VA=neutral.neutral_of_240_VA,
    )
    result = BuildingLoad(
        id=building.id,
        name=building.name,
        kind=building.kind,
        methods=tuple(methods),
        chosen=chosen.method,
        lines=chosen.lines,
        demand_VA=chosen.demand_VA,
        demand_A=chosen.demand_A,
        neutral_VA=neutral.neutral_VA,
        neutral_A=neutral_amperes,
        managed_A=chosen.managed_A,
        circuits=circuits,
        disconnect_least_A=disconnect_A,
        feeder_least_A=least_A,
        feeder_rating_A=building.feeder_rating_A,
        feeder_length_ft=building.feeder_length_ft,
        service_VA=None if dwelling else standard_sheet.demand_VA,
    )
    return Feeder(result, fed, tuple(working), standard_sheet.running)
