"""An editable table of one part of the house: every cell checked by the same reader as the files, with undo."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import ipywidgets as widgets

from hpelec.core.errors import InputErrors
from hpelec.house.check import check
from hpelec.house.columns import Column, columns_of
from hpelec.house.model import TABLES, House
from hpelec.house.parse import cell_text, parse_rows
from hpelec.plan import Plan
from hpelec.screens.safely import alert, shown, status
from hpelec.screens.showing import told_table

CELL = {"width": "9em"}


class TableEditor:
    """The state of one editable table: the house now, the houses before (for undo), the cells on the screen."""

    def __init__(self, plan: Plan, part: str, columns: Sequence[str], tells: Sequence[str]) -> None:
        self.plan, self.part, self.tells = plan, part, tells
        self.file, self.record = TABLES[part]
        wanted = ["id", *(c for c in columns if c != "id")]
        by_name = {c.name: c for c in columns_of(self.record)}
        self.columns: list[Column] = [by_name[name] for name in wanted]
        self.before: list[Plan] = []
        self.said = widgets.HTML()
        self.answer = widgets.HTML(told_table(tells, plan))
        self.undo = widgets.Button(description="Undo", disabled=True, tooltip="take the last change back")
        self.undo.on_click(shown(self.said)(self._undo))
        self.cells: dict[tuple[str, str], Any] = {}
        self.grid = widgets.GridBox(layout={"grid_template_columns": f"repeat({len(self.columns)}, max-content)"})
        self._fill()
        self.box = widgets.VBox([self.grid, widgets.HBox([self.undo, self.said]), self.answer])

    @property
    def house(self) -> House:
        """The house as edited so far."""
        return self.plan.house

    def change(self, row: str, column: str, text: str) -> None:
        """Put `text` into one cell; raises InputErrors, and changes nothing, when it is not allowed."""
        old = getattr(self.house, self.part)
        rows = []
        for record in old:
            cells = {c.name: cell_text(getattr(record, c.name)) for c in columns_of(self.record)}
            if record.id == row:
                cells[column] = text
            rows.append((None, cells))
        parsed = parse_rows(self.record, rows, f"{self.file}.csv")
        if parsed.problems:
            raise InputErrors(parsed.problems)
        house = self.house.changed(**{self.part: tuple(parsed.records)})
        if problems := check(house):
            raise InputErrors(problems)
        self.before.append(self.plan)
        self.plan = self.plan.redesign(house)

    def _fill(self) -> None:
        heads = [widgets.HTML(f"<b>{c.name}</b>", tooltip=c.meaning) for c in self.columns]
        cells: list[Any] = []
        self.cells.clear()
        for record in getattr(self.house, self.part):
            cells.append(widgets.HTML(f"<code>{record.id}</code>"))
            for column in self.columns[1:]:
                cells.append(self._cell(record, column))
        self.grid.children = [*heads, *cells]

    def _cell(self, record: Any, column: Column) -> Any:
        text = cell_text(getattr(record, column.name))
        made = widgets.Text(value=text, layout=CELL, continuous_update=False, tooltip=f"{record.id}, {column.name}")
        self.cells[record.id, column.name] = made

        @shown(self.said)
        def edited(event: dict[str, Any]) -> None:
            now = cell_text(getattr(self._record(record.id), column.name))
            if event["new"] == now:
                return
            self.answer.value = self.said.value = ""
            try:
                self.change(record.id, column.name, event["new"])
            except InputErrors as errors:
                self.said.value = alert("\n".join(map(str, errors.problems)) + f"\nThe value {now!r} is kept.")
                made.value = now
                self.answer.value = told_table(self.tells, self.plan)
                return
            self._show(f"{record.id}, {column.name}: {now!r} became {event['new']!r}.")

        made.observe(edited, names="value")
        return made

    def _record(self, row: str) -> Any:
        return next(r for r in getattr(self.house, self.part) if r.id == row)

    def _undo(self, _button: Any = None) -> None:
        if self.before:
            self.plan = self.before.pop()
            for (row, column), cell in self.cells.items():
                cell.value = cell_text(getattr(self._record(row), column))
            self._show("The last change is taken back.")

    def _show(self, text: str) -> None:
        self.undo.disabled = not self.before
        ran = ", ".join(self.plan.recomputed) or "nothing"
        self.said.value = status(f"{text} Recomputed: {ran}.")
        self.answer.value = told_table(self.tells, self.plan)


def edit_table(plan: Plan, part: str, columns: Sequence[str], tells: Sequence[str]) -> widgets.VBox:
    """An editable table of one part of the plan's house, what follows below it.

    part: attribute of House, e.g. "appliances". columns: the columns to show beside the id. tells: paths of the results
    to show, see `showing.told_value`.
    """
    return TableEditor(plan, part, columns, tells).box
