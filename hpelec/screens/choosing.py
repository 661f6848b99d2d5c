"""Which house the workbook works on: the folder named in `house.txt` beside the notebooks."""

from __future__ import annotations

from pathlib import Path

import ipywidgets as widgets

from hpelec.core.errors import InputErrors, InputProblem
from hpelec.core.tables import data_folder
from hpelec.house.model import House
from hpelec.house.read import read_house
from hpelec.screens.safely import shown, status

CHOICE = "house.txt"


def chosen_house(folder: str | Path | None = None, *, notebooks: str | Path = ".") -> House:
    """The house to work on: `folder`, or the one that `house.txt` in the notebooks' folder names."""
    if folder is not None:
        return read_house(folder)
    file = Path(notebooks) / CHOICE
    if not file.is_file():
        problem = InputProblem(CHOICE, None, "", "", "the file is missing", "one line: the path of a house folder")
        raise InputErrors([problem])
    return read_house(Path(notebooks) / file.read_text(encoding="utf-8").strip())


def choose_house(*, notebooks: str | Path = ".") -> widgets.VBox:
    """A list of the example houses and a box for a path of your own; the choice is kept in `house.txt`."""
    base = Path(notebooks)
    examples = sorted(p.parent for p in (data_folder() / "houses").glob("*/house.toml"))
    listed = widgets.Dropdown(
        options=[("choose an example house", "")] + [(p.name, str(p)) for p in examples],
        description="Example",
        layout={"width": "30em"},
    )
    typed = widgets.Text(
        placeholder="or the path of your own house folder", description="Folder", layout={"width": "30em"}
    )
    button = widgets.Button(description="Use this house", tooltip="keep the choice in house.txt for all notebooks")
    said = widgets.HTML()

    @shown(said)
    def use(_button: widgets.Button) -> None:
        said.value = ""
        folder = Path(typed.value.strip() or listed.value or ".")
        house = read_house(folder)
        (base / CHOICE).write_text(f"{_relative(folder, base)}\n", encoding="utf-8")
        said.value = status(f"{house.general.name} is chosen. Run each notebook again from the top.")

    button.on_click(use)
    return widgets.VBox([listed, typed, button, said])


def _relative(folder: Path, base: Path) -> str:
    """`folder` as seen from `base`, so that the choice stays good when the whole tree is moved."""
    target, start = folder.resolve(), base.resolve()
    common = [a for a, b in zip(target.parts, start.parts, strict=False) if a == b]
    ups = len(start.parts) - len(common)
    return "/".join([".."] * ups + list(target.parts[len(common) :])) if len(common) > 1 else str(target)
