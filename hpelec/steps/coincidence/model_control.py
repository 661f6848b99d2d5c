"""Results of control and of the comparison of methods, parts of the result of the step coincidence."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.core.citing import Citation
from hpelec.core.results import told


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlLevel:
    """Hours a year above one level, with more and more control."""

    level_A: float = told("level; above means more than this")
    free_hours: float = told("hours a year above it without any control, interlocks left out")
    locked_hours: float = told("the same with the interlocks alone")
    controlled_hours: float = told("the same with interlocks and energy management")
    caught_up_hours: float = told("the same when what was held back is made up by longer runs")
    free_return_years: float | None = told("mean years between two such times without any control; none when never")
    controlled_return_years: float | None = told(
        "the same with control; none when never, and where it is not worked out: at or below the set point of a service"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldLoad:
    """One load under an energy management: what it asks for and does not get at once."""

    load: str = told("id of the appliance or heater")
    management: str = told("energy management that limits it")
    priority: int = told("1 is kept longest")
    largest_A: float = told("its largest current")
    asked_kWh: float = told("energy that it asks for in a year")
    held_min: float = told("minutes a year in which it wants to run and gets nothing")
    limited_min: float = told("minutes a year in which it is turned down")
    held_kWh: float = told("energy a year that it does not get when it asks for it")
    later: bool = told("what is held back is made up later; else it is lost")
    not_made_up_kWh: float = told("energy a year that it never gets, after all that longer runs can make up")
    lost_dF: float | None = told("mean degrees that its water is colder while it is turned down; none for other loads")
    most_lost_dF: float | None = told("the same at worst")


@dataclass(frozen=True, slots=True, kw_only=True)
class LockedLoad:
    """One load of an interlock: what it loses to the others."""

    load: str = told("id of the appliance or heater")
    group: str = told("name of the interlock")
    current_A: float = told("its largest current")
    asked_min: float = told("minutes a year it would run alone")
    lost_min: float = told("of these, lost because another one runs already: first come, first served")
    lost_kWh: float = told("the energy of these")
    lost_by_priority_min: float = told("lost if instead the better priority stopped the other")


@dataclass(frozen=True, slots=True, kw_only=True)
class Recovery:
    """A storage heater after an outage that left all tanks cold."""

    heater: str = told("id of the heater")
    priority: int = told("1 first")
    current_A: float = told("its current meanwhile")
    alone_h: float = told("hours until it is hot, all heaters started at once")
    hot_after_h: float = told("hours until it is hot, one heater after another in the order of priority")


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenOff:
    """What one edition lets one take off the load of the code for a control."""

    edition: int = told("edition of NFPA 70")
    means: str = told("interlock, energy_management, priority or probability")
    counts: str = told("larger_only, set_point, or nothing")
    at_most_A: float | None = told(
        "most that the connected current of this house falls by it, before any demand factor; none when it has no such "
        "control"
    )
    citation: Citation = told("where the edition says so")


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlResult:
    """The house with its interlocks and energy managements, beside the house without."""

    levels: tuple[ControlLevel, ...] = told("hours above each level, before and after")
    held: tuple[HeldLoad, ...] = told("loads under an energy management")
    locked: tuple[LockedLoad, ...] = told("loads of interlocks")
    recovery: tuple[Recovery, ...] = told("storage heaters after an outage")
    taken_off: tuple[TakenOff, ...] = told("what each edition lets one take off for a control")
    service_set_A: float | None = told("set point of the energy management of the service; none without one")
    free_largest_A: float = told("everything on at once without any control")
    largest_A: float = told("largest total that can come with control")
    free_p99_A: float = told("total exceeded for 1 % of the year at most, without any control")
    p99_A: float = told("the same with control")
    recovery_together_A: float = told("all storage heaters on at once")
    recovery_staggered_A: float = told("one storage heater at a time")


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPointRow:
    """What one set point on the whole service would ask of the loads that can wait."""

    set_A: float = told("set point")
    largest_A: float = told("largest total that can come")
    p99_A: float = told("total exceeded for 1 % of the year at most")
    over_hours: float = told("hours a year in which the loads that nobody manages are above it by themselves")
    held_min: float = told("minutes a year in which a load that is managed gets nothing or less, added up over them")
    held_kWh: float = told("energy a year held back when it is asked for")


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowMethod:
    """One way to count hot-water flow."""

    method: str = told("name of the method")
    flow_gpm: float | None = told("flow; none when the method cannot say")
    use: str = told("what the method is for")
    remark: str = told("what was taken, or what is missing")
    citation: Citation = told("where the method stands")


@dataclass(frozen=True, slots=True, kw_only=True)
class CurrentMethod:
    """One way to count current."""

    method: str = told("name of the method")
    current_A: float | None = told("current; none when the method cannot say")
    use: str = told("what the method is for")
    remark: str = told("what was taken, or what is missing")
    citation: Citation = told("where the method stands")


@dataclass(frozen=True, slots=True, kw_only=True)
class MethodsResult:
    """All ways to count, side by side: each on its own axis of flow or current."""

    flows: tuple[FlowMethod, ...] = told("hot water of the whole house")
    currents: tuple[CurrentMethod, ...] = told("current at the main")
