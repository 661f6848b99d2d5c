"""Results of the step sealing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from hpelec.core.citing import Citation
from hpelec.core.results import StepResult, told


@dataclass(frozen=True, slots=True, kw_only=True)
class SealItem:
    """One hole on the sealing list."""

    order: int = told("place in the list, from 1")
    tag: str = told("short mark to write beside the hole")
    hole: str = told("id of the hole")
    room: str = told("room")
    level: str = told("level")
    surface: str = told("surface")
    layer: str = told("layer in which it is sealed")
    what: str = told("what passes")
    method: str = told("method id")
    bore_method: str = told("method for the inside of a conduit; empty where there is none", default="")
    how: str = told("method in words")
    gap_limit_mm: float | None = told("largest gap the method closes; none where the gap does not matter")
    stage: str = told("stage in which it is sealed")
    stage_number: int = told("number of that stage in the sealing sequence")
    hold_point: str = told("inspection that must see it")
    check: str = told("what to look at")
    removes_cfm50: float = told("leakage removed, best estimate")
    caution: str = told("what to mind", default="")
    citation: Citation = told("source of the method")


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOff:
    """One line of material to buy for sealing."""

    item: str = told("material or part")
    quantity: float = told("how much")
    unit: str = told("unit of the quantity")
    basis: str = told("how the quantity came about")
    citation: Citation = told("source of the rule of quantity")


@dataclass(frozen=True, slots=True, kw_only=True)
class SealingResult(StepResult):
    """The sealing plan."""

    main: ClassVar[str] = "items"

    items: tuple[SealItem, ...] = told("every hole, in the order to seal")
    take_off: tuple[TakeOff, ...] = told("what to buy")
    unmatched: tuple[str, ...] = told("holes for which no method fits", default=())
