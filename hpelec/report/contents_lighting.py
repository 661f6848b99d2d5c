"""Tables of the step lighting."""

from __future__ import annotations

from hpelec.report.contents_base import Shown, words
from hpelec.report.tables import Column, Grid


class LightingTables(Shown):
    """Tables of light, of luminaires where a rule of its own applies, of fans."""

    def room_light(self) -> Grid:
        """The lumen method, room by room."""
        return self.grid(
            "Light of each room by the lumen method",
            self.plan.lighting.rooms,
            Column("Room", lambda r: self.room(r.room)),
            Column("Lit for", lambda r: words(r.task)),
            Column("Area", lambda r: r.area_ft2, "ft2", 0),
            Column("Luminaires", lambda r: r.luminaires, "", 0),
            Column("Light", lambda r: r.lumens_lm, "lm", 0),
            Column("Room cavity ratio", lambda r: r.room_ratio, "", 2),
            Column("Utilisation", lambda r: r.utilisation, "", 2),
            Column("Level, lux", lambda r: r.lux, "", 0),
            Column("Wanted, lux", lambda r: r.wanted_lux, "", 0),
            Column("Needed like these", lambda r: r.needed, "", 0),
            Column("Enough", lambda r: "cannot say" if r.enough is None else r.enough),
            Column("Load", lambda r: r.power_VA, "VA", 0),
            Column("Load, VA/ft2", lambda r: r.density, "", 2),
        )

    def light_points(self) -> Grid:
        """Direct light at the points of the work plane."""
        lit = [r for r in self.plan.lighting.rooms if r.direct_lux is not None]
        return self.grid(
            "Direct light at points of the work plane, and what the surfaces reflect",
            lit,
            Column("Room", lambda r: self.room(r.room)),
            Column("Least, lux", lambda r: r.least_lux, "", 0),
            Column("Mean, lux", lambda r: r.direct_lux, "", 0),
            Column("Most, lux", lambda r: r.most_lux, "", 0),
            Column("Least over mean", lambda r: r.uniformity, "", 2),
            Column("Reflected, lux", lambda r: r.reflected_lux, "", 0),
        )

    def light_lists(self) -> Grid:
        """The lists of recommended levels side by side."""
        return self.grid(
            "What the lists recommend, side by side",
            self.plan.lighting.levels,
            Column("Room", lambda r: self.room(r.room)),
            Column("List", lambda r: words(r.listed) + (" (chosen)" if r.chosen else "")),
            Column("Its row", lambda r: r.said),
            Column("Recommended, lux", lambda r: r.lux, "", 0),
            Column("Level here", lambda r: r.share_percent, "percent", 0),
            Column("Source", lambda r: self.number(r.citation)),
        )

    def light_places(self) -> Grid:
        """Luminaires where a rule of its own applies."""
        return self.grid(
            "Closets, tubs and showers, damp and wet places",
            self.plan.lighting.places,
            Column("Luminaire or fan", lambda r: r.light),
            Column("Room", lambda r: self.room(r.room)),
            Column("Place", lambda r: r.place),
            Column("Got", lambda r: r.got),
            Column("Asked for", lambda r: r.allowed),
            Column("Verdict", lambda r: r.verdict),
            Column("Source", lambda r: r.citation),
        )

    def recessed_lights(self) -> Grid:
        """Recessed luminaires in the air barrier."""
        return self.grid(
            "Recessed luminaires in the air barrier",
            self.plan.lighting.recessed,
            Column("Luminaire", lambda r: r.light),
            Column("Room", lambda r: self.room(r.room)),
            Column("Tested for leakage", lambda r: r.tested),
            Column("May leak at 50 Pa", lambda r: r.allowed_cfm50, "cfm50", 2),
            Column(
                "For contact with insulation",
                lambda r: "not known" if r.insulation_contact is None else r.insulation_contact,
            ),
            Column("Instead, without such a hole", lambda r: r.instead),
        )

    def fan_sizes(self) -> Grid:
        """Ceiling fans."""
        return self.grid(
            "Ceiling fans",
            self.plan.lighting.fans,
            Column("Fan", lambda r: r.fan),
            Column("Room", lambda r: self.room(r.room)),
            Column("Blade circle", lambda r: r.span_in, "in", 0),
            Column("Blades above floor", lambda r: r.blades_ft, "ft", 2),
            Column("Tip to wall", lambda r: r.tip_to_wall_in, "in", 0),
            Column("Blades pass, Hz", lambda r: r.frequency_hz, "", 2),
            Column("Modulation at the worst point", lambda r: r.modulation_percent, "percent", 2),
            Column("Low in risk up to", lambda r: r.low_risk_percent, "percent", 2),
            Column("No effect seen up to", lambda r: r.unseen_percent, "percent", 2),
            Column("Lights it chops", lambda r: r.chopped),
        )

    def fan_lights(self) -> Grid:
        """Each light and fan of a room."""
        return self.grid(
            "Lights beside ceiling fans",
            self.plan.lighting.shadows,
            Column("Fan", lambda r: r.fan),
            Column("Light", lambda r: r.light),
            Column("Apart", lambda r: r.distance_in, "in", 1),
            Column("Clear from", lambda r: "never" if r.clear_in is None else r.clear_in, "in", 1),
            Column("Clear", lambda r: r.clear),
            Column("What decides", lambda r: r.how),
            Column(
                "Shadow falls on", lambda r: "" if r.clear else "the work plane" if r.on_plane else "walls or ceiling"
            ),
            Column("Widest clear cone, deg", lambda r: r.widest_deg, "", 0),
            Column("Clear place, x", lambda r: r.move_x_ft, "ft", 2),
            Column("Clear place, y", lambda r: r.move_y_ft, "ft", 2),
        )
