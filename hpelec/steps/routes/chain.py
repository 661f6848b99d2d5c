"""The order in which boxes are wired: shortest chain from the panel, proven for small circuits, bounded for large.

Distances are a symmetric matrix; row 0 is the panel. An open chain starts there and visits every other row once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Any

import networkx as nx
import numpy as np
from numpy.typing import NDArray

from hpelec.core.citing import rule

EXACT_BOXES = 13
"""Up to so many boxes the order is proven by dynamic programming over subsets."""

Matrix = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Chain:
    """An order of rows after the panel, its length, a length that no order can beat, and whether it is proven."""

    order: tuple[int, ...]
    length: float
    bound: float
    proven: bool


def chain_length(distances: Matrix, order: Sequence[int]) -> float:
    """Length of the chain panel, order[0], order[1], ..."""
    stops = [0, *order]
    return float(sum(distances[a, b] for a, b in pairwise(stops)))


@rule(
    "length that no tree or chain can beat",
    source="graph theory",
    locator="minimum spanning tree",
    accuracy="recomputed",
)
def spanning_tree_length(distances: Matrix | list[list[float]]) -> float:
    """Length of a minimum spanning tree: a lower bound for any chain through all rows."""
    matrix = np.asarray(distances, dtype=float)
    graph: Any = nx.Graph()
    n = len(matrix)
    graph.add_nodes_from(range(n))
    graph.add_weighted_edges_from((i, j, float(matrix[i, j])) for i in range(n) for j in range(i + 1, n))
    return float(nx.minimum_spanning_tree(graph).size(weight="weight"))


@lru_cache(maxsize=16)
def _layers(n: int) -> tuple[tuple[tuple[int, Any, Any], ...], ...]:
    """For each size of subset and each next box j: the subsets without j, and the same with j."""
    masks = np.arange(1 << n)
    size = np.array([int(m).bit_count() for m in masks])
    return tuple(
        tuple((j, without := masks[(size == k) & (masks & (1 << j) == 0)], without | (1 << j)) for j in range(n))
        for k in range(1, n)
    )


@rule(
    "shortest open chain from the panel",
    source="M. Held, R. M. Karp 1962",
    locator="dynamic programming over subsets",
    accuracy="recomputed",
)
def shortest_chain(distances: Matrix | list[list[float]]) -> Chain:
    """The shortest chain, proven; up to EXACT_BOXES boxes beside the panel."""
    matrix = np.asarray(distances, dtype=float)
    n = len(matrix) - 1
    if n < 1:
        return Chain((), 0.0, 0.0, True)
    if n > EXACT_BOXES:
        raise ValueError(f"{n} boxes; the exact order is worked out up to {EXACT_BOXES}")
    between, start = matrix[1:, 1:], matrix[0, 1:]
    best = np.full((1 << n, n), np.inf)
    best[1 << np.arange(n), np.arange(n)] = start
    for layer in _layers(n):
        for j, without, with_j in layer:
            best[with_j, j] = (best[without] + between[:, j]).min(axis=1)
    mask = (1 << n) - 1
    last = int(best[mask].argmin())
    length = float(best[mask, last])
    order = [last]
    while mask != 1 << last:
        before = mask & ~(1 << last)
        last = int((best[before] + between[:, last]).argmin())
        mask = before
        order.append(last)
    found = tuple(i + 1 for i in reversed(order))
    return Chain(found, length, length, True)


def improved(distances: Matrix, order: Sequence[int]) -> tuple[int, ...]:
    """A chain made shorter by turning stretches round (2-opt) and moving single boxes, until neither helps."""
    rows = distances.tolist()
    path = [0, *order]
    n = len(path)
    helped = True
    while helped:
        helped = False
        for i in range(1, n - 1):
            for j in range(i + 1, n):
                old = rows[path[i - 1]][path[i]] + (rows[path[j]][path[j + 1]] if j + 1 < n else 0.0)
                new = rows[path[i - 1]][path[j]] + (rows[path[i]][path[j + 1]] if j + 1 < n else 0.0)
                if new < old - 1e-9:
                    path[i : j + 1] = path[i : j + 1][::-1]
                    helped = True
        for i in range(1, n):
            box = path[i]
            rest = path[:i] + path[i + 1 :]
            lengths = [_inserted(rows, rest, box, k) for k in range(1, n)]
            k = min(range(n - 1), key=lambda at: (round(lengths[at], 9), at)) + 1
            if lengths[k - 1] < _inserted(rows, rest, box, i) - 1e-9:
                path = [*rest[:k], box, *rest[k:]]
                helped = True
    return tuple(path[1:])


def _inserted(rows: list[list[float]], rest: list[int], box: int, at: int) -> float:
    """Growth of the path `rest` when `box` is put before position `at`."""
    added = rows[rest[at - 1]][box]
    return added + (rows[box][rest[at]] - rows[rest[at - 1]][rest[at]] if at < len(rest) else 0.0)


def nearest_first(distances: Matrix) -> tuple[int, ...]:
    """A first chain: always on to the nearest box not yet met."""
    left, at, order = set(range(1, len(distances))), 0, []
    while left:
        at = min(left, key=lambda i: (distances[at, i], i))
        left.remove(at)
        order.append(at)
    return tuple(order)


@rule(
    "good open chain for many boxes, with the gap to the bound",
    source="G. A. Croes 1958",
    locator="nearest first, then turning stretches round",
    accuracy="recomputed",
)
def good_chain(distances: Matrix | list[list[float]], starts: Iterable[Sequence[int]] = ()) -> Chain:
    """A short chain for more boxes than can be proven; `starts`: further orders to improve. Bound: spanning tree."""
    matrix = np.asarray(distances, dtype=float)
    tried = [improved(matrix, start) for start in (nearest_first(matrix), *starts)]
    order = min(tried, key=lambda o: (round(chain_length(matrix, o), 9), o))
    length = chain_length(matrix, order)
    bound = min(spanning_tree_length(matrix), length)
    return Chain(order, length, bound, length <= bound + 1e-9)


def best_chain(distances: Matrix, starts: Iterable[Sequence[int]] = ()) -> Chain:
    """The proven shortest chain where that is quick, else a good one with its bound."""
    return shortest_chain(distances) if len(distances) - 1 <= EXACT_BOXES else good_chain(distances, starts)
