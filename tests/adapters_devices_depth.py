"""Adapters for tests/published/devices_depth.json: checks that need more than one call of a rule."""

from __future__ import annotations

from collections.abc import Sequence

from hpelec.common import rules_framing
from hpelec.steps.devices import rules, rules_alarms, rules_boxes, rules_protection
from hpelec.steps.devices.boxes import choose
from hpelec.steps.devices.draft import Wiring
from hpelec.steps.devices.needs import clause

YEARS = (2017, 2020, 2023, 2026)


def stair_controls(risers: Sequence[int]) -> list[bool]:
    return [rules.switch_at_each_level(r) for r in risers]


def plate_free(stud_depth_in: Sequence[float]) -> list[float]:
    return [rules_framing.plate_free_hole_in(d) for d in stud_depth_in]


def stud_holes(stud_depth_in: Sequence[float]) -> list[float]:
    """Smaller of the plate-free hole and the structural one: bearing, then not bearing, for each depth."""
    return [
        min(rules_framing.plate_free_hole_in(d), rules_framing.stud_hole_in(d, bearing=bearing))
        for d in stud_depth_in
        for bearing in (True, False)
    ]


def joist(joist_depth_in: float) -> dict[str, float]:
    return {
        "hole_in": rules_framing.joist_hole_in(joist_depth_in),
        "notch_in": rules_framing.joist_notch_in(joist_depth_in, at_end=False),
        "end_notch_in": rules_framing.joist_notch_in(joist_depth_in, at_end=True),
    }


def plates(stud_depth_in: float, hole_in: float, centre_from_face_in: Sequence[float]) -> list[bool]:
    return [rules_framing.plate_needed(stud_depth_in, hole_in, c) for c in centre_from_face_in]


def plates_along(set_back_in: Sequence[float]) -> list[bool]:
    return [rules_framing.plate_needed_along(s) for s in set_back_in]


def set_backs(set_back_in: Sequence[float], combustible: bool) -> list[bool]:
    return [rules_boxes.set_back_allowed(s, combustible=combustible) for s in set_back_in]


def fill_by_edition(**box: object) -> list[float]:
    return [rules_boxes.box_fill_in3(edition=y, **box) for y in YEARS]


def tampers(height_in: Sequence[float], dedicated_space: bool = False) -> list[bool]:
    return [rules_protection.tamper_resistant(h, dedicated_space=dedicated_space) for h in height_in]


def weather(locations: Sequence[str]) -> dict[str, list[object]]:
    return {
        "resistant": [rules_protection.weather_resistant(w) for w in locations],
        "cover": [rules_protection.receptacle_cover(w) for w in locations],
    }


def porches(gap_in: float, entered_from_inside: bool) -> list[int]:
    return [rules.porch_receptacles(gap_in, entered_from_inside, y) for y in YEARS]


def clauses(place: str) -> list[str]:
    return [clause(place, y).locator for y in YEARS]


def carbon_monoxide(cases: Sequence[Sequence[bool]]) -> list[bool]:
    return [rules_alarms.carbon_monoxide_needed(*case) for case in cases]


def clear_of_bathroom(distance_ft: Sequence[float]) -> list[bool]:
    return [rules_alarms.clear_of_bathroom(d) for d in distance_ft]


def clear_of_cooking(distance_ft: Sequence[float], sensor: str) -> list[bool]:
    return [rules_alarms.clear_of_cooking(d, sensor) for d in distance_ft]


def wall_alarms(below_ceiling_in: Sequence[float]) -> list[bool]:
    return [rules_alarms.wall_alarm_height_allowed(b) for b in below_ceiling_in]


def range_box(size_awg: int) -> dict[str, object]:
    """The box of a two-gang 240 V receptacle with one four-wire cable."""
    box = choose(Wiring(size_awg, 3, 1, (2,), ("square",), internal_clamps=False), 2023, None)
    assert box is not None
    return {"name": box.name, "depth_in": box.depth_in, "least_in": box.least_depth_in}


def screw_and_cable(depth_in: float, cable_in: float, screw_in: float, finish_in: float) -> dict[str, float]:
    set_back_in = rules_framing.middle_set_back_in(depth_in, cable_in)
    tip_in = rules_framing.screw_reach_in(screw_in, finish_in)
    return {
        "set_back_in": set_back_in,
        "tip_in": tip_in,
        "clear_in": rules_framing.clear_of_screw_in(set_back_in, tip_in),
    }


def boots(boot_depth_in: Sequence[float]) -> list[bool]:
    """A one-gang box 2 in wide and 3.25 in deep outside, room of 1/4 in, boots 6 in wide."""
    return [rules_boxes.fits_boot(2.0, 3.25, 6.0, d, 0.25) for d in boot_depth_in]
