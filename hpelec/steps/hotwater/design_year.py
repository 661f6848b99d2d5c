"""The year of each heater, the size that its need asks for, and what can run together from it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from hpelec.core.citing import cite
from hpelec.core.errors import RangeError
from hpelec.core.findings import Assumption, Verdict
from hpelec.core.tables import table
from hpelec.core.working import line
from hpelec.house.rows_loads import DrawPoint, Heater
from hpelec.steps.hotwater import rules, rules_sizing
from hpelec.steps.hotwater.design_heaters import INSTANT, Notes
from hpelec.steps.hotwater.model import HeaterNeed, MainsDay, PointNeed
from hpelec.steps.hotwater.model_depth import HeaterYear, MonthNeed, RunsTogether, SizeNeed

MONTH_STARTS = (1, 32, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335, 366)


@dataclass(frozen=True, slots=True)
class Busy:
    """What a heater's points ask in its busiest minutes, whatever the mains bring: set point, (use, flow) of each."""

    setpoint_F: float
    uses: tuple[tuple[float, float], ...]
    share: float


@dataclass(frozen=True, slots=True)
class AtCold:
    """A heater without tank at one mains temperature."""

    flow_gpm: float
    needed_kW: float
    delivered_F: float
    fixture_F: float | None


def busy(heater: Heater, points: Sequence[DrawPoint], needs: Mapping[str, PointNeed], share: float) -> Busy:
    """The marked points of a heater, in an order that does not depend on the order of rows."""
    uses = [(p.use_F, needs[p.id].mixed_flow_gpm) for p in points if p.id in needs and p.at_peak]
    return Busy(heater.setpoint_F, tuple(sorted(uses)), share)


def share_at(setpoint_F: float, use_F: float, cold_F: float) -> float:
    """Hot share of a mix; 1 where hotter water is wanted than the heater gives, 0 where the mains are warm enough."""
    if cold_F >= min(use_F, setpoint_F):
        return 0.0
    return 1.0 if use_F > setpoint_F else rules.hot_share(setpoint_F, use_F, cold_F)


@lru_cache(maxsize=4096)
def at_cold(asked: Busy, heat_kW: float, limit_gpm: float | None, cold_F: float) -> AtCold:
    """Flow, heat and temperatures of a heater without tank at one mains temperature."""
    shares = [(share_at(asked.setpoint_F, use, cold_F), flow) for use, flow in asked.uses]
    hot = asked.share * math.fsum(s * f for s, f in shares)
    if hot <= 0 or cold_F >= asked.setpoint_F:
        return AtCold(0.0, 0.0, max(cold_F, asked.setpoint_F), None)
    mixed = asked.share * math.fsum(f for s, f in shares if s)
    limited = limit_gpm is not None and hot > limit_gpm
    passed = limit_gpm if limited and limit_gpm is not None else hot
    leaves = rules.delivered_F(heat_kW, passed, cold_F, asked.setpoint_F)
    fixture = None if limited else cold_F + hot * (leaves - cold_F) / mixed
    return AtCold(hot, rules.needed_kW(hot, asked.setpoint_F - cold_F), leaves, fixture)


def year_of(heater: Heater, asked: Busy, heat_kW: float, mains: Sequence[MainsDay]) -> HeaterYear:
    """A heater without tank on every day."""
    days = [at_cold(asked, heat_kW, heater.max_flow_gpm, d.mains_F) for d in mains]
    return HeaterYear(
        heater=heater.id,
        needed_kW=tuple(d.needed_kW for d in days),
        delivered_F=tuple(d.delivered_F for d in days),
    )


def months_of(heater: Heater, asked: Busy, heat_kW: float, mains: Sequence[MainsDay]) -> tuple[MonthNeed, ...]:
    """A heater on the coldest day of each month."""
    found = []
    for month in range(1, 13):
        days = [d for d in mains if MONTH_STARTS[month - 1] <= d.day < MONTH_STARTS[month]]
        coldest = min(days, key=lambda d: (d.mains_F, d.day))
        cold, rise = coldest.mains_F, heater.setpoint_F - coldest.mains_F
        now = at_cold(asked, heat_kW, heater.max_flow_gpm, cold)
        instant = heater.kind in INSTANT
        tank = heater.volume_gal > 0 and not instant and rise > 0
        first = rules.first_hour_gal(heater.volume_gal, rules.recovery_gph(heat_kW, rise)) if tank else None
        found.append(
            MonthNeed(
                heater=heater.id,
                month=month,
                day=coldest.day,
                cold_F=cold,
                peak_flow_gpm=now.flow_gpm,
                needed_kW=now.needed_kW if instant else None,
                delivered_F=now.delivered_F if instant else None,
                fixture_F=now.fixture_F if instant else None,
                first_hour_gal=first,
            )
        )
    return tuple(found)


