"""Pictures of a panel: its schedule in two columns as it looks when the door is open, and the holes of its cables."""

from __future__ import annotations

from collections.abc import Sequence

from hpelec.core.units import show_quantity
from hpelec.plan import Plan
from hpelec.report.svg import (
    ACCENT,
    INK,
    PALE,
    PAPER,
    SOFT,
    Drawing,
    document,
    element,
    label,
    line,
    shortened,
    text_width,
)
from hpelec.steps.circuits.model import EntryHole, PanelBalance, Slot

WIDTH, ROW, TOP = 920.0, 26.0, 58.0
SPINE, NUMBER = 26.0, 40.0
"""Widths of the stripe of legs in the middle and of the numbers of spaces beside it."""
LOAD, BREAKER, NAME = 62.0, 52.0, 262.0
SIZE, SMALL = 12.0, 11.0


def panel_schedule(plan: Plan, panel: str) -> Drawing:
    """The schedule of a panel: odd spaces left, even ones right; the letter of the leg between them."""
    rows = [s for s in plan.circuits.slots if s.panel == panel]
    balance = next(b for b in plan.circuits.balance if b.panel == panel)
    use = next(p for p in plan.circuits.panels if p.panel == panel)
    count = (use.spaces + 1) // 2
    bottom = TOP + ROW * count
    drawn = [_head(), *_spine(count)]
    drawn += [_drawn(s) for s in rows if s.first]
    drawn.append(line(20, bottom, WIDTH - 20, bottom, stroke_width=1.6))
    lost = [s for s in rows if not s.first]
    said = _sums(balance, lost)
    if any(s.note.startswith("multiwire") for s in rows):
        said.append("Bar over two rows: a multiwire pair, opened together")
    drawn += [label(WIDTH / 2, bottom + 22 + 19 * i, text, SIZE, bold=i == 0) for i, text in enumerate(said)]
    title = f"{panel} {use.name}: {use.rating_A:g} A bus, {use.spaces} spaces"
    drawn.append(label(WIDTH / 2, 18, shortened(title, WIDTH - 40, 14), 14, bold=True))
    alt = f"Schedule of panel {panel}, odd spaces left and even ones right. {'; '.join(map(_told, rows))}. {said[0]}"
    return Drawing(document(WIDTH, bottom + 30 + 19 * len(said), "".join(drawn), title, alt), alt)


def _middle() -> tuple[float, float]:
    return (WIDTH - SPINE) / 2, (WIDTH + SPINE) / 2


def _edges(side: str) -> tuple[float, float, float, float]:
    """Centres of the numbers, loads and breakers, and the start of the names, of one side."""
    way = -1 if side == "left" else 1
    start = _middle()[0 if side == "left" else 1]
    return (
        start + way * NUMBER / 2,
        start + way * (NUMBER + LOAD / 2),
        start + way * (NUMBER + LOAD + BREAKER / 2),
        start + way * (NUMBER + LOAD + BREAKER + 8),
    )


def _head() -> str:
    y = TOP - 13
    drawn = [label(WIDTH / 2, y, "leg", SMALL)]
    for side in ("left", "right"):
        number, load, breaker, name = _edges(side)
        anchor = "end" if side == "left" else "start"
        drawn += [label(number, y, "no.", SMALL), label(load, y, "VA", SMALL), label(breaker, y, "A", SMALL)]
        drawn.append(label(name, y, "feeds", SMALL, anchor=anchor))
    return "".join(drawn) + line(20, TOP, WIDTH - 20, TOP, stroke_width=1.6)


def _spine(count: int) -> list[str]:
    """The stripe between the columns: the letter of each row's leg, rows of leg B shaded."""
    left, right = _middle()
    drawn = []
    for i in range(count):
        y, leg = TOP + ROW * i, "AB"[i % 2]
        fill = PALE if leg == "B" else PAPER
        drawn.append(element("rect", x=left, y=y, width=right - left, height=ROW, fill=fill, stroke=SOFT))
        drawn.append(label(WIDTH / 2, y + ROW / 2, leg, SIZE, bold=True))
    return drawn


