"""The lumen method by zonal cavities: cavity ratios, effective reflectances, utilisation, how many luminaires."""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from hpelec.core.citing import Citation, rule
from hpelec.core.errors import in_range
from hpelec.core.rounding import ceil_tol
from hpelec.core.tables import table

LONGEST_FT = 100000.0
LUX_PER_FC = 1 / 0.3048**2
"""A footcandle is a lumen on a square foot, a lux a lumen on a square metre."""
MOST_LM = 1e15
MOST_USED = 20.0
"""A maker's table stays below 1.2; between very bright surfaces light meets the work plane many times."""
STEPS = 24
"""Angles in each direction over which the share of direct light is summed."""
BALANCE = "flux balance of diffuse surfaces"


@rule("cavity ratio of a room of any shape", source="zonal-cavity method", locator="2.5 h P / A", accuracy="recomputed")
def cavity_ratio(height_ft: float, perimeter_ft: float, area_ft2: float) -> float:
    """Cavity ratio: 2.5 x height x perimeter / area; for a rectangle 5 h (L + W) / (L W).

    height_ft: of the cavity, >= 0 (0: no cavity). perimeter_ft, area_ft2: > 0. Raises RangeError outside.
    """
    in_range("height_ft", height_ft, low=0, high=LONGEST_FT)
    in_range("perimeter_ft", perimeter_ft, above=0, high=LONGEST_FT)
    in_range("area_ft2", area_ft2, above=0, high=LONGEST_FT**2)
    return 2.5 * height_ft * perimeter_ft / area_ft2


@rule(
    "form factor of two equal rectangles that face each other",
    source="radiation exchange, parallel equal rectangles",
    locator="closed form",
    accuracy="recomputed",
)
def facing_form_factor(width: float, depth: float, apart: float) -> float:
    """Share of the diffuse light of one rectangle that reaches the other; sizes in one unit, width and depth > 0.

    apart: >= 0; at 0 the factor is 1.
    """
    in_range("width", width, above=0, high=LONGEST_FT)
    in_range("depth", depth, above=0, high=LONGEST_FT)
    in_range("apart", apart, low=0, high=LONGEST_FT)
    if apart == 0:
        return 1.0
    x, y = width / apart, depth / apart
    a, b = math.sqrt(1 + x * x), math.sqrt(1 + y * y)
    whole = (
        math.log(a * b / math.sqrt(1 + x * x + y * y))
        + x * b * math.atan(x / b)
        + y * a * math.atan(y / a)
        - x * math.atan(x)
        - y * math.atan(y)
    )
    return min(max(2 * whole / (math.pi * x * y), 0.0), 1.0)


@rule(
    "effective reflectance of a cavity by flux balance",
    source=BALANCE,
    locator="cavity with a diffuse base and diffuse walls",
    accuracy="recomputed",
)
def balanced_reflectance_percent(
    base_percent: float, wall_percent: float, width_ft: float, depth_ft: float, height_ft: float
) -> float:
    """Reflectance of a cavity as seen through its opening [percent], from that of its base and its walls, 0 to 100.

    width_ft, depth_ft: > 0, height_ft: >= 0; at 0 the result is the base's own.
    """
    base = in_range("base_percent", base_percent, low=0, high=100) / 100
    wall = in_range("wall_percent", wall_percent, low=0, high=100) / 100
    f = facing_form_factor(width_ft, depth_ft, height_ft)
    if height_ft == 0:
        return base_percent
    k = width_ft * depth_ft / (2 * height_ft * (width_ft + depth_ft)) * (1 - f)
    walls = wall * (1 - f) * (1 + base * f) / (1 - wall * (1 - 2 * k) - wall * base * k * (1 - f))
    return 100 * (f * base * (f + k * walls) + k * walls)


@cache
def _tabulated() -> dict[tuple[float, float, float], float]:
    rows = table("layout/effective_cavity_reflectance")
    names = ("cavity_ratio", "base_reflectance_pct", "wall_reflectance_pct")
    found = {(r.number(names[0]), r.number(names[1]), r.number(names[2])): r.number("table_pct") for r in rows}
    found |= {(0.0, base, wall): base for _, base, wall in list(found)}
    return found


