"""The 120 V circuits of a panel on its two legs so that they differ least: all splits are reached, the best is proven.

The question is a small mixed-integer programme: a leg for each circuit, whole volt-amperes, at most so many circuits on
each leg. Its numbers are whole and small, so all sums are reached one circuit after another (a set of sums is one long
whole number, a bit a sum). `study.leg_proof` puts the same programme to a general solver and compares.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

MOST_BITS = 2_000_000_000
"""Largest table of sums kept for the way back; beyond it the split is repaired by hand and shows its gap."""


@dataclass(frozen=True, slots=True)
class Item:
    """What is put on a leg. weight_VA: whole, >= 0. counted: takes a space of its leg (a pair takes one of each)."""

    weight_VA: int
    counted: bool = True


@dataclass(frozen=True, slots=True)
class Split:
    """Which items are on leg A, the difference [VA], and the least below which no split can come."""

    on_A: tuple[bool, ...]
    difference_VA: int
    bound_VA: int

    @property
    def proven(self) -> bool:
        """True when no split differs less."""
        return self.difference_VA == self.bound_VA


def best_split(items: Sequence[Item], most_A: int, most_B: int, *, most_bits: int = MOST_BITS) -> Split:
    """The split of least difference with at most `most_A` and `most_B` counted items on the legs.

    Where both together are too few, they are taken as so much higher, half of what is missing each: so the spaces
    there are get filled. The answer depends on the order of the items only among splits of equal difference.
    """
    missing = max(0, sum(i.counted for i in items) - most_A - most_B)
    most_A, most_B = most_A + (missing + 1) // 2, most_B + missing // 2
    counted = sum(i.counted for i in items)
    free = _back(items, _sums(items), most_A, most_B)
    least = _difference(items, free)
    if _fits(items, free, most_A, most_B):
        return Split(free, least, least)
    if len(items) * (counted + 1) * (sum(i.weight_VA for i in items) + 1) > most_bits:
        repaired = _repaired(items, free, most_A, most_B)
        return Split(repaired, _difference(items, repaired), least)
    found = _back_counted(items, _sums_counted(items, most_A), most_A, most_B)
    return Split(found, _difference(items, found), _difference(items, found))


def _difference(items: Sequence[Item], on_A: Sequence[bool]) -> int:
    return abs(sum(i.weight_VA if a else -i.weight_VA for i, a in zip(items, on_A, strict=True)))


def _fits(items: Sequence[Item], on_A: Sequence[bool], most_A: int, most_B: int) -> bool:
    used_A = sum(i.counted and a for i, a in zip(items, on_A, strict=True))
    return used_A <= most_A and sum(i.counted for i in items) - used_A <= most_B


def _sums(items: Sequence[Item]) -> list[int]:
    """After each item the sums of leg A that can be reached, as bits."""
    reached = [1]
    for item in items:
        reached.append(reached[-1] | reached[-1] << item.weight_VA)
    return reached


def _nearest(sums: int, total: int) -> int | None:
    """The sum nearest to half of the total, the larger of two as near; None when none is reached."""
    if not sums:
        return None
    low_half = sums & ((1 << (total // 2 + 1)) - 1)
    below = low_half.bit_length() - 1
    high_half = sums >> (total // 2 + 1)
    above = total // 2 + 1 + (high_half & -high_half).bit_length() - 1 if high_half else None
    if above is None:
        return below
    return above if below < 0 or abs(2 * above - total) <= abs(2 * below - total) else below


def _back(items: Sequence[Item], reached: Sequence[int], most_A: int, most_B: int) -> tuple[bool, ...]:
    """The legs of the best sum, without minding the limits but keeping the numbers on the legs even where it can."""
    left = _nearest(reached[-1], sum(i.weight_VA for i in items)) or 0
    on_A = [False] * len(items)
    room_A, room_B = most_A, most_B
    for at in range(len(items) - 1, -1, -1):
        item = items[at]
        may_B = bool(reached[at] >> left & 1)
        may_A = left >= item.weight_VA and bool(reached[at] >> (left - item.weight_VA) & 1)
        on_A[at] = may_A and (not may_B or room_A > room_B)
        room_A, room_B = room_A - (item.counted and on_A[at]), room_B - (item.counted and not on_A[at])
        left -= item.weight_VA if on_A[at] else 0
    return tuple(on_A)


def _sums_counted(items: Sequence[Item], most_A: int) -> list[list[int]]:
    """After each item, by the number of counted items on leg A (up to its limit), the sums reached."""
    layers = [[1] + [0] * most_A]
    for item in items:
        before = layers[-1]
        shift, weight = int(item.counted), item.weight_VA
        layers.append([b | (before[n - shift] << weight if n >= shift else 0) for n, b in enumerate(before)])
    return layers


def _back_counted(items: Sequence[Item], layers: Sequence[Sequence[int]], most_A: int, most_B: int) -> tuple[bool, ...]:
    total, counted = sum(i.weight_VA for i in items), sum(i.counted for i in items)
    ends = []
    for number in range(max(0, counted - most_B), most_A + 1):
        near = _nearest(layers[-1][number], total)
        if near is not None:
            ends.append((abs(2 * near - total), -near, abs(2 * number - counted), number))
    _, negative, _, number = min(ends)
    left, on_A = -negative, [False] * len(items)
    for at in range(len(items) - 1, -1, -1):
        if layers[at][number] >> left & 1:
            continue
        on_A[at] = True
        left -= items[at].weight_VA
        number -= items[at].counted
    return tuple(on_A)


def _repaired(items: Sequence[Item], on_A: Sequence[bool], most_A: int, most_B: int) -> tuple[bool, ...]:
    """The split with its smallest counted items moved from the leg that is too full."""
    made = list(on_A)
    lightest = sorted((i for i, item in enumerate(items) if item.counted), key=lambda i: (items[i].weight_VA, i))
    for full, most in ((True, most_A), (False, most_B)):
        over = sum(items[i].counted and made[i] == full for i in range(len(items))) - most
        for i in [i for i in lightest if made[i] == full][: max(over, 0)]:
            made[i] = not full
    return tuple(made)
