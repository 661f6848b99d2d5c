"""Drawings of what runs together: how often each level is passed, and which water heaters may run at once."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from hpelec.plan import Plan
from hpelec.report.charts import ticks
from hpelec.report.svg import ACCENT, INK, PALE, SOFT, Drawing, document, element, label, line, path, text_width
from hpelec.steps.coincidence.model import CoincidenceResult, HeaterSet, LevelRow
from hpelec.steps.coincidence.words import period_words

WIDTH = 900.0
LEFT, RIGHT, TOP, BOTTOM = 170.0, 860.0, 46.0, 440.0
SIZE = 13.0
PERIODS = (
    (1 / 8760, "once an hour"),
    (1 / 365, "once a day"),
    (7 / 365, "once a week"),
    (1 / 12, "once a month"),
    (1.0, "once a year"),
    (10.0, "once in 10 years"),
    (30.0, "once in 30 years"),
    (100.0, "once in 100 years"),
)
SHORTEST, LONGEST = 1 / 8760 / 3, 300.0
"""Years at the ends of the axis; what is rarer than the longest is not drawn."""


def _y(years: float) -> float:
    share = math.log(years / SHORTEST) / math.log(LONGEST / SHORTEST)
    return TOP + (BOTTOM - TOP) * share


def curve(found: CoincidenceResult) -> Drawing:
    """Return period of each level of total current, in words that people use, with the main and the code's load."""
    marks = ticks(max(found.largest_A, found.main_A or 0.0, 1.0))
    x = _scale(marks[-1])
    drawn = [line(x(v), TOP, x(v), BOTTOM, stroke=PALE) + label(x(v), BOTTOM + 14, f"{v:g}", 12) for v in marks]
    for years, words in PERIODS:
        drawn += [
            line(LEFT, _y(years), RIGHT, _y(years), stroke=PALE),
            label(LEFT - 10, _y(years), words, 12, anchor="end"),
        ]
    drawn.append(label((LEFT + RIGHT) / 2, BOTTOM + 36, "total current at the main, heavier leg [A]", SIZE))
    drawn.append(label(LEFT - 10, TOP - 22, "passed on average", 12, anchor="end"))
    drawn += _limits(found, x)
    alone = _points(found.curve, lambda r: r.return_years_strangers, x)
    drawn.append(path(alone, fill="none", stroke=SOFT, stroke_width=1.8, stroke_dasharray="3 4"))
    drawn.append(path(_points(found.curve, lambda r: r.return_years, x), fill="none", stroke=INK, stroke_width=2.8))
    drawn += _mark(found, x)
    drawn += _key(BOTTOM + 66)
    alt = _curve_alt(found)
    return Drawing(document(WIDTH, BOTTOM + 84, "".join(drawn), "How often a level is passed", alt), alt)


def _scale(high: float) -> Callable[[float], float]:
    return lambda amps: LEFT + (RIGHT - LEFT) * amps / high


def _limits(found: CoincidenceResult, x: Callable[[float], float]) -> list[str]:
    """The main and the load by the code as upright lines, their names on two heights so that they never touch."""
    told = [(found.code_A, f"load by the code {found.code_A:.0f} A", SOFT, "2 4", TOP - 24)]
    if found.main_A is not None:
        told.append((found.main_A, f"main {found.main_A:g} A", ACCENT, "9 5", TOP - 8))
    drawn = []
    for amps, words, colour, dash, y in told:
        drawn.append(line(x(amps), y + 8, x(amps), BOTTOM, stroke=colour, stroke_width=2, stroke_dasharray=dash))
        half = text_width(words, 12) / 2
        drawn.append(label(min(max(x(amps), LEFT + half), RIGHT - half), y, words, 12, colour=colour, bold=True))
    return drawn


def _points(
    rows: Sequence[LevelRow], years: Callable[[LevelRow], float | None], x: Callable[[float], float]
) -> list[tuple[float, float]]:
    """The curve down to the longest period of the axis, where it is cut by a straight line."""
    made: list[tuple[float, float]] = []
    for row in rows:
        value = years(row)
        if value is None:
            break
        if value < SHORTEST:
            continue
        here = (x(row.level_A), _y(value))
        if value > LONGEST:
            if made:
                x0, y0 = made[-1]
                share = (BOTTOM - y0) / (here[1] - y0)
                made.append((x0 + share * (here[0] - x0), BOTTOM))
            break
        made.append(here)
    return made