def _about(value: float, marks: tuple[float, ...]) -> tuple[float, float, float] | None:
    """The two neighbouring marks and how far between them the value lies; None outside the marks."""
    if not marks[0] - 1e-9 <= value <= marks[-1] + 1e-9:
        return None
    high = next(m for m in marks if m >= value - 1e-9)
    low = max((m for m in marks if m <= value + 1e-9), default=high)
    return low, high, 0.0 if high == low else (value - low) / (high - low)


RATIOS = tuple(round(0.2 * i, 1) for i in range(16))
BASES = (50.0, 70.0, 80.0, 90.0)
WALLS = (30.0, 50.0, 70.0)


@rule(
    "effective reflectance of a cavity, interpolated in the published table",
    source="IES table, reproduced in a zonal-cavity handout",
    locator="Table A, percent effective cavity reflectance",
    accuracy="published",
)
def tabulated_reflectance_percent(base_percent: float, wall_percent: float, ratio: float) -> float | None:
    """Table value [percent], between its entries linearly; None outside the table (base 50 to 90, walls 30 to 70,
    ratio 0 to 3)."""
    in_range("base_percent", base_percent, low=0, high=100)
    in_range("wall_percent", wall_percent, low=0, high=100)
    in_range("ratio", ratio, low=0, high=LONGEST_FT)
    ends = (_about(ratio, RATIOS), _about(base_percent, BASES), _about(wall_percent, WALLS))
    if ends[0] is None or ends[1] is None or ends[2] is None:
        return None
    (r0, r1, tr), (b0, b1, tb), (w0, w1, tw) = ends[0], ends[1], ends[2]
    held = _tabulated()
    total = 0.0
    for r, pr in ((r0, 1 - tr), (r1, tr)):
        for b, pb in ((b0, 1 - tb), (b1, tb)):
            total += pr * pb * ((1 - tw) * held[(r, b, w0)] + tw * held[(r, b, w1)])
    return total


@cache
def direct_ratio(width_ft: float, depth_ft: float, height_ft: float, half_deg: float, cosine: bool) -> float:
    """Share of the downward light of evenly spread luminaires that reaches the work plane before a wall.

    half_deg: light leaves up to this angle from straight down, > 0 and <= 90. cosine: the intensity falls off as the
    cosine of the angle, else it is even. For a cosine emitter of 90 degrees this is the form factor of the two planes.
    """
    in_range("height_ft", height_ft, above=0, high=LONGEST_FT)
    in_range("half_deg", half_deg, above=0, high=90)
    half = math.radians(half_deg)
    steps = (np.arange(STEPS) + 0.5) / STEPS
    # equal shares of the flux: even in cos(angle) for an even cone, in sin^2(angle) for a cosine emitter
    angle = np.arcsin(np.sqrt(steps) * math.sin(half)) if cosine else np.arccos(1 - steps * (1 - math.cos(half)))
    turn = steps * math.pi / 2
    reach = height_ft * np.tan(angle)[:, None]
    inside_x = np.clip(1 - reach * np.cos(turn) / width_ft, 0, None)
    inside_y = np.clip(1 - reach * np.sin(turn) / depth_ft, 0, None)
    return float((inside_x * inside_y).mean())


@rule(
    "coefficient of utilisation by flux balance",
    source=BALANCE,
    locator="room of ceiling cavity, walls and floor cavity, luminaires evenly spread",
    accuracy="recomputed",
)
def utilisation(
    width_ft: float,
    depth_ft: float,
    height_ft: float,
    reflectances_percent: tuple[float, float, float],
    direct: float,
    up_share: float = 0.0,
) -> float:
    """Share of the luminaires' light that reaches the work plane, reflected light included.

    width_ft, depth_ft, height_ft: of the room cavity, > 0. reflectances_percent: of ceiling cavity, walls, floor
    cavity, each below 100. direct: share of the downward light that meets the work plane first, 0 to 1.
    up_share: share of all light that goes up, 0 to 1. No published table is behind it: it is a balance of diffuse
    surfaces, for luminaires of which no maker's table is given.
    """
    in_range("height_ft", height_ft, above=0, high=LONGEST_FT)
    in_range("direct", direct, low=0, high=1)
    in_range("up_share", up_share, low=0, high=1)
    c, w, f = (in_range("reflectances_percent", r, low=0, high=99.9) / 100 for r in reflectances_percent)
    face = facing_form_factor(width_ft, depth_ft, height_ft)
    k = width_ft * depth_ft / (2 * height_ft * (width_ft + depth_ft)) * (1 - face)
    first = np.array([up_share, (1 - up_share) * (1 - direct), (1 - up_share) * direct])
    meets = np.array([[0, k, face], [1 - face, 1 - 2 * k, 1 - face], [face, k, 0]])
    incident = np.linalg.solve(np.eye(3) - meets * np.array([c, w, f]), first)
    return float(incident[2])


