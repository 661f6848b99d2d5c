"""What the lights see when a motor starts: dip at the panel against the practice of utilities."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from hpelec.common import rules_drop
from hpelec.core.citing import Citation
from hpelec.core.findings import Verdict
from hpelec.house.model import House
from hpelec.house.rows_loads import Appliance
from hpelec.house.sections_power import ServiceSite
from hpelec.steps.lateral import rules_start as rules
from hpelec.steps.lateral.model import MotorStart
from hpelec.steps.lateral.told import Told
from hpelec.steps.lateral.values import value
from hpelec.steps.service.model import ConductorChoice

NAMEPLATE = Citation("house folder", "locked_rotor_A of appliances", "none", "published")
MAINLY_MOTOR = (
    "refrigerator",
    "freezer",
    "disposer",
    "air_conditioner",
    "heat_pump",
    "air_handler",
    "ventilator",
    "fan",
    "pump",
    "workshop",
)
"""Kinds whose nameplate load is that of a motor; of others it holds heaters, so six times it would be no start."""


@dataclass(frozen=True, slots=True)
class Source:
    """Resistance and reactance [ohm] from the utility's primary to the panel, for one voltage of the motor."""

    voltage_V: float
    run_ohm: tuple[float, float]
    transformer_ohm: tuple[float, float] | None


def sources(site: ServiceSite, lateral: ConductorChoice, entrance: ConductorChoice) -> dict[float, Source]:
    """The source that motors see line to line, and from line to neutral where the neutral is centre-tapped."""
    line_V = site.voltage_V
    made = {line_V: Source(line_V, _run(site, lateral, entrance, to_neutral=False), _transformer(site, half=False))}
    if line_V == 240:
        made[120.0] = Source(120.0, _run(site, lateral, entrance, to_neutral=True), _transformer(site, half=True))
    return made


def _run(
    site: ServiceSite, lateral: ConductorChoice, entrance: ConductorChoice, *, to_neutral: bool
) -> tuple[float, float]:
    """Loop of lateral and service entrance [ohm]: two line conductors, or a line conductor and the neutral."""
    r = x = 0.0
    for row, length_ft in ((lateral, site.lateral_length_ft), (entrance, site.service_entrance_length_ft)):
        back = (row.neutral_size or row.size) if to_neutral else row.size
        for size in (row.size, back):
            r += rules_drop.resistance_ohm_per_kft(size, row.material) * length_ft / 1000 / row.sets
            x += rules_drop.reactance_ohm_per_kft(size, row.material) * length_ft / 1000 / row.sets
    return r, x


def _transformer(site: ServiceSite, *, half: bool) -> tuple[float, float] | None:
    """Impedance [ohm] of the transformer; None while its rating is not known, or where it is no centre-tapped one."""
    if site.transformer_kVA is None or site.voltage_V != 240:
        return None
    percent = site.transformer_impedance_percent or rules.usual_impedance_percent(site.transformer_kVA)
    return rules.transformer_ohm(site.transformer_kVA, percent, site.voltage_V, half)


def start_current(appliance: Appliance) -> tuple[float, str] | None:
    """Current [A] of one motor as it starts, and where it is known from; None when nothing says it."""
    if appliance.locked_rotor_A is not None:
        return appliance.locked_rotor_A, "nameplate"
    if appliance.kind not in MAINLY_MOTOR:
        return None
    if appliance.current_A:
        running, by = appliance.current_A, "rated amperes"
    elif appliance.power_VA:
        running, by = appliance.power_VA / appliance.voltage_V, "rated load"
    elif appliance.mca_A:
        running, by = appliance.mca_A, "minimum circuit ampacity, which is more than the running current"
    else:
        return None
    return rules.locked_rotor_A(running), f"{value('locked_rotor_multiple'):g} times the {by}"


def starts(house: House, of: dict[float, Source]) -> tuple[MotorStart, ...]:
    """Every motor of the house that is known to start, the greatest dip first."""
    site = house.service_site
    limit = rules.dip_limit_percent(site.motor_starts_per_hour)
    made = []
    for appliance in house.appliances:
        found = start_current(appliance) if appliance.motor and appliance.status != "removed" else None
        source = of.get(appliance.voltage_V)
        if found is not None and source is not None:
            made.append(_start(appliance, found, source, limit))
    made.sort(key=lambda s: (-(s.dip_percent or s.run_percent), s.appliance))
    return tuple(dataclasses.replace(s, largest=n == 0) for n, s in enumerate(made))


