"""What a building model (IFC2X3, IFC4) holds of rooms: storeys, spaces, doors and windows, in feet.

Needs the optional package of the extra `drawings`; everything else of it stays in the model and is told in the notes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from shapely.geometry import Polygon
from shapely.ops import unary_union

from hpelec.core.errors import ExtraError, ModelError
from hpelec.house.geometry import Point
from hpelec.house.sketches import polygons

FEET_PER_METRE = 1 / 0.3048
SCHEMAS = ("IFC2X3", "IFC4")
LAST_LINE, LAST_BYTES = b"END-ISO-10303-21", 4096
"""ISO 10303-21 ends every file so; the parser reads a file that is cut off without a word."""
LARGEST_FT, SMALLEST_FT = 500.0, 1.0
"""Spaces beyond these sizes mean that the unit of length of the model is wrong."""
SIMPLE_FT = 0.003
CURVED_FT = 0.1
MOST_CORNERS = 60


@dataclass(frozen=True, slots=True)
class Storey:
    """A storey: its number in the model, its name, the height of its floor."""

    key: int
    name: str
    floor_ft: float


@dataclass(frozen=True, slots=True)
class ModelSpace:
    """A space: its outline at the floor, its height, the storey it is on."""

    name: str
    use: str
    storey: int
    corners_ft: tuple[Point, ...]
    floor_ft: float
    height_ft: float


@dataclass(frozen=True, slots=True)
class ModelOpening:
    """A door or window: the middle of its plan, its size, its lower edge."""

    name: str
    kind: str
    storey: int
    centre_ft: Point
    width_ft: float
    height_ft: float
    bottom_ft: float


@dataclass
class BuildingModel:
    """What was taken from a file, and what could not be taken."""

    storeys: list[Storey] = field(default_factory=list)
    spaces: list[ModelSpace] = field(default_factory=list)
    openings: list[ModelOpening] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def read_model(path: str | Path) -> BuildingModel:
    """Read a file. Raises ExtraError without the package, ModelError for a file that cannot be taken."""
    library = _library()
    file = Path(path)
    if not file.is_file():
        raise ModelError(f"{file.name}: there is no such file")
    if LAST_LINE not in file.read_bytes()[-LAST_BYTES:]:
        raise ModelError(f"{file.name}: not a whole building model (IFC text file): its last line is missing")
    try:
        model = library.open(str(file))
        schema = str(model.schema)
    except Exception as error:  # the parser raises many kinds
        raise ModelError(f"{file.name}: not readable as a building model (IFC): {error}") from None
    if not schema.startswith(SCHEMAS):
        raise ModelError(f"{file.name}: schema {schema} is not known; allowed: {', '.join(SCHEMAS)}")
    return _Reader(library, model, file.name).read()


def _library() -> Any:
    try:
        import ifcopenshell  # noqa: PLC0415
        import ifcopenshell.geom  # noqa: PLC0415
        import ifcopenshell.util.placement  # noqa: PLC0415
        import ifcopenshell.util.unit  # noqa: PLC0415
    except ImportError:
        raise ExtraError(
            'reading a building model needs the extra "drawings": pip install "hpelec[drawings]"'
        ) from None
    return ifcopenshell


class _Reader:
    def __init__(self, library: Any, model: Any, file: str) -> None:
        self.library, self.model, self.file = library, model, file
        self.out = BuildingModel()
        self.settings = library.geom.settings()
        self.settings.set("use-world-coords", True)
        if not model.by_type("IfcUnitAssignment"):
            raise ModelError(f"{file}: the model names no units, so no length in it can be trusted")
        self.feet = float(library.util.unit.calculate_unit_scale(model)) * FEET_PER_METRE

    def read(self) -> BuildingModel:
        """Storeys, spaces, openings, in the order of the file."""
        self.out.storeys = [self._storey(s) for s in self.model.by_type("IfcBuildingStorey")]
        found = self.model.by_type("IfcSpace")
        if not found:
            raise ModelError(f"{self.file}: the model holds no spaces (IfcSpace); export it with its rooms")
        for space in found:
            self._space(space)
        if not self.out.spaces:
            raise ModelError(f"{self.file}: no space could be taken:\n" + "\n".join(f"  {n}" for n in self.out.notes))
        sizes = [max(np.ptp(np.array(s.corners_ft), axis=0)) for s in self.out.spaces]
        if max(sizes) > LARGEST_FT or max(sizes) < SMALLEST_FT:
            raise ModelError(
                f"{self.file}: the widest space is {max(sizes):,.3g} ft wide: the unit of length of the model is wrong "
                f"(allowed: {SMALLEST_FT:g} to {LARGEST_FT:g} ft)"
            )
        for kind in ("IfcDoor", "IfcWindow"):
            for item in self.model.by_type(kind):
                self._opening(item, "door" if kind == "IfcDoor" else "window")
        self._true_north()
        left = sorted({e.is_a() for e in self.model.by_type("IfcElement")} - {"IfcDoor", "IfcWindow", *BUILDERS_OWN})
        if left:
            self.out.notes.append(f"not taken: {', '.join(left)}")
        return self.out

    def _true_north(self) -> None:
        """Tell where the model says that north is, when not up."""
        for context in self.model.by_type("IfcGeometricRepresentationContext", include_subtypes=False):
            if context.TrueNorth is not None:
                east, north = context.TrueNorth.DirectionRatios[:2]
                turn = float(np.degrees(np.arctan2(east, north)))
                if abs(turn) > 0.05:
                    self.out.notes.append(f"true north is {turn:.1f} degrees clockwise from up in the model's own axes")
                return

    def _storey(self, storey: Any) -> Storey:
        floor = float(storey.Elevation or 0.0)
        if storey.ObjectPlacement is not None:
            floor = float(self.library.util.placement.get_local_placement(storey.ObjectPlacement)[2][3])
        return Storey(storey.id(), str(storey.Name or f"Storey {storey.id()}"), floor * self.feet)

    def _mesh(self, item: Any) -> tuple[Any, Any] | None:
        """Corners [ft] and triangles of an item in the coordinates of the house, None when it has no shape."""
        if item.Representation is None:
            return None
        try:
            shape = self.library.geom.create_shape(self.settings, item)
        except Exception:  # the geometry kernel raises many kinds
            return None
        corners = np.array(shape.geometry.verts, dtype=float).reshape(-1, 3) * FEET_PER_METRE
        faces = np.array(shape.geometry.faces, dtype=int).reshape(-1, 3)
        return (corners, faces) if len(faces) else None

    def _space(self, space: Any) -> None:
        name = str(space.Name or "").strip() or f"space {space.id()}"
        use = str(space.LongName or "").strip()
        told = f"space {name}" + (f" ({use})" if use and use != name else "")
        where = getattr(space, "PredefinedType", None) or getattr(space, "InteriorOrExteriorSpace", None)
        if where == "EXTERNAL":
            self.out.notes.append(f"{told}: outdoors, not taken")
            return
        mesh = self._mesh(space)
        shape = floor_outline(*mesh) if mesh else None
        if mesh is None or shape is None:
            self.out.notes.append(f"{told}: has no floor outline, not taken")
            return
        if shape.interiors:
            self.out.notes.append(f"{told}: goes round an inner void, which a room cannot; the void is not taken out")
        heights = mesh[0][:, 2]
        storey = self._storey_of(space, float(heights.min()))
        if storey is None:
            self.out.notes.append(f"{told}: belongs to no storey, not taken")
            return
        corners, note = simple_corners(shape)
        if note:
            self.out.notes.append(f"{told}: {note}")
        floor = float(heights.min())
        self.out.spaces.append(ModelSpace(name, use, storey, corners, floor, float(heights.max()) - floor))

    def _storey_of(self, item: Any, floor_ft: float) -> int | None:
        """The storey above an item in the tree of the model, else the one whose floor is nearest below it."""
        for parent in _parents(item):
            if parent.is_a("IfcBuildingStorey"):
                return int(parent.id())
        below = [s for s in self.out.storeys if s.floor_ft <= floor_ft + 1.0]
        return max(below, key=lambda s: s.floor_ft).key if below else None

    def _opening(self, item: Any, kind: str) -> None:
        name = str(item.Name or "").strip() or f"{kind}-{item.id()}"
        mesh = self._mesh(item)
        wide, high = (float(v) * self.feet if v else 0.0 for v in (item.OverallWidth, item.OverallHeight))
        if mesh is not None:
            low, top = mesh[0].min(axis=0), mesh[0].max(axis=0)
            centre, bottom = (low + top) / 2, float(low[2])
            wide, high = wide or float(max((top - low)[:2])), high or float(top[2] - low[2])
        elif item.ObjectPlacement is not None and wide and high:
            at = np.array(self.library.util.placement.get_local_placement(item.ObjectPlacement), dtype=float)
            centre = at[:3, 3] * self.feet + at[:3, 0] * wide / 2
            bottom = float(centre[2])
        else:
            self.out.notes.append(f"{kind} {name}: has neither a shape nor a size and a place, not taken")
            return
        storey = self._storey_of(item, bottom)
        if storey is None:
            self.out.notes.append(f"{kind} {name}: belongs to no storey, not taken")
            return
        place = (float(centre[0]), float(centre[1]))
        self.out.openings.append(ModelOpening(name, kind, storey, place, wide, high, bottom))


BUILDERS_OWN = ("IfcWall", "IfcWallStandardCase", "IfcOpeningElement", "IfcSlab")
"""Elements whose absence nobody misses: walls follow from the rooms."""


def _parents(item: Any) -> Iterator[Any]:
    """What holds an item, step by step up the tree; the filled opening's wall stands for a door."""
    seen = 0
    while item is not None and seen < 50:
        seen += 1
        above = None
        for relation, end in (
            ("Decomposes", "RelatingObject"),
            ("ContainedInStructure", "RelatingStructure"),
            ("FillsVoids", "RelatingOpeningElement"),
            ("VoidsElements", "RelatingBuildingElement"),
        ):
            links = getattr(item, relation, None) or ()
            if links and above is None:
                above = getattr(links[0], end)
        item = above
        if item is not None:
            yield item


