"""Whole answers of several penetration rules, for the published checks."""

from __future__ import annotations

from typing import Any

from hpelec.common import rules_holes, rules_nm
from hpelec.core.tables import table
from hpelec.steps.penetrations import rules, rules_methods


def sealed_hole(size: str, cables: int, breaker_A: float, ambient_C: float = 30.0) -> dict[str, Any]:
    factor = rules_nm.sealed_hole_factor([2] * cables, 2023)
    ambient = rules_nm.ambient_factor_90(ambient_C)
    row = table("tables/conductors").one(size=size, material="cu")
    final_A = rules_nm.sealed_hole_ampacity_A(size, factor, 2023, ambient_factor=ambient)
    return {
        "factor": factor,
        "adjusted_A": row.number("ampacity_90c_a") * factor * ambient,
        "final_A": final_A,
        "ok": final_A >= breaker_A,
    }


def most_by_size() -> list[int]:
    usual = (("14", 15.0), ("12", 20.0), ("10", 30.0))
    return [rules_nm.most_cables(rules_nm.NmCable(size, 2, breaker_A), 2023) for size, breaker_A in usual]


def boxes_fit(cavity_depth_in: list[float], finish_in: list[float], box_outside_depth_in: list[float]) -> list[bool]:
    cases = zip(cavity_depth_in, finish_in, box_outside_depth_in, strict=True)
    return [
        rules.box_margin_in(rules.distance_to_barrier_in([finish, cavity]), depth) >= 0
        for cavity, finish, depth in cases
    ]


def drilled(width_in: float, thickness_in: float) -> dict[str, float]:
    outside_in = rules_holes.stacked_size_in([width_in], [thickness_in])
    hole_in = rules_holes.hole_diameter_in(outside_in)
    return {
        "outside_in": outside_in,
        "hole_in": hole_in,
        "gap_mm": rules.gap_mm(hole_in, outside_in),
        "free_mm2": rules.free_area_mm2(hole_in, [width_in], [thickness_in]),
    }


def method(kind: str, gap_mm: float, words: list[str], reach_until: str, cables: int = 1) -> dict[str, Any]:
    choice = rules_methods.choose_method(kind, gap_mm, tuple(words), reach_until, cables=cables)
    return {"method": choice.method, "rejected": len(choice.rejected)}


def why_not(method_id: str, gap_mm: float, words: list[str], reach_until: str, cables: int = 1) -> bool:
    row = table("air/sealing_methods").one(method_id=method_id)
    return rules_methods.refusal(row, gap_mm, cables, tuple(words), reach_until) == ""
