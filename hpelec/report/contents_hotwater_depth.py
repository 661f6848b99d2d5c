"""Tables of hot water beside the coldest day: months, sizes, sets, pipes, heat pumps, tank days, layouts."""

from __future__ import annotations

from hpelec.report.charts import MONTHS
from hpelec.report.contents_base import Shown, words
from hpelec.report.tables import Column, Grid


class HotWaterTables(Shown):
    """Tables of the step hotwater in depth."""

    def _heater(self, name: str) -> str:
        return next((h.name for h in self.plan.house.heaters if h.id == name), name)

    def _point(self, name: str) -> str:
        return next((p.name for p in self.plan.house.draw_points if p.id == name), name)

    def heater_months(self) -> Grid:
        """Each heater on the coldest day of each month."""
        return self.grid(
            "Heaters on the coldest day of each month",
            self.plan.hotwater.months,
            Column("Heater", lambda r: self._heater(r.heater)),
            Column("Month", lambda r: MONTHS[r.month - 1]),
            Column("Mains", lambda r: r.cold_F, "F", 1),
            Column("Peak flow", lambda r: r.peak_flow_gpm, "gpm", 2),
            Column("Heat needed", lambda r: r.needed_kW, "kW", 1),
            Column("Leaves it", lambda r: r.delivered_F, "F", 1),
            Column("At the fixtures", lambda r: r.fixture_F, "F", 1),
            Column("First hour by volume and recovery", lambda r: r.first_hour_gal, "gal", 0),
        )

    def heater_sizes(self) -> Grid:
        """The size that each need asks for."""
        return self.grid(
            "Size that the need asks for, and the next size down",
            self.plan.hotwater.sizes,
            Column("Heater", lambda r: self._heater(r.heater)),
            Column("Sized by", lambda r: r.asked),
            Column("Rating that covers it", lambda r: r.size_kW, "kW", 1),
            Column("Volume that covers it", lambda r: r.size_gal, "gal", 0),
            Column("Next size down", lambda r: r.smaller_kW, "kW", 1),
            Column("Its current", lambda r: r.smaller_A, "A", 1),
            Column("Water would leave it at", lambda r: r.smaller_delivered_F, "F", 1),
            Column("At the fixtures", lambda r: r.smaller_fixture_F, "F", 1),
        )

    def runs_together(self) -> Grid:
        """What can run together from each heater."""
        return self.grid(
            "What runs together at full temperature on the coldest day (no other point can be added)",
            self.plan.hotwater.together,
            Column("Heater", lambda r: self._heater(r.heater)),
            Column("Points of use", lambda r: ", ".join(self._point(p) for p in r.points)),
            Column("Flow taken", lambda r: r.used if r.unit == "gpm" else None, "gpm", 2),
            Column("Flow at full rise", lambda r: r.limit if r.unit == "gpm" else None, "gpm", 2),
            Column("Taken in an hour", lambda r: r.used if r.unit == "gal" else None, "gal", 0),
            Column("First hour", lambda r: r.limit if r.unit == "gal" else None, "gal", 0),
            Column("All that is marked at peak", lambda r: r.all_at_peak),
        )

    def pipe_runs(self) -> Grid:
        """The pipe of each point."""
        return self.grid(
            "Pipes from heater to fixture",
            self.plan.hotwater.pipes,
            Column("Point of use", lambda r: self._point(r.point)),
            Column("Heater", lambda r: self._heater(r.heater)),
            Column("Holds", lambda r: r.held_gal, "gal", 2),
            Column("Least wait", lambda r: r.wait_s, "s", 0),
            Column("Stays hot", lambda r: r.stays_hot_min, "min", 0),
            Column("Cold starts a day", lambda r: r.cold_starts_per_day, "", 1),
            Column("Run off in a year", lambda r: r.wasted_gal_per_year, "gal", 0),
            Column("Left to cool in a year", lambda r: r.left_kWh_per_year, "kWh", 0),
        )

    def heat_pump_airs(self) -> Grid:
        """Heat-pump tanks in their air."""
        return self.grid(
            "Heat pumps in the air of their rooms",
            self.plan.hotwater.heat_pumps,
            Column("Heater", lambda r: self._heater(r.heater)),
            Column("Runs in this air", lambda r: r.runs),
            Column("Wet bulb", lambda r: r.wet_bulb_F, "F", 1),
            Column("Heat", lambda r: r.heat_kW, "kW", 2),
            Column("COP", lambda r: r.cop, "", 2),
            Column("Electricity", lambda r: r.electric_kW, "kW", 2),
            Column("Cools its room by", lambda r: r.cools_kW, "kW", 2),
            Column("Volume of its room", lambda r: r.room_ft3, "ft3", 0),
        )

    def tank_days(self) -> Grid:
        """Tanks through a day of draws."""
        return self.grid(
            "Tanks through a day of test draws with the coldest mains",
            self.plan.hotwater.tank_days,
            Column("Heater", lambda r: self._heater(r.heater)),
            Column("Pattern", lambda r: words(r.pattern)),
            Column("Drawn", lambda r: r.drawn_gal, "gal", 0),
            Column("Heat drawn", lambda r: r.delivered_kWh, "kWh", 2),
            Column("Lost to the air", lambda r: r.standby_kWh, "kWh", 2),
            Column("More in the tank", lambda r: r.stored_kWh, "kWh", 2),
            Column("Electricity", lambda r: r.electric_kWh, "kWh", 2),
            Column("Heat from elements", lambda r: r.element_kWh, "kWh", 2),
            Column("Taken from the room's air", lambda r: r.cooled_kWh, "kWh", 2),
            Column("Coldest that left it", lambda r: r.lowest_F, "F", 0),
            Column("Drawn too cold", lambda r: r.short_gal, "gal", 1),
        )

    def layouts_power(self) -> Grid:
        """Ways to place the heaters: power, circuits, holes."""
        return self.grid(
            "Central or at the points of use: power, circuits, holes",
            self.plan.hotwater.layouts,
            Column("Way", lambda r: r.layout),
            Column("Heaters", lambda r: r.heaters, "", 0),
            Column("Nameplates", lambda r: r.nameplate_kW, "kW", 1),
            Column("All together", lambda r: r.peak_A, "A", 0),
            Column("Circuits", lambda r: r.circuits, "", 0),
            Column("Breakers", lambda r: r.breakers),
            Column("Copper conductors", lambda r: r.conductors),
            Column("Holes", lambda r: r.holes, "", 0),
        )

    def layouts_year(self) -> Grid:
        """Ways to place the heaters: waits, water, energy, cost."""
        return self.grid(
            "Central or at the points of use: waits, and a year of water and energy",
            self.plan.hotwater.layouts,
            Column("Way", lambda r: r.layout),
            Column("Longest wait", lambda r: r.longest_wait_s, "s", 0),
            Column("Run off", lambda r: r.wasted_gal, "gal", 0),
            Column("Heat drawn", lambda r: r.draw_kWh, "kWh", 0),
            Column("Standing loss", lambda r: r.standby_kWh, "kWh", 0),
            Column("Left in pipes", lambda r: r.pipe_kWh, "kWh", 0),
            Column("Loop", lambda r: r.loop_kWh, "kWh", 0),
            Column("Electricity", lambda r: r.electric_kWh, "kWh", 0),
            Column("First cost", lambda r: r.first_USD, "USD", 0),
            Column("Cost of a year", lambda r: r.yearly_USD, "USD", 0),
        )

    @property
    def blank_prices(self) -> tuple[str, ...]:
        """Prices that are blank and would be needed."""
        return tuple(sorted({name for entry in self.plan.hotwater.layouts for name in entry.missing}))
