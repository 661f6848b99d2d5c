"""Bad input: each case is one small edit of the starter house and the problems that the reader must then report.

The list must be complete: every problem expected, and no other. What a person must be able to type is here too.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from hpelec.core.errors import InputErrors, InputProblem
from hpelec.house.model import House
from hpelec.house.parse import LONGEST_CELL
from hpelec.house.read import MOST_BYTES, MOST_ROWS, read_house
from hpelec.house.write import write_starter

Files = dict[str, bytes]
Edit = Callable[[Files], None]


@cache
def starter() -> dict[str, bytes]:
    """The starter folder without its remarks, so that the header is row 1 of each table."""
    with TemporaryDirectory() as folder:
        files = write_starter(Path(folder) / "house")
        return {f.name: without_remarks(f.read_text("utf-8")).encode() for f in files}


def without_remarks(text: str) -> str:
    return "".join(line for line in text.splitlines(keepends=True) if not line.startswith("#"))


# --- edits -----------------------------------------------------------------------------------------------------------


def cell(file: str, row_id: str, column: str, text: str) -> Edit:
    """Set one cell; a column that the starter leaves out is added."""

    def edit(files: Files) -> None:
        rows = list(csv.DictReader(io.StringIO(files[file].decode())))
        names = list(rows[0]) if rows else files[file].decode().strip().split(",")
        names += [] if column in names else [column]
        assert sum(r["id"] == row_id for r in rows) == 1, f"no row {row_id} in the starter's {file}"
        for r in rows:
            if r["id"] == row_id:
                r[column] = text
        out = io.StringIO()
        writer = csv.DictWriter(out, names, lineterminator="\n", restval="")
        writer.writeheader()
        writer.writerows(rows)
        files[file] = out.getvalue().encode()

    return edit


def add(file: str, *lines: str) -> Edit:
    """Append lines to a file as they stand."""

    def edit(files: Files) -> None:
        files[file] += "".join(line + "\n" for line in lines).encode()

    return edit


def whole(file: str, *lines: str) -> Edit:
    """Replace a whole file."""

    def edit(files: Files) -> None:
        files[file] = "".join(line + "\n" for line in lines).encode()

    return edit


def swap(file: str, old: str, new: str) -> Edit:
    """Replace a text that stands once in a file."""

    def edit(files: Files) -> None:
        text = files[file].decode()
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
        files[file] = text.replace(old, new).encode()

    return edit


def entry(section: str, text: str) -> Edit:
    """Put a line right under a section's head in house.toml."""
    return swap("house.toml", f"[{section}]\n", f"[{section}]\n{text}\n")


def as_bytes(file: str, change: Callable[[bytes], bytes]) -> Edit:
    def edit(files: Files) -> None:
        files[file] = change(files[file])

    return edit


def without(file: str) -> Edit:
    def edit(files: Files) -> None:
        del files[file]

    return edit


def both(*edits: Edit) -> Edit:
    def edit(files: Files) -> None:
        for e in edits:
            e(files)

    return edit


def read_with(edit: Edit, folder: Path) -> House:
    files = dict(starter())
    edit(files)
    folder.mkdir(exist_ok=True)
    for name, content in files.items():
        (folder / name).write_bytes(content)
    return read_house(folder)


# --- what must be refused --------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Bad:
    """Where the problem is expected, and pieces of what its line must say."""

    file: str
    row: int | None
    column: str
    says: tuple[str, ...]

    def fits(self, problem: InputProblem) -> bool:
        where = (problem.file, problem.row, problem.column) == (self.file, self.row, self.column)
        return where and all(piece in str(problem) for piece in self.says)


def bad(file: str, row: int | None, column: str, *says: str) -> Bad:
    return Bad(file, row, column, says)


TOML = "house.toml"
LAYERS = '[[assemblies.layers]]\nmaterial = "a"\nthickness_in = 1\n'
ASSEMBLY = '[[assemblies]]\nid = "w"\nsurface = "wall"\n'
NEST = 4000
L_ROOM = "0,-20; 14,-20; 14,0; 7,0; 7,-10; 0,-10"

