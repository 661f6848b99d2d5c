"""Loads and service of a changed house, designed anew: what the studies of the service share."""

from __future__ import annotations

from typing import Protocol, cast

from hpelec.core.results import StepResult
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


class Loaded(Protocol):
    """What the studies need of the result of the step loads."""

    @property
    def design_A(self) -> float:
        """Design load [A]."""

    @property
    def design_VA(self) -> float:
        """Design load [VA]."""


def loads_of(base: Plan, house: House) -> Loaded:
    """The load calculation of a changed house; kept when nothing that it reads has changed."""
    result: StepResult = design(house, base.edition, only=("loads",), before=base).results["loads"]
    return cast("Loaded", result)


def rating_A(base: Plan, house: House, load_A: float) -> float | None:
    """Offered rating of a changed house with that load; the service is designed anew where the load crosses one."""
    if not any(name.startswith("service rating") for name in crossings(base, load_A)):
        rating: float | None = base.service.rating_A
        return rating
    again: float | None = base.redesign(house).service.rating_A
    return again


def crossings(base: Plan, load_A: float) -> tuple[str, ...]:
    """Thresholds of the base plan that lie between its load and another [A], in the order of the table."""
    rows: tuple[Crossed, ...] = base.service.thresholds
    return tuple(row.id for row in rows if row.crossed != (load_A > row.at_A))
