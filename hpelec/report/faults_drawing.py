"""Picture of the fault current: how it falls from the transformer to each panel, against ratings."""

from __future__ import annotations

from collections.abc import Callable

from hpelec.core.units import show_quantity
from hpelec.core.working import show_number
from hpelec.plan import Plan
from hpelec.report.charts import ticks
from hpelec.report.svg import ACCENT, INK, PALE, Drawing, document, element, label, line, polygon, text_width
from hpelec.steps.faults.model import FaultPoint

WIDTH, LEFT, RIGHT, TOP, ROW = 900.0, 260.0, 860.0, 40.0, 46.0
SIZE = 13.0


def fault_profile(plan: Plan) -> Drawing:
    """A row a point: bar to the highest line-to-line current, whisker to the lowest, a diamond for line to neutral."""
    points, metric = plan.faults.points, plan.house.general.show_metric
    highest_A = max([p.needed_A for p in points] + [1000.0 * (p.given_kA or 0.0) for p in points])
    marks = ticks(highest_A / 1000)
    bottom = TOP + ROW * len(points)

    def x(current_A: float) -> float:
        return LEFT + (RIGHT - LEFT) * current_A / 1000 / marks[-1]

    drawn = [line(x(1000 * v), TOP - 8, x(1000 * v), bottom, stroke=PALE) for v in marks]
    drawn += [label(x(1000 * v), bottom + 14, show_number(v), 12) for v in marks]
    drawn.append(label((LEFT + RIGHT) / 2, bottom + 34, "fault current [kA]", SIZE))
    told = []
    for i, point in enumerate(points):
        y = TOP + ROW * i + 18
        where = show_quantity(point.distance_ft, "ft", metric=metric, digits=0) if point.fed_from else ""
        drawn += [_named(point, y, where), *_marks(point, x, y)]
        told.append(_told(point, where))
    drawn += _legend(bottom + 60)
    alt = f"Fault current along the supply, source {plan.faults.source}. {'; '.join(told)}."
    return Drawing(document(WIDTH, bottom + 84, "".join(drawn), "Fault current along the supply", alt), alt)


def _shortened(text: str, size: float, room: float) -> str:
    most = int(room / text_width("x", size))
    return text if len(text) <= most else text[: most - 1] + "…"


def _named(point: FaultPoint, y: float, where: str) -> str:
    text = point.name if point.id in ("transformer", "meter") else f"{point.id} {point.name}"
    name = label(LEFT - 12, y - 7, _shortened(text, SIZE, LEFT - 20), SIZE, anchor="end")
    run = ", ".join(t for t in (point.run, f"{where} from the source" if where else "") if t)
    return name + (label(LEFT - 12, y + 9, _shortened(run, 11, LEFT - 20), 11, anchor="end") if run else "")


def _marks(point: FaultPoint, x: Callable[[float], float], y: float) -> list[str]:
    bar = element("rect", x=LEFT, y=y - 9, width=max(x(point.high_A) - LEFT, 0.5), height=18.0, fill=PALE, stroke=INK)
    drawn = [bar]
    if point.low_A is not None:
        low, high = x(point.low_A), x(point.high_A)
        drawn.append(line(low, y, high, y, stroke_width=2))
        drawn += [line(v, y - 5, v, y + 5, stroke_width=2) for v in (low, high)]
    at = x(point.neutral_high_A)
    drawn.append(polygon([(at - 6, y), (at, y - 6), (at + 6, y), (at, y + 6)], fill=INK, stroke="#ffffff"))
    if point.given_kA is not None:
        rated = x(1000 * point.given_kA)
        drawn.append(line(rated, y - 15, rated, y + 13, stroke=ACCENT, stroke_width=4))
    return drawn


def _legend(y: float) -> list[str]:
    entries = (
        ("bar", "line to line, highest (whisker: to the lowest)"),
        ("diamond", "line to neutral, highest"),
        ("rating", "interrupting rating given"),
    )
    drawn, at = [], 40.0
    for kind, text in entries:
        if kind == "bar":
            drawn.append(element("rect", x=at, y=y - 6, width=18.0, height=12.0, fill=PALE, stroke=INK))
        elif kind == "diamond":
            drawn.append(polygon([(at + 3, y), (at + 9, y - 6), (at + 15, y), (at + 9, y + 6)], fill=INK))
        else:
            drawn.append(line(at + 9, y - 8, at + 9, y + 8, stroke=ACCENT, stroke_width=4))
        drawn.append(label(at + 24, y, text, 12, anchor="start"))
        at += 24 + text_width(text, 12) + 26
    return drawn


def _told(point: FaultPoint, where: str) -> str:
    text = f"{point.name}{f' at {where}' if where else ''}: up to {point.high_A:,.0f} A line to line"
    if point.low_A is not None:
        text += f" (lowest {point.low_A:,.0f} A)"
    text += f", {point.neutral_high_A:,.0f} A line to neutral"
    return text + (f", rated {point.given_kA:g} kA" if point.given_kA is not None else "")
