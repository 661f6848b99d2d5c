"""Setting out: each device from two walls and the floor, as it is marked on studs, joists and floor."""

from __future__ import annotations

from collections.abc import Sequence

from hpelec.house.geometry import Edge
from hpelec.steps.devices.draft import Draft, Mark
from hpelec.steps.devices.model import DeviceSpot, SetOutRow

SQUARE_ENOUGH = 0.7
"""Two datum walls meet at an angle whose sine is this or more."""


def set_out(draft: Draft, spots: Sequence[DeviceSpot], marks: dict[str, Mark]) -> tuple[SetOutRow, ...]:
    """Rows by room; in a room first round the walls, counter-clockwise, then ceiling and floor."""
    made: list[SetOutRow] = []
    for room in draft.rooms:
        here = [s for s in spots if marks[s.id].room.id == room.id]
        here.sort(key=lambda s: (marks[s.id].outdoors, not s.side, round(marks[s.id].arc_ft, 6), s.height_in, s.id))
        for order, spot in enumerate(here, 1):
            at_wall = spot.side and spot.kind != "floor_receptacle"
            if at_wall:
                made.append(_at_wall(draft, room.id, order, spot, marks[spot.id]))
            else:
                made.append(_over_floor(draft, room.id, order, spot))
    return tuple(made)


def _at_wall(draft: Draft, room: str, order: int, spot: DeviceSpot, mark: Mark) -> SetOutRow:
    """From the two inside corners of its wall; the left one as one stands in the room and faces the wall."""
    edge = next(e for e in draft.lines[room].edges if e.side == spot.side)
    along = edge.along(spot.offset_ft or 0.0)
    return SetOutRow(
        room=room,
        order=order,
        device=spot.id,
        kind=spot.kind,
        wall=spot.side,
        left_ft=edge.length_ft - along,
        right_ft=along,
        height_in=spot.height_in,
        mark=words_to_write(spot),
        outdoors=mark.outdoors,
    )


def _over_floor(draft: Draft, room: str, order: int, spot: DeviceSpot) -> SetOutRow:
    """From two datum walls, square to each: the nearest wall, and the nearest that crosses its direction."""
    point = (spot.x_ft, spot.y_ft)
    first, second = datum_walls(draft.lines[room].edges, point)
    return SetOutRow(
        room=room,
        order=order,
        device=spot.id,
        kind=spot.kind,
        wall="floor" if spot.height_in == 0 else "ceiling",
        left_ft=None,
        right_ft=None,
        height_in=spot.height_in,
        datum_1=first.side,
        from_1_ft=away_ft(first, point),
        datum_2=second.side if second else "",
        from_2_ft=away_ft(second, point) if second else None,
        mark=words_to_write(spot),
    )


def datum_walls(walls: Sequence[Edge], point: tuple[float, float]) -> tuple[Edge, Edge | None]:
    """Two walls from which a laser finds a point: the nearest whose foot lies on it, and one across."""
    ranked = sorted(walls, key=lambda e: (not _faces(e, point), round(away_ft(e, point), 6), e.start_ft))
    first = ranked[0]
    across = [e for e in ranked if abs(_sine(first, e)) >= SQUARE_ENOUGH]
    return first, across[0] if across else None


def away_ft(wall: Edge, point: tuple[float, float]) -> float:
    """Distance from a wall's line, square to it."""
    nx, ny = wall.inward()
    return abs((point[0] - wall.x0) * nx + (point[1] - wall.y0) * ny)


def _faces(wall: Edge, point: tuple[float, float]) -> bool:
    nx, ny = wall.inward()
    along = (point[0] - wall.x0) * ny - (point[1] - wall.y0) * nx
    inside = (point[0] - wall.x0) * nx + (point[1] - wall.y0) * ny
    return -1e-6 <= along <= wall.length_ft + 1e-6 and inside >= -1e-6


def _sine(a: Edge, b: Edge) -> float:
    ax, ay = a.inward()
    bx, by = b.inward()
    return ax * by - ay * bx


def words_to_write(spot: DeviceSpot) -> str:
    """What goes on the stud: the id, what it is where its kind does not say it, and the box."""
    what = f" ({spot.what})" if spot.what else ""
    return f"{spot.id}{what}: {spot.box}"
