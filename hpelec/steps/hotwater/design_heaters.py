"""One water heater against its need: what its elements give, what arrives, how long the tank lasts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from hpelec.common.rules_water import flow_heat_kW
from hpelec.core.citing import Citation, cite, weakest
from hpelec.core.errors import RangeError
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.tables import Row, table
from hpelec.core.working import Line, line, show_number
from hpelec.house.rows_loads import Heater
from hpelec.house.sections_power import ServiceSite
from hpelec.steps.hotwater import rules
from hpelec.steps.hotwater.model import HeaterNeed, PointNeed
from hpelec.steps.hotwater.rules_tank import heat_pump_factor

INSTANT = ("tankless", "point_of_use_tankless")
EQUAL = 1 + 1e-9
"""A need that the heater covers exactly is covered; this much is rounding."""
VOLTAGE_RATING = Citation("NFPA 70", "110.4", "2017-2026", "memory")


@dataclass(slots=True)
class Notes:
    """What the step says beside its numbers, collected as it goes."""

    edition: int
    working: list[Line] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    assumptions: list[Assumption] = field(default_factory=list)

    def say(
        self, name: str, place: str, rule: str, verdict: Verdict, by: Citation, *, got: str, allowed: str = "", fix: str
    ) -> None:
        """Add a finding."""
        self.findings.append(Finding(f"hotwater-{name}", "hotwater", place, rule, got, allowed, fix, verdict, by))


def _heat_kW(heater: Heater, service: ServiceSite, notes: Notes) -> float:
    """What the elements give: the nameplate, less where the service voltage is below the rating."""
    rated = heater.power_VA / 1000
    supply = 120.0 if heater.voltage_V == 120.0 else service.voltage_V
    if supply < heater.voltage_V:
        heat = rules.element_kW(rated, heater.voltage_V, supply)
        expression = f"{rated:g} x ({supply:g} / {heater.voltage_V:g})^2"
        notes.working.append(line(f"{heater.id}: power on this service", expression, heat, "kW", rules.element_kW))
        return heat
    if supply > heater.voltage_V:
        notes.say(
            "voltage",
            heater.id,
            "a heater is rated for at least the voltage it stands on",
            Verdict.MISSES,
            VOLTAGE_RATING,
            got=f"rated {heater.voltage_V:g} V on a {supply:g} V service",
            allowed=f">= {supply:g} V",
            fix=f"choose a heater rated {supply:g} V; the numbers here take its nameplate",
        )
    return rated


def against_need(
    heater: Heater,
    points: Sequence[PointNeed],
    fixtures: dict[str, str],
    cold: float,
    share: float,
    service: ServiceSite,
    notes: Notes,
) -> HeaterNeed:
    """What is asked of a heater in the busiest minutes or hour, and what it can do.

    fixtures: kind of fixture by point id. cold: entering water [F]. share: of the marked flow that runs at once.
    """
    marked = [p for p in points if p.at_peak]
    flow = share * math.fsum(p.hot_flow_gpm for p in marked)
    rated = heater.power_VA / 1000
    heat = _heat_kW(heater, service, notes)
    amps = rules.current_A(heater.power_VA, heater.voltage_V)
    sums = " + ".join(f"{p.hot_flow_gpm:.4g}" for p in marked) or "0"
    rise = heater.setpoint_F - cold
    notes.working += [
        line(f"{heater.id}: peak flow", f"{share:g} x ({sums})", flow, "gpm"),
        line(f"{heater.id}: rise", f"{heater.setpoint_F:g} - {cold:.4g}", rise, "F"),
        line(f"{heater.id}: current", f"{heater.power_VA:g} / {heater.voltage_V:g}", amps, "A", rules.current_A),
    ]
    need = HeaterNeed(
        heater=heater.id,
        kind=heater.kind,
        peak_flow_gpm=flow,
        cold_F=cold,
        rise_dF=rise,
        needed_kW=None,
        nameplate_kW=rated,
        heat_kW=heat,
        current_A=amps,
        delivered_F=None,
        fixture_F=None,
        full_flow_gpm=None,
        recovery_gph=None,
        first_hour_gal=None,
        heat_pump_recovery_gph=None,
        sustained_min=None,
        peak_hour_gal=None,
        undersized=False,
    )
    if not _asked(heater, len(marked), flow, rise, notes):
        marked = []
    if rise <= 0:
        return need
    if heater.kind in INSTANT:
        return _instant(heater, need, share * math.fsum(p.mixed_flow_gpm for p in marked if p.hot_flow_gpm), notes)
    return _storage(heater, need, [fixtures[p.point] for p in marked], notes)


def _asked(heater: Heater, marked: int, flow: float, rise: float, notes: Notes) -> bool:
    """True when the heater has a need to be judged by; otherwise a finding says what is missing."""
    if rise > 0 and flow > 0:
        return True
    if rise <= 0:
        got = f"mains {heater.setpoint_F - rise:.1f} F, set to {heater.setpoint_F:g} F: the heater stays off"
        fix = "check water.design_cold_F and setpoint_F"
    elif not marked:
        got, fix = "no point of use marked at_peak", f"add points served by {heater.id} to hot_water.csv, or mark them"
    else:
        got, fix = "its points take no hot water at this mains temperature", "check use_F and water.design_cold_F"
    rule = "a heater is judged by the flow asked of it"
    notes.say("no-need", heater.id, rule, Verdict.CANNOT_SAY, cite(rules.needed_kW), got=got, fix=fix)
    return False


def _instant(heater: Heater, need: HeaterNeed, mixed_gpm: float, notes: Notes) -> HeaterNeed:
    """A heater without storage: the heat needed now, and what arrives if it has less."""
    cold, rise, heat, flow = need.cold_F, need.rise_dF, need.heat_kW, need.peak_flow_gpm
    k = f"{flow_heat_kW():.6f}"
    by_heat = rules.full_flow_gpm(heat, rise)
    full = by_heat if heater.max_flow_gpm is None else min(by_heat, heater.max_flow_gpm)
    notes.working.append(
        line(
            f"{heater.id}: largest flow at full rise",
            f"{heat:g} / ({k} x {rise:.4g})",
            by_heat,
            "gpm",
            rules.full_flow_gpm,
        )
    )
    if mixed_gpm <= 0:
        return replace(need, full_flow_gpm=full)
    needed = rules.needed_kW(flow, rise)
    limited = heater.max_flow_gpm is not None and flow > heater.max_flow_gpm * EQUAL
    passed = heater.max_flow_gpm if limited and heater.max_flow_gpm is not None else flow
    arrives = rules.delivered_F(heat, passed, cold, heater.setpoint_F)
    fixture = None if limited else cold + flow * (arrives - cold) / mixed_gpm
    notes.working += [
        line(f"{heater.id}: heat needed", f"{k} x {flow:.4g} x {rise:.4g}", needed, "kW", rules.needed_kW),
        line(
            f"{heater.id}: temperature that leaves it",
            f"min({heater.setpoint_F:g}, {cold:.4g} + {heat:g} / ({k} x {passed:.4g}))",
            arrives,
            "F",
            rules.delivered_F,
        ),
    ]
    if fixture is not None:
        expression = f"{cold:.4g} + {flow:.4g} x ({arrives:.4g} - {cold:.4g}) / {mixed_gpm:.4g}"
        notes.working.append(line(f"{heater.id}: at the fixtures", expression, fixture, "F", rules.hot_share))
    short = needed > heat * EQUAL
    notes.say(
        "power",
        heater.id,
        "a heater without storage has the heat for its peak flow on the coldest day",
        Verdict.MISSES if short else Verdict.MEETS,
        cite(rules.needed_kW),
        got=f"{heat:.1f} kW for {flow:.2f} gpm; {arrives:.0f} F leaves it"
        + (f" at the {passed:g} gpm that pass" if limited else "")
        + (f", {fixture:.0f} F at the fixtures" if fixture is not None else ""),
        allowed=f">= {needed:.1f} kW",
        fix=f"a heater of {needed:.1f} kW or more, at most {by_heat:.2f} gpm of hot water at once, "
        "a second heater nearer to some of the points, or a tank",
    )
    if heater.max_flow_gpm is not None:
        notes.say(
            "flow-limit",
            heater.id,
            "the peak flow passes through the heater",
            Verdict.MISSES if limited else Verdict.MEETS,
            cite(rules.full_flow_gpm),
            got=f"{flow:.2f} gpm",
            allowed=f"<= {heater.max_flow_gpm:g} gpm, the heater's own limit",
            fix="a second heater for some of the points, or a heater with a higher limit",
        )
    return replace(
        need,
        needed_kW=needed,
        delivered_F=arrives,
        fixture_F=fixture,
        full_flow_gpm=full,
        undersized=short or limited,
    )


def _storage(heater: Heater, need: HeaterNeed, fixtures: Sequence[str], notes: Notes) -> HeaterNeed:
    """A heater with a tank: recovery, the first hour, and the busiest hour by the worksheet."""
    rise = need.rise_dF
    recovery = rules.recovery_gph(need.heat_kW, rise)
    k = f"{flow_heat_kW():.6f}"
    what = "recovery by the element" if heater.kind == "heat_pump_storage" else "recovery"
    expression = f"60 x {need.heat_kW:g} / ({k} x {rise:.4g})"
    notes.working.append(line(f"{heater.id}: {what}", expression, recovery, "gal/h", rules.recovery_gph))
    pump = _heat_pump(heater, rise, notes)
    first_hour = _first_hour(heater, recovery, notes)
    lasts = None
    if fixtures and heater.volume_gal > 0:
        flow = need.peak_flow_gpm
        lasts = rules.sustained_min(heater.volume_gal, flow, recovery)
        if lasts is not None:
            expression = f"0.7 x {heater.volume_gal:g} / ({flow:.4g} - {recovery:.4g} / 60)"
            notes.working.append(line(f"{heater.id}: peak flow lasts", expression, lasts, "min", rules.sustained_min))
    asked, undersized = _busiest_hour(heater, fixtures, first_hour, lasts, notes) if fixtures else (None, False)
    return replace(
        need,
        recovery_gph=recovery,
        heat_pump_recovery_gph=pump,
        first_hour_gal=first_hour,
        sustained_min=lasts,
        peak_hour_gal=asked,
        undersized=undersized,
    )


def _heat_pump(heater: Heater, rise: float, notes: Notes) -> float | None:
    """Recovery by the heat pump alone, or a finding that says what is missing."""
    if heater.kind != "heat_pump_storage":
        return None
    if heater.heat_kW is None:
        notes.say(
            "heat-pump",
            heater.id,
            "what the heat pump alone recovers",
            Verdict.CANNOT_SAY,
            cite(rules.recovery_gph),
            got="its heat output is not given",
            fix="enter heat_kW from its data sheet, at test conditions; the element is counted alone",
        )
        return None
    try:
        factor = heat_pump_factor("capacity", heater.air_F, heater.air_humidity_percent, heater.setpoint_F)
    except RangeError:
        return None  # the air is told as unfit where the heat pump is looked at in its air
    heat = max(0.0, heater.heat_kW * factor)
    pump = rules.recovery_gph(heat, rise)
    expression = f"60 x {heater.heat_kW:g} x {factor:.4g} / ({flow_heat_kW():.6f} x {rise:.4g})"
    what = f"{heater.id}: recovery by the heat pump alone"
    notes.working.append(line(what, expression, pump, "gal/h", rules.recovery_gph))
    return pump


def _first_hour(heater: Heater, recovery: float, notes: Notes) -> float | None:
    if heater.first_hour_gal is not None:
        why = "rated by the maker at test temperatures; colder mains or a lower setpoint give less"
        taken = f"{heater.id}: {show_number(heater.first_hour_gal)} gal in the first hour"
        notes.assumptions.append(Assumption("heaters.csv, first_hour_gal", taken, why))
        notes.working.append(line(f"{heater.id}: first hour", "as rated", heater.first_hour_gal, "gal"))
        return heater.first_hour_gal
    if heater.volume_gal <= 0:
        return None
    first_hour = rules.first_hour_gal(heater.volume_gal, recovery)
    expression = f"0.7 x {heater.volume_gal:g} + {recovery:.4g}"
    notes.working.append(line(f"{heater.id}: first hour", expression, first_hour, "gal", rules.first_hour_gal))
    why = "no first-hour rating given; 70 % of the volume counts as hot, by common practice"
    notes.assumptions.append(Assumption("heaters.csv, first_hour_gal", f"{heater.id}: {first_hour:.0f} gal", why))
    return first_hour


def _busiest_hour(
    heater: Heater, fixtures: Sequence[str], first_hour: float | None, lasts: float | None, notes: Notes
) -> tuple[float | None, bool]:
    """The busiest hour by the worksheet, and whether the heater falls short; None where the worksheet has no row."""
    known: list[tuple[str, int, Row]] = []
    unknown: list[str] = []
    for kind in sorted(set(fixtures)):
        rows = table("hotwater/peak_hour_uses").where(fixture=kind)
        if rows:
            known.append((kind, fixtures.count(kind), rows[0]))
        else:
            unknown.append(kind)
    uses, gal = [n for _, n, _ in known], [row.number("hot_gal") for *_, row in known]
    asked = rules.peak_hour_gal(uses, gal)
    by = cite(rules.peak_hour_gal)
    if known:
        row_citation = known[0][2].citation
        accuracy = weakest([row.citation.accuracy for *_, row in known])
        by = Citation(row_citation.source, "sum of uses x gallons a use", row_citation.edition, accuracy)
    terms = " + ".join(f"{n} x {g:g} ({kind})" for (kind, n, _), g in zip(known, gal, strict=True)) or "0"
    notes.working.append(line(f"{heater.id}: asked in the busiest hour", terms, asked, "gal", by))
    taken = f"{heater.id}: one use of each point marked at_peak in the busiest hour"
    why = "the number of uses is not asked; the share of fixtures at peak does not apply to a whole hour"
    notes.assumptions.append(Assumption("hot_water.csv, at_peak", taken, why))
    short = first_hour is not None and asked > first_hour * EQUAL
    got = "first hour unknown" if first_hour is None else f"{first_hour:.0f} gal in the first hour"
    if lasts is not None:
        got += f"; the peak flow lasts {lasts:.0f} min"
    fix = "a larger tank, a stronger element, or points served by another heater"
    verdict = Verdict.MISSES if short else Verdict.MEETS
    if not short and (unknown or first_hour is None):
        verdict = Verdict.CANNOT_SAY
        missing = [f"gallons a use of {', '.join(unknown)} (the worksheet has none)"] if unknown else []
        missing += ["volume_gal or first_hour_gal of the heater"] if first_hour is None else []
        fix = "missing: " + "; ".join(missing)
    allowed = f">= {show_number(asked)} gal" + (" and what is not known" if unknown else "")
    rule = "a tank holds the hot water of the busiest hour"
    notes.say("first-hour", heater.id, rule, verdict, by, got=got, allowed=allowed, fix=fix)
    return (None if unknown else asked), short
