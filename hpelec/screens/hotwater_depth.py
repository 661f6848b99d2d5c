"""What if a heater were another one: the next size, or a tank with a heat pump; amperes and shower at once."""

from __future__ import annotations

import html
from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from hpelec.core.working import show_number
from hpelec.house.rows_loads import Heater
from hpelec.plan import Plan
from hpelec.report.hotwater_charts import tank_day_chart
from hpelec.screens.safely import shown, status
from hpelec.screens.showing import html_table
from hpelec.steps.hotwater.rules_sizing import sizes

WIDE = {"description_width": "initial"}
AS_IT_IS, DOWN, UP, PUMP, TANK = (
    "as it is", "the next size down", "the next size up", "a heat-pump tank", "a tank with elements",
)  # fmt: skip
CHOICES = (AS_IT_IS, DOWN, UP, PUMP, TANK)
TANK_VA = 4500.0


def other_heater(heater: Heater, choice: str, volume_gal: float, heat_kW: float, hottest_F: float) -> Heater:
    """The heater that a choice makes of this one. ValueError where there is no next size.

    volume_gal, heat_kW: of the new tank and its heat pump. hottest_F: what its points want, which a tank must reach.
    """
    if choice == AS_IT_IS:
        return heater
    if choice in (DOWN, UP):
        return _next_size(heater, up=choice == UP)
    return replace(
        heater,
        kind="heat_pump_storage" if choice == PUMP else "storage",
        power_VA=TANK_VA,
        voltage_V=240.0,
        volume_gal=volume_gal,
        setpoint_F=max(heater.setpoint_F, min(hottest_F, 180.0), 120.0),
        first_hour_gal=None,
        max_flow_gpm=None,
        heat_kW=heat_kW if choice == PUMP else None,
        uef=None,
        cop=None,
        interlock="",
    )


def _next_size(heater: Heater, *, up: bool) -> Heater:
    instant = heater.kind.endswith("tankless")
    steps = [kW * 1000 if instant else gal for kW, gal in sizes("tankless" if instant else "storage")]
    now = heater.power_VA if instant else heater.volume_gal
    beyond = [s for s in steps if (s > now if up else s < now)]
    if not beyond:
        raise ValueError(f"{heater.id} is the {'largest' if up else 'smallest'} of the common sizes")
    size = min(beyond) if up else max(beyond)
    return replace(heater, power_VA=size) if instant else replace(heater, volume_gal=size, first_hour_gal=None)


def shower_F(plan: Plan, heater: str) -> float | None:
    """What arrives at the points of a heater on the coldest day.

    Without tank: the mean at the fixtures at the peak flow. With a tank: what is wanted, or what left the tank at
    its coldest in the day of draws if that is less.
    """
    need = next(h for h in plan.hotwater.heaters if h.heater == heater)
    day = next((d for d in plan.hotwater.tank_days if d.heater == heater), None)
    if day is None:
        return None if need.fixture_F is None else float(need.fixture_F)
    wanted = [p.use_F for p in plan.house.draw_points if p.heater == heater and p.at_peak]
    return None if day.lowest_F is None or not wanted else float(min(max(wanted), day.lowest_F))


class OtherHeater:
    """A heater of the house in another size or kind, beside what it is."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        kept = [h for h in plan.house.heaters if h.status != "removed"]
        self.rows = widgets.Dropdown(
            options=[(f"{h.id}: {h.name}", h.id) for h in kept], description="heater", style=WIDE
        )
        self.choice = widgets.Dropdown(options=CHOICES, value=CHOICES[1], description="were", style=WIDE)
        self.volume = widgets.BoundedFloatText(
            value=65, min=20, max=120, step=5, description="tank, gal", style=WIDE, layout={"width": "13em"}
        )
        self.heat = widgets.BoundedFloatText(
            value=1.4,
            min=0.5,
            max=5,
            step=0.1,
            description="heat pump, kW of heat",
            style=WIDE,
            layout={"width": "16em"},
        )
        self.said, self.table, self.drawing = widgets.HTML(), widgets.HTML(), widgets.HTML()
        for control in (self.rows, self.choice, self.volume, self.heat):
            control.observe(shown(self.said)(self._changed), names="value")
        heading = widgets.HTML("<b>What if</b> a heater were another one? Tank and heat pump: your own values.")
        controls = [self.rows, self.choice, widgets.HBox([self.volume, self.heat])]
        self.box = widgets.VBox([heading, *controls, self.said, self.table, self.drawing])
        shown(self.said)(self._changed)()

    def tried(self) -> Plan:
        """The plan with the chosen heater in the chosen form."""
        house, name = self.plan.house, self.rows.value
        hottest = max((p.use_F for p in house.draw_points if p.heater == name), default=0.0)
        rows = tuple(
            other_heater(h, self.choice.value, self.volume.value, self.heat.value, hottest) if h.id == name else h
            for h in house.heaters
        )
        return self.plan.redesign(house.changed(heaters=rows))

    def _changed(self, _event: Any = None) -> None:
        self.said.value = self.table.value = self.drawing.value = ""
        if self.rows.value is None:
            self.said.value = status("There is no water heater in this house.")
            return
        then = self.tried()
        rows = [(html.escape(what), *(_number(told(p)) for p in (self.plan, then))) for what, told in self._tells()]
        self.table.value = html_table(("", "as it is", self.choice.value), rows)
        day = next((d for d in then.hotwater.tank_days if d.heater == self.rows.value), None)
        self.drawing.value = tank_day_chart(then, day).img if day else ""
        self.said.value = status(f"{self.rows.value} tried as {self.choice.value}.")

    def _tells(self) -> list[tuple[str, Any]]:
        name = self.rows.value

        def need(plan: Plan) -> Any:
            return next(h for h in plan.hotwater.heaters if h.heater == name)

        tells: list[tuple[str, Any]] = [
            ("nameplate, kW", lambda p: need(p).nameplate_kW),
            ("its current, A", lambda p: need(p).current_A),
            ("all heaters together, A", lambda p: p.hotwater.all_on_A),
            ("arrives at its points on the coldest day, F", lambda p: shower_F(p, name)),
            ("peak flow lasts, min (tanks)", lambda p: need(p).sustained_min),
            ("too small for the coldest day", lambda p: "yes" if need(p).undersized else "no"),
        ]
        if "service" in self.plan.results:
            tells.append(("design load of the house, A", lambda p: p.service.design_A))
        return tells


def _number(value: Any) -> str:
    return "" if value is None else html.escape(value if isinstance(value, str) else show_number(round(value, 2)))


def other_heater_what_if(plan: Plan) -> widgets.VBox:
    """One heater of the house as the next size, a heat-pump tank or a tank: amperes and what arrives, at once."""
    return OtherHeater(plan).box
