"""Small building sites for the published checks of the step stages."""

from __future__ import annotations

from typing import Any

from hpelec.house.rows_loads import SiteLoad
from hpelec.house.sections_power import TemporarySupply
from hpelec.plan import design
from hpelec.steps.stages.model import StagesResult
from tests.houses import starter


def staged(loads: list[SiteLoad], **temporary: Any) -> StagesResult:
    """The step stages for a starter house with these site loads."""
    house = starter().changed(site_loads=tuple(loads), temporary=TemporarySupply(**temporary))
    return design(house, only=("stages",)).stages


def small_site(rating_A: float) -> dict[str, Any]:
    """Three loads over three stages; the permanent service goes live at the trim."""
    loads = [
        SiteLoad(id="saw", name="Saw", power_VA=1800, from_stage="framing", to_stage="seal"),
        SiteLoad(id="heat", name="Heater", power_VA=1500, continuous=True, from_stage="seal", to_stage="seal"),
        SiteLoad(id="mixer", name="Mixer", power_VA=1800, voltage_V=240, from_stage="seal", to_stage="seal"),
        SiteLoad(id="pump", name="Pump", power_VA=1920, voltage_V=240, from_stage="gypsum", to_stage="trim"),
    ]
    found = staged(loads, rating_A=rating_A)
    rows = [s for s in found.supplies if s.stage in ("framing", "seal", "trim")]
    return {
        "legs_A": [s.leg_A for s in rows],
        "supplies": [s.supply for s in rows],
        "carries": [s.carries for s in rows],
        "moves": [m.load for m in found.moves],
    }
