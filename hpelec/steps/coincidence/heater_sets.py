"""Which water heaters may run together: every set of them against the main, the rest of the house, and their panel."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np

from hpelec.house.rows import Panel
from hpelec.steps.coincidence import law
from hpelec.steps.coincidence.cases import Cases, largest_A, law_of, parts
from hpelec.steps.coincidence.model import HeaterSet
from hpelec.steps.coincidence.process import HOURS_PER_YEAR, LoadProcess

MOST_IN_FULL = 5
"""With more heaters than this only singles, pairs and all of them together are shown."""


def heater_sets(
    heaters: Sequence[LoadProcess],
    rest: Sequence[LoadProcess],
    cases: Cases,
    step_A: float,
    main_A: float | None,
    panels: Sequence[Panel],
) -> tuple[HeaterSet, ...]:
    """Every set of heaters with what is left for the rest of the house while it runs."""
    if not heaters:
        return ()
    others = law_of(rest, cases, step_A)
    panel = next((p for p in panels if p.takes in ("all", "large")), None)
    return tuple(_row(chosen, others, rest, cases, step_A, main_A, panel) for chosen in _sets(heaters))


def _sets(heaters: Sequence[LoadProcess]) -> Iterator[tuple[LoadProcess, ...]]:
    heaters, number = sorted(heaters, key=lambda h: h.id), len(heaters)
    sizes = range(1, number + 1) if number <= MOST_IN_FULL else (1, 2, number)
    for size in sizes:
        yield from combinations(heaters, size)


def _row(
    chosen: Sequence[LoadProcess],
    others: law.Law,
    rest: Sequence[LoadProcess],
    cases: Cases,
    step_A: float,
    main_A: float | None,
    panel: Panel | None,
) -> HeaterSet:
    together, most = math.fsum(h.current_A for h in chosen), largest_A(rest)
    groups = [h.group for h in chosen if h.group]
    locked = len(groups) != len(set(groups))
    weights = cases.weights
    for part in [] if locked else parts(chosen, cases, step_A):
        weights = weights * part.on.sum(axis=0)
    share = 0.0 if locked else float(weights.sum())
    left = None if main_A is None else main_A - together
    over = None
    if left is not None and share > 0:
        index = law.steps_down(left, step_A) + 1
        above = law.at(others.above, index) if index > 0 else np.ones(others.above.shape[:-1])
        over = float((weights * above).sum()) / share
    panel_left = None if panel is None else panel.rating_A - together
    return HeaterSet(
        heaters=tuple(h.id for h in chosen),
        together_A=together,
        hours_per_year=share * HOURS_PER_YEAR,
        left_A=left,
        rest_largest_A=most,
        rest_over_share=over,
        panel="" if panel is None else panel.id,
        panel_left_A=panel_left,
        verdict=_verdict(left, most, panel_left, locked=locked),
    )


def _verdict(left: float | None, most: float, panel_left: float | None, *, locked: bool) -> str:
    if locked:
        return "never: an interlock keeps them apart"
    if left is None:
        return "cannot say: no main is known"
    if left < 0:
        return "no: more than the main by themselves"
    if panel_left is not None and panel_left < 0:
        return "no: more than their panel is rated for"
    return "yes, with everything else on" if most <= left else "yes, while the rest stays within what is left"
