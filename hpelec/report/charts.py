"""Charts of the report: load, methods, leakage, mains temperature. Plain SVG with axes, units and words."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from hpelec.core.citing import cite
from hpelec.core.units import METRIC, convert
from hpelec.core.working import show_number
from hpelec.plan import Plan
from hpelec.report.svg import (
    ACCENT,
    INK,
    PALE,
    SOFT,
    Drawing,
    document,
    element,
    label,
    line,
    path,
    shortened,
    text_width,
)
from hpelec.steps.airtightness.model import AirtightnessResult, Spread
from hpelec.steps.loads.model import LoadLine, LoadsResult
from hpelec.steps.loads.rules import noncoincident

WIDTH = 900.0
LEFT, RIGHT, TOP, ROW = 240.0, 740.0, 34.0, 30.0
SIZE = 13.0
SHARED = "general loads"
"""Category of the lines that give many loads one factor together; those then have no demand of their own."""

NOT_TOGETHER = "never at the same time"
"""Name of the step for loads that an interlock or the season keeps off."""

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
MONTH_STARTS = (1, 32, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335)
METRIC_FLOW = METRIC["cfm50"][0]


def ticks(high: float, count: int = 6) -> list[float]:
    """Round values from 0 to at least `high`, about `count` of them."""
    if high <= 0:
        return [0.0, 1.0]
    rough = high / count
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(m * power for m in (1, 2, 2.5, 5, 10) if m * power >= rough * (1 - 1e-9))
    return [i * step for i in range(math.ceil(high / step - 1e-9) + 1)]


@dataclass(frozen=True, slots=True)
class _Axis:
    """A horizontal axis from 0 to `high`."""

    high: float

    def x(self, value: float) -> float:
        return LEFT + (RIGHT - LEFT) * value / self.high


def _axis(high: float, rows: int, title: str) -> tuple[_Axis, str]:
    """The axis with its grid lines, numbers and title, below `rows` rows."""
    marks = ticks(high)
    axis, bottom = _Axis(marks[-1]), TOP + ROW * rows
    drawn = [line(axis.x(v), TOP - 6, axis.x(v), bottom, stroke=PALE) for v in marks]
    drawn += [label(axis.x(v), bottom + 14, show_number(v), 12) for v in marks]
    drawn.append(label((LEFT + RIGHT) / 2, bottom + 34, title, SIZE))
    return axis, "".join(drawn)


def _name(row: int, text: str) -> str:
    return label(LEFT - 10, TOP + ROW * (row + 0.45), shortened(text, LEFT - 20, SIZE), SIZE, anchor="end")


def _bar(axis: _Axis, row: int, start: float, end: float, **attributes: str | float) -> str:
    low, high = sorted((axis.x(start), axis.x(end)))
    told: dict[str, str | float] = {"fill": SOFT, "stroke": INK, "stroke_width": 1.0, **attributes}
    return element("rect", x=low, y=TOP + ROW * row + 4, width=max(high - low, 0.5), height=ROW - 11, **told)


def _finish(rows: int, drawn: list[str], title: str, alt: str) -> Drawing:
    return Drawing(document(WIDTH, TOP + ROW * rows + 50, "".join(drawn), title, alt), alt)


@dataclass(frozen=True, slots=True)
class _Step:
    """One step of a waterfall: what, from where, by how much, and whether a rule made it (or a nameplate)."""

    name: str
    start: float
    change: float
    by_rule: bool


def _apart(entry: LoadLine, edition: int) -> bool:
    """Whether a line is held off by an interlock or belongs to the other season, so that nothing of it counts."""
    told = entry.citation.locator == cite(noncoincident, edition).locator
    return told and entry.demand_VA == 0 and entry.connected_VA > 0


def _reductions(loads: LoadsResult) -> dict[str, float]:
    """What the rules add or take away, by category; what never runs together with the rest stands by itself."""
    sums: dict[str, float] = {}
    shared = any(entry.category == SHARED for entry in loads.lines)
    for entry in loads.lines:
        folded = shared and (entry.category == SHARED or entry.demand_VA == 0)
        name = NOT_TOGETHER if _apart(entry, loads.edition) else SHARED if folded else entry.category
        sums[name] = sums.get(name, 0.0) + entry.demand_VA - entry.connected_VA
    return sums


def _waterfall(loads: LoadsResult) -> list[_Step]:
    """Up by category to the connected load, then by rule to the design load."""
    rises: dict[str, float] = {}
    for entry in loads.lines:
        rises[entry.category] = rises.get(entry.category, 0.0) + entry.connected_VA
    changes = [(name, VA, False) for name, VA in rises.items()]
    changes += [(name, VA, True) for name, VA in _reductions(loads).items()]
    made, at = [], 0.0
    for name, change, by_rule in changes:
        if abs(change) > 0.5:
            made.append(_Step(name, at, change, by_rule))
            at += change
    if abs(loads.design_VA - at) > 0.5:
        made.append(_Step("whole calculation", at, loads.design_VA - at, True))
    return made


def load_waterfall(loads: LoadsResult) -> Drawing:
    """Nameplates by category up to the connected load, then what the chosen method takes off, to the design load."""
    steps = _waterfall(loads)
    rising, ruled = [s for s in steps if not s.by_rule], [s for s in steps if s.by_rule]
    connected = sum(s.change for s in rising)
    highest = max([connected, loads.design_VA, *(s.start + s.change for s in steps)])
    rows = len(steps) + 2
    axis, grid = _axis(highest, rows, "load [VA]")
    drawn = [grid]
    for i, step in enumerate([*rising, None, *ruled]):
        if step is None:
            drawn += [_name(i, "connected load"), _bar(axis, i, 0, connected, fill=INK), _value(axis, i, connected)]
            end = connected
        else:
            end = step.start + step.change
            looks = {"fill": SOFT} if not step.by_rule else {"fill": ACCENT}
            looks = {"fill": PALE, "stroke_dasharray": "4 3"} if step.change < 0 else looks
            sign = "+" if step.change > 0 else "−"
            name = step.name if not step.by_rule or step.name == NOT_TOGETHER else f"by rule: {step.name}"
            drawn += [_name(i, name), _bar(axis, i, step.start, end, **looks)]
            drawn.append(_value(axis, i, max(step.start, end), f"{sign}{abs(step.change):,.0f}"))
        y = TOP + ROW * i
        drawn.append(line(axis.x(end), y + ROW - 7, axis.x(end), y + ROW + 4, stroke_width=1))
    drawn += [_name(rows - 1, "design load"), _bar(axis, rows - 1, 0, loads.design_VA, fill=INK)]
    drawn.append(_value(axis, rows - 1, loads.design_VA))
    changes = "; ".join(f"{s.name} {s.change:+,.0f} VA" for s in ruled)
    parts = "; ".join(f"{s.name} {s.change:,.0f} VA" for s in rising)
    alt = (
        f"Connected load {connected:,.0f} VA ({parts}) becomes the design load {loads.design_VA:,.0f} VA."
        f" Changes: {changes}."
    )
    return _finish(rows, drawn, "From connected load to design load", alt)


def _value(axis: _Axis, row: int, value: float, text: str = "") -> str:
    shown = text or f"{value:,.0f}"
    x = min(axis.x(value) + 7, WIDTH - 4 - text_width(shown, 12))
    return label(x, TOP + ROW * (row + 0.45), shown, 12, anchor="start")


def methods_bars(loads: LoadsResult) -> Drawing:
    """The methods side by side in amperes; methods that do not apply are named without a bar."""
    axis, grid = _axis(max((m.demand_A for m in loads.methods), default=0.0), len(loads.methods), "calculated load [A]")
    drawn, told = [grid], []
    for i, method in enumerate(loads.methods):
        drawn.append(_name(i, method.method))
        if not method.applies:
            drawn.append(label(LEFT + 8, TOP + ROW * (i + 0.45), "does not apply", 12, anchor="start", colour=SOFT))
            told.append(f"{method.method}: does not apply")
            continue
        chosen = method.method == loads.chosen
        drawn.append(_bar(axis, i, 0, method.demand_A, fill=INK if chosen else PALE))
        text = f"{method.demand_A:.1f} A" + (" (chosen)" if chosen else "")
        drawn.append(_value(axis, i, method.demand_A, text))
        told.append(f"{method.method}: {text}")
    return _finish(len(loads.methods), drawn, "Methods side by side", f"Calculated load by method. {'; '.join(told)}.")


def leakage_bars(air: AirtightnessResult, *, metric: bool) -> Drawing:
    """Leakage of the electrical holes unsealed and sealed, with low and high, against what the target allows."""
    rows: list[tuple[str, Spread]] = [
        ("electrical holes, unsealed", air.unsealed),
        ("electrical holes, sealed", air.sealed),
    ]
    if air.background is not None:
        rows.append(("everything else", air.background))
    unit = METRIC_FLOW if metric else "cfm"
    flow = _flow(metric)
    limit = flow(air.limit_cfm50)
    axis, grid = _axis(max([limit, *(flow(s.high_cfm50) for _, s in rows)]), len(rows), f"leakage at 50 Pa [{unit}]")
    drawn, told = [grid], []
    for i, (name, spread) in enumerate(rows):
        best, low, high = (flow(v) for v in (spread.best_cfm50, spread.low_cfm50, spread.high_cfm50))
        y = TOP + ROW * (i + 0.45)
        drawn += [_name(i, name), _bar(axis, i, 0, best, fill=PALE)]
        drawn.append(line(axis.x(low), y, axis.x(high), y, stroke_width=2))
        drawn += [line(axis.x(v), y - 6, axis.x(v), y + 6, stroke_width=2) for v in (low, high)]
        text = f"{best:,.1f} ({low:,.1f} to {high:,.1f})"
        drawn.append(_value(axis, i, max(best, high), text))
        told.append(f"{name} {text} {unit}")
    bottom = TOP + ROW * len(rows)
    drawn.append(
        line(axis.x(limit), TOP - 8, axis.x(limit), bottom, stroke=ACCENT, stroke_width=2.5, stroke_dasharray="8 4")
    )
    words = f"limit for the whole house {show_number(round(limit, 1))}"
    drawn.append(label(min(axis.x(limit), WIDTH - 8), TOP - 18, words, 12, anchor="end", colour=ACCENT, bold=True))
    alt = f"Leakage at 50 Pa, best estimate with low and high. {'; '.join(told)}. {words} {unit}."
    return _finish(len(rows), drawn, "Leakage against the target", alt)


def _flow(metric: bool) -> Callable[[float], float]:
    """Turns cfm into the flow unit shown."""
    return (lambda cfm: convert(cfm, "ft3", "L") / 60) if metric else float


def mains_curve(plan: Plan) -> Drawing:
    """Mains water temperature through the year, with the design value."""
    water, metric = plan.hotwater, plan.house.general.show_metric
    unit = "C" if metric else "F"

    def shown(value_F: float) -> float:
        return convert(value_F, "F", "C") if metric else value_F

    values = [(m.day, shown(m.mains_F)) for m in water.mains]
    cold = shown(water.cold_F)
    if not values:
        alt = f"No curve of the mains temperature; design value {cold:.1f} {unit}."
        return Drawing(document(WIDTH, 60, label(WIDTH / 2, 30, alt, SIZE), "Mains water temperature", alt), alt)
    low = 5 * math.floor(min([cold, *(v for _, v in values)]) / 5)
    high = 5 * math.ceil(max(v for _, v in values) / 5)
    high = max(high, low + 5)
    left, right, top, bottom = 90.0, 860.0, 30.0, 270.0

    def at(day: float, value: float) -> tuple[float, float]:
        return left + (right - left) * (day - 1) / 364, bottom - (bottom - top) * (value - low) / (high - low)

    drawn = []
    for value in range(low, high + 1, 5):
        y = at(1, value)[1]
        drawn += [line(left, y, right, y, stroke=PALE), label(left - 10, y, f"{value}", 12, anchor="end")]
    drawn += [label(at(d + 15, 0)[0], bottom + 16, m, 12) for d, m in zip(MONTH_STARTS, MONTHS, strict=True)]
    y = at(1, cold)[1]
    drawn.append(line(left, y, right, y, stroke=ACCENT, stroke_width=2, stroke_dasharray="8 4"))
    drawn.append(path([at(d, v) for d, v in values], fill="none", stroke=INK, stroke_width=2.2))
    drawn.append(label((left + right) / 2, y - 10, f"design value {cold:.1f} {unit}", 12, colour=ACCENT, bold=True))
    drawn.append(label(left - 10, 12, f"mains water [{unit}]", 12, anchor="start"))
    drawn.append(label((left + right) / 2, bottom + 38, "day of the year, by month", SIZE))
    coldest, warmest = min(v for _, v in values), max(v for _, v in values)
    alt = f"Mains water by day: {coldest:.1f} to {warmest:.1f} {unit}; design value {cold:.1f} {unit}."
    return Drawing(document(WIDTH, bottom + 54, "".join(drawn), "Mains water temperature by day", alt), alt)
