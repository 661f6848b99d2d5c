"""What could still be added, counted in full, and the rows of future.csv against it.

Counted in full is the careful figure: a method of load calculation may count less of a load. `hpelec.study` adds each
load to the house and calculates again.
"""

from __future__ import annotations

from functools import cache

from hpelec.common import rules_ratings as ratings
from hpelec.core.citing import Citation, cite
from hpelec.core.findings import Finding, Verdict
from hpelec.core.tables import table
from hpelec.house.rows_loads import FutureLoad
from hpelec.steps.service import rules, rules_bus
from hpelec.steps.service.bus import SOURCES, SUPPLY_SIDE, Buses, current_A, most_room_A
from hpelec.steps.service.model_spare import SourceRoom, SpareRow, Wish
from hpelec.steps.service.sizing import Sizing

CONTINUOUS = ("vehicle_charger", "space_heater", "water_heater")
"""Kinds whose circuit is at least 1.25 times their current."""
COUNTED = ("vehicle_charger", "outbuilding")
"""Kinds of which every method counts at least the smallest share. A heater may fall in the season that does not count,
and one more fixed appliance may bring the group under its factor."""
LOADS = Citation("NFPA 70", "220.82, 220.83, 220.57; 120.82, 120.83, 120.57", "2017-2026", "published")


@cache
def least_share(edition: int) -> float:
    """Smallest share that any method counts of a load: the remainder factor of the optional and existing methods."""
    return table("loads/edition_parameters").one(parameter="optional_remainder_factor").number(f"nec_{edition}")


@cache
def charger_least_VA(edition: int) -> float:
    """What a charger counts at least [VA]; zero for editions without such a rule."""
    rows = table("service_sizing/common_sizes").where(group="charger_least_load", edition=str(edition))
    return rows[0].number("size") if rows else 0.0


def spare(sizing: Sizing) -> tuple[SpareRow, ...]:
    """Largest single load of each kind within what the rating leaves; empty when no offer carries the load."""
    if sizing.rating_A is None:
        return ()
    left_A = max(sizing.rating_A - sizing.load_A, 0.0)
    kinds = (
        ("vehicle charger", 80.0, "circuit loaded to 80 %"),
        ("space heater or water heater", 80.0, "circuit loaded to 80 %"),
        ("outbuilding feeder", 100.0, "its calculated load as large as its breaker"),
        ("any other load", 100.0, "circuit loaded in full"),
    )
    return tuple(_spare_row(sizing, kind, left_A, percent, told) for kind, percent, told in kinds)


def _spare_row(sizing: Sizing, kind: str, left_A: float, percent: float, told: str) -> SpareRow:
    least_A = charger_least_VA(sizing.edition) / sizing.voltage_V if kind == "vehicle charger" else 0.0
    circuits = [r for r in ratings.standard_ratings_A(sizing.edition) if rules.continuous_A(r, percent) <= left_A]
    if not circuits or least_A > left_A:
        return SpareRow(kind=kind, circuit_A=None, current_A=0.0, power_VA=0.0, remark=f"none fits; {told}")
    current = rules.continuous_A(circuits[-1], percent)
    return SpareRow(
        kind=kind, circuit_A=circuits[-1], current_A=current, power_VA=current * sizing.voltage_V, remark=told
    )  # fmt: skip


def wishes(
    sizing: Sizing, rows: tuple[FutureLoad, ...], buses: Buses, sources: tuple[SourceRoom, ...]
) -> tuple[Wish, ...]:
    """Each row of future.csv by itself, by id."""
    return tuple(
        _source_wish(sizing, row, buses, sources) if row.kind in SOURCES else _load_wish(sizing, row, buses)
        for row in sorted(rows, key=lambda r: r.id)
    )


def _load_wish(sizing: Sizing, row: FutureLoad, buses: Buses) -> Wish:
    current, place = current_A(row), row.panel or buses.first or "service"
    if row.connect_at == "supply_side":
        why = "only a source is connected ahead of the main"
        return _wish(row, SUPPLY_SIDE, current, None, None, None, Verdict.MISSES, why)
    if current is None:
        return _wish(row, place, None, None, None, None, Verdict.CANNOT_SAY, "neither VA nor amperes are given")
    counted_A = current * row.voltage_V / sizing.voltage_V
    if row.kind == "vehicle_charger":
        counted_A = max(counted_A, charger_least_VA(sizing.edition) / sizing.voltage_V)
    device_A = _device_A(row, current, sizing.edition)
    if sizing.rating_A is None:
        why = "no offered rating carries the load as it is"
        return _wish(row, place, current, counted_A, device_A, None, Verdict.MISSES, why)
    spare_A = max(sizing.rating_A - sizing.load_A, 0.0)
    left_A = spare_A - counted_A
    if left_A >= 0:
        verdict, why = Verdict.MEETS, f"counted in full it leaves {left_A:.1f} A of the {sizing.rating_A:g} A"
    elif row.kind in COUNTED and counted_A * least_share(sizing.edition) > spare_A:
        verdict, why = (
            Verdict.MISSES,
            f"{spare_A:.1f} A are left; even {100 * least_share(sizing.edition):g} % of it would be more",
        )
    else:
        verdict = Verdict.CANNOT_SAY
        why = f"{spare_A:.1f} A are left; whether it fits depends on how much of it the load calculation counts"
    return _wish(row, place, current, counted_A, device_A, left_A, verdict, why)


