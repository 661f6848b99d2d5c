"""Charts of hot water in depth: a tank through its day, heat needed through the year, the ways to place heaters."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hpelec.core.units import convert
from hpelec.core.working import show_number
from hpelec.plan import Plan
from hpelec.report.charts import MONTH_STARTS, MONTHS, ticks
from hpelec.report.svg import ACCENT, INK, PALE, PAPER, SOFT, Drawing, document, element, label, line, path, text_width
from hpelec.steps.hotwater.model_depth import TankDay

WIDTH = 900.0
LEFT, RIGHT = 90.0, 670.0
SIZE = 13.0
DASHES = ("none", "9 4", "2 3", "9 3 2 3")
"""How curves are told apart without colour."""


@dataclass(frozen=True, slots=True)
class Panel:
    """A rectangle with an x axis from 0 to `wide` and a y axis from `low` to `high`."""

    top: float
    bottom: float
    wide: float
    low: float
    high: float

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Drawing units of a value."""
        share = (y - self.low) / (self.high - self.low)
        return LEFT + (RIGHT - LEFT) * x / self.wide, self.bottom - (self.bottom - self.top) * share

    def grid(self, values: Sequence[float], title: str) -> str:
        """Lines and numbers of the y axis, its title above."""
        drawn = [label(LEFT - 60, self.top - 16, title, 12, anchor="start")]
        for value in values:
            y = self.at(0, value)[1]
            drawn += [line(LEFT, y, RIGHT, y, stroke=PALE), label(LEFT - 10, y, show_number(value), 12, anchor="end")]
        return "".join(drawn)


def _apart(wanted: Sequence[tuple[float, str]], gap: float) -> list[tuple[float, str]]:
    """Labels beside their curves, moved down until none covers another."""
    placed: list[tuple[float, str]] = []
    for y, text in sorted(wanted, key=lambda told: told[0]):
        placed.append((max(y, placed[-1][0] + gap) if placed else y, text))
    return placed


def _beside(y: float, text: str) -> str:
    most = int((WIDTH - RIGHT - 14) / text_width("x", 12))
    shown = text if len(text) <= most else text[: most - 1] + "…"
    return label(RIGHT + 10, y, shown, 12, anchor="start")


