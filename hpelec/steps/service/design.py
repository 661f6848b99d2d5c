"""Step service: the rating to ask for, its conductors, and the voltage drop of the lateral."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.common import rules_ratings as ratings
from hpelec.common.rules_set_points import rating_with_set_point_A
from hpelec.core.citing import Citation, cite
from hpelec.core.editions import PROVISIONAL, check_edition
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.working import Line, line, show_number
from hpelec.house.model import House
from hpelec.steps.loads.model import LoadsResult
from hpelec.steps.service import rules
from hpelec.steps.service.building_feeders import building_feeders
from hpelec.steps.service.bus import bus_assumptions, buses_of, room
from hpelec.steps.service.feeders import feeders, grounding
from hpelec.steps.service.lateral import lateral
from hpelec.steps.service.metering import main_findings, mains, meter_assumptions, meter_finding, meter_of
from hpelec.steps.service.model import DropRow, RatingStep, ServiceResult
from hpelec.steps.service.model_spare import MainRow, SourceRoom, Wish
from hpelec.steps.service.runs import BRANCH_TOLD, branch_runs
from hpelec.steps.service.sizing import Sizing, sized
from hpelec.steps.service.spare import spare, wish_findings, wishes
from hpelec.steps.service.supply import Part, Supply, service_entrance
from hpelec.steps.service.thresholds import thresholds

BUS = Citation("NFPA 70", "230.80, 408.36", "2017-2026", "memory")


def design(house: House, edition: int, *, loads: LoadsResult) -> ServiceResult:
    """Ratings, conductors and lateral drop for the design load of the step loads.

    Raises EditionError for an unknown edition, RangeError when the load is not a finite number >= 0.
    """
    check_edition(edition)
    sizing = sized(house, edition, loads)
    added = _added(house, sizing, loads)
    parts: list[Part] = []
    drop_percent: float | None = None
    drops: tuple[DropRow, ...] = ()
    if sizing.main_A is not None:
        supply = Supply(house.service_site, house.panels, edition, loads, sizing.main_A, sizing.rating_A is None)
        entrance = service_entrance(supply)
        run, drops, drop_percent = lateral(supply)
        parts = [entrance, run, grounding(supply, entrance, run), feeders(supply), building_feeders(supply)]
    return ServiceResult(
        edition=edition,
        design_A=sizing.load_A,
        minimum_A=sizing.minimum_A,
        standard_A=sizing.standard_A,
        rating_A=sizing.rating_A,
        spare_A=None if sizing.rating_A is None else sizing.rating_A - sizing.load_A,
        main_A=sizing.main_A,
        ratings=_ratings(house, sizing),
        conductors=tuple(row for part in parts for row in part.rows),
        drops=drops,
        lateral_drop_percent=drop_percent,
        meter=added.meter,
        meter_needed_A=added.meter_needed_A,
        mains=added.mains,
        thresholds=thresholds(sizing),
        spare=spare(sizing),
        sources=added.sources,
        wishes=added.wishes,
        chains=tuple(row for part in parts for row in part.chains),
        runs=tuple(row for part in parts for row in part.runs),
        branch_runs=branch_runs(loads.voltage_V, edition),
        working=(*_working(sizing, edition, loads), *(entry for part in parts for entry in part.working)),
        findings=(
            *_size_findings(house, sizing, edition, loads),
            *_site_findings(house, sizing, edition),
            *added.findings,
            *(finding for part in parts for finding in part.findings),
        ),
        assumptions=(
            *_main_assumption(sizing),
            *added.assumptions,
            *(a for part in parts for a in part.assumptions),
            BRANCH_TOLD,
        ),
    )


@dataclass(frozen=True, slots=True)
class _Added:
    """Metering, mains, sources and wishes, with what they say."""

    meter: str = ""
    meter_needed_A: float | None = None
    mains: tuple[MainRow, ...] = ()
    sources: tuple[SourceRoom, ...] = ()
    wishes: tuple[Wish, ...] = ()
    findings: tuple[Finding, ...] = ()
    assumptions: tuple[Assumption, ...] = ()


def _added(house: House, sizing: Sizing, loads: LoadsResult) -> _Added:
    """What stands around the main: nothing when no main is known."""
    if sizing.main_A is None:
        return _Added()
    words, needed_A = meter_of(sizing, sizing.main_A)
    rows = mains(sizing, sizing.main_A, house.panels, house.appliances, loads)
    buses = buses_of(sizing, sizing.main_A, house.panels, house.appliances)
    sources = room(buses)
    wished = wishes(sizing, house.future, buses, sources)
    metered = [meter_finding(sizing, sizing.main_A)] if sizing.rating_A is not None else []
    return _Added(
        words,
        needed_A,
        rows,
        sources,
        wished,
        (*metered, *main_findings(sizing, rows, house.panels), *wish_findings(sizing, wished, buses, sources)),
        (*meter_assumptions(sizing), *bus_assumptions(buses)),
    )


def _ratings(house: House, sizing: Sizing) -> tuple[RatingStep, ...]:
    return tuple(
        RatingStep(
            rating_A=rating,
            margin_A=rating - sizing.load_A,
            share_percent=sizing.load_A / rating * 100,
            carries=rules.smallest_offer_A(sizing.load_A, (rating,), sizing.minimum_A) is not None,
            chosen=rating == sizing.rating_A,
        )
        for rating in sorted(set(house.service_site.offered_A))
    )


def _working(sizing: Sizing, edition: int, loads: LoadsResult) -> list[Line]:
    load = f"{sizing.load_A:.1f}"
    lines = [
        line(
            "design load",
            f"{show_number(round(loads.design_VA))} VA / {loads.voltage_V:g} V ({loads.chosen} method)",
            loads.design_A,
            "A",
        ),
        line(
            "smallest service",
            f"for what it supplies: {sizing.site.serves.replace('_', ' ')}",
            sizing.minimum_A,
            "A",
            rules.minimum_row(sizing.site.serves).citation,
        ),
    ]
    if sizing.load_A > loads.design_A:
        managed_A = loads.managed_continuous_A
        expression = f"{loads.design_A:.2f} + 0.25 x {managed_A:.2f}"
        by = rating_with_set_point_A
        lines.insert(1, line("load with its set points at 125 %", expression, sizing.load_A, "A", by, edition))
    if sizing.standard_A is not None:
        expression = f"first standard rating >= larger of {load} and {sizing.minimum_A:g}"
        lines.append(line("standard rating", expression, sizing.standard_A, "A", ratings.next_standard_A, edition))
    if sizing.rating_A is not None:
        expression = f"first offer >= larger of {load} and {sizing.minimum_A:g}"
        lines += [
            line("rating to ask for", expression, sizing.rating_A, "A", rules.smallest_offer_A, edition),
            line("spare", f"{sizing.rating_A:g} - {load}", sizing.rating_A - sizing.load_A, "A"),
            line("share", f"{load} / {sizing.rating_A:g} x 100", sizing.load_A / sizing.rating_A * 100, "%"),
        ]
    if sizing.main_A is not None and sizing.rating_A not in (None, sizing.main_A):
        expression = f"largest standard rating with 80 % of it within {sizing.rating_A:g}"
        lines.append(line("main overcurrent device", expression, sizing.main_A, "A", rules.main_of_rating_A, edition))
    return lines


def _finding(
    name: str, place: str, rule: str, got: str, allowed: str, fix: str, verdict: Verdict, by: Citation
) -> Finding:
    return Finding(name, "service", place, rule, got, allowed, fix, verdict, by)


def _size_findings(house: House, sizing: Sizing, edition: int, loads: LoadsResult) -> list[Finding]:
    load = f"{sizing.load_A:.1f} A"
    offers = ", ".join(f"{r:g}" for r in sorted(set(house.service_site.offered_A)))
    carried = sizing.rating_A is not None
    standard = f"{sizing.standard_A:g} A" if sizing.standard_A is not None else "a supply beyond the standard ratings"
    found = [
        _finding(
            "service-size",
            "service",
            "an offered rating carries the design load and is not below the smallest disconnect allowed",
            f"{load}; {sizing.rating_A:g} A carries it" if sizing.rating_A is not None else load,
            f"offers {offers} A; minimum {sizing.minimum_A:g} A",
            f"ask the utility for {standard}, or bring the load down (smaller heaters, load management)",
            Verdict.MEETS if carried else Verdict.MISSES,
            cite(rules.smallest_offer_A, edition),
        )
    ]
    if sizing.rating_A is not None:
        found.append(_threshold(house, sizing, sizing.rating_A, edition, loads.voltage_V))
        found += _heating_finding(sizing.rating_A, loads, edition)
    if edition in PROVISIONAL:
        found.append(
            _finding(
                "service-edition",
                "service",
                "tables of ampacity, ratings and grounding of this edition",
                f"edition {edition} seen only in change summaries; values of 2023 used",
                "values read in the edition itself",
                f"verify section and table numbers against the adopted edition {edition}",
                Verdict.CANNOT_SAY,
                cite(ratings.next_standard_A, edition),
            )
        )
    return found


HEATING = ("room_heater", "supplemental_heat", "furnace")


def _heating_finding(rating_A: float, loads: LoadsResult, edition: int) -> list[Finding]:
    """The rating against the branch circuits of fixed electric space heating, where there is any."""
    devices = {row.id: row.device_A for row in loads.amps if row.kind in HEATING and row.device_A is not None}
    if not devices:
        return []
    largest = max(devices, key=lambda name: (devices[name], name))
    return [
        _finding(
            "service-heating-branch",
            "service",
            "the rating is not below the largest branch circuit for space heating",
            f"{largest}: {devices[largest]:g} A",
            f"<= {rating_A:g} A",
            "a larger service, or heating on more and smaller circuits",
            Verdict.MEETS if rules.heating_branch_fits(rating_A, devices.values()) else Verdict.MISSES,
            cite(rules.heating_branch_fits, edition),
        )
    ]


def _threshold(house: House, sizing: Sizing, rating_A: float, edition: int, voltage_V: float) -> Finding:
    """How far the load is from the next rating, up and down."""
    smaller = [r for r in house.service_site.offered_A if sizing.minimum_A <= r < rating_A]
    larger = [r for r in house.service_site.offered_A if r > rating_A]
    spare_A = rating_A - sizing.load_A
    got = f"{spare_A:.1f} A ({show_number(round(spare_A * voltage_V))} VA) more still fits {rating_A:g} A"
    got += f", beyond it {min(larger):g} A" if larger else ", beyond it no offer"
    if smaller:
        less_A = sizing.load_A - max(smaller)
        got += f"; {less_A:.1f} A ({show_number(round(less_A * voltage_V))} VA) less would fit {max(smaller):g} A"
    else:
        got += "; no smaller rating is offered and allowed"
    return _finding(
        "service-threshold",
        "service",
        "distance of the design load from the next rating, up and down",
        got,
        "",
        "",
        Verdict.MEETS,
        cite(rules.smallest_offer_A, edition),
    )


def _site_findings(house: House, sizing: Sizing, edition: int) -> list[Finding]:
    found = _existing_findings(house, sizing, edition)
    fed = [p for p in house.panels if p.fed_from == "service"]
    if fed:
        total_A = sum(p.rating_A for p in fed)
        found.append(
            _finding(
                "panels-at-service",
                ", ".join(sorted(p.id for p in fed)),
                "panels fed from the service together are rated for the design load; each has a main no larger "
                "than its bus",
                f"{total_A:g} A of bus rating",
                f">= {sizing.load_A:.1f} A",
                "a panel with a larger bus, or one more panel at the service",
                Verdict.MEETS if total_A >= sizing.load_A else Verdict.MISSES,
                BUS,
            )
        )
    return found


def _existing_findings(house: House, sizing: Sizing, edition: int) -> list[Finding]:
    stands_A = house.service_site.existing_service_A
    if stands_A is None and house.general.project == "new":
        return []
    if stands_A is None:
        verdict, got = Verdict.CANNOT_SAY, "rating of the service that stands is not given"
        fix = "fill in existing_service_A in house.toml, from the label of the main"
    else:
        enough = rules.smallest_offer_A(sizing.load_A, (stands_A,), sizing.minimum_A) is not None
        verdict = Verdict.MEETS if enough else Verdict.MISSES
        asked = "a larger service" if sizing.rating_A is None else f"{sizing.rating_A:g} A"
        got, fix = f"{stands_A:g} A stands", f"ask for {asked}, or bring the load down"
    return [
        _finding(
            "service-existing",
            "service that stands",
            "the existing service carries the design load and is not below the smallest disconnect allowed",
            got,
            f">= {max(sizing.load_A, sizing.minimum_A):.1f} A",
            fix,
            verdict,
            cite(rules.smallest_offer_A, edition),
        )
    ]


def _main_assumption(sizing: Sizing) -> list[Assumption]:
    if sizing.main_A is None or sizing.rating_A is None or sizing.main_A == sizing.rating_A:
        return []
    return [
        Assumption(
            "service, main overcurrent device",
            f"{sizing.main_A:g} A main for the {sizing.rating_A:g} A rating",
            f"{sizing.rating_A:g} A is no standard device rating; read as the continuous rating of the meter equipment",
        )
    ]
