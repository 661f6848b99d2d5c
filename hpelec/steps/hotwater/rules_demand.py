"""What fixtures ask: flow by kind, water a day, how often a draw finds the pipe cold."""

from __future__ import annotations

from functools import cache

from hpelec.core.citing import Citation, rule
from hpelec.core.errors import in_range
from hpelec.core.tables import Row, table

SINKS = ("lavatory", "kitchen_sink", "laundry_sink", "bar_sink")
MACHINES = ("dishwasher", "clothes_washer")
"""Fixtures whose daily water is told at the heater's set point, not mixed."""
WAITING = ("shower", *SINKS)
"""Fixtures at which somebody lets the water run until it is hot; a tub and a machine use what comes first."""
PAPER = "Parker, Fairey & Lutz 2015 (ASHRAE Transactions 121-2), as coded in a public national-lab model"


def group_of(fixture: str) -> str:
    """The group by which the published daily numbers go: all sinks are one."""
    return "sinks" if fixture in SINKS else fixture


@cache
def _row(fixture: str, quantity: str) -> Row | None:
    rows = table("hotwater/fixtures").where(fixture=fixture, quantity=quantity)
    return rows[0] if rows else None


def flow_of(fixture: str) -> tuple[float, Citation] | None:
    """Published flow [gal/min] of a kind of fixture with its source; None for `other`."""
    row = _row(fixture, "flow")
    return (row.number("value"), row.citation) if row else None


def duration_of(fixture: str) -> tuple[float, Citation] | None:
    """Published length of a draw [min] with its source; None for `other`."""
    row = _row(fixture, "duration")
    return (row.number("value"), row.citation) if row else None


@rule(
    "mixed water that the people of a house use", source=PAPER, locator="Eq. 14: -4.84 + 18.6 N", accuracy="recomputed"
)
def fixture_gal_per_day(occupants: float) -> float:
    """Mixed water at showers, tubs and sinks [gal a day], not below 0; occupants >= 0."""
    return max(0.0, -4.84 + 18.6 * in_range("occupants", occupants, low=0))


@rule("water that distribution wastes", source=PAPER, locator="7.16 N^0.7", accuracy="recomputed")
def waste_gal_per_day(occupants: float) -> float:
    """Mixed water run off or cooled in the pipes of an ordinary house [gal a day]; occupants >= 0."""
    return 7.16 * float(in_range("occupants", occupants, low=0) ** 0.7)


@rule(
    "water of one kind of use",
    source="Building America House Simulation Protocols (NREL)",
    locator="a + b x bedrooms",
    accuracy="memory",
)
def use_gal_per_day(group: str, bedrooms: float) -> float:
    """Water of a group of fixtures [gal a day], 0 for a group without a published number; bedrooms >= 0."""
    in_range("bedrooms", bedrooms, low=0)
    base, more = _row(group, "daily_base"), _row(group, "daily_per_bedroom")
    return base.number("value") + more.number("value") * bedrooms if base and more else 0.0


@rule(
    "draws that find the pipe cold",
    source="metered end-use data",
    locator="events a person or house and day",
    accuracy="memory",
)
def cold_starts_per_day(group: str, occupants: float) -> float:
    """Draws a day of a group of fixtures after a pause long enough to cool its pipe; occupants >= 0.

    Showers and tubs go by people, sinks and machines by the house. 0 for a group without a published number.
    """
    in_range("occupants", occupants, low=0)
    row = _row(group, "cold_starts")
    if row is None:
        return 0.0
    return row.number("value") * (occupants if row.text("unit").startswith("per person") else 1.0)
