"""Multiwire branch circuits: pairs of 120 V circuits with a shared neutral, where the user asks for them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hpelec.common.rules_ampacity import counted_conductors
from hpelec.core.citing import cite
from hpelec.core.findings import Verdict
from hpelec.core.working import line
from hpelec.steps.circuits import rules_cable, rules_panel
from hpelec.steps.circuits.dedicated import Notes
from hpelec.steps.circuits.model import Circuit, Pair
from hpelec.steps.circuits.naming import natural

FAMILY = {"general": "general", "lighting": "general", "small_appliance": "small_appliance"}
"""Kinds that the setting names; with `all` every shared 120 V circuit, each with its own kind."""
NEVER = ("dedicated", "feeder")


def multiwire(
    circuits: Sequence[Circuit], wanted: str, voltage_V: float, notes: Notes
) -> tuple[list[Circuit], list[Pair]]:
    """Circuits with their partner named, and the pairs: neighbours of one family, breaker, voltage and panel.

    wanted: none, small_appliance, general or all. An odd one is left alone.
    """
    if wanted == "none":
        return list(circuits), []
    families: dict[tuple[str, str, float], list[Circuit]] = {}
    for circuit in sorted(circuits, key=lambda c: natural(c.id)):
        family = FAMILY.get(circuit.kind, circuit.kind)
        if circuit.poles == 1 and circuit.kind not in NEVER and wanted in (family, "all"):
            families.setdefault((circuit.panel, family, circuit.breaker_A), []).append(circuit)
    pairs: list[Pair] = []
    partner: dict[str, str] = {}
    for (panel, _, breaker_A), members in sorted(families.items()):
        for first, second in zip(members[::2], members[1::2], strict=False):
            partner |= {first.id: second.id, second.id: first.id}
            pairs.append(_pair(panel, first, second, breaker_A, voltage_V, notes))
    return [replace(c, multiwire_with=partner.get(c.id, "")) for c in circuits], pairs


def _pair(panel: str, first: Circuit, second: Circuit, breaker_A: float, voltage_V: float, notes: Notes) -> Pair:
    edition = notes.edition
    cable = rules_cable.choose_cable(breaker_A, breaker_A, 3, edition, several_receptacles=True)
    counted = counted_conductors(2, True, voltage_V)
    afci, gfci = first.afci or second.afci, first.gfci or second.gfci
    protection = rules_panel.multiwire_breaker(gfci, afci)
    place = f"{first.id} and {second.id}"
    notes.working.append(
        line(f"{place}: conductors that count", f"2 lines, shared neutral at {voltage_V:g} V", counted, "",
             counted_conductors, edition)
    )  # fmt: skip
    together = rules_panel.multiwire_disconnect(False, True)
    notes.find(
        "multiwire-disconnect", place, "both lines of a multiwire circuit open together", protection,
        "a handle tie or a two-pole breaker", "breakers side by side with a handle tie, or a two-pole one",
        Verdict.MEETS if together else Verdict.MISSES, cite(rules_panel.multiwire_disconnect, edition),
    )  # fmt: skip
    if afci or gfci:
        notes.find(
            "multiwire-protection", place, "protection of circuits with a shared neutral", protection, "",
            "see whether such a breaker is made for your panel; behind the first box two neutrals would do too",
            Verdict.CANNOT_SAY, cite(rules_panel.multiwire_breaker),
        )  # fmt: skip
    notes.find(
        "multiwire-routes", place, "one cable to the first box", f"{cable.name} for both", "",
        "the routes draw a two-wire cable for each; join them as far as the first box by hand, and count one hole less",
        Verdict.CANNOT_SAY, cite(rules_panel.multiwire_disconnect, edition),
    )  # fmt: skip
    return Pair(
        panel=panel,
        first=first.id,
        second=second.id,
        cable=cable.name,
        breaker_A=breaker_A,
        protection=protection,
        counted_conductors=counted,
    )
