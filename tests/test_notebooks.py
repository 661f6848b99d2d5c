"""What nbval cannot see: stored outputs and counts, a raising check, the five parts, no definitions."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from hpelec.core.tables import data_folder
from hpelec.plan import STEPS
from tests.houses import DEMO, EXAMPLES, planned

BOOKS = sorted((Path(__file__).parent.parent / "workbook").glob("*.ipynb"))
PARTS = ("## 1 The question", "## 2 By hand", "## 3 Your house", "## 4 What if", "## 5 Exercise")
LONGEST_CELL = 8


def cells(path: Path, kind: str) -> list[dict[str, Any]]:
    return [c for c in json.loads(path.read_text("utf-8"))["cells"] if c["cell_type"] == kind]


def text(cell: dict[str, Any]) -> str:
    return "".join(cell["source"])


def test_there_is_a_notebook_for_every_step_and_start_and_report() -> None:
    names = {p.stem.split("-", 1)[1] for p in BOOKS}
    assert names == {s.name for s in STEPS} | {"start", "report"}


@pytest.mark.parametrize("path", BOOKS, ids=lambda p: p.name)
def test_notebook_is_fit_to_store(path: Path) -> None:
    book = json.loads(path.read_text("utf-8"))
    assert "widgets" not in book["metadata"], "widget state is stored; run python3 start.py notebooks"
    assert book["metadata"]["kernelspec"]["name"] == "python3"
    assert path.stat().st_size < 400_000, f"{path.stat().st_size} bytes"
    code = cells(path, "code")
    assert all(c["execution_count"] for c in code), "execution counts are missing; nbval would not compare"
    assert not [o for c in code for o in c["outputs"] if o["output_type"] == "error"]
    compared = [c for c in code if c["outputs"] and "nbval-ignore-output" not in c["metadata"].get("tags", [])]
    assert len(compared) >= 3, "too little is left to compare"


@pytest.mark.parametrize("path", BOOKS, ids=lambda p: p.name)
def test_notebook_checks_itself_and_defines_nothing(path: Path) -> None:
    code = [text(c) for c in cells(path, "code")]
    assert any("agree(" in c for c in code), "no raising check"
    for cell in code:
        assert not [x for x in cell.splitlines() if x.lstrip().startswith(("def ", "class ", "lambda"))], cell
        assert len(cell.splitlines()) <= LONGEST_CELL, f"a cell of {len(cell.splitlines())} lines:\n{cell}"


@pytest.mark.parametrize("path", BOOKS, ids=lambda p: p.name)
def test_step_notebooks_have_the_five_parts(path: Path) -> None:
    if path.stem.endswith(("start", "report")):
        assert "decide" in "".join(text(c) for c in cells(path, "markdown")), "the cautions are missing"
        return
    headings = [line for c in cells(path, "markdown") for line in text(c).splitlines() if line.startswith("## ")]
    assert [h for h in headings if h.startswith(PARTS)] == headings, headings
    assert len(headings) == len(PARTS)


@pytest.mark.parametrize("house", [name for name in EXAMPLES if name != DEMO])
@pytest.mark.parametrize("path", BOOKS, ids=lambda p: p.name)
def test_notebook_runs_for_another_house(
    path: Path, house: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The cells in order, without a kernel; the stored run for the demo house is compared by nbval."""
    notebooks = tmp_path / "workbook"
    notebooks.mkdir()
    (notebooks / "house.txt").write_text(str(data_folder() / "houses" / house), "utf-8")
    monkeypatch.chdir(notebooks)
    names: dict[str, Any] = {}
    for number, cell in enumerate(cells(path, "code"), 1):
        exec(compile(text(cell), f"{path.name}, cell {number}", "exec"), names)
    assert names["house"].general.name == planned(house).house.general.name