def _mark(found: CoincidenceResult, x: Callable[[float], float]) -> list[str]:
    """A ring where the curve meets the main, with the answer in words."""
    over = found.overload
    if over is None or over.return_years is None or not SHORTEST <= over.return_years <= LONGEST:
        return []
    cx, cy = x(over.level_A), _y(over.return_years)
    words = f"above the main {period_words(over.return_years)}"
    right = cx + 14 + text_width(words, SIZE) < RIGHT
    at, anchor = (cx + 14, "start") if right else (cx - 14, "end")
    ring = element("circle", cx=cx, cy=cy, r=6.0, fill="#ffffff", stroke=ACCENT, stroke_width=2.5)
    return [ring, label(at, cy - 12, words, SIZE, anchor=anchor, bold=True)]


def _key(y: float) -> list[str]:
    return [
        line(LEFT, y, LEFT + 40, y, stroke_width=2.8),
        label(LEFT + 50, y, "one household: its loads come together", 12, anchor="start"),
        line(LEFT + 370, y, LEFT + 410, y, stroke=SOFT, stroke_width=1.8, stroke_dasharray="3 4"),
        label(LEFT + 420, y, "if they did not", 12, anchor="start"),
    ]


def _curve_alt(found: CoincidenceResult) -> str:
    rows = [r for r in found.curve if r.return_years is not None]
    some = rows[:: max(1, len(rows) // 5)]
    text = "; ".join(f"{r.level_A:g} A {period_words(r.return_years)}" for r in some)
    main = f" The main of {found.main_A:g} A: {period_words(found.overload.return_years)}." if found.overload else ""
    return f"How often the total current passes a level: {text}.{main}"


MOSTLY = "✓ mostly"
MARKS = {
    "yes, with": ("✓ always", "#ffffff"),
    "yes, while": (MOSTLY, PALE),
    "no": ("✗ no", SOFT),
    "never": ("apart", PALE),
}
"""First words of a verdict -> sign and word in the cell, and its ground."""
CELL_HIGH = 58.0


def heater_matrix(plan: Plan) -> Drawing:
    """Every pair of water heaters (each alone on the diagonal): current together, and whether they may run at once."""
    found = plan.coincidence
    names = {h.id: h.name for h in plan.house.heaters}
    ids = sorted({h for row in found.sets for h in row.heaters})
    pairs = {row.heaters: row for row in found.sets if len(row.heaters) <= 2}
    wide = min(150.0, (RIGHT - 230) / max(len(ids), 1))
    high = TOP + 14 + CELL_HIGH * len(ids)
    drawn = []
    for i, a in enumerate(ids):
        y = TOP + 10 + CELL_HIGH * i
        drawn.append(label(220, y + CELL_HIGH / 2, _short(names.get(a, a), 210), 12, anchor="end"))
        drawn.append(label(230 + wide * (i + 0.5), TOP - 6, _short(a, wide), 12))
        for j, b in enumerate(ids[: i + 1]):
            row = pairs[(a,) if i == j else (b, a)]
            drawn.append(_cell(230 + wide * j, y, wide, row))
    main = "no main known" if found.main_A is None else f"main {found.main_A:g} A"
    drawn.append(label(230, TOP - 28, f"currents together, against the {main} and the panel", SIZE, anchor="start"))
    told = "; ".join(f"{' and '.join(r.heaters)}: {r.together_A:.0f} A, {r.verdict}" for r in pairs.values())
    alt = f"Which water heaters may run together. {told or 'There is none'}."
    return Drawing(document(WIDTH, high + 14, "".join(drawn), "Which water heaters may run together", alt), alt)


def _share_words(share: float) -> str:
    """Share of the time in which the rest of the house stays within what is left, never rounded up."""
    percent = math.floor(share * 10_000) / 100
    return "✓ over 99.99 %" if percent >= 99.99 else f"✓ {percent:.2f} %"


def _short(text: str, width: float) -> str:
    most = max(int(width / text_width("x", 12)), 2)
    return text if len(text) <= most else text[: most - 1] + "…"


def _cell(x: float, y: float, wide: float, row: HeaterSet) -> str:
    word, ground = next((v for start, v in MARKS.items() if row.verdict.startswith(start)), ("?", "#ffffff"))
    box = element("rect", x=x, y=y, width=wide, height=CELL_HIGH, fill=ground, stroke=INK, stroke_width=1.0)
    if word == MOSTLY and row.rest_over_share is not None:
        word = _share_words(1 - row.rest_over_share)
    return (
        box
        + label(x + wide / 2, y + 19, f"{row.together_A:.0f} A", SIZE, bold=True)
        + label(x + wide / 2, y + 39, word, 12)
    )