def _device_A(row: FutureLoad, current: float, edition: int) -> float | None:
    if row.kind in CONTINUOUS or row.kind in SOURCES:
        return rules_bus.continuous_device_A(current, edition) if current <= 4800 else None
    return ratings.next_standard_A(current, edition) if current <= ratings.standard_ratings_A(edition)[-1] else None


def _source_wish(sizing: Sizing, row: FutureLoad, buses: Buses, sources: tuple[SourceRoom, ...]) -> Wish:
    place = SUPPLY_SIDE if row.connect_at == "supply_side" else row.panel or buses.first
    current = current_A(row)
    if current is None:
        return _wish(row, place, None, None, None, None, Verdict.CANNOT_SAY, "neither VA nor amperes are given")
    most_A = most_room_A(sources, place)
    device_A = _device_A(row, current, sizing.edition)
    if most_A is None:
        why = "no panel at the service, or a source that stands has no current given"
        return _wish(row, place, current, None, device_A, None, Verdict.CANNOT_SAY, why)
    left_A = most_A - current
    if left_A >= 0:
        return _wish(row, place, current, None, device_A, left_A, Verdict.MEETS, f"{most_A:.1f} A of sources fit there")
    elsewhere = most_room_A(sources, SUPPLY_SIDE)
    why = f"{most_A:.1f} A of sources fit there"
    if place != SUPPLY_SIDE:
        why += ", unless all breakers but the main are within the bus rating"
        why += ", or on the supply side" if elsewhere is not None and elsewhere >= current else ""
    verdict = Verdict.MISSES if place == SUPPLY_SIDE else Verdict.CANNOT_SAY
    return _wish(row, place, current, None, device_A, left_A, verdict, why)


def _wish(
    row: FutureLoad,
    place: str,
    current: float | None,
    counted_A: float | None,
    device_A: float | None,
    left_A: float | None,
    verdict: Verdict,
    why: str,
) -> Wish:
    return Wish(
        id=row.id,
        name=row.name,
        kind=row.kind,
        place=place,
        current_A=current,
        counted_A=counted_A,
        device_A=device_A,
        left_A=left_A,
        fits=verdict.value,
        why=why,
    )


def wish_findings(
    sizing: Sizing, rows: tuple[Wish, ...], buses: Buses, sources: tuple[SourceRoom, ...]
) -> list[Finding]:
    """One finding for each wish, good news too; then for each place that several sources would feed."""
    places = [*buses.panels, SUPPLY_SIDE]
    wished = [row for row in rows if row.kind in SOURCES and row.current_A is not None]
    behind = {place: [r for r in wished if place in (buses.chain(r.place) or [r.place])] for place in places}
    together = [_together(sizing, place, those, sources) for place, those in behind.items() if len(those) > 1]
    return [*(_wish_finding(sizing, row) for row in rows), *together]


def _together(sizing: Sizing, place: str, rows: list[Wish], sources: tuple[SourceRoom, ...]) -> Finding:
    most_A = most_room_A(sources, place)
    sum_A = sum(row.current_A or 0.0 for row in rows)
    if most_A is None:
        verdict, allowed = Verdict.CANNOT_SAY, ""
    else:
        other_way = Verdict.MISSES if place == SUPPLY_SIDE else Verdict.CANNOT_SAY
        verdict, allowed = Verdict.MEETS if sum_A <= most_A else other_way, f"<= {most_A:.1f} A"
    by = rules_bus.supply_side_source_A if place == SUPPLY_SIDE else rules_bus.opposite_end_source_A
    return Finding(
        "future-sources-together",
        "service",
        place,
        "all sources wished for at one place, and at panels that it feeds, fit together",
        f"{', '.join(row.id for row in rows)}: {sum_A:.1f} A",
        allowed,
        "fewer or smaller sources, the supply side, or all breakers but the main within the bus rating",
        verdict,
        cite(by, sizing.edition),
    )


def _wish_finding(sizing: Sizing, row: Wish) -> Finding:
    source = row.kind in SOURCES
    said = "a source wished for later fits where it is to be connected"
    load = "a load wished for later fits the service proposed, counted in full"
    current = "current not given" if row.current_A is None else f"{row.name}: {row.current_A:.1f} A"
    if row.current_A is None:
        fix = "give power_VA or current_A in future.csv"
    elif source:
        fix = "a bus with a higher rating, a smaller main, the supply side, or a smaller source"
    else:
        fix = "calculate with it added (study of future loads), manage it, or ask for a larger service"
    on_supply_side = row.place == SUPPLY_SIDE
    by = rules_bus.supply_side_source_A if on_supply_side else rules_bus.opposite_end_source_A
    return Finding(
        "future-source" if source else "future-load",
        "service",
        row.id,
        said if source else load,
        f"{current}; {row.why}" if row.current_A is not None else current,
        "",
        fix,
        Verdict(row.fits),
        cite(by, sizing.edition) if source else LOADS,
    )
