"""The box of each device as it is bought and cut in, and how it keeps the air barrier whole."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hpelec.common.layers import layer_words
from hpelec.core.citing import Citation, cite
from hpelec.core.findings import Verdict
from hpelec.core.tables import table
from hpelec.house.sections import Assembly
from hpelec.steps.devices import rules_boxes
from hpelec.steps.devices.boxes import Box
from hpelec.steps.devices.draft import Draft, Mark
from hpelec.steps.devices.model import BoxRow, DeviceSpot


def size(item: str) -> float:
    """A size of the table of box outsides; its unit is the end of its name."""
    return table("layout/box_outside").one(item=item).number("value")


@dataclass(frozen=True, slots=True)
class Barrier:
    """The air barrier of a surface as a box sees it: depth behind the face, layers before it, kind of layer."""

    depth_in: float
    inner_layers: int
    family: str


def barrier_of(assembly: Assembly | None) -> Barrier | None:
    """The air barrier of an assembly, None without one."""
    layers = () if assembly is None else assembly.layers
    at = next((i for i, layer in enumerate(layers) if layer.air_barrier), None)
    if assembly is None or at is None:
        return None
    words = layer_words(layers[at].material, assembly.surface)
    return Barrier(sum(layer.thickness_in for layer in layers[:at]), at, words[0] if words else "")


def box_rows(
    draft: Draft,
    spots: Sequence[DeviceSpot],
    marks: dict[str, Mark],
    boxes: dict[str, Box],
    built: Mapping[str, Assembly | None],
) -> tuple[BoxRow, ...]:
    """A row for each device that has a box in a wall, ceiling or floor. built: the assembly behind each device."""
    made = []
    for spot in spots:
        box = boxes[spot.id]
        if box.in_equipment:
            continue
        made.append(_row(draft, spot, marks[spot.id], box, barrier_of(built[spot.id])))
    _tell(draft, made)
    return tuple(made)


def _row(draft: Draft, spot: DeviceSpot, mark: Mark, box: Box, barrier: Barrier | None) -> BoxRow:
    outside_in = box.outside_depth_in
    entries = mark.wiring.grounds
    keeps, by = _keeps(spot, outside_in, barrier)
    wishes = draft.house.device_wishes
    fits = None
    if keeps == "membrane boot":
        room_in = size("boot_room_in")
        fits = entries <= wishes.boot_cables and rules_boxes.fits_boot(
            box.width_in, outside_in, wishes.boot_width_in, wishes.boot_depth_in, room_in
        )
    seals = {"membrane boot": rules_boxes.boot_seals(entries), "airtight box": rules_boxes.boot_seals(entries)}
    margin_in = None if barrier is None or spot.surface == "" else barrier.depth_in - outside_in
    return BoxRow(
        device=spot.id,
        box=box.name,
        gangs=box.gangs,
        fill_in3=box.fill_in3,
        volume_in3=box.volume_in3,
        depth_in=box.depth_in,
        least_depth_in=box.least_depth_in,
        outside_width_in=box.width_in,
        outside_height_in=box.height_in,
        outside_depth_in=outside_in,
        cut_width_in=rules_boxes.cut_in(box.width_in),
        cut_height_in=rules_boxes.cut_in(box.height_in),
        surface=spot.surface,
        barrier_in=None if barrier is None else barrier.depth_in,
        margin_in=margin_in,
        keeps_barrier=keeps,
        cable_entries=entries,
        fits_boot=fits,
        seals=seals.get(keeps, int(spot.surface == "outside" and not spot.shares_hole_with)),
        citation=by,
    )


def _keeps(spot: DeviceSpot, outside_in: float, barrier: Barrier | None) -> tuple[str, Citation]:
    """How a box keeps the air barrier whole, and the row of the table that says so."""
    in_front = _air("AB-CAVITY")
    if spot.surface == "":
        return "inside", in_front
    if spot.surface == "outside":
        return "box on the outer face", _air("AB-ENCL")
    if barrier is None:
        return "cannot say", in_front
    if barrier.inner_layers and rules_boxes.box_fits_cavity(barrier.depth_in, 0.0, outside_in):
        return "in front of the barrier", in_front
    if barrier.family == "membrane":
        return "membrane boot", _air("AB-ENCL")
    return "airtight box", _air("AB-OS4")


def _air(rule_id: str) -> Citation:
    return table("layout/airtight_boxes").one(rule_id=rule_id).citation


def _tell(draft: Draft, rows: Sequence[BoxRow]) -> None:
    shallow = [r.device for r in rows if 0 < r.depth_in < r.least_depth_in - 1e-9]
    draft.told(
        "box-least-depth", ", ".join(shallow[:6]) or "all boxes", "boxes are deep enough for their device",
        f"{len(shallow)} too shallow" if shallow else "none is too shallow", "least inside depth by wire size",
        Verdict.MISSES if shallow else Verdict.MEETS, cite(rules_boxes.least_depth_in, draft.edition),
        "take the next deeper box",
    )  # fmt: skip
    boots = [r for r in rows if r.fits_boot is not None]
    if boots:
        tight = [r.device for r in boots if not r.fits_boot]
        wishes = draft.house.device_wishes
        draft.told(
            "box-in-boot", ", ".join(tight[:6]) or f"{len(boots)} boxes", "a box fits inside its membrane boot",
            f"{len(tight)} of {len(boots)} do not fit" if tight else "all fit",
            f"{wishes.boot_width_in:g} in wide, {wishes.boot_depth_in:g} in deep, {wishes.boot_cables} cables",
            Verdict.MISSES if tight else Verdict.MEETS, cite(rules_boxes.fits_boot), "buy a larger boot, or make one",
        )  # fmt: skip
        draft.assume("devices, boots", "one boot a box, with room of 1/4 in behind and beside it", "common practice")
    combustible = draft.house.device_wishes.finish_combustible
    quarter = rules_boxes.set_back_allowed(size("little_margin_in"), combustible=combustible)
    draft.assume(
        "devices, boxes",
        f"front edges flush with the finish{', at most 1/4 in behind it' if quarter else ': a combustible one'}",
        "314.20; whoever sets the boxes keeps to it",
    )
    missing = sorted({r.surface for r in rows if r.keeps_barrier == "cannot say"})
    if missing:
        draft.told(
            "box-barrier", ", ".join(missing), "it is known how a box keeps the air barrier whole",
            "no assembly with an air barrier is given for this surface", "", Verdict.CANNOT_SAY,
            _air("AB-CAVITY"), "add the assembly to house.toml",
        )  # fmt: skip
