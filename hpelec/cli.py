"""The command line: `hpelec plan`, `check`, `report`, `elevations`, `dxf`, `import-ifc`, `new`, `schema`, `columns`."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from hpelec.core.editions import EDITIONS
from hpelec.core.errors import HpelecError, InputErrors

if TYPE_CHECKING:
    from hpelec.plan import Plan

ALL_MET, SOMETHING_MISSES, UNREADABLE = 0, 1, 2
"""Exit codes: everything meets (or cannot be said), something misses, the input can't be read."""

CAUTION = "Planning help, not a permit drawing: the adopted local code, the utility and licensed people decide."


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    asked = _parser().parse_args(arguments)
    try:
        code = int(asked.run(asked))
        sys.stdout.flush()
        return code
    except BrokenPipeError:  # whoever read the output has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return ALL_MET
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
    check.add_argument("--pictures", metavar="DIR", help="write a picture of the place of each input error into DIR")
    check.set_defaults(run=_check)
    report = commands.add_parser("report", help="write the report, one HTML file that works offline")
    report.add_argument("house", help="house folder")
    report.add_argument("-o", "--output", required=True, metavar="DIR", help="folder to write into")
    report.set_defaults(run=_report)
    dxf = commands.add_parser("dxf", help="write walls, devices, cables and holes as a DXF drawing")
    dxf.add_argument("house", help="house folder")
    dxf.add_argument("-o", "--output", required=True, metavar="FILE", help="drawing to write, e.g. layout.dxf")
    dxf.set_defaults(run=_dxf)
    elevations = commands.add_parser("elevations", help="write every wall with its devices, one HTML file")
    elevations.add_argument("house", help="house folder")
    elevations.add_argument("-o", "--output", required=True, metavar="FILE", help="file to write, e.g. walls.html")
    elevations.set_defaults(run=_elevations)
    for command in (plan, check, report, dxf, elevations):
        command.add_argument(
            "--edition", type=int, choices=EDITIONS, help="edition of NFPA 70; the house's own when left out"
        )
    model = commands.add_parser("import-ifc", help="start a house folder from the rooms of a building model (IFC)")
    model.add_argument("file", help="building model, IFC2X3 or IFC4")
    model.add_argument("folder", help="new house folder")
    model.set_defaults(run=_import_ifc)
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
    try:
        plan = _designed(asked)
    except InputErrors as errors:
        if asked.pictures:
            from hpelec.report.problem_drawing import write_pictures

            for path in write_pictures(errors, asked.pictures):
                print(f"picture written: {path}")
        raise
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


def _dxf(asked: argparse.Namespace) -> int:
    from hpelec.report.dxf import write_dxf

    print(f"drawing written: {write_dxf(_designed(asked), asked.output)}")
    return ALL_MET


def _elevations(asked: argparse.Namespace) -> int:
    from hpelec.report.elevation_page import write_elevations

    print(f"elevations written: {write_elevations(_designed(asked), asked.output)}")
    return ALL_MET


def _import_ifc(asked: argparse.Namespace) -> int:
    from hpelec.house.ifc import import_ifc

    taken = import_ifc(asked.file, asked.folder)
    print(f"{len(taken.house.rooms)} rooms, {len(taken.house.openings)} openings written: {asked.folder}")
    for note in taken.notes:
        print(f"  {note}")
    print(f"Look it through, then: hpelec check {asked.folder}")
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
