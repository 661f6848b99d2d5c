"""The box of each device: the smallest standard one that holds its fill, shallow enough for a service cavity."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from hpelec.core.citing import Citation, cite
from hpelec.core.findings import Verdict
from hpelec.core.tables import Row, table
from hpelec.core.working import line as working_line
from hpelec.house.assemblies import assembly_of, built_walls
from hpelec.house.sections import SURFACES, Assembly
from hpelec.steps.devices import rules_boxes
from hpelec.steps.devices.draft import Draft, Mark, Wiring
from hpelec.steps.devices.model import DeviceSpot

WALL_THICKNESS_IN = 0.125
"""Outside depth of a box less its inside depth: taken, no source."""
SHAPES = {"round_octagonal": "round or octagonal", "square": "square", "device": "device box"}


@dataclass(frozen=True, slots=True)
class Cavity:
    """Room for a box in front of the membrane: depth of the service cavity and of the finish before it."""

    depth_in: float
    finish_in: float


@dataclass(frozen=True, slots=True)
class Box:
    """A box chosen: name, volume, fill, inside depth (0 where no table lists it), gangs, outside sizes.

    in_equipment: the wires end in the equipment itself; no box stands in the wall.
    """

    name: str
    volume_in3: float
    fill_in3: float
    depth_in: float
    gangs: int
    citation: Citation
    width_in: float = 2.0
    height_in: float = 3.75
    outside_depth_in: float = 3.625
    least_depth_in: float = 0.0
    in_equipment: bool = False


def fill_of(wiring: Wiring, edition: int) -> float:
    """Volume that a device's wiring takes [in3]."""
    size = wiring.size_AWG
    ground = 10 if size < 10 else size
    return rules_boxes.box_fill_in3(
        [(size, wiring.conductors)],
        [(ground, wiring.grounds)],
        [(size, gangs) for gangs in wiring.yokes],
        edition,
        internal_clamps=wiring.internal_clamps,
        fittings=wiring.fittings,
    )


def choose(wiring: Wiring, edition: int, cavity: Cavity | None) -> Box | None:
    """The smallest standard box that holds the fill, in a service cavity one that fits it if there is one.

    None when no standard box is large enough.
    """
    if wiring.own_box:
        citation = cite(rules_boxes.box_fill_in3, edition)
        return Box(wiring.own_box, 0.0, 0.0, 0.0, 1, citation, in_equipment="equipment" in wiring.own_box)
    fill_in3 = fill_of(wiring, edition)
    gangs = max(1, sum(wiring.yokes))
    least_in = rules_boxes.least_depth_in(wiring.size_AWG, device=bool(wiring.yokes))
    enough = _enough(wiring.shapes, fill_in3, gangs, least_in)
    if cavity is not None:
        shallow = [
            row
            for row in (*enough, *_enough(("square",), fill_in3, gangs, least_in))
            if rules_boxes.box_fits_cavity(
                cavity.depth_in, cavity.finish_in, row.number("depth_in") + WALL_THICKNESS_IN
            )
        ]
        enough = shallow or enough
    if not enough:
        return None
    row = enough[0]
    times = gangs if row.text("shape") == "device" else 1
    name = f"{SHAPES[row.text('shape')]} {row.text('trade_size')} in"
    if times > 1:
        name = f"{times} ganged: {name}"
    width_in, height_in = _face(row, times)
    depth_in = row.number("depth_in")
    return Box(
        name,
        row.number("min_volume_in3") * times,
        fill_in3,
        depth_in,
        gangs,
        row.citation,
        width_in,
        height_in,
        depth_in + WALL_THICKNESS_IN,
        least_in,
    )


def _face(row: Row, gangs: int) -> tuple[float, float]:
    """Outside width and height [in] of the face of one box, or of boxes ganged side by side."""
    first = row.number("dim1_in")
    if row.text("shape") != "device":
        return first, first
    pitch_in = table("layout/box_outside").one(item="gang_in").number("value")
    return row.number("dim2_in") + (gangs - 1) * pitch_in, first


