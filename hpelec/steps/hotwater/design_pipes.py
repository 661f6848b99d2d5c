"""The pipe of each point of use, and the water that each point takes in a day."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hpelec.core.citing import cite
from hpelec.core.errors import RangeError
from hpelec.core.findings import Assumption, Verdict
from hpelec.core.working import line
from hpelec.house.rows_loads import DrawPoint, Heater
from hpelec.house.sections import General, WaterSettings
from hpelec.steps.hotwater import rules_demand, rules_pipes, rules_tank
from hpelec.steps.hotwater.design_heaters import Notes
from hpelec.steps.hotwater.model import PointNeed
from hpelec.steps.hotwater.model_depth import PipeRun
from hpelec.steps.hotwater.values import source, value

DAYS = 365
MM_PER_IN = 25.4


@dataclass(frozen=True, slots=True)
class Use:
    """What a point takes in a day: water at `use_F`, and draws that find the pipe cold."""

    gal: float
    use_F: float
    cold_starts: float


def uses_of(points: Sequence[DrawPoint], general: General, notes: Notes) -> dict[str, Use]:
    """The published water of a house shared among its points; machines take theirs at the set point (use_F inf)."""
    people, bedrooms = float(general.occupants), float(general.bedrooms)
    mixed = rules_demand.fixture_gal_per_day(people)
    groups = [rules_demand.group_of(p.fixture) for p in points]
    weights = {g: rules_demand.use_gal_per_day(g, bedrooms) for g in sorted(set(groups))}
    by_hand = [g for g in weights if g not in rules_demand.MACHINES]
    total = sum(weights[g] for g in by_hand)
    uses = {}
    for point, group in zip(points, groups, strict=True):
        count = groups.count(group)
        if group in rules_demand.MACHINES:
            gal, at = weights[group] / count, float("inf")
        else:
            gal, at = (mixed * weights[group] / total / count if total else 0.0), point.use_F
        uses[point.id] = Use(gal, at, rules_demand.cold_starts_per_day(group, people) / count)
    _told_uses(points, mixed, general, notes)
    return uses


def _told_uses(points: Sequence[DrawPoint], mixed: float, general: General, notes: Notes) -> None:
    if not points:
        return
    by = rules_demand.fixture_gal_per_day
    said = f"-4.84 + 18.6 x {general.occupants}, not below 0"
    notes.working.append(line("mixed water at showers, tubs and sinks", said, mixed, "gal/day", by))
    taken = f"{mixed:.1f} gal a day for {general.occupants} people, shared among the points by kind"
    why = "published means of metered houses; a kind's share is the same at each of its points"
    notes.assumptions.append(Assumption("hot_water.csv, water a day", taken, why))
    by = rules_demand.waste_gal_per_day
    wasted, said = by(float(general.occupants)), f"7.16 x {general.occupants}^0.7"
    notes.working.append(line("waste of an ordinary house, to compare", said, wasted, "gal/day", by))
    others = [p.id for p in points if p.fixture == "other"]
    if others:
        why = "no published daily use for a fixture of kind other"
        notes.assumptions.append(Assumption("hot_water.csv, fixture", f"{', '.join(others)}: 0 gal a day", why))


def held_gal(point: DrawPoint, length_ft: float, trunk_ft: float) -> float | None:
    """Water in the pipe of a point; None where no volume of it is published."""
    try:
        branch = rules_pipes.pipe_row(point.pipe_material, point.pipe_size).number("oz_per_ft")
        trunk = rules_pipes.pipe_row(point.pipe_material, point.trunk_size).number("oz_per_ft") if trunk_ft else 0.0
    except RangeError:
        return None
    return rules_pipes.pipe_gal([trunk_ft, length_ft], [trunk, branch])


def filled_gal(point: DrawPoint, flow_gpm: float, held: float) -> float:
    """Water that a draw moves through the pipe: what it holds, or less when a draw of this kind is shorter."""
    told = rules_demand.duration_of(point.fixture)
    return held if told is None else min(held, told[0] * flow_gpm)


def loss_W_per_mK(oz_per_ft: float, insulation_in: float) -> float:
    """Loss coefficient of a pipe of that volume with the published wall and materials."""
    inside = rules_pipes.bore_in(oz_per_ft) * MM_PER_IN
    outside = inside + 2 * value("pipe_wall_in") * MM_PER_IN
    k, ki, film = value("pipe_k"), value("insulation_k"), value("pipe_film")
    return rules_pipes.pipe_ua_W_per_mK(inside, outside, insulation_in * MM_PER_IN, k, ki, film)


def lengths_of(point: DrawPoint, heater: Heater, water: WaterSettings) -> tuple[float, float]:
    """Branch and trunk [ft] from the last hot source: the heater, or a loop that circulates past the point."""
    if water.recirculation_h > 0 and not heater.kind.startswith("point_of_use"):
        return min(point.pipe_length_ft, value("loop_branch_ft")), 0.0
    return point.pipe_length_ft, point.trunk_length_ft


def run_of(point: DrawPoint, heater: Heater, need: PointNeed, use: Use, water: WaterSettings, notes: Notes) -> PipeRun:
    """The pipe of a point as described."""
    branch_ft, trunk_ft = lengths_of(point, heater, water)
    held = held_gal(point, branch_ft, trunk_ft)
    wait = wasted = left = stays = None
    if held is None:
        _say_unknown(point, notes)
    else:
        wait = rules_pipes.wait_s(held, need.mixed_flow_gpm)
        filled = filled_gal(point, need.mixed_flow_gpm, held)
        wasted = use.cold_starts * filled * DAYS if point.fixture in rules_demand.WAITING else 0.0
        left = rules_pipes.left_kWh(filled, use.cold_starts * DAYS, heater.setpoint_F, heater.air_F)
        stays = _stays_hot(point, heater) if held > 0 else None
        said = f"({trunk_ft:g} ft trunk, {branch_ft:g} ft branch) x volume per foot / 128"
        notes.working += [
            line(f"{point.id}: water in its pipe", said, held, "gal", rules_pipes.pipe_gal),
            line(
                f"{point.id}: least wait", f"60 x {held:.4g} / {need.mixed_flow_gpm:g}", wait, "s", rules_pipes.wait_s
            ),
        ]
    return PipeRun(
        point=point.id,
        heater=heater.id,
        held_gal=held,
        wait_s=wait,
        stays_hot_min=stays,
        cold_starts_per_day=use.cold_starts,
        wasted_gal_per_year=wasted,
        left_kWh_per_year=left,
    )


def _stays_hot(point: DrawPoint, heater: Heater) -> float | None:
    oz = rules_pipes.pipe_row(point.pipe_material, point.pipe_size).number("oz_per_ft")
    litres = oz / rules_pipes.OZ_PER_GAL * LITRES_PER_GAL / METRES_PER_FT
    hot, wanted, air = (rules_tank.celsius(t) for t in (heater.setpoint_F, point.use_F, heater.air_F))
    if hot < wanted:
        return None
    return rules_pipes.stays_hot_min(loss_W_per_mK(oz, 0.0), litres, hot, wanted, air)


LITRES_PER_GAL = 3.785411784
METRES_PER_FT = 0.3048


def _say_unknown(point: DrawPoint, notes: Notes) -> None:
    notes.say(
        "pipe",
        point.id,
        "water in the pipe of a point",
        Verdict.CANNOT_SAY,
        cite(rules_pipes.pipe_gal),
        got=f"no published volume of {point.pipe_material} of {point.pipe_size} or {point.trunk_size} in",
        fix="another material or size",
    )


def say_stored(
    runs: Sequence[PipeRun], points: Sequence[DrawPoint], heaters: Mapping[str, Heater], notes: Notes
) -> None:
    """The farthest point of each heater against the wish of labeled homes."""
    most = value("stored_limit_gal")
    for name in heaters:
        known = [(r.held_gal, r.point) for r in runs if r.heater == name and r.held_gal is not None]
        if not known:
            continue
        held, point = max(known)
        pipe = next(p for p in points if p.id == point)
        oz = rules_pipes.pipe_row(pipe.pipe_material, pipe.pipe_size).number("oz_per_ft")
        longest = rules_pipes.longest_run_ft(most, oz)
        notes.say(
            "stored-water",
            point,
            "little water stands between heater and fixture (a wish of labeled homes, not the code)",
            Verdict.MEETS if held <= most * (1 + 1e-9) else Verdict.MISSES,
            source("stored_limit_gal"),
            got=f"{held:.2f} gal",
            allowed=f"<= {most:g} gal",
            fix=f"a shorter pipe ({longest:.0f} ft of {pipe.pipe_size} in hold that much) or a thinner one, a heater "
            "nearer to it, or a loop that runs when asked",
        )


def loop_loss_W_per_mK(insulation_in: float) -> float:
    """Loss coefficient of a loop of 3/4 in PEX."""
    return loss_W_per_mK(rules_pipes.pipe_row("pex", "3/4").number("oz_per_ft"), insulation_in)


def metres(length_ft: float) -> float:
    """Metres of a length in feet."""
    return length_ft * METRES_PER_FT
