"""The load and the ratings that follow from it: what the other modules of the step start from."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.common import rules_ratings as ratings
from hpelec.common.rules_set_points import rating_with_set_point_A
from hpelec.house.model import House
from hpelec.house.sections_power import ServiceSite
from hpelec.steps.loads.model import LoadsResult
from hpelec.steps.service import rules


@dataclass(frozen=True, slots=True)
class Sizing:
    """The load and the ratings that follow from it [A]."""

    site: ServiceSite
    edition: int
    voltage_V: float
    load_A: float
    minimum_A: float
    standard_A: float | None
    rating_A: float | None
    main_A: float | None

    @property
    def offers_A(self) -> tuple[float, ...]:
        """Ratings that the utility offers and the code allows here, rising."""
        return tuple(sorted({r for r in self.site.offered_A if r >= self.minimum_A}))

    @property
    def class_200_A(self) -> float:
        """Continuous rating of class 200 meter equipment: from its label, or the careful reading."""
        return self.site.meter_200_continuous_A or 160.0


def sized(house: House, edition: int, loads: LoadsResult) -> Sizing:
    """Minimum, standard rating, offer and main for the design load.

    Set points in it are continuous: they count 1.25 times, unless the main is marked for 100 %.
    """
    site = house.service_site
    minimum_A = rules.minimum_service_A(edition, site.serves)
    load_A = loads.design_A
    if loads.managed_continuous_A and site.main_rated_percent < 100:
        load_A = rating_with_set_point_A(load_A, loads.managed_continuous_A)
    offered_A = rules.smallest_offer_A(load_A, site.offered_A, minimum_A)
    listed = max(load_A, minimum_A) <= ratings.standard_ratings_A(edition)[-1]
    standard_A = ratings.next_standard_A(max(load_A, minimum_A), edition) if listed else None
    main_A = standard_A if offered_A is None else rules.main_of_rating_A(offered_A, edition)
    return Sizing(site, edition, loads.voltage_V, load_A, minimum_A, standard_A, offered_A, main_A)
