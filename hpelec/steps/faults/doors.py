"""Doors and other things that a panel wants kept clear: its own cover, doors of the room, the space above and below."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from hpelec.core.findings import Finding, Verdict
from hpelec.core.tables import Row, table
from hpelec.house.geometry import CutOpening, edge_of, openings_of
from hpelec.house.model import House
from hpelec.house.rows import Panel
from hpelec.steps.faults.model import WorkingSpace


def door_findings(house: House, spaces: Sequence[WorkingSpace], wide_in: float) -> Iterable[Finding]:
    """What doors do in front of each panel that has a working space. wide_in: width of a panel and of its cover."""
    panels = {p.id: p for p in house.panels}
    for space in spaces:
        if space.start_ft is not None:
            yield _cover(space, wide_in)
            yield _room_doors(house, panels[space.panel], space)
    if spaces:
        every = ", ".join(space.panel for space in spaces)
        keep = "keep it free, and tell the plumber and the duct fitter"
        yield _site(every, "dedicated space", "what runs there is not on the plan", keep)
        yield _site(every, "finished door", "whether one is wanted is not told", "one that opens fully, or none")


def _row(name: str) -> Row:
    return table("faults/panel_space_rules").one(rule=name)


def _finding(place: str, name: str, got: str, fix: str, verdict: Verdict) -> Finding:
    row = _row(name)
    return Finding(
        f"panel-{name.replace(' ', '-')}", "faults", place, row.text("said"), got, "", fix, verdict, row.citation
    )


def _site(place: str, name: str, got: str, fix: str) -> Finding:
    return _finding(place, name, got, fix, Verdict.CANNOT_SAY)


def _cover(space: WorkingSpace, wide_in: float) -> Finding:
    """A cover as wide as the panel, opened by a quarter turn, stands in the free depth."""
    fits = wide_in / 12 <= space.depth_ft
    got = f"a cover of {wide_in:g} in turns in {space.depth_ft:g} ft of free depth"
    verdict = Verdict.MEETS if fits else Verdict.CANNOT_SAY
    return _finding(space.panel, "panel door", got, "look whether the cover opens by 90 degrees", verdict)


def _room_doors(house: House, panel: Panel, space: WorkingSpace) -> Finding:
    """Doors whose leaf may stand in the working space, whichever side they are hinged at and way they open."""
    room = next(r for r in house.rooms if r.id == panel.room)
    in_front = working_shape(house, panel, space)
    swinging = [cut for cut in openings_of(house, room) if cut.opening.kind == "door"]
    reach = sorted(cut.opening.id for cut in swinging if _leaf(cut).intersection(in_front).area > 1e-6)
    got = f"may swing into it: {', '.join(reach)}" if reach else "no door of the room reaches it"
    fix = f"hinge {', '.join(reach)} so that it opens out of the working space, or move the panel"
    return _finding(space.panel, "room door", got, fix, Verdict.CANNOT_SAY if reach else Verdict.MEETS)


def working_shape(house: House, panel: Panel, space: WorkingSpace) -> Polygon:
    """The working space on the plan. Raises ValueError where the panel's room has no such wall."""
    room = next(r for r in house.rooms if r.id == panel.room)
    edge = edge_of(room, panel.side)
    if edge is None or space.start_ft is None:
        raise ValueError(f"panel {panel.id} has no working space on wall {panel.side!r} of {room.id}")
    (ax, ay), (bx, by) = (edge.at(edge.along(at)) for at in (space.start_ft, space.start_ft + space.width_ft))
    nx, ny = (d * space.depth_ft for d in edge.inward())
    return Polygon([(ax, ay), (bx, by), (bx + nx, by + ny), (ax + nx, ay + ny)])


def _leaf(cut: CutOpening) -> BaseGeometry:
    """Where the leaf of a door may stand inside the room: about either jamb, opened until it lies against the wall."""
    width = cut.end_ft - cut.start_ft
    nx, ny = (d * width for d in cut.edge.inward())
    halves = []
    for hinge_ft in (cut.start_ft, cut.end_ft):
        (ax, ay), (bx, by) = cut.edge.at(hinge_ft - width), cut.edge.at(hinge_ft + width)
        inside = Polygon([(ax, ay), (bx, by), (bx + nx, by + ny), (ax + nx, ay + ny)])
        halves.append(Point(*cut.edge.at(hinge_ft)).buffer(width).intersection(inside))
    return unary_union(halves)
