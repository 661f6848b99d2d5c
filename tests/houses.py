"""The houses that tests use: the examples of data/houses, and the starter as a small quick one."""

from __future__ import annotations

import itertools
import random
import tempfile
from dataclasses import replace
from functools import cache
from pathlib import Path

from hpelec.core.tables import data_folder
from hpelec.house.model import House
from hpelec.house.read import read_house
from hpelec.house.rows import Opening, Room
from hpelec.house.write import write_starter
from hpelec.plan import Plan, design

EXAMPLES: tuple[str, ...] = tuple(sorted(p.parent.name for p in (data_folder() / "houses").glob("*/house.toml")))
"""Folder names of the example houses."""

DEMO = (Path(__file__).parent.parent / "workbook" / "house.txt").read_text("utf-8").strip().rsplit("/", 1)[-1]
"""The house that the workbook is stored for."""


@cache
def starter() -> House:
    """The starter house, read once."""
    with tempfile.TemporaryDirectory() as folder:
        write_starter(folder)
        return read_house(folder)


@cache
def example(name: str) -> House:
    """An example house, read once."""
    return read_house(data_folder() / "houses" / name)


@cache
def planned(name: str) -> Plan:
    """An example house, designed once."""
    return design(example(name))


def large_house(columns: int = 20, rows: int = 10) -> House:
    """200 rooms on a grid, a door between neighbours to the east, windows outside, some bathrooms and halls."""
    rng = random.Random(7)
    kinds = ("bedroom", "living", "den", "bedroom", "bathroom", "hallway", "dining", "laundry")
    rooms, openings = [], []
    for i, j in itertools.product(range(columns), range(rows)):
        name = f"r{i:02}{j:02}"
        rooms.append(Room(id=name, level="main", kind=rng.choice(kinds), x_ft=14.0 * i, y_ft=12.0 * j, width_ft=14.0,
                          depth_ft=12.0))  # fmt: skip
        openings.append(Opening(id=f"{name}d", room=name, side="east", offset_ft=1.0, width_ft=3.0, kind="door"))
        if j == 0:
            openings.append(Opening(id=f"{name}w", room=name, side="south", offset_ft=4.0, width_ft=5.0, kind="window",
                                    sill_ft=2.5, height_ft=4.0))  # fmt: skip
    panel = replace(starter().panels[0], room="r0000", side="north", offset_ft=3.0)
    return starter().changed(rooms=tuple(rooms), openings=tuple(openings), fixed=(), appliances=(), heaters=(),
                             draw_points=(), panels=(panel,), lights=(), fans=(), placed_devices=())  # fmt: skip
