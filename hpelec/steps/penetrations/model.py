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
    gap_mm: float = told("gap round what passes: half of hole less outside size; a bare hole: its diameter")
    free_area_mm2: float = told("open area between the hole and what passes")
    depth_mm: float = told("thickness that the air has to pass at the barrier")
    bore_area_mm2: float = told("open area inside a conduit, a second path; 0 where none passes", default=0.0)
    row_count: float = told(
        "how many of its leakage row it counts as: gangs of a box, ratio of perimeters", default=1.0
    )
    cable_entries: int = told("cables that enter a box; 0 for a cable hole", default=0)
    tested_box: bool = told("box or luminaire tested for air leakage", default=False)
    made_at: str = told("building stage at which it is made")
    reach_until: str = told("stage after which it cannot be reached from inside")
    method: str = told("first method of the sealing catalogue that fits; empty when none does", default="")
    bore_method: str = told("method that closes the inside of a conduit; empty where there is none", default="")
    rejected: tuple[str, ...] = told("methods listed before it, each with the reason it was refused", default=())


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
