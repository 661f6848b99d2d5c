"""Results of the step circuits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from hpelec.core.citing import Citation
from hpelec.core.results import StepResult, told


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """One branch circuit or feeder."""

    id: str = told("stable id")
    name: str = told("what it feeds, for the panel directory")
    kind: str = told("general, lighting, small_appliance, laundry, bathroom, garage, outdoor, dedicated, feeder")
    panel: str = told("panel it starts from")
    breaker_A: float = told("rating of the breaker")
    poles: int = told("1 or 2")
    voltage_V: float = told("nominal voltage")
    load_VA: float = told("load of its fixed equipment; general outlets count by area in the load calculation")
    cable: str = told("cable, e.g. NM-B 12/2")
    cable_size: str = told("conductor size")
    current_conductors: int = told("current-carrying conductors in the cable")
    outlets: tuple[str, ...] = told("ids of the devices on it; a feeder: the panel it feeds, none to another building")
    gfci: bool = told("ground-fault protection at the breaker or first outlet", default=False)
    afci: bool = told("arc-fault protection", default=False)
    citation: Citation = told("rule that asks for the circuit or sizes it")


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelUse:
    """What a panel holds."""

    panel: str = told("id of the panel")
    name: str = told("its name")
    rating_A: float = told("bus rating")
    spaces: int = told("breaker spaces")
    spaces_used: int = told("spaces taken")
    circuits: int = told("number of circuits")
    load_VA: float = told("fixed equipment on it")


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitsResult(StepResult):
    """All circuits of the house."""

    main: ClassVar[str] = "circuits"

    circuits: tuple[Circuit, ...] = told("every circuit")
    panels: tuple[PanelUse, ...] = told("what each panel holds")
