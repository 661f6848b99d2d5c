"""One circuit on the graph: least cost between its stops, the order of its boxes, its legs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from hpelec.steps.routes.chain import Chain, Matrix, best_chain
from hpelec.steps.routes.links import ANY, Link, Passage, Point3, draw, plane_links, stud_link, twin_link
from hpelec.steps.routes.stops import Site, Stop
from hpelec.steps.routes.walls import NOTHING, Tally, Weights

NO_WAY = 1e12
"""Cost that stands for "no way" in the sums [USD]."""
MAIN_WAYS = ("below_floor", "through_studs", "above_ceiling")


@dataclass(frozen=True, slots=True)
class Web:
    """The stops of a circuit, panel first, then boxes by id, then helpers; and every link between two of them."""

    stops: tuple[Stop, ...]
    terminals: int
    links: Mapping[tuple[int, int], tuple[Link, ...]]


@dataclass(frozen=True, slots=True)
class LegDrawn:
    """A leg: its ends, ways joined, corners, what it counts, its crossings."""

    start: Stop
    end: Stop
    way: str
    points: tuple[Point3, ...]
    tally: Tally
    passages: tuple[Passage, ...]


@dataclass(frozen=True, slots=True)
class Solved:
    """The chain of a circuit under some ways, or None where a box cannot be reached."""

    chain: Chain | None
    best: Matrix
    chosen: Mapping[tuple[int, int], Link]
    onward: NDArray[np.int64]


def make_web(site: Site, terminals: Sequence[Stop], helpers: Sequence[Stop], weights: Weights) -> Web:
    """All links of a circuit. terminals: the panel, then the boxes."""
    stops = (*terminals, *helpers)
    links: dict[tuple[int, int], tuple[Link, ...]] = {}
    for i, a in enumerate(stops):
        for j in range(i + 1, len(stops)):
            b = stops[j]
            found = list(plane_links(site, a, b, weights))
            twin = twin_link(a, b, weights)
            studs = None if twin else stud_link(site, a, b, weights)
            found += [link for link in (twin, studs) if link is not None]
            if found:
                links[i, j] = tuple(found)
    return Web(stops, len(terminals), links)


def solve(web: Web, ways: Sequence[str], starts: Sequence[Sequence[int]] = ()) -> Solved:
    """Least cost between all stops with the ways allowed, then the best order of the boxes.

    ways: of MAIN_WAYS; passing between levels and through a wall's two faces is always allowed, and so is any way to
    a box that has only its own (a ceiling or floor box).
    """
    n = len(web.stops)
    best = np.full((n, n), NO_WAY)
    np.fill_diagonal(best, 0.0)
    chosen: dict[tuple[int, int], Link] = {}
    for (i, j), links in web.links.items():
        free = web.stops[i].free or web.stops[j].free
        allowed = [x for x in links if free or x.way in ways or x.way not in MAIN_WAYS]
        if allowed:
            link = min(allowed, key=lambda x: (round(x.cost, 7), x.way))
            chosen[i, j] = link
            best[i, j] = best[j, i] = round(link.cost, 7)
    onward = np.tile(np.arange(n), (n, 1))
    for k, stop in enumerate(web.stops):
        if stop.free:
            continue
        through = best[:, k, None] + best[None, k, :]
        shorter = through < best - 1e-9
        best = np.where(shorter, through, best)
        onward = np.where(shorter, onward[:, k, None], onward)
    closed = best[: web.terminals, : web.terminals]
    if closed[0].max() >= NO_WAY:
        return Solved(None, best, chosen, onward)
    return Solved(best_chain(closed, starts), best, chosen, onward)


def unreached(web: Web, solved: Solved) -> list[str]:
    """Boxes that no allowed way reaches from the panel."""
    return [web.stops[i].device for i in range(1, web.terminals) if solved.best[0, i] >= NO_WAY]


def leg(site: Site, web: Web, solved: Solved, start: int, end: int) -> LegDrawn:
    """The leg between two terminals, drawn."""
    at, points, tally = start, [], NOTHING
    ways: list[str] = []
    passages: list[Passage] = []
    while at != end:
        to = int(solved.onward[at, end])
        link = solved.chosen[min(at, to), max(at, to)]
        drawn = draw(site, web.stops[min(at, to)], web.stops[max(at, to)], link)
        points += drawn.points if at < to else drawn.points[::-1]
        tally = tally.plus(drawn.tally)
        passages += drawn.passages
        if link.way != ANY and link.way not in ways:
            ways.append(link.way)
        at = to
    kept = [p for i, p in enumerate(points) if i == 0 or p != points[i - 1]]
    return LegDrawn(
        web.stops[start], web.stops[end], "+".join(ways) or "through_studs", tuple(kept), tally, tuple(passages)
    )


def legs(site: Site, web: Web, solved: Solved) -> list[LegDrawn]:
    """All legs of a circuit in the order of its chain."""
    if solved.chain is None:
        return []
    stops = [0, *solved.chain.order]
    return [leg(site, web, solved, a, b) for a, b in pairwise(stops)]


def tally_of(drawn: Sequence[LegDrawn]) -> Tally:
    """What all legs count together."""
    total = NOTHING
    for entry in drawn:
        total = total.plus(entry.tally)
    return total
