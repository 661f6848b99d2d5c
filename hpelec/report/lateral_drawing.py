"""The trench of the lateral in cross-section, to scale, and the fill of its conduit."""

from __future__ import annotations

import math

from hpelec.core.units import show_quantity
from hpelec.report.svg import ACCENT, INK, PALE, PAPER, SOFT, Drawing, document, element, label, line
from hpelec.steps.lateral.model import LateralResult, Raceway, Trench

WIDTH, TOP, DEEPEST, WIDEST, CENTRE = 1000.0, 76.0, 440.0, 280.0, 370.0
"""Sheet and the room for the trench [drawing units]."""
SIZE = 13.0
LEAST_HEIGHT = 430.0
FILL_X, FILL_Y, FILL_R = 865.0, 215.0, 92.0
"""Place and radius of the enlarged bore."""

SOIL = element(
    "pattern",
    element("path", d="M0 9 L9 0", stroke=SOFT, stroke_width=0.8),
    id="soil",
    width=9.0,
    height=9.0,
    patternUnits="userSpaceOnUse",
)
BED = element(
    "pattern",
    element("circle", cx=2.0, cy=2.0, r=0.9, fill=SOFT) + element("circle", cx=5.5, cy=5.5, r=0.9, fill=SOFT),
    id="bedding",
    width=7.0,
    height=7.0,
    patternUnits="userSpaceOnUse",
)


def trench_drawing(lateral: LateralResult, *, metric: bool = False) -> Drawing | None:
    """Cross-section of the trench and the fill of the conduit; None where no conductors are proposed."""
    trench, conduit = lateral.trench, lateral.conduit
    if trench is None:
        return None
    scale = min(DEEPEST / trench.depth_in, WIDEST / trench.width_in)
    bottom = TOP + trench.depth_in * scale
    height = max(bottom + 70, LEAST_HEIGHT)
    parts = [
        _ground(trench, scale),
        _bodies(trench, conduit, scale),
        _ribbon(trench, conduit is not None, scale, metric),
    ]
    parts.append(_dimensions(trench, scale, metric))
    if conduit is not None:
        parts.append(_fill(conduit))
    parts.append(label(CENTRE, 24, f"Trench across, {trench.under}", SIZE, bold=True))
    alt = trench_alt(lateral, metric=metric)
    drawn = document(WIDTH, height, "".join(parts), "Cross-section of the lateral's trench", alt, SOIL + BED)
    return Drawing(drawn, alt)


def trench_alt(lateral: LateralResult, *, metric: bool) -> str:
    """What the drawing says, in words."""
    trench, conduit = lateral.trench, lateral.conduit
    if trench is None:
        return "No trench."
    said = f"Trench {_in(trench.width_in, metric)} wide and {_in(trench.depth_in, metric)} deep {trench.under}: "
    said += f"{_in(trench.bedding_in, metric)} of bedding, {_in(trench.cover_in, metric)} of cover. "
    if trench.ribbon_depth_in is not None:
        said += f"Warning ribbon at most {_in(trench.ribbon_depth_in, metric)} below grade. "
    if conduit is None:
        return said + f"{trench.bodies} bundle(s) of direct-buried conductors."
    return said + (
        f"{conduit.used} x {conduit.name} with {conduit.conductors}, {conduit.spare} spare; "
        f"filled {conduit.fill_percent:.1f} % of {conduit.limit_percent:g} % allowed."
    )


def _in(value: float, metric: bool) -> str:
    return show_quantity(value, "in", metric=metric, digits=0 if metric else 1)


def _ground(trench: Trench, scale: float) -> str:
    """Soil, trench, bedding, grade line."""
    left, wide = CENTRE - trench.width_in * scale / 2, trench.width_in * scale
    deep, bed = trench.depth_in * scale, trench.bedding_in * scale
    beyond = 46.0
    soil = element(
        "rect", x=left - beyond, y=TOP, width=wide + 2 * beyond, height=deep + 26, fill="url(#soil)", stroke="none"
    )
    cut = element("rect", x=left, y=TOP, width=wide, height=deep, fill=PAPER, stroke="none")
    bedding = element("rect", x=left, y=TOP + deep - bed, width=wide, height=bed, fill="url(#bedding)", stroke=SOFT)
    walls = "".join(
        line(x0, y0, x1, y1, stroke_width=2)
        for x0, y0, x1, y1 in (
            (left, TOP, left, TOP + deep),
            (left + wide, TOP, left + wide, TOP + deep),
            (left, TOP + deep, left + wide, TOP + deep),
        )
    )
    grade = line(left - beyond - 24, TOP, left + wide + beyond + 24, TOP, stroke_width=2.6)
    return soil + cut + bedding + walls + grade


