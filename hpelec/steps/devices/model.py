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
    with_pins: int = told("fewest with the places that the user has given, boxes in any free wall", default=0)
    inside_only: int | None = told(
        "fewest when no further box stands in the envelope; none: inside walls do not reach", default=None
    )
    in_floor: int = told("of the fewest, those that would stand in the floor to keep out of the envelope", default=0)
    even_in_envelope: int = told("boxes in the envelope if even spacing came first", default=0)
    in_envelope: int = told("boxes of the tool in the envelope", default=0)
    off_even_ft: float | None = told(
        "farthest from its evenly spaced place; none: rings, runs with pins or counters", default=None
    )


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
    what: str = told("more exactly what it is, e.g. smoke alarm; empty: as its kind says", default="")
    shares_hole_with: str = told("device whose hole in the air barrier its cable shares; empty: none", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceNeed:
    """One thing that a rule asks of one device: protection, type or cover."""

    device: str = told("device")
    need: str = told(
        "ground-fault protection, arc-fault protection, tamper-resistant, weather-resistant, cover, interconnection"
    )
    why: str = told("place or property that asks for it")
    citation: Citation = told("rule, with its clause in the edition used")


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxRow:
    """The box of one device: size, opening in the finish, and how it keeps the air barrier whole."""

    device: str = told("device")
    box: str = told("box chosen")
    gangs: int = told("gangs")
    fill_in3: float = told("what conductors and device take")
    volume_in3: float = told("volume")
    depth_in: float = told("inside depth")
    least_depth_in: float = told("least inside depth by rule")
    outside_width_in: float = told("outside width")
    outside_height_in: float = told("outside height")
    outside_depth_in: float = told("outside depth")
    cut_width_in: float = told("width of the opening in the finish, with the gap allowed")
    cut_height_in: float = told("its height")
    surface: str = told("envelope surface it stands in; empty: inside")
    barrier_in: float | None = told(
        "depth of the air barrier behind the face of the finish; none: not known, or inside"
    )
    margin_in: float | None = told("that depth less the outside depth of the box")
    keeps_barrier: str = told(
        "inside (nothing to do), in front of the barrier, membrane boot, airtight box, box on the outer face, "
        "or cannot say"
    )
    cable_entries: int = told("cables that enter it")
    fits_boot: bool | None = told("it fits inside the boot that the house names; none: no boot", default=None)
    seals: int = told("seals that it takes: boot or airtight box with its cables; 0 in front of the barrier", default=0)
    citation: Citation = told("rule that decides")


@dataclass(frozen=True, slots=True, kw_only=True)
class SetOutRow:
    """One device as it is marked on the framing."""

    room: str = told("room from which it is measured")
    order: int = told("order in the room, going round it")
    device: str = told("device")
    kind: str = told("kind")
    wall: str = told("wall; `ceiling` or `floor`")
    left_ft: float | None = told("from the inside corner at the left, facing the wall")
    right_ft: float | None = told("from the inside corner at the right")
    height_in: float = told("centre above the floor")
    datum_1: str = told("first datum wall of a point on the ceiling or floor", default="")
    from_1_ft: float | None = told("distance from it, square to it", default=None)
    datum_2: str = told("second datum wall", default="")
    from_2_ft: float | None = told("distance from it, square to it", default=None)
    mark: str = told("what to write on the stud, joist or floor")
    outdoors: bool = told("it stands on the outer face of the wall; measured on its inner face", default=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Preference:
    """What one preference costs, or saves."""

    order: int = told("rank: a preference never costs anything of one with a lower number")
    preference: str = told("what is preferred")
    counted: str = told("what is counted")
    fewest: float = told("the fewest possible without it")
    with_preference: float | None = told("with it; none: it cannot be had in this house")
    difference: float | None = told("with it less without")
    taken: bool = told("the layout shown follows it")
    where: tuple[str, ...] = told("rooms or devices that it changes")


@dataclass(frozen=True, slots=True, kw_only=True)
class FramingLimit:
    """What may be bored in one kind of member."""

    member: str = told("member")
    depth_in: float = told("its depth")
    structural_in: float | None = told("largest hole that its strength allows; none: not for this member")
    plate_free_in: float = told("largest hole in its middle that needs no steel plate")
    set_back_in: float = told("face to a flat cable laid in the middle of its depth")
    plate_for_cables: bool = told("a hole of 3/4 in for cables in its middle needs a steel plate", default=False)
    notch_in: float | None = told("deepest notch in the outer thirds of a joist; none: no joist", default=None)
    screw_tip_in: float | None = told("reach of the user's longest screw into it; none: not known", default=None)
    citation: Citation = told("rule")


@dataclass(frozen=True, slots=True, kw_only=True)
class DevicesResult(StepResult):
    """All devices of the house."""

    main: ClassVar[str] = "devices"

    devices: tuple[DeviceSpot, ...] = told("every device, placed by the user or by the tool")
    runs: tuple[WallRun, ...] = told("wall runs with the fewest receptacles each needs")
    fewest_wall_receptacles: int = told("sum of the fewest over all runs")
    wall_receptacles: int = told("wall receptacles placed")
    in_envelope: int = told("boxes that stand in or on a surface of the envelope")
    needs: tuple[DeviceNeed, ...] = told("what rules ask of each device", default=())
    boxes: tuple[BoxRow, ...] = told("the box of each device", default=())
    set_out: tuple[SetOutRow, ...] = told("every device as it is marked on site, by room", default=())
    preferences: tuple[Preference, ...] = told("what each preference costs", default=())
    framing: tuple[FramingLimit, ...] = told("what may be bored where", default=())
