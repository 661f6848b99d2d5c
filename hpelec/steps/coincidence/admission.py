"""The exact law of loads that a control limits: calls in the order of priority, on the same cases as the whole step.

Each managed load calls as it would without control. At every moment the calls are met in the order of priority, as
long as the sum stays within the set point; one that does not fit gets nothing, or what is left where it can be turned
down. So what runs is a function of the calls alone, and its law follows from theirs without sampling.

Two shapes of the same rule:
  group    the managed loads alone stay within the set point; what else runs plays no part. States are few, and the
           crossings are exact too: every start and every end of a call, which may let another load in.
  service  all that the service carries stays within it; the loads that nobody manages come first and may be above it.

Not exact: what was held back is made up later by longer calls (see `longer`), an interlock counts with the best
priority of its managed loads, and very large groups and many interlocks are simplified (MOST_FINE, MOST_APART); the
step tells so.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from hpelec.steps.coincidence import law, rules_control
from hpelec.steps.coincidence.cases import Cases, grouped, held_apart
from hpelec.steps.coincidence.law import Array
from hpelec.steps.coincidence.process import LoadProcess

MOST_ON = 0.999
"""A call is not stretched beyond this share of the time."""
MOST_STRETCH = 50.0
"""Nor to more than so many times its length."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """One way in which a unit calls: which load, steps of current, share of the time and starts an hour by case."""

    load: LoadProcess
    current_A: float
    steps: int
    on: Array
    starts: Array
    managed: bool

    @property
    def least(self) -> float | None:
        """Least current to which it can be turned down; None: switched only."""
        return rules_control.least_of(self.load.kind)


Unit = tuple[Outcome, ...]
"""What one load or one interlock adds: one outcome at most at a time."""


@dataclass(slots=True)
class Tally:
    """What a load is asked and refused, as means over the time, and the most that it misses while it runs."""

    asked_A: float = 0.0
    given_A: float = 0.0
    held_share: float = 0.0
    limited_share: float = 0.0
    missing: float = 0.0
    """Mean over the time of the missing share of its current, while it is turned down."""
    most_missing: float = 0.0


@dataclass(slots=True)
class Books:
    """The tallies by load."""

    cases: Cases
    step_A: float
    of: dict[str, Tally] = field(default_factory=dict)

    def write(self, outcome: Outcome, chance: Array, given: int | None) -> None:
        """Add the share of the time (by case) in which a call gets so many steps; None: nothing."""
        share = float((np.broadcast_to(chance, np.broadcast_shapes(chance.shape, SHAPE)) * self.cases.weights).sum())
        asked_A = outcome.current_A
        given_A = 0.0 if given is None else asked_A if given >= outcome.steps else min(given * self.step_A, asked_A)
        tally = self.of.setdefault(outcome.load.id, Tally())
        tally.asked_A += share * asked_A
        tally.given_A += share * given_A
        if share <= 0 or asked_A <= 0:
            return
        if given is None:
            tally.held_share += share
        elif given < outcome.steps:
            tally.limited_share += share
            tally.missing += share * (1 - given_A / asked_A)
            tally.most_missing = max(tally.most_missing, 1 - given_A / asked_A)


MOST_FINE, MOST_CAP = 20, 30
"""With more outcomes than this in a group, its set point is divided into no more than so many steps."""
MOST_APART = 3
"""Interlocks that reach outside a service control and are taken apart exactly; further ones count as if free."""
SHAPE = (1, 1, 1)
Stretch = Mapping[str, float]
"""How much longer the calls of a load last, by id; 1 where none is named."""


def units(members: Sequence[LoadProcess], managed: Iterable[str], cases: Cases, step_A: float) -> list[Unit]:
    """The units in the order in which they are served: by priority, then by id; an interlock is one unit."""
    known = set(managed)

    def rank(loads: list[LoadProcess]) -> tuple[int, str]:
        return min((p.priority for p in loads if p.id in known), default=0), min(p.id for p in loads)

    made = []
    for loads in sorted(grouped(members).values(), key=rank):
        outcomes = []
        for load, (on, starts) in zip(loads, held_apart(loads, cases, 0.0), strict=True):
            for amps, share in load.levels:
                steps = law.steps_up(amps, step_A)
                outcomes.append(Outcome(load, amps, steps, on * share, starts * share, load.id in known))
        made.append(tuple(outcomes))
    return made


def longer(unit: Unit, stretch: Stretch) -> Unit:
    """The unit with longer calls: the share of the time grows, the starts stay."""
    factors = [stretch.get(o.load.id, 1.0) for o in unit]
    if all(f == 1.0 for f in factors):
        return unit
    on = np.asarray(sum(o.on for o in unit))
    extra = np.asarray(sum(o.on * (f - 1) for o, f in zip(unit, factors, strict=True)))
    share = np.minimum(1.0, np.divide(np.maximum(MOST_ON - on, 0.0), extra, out=np.ones_like(on), where=extra > 0))
    return tuple(
        Outcome(o.load, o.current_A, o.steps, o.on * (1 + (f - 1) * share), o.starts, o.managed)
        for o, f in zip(unit, factors, strict=True)
    )


def granted(outcome: Outcome, used: int, cap: int, step_A: float) -> int | None:
    """Steps that a call gets where so many are used: all, what is left, or None for nothing."""
    if not outcome.managed or used + outcome.steps <= cap:
        return outcome.steps
    least = outcome.least
    if least is None or cap - used < max(least / step_A, 1):
        return None
    return cap - used


State = tuple[int, int]
"""Steps used within the set point, and steps of the same units that nobody limits."""


@dataclass(frozen=True, slots=True)
class GroupLaw:
    """Chance of each current of a managed group, and how often an hour it rises from one to another, by case."""

    chance: dict[int, Array]
    rises: dict[tuple[int, int], Array]


def _moved(state: State, outcome: Outcome, cap: int, step_A: float) -> tuple[State, int | None]:
    got = granted(outcome, state[0], cap, step_A)
    used, free = state
    return ((used + (got or 0), free) if outcome.managed else (used, free + outcome.steps)), got


def _off(unit: Unit) -> Array:
    return np.asarray(1.0 - sum(o.on for o in unit))


def group_law(served: Sequence[Unit], cap: int, books: Books) -> GroupLaw:
    """The law of a managed group by itself; a large group is worked out on a coarser grid, currents rounded up."""
    if sum(map(len, served)) > MOST_FINE and (coarse := -(-cap // MOST_CAP)) > 1:
        served = [tuple(replace(o, steps=-(-o.steps // coarse) * coarse) for o in unit) for unit in served]
        cap = cap // coarse * coarse
    states: dict[State, Array] = {(0, 0): np.ones(SHAPE)}
    pairs: dict[tuple[State, State], Array] = {}
    for unit in served:
        pairs = _pairs_after(pairs, unit, cap, books.step_A)
        for state, chance in states.items():
            for outcome in unit:
                there, _ = _moved(state, outcome, cap, books.step_A)
                _grow(pairs, (state, there), chance * outcome.starts)
        after: dict[State, Array] = {}
        for state, chance in states.items():
            _grow(after, state, chance * _off(unit))
            for outcome in unit:
                there, got = _moved(state, outcome, cap, books.step_A)
                _grow(after, there, chance * outcome.on)
                if outcome.managed:
                    books.write(outcome, chance * outcome.on, got)
        states = after
    return GroupLaw(_summed(states), _rises(pairs))


def _grow(into: dict[Any, Array], key: object, value: Array) -> None:
    into[key] = into[key] + value if key in into else value


def _pairs_after(
    pairs: dict[tuple[State, State], Array], unit: Unit, cap: int, step_A: float
) -> dict[tuple[State, State], Array]:
    """The jumps of the loads before, once one more unit has reacted to both ends of each jump."""
    after: dict[tuple[State, State], Array] = {}
    for (a, b), rate in pairs.items():
        _grow(after, (a, b), rate * _off(unit))
        for outcome in unit:
            to = _moved(a, outcome, cap, step_A)[0], _moved(b, outcome, cap, step_A)[0]
            _grow(after, to, rate * outcome.on)
    return {k: v for k, v in after.items() if k[0] != k[1]}


def _summed(states: Mapping[State, Array]) -> dict[int, Array]:
    found: dict[int, Array] = {}
    for (used, free), chance in states.items():
        _grow(found, used + free, chance)
    return found


def _rises(pairs: Mapping[tuple[State, State], Array]) -> dict[tuple[int, int], Array]:
    """Rises of the sum: from the off side to the on side when a call starts, the other way when it ends."""
    found: dict[tuple[int, int], Array] = {}
    for (off, on), rate in pairs.items():
        low, high = sum(off), sum(on)
        if low != high:
            _grow(found, (min(low, high), max(low, high)), rate)
    return found


def with_group(base: law.Law, group: GroupLaw) -> law.Law:
    """The law of what else runs, with a managed group on top."""
    top = max(group.chance)
    shapes = [a.shape for a in (*group.chance.values(), *group.rises.values())]
    cases = np.broadcast_shapes(base.above.shape[:-1], *shapes)
    size = base.top + 1
    above, ups = np.zeros((*cases, size + top)), np.zeros((*cases, size + top))
    for k, chance in group.chance.items():
        p = chance[..., None]
        above[..., :k] += p
        above[..., k : k + size] += p * base.above
        ups[..., k : k + size] += p * base.ups
    for (low, high), rate in group.rises.items():
        ups += rate[..., None] * (_shifted(base.above, high, size + top) - _shifted(base.above, low, size + top))
    ups[..., 0] = 0.0
    return law.Law(above, ups)


def _shifted(above: Array, k: int, size: int) -> Array:
    made = np.zeros((*above.shape[:-1], size))
    made[..., :k] = 1.0
    made[..., k : k + above.shape[-1]] = above[..., : size - k]
    return made


def service_law(whole: law.Law, served: Sequence[Unit], cap: int, books: Books) -> law.Law:
    """The law of all that a service carries, by case, where its managed loads keep it within the set point.

    whole: the law of the loads outside every unit. Above the set point only loads that nobody manages are on, so the
    crossings are theirs there; at or below it they are not worked out. A unit that has outcomes which nobody manages is
    taken apart: given such an outcome it is part of what comes first, else only its managed outcomes can come. Beyond
    MOST_APART of them the two are taken as free of each other: the same means, longer tails.
    """
    above = np.zeros((*SHAPE, 1))
    mixed = [u for u in served if not all(o.managed for o in u)]
    further = {id(u) for u in mixed[MOST_APART:]}
    base = law.total([_outside(u) for u in mixed if id(u) in further], whole)
    kept = [tuple(o for o in u if o.managed) if id(u) in further else u for u in served]
    for fixed, left, weight in _branches(kept):
        background = _shifted(base.above, fixed, base.above.shape[-1] + fixed)
        chance = background - np.concatenate([background[..., 1:], np.zeros((*background.shape[:-1], 1))], axis=-1)
        chance = chance * weight[..., None]
        for unit in left:
            chance = _served(chance, unit, cap, books)
        above = _added(above, np.flip(np.cumsum(np.flip(chance, -1), axis=-1), -1))
    ups = law.total([_outside(u) for u in mixed], whole).ups
    cases = np.broadcast_shapes(ups.shape[:-1], above.shape[:-1])
    wide = np.zeros((*cases, above.shape[-1]))
    size = min(ups.shape[-1], above.shape[-1])
    wide[..., :size] = ups[..., :size]
    return law.Law(above, wide)


def _branches(served: Sequence[Unit]) -> Iterator[tuple[int, list[Unit], Array]]:
    """Which outcomes outside the control are on: their steps together, the units that are left, the chance by case."""
    mixed = [u for u in served if not all(o.managed for o in u)]
    for chosen in itertools.product(*([None, *(o for o in u if not o.managed)] for u in mixed)):
        weight, fixed, left = np.ones(SHAPE), 0, []
        picks = iter(chosen)
        for unit in served:
            if all(o.managed for o in unit):
                left.append(unit)
                continue
            pick, free = next(picks), np.asarray(1.0 - sum(o.on for o in unit if not o.managed))
            if pick is not None:
                weight, fixed = weight * pick.on, fixed + pick.steps
                continue
            weight = weight * free
            given = [replace(o, on=np.divide(o.on, free, out=np.zeros_like(free), where=free > 0))
                     for o in unit if o.managed]  # fmt: skip
            left += [tuple(given)] if given else []
        yield fixed, left, weight


def _outside(unit: Unit) -> law.Part:
    """The outcomes of a unit that nobody manages."""
    some = [o for o in unit if not o.managed]
    shape = np.broadcast_shapes(*(o.on.shape for o in some))
    on, starts = (np.stack([np.broadcast_to(getattr(o, n), shape) for o in some]) for n in ("on", "starts"))
    return law.Part(tuple(o.steps for o in some), on, starts)


def _added(one: Array, two: Array) -> Array:
    """Two tails added, each 0 beyond its end."""
    size = max(one.shape[-1], two.shape[-1])
    cases = np.broadcast_shapes(one.shape[:-1], two.shape[:-1])
    both = np.zeros((*cases, size))
    both[..., : one.shape[-1]] += one
    both[..., : two.shape[-1]] += two
    return both


def _served(chance: Array, unit: Unit, cap: int, books: Books) -> Array:
    """Chances of each sum once one more unit, all of it managed, has been met."""
    most, size = max(o.steps for o in unit), chance.shape[-1]
    cases = np.broadcast_shapes(chance.shape[:-1], *(o.on.shape for o in unit))
    after = np.zeros((*cases, max(size, min(size + most, cap + 1))))
    after[..., :size] += _off(unit)[..., None] * chance
    for outcome in unit:
        after = _met(after, outcome.on[..., None] * chance, outcome, cap, books)
    return after


def _met(after: Array, called: Array, outcome: Outcome, cap: int, books: Books) -> Array:
    """The calls of one outcome met: all that fit, then those turned down, then those held back."""
    size, k = called.shape[-1], outcome.steps
    fit = max(min(cap - k + 1, size), 0)
    after[..., k : k + fit] += called[..., :fit]
    books.write(outcome, called[..., :fit].sum(axis=-1), k)
    least, end = outcome.least, fit
    if least is not None:
        for used in range(fit, min(size, cap)):
            got = granted(outcome, used, cap, books.step_A)
            if got is None:
                break
            after[..., cap] += called[..., used]
            books.write(outcome, called[..., used], got)
            end = used + 1
    after[..., end:size] += called[..., end:]
    books.write(outcome, called[..., end:].sum(axis=-1), None)
    return after


def stretched(before: Stretch, books: Books, wanted_A: Mapping[str, float]) -> dict[str, float]:
    """How much longer calls must last so that these loads get the mean current they want; one step of the search."""
    found = {}
    for name, wanted in wanted_A.items():
        was, given = before.get(name, 1.0), books.of[name].given_A
        found[name] = (
            1.0 if wanted <= 0 else min(max(was * wanted / max(given, wanted / MOST_STRETCH), 1.0), MOST_STRETCH)
        )
    return found