def floor_outline(corners: Any, faces: Any) -> Polygon | None:
    """The largest outline of the downward faces at the lowest height of a mesh [ft], None when there is none."""
    low = corners[:, 2].min()
    pieces = []
    for face in faces:
        a, b, c = corners[face]
        across = np.cross(b - a, c - a)
        size = float(np.linalg.norm(across))
        if size > 1e-9 and abs(across[2]) > 0.999 * size and max(a[2], b[2], c[2]) < low + 0.05:
            pieces.append(Polygon([a[:2], b[:2], c[:2]]).buffer(0))
    whole = polygons(unary_union(pieces).buffer(1e-6, join_style="mitre").buffer(-1e-6, join_style="mitre"))
    return max(whole, key=lambda p: p.area, default=None)


def simple_corners(shape: Polygon) -> tuple[tuple[Point, ...], str]:
    """Corners counter-clockwise without those on straight walls, and a note where a curve had to be made straight."""
    note = ""
    plain = Polygon(shape.exterior).simplify(SIMPLE_FT)
    if len(polygons(plain)[0].exterior.coords) > MOST_CORNERS:
        plain, note = Polygon(shape.exterior).simplify(CURVED_FT), "its curved walls are taken as short straight ones"
    ring = [(float(p[0]), float(p[1])) for p in polygons(plain)[0].exterior.coords[:-1]]
    ring = [p for i, p in enumerate(ring) if not _straight(ring[i - 1], p, ring[(i + 1) % len(ring)])]
    if not Polygon(ring).exterior.is_ccw:
        ring.reverse()
    first = min(range(len(ring)), key=lambda i: (ring[i][0] + ring[i][1], ring[i]))
    return (*ring[first:], *ring[:first]), note


def _straight(a: Point, b: Point, c: Point) -> bool:
    """True when b lies on the way from a to c."""
    across = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))
    long = float(np.hypot(c[0] - a[0], c[1] - a[1]))
    return long < 1e-9 or across / long < SIMPLE_FT