def conductor_places(bore_in: float, diameters_in: tuple[float, ...]) -> list[tuple[float, float, float]]:
    """x, y (down) and radius [in] of two line conductors at the bottom of a bore and the neutral in their notch.

    From the centre of the bore. A bore too tight for two side by side stacks them in the middle.
    """
    line_r, neutral_r = diameters_in[0] / 2, diameters_in[-1] / 2
    room = bore_in / 2 - line_r
    y = math.sqrt(max(room**2 - line_r**2, 0.0))
    notch = math.sqrt((line_r + neutral_r) ** 2 - line_r**2)
    return [(-line_r, y, line_r), (line_r, y, line_r), (0.0, y - notch, neutral_r)]


def _bodies(trench: Trench, conduit: Raceway | None, scale: float) -> str:
    """Conduits or bundles side by side on the bedding, with their conductors."""
    each = trench.width_in / trench.bodies
    y = TOP + (trench.depth_in - trench.bedding_in - trench.body_in / 2) * scale
    drawn = []
    for number in range(trench.bodies):
        x = CENTRE + (-trench.width_in / 2 + each * (number + 0.5)) * scale
        radius = trench.body_in / 2 * scale
        if conduit is None:
            drawn.append(_bundle(x, y, radius))
            continue
        drawn.append(element("circle", cx=x, cy=y, r=radius, fill=INK, stroke=INK, stroke_width=0.8))
        drawn.append(element("circle", cx=x, cy=y, r=conduit.bore_in / 2 * scale, fill=PAPER))
        if number < conduit.used:
            drawn += [
                element("circle", cx=x + cx * scale, cy=y + cy * scale, r=r * scale, fill=SOFT, stroke=INK)
                for cx, cy, r in conductor_places(conduit.bore_in, conduit.diameters_in)
            ]
    return "".join(drawn)


def _bundle(x: float, y: float, radius: float) -> str:
    """Three equal conductors that touch, in a circle of a radius."""
    r = radius / (1 + 2 / math.sqrt(3))
    places = [(-r, r / math.sqrt(3)), (r, r / math.sqrt(3)), (0.0, -2 * r / math.sqrt(3))]
    ring = element("circle", cx=x, cy=y, r=radius, fill=PAPER, stroke=SOFT, stroke_dasharray="3 2")
    return ring + "".join(element("circle", cx=x + a, cy=y + b, r=r, fill=SOFT, stroke=INK) for a, b in places)


def _ribbon(trench: Trench, piped: bool, scale: float, metric: bool) -> str:
    right = CENTRE + trench.width_in * scale / 2
    middle = TOP + (trench.cover_in - (trench.ribbon_depth_in or 0)) / 2 * scale
    told = [label(right + 80, TOP - 14, "grade", SIZE)]
    body_y = TOP + (trench.depth_in - trench.bedding_in - trench.body_in / 2) * scale
    bed_y = TOP + (trench.depth_in - trench.bedding_in / 2) * scale
    one, more = ("conduit", "conduits") if piped else ("bundle of conductors", "bundles of conductors")
    marks = [(body_y, one if trench.bodies == 1 else f"{trench.bodies} {more}")]
    if trench.bedding_in:
        marks.append((bed_y, "bedding"))
    if trench.ribbon_depth_in is not None:
        y = TOP + trench.ribbon_depth_in * scale
        wide = min(6.0, trench.width_in * 0.6) * scale
        told.append(
            line(CENTRE - wide / 2, y, CENTRE + wide / 2, y, stroke=ACCENT, stroke_width=4, stroke_dasharray="10 4")
        )
        marks.append((y, f"ribbon, {_in(trench.ribbon_depth_in, metric)} at most"))
        middle = TOP + (trench.ribbon_depth_in + trench.cover_in) / 2 * scale
    marks.append((middle, "backfill"))
    at = -math.inf
    for y, text in sorted(marks):
        at = max(y, at + SIZE * 1.5)
        told.append(line(right - 10, y, right + 56, at, stroke=SOFT, stroke_width=1))
        told.append(label(right + 62, at, text, SIZE, anchor="start"))
    return "".join(told)


