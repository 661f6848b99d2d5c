"""What if a heater were smaller, a heat-pump tank, locked to another, or held to a set point: amperes and showers."""

from __future__ import annotations

import html
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import ipywidgets as widgets

from hpelec.core.tables import table
from hpelec.core.working import show_number
from hpelec.house.model import House
from hpelec.house.rows_loads import Heater
from hpelec.house.sections_power import EnergyManagement
from hpelec.plan import Plan, design
from hpelec.report.control_drawing import exceedance
from hpelec.screens.safely import shown, status
from hpelec.screens.showing import html_table
from hpelec.steps.coincidence.rules_control import made_up_later
from hpelec.steps.coincidence.words import period_words

WIDE = {"description_width": "initial"}
SAME, HEAT_PUMP = "as it is", "heat-pump tank"
NAME = "tried set point"
LOCK = "tried interlock"
Choices = tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Tried:
    """What is tried on the house: every part may be left as it is.

    heater: id of a water heater. power_VA: its new nameplate. heat_pump: it becomes a heat-pump tank. locked: ids of
    two water heaters of which one runs at a time. set_A: set point on the service for the loads that can wait.
    """

    heater: str = ""
    power_VA: float | None = None
    heat_pump: bool = False
    locked: tuple[str, str] | None = None
    set_A: float | None = None


@cache
def sizes_VA(kind: str) -> tuple[float, ...]:
    """Usual nameplates of a kind of water heater, rising."""
    listed = kind.removeprefix("point_of_use_")
    if listed == "tankless":
        rated_kW = {r.number("rated_kW") for r in table("hotwater/heater_sizes").where(kind=listed)}
    else:
        rated_kW = {r.number("power_kW") for r in table("coincidence/tried_heaters").where(kind=listed)}
    return tuple(sorted(1000 * kW for kW in rated_kW))


def next_smaller_VA(heater: Heater) -> float:
    """The next usual size below; its own when there is none."""
    return max((s for s in sizes_VA(heater.kind) if s < heater.power_VA - 1e-6), default=heater.power_VA)


def tried_house(house: House, tried: Tried) -> House:
    """The house with what is tried."""
    heaters = list(house.heaters)
    for i, heater in enumerate(heaters):
        if heater.id == tried.heater:
            heaters[i] = _as_heat_pump(heater) if tried.heat_pump else heater
            if tried.power_VA is not None and not tried.heat_pump:
                heaters[i] = replace(heater, power_VA=tried.power_VA)
    changed = house.changed(heaters=tuple(heaters))
    if tried.locked is not None and tried.locked[0] != tried.locked[1]:
        changed = _locked(changed, tried.locked)
    return changed if tried.set_A is None else _within(changed, tried.set_A)


def _locked(house: House, ids: tuple[str, str]) -> House:
    """Two heaters under one interlock, with all that shared an interlock with either before."""
    named = {h.interlock for h in house.heaters if h.id in ids and h.interlock}

    def under(row: Any) -> Any:
        return replace(row, interlock=LOCK) if row.interlock in named else row

    heaters = tuple(replace(h, interlock=LOCK) if h.id in ids else under(h) for h in house.heaters)
    return house.changed(heaters=heaters, appliances=tuple(under(a) for a in house.appliances))


def _as_heat_pump(heater: Heater) -> Heater:
    row = table("coincidence/tried_heaters").one(kind="heat_pump_storage")
    return replace(
        heater,
        kind="heat_pump_storage",
        power_VA=1000 * row.number("power_kW"),
        heat_kW=row.number("heat_kW"),
        volume_gal=row.number("volume_gal"),
        voltage_V=240.0 if heater.voltage_V == 120.0 else heater.voltage_V,
        max_flow_gpm=None,
        first_hour_gal=None,
    )


def _within(house: House, set_A: float) -> House:
    """The loads that can wait, and those managed now, under one set point on the service, its access restricted."""

    def under(row: Any) -> Any:
        waits = not row.building and (bool(row.managed_by) or made_up_later(row.kind))
        return replace(row, managed_by=NAME if waits else "")

    limit = EnergyManagement(id=NAME, kind="service", setpoint_A=set_A, restricted_access=True)
    return house.changed(
        heaters=tuple(under(h) for h in house.heaters),
        appliances=tuple(under(a) for a in house.appliances),
        energy_managements=(limit,),
    )


def outcome(plan: Plan) -> list[tuple[str, str]]:
    """What matters of a plan in words: amperes, how often the main is overloaded, what comes out of the showers."""
    found, control = plan.coincidence, plan.coincidence.control
    main = "no main is known" if found.main_A is None else f"main {found.main_A:g} A"
    over = [r for r in control.levels if r.level_A == found.main_A]
    often = period_words(over[0].controlled_return_years) if over else "never" if found.main_A else "cannot say"
    if (
        over
        and control.service_set_A is not None
        and found.main_A is not None
        and found.main_A <= control.service_set_A
    ):
        often = "not worked out below a set point"
    waits = sum(r.held_min + r.limited_min for r in control.held) / 60
    rows = [
        ("load by the code", f"{found.code_A:.1f} A"),
        ("everything on at once, as far as it can", f"{control.largest_A:.0f} A"),
        ("exceeded for 1 % of the year", f"{control.p99_A:.1f} A"),
        ("the main is overloaded", f"{often} ({main})"),
        ("a load waits or is turned down", f"{waits:.1f} h a year"),
    ]
    return rows + _showers(plan)