CASES: dict[str, tuple[Edit, list[Bad]]] = {
    # quantities
    "unit of another kind": (
        cell("appliances.csv", "dryer", "power_VA", "12 ft"),
        [bad("appliances.csv", 4, "power_VA", "'12 ft'", "cannot be read in VA", "4.5 kW")],
    ),
    "temperature as a length": (
        cell("hot_water.csv", "sink", "use_F", "3 m"),
        [bad("hot_water.csv", 3, "use_F", "'3 m'", "cannot be read in F", "50 F or 10 C")],
    ),
    "unit that does not exist": (
        cell("rooms.csv", "bath", "width_ft", "8 flurbs"),
        [bad("rooms.csv", 5, "width_ft", "8 flurbs", "cannot be read in ft", "3.8 m")],
    ),
    "volume as a flow": (
        cell("heaters.csv", "tank", "volume_gal", "50 gpm"),
        [bad("heaters.csv", 2, "volume_gal", "50 gpm", "cannot be read in gal")],
    ),
    "words for a number": (
        cell("appliances.csv", "range", "power_VA", "a lot"),
        [bad("appliances.csv", 2, "power_VA", "'a lot'", "not a number")],
    ),
    "thousands comma in a number": (
        cell("appliances.csv", "range", "power_VA", "10,500"),
        [bad("appliances.csv", 2, "power_VA", "'10,500'", "not a number")],
    ),
    "decimal comma": (
        cell("hot_water.csv", "sink", "flow_gpm", "1,8"),
        [bad("hot_water.csv", 3, "flow_gpm", "'1,8'", "not a number")],
    ),
    "negative power": (
        cell("appliances.csv", "range", "power_VA", "-5000"),
        [bad("appliances.csv", 2, "power_VA", "outside the limits", "'-5000'", ">= 0")],
    ),
    "zero where more is needed": (
        cell("heaters.csv", "tank", "power_VA", "0"),
        [bad("heaters.csv", 2, "power_VA", "outside the limits", "> 0")],
    ),
    "negative room": (
        cell("rooms.csv", "living", "width_ft", "-16"),
        [bad("rooms.csv", 3, "width_ft", "outside the limits", "> 0", "<= 500")],
    ),
    "two signs in feet and inches": (
        cell("rooms.csv", "living", "width_ft", "15'--12\""),
        [bad("rooms.csv", 3, "width_ft", "not a number with a unit")],
    ),
    "just above the limit": (
        cell("heaters.csv", "tank", "setpoint_F", "180.01"),
        [bad("heaters.csv", 2, "setpoint_F", "outside the limits", "<= 180")],
    ),
    "limit passed in another unit": (
        cell("heaters.csv", "tank", "setpoint_F", "90 C"),
        [bad("heaters.csv", 2, "setpoint_F", "outside the limits", "'90 C'", "<= 180 [F]")],
    ),
    "not a number": (
        cell("hot_water.csv", "shower", "flow_gpm", "nan"),
        [bad("hot_water.csv", 2, "flow_gpm", "'nan'", "not a number")],
    ),
    "infinity": (
        cell("hot_water.csv", "shower", "flow_gpm", "inf"),
        [bad("hot_water.csv", 2, "flow_gpm", "'inf'")],
    ),
    "infinity by overflow": (
        cell("hot_water.csv", "shower", "flow_gpm", "1e999"),
        [bad("hot_water.csv", 2, "flow_gpm", "not a finite number")],
    ),
    "toml nan": (
        swap(TOML, "latitude_deg = 45", "latitude_deg = nan"),
        [bad(TOML, None, "place.latitude_deg", "not a finite number")],
    ),
    "toml infinity": (
        swap(TOML, "mean_air_F = 46", "mean_air_F = inf"),
        [bad(TOML, None, "place.mean_air_F", "not a finite number")],
    ),
    "toml infinity without unit": (
        swap(TOML, "target_limit = 2 ", "target_limit = inf "),
        [bad(TOML, None, "envelope.target_limit", "not a finite number")],
    ),
    "division by zero": (
        cell("rooms.csv", "bath", "width_ft", "8/0"),
        [bad("rooms.csv", 5, "width_ft", "'8/0'", "divides by zero")],
    ),
    "text that would compute for ever": (
        cell("rooms.csv", "bath", "width_ft", "8 m*9**9**9**9"),
        [bad("rooms.csv", 5, "width_ft", "no unit that can be read")],
    ),
    "underscored number": (
        cell("appliances.csv", "range", "quantity", "1_0"),
        [bad("appliances.csv", 2, "quantity", "not a whole number", "'1_0'")],
    ),
    "quantity nought": (
        cell("appliances.csv", "range", "quantity", "0"),
        [bad("appliances.csv", 2, "quantity", "outside the limits", ">= 1")],
    ),
    "quantity one and a half": (
        cell("appliances.csv", "range", "quantity", "1.5"),
        [bad("appliances.csv", 2, "quantity", "not a whole number", "'1.5'")],
    ),
    "voltage that nobody has": (
        cell("appliances.csv", "dishwasher", "voltage_V", "230"),
        [bad("appliances.csv", 3, "voltage_V", "not one of the values allowed", "240.0, 120.0, 208.0")],
    ),
    # words
    "kind misspelt": (
        cell("appliances.csv", "dryer", "kind", "drier"),
        [bad("appliances.csv", 4, "kind", "not one of the words allowed", "'drier'", "did you mean 'dryer'")],
    ),
    "kind of room misspelt": (
        cell("rooms.csv", "living", "kind", "livingroom"),
        [bad("rooms.csv", 3, "kind", "'livingroom'", "did you mean 'living'")],
    ),
    "kind like nothing known": (
        cell("appliances.csv", "dryer", "kind", "zzz"),
        [bad("appliances.csv", 4, "kind", "not one of the words allowed", "range, cooktop")],
    ),
    "flag that is neither": (
        cell("appliances.csv", "heatpump", "motor", "maybe"),
        [bad("appliances.csv", 5, "motor", "not yes or no", "'maybe'")],
    ),
    "id with blanks": (
        swap("rooms.csv", "bath,Bathroom", "the bath,Bathroom"),
        [bad("rooms.csv", 5, "id", "not a usable id", "'the bath'", "letters, digits")],
    ),
    "id missing": (
        swap("rooms.csv", "bath,Bathroom", ",Bathroom"),
        [bad("rooms.csv", 5, "id", "a value is needed")],
    ),
    "id twice": (
        swap("appliances.csv", "dryer,Dryer,dryer", "range,Dryer,dryer"),
        [bad("appliances.csv", 4, "id", "stands already in row 2", "'range'")],
    ),
    "needed cell blank": (
        cell("hot_water.csv", "sink", "fixture", " "),
        [bad("hot_water.csv", 3, "fixture", "a value is needed", "kitchen_sink")],
    ),
    "day in another order": (
        add("field.csv", "n1,made,20/05/2031"),
        [bad("field.csv", 2, "date", "not a day of the calendar", "2031-05-20")],
    ),
    "day that never was": (
        add("field.csv", "n1,made,2031-02-30"),
        [bad("field.csv", 2, "date", "not a day of the calendar", "'2031-02-30'")],
    ),
    "cell too long": (
        cell("appliances.csv", "range", "name", "x" * (LONGEST_CELL + 1)),
        [bad("appliances.csv", 2, "name", f"longer than {LONGEST_CELL} characters", "...")],
    ),
    "cell beyond the csv limit": (
        cell("appliances.csv", "range", "name", "x" * 200_000),
        [bad("appliances.csv", 2, "", "not readable as CSV", "field limit")],
    ),
    # ids that lead nowhere
    "room unknown": (
        cell("appliances.csv", "range", "room", "kitchn"),
        [bad("appliances.csv", 2, "room", "range: no such id in rooms", "'kitchn'", "did you mean 'kitchen'")],
    ),
    "heater unknown": (
        cell("hot_water.csv", "shower", "heater", "tonk"),
        [bad("hot_water.csv", 2, "heater", "no such id in heaters", "did you mean 'tank'")],
    ),
    "point of use without any heater": (
        without("heaters.csv"),
        [bad("hot_water.csv", r, "heater", "no such id in heaters", "add a row to heaters") for r in (2, 3)],
    ),
    "level unknown": (
        both(
            add(TOML, '[[levels]]\nid = "main"\nceiling_height_ft = 8'),
            cell("rooms.csv", "bath", "level", "mian"),
        ),
        [bad("rooms.csv", 5, "level", "no such id in levels", "did you mean 'main'")],
    ),
    "space unknown": (
        add(TOML, '[[levels]]\nid = "main"\nceiling_height_ft = 8\nbelow = "crawl"'),
        [bad(TOML, None, "levels.below", "main: no such space", "'crawl'", "ground")],
    ),
    "room of an opening unknown": (
        cell("openings.csv", "front", "room", "livin"),
        [bad("openings.csv", 2, "room", "no such id in rooms", "did you mean 'living'")],
    ),
    "panel fed from nowhere": (
        whole("panels.csv", "id,name,room,side,offset_ft,fed_from", "P1,Main,utility,east,2,servce"),
        [bad("panels.csv", 2, "fed_from", "no such feed", "'servce'", "did you mean 'service'")],
    ),
    "panel fed from itself": (
        whole("panels.csv", "id,name,room,side,offset_ft,fed_from", "P1,Main,utility,east,2,P1"),
        [bad("panels.csv", 2, "fed_from", "no such feed", "allowed: service")],
    ),
    "panels that feed each other": (
        whole(
            "panels.csv",
            "id,name,room,side,offset_ft,fed_from",
            "P1,Main,utility,east,2,P2",
            "P2,Sub,utility,east,5,P1",
        ),
        [bad("panels.csv", r, "fed_from", "feeds itself by way of others") for r in (2, 3)],
    ),
    # plan
    "rooms that overlap": (
        cell("rooms.csv", "living", "x_ft", "13"),
        [bad("rooms.csv", 2, "outline_ft", "overlaps room living by 12.00 ft2")],
    ),
    "room inside another": (
        add("rooms.csv", "nook,Nook,main,closet,2,2,3,3"),
        [bad("rooms.csv", 2, "outline_ft", "overlaps room nook by 9.00 ft2")],
    ),
    "outline that crosses itself": (
        both(
            cell("rooms.csv", "bath", "outline_ft", ""),
            add("rooms.csv", 'x,X,main,closet,,,,,"0,40; 10,50; 10,40; 0,50"'),
        ),
        [bad("rooms.csv", 7, "outline_ft", "crosses itself")],
    ),
    "outline that closes on its first corner": (
        both(
            cell("rooms.csv", "bath", "outline_ft", ""),
            add("rooms.csv", 'x,X,main,closet,,,,,"0,40; 10,40; 10,50; 0,40"'),
        ),
        [bad("rooms.csv", 7, "outline_ft", "same place")],
    ),
    "outline of two corners": (
        both(
            cell("rooms.csv", "bath", "outline_ft", ""),
            add("rooms.csv", 'x,X,main,closet,,,,,"0,40; 10,40"'),
        ),
        [bad("rooms.csv", 7, "outline_ft", "three corners")],
    ),
    "outline with half a corner": (
        both(
            cell("rooms.csv", "bath", "outline_ft", ""),
            add("rooms.csv", 'x,X,main,closet,,,,,"0,40; 10; 10,50"'),
        ),
        [bad("rooms.csv", 7, "outline_ft", "not a corner x,y", "x,y; x,y; x,y")],
    ),
    "outline without area": (
        both(
            cell("rooms.csv", "bath", "outline_ft", ""),
            add("rooms.csv", 'x,X,main,closet,,,,,"0,40; 10,40; 20,40"'),
        ),
        [bad("rooms.csv", 7, "outline_ft", "has no area")],
    ),
    "rectangle and outline": (
        cell("rooms.csv", "bath", "outline_ft", "14,12; 22,12; 22,23; 14,23"),
        [bad("rooms.csv", 5, "outline_ft", "both a rectangle and an outline")],
    ),
    "rectangle not complete": (
        cell("rooms.csv", "bath", "depth_ft", ""),
        [bad("rooms.csv", 5, "depth_ft", "the rectangle is not complete", "or outline_ft")],
    ),
    "wall that a room has not": (
        cell("openings.csv", "front", "side", "Sourth"),
        [bad("openings.csv", 2, "side", "room living has no such wall", "did you mean 'south'")],
    ),
    "door wider than its wall": (
        cell("openings.csv", "bathdoor", "width_ft", "9"),
        [bad("openings.csv", 5, "width_ft", "wider than the wall (8 ft)", "<= 8")],
    ),
    "opening past the end of its wall": (
        cell("openings.csv", "bathdoor", "offset_ft", "5.6"),
        [bad("openings.csv", 5, "offset_ft", "beyond the end of the wall", "<= 5.5")],
    ),
    "two openings overlap": (
        add("openings.csv", "second,living,south,4.5,3,window"),
        [bad("openings.csv", 7, "offset_ft", "overlaps front in the south wall of living", ">= 5")],
    ),
    "a small opening inside a wide one and a third": (
        add(
            "openings.csv", "wide,living,south,6,9,window", "in,living,south,7,1,window", "end,living,south,12,2,window"
        ),
        [
            bad("openings.csv", 8, "offset_ft", "overlaps wide"),
            bad("openings.csv", 9, "offset_ft", "overlaps wide"),
        ],
    ),
    "one door given in both rooms": (
        add("openings.csv", "again,kitchen,east,8.5,2.5,door"),
        [bad("openings.csv", 7, "offset_ft", "overlaps livingbed", "as seen from living", "one of them only")],
    ),
    "counter beyond its wall": (
        whole("fixed.csv", "id,room,kind,side,offset_ft,width_ft,depth_ft", "c,kitchen,counter,north,8,8,2"),
        [bad("fixed.csv", 2, "offset_ft", "beyond the end of the wall", "<= 6")],
    ),
    "island outside the kitchen": (
        whole("fixed.csv", "id,room,kind,offset_ft,y_offset_ft,width_ft,depth_ft", "i,kitchen,island,9,4,6,3"),
        [bad("fixed.csv", 2, "offset_ft", "outside room kitchen", "x 0 to 8")],
    ),
    "device past its wall": (
        add("devices.csv", "d1,bath,receptacle,south,8.2"),
        [bad("devices.csv", 2, "offset_ft", "beyond the end of the wall", "<= 8")],
    ),
    "panel on no wall": (
        add("panels.csv", "P1,Main,utility,up,2"),
        [bad("panels.csv", 2, "side", "has no such wall", "south, east, north, west")],
    ),
    "light outside its room": (
        add("lights.csv", "l1,bath,surface,8.5,3"),
        [bad("lights.csv", 2, "x_offset_ft", "outside room bath", "x 0 to 8, y 0 to 11")],
    ),
    "light in the missing part of an outline": (
        both(
            cell("rooms.csv", "bath", "outline_ft", ""),
            add("rooms.csv", f'l,L,main,closet,,,,,"{L_ROOM}"'),
            add("lights.csv", "l1,l,surface,3,15", "l2,l,surface,3,5"),
        ),
        [bad("lights.csv", 2, "x_offset_ft", "outside room l", "within its outline")],
    ),
    "fan outside its room": (
        add("fans.csv", "f1,bath,4,11.1"),
        [bad("fans.csv", 2, "x_offset_ft", "outside room bath")],
    ),
    # tables as files
    "needed table missing": (
        without("appliances.csv"),
        [bad("appliances.csv", None, "", "the file is missing")],
    ),
    "house.toml missing": (
        without(TOML),
        [bad(TOML, None, "", "the file is missing")],
    ),
    "empty file": (
        whole("appliances.csv"),
        [bad("appliances.csv", None, "", "the file is empty", "id, name, kind")],
    ),
    "remarks only": (
        whole("heaters.csv", "# nothing", "", "# here"),
        [
            bad("heaters.csv", None, "", "the file is empty"),
        ],
    ),
    "header only": (
        whole("appliances.csv", "id,name,kind"),
        [bad("appliances.csv", None, "", "the table has no rows")],
    ),
    "column missing": (
        whole("heaters.csv", "id,name,kind,room", "tank,Tank,storage,utility"),
        [bad("heaters.csv", None, "power_VA", "the column is missing", "> 0")],
    ),
    "column unknown": (
        swap("heaters.csv", "volume_gal", "volume_gals"),
        [bad("heaters.csv", None, "volume_gals", "no such column", "did you mean 'volume_gal'")],
    ),
    "column in another unit": (
        swap("heaters.csv", "power_VA", "power_kW"),
        [
            bad("heaters.csv", None, "power_kW", "no such column", "did you mean 'power_VA'"),
            bad("heaters.csv", None, "power_VA", "the column is missing"),
        ],
    ),
    "column twice": (
        whole("field.csv", "id,event,date,event"),
        [bad("field.csv", None, "event", "stands twice"), bad("field.csv", None, "event", "stands twice")],
    ),
    "semicolons": (
        as_bytes("hot_water.csv", lambda b: b.replace(b",", b";")),
        [bad("hot_water.csv", 1, "", "not separated by commas", "id;name")],
    ),
    "tabs": (
        as_bytes("hot_water.csv", lambda b: b.replace(b",", b"\t")),
        [bad("hot_water.csv", 1, "", "not separated by commas")],
    ),
    "unquoted comma": (
        swap("appliances.csv", '"Heat pump, outdoor unit"', "Heat pump, outdoor unit"),
        [bad("appliances.csv", 5, "", "8 cells under 7 columns", '"quotes"')],
    ),
    "comma forgotten": (
        swap("openings.csv", "front,living,south,2,3,door", "front,living,south,2 3,door"),
        [bad("openings.csv", 2, "", "5 cells under 6 columns")],
    ),
    "quote never closed": (
        swap("appliances.csv", "dishwasher,Dishwasher,", 'dishwasher,"Dishwasher,'),
        [bad("appliances.csv", 5, "", "not readable as CSV")],
    ),
    "not utf-8": (
        as_bytes("appliances.csv", lambda b: b.replace(b"Dryer", b"S\xe9choir")),
        [bad("appliances.csv", None, "", "not UTF-8 text", "save it as UTF-8")],
    ),
    "utf-16": (
        as_bytes("rooms.csv", lambda b: b.decode().encode("utf-16")),
        [bad("rooms.csv", None, "", "not UTF-8 text (byte 0)")],
    ),
    "too many rows": (
        add("lights.csv", *(f"l{i},bath,surface,1,1" for i in range(MOST_ROWS + 1))),
        [bad("lights.csv", None, "", "too many rows", f"{MOST_ROWS:,}")],
    ),
    "file too large": (
        add("lights.csv", "#" * (MOST_BYTES + 1)),
        [bad("lights.csv", None, "", "too large", f"{MOST_BYTES:,}")],
    ),
    "table that is none of ours": (
        whole("light.csv", "id"),
        [bad("light.csv", None, "", "no such table", "did you mean 'lights.csv'")],
    ),
    "table with a capital ending": (
        whole("LIGHTS.CSV", "id"),
        [bad("LIGHTS.CSV", None, "", "no such table", "did you mean 'lights.csv'")],
    ),
    # house.toml
    "not toml": (
        swap(TOML, "[place]", "[place"),
        [bad(TOML, None, "", "not TOML", "line")],
    ),
    "toml nested without end": (
        add(TOML, "x = " + "[" * NEST),
        [bad(TOML, None, "", "not TOML")],
    ),
    "section unknown": (
        swap(TOML, "[water]", "[watter]"),
        [bad(TOML, None, "watter", "no such section", "did you mean 'water'")],
    ),
    "section missing": (
        swap(TOML, "[service]\nlateral_length_ft = 120", "# gone"),
        [bad(TOML, None, "service.lateral_length_ft", "a value is needed", "> 0")],
    ),
    "entry unknown": (
        entry("water", "design_cold_C = 5"),
        [bad(TOML, None, "water.design_cold_C", "no such entry", "did you mean 'design_cold_F'")],
    ),
    "text for a section": (
        both(swap(TOML, "[water]\n", ""), as_bytes(TOML, lambda b: b'water = "cold"\n' + b)),
        [bad(TOML, None, "water", "a section is wanted", "[water]")],
    ),
    "list of no tables": (
        as_bytes(TOML, lambda b: b"levels = [1, 2]\n" + b),
        [bad(TOML, None, "levels", "an array of tables is wanted", "[[levels]]")],
    ),
    "table for an array of tables": (
        add(TOML, '[spaces]\nid = "crawl"'),
        [bad(TOML, None, "spaces", "an array of tables is wanted", "[[spaces]]")],
    ),
    "true for a number": (
        swap(TOML, "mean_air_F = 46", "mean_air_F = true"),
        [bad(TOML, None, "place.mean_air_F", "a number is wanted, not yes or no", "'True'")],
    ),
    "true for a whole number": (
        entry("house", "bedrooms = true"),
        [bad(TOML, None, "house.bedrooms", "not a whole number")],
    ),
    "true for a word": (
        entry("house", "project = true"),
        [bad(TOML, None, "house.project", "not one of the words allowed", "new, existing")],
    ),
    "true for a text": (
        swap(TOML, 'climate_zone = "6A"', "climate_zone = true"),
        [bad(TOML, None, "place.climate_zone", "a text is wanted")],
    ),
    "list for a number": (
        swap(TOML, "latitude_deg = 45", "latitude_deg = [45]"),
        [bad(TOML, None, "place.latitude_deg", "[45]")],
    ),
    "table for a text": (
        entry("house", "note = {a = 1}"),
        [bad(TOML, None, "house.note", "a text is wanted")],
    ),
    "edition of 2018": (
        entry("house", "edition = 2018"),
        [bad(TOML, None, "house.edition", "not one of the values allowed", "'2018'", "2017, 2020, 2023, 2026")],
    ),
    "edition as words": (
        entry("house", 'edition = "latest"'),
        [bad(TOML, None, "house.edition", "not a whole number", "2017, 2020, 2023, 2026")],
    ),
    "latitude beyond the pole": (
        swap(TOML, "latitude_deg = 45", "latitude_deg = 91"),
        [bad(TOML, None, "place.latitude_deg", "outside the limits", "<= 90")],
    ),
    "no service offered": (
        entry("service", "offered_A = []"),
        [bad(TOML, None, "service.offered_A", "an empty list")],
    ),
    "one bad value in a list": (
        entry("service", "offered_A = [100, -200]"),
        [bad(TOML, None, "service.offered_A", "outside the limits", "[100, -200]", ">= 30")],
    ),
    "two air barriers": (
        add(TOML, ASSEMBLY + 2 * (LAYERS + "air_barrier = true\n")),
        [bad(TOML, None, "assemblies 1.layers", "exactly one layer must be the air barrier")],
    ),
    "no air barrier": (
        add(TOML, ASSEMBLY + LAYERS),
        [bad(TOML, None, "assemblies 1.layers", "exactly one layer must be the air barrier")],
    ),
    "no layers": (
        add(TOML, ASSEMBLY),
        [bad(TOML, None, "assemblies 1.layers", "layers from inside to outside are needed")],
    ),
    "layers that are none": (
        add(TOML, ASSEMBLY + 'layers = ["gypsum"]'),
        [bad(TOML, None, "assemblies 1.layers", "layers from inside to outside are needed")],
    ),
    "bad layer": (
        add(TOML, ASSEMBLY + LAYERS + "air_barrier = true\n" + LAYERS.replace("= 1", '= "1 kW"')),
        [bad(TOML, None, "assemblies 1 layer 2.thickness_in", "1 kW", "cannot be read in in")],
    ),
    "surface unknown": (
        add(TOML, ASSEMBLY.replace('"wall"', '"walls"') + LAYERS + "air_barrier = true"),
        [bad(TOML, None, "assemblies 1.surface", "did you mean 'wall'")],
    ),
    "assembly twice": (
        add(TOML, 2 * (ASSEMBLY + LAYERS + "air_barrier = true\n")),
        [bad(TOML, None, "assemblies 2.id", "stands already above", "'w'")],
    ),
    # several at once
    "problems of every kind are told together": (
        both(
            entry("house", "edition = 2018"),
            cell("appliances.csv", "range", "power_VA", "-1"),
            cell("appliances.csv", "dryer", "kind", "drier"),
            cell("hot_water.csv", "sink", "room", "kitchn"),
            cell("openings.csv", "bathdoor", "width_ft", "9"),
            cell("rooms.csv", "living", "x_ft", "13"),
            add("heaters.csv", "tank,Again,storage,utility,4500,50"),
        ),
        [
            bad(TOML, None, "house.edition", "2018"),
            bad("appliances.csv", 2, "power_VA", "outside the limits"),
            bad("appliances.csv", 4, "kind", "dryer"),
            bad("hot_water.csv", 3, "room", "did you mean 'kitchen'"),
            bad("openings.csv", 5, "width_ft", "wider than the wall"),
            bad("rooms.csv", 2, "outline_ft", "overlaps room living"),
            bad("heaters.csv", 3, "id", "stands already in row 2"),
        ],
    ),
    "two cells of one row": (
        both(cell("hot_water.csv", "sink", "flow_gpm", "0"), cell("hot_water.csv", "sink", "use_F", "200")),
        [bad("hot_water.csv", 3, "flow_gpm", "outside"), bad("hot_water.csv", 3, "use_F", "outside")],
    ),
    "a row that cannot be read breaks no other row": (
        cell("rooms.csv", "bath", "width_ft", "wide"),
        [bad("rooms.csv", 5, "width_ft", "'wide'")],
    ),
}