def _dimensions(trench: Trench, scale: float, metric: bool) -> str:
    """Cover, body, bedding and depth on the left, width below."""
    left, bottom = CENTRE - trench.width_in * scale / 2, TOP + trench.depth_in * scale
    cover_y = TOP + trench.cover_in * scale
    bed_y = bottom - trench.bedding_in * scale
    near, far = left - 62, left - 176
    drawn = [
        _upright(near, TOP, cover_y, f"cover {_in(trench.cover_in, metric)}"),
        _upright(far, TOP, bottom, ""),
        label(far, TOP - 16, f"dig {_in(trench.depth_in, metric)}", SIZE),
        *(
            line(far - 5, y, left, y, stroke=SOFT, stroke_width=0.8, stroke_dasharray="3 3")
            for y in (cover_y, bed_y, bottom)
        ),
    ]
    if trench.bedding_in:
        drawn.append(_upright(near, bed_y, bottom, _in(trench.bedding_in, metric)))
    y = bottom + 44
    right = CENTRE + trench.width_in * scale / 2
    drawn += [line(left, y, right, y), *(line(x, y - 6, x, y + 6) for x in (left, right))]
    drawn += [line(x, bottom, x, y, stroke=SOFT, stroke_width=0.8, stroke_dasharray="3 3") for x in (left, right)]
    drawn.append(label(CENTRE, y + 15, _in(trench.width_in, metric), SIZE))
    return "".join(drawn)


def _upright(x: float, y0: float, y1: float, text: str) -> str:
    """A dimension line with its text to the left, if it has any."""
    ends = "".join(line(x - 5, y, x + 5, y) for y in (y0, y1))
    told = line(x, y0, x, y1) + ends
    return told if not text else told + label(x - 9, (y0 + y1) / 2, text, SIZE, anchor="end")


def _fill(conduit: Raceway) -> str:
    """The bore enlarged, its conductors named, and a bar of its fill against the limit."""
    scale = FILL_R / (conduit.outside_in / 2)
    drawn = [
        label(FILL_X, 24, "Fill of the conduit", SIZE, bold=True),
        label(FILL_X, 44, conduit.method, SIZE - 1),
        label(FILL_X, 62, f"trade size {conduit.trade_size}", SIZE - 1),
        label(FILL_X, 80, conduit.conductors.replace(" and neutral", ", N"), SIZE - 2),
        element("circle", cx=FILL_X, cy=FILL_Y, r=FILL_R, fill=PALE, stroke=INK, stroke_width=1.5),
        element("circle", cx=FILL_X, cy=FILL_Y, r=conduit.bore_in / 2 * scale, fill=PAPER, stroke=INK),
    ]
    places = conductor_places(conduit.bore_in, conduit.diameters_in)
    for (x, y, r), name in zip(places, ("L1", "L2", "N"), strict=True):
        fill = PALE if name == "N" else SOFT
        drawn.append(
            element("circle", cx=FILL_X + x * scale, cy=FILL_Y + y * scale, r=r * scale, fill=fill, stroke=INK)
        )
        drawn.append(label(FILL_X + x * scale, FILL_Y + y * scale, name, min(SIZE, r * scale)))
    left, wide, y = FILL_X - 95, 190.0, FILL_Y + FILL_R + 46
    share, limit = (min(p, 100.0) / 100 * wide for p in (conduit.fill_percent, conduit.limit_percent))
    drawn += [
        element("rect", x=left, y=y, width=wide, height=16.0, fill=PAPER, stroke=INK),
        element("rect", x=left, y=y, width=share, height=16.0, fill=SOFT, stroke=INK),
        line(left + limit, y - 7, left + limit, y + 23, stroke=ACCENT, stroke_width=2.5),
        label(left + limit, y - 16, f"limit {conduit.limit_percent:g} %", SIZE - 1),
        label(left, y + 33, f"filled {conduit.fill_percent:.1f} % of the bore", SIZE - 1, anchor="start"),
    ]
    if conduit.jam_ratio is not None:
        drawn.append(label(left, y + 51, f"bore over mean diameter {conduit.jam_ratio:.2f}", SIZE - 1, anchor="start"))
    return "".join(drawn)
