"""Furniture: its wishes for wall receptacles. A wish never adds one, and never moves one into the envelope."""

from __future__ import annotations

from hpelec.core.working import line as working_line
from hpelec.house.geometry import TOLERANCE_FT
from hpelec.house.rows import Furniture
from hpelec.steps.devices.draft import Draft, Wish
from hpelec.steps.devices.rules_furniture import beside_end_ft, wished_places_ft
from hpelec.steps.devices.wall_runs import HABITABLE


def furniture(draft: Draft) -> None:
    """Add the wishes of every piece of furniture, in an order that does not depend on that of the rows."""
    for piece in sorted(draft.house.furniture, key=lambda p: p.id):
        room = draft.room_by_id[piece.room]
        line = draft.lines[room.id]
        places = wished_places_ft(piece.offset_ft, piece.width_ft, piece.wants)
        if places and room.kind not in HABITABLE:
            draft.assume(
                f"furniture.csv, {piece.id}", "its wish is not minded",
                f"the spacing rule of walls places no receptacles in a room of kind {room.kind}",
            )  # fmt: skip
            continue
        length_ft = next(e.length_ft for e in line.edges if e.side == piece.side)
        called = f"{piece.name} ({piece.id})" if piece.name else piece.id
        how = "behind" if piece.wants == "behind" else "beside"
        for number, at in enumerate(places, 1):
            if not -TOLERANCE_FT <= at <= length_ft + TOLERANCE_FT:
                draft.assume(
                    f"furniture.csv, {piece.id}", f"no wish at {at:.2f} ft of its wall",
                    f"the {piece.side} wall of {room.id} ends at {length_ft if at > 0 else 0:g} ft",
                )  # fmt: skip
                continue
            arc_ft = line.arc(piece.side, min(max(at, 0.0), length_ft))
            words = f"a receptacle {how} {called}, at {at:.2f} ft of its wall"
            wish = Wish(f"{piece.id}.{number}", arc_ft, words, piece.id)
            draft.wishes[room.id] = (*draft.wishes.get(room.id, ()), wish)
            draft.working.append(
                working_line(f"{piece.id}, wish {number}: along its wall", _expression(piece, number), at, "ft",
                             wished_places_ft)
            )  # fmt: skip


def _expression(piece: Furniture, number: int) -> str:
    if piece.wants == "behind":
        return f"{piece.offset_ft:g} + {piece.width_ft:g} / 2"
    if number == 1:
        return f"{piece.offset_ft:g} - {beside_end_ft():g}"
    return f"{piece.offset_ft:g} + {piece.width_ft:g} + {beside_end_ft():g}"
