"""A tank in equal parts, one above the other, through a day of draws, minute by minute.

Water enters below and leaves above; a warmer part below a colder one mixes with it; each part loses heat to the air.
Every heat is booked where it arises, so that what went in, out, and stayed can be compared.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from hpelec.common.rules_water import flow_heat_kW
from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.steps.hotwater import rules_tank
from hpelec.steps.hotwater.values import value

Series = NDArray[np.float64]
MINUTES = 1440
SETTLED_F = 1e-9
PUMP_LOOKED_UP_MIN = 5


@dataclass(frozen=True, slots=True)
class Tank:
    """A tank and how it is heated. lower_kW, upper_kW: elements, 0 for none. pump_kW: heat pump at test conditions."""

    volume_gal: float
    setpoint_F: float
    ua_Btu: float
    air_F: float
    lower_kW: float
    upper_kW: float
    together: bool = False
    pump_kW: float = 0.0
    pump_cop: float = 1.0
    air_humidity_percent: float = 50.0
    parts: int = 12


@dataclass(frozen=True, slots=True, eq=False)
class TankRun:
    """One day: by minute, and the sums. Heat of water is counted from the entering temperature."""

    top_F: Series
    bottom_F: Series
    power_kW: Series
    drawn_gal: Series
    out_F: Series
    heat_kWh: float
    electric_kWh: float
    element_kWh: float
    delivered_kWh: float
    standby_kWh: float
    stored_kWh: float

    @property
    def balance_percent(self) -> float:
        """Heat put in less drawn, lost and stored, over the largest of them."""
        left = self.heat_kWh - self.delivered_kWh - self.standby_kWh - self.stored_kWh
        most = max(abs(self.heat_kWh), abs(self.delivered_kWh), abs(self.standby_kWh), abs(self.stored_kWh))
        return 100 * left / most if most else 0.0


class _Day:
    """The state of the tank on its way through the day. Plain lists: a dozen parts are too few for arrays to pay."""

    def __init__(self, tank: Tank, cold_F: float) -> None:
        self.tank, self.cold_F = tank, cold_F
        self.part_gal = tank.volume_gal / tank.parts
        self.heat = flow_heat_kW() / 60 * self.part_gal  # kWh that warms one part by one degree
        self.decay = tank.ua_Btu / rules_tank.BTU_PER_KWH / (self.heat * tank.parts) / 60  # a minute
        self.t = [tank.setpoint_F] * tank.parts  # from the bottom up
        self.bottom = int(value("lower_element_at") * tank.parts)
        self.low = int(value("lower_thermostat_at") * tank.parts)
        self.high = int(value("upper_element_at") * tank.parts)
        self.band = value("thermostat_band")
        self.call = value("element_call_band") if tank.pump_kW else self.band
        self.lower_on = self.upper_on = False
        self.pump_age, self.pump_heat_kW, self.pump_cop = PUMP_LOOKED_UP_MIN, 0.0, 1.0
        self.booked = dict.fromkeys(("heat", "electric", "element", "delivered", "standby"), 0.0)

    def draw(self, gal: float) -> float:
        """Push `gal` through the tank, part by part; the temperature that leaves."""
        left, warmth = gal, 0.0
        while left > 0:
            share = min(left / self.part_gal, 1.0)
            warmth += share * self.part_gal * self.t[-1]
            below = [self.cold_F, *self.t[:-1]]
            self.t = [at + share * (under - at) for at, under in zip(self.t, below, strict=True)]
            left -= self.part_gal
        self.booked["delivered"] += flow_heat_kW() / 60 * (warmth - gal * self.cold_F)
        return warmth / gal

    def switch(self) -> None:
        """Thermostats: each goes on below its band and off at the set point; an interlock lets the upper one first."""
        set_F = self.tank.setpoint_F
        self.upper_on = self.tank.upper_kW > 0 and (self.upper_on or self.t[self.high] < set_F - self.call)
        self.lower_on = self.lower_on or self.t[self.low] < set_F - self.band

    def warm(self) -> float:
        """One minute of whatever is on; the mean electrical power [kW]."""
        tank, power = self.tank, 0.0
        if self.upper_on:
            power += self._element(self.high, tank.upper_kW)
        if self.lower_on and (tank.together or not self.upper_on):
            power += self._pump() if tank.pump_kW else self._element(self.bottom, tank.lower_kW)
        reached = tank.setpoint_F - SETTLED_F
        self.upper_on = self.upper_on and self.t[self.high] < reached
        self.lower_on = self.lower_on and self.t[self.low] < reached
        return power

    def _element(self, part: int, kW: float) -> float:
        set_F = self.tank.setpoint_F
        given = min(kW / 60, self.heat * sum(set_F - at for at in self.t[part:] if at < set_F))
        self.t[part] += given / self.heat
        self.settle()
        for name in ("heat", "electric", "element"):
            self.booked[name] += given
        return given * 60

    def _pump(self) -> float:
        """The heat pump warms the lower half, the colder parts the more; what that cannot take rises."""
        set_F, half = self.tank.setpoint_F, self.tank.parts // 2 or 1
        wants = [max(0.0, set_F - at) for at in self.t]
        below = sum(wants[:half])
        self._look_up_pump(sum(self.t[:half]) / half)
        given = min(self.pump_heat_kW / 60, self.heat * sum(wants))
        share = min(1.0, given / self.heat / below) if below > 0 else 0.0
        over = (given / self.heat - share * below) / half
        self.t[:half] = [at + share * want + over for at, want in zip(self.t[:half], wants[:half], strict=True)]
        self.settle()
        self.booked["heat"] += given
        self.booked["electric"] += given / self.pump_cop
        return given * 60 / self.pump_cop

    def _look_up_pump(self, water_F: float) -> None:
        """Heat and COP at the water's temperature, which changes slowly: anew every few minutes."""
        self.pump_age += 1
        if self.pump_age >= PUMP_LOOKED_UP_MIN:
            tank = self.tank
            air = (tank.air_F, tank.air_humidity_percent, max(32.0, water_F))
            self.pump_heat_kW = max(0.0, tank.pump_kW * rules_tank.heat_pump_factor("capacity", *air))
            self.pump_cop = max(1.0, tank.pump_cop * rules_tank.heat_pump_factor("cop", *air))
            self.pump_age = 0

    def settle(self) -> None:
        """Mix until no part is warmer than the one above it; heat is kept."""
        t = self.t
        if all(below <= above for below, above in itertools.pairwise(t)):
            return
        pools: list[tuple[float, int]] = []
        for at in t:
            mean, count = at, 1
            while pools and pools[-1][0] > mean:
                below, n = pools.pop()
                mean, count = (below * n + mean * count) / (n + count), n + count
            pools.append((mean, count))
        self.t = [mean for mean, count in pools for _ in range(count)]

    def lose(self, minutes: int) -> None:
        """Standing loss of some minutes."""
        gone, air = -math.expm1(-self.decay * minutes), self.tank.air_F
        self.booked["standby"] += self.heat * gone * (sum(self.t) - air * len(self.t))
        self.t = [at - gone * (at - air) for at in self.t]

    def quiet_min(self, at: int, next_draw: int) -> int:
        """Minutes from `at` in which nothing can happen but standing loss."""
        quiet = next_draw - at
        tank = self.tank
        for part, band, there in ((self.low, self.band, True), (self.high, self.call, tank.upper_kW > 0)):
            limit, above = tank.setpoint_F - band - tank.air_F, self.t[part] - tank.air_F
            if there and above <= limit:
                return 0
            if there and limit > 0 and self.decay > 0:
                quiet = int(min(quiet, math.log(above / limit) / self.decay))
        return max(quiet, 0)


