"""Published checks of the step lateral that need several rules at once, and the step for a stated site."""

from __future__ import annotations

import csv
import dataclasses
import math
from pathlib import Path
from typing import Any

from hpelec.common import rules_drop
from hpelec.house.model import House
from hpelec.plan import Plan, design
from hpelec.steps.lateral import pulling, rules_raceway, rules_start, rules_trench
from hpelec.steps.lateral.model import LateralResult
from tests.houses import example, starter

ANNEX_C = Path(__file__).parent / "published" / "annex_c_counts.csv"
KNOWN_MISSES = {("PVC80", "XHHW-2", "14", "1"), ("PVC80", "XHHW-2", "12", "1/2")}
"""Cells whose remainder stands just under 0.8 from printed areas: 19.799 (printed 20) and 4.796 (printed 5)."""


def site_house(**site: Any) -> House:
    """The starter house with columns of [service] changed."""
    house = starter()
    return house.changed(service_site=dataclasses.replace(house.service_site, **site))


def lateral_of(edition: int = 2023, **site: Any) -> LateralResult:
    """The step lateral on the starter house; `site` changes columns of [service]."""
    plan: Plan = design(site_house(**site), edition, only=("lateral",))
    return plan.lateral


def finding(result: LateralResult, id: str, place: str = "") -> str:
    """Verdict of the one finding of an id (and place)."""
    found = [f.verdict.value for f in result.findings if f.id == id and place in f.place]
    assert len(found) == 1, f"{len(found)} findings {id} at {place or 'any place'}"
    return found[0]


def example_changed(name: str, **site: Any) -> LateralResult:
    """The step lateral on an example house with columns of [service] changed."""
    house = example(name)
    changed = house.changed(service_site=dataclasses.replace(house.service_site, **site))
    return design(changed, only=("lateral",)).lateral


def annex_c_cells() -> list[dict[str, str]]:
    with ANNEX_C.open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def annex_c_count(cell: dict[str, str]) -> int:
    row = rules_raceway.raceway_row(cell["raceway"], cell["trade_size_in"])
    area = rules_raceway.conductor_area_in2(cell["insulation"], cell["size"])
    return rules_raceway.most_conductors(row.number("internal_area_in2"), area)


def annex_c_matches() -> dict[str, object]:
    cells = annex_c_cells()
    good = [c for c in cells if annex_c_count(c) == int(c["max_conductors"])]
    misses = [tuple(c[k] for k in ("raceway", "insulation", "size", "trade_size_in")) for c in cells if c not in good]
    return {"cells": len(cells), "matches": len(good), "known": sorted(misses) == sorted(KNOWN_MISSES)}


def counts_in(raceway: str, sizes: list[str], insulation: str, conductor: str) -> list[int]:
    area = rules_raceway.conductor_area_in2(insulation, conductor)
    rows = [rules_raceway.raceway_row(raceway, s) for s in sizes]
    return [rules_raceway.most_conductors(r.number("internal_area_in2"), area) for r in rows]


def bore_and_fill(raceway: str, trade_size: str) -> dict[str, float]:
    bore = rules_raceway.bore_in(raceway, trade_size)
    area = math.pi / 4 * bore**2
    return {
        "area_in2": area,
        "fill_40_in2": area * rules_raceway.fill_limit_percent(3, 10) / 100,
        "fill_60_in2": area * rules_raceway.fill_limit_percent(3, 2) / 100,
    }


def trade_size_for(raceway: str, insulation: str, sizes: list[str], length_ft: float) -> dict[str, object]:
    areas = [rules_raceway.conductor_area_in2(insulation, s) for s in sizes]
    return {"total_in2": sum(areas), "trade_size": rules_raceway.smallest_trade_size(raceway, areas, length_ft)}


def jam(raceway: str, trade_size: str, insulation: str, size: str) -> dict[str, object]:
    bore = rules_raceway.bore_in(raceway, trade_size)
    ratio = rules_raceway.jam_ratio(bore, rules_raceway.conductor_outside_in(insulation, size))
    return {"ratio": ratio, "jam_risk": rules_raceway.may_jam(ratio)}


def ribbon(cover_in: float, concrete_encased: bool) -> dict[str, object]:
    required = rules_trench.ribbon_required(cover_in, concrete_encased)
    return {"required": required, "min_above_in": cover_in - rules_trench.deepest_ribbon_in(cover_in)}


def cable(weight: float, friction: float, reel_lb: float = 0.0, limit_lb: float = 1e9) -> pulling.Cable:
    """Three conductors of 0.638 in in a bore of 2.047 in (4/0 XHHW-2 in 2 in PVC), W = 1 + 4/3 (d / (D - d))^2."""
    return pulling.Cable(weight, 0.638, 2.047, 3, friction, reel_lb, 2.0, limit_lb)


def pulled(
    lengths_ft: list[float], bends_deg: list[float], weight: float, friction: float, reel_lb: float = 0.0
) -> dict[str, float | None]:
    """Tension both ways of a run that begins with a straight length, then a bend, a straight length, and so on."""
    pieces = []
    for i, length in enumerate(lengths_ft):
        pieces.append(pulling.Piece(0.0, length_ft=length))
        if i < len(bends_deg):
            pieces.append(pulling.Piece(0.0, angle_deg=bends_deg[i]))
    there, pressure = cable(weight, friction, reel_lb).run(pieces)
    back, pressure_back = cable(weight, friction, reel_lb).run(pieces[::-1])
    return {"there_lb": there, "back_lb": back, "pressure": pressure, "pressure_back": pressure_back}


def transformer(rating_kVA: float, impedance_percent: float) -> dict[str, float]:
    """Impedance of a centre-tapped transformer in percent of its own base, and its short-circuit currents."""
    r, x = rules_start.transformer_ohm(rating_kVA, impedance_percent, 240.0, False)
    half_r, half_x = rules_start.transformer_ohm(rating_kVA, impedance_percent, 240.0, True)
    base, half_base = 240.0**2 / (rating_kVA * 1e5), 120.0**2 / (rating_kVA * 1e5)
    whole_A, half_A = 240 / math.hypot(r, x), 120 / math.hypot(half_r, half_x)
    return {
        "z_240_percent": math.hypot(r, x) / base,
        "z_120_percent": math.hypot(half_r, half_x) / half_base,
        "isc_240_a": whole_A,
        "isc_120_a": half_A,
        "ratio": half_A / whole_A,
    }


def fault_of(rating_kVA: float, voltage_V: float, impedance_percent: float) -> dict[str, float]:
    return {
        "full_load_a": rules_start.full_load_A(rating_kVA, voltage_V),
        "isc_a": rules_start.short_circuit_A(rating_kVA, voltage_V, impedance_percent),
    }


def longest_ft(r: float, current_A: float, voltage_V: float, limit_percent: float) -> float:
    """Longest run within a limit, from the drop over 1000 ft."""
    return limit_percent / 100 * voltage_V / rules_drop.drop_V(current_A, 1000, r) * 1000


def year_of_loss(annual_kWh: float, peak_kW: float, current_A: float, resistance_ohm: float) -> dict[str, float]:
    factor = rules_start.load_factor(annual_kWh, peak_kW)
    mean = rules_start.loss_factor(factor)
    peak = rules_start.loss_W(current_A, resistance_ohm)
    return {
        "load_factor": factor,
        "loss_factor": mean,
        "peak_W": peak,
        "annual_kWh": rules_start.annual_loss_kWh(peak, mean),
    }
