"""Whole answers of several airtightness rules, for the published checks."""

from __future__ import annotations

import math
from typing import Any

from hpelec.core.units import convert
from hpelec.steps.airtightness import rules, rules_gap, rules_sums


def areas(flow_cfm50: float) -> dict[str, float]:
    ela_cm2 = rules.leakage_area_cm2(flow_cfm50)
    eqla_cm2 = rules.leakage_area_cm2(flow_cfm50, reference_Pa=10, discharge=0.611)
    return {
        "ela_cm2": ela_cm2,
        "ela_in2": convert(ela_cm2, "cm2", "in2"),
        "eqla_in2": convert(eqla_cm2, "cm2", "in2"),
    }


def house_metrics(flow_cfm50: float, volume_ft3: float, area_ft2: float) -> dict[str, float]:
    flow_m3_h = convert(flow_cfm50, "cfm50", "cfm") * 60 * convert(1, "ft3", "m3")
    return {
        "ach50": rules.ach50(flow_cfm50, volume_ft3),
        "cfm50_per_ft2": rules.flow_per_area(flow_cfm50, area_ft2),
        "q50_m3_h": flow_m3_h,
        "n50_1_h": flow_m3_h / convert(volume_ft3, "ft3", "m3"),
        "q50_m3_h_m2": rules.flow_per_area(flow_m3_h, convert(area_ft2, "ft2", "m2")),
    }


def air_changes_to_flow(n50_1_h: float, volume_m3: float) -> dict[str, float]:
    volume_ft3 = convert(volume_m3, "m3", "ft3")
    flow_cfm50 = rules.limit_cfm50("ACH50", n50_1_h, volume_ft3, 1.0)
    return {"q_cfm50": flow_cfm50, "q50_m3_h": convert(flow_cfm50 * 60, "ft3", "m3")}


def metric_permeability(q50_m3_h_m2: float) -> float:
    flow_cfm = convert(q50_m3_h_m2, "m3", "ft3") / 60
    return rules.flow_per_area(flow_cfm, convert(1, "m2", "ft2"))


def other_pressure(q50_cfm_ft2: float) -> dict[str, float]:
    metric_m3_h = convert(q50_cfm_ft2 * 60, "ft3", "m3") / convert(1, "ft2", "m2")
    return {"q75_cfm_ft2": rules.flow_at_pressure(q50_cfm_ft2, 50, 75), "q50_m3_h_m2": metric_m3_h}


def at_the_limit(ach50_limit: float, volume_ft3: float) -> dict[str, Any]:
    limit = rules.limit_cfm50("ACH50", ach50_limit, volume_ft3, 5200)
    return {"q_max_cfm50": limit, "at_limit_passes": rules.meets_limit(limit, limit)}


def box_limit(q_cfm75: float) -> dict[str, float]:
    flow_cfm50 = rules.flow_at_pressure(q_cfm75, 75, 50)
    return {
        "q_l_s": q_cfm75 * rules.L_S_PER_CFM,
        "q_cfm50": flow_cfm50,
        "ela4_cm2": rules.leakage_area_cm2(flow_cfm50),
    }


def outlet(ela4_cm2: float) -> dict[str, float]:
    flow_cfm50 = rules.area_flow_cfm50(ela4_cm2)
    flow_L_s = flow_cfm50 * rules.L_S_PER_CFM
    return {"q_cfm50": flow_cfm50, "q50_l_s": flow_L_s, "q4_l_s": rules.flow_at_pressure(flow_L_s, 50, 4)}


def ring(gap_mm: float, cable_mm: float, depth_mm: float, loss: float) -> dict[str, float]:
    hole_mm = cable_mm + 2 * gap_mm
    open_mm2 = math.pi / 4 * (hole_mm**2 - cable_mm**2)
    width_mm = rules_gap.ring_gap_mm(hole_mm, open_mm2)
    length_mm = rules_gap.ring_length_mm(hole_mm, width_mm)
    q4, q50 = (rules_gap.gap_flow_L_s(width_mm, length_mm, depth_mm, p, loss=loss) for p in (4, 50))
    return {
        "gap_mm": width_mm,
        "length_mm": length_mm,
        "q4_l_s": q4,
        "q50_l_s": q50,
        "n_4_50": math.log(q50 / q4) / math.log(12.5),
    }


def straight_ring(gap_mm: float, cable_mm: float, depth_mm: float) -> dict[str, float]:
    loss = rules_gap.straight_loss(gap_mm, depth_mm)
    flow_L_s = ring(gap_mm, cable_mm, depth_mm, loss)["q50_l_s"]
    return {"loss": loss, "q50_l_s": flow_L_s}


def hole(hole_mm: float, pressure_Pa: float) -> float:
    return rules_gap.orifice_flow_L_s(math.pi / 4 * hole_mm**2, pressure_Pa)


def equal_sum(count: int, low: float, mode: float, high: float, threshold: float) -> dict[str, float]:
    one = (low, mode, high)
    mean = count * rules_sums.triangular_mean(one)
    sd = math.sqrt(count * rules_sums.triangular_variance(one))
    return {
        "mean": mean,
        "sd": sd,
        "p_exact": rules_sums.sum_probability([one] * count, threshold),
        "p_normal": rules_sums.normal_probability(mean, sd, threshold),
    }


def shares() -> dict[str, float]:
    best, low, high = rules_gap.sealed_shares((2, 1, 2), (6, 2, 24))
    return {"best": best, "low": low, "high": high}
