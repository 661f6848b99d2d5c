"""What is on when the total is high: for each large load, the share of that time in which it runs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hpelec.core.results import told
from hpelec.steps.coincidence import law
from hpelec.steps.coincidence.cases import Cases, grid_A, grouped, largest_A, part_without
from hpelec.steps.coincidence.process import LoadProcess

FINEST_A = 1.0
MOST = 10
"""Loads looked at, the largest first: a small one that is on says little about an overload."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Present:
    """One load while the total is above a level."""

    load: str = told("id of the load")
    name: str = told("what people call it")
    current_A: float = told("its largest current")
    on_share: float = told("share of all time in which it is on")
    on_share_above: float = told("share of the time above the level in which it is on")


def present_above(loads: Sequence[LoadProcess], cases: Cases, level_A: float) -> tuple[Present, ...]:
    """The largest loads by how often they are on while the total is above level_A; none when it never is.

    Above and without one load, less above, is above with it: the law is added up once without each of them.
    """
    large = sorted(loads, key=lambda p: (-p.current_A, p.id))[:MOST]
    groups, step = grouped(loads), grid_A(largest_A(loads), FINEST_A)
    parts = {name: part_without(members, None, cases, step)[0] for name, members in groups.items()}
    named = {load: next(n for n, members in groups.items() if load in members) for load in large}
    small = law.total([p for n, p in parts.items() if n not in named.values()], law.nothing((1, 1, 1)))
    big = {n: p for n, p in parts.items() if n in named.values()}
    index = law.steps_down(level_A, step) + 1
    total = float((cases.weights * law.at(law.total(big.values(), small).above, index)).sum())
    if total <= 0:
        return ()
    rows = []
    for load in large:
        left, off = part_without(groups[named[load]], load, cases, step)
        others = [p for n, p in big.items() if n != named[load]] + ([left] if left.steps else [])
        without = float((cases.weights * off * law.at(law.total(others, small).above, index)).sum())
        rows.append(
            Present(
                load=load.id,
                name=load.name,
                current_A=load.current_A,
                on_share=1 - float((cases.weights * off).sum()),
                on_share_above=1 - without / total,
            )
        )
    return tuple(sorted(rows, key=lambda r: (-r.on_share_above, r.load)))
