"""The design load on a scale of amperes, with what each stretch of it needs: rating, meter, conductors, mains."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from hpelec.plan import Plan
from hpelec.report.charts import ticks
from hpelec.report.svg import ACCENT, INK, PALE, PAPER, SOFT, Drawing, document, element, label, line, text_width
from hpelec.steps.service.model import ServiceResult
from hpelec.steps.service.model_spare import Threshold
from hpelec.study.single_changes import single_changes

WIDTH, LEFT, RIGHT, TOP, ROW = 900.0, 178.0, 880.0, 52.0, 40.0
SIZE = 12.0
WORTH_VA = 1.0
"""A change that saves less than this is left out of the report; the study lists it."""
Place = Callable[[float], float]
ROWS = (
    ("service rating", "service rating"),
    ("smallest disconnect", "smallest disconnect"),
    ("meter equipment", "meter equipment"),
    ("mains", "main panels"),
    ("ampacity of service conductors", "conductors carry"),
    ("parallel service conductors", "conductors, sets"),
)
"""Kinds of threshold in the order shown, with the words beside the row."""


def thresholds_drawing(plan: Plan) -> Drawing:
    """The design load among its thresholds, with the loads that single changes reach."""
    reached_A = [c.load_A for c in single_changes(plan) if c.saves_VA >= WORTH_VA]
    return thresholds_scale(plan.service, reached_A)


def thresholds_scale(service: ServiceResult, reached_A: Sequence[float] = ()) -> Drawing:
    """Each kind of threshold as a strip, the design load as a line; `reached_A`: loads of single changes."""
    rows = [(words, found) for what, words in ROWS if (found := _of(service, what))]
    highest_A = max([service.design_A, *(t.at_A for t in service.thresholds), *reached_A])
    marks = ticks(highest_A * 1.12)
    count = len(rows) + (1 if reached_A else 0)
    bottom = TOP + ROW * count

    def x(load_A: float) -> float:
        return LEFT + (RIGHT - LEFT) * load_A / marks[-1]

    drawn = [line(x(v), TOP - 4, x(v), bottom + 4, stroke=PALE) for v in marks]
    drawn += [label(x(v), bottom + 16, f"{v:g}", SIZE) for v in marks]
    drawn.append(label((LEFT + RIGHT) / 2, bottom + 36, "load [A]", SIZE + 1))
    texts: list[str] = []
    for i, (words, found) in enumerate(rows):
        boxes, written = _strip(x, i, words, found, marks[-1])
        drawn += boxes
        texts += written
    if reached_A:
        drawn += _reached(x, len(rows), reached_A)
    # The texts come last: their rim keeps them readable where the line of the load passes.
    drawn += [*_load(x(service.design_A), bottom, f"load {service.design_A:.1f} A"), *texts]
    alt = _alt(service, rows, reached_A)
    return Drawing(document(WIDTH, bottom + 50, "".join(drawn), "Design load against its thresholds", alt), alt)


def _of(service: ServiceResult, what: str) -> list[Threshold]:
    return [t for t in service.thresholds if t.what == what]


def short(text: str) -> str:
    """The words of a strip, as short as they stay clear."""
    for long, brief in (
        ("a smaller load does not make a smaller disconnect", "no smaller one"),
        ("two mains or more", "two or more"),
        ("of the main", "of main"),
        ("one main panel", "one"),
        (" meter", ""),
    ):
        if text.startswith(long) or text.endswith(long):
            text = brief if text.startswith(long) else text.replace(long, brief)
    return text.removesuffix(" A")


def _strip(x: Place, i: int, words: str, found: list[Threshold], end_A: float) -> tuple[list[str], list[str]]:
    y = TOP + ROW * i
    boxes: list[str] = []
    written = [label(LEFT - 10, y + ROW * 0.45, words, SIZE, anchor="end")]
    edges = [0.0, *(t.at_A for t in found), end_A]
    texts = [*(t.within for t in found), found[-1].beyond]
    for n, ((start, stop), text) in enumerate(zip(pairwise(edges), texts, strict=True)):
        wide = x(stop) - x(start)
        fill = PALE if n % 2 == 0 else PAPER
        boxes.append(
            element("rect", x=x(start), y=y + 5, width=wide, height=ROW - 14, fill=fill, stroke=INK, stroke_width=1.0)
        )
        fitting = next((t for t in (short(text), short(text).split()[-1]) if text_width(t, SIZE) <= wide - 2), "")
        if fitting:
            written.append(label((x(start) + x(stop)) / 2, y + ROW * 0.45, fitting, SIZE))
    return boxes, written


def _reached(x: Place, i: int, reached_A: Sequence[float]) -> list[str]:
    y = TOP + ROW * (i + 0.45)
    drawn = [label(LEFT - 10, y, "one change alone", SIZE, anchor="end"), line(LEFT, y, RIGHT, y, stroke=SOFT)]
    drawn += [
        element("circle", cx=x(a), cy=y, r=5.0, fill=PAPER, stroke=INK, stroke_width=1.5)
        for a in sorted({round(a, 1) for a in reached_A})
    ]
    return drawn


def _load(at: float, bottom: float, words: str) -> list[str]:
    half = text_width(words, SIZE + 1) / 2
    middle = min(max(at, half + 4), WIDTH - half - 4)
    return [
        line(at, TOP - 22, at, bottom + 4, stroke=ACCENT, stroke_width=3.0, stroke_dasharray="9 3"),
        label(middle, TOP - 34, words, SIZE + 1, colour=ACCENT, bold=True),
    ]


def _alt(service: ServiceResult, rows: list[tuple[str, list[Threshold]]], reached_A: Sequence[float]) -> str:
    told = [
        f"{words}: " + "; ".join(f"up to {t.at_A:g} A {t.within}, above {t.beyond}" for t in found)
        for words, found in rows
    ]
    alt = f"Design load {service.design_A:.1f} A. {'. '.join(told)}."
    if reached_A:
        alt += f" Single changes reach {min(reached_A):.1f} to {max(reached_A):.1f} A."
    return alt
