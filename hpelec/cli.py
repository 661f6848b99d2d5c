"""The command line: `hpelec plan`, `check`, `report`, `new`, `schema`, `columns`."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from hpelec.core.editions import EDITIONS
from hpelec.core.errors import HpelecError

if TYPE_CHECKING:
    from hpelec.plan import Plan

ALL_MET, SOMETHING_MISSES, UNREADABLE = 0, 1, 2
"""Exit codes: everything meets (or cannot be said), something misses, the input can't be read."""

CAUTION = "Planning help, not a permit drawing: the adopted local code, the utility and licensed people decide."


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    asked = _parser().parse_args(arguments)
    try:
        return int(asked.run(asked))
    except (HpelecError, FileExistsError) as error:
        print(error, file=sys.stderr)
        return UNREADABLE


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="hpelec", description=__doc__.split(":")[0] + ". " + CAUTION)
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    plan = commands.add_parser("plan", help="design a house and print the answer")
    plan.add_argument("house", help="house folder")
    plan.add_argument("--json", action="store_true", help="print everything as one JSON object")
    plan.set_defaults(run=_plan)
    check = commands.add_parser("check", help="print input errors and findings; exit 0 all met, 1 misses, 2 unreadable")
    check.add_argument("house", help="house folder")
    check.set_defaults(run=_check)
    report = commands.add_parser("report", help="write the report, one HTML file that works offline")
    report.add_argument("house", help="house folder")
    report.add_argument("-o", "--output", required=True, metavar="DIR", help="folder to write into")
    report.set_defaults(run=_report)
    for command in (plan, check, report):
        command.add_argument(
            "--edition", type=int, choices=EDITIONS, help="edition of NFPA 70; the house's own when left out"
        )
    new = commands.add_parser("new", help="write a commented starter house into a new folder")
    new.add_argument("folder")
    new.set_defaults(run=_new)
    schema = commands.add_parser("schema", help="print the JSON Schema of `plan --json`")
    schema.set_defaults(run=_schema)
    columns = commands.add_parser("columns", help="print what every input column means")
    columns.set_defaults(run=_columns)
    return parser


def _designed(asked: argparse.Namespace) -> Plan:
    from hpelec.plan import design, read_house

    return design(read_house(asked.house), asked.edition)


def _plan(asked: argparse.Namespace) -> int:
    from hpelec.summary import answer_text, plan_json

    plan = _designed(asked)
    if asked.json:
        print(json.dumps(plan_json(plan), indent=1, ensure_ascii=False))
    else:
        print(answer_text(plan))
        print(f"\n{CAUTION}")
    return ALL_MET


def _check(asked: argparse.Namespace) -> int:
    plan = _designed(asked)
    for finding in plan.findings:
        print(finding)
    counts = ", ".join(f"{n} {word}" for word, n in plan.verdict_counts.items())
    print(f"{len(plan.findings)} findings: {counts}. {CAUTION}")
    return SOMETHING_MISSES if plan.misses else ALL_MET


def _report(asked: argparse.Namespace) -> int:
    from hpelec.report.html import write_report

    path = write_report(_designed(asked), Path(asked.output))
    print(f"report written: {path}")
    return ALL_MET


def _new(asked: argparse.Namespace) -> int:
    from hpelec.house.write import write_starter

    for path in write_starter(asked.folder):
        print(f"written: {path}")
    print(f"Edit these files, then: hpelec check {asked.folder}")
    return ALL_MET


def _schema(_asked: argparse.Namespace) -> int:
    from hpelec.summary import plan_schema

    print(json.dumps(plan_schema(), indent=1, ensure_ascii=False))
    return ALL_MET


def _columns(_asked: argparse.Namespace) -> int:
    from hpelec.house.write import columns_text

    print(columns_text())
    return ALL_MET


if __name__ == "__main__":
    sys.exit(main())
