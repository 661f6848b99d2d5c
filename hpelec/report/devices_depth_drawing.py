"""Picture of the depths behind the finish: where a cable lies, how far a screw reaches, what the rule wants."""

from __future__ import annotations

from hpelec.core.units import show_quantity
from hpelec.plan import Plan
from hpelec.report.svg import INK, PALE, PAPER, SOFT, Drawing, document, element, label, line, polygon, shortened
from hpelec.steps.devices.model import FramingLimit

WIDTH, LEFT, RIGHT, TOP, ROW = 980.0, 300.0, 230.0, 44.0, 46.0
MM_PER_IN = 25.4
FINISH_IN, CABLE_IN, RULE_IN = 0.5, 0.25, 1.25
"""Thickness drawn for finish and cable, and the set-back of 300.4; the numbers of the report come from the step."""


def depths_drawing(plan: Plan) -> Drawing:
    """Each space that cables run in, to scale from the face of the finish inwards."""
    rows = [r for r in plan.devices.framing if "joist" not in r.member]
    deepest = max([r.depth_in for r in rows] + [r.screw_tip_in or 0.0 for r in rows] + [RULE_IN]) + FINISH_IN
    scale = (WIDTH - LEFT - RIGHT) / deepest
    metric = plan.house.general.show_metric
    drawn = [_axis(deepest, scale, len(rows), metric=metric)]
    for at, row in enumerate(rows):
        drawn.append(_band(row, TOP + ROW * at, scale, metric=metric))
    if not rows:
        drawn.append(label(WIDTH / 2, TOP, "no framing is told", 13))
    alt = _alt(rows)
    height = TOP + ROW * max(len(rows), 1) + 16
    return Drawing(document(WIDTH, height, "".join(drawn), "Depths behind the finish", alt), alt)


def _axis(deepest: float, scale: float, rows: int, *, metric: bool) -> str:
    unit, step, in_one = ("millimetres", 20, MM_PER_IN) if metric else ("inches", 1, 1.0)
    drawn = [label(LEFT - 10, 22, f"{unit} behind the face", 11, anchor="end")]
    for mark in range(0, int(deepest * in_one) + 1, step):
        x = LEFT + mark / in_one * scale
        drawn.append(line(x, 32, x, TOP + ROW * rows, stroke=PALE))
        drawn.append(label(x, 22, str(mark), 11))
    return "".join(drawn)


def _rect(x0: float, x1: float, y: float, high: float, fill: str) -> str:
    return element("rect", x=x0, y=y, width=x1 - x0, height=high, fill=fill, stroke=INK, stroke_width=1.0)


def _band(row: FramingLimit, y: float, scale: float, *, metric: bool) -> str:
    face, inner = LEFT, LEFT + FINISH_IN * scale
    cable = inner + row.set_back_in * scale
    drawn = [
        label(LEFT - 10, y + 16, shortened(row.member, LEFT - 14, 12), 12, anchor="end"),
        _rect(face, inner, y, 32, PALE),
        _rect(inner, inner + row.depth_in * scale, y, 32, PAPER),
        _rect(cable, cable + CABLE_IN * scale, y + 5, 22, SOFT),
        line(inner + RULE_IN * scale, y - 3, inner + RULE_IN * scale, y + 35, stroke_dasharray="5 3", stroke_width=1.6),
    ]
    words = f"cable {show_quantity(row.set_back_in, 'in', metric=metric, digits=2)} behind"
    if row.screw_tip_in is not None:
        tip = inner + row.screw_tip_in * scale
        drawn.append(line(face - 4, y + 16, tip - 5, y + 16, stroke_width=2.4))
        drawn.append(polygon([(tip - 6, y + 12), (tip, y + 16), (tip - 6, y + 20)], fill=INK))
        words += f", screw {show_quantity(row.screw_tip_in, 'in', metric=metric, digits=2)}"
    drawn.append(label(WIDTH - RIGHT + 12, y + 16, shortened(words, RIGHT - 16, 11), 11, anchor="start"))
    return "".join(drawn)


def _alt(rows: list[FramingLimit]) -> str:
    told = "; ".join(
        f"{r.member}, {r.depth_in:g} in deep: cable {r.set_back_in:.2f} in behind its face"
        + (f", longest screw ends {r.screw_tip_in:.2f} in behind it" if r.screw_tip_in is not None else "")
        for r in rows
    )
    return f"Depths behind the finish. {told or 'Nothing is told'}. The rule wants 1.25 in."
