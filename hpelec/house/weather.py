"""A weather file of a house folder: annual mean and range of the monthly means of the outdoor air.

Only the reader of a house uses this, so that a House holds numbers. The files are open formats: EPW (.epw) and the
CSV form of TMY3 (.csv). They are read by pvlib, an optional extra; what pvlib would stumble over is told by line.
"""

from __future__ import annotations

import calendar
import csv
import importlib
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hpelec.core.errors import InputProblem
from hpelec.core.units import convert

EXTRA = 'the extra "weather" is not installed: python -m pip install "hpelec[weather]"'
LARGEST = 60_000_000
COLDEST_C, HOTTEST_C = -90.0, 60.0
"""Outdoor air beyond these was never measured; an hour marked as missing (99.9) is beyond them too."""


@dataclass(frozen=True, slots=True)
class Form:
    """How one file format is laid out: header lines, cells of a data line, and where temperature and month stand."""

    reader: str
    header: int
    cells: int
    temperature: str
    temperature_cell: int


EPW = Form("read_epw", 8, 35, "temp_air", 6)
TMY3 = Form("read_tmy3", 2, 66, "temp_air", 31)
FORMS = {".epw": EPW, ".csv": TMY3}


@dataclass(frozen=True, slots=True)
class Climate:
    """What a weather file says of the air through the year."""

    mean_F: float
    range_dF: float
    months_F: tuple[float, ...]
    latitude_deg: float
    hours: int


def read_weather(path: Path, name: str) -> Climate | list[InputProblem]:
    """The climate of the file `path`, which the house calls `name`; or what is wrong with it, with the line."""
    form = FORMS.get(path.suffix.lower())
    if form is None:
        return [_problem(name, "not a weather file that can be read", "a name that ends with .epw, or .csv for TMY3")]
    if not path.is_file():
        return [_problem(name, "no such weather file in the house folder", "a file beside house.toml")]
    if path.stat().st_size > LARGEST:
        return [_problem(name, "the file is too large", f"at most {LARGEST:,} bytes")]
    if found := _by_line(path, name, form):
        return found
    try:
        readers = importlib.import_module("pvlib.iotools")
    except ImportError:
        return [_problem(name, EXTRA, "install it, or leave weather_file blank and enter mean_air_F and air_range_dF")]
    return _climate(path, name, form, readers)


def _by_line(path: Path, name: str, form: Form) -> list[InputProblem]:
    """The first line that is not as the format wants it."""
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        return [_problem(name, f"not UTF-8 text (byte {error.start})", "save it as UTF-8")]
    lines = text.splitlines()
    if len(lines) <= form.header:
        return [_problem(name, f"{len(lines)} lines", f"{form.header} header lines, then a line an hour")]
    if form is EPW and not lines[0].upper().startswith("LOCATION,"):
        return [_problem(name, "does not begin with LOCATION", "LOCATION, place, ... as in the EPW format", 1)]
    reader = csv.reader(lines[form.header :])
    for number, cells in enumerate(reader, form.header + 1):
        if len(cells) < form.cells:
            return [_problem(name, f"{len(cells)} cells", f"{form.cells} or more", number)]
        try:
            air_C = float(cells[form.temperature_cell])
        except ValueError:
            air_C = math.nan
        if not COLDEST_C <= air_C <= HOTTEST_C:
            said = f"air temperature {cells[form.temperature_cell]!r}"
            return [_problem(name, said, f"a number from {COLDEST_C:g} to {HOTTEST_C:g} [C]", number)]
    return []


def _climate(path: Path, name: str, form: Form, readers: Any) -> Climate | list[InputProblem]:
    try:
        more = {"map_variables": True} if form is TMY3 else {}
        data, place = getattr(readers, form.reader)(str(path), **more)
        air, latitude = data[form.temperature], float(place["latitude"])
    except Exception as error:  # pvlib and pandas raise many kinds for a file they cannot read
        return [_problem(name, f"cannot be read ({type(error).__name__}: {error})", "a file in the format of its name")]
    months = air.groupby(air.index.month)
    counts, means = months.count(), months.mean()
    short = [calendar.month_name[m] for m in range(1, 13) if m not in counts.index or counts[m] < 24 * 28]
    if short:
        return [_problem(name, f"{short[0]} is not whole", "every hour of all twelve months")]
    if not -90 <= latitude <= 90:
        return [_problem(name, f"latitude {latitude:g}", "-90 to 90 in the first line", 1)]
    means_F = tuple(convert(float(means[m]), "C", "F") for m in range(1, 13))
    mean_F = convert(float(air.mean()), "C", "F")
    return Climate(mean_F, max(means_F) - min(means_F), means_F, latitude, int(counts.sum()))


def _problem(name: str, said: str, allowed: str, line: int | None = None) -> InputProblem:
    return InputProblem(name, line, "", "", said, allowed)
