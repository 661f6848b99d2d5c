"""What may be bored where, and whether a cable in the middle of its space is out of reach of nails and screws."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from hpelec.common import rules_framing
from hpelec.core.citing import cite
from hpelec.core.findings import Verdict
from hpelec.core.tables import table
from hpelec.steps.devices.box_rows import size
from hpelec.steps.devices.boxes import cavities
from hpelec.steps.devices.draft import Draft
from hpelec.steps.devices.model import FramingLimit

FINISH_IN = 0.5
NAMES = {"wall": "outer wall", "garage_wall": "garage wall", "ceiling": "ceiling", "floor": "floor"}
CABLE_HOLE_IN = 0.75
"""Hole that is bored for one or two cables; common practice."""
RULES: dict[str, Callable[..., float]] = {
    "stud": rules_framing.stud_hole_in,
    "batten": rules_framing.plate_free_hole_in,
    "joist": rules_framing.joist_hole_in,
}


@dataclass(frozen=True, slots=True)
class Space:
    """Where cables run: name of the member beside or across them, its depth, the finish before it."""

    member: str
    depth_in: float
    finish_in: float
    kind: str


def framing(draft: Draft) -> tuple[FramingLimit, ...]:
    """Limits of studs, battens of service cavities and joists; findings on set-back and screws."""
    wishes = draft.house.device_wishes
    spaces = [Space("stud of an inside wall", wishes.stud_depth_in, FINISH_IN, "stud")]
    for (surface, own), cavity in sorted(cavities(draft).items(), key=lambda item: item[0]):
        name = NAMES[surface] + (f" as {own}" if own else "")
        spaces.append(Space(f"batten of the cavity, {name}", cavity.depth_in, cavity.finish_in, "batten"))
    spaces.append(Space("sawn joist", wishes.joist_depth_in, FINISH_IN, "joist"))
    draft.assume("devices, framing", f"finish of inside walls {FINISH_IN:g} in thick", "no assembly describes them")
    return tuple(_limit(draft, s) for s in spaces)


def _limit(draft: Draft, space: Space) -> FramingLimit:
    screw_in = draft.house.device_wishes.longest_screw_in
    cable_in = min(size("cable_thickness_in"), space.depth_in)
    set_back_in = rules_framing.middle_set_back_in(space.depth_in, cable_in)
    tip_in = None if screw_in is None else rules_framing.screw_reach_in(screw_in, space.finish_in)
    if space.kind != "joist":
        _set_back(draft, space, set_back_in)
        _screw(draft, space, set_back_in, tip_in)
    return FramingLimit(
        member=space.member,
        depth_in=space.depth_in,
        structural_in=_structural(space),
        plate_free_in=rules_framing.plate_free_hole_in(space.depth_in),
        set_back_in=set_back_in,
        screw_tip_in=tip_in,
        # A batten thinner than the hole cannot be bored: its cables lie in a notch, and need a plate.
        plate_for_cables=space.depth_in < CABLE_HOLE_IN
        or rules_framing.plate_needed(space.depth_in, CABLE_HOLE_IN, space.depth_in / 2),
        notch_in=rules_framing.joist_notch_in(space.depth_in, at_end=False) if space.kind == "joist" else None,
        citation=cite(RULES[space.kind], draft.edition if space.kind == "batten" else None),
    )


def _structural(space: Space) -> float | None:
    if space.kind == "stud":
        return rules_framing.stud_hole_in(space.depth_in, bearing=True)
    return rules_framing.joist_hole_in(space.depth_in) if space.kind == "joist" else None


def _set_back(draft: Draft, space: Space, set_back_in: float) -> None:
    """The rule's distance and the trade's, for a cable laid in the middle of the depth."""
    practice_in = table("layout/cable_protection_support").one(rule_id="P-TRADE2").number("value")
    plates = rules_framing.plate_needed_along(set_back_in)
    habit = "also keeps" if set_back_in >= practice_in - 1e-9 else "does not keep"
    draft.told(
        "cable-set-back", space.member, "a cable lies 1-1/4 in or more behind the face that screws enter",
        f"{set_back_in:.2f} in in the middle of {space.depth_in:g} in; it {habit} the {practice_in:g} in of the trade",
        "1-1/4 in, or a steel plate", Verdict.CANNOT_SAY if plates else Verdict.MEETS,
        cite(rules_framing.plate_needed_along, draft.edition),
        "steel plates wherever a cable crosses the member; between members 1-1/4 in beside them",
    )  # fmt: skip


def _screw(draft: Draft, space: Space, set_back_in: float, tip_in: float | None) -> None:
    by = cite(rules_framing.clear_of_screw_in)
    rule = "the longest screw through the finish does not reach a cable in the middle"
    if tip_in is None:
        draft.told(
            "screw-reach", space.member, rule, "the longest screw is not given", "", Verdict.CANNOT_SAY, by,
            "give longest_screw_in in [devices] of house.toml",
        )  # fmt: skip
        return
    clear_in = rules_framing.clear_of_screw_in(set_back_in, tip_in)
    draft.told(
        "screw-reach", space.member, rule,
        f"tip {tip_in:.2f} in behind the finish, cable {set_back_in:.2f} in: {clear_in:.2f} in to spare",
        "more than 0", Verdict.MEETS if clear_in > 1e-9 else Verdict.MISSES, by,
        f"screws {set_back_in + space.finish_in:.2f} in long at most, or steel plates",
    )  # fmt: skip
