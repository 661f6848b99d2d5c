"""Adapters for published checks of the step routes, and small graphs for its laws."""

from __future__ import annotations

import math

import networkx as nx
import numpy as np

from hpelec.steps.routes import rules
from hpelec.steps.routes.chain import good_chain, shortest_chain, spanning_tree_length


def _radians(degrees_minutes: float) -> float:
    whole = int(degrees_minutes)
    return 3.141592 * (whole + 5.0 * (degrees_minutes - whole) / 3.0) / 180.0


def geographic_distances(places: list[list[float]]) -> list[list[float]]:
    """The rounded earth distances by which that test instance is defined (its own value of pi)."""
    at = [(_radians(a), _radians(b)) for a, b in places]

    def apart(p: tuple[float, float], q: tuple[float, float]) -> int:
        q1, q2, q3 = math.cos(p[1] - q[1]), math.cos(p[0] - q[0]), math.cos(p[0] + q[0])
        return int(6378.388 * math.acos(0.5 * ((1.0 + q1) * q2 - (1.0 - q1) * q3)) + 1.0)

    return [[0.0 if i == j else float(apart(p, q)) for j, q in enumerate(at)] for i, p in enumerate(at)]


def chain_on_places(places: list[list[float]]) -> dict[str, float]:
    distances = geographic_distances(places)
    exact, good = shortest_chain(distances), good_chain(distances)
    return {
        "exact": exact.length,
        "tree": spanning_tree_length(distances),
        "good_is_at_least_exact": good.length >= exact.length,
        "bound_is_at_most_exact": good.bound <= exact.length,
    }


def chain_on_graph(edges_ft: list[list], panel: str, boxes: list[str]) -> dict[str, float]:
    graph = nx.Graph()
    graph.add_weighted_edges_from((str(a), str(b), w) for a, b, w in edges_ft)
    stops = [panel, *boxes]
    apart = dict(nx.all_pairs_dijkstra_path_length(graph))
    distances = [[float(apart[str(a)][str(b)]) for b in stops] for a in stops]
    return {
        "home_runs_ft": distances[0],
        "chain_ft": shortest_chain(distances).length,
        "mst_ft": spanning_tree_length(distances),
    }


def grid_path(side: int) -> float:
    places = [(x, y) for x in range(side) for y in range(side)]
    distances = [[float(abs(a - c) + abs(b - d)) for c, d in places] for a, b in places]
    return good_chain(distances).length


def small_grid_path(wide: int, deep: int) -> float:
    places = [(x, y) for x in range(wide) for y in range(deep)]
    distances = [[float(abs(a - c) + abs(b - d)) for c, d in places] for a, b in places]
    return shortest_chain(distances).length


def take_off(segments_ft: list[float], box_ends: int, box_end_in: float, waste_percent: float) -> float:
    return rules.buy_ft(rules.drawn_ft(segments_ft, box_ends, box_end_in, 0, 0.0), waste_percent)


def labour_h(quantities: list[float], units_h: list[float], factor: float) -> float:
    return rules.labour_min(quantities, [u * 60 for u in units_h]) / 60 * factor


def random_distances(places: list[tuple[float, float]]) -> np.ndarray:
    points = np.asarray(places, dtype=float)
    return np.abs(points[:, None, :] - points[None, :, :]).sum(axis=2)
