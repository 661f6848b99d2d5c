"""Loads of circuits as the legs see them, and the schedules of all panels, those behind others first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from hpelec.core.citing import OUR_OWN, cite
from hpelec.core.findings import Assumption, Verdict
from hpelec.core.working import line
from hpelec.house.model import House
from hpelec.house.rows import Panel
from hpelec.steps.circuits import rules, rules_panel
from hpelec.steps.circuits.dedicated import Notes
from hpelec.steps.circuits.grouping import NO_OUTLET
from hpelec.steps.circuits.model import Circuit, PanelBalance, Slot
from hpelec.steps.circuits.schedule import Legs, schedule
from hpelec.steps.devices.model import DeviceSpot

BY_AREA = ("general", "lighting")
BY_CIRCUIT = {"small_appliance": "small appliance", "laundry": "laundry receptacle"}


def with_leg_loads(circuits: Sequence[Circuit], house: House, devices: Sequence[DeviceSpot]) -> list[Circuit]:
    """Circuits with the load that counts on the legs of their panel.

    General circuits share the load by floor area by their outlets, small-appliance and laundry circuits count as in
    the load calculation; the known equipment on a circuit counts where it is more. In whole VA.
    """
    plain = {d.id for d in devices if d.kind not in NO_OUTLET}
    outlets = {c.id: sum(o in plain for o in c.outlets) for c in circuits if c.kind in BY_AREA}
    all_outlets = sum(outlets.values())
    area_VA = rules.unit_load_VA(house.general.floor_area_ft2)
    made = []
    for circuit in circuits:
        least_VA = 0.0
        if circuit.kind in BY_AREA and all_outlets:
            least_VA = area_VA * outlets[circuit.id] / all_outlets
        elif circuit.kind in BY_CIRCUIT:
            least_VA = rules.required_row(BY_CIRCUIT[circuit.kind]).number("va_in_load_calc")
        made.append(replace(circuit, leg_VA=float(round(max(least_VA, circuit.load_VA)))))
    return made


def with_feeder_loads(circuits: Sequence[Circuit], legs: Mapping[str, Legs]) -> list[Circuit]:
    """Feeders with what the legs of the panel behind them carry."""
    return [replace(c, leg_VA=legs[c.id].A_VA + legs[c.id].B_VA) if c.id in legs else c for c in circuits]


def schedules(
    circuits: Sequence[Circuit], house: House, notes: Notes
) -> tuple[list[Slot], list[PanelBalance], dict[str, Legs]]:
    """The schedule and the legs of every panel, and the legs behind each feeder by circuit."""
    share = house.circuit_settings.spare_percent / 100
    voltage_V = house.service_site.voltage_V
    feeder_of = {c.outlets[0]: c.id for c in circuits if c.kind == "feeder" and c.outlets}
    behind: dict[str, Legs] = {}
    slots: list[Slot] = []
    found: list[PanelBalance] = []
    for panel in _last_first(house.panels):
        mine = [c for c in circuits if c.panel == panel.id]
        rows, balance, legs = schedule(panel, mine, behind, voltage_V, share)
        slots += rows
        found.append(balance)
        if panel.id in feeder_of:
            behind[feeder_of[panel.id]] = legs
    slots.sort(key=lambda s: s.panel)
    found.sort(key=lambda b: b.panel)
    for balance in found:
        _tell(balance, house, notes)
    if any(c.kind == "feeder" and not c.outlets for c in circuits):
        notes.assumptions.append(
            Assumption("circuits", "loads of other buildings stand evenly on both legs", "their circuits are not known")
        )
    return slots, found, behind


def _last_first(panels: Sequence[Panel]) -> list[Panel]:
    """Panels so that each comes before the one that feeds it."""
    feeds = {p.id: p.fed_from for p in panels}

    def depth(panel: Panel) -> int:
        steps, at = 0, panel.fed_from
        while at in feeds and steps <= len(feeds):
            at, steps = feeds[at], steps + 1
        return steps

    return sorted(panels, key=lambda p: (-depth(p), p.id))


def _tell(balance: PanelBalance, house: House, notes: Notes) -> None:
    """Working and findings on the legs and the spare spaces of a panel."""
    panel, settings = balance.panel, house.circuit_settings
    legs_by, spare_by = cite(rules_panel.imbalance_percent), cite(rules_panel.spaces_with_spare)
    proof = "no split differs less" if balance.proven else f"none below {balance.bound_VA:,.0f} VA: not proven the best"
    notes.working += [
        line(f"{panel} legs", f"|{balance.leg_A_VA:,.0f} VA - {balance.leg_B_VA:,.0f} VA| ({proof})",
             balance.difference_VA, "VA", OUR_OWN),
        line(f"{panel} legs, difference as a share", "difference / larger leg", balance.imbalance_percent, "%",
             legs_by),
        line(f"{panel} neutral", f"120 V loads on both legs at {house.service_site.voltage_V:g} V", balance.neutral_A,
             "A", rules_panel.neutral_A),
        line(f"{panel} spaces with {settings.spare_percent:g} % free",
             f"{balance.spaces_used} used / (1 - {settings.spare_percent / 100:g}), rounded up", balance.spaces_wanted,
             "spaces", spare_by),
    ]  # fmt: skip
    even = balance.imbalance_percent <= settings.leg_limit_percent + 1e-9
    notes.find(
        "panel-legs", panel, "the legs of a panel differ little",
        f"{balance.imbalance_percent:.1f} % of the larger leg",
        f"{settings.leg_limit_percent:g} %, the user's own limit",
        "move a circuit to another panel, or divide the largest 120 V load", Verdict.MEETS if even else Verdict.MISSES,
        legs_by,
    )  # fmt: skip
    spare = balance.spare_percent >= settings.spare_percent - 1e-9
    made = f"a panel of {balance.size_wanted} spaces" if balance.size_wanted else "a further panel"
    notes.find(
        "panel-spare", panel, "spaces kept free for later",
        f"{balance.spaces_free} free, {balance.spare_percent:.0f} % of the spaces",
        f"{settings.spare_percent:g} %, the user's own share", f"{balance.spaces_wanted} spaces: {made}",
        Verdict.MEETS if spare else Verdict.MISSES, spare_by,
    )  # fmt: skip
