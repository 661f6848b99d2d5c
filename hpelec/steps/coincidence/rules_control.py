"""Rules of control: who may run within a set point, what is lost by waiting, recovery one after another.

Whether a control may lower a load of the code depends on the edition; it is answered by `allowance` and by the load
calculation, never by the odds of this step.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from functools import cache

from hpelec.common.rules_set_points import MANAGED_EDITIONS
from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import Row, table
from hpelec.steps.coincidence import rules_water

CONTROL = "control by set point and priority"
BALANCE = rules_water.BALANCE
SLACK_A = 1e-9
"""Binary fractions: a sum this little above the set point is within it."""
LATER, LOST = "later", "lost"


@rule(
    "loads that may run within a set point, in the order of their priority",
    source=CONTROL,
    locator="the first that fit; exactly the set point fits",
    accuracy="common practice",
)
def admitted_A(
    asked_A: Sequence[float], setpoint_A: float, background_A: float = 0.0, least_A: Sequence[float | None] = ()
) -> tuple[float, ...]:
    """Current that each load gets [A]; loads in the order of their priority, the one kept longest first.

    asked_A: >= 0. background_A: what nobody can hold back, >= 0. least_A: for each load None, if it is switched only,
    or the least current to which it can be turned down (none given: all are switched only). A load that does not fit is
    passed over, and later ones are still tried.
    """
    left = in_range("setpoint_A", setpoint_A, low=0) - in_range("background_A", background_A, low=0)
    given = []
    for amps, least in itertools.zip_longest(asked_A, least_A[: len(asked_A)]):
        got = amps if in_range("asked_A", amps, low=0) <= left + SLACK_A else turned_down_A(amps, left, least)
        given.append(got)
        left -= got
    return tuple(given)


@rule(
    "current of a load that is turned down",
    source=CONTROL,
    locator="what is left, none below the least",
    accuracy="common practice",
)
def turned_down_A(asked_A: float, left_A: float, least_A: float | None) -> float:
    """What a load gets of what it asks for [A]; least_A: its least current (>= 0), None: it cannot be turned down."""
    in_range("asked_A", asked_A, low=0)
    if asked_A <= left_A:
        return asked_A
    if least_A is None or left_A < in_range("least_A", least_A, low=0):
        return 0.0
    return max(left_A, 0.0)


@rule(
    "of loads that lock each other out by priority, the share of time of each",
    source="independent on/off loads",
    locator="its own share times that in which no better one is on",
    accuracy="recomputed",
)
def priority_shares(on_shares: Sequence[float]) -> tuple[float, ...]:
    """Share of the time of each, the best priority first, where a better one stops the others; on_shares 0 to 1."""
    free, given = 1.0, []
    for share in on_shares:
        given.append(free * in_range("on_shares", share, low=0, high=1))
        free *= 1 - share
    return tuple(given)


@rule(
    "largest set point on a service",
    source="NFPA 70",
    locator={2023: "220.70, 750.30", 2026: "120.7, 130.30"},
    accuracy="published",
    editions=MANAGED_EDITIONS,
)
def largest_set_point_A(rating_A: float, edition: int) -> float:
    """Rating over the factor of a continuous load [A]; rating_A > 0. Raises EditionError before 2023."""
    check_edition(edition, MANAGED_EDITIONS)
    factor = table("loads/further_parameters").one(parameter="set_point_continuous").number("value")
    return in_range("rating_A", rating_A, above=0) / factor


@rule(
    "degrees lost by a heater that is turned down",
    source=BALANCE,
    locator="rise x share of the power that is missing",
    accuracy="recomputed",
)
def lost_dF(rise_dF: float, asked_A: float, given_A: float) -> float:
    """How much colder the water leaves than it would [F difference]; rise_dF >= 0, asked_A > 0, given_A 0 to asked."""
    in_range("given_A", given_A, low=0, high=in_range("asked_A", asked_A, above=0) + SLACK_A)
    return in_range("rise_dF", rise_dF, low=0) * max(1 - given_A / asked_A, 0.0)


@rule(
    "hours to heat a cold tank",
    source=BALANCE,
    locator="volume x rise / power, standby left out",
    accuracy="recomputed",
)
def reheat_h(volume_gal: float, rise_dF: float, heat_kW: float) -> float:
    """Hours until a tank is hot [h]; volume_gal, rise_dF >= 0, heat_kW > 0."""
    return rules_water.volume_kWh(volume_gal, rise_dF) / in_range("heat_kW", heat_kW, above=0)


@rule(
    "recovery one after another",
    source=CONTROL,
    locator="each begins when those before it are hot",
    accuracy="common practice",
)
def hot_after_h(each_h: Sequence[float]) -> tuple[float, ...]:
    """When each tank is hot, in the order given [h]; each_h: hours of each alone, >= 0."""
    for hours in each_h:
        in_range("each_h", hours, low=0)
    return tuple(itertools.accumulate(each_h))


@rule(
    "what a control takes off the load of the code",
    source="NFPA 70",
    locator={2017: "220.60", 2023: "220.60, 220.70", 2026: "Article 120, 120.7"},
    accuracy="memory",
)
def taken_off_A(means: str, currents_A: Sequence[float], edition: int, setpoint_A: float | None = None) -> float:
    """Most that the connected current falls by a control, before any demand factor [A].

    means: interlock, energy_management, priority or probability. currents_A: connected currents of its loads, >= 0.
    setpoint_A: of an energy management, > 0. Raises RangeError for other means or a set point that is missing.
    """
    counts = allowance(means, edition).text("counts")
    whole = math.fsum(in_range("currents_A", amps, low=0) for amps in currents_A)
    if counts == "larger_only":
        return whole - max(currents_A, default=0.0)
    if counts == "set_point":
        if setpoint_A is None:
            raise RangeError("setpoint_A must be given for an energy management")
        return max(whole - in_range("setpoint_A", setpoint_A, above=0), 0.0)
    return 0.0


@cache
def allowance(means: str, edition: int) -> Row:
    """The row that says what an edition lets one take off for a control. Raises RangeError for unknown means."""
    check_edition(edition)
    rows = table("coincidence/control_allowances")
    known = sorted({r.text("means") for r in rows})
    if means not in known:
        raise RangeError(f"means must be one of {', '.join(known)}, got {means!r}")
    return rows.one(means=means, in_edition=str(edition))


@cache
def kind_row(kind: str) -> Row:
    """How a kind of load is held back."""
    rows = table("coincidence/control_of_kinds")
    found = rows.where(kind=kind)
    return found[0] if found else rows.one(kind="other kinds")


@cache
def least_of(kind: str) -> float | None:
    """The least current to which a kind can be turned down; None for one that is switched only."""
    row = kind_row(kind)
    return row.number("least_A") if row.text("turns_down") == "yes" else None


@cache
def made_up_later(kind: str) -> bool:
    """Whether what is held back of a kind is made up later, or lost."""
    return kind_row(kind).text("holding_back") == LATER
