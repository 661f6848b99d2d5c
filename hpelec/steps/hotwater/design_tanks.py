"""Tanks: heat pumps in their air, and each tank through a day of draws by the minute."""

from __future__ import annotations

import math

import numpy as np

from hpelec.core.citing import cite
from hpelec.core.errors import RangeError
from hpelec.core.findings import Assumption, Verdict
from hpelec.core.working import line
from hpelec.house.geometry import room_area_ft2
from hpelec.house.model import House
from hpelec.house.rows_loads import Heater
from hpelec.steps.hotwater import rules_tank
from hpelec.steps.hotwater.design_heaters import INSTANT, Notes
from hpelec.steps.hotwater.model import HeaterNeed
from hpelec.steps.hotwater.model_depth import HeatPumpAir, TankDay
from hpelec.steps.hotwater.tank import MINUTES, Tank, TankRun, tank_day
from hpelec.steps.hotwater.values import source, value

STEP_MIN = 5
QUIET_ROOMS = ("bedroom", "living", "family", "den", "library", "dining", "sunroom", "recreation", "kitchen")


def cop_of(heater: Heater, notes: Notes) -> float:
    """COP at test conditions: entered, or from the energy factor, or a typical one; the last two are told."""
    if heater.cop is not None:
        return heater.cop
    if heater.uef is not None and heater.uef > 1:
        taken, why = heater.uef, "its uniform energy factor, which also holds the standing loss: a little low for a COP"
    else:
        taken, why = value("heat_pump_cop"), "typical, by common practice: neither cop nor uef is given"
    notes.assumptions.append(Assumption("heaters.csv, cop", f"{heater.id}: {taken:g}", why))
    return taken


def ua_of(heater: Heater, pattern: str, notes: Notes) -> float:
    """Loss coefficient of a tank [Btu/h-F] from its energy factor, or from a typical one."""
    typical = heater.uef is None or heater.uef >= 1
    uef = value("tank_uef") if typical or heater.uef is None else heater.uef
    ua = rules_tank.ua_Btu(uef, rules_tank.pattern_gal(pattern))
    if typical:
        why = "no energy factor below 1 is given; a typical electric tank by common practice sets the standing loss"
        notes.assumptions.append(Assumption("heaters.csv, uef", f"{heater.id}: standing loss as with {uef:g}", why))
    said = f"from UEF {uef:g} in the pattern {pattern}"
    notes.working.append(line(f"{heater.id}: standing loss", said, ua, "Btu/h-F", rules_tank.ua_Btu))
    return ua


def pattern_of(heater: Heater, chosen: str, first_hour_gal: float | None) -> str:
    """The day of draws that a tank is tried with."""
    if chosen != "by_rating":
        return chosen
    return rules_tank.pattern_by_first_hour(first_hour_gal if first_hour_gal is not None else heater.volume_gal)


def air_of(heater: Heater, house: House, notes: Notes) -> HeatPumpAir | None:
    """A heat-pump tank in its air; None for other heaters."""
    if heater.kind != "heat_pump_storage":
        return None
    room_ft3 = _room_ft3(heater, house)
    _say_room(heater, room_ft3, house, notes)
    wet, factors = None, None
    try:
        wet = rules_tank.wet_bulb_C(rules_tank.celsius(heater.air_F), heater.air_humidity_percent)
        kinds = ("capacity", "cop")
        air = (heater.air_F, heater.air_humidity_percent, heater.setpoint_F)
        factors = [rules_tank.heat_pump_factor(kind, *air) for kind in kinds]
    except RangeError:
        pass
    runs = factors is not None and value("heat_pump_least_air") <= heater.air_F <= value("heat_pump_most_air")
    _say_air(heater, runs, notes)
    heat = cop = None
    if runs and factors is not None:
        cop = max(1.0, cop_of(heater, notes) * factors[1])
        said = f"tested COP x {factors[1]:.4f} in air of {heater.air_F:g} F, water at {heater.setpoint_F:g} F"
        notes.working.append(line(f"{heater.id}: COP in its air", said, cop, "", rules_tank.heat_pump_factor))
        if heater.heat_kW is not None:
            heat = max(0.0, heater.heat_kW * factors[0])
            said = f"{heater.heat_kW:g} x {factors[0]:.4f}"
            notes.working.append(
                line(f"{heater.id}: heat pump in its air", said, heat, "kW", rules_tank.heat_pump_factor)
            )
    electric = heat / cop if heat is not None and cop is not None else None
    cools = None if heat is None or electric is None else 0.0 if heater.ducted else heat - electric
    return HeatPumpAir(
        heater=heater.id,
        wet_bulb_F=None if wet is None else wet * 1.8 + 32,
        runs=runs,
        heat_kW=heat,
        cop=cop,
        electric_kW=electric,
        cools_kW=cools,
        room_ft3=room_ft3,
    )


