"""The air barrier of a surface as the holes see it: its layer, how deep it lies, what the sealing tables call it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from hpelec.common.layers import layer_words
from hpelec.core.tables import table
from hpelec.house.sections import Assembly
from hpelec.steps.penetrations.rules import MM_PER_IN, distance_to_barrier_in
from hpelec.steps.penetrations.rules_methods import last_reach, listed
from hpelec.steps.penetrations.taken import taken


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


def barriers(assemblies: Iterable[Assembly]) -> dict[str, Barrier]:
    """The barrier of each surface; where two assemblies name one surface, the one whose id sorts first."""
    found: dict[str, Barrier] = {}
    for assembly in sorted(assemblies, key=lambda a: a.id):
        place = next((i for i, layer in enumerate(assembly.layers) if layer.air_barrier), None)
        if place is None or assembly.surface in found:
            continue
        inner, layer = assembly.layers[:place], assembly.layers[place]
        found[assembly.surface] = Barrier(
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
    return found


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