def size_of(heater: Heater, asked: Busy, need: HeaterNeed, notes: Notes) -> SizeNeed:
    """The common size that covers the need, and what the next one down would do."""
    left = need.heat_kW / need.nameplate_kW
    if heater.kind in INSTANT:
        return _instant_size(heater, asked, need, left, notes)
    gal = None
    if need.peak_hour_gal is not None and need.recovery_gph is not None:
        gal = rules_sizing.tank_size_gal(need.peak_hour_gal, need.recovery_gph)
        if gal is not None:
            said = f"smallest with 0.7 x volume + {need.recovery_gph:.4g} >= {need.peak_hour_gal:g}"
            notes.working.append(line(f"{heater.id}: size", said, gal, "gal", rules_sizing.tank_size_gal))
    return SizeNeed(
        heater=heater.id, asked="busiest hour", size_kW=None, size_gal=gal, smaller_kW=None, smaller_A=None,
        smaller_delivered_F=None, smaller_fixture_F=None,
    )  # fmt: skip


def _instant_size(heater: Heater, asked: Busy, need: HeaterNeed, left: float, notes: Notes) -> SizeNeed:
    size = rules_sizing.tankless_size_kW(need.needed_kW, left) if need.needed_kW else None
    if size is not None:
        said = f"smallest common rating x {left:.4g} >= {need.needed_kW:.4g}"
        notes.working.append(line(f"{heater.id}: size", said, size, "kW", rules_sizing.tankless_size_kW))
    below = [kW for kW, _ in rules_sizing.sizes("tankless") if kW < need.nameplate_kW]
    smaller = max(below, default=None)
    less = at_cold(asked, smaller * left, heater.max_flow_gpm, need.cold_F) if smaller and need.rise_dF > 0 else None
    return SizeNeed(
        heater=heater.id,
        asked="heat of the peak flow",
        size_kW=size,
        size_gal=None,
        smaller_kW=smaller,
        smaller_A=rules.current_A(smaller * 1000, heater.voltage_V) if smaller else None,
        smaller_delivered_F=less.delivered_F if less else None,
        smaller_fixture_F=less.fixture_F if less else None,
    )


def together_of(
    heater: Heater, points: Sequence[DrawPoint], needs: Mapping[str, PointNeed], need: HeaterNeed, notes: Notes
) -> tuple[RunsTogether, ...]:
    """The largest sets of points that a heater serves in full on the coldest day."""
    used = [p for p in points if p.id in needs and needs[p.id].hot_flow_gpm > 0]
    if heater.kind in INSTANT:
        asks, limit, unit = {p.id: needs[p.id].hot_flow_gpm for p in used}, need.full_flow_gpm, "gpm"
    else:
        gal = {p.id: _gal_a_use(p.fixture) for p in used}
        asks, limit, unit = {n: g for n, g in gal.items() if g is not None}, need.first_hour_gal, "gal"
        _told_unknown(heater, [n for n, g in gal.items() if g is None], notes)
    if limit is None or not asks:
        return ()
    try:
        sets = rules_sizing.largest_sets(asks, limit)
    except RangeError:
        notes.say(
            "together",
            heater.id,
            "what can run together from one heater",
            Verdict.CANNOT_SAY,
            cite(rules_sizing.largest_sets),
            got=f"{len(asks)} points: too many sets to list",
            allowed=f"<= {rules_sizing.MOST_POINTS} points",
            fix="judge it by its largest flow",
        )
        return ()
    marked = {p.id for p in used if p.at_peak}
    return tuple(
        RunsTogether(
            heater=heater.id,
            points=names,
            used=math.fsum(asks[n] for n in names),
            limit=limit,
            unit=unit,
            all_at_peak=bool(marked) and marked <= set(names),
        )
        for names in sets
    )


def _gal_a_use(fixture: str) -> float | None:
    rows = table("hotwater/peak_hour_uses").where(fixture=fixture)
    return rows[0].number("hot_gal") if rows else None


def _told_unknown(heater: Heater, unknown: Sequence[str], notes: Notes) -> None:
    if unknown:
        why = "the worksheet of the busiest hour has no gallons a use for their fixtures"
        taken = f"{heater.id}: {', '.join(sorted(unknown))} left out of what can run together"
        notes.assumptions.append(Assumption("hot_water.csv, fixture", taken, why))
