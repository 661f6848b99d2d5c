"""The command line as a user meets it: outputs, exit codes, messages."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest

from hpelec.cli import ALL_MET, SOMETHING_MISSES, UNREADABLE, main
from hpelec.core.tables import data_folder
from hpelec.plan import STEPS
from hpelec.summary import plan_json, plan_schema
from tests.houses import DEMO, EXAMPLES, planned


def folder(name: str) -> str:
    return str(data_folder() / "houses" / name)


def test_plan_prints_one_screen(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", folder(DEMO)]) == ALL_MET
    said = capsys.readouterr().out
    assert len(said.splitlines()) <= 30, "the answer should fit a screen"
    for word in (
        "Design load",
        "Service to ask for",
        "Holes in the air barrier",
        "Sealing plan",
        "licensed people decide",
    ):
        assert word in said


@pytest.mark.parametrize("name", EXAMPLES)
def test_json_is_as_the_schema_says(name: str) -> None:
    data = json.loads(json.dumps(plan_json(planned(name))))
    jsonschema.Draft202012Validator.check_schema(plan_schema())
    jsonschema.validate(data, plan_schema())
    assert list(data)[:2] == ["house", "edition"]
    assert [k for k in data if k in {s.name for s in STEPS}] == [s.name for s in STEPS]


def test_schema_refuses_a_missing_step() -> None:
    data = plan_json(planned(DEMO))
    del data["loads"]
    with pytest.raises(jsonschema.ValidationError, match="loads"):
        jsonschema.validate(data, plan_schema())


def test_schema_describes_every_field() -> None:
    bare = [p for p, s in plan_schema()["properties"].items() if "description" not in s]
    assert not bare


def test_json_is_deterministic(tmp_path: Path) -> None:
    runs = [
        subprocess.run(
            [sys.executable, "-m", "hpelec.cli", "plan", folder(DEMO), "--json"],
            capture_output=True,
            check=True,
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(data_folder().parent), "PATH": ""},
        ).stdout
        for seed in ("1", "2")
    ]
    assert runs[0] == runs[1]
    json.loads(runs[0])


@pytest.mark.parametrize("name", EXAMPLES)
def test_check_exit_code_follows_findings(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    expected = SOMETHING_MISSES if planned(name).misses else ALL_MET
    assert main(["check", folder(name)]) == expected
    assert f"{len(planned(name).findings)} findings" in capsys.readouterr().out


def test_unreadable_house_is_exit_2_with_every_problem(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "house.toml").write_text("[hous]\n", "utf-8")
    assert main(["check", str(tmp_path)]) == UNREADABLE
    said = capsys.readouterr().err
    assert "did you mean 'house'?" in said
    assert "rooms.csv" in said and "appliances.csv" in said


def test_missing_folder_is_exit_2(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", "no-such-folder"]) == UNREADABLE
    assert "no such folder" in capsys.readouterr().err


def test_new_then_check_then_report(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    house = tmp_path / "mine"
    assert main(["new", str(house)]) == ALL_MET
    assert main(["check", str(house)]) in (ALL_MET, SOMETHING_MISSES)
    assert main(["report", str(house), "-o", str(tmp_path / "out")]) == ALL_MET
    assert list((tmp_path / "out").glob("*.html"))
    assert main(["new", str(house)]) == UNREADABLE
    assert "not empty" in capsys.readouterr().err


def test_edition_option_changes_the_edition(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", folder(DEMO), "--edition", "2017", "--json"]) == ALL_MET
    assert json.loads(capsys.readouterr().out)["edition"] == 2017


def test_unknown_edition_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["plan", folder(DEMO), "--edition", "2018"])
    assert stopped.value.code == UNREADABLE
    assert "2017" in capsys.readouterr().err


def test_columns_tell_every_table(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["columns"]) == ALL_MET
    said = capsys.readouterr().out
    assert "## rooms.csv" in said and "## house.toml [envelope]" in said


def test_a_reader_that_has_seen_enough_ends_the_output_without_a_traceback() -> None:
    command = [sys.executable, "-m", "hpelec.cli", "plan", folder(DEMO), "--json"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:
        assert running.stdout and running.stderr
        running.stdout.read(10)
        running.stdout.close()
        said = running.stderr.read().decode()
        assert running.wait(60) == ALL_MET and said == "", said
