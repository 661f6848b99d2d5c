"""Energy that the lateral and the service entrance turn into heat in a year."""

from __future__ import annotations

from hpelec.common import rules_drop
from hpelec.core.findings import Verdict
from hpelec.house.sections_power import ServiceSite
from hpelec.steps.lateral import rules_start as rules
from hpelec.steps.lateral.model import Loss
from hpelec.steps.lateral.told import Told
from hpelec.steps.lateral.values import value
from hpelec.steps.loads.model import LoadsResult
from hpelec.steps.service.model import ConductorChoice


def losses(
    site: ServiceSite, loads: LoadsResult, lateral: ConductorChoice, entrance: ConductorChoice
) -> tuple[Loss, ...]:
    """Loss of a year in each part; empty when expected_kWh is not given, is zero, or is beyond the design load."""
    peak_kW = loads.design_VA / 1000
    if not site.expected_kWh or peak_kW <= 0 or site.expected_kWh > peak_kW * value("hours"):
        return ()
    factor = rules.load_factor(site.expected_kWh, peak_kW)
    mean = rules.loss_factor(factor)
    made = []
    run = ("lateral", lateral, site.lateral_length_ft)
    for part, row, length_ft in (run, ("service entrance", entrance, site.service_entrance_length_ft)):
        ohm = rules_drop.resistance_ohm_per_kft(row.size, row.material) * length_ft / 1000 / row.sets
        peak = rules.loss_W(loads.design_A, ohm)
        made.append(
            Loss(
                part=part,
                peak_W=peak,
                load_factor=factor,
                loss_factor=mean,
                annual_kWh=rules.annual_loss_kWh(peak, mean),
                least_kWh=rules.annual_loss_kWh(peak, factor**2),
                most_kWh=rules.annual_loss_kWh(peak, factor),
                share_percent=rules.annual_loss_kWh(peak, mean) / site.expected_kWh * 100,
            )
        )
    return tuple(made)


def tell(told: Told, site: ServiceSite, loads: LoadsResult, made: tuple[Loss, ...]) -> None:
    """Working, assumption, or what is missing."""
    if not made:
        if site.expected_kWh is None:
            got, fix = "energy of a year is not given", "fill in expected_kWh in house.toml, from bills or a simulation"
        else:
            got = f"{site.expected_kWh:g} kWh in a year at a design load of {loads.design_VA / 1000:.1f} kVA"
            fix = "look at expected_kWh: no load factor between 0 and 1 follows from it"
        told.find(
            "lateral-loss",
            "lateral and service entrance",
            "energy lost in a year",
            got,
            "",
            fix,
            Verdict.CANNOT_SAY,
            rules.loss_factor,
        )
        return
    first = made[0]
    k = value("loss_linear")
    told.work(
        "loss: load factor", f"{site.expected_kWh:g} / ({loads.design_VA / 1000:.2f} x {value('hours'):g})",
        first.load_factor, "", rules.load_factor,
    )  # fmt: skip
    told.work(
        "loss: loss factor", f"{k:g} x {first.load_factor:.4f} + {1 - k:g} x {first.load_factor:.4f}^2",
        first.loss_factor, "", rules.loss_factor,
    )  # fmt: skip
    for row in made:
        told.work(f"loss of {row.part} at the design load", "2 I^2 R", row.peak_W, "W", rules.loss_W)
        told.work(
            f"loss of {row.part} in a year", f"{row.peak_W:.1f} / 1000 x {row.loss_factor:.5f} x {value('hours'):g}",
            row.annual_kWh, "kWh", rules.annual_loss_kWh,
        )  # fmt: skip
    told.assume(
        "loss",
        "peak of the year taken as the design load, conductors at 75 C, line conductors alone",
        "a real peak is lower and the conductors cooler; the meter stands after the lateral, so its loss is not on the "
        f"bill; between {sum(r.least_kWh for r in made):.0f} and {sum(r.most_kWh for r in made):.0f} kWh in any case",
    )
