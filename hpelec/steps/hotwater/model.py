"""Results of the step hotwater."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from hpelec.core.results import StepResult, told
from hpelec.steps.hotwater.model_depth import (
    HeaterYear,
    HeatPumpAir,
    Layout,
    MonthNeed,
    PipeRun,
    RunsTogether,
    SizeNeed,
    TankDay,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class MainsDay:
    """Mains water temperature on one day of the year."""

    day: int = told("day of the year, 1 to 365")
    mains_F: float = told("mains water temperature")


@dataclass(frozen=True, slots=True, kw_only=True)
class PointNeed:
    """What one point of use asks of its heater on the coldest day."""

    point: str = told("id of the point of use")
    heater: str = told("id of the heater that serves it")
    mixed_flow_gpm: float = told("flow at the fixture")
    hot_share: float = told("share of it that comes from the heater")
    hot_flow_gpm: float = told("flow through the heater")
    at_peak: bool = told("counted in the busiest minutes")


@dataclass(frozen=True, slots=True, kw_only=True)
class HeaterNeed:
    """One heater on the coldest day: what is asked, what it can do."""

    heater: str = told("id of the heater")
    kind: str = told("kind of heater")
    peak_flow_gpm: float = told("flow through the heater in the busiest minutes")
    cold_F: float = told("water entering")
    rise_dF: float = told("rise wanted")
    needed_kW: float | None = told("heat needed to serve the peak flow at once (instantaneous heaters)")
    nameplate_kW: float = told("electrical nameplate")
    heat_kW: float = told("what its elements give at the voltage of this service")
    current_A: float = told("current at the nameplate and the heater's voltage")
    delivered_F: float | None = told("temperature that leaves it at the peak flow (instantaneous heaters)")
    fixture_F: float | None = told(
        "the same at the fixtures, mixed as asked, as a mean over them (instantaneous heaters without flow limit)"
    )
    full_flow_gpm: float | None = told("largest flow at the full rise, within its flow limit (instantaneous heaters)")
    recovery_gph: float | None = told("volume heated through the rise in an hour (storage heaters)")
    first_hour_gal: float | None = told("hot water in the first hour (storage heaters)")
    heat_pump_recovery_gph: float | None = told("volume that its heat pump alone heats in an hour, where known")
    sustained_min: float | None = told(
        "minutes that stored water and recovery feed the peak flow; none when recovery alone keeps up, or without tank"
    )
    peak_hour_gal: float | None = told("hot water asked of a storage heater in its busiest hour")
    undersized: bool = told("cannot do what is asked on the coldest day")


@dataclass(frozen=True, slots=True, kw_only=True)
class HotWaterResult(StepResult):
    """Mains temperature through the year and each heater against its need."""

    main: ClassVar[str] = "heaters"

    mains: tuple[MainsDay, ...] = told("mains temperature by day")
    cold_F: float = told("design mains temperature: the coldest day, or the user's own value")
    points: tuple[PointNeed, ...] = told("what each point of use asks")
    heaters: tuple[HeaterNeed, ...] = told("each heater against its need")
    all_on_kW: float = told("nameplates of all heaters that can run together")
    all_on_A: float = told("current of all heaters that can run together, each at its own voltage")
    months: tuple[MonthNeed, ...] = told("each heater on the coldest day of each month", default=())
    year: tuple[HeaterYear, ...] = told("each instantaneous heater on each day of the year", default=())
    sizes: tuple[SizeNeed, ...] = told("the size that each heater's need asks for", default=())
    together: tuple[RunsTogether, ...] = told("what can run together from each heater on the coldest day", default=())
    pipes: tuple[PipeRun, ...] = told("the pipe of each point: wait, water and heat lost", default=())
    heat_pumps: tuple[HeatPumpAir, ...] = told("each heat-pump tank in its air", default=())
    tank_days: tuple[TankDay, ...] = told("each tank through a day of draws", default=())
    layouts: tuple[Layout, ...] = told("central heaters and heaters at the points of use, side by side", default=())
