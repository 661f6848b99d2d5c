"""The step penetrations: every hole that cables, boxes, luminaires, panels and the service put through the air barrier.

Holes are derived, never typed. A crossing of a route is a cable hole, unless the box at that place cuts the same
barrier: then it is a cable entry of the box's hole. A box outdoors and the crossing of its cable are one hole.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from hpelec.common import rules_nm
from hpelec.common.cable_sizes import cable_size
from hpelec.core.citing import cite
from hpelec.core.editions import PROVISIONAL, check_edition
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.working import Line, line
from hpelec.house.model import House
from hpelec.steps.circuits.model import Circuit, CircuitsResult
from hpelec.steps.devices.model import DeviceSpot, DevicesResult
from hpelec.steps.lateral.model import LateralResult
from hpelec.steps.penetrations import boxes, fewer, rules
from hpelec.steps.penetrations.barrier import Barrier, Barriers, barriers_of
from hpelec.steps.penetrations.cable_holes import Bundle, ambient_at, cable_holes
from hpelec.steps.penetrations.model import FewerHoles, Hole, PenetrationsResult, SurfaceTotal
from hpelec.steps.penetrations.service_hole import service_holes
from hpelec.steps.penetrations.site_holes import site_holes
from hpelec.steps.penetrations.taken import taken
from hpelec.steps.routes.model import Crossing, RoutesResult
from hpelec.steps.service.model import ServiceResult

STEP = "penetrations"
BOX_KINDS = ("box_wall", "box_membrane", "box_outside", "surface_light", "recessed", "panel_wall", "lv")


@dataclass(slots=True)
class Told:
    """Lines, findings and assumptions as they gather."""

    working: list[Line] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    assumptions: list[Assumption] = field(default_factory=list)

    def find(self, id: str, place: str, rule: str, got: str, allowed: str, fix: str, verdict: Verdict, by: object,
             edition: int) -> None:  # fmt: skip
        """Add a finding of this step."""
        citation = cite(by, edition)  # type: ignore[arg-type]
        self.findings.append(Finding(id, STEP, place, rule, got, allowed, fix, verdict, citation))

    def assume(self, where: str, taken: str, why: str) -> None:
        """Add an assumption, once."""
        made = Assumption(where, taken, why)
        if made not in self.assumptions:
            self.assumptions.append(made)


def design(
    house: House,
    edition: int,
    *,
    devices: DevicesResult,
    circuits: CircuitsResult,
    routes: RoutesResult,
    service: ServiceResult,
    lateral: LateralResult,
) -> PenetrationsResult:
    """Every hole in the air barrier of a house, with its size, its method of sealing and ways to have fewer."""
    check_edition(edition)
    told = Told()
    walls = barriers_of(house)
    by_id = {c.id: c for c in circuits.circuits}
    in_boxes = _boxes(house, walls, devices.devices, routes, told, edition)
    cut = {(h.surface, s.id) for s, h in in_boxes}
    rest = [c for c in routes.crossings if (c.surface, c.device) not in cut]
    outdoors, rest = _outdoors(house, walls, devices.devices, by_id, rest, told)
    _unknown_surfaces(rest, walls, told, edition)
    drilled = cable_holes(rest, walls, by_id, edition)
    holes = _with_unique_ids(
        [
            *(h for _, h in in_boxes),
            *outdoors,
            *(h for h, _ in drilled),
            *service_holes(house, walls, service, lateral, told.assume),
            *site_holes(house, walls, told.assume),
        ]
    )
    _sealed_bundles(drilled, told, edition)
    _tell_sizes(holes, told)
    found = [
        fewer.combined(drilled, walls, by_id, edition),
        fewer.moved_inside(in_boxes),
        *fewer.cavity(in_boxes, walls),
        fewer.surface_lights(in_boxes, walls),
    ]
    ways: tuple[FewerHoles, ...] = tuple(f for f in found if f is not None)
    return PenetrationsResult(
        edition=edition,
        holes=holes,
        surfaces=_totals(holes, told),
        fewer=ways,
        working=tuple(told.working),
        findings=tuple(told.findings),
        assumptions=tuple(told.assumptions),
    )


def _boxes(
    house: House,
    walls: Barriers,
    devices: Sequence[DeviceSpot],
    routes: RoutesResult,
    told: Told,
    edition: int,
) -> list[tuple[boxes.Spot, Hole]]:
    """Boxes, luminaires and panels that cut the barrier; a finding for each kind of box at each surface."""
    panels = [s for s in (boxes.panel_spot(house, p) for p in house.panels) if s is not None]
    spots = [*boxes.device_spots(house, devices), *boxes.light_spots(house, devices), *panels]
    made = []
    for spot in sorted(spots, key=lambda s: (s.surface, s.id)):
        barrier = _barrier(spot, walls)
        if barrier is not None and boxes.margin_in(spot, barrier) < 0:
            legs = boxes.entries_of(spot.id, routes.legs)
            made.append((spot, boxes.box_hole(spot, barrier, len(legs), [leg.circuit for leg in legs])))
    _box_findings(spots, walls, told, edition)
    if spots:
        told.assume("boxes", "rear wall 1/8 in thick; 4 in round boxes in ceilings", "devices give the inside depth")
    if any(d.box_depth_in == 0 and d.surface not in ("", "outside") for d in devices):
        depth_in = taken("unlisted_box_depth_in")
        told.assume(
            "boxes no table lists", f"{depth_in:g} in deep inside", "marked volume, ring or terminal compartment"
        )
    if any(s.kind == "recessed" for s in spots):
        told.assume("recessed luminaires", f"{taken('recessed_depth_in'):g} in deep", "depth not given")
    if panels:
        face = f"{taken('panel_width_in'):g} x {taken('panel_height_in'):g} in"
        told.assume(
            "panels in envelope walls",
            f"flush in the wall, {taken('panel_depth_in'):g} in deep, {face}",
            "mounting and size not given; common practice",
        )
    return made


def _barrier(spot: boxes.Spot, walls: Barriers) -> Barrier | None:
    return walls.at(spot.surface, spot.level, (spot.x_ft, spot.y_ft), spot.room, spot.side)


def _box_findings(spots: Iterable[boxes.Spot], walls: Barriers, told: Told, edition: int) -> None:
    groups: dict[tuple[str, float, Barrier], list[boxes.Spot]] = {}
    for spot in spots:
        barrier = _barrier(spot, walls)
        if barrier is not None:
            groups.setdefault((walls.name(barrier), spot.outside_depth_in, barrier), []).append(spot)
    for (surface, depth_in, barrier), group in sorted(groups.items(), key=lambda g: g[0][:2]):
        margin_in = boxes.margin_in(group[0], barrier)
        words = f"{len(group)} at {depth_in:.3f} in deep outside, barrier {barrier.distance_in:.3f} in from the face"
        told.working.append(
            line(
                f"margin of boxes {depth_in:.3f} in deep, {surface}",
                f"{barrier.distance_in:g} - {depth_in:g}" if barrier.inner_layers else "the finish is the barrier",
                margin_in,
                "in",
                rules.box_margin_in,
            )
        )
        if margin_in < 0 and not barrier.cavity_in:
            continue
        verdict = (
            Verdict.MISSES
            if margin_in < 0
            else Verdict.CANNOT_SAY
            if margin_in < taken("box_tolerance_in")
            else Verdict.MEETS
        )
        told.find(
            "box-depth", surface, "boxes stay in front of the air barrier", words, "depth not above the distance",
            f"{-margin_in + taken('box_tolerance_in'):.2f} in more cavity, or shallower boxes" if margin_in < 0
            else f"only {margin_in:.2f} in to spare: measure the box with its clamps and the built cavity",
            verdict, rules.box_margin_in, edition,
        )  # fmt: skip


def _outdoors(
    house: House,
    walls: Barriers,
    devices: Sequence[DeviceSpot],
    circuits: dict[str, Circuit],
    crossings: list[Crossing],
    told: Told,
) -> tuple[list[Hole], list[Crossing]]:
    """Holes behind boxes outdoors on walls of the envelope; the crossings that they are are taken out."""
    made: list[Hole] = []
    floor_ft = boxes.floors(house)
    outside = sorted((d for d in devices if d.surface == "outside"), key=lambda d: d.id)
    for device in (d for d in outside if not d.shares_hole_with):
        behind = boxes.wall_behind(house, device.level, (device.x_ft, device.y_ft))
        barrier = None if behind is None else walls.at(behind[1], device.level, behind[3], behind[0].id)
        if behind is None or barrier is None or behind[2] > taken("outside_reach_ft"):
            continue
        together = (device, *(d for d in outside if d.shares_hole_with == device.id))
        own = [c for c in crossings if c.surface == behind[1] and any(_is_of(c, d, circuits) for d in together)]
        crossings = [c for c in crossings if c not in own]
        z_ft = floor_ft[device.level] + device.height_in / 12
        found = boxes.outside_holes(together, behind[0], barrier, circuits, sorted_crossings(own), z_ft)
        if not found:
            told.assume(f"box outdoors {device.id}", "no hole counted", "no circuit and no cable reaches it")
        made += found
    return made, crossings


def sorted_crossings(crossings: Iterable[Crossing]) -> list[Crossing]:
    """Crossings in an order of their own."""
    return sorted(crossings, key=lambda c: (c.circuit, c.cable, c.x_ft, c.y_ft, c.z_ft))


def _is_of(crossing: Crossing, device: DeviceSpot, circuits: dict[str, Circuit]) -> bool:
    """The crossing is the device's own: named by it, or of its circuit and at its place on the plan."""
    if crossing.device == device.id:
        return True
    feeds = crossing.circuit in circuits and device.id in circuits[crossing.circuit].outlets
    apart_ft = max(abs(crossing.x_ft - device.x_ft), abs(crossing.y_ft - device.y_ft))
    return feeds and crossing.level == device.level and apart_ft <= taken("outside_reach_ft")


