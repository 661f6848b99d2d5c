"""Holes for cables: crossings of the air barrier, put together where a bundle may pass one hole."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from hpelec.common import rules_holes
from hpelec.common.cable_sizes import CableSize, cable_size
from hpelec.common.rules_nm import NmCable, hole_carries
from hpelec.core.rounding import EPS
from hpelec.steps.circuits.model import Circuit
from hpelec.steps.penetrations import rules
from hpelec.steps.penetrations.barrier import Barrier, Barriers, CableLayer, cable_layer
from hpelec.steps.penetrations.model import Hole
from hpelec.steps.penetrations.rules_methods import choose_method
from hpelec.steps.penetrations.taken import taken
from hpelec.steps.routes.model import Crossing


@dataclass(frozen=True, slots=True)
class Drilled:
    """Size of a drilled hole and what stays open in it."""

    diameter_in: float
    gap_mm: float
    free_area_mm2: float


def ambient_at(surface: str) -> float:
    """Ambient taken at a sealed hole of this surface [C]."""
    return taken("ambient_ceiling_C" if surface == "ceiling" else "ambient_C")


@dataclass(frozen=True, slots=True)
class Bundle:
    """Crossings that share one hole."""

    crossings: tuple[Crossing, ...]
    nm: tuple[NmCable, ...]


def place_ft(crossing: Crossing) -> tuple[float, float, float]:
    """Where a crossing is."""
    return (crossing.x_ft, crossing.y_ft, crossing.z_ft)


def order_of(crossing: Crossing) -> tuple[str, str, str, float, float, float]:
    """An order of crossings that does not hang on the order of rows."""
    return (crossing.device, crossing.circuit, crossing.cable, *place_ft(crossing))


def near_groups(crossings: Iterable[Crossing], reach_in: float) -> list[list[Crossing]]:
    """Crossings of the same surface and level that hang together by steps of at most `reach_in`."""
    left = sorted(crossings, key=order_of)
    groups: list[list[Crossing]] = []
    while left:
        group, queue = [], [left.pop(0)]
        while queue:
            at = queue.pop()
            group.append(at)
            near = [c for c in left if _near(at, c, reach_in)]
            left = [c for c in left if not _near(at, c, reach_in)]
            queue += near
        groups.append(sorted(group, key=order_of))
    return groups


def _near(a: Crossing, b: Crossing, reach_in: float) -> bool:
    same = (a.surface, a.level) == (b.surface, b.level)
    return same and math.dist(place_ft(a), place_ft(b)) * 12 <= reach_in + EPS


def by_barrier(crossings: Iterable[Crossing], walls: Barriers) -> list[tuple[Barrier, list[Crossing]]]:
    """Crossings by the barrier they pass: walls built differently share no hole. Those of none are left out."""
    found: dict[Barrier, list[Crossing]] = {}
    for crossing in crossings:
        barrier = walls.of_crossing(crossing)
        if barrier is not None:
            found.setdefault(barrier, []).append(crossing)
    return sorted(found.items(), key=lambda f: (f[0].surface, f[0].assembly))


def nm_cable(crossing: Crossing, circuits: dict[str, Circuit]) -> NmCable | None:
    """What 334.80 needs to know of a crossing's cable, or None for a cable that it does not speak of."""
    size, circuit = cable_size(crossing.cable), circuits.get(crossing.circuit)
    if not size.is_nm or not size.known or circuit is None:
        return None
    return NmCable(size.conductor, circuit.current_conductors, circuit.breaker_A)


def bundles(group: Sequence[Crossing], circuits: dict[str, Circuit], edition: int, *, together: bool) -> list[Bundle]:
    """Crossings at one place, shared out over holes that keep every cable at its breaker (334.80).

    together: False gives each cable its own hole, as where no method seals a bundle. Cables other than NM pass alone.
    """
    alone = [c for c in group if not together or nm_cable(c, circuits) is None]
    made = [Bundle((c,), tuple(n for n in (nm_cable(c, circuits),) if n)) for c in alone]
    crossings: list[Crossing] = []
    cables: list[NmCable] = []
    for crossing in group:
        cable = nm_cable(crossing, circuits)
        if crossing in alone or cable is None:
            continue
        ambient_C = ambient_at(crossing.surface)
        if crossings and not hole_carries([*cables, cable], edition, ambient_C):
            made.append(Bundle(tuple(crossings), tuple(cables)))
            crossings, cables = [], []
        crossings.append(crossing)
        cables.append(cable)
    return [*made, Bundle(tuple(crossings), tuple(cables))] if crossings else made


def cable_hole(bundle: Bundle, barrier: Barrier, layer: CableLayer) -> Hole:
    """The hole of a bundle (or of one cable)."""
    first = bundle.crossings[0]
    count = len(bundle.crossings)
    size = drilled([cable_size(c.cable) for c in bundle.crossings])
    kind = "cable_bundle" if count > 1 else layer.kind
    made = Hole(
        id=f"{first.surface}:{first.device}:{first.circuit}",
        kind=kind,
        surface=first.surface,
        assembly=barrier.assembly,
        layer=barrier.layer,
        layer_family=layer.words[0] if layer.words else "",
        room=first.room,
        level=first.level,
        x_ft=math.fsum(c.x_ft for c in bundle.crossings) / count,
        y_ft=math.fsum(c.y_ft for c in bundle.crossings) / count,
        z_ft=math.fsum(c.z_ft for c in bundle.crossings) / count,
        passes=tuple(c.cable for c in bundle.crossings),
        circuits=tuple(sorted({c.circuit for c in bundle.crossings})),
        diameter_in=size.diameter_in,
        gap_mm=size.gap_mm,
        free_area_mm2=size.free_area_mm2,
        depth_mm=layer.depth_mm,
        made_at="rough-in",
        reach_until=layer.reach_until,
    )
    return with_method(made, layer.words, cables=count)


def drilled(sizes: Sequence[CableSize]) -> Drilled:
    """The hole that these cables need."""
    widths, thicknesses = [s.width_in for s in sizes], [s.thickness_in for s in sizes]
    outside_in = rules_holes.stacked_size_in(widths, thicknesses)
    hole_in = rules_holes.hole_diameter_in(outside_in)
    free_mm2 = rules.free_area_mm2(hole_in, widths, thicknesses)
    return Drilled(hole_in, rules.gap_mm(hole_in, outside_in), free_mm2)


def with_method(hole: Hole, words: tuple[str, ...], *, cables: int = 0) -> Hole:
    """The hole with the sealing method that fits it."""
    choice = choose_method(hole.kind, hole.gap_mm, words, hole.reach_until, cables=cables, tested_box=hole.tested_box)
    return replace(hole, method=choice.method, bore_method=choice.bore_method, rejected=choice.rejected)


def cable_holes(
    crossings: Iterable[Crossing], walls: Barriers, circuits: dict[str, Circuit], edition: int
) -> list[tuple[Hole, Bundle]]:
    """All cable holes with the bundles that pass them, in a fixed order."""
    made: list[tuple[Hole, Bundle]] = []
    for barrier, through in by_barrier(crossings, walls):
        layer = cable_layer(barrier)
        for group in near_groups(through, taken("same_place_in")):
            for bundle in bundles(group, circuits, edition, together=layer.bundles):
                made.append((cable_hole(bundle, barrier, layer), bundle))
    return sorted(made, key=lambda m: (m[0].id, m[0].x_ft, m[0].y_ft, m[0].z_ft))
