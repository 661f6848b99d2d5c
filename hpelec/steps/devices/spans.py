"""Stretches of a line: sorted, closed, apart from each other. Lengths in feet."""

from __future__ import annotations

import math
from collections.abc import Iterable

Span = tuple[float, float]
Spans = tuple[Span, ...]

EPS_FT = 1e-9
"""Two places closer than this are one; a limit reached exactly passes."""


def merged(spans: Iterable[Span]) -> Spans:
    """The union of stretches; those that touch become one."""
    made: list[Span] = []
    for low, high in sorted(spans):
        if made and low <= made[-1][1] + EPS_FT:
            made[-1] = (made[-1][0], max(made[-1][1], high))
        else:
            made.append((low, high))
    return tuple(made)


def without(spans: Spans, cuts: Iterable[Span]) -> Spans:
    """What is left of `spans` when `cuts` are taken out; the ends stay in, bare points do not."""
    left = spans
    for low, high in cuts:
        left = tuple(p for a, b in left for p in ((a, min(b, low)), (max(a, high), b)) if p[1] - p[0] > EPS_FT)
    return merged(left)


def within(spans: Iterable[Span], low: float, high: float) -> Spans:
    """The part of `spans` from `low` to `high`; a single point is a stretch too."""
    found = []
    for a, b in spans:
        start, end = max(a, low), min(b, high)
        if end >= start:
            found.append((start, end))
        elif end >= start - EPS_FT:
            point = a if a > high else b if b < low else start
            found.append((point, point))
    return tuple(found)


def common(spans: Spans, others: Spans) -> Spans:
    """What lies in both."""
    return merged(p for a, b in others for p in within(spans, a, b))


def inset(spans: Iterable[Span], by_ft: float) -> Spans:
    """Each stretch shortened by `by_ft` at both ends; those too short go."""
    return tuple((a + by_ft, b - by_ft) for a, b in spans if b - a >= 2 * by_ft - EPS_FT)


def highest(spans: Spans, limit: float) -> float | None:
    """The farthest place in `spans` that is not beyond `limit`."""
    below = [min(b, max(a, limit)) for a, b in spans if a <= limit + EPS_FT]
    return max(below, default=None)


def nearest(spans: Iterable[Span], target: float) -> float | None:
    """The place in `spans` nearest to `target`; the lower one of two as near."""
    places = [min(max(target, a), b) for a, b in spans]
    return min(places, key=lambda p: (round(abs(p - target), 9), p), default=None)


def turned(spans: Iterable[Span], by_ft: float, round_ft: float) -> Spans:
    """Stretches of a ring of `round_ft`, told from the place `by_ft` on it, cut open there."""
    made: list[Span] = []
    for a, b in spans:
        if b - a >= round_ft - EPS_FT:
            return ((0.0, round_ft),)
        low = math.fmod(a - by_ft, round_ft)
        low += round_ft if low < -EPS_FT else 0.0
        low = max(low, 0.0)
        high = low + (b - a)
        made += [(low, high)] if high <= round_ft + EPS_FT else [(low, round_ft), (0.0, high - round_ft)]
    return merged(made)


def ring_pieces(spans: Spans, round_ft: float) -> tuple[Span, ...]:
    """Stretches of a ring as (start, length), the one that passes the ring's first corner in one piece."""
    if not spans:
        return ()
    first, last = spans[0], spans[-1]
    pieces = [(a, b - a) for a, b in spans]
    if len(spans) > 1 and first[0] <= EPS_FT and last[1] >= round_ft - EPS_FT:
        pieces = [*pieces[1:-1], (last[0], last[1] - last[0] + first[1])]
    return tuple(pieces)
