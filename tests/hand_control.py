"""A hand-made result of control and of the methods, for the tests of the report: invented numbers, no step is run."""

from __future__ import annotations

from hpelec.core.citing import Citation
from hpelec.steps.coincidence.model_control import (
    ControlLevel,
    ControlResult,
    CurrentMethod,
    FlowMethod,
    HeldLoad,
    LockedLoad,
    MethodsResult,
    Recovery,
    TakenOff,
)


def _level(amps: float, hours: float, years: float | None) -> ControlLevel:
    return ControlLevel(
        level_A=amps,
        free_hours=hours,
        locked_hours=hours / 1.5,
        controlled_hours=hours / 4,
        caught_up_hours=hours / 3,
        free_return_years=years,
        controlled_return_years=None if years is None else 4 * years,
    )


def control(citation: Citation) -> ControlResult:
    """A tank that waits and a tankless heater that is turned down."""
    tank = HeldLoad(
        load="tank",
        management="controller",
        priority=6,
        largest_A=18.75,
        asked_kWh=2100.0,
        held_min=3900.0,
        limited_min=0.0,
        held_kWh=290.0,
        later=True,
        not_made_up_kWh=0.0,
        lost_dF=None,
        most_lost_dF=None,
    )
    far = HeldLoad(
        load="far",
        management="controller",
        priority=3,
        largest_A=60.0,
        asked_kWh=900.0,
        held_min=0.0,
        limited_min=420.0,
        held_kWh=35.0,
        later=False,
        not_made_up_kWh=35.0,
        lost_dF=11.5,
        most_lost_dF=27.0,
    )
    return ControlResult(
        levels=(_level(40, 900.0, 1 / 2000), _level(80, 12.0, 0.05), _level(125, 0.2, 3.0), _level(180, 0.0, None)),
        held=(far, tank),
        locked=(
            LockedLoad(
                load="far",
                group="hot water",
                current_A=12.0,
                asked_min=9000.0,
                lost_min=300.0,
                lost_kWh=14.4,
                lost_by_priority_min=0.0,
            ),
        ),
        recovery=(Recovery(heater="tank", priority=6, current_A=18.75, alone_h=1.6, hot_after_h=1.6),),
        taken_off=(
            TakenOff(edition=2020, means="energy_management", counts="nothing", at_most_A=0.0, citation=citation),
            TakenOff(edition=2023, means="energy_management", counts="set_point", at_most_A=38.75, citation=citation),
            TakenOff(edition=2023, means="interlock", counts="larger_only", at_most_A=None, citation=citation),
        ),
        service_set_A=100.0,
        free_largest_A=202.0,
        largest_A=150.0,
        free_p99_A=64.0,
        p99_A=58.0,
        recovery_together_A=18.75,
        recovery_staggered_A=18.75,
    )


def methods(citation: Citation) -> MethodsResult:
    """Three ways for flow, one of which cannot say, and three for current."""
    flows = (("All points at once", 8.0), ("Exact, this house, given flow", 2.7), ("DIN 1988-300 curve", None))
    amps = (("All on at once", 202.0), ("Load by the code", 110.0), ("Exact, 99 % of the year", 64.0))
    return MethodsResult(
        flows=tuple(FlowMethod(method=m, flow_gpm=v, use="pipes", remark="", citation=citation) for m, v in flows),
        currents=tuple(
            CurrentMethod(method=m, current_A=v, use="the service", remark="", citation=citation) for m, v in amps
        ),
    )
