"""What each preference costs: the fewest possible, with the preference, the difference."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from hpelec.steps.devices.draft import Draft, Mark
from hpelec.steps.devices.model import DeviceSpot, Preference, WallRun
from hpelec.steps.devices.outdoors import exterior_doors
from hpelec.steps.devices.walls import ENVELOPE

RECEPTACLES = "wall receptacles"
ENVELOPE_BOXES = "wall receptacles in the envelope"


def preferences(draft: Draft, spots: Sequence[DeviceSpot], marks: dict[str, Mark]) -> tuple[Preference, ...]:
    """Preferences by rank; those not taken are shown at the price that they would have."""
    runs = draft.runs
    mode = draft.house.device_wishes.wall_boxes
    return (
        _pins(runs),
        _clear(runs, mode),
        _inside_first(runs, mode),
        *_wishes(draft, spots, marks),
        *_furniture(draft),
        _even(runs),
        _inside_alone(runs, mode),
        _floor(runs, mode),
        *_outdoors(draft, spots),
        _second_switch(draft, spots),
    )


def _where(runs: Iterable[WallRun]) -> tuple[str, ...]:
    return tuple(sorted({f"{r.room}, run {r.number}" for r in runs}))


def _row(
    order: int, preference: str, counted: str, before: float, after: float | None, taken: bool, where: tuple[str, ...]
) -> Preference:
    return Preference(
        order=order,
        preference=preference,
        counted=counted,
        fewest=before,
        with_preference=after,
        difference=None if after is None else after - before,
        taken=taken,
        where=where,
    )


def _pins(runs: Sequence[WallRun]) -> Preference:
    dearer = [r for r in runs if r.with_pins != r.fewest]
    before, after = sum(r.fewest for r in runs), sum(r.with_pins for r in runs)
    return _row(1, "receptacles stand where the user has put them", RECEPTACLES, before, after, True, _where(dearer))


def _clear(runs: Sequence[WallRun], mode: str) -> Preference:
    """Boxes never stand at a bare point beside a corner; measured on the layout itself unless it adds receptacles."""
    placed = [r.placed if mode == "fewest" else max(r.with_pins, 0) for r in runs]
    dearer = [r for r, n in zip(runs, placed, strict=True) if n != r.with_pins]
    words = "boxes keep clear of corners and openings (2 in at least, 6 in where that adds none)"
    return _row(2, words, RECEPTACLES, sum(r.with_pins for r in runs), sum(placed), True, _where(dearer))


def _inside_first(runs: Sequence[WallRun], mode: str) -> Preference:
    changed = [r for r in runs if r.in_envelope != r.even_in_envelope]
    before = sum(r.even_in_envelope for r in runs)
    after = sum(r.in_envelope for r in runs)
    words = "inside walls before walls of the envelope, at the same number"
    return _row(3, words, ENVELOPE_BOXES, before, after, mode == "fewest", _where(changed))


def _wishes(draft: Draft, spots: Sequence[DeviceSpot], marks: dict[str, Mark]) -> list[Preference]:
    """How near a receptacle stands to each wished place."""
    made = []
    for room_id, wishes in sorted(draft.wishes.items()):
        line = draft.lines[room_id]
        here = [(s.id, marks[s.id].arc_ft) for s in spots if s.room == room_id and s.kind in ("receptacle",)]
        for wish in sorted(wishes, key=lambda w: w.id):
            near = [(min(abs(a - wish.arc_ft), line.length_ft - abs(a - wish.arc_ft)), name) for name, a in here]
            away_ft, name = min(near, default=(None, ""))
            words = wish.words or f"a receptacle at the wished place {wish.id}"
            places = (name,) if name else ()
            made.append(_row(4, words, "distance from the wish to the nearest, in feet", 0.0, away_ft, True, places))
    return made


def _furniture(draft: Draft) -> list[Preference]:
    """What minding furniture brings, at no further receptacle; nothing where no run has a wish of a piece."""
    if not draft.furniture_met:
        return []
    before, after = (sum(counts) for counts in zip(*draft.furniture_met, strict=True))
    where = tuple(sorted({w.piece for wishes in draft.wishes.values() for w in wishes if w.piece}))
    words = "receptacles stand where furniture wants them, at the same number"
    return [_row(4, words, "wishes of furniture that are met", before, after, True, where)]


def _even(runs: Sequence[WallRun]) -> Preference:
    moved = [r for r in runs if (r.off_even_ft or 0.0) > 1e-6]
    most_ft = max((r.off_even_ft or 0.0 for r in runs), default=0.0)
    words = "evenly spaced, as far as the preferences above leave room"
    return _row(5, words, "distance off the even place at most, in feet", 0.0, most_ft, True, _where(moved))


def _inside_alone(runs: Sequence[WallRun], mode: str) -> Preference:
    stuck = [r for r in runs if r.inside_only is None and r.counts]
    dearer = [r for r in runs if r.inside_only is not None and r.inside_only != r.with_pins]
    before = sum(r.with_pins for r in runs)
    after = None if stuck else sum(r.inside_only or 0 for r in runs)
    words = "no further box in the envelope, inside walls alone"
    if stuck:
        words += f": not possible on {len(stuck)} runs"
    return _row(6, words, RECEPTACLES, before, after, mode == "inside", _where(stuck or dearer))


def _floor(runs: Sequence[WallRun], mode: str) -> Preference:
    used = [r for r in runs if r.in_floor]
    words = "no further box in the envelope, the floor where inside walls do not reach"
    return _row(7, words, "receptacles in the floor", 0, sum(r.in_floor for r in runs), mode == "floor", _where(used))


def _outdoors(draft: Draft, spots: Sequence[DeviceSpot]) -> list[Preference]:
    outdoor = [s for s in spots if s.kind == "outdoor_receptacle"]
    if not exterior_doors(draft):
        return []
    by_habit = [s for s in outdoor if s.citation.accuracy == "common practice" and not s.pinned]
    needed = min(len(outdoor), max(2, len(outdoor) - len(by_habit)))
    doors = _row(
        8, "an outdoor receptacle at every exterior door", "outdoor receptacles", needed, len(outdoor), True,
        tuple(s.id for s in by_habit),
    )  # fmt: skip
    outside = [s for s in spots if s.surface == "outside"]
    shared = [s.id for s in outside if s.shares_hole_with]
    taken = draft.house.device_wishes.door_light_shares_hole
    holes = _row(
        9, "the light of a door shares the hole of its receptacle", "boxes outdoors with a hole of their own",
        len(outside), len(outside) - len(shared), taken, tuple(shared),
    )  # fmt: skip
    return [doors, holes]


def _second_switch(draft: Draft, spots: Sequence[DeviceSpot]) -> Preference:
    switches = [s for s in spots if s.kind == "switch"]
    second = [s for s in switches if s.what == "three-way, second entry"]
    extra = [s for s in second if s.surface in ENVELOPE]
    words = "a second switch at a second way through a room"
    if extra:
        words += f"; {len(extra)} of them in the envelope"
    taken = draft.house.device_wishes.three_way == "entries"
    names = tuple(s.id for s in second)
    return _row(10, words, "switches", len(switches) - len(second), len(switches), taken, names)
