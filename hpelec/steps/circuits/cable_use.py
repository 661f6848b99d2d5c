"""Cables by breaker with the whole chain of their ampacity, how many share a sealed hole, how far they reach."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

from hpelec.common.cable_sizes import cable_size
from hpelec.common.rules_ampacity import Around, ampacity_chain
from hpelec.common.rules_conductors import terminal_column_C
from hpelec.common.rules_drop import LEAST_RUN_A, longest_run_ft
from hpelec.common.rules_nm import (
    NmCable,
    hole_carries,
    most_cables,
    sealed_hole_ampacity_A,
    sealed_hole_factor,
)
from hpelec.common.rules_overcurrent import breaker_protects, small_conductor_limit_A
from hpelec.core.rounding import EPS
from hpelec.core.tables import table
from hpelec.core.working import line
from hpelec.steps.circuits import rules
from hpelec.steps.circuits.dedicated import Notes
from hpelec.steps.circuits.model import CableUse, Circuit

HOLE_MOST = 100
"""More cables than this in one hole are not looked at."""


def with_reach(circuits: Sequence[Circuit], limit_percent: float, notes: Notes) -> list[Circuit]:
    """Circuits with the longest run within the drop wanted, and with how many like them share a sealed hole.

    The drop is taken with the load of the equipment, or 80 % of the breaker where outlets share the circuit, all of it
    at the far end; feeders are left to the step service.
    """
    made = []
    for circuit in circuits:
        run_A = rules.run_current_A(circuit.load_VA, circuit.voltage_V, circuit.breaker_A, circuit.kind == "dedicated")
        reach_ft = None
        if circuit.kind != "feeder" and circuit.cable_size and run_A >= LEAST_RUN_A:
            reach_ft = longest_run_ft(circuit.cable_size, "cu", 1, run_A, 1.0, circuit.voltage_V, limit_percent)
        nm = nm_of(circuit)
        made.append(
            replace(
                circuit,
                run_A=run_A if reach_ft is not None else None,
                longest_run_ft=reach_ft,
                sealed_hole_most=None if nm is None else _most(nm, notes.edition, _ambient_C("ambient_C")),
            )
        )
    first = next((c for c in made if c.longest_run_ft is not None), None)
    if first is not None and first.longest_run_ft is not None and first.run_A is not None:
        notes.working.append(
            line(
                f"{first.id} longest run",
                f"{limit_percent:g} % of {first.voltage_V:g} V with {first.run_A:.2f} A in copper {first.cable_size}",
                first.longest_run_ft,
                "ft",
                longest_run_ft,
            )
        )
    return made


def nm_of(circuit: Circuit) -> NmCable | None:
    """What the rule of sealed holes needs to know of a circuit's cable; None where it does not speak of it."""
    if not circuit.cable_size or not cable_size(circuit.cable).is_nm:
        return None
    return NmCable(circuit.cable_size, circuit.current_conductors, circuit.breaker_A)


def cable_uses(circuits: Sequence[Circuit], notes: Notes) -> list[CableUse]:
    """One row for each cable at each breaker, with a line of working."""
    groups: dict[tuple[float, str], list[Circuit]] = {}
    for circuit in sorted((c for c in circuits if c.cable_size), key=lambda c: (c.breaker_A, c.cable, c.id)):
        groups.setdefault((circuit.breaker_A, circuit.cable), []).append(circuit)
    made = [_use(members, notes) for members in groups.values()]
    return [use for use in made if use is not None]


def _use(members: Sequence[Circuit], notes: Notes) -> CableUse | None:
    first, edition = members[0], notes.edition
    nm = nm_of(first)
    around = Around(
        insulation_C=90,
        conductors=max(c.current_conductors for c in members),
        terminal_C=terminal_column_C(first.breaker_A, False),
        cable="NM-B" if nm else "",
    )
    chain = ampacity_chain(first.cable_size, "cu", around)
    if chain is None:
        return None
    limit_A = small_conductor_limit_A(first.cable_size, "cu", edition)
    most = None if nm is None else _most(nm, edition, _ambient_C("ambient_C"))
    ceiling = None if nm is None else _most(nm, edition, _ambient_C("ambient_ceiling_C"))
    hole_A = None
    if nm is not None and most is not None:
        factor = sealed_hole_factor([nm.current_conductors] * most, edition)
        hole_A = sealed_hole_ampacity_A(nm.size, factor, edition)
    cap = "" if chain.cap_A is None else f", cable limit {chain.cap_A:g} A"
    small = "" if limit_A is None else f", device limit {limit_A:g} A"
    notes.working.append(
        line(f"{first.cable} at {first.breaker_A:g} A",
             f"90 C column {chain.base_A:g} A x {chain.ambient_factor:g} x {chain.count_factor:g}{cap}, terminals "
             f"{chain.terminal_A:g} A{small}", chain.allowable_A, "A", ampacity_chain, edition)
    )  # fmt: skip
    return CableUse(
        cable=first.cable,
        breaker_A=first.breaker_A,
        circuits=len(members),
        needed_A=max(c.needed_A for c in members),
        column_90C_A=chain.base_A,
        alone_A=chain.corrected_A,
        cap_A=chain.cap_A,
        terminal_A=chain.terminal_A,
        small_limit_A=limit_A,
        allowable_A=chain.allowable_A,
        protected_by=_protected_by(first, chain.allowable_A, edition),
        most_a_hole=most,
        most_a_hole_ceiling=ceiling,
        hole_A=hole_A,
    )


def _protected_by(circuit: Circuit, allowable_A: float, edition: int) -> str:
    if circuit.breaker_A <= allowable_A + EPS:
        return "breaker within the ampacity"
    if breaker_protects(circuit.breaker_A, allowable_A, circuit.cable_size, edition, several_receptacles=False):
        return "next standard rating above it, 240.4(B)"
    return "nameplate of the equipment, 240.4(G)"


@cache
def _most(cable: NmCable, edition: int, ambient_C: float) -> int:
    """Most such cables in one sealed hole; 2 where the rule counts none, since it does not judge two."""
    if hole_carries([cable] * HOLE_MOST, edition, ambient_C):
        return HOLE_MOST
    return most_cables(cable, edition, ambient_C=ambient_C)


@cache
def _ambient_C(item: str) -> float:
    return table("air/taken_sizes").one(item=item).number("value")
