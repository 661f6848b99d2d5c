"""An editable table of one part of the house: every cell checked by the same reader as the files, with undo."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as widgets

from hpelec.core.errors import InputErrors
from hpelec.house.check import check
from hpelec.house.columns import Column, columns_of
from hpelec.house.model import TABLES, House
from hpelec.house.parse import cell_text, parse_rows
from hpelec.plan import Plan
from hpelec.screens.problems import pictures_html
from hpelec.screens.safely import alert, shown, status
from hpelec.screens.showing import told_table

CELL = {"width": "9em"}
Told = Callable[[Plan], str]


class TableEditor:
    """The state of one editable table: the house now, the houses before (for undo), the cells on the screen."""

    def __init__(
        self, plan: Plan, part: str, columns: Sequence[str], tells: Sequence[str], below: Told | None = None
    ) -> None:
        self.plan, self.part, self.tells, self.below = plan, part, tells, below
        self.file, self.record = TABLES[part]
        wanted = ["id", *(c for c in columns if c != "id")]
        by_name = {c.name: c for c in columns_of(self.record)}
        self.columns: list[Column] = [by_name[name] for name in wanted]
        self.before: list[Plan] = []
        self.said = widgets.HTML()
        self.answer = widgets.HTML(self._answer())
        self.undo = widgets.Button(description="Undo", disabled=True, tooltip="take the last change back")
        self.undo.on_click(shown(self.said)(self._undo))
        self.cells: dict[tuple[str, str], Any] = {}
        self.grid = widgets.GridBox(layout={"grid_template_columns": f"repeat({len(self.columns)}, max-content)"})
        self.which = widgets.Dropdown(description="row", layout={"width": "20em"})
        self.new_id = widgets.Text(placeholder="id of the new row", layout=CELL)
        self.copy = widgets.Button(description="Copy row", tooltip="add a row like the one chosen, with the new id")
        self.drop = widgets.Button(description="Remove row", tooltip="take the chosen row out")
        self.copy.on_click(shown(self.said)(self._copy))
        self.drop.on_click(shown(self.said)(self._drop))
        self._fill()
        rows = widgets.HBox([self.which, self.new_id, self.copy, self.drop])
        self.box = widgets.VBox([self.grid, widgets.HBox([self.undo, self.said]), rows, self.answer])

    @property
    def house(self) -> House:
        """The house as edited so far."""
        return self.plan.house

    def change(self, row: str, column: str, text: str) -> None:
        """Put `text` into one cell; raises InputErrors, and changes nothing, when it is not allowed."""
        rows = [self._texts(record) for record in getattr(self.house, self.part)]
        for cells in rows:
            if cells["id"] == row:
                cells[column] = text
        self._take(rows)

    def add(self, like: str, new: str) -> None:
        """Add a row with the id `new`, like the row `like`; raises InputErrors, and changes nothing, if it may not."""
        records = getattr(self.house, self.part)
        self._take([*map(self._texts, records), {**self._texts(self._record(like)), "id": new}])

    def remove(self, row: str) -> None:
        """Take a row out; raises InputErrors, and changes nothing, where another row still names it."""
        self._take([self._texts(r) for r in getattr(self.house, self.part) if r.id != row])

    def _texts(self, record: Any) -> dict[str, str]:
        return {c.name: cell_text(getattr(record, c.name)) for c in columns_of(self.record)}

    def _take(self, rows: Sequence[dict[str, str]]) -> None:
        """Read the rows as the files are read, check the house, and design it anew."""
        parsed = parse_rows(self.record, [(None, cells) for cells in rows], f"{self.file}.csv")
        if parsed.problems:
            raise InputErrors(parsed.problems)
        house = self.house.changed(**{self.part: tuple(parsed.records)})
        if problems := check(house):
            raise InputErrors(problems)
        plan = self.plan.redesign(house)
        self.before.append(self.plan)
        self.plan = plan

    def _fill(self) -> None:
        heads = [widgets.HTML(f"<b>{c.name}</b>", tooltip=c.meaning) for c in self.columns]
        cells: list[Any] = []
        self.cells.clear()
        for record in getattr(self.house, self.part):
            cells.append(widgets.HTML(f"<code>{record.id}</code>"))
            for column in self.columns[1:]:
                cells.append(self._cell(record, column))
        self.grid.children = [*heads, *cells]
        self.which.options = [record.id for record in getattr(self.house, self.part)]

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
                told = alert("\n".join(map(str, errors.problems)) + f"\nThe value {now!r} is kept.")
                self.said.value = told + pictures_html(errors.problems)
                made.value = now
                self.answer.value = self._answer()
                return
            self._show(f"{record.id}, {column.name}: {now!r} became {event['new']!r}.")

        made.observe(edited, names="value")
        return made

    def _record(self, row: str) -> Any:
        return next(r for r in getattr(self.house, self.part) if r.id == row)

    def _undo(self, _button: Any = None) -> None:
        if self.before:
            rows = self._ids()
            self.plan = self.before.pop()
            if rows != self._ids():
                self._fill()
            for (row, column), cell in self.cells.items():
                cell.value = cell_text(getattr(self._record(row), column))
            self._show("The last change is taken back.")

    def _ids(self) -> list[str]:
        return [r.id for r in getattr(self.house, self.part)]

    def _copy(self, _button: Any = None) -> None:
        new, like = self.new_id.value.strip(), self.which.value
        if like is None:
            raise ValueError("there is no row to copy; add one in the file")
        self._with_rows(lambda: self.add(like, new), f"Row {new} added, like {like}.")

    def _drop(self, _button: Any = None) -> None:
        row = self.which.value
        self._with_rows(lambda: self.remove(row), f"Row {row} taken out.")

    def _with_rows(self, change: Callable[[], None], text: str) -> None:
        """Do what changes the number of rows; say why not where it may not be."""
        try:
            change()
        except InputErrors as errors:
            told = alert("\n".join(map(str, errors.problems)) + "\nNothing is changed.")
            self.said.value = told + pictures_html(errors.problems)
            return
        self._fill()
        self._show(text)

    def _answer(self) -> str:
        return told_table(self.tells, self.plan) + (self.below(self.plan) if self.below else "")

    def _show(self, text: str) -> None:
        self.undo.disabled = not self.before
        ran = ", ".join(self.plan.recomputed) or "nothing"
        self.said.value = status(f"{text} Recomputed: {ran}.")
        self.answer.value = self._answer()


def edit_table(
    plan: Plan, part: str, columns: Sequence[str], tells: Sequence[str], *, below: Told | None = None
) -> widgets.VBox:
    """An editable table of one part of the plan's house, what follows below it.

    part: attribute of House, e.g. "appliances". columns: the columns to show beside the id. tells: paths of the results
    to show, see `showing.told_value`. below: HTML of the plan as edited, e.g. `figures_loads_amps.lines_html`.
    """
    return TableEditor(plan, part, columns, tells, below).box
