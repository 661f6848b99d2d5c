"""What is taken for a house whose folder leaves a whole table out; each default is told as an assumption."""

from __future__ import annotations

from hpelec.core.findings import Assumption
from hpelec.house.geometry import edges
from hpelec.house.model import House
from hpelec.house.rows import Panel
from hpelec.house.sections import Assembly, Layer, Level, Space

Filled = tuple[House, list[Assumption]]
PANEL_ROOMS = ("utility", "laundry", "garage", "basement_unfinished", "hallway", "pantry")
"""Kinds of room where a panel is taken to stand, in order of preference."""


def default_levels(house: House) -> Filled:
    """One level for each level name that rooms use, 8 ft high with a foot of floor between."""
    if house.levels:
        return house, []
    names = list(dict.fromkeys(room.level for room in house.rooms))
    levels = tuple(
        Level(
            id=name,
            name=name,
            floor_ft=9.0 * i,
            ceiling_height_ft=8.0,
            below="ground" if i == 0 else "level",
            above="attic" if i == len(names) - 1 else "level",
        )
        for i, name in enumerate(names)
    )
    told = Assumption(
        "house.toml, levels",
        f"{len(names)} level(s) with 8 ft ceilings, slab below, attic above",
        "no [[levels]] given",
    )
    return house.changed(levels=levels), [told]


def default_spaces(house: House) -> Filled:
    """A vented attic outside the air barrier where a level names one and no space describes it."""
    if any(s.id == "attic" for s in house.spaces) or not any(lv.above == "attic" for lv in house.levels):
        return house, []
    told = Assumption(
        "house.toml, spaces", "attic outside the air barrier, cables allowed", "no [[spaces]] describes it"
    )
    return house.changed(spaces=(*house.spaces, Space(id="attic", kind="attic", inside_air_barrier=False))), [told]


def _layer(material: str, thickness_in: float, thermal_R: float = 0.0, **flags: bool) -> Layer:
    return Layer(material=material, thickness_in=thickness_in, thermal_R=thermal_R, **flags)


_GYPSUM = _layer("gypsum board", 0.5, 0.45)
_PLAIN: dict[str, tuple[Layer, ...]] = {
    "wall": (
        _GYPSUM,
        _layer("studs with insulation", 5.5, 20.0, insulation=True),
        _layer("taped sheathing", 0.4375, 0.6, air_barrier=True),
        _layer("cladding", 0.75),
    ),
    "garage_wall": (
        _GYPSUM,
        _layer("studs with insulation", 5.5, 20.0, insulation=True),
        _layer("gypsum board, garage side", 0.5, 0.45, air_barrier=True),
    ),
    "ceiling": (
        _layer("gypsum board", 0.5, 0.45, air_barrier=True),
        _layer("loose insulation", 16.0, 50.0, insulation=True),
    ),
    "floor": (
        _layer("subfloor", 0.75, 0.9, air_barrier=True),
        _layer("joists with insulation", 9.25, 30.0, insulation=True),
    ),
}


def default_assemblies(house: House) -> Filled:
    """A plain assembly for each surface that none is given for."""
    given = {a.surface for a in house.assemblies}
    missing = [surface for surface in _PLAIN if surface not in given]
    added = tuple(Assembly(id=f"default-{surface}", surface=surface, layers=_PLAIN[surface]) for surface in missing)
    told = [
        Assumption(
            "house.toml, assemblies",
            f"{surface}: "
            + " / ".join(layer.material + (" (air barrier)" if layer.air_barrier else "") for layer in _PLAIN[surface]),
            "no assembly given for this surface; layers are our own example, not a published value",
        )
        for surface in missing
    ]
    return house.changed(assemblies=(*house.assemblies, *added)), told


def default_panels(house: House) -> Filled:
    """One panel in the likeliest room, in the middle of its first wall."""
    if house.panels or not house.rooms:
        return house, []
    ranked = sorted(house.rooms, key=lambda r: PANEL_ROOMS.index(r.kind) if r.kind in PANEL_ROOMS else len(PANEL_ROOMS))
    try:
        edge = edges(ranked[0])[0]
    except ValueError:
        return house, []
    panel = Panel(id="P1", name="Main panel", room=ranked[0].id, side=edge.side, offset_ft=edge.length_ft / 2)
    told = Assumption(
        "panels.csv", f"one panel in {ranked[0].id}, {edge.side} wall, 40 spaces, 200 A bus", "no panel given"
    )
    return house.changed(panels=(panel,)), [told]
