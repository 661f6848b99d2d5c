"""Cables that enter each panel, and a pattern of holes for them in the plates above and below it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hpelec.common.cable_sizes import CableSize, cable_size
from hpelec.common.rules_holes import hole_diameter_in, stacked_size_in
from hpelec.common.rules_nm import hole_carries
from hpelec.core.citing import cite
from hpelec.core.findings import Verdict
from hpelec.core.tables import table
from hpelec.core.working import line
from hpelec.house.rows import Panel
from hpelec.steps.circuits.cable_use import nm_of
from hpelec.steps.circuits.dedicated import Notes
from hpelec.steps.circuits.model import Circuit, EntryHole, Pair
from hpelec.steps.circuits.rules_panel import line_of_holes_in, practice

AMBIENT_C = 30.0
PLATES = 2
"""Lines of holes that a stud bay has: one in the plate above the panel, one in the plate below."""


@dataclass(frozen=True, slots=True)
class _Bundle:
    circuits: tuple[Circuit, ...]
    cables: tuple[str, ...]

    @property
    def sizes(self) -> list[CableSize]:
        return [cable_size(c) for c in self.cables]

    @property
    def diameter_in(self) -> float:
        sizes = self.sizes
        return hole_diameter_in(stacked_size_in([s.width_in for s in sizes], [s.thickness_in for s in sizes]))


def entries(
    circuits: Sequence[Circuit], pairs: Sequence[Pair], panels: Sequence[Panel], notes: Notes
) -> list[EntryHole]:
    """The pattern of holes of every panel, with a finding on each. A multiwire pair is one cable."""
    width_in = table("air/taken_sizes").one(item="panel_width_in").number("value")
    made: list[EntryHole] = []
    for panel in sorted(panels, key=lambda p: p.id):
        bundles = _bundles(_cables(panel.id, circuits, pairs), notes.edition)
        holes = _lined_up(panel.id, bundles, width_in)
        made += holes
        _tell(panel.id, holes, width_in, notes)
    return made


def _cables(panel: str, circuits: Sequence[Circuit], pairs: Sequence[Pair]) -> list[tuple[Circuit, str]]:
    """Each cable that ends at the panel with its circuit: thick ones first."""
    second = {p.second for p in pairs}
    shared = {p.first: p.cable for p in pairs}
    mine = [c for c in circuits if (c.panel == panel or panel in _feeds(c)) and c.id not in second]
    named = [(c, shared.get(c.id, c.cable)) for c in mine]

    def order(item: tuple[Circuit, str]) -> tuple[float, str, float, str]:
        size = cable_size(item[1])
        return (-size.width_in * size.thickness_in, item[1], -item[0].breaker_A, item[0].id)

    return sorted(named, key=order)


def _feeds(circuit: Circuit) -> tuple[str, ...]:
    return circuit.outlets if circuit.kind == "feeder" else ()


def _bundles(cables: Sequence[tuple[Circuit, str]], edition: int) -> list[_Bundle]:
    """Cables of one kind together, as many as keep their ampacity in one sealed hole; others than NM alone."""
    most = int(practice("most_cables_a_hole"))
    made: list[_Bundle] = []
    for circuit, cable in cables:
        last = made[-1] if made else None
        if last is not None and last.cables[-1] == cable and len(last.cables) < most:
            nm = [n for n in (nm_of(c) for c in (*last.circuits, circuit)) if n is not None]
            if len(nm) == len(last.circuits) + 1 and hole_carries(nm, edition, AMBIENT_C):
                made[-1] = _Bundle((*last.circuits, circuit), (*last.cables, cable))
                continue
        made.append(_Bundle((circuit,), (cable,)))
    return made


def _lined_up(panel: str, bundles: Sequence[_Bundle], width_in: float) -> list[EntryHole]:
    """Holes in lines, each line in the middle of the width, half the wood between holes kept at its ends."""
    web_in = practice("hole_web_in")
    lines: list[list[_Bundle]] = []
    for bundle in bundles:
        there = [b.diameter_in for b in lines[-1]] if lines else []
        if not there or line_of_holes_in([*there, bundle.diameter_in], web_in) > width_in - web_in:
            lines.append([])
        lines[-1].append(bundle)
    made: list[EntryHole] = []
    for in_line, members in enumerate(lines, 1):
        at_in = (width_in - line_of_holes_in([b.diameter_in for b in members], web_in)) / 2
        for bundle in members:
            diameter_in = bundle.diameter_in
            made.append(
                EntryHole(
                    panel=panel,
                    hole=len(made) + 1,
                    line=in_line,
                    x_in=at_in + diameter_in / 2,
                    diameter_in=diameter_in,
                    cables=bundle.cables,
                    circuits=tuple(c.id for c in bundle.circuits),
                    known=all(s.known for s in bundle.sizes),
                )
            )
            at_in += diameter_in + web_in
    return made


def _tell(panel: str, holes: Sequence[EntryHole], width_in: float, notes: Notes) -> None:
    if not holes:
        return
    by = cite(line_of_holes_in)
    cables = sum(len(h.cables) for h in holes)
    lines = max(h.line for h in holes)
    needed_in = line_of_holes_in([h.diameter_in for h in holes], practice("hole_web_in"))
    notes.working.append(
        line(f"{panel} holes for cables, in one line", f"{cables} cables in {len(holes)} holes, wood between",
             needed_in, "in", by)
    )  # fmt: skip
    unknown = [c for h in holes if not h.known for c in h.cables]
    verdict = Verdict.CANNOT_SAY if unknown else Verdict.MEETS if lines <= PLATES else Verdict.MISSES
    fix = f"outside size of {', '.join(sorted(set(unknown)))}" if unknown else "bring some in beside the panel"
    notes.find(
        "panel-entry", panel, "cables pass the plates above and below the panel within its width",
        f"{cables} cables, {len(holes)} holes, {lines} line(s) of {width_in:g} in", f"{PLATES} lines", fix, verdict, by,
    )  # fmt: skip
