"""The reader of published tables under `data/standards`; refuses a row without source and accuracy."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from hpelec.core.citing import ACCURACY, Citation
from hpelec.core.errors import TableError

CITED = ("source", "locator", "edition", "accuracy")


def data_folder() -> Path:
    """The folder `data`: inside the package when installed, beside it in a checkout."""
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "data", package.parent / "data"):
        if (folder / "standards").is_dir():
            return folder
    raise TableError("the folder data/standards is missing from this installation")


class Row:
    """One row of a published table: texts by column name, and the citation that goes with them."""

    __slots__ = ("_cells", "place")

    def __init__(self, cells: dict[str, str], place: str) -> None:
        self._cells = cells
        self.place = place

    def text(self, column: str) -> str:
        """The cell as it stands, without outer blanks."""
        try:
            return self._cells[column]
        except KeyError:
            raise TableError(f"{self.place}: no column {column!r}; has {', '.join(self._cells)}") from None

    def number(self, column: str) -> float:
        """The cell as a number; TableError when it is blank, not a number, or not finite."""
        text = self.text(column)
        try:
            value = float(text)
        except ValueError:
            raise TableError(f"{self.place}, column {column}: {text!r} is not a number") from None
        if not math.isfinite(value):
            raise TableError(f"{self.place}, column {column}: {text!r} is not a finite number")
        return value

    def number_or_none(self, column: str) -> float | None:
        """The cell as a number, or None when it is blank (not published, or not permitted)."""
        return self.number(column) if self.text(column) else None

    @property
    def citation(self) -> Citation:
        """Source, locator, edition and accuracy of this row."""
        return Citation(*(self.text(c) for c in CITED))


class Table:
    """A published table: its name and its rows."""

    def __init__(self, name: str, rows: tuple[Row, ...], columns: tuple[str, ...]) -> None:
        self.name = name
        self.rows = rows
        self.columns = columns

    def __iter__(self) -> Iterator[Row]:
        return iter(self.rows)

    def where(self, **cells: str) -> tuple[Row, ...]:
        """Rows whose named cells hold exactly the texts given."""
        return tuple(r for r in self.rows if all(r.text(c) == v for c, v in cells.items()))

    def one(self, **cells: str) -> Row:
        """The one row whose cells hold the texts given; TableError names what is there otherwise."""
        found = self.where(**cells)
        if len(found) == 1:
            return found[0]
        has = "; ".join(f"{c}: {', '.join(sorted({r.text(c) for r in self.rows}))[:200]}" for c in cells)
        raise TableError(f"table {self.name}: {len(found)} rows for {cells}; the table has {has}")


@cache
def table(name: str) -> Table:
    """The table `data/standards/NAME.csv`, e.g. "loads/table_220_55_household_cooking"."""
    return read_table(data_folder() / "standards" / f"{name}.csv", name)


def read_table(path: Path, name: str) -> Table:
    """Read and check one CSV file: every row must name source, locator, edition and an accuracy word."""
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            reader = csv.reader(file, strict=True)
            columns = tuple(next(reader, ()))
            lines = [(reader.line_num, cells) for cells in reader if cells]
    except FileNotFoundError:
        raise TableError(f"no published table {name!r} ({path.name} is missing)") from None
    except (csv.Error, UnicodeDecodeError) as error:
        raise TableError(f"table {name} cannot be read: {error}") from None
    missing = [c for c in CITED if c not in columns]
    if missing:
        raise TableError(f"table {name}: columns missing: {', '.join(missing)}")
    for number, cells in lines:
        if len(cells) != len(columns):
            raise TableError(f"table {name}, line {number}: {len(cells)} cells under {len(columns)} columns")
    rows = tuple(
        Row({k: c.strip() for k, c in zip(columns, cells, strict=True)}, f"table {name}, line {number}")
        for number, cells in lines
    )
    for row in rows:
        _check_cited(row)
    return Table(name, rows, columns)


def _check_cited(row: Row) -> None:
    for column in CITED:
        if not row.text(column):
            raise TableError(f"{row.place}: empty {column}; every published row must name it")
    if row.text("accuracy") not in ACCURACY:
        raise TableError(f"{row.place}: accuracy {row.text('accuracy')!r}; allowed: {', '.join(ACCURACY)}")
