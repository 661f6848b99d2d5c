"""The legs of a panel put to a general solver: the same question as a mixed-integer programme, solved by HiGHS.

The step circuits finds the best split by reaching all sums. This second opinion reads the finished schedule alone and
lets scipy's solver look for a better one: a leg for each circuit, the number of spaces of each leg kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from hpelec.core.results import told
from hpelec.plan import Plan

SECONDS = 20.0
"""Time after which the solver stops and tells its gap."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LegProof:
    """What the solver says of the legs of one panel."""

    panel: str = told("id of the panel")
    choices: int = told("yes-or-no choices in the programme")
    difference_VA: float | None = told("least difference that the solver found; None: none in time")
    bound_VA: float | None = told("no split differs less, by the solver; None: no bound in time")
    gap_percent: float | None = told("gap that the solver leaves; 0: proven the best")
    status: str = told("the solver's own words")
    ours_VA: float = told("difference in the schedule")
    agrees: bool = told("the solver finds the same least difference, to 1 VA")


def leg_proofs(plan: Plan, seconds: float = SECONDS) -> tuple[LegProof, ...]:
    """The solver's answer for every panel of the plan."""
    return tuple(_proof(plan, balance.panel, seconds) for balance in plan.circuits.balance)


def _proof(plan: Plan, panel: str, seconds: float) -> LegProof:
    ours_VA = next(b.difference_VA for b in plan.circuits.balance if b.panel == panel)
    if any(s.panel == panel and not s.first for s in plan.circuits.slots):
        told_why = "not asked: some circuits have no space in this panel"
        return LegProof(
            panel=panel, choices=0, difference_VA=None, bound_VA=None, gap_percent=None, status=told_why,
            ours_VA=ours_VA, agrees=False,
        )  # fmt: skip
    singles, doubles, on_A, on_B = _question(plan, panel)
    weights = [*singles, *doubles]
    counted = [1] * len(singles) + [0] * len(doubles)
    least, bound, gap, status = solved(weights, counted, on_A, on_B, seconds)
    return LegProof(
        panel=panel,
        choices=len(weights),
        difference_VA=least,
        bound_VA=bound,
        gap_percent=gap,
        status=status,
        ours_VA=ours_VA,
        agrees=least is not None and abs(least - ours_VA) <= 1.0,
    )


def _question(plan: Plan, panel: str) -> tuple[list[int], list[int], int, int]:
    """Loads of what takes a space of one leg, differences of what takes one of each, and the spaces of each leg."""
    rows = [s for s in plan.circuits.slots if s.panel == panel and s.first]
    partner = {c.id: c.multiwire_with for c in plan.circuits.circuits if c.multiwire_with}
    by_circuit = {s.circuit: s for s in rows if s.circuit}
    spaces: dict[int, int] = {}
    free = {"A": 0, "B": 0}
    doubles: list[int] = []
    for slot in rows:
        if slot.poles == 2:
            doubles.append(round(abs(slot.leg_A_VA - slot.leg_B_VA)))
        elif slot.circuit in partner:
            other = by_circuit[partner[slot.circuit]]
            if slot.circuit < other.circuit:
                doubles.append(round(abs(slot.leg_A_VA + slot.leg_B_VA - other.leg_A_VA - other.leg_B_VA)))
        elif slot.circuit:
            spaces[slot.first] = spaces.get(slot.first, 0) + round(slot.leg_A_VA + slot.leg_B_VA)
    for first in {s.first for s in rows if s.poles != 2 and s.circuit not in partner}:
        free[next(s.leg for s in rows if s.first == first)] += 1
    return list(spaces.values()), doubles, free["A"], free["B"]


def solved(
    weights: Sequence[int], counted: Iterable[int], most_A: int, most_B: int, seconds: float = SECONDS
) -> tuple[float | None, float | None, float | None, str]:
    """Least difference, bound, gap [%] and the solver's words for whole weights on two legs.

    counted: 1 for what takes a space of its leg, 0 otherwise; most_A, most_B: spaces of each leg. The difference has
    the parity of the sum of the weights, so it is written as 2 e + parity with e whole: that closes the gap at once.
    """
    number, total = len(weights), sum(weights)
    if number == 0:
        return 0.0, 0.0, 0.0, "nothing to split"
    parity = total % 2
    spaces = np.array([*counted, 0], dtype=float)
    rows = np.array([[*(2 * w for w in weights), -2], [*(2 * w for w in weights), 2], spaces], dtype=float)
    low = np.array([-np.inf, total - parity, spaces.sum() - most_B])
    high = np.array([total + parity, np.inf, most_A])
    result = milp(
        np.array([0.0] * number + [1.0]),
        integrality=np.ones(number + 1, dtype=np.int8),
        bounds=Bounds(np.zeros(number + 1), np.array([1.0] * number + [np.inf])),
        constraints=LinearConstraint(rows, low, high),
        options={"time_limit": seconds, "mip_rel_gap": 0.0},
    )
    if result.x is None:
        return None, None, None, str(result.message)
    bound = None if result.mip_dual_bound is None else 2 * float(result.mip_dual_bound) + parity
    gap = None if result.mip_gap is None else 100 * float(result.mip_gap)
    return 2 * round(float(result.fun)) + float(parity), bound, gap, str(result.message)
