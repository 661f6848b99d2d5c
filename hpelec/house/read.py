"""A house folder to a House: every problem of every file reported at once, every default listed."""

from __future__ import annotations

import csv
import io
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from hpelec.core.errors import InputErrors, InputProblem, nearest
from hpelec.core.findings import Assumption
from hpelec.house.check import check
from hpelec.house.check_walls import told_assemblies, told_gaps, told_voids
from hpelec.house.columns import columns_of
from hpelec.house.defaults import default_assemblies, default_levels, default_panels, default_spaces
from hpelec.house.model import LISTS, NEEDED_TABLES, SECTIONS, TABLES, House
from hpelec.house.parse import Parsed, cell_text, parse_row, parse_rows
from hpelec.house.sections import Assembly, Layer, Place
from hpelec.house.weather import read_weather

MOST_ROWS = 20_000
MOST_BYTES = 20_000_000


def read_house(folder: str | Path) -> House:
    """Read and check a house folder. Raises InputErrors with every problem found."""
    path = Path(folder)
    if not path.is_dir():
        raise InputErrors([InputProblem(str(folder), None, "", "", "no such folder", "a folder with house.toml in it")])
    return _Reading(path).house()


class _Reading:
    """One pass over one folder: collects parts, line numbers, problems and assumptions."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.problems: list[InputProblem] = []
        self.assumptions: list[Assumption] = []
        self.lines: dict[str, dict[str, int | None]] = {}

    def house(self) -> House:
        toml = self._toml()
        parts: dict[str, Any] = {**dict.fromkeys(SECTIONS), **dict.fromkeys(LISTS, ())}
        if toml is not None:
            self._unknown_sections(toml)
            parts |= {a: self._section(name, record, toml) for a, (name, record) in SECTIONS.items()}
            parts |= {name: self._list(name, record, toml) for name, record in LISTS.items()}
        parts |= {a: self._table(a, file, record) for a, (file, record) in TABLES.items()}
        place = parts["place"]
        self._unknown_files(place.weather_file if place else "")
        parts["place"] = self._with_weather(place) if place and place.weather_file else place
        house = self._with_defaults(House(**parts))
        if problems := [*self.problems, *check(house, self.lines, self._incomplete())]:
            raise InputErrors(problems)
        return house.changed(
            assumptions=(*self.assumptions, *told_gaps(house), *told_voids(house), *told_assemblies(house))
        )

    def _incomplete(self) -> frozenset[str]:
        """Parts of which a row or all may be missing because it could not be read: an absence there proves nothing."""
        bad = {p.file for p in self.problems}
        return frozenset(
            [a for a, (file, _) in TABLES.items() if f"{file}.csv" in bad]
            + ([*LISTS, *SECTIONS] if "house.toml" in bad else [])
        )

    def _problem(
        self,
        file: str,
        problem: str,
        *,
        row: int | None = None,
        column: str = "",
        value: str = "",
        allowed: str = "",
        suggestion: str = "",
    ) -> None:
        self.problems.append(InputProblem(file, row, column, value, problem, allowed, suggestion))

    def _bytes(self, name: str, *, needed: bool) -> str | None:
        path = self.folder / name
        if not path.is_file():
            if needed:
                self._problem(name, "the file is missing", allowed="see `hpelec new FOLDER` for a starter")
            return None
        if path.stat().st_size > MOST_BYTES:
            self._problem(name, "the file is too large", allowed=f"at most {MOST_BYTES:,} bytes")
            return None
        try:
            return path.read_bytes().decode("utf-8-sig")
        except UnicodeDecodeError as error:
            self._problem(name, f"not UTF-8 text (byte {error.start})", allowed="save it as UTF-8")
            return None

    def _toml(self) -> dict[str, Any] | None:
        text = self._bytes("house.toml", needed=True)
        if text is None:
            return None
        try:
            return tomllib.loads(text)
        except (tomllib.TOMLDecodeError, RecursionError) as error:
            self._problem("house.toml", f"not TOML: {error}")
            return None

    def _unknown_sections(self, toml: Mapping[str, Any]) -> None:
        known = [name for name, _ in SECTIONS.values()] + list(LISTS)
        for name in toml:
            if name not in known:
                self._problem(
                    "house.toml",
                    "no such section",
                    column=name,
                    allowed=", ".join(known),
                    suggestion=nearest(name, known),
                )

    def _section(self, name: str, record: type, toml: Mapping[str, Any]) -> Any:
        cells = toml.get(name, {})
        if not isinstance(cells, dict):
            self._problem("house.toml", "a section is wanted", column=name, allowed=f"[{name}]")
            return None
        return self._from_toml(name, record, cells)

    def _from_toml(self, where: str, record: type, cells: Mapping[str, Any], nested: tuple[str, ...] = ()) -> Any:
        columns = columns_of(record)
        known = [c.name for c in columns]
        for name in cells:
            if name not in known and name not in nested:
                self._problem(
                    "house.toml",
                    "no such entry",
                    column=f"{where}.{name}",
                    allowed=", ".join(known),
                    suggestion=nearest(name, known),
                )
        defaults: dict[str, int] = {}
        made, problems = parse_row(record, columns, cells, "house.toml", None, defaults)
        for p in problems:
            self._problem(
                p.file,
                p.problem,
                column=f"{where}.{p.column}",
                value=p.value,
                allowed=p.allowed,
                suggestion=p.suggestion,
            )
        if where in [name for name, _ in SECTIONS.values()]:
            for c in columns:
                if c.name in defaults:
                    self.assumptions.append(
                        Assumption(f"house.toml, {where}.{c.name}", cell_text(c.default), c.meaning)
                    )
        return made

    def _list(self, name: str, record: type, toml: Mapping[str, Any]) -> tuple[Any, ...]:
        items = toml.get(name, [])
        if not isinstance(items, list) or not all(isinstance(i, dict) for i in items):
            self._problem("house.toml", "an array of tables is wanted", column=name, allowed=f"[[{name}]]")
            return ()
        made, seen = [], set()
        for number, cells in enumerate(items, 1):
            nested = ("layers",) if record is Assembly else ()
            item = self._from_toml(f"{name} {number}", record, cells, nested)
            if item is None:
                continue
            if item.id in seen:
                self._problem(
                    "house.toml",
                    "this id stands already above",
                    column=f"{name} {number}.id",
                    value=item.id,
                    allowed="a unique id",
                )
            seen.add(item.id)
            made.append(self._with_layers(item, cells, f"{name} {number}") if nested else item)
        return tuple(made)

    def _with_layers(self, item: Assembly, cells: Mapping[str, Any], where: str) -> Assembly:
        layers = cells.get("layers", [])
        if not isinstance(layers, list) or not layers or not all(isinstance(x, dict) for x in layers):
            self._problem(
                "house.toml",
                "layers from inside to outside are needed",
                column=f"{where}.layers",
                allowed="[[assemblies.layers]] tables",
            )
            return item
        made = [self._from_toml(f"{where} layer {n}", Layer, x) for n, x in enumerate(layers, 1)]
        if sum(1 for layer in made if layer and layer.air_barrier) != 1 and None not in made:
            self._problem(
                "house.toml",
                "exactly one layer must be the air barrier",
                column=f"{where}.layers",
                allowed="air_barrier = true on one layer",
            )
        return Assembly(id=item.id, surface=item.surface, layers=tuple(x for x in made if x is not None))

    def _table(self, attribute: str, file: str, record: type) -> tuple[Any, ...]:
        needed = attribute in NEEDED_TABLES
        text = self._bytes(f"{file}.csv", needed=needed)
        if text is None:
            return ()
        told = len(self.problems)
        rows = self._csv(f"{file}.csv", text, record)
        parsed = parse_rows(record, rows, f"{file}.csv")
        self.problems += parsed.problems
        if needed and not rows and len(self.problems) == told:
            self._problem(f"{file}.csv", "the table has no rows", allowed="at least one row")
        self._told_defaults(file, record, parsed)
        self.lines[attribute] = {r.id: n for r, n in zip(parsed.records, parsed.lines, strict=True)}
        return tuple(parsed.records)

    def _told_defaults(self, file: str, record: type, parsed: Parsed) -> None:
        for c in columns_of(record):
            if count := parsed.defaults.get(c.name):
                self.assumptions.append(
                    Assumption(f"{file}.csv, {c.name}", f"{cell_text(c.default)} ({count} rows left blank)", c.meaning)
                )

    def _csv(self, file: str, text: str, record: type) -> list[tuple[int | None, dict[str, str]]]:
        known = [c.name for c in columns_of(record)]
        lines = _Lines(text)
        reader = csv.reader(lines, strict=True)
        header: list[str] = []
        rows: list[tuple[int | None, dict[str, str]]] = []
        try:
            for cells in reader:
                lines.between_rows = True
                if not any(c.strip() for c in cells):
                    continue
                if not header:
                    header = [c.strip() for c in cells]
                    if not self._header(file, header, known, record):
                        return []
                elif len(cells) != len(header):
                    self._problem(
                        file,
                        f"{len(cells)} cells under {len(header)} columns",
                        row=reader.line_num,
                        allowed='a cell for each column, empty or not; a text with a comma in it stands in "quotes"',
                    )
                else:
                    rows.append((reader.line_num, dict(zip(header, cells, strict=True))))
                if len(rows) > MOST_ROWS:
                    self._problem(file, "too many rows", allowed=f"at most {MOST_ROWS:,}")
                    return []
        except csv.Error as error:
            self._problem(file, f"not readable as CSV: {error}", row=reader.line_num)
        if not header:
            self._problem(file, "the file is empty", allowed="a header row: " + ", ".join(known))
        return rows

    def _header(self, file: str, header: list[str], known: list[str], record: type) -> bool:
        if len(header) == 1 and (";" in header[0] or "\t" in header[0]):
            self._problem(
                file,
                "columns are not separated by commas",
                row=1,
                value=header[0][:60],
                allowed="save it with commas as separators",
            )
            return False
        bad = False
        for name in header:
            if name not in known:
                self._problem(
                    file, "no such column", column=name, allowed=", ".join(known), suggestion=nearest(name, known)
                )
                bad = True
            elif header.count(name) > 1:
                self._problem(file, "the column stands twice", column=name)
                bad = True
        for c in columns_of(record):
            if c.required and c.name not in header:
                self._problem(file, "the column is missing", column=c.name, allowed=c.allowed_text)
                bad = True
        return not bad

    def _with_weather(self, place: Place) -> Place:
        """The place with the air temperatures of its weather file, which is then no longer needed."""
        name = place.weather_file
        if Path(name).name != name:
            self._problem("house.toml", "a plain file name is wanted", column="place.weather_file", value=name[:80])
            return place
        found = read_weather(self.folder / name, name)
        if isinstance(found, list):
            self.problems += found
            return place
        said = f"mean {found.mean_F:.2f} F, monthly means {min(found.months_F):.2f} to {max(found.months_F):.2f} F"
        why = (
            f"{found.hours:,} hourly values of {name}, taken instead of mean_air_F {place.mean_air_F:g} and "
            f"air_range_dF {place.air_range_dF:g}; the file stands for latitude {found.latitude_deg:g}, "
            f"the house for {place.latitude_deg:g}"
        )
        self.assumptions.append(Assumption("house.toml, place.weather_file", said, why))
        limits = {c.name: c for c in columns_of(Place)}
        for column, value in (("mean_air_F", found.mean_F), ("air_range_dF", found.range_dF)):
            if not limits[column].low <= value <= limits[column].high:
                self._problem(name, f"{column} {value:.1f}", allowed=limits[column].allowed_text)
        return replace(
            place,
            mean_air_F=found.mean_F,
            air_range_dF=found.range_dF,
            weather_file="",
            climate_source=f"weather file {name}",
        )

    def _unknown_files(self, weather_file: str) -> None:
        known = [f"{file}.csv" for file, _ in TABLES.values()]
        for path in sorted(self.folder.iterdir()):
            if path.suffix.lower() == ".csv" and path.name not in (*known, weather_file):
                self._problem(
                    path.name, "no such table", allowed=", ".join(known), suggestion=nearest(path.name, known)
                )

    def _with_defaults(self, house: House) -> House:
        for fill in (default_levels, default_spaces, default_assemblies, default_panels):
            house, told = fill(house)
            self.assumptions.extend(told)
        return house


class _Lines:
    """The lines of a CSV text for the csv module; a remark (a line that begins with #) becomes an empty line.

    Only between rows: inside a quoted cell a # is text. The reader sets `between_rows` after each row.
    """

    def __init__(self, text: str) -> None:
        self._lines = io.StringIO(text.replace("\r\n", "\n").replace("\r", "\n"), newline="")
        self.between_rows = True

    def __iter__(self) -> _Lines:
        return self

    def __next__(self) -> str:
        line = next(self._lines)
        if self.between_rows and line.lstrip().startswith("#"):
            return "\n"
        self.between_rows = False
        return line
