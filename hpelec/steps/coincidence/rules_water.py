"""What a draw of hot water asks of its heater, and how often the element of a tank then runs."""

from __future__ import annotations

from hpelec.common.rules_water import flow_heat_kW
from hpelec.core.citing import rule
from hpelec.core.errors import in_range

BALANCE = "energy balance of water"
MIN_PER_H = 60.0


@rule(
    "power while hot water is drawn",
    source=BALANCE,
    locator="P = k q dT, 500 Btu/h per gal/min and F, 3412.142 Btu a kWh",
    accuracy="recomputed",
)
def draw_kW(flow_gpm: float, rise_dF: float) -> float:
    """Heat to warm a flow at once [kW]; flow_gpm >= 0, rise_dF >= 0; a heater gives its rated power at most."""
    return flow_heat_kW() * in_range("flow_gpm", flow_gpm, low=0) * in_range("rise_dF", rise_dF, low=0)


@rule("heat in a volume of hot water", source=BALANCE, locator="k x volume x rise", accuracy="recomputed")
def volume_kWh(volume_gal: float, rise_dF: float) -> float:
    """Heat to warm a volume [kWh]; volume_gal >= 0, rise_dF >= 0."""
    return draw_kW(in_range("volume_gal", volume_gal, low=0), rise_dF) / MIN_PER_H


@rule(
    "share of the time that the element of a tank runs",
    source=BALANCE,
    locator="(draws + standby) / rated",
    accuracy="recomputed",
)
def heater_duty(draws_kWh_per_day: float, standby_W: float, rated_kW: float) -> float:
    """Mean heat asked over rated heat; above 1 the heater cannot keep up. draws, standby >= 0, rated_kW > 0."""
    draws = in_range("draws_kWh_per_day", draws_kWh_per_day, low=0)
    standby_kW = in_range("standby_W", standby_W, low=0) / 1000
    return (draws / 24 + standby_kW) / in_range("rated_kW", rated_kW, above=0)


@rule(
    "mean demand of one heater in its peak hour",
    source=BALANCE,
    locator="daily draws x share of the hour + standby",
    accuracy="recomputed",
)
def peak_hour_kW(draws_kWh_per_day: float, hour_share: float, standby_W: float) -> float:
    """Mean power in an hour with that share of the day's draws, all recovered within it [kW]: an upper view."""
    in_range("hour_share", hour_share, low=0, high=1)
    return (
        in_range("draws_kWh_per_day", draws_kWh_per_day, low=0) * hour_share
        + in_range("standby_W", standby_W, low=0) / 1000
    )
