"""Holes that were found on site and that no plan shows."""

from __future__ import annotations

from collections.abc import Callable

from hpelec.house.geometry import level_of, room_centre
from hpelec.house.model import House
from hpelec.steps.penetrations import rules
from hpelec.steps.penetrations.barrier import Barriers
from hpelec.steps.penetrations.cable_holes import with_method
from hpelec.steps.penetrations.model import Hole
from hpelec.steps.penetrations.taken import taken

WORDS = (("ceiling", "ceiling"), ("attic", "ceiling"), ("floor", "floor"))
"""Words of a note that tell the surface of a hole; first found decides."""


def site_holes(house: House, walls: Barriers, assume: Callable[[str, str, str], None]) -> list[Hole]:
    """A bare hole for each note of an unplanned hole, in the surface that its words name."""
    made: list[Hole] = []
    rooms = {r.id: r for r in house.rooms}
    notes = [n for n in house.field_notes if n.event == "unplanned_hole"]
    for note in notes:
        room = rooms.get(note.room)
        said = f"{note.note} {note.photo}".lower()
        surface = next((name for word, name in WORDS if word in said), "wall")
        barrier = walls.usual.get(surface)
        if room is None or barrier is None:
            assume(
                f"field note {note.id}", "not counted", f"it names no room, or no assembly is given for the {surface}"
            )
            continue
        if note.diameter_in is None:
            assume(f"field note {note.id}", f"{taken('site_hole_in'):g} in across", "size not noted")
        assume(
            f"field note {note.id}",
            f"in the {surface}, nothing passes",
            "surface by the words of the note, else a wall",
        )
        if surface == "wall" and any(w.room == room.id for w in house.wall_builds):
            assume(f"field note {note.id}", f"in a wall built as {barrier.assembly}", "the note does not tell the wall")
        diameter_in = taken("site_hole_in") if note.diameter_in is None else note.diameter_in
        x_ft, y_ft = room_centre(room)
        hole = Hole(
            id=f"site:{note.id}",
            kind="unplanned",
            surface=surface,
            assembly=barrier.assembly,
            layer=barrier.layer,
            layer_family=barrier.family,
            room=room.id,
            level=room.level,
            x_ft=x_ft,
            y_ft=y_ft,
            z_ft=level_of(house, room).floor_ft,
            passes=("nothing: unplanned hole",),
            circuits=(),
            diameter_in=diameter_in,
            gap_mm=diameter_in * rules.MM_PER_IN,
            free_area_mm2=rules.free_area_mm2(diameter_in, [], []),
            depth_mm=barrier.thickness_in * rules.MM_PER_IN,
            made_at="rough-in",
            reach_until=barrier.reach_until(),
        )
        made.append(with_method(hole, barrier.words))
    return made
