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
    needed_A: float = told("ampacity that its cable must have", default=0.0)
    leg_VA: float = told("whole VA counted on the legs of its panel, by area or circuit where more", default=0.0)
    run_A: float | None = told("current taken for its voltage drop", default=None)
    longest_run_ft: float | None = told("longest one-way run within the drop wanted; None: not known", default=None)
    sealed_hole_most: int | None = told("most cables like its own in one sealed hole; None: no NM cable", default=None)
    multiwire_with: str = told("circuit that shares its neutral", default="")


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
class Slot:
    """A row of a panel's schedule: a breaker, or an open space."""

    panel: str = told("id of the panel")
    space: str = told("space or spaces, odd ones left and even ones right; blank: no space left for it")
    first: int = told("first space; 0: none")
    side: str = told("left or right; blank: no space left for it")
    poles: int = told("1 or 2; 0 for an open space")
    breaker_A: float | None = told("rating of the breaker", default=None)
    circuit: str = told("circuit on it; blank: open space", default="")
    name: str = told("what it feeds", default="open space")
    leg: str = told("leg A, leg B, or A+B", default="")
    leg_A_VA: float = told("its load on leg A", default=0.0)
    leg_B_VA: float = told("its load on leg B", default=0.0)
    note: str = told("tandem, multiwire, or how a feeder is turned", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelBalance:
    """The legs of a panel and its spare spaces."""

    panel: str = told("id of the panel")
    leg_A_VA: float = told("load on leg A, with the panels behind it")
    leg_B_VA: float = told("load on leg B, with the panels behind it")
    difference_VA: float = told("difference of the legs")
    bound_VA: float = told("no split of these circuits, in whole VA, can differ less")
    gap_VA: float = told("difference in whole VA less that bound: 0 is proven the best")
    proven: bool = told("the split is proven the best")
    by_hand_VA: float = told("what largest first, each to the lighter leg, would leave")
    imbalance_percent: float = told("difference as a share of the larger leg")
    neutral_A: float = told("current in the neutral with all of this load on, equal power factors")
    spaces_used: int = told("spaces taken; a tandem breaker takes one")
    spaces_free: int = told("spaces left; negative: so many are missing")
    spare_percent: float = told("free share of the spaces")
    spaces_wanted: int = told("fewest spaces that leave the share wanted free")
    size_wanted: int | None = told("usual panel size with so many spaces; None: above the largest")
    tandems: int = told("tandem breakers used, for want of spaces")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two circuits of one multiwire branch circuit."""

    panel: str = told("id of the panel")
    first: str = told("circuit on one leg")
    second: str = told("circuit on the other leg")
    cable: str = told("three-wire cable of the run from the panel to the first box")
    breaker_A: float = told("rating of both breakers")
    protection: str = told("what opens and protects both")
    counted_conductors: int = told("current-carrying conductors of the shared cable")


@dataclass(frozen=True, slots=True, kw_only=True)
class CableUse:
    """A cable at a breaker: each link of its ampacity, and how many may share a sealed hole."""

    cable: str = told("cable")
    breaker_A: float = told("breaker")
    circuits: int = told("circuits on it")
    needed_A: float = told("largest ampacity that one of them needs")
    column_90C_A: float = told("ampacity of its conductors in the 90 C column")
    alone_A: float = told("the same with the factors of one cable alone at 30 C")
    cap_A: float | None = told("limit of the kind of cable: its 60 C column; None: the cable sets none")
    terminal_A: float = told("column that the terminals allow")
    small_limit_A: float | None = told("largest device on so small a conductor; None: no such limit")
    allowable_A: float = told("ampacity allowed: the smallest of these")
    protected_by: str = told("why the breaker may stand above or must stand within it")
    most_a_hole: int | None = told("most such cables in one sealed hole at 30 C; None: no NM cable")
    most_a_hole_ceiling: int | None = told("the same at a hole towards an attic, 45 C")
    hole_A: float | None = told("ampacity left with so many in one hole at 30 C")


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryHole:
    """One hole of the pattern by which cables enter a panel."""

    panel: str = told("id of the panel")
    hole: int = told("number, line by line from the left")
    line: int = told("line of holes: 1 in the plate above, 2 in the plate below, more beside them")
    x_in: float = told("its centre, from the left edge of the panel")
    diameter_in: float = told("diameter to drill")
    cables: tuple[str, ...] = told("cables through it")
    circuits: tuple[str, ...] = told("their circuits")
    known: bool = told("the outside size of all its cables is tabulated")


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitsResult(StepResult):
    """All circuits of the house."""

    main: ClassVar[str] = "circuits"

    circuits: tuple[Circuit, ...] = told("every circuit")
    panels: tuple[PanelUse, ...] = told("what each panel holds")
    slots: tuple[Slot, ...] = told("the schedule of each panel", default=())
    balance: tuple[PanelBalance, ...] = told("legs and spare spaces of each panel", default=())
    pairs: tuple[Pair, ...] = told("multiwire branch circuits", default=())
    cable_uses: tuple[CableUse, ...] = told("cables by breaker, with the chain of their ampacity", default=())
    entries: tuple[EntryHole, ...] = told("holes by which cables enter each panel", default=())
