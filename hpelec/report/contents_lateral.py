"""Tables of the lateral: both ways side by side, trench, conduit, pull, clearances, motor starts, losses."""

from __future__ import annotations

from hpelec.report.contents_base import Shown
from hpelec.report.tables import Column, Grid


class LateralTables(Shown):
    """Tables of the step lateral."""

    def lateral_sides(self) -> Grid:
        """Underground and overhead."""
        return self.grid(
            "In the ground or in the air",
            self.plan.lateral.sides,
            Column("Way", lambda r: r.kind),
            Column("Chosen", lambda r: r.chosen),
            Column("Length", lambda r: r.length_ft, "ft", 0),
            Column("Conductors", lambda r: r.conductors),
            Column("Drop", lambda r: r.drop_percent, "percent", 2),
            Column("The utility owns", lambda r: "; ".join(r.utility_owns)),
            Column("The customer provides", lambda r: "; ".join(r.customer_provides)),
            Column("To be asked", lambda r: "; ".join(r.remains_unknown)),
        )

    def lateral_trench(self) -> Grid:
        """The trench in numbers."""
        trench = self.plan.lateral.trench
        return self.grid(
            "Trench",
            () if trench is None else (trench,),
            Column("Under", lambda r: r.under),
            Column("Least cover", lambda r: r.least_cover_in, "in", 1),
            Column("Cover", lambda r: r.cover_in, "in", 1),
            Column("Dig", lambda r: r.depth_in, "in", 1),
            Column("Width", lambda r: r.width_in, "in", 1),
            Column("Ribbon at most", lambda r: r.ribbon_depth_in, "in", 1),
            Column("Length", lambda r: r.length_ft, "ft", 0),
            Column("Dug", lambda r: r.dug_ft3, "ft3", 0),
            Column("Bedding", lambda r: r.bedding_ft3, "ft3", 0),
            Column("Backfill", lambda r: r.backfill_ft3, "ft3", 0),
            Column("Left over", lambda r: r.left_over_ft3, "ft3", 0),
        )

    def lateral_raceways(self) -> Grid:
        """Conduits of lateral and service entrance."""
        named = (("lateral", self.plan.lateral.conduit), ("service entrance", self.plan.lateral.entrance))
        return self.grid(
            "Conduits",
            [(name, r) for name, r in named if r is not None],
            Column("Part", lambda r: r[0]),
            Column("Conduit", lambda r: r[1].method),
            Column("Trade size", lambda r: r[1].trade_size),
            Column("Least by fill", lambda r: r[1].least_trade_size or "none"),
            Column("Conductors in each", lambda r: r[1].conductors),
            Column("Outside", lambda r: r[1].outside_in, "in", 2),
            Column("Fill", lambda r: r[1].fill_percent, "percent", 1),
            Column("Limit", lambda r: r[1].limit_percent, "percent", 0),
            Column("Jam ratio", lambda r: r[1].jam_ratio, "", 2),
            Column("In use", lambda r: r[1].used, "", 0),
            Column("Spare", lambda r: r[1].spare, "", 0),
        )

    def lateral_pulls(self) -> Grid:
        """Every section both ways."""
        return self.grid(
            "Pulling the conductors, both ways",
            self.plan.lateral.pulls,
            Column("Section", lambda r: str(r.section)),
            Column("From", lambda r: r.start_ft, "ft", 0),
            Column("To", lambda r: r.end_ft, "ft", 0),
            Column("Pulled", lambda r: r.direction),
            Column("Bends [deg]", lambda r: r.bends_deg, "", 0),
            Column("Tension [lb]", lambda r: r.tension_lb, "", 0),
            Column("Limit [lb]", lambda r: r.tension_limit_lb, "", 0),
            Column("In a bend [lb/ft]", lambda r: r.sidewall_lb_per_ft, "", 0),
            Column("Limit [lb/ft]", lambda r: r.sidewall_limit_lb_per_ft, "", 0),
            Column("Easier way", lambda r: r.easier),
        )

    def lateral_clearances(self) -> Grid:
        """Clearances of an overhead drop."""
        return self.grid(
            "Clearances of an overhead drop",
            self.plan.lateral.clearances,
            Column("What", lambda r: r.what),
            Column("Needed", lambda r: r.needed_ft, "ft", 1),
            Column("Planned", lambda r: r.have_ft, "ft", 1),
            Column("Missing", lambda r: r.missing),
            Column("Rule", lambda r: r.citation),
        )

    def lateral_starts(self) -> Grid:
        """Motor starts."""
        return self.grid(
            "What the lights see when a motor starts",
            self.plan.lateral.starts,
            Column("Motor", lambda r: r.name),
            Column("Voltage", lambda r: r.voltage_V, "V", 0),
            Column("Starting current", lambda r: r.locked_rotor_A, "A", 0),
            Column("Known from", lambda r: r.known_from),
            Column("Dip", lambda r: r.dip_percent, "percent", 1),
            Column("At most", lambda r: r.worst_percent, "percent", 1),
            Column("Of it lateral and entrance", lambda r: r.run_percent, "percent", 1),
            Column("Limit", lambda r: r.limit_percent, "percent", 0),
        )

    def lateral_losses(self) -> Grid:
        """Loss of a year."""
        return self.grid(
            "Energy lost in a year",
            self.plan.lateral.losses,
            Column("Part", lambda r: r.part),
            Column("At the design load", lambda r: r.peak_W, "W", 0),
            Column("Load factor", lambda r: r.load_factor, "", 3),
            Column("Loss factor", lambda r: r.loss_factor, "", 4),
            Column("Lost", lambda r: r.annual_kWh, "kWh", 0),
            Column("At least", lambda r: r.least_kWh, "kWh", 0),
            Column("At most", lambda r: r.most_kWh, "kWh", 0),
            Column("Of the energy used", lambda r: r.share_percent, "percent", 2),
        )
