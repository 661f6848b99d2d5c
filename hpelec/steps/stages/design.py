"""Step stages: which supply feeds what at each stage, and the order in which loads move."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from hpelec.common import rules_ratings as ratings
from hpelec.core.citing import Citation, cite
from hpelec.core.editions import check_edition
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.working import Line, line
from hpelec.house.model import House
from hpelec.house.rows_loads import SiteLoad
from hpelec.house.sections_power import BUILD_STAGES, TemporarySupply
from hpelec.steps.service.model import ServiceResult
from hpelec.steps.stages import rules
from hpelec.steps.stages.model import Bar, Move, SiteRule, StagesResult, SupplyAtStage

TEMPORARY, PERMANENT = "temporary", "permanent"


@dataclass(frozen=True, slots=True)
class _Site:
    """The two supplies and the loads of the site, in an order that does not depend on that of the rows."""

    loads: tuple[SiteLoad, ...]
    temporary: TemporarySupply
    permanent_A: float | None
    edition: int

    @property
    def live(self) -> int:
        return BUILD_STAGES.index(self.temporary.live_stage)

    def fed(self, stage: int) -> list[SiteLoad]:
        """Loads that are needed at a stage."""
        return [x for x in self.loads if BUILD_STAGES.index(x.from_stage) <= stage <= BUILD_STAGES.index(x.to_stage)]

    def leg_A(self, loads: Iterable[SiteLoad], supply: str) -> float:
        """Current of the heavier leg of a supply, continuous loads 1.25 times."""
        counted = [(x.voltage_V, rules.counted_VA(x.power_VA, x.continuous)) for x in loads]
        if supply == TEMPORARY and self.temporary.voltage_V == 120:
            return sum(VA for _, VA in counted) / 120
        small = [VA for V, VA in counted if V == 120]
        return rules.heavier_leg_A(small, sum(VA for V, VA in counted if V != 120))

    def rating_A(self, supply: str) -> float | None:
        return self.temporary.rating_A if supply == TEMPORARY else self.permanent_A


def design(house: House, edition: int, *, service: ServiceResult) -> StagesResult:
    """Check both supplies at every stage, and write the order of moving. Raises EditionError for an unknown edition."""
    check_edition(edition)
    loads = tuple(sorted(house.site_loads, key=lambda x: (BUILD_STAGES.index(x.from_stage), x.priority, x.id)))
    site = _Site(loads, house.temporary, service.main_A, edition)
    supplies = tuple(_supplies(site))
    moves = _moves(site)
    needed_A = max((s.leg_A for s in supplies if s.supply == TEMPORARY), default=0.0)
    return StagesResult(
        edition=edition,
        live_stage=site.temporary.live_stage,
        supplies=supplies,
        moves=moves,
        bars=tuple(_bar(site, load) for load in loads),
        site_rules=tuple(_site_rules(edition)) if loads else (),
        temporary_rating_A=site.temporary.rating_A,
        temporary_needed_A=needed_A,
        working=tuple(_working(site, supplies)),
        findings=tuple(_findings(site, supplies, needed_A)),
        assumptions=_assumptions(site),
    )


def _carries(leg_A: float, rating_A: float | None) -> bool | None:
    return None if rating_A is None else leg_A <= rating_A * (1 + 1e-12)


def _supplies(site: _Site) -> Iterable[SupplyAtStage]:
    for number, stage in enumerate(BUILD_STAGES):
        supply = PERMANENT if number >= site.live else TEMPORARY
        fed = site.fed(number)
        if not fed:
            continue
        leg_A = site.leg_A(fed, supply)
        yield SupplyAtStage(
            stage=stage,
            supply=supply,
            loads=tuple(x.id for x in fed),
            connected_VA=sum(x.power_VA for x in fed),
            counted_VA=sum(rules.counted_VA(x.power_VA, x.continuous) for x in fed),
            leg_A=leg_A,
            rating_A=site.rating_A(supply),
            carries=_carries(leg_A, site.rating_A(supply)),
        )


def _moves(site: _Site) -> tuple[Move, ...]:
    """What both supplies carry after each step; loads that end before the permanent service is live do not move."""
    before = {x.id for x in site.fed(site.live - 1)} if site.live else set()
    wait = sorted((x for x in site.fed(site.live) if x.id in before), key=lambda x: (x.priority, -x.power_VA, x.id))
    if not wait:
        return ()
    moved: list[SiteLoad] = []
    made = [_move(site, 1, "", "the permanent service is inspected and energised, its main open", moved, wait)]
    for load in list(wait):
        wait, moved = wait[1:], [*moved, load]
        how = "stays: connected for good" if load.permanent else "fed from the permanent panel until its stage ends"
        made.append(
            _move(site, len(made) + 1, load.id, f"{load.name}: opened here, then closed there; {how}", moved, wait)
        )
    made.append(_move(site, len(made) + 1, "", "the temporary supply is opened, then taken away", moved, wait))
    return tuple(made)


def _move(site: _Site, order: int, load: str, what: str, moved: Sequence[SiteLoad], wait: Sequence[SiteLoad]) -> Move:
    temporary_A, permanent_A = site.leg_A(wait, TEMPORARY), site.leg_A(moved, PERMANENT)
    each = [
        _carries(A, site.rating_A(supply))
        for A, supply in ((temporary_A, TEMPORARY), (permanent_A, PERMANENT))
        if A > 0
    ]
    carries = False if False in each else None if None in each else True
    return Move(order=order, load=load, what=what, temporary_A=temporary_A, permanent_A=permanent_A, carries=carries)


def _bar(site: _Site, load: SiteLoad) -> Bar:
    return Bar(
        load=load.id,
        name=load.name,
        from_stage=load.from_stage,
        to_stage=load.to_stage,
        temporary=BUILD_STAGES.index(load.from_stage) < site.live,
        permanent=BUILD_STAGES.index(load.to_stage) >= site.live,
    )


def _working(site: _Site, supplies: Sequence[SupplyAtStage]) -> Iterable[Line]:
    for entry in supplies:
        place = f"{entry.stage}, {entry.supply} supply"
        fed = [x for x in site.loads if x.id in entry.loads]
        parts = " + ".join(f"{'1.25 x ' if x.continuous else ''}{x.power_VA:g}" for x in fed)
        yield line(f"{place}: load counted", parts, entry.counted_VA, "VA", rules.counted_VA, site.edition)
        if entry.supply == TEMPORARY and site.temporary.voltage_V == 120:
            yield line(f"{place}: current", f"{entry.counted_VA:g} / 120", entry.leg_A, "A")
        else:
            how = "120 V loads split as evenly as they go, 240 V loads on both legs"
            yield line(f"{place}: heavier leg", how, entry.leg_A, "A", rules.heavier_leg_A, site.edition)


def _finding(
    name: str, place: str, rule: str, got: str, allowed: str, fix: str, verdict: Verdict, by: Citation
) -> Finding:
    return Finding(name, "stages", place, rule, got, allowed, fix, verdict, by)


def _findings(site: _Site, supplies: Sequence[SupplyAtStage], needed_A: float) -> Iterable[Finding]:
    for supply in (TEMPORARY, PERMANENT):
        fed = [entry for entry in supplies if entry.supply == supply]
        if fed:
            yield _supply_finding(site, max(fed, key=lambda entry: entry.leg_A), sum(e.carries is False for e in fed))
    if needed_A > 0:
        yield _people_finding(site)
    for load in site.loads:
        if load.voltage_V == 240 and site.temporary.voltage_V == 120 and _bar(site, load).temporary:
            yield _finding(
                "temporary-voltage",
                load.name,
                "the temporary supply has the voltage that its loads need",
                "120 V supply",
                "120/240 V",
                "a three-wire temporary supply, or no 240 V load before the permanent service is live",
                Verdict.MISSES,
                cite(rules.heavier_leg_A, site.edition),
            )


def _supply_finding(site: _Site, entry: SupplyAtStage, missed: int) -> Finding:
    """What the stage with the largest current says of a supply."""
    none = entry.supply == TEMPORARY and entry.rating_A is None
    verdict = Verdict.CANNOT_SAY if entry.carries is None else Verdict.MEETS if entry.carries else Verdict.MISSES
    standard = ratings.next_standard_A(min(entry.leg_A, 6000.0), site.edition)
    return _finding(
        "stage-load",
        f"{entry.supply} supply, most loaded at {entry.stage}",
        "the main carries what it feeds, continuous loads 1.25 times",
        f"{entry.leg_A:.1f} A on the heavier leg ({', '.join(entry.loads)})"
        + (f"; too much at {missed} stage(s)" if missed else ""),
        f"<= {entry.rating_A:g} A" if entry.rating_A is not None else "",
        f"fill in rating_A of [temporary]: {standard:g} A or more"
        if none
        else f"a main of {standard:g} A, or fewer loads at once",
        verdict,
        rules.temporary_citation("continuous", site.edition),
    )  # fmt: skip


def _people_finding(site: _Site) -> Finding:
    row = rules.temporary_rule("people", site.edition)
    said = site.temporary.people_protected
    return _finding(
        "temporary-people",
        "temporary supply",
        row.text("said"),
        "not told" if said is None else "protected" if said else "not protected",
        "protected",
        "fill in people_protected of [temporary]" if said is None else "ground-fault protection at the supply",
        Verdict.CANNOT_SAY if said is None else Verdict.MEETS if said else Verdict.MISSES,
        row.citation,
    )


def _site_rules(edition: int) -> Iterable[SiteRule]:
    for name in ("service", "removal", "lighting", "one supply"):
        row = rules.temporary_rule(name, edition)
        yield SiteRule(rule=row.text("said"), citation=row.citation)


def _assumptions(site: _Site) -> tuple[Assumption, ...]:
    if not site.loads:
        return (Assumption("site.csv", "no loads of the building site", "no such table; the step stages says nothing"),)
    return (
        Assumption("stages, loads", "all loads of a stage run at once", "who runs what is not known: the careful side"),
        Assumption(
            "stages, legs",
            "120 V loads split over the two legs as evenly as whole loads allow",
            "the circuits of the site are not known",
        ),
        Assumption(
            "stages, permanent supply",
            "site loads only",
            "the load of the finished house is checked by the step service",
        ),
    )
