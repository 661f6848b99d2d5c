"""Bad input of hot water in depth: every new column, the prices, and weather files, told with file and line."""

from __future__ import annotations

import dataclasses
import sys
from pathlib import Path

import pytest

from hpelec.core.units import convert
from hpelec.house.read import read_house
from hpelec.house.sections import Prices
from hpelec.house.write import write_house
from tests.adapters_hotwater_depth import epw_lines
from tests.test_bad_input import TOML, Bad, Edit, bad, both, cell, complaints, entry, read_with, whole

YEAR_C = [-10.0, -8.0, -2.0, 5.0, 12.0, 17.0, 20.0, 19.0, 14.0, 7.0, -1.0, -8.0]
GOOD_YEAR = epw_lines(YEAR_C, 45.0)
NAMED = entry("place", 'weather_file = "year.epw"')
HEATERS, POINTS = "heaters.csv", "hot_water.csv"


def year(change: dict[int, str], *, until: int | None = None) -> Edit:
    """The invented year beside a house that names it, some lines (counted from 1) changed."""
    lines = [change.get(i, line) for i, line in enumerate(GOOD_YEAR[:until], 1)]
    return both(NAMED, _made("year.epw"), whole("year.epw", *lines))


def _made(name: str) -> Edit:
    def edit(files: dict[str, bytes]) -> None:
        files[name] = b""

    return edit


def with_air(line: int, air: str) -> dict[int, str]:
    cells = GOOD_YEAR[line - 1].split(",")
    return {line: ",".join([*cells[:6], air, *cells[7:]])}


CASES: dict[str, tuple[Edit, list[Bad]]] = {
    "factor below nothing": (cell(HEATERS, "tank", "uef", "0"), [bad(HEATERS, 2, "uef", "outside", "> 0")]),
    "factor as a word": (cell(HEATERS, "tank", "uef", "good"), [bad(HEATERS, 2, "uef", "not a number")]),
    "COP of a resistance heater": (cell(HEATERS, "tank", "cop", "1"), [bad(HEATERS, 2, "cop", "outside", "> 1")]),
    "elements in another word": (
        cell(HEATERS, "tank", "elements", "interlock"),
        [bad(HEATERS, 2, "elements", "interlocked, together", "did you mean 'interlocked'")],
    ),
    "air as a length": (cell(HEATERS, "tank", "air_F", "3 m"), [bad(HEATERS, 2, "air_F", "cannot be read in F")]),
    "air hotter than any": (cell(HEATERS, "tank", "air_F", "60 C"), [bad(HEATERS, 2, "air_F", "outside", "<= 130")]),
    "damper than wet": (
        cell(HEATERS, "tank", "air_humidity_percent", "100"),
        [bad(HEATERS, 2, "air_humidity_percent", "outside", "<= 99")],
    ),
    "ducts in a number": (cell(HEATERS, "tank", "ducted", "2"), [bad(HEATERS, 2, "ducted", "not yes or no")]),
    "noise of a jet": (cell(HEATERS, "tank", "noise_dBA", "140"), [bad(HEATERS, 2, "noise_dBA", "outside")]),
    "pipe of lead": (cell(POINTS, "sink", "pipe_material", "lead"), [bad(POINTS, 3, "pipe_material", "pex")]),
    "pipe size in decimals": (cell(POINTS, "sink", "pipe_size", "0.5"), [bad(POINTS, 3, "pipe_size", "1/2")]),
    "trunk size not listed": (cell(POINTS, "sink", "trunk_size", "2"), [bad(POINTS, 3, "trunk_size", "3/4")]),
    "trunk of negative length": (
        cell(POINTS, "sink", "trunk_length_ft", "-1"),
        [bad(POINTS, 3, "trunk_length_ft", "outside")],
    ),
    "flow of nothing": (cell(POINTS, "sink", "flow_gpm", "0"), [bad(POINTS, 3, "flow_gpm", "outside", "> 0")]),
    "pattern that is none": (
        entry("water", 'draw_pattern = "huge"'),
        [bad(TOML, None, "water.draw_pattern", "very_small", "high")],
    ),
    "loop of more than a day": (
        entry("water", "recirculation_h = 25"),
        [bad(TOML, None, "water.recirculation_h", "outside", "<= 24")],
    ),
    "loop of no length": (
        entry("water", "loop_length_ft = 0"),
        [bad(TOML, None, "water.loop_length_ft", "outside", "> 0")],
    ),
    "insulation thicker than the wall": (
        entry("water", "loop_insulation_in = 5"),
        [bad(TOML, None, "water.loop_insulation_in", "outside", "<= 4")],
    ),
    "pump of no power": (entry("water", "pump_W = 0"), [bad(TOML, None, "water.pump_W", "outside", "> 0")]),
    "point of use far away": (
        entry("water", "point_of_use_pipe_ft = 101"),
        [bad(TOML, None, "water.point_of_use_pipe_ft", "outside")],
    ),
    "price in another currency": (
        entry("prices", 'storage_USD = "900 EUR"'),
        [bad(TOML, None, "prices.storage_USD", "cannot be read in USD")],
    ),
    "weather file that is not there": (
        entry("place", 'weather_file = "none.epw"'),
        [bad("none.epw", None, "", "no such weather file")],
    ),
    "weather file of another form": (
        entry("place", 'weather_file = "year.txt"'),
        [bad("year.txt", None, "", "not a weather file", ".epw")],
    ),
    "weather file outside the folder": (
        entry("place", 'weather_file = "../year.epw"'),
        [bad(TOML, None, "place.weather_file", "a plain file name is wanted", "'../year.epw'")],
    ),
    "weather file that is no text": (
        both(NAMED, lambda files: files.update({"year.epw": b"\xff\xfe\x00"})),
        [bad("year.epw", None, "", "not UTF-8")],
    ),
    "weather file without its first line": (
        year({1: "PLACE,Invented"}),
        [bad("year.epw", 1, "", "does not begin with LOCATION")],
    ),
    "weather file that ends in its head": (year({}, until=5), [bad("year.epw", None, "", "5 lines", "8 header")]),
    "weather line cut short": (year({100: "2001,1,4"}), [bad("year.epw", 100, "", "3 cells", "35")]),
    "air that is a word": (year(with_air(200, "cold")), [bad("year.epw", 200, "", "'cold'", "a number")]),
    "air marked as missing": (year(with_air(300, "99.9")), [bad("year.epw", 300, "", "'99.9'", "60")]),
    "half a year": (year({}, until=8 + 24 * 181), [bad("year.epw", None, "", "July is not whole")]),
    "latitude that is none": (
        year({1: GOOD_YEAR[0].replace("45.0", "145.0", 1)}),
        [bad("year.epw", 1, "", "latitude 145", "-90 to 90")],
    ),
    "TMY3 file that is a table": (
        both(entry("place", 'weather_file = "year.csv"'), _made("year.csv"), whole("year.csv", "a,b", "c,d", "1,2")),
        [bad("year.csv", 3, "", "2 cells", "66")],
    ),
}


