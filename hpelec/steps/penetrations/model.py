"""Results of the step penetrations."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from hpelec.core.results import StepResult, told


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """One hole in an air-barrier layer."""

    id: str = told("stable id, made of what passes and where")
    kind: str = told("kind_id of the sealing catalogue")
    surface: str = told("wall, garage_wall, ceiling or floor")
    assembly: str = told("id of the assembly it goes through")
    layer: str = told("material of the air-barrier layer")
    layer_family: str = told("membrane, sheathing, gypsum, plates, slab: what the sealing methods speak of")
    room: str = told("room; empty for outdoors")
    level: str = told("level")
    x_ft: float = told("east coordinate")
    y_ft: float = told("north coordinate")
    z_ft: float = told("height")
    passes: tuple[str, ...] = told("what passes: cables or a box")
    circuits: tuple[str, ...] = told("circuits concerned")
    diameter_in: float = told("diameter of a round hole; for a box its equivalent perimeter over pi")
    gap_mm: float = told("gap round what passes")
    cable_entries: int = told("cables that enter a box; 0 for a cable hole", default=0)
    tested_box: bool = told("box or luminaire tested for air leakage", default=False)
    made_at: str = told("building stage at which it is made")
    reach_until: str = told("stage after which it cannot be reached from inside")


@dataclass(frozen=True, slots=True, kw_only=True)
class FewerHoles:
    """One way to have fewer holes."""

    what: str = told("what to change")
    holes_saved: int = told("holes fewer")
    how: str = told("what it takes")


@dataclass(frozen=True, slots=True, kw_only=True)
class SurfaceTotal:
    """Holes of one surface."""

    surface: str = told("wall, garage_wall, ceiling or floor")
    layer: str = told("air-barrier layer")
    cable_holes: int = told("holes for cables")
    box_holes: int = told("holes for boxes and luminaires")


@dataclass(frozen=True, slots=True, kw_only=True)
class PenetrationsResult(StepResult):
    """Every hole of the house."""

    main: ClassVar[str] = "holes"

    holes: tuple[Hole, ...] = told("every hole")
    surfaces: tuple[SurfaceTotal, ...] = told("holes by surface")
    fewer: tuple[FewerHoles, ...] = told("ways to have fewer")
