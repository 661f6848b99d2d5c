"""Small cases of the step lighting for its published checks: rooms of rectangles, fans and lights, rays one by one."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from hpelec.house.model import House
from hpelec.house.rows import CeilingFan, FixedItem, Light, Opening, Room
from hpelec.house.sections import LightingSettings
from hpelec.plan import design
from hpelec.steps.lighting import rules, rules_fans, rules_point, rules_zones
from hpelec.steps.lighting.model import LightingResult
from tests.houses import starter


def rectangle_ratio(length_ft: float, width_ft: float, cavity_ft: float) -> float:
    """Cavity ratio of a rectangle."""
    return rules.cavity_ratio(cavity_ft, 2 * (length_ft + width_ft), length_ft * width_ft)


def square_reflectance_percent(cavity_ratio: float, base_pct: float, wall_pct: float) -> float:
    """Flux balance for a square cavity of a given ratio: 5 h (2 s) / s^2."""
    side = 10.0
    return rules.balanced_reflectance_percent(base_pct, wall_pct, side, side, cavity_ratio * side / 10)


def lumen_method(area_ft2: float, illuminance_fc: float, lumens_each: float, cu: float, llf: float) -> dict[str, float]:
    """Lumens and luminaires for a level in footcandles."""
    needed = rules.lumens_needed_lm(rules.lux_of_fc(illuminance_fc), cu, llf, area_ft2)
    return {"n_exact": needed / lumens_each, "n": rules.luminaires_needed(needed, lumens_each), "lumens": needed}


def level_back(area_ft2: float, lumens: float, cu: float, llf_parts: list[float]) -> float:
    """Mean level in footcandles for lumens given, the loss factor from its parts."""
    return rules.mean_lux(lumens, cu, rules.light_loss_factor(*llf_parts), area_ft2) / rules.lux_of_fc(1)


def even_cone(lumens: float, full_beam_deg: float, height_m: float) -> dict[str, float]:
    """Solid angle, intensity, level straight below."""
    candela = rules_point.cone_candela(lumens, full_beam_deg)
    return {
        "solid_angle_sr": rules_point.cone_solid_angle_sr(full_beam_deg),
        "candela": candela,
        "lux_centre": rules_point.point_lux(candela, height_m, 0),
    }


def cosine_emitter(lumens: float, height_m: float, offset_m: float = 0.0) -> dict[str, float]:
    """Intensity and level below a flat diffuse surface."""
    return {
        "candela": rules_point.cosine_candela(lumens),
        "lux": rules_point.cosine_point_lux(lumens, height_m, offset_m),
    }


def leakages_at_50(q75_cfm: float, exponents: list[float]) -> list[float]:
    """The same leakage at 50 Pa for several exponents."""
    return [rules_zones.leakage_at_cfm(q75_cfm, 75, 50, n) for n in exponents]


def closet(depth_in: list[float], shelf_in: float, clearances_in: list[float]) -> dict[str, list[Any]]:
    """Strip left for each depth and clearance, and whether the wall over the door is clear."""
    pairs = [(d, c) for d in depth_in for c in clearances_in]
    return {
        "strip_in": [rules_zones.closet_strip_in(d, shelf_in, c) for d, c in pairs],
        "clear_at_wall_over_door": [rules_zones.clear_over_door(d, shelf_in, c) for d, c in pairs],
    }


def any_ray_crosses(
    fan_radius_in: float, aperture_radius_in: float, drop_in: float, half_angle_deg: float, d_in: float
) -> bool:
    """Rays from the rim of the opening in many directions, one by one, against the blade circle. No rule of ours."""
    reach = drop_in * math.tan(math.radians(half_angle_deg))
    for i in range(360):
        rim = 2 * math.pi * i / 360
        x, y = d_in + aperture_radius_in * math.cos(rim), aperture_radius_in * math.sin(rim)
        for j in range(360):
            turn = 2 * math.pi * j / 360
            if math.hypot(x + reach * math.cos(turn), y + reach * math.sin(turn)) < fan_radius_in:
                return True
    return False


def rays_and_rule(
    fan_radius_in: float, aperture_radius_in: float, drop_in: float, half_angle_deg: float, d_in: list[float]
) -> dict[str, list[bool]]:
    """Whether a ray crosses the blades, by rays and by the rule."""
    need = rules_fans.clear_distance_in(fan_radius_in, aperture_radius_in, drop_in, half_angle_deg)
    told = (fan_radius_in, aperture_radius_in, drop_in, half_angle_deg)
    return {"any_ray_crosses_disc": [any_ray_crosses(*told, d) for d in d_in], "by_rule": [d < need for d in d_in]}


def flicker(blades: int, rpm: float) -> dict[str, float | None]:
    """Frequency and the two limits."""
    hz = rules_fans.blade_frequency_hz(blades, rpm)
    return {"hz": hz} | limits([hz])[0]


def limits(hz: list[float]) -> list[dict[str, float | None]]:
    """Both limits at each frequency."""
    return [
        {
            "low_risk_pct": rules_fans.flicker_limit_percent(f, "low_risk"),
            "noel_pct": rules_fans.flicker_limit_percent(f, "no_observable_effect"),
        }
        for f in hz
    ]


def blades_ok(ceiling_in: list[float], drop_in: float) -> list[bool]:
    """Blades high enough for each ceiling."""
    return [rules_fans.blades_high_enough(c, drop_in) for c in ceiling_in]


def bath_zone(away_ft: list[float], above_ft: list[float]) -> list[bool]:
    """In the zone or not, pair by pair."""
    return [rules_zones.in_bath_zone(a, b) for a, b in zip(away_ft, above_ft, strict=True)]


def recommended_lux(listed: str, task: str, room_kind: str) -> float | None:
    """The level of a list."""
    found = rules.recommended(listed, task, room_kind)
    return None if found is None else found[1]


# --- whole rooms -----------------------------------------------------------------------------------------------------


def room(width_ft: float = 14.0, depth_ft: float = 12.0, **more: Any) -> Room:
    """A rectangle with its corner at the origin, on the starter's level."""
    told = {"id": "den", "level": "main", "kind": "den", "x_ft": 0.0, "y_ft": 0.0} | more
    return Room(width_ft=width_ft, depth_ft=depth_ft, **told)