@rule(
    "stratified tank by the minute", source="energy balance",
    locator="plug flow, equal parts, mixing where it would turn over",
    accuracy="recomputed",
)  # fmt: skip
def tank_day(tank: Tank, draws: tuple[tuple[float, float, float], ...], cold_F: float) -> TankRun:
    """A day that begins with the whole tank at its set point.

    draws: start [min of the day, 0 to below 1440], volume [gal, > 0], flow [gal/min, > 0]; they may overlap; what would
    run past the end of the day is drawn before it. tank: volume > 0, set point above cold_F, loss and powers >= 0.
    """
    in_range("volume_gal", tank.volume_gal, above=0)
    in_range("setpoint_F", tank.setpoint_F, above=in_range("cold_F", cold_F))
    for name in ("ua_Btu", "lower_kW", "upper_kW", "pump_kW"):
        in_range(name, getattr(tank, name), low=0)
    if tank.parts < 1:
        raise RangeError(f"parts must be >= 1, got {tank.parts}")
    return _tank_day(tank, tuple(draws), cold_F)


@lru_cache(maxsize=64)
def _tank_day(tank: Tank, draws: tuple[tuple[float, float, float], ...], cold_F: float) -> TankRun:
    drawn = _by_minute(draws)
    wet = [*np.nonzero(drawn)[0].tolist(), MINUTES]
    day = _Day(tank, cold_F)
    start = sum(day.t)
    by_minute = np.zeros((5, MINUTES))
    by_minute[4] = np.nan
    minute, upcoming = 0, 0
    while minute < MINUTES:
        while wet[upcoming] < minute:
            upcoming += 1
        out_F = day.draw(float(drawn[minute])) if drawn[minute] else math.nan
        day.switch()
        power = day.warm() if day.lower_on or day.upper_on else 0.0
        day.lose(1)
        _note(by_minute, minute, day, power, out_F)
        minute += 1
        if not (day.lower_on or day.upper_on) and minute < MINUTES:
            quiet = day.quiet_min(minute, next(w for w in wet[upcoming:] if w >= minute))
            if quiet:
                before = day.t
                day.lose(quiet)
                _note_quiet(by_minute, minute, quiet, day, before)
                minute += quiet
    by_minute[3] = drawn
    top, bottom, power_kW, drawn_gal, out = by_minute
    booked = day.booked
    stored = day.heat * (sum(day.t) - start)
    return TankRun(
        top, bottom, power_kW, drawn_gal, out,
        booked["heat"], booked["electric"], booked["element"], booked["delivered"], booked["standby"], stored,
    )  # fmt: skip


def _note(by_minute: Series, minute: int, day: _Day, power: float, out_F: float) -> None:
    by_minute[:3, minute] = day.t[-1], day.t[0], power
    by_minute[4, minute] = out_F


def _note_quiet(by_minute: Series, minute: int, quiet: int, day: _Day, before: list[float]) -> None:
    """Fill the minutes of a quiet stretch: every part nears the air at the same rate."""
    share = np.exp(-day.decay * np.arange(1, quiet + 1))
    air = day.tank.air_F
    for row, at in ((0, before[-1]), (1, before[0])):
        by_minute[row, minute : minute + quiet] = air + (at - air) * share


def _by_minute(draws: tuple[tuple[float, float, float], ...]) -> Series:
    """Gallons drawn in each minute of the day."""
    drawn = np.zeros(MINUTES)
    for start, volume, flow in draws:
        in_range("start_min", start, low=0, high=MINUTES - 1)
        in_range("volume_gal", volume, above=0)
        in_range("flow_gpm", flow, above=0)
        begin, end = start, min(start + volume / flow, MINUTES)
        pace = volume / (end - begin)
        for minute in range(int(begin), math.ceil(end)):
            drawn[minute] += pace * (min(end, minute + 1) - max(begin, minute))
    return drawn
