"""Water heaters as on/off processes that draws of hot water drive.

A heater without a tank runs while water is drawn, at a power that follows flow and rise; its law is the exact sum of
its points of use, cut off at its rating. A tank's element runs as long as the energy balance asks.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from hpelec.core.citing import Citation, cite, weakest
from hpelec.core.findings import Verdict
from hpelec.core.working import line
from hpelec.house.model import House
from hpelec.house.rows_loads import DrawPoint, Heater, Use
from hpelec.steps.coincidence import law, patterns, rules, rules_water
from hpelec.steps.coincidence.appliances import OWN, fitted
from hpelec.steps.coincidence.notes import Notes
from hpelec.steps.coincidence.process import HOURS, MIN_PER_H, LoadProcess
from hpelec.steps.hotwater.model import HeaterNeed, HotWaterResult

INSTANT = ("tankless", "point_of_use_tankless")
SINKS = ("lavatory", "kitchen_sink", "laundry_sink", "bar_sink")
PATTERN_OF = {"dishwasher": "dishwasher_fill", "clothes_washer": "clothes_washer_fill", "other": "other_fixture"}
MOST_LEVELS = 8
STEP_A = 0.25
"""Grid on which the currents of one heater's points are added."""


@dataclass(frozen=True, slots=True)
class Draw:
    """Draws at one point of use: starts by hour, minutes each, hot flow, heat of one draw."""

    point: str
    starts_per_h: tuple[float, ...]
    run_min: float
    hot_gpm: float
    citation: Citation

    def kWh_per_day(self, rise_dF: float) -> float:
        """Heat of a day's draws."""
        return rules_water.volume_kWh(sum(self.starts_per_h) * self.run_min * self.hot_gpm, rise_dF)


def heater_processes(house: House, water: HotWaterResult, notes: Notes) -> list[LoadProcess]:
    """One process for each water heater that stays."""
    uses = {u.id: u for u in house.uses if u.of == "heater"}
    needs = {n.heater: n for n in water.heaters}
    draws = draws_of(house, water)
    made = []
    for heater in house.heaters:
        if heater.status == "removed" or heater.id not in needs:
            continue
        need = needs[heater.id]
        volts = 120.0 if heater.voltage_V == 120.0 else min(heater.voltage_V, house.service_site.voltage_V)
        base = _base(heater, need.heat_kW * 1000 / volts)
        mine = draws.get(heater.id, [])
        process = (_instant if heater.kind in INSTANT else _storage)(base, heater, need, mine, notes)
        if heater.id in uses:
            process = _own(process, uses[heater.id], notes)
        if process.starts_per_day == 0 and not process.always_on:
            notes.say(
                "idle-heater",
                heater.id,
                "a heater runs when hot water is drawn",
                Verdict.CANNOT_SAY,
                cite(rules_water.draw_kW),
                got="no draws of hot water on the coldest day: it is taken as off",
                fix=f"add the points that {heater.id} serves to hot_water.csv, or its use to use.csv",
            )
        made.append(process)
    return made


def _base(heater: Heater, amps: float) -> LoadProcess:
    return LoadProcess(
        id=heater.id,
        name=heater.name,
        kind=heater.kind,
        current_A=amps,
        levels=((amps, 1.0),),
        run_min=0.0,
        starts_per_h=(0.0,) * HOURS,
        follows="people",
        group=heater.interlock,
        priority=heater.priority,
        managed_by=heater.managed_by,
        voltage_V=heater.voltage_V,
        citation=cite(rules_water.draw_kW),
    )


