"""Symbols of the plan as DXF blocks with attributes, after the same open conventions as `report.symbols`."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.blocklayout import BlockLayout

SYMBOL_FT = 0.35
"""Radius at which a symbol is put into the drawing; the blocks are drawn with the radius 1."""

BLOCK_OF = {
    "receptacle": "RECEPTACLE",
    "counter_receptacle": "RECEPTACLE_COUNTER",
    "outdoor_receptacle": "RECEPTACLE_OUTDOOR",
    "floor_receptacle": "RECEPTACLE_FLOOR",
    "appliance_outlet": "APPLIANCE_OUTLET",
    "switch": "SWITCH",
    "lighting_outlet": "LUMINAIRE",
    "alarm": "ALARM",
    "data": "DATA",
}
"""Kind of device -> name of its block."""

LOOK = {"layer": "0"}


def add_blocks(document: Drawing) -> None:
    """Every block, with its attributes: ID, CIRCUIT and HEIGHT; a hole has ID, TAG and SURFACE."""
    for name in ("RECEPTACLE", "RECEPTACLE_COUNTER", "RECEPTACLE_OUTDOOR", "RECEPTACLE_FLOOR"):
        block = _new(document, name)
        _circle(block)
        for x in (-0.35, 0.35):
            _line(block, (x, -1.35), (x, 1.35))
    _line(document.blocks.get("RECEPTACLE_COUNTER"), (-1.2, -1.6), (1.2, -1.6))
    _letter(document.blocks.get("RECEPTACLE_OUTDOOR"), "WP", 0.9, (0.0, -2.0))
    _closed(document.blocks.get("RECEPTACLE_FLOOR"), [(-1.4, -1.4), (1.4, -1.4), (1.4, 1.4), (-1.4, 1.4)])
    outlet = _new(document, "APPLIANCE_OUTLET")
    _circle(outlet)
    _solid(outlet, [(0.0, 0.7), (-0.65, -0.45), (0.65, -0.45)])
    _letter(_new(document, "SWITCH"), "S", 1.8)
    lamp = _new(document, "LUMINAIRE")
    _circle(lamp)
    d = math.sqrt(0.5)
    _line(lamp, (-d, -d), (d, d))
    _line(lamp, (-d, d), (d, -d))
    for name, letter in (("ALARM", "A"), ("DATA", "D"), ("OTHER", "?")):
        boxed = _new(document, name)
        _closed(boxed, [(-1, -1), (1, -1), (1, 1), (-1, 1)])
        _letter(boxed, letter, 1.2)
    _solid(_new(document, "PANEL"), [(-1.6, -0.7), (1.6, -0.7), (1.6, 0.7), (-1.6, 0.7)])
    _solid(_new(document, "HOLE", ("TAG", "ID", "SURFACE")), [(0.0, 0.8), (-0.7, -0.5), (0.7, -0.5)])


def _new(document: Drawing, name: str, attributes: tuple[str, ...] = ("ID", "CIRCUIT", "HEIGHT")) -> BlockLayout:
    block = document.blocks.new(name)
    for n, tag in enumerate(attributes):
        made = block.add_attdef(tag, (1.6, 0.9 - 0.9 * n), dxfattribs={"height": 0.7, **LOOK})
        made.is_invisible = n > 0  # the name is shown, the rest can be read off and listed
    return block


def _circle(block: BlockLayout) -> None:
    block.add_circle((0, 0), 1.0, dxfattribs=LOOK)


def _line(block: BlockLayout, start: tuple[float, float], end: tuple[float, float]) -> None:
    block.add_line(start, end, dxfattribs=LOOK)


def _closed(block: BlockLayout, points: list[tuple[float, float]]) -> None:
    block.add_lwpolyline(points, close=True, dxfattribs=LOOK)


def _solid(block: BlockLayout, points: list[tuple[float, float]]) -> None:
    """A filled shape of three or four corners (a solid takes the last two crosswise)."""
    ordered = points if len(points) == 3 else [points[0], points[1], points[3], points[2]]
    block.add_solid(ordered, dxfattribs=LOOK)


def _letter(block: BlockLayout, text: str, height: float, at: tuple[float, float] = (0.0, 0.0)) -> None:
    made = block.add_text(text, height=height, dxfattribs=LOOK)
    made.dxf.halign, made.dxf.valign = 1, 2
    made.dxf.insert = made.dxf.align_point = at