def complaints(edit: Edit, folder: Path) -> tuple[InputProblem, ...]:
    try:
        read_with(edit, folder)
    except InputErrors as error:
        return error.problems
    return ()


@pytest.mark.parametrize("name", CASES)
def test_bad_input_is_told(name: str, tmp_path: Path) -> None:
    edit, expected = CASES[name]
    found = complaints(edit, tmp_path)
    told = "\n".join(f"  {p}" for p in found) or "  nothing: the folder was accepted"
    left = list(found)
    for want in expected:
        match = next((p for p in left if want.fits(p)), None)
        assert match is not None, f"expected {want}\nbut the reader told:\n{told}"
        left.remove(match)
    assert not left, "told more than is wrong:\n" + "\n".join(f"  {p}" for p in left)


def test_there_are_enough_cases() -> None:
    assert len(CASES) >= 80, f"only {len(CASES)} cases of bad input"


def test_folder_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputErrors, match=r"no such folder; allowed: a folder with house\.toml"):
        read_house(tmp_path / "nowhere")


def test_file_for_a_folder(tmp_path: Path) -> None:
    (tmp_path / "house").write_text("no folder")
    with pytest.raises(InputErrors, match="no such folder"):
        read_house(tmp_path / "house")


def test_empty_folder_names_every_needed_file(tmp_path: Path) -> None:
    with pytest.raises(InputErrors) as caught:
        read_house(tmp_path)
    assert {p.file for p in caught.value.problems} == {"house.toml", "appliances.csv", "rooms.csv"}


