"""Adapters for tests/published/devices.json: checks that need more than one rule."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hpelec.core.tables import table
from hpelec.steps.devices import rules, rules_boxes, rules_protection


def on_runs(runs_ft: Sequence[float]) -> dict[str, int]:
    return {"n": sum(rules.receptacles_on_run(r) for r in runs_ft), "summed": rules.receptacles_on_run(sum(runs_ft))}


def square_room(room_side_ft: float, door_width_ft: float) -> dict[str, float]:
    line_ft = 4 * room_side_ft - door_width_ft
    return {"wall_line_ft": line_ft, "n": rules.receptacles_on_run(line_ft)}


def with_obstacles(wall_length_ft: float, allowed_ft: Sequence[Sequence[float]]) -> dict[str, Any]:
    places = rules.places_with_obstacles_ft(wall_length_ft, allowed_ft)
    return {"feasible": places is not None, "n": len(places or ()), "positions_ft": list(places or ())}


def ring_count(perimeter_ft: float, forbidden_ft: Sequence[Sequence[float]]) -> int:
    ends = [0.0, *(e for pair in forbidden_ft for e in pair), perimeter_ft]
    allowed = list(zip(ends[::2], ends[1::2], strict=True))
    places = rules.places_with_obstacles_ft(perimeter_ft, allowed, closed=True)
    return -1 if places is None else len(places)


def island(area_ft2: float, edition: int) -> dict[str, Any]:
    count = rules.island_receptacles(12 * area_ft2, 12, edition)
    return {"n": count, "provision_required_if_none": rules.island_provision_required(edition)}


def hallways(lengths_ft: Sequence[float]) -> list[int]:
    return [rules.hallway_receptacles(length) for length in lengths_ft]


def foyers(areas_ft2: Sequence[float], wall_spaces_ft: Sequence[float]) -> list[int]:
    return [rules.foyer_receptacles(area, wall_spaces_ft) for area in areas_ft2]


def one_serves_all(edge_distances_in: Sequence[Sequence[float]]) -> list[bool]:
    return [all(rules.serves_basin(d) for d in distances) for distances in edge_distances_in]


def outdoor_by_edition(ampere_rating: float, editions: Sequence[int]) -> list[bool]:
    return [rules_protection.outdoor_outlet_gfci(ampere_rating, edition) for edition in editions]


def equipment_in_reach(distance_ft: Sequence[float]) -> list[bool]:
    return [rules.serves_equipment(d) for d in distance_ft]


def boxes_fit(
    cavity_depth_in: Sequence[float], finish_in: Sequence[float], box_outside_depth_in: Sequence[float]
) -> list[bool]:
    sizes = zip(cavity_depth_in, finish_in, box_outside_depth_in, strict=True)
    return [rules_boxes.box_fits_cavity(*three) for three in sizes]


def fill_and_box(volume_in3: float, **box: Any) -> dict[str, Any]:
    fill_in3 = rules_boxes.box_fill_in3(**box)
    return {"fill_in3": fill_in3, "fits": rules_boxes.box_holds(volume_in3, fill_in3)}


def most_in_box(shape: str, trade_size: str, awg: int) -> int:
    volume_in3 = table("layout/box_volumes").one(shape=shape, trade_size=trade_size).number("min_volume_in3")
    count = 0
    while rules_boxes.box_holds(volume_in3, rules_boxes.box_fill_in3([(awg, count + 1)], [], [], 2023)):
        count += 1
    return count


def protection_by_edition(place: str, near_sink: bool = False) -> dict[str, list[bool]]:
    years = (2017, 2020, 2023, 2026)
    return {
        "gfci": [rules_protection.gfci_required(place, y, near_sink=near_sink) for y in years],
        "afci": [rules_protection.afci_required(place, y) for y in years],
    }


def breaks_by_edition(kind: str) -> list[bool]:
    return [rules.breaks_wall_line(kind, y) for y in (2017, 2020, 2023, 2026)]


def heights(height_in: float) -> dict[str, bool]:
    return {
        "wall": rules.height_counts(height_in),
        "outdoor": rules.outdoor_height_counts(height_in),
        "switch": rules.switch_height_allowed(height_in),
    }
