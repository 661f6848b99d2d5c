"""Published hot-water checks whose source gives other units, or takes several of our rules at once."""

from __future__ import annotations

from hpelec.common.rules_water import flow_heat_kW
from hpelec.core.tables import table
from hpelec.core.units import convert
from hpelec.steps.hotwater import rules, rules_mains


def physical_constant(density_lb_gal: float, cp_btu_lb_dF: float) -> float:
    return flow_heat_kW(btu_per_h=60 * density_lb_gal * cp_btu_lb_dF)


def constant_per_lpm_K() -> float:
    return flow_heat_kW() / convert(1, "gal", "L") / convert(1, "dF", "K")


def rise_on_other_voltage(kW: float, rated_V: float, supply_V: float, flow_gpm: float) -> dict[str, float]:
    lower = rules.element_kW(kW, rated_V, supply_V)
    return {
        "rise_dF": rules.rise_dF(kW, flow_gpm),
        "kW_there": lower,
        "rise_there_dF": rules.rise_dF(lower, flow_gpm),
    }


def mixed_gal(hot_gal: float, hot_F: float, mixed_F: float, cold_F: float) -> float:
    return hot_gal / rules.hot_share(hot_F, mixed_F, cold_F)


def heat_pump_recovery(heat_kW: float, cop: float, rise_dF: float, volume_gal: float) -> dict[str, float]:
    gph = rules.recovery_gph(heat_kW, rise_dF)
    return {"gph": gph, "electric_kW": heat_kW / cop, "hours": volume_gal / gph}


def first_hour(volume_gal: float, kW: float, rise_dF: float) -> float:
    return rules.first_hour_gal(volume_gal, rules.recovery_gph(kW, rise_dF))


def tank_feeds_showers(
    volume_gal: float, usable_share: float, hot_F: float, mixed_F: float, cold_F: float, mixed_gpm: float, kW: float
) -> dict[str, float | None]:
    hot_gpm = mixed_gpm * rules.hot_share(hot_F, mixed_F, cold_F)
    recovery_gph = rules.recovery_gph(kW, hot_F - cold_F)
    minutes = rules.sustained_min(volume_gal, hot_gpm, recovery_gph, usable_share)
    return {"hot_gpm": hot_gpm, "recovery_gpm": recovery_gph / 60, "minutes": minutes}


def interlocked(loads_A: list[float], edition: int) -> dict[str, float]:
    counted = rules.noncoincident(loads_A, edition)
    return {"counted_A": counted, "saved_A": sum(loads_A) - counted}


def water_heater_row(kW: float, supply_V: float) -> dict[str, float]:
    """One row of the published heater table: rated at 240 V."""
    lower = rules.element_kW(kW, 240, supply_V)
    return {
        "amps_240V": rules.current_A(kW * 1000, 240),
        "kW_there": lower,
        "amps_there": rules.current_A(lower * 1000, supply_V),
        "gpm_at_70": rules.full_flow_gpm(kW, 70),
        "gpm_at_50": rules.full_flow_gpm(kW, 50),
        "gph_at_90": rules.recovery_gph(kW, 90),
    }


def worksheet(fixtures: list[str]) -> float:
    rows = [table("hotwater/peak_hour_uses").one(fixture=kind) for kind in fixtures]
    return rules.peak_hour_gal([1] * len(rows), [row.number("hot_gal") for row in rows])


def mains_extremes_F(mean_air_C: float, range_K: float, latitude_deg: float) -> dict[str, float]:
    mean_F, range_dF = convert(mean_air_C, "C", "F"), convert(range_K, "K", "dF")
    days = {d: rules_mains.mains_F(d, mean_F, range_dF, latitude_deg) for d in rules_mains.DAYS}
    least, most = min(days, key=lambda d: days[d]), max(days, key=lambda d: days[d])
    return {
        "min_F": days[least],
        "min_day": least,
        "max_F": days[most],
        "max_day": most,
        "mean_F": sum(days.values()) / len(days),
        "ratio": rules_mains.mains_ratio(mean_F),
        "lag_days": rules_mains.mains_lag_days(mean_F),
    }


def mains_extremes_C(mean_air_C: float, range_K: float, latitude_deg: float) -> dict[str, float]:
    found = mains_extremes_F(mean_air_C, range_K, latitude_deg)
    return {
        "min_C": convert(found["min_F"], "F", "C"),
        "min_day": found["min_day"],
        "max_C": convert(found["max_F"], "F", "C"),
        "max_day": found["max_day"],
    }


def mains_bounds_F(mean_air_C: float, range_K: float) -> dict[str, float]:
    """The extremes that the sine would reach on a broken day."""
    mean_F, range_dF = convert(mean_air_C, "C", "F"), convert(range_K, "K", "dF")
    middle, swing = rules_mains.mains_mean_F(mean_F), rules_mains.mains_ratio(mean_F) * range_dF / 2
    return {"min_F": middle - swing, "max_F": middle + swing}
