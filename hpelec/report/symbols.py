"""Symbols of a plan drawing, after the open conventions of architectural electrical drawing (ANSI/NECA 100, IEC 60617).

Each function draws round the point x, y with the radius r and returns SVG. Shape alone tells them apart.
"""

from __future__ import annotations

from collections.abc import Callable

from hpelec.report.svg import ACCENT, INK, PAPER, element, label, line, polygon

Symbol = Callable[[float, float, float], str]


def _ring(x: float, y: float, r: float) -> str:
    return element("circle", cx=x, cy=y, r=r, fill=PAPER, stroke=INK, stroke_width=1.3)


def _receptacle(x: float, y: float, r: float) -> str:
    reach = 1.35 * r
    bars = "".join(line(x + dx, y - reach, x + dx, y + reach, stroke_width=1.3) for dx in (-0.35 * r, 0.35 * r))
    return _ring(x, y, r) + bars


def _counter(x: float, y: float, r: float) -> str:
    return _receptacle(x, y, r) + line(x - 1.2 * r, y + 1.6 * r, x + 1.2 * r, y + 1.6 * r, stroke_width=2)


def _outdoor(x: float, y: float, r: float) -> str:
    return _receptacle(x, y, r) + label(x, y + 2.2 * r, "WP", 1.3 * r)


def _floor(x: float, y: float, r: float) -> str:
    square = element(
        "rect", x=x - 1.4 * r, y=y - 1.4 * r, width=2.8 * r, height=2.8 * r, fill=PAPER, stroke=INK, stroke_width=1.2
    )
    return square + _receptacle(x, y, r)


def _appliance(x: float, y: float, r: float) -> str:
    corners = [(x, y - 0.7 * r), (x - 0.65 * r, y + 0.45 * r), (x + 0.65 * r, y + 0.45 * r)]
    return _ring(x, y, r) + polygon(corners, fill=INK)


def _switch(x: float, y: float, r: float) -> str:
    return element(
        "text",
        "S",
        x=x,
        y=y + 0.75 * r,
        font_size=2.1 * r,
        font_weight="bold",
        text_anchor="middle",
        fill=INK,
        stroke=PAPER,
        stroke_width=0.5 * r,
        paint_order="stroke",
    )


def _luminaire(x: float, y: float, r: float) -> str:
    d = 0.707 * r
    cross = line(x - d, y - d, x + d, y + d) + line(x - d, y + d, x + d, y - d)
    return _ring(x, y, r) + cross


def _boxed(letter: str) -> Symbol:
    def draw(x: float, y: float, r: float) -> str:
        square = element("rect", x=x - r, y=y - r, width=2 * r, height=2 * r, fill=PAPER, stroke=INK, stroke_width=1.3)
        return square + element(
            "text", letter, x=x, y=y + 0.5 * r, font_size=1.5 * r, text_anchor="middle", fill=INK, font_weight="bold"
        )

    return draw


def panel(x: float, y: float, r: float) -> str:
    """A panelboard: a filled rectangle."""
    return element("rect", x=x - 1.6 * r, y=y - 0.7 * r, width=3.2 * r, height=1.4 * r, fill=INK)


def blade_circle(x: float, y: float, r: float) -> str:
    """The circle that the blades of a ceiling fan sweep."""
    return element("circle", cx=x, cy=y, r=r, fill="none", stroke=INK, stroke_width=1.0, stroke_dasharray="5 3")


def hole(surface: str) -> Symbol:
    """A hole in the air barrier: a triangle that points up (ceiling), down (floor) or sideways (walls)."""

    def draw(x: float, y: float, r: float) -> str:
        turned = {"ceiling": ((0, -1), (-0.9, 0.7), (0.9, 0.7)), "floor": ((0, 1), (-0.9, -0.7), (0.9, -0.7))}
        corners = turned.get(surface, ((1, 0), (-0.7, -0.9), (-0.7, 0.9)))
        return polygon([(x + r * a, y + r * b) for a, b in corners], fill=ACCENT, stroke=PAPER, stroke_width=0.6)

    return draw


DEVICES: dict[str, tuple[str, Symbol]] = {
    "receptacle": ("receptacle", _receptacle),
    "counter_receptacle": ("receptacle at a counter", _counter),
    "outdoor_receptacle": ("outdoor receptacle, weatherproof", _outdoor),
    "floor_receptacle": ("receptacle in the floor", _floor),
    "appliance_outlet": ("outlet of one appliance or heater", _appliance),
    "switch": ("switch", _switch),
    "lighting_outlet": ("luminaire", _luminaire),
    "alarm": ("alarm", _boxed("A")),
    "data": ("data outlet", _boxed("D")),
}
"""Device kind -> what the legend calls it, and its symbol."""

REACH_BELOW = {"counter_receptacle": 1.9, "outdoor_receptacle": 2.9}
"""How far a symbol reaches below its middle, in radii, where that is more than one."""

OTHER = ("other device", _boxed("?"))
"""For a kind that has no symbol here."""

HOLES = {"ceiling": "hole in the ceiling", "floor": "hole in the floor", "wall": "hole in a wall"}
"""Legend of the three triangles."""
