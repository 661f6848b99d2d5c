"""Picture of the step stages: site loads on the line of time, and what the supplies carry below."""

from __future__ import annotations

from hpelec.house.sections_power import BUILD_STAGES
from hpelec.plan import Plan
from hpelec.report.charts import ticks
from hpelec.report.svg import INK, PALE, PAPER, SOFT, Drawing, document, element, label, line, shortened
from hpelec.steps.stages.model import Bar, StagesResult

WIDTH, LEFT, TOP, ROW = 980.0, 250.0, 62.0, 26.0
STAGE = (WIDTH - LEFT - 20) / len(BUILD_STAGES)
LOAD_HEIGHT = 130.0
STRIPES = element(
    "pattern",
    element("rect", width=7.0, height=7.0, fill=PAPER) + line(0, 7, 7, 0, stroke=INK, stroke_width=1.6),
    id="permanent",
    width=7.0,
    height=7.0,
    patternUnits="userSpaceOnUse",
)


def _x(stage: int) -> float:
    return LEFT + STAGE * stage


def _block(x0: float, x1: float, y: float, height: float, fill: str) -> str:
    return element("rect", x=x0, y=y, width=x1 - x0, height=height, fill=fill, stroke=INK, stroke_width=1.0)


def _bar_of(bar: Bar, row: int, live: int) -> str:
    first, last = BUILD_STAGES.index(bar.from_stage), BUILD_STAGES.index(bar.to_stage)
    y = TOP + ROW * row + 4
    drawn = [label(LEFT - 10, y + 8, shortened(bar.name, LEFT - 14, 12), 12, anchor="end")]
    if bar.temporary:
        drawn.append(_block(_x(first), _x(min(last + 1, live)), y, ROW - 9, SOFT))
    if bar.permanent:
        drawn.append(_block(_x(max(first, live)), _x(last + 1), y, ROW - 9, "url(#permanent)"))
    return "".join(drawn)


def _currents(stages: StagesResult, top: float) -> str:
    """The heavier leg of the supply at each stage, with the mains as marks."""
    ratings = {s.supply: s.rating_A for s in stages.supplies}
    marks = ticks(max([s.leg_A for s in stages.supplies] + [stages.temporary_rating_A or 0.0]), 4)
    bottom = top + LOAD_HEIGHT
    levels = [(m, bottom - LOAD_HEIGHT * m / marks[-1]) for m in marks]
    drawn = [line(_x(0), y, _x(len(BUILD_STAGES)), y, stroke=PALE) for _, y in levels]
    drawn += [label(LEFT - 8, y, f"{m:g} A", 11, anchor="end") for m, y in levels]
    for entry in stages.supplies:
        i = BUILD_STAGES.index(entry.stage)
        height = LOAD_HEIGHT * entry.leg_A / marks[-1]
        fill = SOFT if entry.supply == "temporary" else "url(#permanent)"
        drawn.append(_block(_x(i) + 12, _x(i + 1) - 12, bottom - height, height, fill))
        middle = (_x(i) + _x(i + 1)) / 2
        drawn.append(label(middle, bottom - 9, f"{entry.leg_A:.0f} A", 11, bold=entry.carries is False))
        if entry.carries is False:
            drawn.append(label(middle, bottom - 24, "too much", 11, bold=True))
    live = BUILD_STAGES.index(stages.live_stage)
    for supply, x0, x1 in (("temporary", _x(0), _x(live)), ("permanent", _x(live), _x(len(BUILD_STAGES)))):
        rating_A = ratings.get(supply)
        if rating_A and x1 > x0:
            beyond = " (higher)" if rating_A > marks[-1] * 1.12 else ""
            y = bottom - LOAD_HEIGHT * min(rating_A / marks[-1], 1.12)
            drawn.append(line(x0, y, x1, y, stroke_width=2, stroke_dasharray="7 4"))
            drawn.append(label(x0 + 6, y - 9, f"{supply} main {rating_A:g} A{beyond}", 11, anchor="start", bold=True))
    return "".join(drawn)


def stages_timeline(plan: Plan) -> Drawing:
    """Which supply feeds each site load at each stage, and the heavier leg of that supply against its main."""
    stages = plan.stages
    live = BUILD_STAGES.index(stages.live_stage)
    rows = len(stages.bars)
    grid_bottom = TOP + ROW * rows
    chart_top = grid_bottom + 46
    drawn = [_block(_x(live), _x(len(BUILD_STAGES)), 8, 14, "url(#permanent)"), _block(_x(0), _x(live), 8, 14, SOFT)]
    drawn.append(label(LEFT - 10, 15, "grey temporary, striped permanent", 11, anchor="end"))
    for i, stage in enumerate(BUILD_STAGES):
        drawn.append(line(_x(i), 26, _x(i), chart_top + LOAD_HEIGHT, stroke=PALE))
        drawn.append(label((_x(i) + _x(i + 1)) / 2, 44, stage, 11))
    drawn += [_bar_of(bar, row, live) for row, bar in enumerate(stages.bars)]
    drawn.append(_currents(stages, chart_top))
    drawn.append(line(_x(live), 4, _x(live), chart_top + LOAD_HEIGHT, stroke_width=2.5))
    drawn.append(label(LEFT - 10, chart_top - 18, "heavier leg, continuous x 1.25", 11, anchor="end"))
    if not rows:
        drawn.append(label(WIDTH / 2, TOP, "no site loads are given (site.csv)", 13))
    alt = _alt(stages)
    height = chart_top + LOAD_HEIGHT + 14
    return Drawing(
        document(WIDTH, height, "".join(drawn), "Temporary and permanent supply by stage", alt, STRIPES), alt
    )


def _alt(stages: StagesResult) -> str:
    if not stages.supplies:
        return "No site loads are given, so no supply by stage can be shown."
    told = "; ".join(f"{s.stage}: {s.supply}, {s.leg_A:.0f} A" for s in stages.supplies)
    return f"Heavier leg of the supply that feeds the site, by stage. {told}. Permanent from {stages.live_stage} on."
