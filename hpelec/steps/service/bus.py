"""Room for solar and storage: at the bus of each panel by every way the edition knows, and on the supply side."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from hpelec.common import rules_ratings as ratings
from hpelec.core.citing import Citation, cite
from hpelec.core.findings import Assumption
from hpelec.house.rows import Panel
from hpelec.house.rows_loads import Appliance, FutureLoad
from hpelec.steps.service import rules_bus
from hpelec.steps.service.metering import fed_from_service
from hpelec.steps.service.model_spare import SourceRoom
from hpelec.steps.service.sizing import Sizing

SOURCES = ("solar", "storage")
SUPPLY_SIDE = "supply side"
Limit = Callable[[float, float], float]


def current_A(row: Appliance | FutureLoad) -> float | None:
    """Current of a row [A]: as given, or from its power; None when neither is."""
    if row.current_A is not None:
        return row.current_A
    return None if row.power_VA is None else row.power_VA / row.voltage_V


@dataclass(frozen=True, slots=True)
class Buses:
    """The buses of the house: panels by id, the device that feeds each, and the sources that stand at each."""

    sizing: Sizing
    panels: dict[str, Panel]
    mains_A: dict[str, float]
    standing_A: dict[str, float]
    unknown: tuple[str, ...]
    """Sources that stand whose current is not given."""

    def chain(self, panel: str) -> list[str]:
        """The panel and those that feed it, up to the service."""
        found: list[str] = []
        while panel in self.panels and panel not in found:
            found.append(panel)
            panel = self.panels[panel].fed_from
        return found

    @property
    def first(self) -> str:
        """Id of the first panel at the service; blank when there is none."""
        at_service = fed_from_service(tuple(self.panels.values()))
        return at_service[0].id if at_service else ""


def buses_of(sizing: Sizing, main_A: float, panels: tuple[Panel, ...], appliances: tuple[Appliance, ...]) -> Buses:
    """The buses; the device of each is its own main, or the largest standard one within its bus and what feeds it."""
    by_id = {p.id: p for p in sorted(panels, key=lambda p: p.id)}
    mains_A: dict[str, float] = {}

    def main_of(panel: Panel, seen: tuple[str, ...] = ()) -> float:
        if panel.main_A is not None:
            return panel.main_A
        above = by_id.get(panel.fed_from) if panel.fed_from not in seen else None
        limit_A = min(
            panel.rating_A, main_A if above is None else min(above.rating_A, main_of(above, (*seen, panel.id)))
        )
        return ratings.largest_standard_A(limit_A, sizing.edition) or limit_A

    for panel in by_id.values():
        mains_A[panel.id] = main_of(panel)
    standing = [a for a in appliances if a.kind in SOURCES and a.status != "removed"]
    known = {a.id: current_A(a) for a in standing}
    unknown = tuple(sorted(name for name, current in known.items() if current is None))
    buses = Buses(sizing, by_id, mains_A, {}, unknown)
    total_A = sum((known[a.id] or 0.0) * a.quantity for a in sorted(standing, key=lambda a: a.id))
    return Buses(sizing, by_id, mains_A, {buses.first: total_A} if standing else {}, unknown)


def bus_assumptions(buses: Buses) -> list[Assumption]:
    """Where sources that stand are taken to be connected."""
    if not buses.standing_A or not buses.first:
        return []
    taken = f"solar and storage of appliances.csv feed the bus of {buses.first}"
    return [Assumption("service, sources", taken, "appliances.csv does not say where they are connected")]


def _ways(panel: Panel) -> tuple[tuple[str, Limit, str], ...]:
    anywhere = ("anywhere on the bus", rules_bus.anywhere_source_A, "no breaker may be moved to another place later")
    if panel.feed_at == "center":
        told = "at one end of the bus, not at both; mark the place"
        return (anywhere, ("at one end of a bus fed at its center", rules_bus.center_fed_source_A, told))
    told = "at the end of the bus opposite its main; mark the place"
    return (anywhere, ("at the end opposite the main", rules_bus.opposite_end_source_A, told))


def room(buses: Buses) -> tuple[SourceRoom, ...]:
    """Every panel by every way, then the supply side."""
    rows = [row for panel in buses.panels.values() for row in _at_panel(buses, panel)]
    return (*rows, _supply_side(buses))


def _at_panel(buses: Buses, panel: Panel) -> Iterator[SourceRoom]:
    edition, main_A = buses.sizing.edition, buses.mains_A[panel.id]
    taken_A = buses.standing_A.get(panel.id, 0.0)
    for way, limit, told in _ways(panel):
        left_A: float | None = max(limit(panel.rating_A, main_A) - taken_A, 0.0)
        remark = told if panel.feed_at != "center" or limit is not rules_bus.anywhere_source_A else "any place"
        if buses.unknown:
            left_A, remark = None, f"current of {', '.join(buses.unknown)} is not given"
        else:
            left_A, remark = _upstream(buses, panel, left_A or 0.0, remark)
        yield _room_row(buses, panel.id, way, panel.rating_A, main_A, taken_A, left_A, remark, cite(limit, edition))
    yield SourceRoom(
        place=panel.id,
        way="by the sum of the breakers",
        bus_A=panel.rating_A,
        main_A=main_A,
        taken_A=taken_A,
        remark=f"all breakers but the main within {panel.rating_A:g} A together; count them when the panel is laid out",
        citation=cite(rules_bus.breaker_sum_room_A, edition),
    )


def _upstream(buses: Buses, panel: Panel, left_A: float, remark: str) -> tuple[float, str]:
    """Room at a panel is no more than the buses that feed it leave, each by its most generous way."""
    for name in buses.chain(panel.id)[1:]:
        above = buses.panels[name]
        most_A = max(limit(above.rating_A, buses.mains_A[name]) for _, limit, _ in _ways(above))
        most_A = max(most_A - buses.standing_A.get(name, 0.0), 0.0)
        if most_A < left_A:
            left_A, remark = most_A, f"limited by the bus of {name}, which feeds it"
    return left_A, remark


def _room_row(
    buses: Buses,
    place: str,
    way: str,
    bus_A: float | None,
    main_A: float,
    taken_A: float,
    left_A: float | None,
    remark: str,
    citation: Citation,
) -> SourceRoom:
    over, under = rules_bus.SOURCE_FACTOR
    known = left_A is not None
    breaker_A = ratings.largest_standard_A((left_A or 0.0) * over / under, buses.sizing.edition) if known else None
    return SourceRoom(
        place=place,
        way=way,
        bus_A=bus_A,
        main_A=main_A,
        taken_A=taken_A,
        source_A=left_A,
        breaker_A=breaker_A,
        power_VA=None if left_A is None else left_A * buses.sizing.voltage_V,
        remark=remark,
        citation=citation,
    )


def _supply_side(buses: Buses) -> SourceRoom:
    sizing = buses.sizing
    rating_A = sizing.rating_A or sizing.main_A or 0.0
    left_A = None if rating_A <= 0 else rules_bus.supply_side_source_A(rating_A)
    remark = "ahead of the main: the utility must agree, and a disconnect of its own is needed"
    citation = cite(rules_bus.supply_side_source_A, sizing.edition)
    return _room_row(buses, SUPPLY_SIDE, "ahead of the main", None, rating_A, 0.0, left_A, remark, citation)


def most_room_A(rows: tuple[SourceRoom, ...], place: str) -> float | None:
    """The most that any way at a place allows [A]; None when it cannot be said."""
    return max((r.source_A for r in rows if r.place == place and r.source_A is not None), default=None)