def _start(appliance: Appliance, found: tuple[float, str], source: Source, limit: float | None) -> MotorStart:
    current, known_from = found
    share = 100 / source.voltage_V
    run_r, run_x = source.run_ohm
    power_factor = value("start_power_factor")
    dip = worst = None
    if source.transformer_ohm is not None:
        r, x = run_r + source.transformer_ohm[0], run_x + source.transformer_ohm[1]
        dip = rules.dip_V(current, r, x, power_factor) * share
        worst = rules.worst_dip_V(current, r, x) * share
    return MotorStart(
        appliance=appliance.id,
        name=appliance.name,
        voltage_V=appliance.voltage_V,
        locked_rotor_A=current,
        known_from=known_from,
        dip_percent=dip,
        worst_percent=worst,
        run_percent=rules.dip_V(current, run_r, run_x, power_factor) * share,
        limit_percent=limit,
        largest=False,
    )


def tell(told: Told, house: House, made: tuple[MotorStart, ...], of: dict[float, Source]) -> None:
    """Working, assumptions and the finding of the greatest dip."""
    site = house.service_site
    motors = [a for a in house.appliances if a.motor and a.status != "removed"]
    unknown = [a.name for a in motors if start_current(a) is None or a.voltage_V not in of]
    if unknown:
        told.assume(
            "motor starts",
            f"left out: {', '.join(sorted(unknown))}",
            "their nameplate holds heaters too, or no load, or the source at their voltage is not modelled; give "
            "locked_rotor_A where one starts hard",
        )
    if not made:
        return
    told.assume(
        "motor starts",
        f"one motor at a time, across the line, power factor {value('start_power_factor'):g}; no impedance before the "
        "transformer",
        "inverter drives and soft starters draw far less: give their locked_rotor_A; the primary adds a little",
    )
    first = made[0]
    source = of[first.voltage_V]
    if source.transformer_ohm is not None and site.transformer_impedance_percent is None and site.transformer_kVA:
        percent = rules.usual_impedance_percent(site.transformer_kVA)
        told.assume("transformer", f"impedance {percent:g} %", "transformer_impedance_percent is not given")
    _work(told, first, source)
    _find(told, site, first)


def _work(told: Told, first: MotorStart, source: Source) -> None:
    run_r, run_x = source.run_ohm
    told.work(
        f"start of {first.name}: current", first.known_from, first.locked_rotor_A, "A",
        rules.locked_rotor_A if "times" in first.known_from else NAMEPLATE,
    )  # fmt: skip
    told.work(
        "start: lateral and entrance, resistance", "both conductors", run_r, "ohm", rules_drop.resistance_ohm_per_kft
    )
    told.work(
        "start: lateral and entrance, reactance", "both conductors", run_x, "ohm", rules_drop.reactance_ohm_per_kft
    )
    if source.transformer_ohm is None or first.dip_percent is None:
        return
    r, x = source.transformer_ohm
    told.work("start: transformer, resistance", "share of its impedance", r, "ohm", rules.transformer_ohm)
    told.work("start: transformer, reactance", "share of its impedance", x, "ohm", rules.transformer_ohm)
    cos = value("start_power_factor")
    told.work(
        "start: dip at the panel",
        f"{first.locked_rotor_A:.1f} x ({run_r + r:.4f} x {cos:g} + {run_x + x:.4f} x sin(acos {cos:g}))",
        first.dip_percent / 100 * source.voltage_V, "V", rules.dip_V,
    )  # fmt: skip
    told.work(
        "start: dip, share", f"of {source.voltage_V:g} V", first.dip_percent, "%",
    )  # fmt: skip


def _find(told: Told, site: ServiceSite, first: MotorStart) -> None:
    limit, dip, worst = first.limit_percent, first.dip_percent, first.worst_percent
    rate = f"{site.motor_starts_per_hour:g} starts in an hour"
    allowed = f"<= {limit:g} % at {rate}" if limit is not None else f"no practice known for {rate}"
    if dip is None or worst is None:
        got = f"lateral and entrance alone {first.run_percent:.1f} %"
        fix = "fill in transformer_kVA in house.toml: ask the utility" if site.voltage_V == 240 else (
            "ask the utility: the transformer of a 208Y/120 V supply is not modelled"
        )  # fmt: skip
        over = limit is not None and first.run_percent > limit
        verdict = Verdict.MISSES if over else Verdict.CANNOT_SAY
    else:
        got = f"{dip:.1f} %, at most {worst:.1f} % whatever its power factor"
        fix = "a soft starter or inverter drive, a larger lateral, or a larger transformer: ask the utility"
        holds = limit is not None and worst <= limit
        verdict = Verdict.MEETS if holds else Verdict.CANNOT_SAY
        if limit is not None and dip > limit:
            verdict = Verdict.MISSES
    told.find(
        "motor-start-dip",
        first.name,
        "dip of the voltage at the panel as the motor starts is within what utilities let a motor cause",
        f"{first.locked_rotor_A:.0f} A ({first.known_from}): {got}",
        allowed,
        fix,
        verdict,
        rules.flicker_citation(),
    )
