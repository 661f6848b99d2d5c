"""Ceiling fans and the sprinklers of their rooms."""

from __future__ import annotations

import math
from collections.abc import Iterable

from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.house.rows import CeilingFan, Room
from hpelec.steps.lighting import rules_fans as rules
from hpelec.steps.lighting.luminaires import Site

VERDICTS = {True: Verdict.MEETS, False: Verdict.MISSES, None: Verdict.CANNOT_SAY}
WHO = "a rule from memory: the designer of the sprinklers, their listing and the authority decide"


def sprinkler_findings(site: Site, room: Room, fan: CeilingFan) -> Iterable[Finding]:
    """What is known of a fan and each sprinkler of its room."""
    for head in site.sprinklers[room.id]:
        apart_in = math.dist(site.fan_at(fan), site.sprinkler_at(head)) * 12
        clear = rules.fan_clear_of_sprinkler(apart_in, fan.diameter_in, head.kind)
        limits = " or ".join(f"{limit_ft:g}" for limit_ft in rules.sprinkler_apart_ft(head.kind))
        either = " (pendent or sidewall)" if head.kind == "unknown" else f" ({head.kind})"
        over = "; it stands over the blade circle" if apart_in < fan.diameter_in / 2 - 1e-9 else ""
        row = rules.fan_rule("F-SPRINKLER-SIDE" if head.kind == "sidewall" else "F-SPRINKLER")
        fix = WHO if clear else f"move the fan or the sprinkler, or add a sprinkler; {WHO}"
        if clear is None and head.kind == "unknown":
            fix = f"fill in its kind (sprinklers.csv); {WHO}"
        yield Finding(
            "fan-sprinkler", "lighting", f"{fan.id} and {head.id}", "the fan does not obstruct the sprinkler",
            f"{apart_in / 12:.2f} ft from the hub{over}", f">= {limits} ft{either}", fix, VERDICTS[clear],
            row.citation,
        )  # fmt: skip


def sprinklers_assumed(site: Site) -> Assumption:
    """What is taken about sprinklers in a house with fans."""
    if not any(site.sprinklers.values()):
        return Assumption(
            "lighting, fans", "no sprinkler is known", "sprinklers are not described: look at their rules"
        )
    return Assumption(
        "lighting, fans", "a fan obstructs no sprinkler but those of its own room",
        "sprinklers.csv is compared room by room, on the plan",
    )  # fmt: skip
