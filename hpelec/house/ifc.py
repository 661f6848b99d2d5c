"""A house folder started from the rooms of a building model: levels, rooms, doors and windows.

What the model does not say (site, appliances, envelope target) is taken from the starter and told in the notes.
"""

from __future__ import annotations

import re
import tempfile
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

from hpelec.core.errors import InputErrors
from hpelec.house.geometry import Edge, edges, room_area_ft2, wall_parts
from hpelec.house.ifc_model import BuildingModel, ModelOpening, ModelSpace, Storey, read_model
from hpelec.house.ifc_rooms import as_rectangle, turned_to_axes, walls_to_middle
from hpelec.house.model import House
from hpelec.house.read import read_house
from hpelec.house.rows import Opening, Room
from hpelec.house.sections import Level
from hpelec.house.walls import THICKEST_WALL_FT
from hpelec.house.write import write_house, write_starter

KIND_WORDS: tuple[tuple[str, str], ...] = (
    ("bath", "bathroom"),
    ("toilet", "bathroom"),
    ("wc", "bathroom"),
    ("powder", "bathroom"),
    ("shower", "bathroom"),
    ("bed", "bedroom"),
    ("kitchen", "kitchen"),
    ("dining", "dining"),
    ("living", "living"),
    ("lounge", "living"),
    ("family", "family"),
    ("den", "den"),
    ("study", "den"),
    ("office", "den"),
    ("library", "library"),
    ("sunroom", "sunroom"),
    ("recreation", "recreation"),
    ("foyer", "foyer"),
    ("entry", "foyer"),
    ("entrance", "foyer"),
    ("vestibule", "foyer"),
    ("mud", "foyer"),
    ("hall", "hallway"),
    ("corridor", "hallway"),
    ("landing", "hallway"),
    ("stair", "stair"),
    ("laundry", "laundry"),
    ("closet", "closet"),
    ("wardrobe", "closet"),
    ("pantry", "pantry"),
    ("store", "pantry"),
    ("storage", "pantry"),
    ("garage", "garage"),
    ("carport", "garage"),
    ("workshop", "workshop"),
    ("porch", "porch"),
    ("veranda", "porch"),
    ("basement", "basement_unfinished"),
    ("utility", "utility"),
    ("mechanical", "utility"),
    ("plant", "utility"),
)
"""Words in the name of a space -> kind of room; the first that stands in it."""
UNKNOWN_KIND = "utility"
OUTSIDE_KINDS = ("garage", "porch")


@dataclass(frozen=True, slots=True)
class Imported:
    """The house that was written, and what could not be taken or had to be assumed."""

    house: House
    notes: tuple[str, ...]


def import_ifc(path: str | Path, folder: str | Path) -> Imported:
    """Write a house folder from a building model; the folder must be new or empty.

    Raises ExtraError without the optional package, ModelError for a model that cannot be taken, InputErrors when its
    rooms do not fit together, FileExistsError when the folder holds files.
    """
    target = Path(folder)
    if target.exists() and any(target.iterdir()):
        raise FileExistsError(f"{target} is not empty; name a new folder")
    house, notes = house_from_model(read_model(path), Path(path).stem)
    write_house(house, target)
    return Imported(read_house(target), notes)


def house_from_model(model: BuildingModel, name: str) -> tuple[House, tuple[str, ...]]:
    """The house of a model, without what the reader fills in by default, and the notes on it.

    Raises InputErrors when its rooms do not fit together.
    """
    plan = turned_to_axes(model)
    notes = list(plan.notes)
    storeys = _used_storeys(plan)
    levels = _levels(storeys, plan.spaces)
    rooms: list[Room] = []
    for storey, level in zip(storeys, levels, strict=True):
        rooms += _rooms(level.id, [s for s in plan.spaces if s.storey == storey.key], {r.id for r in rooms}, notes)
    openings = _openings(plan, dict(zip((s.key for s in storeys), levels, strict=True)), storeys, rooms, notes)
    with tempfile.TemporaryDirectory() as folder:
        write_starter(folder)
        starter = read_house(folder)
    house = _sized(starter, name, levels, rooms, openings)
    notes.append("site, service, appliances, assemblies and the airtightness target are the starter's: change them all")
    return _fitting(house, notes)


def _fitting(house: House, notes: list[str]) -> tuple[House, tuple[str, ...]]:
    """The house without the openings that would not be read."""
    with tempfile.TemporaryDirectory() as folder:
        write_house(house, folder)
        try:
            read_house(folder)
            return house, tuple(notes)
        except InputErrors as errors:
            bad = {p.about: p for p in errors.problems if p.file == "openings.csv" and p.about}
            if len(bad) < len({(p.file, p.about) for p in errors.problems}):
                raise
    left = [*notes, *(f"not taken: {p.problem}" for p in bad.values())]
    return _fitting(house.changed(openings=tuple(o for o in house.openings if o.id not in bad)), left)