def light(x_ft: float, y_ft: float, name: str = "a", **more: Any) -> Light:
    """A light of the room `den`."""
    told = {"room": "den", "kind": "recessed", "lumens_lm": 900.0} | more
    return Light(id=name, x_offset_ft=x_ft, y_offset_ft=y_ft, **told)


def fan(x_ft: float, y_ft: float, name: str = "f", **more: Any) -> CeilingFan:
    """A fan of the room `den`."""
    return CeilingFan(id=name, room="den", x_offset_ft=x_ft, y_offset_ft=y_ft, **more)


def house_of(
    rooms: list[Room],
    lights: Sequence[Light] = (),
    fans: Sequence[CeilingFan] = (),
    fixed: Sequence[FixedItem] = (),
    openings: Sequence[Opening] = (),
    **settings: Any,
) -> House:
    """The starter with these rooms and nothing else in them."""
    house = starter()
    return house.changed(
        rooms=tuple(rooms), lights=tuple(lights), fans=tuple(fans), fixed=tuple(fixed), openings=tuple(openings),
        appliances=(), heaters=(), draw_points=(), placed_devices=(),
        panels=tuple(replace(p, room=rooms[0].id, side="south" if not rooms[0].outline_ft else "1", offset_ft=1.0)
                     for p in house.panels),
        lighting=LightingSettings(**settings),
    )  # fmt: skip


def lit(*args: Any, **named: Any) -> LightingResult:
    """The step lighting for such a house."""
    return design(house_of(*args, **named), only=("lighting",)).lighting


def closet_finding(depth_ft: float, width_ft: float, kind: str, lamp: str, from_front_in: float) -> dict[str, Any]:
    """A closet with a wide door in its south wall and one light in the middle of its width."""
    where = room(width_ft, depth_ft, kind="closet")
    door = Opening(id="door", room="den", side="south", offset_ft=0.25, width_ft=width_ft - 0.5, kind="door")
    lamp_row = light(width_ft / 2, from_front_in / 12, kind=kind, lamp=lamp, diameter_in=0.5)
    found = [p for p in lit([where], [lamp_row], openings=[door]).places if p.place == "closet"]
    return {"verdicts": [p.verdict for p in found]}


def conflict(
    span_in: float, fan_drop_in: float, light_drop_in: float, diameter_in: float, cutoff_deg: float, d_in: float
) -> dict[str, Any]:
    """One fan in the middle of a large room and one light beside it."""
    found = lit(
        [room(40, 40)],
        [light(20 + d_in / 12, 20, drop_in=light_drop_in, diameter_in=diameter_in, cutoff_deg=cutoff_deg)],
        [fan(20, 20, diameter_in=span_in, drop_in=fan_drop_in)],
    )
    (row,) = found.shadows
    moved = None if row.move_x_ft is None else (row.move_x_ft - 20) * 12
    return {"clear": row.clear, "clear_in": row.clear_in, "widest_deg": row.widest_deg, "moved_to_in": moved}
