"""Results of the step service on conductors: the ampacity chain of each, and how far each may run."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.core.results import told


@dataclass(frozen=True, slots=True, kw_only=True)
class ConductorWorking:
    """Ampacity of the conductors of one part of the supply, link by link."""

    part: str = told("service entrance, lateral, feeder to PANEL (its id)")
    material: str = told("cu or al")
    chosen: bool = told("proposed; otherwise shown for comparison in the other metal")
    size: str = told("AWG or kcmil, by trade name")
    sets: int = told("parallel sets, of equal length")
    insulation_C: int = told("rating of the insulation, which names the column of the base ampacity")
    base_A: float = told("ampacity of one conductor in that column, before any factor")
    ambient_C: float = told("air round it, with what a roof in the sun adds")
    ambient_factor: float = told("factor for that heat")
    conductors: int = told("current-carrying conductors together")
    count_factor: float = told("factor for their number")
    corrected_A: float = told("base times both factors")
    cap_A: float | None = told("limit that the kind of cable sets; none where it sets none")
    terminal_C: int = told("column that the terminals allow")
    terminal_A: float = told("ampacity in that column, which no factor touches")
    allowable_A: float = told("smallest of the above")
    total_A: float = told("allowable ampacity of all sets")
    required_A: float = told("ampacity needed")
    device_A: float = told("overcurrent device")
    protected_by: str = told("why the device may protect these conductors")
    table_size: str = told("size in the table for dwelling services; empty where that table may not be used")
    next_size_up: str = told(
        "smaller size that the device would protect by the next size up, for a load within its ampacity; empty for none"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Voltage drop of one part of the supply, solved for the drop, the size and the length."""

    part: str = told("service entrance, lateral, feeder to PANEL (its id)")
    material: str = told("cu or al")
    size: str = told("AWG or kcmil")
    sets: int = told("parallel sets")
    current_A: float = told("design load, or the device of a feeder, whose load is not known here")
    limit_percent: float = told("largest drop wanted")
    length_ft: float | None = told("one-way length; none for a feeder, whose length is not known here")
    drop_V: float | None = told("drop of this size over this length; none without a length, or beyond what is served")
    drop_percent: float | None = told("the same as a share of the voltage; none likewise")
    smallest_size: str = told("smallest size of these sets within the limit for the drop alone; empty for none")
    longest_ft: float | None = told("longest one-way run of this size within the limit; none without a current")


@dataclass(frozen=True, slots=True, kw_only=True)
class BranchRun:
    """How far a copper branch circuit may run, by size and load."""

    voltage_V: float = told("120, or line to line")
    size: str = told("AWG, copper")
    breaker_A: float = told("largest breaker within its 60 C ampacity and the small-conductor limit")
    load_A: float = told("load at the far end")
    limit_percent: float = told("drop that the code recommends not to exceed on a branch circuit")
    longest_ft: float = told("longest one-way run within that limit")
