"""Doors and other things that a panel wants kept clear."""

from __future__ import annotations

from dataclasses import replace

import pytest

from hpelec.core.findings import Finding, Verdict
from hpelec.house.model import House
from hpelec.house.rows import Opening, Panel, Room
from hpelec.plan import design
from hpelec.steps.faults.doors import working_shape
from tests.houses import starter

ROOM = Room(id="store", name="Store", level="main", kind="utility", x_ft=100.0, y_ft=0.0, width_ft=12.0, depth_ft=9.0)


def house(door_ft: float | None, side: str = "south", *, kind: str = "door", panel_ft: float = 3.0) -> House:
    """A room apart of 12 x 9 ft with a panel on its south wall, and a door of 3 ft from `door_ft` on."""
    start = starter()
    panel = Panel(id="P", name="Panel", room="store", side="south", offset_ft=panel_ft, height_in=66.0)
    doors = () if door_ft is None else (
        Opening(id="way", room="store", side=side, offset_ft=door_ft, width_ft=3.0, kind=kind),
    )  # fmt: skip
    return start.changed(rooms=(*start.rooms, ROOM), openings=(*start.openings, *doors), panels=(panel,))


def finding(of: House, name: str) -> Finding:
    return next(f for f in design(of, only=("faults",)).findings if f.id == name)


@pytest.mark.parametrize(
    ("door_ft", "side", "verdict"),
    [
        (5.0, "south", Verdict.CANNOT_SAY),  # beside the panel, its leaf may stand in the space
        (9.0, "south", Verdict.MEETS),  # the other end of the wall
        (0.5, "west", Verdict.CANNOT_SAY),
        (5.9, "west", Verdict.MEETS),  # its leaf stays beyond 3 ft from the panel's wall
        (4.0, "north", Verdict.MEETS),
        (None, "south", Verdict.MEETS),
    ],
)
def test_a_door_that_may_swing_into_the_space_is_told(door_ft: float | None, side: str, verdict: Verdict) -> None:
    found = finding(house(door_ft, side), "panel-room-door")
    assert found.verdict is verdict
    assert ("way" in found.got) == (verdict is Verdict.CANNOT_SAY)


def test_an_opening_without_a_leaf_swings_into_nothing() -> None:
    assert finding(house(5.0, kind="cased_opening"), "panel-room-door").verdict is Verdict.MEETS


def test_a_door_written_in_the_other_room_counts_as_well() -> None:
    own = house(5.0)
    beside = Room(id="hall", level="main", kind="hallway", x_ft=100.0, y_ft=-8.0, width_ft=12.0, depth_ft=8.0)
    told = replace(own.openings[-1], room="hall", side="north")
    other = own.changed(rooms=(*own.rooms, beside), openings=(*own.openings[:-1], told))
    assert finding(other, "panel-room-door").verdict is Verdict.CANNOT_SAY


def test_the_working_space_on_the_plan_is_as_deep_and_wide_as_told() -> None:
    made = house(None)
    (space,) = design(made, only=("faults",)).faults.spaces
    shape = working_shape(made, made.panels[0], space)
    assert shape.area == pytest.approx(space.depth_ft * space.width_ft)
    assert shape.bounds[1] == 0 and shape.bounds[3] == pytest.approx(space.depth_ft)


def test_what_only_the_site_can_tell_is_said_once_for_all_panels() -> None:
    made = house(None)
    second = replace(made.panels[0], id="Q", offset_ft=9.0, fed_from="P")
    findings = design(made.changed(panels=(*made.panels, second)), only=("faults",)).findings
    for name in ("panel-dedicated-space", "panel-finished-door"):
        (found,) = [f for f in findings if f.id == name]
        assert found.place == "P, Q" and found.verdict is Verdict.CANNOT_SAY


def test_the_order_of_openings_never_matters() -> None:
    made = house(5.0)
    turned = made.changed(openings=made.openings[::-1])
    assert finding(made, "panel-room-door") == finding(turned, "panel-room-door")