def tank_day_chart(plan: Plan, day: TankDay) -> Drawing:
    """Temperatures at top and bottom of a tank, its draws and its power, through the day of draws."""
    metric = plan.house.general.show_metric
    unit = "C" if metric else "F"
    name = next((h.name for h in plan.house.heaters if h.id == day.heater), day.heater)
    top, bottom = ([convert(v, "F", "C") if metric else v for v in series] for series in (day.top_F, day.bottom_F))
    step = 20 if not metric else 10
    low = step * int(min(bottom) // step)
    high = step * -int(-max(top) // step)
    panel = Panel(44.0, 230.0, 24.0, low, max(high, low + step))
    drawn = [panel.grid([low + step * i for i in range(int((panel.high - low) / step) + 1)], f"water [{unit}]")]
    hours = [(i + 1) * day.step_min / 60 for i in range(len(top))]
    for series, dash in ((top, DASHES[0]), (bottom, DASHES[1])):
        points = [panel.at(h, v) for h, v in zip(hours, series, strict=True)]
        drawn.append(path(points, fill="none", stroke=INK, stroke_width=2.2, stroke_dasharray=dash))
    ends = _apart([(panel.at(24, top[-1])[1], "top of the tank"), (panel.at(24, bottom[-1])[1], "bottom (dashed)")], 16)
    drawn += [_beside(y, text) for y, text in ends]
    drawn.append(_powers(day, Panel(286.0, 390.0, 24.0, 0.0, ticks(max(day.peak_kW, 0.1), 3)[-1])))
    drawn.append(_draws(day, metric, Panel(440.0, 510.0, 24.0, 0.0, 1.0)))
    for hour in range(0, 25, 3):
        x = panel.at(hour, low)[0]
        drawn += [line(x, 510, x, 515), label(x, 526, f"{hour}", 12)]
    drawn.append(label((LEFT + RIGHT) / 2, 548, f"hour of the day, pattern {day.pattern.replace('_', ' ')}", SIZE))
    coldest = day.lowest_F if day.lowest_F is not None else day.top_F[-1]
    shown = convert(coldest, "F", "C") if metric else coldest
    alt = (
        f"{name} through a day of test draws: water leaves it at {shown:.0f} {unit} or more; "
        f"{day.electric_kWh:.1f} kWh of electricity, at most {day.peak_kW:.1f} kW."
    )
    return Drawing(document(WIDTH, 564, "".join(drawn), f"{name} through a day", alt), alt)


def _powers(day: TankDay, panel: Panel) -> str:
    drawn = [panel.grid(ticks(max(day.peak_kW, 0.1), 3), "electrical power [kW]")]
    for i, power in enumerate(day.power_kW):
        if power > 0:
            (x0, y), (x1, y0) = panel.at(i * day.step_min / 60, power), panel.at((i + 1) * day.step_min / 60, 0)
            drawn.append(element("rect", x=x0, y=y, width=x1 - x0, height=y0 - y, fill=SOFT))
    drawn.append(_beside((panel.top + panel.bottom) / 2, f"{day.electric_kWh:.1f} kWh in the day"))
    return "".join(drawn)


def _draws(day: TankDay, metric: bool, panel: Panel) -> str:
    unit = "L" if metric else "gal"

    def shown(gal: float) -> float:
        return convert(gal, "gal", "L") if metric else gal

    values = [shown(v) for v in day.drawn_by_step_gal]
    marks = ticks(max([*values, 0.1]), 3)
    panel = Panel(panel.top, panel.bottom, panel.wide, 0.0, marks[-1])
    drawn = [panel.grid(marks, f"drawn in {day.step_min} minutes [{unit}]")]
    for i, volume in enumerate(values):
        if volume > 0:
            (x0, y), (x1, y0) = panel.at(i * day.step_min / 60, volume), panel.at((i + 1) * day.step_min / 60, 0)
            drawn.append(
                element("rect", x=x0, y=y, width=x1 - x0, height=y0 - y, fill=PAPER, stroke=INK, stroke_width=1.0)
            )
    drawn.append(_beside((panel.top + panel.bottom) / 2, f"{shown(day.drawn_gal):.0f} {unit} in the day"))
    return "".join(drawn)


def need_by_day(plan: Plan) -> Drawing:
    """Heat that the peak flow of each instantaneous heater needs on each day, and what the heater has (dotted)."""
    water = plan.hotwater
    names = {h.id: h.name for h in plan.house.heaters}
    has = {h.heater: h.heat_kW for h in water.heaters}
    years = [y for y in water.year if max(y.needed_kW) > 0]
    title = "Heat needed by day of the year"
    if not years:
        alt = "No heater without tank has a need: no curve."
        return Drawing(document(WIDTH, 60, label(WIDTH / 2, 30, alt, SIZE), title, alt), alt)
    marks = ticks(max([*(max(y.needed_kW) for y in years), *(has[y.heater] for y in years)]))
    panel = Panel(44.0, 280.0, 364.0, 0.0, marks[-1])
    drawn, beside, told = [panel.grid(marks, "heat [kW]")], [], []
    for i, year in enumerate(years):
        dash = DASHES[i % len(DASHES)]
        points = [panel.at(d, kW) for d, kW in enumerate(year.needed_kW)]
        drawn.append(path(points, fill="none", stroke=INK, stroke_width=2.2, stroke_dasharray=dash))
        y = panel.at(0, has[year.heater])[1]
        drawn.append(line(LEFT, y, RIGHT, y, stroke=ACCENT, stroke_width=2.0, stroke_dasharray="2 4"))
        name = names.get(year.heater, year.heater)
        beside += [(points[-1][1], name), (y, f"it has {has[year.heater]:.1f} kW (dotted)")]
        told.append(
            f"{name} needs {min(year.needed_kW):.1f} to {max(year.needed_kW):.1f} kW and has {has[year.heater]:.1f} kW"
        )
    drawn += [_beside(y, text) for y, text in _apart(beside, 16)]
    drawn += [label(panel.at(d + 14, 0)[0], 296, m, 12) for d, m in zip(MONTH_STARTS, MONTHS, strict=True)]
    drawn.append(label((LEFT + RIGHT) / 2, 318, "day of the year, by month", SIZE))
    alt = f"Heat needed at the peak flow by day of the year. {'; '.join(told)}."
    return Drawing(document(WIDTH, 334, "".join(drawn), title, alt), alt)


def layout_bars(plan: Plan) -> Drawing:
    """Current of each way to place the heaters, with its circuits, holes and longest wait in words."""
    rows = plan.hotwater.layouts
    title = "Ways to place the heaters"
    if not rows:
        alt = "No point of use: no ways to compare."
        return Drawing(document(WIDTH, 60, label(WIDTH / 2, 30, alt, SIZE), title, alt), alt)
    marks = ticks(max(r.peak_A for r in rows))
    left, right, top, row = 200.0, 560.0, 34.0, 32.0

    def x(value: float) -> float:
        return left + (right - left) * value / marks[-1]

    bottom = top + row * len(rows)
    drawn = [line(x(v), top - 6, x(v), bottom, stroke=PALE) for v in marks]
    drawn += [label(x(v), bottom + 14, show_number(v), 12) for v in marks]
    told = []
    for i, entry in enumerate(rows):
        y = top + row * i
        fill = INK if i == 0 else PALE
        wide = max(x(entry.peak_A) - left, 0.5)
        drawn.append(
            element("rect", x=left, y=y + 5, width=wide, height=row - 12, fill=fill, stroke=INK, stroke_width=1.0)
        )
        drawn.append(label(left - 10, y + row / 2, entry.layout, SIZE, anchor="end"))
        wait = f", waits {entry.longest_wait_s:.0f} s" if entry.longest_wait_s is not None else ""
        circuits = f"{entry.circuits} circuit" + ("" if entry.circuits == 1 else "s")
        text = f"{entry.peak_A:.0f} A, {circuits}, {entry.holes} holes{wait}"
        drawn.append(label(right + 12, y + row / 2, text, 12, anchor="start"))
        told.append(f"{entry.layout}: {text}")
    drawn.append(label((left + right) / 2, bottom + 34, "current when all run together [A]", SIZE))
    alt = f"Ways to place the heaters. {'; '.join(told)}."
    return Drawing(document(WIDTH, bottom + 50, "".join(drawn), title, alt), alt)
