"""What the step tells beside the coldest day, put together from its parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hpelec.core.findings import Assumption
from hpelec.house.model import House
from hpelec.house.rows_loads import DrawPoint
from hpelec.steps.hotwater.design_heaters import INSTANT, Notes
from hpelec.steps.hotwater.design_layouts import Ground, layouts
from hpelec.steps.hotwater.design_pipes import run_of, say_stored, uses_of
from hpelec.steps.hotwater.design_tanks import air_of, day_of, pattern_of, ua_of
from hpelec.steps.hotwater.design_year import busy, months_of, size_of, together_of, year_of
from hpelec.steps.hotwater.model import HotWaterResult


def in_depth(house: House, rows: Sequence[DrawPoint], result: HotWaterResult, notes: Notes) -> HotWaterResult:
    """The result with the year, sizes, sets, pipes, tanks and layouts added. rows: the points with a flow."""
    share = house.water.peak_fixtures_share_percent / 100
    heaters = {h.id: h for h in house.heaters if h.status != "removed"}
    needs = {p.point: p for p in result.points}
    by_heater = {h: [p for p in rows if p.heater == h] for h in heaters}
    asked = {h: busy(heaters[h], by_heater[h], needs, share) for h in heaters}
    if house.place.climate_source:
        told = Assumption("house.toml, place", house.place.climate_source, "gave the two air temperatures")
        notes.assumptions.append(told)
    months = [m for n in result.heaters for m in months_of(heaters[n.heater], asked[n.heater], n.heat_kW, result.mains)]
    year = [
        year_of(heaters[n.heater], asked[n.heater], n.heat_kW, result.mains)
        for n in result.heaters
        if n.kind in INSTANT
    ]
    sizes = [size_of(heaters[n.heater], asked[n.heater], n, notes) for n in result.heaters]
    sets = [s for n in result.heaters for s in together_of(heaters[n.heater], by_heater[n.heater], needs, n, notes)]
    uses = uses_of(rows, house.general, notes)
    pipes = [run_of(p, heaters[p.heater], needs[p.id], uses[p.id], house.water, notes) for p in rows]
    say_stored(pipes, rows, heaters, notes)
    airs = {n.heater: air_of(heaters[n.heater], house, notes) for n in result.heaters}
    ua = {}
    for need in result.heaters:
        heater = heaters[need.heater]
        if heater.kind not in INSTANT and heater.volume_gal > 0:
            ua[heater.id] = ua_of(heater, pattern_of(heater, house.water.draw_pattern, need.first_hour_gal), notes)
    days = [
        day_of(heaters[n.heater], n, airs[n.heater], house.water.draw_pattern, ua.get(n.heater, 0.0), notes)
        for n in result.heaters
    ]
    found = replace(
        result,
        months=tuple(months),
        year=tuple(year),
        sizes=tuple(sizes),
        together=tuple(sets),
        pipes=tuple(pipes),
        heat_pumps=tuple(a for a in airs.values() if a is not None),
        tank_days=tuple(d for d in days if d is not None),
    )
    ground = Ground(house, tuple(rows), needs, uses, found, ua, notes)
    return replace(found, layouts=layouts(ground))
