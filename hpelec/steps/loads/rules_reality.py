"""What a load calculation can be held against: published peaks, and the electricity a house uses in a year."""

from __future__ import annotations

from functools import cache

from hpelec.core.citing import rule
from hpelec.core.errors import in_range
from hpelec.core.tables import Row, table

HOURS_IN_A_YEAR = 8760.0


@rule("average power of a year", source="arithmetic", locator="kWh / 8760 h", accuracy="recomputed")
def mean_kW(annual_kWh: float, *, hours_h: float = HOURS_IN_A_YEAR) -> float:
    """Average power [kW] of a year in which `annual_kWh` [kWh], >= 0, were used."""
    return in_range("annual_kWh", annual_kWh, low=0, high=1e7) / in_range("hours_h", hours_h, above=0)


@rule("annual load factor", source="arithmetic", locator="kWh / (8760 h x peak kW)", accuracy="recomputed")
def load_factor_percent(annual_kWh: float, peak_kW: float) -> float:
    """Average power of a year as a share of a peak [percent]; peak_kW > 0.

    No house exceeds 100 percent of its own peak: more says that the peak or the year is wrong.
    """
    return 100 * mean_kW(annual_kWh) / in_range("peak_kW", peak_kW, above=0, high=1e5)


@cache
def published(use: str) -> tuple[Row, ...]:
    """Rows of the published measured peaks by their use: own peak, panel, coincident, year, trend, rule, data set."""
    return table("loads/measured_peaks").where(use=use)


@rule(
    "whether a published figure may stand beside the calculated load of one house",
    source="our own reading",
    locator="a service serves one house: only one house's own peak compares",
    accuracy="common practice",
)
def comparable(use: str) -> bool:
    """True for a house's own peak only; a coincident (system) average, a panel's rating or a trend is another thing."""
    return use == "own peak"