def _enough(shapes: tuple[str, ...], fill_in3: float, gangs: int, least_in: float) -> list[Row]:
    """Boxes of these shapes that hold the fill and are deep enough, smallest first; a square one takes two gangs."""
    return [
        row
        for row in _by_volume()
        if row.text("shape") in shapes
        and row.number("depth_in") >= least_in - rules_boxes.EPS
        and (row.text("shape") == "device" or gangs <= 2)
        and rules_boxes.box_holds(
            row.number("min_volume_in3") * (gangs if row.text("shape") == "device" else 1), fill_in3
        )
    ]


@cache
def _by_volume() -> tuple[Row, ...]:
    rows = [row for row in table("layout/box_volumes") if row.text("shape") in SHAPES]
    return tuple(sorted(rows, key=lambda r: (r.number("min_volume_in3"), r.number("depth_in"))))


def cavity_of(assembly: Assembly | None) -> Cavity | None:
    """The service cavity of an assembly, None without one."""
    layers = () if assembly is None else assembly.layers
    at = next((i for i, layer in enumerate(layers) if layer.service_cavity), None)
    return None if at is None else Cavity(layers[at].thickness_in, sum(layer.thickness_in for layer in layers[:at]))


def cavities(draft: Draft) -> dict[tuple[str, str], Cavity]:
    """Service cavities by surface and, where a wall has an assembly of its own, by the id of that, else ""."""
    house = draft.house
    usual = {(surface, ""): assembly_of(house.assemblies, (), surface) for surface in SURFACES}
    own = {(a.surface, a.id): a for a in built_walls(house).own()}
    found = {key: cavity_of(assembly) for key, assembly in (usual | own).items()}
    return {key: cavity for key, cavity in found.items() if cavity is not None}


def box_of(draft: Draft, mark: Mark, cavity: Cavity | None) -> Box:
    """The box of one device; a finding when no standard box holds it."""
    found = choose(mark.wiring, draft.edition, cavity)
    if found is not None:
        return found
    fill_in3 = fill_of(mark.wiring, draft.edition)
    citation = cite(rules_boxes.box_fill_in3, draft.edition)
    place = mark.pinned_id or mark.serves or mark.room.id
    draft.told(
        "box-fill", place, "a standard box holds its conductors", f"{fill_in3:.2f} in3", "largest standard box",
        Verdict.MISSES, citation, "use a box with a marked volume",
    )  # fmt: skip
    return Box("box with marked volume", fill_in3, fill_in3, 0.0, 1, citation)


def tell_boxes(draft: Draft, spots: tuple[DeviceSpot, ...], wirings: dict[str, Wiring]) -> None:
    """Working and findings: one entry for each kind of box that is used."""
    seen: dict[tuple[Wiring, str], DeviceSpot] = {}
    for spot in spots:
        if spot.box_fill_in3 > 0:
            seen.setdefault((wirings[spot.id], spot.box), spot)
    for (wiring, box), spot in seen.items():
        draft.working.append(
            working_line(
                f"box fill, {spot.kind}, as {spot.id}",
                _expression(wiring),
                spot.box_fill_in3,
                "in3",
                rules_boxes.box_fill_in3,
                draft.edition,
            )
        )
        draft.told(
            "box-fill", f"{spot.kind}, as {spot.id}", "the box holds its conductors and device",
            f"{spot.box_fill_in3:.2f} in3", f"{spot.box_volume_in3:.2f} in3 ({box})", Verdict.MEETS,
            cite(rules_boxes.box_holds, draft.edition),
        )  # fmt: skip
    draft.assume(
        "devices, boxes",
        "two cables of the circuit's size enter each box (12/2 in kitchen, dining room, bathroom, laundry, garage and "
        "outdoors, else 14/2); a cable of its own for an appliance; internal clamps in device and ceiling boxes",
        "the routes settle the true number of cables later",
    )


def _expression(wiring: Wiring) -> str:
    text = f"{wiring.conductors} conductors {wiring.size_AWG} AWG + {wiring.grounds} grounds"
    if wiring.yokes:
        text += f" + devices of {', '.join(str(g) for g in wiring.yokes)} gang"
    if wiring.internal_clamps:
        text += " + clamps"
    return text + (f" + {wiring.fittings} fitting" if wiring.fittings else "")
