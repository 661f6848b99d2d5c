"""Amperes of each appliance and water heater: its circuit, its overcurrent device, its part in a feeder."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from hpelec.common import equipment, rules_equipment
from hpelec.common.equipment import Rated, Sized
from hpelec.common.rules_ratings import next_standard_A
from hpelec.core.findings import Finding, Verdict
from hpelec.core.rounding import EPS
from hpelec.core.working import Line, line, show_number
from hpelec.house.model import House
from hpelec.house.rows_loads import Appliance, Heater
from hpelec.steps.loads import rules_appliances
from hpelec.steps.loads.gather import NO_LOAD, nameplate
from hpelec.steps.loads.model_amps import EquipmentAmps
from hpelec.steps.loads.sheet import cited

FEEDER = "feeder"
"""A factor whose row of the published table names the feeder among its sizes holds there too."""


SUBDIVIDED = "resistance duct/furnace elements"
SUBDIVIDED_KINDS = ("supplemental_heat", "furnace")


@dataclass(frozen=True, slots=True)
class Amps:
    """The rows, their working and what they have to tell."""

    rows: tuple[EquipmentAmps, ...] = ()
    working: tuple[Line, ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class _Piece:
    """A row of the house with its nameplate, its circuits and their size."""

    row: Appliance | Heater
    rated: Rated
    source: str
    parts: int
    size: Sized
    known: bool
    notes: tuple[str, ...] = field(default=())

    @property
    def quantity(self) -> int:
        return self.row.quantity if isinstance(self.row, Appliance) else 1


def equipment_amps(house: House, edition: int) -> Amps:
    """Amperes of every row that stands or will stand, by id; the order of the rows plays no part.

    VA never comes from MCA or a breaker: where only those are given, the feeder part is unknown.
    """
    voltage_V = house.service_site.voltage_V
    rows: list[Appliance | Heater] = [r for r in house.appliances if r.kind not in NO_LOAD]
    standing = [r for r in (*rows, *house.heaters) if r.status != "removed"]
    pieces = [_piece(row, voltage_V, edition) for row in sorted(standing, key=lambda r: (r.id, r.kind))]
    made = [_amps(piece, edition) for piece in pieces]
    return Amps(
        rows=tuple(row for row, _ in made),
        working=tuple(entry for _, lines in made for entry in lines),
        findings=tuple(found for piece in pieces for found in _findings(piece, edition)),
    )


def _piece(row: Appliance | Heater, service_V: float, edition: int) -> _Piece:
    voltage_V = equipment.nominal_V(row.voltage_V, service_V)
    if isinstance(row, Heater):
        load_VA: float | None = row.power_VA
        source = "nameplate"
        rated = equipment.rated_heater(row.id, row.kind, voltage_V, row.power_VA, row.volume_gal)
    else:
        load_VA, source = nameplate(replace(row, voltage_V=voltage_V))
        rated = equipment.rated_appliance(
            row.id,
            row.kind,
            voltage_V,
            load_VA or 0.0,
            continuous=row.continuous,
            motor=row.motor,
            motor_hp=row.motor_hp,
            mca_A=row.mca_A,
            mocp_A=row.mocp_A,
            duty_percent=row.duty_percent,
        )
    parts = equipment.circuits_of(rated)
    return _Piece(row, rated, source, parts, equipment.sized(rated, parts, edition), load_VA is not None)


def _amps(piece: _Piece, edition: int) -> tuple[EquipmentAmps, list[Line]]:
    rated, size = piece.rated, piece.size
    nothing = size.minimum_A is None and size.most_A is None
    each_A = _feeder_each_A(piece, edition)
    factor = _feeder_factor(piece)
    feeder_A = None if each_A is None else each_A * piece.quantity
    row = EquipmentAmps(
        id=rated.id,
        name=piece.row.name,
        kind=rated.kind,
        quantity=piece.quantity,
        voltage_V=rated.voltage_V,
        load_VA=rated.load_VA if piece.known else None,
        load_from=piece.source,
        full_load_A=_full_load_A(piece),
        duty_percent=rated.duty_percent if rated.kind == "welder" else None,
        circuits=piece.parts,
        circuit_A=rated.current_A / piece.parts if rated.current_A > 0 else None,
        factor=size.factor,
        minimum_A=size.minimum_A,
        device_A=None if nothing else size.breaker_A,
        device_most_A=size.most_A,
        feeder_A=feeder_A,
        feeder_sizing_A=None if feeder_A is None else feeder_A * factor,
        rule=size.basis,
        remark="; ".join(_remarks(piece, edition)),
        citation=size.citation,
    )
    lines = [replace(entry, what=f"amps: {entry.what}") for entry in size.working]
    if each_A is not None and feeder_A is not None:
        lines += _feeder_lines(piece, each_A, feeder_A, factor, edition)
    return row, lines


def _feeder_lines(piece: _Piece, each_A: float, feeder_A: float, factor: float, edition: int) -> Iterator[Line]:
    """How the feeder's part comes about, where it is not simply the current of the circuit."""
    name, count = piece.rated.id, f"{piece.quantity} x " if piece.quantity > 1 else ""
    if count or abs(each_A - piece.rated.current_A) > 1e-9:
        by = cited(rules_appliances.connected_VA, edition)
        yield line(f"amps: {name} in a feeder", f"{count}{show_number(each_A)} A", feeder_A, "A", by)
    if factor != 1:
        row = rules_equipment.factor_row(equipment.CONTINUOUS)
        expression = f"{show_number(feeder_A)} A x {factor:g}"
        yield line(f"amps: {name} when a feeder is sized", expression, feeder_A * factor, "A", row.citation)


