"""Formulas of hot-water pipes: what they hold, how long one waits, what a loop and standing pipes lose."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

from hpelec.common.rules_water import flow_heat_kW
from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import Row, table

OZ_PER_GAL = 128.0
IN3_PER_GAL = 231.0
STANDARD = "ANSI/RESNET/ICC 301, as coded in a public national-lab model"


@cache
def pipe_row(material: str, size: str) -> Row:
    """The table row of a pipe; RangeError for one that is not tabulated (3/8 in CPVC)."""
    rows = table("hotwater/pipe_volumes").where(material=material, size=size)
    if not rows:
        raise RangeError(f"no published volume of {material} pipe of {size} in")
    return rows[0]


@rule("water that a round bore holds", source="geometry", locator="pi/4 d^2", accuracy="recomputed")
def bore_oz_per_ft(bore_in: float) -> float:
    """Volume of a bore [fluid ounce a foot]; bore_in > 0."""
    in_range("bore_in", bore_in, above=0)
    return math.pi / 4 * bore_in**2 * 12 / IN3_PER_GAL * OZ_PER_GAL


@rule("bore of a pipe from its volume", source="geometry", locator="d = sqrt(4 V / pi)", accuracy="recomputed")
def bore_in(oz_per_ft: float) -> float:
    """Bore [in] of a pipe that holds `oz_per_ft` (> 0)."""
    return math.sqrt(in_range("oz_per_ft", oz_per_ft, above=0) / bore_oz_per_ft(1.0))


@rule(
    "water that a run of pipe holds", source="IPC Table E202.1", locator="sum of length x volume", accuracy="published"
)
def pipe_gal(lengths_ft: Sequence[float], oz_per_ft: Sequence[float]) -> float:
    """Water [gal] between the last hot source and the fixture; the two lists go together, each value >= 0."""
    if len(lengths_ft) != len(oz_per_ft):
        raise RangeError(f"{len(lengths_ft)} lengths and {len(oz_per_ft)} volumes do not go together")
    pairs = zip(lengths_ft, oz_per_ft, strict=True)
    return math.fsum(in_range("length_ft", n, low=0) * in_range("oz_per_ft", v, low=0) for n, v in pairs) / OZ_PER_GAL


@rule("longest run within a stored volume", source="geometry", locator="limit / volume per foot", accuracy="recomputed")
def longest_run_ft(limit_gal: float, oz_per_ft: float) -> float:
    """Length [ft] that holds exactly `limit_gal` (>= 0); oz_per_ft > 0."""
    return in_range("limit_gal", limit_gal, low=0) * OZ_PER_GAL / in_range("oz_per_ft", oz_per_ft, above=0)


@rule("least wait for hot water", source="plug flow", locator="60 V / q", accuracy="recomputed")
def wait_s(held_gal: float, flow_gpm: float) -> float:
    """Seconds until the water held in the pipe has run off: a lower bound, the pipe's own warming is left out.

    held_gal >= 0; RangeError at no flow.
    """
    return 60 * in_range("held_gal", held_gal, low=0) / in_range("flow_gpm", flow_gpm, above=0)


@rule("length of hot-water pipe of a house", source=STANDARD, locator="PipeL", accuracy="recomputed")
def default_pipe_ft(floor_area_ft2: float, floors: int, *, open_basement: bool) -> float:
    """Pipe from the heater to the farthest fixture [ft]; floor_area_ft2 > 0, floors >= 1."""
    in_range("floor_area_ft2", floor_area_ft2, above=0)
    in_range("floors", floors, low=1)
    return 2 * math.sqrt(floor_area_ft2 / floors) + 10 * floors + (5 if open_basement else 0)


@rule(
    "length of a circulation loop of a house", source=STANDARD, locator="refLoopL = 2 PipeL - 20", accuracy="recomputed"
)
def default_loop_ft(pipe_ft: float) -> float:
    """Loop out and back [ft] from the pipe length of `default_pipe_ft`, > 10."""
    return 2 * in_range("pipe_ft", pipe_ft, above=10) - 20


@rule(
    "heat loss of a metre of pipe", source="radial conduction with a film", locator="2 pi / sum of resistances",
    accuracy="memory",
)  # fmt: skip
def pipe_ua_W_per_mK(
    inside_mm: float, outside_mm: float, insulation_mm: float, pipe_k: float, insulation_k: float, film: float
) -> float:
    """Loss coefficient [W/m-K]: wall, insulation (0 drops it) and air film. All > 0 but the insulation, >= 0.

    pipe_k, insulation_k: conductivities [W/m-K]. film: coefficient to still air [W/m2-K].
    """
    in_range("outside_mm", outside_mm, above=in_range("inside_mm", inside_mm, above=0))
    in_range("insulation_mm", insulation_mm, low=0)
    for name, number in (("pipe_k", pipe_k), ("insulation_k", insulation_k), ("film", film)):
        in_range(name, number, above=0)
    over_mm = outside_mm + 2 * insulation_mm
    wall = math.log(outside_mm / inside_mm) / pipe_k
    wrap = math.log(over_mm / outside_mm) / insulation_k
    return 2 * math.pi / (wall + wrap + 1 / (film * over_mm / 2000))


@rule(
    "how long a standing pipe stays hot enough",
    source="Newton cooling",
    locator="C / UA ln(...)",
    accuracy="recomputed",
)
def stays_hot_min(ua_W_per_mK: float, held_L_per_m: float, start_C: float, use_C: float, air_C: float) -> float | None:
    """Minutes until the water in a pipe falls to `use_C` (water of 4181 J/kg-K and 1 kg/L); None when it never does.

    ua_W_per_mK > 0, held_L_per_m > 0, start_C >= use_C.
    """
    in_range("start_C", start_C, low=in_range("use_C", use_C))
    in_range("ua_W_per_mK", ua_W_per_mK, above=0)
    in_range("held_L_per_m", held_L_per_m, above=0)
    if use_C <= air_C:
        return None
    return 4181 * held_L_per_m / ua_W_per_mK * math.log((start_C - air_C) / (use_C - air_C)) / 60


@rule(
    "heat left in a pipe after its draws",
    source="energy balance",
    locator="full cooling between draws",
    accuracy="recomputed",
)
def left_kWh(held_gal: float, draws: float, hot_F: float, air_F: float) -> float:
    """Heat [kWh] of hot water that cools in the pipe after `draws`, each of which finds it cold: an upper bound.

    held_gal >= 0, draws >= 0. Water no hotter than the air loses nothing.
    """
    in_range("held_gal", held_gal, low=0)
    in_range("draws", draws, low=0)
    warmer_dF = max(0.0, in_range("hot_F", hot_F) - in_range("air_F", air_F))
    return flow_heat_kW() / 60 * held_gal * draws * warmer_dF


@rule("heat loss of a circulation loop", source="heat balance", locator="UA L (T - Ta) hours", accuracy="recomputed")
def loop_kWh(ua_W_per_mK: float, length_m: float, hot_F: float, air_F: float, hours: float) -> float:
    """Loss of a loop kept hot for `hours` [kWh]; ua, length and hours >= 0."""
    in_range("ua_W_per_mK", ua_W_per_mK, low=0)
    in_range("length_m", length_m, low=0)
    in_range("hours", hours, low=0)
    warmer_K = max(0.0, in_range("hot_F", hot_F) - in_range("air_F", air_F)) / 1.8
    return ua_W_per_mK * length_m * warmer_K * hours / 1000
