"""Results of the step routes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from hpelec.core.results import StepResult, told

WAYS = ("below_floor", "through_studs", "above_ceiling", "between_levels")
"""The ways a leg can take."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """A place where a cable passes the air barrier."""

    circuit: str = told("circuit whose cable passes")
    cable: str = told("cable that passes")
    device: str = told("device or panel at the inner end of the leg")
    surface: str = told("floor, ceiling, wall or garage_wall")
    level: str = told("level")
    room: str = told("room it is in or nearest to")
    x_ft: float = told("east coordinate")
    y_ft: float = told("north coordinate")
    z_ft: float = told("height")


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One cable between two boxes (or a box and the panel)."""

    circuit: str = told("circuit")
    start: str = told("device or panel it starts at")
    end: str = told("device it ends at")
    way: str = told("below_floor, through_studs, above_ceiling or between_levels; several joined by +")
    points_ft: tuple[tuple[float, float, float], ...] = told("corners x, y, z")
    cable_ft: float = told("length along the way, without end allowances")
    holes: int = told("holes bored in framing")
    crossings: int = told("crossings of the air barrier")
    insulation_ft: float = told("length that lies in insulation")


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """One circuit's cables, panel to last box."""

    circuit: str = told("circuit")
    panel: str = told("panel it starts from")
    cable: str = told("cable")
    chain: tuple[str, ...] = told("devices in the order they are wired")
    cable_ft: float = told("length with end allowances, without waste")
    holes: int = told("holes bored in framing")
    crossings: int = told("crossings of the air barrier")
    insulation_ft: float = told("length that lies in insulation")
    labour_min: float = told("minutes by the user's own rates")
    cost_USD: float = told("weighted cost by the user's own weights")
    bound_USD: float = told("no order of this chain can cost less than this")
    proven: bool = told("the chain is proven the cheapest order on this graph")


@dataclass(frozen=True, slots=True, kw_only=True)
class WayTotal:
    """The whole house routed with only some ways allowed."""

    ways: str = told("ways allowed")
    cable_ft: float = told("cable")
    holes: int = told("holes bored in framing")
    crossings: int = told("crossings of the air barrier")
    insulation_ft: float = told("length in insulation")
    labour_min: float = told("minutes by the user's own rates")
    cost_USD: float = told("weighted cost")
    possible: bool = told("every circuit can be routed so; where False, the others count by their best way, if any")


@dataclass(frozen=True, slots=True, kw_only=True)
class CableTotal:
    """Cable to buy, by kind."""

    cable: str = told("cable")
    drawn_ft: float = told("lengths drawn with end allowances")
    buy_ft: float = told("the same with the user's waste")


@dataclass(frozen=True, slots=True, kw_only=True)
class RoutesResult(StepResult):
    """All routes of the house."""

    main: ClassVar[str] = "routes"

    routes: tuple[Route, ...] = told("a route for each circuit")
    legs: tuple[Leg, ...] = told("every leg")
    crossings: tuple[Crossing, ...] = told("every crossing of the air barrier by a cable")
    ways: tuple[WayTotal, ...] = told("the alternatives side by side")
    cables: tuple[CableTotal, ...] = told("cable take-off")
