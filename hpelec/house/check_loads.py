"""Checks on what the load calculation reads: other buildings, energy managements, chargers, the record."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from hpelec.core.errors import InputProblem, nearest
from hpelec.house.model import TABLES, House
from hpelec.house.rows_loads import Appliance, Heater
from hpelec.house.sections_power import DWELLING

Lines = Mapping[str, Mapping[str, int | None]]
TOML = "house.toml"
MOST_MANAGEMENTS = 4
"""Each may be applied or not, so the ways to combine them double with every one."""


def check_loads(house: House, at: Lines, incomplete: frozenset[str]) -> list[InputProblem]:
    """Problems of the rows and sections that only the load calculation reads; an empty list when they fit."""
    return [
        *_buildings(house),
        *_places(house, at),
        *_chargers(house, at),
        *([] if "energy_managements" in incomplete else _managements(house, at)),
        *([] if "measured" in incomplete else _measured(house)),
    ]


def _rows(house: House) -> Iterable[tuple[str, Appliance | Heater]]:
    yield from (("appliances", row) for row in house.appliances)
    yield from (("heaters", row) for row in house.heaters)


def _row_problem(
    at: Lines, part: str, row: Appliance | Heater, column: str, value: str, said: str, allowed: str, near: str = ""
) -> InputProblem:
    line = at.get(part, {}).get(row.id)
    return InputProblem(f"{TABLES[part][0]}.csv", line, column, value, f"{row.id}: {said}", allowed, near)


def _buildings(house: House) -> Iterable[InputProblem]:
    for building in house.buildings:
        if building.kind == DWELLING and building.floor_area_ft2 is None:
            said = f"{building.id}: a second dwelling is calculated by its floor area"
            yield InputProblem(TOML, None, "buildings.floor_area_ft2", "", said, "a number > 0 [ft2]")
        for name in ("small_appliance_circuits", "laundry_circuits"):
            count = getattr(building, name)
            if building.kind != DWELLING and count:
                said = f"{building.id}: only a dwelling has such circuits"
                yield InputProblem(
                    TOML, None, f"buildings.{name}", str(count), said, "blank, or kind = second_dwelling"
                )


def _places(house: House, at: Lines) -> Iterable[InputProblem]:
    for part, row in _rows(house):
        if row.building and row.room:
            said = "stands in another building, and rooms are those of the house"
            yield _row_problem(at, part, row, "room", row.room, said, "blank where building is given")
        if isinstance(row, Heater) and not row.building and not row.room:
            yield _row_problem(at, part, row, "room", "", "a room is needed", "an id from rooms, or a building")


def _chargers(house: House, at: Lines) -> Iterable[InputProblem]:
    for row in house.appliances:
        if row.set_A is None:
            continue
        shown = f"{row.set_A:g}"
        nameplate_A = row.power_VA / row.voltage_V if row.power_VA is not None else row.current_A
        if row.kind != "vehicle_charger":
            said = "only a vehicle charger has a set current"
            yield _row_problem(at, "appliances", row, "set_A", shown, said, "blank, or kind vehicle_charger")
        elif not row.fastened_in_place:
            said = "an adjustable setting is for equipment fastened in place only"
            yield _row_problem(at, "appliances", row, "set_A", shown, said, "blank, or fastened_in_place yes")
        elif nameplate_A is not None and row.set_A > nameplate_A * (1 + 1e-9):
            said = "set above its nameplate"
            yield _row_problem(at, "appliances", row, "set_A", shown, said, f"<= {nameplate_A:g} [A]")


def _managements(house: House, at: Lines) -> Iterable[InputProblem]:
    """The names in managed_by are free while no set point is given; with one they must be those listed."""
    known = [m.id for m in house.energy_managements]
    if len(known) > MOST_MANAGEMENTS:
        yield InputProblem(
            TOML, None, "energy_managements", str(len(known)), "too many", f"at most {MOST_MANAGEMENTS} tables"
        )
    for management in house.energy_managements:
        if management.minimum_A > management.setpoint_A:
            said = f"{management.id}: the loads need more than the set point"
            allowed = f"<= {management.setpoint_A:g} [A]"
            value = f"{management.minimum_A:g}"
            yield InputProblem(TOML, None, "energy_managements.minimum_A", value, said, allowed)
    first: dict[str, str] = {}
    for part, row in _rows(house):
        name = row.managed_by
        if not name or not known:
            continue
        if name not in known:
            said = "no such energy management in house.toml"
            yield _row_problem(at, part, row, "managed_by", name, said, ", ".join(known), nearest(name, known))
        elif first.setdefault(name, row.building) != row.building:
            said = f"the energy management {name} governs a load in another building already"
            yield _row_problem(at, part, row, "managed_by", name, said, "one energy management for each building")


def _measured(house: House) -> Iterable[InputProblem]:
    record = house.measured
    if record.peak_VA is not None and record.peak_A is not None:
        said = "the peak is given twice, in VA and in amperes"
        yield InputProblem(TOML, None, "measured.peak_A", f"{record.peak_A:g}", said, "one of peak_VA and peak_A")
