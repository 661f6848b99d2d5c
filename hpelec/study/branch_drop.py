"""Voltage drop of branch circuits by the lengths that were routed: panel to the device farthest along the cable."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from hpelec.core.results import told
from hpelec.plan import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class BranchDrop:
    """The farthest device of one circuit and the drop there."""

    circuit: str = told("circuit")
    name: str = told("what it feeds")
    farthest: str = told("device farthest along the cable")
    length_ft: float = told("cable from the panel to it, with what is left at boxes and panel")
    run_A: float = told("current taken for the circuit")
    longest_run_ft: float = told("longest run within the drop wanted, with that current at the far end")
    end_percent: float = told("drop at the farthest device with all of the current there: an upper bound")
    spread_percent: float = told("drop there with the current shared evenly by the boxes of the circuit")
    meets: bool = told("even the upper bound is within the drop wanted")
    meets_spread: bool = told("the drop with the current shared is within the drop wanted")


@dataclass(frozen=True, slots=True)
class Stretch:
    """A leg seen from the panel: the box before it, its length, and how many boxes hang on it, its own end too."""

    before: str
    length_ft: float
    boxes: int


def branch_drops(plan: Plan) -> tuple[BranchDrop, ...]:
    """Drop of each circuit that was routed and has a longest run, the largest first.

    The drop grows in proportion to length and current, so it is a share of the drop wanted as the length is of the
    longest run. Circuits without a route, and feeders, are left out.
    """
    limit_percent = plan.house.circuit_settings.drop_limit_percent
    circuits = {c.id: c for c in plan.circuits.circuits}
    legs: dict[str, list[tuple[str, str, float]]] = {}
    for leg in plan.routes.legs:
        legs.setdefault(leg.circuit, []).append((leg.start, leg.end, leg.cable_ft))
    box_ft = plan.house.routing.end_allowance_box_in / 12
    panel_ft = plan.house.routing.end_allowance_panel_ft
    made = []
    for route in plan.routes.routes:
        circuit = circuits.get(route.circuit)
        found = tree(route.panel, legs.get(route.circuit, ()), box_ft, panel_ft)
        if circuit is None or circuit.longest_run_ft is None or circuit.run_A is None or not found:
            continue
        end, length_ft = farthest(found)
        per_ft = limit_percent / circuit.longest_run_ft
        shared_ft = spread_length_ft(found, end)
        made.append(
            BranchDrop(
                circuit=circuit.id,
                name=circuit.name,
                farthest=end,
                length_ft=length_ft,
                run_A=circuit.run_A,
                longest_run_ft=circuit.longest_run_ft,
                end_percent=per_ft * length_ft,
                spread_percent=per_ft * shared_ft,
                meets=length_ft <= circuit.longest_run_ft * (1 + 1e-9),
                meets_spread=shared_ft <= circuit.longest_run_ft * (1 + 1e-9),
            )
        )
    return tuple(sorted(made, key=lambda d: (-d.end_percent, d.circuit)))


def tree(start: str, legs: Iterable[tuple[str, str, float]], box_ft: float, panel_ft: float) -> dict[str, Stretch]:
    """The stretch that ends at each box, from legs (from, to, feet) of one circuit.

    box_ft is added at each box and panel_ft at the panel, for the cable that is left there. A leg that hangs on
    nothing is not counted.
    """
    before: dict[str, tuple[str, float]] = {}
    order: list[str] = []
    left = list(legs)
    while hanging := [leg for leg in left if leg[0] == start or leg[1] == start or {leg[0], leg[1]} & before.keys()]:
        for a, b, length_ft in hanging:
            near, far = (a, b) if a == start or a in before else (b, a)
            if far not in before and far != start:
                before[far] = (near, length_ft + box_ft + (panel_ft if near == start else box_ft))
                order.append(far)
        left = [leg for leg in left if leg not in hanging]
    boxes = dict.fromkeys(order, 1)
    for box in reversed(order):
        if before[box][0] in boxes:
            boxes[before[box][0]] += boxes[box]
    return {box: Stretch(before[box][0], before[box][1], boxes[box]) for box in order}


def way_back(stretches: Mapping[str, Stretch], end: str) -> list[Stretch]:
    """The stretches from a box back to the panel."""
    way = []
    while end in stretches:
        way.append(stretches[end])
        end = stretches[end].before
    return way


def farthest(stretches: Mapping[str, Stretch]) -> tuple[str, float]:
    """The box farthest from the panel along the cable, and that length [ft]; at least one stretch."""
    lengths = {box: sum(s.length_ft for s in way_back(stretches, box)) for box in stretches}
    return max(lengths.items(), key=lambda item: (round(item[1], 6), item[0]))


def spread_length_ft(stretches: Mapping[str, Stretch], end: str) -> float:
    """Length [ft] over which all of the current would drop as much at `end` as the shared current does.

    Every box takes the same share; a stretch carries the shares of the boxes that hang on it.
    """
    return sum(s.length_ft * s.boxes / len(stretches) for s in way_back(stretches, end))
