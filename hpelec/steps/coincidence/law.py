"""The exact law of a sum of on/off loads on a grid of currents: how often, and how often anew, the total is high.

Work is in tails. For each level L of the grid

    above[L]  share of the time in which the total is at least L
    ups[L]    how often an hour it comes to L or more from below

Adding a load that is on for the share p of the time, starts r times an hour and draws k steps gives

    above'[L] = (1 - p) above[L] + p above[L - k]
    ups'[L]   = (1 - p) ups[L]   + p ups[L - k]   + r (above[L - k] - above[L])

The last term is a start of this load that finds the others between L - k and L. Both lines are exact for loads that are
independent of each other, whatever the length of their runs, at every moment; the order of the loads plays no part.
Arrays have a column for each case (hour of day, state of the household, state of the weather); the level comes last.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hpelec.core.errors import RangeError

Array = NDArray[np.float64]
SLACK = 1e-9
"""Binary fractions: a current this close to a step of the grid is on it."""


@dataclass(frozen=True, slots=True)
class Part:
    """What one load, or an interlocked group, can add: outcomes of which one at most holds at a time.

    steps: current of each outcome in steps of the grid. on: share of the time of each. starts: how often an hour each
    begins. `on` and `starts` are arrays (outcome, *cases).
    """

    steps: tuple[int, ...]
    on: Array
    starts: Array


@dataclass(frozen=True, slots=True)
class Law:
    """Tails of the sum: arrays (*cases, level 0 to the largest possible sum)."""

    above: Array
    ups: Array

    @property
    def top(self) -> int:
        """Largest possible sum, in steps."""
        return int(self.above.shape[-1]) - 1


def nothing(cases: tuple[int, ...]) -> Law:
    """The sum of no loads."""
    return Law(np.ones((*cases, 1)), np.zeros((*cases, 1)))


def add(law: Law, part: Part) -> Law:
    """The law with one more part."""
    cases = np.broadcast_shapes(law.above.shape[:-1], part.on.shape[1:])
    size, grown = law.top + 1, law.top + 1 + max(part.steps, default=0)
    off = 1.0 - part.on.sum(axis=0)[..., None]
    above, ups = np.zeros((*cases, grown)), np.zeros((*cases, grown))
    above[..., :size] = off * law.above
    ups[..., :size] = off * law.ups
    for k, p, r in zip(part.steps, part.on[..., None], part.starts[..., None], strict=True):
        if k == 0:
            above[..., :size] += p * law.above
            ups[..., :size] += p * law.ups
            continue
        above[..., :k] += p
        above[..., k : k + size] += p * law.above
        ups[..., k : k + size] += p * law.ups
        # starts that find the others below L but not below L - k
        ups[..., 1:k] += r * (1.0 - _padded(law.above, 1, k))
        ups[..., k : k + size] += r * (law.above - _padded(law.above, k, k + size))
    return Law(above, ups)


def _padded(tails: Array, start: int, end: int) -> Array:
    """Tails from level `start` to before `end`; above the top they are 0."""
    size = tails.shape[-1]
    if end <= size:
        return tails[..., start:end]
    cut = tails[..., min(start, size) :]
    return np.concatenate([cut, np.zeros((*tails.shape[:-1], end - start - cut.shape[-1]))], axis=-1)


def total(parts: Iterable[Part], start: Law) -> Law:
    """The law of the sum of all parts on top of `start`: those of few cases and small steps first, so that arrays grow
    late. The order changes the time it takes, not the law.
    """
    law = start
    for part in sorted(parts, key=_order):
        law = add(law, part)
    return law


def _order(part: Part) -> tuple[object, ...]:
    """Few cases first, then small steps; the bytes make equal sets of parts give equal bits in any order."""
    return part.on.shape[1:2], max(part.steps, default=0), part.steps, part.on.tobytes(), part.starts.tobytes()


def mean_over(law: Law, weights: Array) -> Law:
    """The law over all cases; weights: share of the time of each case, adding up to 1."""
    axes = tuple(range(weights.ndim))
    same = tuple(axis for axis in axes if law.above.shape[axis] == 1)
    w = weights.sum(axis=same, keepdims=True)
    return Law(np.tensordot(w, law.above, (axes, axes)), np.tensordot(w, law.ups, (axes, axes)))


def steps_up(current_A: float, step_A: float) -> int:
    """A current in steps of the grid, rounded up: the total is then never taken too low."""
    return math.ceil(current_A / step_A - SLACK)


def steps_down(current_A: float, step_A: float) -> int:
    """A current in steps of the grid, rounded down: the total is then never taken too high."""
    return math.floor(current_A / step_A + SLACK)


def level_index(level_A: float, step_A: float, top: int) -> int:
    """Index of the smallest grid level that is at least level_A; one past the top when no sum reaches it."""
    return min(steps_up(level_A, step_A), top + 1)


def at(tails: Array, index: int) -> Array:
    """The tails at a level; 0 beyond the largest sum."""
    return tails[..., index] if index < tails.shape[-1] else np.zeros(tails.shape[:-1])


def percentile_steps(above: Array, percent: float) -> NDArray[np.int64]:
    """The smallest sum that is exceeded for at most 100 - percent of the time [steps]."""
    if not 0 <= percent < 100:
        raise RangeError(f"percent must be >= 0 and < 100, got {percent!r}")
    more = np.concatenate([above[..., 1:], np.zeros((*above.shape[:-1], 1))], axis=-1)
    return np.asarray(np.argmax(more <= (1 - percent / 100) + 1e-12, axis=-1))


def mean_steps(above: Array) -> Array:
    """Mean of the sum [steps]: the sum of its tails."""
    return np.asarray(above[..., 1:].sum(axis=-1))


def single(currents: Sequence[int], on: Sequence[float], starts: Sequence[float]) -> Law:
    """The law of loads that are the same in every hour, one outcome each (for laws checked by hand)."""
    parts = [Part((k,), np.array([p]), np.array([r])) for k, p, r in zip(currents, on, starts, strict=True)]
    return total(parts, nothing(()))
