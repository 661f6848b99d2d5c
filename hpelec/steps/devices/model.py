"""Results of the step devices."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from hpelec.core.citing import Citation
from hpelec.core.results import StepResult, told


@dataclass(frozen=True, slots=True, kw_only=True)
class WallRun:
    """An unbroken stretch of a room's wall line, and the fewest receptacles that serve it."""

    room: str = told("room")
    number: int = told("number of the run in the room, from 1")
    start_ft: float = told("arc length round the room at its start")
    length_ft: float = told("length along the floor line")
    closed: bool = told("the whole ring of the room, unbroken")
    counts: bool = told("long enough to be a wall space")
    fewest: int = told("fewest receptacles that satisfy the spacing rule")
    placed: int = told("receptacles placed")


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceSpot:
    """One device with its box, set out in its room."""

    id: str = told(
        "stable id: the user's own, or room, letter of the kind, and number along the wall or what it serves"
    )
    room: str = told("room; empty for outdoors")
    level: str = told("level")
    kind: str = told(
        "receptacle, counter_receptacle, outdoor_receptacle, appliance_outlet, switch, lighting_outlet, ..."
    )
    serves: str = told("id of the appliance, heater, light or fan it feeds; empty for general use", default="")
    x_ft: float = told("east coordinate on the plan")
    y_ft: float = told("north coordinate on the plan")
    side: str = told("wall it is on; empty for ceiling and floor")
    offset_ft: float | None = told("along that wall from its west or south end (outline: from its first corner)")
    height_in: float = told("centre above the floor")
    surface: str = told(
        "envelope surface its box is in: wall, garage_wall, ceiling, outside (its outer face), or empty: inside"
    )
    pinned: bool = told("placed by the user", default=False)
    gfci: bool = told("needs ground-fault protection", default=False)
    afci: bool = told("needs arc-fault protection", default=False)
    box: str = told("smallest standard box that holds the conductors")
    box_volume_in3: float = told("volume of that box")
    box_fill_in3: float = told("volume that the conductors and the device take")
    box_depth_in: float = told("inside depth of the box; 0 where no table lists it")
    gangs: int = told("gangs", default=1)
    citation: Citation = told("rule that asks for it")


@dataclass(frozen=True, slots=True, kw_only=True)
class DevicesResult(StepResult):
    """All devices of the house."""

    main: ClassVar[str] = "devices"

    devices: tuple[DeviceSpot, ...] = told("every device, placed by the user or by the tool")
    runs: tuple[WallRun, ...] = told("wall runs with the fewest receptacles each needs")
    fewest_wall_receptacles: int = told("sum of the fewest over all runs")
    wall_receptacles: int = told("wall receptacles placed")
    in_envelope: int = told("boxes that stand in or on a surface of the envelope")