def draws_of(house: House, water: HotWaterResult) -> dict[str, list[Draw]]:
    """Draws by heater; the uses of a house are divided among its points of the same sort."""
    flows = {p.point: p.hot_flow_gpm for p in water.points}
    points = [p for p in house.draw_points if p.id in flows]
    own = {u.id: u for u in house.uses if u.of == "point"}
    found: dict[str, list[Draw]] = {}
    for point in points:
        told = patterns.pattern(PATTERN_OF.get(point.fixture, point.fixture))
        sort = SINKS if point.fixture in SINKS else (point.fixture,)
        number = sum(1 for p in points if p.fixture in sort)
        per = {"person": house.general.occupants / number, "house": 1 / number, "item": 1.0}[told.per]
        draw = Draw(
            point.id,
            tuple(told.starts_per_day * per * s for s in patterns.profile(told.profile)),
            told.run_min,
            flows[point.id],
            told.citation,
        )
        found.setdefault(point.heater, []).append(_own_draw(draw, own.get(point.id), point))
    return found


def _own_draw(draw: Draw, use: Use | None, point: DrawPoint) -> Draw:
    if use is None:
        return draw
    told = patterns.pattern(PATTERN_OF.get(point.fixture, point.fixture))
    starts = sum(draw.starts_per_h) if use.starts_per_day is None else use.starts_per_day
    shape = patterns.profile(told.profile if use.profile == "by kind" else use.profile)
    run = draw.run_min if use.run_min is None else use.run_min
    return replace(draw, starts_per_h=tuple(starts * s for s in shape), run_min=run, citation=OWN)


def _own(process: LoadProcess, use: Use, notes: Notes) -> LoadProcess:
    """The user's own starts, run length or load of a heater."""
    if use.load_percent is not None:
        amps = process.current_A * use.load_percent / 100
        process = replace(process, current_A=amps, levels=((amps, 1.0),))
    starts = process.starts_per_day if use.starts_per_day is None else use.starts_per_day
    run = process.run_min if use.run_min is None else use.run_min
    day = process.starts_per_day
    by_kind = tuple(s / day for s in process.starts_per_h) if day else patterns.profile("hot_water")
    shape = by_kind if use.profile == "by kind" else patterns.profile(use.profile)
    remark = f"own values: {use.source or 'no source given'}"
    return fitted(replace(process, run_min=run, always_on=False, citation=OWN, remark=remark), starts, shape, notes)


def _citation(draws: Sequence[Draw]) -> Citation:
    """One citation for all draws of a heater, with the weakest accuracy among them."""
    sources = sorted({d.citation.source for d in draws})
    accuracy = weakest([d.citation.accuracy for d in draws])
    return Citation("; ".join(sources), "use_patterns, by fixture", "none", accuracy)


def _instant(base: LoadProcess, heater: Heater, need: HeaterNeed, draws: Sequence[Draw], notes: Notes) -> LoadProcess:
    """A heater without a tank: the sum of its draws, each by flow and rise, cut off at its rating."""
    rise = max(need.rise_dF, 0.0)
    running = [d for d in draws if d.hot_gpm > 0 and sum(d.starts_per_h) > 0 and rise > 0]
    if not running or base.current_A <= 0:
        return base
    full = law.steps_up(base.current_A, STEP_A)
    parts = []
    for draw in running:
        kW = min(rules_water.draw_kW(draw.hot_gpm, rise), need.heat_kW)
        steps = min(law.steps_up(base.current_A * kW / need.heat_kW, STEP_A), full)
        on = np.minimum(np.array(rules.on_share_by_hour(draw.starts_per_h, draw.run_min)), 1.0)
        parts.append(law.Part((steps,), on[None], np.array(draw.starts_per_h)[None]))
        expression = f"0.146536 x {draw.hot_gpm:.4g} x {rise:.4g}, at most {need.heat_kW:g}"
        notes.working.append(line(f"{heater.id}: while {draw.point} runs", expression, kW, "kW", rules_water.draw_kW))
    summed = law.total(parts, law.nothing((HOURS,)))
    shares = _densities(summed.above)
    capped = np.zeros(full + 1)
    capped[: min(full, shares.size - 1) + 1] = shares[: full + 1]
    capped[full] += shares[full + 1 :].sum()
    levels = merged([(k * STEP_A, float(p)) for k, p in enumerate(capped) if k and p > 0], MOST_LEVELS)
    levels = tuple((min(amps, base.current_A), share) for amps, share in levels)
    starts = tuple(float(x) for x in law.at(summed.ups, 1))
    busy = float(law.at(summed.above, 1).sum())
    return replace(
        base,
        current_A=max(amps for amps, _ in levels),
        levels=levels,
        starts_per_h=starts,
        run_min=MIN_PER_H * busy / sum(starts),
        citation=_citation(running),
        remark="current by flow and rise on the coldest day; drawn anew for each run",
    )


