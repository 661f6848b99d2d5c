"""Ten thousand variants of a house through loads and service, against the same sums in a spreadsheet engine.

The sheet holds the bare arithmetic of two methods and the next standard rating. The library does more for each variant:
every method, neutral, feeders, conductors, thresholds, working with sources, findings. Both must give the same amperes.
"""

from __future__ import annotations

import csv
import random
import shutil
import subprocess
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from hpelec.common.rules_ratings import standard_ratings_A
from hpelec.house.model import House
from hpelec.plan import design
from tests.houses import starter

EDITION = 2023
Variant = tuple[float, float, float, float, float]
"""Floor area [ft2], range, dryer, water heater, heat pump [VA]."""


def variants(count: int) -> list[Variant]:
    """The same variants in every run."""
    pick = random.Random(10_000)
    return [
        (
            float(pick.randint(600, 5000)),
            float(pick.randint(9000, 16_000)),
            float(pick.randint(3000, 7000)),
            float(pick.randint(2000, 30_000)),
            float(pick.randint(1500, 9000)),
        )
        for _ in range(count)
    ]


def house_of(variant: Variant) -> House:
    """The starter house with the loads of a variant."""
    area_ft2, *loads = variant
    house = starter()
    power = dict(zip(("range", "dryer", "tank", "heatpump"), loads, strict=True))
    return house.changed(
        general=replace(house.general, floor_area_ft2=area_ft2),
        appliances=tuple(replace(a, power_VA=power.get(a.id, a.power_VA)) for a in house.appliances),
        heaters=tuple(replace(h, power_VA=power[h.id]) for h in house.heaters),
    )


def ours(rows: list[Variant]) -> list[tuple[float, float, float]]:
    """Standard and optional load [VA], and the standard rating [A], by the library."""
    found = []
    for variant in rows:
        plan = design(house_of(variant), EDITION, only=("service",))
        demand = {m.method: m.demand_VA for m in plan.loads.methods}
        found.append((demand["standard"], demand["optional"], plan.service.standard_A))
    return found


def formulas(row: int) -> list[str]:
    """The formulas of one row: lighting block, standard, optional, rating. Cells A to E hold the variant."""
    a, rng, dry, tank, pump = (f"[.{c}{row}]" for c in "ABCDE")
    last = len(standard_ratings_A(EDITION))
    block = f"3*{a}+4500"
    light = f"MIN({block};3000)+0.35*(MIN({block};120000)-3000)"
    cooking = f"8000*(1+0.05*MAX(0;ROUND({rng}/1000-12;0)))"
    standard = f"{light}+1200+{tank}+MAX(5000;{dry})+{cooking}+{pump}*1.25"
    general = f"({block}+1200+{tank}+{dry}+{rng})"
    optional = f"MIN({general};10000)+0.4*MAX({general}-10000;0)+{pump}"
    load_A = f"MAX(100;MIN([.F{row}];[.G{row}])/240)"
    place = f'COUNTIF([.$I$1:.$I${last}];"<"&{load_A})+1'
    return [standard, optional, f"INDEX([.$I$1:.$I${last}];{place})"]


def flat_sheet(rows: list[Variant]) -> str:
    """An OpenDocument sheet with live formulas and no stored results."""

    def number(value: float) -> str:
        return f'<table:table-cell office:value-type="float" office:value="{value:g}"/>'

    def formula(text: str) -> str:
        escaped = text.replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;")
        return f'<table:table-cell table:formula="of:={escaped}" office:value-type="float"/>'

    ratings = standard_ratings_A(EDITION)
    body = []
    for i in range(max(len(rows), len(ratings))):
        cells = "".join(map(number, rows[i])) + "".join(map(formula, formulas(i + 1))) if i < len(rows) else ""
        filler = '<table:table-cell table:number-columns-repeated="8"/>' if i >= len(rows) else ""
        rating = number(ratings[i]) if i < len(ratings) else ""
        body.append(f"<table:table-row>{cells}{filler}{rating}</table:table-row>")
    versions = {"office": "office:1.0", "table": "table:1.0", "of": "of:1.2"}
    names = " ".join(f'xmlns:{k}="urn:oasis:names:tc:opendocument:xmlns:{v}"' for k, v in versions.items())
    head = (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document {names} office:version="1.3" '
        'office:mimetype="application/vnd.oasis.opendocument.spreadsheet"><office:body><office:spreadsheet>'
    )
    foot = "</table:table></office:spreadsheet></office:body></office:document>"
    return f'{head}<table:table table:name="v">{"".join(body)}{foot}'


def by_sheet(rows: list[Variant]) -> tuple[list[tuple[float, float, float]], float]:
    """The same by a spreadsheet engine without a window, and its seconds, start and files included."""
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "v.fods").write_text(flat_sheet(rows), encoding="utf-8")
        profile = f"-env:UserInstallation=file://{folder}/profile"
        command = ["soffice", profile, "--headless", "--convert-to", "csv", "--outdir", folder, f"{folder}/v.fods"]
        began = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        seconds = time.perf_counter() - began
        with (Path(folder) / "v.csv").open(encoding="utf-8") as file:
            cells = list(csv.reader(file))[: len(rows)]
    return [(float(c[5]), float(c[6]), float(c[7])) for c in cells], seconds


def main(count: int = 10_000) -> None:
    """Print variants a second, the spreadsheet's, and whether both agree."""
    rows = variants(count)
    ours(rows[:20])
    began = time.perf_counter()
    found = ours(rows)
    ours_s = time.perf_counter() - began
    print(f"{count:,} house variants through loads and service: {count / ours_s:,.0f} a second ({ours_s:.1f} s)")
    if shutil.which("soffice") is None:
        print("  no spreadsheet engine (soffice) here: not compared")
        return
    sheet, sheet_s = by_sheet(rows)
    _, empty_s = by_sheet(rows[:1])
    worst = max(
        abs(a - b) for mine, theirs in zip(found, sheet, strict=True) for a, b in zip(mine, theirs, strict=True)
    )
    print(
        f"  the bare sums in a spreadsheet engine: {count / max(sheet_s - empty_s, 1e-9):,.0f} a second "
        f"({sheet_s:.1f} s, of which {empty_s:.1f} s start); one of ours costs "
        f"{ours_s / max(sheet_s - empty_s, 1e-9):.1f} of its rows; largest difference {worst:.3g}"
    )
    if worst > 0.01:
        raise SystemExit("the spreadsheet and the library disagree")


if __name__ == "__main__":
    main()
