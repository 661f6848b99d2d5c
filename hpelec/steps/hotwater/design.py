"""The step hotwater: mains temperature by day, what the points ask, and each heater against it on the coldest day."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from hpelec.core.citing import OUR_OWN, cite
from hpelec.core.editions import PROVISIONAL, check_edition
from hpelec.core.findings import Assumption, Verdict
from hpelec.core.working import line
from hpelec.house.model import House
from hpelec.house.rows_loads import DrawPoint, Heater
from hpelec.house.sections import Place, WaterSettings
from hpelec.steps.hotwater import rules, rules_mains
from hpelec.steps.hotwater.design_depth import in_depth
from hpelec.steps.hotwater.design_heaters import Notes, against_need
from hpelec.steps.hotwater.model import HotWaterResult, MainsDay, PointNeed
from hpelec.steps.hotwater.rules_demand import flow_of


def design(house: House, edition: int) -> HotWaterResult:
    """Each water heater against its need on the coldest day. Raises EditionError for an unknown edition."""
    notes = Notes(check_edition(edition))
    mains = _mains(house.place, notes)
    cold = _design_cold(house.water, mains, notes)
    heaters = {h.id: h for h in house.heaters if h.status != "removed"}
    rows = tuple(p for p in house.draw_points if p.heater in heaters and _flow(p, notes) is not None)
    points = tuple(_point(p, heaters[p.heater], cold, notes) for p in rows)
    _left_out(house, heaters, notes)
    share = house.water.peak_fixtures_share_percent / 100
    if share < 1 and any(p.at_peak for p in points):
        taken = f"{share:.0%} of the flow marked at_peak runs at once"
        notes.assumptions.append(Assumption("house.toml, water.peak_fixtures_share_percent", taken, "the user's own"))
    fixtures = {p.id: p.fixture for p in house.draw_points}
    needs = tuple(
        against_need(h, [p for p in points if p.heater == h.id], fixtures, cold, share, house.service_site, notes)
        for h in heaters.values()
    )
    all_on_kW, all_on_A = _together(tuple(heaters.values()), notes)
    result = HotWaterResult(
        edition=edition,
        mains=mains,
        cold_F=cold,
        points=points,
        heaters=needs,
        all_on_kW=all_on_kW,
        all_on_A=all_on_A,
    )
    result = in_depth(house, rows, result, notes)
    return replace(
        result,
        working=tuple(notes.working),
        findings=tuple(notes.findings),
        assumptions=tuple(notes.assumptions),
    )


def _mains(place: Place, notes: Notes) -> tuple[MainsDay, ...]:
    """Mains temperature of every day, with working for the coldest one and a finding where it would freeze."""
    climate = (place.mean_air_F, place.air_range_dF, place.latitude_deg)
    days = tuple(MainsDay(day=d, mains_F=rules_mains.mains_F(d, *climate)) for d in rules_mains.DAYS)
    raw = {d: rules_mains.mains_unfloored_F(d, *climate) for d in rules_mains.DAYS}
    coldest = min(raw, key=lambda d: raw[d])
    mean, ratio, lag = (
        f(place.mean_air_F) for f in (rules_mains.mains_mean_F, rules_mains.mains_ratio, rules_mains.mains_lag_days)
    )
    turn = "-" if place.latitude_deg >= 0 else "+"
    notes.working += [
        line("mean of the mains", f"{place.mean_air_F:g} + 6", mean, "F", rules_mains.mains_mean_F),
        line("ratio", f"0.4 + 0.01 x ({place.mean_air_F:g} - 44)", ratio, "", rules_mains.mains_ratio),
        line("lag", f"35 - ({place.mean_air_F:g} - 44)", lag, "days", rules_mains.mains_lag_days),
        line(
            f"mains on its coldest day ({coldest})",
            f"{mean:g} + {ratio:.4f} x {place.air_range_dF:g} / 2 x "
            f"sin(0.986 x ({coldest} - 15 - {lag:.2f}) {turn} 90 deg)",
            raw[coldest],
            "F",
            rules_mains.mains_unfloored_F,
        ),
    ]
    floored = sum(1 for t in raw.values() if t < rules_mains.FREEZING_F)
    if floored:
        notes.say(
            "mains-floor",
            "mains",
            "the correlation holds only above freezing",
            Verdict.CANNOT_SAY,
            cite(rules_mains.mains_F),
            got=f"{raw[coldest]:.1f} F on day {coldest}; {floored} days taken as 32 F",
            allowed=">= 32 F",
            fix="measure the coldest inlet temperature and enter it as water.design_cold_F",
        )
    return days


def _design_cold(water: WaterSettings, mains: Sequence[MainsDay], notes: Notes) -> float:
    coldest = min(d.mains_F for d in mains)
    cold = coldest if water.design_cold_F is None else water.design_cold_F
    if water.design_cold_F is not None:
        why = f"the user's own value; the climate gives {coldest:.1f} F on the coldest day"
        notes.assumptions.append(Assumption("house.toml, water.design_cold_F", f"{cold:g} F", why))
    said = f"smallest of {len(mains)} days" if water.design_cold_F is None else "as entered"
    by = rules_mains.mains_F if water.design_cold_F is None else OUR_OWN
    notes.working.append(line("design mains temperature", said, cold, "F", by))
    return cold


def _left_out(house: House, heaters: dict[str, Heater], notes: Notes) -> None:
    for point in house.draw_points:
        if point.heater not in heaters:
            notes.say(
                "removed-heater",
                point.id,
                "a point of use needs a heater that stays",
                Verdict.MISSES,
                cite(rules.hot_share),
                got=f"heater {point.heater} is marked removed",
                fix="name another heater for it in hot_water.csv",
            )
    if not heaters:
        notes.say(
            "no-heater",
            "house",
            "hot water needs a heater",
            Verdict.CANNOT_SAY,
            cite(rules.needed_kW),
            got="no water heater that stays",
            fix="add a row to heaters.csv, and the points it serves to hot_water.csv",
        )


def _flow(point: DrawPoint, notes: Notes) -> float | None:
    """The flow of a point: its own, or the published one of its kind; None where there is neither."""
    if point.flow_gpm is not None:
        return point.flow_gpm
    found = flow_of(point.fixture)
    if found is None:
        notes.say(
            "no-flow",
            point.id,
            "a point of use has a flow",
            Verdict.CANNOT_SAY,
            cite(rules.needed_kW),
            got=f"flow_gpm is blank, and a fixture of kind {point.fixture} has no published flow",
            fix="enter flow_gpm in hot_water.csv; the point is left out until then",
        )
        return None
    return found[0]


def _told_flow(point: DrawPoint, flow: float, notes: Notes) -> None:
    found = flow_of(point.fixture)
    if point.flow_gpm is None and found is not None:
        notes.working.append(line(f"{point.id}: flow of a {point.fixture}", "published", flow, "gpm", found[1]))
        why = f"flow_gpm is blank: {found[1]}"
        notes.assumptions.append(Assumption("hot_water.csv, flow_gpm", f"{point.id}: {flow:g} gpm", why))


def _point(point: DrawPoint, heater: Heater, cold: float, notes: Notes) -> PointNeed:
    """What a point asks; where no mix gives the temperature wanted, say so and take all hot or all cold water."""
    hot, mixed = heater.setpoint_F, point.flow_gpm or (flow_of(point.fixture) or (0.0,))[0]
    _told_flow(point, mixed, notes)
    if cold < hot and cold <= point.use_F <= hot:
        share = rules.hot_share(hot, point.use_F, cold)
        expression = f"({point.use_F:g} - {cold:.4g}) / ({hot:g} - {cold:.4g})"
    elif point.use_F > hot:
        share, expression = 1.0, f"all hot: {point.use_F:g} F is wanted, the heater is set to {hot:g} F"
        notes.say(
            "setpoint",
            point.id,
            "a heater is set at least as hot as its points want",
            Verdict.MISSES,
            cite(rules.hot_share),
            got=f"{heater.id} set to {hot:g} F",
            allowed=f">= {point.use_F:g} F",
            fix=f"set {heater.id} to {point.use_F:g} F or more (with a mixing valve against scalding), or ask for less",
        )
    else:
        share, expression = 0.0, f"no mix: mains {cold:.4g} F, wanted {point.use_F:g} F"
        notes.say(
            "warm-mains",
            point.id,
            "mains water is colder than the water wanted",
            Verdict.CANNOT_SAY,
            cite(rules.hot_share),
            got=f"mains {cold:.1f} F, wanted {point.use_F:g} F: no mix with hot water gives it",
            allowed=f"<= {point.use_F:g} F",
            fix="check water.design_cold_F and the temperature wanted; no hot water is counted for this point",
        )
    flow = share * mixed
    notes.working += [
        line(f"{point.id}: hot share", expression, share, "", rules.hot_share),
        line(f"{point.id}: hot flow", f"{share:.4f} x {mixed:g}", flow, "gpm"),
    ]
    return PointNeed(
        point=point.id,
        heater=heater.id,
        mixed_flow_gpm=mixed,
        hot_share=share,
        hot_flow_gpm=flow,
        at_peak=point.at_peak,
    )


def _together(heaters: Sequence[Heater], notes: Notes) -> tuple[float, float]:
    """Nameplates that can run at once, in kW and A: of an interlocked group only the largest counts."""
    groups: dict[str, list[Heater]] = {}
    for heater in heaters:
        groups.setdefault(f"group {heater.interlock}" if heater.interlock else f"heater {heater.id}", []).append(heater)
    largest_kW, largest_A = [], []
    for name, group in sorted(groups.items()):
        kW = [h.power_VA / 1000 for h in group]
        amps = [rules.current_A(h.power_VA, h.voltage_V) for h in group]
        largest_kW.append(rules.noncoincident(kW, notes.edition))
        largest_A.append(rules.noncoincident(amps, notes.edition))
        if len(group) > 1:
            _told_group(name, group, largest_kW[-1], notes)
    all_on_kW, all_on_A = math.fsum(largest_kW), math.fsum(largest_A)
    notes.working += [
        line("all heaters that can run together", " + ".join(f"{v:g}" for v in largest_kW) or "0", all_on_kW, "kW"),
        line("the same in amperes", " + ".join(f"{v:.4g}" for v in largest_A) or "0", all_on_A, "A"),
    ]
    return all_on_kW, all_on_A


def _told_group(name: str, group: Sequence[Heater], counted: float, notes: Notes) -> None:
    expression = "max(" + ", ".join(f"{h.power_VA / 1000:g}" for h in sorted(group, key=lambda h: h.id)) + ")"
    notes.working.append(line(f"{name}: counts", expression, counted, "kW", rules.noncoincident, notes.edition))
    if notes.edition in PROVISIONAL:
        notes.say(
            "interlock",
            name,
            "of loads that cannot run together the largest counts",
            Verdict.CANNOT_SAY,
            cite(rules.noncoincident, notes.edition),
            got=f"edition {notes.edition} was seen only in summaries",
            fix="check the noncoincident-load rule in the adopted text",
        )