def _densities(above: law.Array) -> law.Array:
    """Share of the day at each level, from the tails by hour."""
    tails = above.mean(axis=0)
    return np.asarray(tails - np.append(tails[1:], 0.0))


def merged(levels: Sequence[tuple[float, float]], most: int) -> tuple[tuple[float, float], ...]:
    """At most so many levels, shares adding up to 1; a level that goes is counted at the next higher one."""
    kept = [list(level) for level in sorted(levels)]
    while len(kept) > most:
        costs = [share * (kept[i + 1][0] - amps) for i, (amps, share) in enumerate(kept[:-1])]
        i = costs.index(min(costs))
        kept[i + 1][1] += kept[i][1]
        del kept[i]
    whole = sum(share for _, share in kept)
    return tuple((amps, share / whole) for amps, share in kept)


def _storage(base: LoadProcess, heater: Heater, need: HeaterNeed, draws: Sequence[Draw], notes: Notes) -> LoadProcess:
    """A tank: the thermostat lets a share of it cool, then the element (or heat pump) gives that heat back."""
    rise, constant = max(need.rise_dF, 0.0), patterns.constant
    if need.heat_kW <= 0:
        return base
    draws_kWh = math.fsum(d.kWh_per_day(rise) for d in draws)
    standby_kWh = constant("standby_W") * HOURS / 1000
    band = max(rules_water.volume_kWh(heater.volume_gal * constant("band_share"), rise), constant("least_band_kWh"))
    hourly = [
        math.fsum(rules_water.volume_kWh(d.starts_per_h[h] * d.run_min * d.hot_gpm, rise) for d in draws)
        for h in range(HOURS)
    ]
    asked = draws_kWh + standby_kWh
    shape = tuple((kWh + standby_kWh / HOURS) / asked for kWh in hourly)
    modes = [(base.current_A, need.heat_kW, 1.0)]
    if heater.kind == "heat_pump_storage" and heater.heat_kW is not None:
        element = constant("element_share")
        pump_A = heater.heat_kW / constant("heat_pump_cop") * 1000 / heater.voltage_V
        modes = [(min(pump_A, base.current_A), heater.heat_kW, 1 - element), (base.current_A, need.heat_kW, element)]
    minutes = [(amps, share * MIN_PER_H * band / kW) for amps, kW, share in modes]
    run = sum(m for _, m in minutes)
    starts = asked / band
    duty = rules_water.heater_duty(draws_kWh, constant("standby_W"), MIN_PER_H * band / run)
    expression = f"({draws_kWh:.4g} / 24 + {constant('standby_W'):g} / 1000) / {MIN_PER_H * band / run:.4g}"
    notes.working.append(line(f"{heater.id}: share of the time on", expression, duty, "", rules_water.heater_duty))
    if duty > 1:
        notes.say(
            "tank-duty",
            heater.id,
            "a tank can give back a day's hot water in a day",
            Verdict.MISSES,
            cite(rules_water.heater_duty),
            got=f"{duty:.2f} of the day; taken as always on",
            allowed="<= 1",
            fix="a stronger element, or fewer points on this heater",
        )
        return replace(base, always_on=True)
    made = replace(
        base,
        levels=tuple((amps, m / run) for amps, m in minutes),
        run_min=run,
        citation=_citation(draws) if draws else patterns.constant_citation("standby_W"),
        remark=f"{starts:.1f} runs a day of {band:.2f} kWh heat each",
    )
    return fitted(made, starts, shape, notes)