@rule(
    "light loss factor is the product of its parts",
    source="lumen method",
    locator="light loss factor",
    accuracy="recomputed",
)
def light_loss_factor(lumen: float, dirt: float, other: float) -> float:
    """Share of the first light that is left when the lamps are due for cleaning; each part > 0 and <= 1."""
    for name, part in (("lumen", lumen), ("dirt", dirt), ("other", other)):
        in_range(name, part, above=0, high=1)
    return lumen * dirt * other


@rule("mean level of light", source="lumen method", locator="E = lumens x CU x LLF / A", accuracy="recomputed")
def mean_lux(lumens_lm: float, utilised: float, loss_factor: float, area_ft2: float) -> float:
    """Mean level on the work plane [lux]. lumens_lm: >= 0; utilised: 0 to 20; loss_factor: 0 to 1; area_ft2: > 0."""
    in_range("lumens_lm", lumens_lm, low=0, high=MOST_LM)
    in_range("utilised", utilised, low=0, high=MOST_USED)
    in_range("loss_factor", loss_factor, above=0, high=1)
    in_range("area_ft2", area_ft2, above=0, high=LONGEST_FT**2)
    return lumens_lm * utilised * loss_factor / area_ft2 * LUX_PER_FC


@rule("lumens for a level of light", source="lumen method", locator="E A / (CU x LLF)", accuracy="recomputed")
def lumens_needed_lm(wanted_lux: float, utilised: float, loss_factor: float, area_ft2: float) -> float:
    """Lumens of luminaires for a mean level [lm]; the ranges of `mean_lux`, utilised > 0."""
    in_range("wanted_lux", wanted_lux, low=0, high=1e6)
    in_range("utilised", utilised, above=0, high=MOST_USED)
    in_range("loss_factor", loss_factor, above=0, high=1)
    in_range("area_ft2", area_ft2, above=0, high=LONGEST_FT**2)
    return wanted_lux / LUX_PER_FC * area_ft2 / (utilised * loss_factor)


@rule("fewest luminaires for a level of light", source="lumen method", locator="rounded up", accuracy="recomputed")
def luminaires_needed(needed_lm: float, each_lm: float) -> int:
    """Fewest luminaires of `each_lm` (> 0) that give `needed_lm` (>= 0)."""
    in_range("needed_lm", needed_lm, low=0, high=MOST_LM)
    return ceil_tol(needed_lm / in_range("each_lm", each_lm, above=0, high=MOST_LM))


@rule(
    "footcandles in lux",
    source="definition",
    locator="lumen on a square foot, on a square metre",
    accuracy="recomputed",
)
def lux_of_fc(level_fc: float) -> float:
    """A level in footcandles (>= 0) in lux."""
    return in_range("level_fc", level_fc, low=0, high=1e6) * LUX_PER_FC


@cache
def recommended(listed: str, task: str, room_kind: str) -> tuple[str, float, Citation] | None:
    """A list's row for a task (`general`: for the kind of room): its words, lux, source; None if it has none."""
    for row in table("layout/illuminance_recommended").where(list=listed):
        fits = room_kind in row.text("room_kinds").split() if task == "general" else row.text("task") == task
        if fits:
            return row.text("room_or_task"), row.number("illuminance_lux"), row.citation
    return None


def equal_rectangle_ft(area_ft2: float, perimeter_ft: float) -> tuple[float, float]:
    """Sides of the rectangle with this area and perimeter, the longer first; a square where none has both."""
    half = perimeter_ft / 4
    spread = math.sqrt(max(half * half - area_ft2, 0.0))
    return (half + spread, area_ft2 / (half + spread)) if spread else (math.sqrt(area_ft2), math.sqrt(area_ft2))
