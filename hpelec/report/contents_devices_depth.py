"""Tables of the step devices beside the plain list: prices of preferences, needs, boxes, framing, set-out by room."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from hpelec.report.contents_base import Shown, words
from hpelec.report.tables import TICK_BOX, Column, Grid
from hpelec.steps.devices.model import BoxRow, DeviceNeed, Preference, SetOutRow

MOST_NAMED = 8


def listed(names: Sequence[str]) -> str:
    """Some names and how many more there are."""
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")


class DevicesDepthTables(Shown):
    """How devices are chosen, bought and marked on site."""

    def device_preferences(self) -> Grid:
        """What each preference costs or saves."""
        return self.grid(
            "What each preference costs: a preference never costs anything of one with a lower rank",
            self.plan.devices.preferences,
            Column("Rank", lambda r: r.order, "", 0),
            Column("Preference", lambda r: r.preference),
            Column("What is counted", lambda r: r.counted),
            Column("Fewest possible", lambda r: self._counted(r, r.fewest), css="nowrap"),
            Column("With it", lambda r: self._counted(r, r.with_preference) or "not possible", css="nowrap"),
            Column("Difference", lambda r: self._counted(r, r.difference, sign=True), css="nowrap"),
            Column("Followed in this layout", lambda r: r.taken),
            Column("Where it matters", lambda r: listed(r.where), css="fine"),
        )

    def _counted(self, row: Preference, value: float | None, *, sign: bool = False) -> str:
        """A count, or a length in the units of the house."""
        if value is None:
            return ""
        if row.counted.startswith("distance"):
            return self.set_out(value)
        return f"{value:+g}" if sign and value else f"{value:g}"

    def device_needs(self) -> Grid:
        """Protection, type and cover, each with its clause and the devices that need it."""
        groups: dict[tuple[str, str, str], list[DeviceNeed]] = {}
        for need in self.plan.devices.needs:
            groups.setdefault((need.need, need.why, need.citation.locator), []).append(need)
        return self.grid(
            "What the rules ask of the devices, by reason",
            [rows for _, rows in sorted(groups.items())],
            Column("Needed", lambda r: r[0].need),
            Column("Because", lambda r: r[0].why),
            Column("Devices", len, "", 0),
            Column("Which", lambda r: listed([n.device for n in r]), css="fine"),
            Column("Rule", lambda r: r[0].citation),
        )

    def device_boxes(self) -> Grid:
        """Boxes that are alike, with their sizes and how each keeps the air barrier whole."""
        groups: dict[tuple[str, str, int, float], list[BoxRow]] = {}
        for row in self.plan.devices.boxes:
            groups.setdefault((row.box, row.keeps_barrier, row.cable_entries, row.margin_in or 0.0), []).append(row)
        return self.grid(
            "Boxes to buy and how each keeps the air barrier whole",
            [rows for _, rows in sorted(groups.items())],
            Column("Box", lambda r: r[0].box),
            Column("Number", len, "", 0),
            Column("Depth inside", lambda r: r[0].depth_in or None, "in", 2),
            Column("Least by rule", lambda r: r[0].least_depth_in or None, "in", 2),
            Column("Depth outside", lambda r: r[0].outside_depth_in, "in", 2),
            Column("Opening wide", lambda r: r[0].cut_width_in, "in", 2),
            Column("Opening high", lambda r: r[0].cut_height_in, "in", 2),
            Column("Air barrier", lambda r: r[0].keeps_barrier),
            Column("Room left before it", lambda r: r[0].margin_in, "in", 2),
            Column("Cables", lambda r: r[0].cable_entries, "", 0),
            Column("Seals each", lambda r: r[0].seals, "", 0),
            Column("Fits the boot", lambda r: r[0].fits_boot),
            Column("Devices", lambda r: listed([b.device for b in r]), css="fine"),
        )

    def framing_limits(self) -> Grid:
        """What may be bored where."""
        return self.grid(
            "What may be bored, and how deep screws reach",
            self.plan.devices.framing,
            Column("Member", lambda r: r.member),
            Column("Depth", lambda r: r.depth_in, "in", 2),
            Column("Largest hole for its strength", lambda r: r.structural_in, "in", 2),
            Column("Largest hole without a steel plate", lambda r: r.plate_free_in, "in", 2),
            Column("3/4 in hole in its middle needs a plate", lambda r: r.plate_for_cables),
            Column("Deepest notch", lambda r: r.notch_in, "in", 2),
            Column("Cable in the middle lies behind the face", lambda r: r.set_back_in, "in", 2),
            Column("Your longest screw ends behind it", lambda r: r.screw_tip_in, "in", 2),
            Column("Rule", lambda r: r.citation),
        )

    def rooms_set_out(self) -> list[tuple[str, Grid]]:
        """A set-out table for each room, with boxes to tick on paper: name of the room and its table."""
        rows: dict[str, list[SetOutRow]] = {}
        for row in self.plan.devices.set_out:
            rows.setdefault(row.room, []).append(row)
        order = [room.id for room in self.plan.house.rooms]
        return [(self.room(room), self._set_out_of(room, rows[room])) for room in order if room in rows]

    def _set_out_of(self, room: str, rows: Sequence[SetOutRow]) -> Grid:
        many = "device" if len(rows) == 1 else "devices"
        return self.grid(
            f"{self.room(room)}: {len(rows)} {many} to mark",
            rows,
            Column("Write", lambda r: r.mark),
            Column("Wall", lambda r: f"{r.wall}, outer face" if r.outdoors else r.wall),
            Column("From the left corner", lambda r: self.set_out(r.left_ft), css="nowrap"),
            Column("From the right corner", lambda r: self.set_out(r.right_ft), css="nowrap"),
            Column("Centre above the floor", lambda r: r.height_in, "in", 1),
            Column("Laser from wall", lambda r: self._datum(r.datum_1, r.from_1_ft)),
            Column("and from wall", lambda r: self._datum(r.datum_2, r.from_2_ft)),
            Column("Kind", lambda r: words(r.kind)),
            Column("Marked", lambda _: TICK_BOX),
            Column("Box set", lambda _: TICK_BOX),
            Column("Cable in", lambda _: TICK_BOX),
        )

    def _datum(self, wall: str, away_ft: float | None) -> str | Markup:
        return "" if away_ft is None else f"{wall}: {self.set_out(away_ft)}"