def _unknown_surfaces(crossings: Iterable[Crossing], walls: Barriers, told: Told, edition: int) -> None:
    for surface in sorted({c.surface for c in crossings} - set(walls.usual)):
        count = sum(1 for c in crossings if c.surface == surface)
        told.find(
            "assembly", surface, "every surface that a cable crosses has an air-barrier layer",
            f"{count} crossings, no assembly", "one assembly a surface", f"add an assembly for surface {surface}",
            Verdict.CANNOT_SAY, rules.distance_to_barrier_in, edition,
        )  # fmt: skip


def _with_unique_ids(holes: Iterable[Hole]) -> tuple[Hole, ...]:
    """Holes sorted by id; the second at one place gets `:2`, counted by place and cable, not by row."""
    seen: dict[str, int] = {}
    made = []
    for hole in sorted(holes, key=lambda h: (h.id, h.x_ft, h.y_ft, h.z_ft, h.passes)):
        seen[hole.id] = seen.get(hole.id, 0) + 1
        made.append(hole if seen[hole.id] == 1 else replace(hole, id=f"{hole.id}:{seen[hole.id]}"))
    return tuple(made)


def _sealed_bundles(drilled: Iterable[tuple[Hole, Bundle]], told: Told, edition: int) -> None:
    """334.80 for every hole that more than two NM cables share."""
    many = [(h, b) for h, b in drilled if rules_nm.sealed_hole_adjusts(len(b.nm))]
    for hole, bundle in many:
        ambient_C = ambient_at(hole.surface)
        factor = rules_nm.sealed_hole_factor([c.current_conductors for c in bundle.nm], edition)
        ambient = rules_nm.ambient_factor_90(ambient_C)
        carries = [rules_nm.sealed_hole_ampacity_A(c.size, factor, edition, ambient_factor=ambient) for c in bundle.nm]
        needs = [rules_nm.needed_A(c, edition) for c in bundle.nm]
        ok = rules_nm.hole_carries(bundle.nm, edition, ambient_C)
        told.find(
            "sealed-bundle", hole.id, "NM cables in one sealed hole keep their breakers",
            f"{len(bundle.nm)} cables, factor {factor:g} x {ambient:g} at {ambient_C:g} C: "
            f"{', '.join(f'{a:g} A' for a in carries)}",
            f"at least {', '.join(f'{n:g} A' for n in needs)}", "share the cables out over more holes",
            Verdict.MEETS if ok else Verdict.MISSES, rules_nm.sealed_hole_ampacity_A, edition,
        )  # fmt: skip
    if many and any(h.surface == "ceiling" for h, _ in many):
        ambients = f"{ambient_at('ceiling'):g} C at sealed holes in ceilings, {ambient_at('wall'):g} C elsewhere"
        told.assume("ambient of sealed holes", ambients, "an attic may be hotter; then fewer cables a hole")
    if many and edition in PROVISIONAL:
        told.find(
            "sealed-bundle-edition", "all bundles", f"334.80 as in edition {edition}",
            "tables of earlier editions used", "", f"check 334.80 and its tables in the {edition} book",
            Verdict.CANNOT_SAY, rules_nm.sealed_hole_factor, edition,
        )  # fmt: skip


