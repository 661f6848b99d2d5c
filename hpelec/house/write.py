"""A House back to a folder, and the commented starter folder. Both come from the column descriptions."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

from hpelec.core.units import example
from hpelec.house.columns import Column, columns_of
from hpelec.house.model import LISTS, NEEDED_TABLES, SECTIONS, TABLES, House
from hpelec.house.parse import cell_text
from hpelec.house.sections import Assembly, Layer


def write_house(house: House, folder: str | Path) -> None:
    """Write a house so that `read_house` gives an equal one back. Creates the folder; overwrites its files."""
    path = Path(folder)
    path.mkdir(parents=True, exist_ok=True)
    (path / "house.toml").write_text(house_toml(house), encoding="utf-8")
    for attribute, (file, record) in TABLES.items():
        rows = getattr(house, attribute)
        target = path / f"{file}.csv"
        if rows or attribute in NEEDED_TABLES:
            target.write_text(table_csv(record, rows), encoding="utf-8")
        else:
            target.unlink(missing_ok=True)


def table_csv(record: type, rows: tuple[Any, ...]) -> str:
    """Rows of one table as CSV text, all columns in the described order."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    names = [c.name for c in columns_of(record)]
    writer.writerow(names)
    writer.writerows([cell_text(getattr(row, n)) for n in names] for row in rows)
    return out.getvalue()


def house_toml(house: House) -> str:
    """The text of house.toml."""
    blocks = [f"[{name}]\n{_entries(getattr(house, attribute))}" for attribute, (name, _) in SECTIONS.items()]
    for name in LISTS:
        for item in getattr(house, name):
            blocks.append(f"[[{name}]]\n{_entries(item)}")
            if isinstance(item, Assembly):
                blocks += [f"[[{name}.layers]]\n{_entries(layer)}" for layer in item.layers]
    return "\n".join(blocks)


def _entries(record: Any) -> str:
    values = [(c.name, getattr(record, c.name)) for c in columns_of(type(record))]
    return "".join(f"{n} = {toml_value(v)}\n" for n, v in values if v is not None)


