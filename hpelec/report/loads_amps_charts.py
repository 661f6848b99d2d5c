"""Picture of the calculated load beside what was measured and installed elsewhere, on one axis in amperes."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.report.charts import ROW, TOP, WIDTH, _Axis, _axis, _bar, _finish, _name
from hpelec.report.svg import INK, PALE, Drawing, label, line, polygon, text_width
from hpelec.steps.loads.model import LoadsResult
from hpelec.steps.loads.model_reality import PublishedFigure, Reality


@dataclass(frozen=True, slots=True)
class _Mark:
    """One row: a bar from 0 (a load), a mark or band (a measurement), or a stroke (a panel rating)."""

    name: str
    low_A: float
    high_A: float
    text: str
    look: str


def _panel_text(figure: PublishedFigure) -> str:
    who = figure.population.partition(",")[0]
    if figure.low is None:
        return who
    share = f"{figure.low:g}" if figure.high is None else f"{figure.low:g} to {figure.high:g}"
    return f"{'over ' if 'more than' in figure.remark else ''}{share} % of {who}"


def _marks(loads: LoadsResult, reality: Reality) -> list[_Mark]:
    made = [
        _Mark(
            f"{m.method} method",
            0.0,
            m.demand_A,
            f"{m.demand_A:.1f} A" + (", design load" if m.method == loads.chosen else ""),
            "design" if m.method == loads.chosen else "load",
        )
        for m in loads.methods
        if m.applies
    ]
    if reality.mean_kW is not None:
        mean_A = 1000 * reality.mean_kW / loads.voltage_V
        made.append(_Mark("this meter's year, average", 0.0, mean_A, f"{mean_A:.1f} A", "load"))
    for figure in reality.figures:
        if figure.comparable and figure.low is not None and figure.unit == "A":
            high_A = figure.low if figure.high is None else figure.high
            text = f"{figure.low:g} A" + ("" if figure.high is None else f" to {high_A:g} A") + ", one house"
            made.append(_Mark("measured own peak", figure.low, high_A, text, "measured"))
    for figure in reality.figures:
        if figure.use == "panel" and figure.rating_A is not None:
            name = f"panel of {figure.rating_A:g} A" + (" or less" if "or less" in figure.quantity else "")
            made.append(_Mark(name, figure.rating_A, figure.rating_A, _panel_text(figure), "panel"))
    return made


def _drawn(axis: _Axis, row: int, mark: _Mark) -> str:
    y, low, high = TOP + ROW * (row + 0.45), axis.x(mark.low_A), axis.x(mark.high_A)
    if mark.look == "design":
        return _bar(axis, row, 0, mark.high_A, fill=INK)
    if mark.look == "load":
        return _bar(axis, row, 0, mark.high_A, fill=PALE)
    if mark.look == "panel":
        return line(low, y - 9, low, y + 9, stroke_width=2, stroke_dasharray="4 3")
    corners = [(low - 7, y), (low, y - 7), (high, y - 7), (high + 7, y), (high, y + 7), (low, y + 7)]
    return polygon(corners, fill=INK, stroke=INK)


def _text(axis: _Axis, row: int, mark: _Mark) -> str:
    """The number beside a mark: clear of a diamond's point, and before the mark where it would not fit behind it."""
    x = axis.x(mark.high_A) + (13 if mark.look == "measured" else 7)
    y = TOP + ROW * (row + 0.45)
    if x + text_width(mark.text, 12) > WIDTH - 4:
        return label(axis.x(mark.low_A) - 13, y, mark.text, 12, anchor="end")
    return label(x, y, mark.text, 12, anchor="start")


def reality_axis(loads: LoadsResult) -> Drawing:
    """The methods, the measured own peak and installed panels on one axis; the design load's value runs through all."""
    if loads.reality is None:
        alt = "Nothing to hold the calculated load against."
        return _finish(1, [label(450, TOP, alt, 13)], "Calculated load and measurements", alt)
    marks = _marks(loads, loads.reality)
    axis, grid = _axis(max(m.high_A for m in marks), len(marks), f"current at {loads.voltage_V:g} V [A]")
    at = axis.x(loads.design_A)
    drawn = [grid, line(at, TOP - 6, at, TOP + ROW * len(marks), stroke_width=1.6, stroke_dasharray="2 4")]
    for i, mark in enumerate(marks):
        drawn += [_name(i, mark.name), _drawn(axis, i, mark), _text(axis, i, mark)]
    told = "; ".join(f"{m.name}: {m.text}" + (f" at {m.low_A:g} A" if m.look == "panel" else "") for m in marks)
    alt = f"Calculated load {loads.design_A:.1f} A beside measurements, which change no calculated load. {told}."
    return _finish(len(marks), drawn, "Calculated load and measurements", alt)
