"""Circuits to panels, feeders between panels, and the spaces that they take."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from hpelec.common import rules_ratings as ratings
from hpelec.common.rules_ampacity import counted_conductors
from hpelec.common.rules_equipment import breaker_within_A
from hpelec.core.citing import cite
from hpelec.core.findings import Verdict
from hpelec.core.working import line
from hpelec.house.rows import Panel
from hpelec.steps.circuits import rules, rules_cable
from hpelec.steps.circuits.dedicated import Notes
from hpelec.steps.circuits.model import Circuit, PanelUse


def is_large(circuit: Circuit) -> bool:
    """A large load: over 30 A or above 120 V, as the column `takes` of panels.csv says."""
    return circuit.breaker_A > 30 or circuit.voltage_V > 120


def to_panels(circuits: Sequence[Circuit], panels: Sequence[Panel]) -> list[Circuit]:
    """Each circuit on a panel that takes it: one for its kind of load before one for all, then the first with room.

    Panels at the service come first, then by id; large circuits are placed before small ones. Where no panel has
    room the first that takes it is named (a finding tells that it is too full).
    """
    ordered = sorted(panels, key=lambda p: (p.fed_from != "service", p.id))
    free = {p.id: p.spaces + p.tandem_spaces - 2 * sum(q.fed_from == p.id for q in panels) for p in ordered}
    chosen: dict[str, str] = {}
    for circuit in sorted(circuits, key=lambda c: (-c.poles, -c.breaker_A, c.id)):
        kind = "large" if is_large(circuit) else "small"
        fits = [p.id for p in ordered if p.takes == kind] + [p.id for p in ordered if p.takes == "all"]
        fits = fits or [p.id for p in ordered]
        if not fits:
            continue
        panel = next((p for p in fits if free[p] >= circuit.poles), fits[0])
        free[panel] -= circuit.poles
        chosen[circuit.id] = panel
    return [replace(c, panel=chosen.get(c.id, "")) for c in circuits]


def feeders(circuits: Sequence[Circuit], panels: Sequence[Panel], voltage_V: float, notes: Notes) -> list[Circuit]:
    """A feeder to each panel that another panel feeds, with the loads of everything behind it."""
    made = []
    for panel in sorted(panels, key=lambda p: p.id):
        if panel.fed_from == "service":
            continue
        breaker_A = breaker_within_A(max(panel.rating_A, 15.0), notes.edition)
        behind = _behind(panel.id, panels)
        load_VA = sum(c.load_VA for c in circuits if c.panel in behind)
        cable = rules_cable.choose_cable(breaker_A, breaker_A, 3, notes.edition)
        by = cite(ratings.largest_standard_A, notes.edition)
        notes.working.append(
            line(f"feeder {panel.id} breaker", f"not above the bus rating of {panel.rating_A:g} A", breaker_A, "A", by)
        )
        if not cable.is_nm:
            notes.find(
                "cable-kind", f"feeder {panel.id}", "a wiring method for sizes above nonmetallic-sheathed cable",
                f"{cable.name}, carried only to have a size for the route", "",
                "see the feeder conductors of the step service; choose the wiring method with your electrician",
                Verdict.CANNOT_SAY, cite(rules_cable.terminal_ampacity_A, notes.edition),
            )  # fmt: skip
        made.append(
            Circuit(
                id=f"feeder-{panel.id}",
                name=f"Feeder to {panel.name}",
                kind="feeder",
                panel=panel.fed_from,
                breaker_A=breaker_A,
                poles=2,
                voltage_V=voltage_V,
                load_VA=load_VA,
                cable=cable.name,
                cable_size=cable.size,
                current_conductors=counted_conductors(2, True, voltage_V),
                outlets=(panel.id,),
                citation=by,
                needed_A=breaker_A,
            )
        )
    return made


def _behind(panel: str, panels: Sequence[Panel]) -> set[str]:
    """The panel and every panel that is fed through it."""
    found = {panel}
    while True:
        more = {p.id for p in panels if p.fed_from in found} - found
        if not more:
            return found
        found |= more


def panel_uses(
    circuits: Sequence[Circuit], panels: Sequence[Panel], spaces_used: Mapping[str, int], notes: Notes
) -> tuple[PanelUse, ...]:
    """What each panel holds, with a finding on its spaces. spaces_used: by panel, tandem breakers counted once."""
    uses = []
    for panel in sorted(panels, key=lambda p: p.id):
        mine = [c for c in circuits if c.panel == panel.id]
        full_size = rules.spaces_needed([c.poles for c in mine])
        used = spaces_used[panel.id]
        by = cite(rules.spaces_needed)
        load_VA = sum(c.load_VA for c in mine)
        uses.append(
            PanelUse(
                panel=panel.id,
                name=panel.name,
                rating_A=panel.rating_A,
                spaces=panel.spaces,
                spaces_used=used,
                circuits=len(mine),
                load_VA=load_VA,
            )
        )
        ones = sum(c.poles == 1 for c in mine)
        twos = len(mine) - ones
        tandems = f" - {full_size - used} in tandem breakers" if full_size > used else ""
        notes.working.append(line(f"{panel.id} spaces", f"{ones} x 1 + {twos} x 2{tandems}", used, "spaces", by))
        verdict = Verdict.MEETS if used <= panel.spaces else Verdict.MISSES
        notes.find(
            "panel-spaces", panel.id, "breaker spaces suffice", f"{used} spaces used", f"{panel.spaces}",
            "a panel with more spaces, or a further panel", verdict, by,
        )  # fmt: skip
    return tuple(uses)
