"""Results of the step service."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from hpelec.core.results import StepResult, told
from hpelec.steps.service.model_conductors import BranchRun, ConductorWorking, Run
from hpelec.steps.service.model_spare import MainRow, SourceRoom, SpareRow, Threshold, Wish


@dataclass(frozen=True, slots=True, kw_only=True)
class RatingStep:
    """One service rating that the utility offers, against the design load."""

    rating_A: float = told("service rating")
    margin_A: float = told("rating less design load; negative when too small")
    share_percent: float = told("design load as a share of the rating")
    carries: bool = told("the rating carries the load and is not below the minimum")
    chosen: bool = told("the rating chosen")


@dataclass(frozen=True, slots=True, kw_only=True)
class ConductorChoice:
    """Conductors of one part of the supply."""

    part: str = told(
        "service entrance, lateral, feeder to PANEL (its id), grounding electrode conductor, supply-side bonding jumper"
    )
    material: str = told("cu or al")
    chosen: bool = told("proposed; otherwise shown for comparison in the other metal")
    size: str = told("AWG or kcmil, by trade name")
    sets: int = told("parallel sets", default=1)
    device_A: float | None = told("overcurrent device that the conductors are sized for", default=None)
    required_A: float | None = told("ampacity needed", default=None)
    ampacity_A: float | None = told("ampacity of all sets at the terminal temperature", default=None)
    neutral_size: str = told("size of the neutral of each set", default="")
    grounding_size: str = told("size of the equipment grounding conductor of a feeder, in each set", default="")
    remark: str = told("why this size", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class DropRow:
    """Voltage drop on the lateral for one conductor size that carries the load."""

    material: str = told("cu or al")
    size: str = told("AWG or kcmil")
    sets: int = told("parallel sets")
    length_ft: float = told("one-way length")
    current_A: float = told("design current")
    drop_V: float | None = told("voltage drop, both conductors; none when the load cannot be served through it")
    drop_percent: float | None = told("drop as a share of the service voltage; none likewise")
    meets: bool = told("within the limit wanted")
    chosen: bool = told("the size proposed")


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceResult(StepResult):
    """What to ask of the utility."""

    main: ClassVar[str] = "ratings"

    design_A: float = told("design load, set points of energy managements in it at 125 %")
    minimum_A: float = told("smallest service disconnect allowed for what the service supplies")
    standard_A: float | None = told(
        "smallest standard rating that carries the load and is not below the minimum; none beyond the standard list"
    )
    rating_A: float | None = told("smallest offered rating that carries the load; none when no offer does")
    spare_A: float | None = told("rating less design load")
    main_A: float | None = told("main overcurrent device that the conductors are sized for")
    ratings: tuple[RatingStep, ...] = told("all offered ratings")
    conductors: tuple[ConductorChoice, ...] = told("conductors chosen")
    drops: tuple[DropRow, ...] = told("lateral voltage drop by size")
    lateral_drop_percent: float | None = told("drop of the lateral proposed; none when none is")
    meter: str = told("class of meter equipment, or instrument transformers; blank when no main is known", default="")
    meter_needed_A: float | None = told("continuous current that the meter equipment carries", default=None)
    mains: tuple[MainRow, ...] = told("service disconnects", default=())
    thresholds: tuple[Threshold, ...] = told("loads at which equipment changes, rising", default=())
    spare: tuple[SpareRow, ...] = told("largest load of each kind that still fits, counted in full", default=())
    sources: tuple[SourceRoom, ...] = told("room for solar and storage, by panel and way of connection", default=())
    wishes: tuple[Wish, ...] = told("rows of future.csv against what is left", default=())
    chains: tuple[ConductorWorking, ...] = told("ampacity chain of each conductor, link by link", default=())
    runs: tuple[Run, ...] = told("voltage drop of each part: over its length, by size, and its longest run", default=())
    branch_runs: tuple[BranchRun, ...] = told("how far copper branch circuits may run, by size and load", default=())
