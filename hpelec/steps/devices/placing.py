"""The fewest receptacles along a wall line, and among all placements with that number a good one. Lengths in feet.

A line has stretches that must be served (`needs`), places where a box may stand, and receptacles that already stand
(`pins`). Every point of `needs` must be within `reach_ft` of a receptacle.

Fewest: from the left, the first point not yet served is served from as far right as a box may stand. No placement
can do better: any first receptacle that serves this point stands no farther right, so what it leaves unserved begins
no later (exchange argument). Pins cut the line into parts that do not affect each other.

A ring is cut open at a receptacle. Any placement can be pushed round until one receptacle stands at the right end of
a stretch, or exactly `reach_ft` beyond the beginning of a stretch that needs serving; so trying these is enough.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, replace

from hpelec.steps.devices.spans import EPS_FT, Spans, highest, merged, nearest, turned, within

Stand = tuple[float, int]
"""A place along the line and what it costs to stand there."""
Classes = tuple[tuple[int, Spans], ...]
"""Places where a box may stand, by what it costs: 0 inside, 1 in the envelope, 1000 away from the wall."""


@dataclass(frozen=True, slots=True)
class Line:
    """A wall line to be served: length, what needs serving, receptacles that stand, reach; closed: a ring."""

    length_ft: float
    needs: Spans
    pins: tuple[float, ...] = ()
    reach_ft: float = 6.0
    closed: bool = False

    def next_limit(self, at: float) -> float:
        """How far right the next receptacle after the one at `at` may be; inf when no more is needed."""
        for low, high in self.needs:
            if high > at + self.reach_ft + EPS_FT:
                return max(low, at + self.reach_ft) + self.reach_ft
        return math.inf

    def last_limit(self, at: float) -> float:
        """How far left the receptacle before the one at `at` may be; -inf when none is needed."""
        for low, high in reversed(self.needs):
            if low < at - self.reach_ft - EPS_FT:
                return min(high, at - self.reach_ft) - self.reach_ft
        return -math.inf

    @property
    def segments(self) -> tuple[tuple[float, float], ...]:
        """The parts between pins; the open ends of the line are at -inf and inf."""
        return tuple(itertools.pairwise((-math.inf, *sorted(self.pins), math.inf)))


def fewest(line: Line, allowed: Spans) -> tuple[float, ...] | None:
    """Places of the fewest further receptacles, as far along as each may be; None when none will do."""
    if line.closed and not line.needs:
        return ()
    if line.closed:
        tries = [(_opened(line, a), a) for a in _anchors(line, ((0, allowed),))]
        found = [_closed(line, fewest(o, turned(allowed, a, line.length_ft)), a) for o, a in tries]
        return min((f for f in found if f is not None), key=lambda f: (len(f), f), default=None)
    made: list[float] = []
    for start, end in line.segments:
        part = _fewest_between(line, allowed, start, end)
        if part is None:
            return None
        made += part
    return tuple(made)


def _fewest_between(line: Line, allowed: Spans, start: float, end: float) -> list[float] | None:
    made: list[float] = []
    at = start
    while (limit := line.next_limit(at)) < end - EPS_FT:
        place = highest(allowed, limit)
        if place is None or place <= at + EPS_FT:
            return None
        made.append(place)
        at = place
    return made


def arrange(line: Line, classes: Classes, wishes: tuple[float, ...] = ()) -> tuple[Stand, ...] | None:
    """The fewest further receptacles, at the lowest total cost, then at wished places, then evenly spaced.

    Number and cost are exact. The rest is settled one receptacle after the other: each stands at a wished place that
    is nearer to its own evenly spaced place than to its neighbours', else as near to that as still lets the others
    follow at that number and cost. None when no placement will do.
    """
    if line.closed:
        return _arrange_ring(line, classes, wishes)
    made: list[Stand] = []
    for start, end in line.segments:
        part = _arrange_between(line, classes, start, end, wishes)
        if part is None:
            return None
        made += part
    return tuple(made)


def _arrange_between(
    line: Line, classes: Classes, start: float, end: float, wishes: tuple[float, ...]
) -> list[Stand] | None:
    allowed = merged(s for _, spans in classes for s in spans)
    counted = _fewest_between(line, allowed, start, end)
    if counted is None or not counted:
        return None if counted is None else []
    later = _ways_to_finish(line, classes, len(counted), end)
    targets = _even(line.length_ft, len(counted), start, end)
    made: list[Stand] = []
    at, left = start, -1
    for ways, target in zip(later, targets, strict=True):
        reach = line.next_limit(at)
        open_ways = [
            (total, cost, within(spans, at, reach))
            for (total, cost), spans in ways.items()
            if (left < 0 or total == left) and within(spans, at, reach)
        ]
        least = min(total for total, _, _ in open_ways)
        wished = _wished(target, targets, wishes)
        cheap = [(cost, s) for total, cost, s in open_ways if total == least]
        hits = [(w, cost) for cost, s in cheap for w in wished if within(s, w, w)]
        places = hits or [(p, cost) for cost, s in cheap if (p := nearest(s, target)) is not None]
        place, cost = min(places, key=lambda pc: (round(abs(pc[0] - target), 9), pc))
        made.append((place, cost))
        at, left = place, least - cost
    return made


def _wished(target: float, targets: list[float], wishes: tuple[float, ...]) -> list[float]:
    """The wished places that are nearer to this even place than to any other."""
    return [w for w in wishes if min(targets, key=lambda t: (round(abs(t - w), 9), t)) == target]


def _ways_to_finish(line: Line, classes: Classes, count: int, end: float) -> list[dict[tuple[int, int], Spans]]:
    """For each receptacle in turn: where it may stand so that the rest can follow, by (total cost, own cost)."""
    ways: list[dict[tuple[int, int], Spans]] = []
    follow: dict[int, Spans] = {0: ((line.last_limit(end), min(end, line.length_ft)),)}
    for _ in range(count):
        here: dict[tuple[int, int], Spans] = {}
        for total, reachable in follow.items():
            for cost, spans in classes:
                found = merged(p for low, high in reachable for p in within(spans, low, high))
                if found:
                    here[total + cost, cost] = merged((*here.get((total + cost, cost), ()), *found))
        ways.append(here)
        follow = {}
        for (total, _), spans in here.items():
            before = tuple((line.last_limit(low), high) for low, high in spans)
            follow[total] = merged((*follow.get(total, ()), *before))
    return ways[::-1]


def _even(length_ft: float, count: int, start: float, end: float) -> list[float]:
    """Evenly spaced places: a full step from a pin, half a step from an open end."""
    first, last = (0.0, 0.5) if start == -math.inf else (start, 1.0), (length_ft, 0.5) if end == math.inf else (end, 1)
    step = (last[0] - first[0]) / (count - 1 + first[1] + last[1])
    return [first[0] + step * (first[1] + i) for i in range(count)]


def _anchors(line: Line, classes: Classes, wishes: tuple[float, ...] = ()) -> tuple[float, ...]:
    """Where to cut a ring open: at a pin if there is one, else at every place one receptacle can be pushed to.

    Wished places are tried too; they can only add to the choice.
    """
    if line.pins:
        return (min(line.pins),)
    if not line.needs:
        return ()
    spans = [s for _, group in classes for s in group]
    ends = [high for _, high in spans] + [(low + high) / 2 for low, high in spans]
    ends += [w for w in wishes if within(spans, w, w)]
    for low, _ in line.needs:
        ends += [p for p in _same(line, low + line.reach_ft) if within(spans, p, p)]
    return tuple(sorted({round(e, 9) for e in ends}))


def _same(line: Line, place: float) -> tuple[float, ...]:
    """The ways to write one place of a ring: its first corner is both 0 and the whole length."""
    at = math.fmod(place, line.length_ft)
    return (0.0, line.length_ft) if min(at, line.length_ft - at) <= EPS_FT else (at,)


def _opened(line: Line, at: float) -> Line:
    """The ring cut open at a receptacle that stands at `at`: it is the pin at both ends."""
    others = (math.fmod(p - at + line.length_ft, line.length_ft) for p in line.pins if abs(p - at) > EPS_FT)
    needs = turned(line.needs, at, line.length_ft)
    return replace(line, needs=needs, pins=(0.0, *sorted(others), line.length_ft), closed=False)


def _back(line: Line, place: float, at: float) -> float:
    return math.fmod(place + at, line.length_ft)


def _closed(line: Line, found: tuple[float, ...] | None, at: float) -> tuple[float, ...] | None:
    if found is None:
        return None
    return tuple(sorted([_back(line, p, at) for p in found] + ([] if line.pins else [at])))


def _arrange_ring(line: Line, classes: Classes, wishes: tuple[float, ...]) -> tuple[Stand, ...] | None:
    best: tuple[tuple[float, ...], tuple[Stand, ...]] | None = None
    if not line.needs:
        return ()
    for at in _anchors(line, classes, wishes):
        turned_classes = tuple((cost, turned(spans, at, line.length_ft)) for cost, spans in classes)
        opened = _opened(line, at)
        here = tuple(sorted(math.fmod(w - at + line.length_ft, line.length_ft) for w in wishes))
        found = arrange(opened, turned_classes, here)
        if found is None:
            continue
        stands = [(_back(line, p, at), cost) for p, cost in found]
        if not line.pins:
            stands.append((at, min(c for c, spans in classes for p in _same(line, at) if within(spans, p, p))))
        places = sorted([*(p for p, _ in found), *opened.pins])
        unevenness = sum((b - a) ** 2 for a, b in itertools.pairwise(places))
        unmet = sum(all(abs(w - p) > EPS_FT for p, _ in stands) for w in wishes)
        rank = (len(stands), sum(cost for _, cost in stands), unmet, round(unevenness, 9), at)
        if best is None or rank < best[0]:
            best = (rank, tuple(sorted(stands)))
    return best[1] if best else None