def _room_ft3(heater: Heater, house: House) -> float | None:
    room = next((r for r in house.rooms if r.id == heater.room), None)
    level = next((lv for lv in house.levels if room and lv.id == room.level), None)
    return room_area_ft2(room) * level.ceiling_height_ft if room and level else None


def _say_air(heater: Heater, runs: bool, notes: Notes) -> None:
    least, most = value("heat_pump_least_air"), value("heat_pump_most_air")
    notes.say(
        "heat-pump-air",
        heater.id,
        "the air of a heat pump is within what its compressor takes",
        Verdict.MEETS if runs else Verdict.MISSES,
        source("heat_pump_least_air"),
        got=f"{heater.air_F:g} F, {heater.air_humidity_percent:g} % relative humidity",
        allowed=f"{least:g} to {most:g} F",
        fix="warmer air or a duct; below this the elements do all the work",
    )


def _say_room(heater: Heater, room_ft3: float | None, house: House, notes: Notes) -> None:
    """Air volume and noise of a heat pump's room."""
    needed = value("heat_pump_air_ft3")
    if not heater.ducted and room_ft3 is not None:
        notes.say(
            "heat-pump-room",
            heater.id,
            "a heat pump without ducts stands in enough air",
            Verdict.MEETS if room_ft3 >= needed else Verdict.MISSES,
            source("heat_pump_air_ft3"),
            got=f"{room_ft3:,.0f} ft3 in {heater.room}",
            allowed=f">= {needed:,.0f} ft3",
            fix="a louvered door to a larger room, ducts (two holes in the air barrier), or another room",
        )
    room = next((r for r in house.rooms if r.id == heater.room), None)
    most = value("heat_pump_noise_dBA")
    if heater.noise_dBA is not None or (room and room.kind in QUIET_ROOMS):
        loud = heater.noise_dBA is not None and heater.noise_dBA > most
        notes.say(
            "heat-pump-noise",
            heater.id,
            "a heat pump is quiet enough for the rooms round it (a wish, not the code)",
            Verdict.CANNOT_SAY if heater.noise_dBA is None else Verdict.MISSES if loud else Verdict.MEETS,
            source("heat_pump_noise_dBA"),
            got=f"{heater.noise_dBA:g} dBA" if heater.noise_dBA is not None else "sound level not given",
            allowed=f"<= {most:g} dBA",
            fix="a quieter heater, or a room away from where people sleep"
            if loud
            else "enter noise_dBA from its data sheet",
        )


def day_of(
    heater: Heater, need: HeaterNeed, air: HeatPumpAir | None, chosen: str, ua: float, notes: Notes
) -> TankDay | None:
    """A tank through its day; None for a heater without tank or one that the mains water needs not."""
    if heater.kind in INSTANT or heater.volume_gal <= 0 or need.rise_dF <= 0:
        return None
    pattern = pattern_of(heater, chosen, need.first_hour_gal)
    run = tank_day(_tank(heater, need, air, ua), rules_tank.draws(pattern), need.cold_F)
    coldest = float(np.nanmin(run.out_F)) if run.drawn_gal.any() else None
    mixed = _hot_enough_F(heater)
    short = float(run.drawn_gal[(run.out_F < mixed - 1e-6) & (run.drawn_gal > 0)].sum())
    _told_day(heater, run, pattern, need.heat_kW, coldest, short, notes)
    steps = MINUTES // STEP_MIN
    return TankDay(
        heater=heater.id,
        pattern=pattern,
        drawn_gal=float(run.drawn_gal.sum()),
        heat_kWh=run.heat_kWh,
        electric_kWh=run.electric_kWh,
        element_kWh=run.element_kWh,
        delivered_kWh=run.delivered_kWh,
        standby_kWh=run.standby_kWh,
        stored_kWh=run.stored_kWh,
        balance_percent=run.balance_percent,
        cooled_kWh=0.0 if heater.ducted else run.heat_kWh - run.electric_kWh,
        lowest_F=coldest,
        short_gal=short,
        peak_kW=float(run.power_kW.max()),
        step_min=STEP_MIN,
        top_F=_kept(run.top_F[STEP_MIN - 1 :: STEP_MIN], 3),
        bottom_F=_kept(run.bottom_F[STEP_MIN - 1 :: STEP_MIN], 3),
        power_kW=_kept(run.power_kW.reshape(steps, STEP_MIN).mean(axis=1), 5),
        drawn_by_step_gal=_kept(run.drawn_gal.reshape(steps, STEP_MIN).sum(axis=1), 5),
    )


