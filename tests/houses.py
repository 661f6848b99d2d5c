"""The houses that tests use: the examples of data/houses, and the starter as a small quick one."""

from __future__ import annotations

import tempfile
from functools import cache
from pathlib import Path

from hpelec.core.tables import data_folder
from hpelec.house.model import House
from hpelec.house.read import read_house
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
