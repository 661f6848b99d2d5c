"""The air barrier of a surface as the holes see it: its layer, how deep it lies, what the sealing tables call it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from hpelec.common.layers import layer_words
from hpelec.core.tables import table
from hpelec.house.assemblies import BuiltWalls, assembly_of, built_walls
from hpelec.house.geometry import Point
from hpelec.house.model import House
from hpelec.house.sections import SURFACES, Assembly
from hpelec.steps.penetrations.model import Hole
from hpelec.steps.penetrations.rules import MM_PER_IN, distance_to_barrier_in
from hpelec.steps.penetrations.rules_methods import last_reach, listed
from hpelec.steps.penetrations.taken import taken
from hpelec.steps.routes.model import Crossing


@dataclass(frozen=True, slots=True)
class Barrier:
    """The air-barrier layer of one assembly.

    words: what the layer answers to in the sealing tables, its family first. distance_in: from the face of the finish.
    """

    surface: str
    assembly: str
    layer: str
    words: tuple[str, ...]
    distance_in: float
    thickness_in: float
    inner_layers: int
    inner_insulation: bool
    cavity_in: float

    @property
    def family(self) -> str:
        """The word that the sealing methods use, or "" when the layer is unknown to them."""
        return self.words[0] if self.words else ""

    def reach_until(self, *, in_framing: bool = False) -> str:
        """Stage after which it cannot be reached from inside."""
        return last_reach(self.inner_layers, self.inner_insulation, in_framing)


def barrier_of(assembly: Assembly | None) -> Barrier | None:
    """The barrier of an assembly, None without one."""
    layers = () if assembly is None else assembly.layers
    place = next((i for i, layer in enumerate(layers) if layer.air_barrier), None)
    if assembly is None or place is None:
        return None
    inner, layer = layers[:place], layers[place]
    return Barrier(
        assembly.surface,
        assembly.id,
        layer.material,
        layer_words(layer.material, assembly.surface),
        distance_to_barrier_in([i.thickness_in for i in inner]),
        layer.thickness_in,
        len(inner),
        any(i.insulation for i in inner),
        sum(i.thickness_in for i in inner if i.service_cavity),
    )


def barriers(assemblies: Iterable[Assembly]) -> dict[str, Barrier]:
    """The barrier of each surface, as walls without an assembly of their own have it."""
    given = tuple(assemblies)
    found = {surface: barrier_of(assembly_of(given, (), surface)) for surface in SURFACES}
    return {surface: barrier for surface, barrier in found.items() if barrier is not None}


@dataclass(frozen=True, slots=True)
class Barriers:
    """The barriers of a house. usual: by surface; own: by id of the assembly of single walls."""

    usual: dict[str, Barrier]
    own: dict[str, Barrier]
    built: BuiltWalls

    def at(self, surface: str, level: str, at: Point, room: str = "", side: str = "") -> Barrier | None:
        """The barrier of a surface at a place, see `BuiltWalls.at`; None where there is none."""
        if not self.own:
            return self.usual.get(surface)
        assembly = self.built.at(surface, level, at, room, side)
        return self.own.get(assembly.id if assembly else "") or self.usual.get(surface)

    def of_crossing(self, crossing: Crossing) -> Barrier | None:
        """The barrier that a cable crosses."""
        return self.at(crossing.surface, crossing.level, (crossing.x_ft, crossing.y_ft), crossing.room)

    def of_hole(self, hole: Hole) -> Barrier | None:
        """The barrier that a hole is in."""
        return self.own.get(hole.assembly) or self.usual.get(hole.surface)

    def name(self, barrier: Barrier) -> str:
        """The surface, and the assembly where it is that of single walls."""
        return barrier.surface + (f" as {barrier.assembly}" if barrier.assembly in self.own else "")


def barriers_of(house: House) -> Barriers:
    """The barriers of a house, ready to be asked by place."""
    built = built_walls(house)
    own = {a.id: barrier for a in built.own() if (barrier := barrier_of(a)) is not None}
    return Barriers(barriers(house.assemblies), own, built)


@dataclass(frozen=True, slots=True)
class CableLayer:
    """How a cable passes a barrier: kind of the catalogue, words of the layer, depth, and when it is covered."""

    kind: str
    words: tuple[str, ...]
    depth_mm: float
    reach_until: str
    bundles: bool


def cable_layer(barrier: Barrier) -> CableLayer:
    """The way of a cable through this barrier.

    A floor of boards, or a ceiling whose finish is the barrier, is passed through a framing plate.
    """
    horizontal = barrier.surface in ("floor", "ceiling")
    plate = barrier.family == "plates" or (barrier.family == "gypsum" and horizontal and barrier.inner_layers == 0)
    words = ("plates",) if plate else barrier.words
    kind = "plate_hole" if plate else "slab_sleeve" if barrier.family == "slab" else "cable_wall"
    if barrier.surface == "garage_wall" and kind == "cable_wall" and barrier.family != "membrane":
        kind = "garage_cable"
    depth_in = taken("plate_in") if plate else barrier.thickness_in
    bundle_layers = listed(table("air/sealing_catalogue").one(kind_id="cable_bundle").text("layers"))
    bundles = bool(set(words) & set(bundle_layers)) and barrier.surface != "garage_wall"
    return CableLayer(kind, words, depth_in * MM_PER_IN, barrier.reach_until(in_framing=plate), bundles)