def _tell_sizes(holes: Iterable[Hole], told: Told) -> None:
    """A worked size for each cable that passes alone, and what was taken for cables without a size."""
    alone = {h.passes[0]: h for h in holes if len(h.passes) == 1 and h.kind in ("cable_wall", "plate_hole")}
    for cable, hole in sorted(alone.items()):
        size = cable_size(cable)
        width = f"{max(size.width_in, size.thickness_in):g}"
        told.working.append(
            line(f"hole for {cable}", f"{width} + 0.125, up to 1/16", hole.diameter_in, "in", rules.hole_diameter_in)
        )
        told.working.append(
            line(f"gap round {cable}", f"({hole.diameter_in:g} - {width}) / 2 x 25.4", hole.gap_mm, "mm", rules.gap_mm)
        )
        told.working.append(
            line(f"open area round {cable}", "circle less cable", hole.free_area_mm2, "mm2", rules.free_area_mm2)
        )
    for cable in sorted({p for h in holes for p in h.passes if h.kind not in BOX_KINDS}):
        if ("NM" in cable or "copper" in cable) and not cable_size(cable).known:
            told.assume(f"outside size of {cable}", "the largest cable of the table", "not in the table of sizes")
    told.assume(
        "cable holes",
        f"drilled 1/8 in over size, up to the next 1/16 in; crossings within {taken('same_place_in'):g} in "
        f"share a hole where that can be sealed; floors and gypsum ceilings by a {taken('plate_in'):g} in plate",
        "common practice; a larger bit leaves more to seal",
    )


def _totals(holes: Sequence[Hole], told: Told) -> tuple[SurfaceTotal, ...]:
    made = []
    for surface, layer in sorted({(h.surface, h.layer) for h in holes}):
        here = [h for h in holes if (h.surface, h.layer) == (surface, layer)]
        in_box = sum(1 for h in here if h.kind in BOX_KINDS)
        made.append(SurfaceTotal(surface=surface, layer=layer, cable_holes=len(here) - in_box, box_holes=in_box))
    counts = " + ".join(f"{t.cable_holes + t.box_holes}" for t in made) or "none"
    told.working.append(line("holes in the air barrier", counts, len(holes), "holes"))
    return tuple(made)