def _showers(plan: Plan) -> list[tuple[str, str]]:
    """Water at the fixtures of each heater in the busiest minutes of the coldest day."""
    rows = []
    colder = {r.load: r.most_lost_dF for r in plan.coincidence.control.held if r.most_lost_dF}
    for need in plan.hotwater.heaters:
        heat = need.fixture_F if need.fixture_F is not None else need.delivered_F
        if heat is not None:
            said = f"{heat:.0f} F"
        elif need.recovery_gph is None:
            said = "nothing asked"
        elif need.sustained_min is None:
            said = "warm without end"
        else:
            said = f"warm for {need.sustained_min:.0f} min"
        if need.heater in colder:
            said += f"; up to {colder[need.heater]:.0f} F colder while turned down"
        rows.append((f"busiest minutes, coldest day: {need.heater}", said))
    return rows


class ControlTry:
    """Choices for one heater, an interlock and a set point; amperes, overload and showers now and as tried."""

    def __init__(self, plan: Plan) -> None:
        self.plan = design(plan.house, plan.edition, only=("coincidence",), before=plan)
        heaters = [h for h in plan.house.heaters if h.status != "removed"]
        ids = [(f"{h.id}: {h.name}", h.id) for h in heaters]
        self.heater = widgets.Dropdown(options=ids, description="heater", style=WIDE)
        self.size = widgets.Dropdown(options=[(SAME, 0.0)], value=0.0, description="becomes", style=WIDE)
        nobody = [("none", ""), *ids]
        self.first = widgets.Dropdown(options=nobody, value="", description="lock together", style=WIDE)
        self.second = widgets.Dropdown(options=nobody, value="", description="and", style=WIDE)
        top = plan.coincidence.main_A or plan.coincidence.largest_A
        self.set_point = widgets.FloatSlider(
            value=0.0, min=0.0, max=max(5.0, 5 * round(top / 5)), step=5.0, style=WIDE, layout={"width": "36em"},
            description="set point on the service, A (0: none)",
        )  # fmt: skip
        self.said, self.table, self.drawing = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self._sizes()
        self.heater.observe(shown(self.said)(self._other_heater), names="value")
        for control in (self.size, self.first, self.second, self.set_point):
            control.observe(shown(self.said)(self._moved), names="value")
        heading = widgets.HTML(
            "<b>What if</b> a heater were another one, two were locked together, or loads had to wait?"
        )
        rows = [widgets.HBox([self.heater, self.size]), widgets.HBox([self.first, self.second]), self.set_point]
        self.box = widgets.VBox([heading, *rows, self.said, self.table, self.drawing])
        self._moved()

    def _sizes(self) -> None:
        """The sizes that the chosen heater may become."""
        row = next((h for h in self.plan.house.heaters if h.id == self.heater.value), None)
        options = [(SAME, 0.0)]
        if row is not None:
            smaller = next_smaller_VA(row)
            options += [
                (f"{s / 1000:g} kW" + (" (next smaller)" if s == smaller else ""), s)
                for s in sizes_VA(row.kind)
                if s != row.power_VA
            ]
            options += [] if row.kind == "heat_pump_storage" else [(HEAT_PUMP, -1.0)]
        self.size.options = options

    def _other_heater(self, _event: Any = None) -> None:
        self.size.value = 0.0
        self._sizes()
        self._moved()

    def tried(self) -> Tried:
        """What the controls say."""
        both = (self.first.value, self.second.value)
        return Tried(
            heater=self.heater.value or "",
            power_VA=self.size.value if self.size.value > 0 else None,
            heat_pump=self.size.value < 0,
            locked=both if all(both) and both[0] != both[1] else None,
            set_A=self.set_point.value or None,
        )

    def _moved(self, _event: Any = None) -> None:
        self.said.value = self.table.value = self.drawing.value = ""
        tried = self.tried()
        then = self.plan.redesign(tried_house(self.plan.house, tried))
        self.table.value = _table(outcome(self.plan), outcome(then))
        self.drawing.value = exceedance(then.coincidence).img
        self.said.value = status(f"{_words(tried)}; recomputed: {', '.join(then.recomputed) or 'nothing'}.")


def _table(now: Sequence[tuple[str, str]], then: Sequence[tuple[str, str]]) -> str:
    told = dict(now)
    rows = [tuple(html.escape(t) for t in (name, told.get(name, ""), value)) for name, value in then]
    return html_table(("", "now", "tried"), rows)


def _words(tried: Tried) -> str:
    said = []
    if tried.heat_pump:
        said.append(f"{tried.heater} as a heat-pump tank")
    elif tried.power_VA is not None:
        said.append(f"{tried.heater} with {show_number(tried.power_VA / 1000)} kW")
    if tried.locked is not None:
        said.append(f"{' and '.join(tried.locked)} locked together")
    if tried.set_A is not None:
        said.append(f"set point {tried.set_A:g} A")
    return ", ".join(said) or "nothing changed"


def control_try(plan: Plan) -> widgets.VBox:
    """Try a smaller heater, a heat-pump tank, an interlock, a set point, and see amperes and showers at once."""
    return ControlTry(plan).box
