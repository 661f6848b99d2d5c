"""Results of the step airtightness."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from hpelec.core.citing import Citation
from hpelec.core.results import StepResult, told


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """A leakage as best estimate, lowest and highest likely."""

    best_cfm50: float = told("best estimate")
    low_cfm50: float = told("lowest likely")
    high_cfm50: float = told("highest likely")

    def __str__(self) -> str:
        """`best (low to high)`."""
        return f"{self.best_cfm50:.2f} ({self.low_cfm50:.2f} to {self.high_cfm50:.2f})"


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleLeak:
    """What one hole leaks."""

    hole: str = told("id of the hole")
    kind: str = told("kind of hole")
    surface: str = told("surface")
    room: str = told("room")
    unsealed: Spread = told("leakage if nothing is done")
    sealed: Spread = told("leakage when sealed as the sealing plan says")
    unsealed_by: str = told("row of the leakage table, or formula, used")
    sealed_by: str = told("row of the leakage table, or share of the unsealed leak, used")
    method: str = told("method of sealing reckoned with; empty: none fits, so sealed is unsealed")
    citation: Citation = told("source of the unsealed value")
    sealed_citation: Citation = told("source of the sealed value")


@dataclass(frozen=True, slots=True, kw_only=True)
class TotalLeak:
    """A sum of leaks in several metrics."""

    what: str = told("what is summed")
    leak: Spread = told("plain sums of the bests, of the lowests and of the highests")
    mean_cfm50: float = told("mean of the total when holes vary independently between their lowest and highest")
    sd_cfm50: float = told("standard deviation of the same")
    band_low_cfm50: float = told("the same total is below this in 5 % of cases")
    band_high_cfm50: float = told("the same total is above this in 5 % of cases")
    best_ach50: float = told("best estimate as air changes at 50 Pa")
    best_q50: float = told("best estimate as flow per envelope area, cfm/ft2 at 50 Pa")
    share_percent: float = told("best estimate as a share of the flow that the target allows")


@dataclass(frozen=True, slots=True, kw_only=True)
class AirtightnessResult(StepResult):
    """Holes, totals and the target."""

    main: ClassVar[str] = "leaks"

    leaks: tuple[HoleLeak, ...] = told("each hole")
    totals: tuple[TotalLeak, ...] = told("unsealed, sealed, background, and the whole")
    unsealed: Spread = told("all electrical holes, unsealed")
    sealed: Spread = told("all electrical holes, sealed")
    background: Spread | None = told("leakage of everything else, when the house says it")
    target_metric: str = told("metric of the target")
    target_limit: float = told("limit in that metric")
    limit_cfm50: float = told("the limit as a flow at 50 Pa")
    probability_percent: float | None = told(
        "chance that the sealed house meets the target, holes independent; none without a background", default=None
    )