def _full_load_A(piece: _Piece) -> float | None:
    """Full-load current of one [A]: its nameplate's, or the table's where only horsepower is known."""
    return piece.rated.load_VA / piece.rated.voltage_V if piece.known else None


def _feeder_each_A(piece: _Piece, edition: int) -> float | None:
    """What one of them adds to the load of a feeder [A], by the rules of the load calculation; None when unknown."""
    rated = piece.rated
    if rated.kind == "vehicle_charger" and (piece.known or edition >= 2023):
        counted_VA = rules_appliances.vehicle_charger_VA(rated.load_VA if piece.known else None, edition)
        return counted_VA / rated.voltage_V
    if not piece.known:
        return None
    if rated.kind == "welder":
        return piece.size.minimum_A
    if rated.kind == "dryer" and rated.voltage_V > 120:
        return rules_appliances.dryer_VA(rated.load_VA) / rated.voltage_V
    return rated.current_A if rated.kind == "range" else rated.load_VA / rated.voltage_V


def _feeder_factor(piece: _Piece) -> float:
    """Factor when a feeder is sized: 125 percent for what runs three hours or more, or where the table says so."""
    row = piece.row
    named = rules_equipment.factor_row(piece.rated.factor_of) if piece.rated.factor_of else None
    if named is not None and FEEDER in named.text("sizes"):
        return named.number("factor")
    if isinstance(row, Appliance) and row.continuous and row.kind != "welder":
        return rules_equipment.factor_row(equipment.CONTINUOUS).number("factor")
    return 1.0


def _remarks(piece: _Piece, edition: int) -> Iterator[str]:
    row, rated, size = piece.row, piece.rated, piece.size
    if isinstance(row, Appliance) and not row.fastened_in_place and row.voltage_V == 120:
        yield "plugged in: shown as if by itself"
    if rated.factor_of == equipment.SHORT_TANK:
        yield "125 percent on its branch circuit only"
    if rated.factor_of == equipment.TANKLESS_HEATER:
        many = f"{piece.parts} circuits, none above 48 A; " if piece.parts > 1 else ""
        yield f"{many}not continuous; the circuits marked on the heater win"
    if rated.kind == "welder" and size.minimum_A is not None:
        yield f"cable of at least {show_number(size.needed_A)} A behind that breaker; the methods count the nameplate"
    if piece.known:
        yield from _load_remarks(piece)
    yield from _set_current(piece, edition)


def _load_remarks(piece: _Piece) -> Iterator[str]:
    """Where the current that counts is not the nameplate's."""
    rated, size = piece.rated, piece.size
    if rated.kind == "range":
        yield f"{show_number(rated.current_A * rated.voltage_V)} VA by the cooking table"
    if rated.kind == "dryer" and rated.voltage_V > 120 and rated.load_VA < rules_appliances.dryer_VA(0):
        yield "5,000 VA in a feeder, the least for a dryer"
    shown_A = rated.load_VA / rated.voltage_V
    if rated.motor_hp is not None and size.factor is not None and abs(shown_A - rated.current_A) > 0.05:
        yield f"nameplate {shown_A:.2f} A; the table's {rated.current_A:.2f} A sizes its circuit"


def _set_current(piece: _Piece, edition: int) -> Iterator[str]:
    """What a charger would need at its nameplate, where a restricted setting stands for it."""
    row = piece.row
    if isinstance(row, Appliance) and row.set_A is not None and row.power_VA is not None:
        minimum_A = rules_equipment.branch_minimum_A(
            row.power_VA / row.voltage_V, rules_equipment.factor_row("EVSE").number("factor")
        )
        needed = f"{show_number(minimum_A)} A and {next_standard_A(minimum_A, edition):g} A"
        yield f"sized at its restricted setting of {row.set_A:g} A; at its nameplate it would need {needed}"


def _findings(piece: _Piece, edition: int) -> Iterator[Finding]:
    row, rated = piece.row, piece.rated
    for doubt in piece.size.doubts:
        if doubt.id == "load":
            continue  # the load calculation tells of it already, as load-not-known
        yield Finding(
            f"amps-{doubt.id}", "loads", rated.id, doubt.rule, doubt.got, doubt.allowed, doubt.fix, doubt.verdict,
            doubt.citation,
        )  # fmt: skip
    yield from _subdivided(piece)
    if isinstance(row, Appliance) and row.kind == "kiln" and row.duty_percent is not None:
        yield _open(
            "amps-kiln-duty", rated.id, "the duty cycle of a kiln lowers no code value",
            f"duty {row.duty_percent:g} percent noted; the kiln is taken as continuous at its nameplate",
            "nothing for the circuit; use it for a forecast of energy only", edition,
        )  # fmt: skip


def _subdivided(piece: _Piece) -> Iterator[Finding]:
    """Resistance elements that one circuit may not feed: the number of circuits stands on the nameplate."""
    rated, row = piece.rated, rules_equipment.factor_row(SUBDIVIDED)
    if rated.kind in SUBDIVIDED_KINDS and rated.current_A > row.number("factor") + EPS:
        yield Finding(
            "amps-subdivided", "loads", rated.id, "heating elements are divided so that none exceeds 48 A",
            f"{rated.current_A:.1f} A shown as one circuit", f"{row.number('factor'):g} A for each part",
            "the number and size of circuits marked on the nameplate", Verdict.CANNOT_SAY, row.citation,
        )  # fmt: skip


def _open(id_: str, place: str, rule: str, got: str, fix: str, edition: int) -> Finding:
    by = cited(rules_equipment.branch_minimum_A, edition)
    return Finding(id_, "loads", place, rule, got, "", fix, Verdict.CANNOT_SAY, by)
