"""Direct light at the points of a grid on the work plane, and which of it a fan chops."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from hpelec.house.geometry import outline
from hpelec.house.rows import Room
from hpelec.steps.lighting.luminaires import Luminaire
from hpelec.steps.lighting.rules_point import cone_solid_angle_sr, cosine_candela

M_PER_FT = 0.3048
MOST_A_SIDE = 120
LEAST_ABOVE_FT = 0.01
"""An opening no higher than this above the work plane lights nothing on it: the laws of points fail so near."""

Array = Any


@dataclass(frozen=True)
class Points:
    """Centres of the cells of a grid that lie in a room: coordinates [ft], cell sizes [ft]."""

    x_ft: Array
    y_ft: Array
    wide_ft: float
    deep_ft: float


def box_grid(room: Room, spacing_ft: float) -> Points:
    """Equal cells over the box round a room, no wider than the spacing, no more than MOST_A_SIDE a side."""
    xs, ys = zip(*outline(room), strict=True)
    x0, y0, wide, deep = min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)
    nx, ny = (min(MOST_A_SIDE, max(1, math.ceil(side / spacing_ft - 1e-9))) for side in (wide, deep))
    x, y = np.meshgrid(x0 + (np.arange(nx) + 0.5) * wide / nx, y0 + (np.arange(ny) + 0.5) * deep / ny)
    return Points(x.ravel(), y.ravel(), wide / nx, deep / ny)


def grid(room: Room, spacing_ft: float) -> Points:
    """The cells of `box_grid` whose centre lies in the room."""
    cells = box_grid(room, spacing_ft)
    if not room.outline_ft:
        return cells
    held = shapely.contains_xy(shapely.Polygon(outline(room)), cells.x_ft, cells.y_ft)
    return Points(cells.x_ft[held], cells.y_ft[held], cells.wide_ft, cells.deep_ft)


def direct_lux(light: Luminaire, points: Points, plane_ft: float, loss_factor: float) -> Array:
    """Direct light of one luminaire at each point [lux], maintained; 0 where it hangs no higher than the plane."""
    height_m = (light.height_ft - plane_ft) * M_PER_FT
    if height_m <= LEAST_ABOVE_FT * M_PER_FT:
        return np.zeros(len(points.x_ft))
    aside_m2 = ((points.x_ft - light.x_ft) ** 2 + (points.y_ft - light.y_ft) ** 2) * M_PER_FT**2
    away_m2 = aside_m2 + height_m**2
    cosine = height_m / np.sqrt(away_m2)
    down_lm = light.lumens_lm * (1 - light.up_share) * loss_factor
    if light.cosine:
        intensity = cosine_candela(down_lm, light.half_deg) * cosine
    else:
        intensity = np.full(len(cosine), down_lm / cone_solid_angle_sr(2 * light.half_deg))
    lit = cosine >= math.cos(math.radians(light.half_deg)) - 1e-12
    return np.where(lit, intensity * cosine**3 / height_m**2, 0.0)


def behind_blades(
    light: Luminaire, points: Points, plane_ft: float, hub: tuple[float, float, float], radius_ft: float
) -> Array:
    """For each point whether the ray from the middle of the light to it passes the blade circle (hub: x, y, height)."""
    x, y, blades_ft = hub
    if not plane_ft < blades_ft < light.height_ft:
        return np.zeros(len(points.x_ft), dtype=bool)
    share = (light.height_ft - blades_ft) / (light.height_ft - plane_ft)
    at_x = light.x_ft + share * (points.x_ft - light.x_ft)
    at_y = light.y_ft + share * (points.y_ft - light.y_ft)
    return (at_x - x) ** 2 + (at_y - y) ** 2 <= radius_ft**2
