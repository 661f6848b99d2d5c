"""Results of the step loads."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from hpelec.core.citing import Citation
from hpelec.core.results import StepResult, told
from hpelec.steps.loads.model_amps import EquipmentAmps
from hpelec.steps.loads.model_reality import Reality


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadLine:
    """One line of a load calculation."""

    method: str = told("method the line belongs to")
    id: str = told("id of the appliance or heater, or a short name of the block")
    what: str = told("what the line counts")
    category: str = told(
        "lighting, fixed appliances, dryers, cooking, heating and cooling, vehicle, other, motor, general loads, "
        "other buildings, energy management, recorded demand"
    )
    connected_VA: float = told("connected load before any factor")
    factor: float | None = told("demand factor, where one single factor applies", default=None)
    demand_VA: float = told("load after factors")
    neutral_VA: float = told("part of the demand that the neutral carries", default=0.0)
    remark: str = told("what a reader should know about the line", default="")
    citation: Citation = told("rule the line follows")


@dataclass(frozen=True, slots=True, kw_only=True)
class MethodResult:
    """One method of load calculation, carried out or refused."""

    method: str = told("standard, optional, existing, measured or dwellings")
    title: str = told("name of the method with its section in this edition")
    applies: bool = told("whether the method may be used for this house")
    why: str = told("why it applies or does not")
    lines: tuple[LoadLine, ...] = told("its lines", default=())
    connected_VA: float = told("sum of connected loads", default=0.0)
    demand_VA: float = told("calculated load", default=0.0)
    demand_A: float = told("calculated load at the service voltage, not rounded", default=0.0)
    rounded_A: int = told(
        "the same in whole amperes, as the code lets them be rounded: a note, no result uses it", default=0
    )
    managed_A: float = told("part of the amperes that is a set point of an energy management: continuous", default=0.0)
    season: str = told("heating or cooling: the season whose loads count", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildingLoad:
    """The feeder of another building, or of a second dwelling, by its own calculation."""

    id: str = told("id of the building")
    name: str = told("its name")
    kind: str = told("what it is")
    methods: tuple[MethodResult, ...] = told("its methods, carried out or refused")
    chosen: str = told("method that sets its feeder")
    lines: tuple[LoadLine, ...] = told("lines of the chosen method")
    demand_VA: float = told("calculated load of its feeder")
    demand_A: float = told("the same in amperes, not rounded")
    neutral_VA: float = told("largest unbalanced load on its feeder by the neutral rule")
    neutral_A: float = told("the same in amperes, after its reductions")
    managed_A: float = told("part of the amperes that is a set point of an energy management: continuous")
    circuits: int = told("branch circuits in it")
    disconnect_least_A: float = told("smallest rating of its disconnect by the number of its circuits")
    feeder_least_A: float | None = told(
        "smallest standard rating that carries its load; None: beyond the standard ones"
    )
    feeder_rating_A: float | None = told("rating of its feeder as given", default=None)
    feeder_length_ft: float | None = told("one-way length of its feeder as given", default=None)
    service_VA: float | None = told(
        "what the service counts for it as one load; None: a dwelling, whose rows the service counts one by one"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadsResult(StepResult):
    """Every method side by side, and the one that sets the service."""

    main: ClassVar[str] = "lines"

    voltage_V: float = told("service voltage used to turn VA into amperes")
    methods: tuple[MethodResult, ...] = told("all methods")
    chosen: str = told("method that sets the service")
    lines: tuple[LoadLine, ...] = told("lines of the chosen method")
    design_VA: float = told("calculated load of the chosen method")
    design_A: float = told("calculated load of the chosen method, in amperes")
    neutral_VA: float = told("largest unbalanced load by the neutral rule")
    neutral_A: float = told("largest unbalanced load in amperes, after its reductions")
    managed_continuous_A: float = told(
        "part of the design load that is a set point of an energy management: continuous, 1.25 times it in the rating",
        default=0.0,
    )
    buildings: tuple[BuildingLoad, ...] = told("other buildings and second dwellings on this service", default=())
    provisional: bool = told("true when the edition was seen only in summaries")
    amps: tuple[EquipmentAmps, ...] = told("amperes of each appliance and water heater, by id", default=())
    reality: Reality | None = told("the load beside published measurements and the house's own year", default=None)
