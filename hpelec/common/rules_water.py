"""Heat in flowing water: what the steps hotwater and coincidence share."""

from __future__ import annotations

from hpelec.core.citing import rule
from hpelec.core.errors import in_range


@rule(
    "heat that one gallon a minute takes for one degree",
    source="trade constant 500 Btu/h per gal/min and F (8.3333 lb/gal, 60 min/h, 1 Btu/lb-F)",
    locator="500 / 3412.142",
    accuracy="recomputed",
)
def flow_heat_kW(btu_per_h: float = 500.0, btu_per_kWh: float = 3412.142) -> float:
    """Heat per flow and rise [kW per gal/min and F].

    btu_per_h: heat for 1 gal/min and 1 F [Btu/h], > 0. btu_per_kWh: > 0.
    """
    in_range("btu_per_h", btu_per_h, above=0)
    in_range("btu_per_kWh", btu_per_kWh, above=0)
    return btu_per_h / btu_per_kWh