def _hot_enough_F(heater: Heater) -> float:
    """Water that people can mix for showers; of a tank that is set lower, its set point less the thermostat's band."""
    return min(value("mixed_F"), heater.setpoint_F - value("thermostat_band"))


def _kept(values: np.ndarray, digits: int) -> tuple[float, ...]:
    """A series for the picture: as many digits as it can show, so that every machine stores the same."""
    return tuple(round(float(v), digits) + 0.0 for v in values)


def _tank(heater: Heater, need: HeaterNeed, air: HeatPumpAir | None, ua: float) -> Tank:
    """The tank of a heater: one element in a small one, two in others; a heat pump takes the place of the lower."""
    pump = heater.heat_kW if air is not None and air.runs and heater.heat_kW is not None else 0.0
    both = heater.elements == "together"
    single = heater.kind == "point_of_use_storage"
    each = need.heat_kW / 2 if both and not single and not pump else need.heat_kW
    tested = heater.cop or (heater.uef if heater.uef is not None and heater.uef > 1 else value("heat_pump_cop"))
    return Tank(
        volume_gal=heater.volume_gal,
        setpoint_F=heater.setpoint_F,
        ua_Btu=ua,
        air_F=heater.air_F,
        lower_kW=each,
        upper_kW=0.0 if single else each,
        together=both,
        pump_kW=pump,
        pump_cop=tested,
        air_humidity_percent=heater.air_humidity_percent,
        parts=int(value("tank_parts")),
    )


def _told_duty(heater: Heater, run: TankRun, kW: float, notes: Notes) -> None:
    """Share of the day that elements of this power would run for the heat of the day."""
    standby_W = max(0.0, run.standby_kWh) * 1000 / 24
    try:
        share = rules_tank.duty(run.delivered_kWh, standby_W, kW)
    except RangeError:
        return  # it cannot keep up; the tank's temperatures tell that
    said = f"({run.delivered_kWh:.3f} + {max(0.0, run.standby_kWh):.3f}) / 24 / {kW:g}"
    notes.working.append(
        line(f"{heater.id}: share of the day its elements alone would run", said, share, "", rules_tank.duty)
    )


def _told_day(
    heater: Heater, run: TankRun, pattern: str, kW: float, coldest: float | None, short: float, notes: Notes
) -> None:
    said = f"{run.delivered_kWh:.3f} drawn + {run.standby_kWh:.3f} lost + {run.stored_kWh:.3f} more in the tank"
    heat = math.fsum((run.delivered_kWh, run.standby_kWh, run.stored_kWh))
    notes.working.append(line(f"{heater.id}: heat of a day, pattern {pattern}", said, heat, "kWh", tank_day))
    _told_duty(heater, run, kW, notes)
    mixed = _hot_enough_F(heater)
    notes.say(
        "tank-day",
        heater.id,
        "a tank stays hot through a day of test draws with the coldest mains",
        Verdict.MISSES if short > 0 else Verdict.MEETS,
        cite(tank_day),
        got=f"{coldest:.0f} F at the coldest, {short:.1f} gal below {mixed:g} F" if coldest is not None else "no draw",
        allowed=f">= {mixed:g} F",
        fix="a larger tank, a stronger element, a higher set point with a mixing valve, or draws spread over the day",
    )
