"""Loads and service of a changed house, designed anew: what the studies of the service share."""

from __future__ import annotations

from typing import Protocol

from hpelec.house.model import House
from hpelec.plan import Plan, design


class Crossed(Protocol):
    """What the studies need of a row of the threshold table."""

    @property
    def id(self) -> str:
        """Short name."""

    @property
    def at_A(self) -> float:
        """Load up to which the smaller equipment is enough [A]."""

    @property
    def crossed(self) -> bool:
        """Whether the design load is above it."""


def service_plan(plan: Plan) -> Plan:
    """The plan with the steps loads and service alone; both are kept when the plan has them."""
    return design(plan.house, plan.edition, only=("service",), before=plan)


def load_A(base: Plan, house: House) -> float:
    """Load of a changed house that the service is sized for [A].

    It is the design load, so the step loads alone is run; where the service adds to it (set points that count as
    continuous), the service is designed anew too.
    """
    if base.service.design_A == base.loads.design_A:
        alone: float = design(house, base.edition, only=("loads",), before=base).loads.design_A
        return alone
    together: float = base.redesign(house).service.design_A
    return together


def rating_A(base: Plan, house: House, new_A: float) -> float | None:
    """Offered rating of a changed house with that load; the service is designed anew where the load crosses one."""
    if not any(name.startswith("service rating") for name in crossings(base, new_A)):
        rating: float | None = base.service.rating_A
        return rating
    again: float | None = base.redesign(house).service.rating_A
    return again


def crossings(base: Plan, new_A: float) -> tuple[str, ...]:
    """Thresholds of the base plan that lie between its load and another [A], in the order of the table."""
    rows: tuple[Crossed, ...] = base.service.thresholds
    return tuple(row.id for row in rows if row.crossed != (new_A > row.at_A))
