"""Names of circuits for the panel directory: none stands twice."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from hpelec.steps.circuits.model import Circuit


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """A key that sorts `general-2` before `general-10`."""
    parts = re.findall(r"\d+|\D+", text)
    return tuple((0, int(p), "") if p.isdecimal() and p.isascii() else (1, 0, p) for p in parts)


def distinct(circuits: Sequence[Circuit]) -> list[Circuit]:
    """Circuits with names alike (but for case and blanks) numbered in the order of their ids.

    A number is left out where another circuit already has that name.
    """
    alike = Counter(_plain(c.name) for c in circuits)
    taken = {name for name, times in alike.items() if times == 1}
    named: dict[str, str] = {}
    for circuit in sorted(circuits, key=lambda c: natural(c.id)):
        if alike[_plain(circuit.name)] == 1:
            continue
        number = 1
        while _plain(f"{circuit.name} {number}") in taken:
            number += 1
        named[circuit.id] = f"{circuit.name} {number}"
        taken.add(_plain(named[circuit.id]))
    return [replace(c, name=named.get(c.id, c.name)) for c in circuits]


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())
