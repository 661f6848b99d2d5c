"""Fault current from point to point of the supply: impedances added as vectors, and point to point beside them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from hpelec.common.rules_conductors import usable_sizes
from hpelec.core.findings import Assumption
from hpelec.core.working import Line, line
from hpelec.house.geometry import edge_of
from hpelec.house.model import House
from hpelec.house.rows import Panel, Room
from hpelec.steps.faults import rules
from hpelec.steps.faults.model import FaultPoint
from hpelec.steps.faults.source import Source
from hpelec.steps.loads.model import BuildingLoad
from hpelec.steps.service.model import ConductorChoice, ServiceResult

COLD_C, HOT_C = 25.0, 75.0
"""Conductor temperatures for the highest and the lowest current."""
SUPPLY = ("transformer", "meter")
"""Points ahead of the panels."""
ENDS_FT = 10.0
"""Cable left at the two panels, for the usual length of a feeder taken from the plan."""


@dataclass(frozen=True, slots=True)
class Run:
    """Conductors between two points.

    row: as proposed; largest: as they may be at most (the utility's own may be larger than proposed here); None where
    nothing is sized. least_ft, most_ft: shortest and usual length, alike when it is given.
    """

    row: ConductorChoice | None
    largest: ConductorChoice | None
    least_ft: float
    most_ft: float

    def high_ohm(self, *, neutral: bool = False) -> complex:
        """Loop for the highest current."""
        return loop_ohm(self.largest, self.least_ft, COLD_C, neutral=neutral)

    def usual_ohm(self, conductor_C: float, *, neutral: bool = False) -> complex:
        """Loop of the conductors proposed."""
        return loop_ohm(self.row, self.most_ft, conductor_C, neutral=neutral)


def name_of(row: ConductorChoice | None) -> str:
    """Sets, size and metal."""
    if row is None:
        return "not sized"
    return f"{row.sets} x {row.size} {row.material}" if row.sets > 1 else f"{row.size} {row.material}"


def loop_ohm(row: ConductorChoice | None, length_ft: float, conductor_C: float, *, neutral: bool) -> complex:
    """Impedance there and back: both lines, or a line and the neutral; zero where nothing is sized."""
    if row is None:
        return 0j
    back = row.neutral_size or row.size if neutral else row.size
    ways = (rules.conductor_ohm(size, row.material, row.sets, length_ft, conductor_C) for size in (row.size, back))
    return sum(ways, 0j)


@dataclass(frozen=True, slots=True)
class Reached:
    """State at a point: loop impedances [ohm] of the cases, the point-to-point current, the length so far."""

    high: complex
    best: complex
    low: complex
    neutral_high: complex
    neutral_low: complex
    by_points_A: float | None
    length_ft: float
    sized: bool


def _at_source(source: Source) -> Reached:
    def z(current_A: float) -> complex:
        return rules.source_ohm(source.voltage_V, current_A, source.x_over_r)

    def z_neutral(current_A: float) -> complex:
        return rules.source_ohm(source.neutral_V, source.neutral_A(current_A), source.x_over_r)

    return Reached(
        z(source.high_A),
        z(source.best_A),
        z(source.low_A),
        z_neutral(source.high_A),
        z_neutral(source.low_A),
        source.high_A,
        0.0,
        True,
    )


def _after(before: Reached, run: Run, voltage_V: float) -> Reached:
    by_points_A = before.by_points_A
    if run.largest is not None and by_points_A is not None:
        c = rules.c_value(run.largest.size, run.largest.material, COLD_C)
        by_points_A = rules.point_to_point_A(by_points_A, run.least_ft, c, run.largest.sets, voltage_V)
    return Reached(
        before.high + run.high_ohm(),
        before.best + run.usual_ohm(COLD_C),
        before.low + run.usual_ohm(HOT_C),
        before.neutral_high + run.high_ohm(neutral=True),
        before.neutral_low + run.usual_ohm(HOT_C, neutral=True),
        by_points_A,
        before.length_ft + run.most_ft,
        before.sized and run.row is not None,
    )


@dataclass(frozen=True, slots=True)
class Chain:
    """The points with their working and what was taken."""

    points: tuple[FaultPoint, ...]
    working: tuple[Line, ...]
    assumptions: tuple[Assumption, ...]
    unsized: tuple[str, ...]

    @property
    def panels(self) -> tuple[FaultPoint, ...]:
        """The points that are panels."""
        return tuple(p for p in self.points if p.id not in SUPPLY)


def chain(house: House, source: Source, service: ServiceResult, buildings: Sequence[BuildingLoad]) -> Chain:
    """Every point from the transformer to each panel, panels after those that feed them; then the other buildings.

    A building whose feeder has no length, or that no panel feeds, has no point.
    """
    chosen = {row.part: row for row in service.conductors if row.chosen}
    site = house.service_site
    row = chosen.get("lateral")
    theirs = site.lateral_owner == "utility" and row is not None and not source.at_meter
    largest = _largest(row) if theirs and row is not None else row
    lateral = Run(row, largest, site.lateral_length_ft, site.lateral_length_ft)
    row = chosen.get("service entrance")
    entrance = Run(row, row, site.service_entrance_length_ft, site.service_entrance_length_ft)
    begin = _at_source(source)
    points: list[FaultPoint] = []
    working: list[Line] = []
    if source.at_meter:
        meter = begin
        points.append(_point("meter", "Meter, where the utility states it", "", None, meter, source))
    else:
        meter = _after(begin, lateral, source.voltage_V)
        points.append(_point("transformer", "Transformer terminals", "", None, begin, source))
        points.append(_point("meter", "Meter", "transformer", lateral, meter, source))
        working += _working("meter", lateral, begin, points[-1], source)
    reached: dict[str, Reached] = {"service": meter}
    names = {"service": "meter"}
    taken: list[str] = []
    for panel in _in_order(house.panels):
        run = entrance
        if panel.fed_from != "service":
            run, from_plan = _feeder(house, panel, chosen.get(f"feeder to {panel.id}"))
            taken += [f"{panel.id} {run.least_ft:.0f} to {run.most_ft:.0f} ft"] if from_plan else []
        before = reached[panel.fed_from]
        reached[panel.id] = _after(before, run, source.voltage_V)
        fed = names.get(panel.fed_from, panel.fed_from)
        points.append(_point(panel.id, panel.name, fed, run, reached[panel.id], source, panel.interrupting_kA))
        working += _working(panel.id, run, before, points[-1], source)
    first = next((p.id for p in _in_order(house.panels) if p.fed_from == "service"), "")
    for building in sorted(buildings, key=lambda b: b.id):
        row, length_ft = chosen.get(f"feeder to {building.id}"), building.feeder_length_ft
        if first and row is not None and length_ft is not None:
            run, before = Run(row, row, length_ft, length_ft), reached[first]
            after = _after(before, run, source.voltage_V)
            points.append(_point(building.id, building.name, first, run, after, source))
            working += _working(building.id, run, before, points[-1], source)
    return Chain(
        tuple(points),
        tuple(working),
        _assumptions(taken, largest if theirs else None),
        tuple(k for k, r in reached.items() if not r.sized),
    )


def _largest(row: ConductorChoice) -> ConductorChoice:
    """The same run in the largest size of the table, neutral alike."""
    size = usable_sizes(row.material)[-1]
    return replace(row, size=size, neutral_size=size)


def _in_order(panels: tuple[Panel, ...]) -> list[Panel]:
    """Panels by id, each after the one that feeds it."""
    left = sorted(panels, key=lambda p: p.id)
    done: list[Panel] = []
    known = {"service"}
    while left:
        ready = [p for p in left if p.fed_from in known]
        if not ready:
            break
        done += ready
        known.update(p.id for p in ready)
        left = [p for p in left if p.id not in known]
    return done


def _point(
    name: str, words: str, fed_from: str, run: Run | None, at: Reached, source: Source, given_kA: float | None = None
) -> FaultPoint:
    high_A = rules.vector_fault_A(source.voltage_V, at.high)
    neutral_A = rules.vector_fault_A(source.neutral_V, at.neutral_high)
    needed_A = max(high_A, neutral_A)
    low_known = at.sized and source.lowest_known
    return FaultPoint(
        id=name,
        name=words,
        fed_from=fed_from,
        run="" if run is None else name_of(run.row) + ("" if run.largest == run.row else " or larger"),
        distance_ft=at.length_ft,
        impedance_ohm=abs(at.best) if at.sized else None,
        high_A=high_A,
        best_A=rules.vector_fault_A(source.voltage_V, at.best) if at.sized else None,
        low_A=rules.vector_fault_A(source.voltage_V, at.low) if low_known else None,
        point_to_point_A=at.by_points_A if at.sized else None,
        neutral_high_A=neutral_A,
        neutral_low_A=rules.vector_fault_A(source.neutral_V, at.neutral_low) if low_known else None,
        needed_A=needed_A,
        other_ratio_A=needed_A,
        needed_kA=rules.rating_needed_kA(needed_A),
        given_kA=given_kA,
    )


def _feeder(house: House, panel: Panel, row: ConductorChoice | None) -> tuple[Run, bool]:
    """The run of a feeder, and whether its length was taken from the plan."""
    if panel.feeder_length_ft is not None:
        return Run(row, row, panel.feeder_length_ft, panel.feeder_length_ft), False
    by_id = {p.id: p for p in house.panels}
    rooms = {r.id: r for r in house.rooms}
    floors = {lv.id: lv.floor_ft for lv in house.levels}
    places = [_place(p, rooms[p.room], floors) for p in (panel, by_id[panel.fed_from])]
    (x0, y0, z0), (x1, y1, z1) = places
    straight = math.dist((x0, y0, z0), (x1, y1, z1))
    return Run(row, row, straight, abs(x1 - x0) + abs(y1 - y0) + abs(z1 - z0) + ENDS_FT), True


def _place(panel: Panel, room: Room, floors: dict[str, float]) -> tuple[float, float, float]:
    edge = edge_of(room, panel.side)
    if edge is None:
        raise ValueError(f"panel {panel.id}: room {room.id} has no wall {panel.side!r}")
    x, y = edge.at(edge.along(panel.offset_ft))
    return x, y, floors.get(room.level, 0.0) + panel.height_in / 12


def _working(name: str, run: Run, before: Reached, point: FaultPoint, source: Source) -> list[Line]:
    row = run.largest
    if row is None:
        return []
    loop = run.high_ohm()
    total = before.high + loop
    lines = [
        line(
            f"{name}: resistance of {row.size} {row.material} at 25 C",
            "75 C value x (1 + a (25 - 75))",
            rules.conductor_ohm(row.size, row.material, 1, 1000.0, COLD_C).real,
            "ohm/kft",
            rules.temperature_citation(row.material),
        ),
        line(
            f"{name}: loop of {name_of(row)} added, both lines",
            f"2 x {run.least_ft:.1f} ft: |{loop.real:.5f} + j {loop.imag:.5f}|",
            abs(loop),
            "ohm",
        ),
        line(
            f"{name}: highest current, line to line",
            f"{source.voltage_V:g} / |{total.real:.5f} + j {total.imag:.5f}|",
            point.high_A,
            "A",
            rules.vector_fault_A,
        ),
    ]
    if point.point_to_point_A is not None and before.by_points_A is not None:
        c = rules.c_value(row.size, row.material, COLD_C)
        lines.append(
            line(
                f"{name}: the same point to point",
                f"{before.by_points_A:.0f} / (1 + 2 x {run.least_ft:.1f} x {before.by_points_A:.0f} / "
                f"({c:.0f} x {row.sets} x {source.voltage_V:g}))",
                point.point_to_point_A,
                "A",
                rules.point_to_point_A,
            )
        )
    lines.append(
        line(
            f"{name}: highest current, line to neutral",
            f"{source.neutral_V:g} V round one line and the neutral {row.neutral_size or row.size}",
            point.neutral_high_A,
            "A",
            rules.vector_fault_A,
        )
    )
    if point.needed_kA is not None:
        larger = f"first usual rating >= {point.needed_A:,.0f} A"
        lines.append(
            line(f"{name}: usual rating that is enough", larger, point.needed_kA, "kA", rules.rating_needed_kA)
        )
    return lines


def _assumptions(taken: list[str], theirs: ConductorChoice | None) -> tuple[Assumption, ...]:
    found = [
        Assumption(
            "faults, currents",
            "bolted faults; conductors at 25 C for the highest current, 75 C for the lowest, reactance as in PVC",
            "an arc lowers the current further; steel raceway lowers it a little",
        )
    ]
    if theirs is not None:
        found.append(
            Assumption(
                "faults, lateral",
                f"{name_of(theirs)} with a full neutral, for the highest current",
                "the utility owns the lateral and may lay a larger one than is proposed here: the largest tabulated",
            )
        )
    if taken:
        found.append(
            Assumption(
                "faults, feeder lengths",
                "; ".join(taken),
                "feeder_length_ft is blank: straight line for the highest current, along the walls with "
                f"{ENDS_FT:g} ft for the ends for the lowest",
            )
        )
    return tuple(found)