def _drawn(slot: Slot) -> str:
    """One breaker, over two rows when it has two poles; a tandem's circuits share a row."""
    number, load, breaker, name = _edges(slot.side)
    part = slot.space[-1] if slot.space[-1].isalpha() else ""
    high = ROW / 2 if part else ROW * max(slot.poles, 1)
    y = TOP + ROW * ((slot.first + 1) // 2 - 1) + (ROW / 2 if part == "b" else 0)
    size = 9.5 if part else SIZE
    inner = _middle()[0] if slot.side == "left" else _middle()[1]
    outer = 20.0 if slot.side == "left" else WIDTH - 20
    box = element("rect", x=min(inner, outer), y=y, width=abs(outer - inner), height=high, fill="none", stroke=SOFT)
    middle = y + high / 2
    spaces = slot.space.split("+")
    numbers = "".join(label(number, y + ROW * (i + 0.5) if not part else middle, t, size) for i, t in enumerate(spaces))
    if not slot.poles:
        return box + numbers + label(name, middle, "open space", size, anchor=_anchor(slot), colour=SOFT)
    shown = [slot.leg_A_VA, slot.leg_B_VA] if slot.poles == 2 else [slot.leg_A_VA + slot.leg_B_VA]
    loads = "".join(label(load, y + high * (i + 0.5) / len(shown), f"{v:,.0f}", size) for i, v in enumerate(shown))
    multiwire = slot.note.startswith("multiwire")
    text = slot.name + (f" ({slot.note})" if slot.note and not multiwire else "")
    tie = ""
    if multiwire and slot.leg == "A":
        x = breaker - BREAKER / 2 + 4
        tie = line(x, y + 5, x, y + 2 * ROW - 5, stroke=ACCENT, stroke_width=3)
    return (
        box
        + numbers
        + loads
        + label(breaker, middle, f"{slot.breaker_A:g}", size, bold=True)
        + _named(text, name, middle, size, _anchor(slot))
        + tie
    )


def _named(text: str, x: float, y: float, size: float, anchor: str) -> str:
    """What a breaker feeds, in two smaller lines where one is too short for it."""
    small = 10.0
    if text_width(text, size) <= NAME or size < small:
        return label(x, y, shortened(text, NAME, size), size, anchor=anchor)
    first = text
    while " " in first and text_width(first, small) > NAME:
        first = first.rsplit(" ", 1)[0]
    rest = text[len(first) :].strip()
    if not rest:
        return label(x, y, shortened(first, NAME, small), small, anchor=anchor)
    said = shortened(first, NAME, small), shortened(rest, NAME, small)
    return "".join(label(x, y + 5.5 * (2 * i - 1), t, small, anchor=anchor) for i, t in enumerate(said))


def _anchor(slot: Slot) -> str:
    return "end" if slot.side == "left" else "start"


def _sums(balance: PanelBalance, lost: Sequence[Slot]) -> list[str]:
    proof = "proven the least" if balance.proven else f"not below {balance.bound_VA:,.0f} VA"
    said = [
        f"Leg A {balance.leg_A_VA:,.0f} VA, leg B {balance.leg_B_VA:,.0f} VA; "
        f"difference {balance.difference_VA:,.0f} VA ({proof})"
    ]
    if lost:
        names = shortened("No space left for: " + ", ".join(s.name for s in lost), WIDTH - 40, SIZE)
        said.append(names)
    return said


def _told(slot: Slot) -> str:
    if not slot.poles:
        return f"{slot.space} open"
    return f"{slot.space or 'no space'}: {slot.name}, {slot.breaker_A:g} A, leg {slot.leg}"


def entry_pattern(plan: Plan, panel: str) -> Drawing:
    """The holes in the plates above and below a panel, to one scale, each with its number and how many cables pass."""
    holes = [h for h in plan.circuits.entries if h.panel == panel]
    scale, left, high, strip = 46.0, 150.0, 140.0, 92.0
    lines = max((h.line for h in holes), default=1)
    wide_in = max([14.5, *(h.x_in + h.diameter_in / 2 for h in holes)])
    drawn = []
    for number in range(1, lines + 1):
        y = 44 + high * (number - 1)
        name = {1: "plate above", 2: "plate below"}.get(number, "beside it")
        drawn.append(element("rect", x=left, y=y, width=wide_in * scale, height=strip, fill=PALE, stroke=INK))
        drawn.append(label(left - 12, y + strip / 2, name, SIZE, anchor="end"))
        drawn += [_hole(h, left + h.x_in * scale, y + strip / 2, scale, plan) for h in holes if h.line == number]
    width, height = left + wide_in * scale + 30, 44 + high * lines + 6
    title = f"{panel}: {sum(len(h.cables) for h in holes)} cables in {len(holes)} holes"
    drawn.append(label(width / 2, 20, title, 14, bold=True))
    told = "; ".join(f"hole {h.hole}, {h.diameter_in:g} in: {len(h.cables)} x {h.cables[0]}" for h in holes)
    alt = f"Holes for the cables of panel {panel}, from the left edge of the panel. {told}."
    if not all(h.known for h in holes):
        drawn.append(label(left, height + 4, "dashed: the size of the cable is not known", SMALL, anchor="start"))
        height += 20
    return Drawing(document(width, height, "".join(drawn), title, alt), alt)


def _hole(hole: EntryHole, x: float, y: float, scale: float, plan: Plan) -> str:
    metric = plan.house.general.show_metric
    size = show_quantity(hole.diameter_in, "in", metric=metric, digits=0 if metric else 3)
    below = f"{len(hole.cables)} x {hole.cables[0].removeprefix('NM-B ') if hole.known else 'not NM'}"
    room = (hole.diameter_in + 1.0) * scale
    fit = min(SMALL, SMALL * room / max(text_width(below, SMALL), text_width(size, SMALL), 1))
    return (
        element(
            "circle",
            cx=x,
            cy=y,
            r=hole.diameter_in * scale / 2,
            fill=PAPER,
            stroke=INK,
            stroke_width=1.4,
            stroke_dasharray="none" if hole.known else "4 3",
        )
        + label(x, y, str(hole.hole), SIZE, bold=True)
        + label(x, y + 57, shortened(below, room, fit), fit)
        + label(x, y + 71, shortened(size, room, fit), fit)
    )
