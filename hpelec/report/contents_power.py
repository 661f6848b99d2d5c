"""Tables of the electrical side of the report: loads, service, hot water, devices, circuits, routes."""

from __future__ import annotations

from typing import Any

from hpelec.report.contents_base import Shown, words
from hpelec.report.tables import Column, Grid


class PowerTables(Shown):
    """Tables of the steps loads to routes."""

    def load_lines(self) -> Grid:
        """Every line of the chosen method."""
        loads = self.plan.loads
        return self.grid(
            f"Lines of the {loads.chosen} method",
            loads.lines,
            Column("What", lambda r: r.what),
            Column("Category", lambda r: r.category),
            Column("Connected", lambda r: r.connected_VA, "VA", 0),
            Column("Factor", lambda r: r.factor, "", 2),
            Column("Demand", lambda r: r.demand_VA, "VA", 0),
            Column("Neutral", lambda r: r.neutral_VA, "VA", 0),
            Column("Remark", lambda r: r.remark),
            Column("Rule", lambda r: r.citation),
        )

    def methods(self) -> Grid:
        """All methods, carried out or refused."""
        return self.grid(
            "Methods side by side",
            self.plan.loads.methods,
            Column("Method", lambda r: r.title),
            Column("Applies", lambda r: r.applies),
            Column("Why", lambda r: r.why),
            Column("Connected", lambda r: r.connected_VA if r.applies else None, "VA", 0),
            Column("Demand", lambda r: r.demand_VA if r.applies else None, "VA", 0),
            Column("Current", lambda r: r.demand_A if r.applies else None, "A", 1),
            Column("Sets the service", lambda r: r.method == self.plan.loads.chosen),
        )

    def ratings(self) -> Grid:
        """Offered service ratings against the load."""
        return self.grid(
            "Service ratings offered by the utility, against the design load",
            self.plan.service.ratings,
            Column("Rating", lambda r: r.rating_A, "A", 0),
            Column("Margin", lambda r: r.margin_A, "A", 1),
            Column("Load as a share", lambda r: r.share_percent, "percent", 0),
            Column("Carries the load", lambda r: r.carries),
            Column("Proposed", lambda r: r.chosen),
        )

    def conductors(self) -> Grid:
        """Conductors of the supply."""
        return self.grid(
            "Conductors",
            self.plan.service.conductors,
            Column("Part", lambda r: r.part),
            Column("Metal", lambda r: {"cu": "copper", "al": "aluminum"}.get(r.material, r.material)),
            Column("Size", lambda r: r.size),
            Column("Sets", lambda r: r.sets, "", 0),
            Column("Device", lambda r: r.device_A, "A", 0),
            Column("Needed", lambda r: r.required_A, "A", 0),
            Column("Ampacity", lambda r: r.ampacity_A, "A", 0),
            Column("Neutral", lambda r: r.neutral_size),
            Column("Equipment ground", lambda r: r.grounding_size),
            Column("Proposed", lambda r: r.chosen),
            Column("Remark", lambda r: r.remark),
        )

    def drops(self) -> Grid:
        """Voltage drop of the lateral by size."""
        return self.grid(
            "Voltage drop along the lateral at the design load",
            self.plan.service.drops,
            Column("Metal", lambda r: {"cu": "copper", "al": "aluminum"}.get(r.material, r.material)),
            Column("Size", lambda r: r.size),
            Column("Sets", lambda r: r.sets, "", 0),
            Column("One way", lambda r: r.length_ft, "ft", 0),
            Column("Current", lambda r: r.current_A, "A", 1),
            Column("Drop", lambda r: r.drop_V, "V", 2),
            Column("Drop", lambda r: r.drop_percent, "percent", 2),
            Column("Within the limit wanted", lambda r: r.meets),
            Column("Proposed", lambda r: r.chosen),
        )

    def heaters(self) -> Grid:
        """Each water heater on the coldest day."""
        names = {h.id: h.name for h in self.plan.house.heaters}
        return self.grid(
            "Water heaters on the coldest day",
            self.plan.hotwater.heaters,
            Column("Heater", lambda r: names.get(r.heater, r.heater)),
            Column("Kind", lambda r: words(r.kind)),
            Column("Peak flow", lambda r: r.peak_flow_gpm, "gpm", 2),
            Column("Cold water", lambda r: r.cold_F, "F", 1),
            Column("Rise", lambda r: r.rise_dF, "dF", 1),
            Column("Heat needed", lambda r: r.needed_kW, "kW", 1),
            Column("Nameplate", lambda r: r.nameplate_kW, "kW", 1),
            Column("Current", lambda r: r.current_A, "A", 1),
            Column("Leaves it at peak", lambda r: r.delivered_F, "F", 1),
            Column("At the fixtures", lambda r: r.fixture_F, "F", 1),
            Column("Flow at full rise", lambda r: r.full_flow_gpm, "gpm", 2),
            Column("First hour", lambda r: r.first_hour_gal, "gal", 0),
            Column("Peak hour asks", lambda r: r.peak_hour_gal, "gal", 0),
            Column("Peak flow lasts", lambda r: r.sustained_min, "min", 0),
            Column("Undersized", lambda r: "UNDERSIZED" if r.undersized else "no"),
        )

    def draw_points(self) -> Grid:
        """What each point of use asks."""
        names = {p.id: p.name for p in self.plan.house.draw_points}
        heaters = {h.id: h.name for h in self.plan.house.heaters}
        return self.grid(
            "Points of use on the coldest day",
            self.plan.hotwater.points,
            Column("Point of use", lambda r: names.get(r.point, r.point)),
            Column("Heater", lambda r: heaters.get(r.heater, r.heater)),
            Column("Flow at the fixture", lambda r: r.mixed_flow_gpm, "gpm", 2),
            Column("Hot share", lambda r: 100 * r.hot_share, "percent", 0),
            Column("Flow through the heater", lambda r: r.hot_flow_gpm, "gpm", 2),
            Column("Counted at peak", lambda r: r.at_peak),
        )

    def devices(self, level: str) -> Grid:
        """Set-out of the devices of a level."""
        return self.grid(
            "Devices, set out from the west or south end of their wall (outline rooms: from the edge's first corner)",
            [d for d in self.plan.devices.devices if d.level == level],
            Column("Id", lambda r: r.id),
            Column("Room", lambda r: self.room(r.room)),
            Column("Kind", lambda r: words(r.kind)),
            Column("Serves", lambda r: r.serves),
            Column("Wall", lambda r: r.side),
            Column("Along it", lambda r: self.set_out(r.offset_ft), css="nowrap"),
            Column("Height", lambda r: r.height_in, "in", 0),
            Column("In the envelope", lambda r: words(r.surface)),
            Column("Box", lambda r: r.box),
            Column("Fill", lambda r: r.box_fill_in3, "in3", 1),
            Column("Holds", lambda r: r.box_volume_in3, "in3", 1),
            Column("Protection", lambda r: " ".join(w for w, on in (("GFCI", r.gfci), ("AFCI", r.afci)) if on)),
            Column("Placed by", lambda r: "user" if r.pinned else "tool"),
            Column("Rule", lambda r: r.citation),
        )

    def panels(self) -> Grid:
        """What each panel holds."""
        return self.grid(
            "Panels",
            self.plan.circuits.panels,
            Column("Id", lambda r: r.panel),
            Column("Name", lambda r: r.name),
            Column("Bus", lambda r: r.rating_A, "A", 0),
            Column("Spaces", lambda r: r.spaces, "", 0),
            Column("Used", lambda r: r.spaces_used, "", 0),
            Column("Circuits", lambda r: r.circuits, "", 0),
            Column("Fixed equipment", lambda r: r.load_VA, "VA", 0),
        )

    def circuits(self, panel: str) -> Grid:
        """The circuits of one panel."""
        return self.grid(
            f"Circuits of panel {panel}",
            [c for c in self.plan.circuits.circuits if c.panel == panel],
            Column("Id", lambda r: r.id),
            Column("Feeds", lambda r: r.name),
            Column("Kind", lambda r: words(r.kind)),
            Column("Breaker", lambda r: f"{r.breaker_A:g} A, {r.poles} pole"),
            Column("Voltage", lambda r: r.voltage_V, "V", 0),
            Column("Fixed load", lambda r: r.load_VA, "VA", 0),
            Column("Cable", lambda r: r.cable),
            Column("Outlets", lambda r: len(r.outlets), "", 0),
            Column("Protection", lambda r: " ".join(w for w, on in (("GFCI", r.gfci), ("AFCI", r.afci)) if on)),
            Column("Rule", lambda r: r.citation),
        )

    def ways(self) -> Grid:
        """The alternatives for the whole house."""
        return self.grid(
            "The whole house routed with only some ways allowed",
            self.plan.routes.ways,
            Column("Ways", lambda r: words(r.ways)),
            Column("Possible", lambda r: r.possible),
            *self._route_columns(when=lambda r: r.possible),
        )

    def routes(self) -> Grid:
        """The route of each circuit."""
        return self.grid(
            "Routes chosen",
            self.plan.routes.routes,
            Column("Circuit", lambda r: r.circuit),
            Column("Panel", lambda r: r.panel),
            Column("Cable", lambda r: r.cable),
            *self._route_columns(when=lambda _: True),
            Column("No order costs less than", lambda r: r.bound_USD, "USD", 0),
            Column("Proven the cheapest order", lambda r: r.proven),
            Column("Wired in this order", lambda r: ", ".join(r.chain), css="fine"),
        )

    def _route_columns(self, when: Any) -> list[Column]:
        return [
            Column("Cable", lambda r: r.cable_ft if when(r) else None, "ft", 0),
            Column("Holes in framing", lambda r: r.holes if when(r) else None, "", 0),
            Column("Crossings of the air barrier", lambda r: r.crossings if when(r) else None, "", 0),
            Column("In insulation", lambda r: r.insulation_ft if when(r) else None, "ft", 0),
            Column("Labour", lambda r: r.labour_min if when(r) else None, "min", 0),
            Column("Weighted cost", lambda r: r.cost_USD if when(r) else None, "USD", 0),
        ]

    def cables(self) -> Grid:
        """Cable to buy."""
        return self.grid(
            "Cable to buy",
            self.plan.routes.cables,
            Column("Cable", lambda r: r.cable),
            Column("Drawn, with end allowances", lambda r: r.drawn_ft, "ft", 0),
            Column("To buy, with waste", lambda r: r.buy_ft, "ft", 0),
        )