def _cases() -> list[str]:
    return [
        *CASES,
        *(f"price {f.name}" for f in dataclasses.fields(Prices)),
    ]


def case(name: str) -> tuple[Edit, list[Bad]]:
    if name.startswith("price ") and name.removeprefix("price ") in {f.name for f in dataclasses.fields(Prices)}:
        column = name.removeprefix("price ")
        return entry("prices", f"{column} = -1"), [bad(TOML, None, f"prices.{column}", "outside", ">= 0")]
    return CASES[name]


@pytest.mark.parametrize("name", _cases())
def test_bad_input_is_told(name: str, tmp_path: Path) -> None:
    edit, expected = case(name)
    found = complaints(edit, tmp_path)
    told = "\n".join(f"  {p}" for p in found) or "  nothing: the folder was accepted"
    assert len(found) == len(expected), told
    for want in expected:
        assert any(want.fits(p) for p in found), f"expected {want}\nbut the reader told:\n{told}"


def test_a_weather_file_gives_the_two_temperatures_and_says_so(tmp_path: Path) -> None:
    house = read_with(year({}), tmp_path / "one")
    hours = [24 * d for d in (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)]
    mean_C = sum(h * t for h, t in zip(hours, YEAR_C, strict=True)) / sum(hours)
    assert house.place.mean_air_F == pytest.approx(convert(mean_C, "C", "F"), abs=1e-6)
    assert house.place.air_range_dF == pytest.approx(30 * 1.8, abs=1e-6)
    assert house.place.climate_source == "weather file year.epw" and house.place.weather_file == ""
    told = [a for a in house.assumptions if a.where == "house.toml, place.weather_file"]
    assert len(told) == 1 and "instead of mean_air_F 46" in told[0].why
    write_house(house, tmp_path / "two")
    assert read_house(tmp_path / "two").place == house.place, "a house written anew needs its weather file no more"


def test_a_tmy3_file_is_read_too(tmp_path: Path) -> None:
    """An invented year in the TMY3 form: site line, names, a line an hour."""
    from pvlib.iotools import tmy

    names = ["Date (MM/DD/YYYY)", "Time (HH:MM)", *(f"column {i}" for i in range(2, 71))]
    for name, at in (("Dry-bulb (C)", 31), ("GHI (W/m^2)", 4)):
        names[at] = name
    assert "Dry-bulb (C)" in tmy.VARIABLE_MAP
    lines = ['000000,"Invented",XX,-6.0,45.000,-90.000,100', ",".join(names)]
    for line in GOOD_YEAR[8:]:
        cells = line.split(",")
        row = [f"{int(cells[1]):02}/{int(cells[2]):02}/2001", f"{int(cells[3]):02}:00", *["0"] * 69]
        row[31] = cells[6]
        lines.append(",".join(row))
    edit = both(entry("place", 'weather_file = "year.csv"'), _made("year.csv"), whole("year.csv", *lines))
    house = read_with(edit, tmp_path)
    assert house.place.air_range_dF == pytest.approx(54.0, abs=0.2), "an hour of each month may fall into the next"


def test_without_the_extra_the_error_names_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pvlib.iotools", None)
    found = complaints(year({}), tmp_path)
    assert len(found) == 1 and "hpelec[weather]" in found[0].problem and "weather_file blank" in found[0].allowed
