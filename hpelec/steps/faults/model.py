"""Results of the step faults."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from hpelec.core.citing import Citation
from hpelec.core.results import StepResult, told


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultPoint:
    """Bolted fault current at one place of the supply: line to line, and line to neutral."""

    id: str = told("transformer, meter, or the panel's id")
    name: str = told("what it is")
    fed_from: str = told("id of the point before it; blank for the first")
    run: str = told("conductors from the point before it; blank for the first", default="")
    distance_ft: float = told("length of conductor from the transformer; with a length from the plan, the usual one")
    impedance_ohm: float | None = told("size of the loop impedance line to line, source included, best estimate")
    high_A: float = told("highest line-to-line current: lowest source impedance, conductors at 25 C")
    best_A: float | None = told("line-to-line current: source as stated or typical, conductors at 25 C")
    low_A: float | None = told(
        "lowest line-to-line current: highest source impedance, conductors at 75 C; none when not known"
    )
    point_to_point_A: float | None = told("the highest current by the point-to-point method, for comparison")
    neutral_high_A: float = told("highest line-to-neutral current")
    neutral_low_A: float | None = told("lowest line-to-neutral current; none when not known")
    needed_A: float = told("current that equipment here must interrupt: the larger of the two highest")
    other_ratio_A: float = told("the same with X/R of small and of large transformers behind the source, the higher")
    needed_kA: float | None = told("smallest usual interrupting rating that is enough; none beyond the usual ones")
    given_kA: float | None = told("interrupting rating given for it; none when not given", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundingRow:
    """One part of grounding and bonding."""

    part: str = told("what is grounded or bonded")
    there: str = told("yes, no, not known; blank where the question does not arise")
    size: str = told("copper conductor by trade name; blank where none is sized or needed")
    remark: str = told("what the code asks of it")
    citation: Citation = told("where it stands")


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkingSpace:
    """Working space of one panel, as far as the plan tells."""

    panel: str = told("id of the panel")
    room: str = told("id of its room")
    depth_ft: float = told("depth wanted in front")
    width_ft: float = told("width wanted; it need not be centred")
    height_ft: float = told("height wanted from the floor")
    start_ft: float | None = told("where the free space begins along the wall, by its offset; none when there is none")
    ceiling_ft: float = told("height of the ceiling")
    in_the_way: tuple[str, ...] = told("ids of fixed things within reach of the space", default=())
    unplaced: tuple[str, ...] = told("floor-standing things of the room that have no place on the plan", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Outbuilding:
    """What a separate building needs at its supply."""

    name: str = told("name of the building")
    supply: str = told("how it is supplied: feeder, branch circuit, multiwire branch circuit")
    disconnect_least_A: float = told("smallest rating of its disconnect")
    disconnect_A: float | None = told("rating given; none when not given")
    electrode_needed: bool = told("it needs its own grounding electrodes")
    electrode_conductor: str = told("copper electrode conductor by the table; blank when none is needed or known")
    rod_conductor: str = told("copper conductor to rods alone; blank likewise")
    neutral_bonded: bool | None = told("neutral bonded at the building; none when it has to be looked at")
    surge_needed: bool = told("surge protection at the building, by edition")
    remark: str = told("in words")


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultsResult(StepResult):
    """Fault currents, grounding and bonding, protection, and the space in front of panels."""

    main: ClassVar[str] = "points"

    points: tuple[FaultPoint, ...] = told("fault current from the transformer to each panel")
    panels_needed_A: float | None = told("highest current that a panel must interrupt; none without a panel")
    panels_needed_kA: float | None = told("usual interrupting rating that is enough for every panel; none beyond them")
    panels_lowest_A: float | None = told("lowest line-to-line current at any panel; none when not known")
    source: str = told("where the source's fault current comes from")
    certain: bool = told("the source was stated: a rating below the highest current misses")
    x_over_r: float = told("reactance over resistance taken for the source")
    grounding: tuple[GroundingRow, ...] = told("grounding and bonding")
    spaces: tuple[WorkingSpace, ...] = told("working space of each panel")
    outbuildings: tuple[Outbuilding, ...] = told("what separate buildings need", default=())
