"""A plan told shortly: the one-screen answer, the JSON object and its schema."""

from __future__ import annotations

import importlib
import typing
from typing import Any

from hpelec.core.findings import Assumption, Finding
from hpelec.core.results import as_json, json_schema
from hpelec.core.working import show_number
from hpelec.plan import STEPS, Plan
from hpelec.steps.coincidence.words import period_words


def answer_lines(plan: Plan) -> list[tuple[str, str]]:
    """The main answers as (question, answer) pairs: what the first screen of every output shows."""
    loads, service, water = plan.loads, plan.service, plan.hotwater
    small = [h.heater for h in water.heaters if h.undersized]
    standard = "none" if service.standard_A is None else f"{service.standard_A:g} A"
    rating = f"{service.rating_A:g} A" if service.rating_A else "no offered rating carries it"
    counts = plan.verdict_counts
    return [
        (
            "Design load",
            f"{show_number(round(loads.design_VA))} VA, {loads.design_A:.1f} A at {loads.voltage_V:g} V "
            f"({loads.chosen} method, NFPA 70 {plan.edition})",
        ),
        ("Service to ask for", f"{rating} (smallest standard rating {standard})"),
        (
            "Lateral",
            f"voltage drop {service.lateral_drop_percent:.2f} % at the design load"
            if service.lateral_drop_percent is not None
            else "not computed",
        ),
        ("Fault current", _fault_text(plan)),
        (
            "Water heaters",
            f"{len(water.heaters)}, {water.all_on_kW:.1f} kW together; mains {water.cold_F:.1f} F at the coldest; "
            + (f"too small for the coldest day: {', '.join(small)}" if small else "none too small"),
        ),
        ("What runs together", _together(plan)),
        (
            "Devices",
            f"{len(plan.devices.devices)} placed, {plan.devices.wall_receptacles} wall receptacles "
            f"(fewest possible {plan.devices.fewest_wall_receptacles}), "
            f"{plan.devices.in_envelope} boxes in the envelope",
        ),
        (
            "Circuits",
            f"{len(plan.circuits.circuits)} on {len(plan.circuits.panels)} panel(s); "
            f"{sum(r.cable_ft for r in plan.routes.routes):,.0f} ft of cable",
        ),
        ("Holes in the air barrier", f"{len(plan.penetrations.holes)}"),
        (
            "Leakage at 50 Pa",
            f"unsealed {plan.airtightness.unsealed} cfm, sealed {plan.airtightness.sealed} cfm; "
            f"target {plan.airtightness.target_limit:g} {plan.airtightness.target_metric} "
            f"= {plan.airtightness.limit_cfm50:,.0f} cfm for the whole house",
        ),
        (
            "Sealing plan",
            f"{len(plan.sealing.items)} holes to seal"
            + (f", {len(plan.sealing.unmatched)} without a fitting method" if plan.sealing.unmatched else ""),
        ),
        ("Findings", ", ".join(f"{n} {word}" for word, n in counts.items()) or "none"),
    ]


def _fault_text(plan: Plan) -> str:
    faults = plan.faults
    if faults.panels_needed_A is None:
        return "no panel"
    rating = (
        "above the usual ratings" if faults.panels_needed_kA is None else f"{faults.panels_needed_kA:g} kA equipment"
    )
    return f"panels must interrupt up to {faults.panels_needed_A:,.0f} A: {rating} ({faults.source})"


def _together(plan: Plan) -> str:
    found = plan.coincidence
    text = f"all on {found.largest_A:.0f} A, 99.9 % of the year below {found.p999_A:.0f} A"
    if found.overload is None:
        return f"{text}; no main is known"
    often = period_words(found.overload.return_years)
    return f"{text}; above the main of {found.overload.level_A:g} A {often} (odds from patterns of use)"


def answer_text(plan: Plan) -> str:
    """The one-screen answer."""
    head = f"{plan.house.general.name} (NFPA 70, edition {plan.edition})"
    pairs = answer_lines(plan)
    wide = max(len(q) for q, _ in pairs)
    lines = [head, "=" * len(head), *(f"{q:<{wide}}  {a}" for q, a in pairs)]
    missed = [f"  - {f.place}: {f.rule}: {f.got}. To do: {f.fix}" for f in plan.misses[:8]]
    if missed:
        lines += ["", "What misses:", *missed]
        if len(plan.misses) > len(missed):
            lines.append(f"  ... and {len(plan.misses) - len(missed)} more (hpelec check)")
    return "\n".join(lines)


def plan_json(plan: Plan) -> dict[str, Any]:
    """The plan as one JSON object: house, edition, one object a step, assumptions, findings."""
    return {
        "house": plan.house.general.name,
        "edition": plan.edition,
        **{name: as_json(result) for name, result in plan.results.items()},
        "assumptions": as_json(plan.assumptions),
        "findings": as_json(plan.findings),
    }


def result_type(step: str) -> Any:
    """The result type of a step, read from the return annotation of its `design`."""
    module = importlib.import_module(f"hpelec.steps.{step}.design")
    return typing.get_type_hints(module.design)["return"]


def plan_schema() -> dict[str, Any]:
    """JSON Schema of `plan_json`."""
    properties: dict[str, Any] = {
        "house": json_schema(str, "name of the house"),
        "edition": json_schema(int, "edition of NFPA 70"),
    }
    for step in STEPS:
        properties[step.name] = json_schema(result_type(step.name), f"result of the step {step.name}")
    properties["assumptions"] = json_schema(tuple[Assumption, ...], "what was taken for the user")
    properties["findings"] = json_schema(tuple[Finding, ...], "all findings, what needs attention first")
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "hpelec plan",
        "type": "object",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }
