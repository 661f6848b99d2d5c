"""Light at a point: intensity of simple beams, the inverse square cosine law."""

from __future__ import annotations

import math

from hpelec.core.citing import rule
from hpelec.core.errors import in_range

MOST_LM = 1e9
FAR_M = 10000.0


@rule("solid angle of a cone", source="geometry", locator="2 pi (1 - cos of the half angle)", accuracy="recomputed")
def cone_solid_angle_sr(full_beam_deg: float) -> float:
    """Solid angle [sr] of a cone with this full angle, > 0 and <= 360 degrees."""
    half = math.radians(in_range("full_beam_deg", full_beam_deg, above=0, high=360) / 2)
    return 2 * math.pi * (1 - math.cos(half))


@rule(
    "intensity of an even cone",
    source="geometry",
    locator="lumens over the solid angle of the beam",
    accuracy="recomputed",
)
def cone_candela(lumens_lm: float, full_beam_deg: float) -> float:
    """Intensity [cd] if all light fills the cone evenly. An estimate: a maker's beam ends where it has fallen to half.

    lumens_lm: >= 0.
    """
    return in_range("lumens_lm", lumens_lm, low=0, high=MOST_LM) / cone_solid_angle_sr(full_beam_deg)


@rule("straight-down intensity of a cosine emitter", source="geometry", locator="lumens / pi", accuracy="recomputed")
def cosine_candela(lumens_lm: float, half_deg: float = 90.0) -> float:
    """Intensity straight down [cd] of a flat diffuse surface; half_deg: beyond it a rim cuts the light off, > 0, <= 90.

    All lumens leave within that angle: lumens / (pi sin^2).
    """
    in_range("lumens_lm", lumens_lm, low=0, high=MOST_LM)
    half = math.radians(in_range("half_deg", half_deg, above=0, high=90))
    return lumens_lm / (math.pi * math.sin(half) ** 2)


@rule(
    "level at a point below a light", source="inverse square cosine law", locator="I cos^3 / h^2", accuracy="recomputed"
)
def point_lux(intensity_cd: float, height_m: float, offset_m: float) -> float:
    """Level on a horizontal plane [lux] for the intensity toward the point [cd], >= 0.

    height_m: of the light above the plane, > 0. offset_m: of the point from straight below, >= 0.
    """
    in_range("intensity_cd", intensity_cd, low=0, high=1e12)
    in_range("height_m", height_m, above=0, high=FAR_M)
    in_range("offset_m", offset_m, low=0, high=FAR_M)
    cosine = height_m / math.hypot(height_m, offset_m)
    return intensity_cd * cosine**3 / height_m**2


@rule(
    "level at a point below a cosine emitter",
    source="inverse square cosine law",
    locator="I0 cos^4 / h^2",
    accuracy="recomputed",
)
def cosine_point_lux(lumens_lm: float, height_m: float, offset_m: float) -> float:
    """Level on a horizontal plane [lux] below a flat diffuse surface; the ranges of `point_lux`."""
    cosine = in_range("height_m", height_m, above=0, high=FAR_M) / math.hypot(height_m, offset_m)
    return point_lux(cosine_candela(lumens_lm) * cosine, height_m, offset_m)
