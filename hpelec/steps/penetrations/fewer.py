"""Ways to have fewer holes, each counted on this house."""

from __future__ import annotations

from collections.abc import Sequence

from hpelec.steps.circuits.model import Circuit
from hpelec.steps.penetrations.barrier import Barriers, cable_layer
from hpelec.steps.penetrations.boxes import Spot
from hpelec.steps.penetrations.cable_holes import Bundle, bundles, by_barrier, near_groups
from hpelec.steps.penetrations.model import FewerHoles, Hole
from hpelec.steps.penetrations.rules import box_outside_depth_in
from hpelec.steps.penetrations.taken import taken


def combined(
    made: Sequence[tuple[Hole, Bundle]], walls: Barriers, circuits: dict[str, Circuit], edition: int
) -> FewerHoles | None:
    """Cables of neighbouring boxes through one hole, as many as 334.80 lets pass."""
    loose = [(h, b) for h, b in made if (wall := walls.of_hole(h)) is not None and cable_layer(wall).bundles and b.nm]
    crossings = [c for _, b in loose for c in b.crossings]
    if not crossings:
        return None
    after = sum(
        len(bundles(group, circuits, edition, together=True))
        for _, through in by_barrier(crossings, walls)
        for group in near_groups(through, taken("neighbour_in"))
    )
    saved = len(loose) - after
    if saved <= 0:
        return None
    return FewerHoles(
        what="let the cables of neighbouring boxes share a hole",
        holes_saved=saved,
        how=f"{len(loose)} cable holes become {after}: boxes up to {taken('neighbour_in') / 12:g} ft apart, no more "
        "cables a hole than 334.80 lets keep their breakers; costs cable and bored studs",
    )


def moved_inside(boxes: Sequence[tuple[Spot, Hole]]) -> FewerHoles | None:
    """Boxes from envelope walls to walls between rooms."""
    count = sum(1 for _, h in boxes if h.surface in ("wall", "garage_wall"))
    if not count:
        return None
    return FewerHoles(
        what="move boxes from envelope walls to inside walls or the floor",
        holes_saved=count,
        how=f"{count} boxes cut the air barrier of a wall; those that the spacing rules need there stay",
    )


def cavity(boxes: Sequence[tuple[Spot, Hole]], walls: Barriers) -> list[FewerHoles]:
    """A service cavity deep enough, surface by surface, walls that are built differently each for itself."""
    made = []
    for surface, assembly in sorted({(h.surface, h.assembly) for _, h in boxes}):
        those = [(s, h) for s, h in boxes if (h.surface, h.assembly) == (surface, assembly)]
        here = [s for s, _ in those if s.kind not in ("recessed", "panel")]
        barrier = walls.of_hole(those[0][1])
        if not here or barrier is None:
            continue
        need_in = max(s.outside_depth_in for s in here) + taken("box_tolerance_in") - barrier.distance_in
        made.append(
            FewerHoles(
                what=f"a service cavity inboard of the air barrier ({walls.name(barrier)})",
                holes_saved=len(here),
                how=f"{need_in:.2f} in more depth before the barrier than now ({barrier.distance_in:.2f} in, finish "
                f"included) takes the deepest box with {taken('box_tolerance_in'):g} in to spare",
            )
        )
    return made


def surface_lights(boxes: Sequence[tuple[Spot, Hole]], walls: Barriers) -> FewerHoles | None:
    """Surface-mounted luminaires in place of recessed ones."""
    count = sum(1 for s, _ in boxes if s.kind == "recessed")
    if not count:
        return None
    ceiling = walls.usual["ceiling"]
    fits = ceiling.inner_layers > 0 and box_outside_depth_in(taken("ceiling_box_depth_in")) <= ceiling.distance_in
    what_is_left = (
        "their boxes stay in front of the barrier" if fits else "each still has a box in the barrier, smaller"
    )
    return FewerHoles(
        what="surface-mounted luminaires in place of recessed ones",
        holes_saved=count if fits else 0,
        how=f"{count} recessed luminaires; {what_is_left}",
    )
