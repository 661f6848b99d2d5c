"""The shape of the library: imports point one way, published tables are cited, results tell their meaning."""

from __future__ import annotations

import ast
import dataclasses
import importlib
from pathlib import Path

import pytest

from hpelec.core.results import json_schema
from hpelec.core.tables import data_folder, read_table
from hpelec.house.model import LISTS, SECTIONS, TABLES
from hpelec.plan import STEPS

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "hpelec"
MAY_IMPORT = {
    "core": {"core"},
    "common": {"core", "common"},
    "house": {"core", "house"},
    "steps": {"core", "common", "house", "steps"},
    "plan": {"core", "house", "steps"},
    "study": {"core", "house", "plan", "study"},
    "report": {"core", "house", "steps", "plan", "summary", "study", "report"},
    "screens": {"core", "common", "house", "steps", "plan", "summary", "study", "report", "screens"},
    "cli": {"core", "house", "steps", "plan", "summary", "study", "report", "cli"},
    "summary": {"core", "house", "steps", "plan"},
    "__init__": {"plan"},
}
LONGEST_MODULE = 420


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def imported(path: Path) -> list[str]:
    found = []
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            found += [a.name for a in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            found.append(node.module or "")
    return [name for name in found if name == "hpelec" or name.startswith("hpelec.")]


@pytest.mark.parametrize("path", modules(), ids=lambda p: str(p.relative_to(ROOT)))
def test_imports_point_one_way(path: Path) -> None:
    parts = path.relative_to(PACKAGE).with_suffix("").parts
    layer = parts[0]
    for name in imported(path):
        target = [*name.split("."), ""][1]
        if target == "":
            continue
        assert target in MAY_IMPORT[layer], f"{path.name} ({layer}) must not import {name}"


@pytest.mark.parametrize("path", sorted((PACKAGE / "steps").rglob("*.py")), ids=lambda p: str(p.relative_to(ROOT)))
def test_a_step_knows_only_the_results_it_takes(path: Path) -> None:
    step = path.relative_to(PACKAGE / "steps").parts[0]
    takes = {s.name: s.takes for s in STEPS}.get(step, ())
    allowed = {f"hpelec.steps.{name}.model" for name in takes}
    for name in imported(path):
        if name.startswith("hpelec.steps.") and not f"{name}.".startswith(f"hpelec.steps.{step}."):
            assert name in allowed, f"{step} imports {name}; it may know only the result types of {takes or 'no step'}"


@pytest.mark.parametrize("path", modules(), ids=lambda p: str(p.relative_to(ROOT)))
def test_modules_stay_readable(path: Path) -> None:
    assert len(path.read_text("utf-8").splitlines()) <= LONGEST_MODULE


@pytest.mark.parametrize("path", sorted(data_folder().glob("standards/**/*.csv")), ids=lambda p: p.name)
def test_published_tables_name_their_sources(path: Path) -> None:
    assert read_table(path, path.stem).rows, "the table has no rows"


def test_published_tables_are_used() -> None:
    texts = "".join(p.read_text("utf-8") for p in modules())
    folder = data_folder() / "standards"
    idle = [str(p.relative_to(folder)) for p in folder.rglob("*.csv") if str(p.relative_to(folder))[:-4] not in texts]
    assert not idle, f"tables that no module names: {idle}"


@pytest.mark.parametrize("step", STEPS, ids=lambda s: s.name)
def test_results_tell_their_meaning(step) -> None:
    model = importlib.import_module(f"hpelec.steps.{step.name}.model")
    for kind in vars(model).values():
        if dataclasses.is_dataclass(kind) and kind.__module__ == model.__name__:
            for field in dataclasses.fields(kind):
                assert field.metadata.get("meaning"), f"{kind.__name__}.{field.name} has no meaning"
            json_schema(kind)


def test_input_columns_tell_their_meaning() -> None:
    records = [r for _, r in SECTIONS.values()] + [r for _, r in TABLES.values()] + list(LISTS.values())
    for record in records:
        for field in dataclasses.fields(record):
            assert field.metadata.get("meaning"), f"{record.__name__}.{field.name} has no meaning"
