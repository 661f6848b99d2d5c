"""Drawings of control: hours above each level before and after, and all methods on one axis."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from hpelec.core.units import METRIC, convert
from hpelec.plan import Plan
from hpelec.report.charts import ticks
from hpelec.report.svg import ACCENT, INK, PALE, SOFT, Drawing, document, element, label, line, path, text_width
from hpelec.steps.coincidence.model import CoincidenceResult
from hpelec.steps.coincidence.model_control import ControlLevel

WIDTH = 900.0
LEFT, RIGHT, TOP, BOTTOM = 150.0, 860.0, 40.0, 400.0
SIZE = 13.0
HOURS = (
    (1000.0, "1,000 h"),
    (100.0, "100 h"),
    (10.0, "10 h"),
    (1.0, "1 h"),
    (0.1, "6 min"),
    (0.01, "36 s"),
    (0.001, "4 s"),
)
MOST, LEAST = 8760.0, 0.001
"""Hours a year at the ends of the axis; what is rarer is not drawn."""
CURVES: tuple[tuple[str, Callable[[ControlLevel], float], dict[str, str | float]], ...] = (
    ("no control", lambda r: r.free_hours, {"stroke": SOFT, "stroke_width": 1.8, "stroke_dasharray": "3 4"}),
    ("interlocks", lambda r: r.locked_hours, {"stroke": ACCENT, "stroke_width": 2.0, "stroke_dasharray": "10 5"}),
    ("and set points", lambda r: r.controlled_hours, {"stroke": INK, "stroke_width": 2.8}),
    ("energy made up", lambda r: r.caught_up_hours, {"stroke": INK, "stroke_width": 1.4, "stroke_dasharray": "1 3"}),
)


def _y(hours: float) -> float:
    return TOP + (BOTTOM - TOP) * math.log(MOST / hours) / math.log(MOST / LEAST)


def exceedance(found: CoincidenceResult) -> Drawing:
    """Hours a year above each level: without control, with interlocks, with set points."""
    control = found.control
    marks = ticks(max(control.free_largest_A, found.main_A or 0.0, 1.0))

    def x(amps: float) -> float:
        return LEFT + (RIGHT - LEFT) * amps / marks[-1]

    drawn = [line(x(v), TOP, x(v), BOTTOM, stroke=PALE) + label(x(v), BOTTOM + 14, f"{v:g}", 12) for v in marks]
    for hours, words in HOURS:
        drawn += [
            line(LEFT, _y(hours), RIGHT, _y(hours), stroke=PALE),
            label(LEFT - 10, _y(hours), words, 12, anchor="end"),
        ]
    drawn.append(label((LEFT + RIGHT) / 2, BOTTOM + 36, "total current at the main, heavier leg [A]", SIZE))
    drawn.append(label(LEFT - 10, TOP - 18, "a year above it", 12, anchor="end"))
    limits = [(found.main_A, "main", "9 5"), (control.service_set_A, "set point", "2 4")]
    for i, (amps, name, dash) in enumerate((a, n, d) for a, n, d in limits if a is not None):
        drawn += _limit(x(float(amps or 0.0)), f"{name} {amps:g} A", dash, TOP - 8 - 16 * i)
    for _, value, style in CURVES:
        drawn.append(path(_points(control.levels, value, x), fill="none", **style))
    drawn += _key(BOTTOM + 62)
    alt = _alt(found)
    return Drawing(document(WIDTH, BOTTOM + 80, "".join(drawn), "Hours above a level, before and after", alt), alt)


def _limit(x: float, words: str, dash: str, y: float) -> list[str]:
    half = text_width(words, 12) / 2
    at = min(max(x, LEFT + half), RIGHT - half)
    return [
        line(x, y + 8, x, BOTTOM, stroke=ACCENT, stroke_width=2, stroke_dasharray=dash),
        label(at, y, words, 12, colour=ACCENT, bold=True),
    ]


def _points(
    rows: Sequence[ControlLevel], value: Callable[[ControlLevel], float], x: Callable[[float], float]
) -> list[tuple[float, float]]:
    """The curve down to the least hours, where it ends."""
    made: list[tuple[float, float]] = []
    for row in rows:
        hours = value(row)
        if hours < LEAST:
            if made:
                made.append((x(row.level_A), BOTTOM))
            break
        made.append((x(row.level_A), _y(min(hours, MOST))))
    return made


def _key(y: float) -> list[str]:
    drawn, at = [], LEFT - 60
    for name, _, style in CURVES:
        drawn.append(line(at, y, at + 40, y, **style))
        drawn.append(label(at + 48, y, name, 12, anchor="start"))
        at += 78 + text_width(name, 12)
    return drawn


def _alt(found: CoincidenceResult) -> str:
    rows = [r for r in found.control.levels if r.free_hours >= LEAST]
    some = rows[:: max(1, len(rows) // 4)]
    told = "; ".join(
        f"{r.level_A:g} A {_hours(r.free_hours)} without control, {_hours(r.controlled_hours)} with" for r in some
    )
    return f"Hours a year above a level of total current: {told}."


def _hours(hours: float) -> str:
    return f"{hours:.3g} h" if hours >= 0.001 else "under 4 s"


NAME, BAR_LEFT, BAR_RIGHT, HEAD, ROW = 262.0, 270.0, 790.0, 30.0, 28.0
Bar = tuple[str, float | None]


def method_bars(rows: Sequence[Bar], unit: str, title: str, strong: str, digits: int) -> Drawing:
    """One bar for each method on one axis; the largest is cut where it would leave no room for the others."""
    values = sorted((v for _, v in rows if v is not None), reverse=True)
    high = 1.15 * values[1] if len(values) > 1 and values[0] > 2 * values[1] else max(values, default=1.0)
    marks = [t for t in ticks(high) if t <= high * 1.25] or [0.0, 1.0]
    end = marks[-1]
    bottom = HEAD + ROW * len(rows)
    drawn = []
    for mark in marks:
        at = BAR_LEFT + (BAR_RIGHT - BAR_LEFT) * mark / end
        drawn.append(line(at, HEAD - 6, at, bottom, stroke=PALE) + label(at, bottom + 14, f"{mark:g}", 12))
    for i, (name, value) in enumerate(rows):
        y = HEAD + ROW * (i + 0.5)
        drawn.append(label(NAME, y, name, 12, anchor="end", bold=name == strong))
        if value is None:
            drawn.append(label(BAR_LEFT + 8, y, "cannot say", 12, anchor="start", colour=SOFT))
            continue
        drawn += _bar(y, value, end, f"{value:.{digits}f} {unit}", fill=_fill(name, strong))
    drawn.append(label((BAR_LEFT + BAR_RIGHT) / 2, bottom + 36, title, SIZE))
    told = "; ".join(f"{n}: {'cannot say' if v is None else f'{v:.{digits}f} {unit}'}" for n, v in rows)
    alt = f"{title}. {told}."
    return Drawing(document(WIDTH, bottom + 52, "".join(drawn), title, alt), alt)


def _fill(name: str, strong: str) -> str:
    """The one that counts in ink, our exact ones half dark, the rest light: legible in grey."""
    return INK if name == strong else SOFT if name.startswith("Exact") else PALE


def _bar(y: float, value: float, end: float, words: str, *, fill: str) -> list[str]:
    cut = value > end
    right = BAR_LEFT + (BAR_RIGHT - BAR_LEFT) * min(value / end, 1.0)
    box = element(
        "rect",
        x=BAR_LEFT,
        y=y - 8,
        width=max(right - BAR_LEFT, 0.5),
        height=16.0,
        fill=fill,
        stroke=INK,
        stroke_width=0.8,
    )
    if not cut:
        return [box, label(right + 8, y, words, 12, anchor="start")]
    gap = [line(right - 22 + d, y + 11, right - 14 + d, y - 11, stroke="#ffffff", stroke_width=3) for d in (0, 6)]
    return [box, *gap, label(right + 8, y, words, 12, anchor="start", bold=True)]


def flow_bars(plan: Plan) -> Drawing:
    """Hot-water flow of the house by every method, in the units of the house."""
    metric = plan.house.general.show_metric
    unit = METRIC["gpm"][0] if metric else "gal/min"
    rows = [
        (m.method, convert(m.flow_gpm, "gal", "L") if metric and m.flow_gpm is not None else m.flow_gpm)
        for m in plan.coincidence.methods.flows
    ]
    return method_bars(rows, unit, f"hot-water flow of the house [{unit}]", "Exact, this house, given flow", 1)


def current_bars(plan: Plan) -> Drawing:
    """Current at the main by every method."""
    rows = [(m.method, m.current_A) for m in plan.coincidence.methods.currents]
    return method_bars(rows, "A", "current at the main [A]", "Load by the code", 0)
