"""The plan in plain words, for a client who reads one page."""

from __future__ import annotations

from hpelec.core.units import show_quantity
from hpelec.core.working import show_number
from hpelec.plan import Plan
from hpelec.steps.airtightness.model import Spread
from hpelec.steps.coincidence.words import period_words

TARGETS = {
    "ACH50": "air changes an hour at 50 Pa",
    "q50": "cfm per ft2 of envelope at 50 Pa",
    "q75": "cfm per ft2 of envelope at 75 Pa",
}
"""Metric of an airtightness target -> its unit in words."""


def summary(plan: Plan) -> list[tuple[str, str]]:
    """Question and answer, the main ones only."""
    return [
        ("Which service to ask for", _service(plan)),
        ("What the house draws", _load(plan)),
        ("What breakers must interrupt", _fault(plan)),
        ("Water heaters", _water(plan)),
        ("What really runs together", _together(plan)),
        ("Outlets, switches and lights", _devices(plan)),
        ("Circuits and cable", _circuits(plan)),
        ("Holes in the air barrier", _holes(plan)),
        ("What the holes leak", _leakage(plan)),
        ("Findings", _findings(plan)),
    ]


def _service(plan: Plan) -> str:
    service = plan.service
    if service.rating_A is None:
        standard = "No standard rating does" if service.standard_A is None else f"{service.standard_A:g} A would"
        return f"None of the ratings that the utility offers carries the load of {service.design_A:.1f} A. {standard}."
    spare = f", which leaves {service.spare_A:.1f} A spare" if service.spare_A is not None else ""
    return f"Ask the utility for {service.rating_A:g} A at {plan.loads.voltage_V:g} V{spare}."


def _load(plan: Plan) -> str:
    loads = plan.loads
    return (
        f"By the {loads.chosen} method of NFPA 70, edition {plan.edition}, the design load is "
        f"{show_number(round(loads.design_VA))} VA, or {loads.design_A:.1f} A at {loads.voltage_V:g} V."
    )


def _fault(plan: Plan) -> str:
    faults = plan.faults
    if faults.panels_needed_A is None:
        return "No panel is planned."
    text = f"A short circuit at a panel can draw up to {faults.panels_needed_A:,.0f} A ({faults.source}). "
    if faults.panels_needed_kA is None:
        return text + "That is above the usual interrupting ratings: an engineer has to look at it."
    return text + f"Panels and breakers rated to interrupt {faults.panels_needed_kA:g} kA are enough."


def _water(plan: Plan) -> str:
    water, metric = plan.hotwater, plan.house.general.show_metric
    names = {h.id: h.name for h in plan.house.heaters}
    cold = show_quantity(water.cold_F, "F", metric=metric)
    text = f"{_count(len(water.heaters), 'heater')}, {water.all_on_kW:.1f} kW when all run together. "
    small = []
    for heater in water.heaters:
        if heater.undersized:
            arrives = (
                f" (at the peak flow the water leaves it at {show_quantity(heater.delivered_F, 'F', metric=metric)})"
                if heater.delivered_F is not None
                else ""
            )
            small.append(names.get(heater.heater, heater.heater) + arrives)
    if small:
        return text + f"Too small for the coldest day, when the mains water is {cold}: {'; '.join(small)}."
    return text + f"None is too small for the coldest day, when the mains water is {cold}."


def _together(plan: Plan) -> str:
    found = plan.coincidence
    text = f"Everything on at once would take {found.largest_A:.0f} A; for all but 9 hours a year it is below "
    text += f"{found.p999_A:.0f} A. "
    if found.overload is not None:
        often = period_words(found.overload.return_years)
        text += f"By the patterns of use, the main of {found.overload.level_A:g} A is passed {often}. "
    return text + "These are odds, most of them from weak sources; the load by the code stays as it is."


def _devices(plan: Plan) -> str:
    devices = plan.devices
    return (
        f"{_count(len(devices.devices), 'device')} placed. Of these {devices.wall_receptacles} are wall receptacles "
        f"(the spacing rule needs at least {devices.fewest_wall_receptacles}); "
        f"{_count(devices.in_envelope, 'box', 'boxes')} in the insulated envelope."
    )


def _circuits(plan: Plan) -> str:
    length_ft = sum(c.buy_ft for c in plan.routes.cables)
    shown = (
        show_quantity(length_ft, "ft", metric=True, digits=0)
        if plan.house.general.show_metric
        else f"{length_ft:,.0f} ft"
    )
    return (
        f"{_count(len(plan.circuits.circuits), 'circuit')} on {_count(len(plan.circuits.panels), 'panel')}; "
        f"about {shown} of cable to buy."
    )


def _holes(plan: Plan) -> str:
    surfaces = plan.penetrations.surfaces
    cables, boxes = sum(s.cable_holes for s in surfaces), sum(s.box_holes for s in surfaces)
    text = (
        f"{_count(len(plan.penetrations.holes), 'hole')}: {cables} for cables, {boxes} for boxes and luminaires. "
        f"{len(plan.sealing.items)} are on the sealing plan."
    )
    if plan.sealing.unmatched:
        text += f" For {len(plan.sealing.unmatched)} no sealing method fits yet: {', '.join(plan.sealing.unmatched)}."
    return text


def _leakage(plan: Plan) -> str:
    air, metric = plan.airtightness, plan.house.general.show_metric
    limit = show_quantity(air.limit_cfm50, "cfm50", metric=metric, digits=0).replace("cfm50", "cfm")
    text = (
        f"At 50 Pa the electrical holes leak {_spread(air.unsealed, metric=metric)} if nothing is done and "
        f"{_spread(air.sealed, metric=metric)} when sealed as planned. "
        f"The target of {air.target_limit:g} {TARGETS[air.target_metric]} allows {limit} at 50 Pa for the whole house."
    )
    if air.background is None:
        text += " What the rest of the house leaks is not told, so nobody can say yet whether the target will be met."
    return text


def _spread(leak: Spread, *, metric: bool) -> str:
    best, low, high = (
        show_quantity(v, "cfm50", metric=metric).replace("cfm50", "cfm")
        for v in (leak.best_cfm50, leak.low_cfm50, leak.high_cfm50)
    )
    return f"{best} (between {low} and {high})"


def _findings(plan: Plan) -> str:
    counts = plan.verdict_counts
    if not counts:
        return "No rule was applied."
    words = {"misses": "miss", "cannot say": "cannot be said for lack of information", "meets": "meet"}
    told = ", ".join(f"{n} {words[v]}" for v, n in counts.items())
    return f"Of {sum(counts.values())} rules applied: {told}."


def _count(number: int, one: str, many: str = "") -> str:
    return f"{number} {one if number == 1 else many or one + 's'}"
