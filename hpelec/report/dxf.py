"""The device layout as a DXF drawing: walls, openings, devices, cables and holes on layers named in trade words.

Coordinates are those of the house (x east, y north) in feet, or metres for a house shown in metric. Each level has its
own layers, `LEVEL walls`, `LEVEL doors` and so on; the levels lie over each other, and only the lowest is switched on.
Needs the optional package of the extra `drawings`.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hpelec.core.errors import ExtraError
from hpelec.house.fixed_shapes import fixed_shapes
from hpelec.house.geometry import Point, edge_of, openings_of, outline, room_area_ft2, room_centre, wall_parts
from hpelec.house.rows import Room
from hpelec.plan import Plan
from hpelec.report.canvas import solid
from hpelec.report.dxf_blocks import BLOCK_OF, SYMBOL_FT, add_blocks
from hpelec.report.plan_drawing import drawn_levels, natural

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

LAYERS: dict[str, tuple[int, int]] = {
    "walls in the air barrier": (7, 50),
    "walls": (7, 25),
    "walls outside": (8, 25),
    "doors": (7, 18),
    "windows": (7, 18),
    "fixed items": (8, 18),
    "room names": (8, 18),
    "receptacles": (7, 25),
    "appliance outlets": (7, 25),
    "switches": (7, 25),
    "lighting": (7, 25),
    "alarms": (7, 25),
    "data": (7, 25),
    "panels": (7, 35),
    "device names": (8, 13),
    "circuits": (30, 18),
    "holes": (30, 25),
}
"""Layer of each level -> colour number of the DXF palette (7 ink, 8 grey, 30 ochre) and line weight [1/100 mm]."""

WALL_LAYER = {
    "wall": "walls in the air barrier",
    "garage_wall": "walls in the air barrier",
    "outside": "walls outside",
    "": "walls",
}
DOORS = ("door", "cased_opening", "sliding_glass", "garage_door")
DEVICE_LAYER = {
    "appliance_outlet": "appliance outlets",
    "switch": "switches",
    "lighting_outlet": "lighting",
    "alarm": "alarms",
    "data": "data",
}
"""Kind of device -> layer; every other kind is a receptacle."""

METRES_PER_FOOT = 0.3048
CAUTION = "Planning help, not a permit drawing: the adopted local code, the utility and licensed people decide."


def write_dxf(plan: Plan, path: str | Path) -> Path:
    """Write the layout of every level; returns the path. Raises ExtraError without the package."""
    target = Path(path)
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_text(dxf_text(plan), encoding="utf-8", newline="\n")
    return target


def dxf_text(plan: Plan) -> str:
    """The drawing as DXF text; the same plan gives the same text."""
    with _fixed_data():
        document = dxf_document(plan)
        out = io.StringIO()
        document.write(out)
    return out.getvalue()


@contextmanager
def _fixed_data() -> Iterator[None]:
    """No clock and no random name goes into the file."""
    options = _ezdxf().options
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _ezdxf() -> Any:
    try:
        import ezdxf  # noqa: PLC0415
    except ImportError:
        raise ExtraError('a DXF drawing needs the extra "drawings": pip install "hpelec[drawings]"') from None
    return ezdxf


def dxf_document(plan: Plan) -> Drawing:
    """The drawing as a document of the DXF library."""
    metric = plan.house.general.show_metric
    document: Drawing = _ezdxf().new("R2010", units=6 if metric else 2)
    document.header["$MEASUREMENT"] = int(metric)
    document.appids.add(APPLICATION)
    add_blocks(document)
    for n, level in enumerate(drawn_levels(plan)):
        for name, (colour, weight) in LAYERS.items():
            layer = document.layers.add(f"{level.id} {name}", color=colour, lineweight=weight)
            if n:
                layer.off()
        _Level(plan, level.id, document.modelspace(), METRES_PER_FOOT if metric else 1.0).draw()
    _notes(plan, document)
    return document


def _notes(plan: Plan, document: Drawing) -> None:
    """Name of the house and the caution, below the plan."""
    document.layers.add("notes", color=7)
    metric = plan.house.general.show_metric
    unit = METRES_PER_FOOT if metric else 1.0
    corners = [p for r in plan.house.rooms for p in outline(r)]
    x, y = min((p[0] for p in corners), default=0.0), min((p[1] for p in corners), default=0.0)
    levels = ", ".join(lv.id for lv in drawn_levels(plan))
    lines = (
        f"{plan.house.general.name}: device layout, {'metres' if metric else 'feet'}, north up",
        f"Levels lie over each other; switch their layers on and off: {levels}",
        CAUTION,
    )
    for n, text in enumerate(lines):
        at = (x * unit, (y - 4 - 1.2 * n) * unit)
        document.modelspace().add_text(text, height=0.6 * unit, dxfattribs={"layer": "notes", "insert": at})


APPLICATION = "HPELEC"
"""Name under which extra data (the circuit of a cable) stand in the file."""


class _Level:
    """Writes one level into the drawing."""

    def __init__(self, plan: Plan, level: str, space: Modelspace, unit: float) -> None:
        self.plan, self.level, self.space, self.unit = plan, level, space, unit
        self.rooms = [r for r in plan.house.rooms if r.level == level]

    def draw(self) -> None:
        """Everything that the plan holds for this level."""
        for room in self.rooms:
            self._walls(room)
            self._room_name(room)
        for kind, corners in fixed_shapes(self.plan.house, self.rooms):
            self._line([*corners, corners[0]], "fixed items", kind)
        self._panels()
        if "devices" in self.plan.results:
            self._devices()
        if "penetrations" in self.plan.results:
            self._holes()
        if "routes" in self.plan.results:
            self._cables()

    def _at(self, point: Sequence[float]) -> Point:
        return point[0] * self.unit, point[1] * self.unit

    def _look(self, layer: str) -> dict[str, Any]:
        return {"layer": f"{self.level} {layer}"}

    def _line(self, points: Sequence[Sequence[float]], layer: str, told: str = "") -> None:
        made = self.space.add_lwpolyline([self._at(p) for p in points], dxfattribs=self._look(layer))
        if told:
            made.set_xdata(APPLICATION, [(1000, told)])

    def _text(self, text: str, point: Point, layer: str, height_ft: float) -> None:
        made = self.space.add_text(text, height=height_ft * self.unit, dxfattribs=self._look(layer))
        made.dxf.halign, made.dxf.valign = 1, 2
        made.dxf.insert = made.dxf.align_point = self._at(point)

    def _block(self, name: str, point: Point, layer: str, **told: str) -> None:
        scale = SYMBOL_FT * self.unit
        look = {**self._look(layer), "xscale": scale, "yscale": scale, "zscale": scale}
        made = self.space.add_blockref(name, self._at(point), dxfattribs=look)
        made.add_auto_attribs(told)
        for attribute in made.attribs:
            attribute.dxf.layer = f"{self.level} {'device names' if attribute.dxf.tag in ('ID', 'TAG') else layer}"

    def _walls(self, room: Room) -> None:
        cuts = openings_of(self.plan.house, room)
        for part in wall_parts(self.plan.house, room):
            if part.behind and part.behind < room.id:
                continue  # a shared wall stands once in the drawing
            gaps = [(c.start_ft, c.end_ft) for c in cuts if c.edge.side == part.edge.side]
            for low, high in solid(part.start_ft, part.end_ft, gaps):
                ends = [part.edge.at(low), part.edge.at(high)]
                self._line(ends, WALL_LAYER[part.surface], f"{room.id} {part.edge.side}")
        for cut in cuts:
            if cut.opening.room == room.id:
                layer = "doors" if cut.opening.kind in DOORS else "windows"
                ends = [cut.edge.at(cut.start_ft), cut.edge.at(cut.end_ft)]
                self._line(ends, layer, cut.opening.id)
                for end in ends:
                    self._line(_across(end, cut.edge.inward()), layer)

    def _room_name(self, room: Room) -> None:
        x, y = room_centre(room)
        area = room_area_ft2(room) * self.unit**2
        self._text(room.name.strip() or room.id, (x, y + 0.35), "room names", 0.5)
        self._text(f"{area:.1f} {'ft2' if self.unit == 1.0 else 'm2'}", (x, y - 0.35), "room names", 0.35)

    def _panels(self) -> None:
        by_id = {r.id: r for r in self.rooms}
        for panel in self.plan.house.panels:
            edge = edge_of(by_id[panel.room], panel.side) if panel.room in by_id else None
            if edge is not None:
                at = edge.at(edge.along(panel.offset_ft))
                self._block("PANEL", at, "panels", ID=panel.id, HEIGHT=self._height(panel.height_in), CIRCUIT="")

    def _height(self, height_in: float) -> str:
        return f"{height_in:g} in" if self.unit == 1.0 else f"{height_in * 25.4:.0f} mm"

    def _devices(self) -> None:
        circuits = self.plan.circuits.circuits if "circuits" in self.plan.results else ()
        circuit_of = {device: c.id for c in circuits for device in c.outlets}
        for device in self.plan.devices.devices:
            if device.level == self.level:
                block = BLOCK_OF.get(device.kind, "OTHER")
                layer = DEVICE_LAYER.get(device.kind, "receptacles")
                told = {
                    "ID": device.id,
                    "CIRCUIT": circuit_of.get(device.id, ""),
                    "HEIGHT": self._height(device.height_in),
                }
                self._block(block, (device.x_ft, device.y_ft), layer, **told)

    def _holes(self) -> None:
        tags = {i.hole: i.tag for i in self.plan.sealing.items} if "sealing" in self.plan.results else {}
        for hole in self.plan.penetrations.holes:
            if hole.level == self.level:
                told = {"ID": hole.id, "TAG": tags.get(hole.id, ""), "SURFACE": hole.surface}
                self._block("HOLE", (hole.x_ft, hole.y_ft), "holes", **told)

    def _cables(self) -> None:
        here = {d.id for d in self.plan.devices.devices if d.level == self.level}
        rooms = {r.id for r in self.rooms}
        here |= {p.id for p in self.plan.house.panels if p.room in rooms}
        for leg in sorted(self.plan.routes.legs, key=lambda x: natural(x.circuit)):
            if leg.start in here:
                self._line(leg.points_ft, "circuits", leg.circuit)


def _across(end: Point, inward: Point) -> list[Point]:
    """A jamb: a short stroke across the wall."""
    reach = 0.25
    (x, y), (ix, iy) = end, inward
    return [(x - reach * ix, y - reach * iy), (x + reach * ix, y + reach * iy)]
