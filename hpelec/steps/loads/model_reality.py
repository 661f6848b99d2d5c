"""Results of the step loads, beside the calculation: what published measurements and the house's own meter say."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.core.citing import Citation
from hpelec.core.results import told


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedFigure:
    """One published figure, and whether it compares with the load of one house."""

    population: str = told("who was measured or asked")
    quantity: str = told("what the figure is")
    use: str = told("own peak, panel, coincident, year, trend, rule or data set")
    kind: str = told("measured, modelled, survey or the like, as its source says")
    low: float | None = told("its value, or the lower end", default=None)
    high: float | None = told("its upper end, where it has one", default=None)
    unit: str = told("unit of the value", default="")
    rating_A: float | None = told("panel rating that it speaks of", default=None)
    comparable: bool = told("whether it may stand beside the calculated load of one house")
    remark: str = told("what a reader should know", default="")
    citation: Citation = told("source of the figure")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reality:
    """The calculated load beside what was measured elsewhere, and beside the house's own year. It changes no load."""

    design_A: float = told("calculated load of the chosen method, in amperes")
    design_kW: float = told("the same in kW, taken as kVA")
    band_low_A: float | None = told("lowest published own peak of an all-electric house", default=None)
    band_high_A: float | None = told("highest published own peak of an all-electric house", default=None)
    band_count: int = told("published own peaks in that band", default=0)
    figures: tuple[PublishedFigure, ...] = told("all published figures, those that compare first", default=())
    annual_kWh: float | None = told("electricity used in a year by the house's own meter", default=None)
    mean_kW: float | None = told("average power of that year", default=None)
    load_factor_percent: float | None = told("that average as a share of the calculated load", default=None)