def slug(text: str, taken: Iterable[str], fallback: str) -> str:
    """A name as an id that no other row has."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii").lower()
    base = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:30].strip("-") or fallback
    known, number, made = set(taken), 2, base
    while made in known:
        made, number = f"{base}-{number}", number + 1
    return made


def kind_of(name: str) -> str | None:
    """Kind of room that a name speaks of, None when it says nothing we know."""
    words = re.findall(r"[a-z]+", name.lower())
    return next((kind for word, kind in KIND_WORDS if any(w == word or w.startswith(word) for w in words)), None)


def _used_storeys(model: BuildingModel) -> list[Storey]:
    used = {s.storey for s in model.spaces}
    return sorted((s for s in model.storeys if s.key in used), key=lambda s: (s.floor_ft, s.key))


def _levels(storeys: list[Storey], spaces: list[ModelSpace]) -> list[Level]:
    """A level for each storey with spaces: floor measured from the lowest, ceiling that of its highest space."""
    made: list[Level] = []
    for n, storey in enumerate(storeys):
        high = max(s.height_ft for s in spaces if s.storey == storey.key)
        made.append(
            Level(
                id=slug(storey.name, [lv.id for lv in made], "level"),
                name=storey.name,
                floor_ft=round(storey.floor_ft - storeys[0].floor_ft, 4) + 0.0,
                ceiling_height_ft=round(high, 4),
                below="ground" if n == 0 else "level",
                above="attic" if n == len(storeys) - 1 else "level",
            )
        )
    return made


def _rooms(level: str, spaces: list[ModelSpace], taken: set[str], notes: list[str]) -> list[Room]:
    outlines, widest = walls_to_middle([s.corners_ft for s in spaces])
    if widest > 1e-3:
        said = f"walls between rooms (up to {widest * 12:.1f} in) are drawn to their middle, rooms are that much larger"
        notes.append(f"level {level}: {said}")
    made: list[Room] = []
    for space, corners in zip(spaces, outlines, strict=True):
        name = space.use or space.name
        kind = kind_of(name) or kind_of(space.name)
        room_id = slug(name, taken | {r.id for r in made}, "room")
        if kind is None:
            notes.append(f"room {room_id}: its use is not known from its name, taken as {UNKNOWN_KIND}")
        kind = kind or UNKNOWN_KIND
        if kind in OUTSIDE_KINDS:
            notes.append(f"room {room_id}: a {kind}, taken as outside the air barrier")
        box = as_rectangle(corners)
        made.append(
            Room(
                id=room_id,
                name=name,
                level=level,
                kind=kind,
                inside_air_barrier=kind not in OUTSIDE_KINDS,
                x_ft=box[0] if box else None,
                y_ft=box[1] if box else None,
                width_ft=box[2] if box else None,
                depth_ft=box[3] if box else None,
                outline_ft=() if box else corners,
            )
        )
    return made


def _openings(
    model: BuildingModel, levels: dict[int, Level], storeys: list[Storey], rooms: list[Room], notes: list[str]
) -> list[Opening]:
    floors = {s.key: s.floor_ft for s in storeys}
    made: list[Opening] = []
    for item in model.openings:
        level = levels.get(item.storey)
        found = _wall_of(item, [r for r in rooms if level is not None and r.level == level.id])
        if found is None:
            notes.append(f"{item.kind} {item.name}: stands in no wall of a room, not taken")
            continue
        room, edge, along = found
        low = min(edge.offset(along - item.width_ft / 2), edge.offset(along + item.width_ft / 2))
        kind = "garage_door" if item.kind == "door" and room.kind == "garage" and item.width_ft >= 7 else item.kind
        made.append(
            Opening(
                id=slug(item.name, [o.id for o in made], item.kind),
                room=room.id,
                side=edge.side,
                offset_ft=round(max(low, 0.0) if low > -0.1 else low, 4),
                width_ft=round(item.width_ft, 4),
                kind=kind,
                sill_ft=max(round(item.bottom_ft - floors[item.storey], 4), 0.0),
                height_ft=round(item.height_ft, 4),
            )
        )
        if low <= -0.1:
            made.pop()
            notes.append(f"{item.kind} {item.name}: reaches beyond the end of its wall, not taken")
    return made


def _wall_of(item: ModelOpening, rooms: list[Room]) -> tuple[Room, Edge, float] | None:
    """The nearest wall to the middle of an opening, and where along it that lies; the first of two rooms."""
    best: tuple[float, Room, Edge, float] | None = None
    for room in rooms:
        for edge in edges(room):
            ux, uy = (edge.x1 - edge.x0) / edge.length_ft, (edge.y1 - edge.y0) / edge.length_ft
            dx, dy = item.centre_ft[0] - edge.x0, item.centre_ft[1] - edge.y0
            along, off = dx * ux + dy * uy, abs(dx * uy - dy * ux)
            if off <= THICKEST_WALL_FT and 0 <= along <= edge.length_ft and (best is None or off < best[0] - 1e-4):
                best = (off, room, edge, along)
    return best[1:] if best else None


def _sized(starter: House, name: str, levels: list[Level], rooms: list[Room], openings: list[Opening]) -> House:
    """The starter with these rooms, and with the areas and the volume that follow from them."""
    house = starter.changed(
        levels=tuple(levels),
        rooms=tuple(rooms),
        openings=tuple(openings),
        fixed=(),
        placed_devices=(),
        panels=(),
        lights=(),
        fans=(),
        draw_points=(),
        heaters=(),
        spaces=(),
        assemblies=(),
        assumptions=(),
        appliances=tuple(replace(a, room="") for a in starter.appliances),
    )
    inside = [r for r in rooms if r.inside_air_barrier]
    high = {lv.id: lv.ceiling_height_ft for lv in levels}
    floor = sum(room_area_ft2(r) for r in inside) or 1.0
    walls = sum(
        p.length_ft * high[r.level]
        for r in inside
        for p in wall_parts(house, r)
        if p.surface in ("wall", "garage_wall")
    )
    per_level = {lv.id: sum(room_area_ft2(r) for r in inside if r.level == lv.id) for lv in levels}
    shell = walls + 2 * max(per_level.values(), default=0.0)
    volume = sum(room_area_ft2(r) * high[r.level] for r in inside) or 1.0
    note = "Rooms from a building model. Areas and volume follow from them; the rest is the starter's and must be set."
    general = replace(starter.general, name=name, note=note, floor_area_ft2=round(floor, 1))
    envelope = replace(starter.envelope, volume_ft3=round(volume, 1), area_ft2=round(shell or 1.0, 1))
    return house.changed(general=general, envelope=envelope)
