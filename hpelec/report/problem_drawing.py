"""The place of an input problem as a small picture: the rooms near it, and what is wrong marked on them."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from shapely.geometry import Polygon, box

from hpelec.core.errors import InputErrors, InputProblem, Outline, Sketch
from hpelec.report.labels import Sheet, around
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
    number,
    polygon,
    shortened,
    text_width,
)

SIZE = 340.0
MARGIN = 18.0
FOOT = 46.0
LEAST_FT = 8.0
"""A picture shows at least this much of the plan in each direction."""


def problem_drawing(problem: InputProblem) -> Drawing | None:
    """A picture of the place of a problem, None when it has no place on the plan."""
    sketch = problem.sketch
    if sketch is None:
        return None
    x0, y0, x1, y1 = _window(sketch)
    scale = (SIZE - 2 * MARGIN) / (x1 - x0)
    high = (y1 - y0) * scale + 2 * MARGIN
    view, sheet = box(x0, y0, x1, y1), Sheet(SIZE, high)

    def at(points: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
        return [(MARGIN + (x - x0) * scale, high - MARGIN - (y - y0) * scale) for x, y in points]

    walls, names = [], []
    for room, corners in sketch.rooms:
        walls.append(polygon(at(corners), fill=PALE, fill_opacity=0.35, stroke=SOFT, stroke_width=1.6))
        names.append((room, _middle(corners, view)))
    marks = [_mark(sheet, name, at(points)) for name, points in sketch.marks]
    named = [_name(sheet, name, at([middle])[0]) for name, middle in names if middle is not None]
    clip = element("rect", x=4.0, y=4.0, width=SIZE - 8, height=high - 8)
    body = element("g", "".join(walls), clip_path="url(#window)")
    frame = element("rect", x=4.0, y=4.0, width=SIZE - 8, height=high - 8, fill="none", stroke=SOFT, stroke_width=0.8)
    foot = _scale_bar(scale, high + 12)
    alt = f"Level {sketch.level}, north up: {problem}"
    text = body + "".join(marks + named) + frame + foot
    defs = element("clipPath", clip, id="window")
    return Drawing(document(SIZE, high + FOOT, text, f"Place of a problem: {problem.about}", alt, defs), alt)


def write_pictures(errors: InputErrors, folder: str | Path) -> list[Path]:
    """A picture file for each problem that has a place on the plan, numbered as the problems are told."""
    target = Path(folder)
    target.mkdir(parents=True, exist_ok=True)
    written = []
    for n, problem in enumerate(errors.problems, 1):
        drawing = problem_drawing(problem)
        if drawing is not None:
            path = target / f"problem-{n:02d}-{problem.file.removesuffix('.csv')}-{problem.about}.svg"
            path.write_text(drawing.svg, encoding="utf-8", newline="\n")
            written.append(path)
    return written


def _window(sketch: Sketch) -> tuple[float, float, float, float]:
    """A square window round the marks: somewhat wider than they are, so that the place can be told."""
    xs, ys = zip(*[p for _, points in sketch.marks for p in points], strict=True)
    half = max(LEAST_FT, 1.6 * (max(xs) - min(xs)), 1.6 * (max(ys) - min(ys))) / 2
    cx, cy = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    return cx - half, cy - half, cx + half, cy + half


def _middle(corners: Outline, view: Polygon) -> tuple[float, float] | None:
    """A place within what the window shows of a room."""
    seen = Polygon(corners).buffer(0).intersection(view)
    return None if seen.is_empty else tuple(seen.representative_point().coords[0])  # type: ignore[return-value]


def _mark(sheet: Sheet, name: str, points: list[tuple[float, float]]) -> str:
    """What is wrong: an area, a stretch of wall or a place, in ochre with a heavy dashed rim and its name."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    cx, cy = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    if len(points) == 1:
        drawn = element("circle", cx=cx, cy=cy, r=6.0, fill="none", stroke=ACCENT, stroke_width=3.0)
    elif len(points) == 2:
        drawn = line(*points[0], *points[1], stroke=ACCENT, stroke_width=6.0)
    else:
        drawn = polygon(points, fill=ACCENT, fill_opacity=0.3, stroke=ACCENT, stroke_width=2.4, stroke_dasharray="5 3")
    thin = min(max(xs) - min(xs), max(ys) - min(ys)) < 16
    sheet.take((min(xs) - 4, min(ys) - 4, max(xs) + 4, max(ys) + 4))
    ring = ""
    if thin and len(points) > 2:  # a sliver would hardly be seen: an oval round it
        wide, high = (max(xs) - min(xs)) / 2 + 9, (max(ys) - min(ys)) / 2 + 9
        ring = element("ellipse", cx=cx, cy=cy, rx=wide, ry=high, fill="none", stroke=INK, stroke_width=1.2)
    told = shortened(name, SIZE - 2 * MARGIN, 12)
    wide = text_width(told, 12)
    x, y = sheet.place(wide, 14, around(cx, cy, wide / 2 + 10, 16, rings=14))
    return drawn + ring + label(x, y, told, 12, colour=INK, bold=True)


def _name(sheet: Sheet, name: str, middle: tuple[float, float]) -> str:
    told = shortened(name, SIZE / 2.5, 11)
    wide = text_width(told, 11)
    x, y = sheet.place(wide, 12, [middle, *around(*middle, 0, 14, rings=8)])
    return label(x, y, told, 11, colour=SOFT)


def _scale_bar(scale: float, y: float) -> str:
    """A bar of a round number of feet."""
    length = max((n for n in (0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500) if n * scale <= SIZE / 2), default=0.5)
    x = MARGIN
    bar = line(x, y, x + length * scale, y, stroke_width=3)
    return bar + label(x, y + 16, f"{number(length)} ft, north up", 11, anchor="start")