def test_a_problem_says_where_what_is_allowed_and_what_is_near(tmp_path: Path) -> None:
    (problem,) = complaints(cell("appliances.csv", "dryer", "kind", "drier"), tmp_path)
    assert (problem.file, problem.row, problem.column, problem.value) == ("appliances.csv", 4, "kind", "drier")
    assert problem.suggestion == "dryer" and "dryer" in problem.allowed
    text = str(problem)
    for piece in ("appliances.csv", "row 4", "column kind", "'drier'", "allowed:", "did you mean 'dryer'?"):
        assert piece in text, f"{piece!r} is missing in: {text}"


def test_the_error_counts_and_lists_all(tmp_path: Path) -> None:
    edit, expected = CASES["problems of every kind are told together"]
    with pytest.raises(InputErrors) as caught:
        read_with(edit, tmp_path)
    lines = str(caught.value).splitlines()
    assert lines[0] == f"{len(expected)} problems in the house folder"
    assert len(lines) == 1 + len(expected)


def test_remarks_count_as_lines(tmp_path: Path) -> None:
    edit = as_bytes("rooms.csv", lambda b: b'# a remark, "with an open quote\n\n' + b.replace(b",14,12\n", b",14,0\n"))
    (problem,) = complaints(edit, tmp_path)
    assert (problem.row, problem.column) == (4, "depth_ft"), str(problem)


