"""What-if on one value of the house, and the exercise that checks a student's answer."""

from __future__ import annotations

import html
import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from hpelec.core.working import show_number
from hpelec.house.columns import columns_of
from hpelec.house.model import SECTIONS, TABLES, House
from hpelec.plan import Plan
from hpelec.screens.safely import alert, shown, status
from hpelec.screens.showing import html_table, told_table

WIDE = {"description_width": "initial"}
Told = Callable[[Plan], str]


class WhatIf:
    """One number of the house on a slider; what follows beside what was."""

    def __init__(
        self,
        plan: Plan,
        part: str,
        column: str,
        tells: Sequence[str],
        picture: Told | None,
        low: float,
        high: float,
        step: float,
    ) -> None:
        self.plan, self.part, self.column, self.tells, self.picture = plan, part, column, tells, picture
        label = next(c.meaning for c in columns_of(self._record_type()) if c.name == column)
        self.rows = widgets.Dropdown(options=self._choices(), description="which", style=WIDE)
        self.slider = widgets.FloatSlider(
            value=self._value(plan.house),
            min=low,
            max=high,
            step=step,
            style=WIDE,
            description=column,
            layout={"width": "36em"},
            readout=False,
            continuous_update="routes" not in plan.results,  # a whole house routed anew at every pixel would lag
        )
        self.typed = widgets.BoundedFloatText(
            value=self.slider.value, min=low, max=high, step=step, description=f"or type {column}", style=WIDE
        )
        widgets.link((self.slider, "value"), (self.typed, "value"))
        self.said, self.table, self.drawing = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self.slider.observe(shown(self.said)(self._moved), names="value")
        self.rows.observe(shown(self.said)(self._other_row), names="value")
        heading = widgets.HTML(f"<b>What if</b> {html.escape(label)} were different?")
        rows = [self.rows] if part in TABLES else []
        self.box = widgets.VBox([heading, *rows, self.slider, self.typed, self.said, self.table, self.drawing])
        self._moved()

    def _record_type(self) -> type:
        return (TABLES.get(self.part) or SECTIONS[self.part])[1]

    def _choices(self) -> list[tuple[str, str]]:
        if self.part not in TABLES:
            return []
        rows = [r for r in getattr(self.plan.house, self.part) if getattr(r, self.column) is not None]
        return [(f"{r.id}: {getattr(r, 'name', '')}", r.id) for r in rows]

    def _value(self, house: House) -> float:
        holder = getattr(house, self.part)
        if self.part in TABLES:
            holder = next(r for r in holder if r.id == self.rows.value)
        return float(getattr(holder, self.column))

    def changed_house(self, value: float) -> House:
        """The plan's house with the chosen value replaced."""
        holder = getattr(self.plan.house, self.part)
        if self.part not in TABLES:
            return self.plan.house.changed(**{self.part: replace(holder, **{self.column: value})})
        rows = tuple(replace(r, **{self.column: value}) if r.id == self.rows.value else r for r in holder)
        return self.plan.house.changed(**{self.part: rows})

    def _other_row(self, _event: Any = None) -> None:
        self.slider.value = self._value(self.plan.house)
        self._moved()

    def _moved(self, _event: Any = None) -> None:
        self.said.value = self.table.value = self.drawing.value = ""
        tried = self.plan.redesign(self.changed_house(self.slider.value))
        was = f"{show_number(self._value(self.plan.house))}"
        row = self.rows.value if self.part in TABLES else ""
        heads = (f"now ({was})", f"tried ({show_number(self.slider.value)})")
        self.table.value = told_table(self.tells, self.plan, tried, heads=heads, row=row)
        if self.picture:
            self.drawing.value = self.picture(tried)
        self.said.value = status(
            f"{self.column} {was} tried as {show_number(self.slider.value)}; "
            f"recomputed: {', '.join(tried.recomputed) or 'nothing'}."
        )


def what_if(
    plan: Plan,
    part: str,
    column: str,
    tells: Sequence[str],
    *,
    low: float,
    high: float,
    step: float,
    picture: Told | None = None,
) -> widgets.VBox:
    """A slider on one value of the house, and what follows from it beside what was.

    part: attribute of House ("heaters", "place"); a table lets you choose the row. column: the value. tells: paths of
    the results to show, see `showing.told_value`. low, high, step: the slider's range. picture: HTML of the tried plan.
    """
    return WhatIf(plan, part, column, tells, picture, low, high, step).box


def exercise(question: str, expected: float, unit: str, *, within: float, hint: str) -> widgets.VBox:
    """A question with a box for the student's number; says whether it is right, and the hint when it is not.

    expected: computed by the library in the cell. within: largest difference accepted.
    """
    if not math.isfinite(expected):
        raise ValueError(f"the expected answer must be finite, got {expected!r}")
    told = widgets.HTML(f"<p><b>Exercise.</b> {html.escape(question)}</p>")
    given = widgets.Text(description=f"answer, {unit}", style=WIDE, continuous_update=False)
    said = widgets.HTML()

    @shown(said)
    def judged(event: dict[str, Any]) -> None:
        said.value = ""
        said.value = judge(event["new"], expected, unit, within, hint)

    given.observe(judged, names="value")
    return widgets.VBox([told, given, said])


def judge(given: str, expected: float, unit: str, within: float, hint: str) -> str:
    """HTML that says whether the number given is right."""
    try:
        value = float(given.replace(",", ""))
    except ValueError:
        return alert(f"{given!r} is not a number.")
    if not math.isfinite(value):
        return alert("A finite number is wanted.")
    if abs(value - expected) <= within:
        return status(f"Right: {show_number(round(expected, 4))} {unit}.")
    return alert(f"Not yet. Hint: {hint}")


class SealedSoFar:
    """How far the house is when the first holes of the sealing list are sealed."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        count = len(plan.sealing.items)
        self.slider = widgets.IntSlider(value=0, min=0, max=count, description="holes sealed", style=WIDE)
        self.said, self.table = widgets.HTML(), widgets.HTML()
        self.slider.observe(shown(self.said)(self._moved), names="value")
        self.box = widgets.VBox([self.slider, self.said, self.table])
        self._moved()

    def _moved(self, _event: Any = None) -> None:
        self.said.value = self.table.value = ""
        items, air = self.plan.sealing.items, self.plan.airtightness
        done = items[: self.slider.value]
        left = air.unsealed.best_cfm50 - sum(i.removes_cfm50 for i in done)
        self.said.value = status(
            f"{len(done)} of {len(items)} sealed: {left:.1f} cfm at 50 Pa left in electrical holes (best estimate), "
            f"{100 * left / air.limit_cfm50:.1f} % of the flow that the target allows for the whole house."
        )
        rows = [tuple(html.escape(t) for t in (i.tag, i.room, i.what, i.how)) for i in items[self.slider.value :][:5]]
        self.table.value = html_table(("next", "room", "what", "how"), rows)


def sealed_so_far(plan: Plan) -> widgets.VBox:
    """A slider over the sealing list: leakage left when its first holes are sealed, and what comes next."""
    return SealedSoFar(plan).box
