"""Stairs between levels: which rooms are one stair, and whether it needs a switch at each level."""

from __future__ import annotations

from hpelec.core.citing import cite
from hpelec.core.findings import Verdict
from hpelec.core.working import line as working_line
from hpelec.house.geometry import outline
from hpelec.house.rows import Room
from hpelec.steps.devices import rules
from hpelec.steps.devices.draft import Draft

Flight = tuple[Room, Room]
TOUCH_FT = 0.5
"""Two stairs of neighbouring levels whose outlines overlap by this much in both directions are one."""


def stairways(draft: Draft) -> tuple[Flight, ...]:
    """Pairs of stair rooms, lower and upper, that lie over one another on neighbouring levels and need two switches."""
    stairs = [r for r in draft.rooms if r.kind == "stair"]
    heights = sorted({draft.levels[r.level].floor_ft for r in draft.rooms})
    made = []
    for low in stairs:
        for high in stairs:
            floors = draft.levels[low.level].floor_ft, draft.levels[high.level].floor_ft
            next_up = floors[0] < floors[1] and heights.index(floors[1]) == heights.index(floors[0]) + 1
            if next_up and _over(low, high) and rules.switch_at_each_level(_risers(draft, low, high)):
                made.append((low, high))
    return tuple(made)


def _risers(draft: Draft, low: Room, high: Room) -> int:
    rise_ft = draft.levels[high.level].floor_ft - draft.levels[low.level].floor_ft
    return rules.fewest_risers(rise_ft * 12)


def _over(a: Room, b: Room) -> bool:
    (ax, ay), (bx, by) = (tuple(zip(*outline(r), strict=True)) for r in (a, b))
    wide = min(max(ax), max(bx)) - max(min(ax), min(bx))
    deep = min(max(ay), max(by)) - max(min(ay), min(by))
    return bool(wide >= TOUCH_FT and deep >= TOUCH_FT)


def tell_stairs(draft: Draft, flights: tuple[Flight, ...]) -> None:
    """Working and findings: a switch at each level of each flight; stairs that lead to no drawn stair."""
    for low, high in flights:
        risers = _risers(draft, low, high)
        rise_in = 12 * (draft.levels[high.level].floor_ft - draft.levels[low.level].floor_ft)
        draft.working.append(
            working_line(
                f"{low.id} to {high.id}: risers at least",
                f"ceil({rise_in:g} in / 7.75 in)",
                risers,
                "",
                rules.fewest_risers,
            )
        )
        counts = [len(draft.in_room(r, "switch")) for r in (low, high)]
        draft.told(
            "stair-switches", f"{low.id}, {high.id}", "a stair of 6 risers or more has a switch at each level",
            f"{counts[0]} below, {counts[1]} above, three-way; {risers} risers at least", "at least one at each",
            Verdict.MEETS if all(counts) else Verdict.MISSES, cite(rules.switch_at_each_level, draft.edition),
            "add a three-way switch at the level that has none",
        )  # fmt: skip
    joined = {r.id for flight in flights for r in flight}
    alone = [r.id for r in draft.rooms if r.kind == "stair" and r.id not in joined]
    if alone:
        draft.told(
            "stair-switches", ", ".join(alone), "a stair of 6 risers or more has a switch at each level",
            "no stair of a neighbouring level lies over or under it", "", Verdict.CANNOT_SAY,
            cite(rules.switch_at_each_level, draft.edition), "draw the stair on both levels",
        )  # fmt: skip
