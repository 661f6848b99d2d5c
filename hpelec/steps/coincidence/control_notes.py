"""What control says beside its numbers."""

from __future__ import annotations

from collections.abc import Sequence

from hpelec.core.citing import cite
from hpelec.core.findings import Verdict
from hpelec.core.working import line
from hpelec.house.sections_power import EnergyManagement
from hpelec.steps.coincidence import rules_control
from hpelec.steps.coincidence.model_control import ControlResult
from hpelec.steps.coincidence.notes import Notes
from hpelec.steps.coincidence.process import MIN_PER_H, LoadProcess


def tell_control(
    found: ControlResult,
    loads: Sequence[LoadProcess],
    managements: Sequence[EnergyManagement],
    notes: Notes,
) -> None:
    """Working, assumptions and findings of control."""
    for row in found.held:
        expression = f"{row.asked_kWh:.4g} asked, {row.asked_kWh - row.held_kWh:.4g} when asked"
        notes.working.append(
            line(f"{row.load}: energy a year held back", expression, row.held_kWh, "kWh", rules_control.admitted_A)
        )
    for tank in found.recovery:
        notes.working.append(
            line(
                f"{tank.heater}: hot again, started alone",
                "volume x rise / power",
                tank.alone_h,
                "h",
                rules_control.reheat_h,
            )
        )
    if found.held:
        notes.take(
            "energy management",
            "calls are met at once in the order of priority; a charger or tankless heater is turned down, others wait",
            "delays, dead bands and least run times of a real one are not followed",
        )
    missing = sorted({p.managed_by for p in loads if p.managed_by} - {m.id for m in managements})
    for name in missing:
        notes.say(
            "no-set-point",
            name,
            "an energy management has a set point",
            Verdict.CANNOT_SAY,
            cite(rules_control.admitted_A),
            got="loads name it, no set point is given: it limits nothing here",
            fix=f"add [[energy_managements]] with id = {name!r} to house.toml",
        )
    for management in managements:
        _judge(management, found, notes)


def _judge(management: EnergyManagement, found: ControlResult, notes: Notes) -> None:
    """One energy management: does every load under it get what it asks for in the end?"""
    rows = [r for r in found.held if r.management == management.id]
    rule_words, by = "what an energy management holds back is made up", cite(rules_control.admitted_A)
    if not rows:
        notes.say(
            "control", management.id, rule_words, Verdict.CANNOT_SAY, by,
            got="no load names it: it has nothing to hold back",
            fix=f"write {management.id} into the column managed_by of the loads that it switches",
        )  # fmt: skip
        return
    lost = [r for r in rows if r.not_made_up_kWh > 0.01 * r.asked_kWh]
    got = "; ".join(
        f"{r.load}: {r.held_min / MIN_PER_H:.0f} h a year without, {r.limited_min / MIN_PER_H:.0f} h turned down, "
        f"{r.held_kWh:.0f} kWh held back" + (f", {r.not_made_up_kWh:.0f} kWh never made up" if r in lost else "")
        for r in rows
    )
    notes.say(
        "control",
        management.id,
        rule_words,
        Verdict.MISSES if any(r.largest_A > management.setpoint_A and r.held_kWh >= 0.99 * r.asked_kWh for r in rows)
        else Verdict.CANNOT_SAY,
        by,
        got=got,
        allowed=f"within {management.setpoint_A:g} A",
        fix="odds from patterns of use: raise the set point, or give the load a better priority, if that is too much",
    )  # fmt: skip