# --- what must be accepted -------------------------------------------------------------------------------------------

ACCEPTED: dict[str, Edit] = {
    "byte order mark": as_bytes("rooms.csv", lambda b: b"\xef\xbb\xbf" + b),
    "byte order mark in toml": as_bytes(TOML, lambda b: b"\xef\xbb\xbf" + b),
    "Windows line ends": both(
        *(as_bytes(f, lambda b: b.replace(b"\n", b"\r\n")) for f in ("rooms.csv", "appliances.csv", TOML))
    ),
    "old Mac line ends": as_bytes("rooms.csv", lambda b: b.replace(b"\n", b"\r")),
    "no line end at the end": as_bytes("rooms.csv", lambda b: b.rstrip(b"\n")),
    "blank lines and remarks": add("rooms.csv", "", "# remark, with a comma", '#"and, an open quote', ",,,,,,,"),
    "blanks round a cell": swap("rooms.csv", "bath,Bathroom", " bath , Bathroom "),
    "quotes round every cell": as_bytes("hot_water.csv", lambda b: b.replace(b"shower,Shower", b'"shower","Shower"')),
    "word in capitals": cell("appliances.csv", "dryer", "kind", "Dryer"),
    "word with a blank": cell("appliances.csv", "heatpump", "kind", "heat pump"),
    "file of another kind": whole("notes.txt", "anything"),
    "optional table left out": without("lights.csv"),
    "door at the very end of its wall": cell("openings.csv", "bathdoor", "offset_ft", "5.5"),
    "window above a window": both(
        add("openings.csv", "w1,living,south,8,3,window", "w2,living,south,8,3,window"),
        cell("openings.csv", "w1", "height_ft", "2"),
        cell("openings.csv", "w2", "sill_ft", "2"),
    ),
    "openings that touch": add("openings.csv", "w1,living,south,5,3,window"),
    "light on the edge of its room": add("lights.csv", "l1,bath,surface,8,11"),
    "whole number with a point": cell("appliances.csv", "range", "quantity", "2.0"),
}


