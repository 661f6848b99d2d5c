"""Every load at which equipment changes, and how far the design load is from it."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from functools import cache

from hpelec.common import rules_conductors as conductors
from hpelec.common import rules_ratings as ratings
from hpelec.common import rules_supply as wire
from hpelec.core.citing import Citation, cite
from hpelec.core.tables import Row, table
from hpelec.steps.service import rules, rules_meter
from hpelec.steps.service.model_spare import Threshold
from hpelec.steps.service.sizing import Sizing

FARTHEST_A = 1200.0
"""Ratings beyond the offers are looked through up to here: the largest that an input may name for a panel."""
RATING, MINIMUM = "service rating", "smallest disconnect"


@cache
def largest_panel_row() -> Row:
    """The row that says how large the bus of a dwelling panel commonly is."""
    return table("service_sizing/common_sizes").one(group="panel_bus")


def thresholds(sizing: Sizing) -> tuple[Threshold, ...]:
    """The table, by load; of equal loads the rating first."""
    found = [_minimum(sizing), *_ratings(sizing)]
    for what, state, citation in _changes(sizing):
        found += _where(sizing, what, state, citation)
    return tuple(sorted(found, key=lambda t: (t.at_A, t.what != MINIMUM, t.what != RATING, t.id)))


def _row(sizing: Sizing, what: str, at_A: float, within: str, beyond: str, offered: bool, by: Citation) -> Threshold:
    distance_A = at_A - sizing.load_A
    return Threshold(
        id=f"{what}, {at_A:g} A",
        what=what,
        at_A=at_A,
        within=within,
        beyond=beyond,
        distance_A=distance_A,
        distance_VA=distance_A * sizing.voltage_V,
        crossed=sizing.load_A > at_A,
        offered=offered,
        citation=by,
    )


def _minimum(sizing: Sizing) -> Threshold:
    within = "a smaller load does not make a smaller disconnect"
    by = rules.minimum_row(sizing.site.serves).citation
    return _row(sizing, MINIMUM, sizing.minimum_A, within, "the load decides", True, by)


def _ratings(sizing: Sizing) -> Iterator[Threshold]:
    """A threshold at each offered rating; with none offered, at each standard rating up to the farthest."""
    offers = sizing.offers_A
    shown = offers or [r for r in ratings.standard_ratings_A(sizing.edition) if sizing.minimum_A <= r <= FARTHEST_A]
    names = [f"{r:g} A" for r in shown]
    after = [*names[1:], "no offer" if offers else "beyond an ordinary dwelling"]
    by = cite(rules.smallest_offer_A, sizing.edition)
    for rating_A, name, larger in zip(shown, names, after, strict=True):
        yield _row(sizing, RATING, rating_A, name, larger, bool(offers), by)


def _ladder(sizing: Sizing) -> list[tuple[float, bool]]:
    """Ratings to look through, rising, and whether each is offered; standard ones continue beyond the offers."""
    offers = sizing.offers_A
    top = offers[-1] if offers else sizing.minimum_A
    more = [r for r in ratings.standard_ratings_A(sizing.edition) if top < r <= FARTHEST_A]
    start = [] if offers else [(sizing.minimum_A, False)]
    return [*start, *((r, True) for r in offers), *((r, False) for r in more)]


State = Callable[[float], str]


def _changes(sizing: Sizing) -> Iterator[tuple[str, State, Citation]]:
    """What changes with the main device, the word for its state, and the source."""
    site, edition = sizing.site, sizing.edition
    limit_A = site.metering_limit_A or rules_meter.TAKEN_LIMIT_A

    def meter(main_A: float) -> str:
        needed_A = rules.continuous_A(main_A, site.main_rated_percent)
        return meter_words(rules_meter.meter_class(needed_A, limit_A, sizing.class_200_A))

    def reduced(main_A: float) -> str:
        applies = wire.dwelling_reduction_applies(main_A, sizing.voltage_V)
        return "83 % of the main" if applies else "all of the main"

    def sets(main_A: float) -> str:
        needed_A = wire.service_ampacity_A(main_A, sizing.voltage_V)
        column_C = 75 if reduced(main_A).startswith("83") else conductors.terminal_column_C(main_A, False)
        found = wire.fewest_sets(needed_A, site.feeder_material, column_C)
        return "one set" if found is not None and found[0] == 1 else "two sets or more"

    def panel(main_A: float) -> str:
        bus_A = largest_panel_row().number("size")
        return "one main panel" if main_A <= bus_A else f"two mains or more, or a panel above {bus_A:g} A"

    yield "meter equipment", meter, cite(rules_meter.meter_class, edition)
    if sizing.voltage_V == 240:
        yield "ampacity of service conductors", reduced, cite(wire.dwelling_reduction_applies, edition)
    yield "parallel service conductors", sets, cite(wire.smallest_size, edition)
    yield "mains", panel, largest_panel_row().citation


def meter_words(row: Row) -> str:
    """A meter class in words."""
    if not row.text("continuous_a"):
        return "instrument transformers"
    return f"class {row.text('meter_class').removeprefix('CL')} meter"


def _where(sizing: Sizing, what: str, state: State, by: Citation) -> Iterator[Threshold]:
    """The last rating of the ladder before each change of state."""
    ladder = [(rating, offered, rules.main_of_rating_A(rating, sizing.edition)) for rating, offered in _ladder(sizing)]
    for (rating_A, _, main_A), (_, next_offered, next_main_A) in itertools.pairwise(ladder):
        within, beyond = state(main_A), state(next_main_A)
        if within != beyond:
            yield _row(sizing, what, rating_A, within, beyond, next_offered, by)
