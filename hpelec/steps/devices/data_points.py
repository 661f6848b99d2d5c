"""Data points: as many as the user wants in a kind of room, beside its receptacles, at inside walls where it can be."""

from __future__ import annotations

from hpelec.core.citing import Citation
from hpelec.house.rows import Room
from hpelec.steps.devices.draft import RECEPTACLE_IN, Draft, Wiring, at_wall, best_place, free_spans

BESIDE_FT = 1.0
WISHED = Citation("the user", "[devices] of house.toml", "none", "common practice")
RING = Wiring(own_box="low-voltage ring", grounds=1)


def wanted(draft: Draft, room: Room) -> int:
    """Data points that the user wants in a room of this kind."""
    wishes = draft.house.device_wishes
    if room.kind == "bedroom":
        return wishes.data_points_bedroom
    if room.kind in ("living", "family", "recreation"):
        return wishes.data_points_living
    return wishes.data_points_den if room.kind in ("den", "library") else 0


def data_points(draft: Draft) -> None:
    """Place what is wanted beyond the data points that the user has placed."""
    for room in draft.rooms:
        missing = wanted(draft, room) - len(draft.pins(room, "data"))
        for number in range(missing):
            _place(draft, room, number)
    if any(wanted(draft, r) for r in draft.rooms):
        draft.assume("devices, data points", "beside a receptacle, at its height", "common practice")


def _place(draft: Draft, room: Room, number: int) -> None:
    line = draft.lines[room.id]
    stands = sorted(
        (m for m in draft.in_room(room, "receptacle") if m.arc_ft >= 0), key=lambda m: (bool(m.surface), m.arc_ft)
    )
    target = stands[number % len(stands)].arc_ft + BESIDE_FT if stands else line.length_ft / 2
    place = best_place(line, free_spans(draft, line, RECEPTACLE_IN), target, farthest_ft=6.0)
    draft.marks.append(
        at_wall(room, place, kind="data", letter="N", height_in=RECEPTACLE_IN, citation=WISHED, wiring=RING)
    )