@pytest.mark.parametrize("name", ACCEPTED)
def test_what_a_person_may_type_is_accepted(name: str, tmp_path: Path) -> None:
    house = read_with(ACCEPTED[name], tmp_path)
    assert [r.id for r in house.rooms] == ["kitchen", "living", "bedroom", "bath", "utility"]
    assert [a.kind for a in house.appliances] == ["range", "dishwasher", "dryer", "heat_pump"]


@pytest.mark.parametrize(
    "text", ["Küche", "台所", "غرفة", "Sal d'été №1", "a; b", "# not a remark", 'say "so"', "a\nb"]
)
def test_names_in_any_script(text: str, tmp_path: Path) -> None:
    house = read_with(cell("rooms.csv", "kitchen", "name", text), tmp_path)
    assert house.rooms[0].name == text


@pytest.mark.parametrize(
    ("column", "text", "value"),
    [
        ("width_ft", "14", 14.0),
        ("width_ft", "14 ft", 14.0),
        ("width_ft", "14'", 14.0),
        ("width_ft", "13'-12\"", 14.0),
        ("width_ft", "168 in", 14.0),
        ("width_ft", "4.2672 m", 14.0),
        ("width_ft", "4267.2 mm", 14.0),
        ("depth_ft", "11 ft 12 in", 12.0),
        ("depth_ft", "11′12″", 12.0),
        ("depth_ft", "144 inches", 12.0),
        ("depth_ft", "11 1/2", 11.5),
        ("depth_ft", "11' 6 1/2\"", 11 + 6.5 / 12),
    ],
)
def test_lengths_as_people_write_them(column: str, text: str, value: float, tmp_path: Path) -> None:
    house = read_with(cell("rooms.csv", "kitchen", column, text), tmp_path)
    assert getattr(house.rooms[0], column) == pytest.approx(value, rel=1e-12)
