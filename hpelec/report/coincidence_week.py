"""A drawing of a week that could happen in the house: the loads stacked by the minute, a strip a day, with the main."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from hpelec.report.svg import ACCENT, INK, PALE, SOFT, Drawing, document, element, label, line, number
from hpelec.steps.coincidence.model import CoincidenceResult
from hpelec.steps.coincidence.week import DAYS, example_week

WIDTH = 900.0
LEFT, RIGHT, TOP = 96.0, 876.0, 40.0
HIGH, GAP = 74.0, 16.0
COLUMN_MIN = 5
"""Minutes to a column: the one with the larger total is drawn, so no peak is lost."""
SORTS = (
    ("everything else", "plain", ()),
    (
        "heating and cooling",
        "pale",
        ("heat_pump", "air_conditioner", "supplemental_heat", "room_heater", "furnace", "air_handler"),
    ),
    ("cooking and laundry", "stripes", ("range", "cooktop", "wall_oven", "dryer", "washer", "dishwasher", "microwave")),
    ("vehicle", "soft", ("vehicle_charger",)),
    (
        "water heaters",
        "ink",
        ("tankless", "storage", "heat_pump_storage", "point_of_use_tankless", "point_of_use_storage"),
    ),
)
"""Name, fill, kinds; stacked in this order from below. Fills differ in lightness or pattern, not colour alone."""
FILLS = {"plain": "#ffffff", "pale": PALE, "stripes": "url(#stripes)", "soft": SOFT, "ink": INK}
STRIPES = element(
    "pattern",
    element("rect", x=0.0, y=0.0, width=6.0, height=6.0, fill="#f3e7d3")
    + element("path", d="M0 6 L6 0", stroke=ACCENT, stroke_width=1.6),
    id="stripes",
    width=6.0,
    height=6.0,
    patternUnits="userSpaceOnUse",
)
Heights = NDArray[np.float64]
DAY_NAMES = tuple(f"day {n}" for n in range(1, DAYS + 1))


def week(found: CoincidenceResult) -> Drawing:
    """One seeded draw of the same processes that the odds are computed from: to look at, not to read an answer from."""
    drawn_week = example_week(found.loads)
    layers = _layers(found, drawn_week.current_A)
    peak = float(layers.sum(axis=0).max())
    top_A = 1.06 * max(peak, found.main_A or 0.0, 1.0)
    drawn = []
    per_day = layers.shape[1] // DAYS
    for day in range(DAYS):
        y = TOP + day * (HIGH + GAP)
        drawn.append(_strip(layers[:, day * per_day : (day + 1) * per_day], y, top_A))
        drawn.append(label(LEFT - 10, y + HIGH / 2, DAY_NAMES[day], 12, anchor="end"))
        if found.main_A is not None:
            level = y + HIGH * (1 - found.main_A / top_A)
            drawn.append(line(LEFT, level, RIGHT, level, stroke=ACCENT, stroke_width=1.6, stroke_dasharray="8 4"))
    bottom = TOP + DAYS * (HIGH + GAP)
    drawn += [label(LEFT + (RIGHT - LEFT) * h / 24, bottom - 4, f"{h}:00", 11) for h in range(0, 25, 3)]
    scale = f"height of a strip {top_A:.0f} A"
    main = "" if found.main_A is None else f"; dashed: main {found.main_A:g} A"
    drawn.append(
        label(LEFT, TOP - 20, f"one example week of {drawn_week.weather} weather; {scale}{main}", 13, anchor="start")
    )
    drawn.append(_key(bottom + 22))
    alt = f"An example week by the minute, drawn once from the same odds: largest total {peak:.0f} A" + (
        "." if found.main_A is None else f", main {found.main_A:g} A."
    )
    return Drawing(document(WIDTH, bottom + 40, "".join(drawn), "A week in this house", alt, STRIPES), alt)


def _layers(found: CoincidenceResult, current_A: Heights) -> Heights:
    """Current of each sort of load in each column: that of the minute with the largest total."""
    sort_of = {kind: i for i, (_, _, kinds) in enumerate(SORTS) for kind in kinds}
    sums = np.zeros((len(SORTS), current_A.shape[1]))
    for load, row in zip(found.loads, current_A, strict=True):
        sums[sort_of.get(load.kind, 0)] += row
    columns = sums.reshape(len(SORTS), -1, COLUMN_MIN)
    best = columns.sum(axis=0).argmax(axis=1)
    return np.take_along_axis(columns, best[None, :, None], axis=2)[:, :, 0]


def _strip(layers: Heights, y: float, top_A: float) -> str:
    """One day: the sorts of load on top of each other, as stepped areas."""
    heights = np.concatenate([np.zeros((1, layers.shape[1])), np.cumsum(layers, axis=0)]) / top_A * HIGH
    heights = np.round(2 * heights) / 2  # half a unit of the drawing: no eye sees less
    frame = element("rect", x=LEFT, y=y, width=RIGHT - LEFT, height=HIGH, fill="none", stroke=PALE)
    areas = []
    for i, (_, fill, _) in enumerate(SORTS):
        d = "".join(_blocks(heights[i], heights[i + 1], y))
        if d:
            areas.append(element("path", d=d, fill=FILLS[fill], stroke=INK, stroke_width=0.35))
    return frame + "".join(areas) + line(LEFT, y + HIGH, RIGHT, y + HIGH, stroke_width=0.8)


def _blocks(low: Heights, high: Heights, y: float) -> Iterator[str]:
    """Each stretch in which a sort of load draws current, as a closed stepped shape."""
    on = np.concatenate([[False], high > low, [False]])
    edges = np.flatnonzero(np.diff(on)).tolist()
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        yield f"M{_steps(high, start, end, y)}L{_steps(low, start, end, y, back=True)}Z"


def _steps(heights: Heights, start: int, end: int, y: float, *, back: bool = False) -> str:
    """A stepped line along the columns from start to before end, with a point only where it turns."""
    step = (RIGHT - LEFT) / heights.size
    turns = [start, *(start + 1 + np.flatnonzero(np.diff(heights[start:end]))).tolist(), end]
    points = []
    for left, right in pairwise(turns):
        level = y + HIGH - float(heights[left])
        points += [(LEFT + left * step, level), (LEFT + right * step, level)]
    if back:
        points.reverse()
    return "L".join(f"{number(round(px, 1))} {number(round(py, 1))}" for px, py in points)


def _key(y: float) -> str:
    drawn, x = [], LEFT
    for name, fill, _ in SORTS:
        drawn.append(
            element("rect", x=x, y=y - 7, width=18.0, height=14.0, fill=FILLS[fill], stroke=INK, stroke_width=0.8)
        )
        drawn.append(label(x + 25, y, name, 12, anchor="start"))
        x += 40 + 7.2 * len(name)
    return "".join(drawn)
