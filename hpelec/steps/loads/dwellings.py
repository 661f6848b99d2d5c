"""Two or more dwellings on one service: their optional method by the number of units."""

from __future__ import annotations

from dataclasses import dataclass, replace

from hpelec.core.working import show_number
from hpelec.house.sections import General
from hpelec.house.sections_power import DWELLING, Building
from hpelec.steps.loads import rules_appliances, rules_more
from hpelec.steps.loads.gather import COOKING, COVERED, HVAC, SEASONS, Load, Scenario
from hpelec.steps.loads.sheet import LIGHTING, Case, Sheet, block, fed_lines, idle_lines, limit_lines, remark_of, row_VA

UNITS = "dwellings together"
LEAST_SMALL, LEAST_LAUNDRY = 2, 1
"""Circuits that a dwelling must have; taken where a second dwelling tells none."""


@dataclass(frozen=True, slots=True)
class Unit:
    """One dwelling on the service; id "" is the house itself."""

    id: str
    name: str
    general: General
    loads: tuple[Load, ...]


def general_of(building: Building, house: General) -> General:
    """A second dwelling in the terms of the house's own section."""
    small, laundry = building.small_appliance_circuits, building.laundry_circuits
    return replace(
        house,
        floor_area_ft2=building.floor_area_ft2 or 0.0,
        small_appliance_circuits=LEAST_SMALL if small is None else small,
        laundry_circuits=LEAST_LAUNDRY if laundry is None else laundry,
        heating_zones=building.heating_zones,
    )


def units_of(general: General, buildings: tuple[Building, ...], loads: tuple[Load, ...]) -> tuple[Unit, ...]:
    """The house and every second dwelling, each with its loads."""
    second = sorted((b for b in buildings if b.kind == DWELLING), key=lambda b: b.id)
    mine = {id_: tuple(x for x in loads if x.building == id_) for id_ in ("", *(b.id for b in second))}
    return (
        Unit("", "the house", general, mine[""]),
        *(Unit(b.id, b.name, general_of(b, general), mine[b.id]) for b in second),
    )


def dwellings_apply(units: tuple[Unit, ...]) -> tuple[bool, str]:
    """Whether the optional method for several dwellings may be used, and why."""
    if len(units) == 1:
        return False, "for two or more dwellings on one service; here there is one"
    for unit in units:
        kinds = {load.category for load in unit.loads}
        if COOKING not in kinds or HVAC not in kinds:
            return False, f"every unit needs electric cooking and electric heating or cooling; {unit.name} has not both"
    if len(units) == 2:
        return True, "two dwellings: as three identical units, where that is less than the standard method"
    return True, f"{len(units)} dwellings, each with electric cooking and heating or cooling"


def unit_parts_VA(unit: Unit, chosen: Scenario, case: Case) -> list[float]:
    """Connected loads of one dwelling, the larger of its heating and cooling as one of them [VA]."""
    parts_VA = [VA for _, _, VA, _, _ in block(replace(case, general=unit.general, others=()))]
    mine = [load for load in chosen.running if load.building == unit.id and load.category != COVERED]
    parts_VA += [row_VA(load, case.edition) for load in mine if load.category != HVAC]
    hvac = [load for load in mine if load.category == HVAC]
    parts_VA.append(max(sum(load.total_VA for load in hvac if load.runs_in(s)) for s in SEASONS))
    return [VA for VA in parts_VA if VA]


@dataclass(frozen=True, slots=True)
class Dwellings:
    """Writer of the optional method for the dwellings on one service."""

    units: tuple[Unit, ...]

    def __call__(self, case: Case, chosen: Scenario, season: str) -> Sheet:
        """The sheet for loads that can run together; the larger of heating and cooling counts in each unit."""
        sheet = Sheet("dwellings", season, case.edition, chosen.running)
        by = rules_more.two_dwellings_VA if len(self.units) == 2 else rules_more.dwellings_percent
        for unit in self.units:
            _unit_lines(sheet, unit, chosen, case)
            parts_VA = unit_parts_VA(unit, chosen, case)
            sheet.units_VA += (sum(parts_VA),)
            text = " + ".join(show_number(VA) for VA in parts_VA)
            sheet.note(f"{unit.name}, with the larger of heating and cooling", text, sheet.units_VA[-1], by)
        if len(self.units) == 2:
            count, what_VA = int(rules_more.further("two_dwellings_as")), max(sheet.units_VA)
            demand_VA = rules_more.two_dwellings_VA(what_VA)
            text = f"{count} x {show_number(what_VA)}"
        else:
            count, what_VA = len(self.units), sum(sheet.units_VA)
            demand_VA = what_VA * rules_more.dwellings_percent(count) / 100
            text = show_number(what_VA)
        share = rules_more.dwellings_percent(count) / 100
        sheet.add(
            "dwellings",
            f"{count} dwellings of the table",
            UNITS,
            connected_VA=0.0,
            factor=share,
            demand_VA=demand_VA,
            by=by,
            expression=f"{text} x {share:g}",
        )
        limit_lines(sheet, chosen)
        fed_lines(sheet, case)
        idle_lines(sheet, replace(chosen, running=tuple(x for x in chosen.running if x.category == COVERED)))
        return sheet


def _unit_lines(sheet: Sheet, unit: Unit, chosen: Scenario, case: Case) -> None:
    before = f"{unit.id}:" if unit.id else ""
    for id_, what, VA, expression, by in block(replace(case, general=unit.general, others=())):
        sheet.add(
            before + id_,
            f"{what}, {unit.name}",
            LIGHTING,
            connected_VA=VA,
            demand_VA=0.0,
            by=by,
            remark=f"{expression}; counted with the {UNITS}",
        )
    for load in chosen.running:
        if load.building == unit.id and load.category != COVERED:
            sheet.add(
                load.id,
                load.name,
                load.category,
                connected_VA=row_VA(load, case.edition),
                demand_VA=0.0,
                by=rules_appliances.connected_VA,
                remark=remark_of(load, f"counted with the {UNITS}"),
            )