def toml_value(value: Any) -> str:
    """A value as TOML text."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, tuple):
        return "[" + ", ".join(toml_value(v) for v in value) + "]"
    return cell_text(value)


def describe(column: Column) -> str:
    """One line of documentation for a column: meaning, allowed values, default."""
    text = f"{column.meaning}; {column.allowed_text}"
    if column.unit:
        text += f"; e.g. {example(column.unit)}"
    if column.required:
        return text + "; needed"
    return text + (
        f"; default {cell_text(column.default)}" if column.default not in (None, "", ()) else "; may be blank"
    )


STARTER_VALUES: dict[str, dict[str, Any]] = {
    "house": {"name": "My house (invented starter, change everything)", "floor_area_ft2": 1500},
    "place": {
        "latitude_deg": 45,
        "climate_zone": "6A",
        "mean_air_F": 46,
        "air_range_dF": 55,
        "winter_design_F": -5,
        "summer_design_F": 88,
    },
    "envelope": {"volume_ft3": 13000, "area_ft2": 5000, "target_limit": 2.0, "target_source": "client's wish"},
    "service": {"lateral_length_ft": 120},
}
STARTER_ROWS: dict[str, list[dict[str, Any]]] = {
    "rooms": [
        {
            "id": "kitchen",
            "name": "Kitchen",
            "level": "main",
            "kind": "kitchen",
            "x_ft": 0,
            "y_ft": 0,
            "width_ft": 14,
            "depth_ft": 12,
        },
        {
            "id": "living",
            "name": "Living room",
            "level": "main",
            "kind": "living",
            "x_ft": 14,
            "y_ft": 0,
            "width_ft": "16 ft",
            "depth_ft": "12'-0\"",
        },
        {
            "id": "bedroom",
            "name": "Bedroom",
            "level": "main",
            "kind": "bedroom",
            "x_ft": 0,
            "y_ft": 12,
            "width_ft": 14,
            "depth_ft": 11,
        },
        {
            "id": "bath",
            "name": "Bathroom",
            "level": "main",
            "kind": "bathroom",
            "x_ft": 14,
            "y_ft": 12,
            "width_ft": 8,
            "depth_ft": 11,
        },
        {
            "id": "utility",
            "name": "Laundry and utility",
            "level": "main",
            "kind": "laundry",
            "x_ft": 22,
            "y_ft": 12,
            "width_ft": 8,
            "depth_ft": 11,
        },
    ],
    "appliances": [
        {"id": "range", "name": "Range", "kind": "range", "room": "kitchen", "power_VA": "10.5 kW"},
        {
            "id": "dishwasher",
            "name": "Dishwasher",
            "kind": "dishwasher",
            "room": "kitchen",
            "power_VA": 1200,
            "voltage_V": 120,
        },
        {"id": "dryer", "name": "Dryer", "kind": "dryer", "room": "utility", "power_VA": 5000},
        {"id": "heatpump", "name": "Heat pump, outdoor unit", "kind": "heat_pump", "power_VA": 2900, "motor": "yes"},
    ],
    "heaters": [
        {
            "id": "tank",
            "name": "Water heater",
            "kind": "storage",
            "room": "utility",
            "power_VA": "4.5 kW",
            "volume_gal": 50,
        },
    ],
    "hot_water": [
        {"id": "shower", "name": "Shower", "fixture": "shower", "room": "bath", "heater": "tank", "flow_gpm": 2.0},
        {
            "id": "sink",
            "name": "Kitchen sink",
            "fixture": "kitchen_sink",
            "room": "kitchen",
            "heater": "tank",
            "flow_gpm": 1.8,
        },
    ],
    "openings": [
        {"id": "front", "room": "living", "side": "south", "offset_ft": 2, "width_ft": 3, "kind": "door"},
        {"id": "livingbed", "room": "living", "side": "west", "offset_ft": 8, "width_ft": 3, "kind": "cased_opening"},
        {"id": "beddoor", "room": "bedroom", "side": "south", "offset_ft": 10, "width_ft": 2.6667, "kind": "door"},
        {"id": "bathdoor", "room": "bath", "side": "south", "offset_ft": 2, "width_ft": 2.5, "kind": "door"},
        {"id": "utilitydoor", "room": "utility", "side": "south", "offset_ft": 2, "width_ft": 2.6667, "kind": "door"},
    ],
}


def write_starter(folder: str | Path) -> list[Path]:
    """Write a small commented house that reads and designs as it stands. Refuses a folder that holds files."""
    path = Path(folder)
    if path.exists() and any(path.iterdir()):
        raise FileExistsError(f"{folder} is not empty; choose a new folder")
    path.mkdir(parents=True, exist_ok=True)
    texts = {"house.toml": _starter_toml()}
    texts |= {f"{file}.csv": _starter_csv(file, record) for file, record in TABLES.values()}
    for name, content in texts.items():
        (path / name).write_text(content, encoding="utf-8")
    return [path / name for name in texts]


def columns_text() -> str:
    """What every section and table of a house folder holds, as Markdown."""
    parts = [
        "# The house folder",
        "",
        "Quantities may carry a unit; a bare number is in the unit that the name ends with.",
        "",
    ]
    records = [(f"house.toml [{name}]", record) for name, record in SECTIONS.values()]
    records += [(f"house.toml [[{name}]]", record) for name, record in LISTS.items()]
    records += [("house.toml [[assemblies.layers]]", Layer)]
    records += [(f"{file}.csv", record) for file, record in TABLES.values()]
    for title, record in records:
        parts += [f"## {title}", "", *(f"- `{c.name}`: {describe(c)}" for c in columns_of(record)), ""]
    return "\n".join(parts)


def _starter_toml() -> str:
    blocks = ['# One house. Quantities may carry a unit: "12\'-6\\"", "3.8 m", "4.5 kW". A # starts a remark.\n']
    for name, record in SECTIONS.values():
        lines = [f"[{name}]"]
        for c in columns_of(record):
            value = STARTER_VALUES.get(name, {}).get(c.name)
            given = f"{c.name} = {toml_value(value)}" if value is not None else f"# {c.name} ="
            lines.append(f"{given}   # {describe(c)}")
        blocks.append("\n".join(lines) + "\n")
    for name, record in [*LISTS.items(), ("assemblies.layers", Layer)]:
        lines = [f"# [[{name}]]", *(f"#   {c.name} =   {describe(c)}" for c in columns_of(record))]
        blocks.append("\n".join(lines) + "\n")
    return "\n".join(blocks)


def _starter_csv(file: str, record: type) -> str:
    columns = columns_of(record)
    out = io.StringIO()
    for c in columns:
        out.write(f"# {c.name}: {describe(c)}\n".replace("\r", " "))
    writer = csv.writer(out, lineterminator="\n")
    rows = STARTER_ROWS.get(file, [])
    used = [c.name for c in columns if c.required or any(c.name in r for r in rows)]
    writer.writerow(used)
    for row in rows:
        writer.writerow([cell_text(row.get(n)) for n in used])
    return out.getvalue()
