"""The step airtightness: what each hole leaks, what all of them leak, and whether the target can be met."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from hpelec.core.citing import cite, weakest
from hpelec.core.editions import check_edition
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.working import Line, line
from hpelec.house.model import House
from hpelec.house.sections import Envelope
from hpelec.steps.airtightness import leaks as leaking
from hpelec.steps.airtightness import rules, rules_sums
from hpelec.steps.airtightness.model import AirtightnessResult, HoleLeak, Spread, TotalLeak
from hpelec.steps.airtightness.total import Total, checked
from hpelec.steps.penetrations.model import Hole, PenetrationsResult

BAND = 0.05
"""Share of cases left out at each end of the 90 % band."""


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum of leaks: plain sums, and the distribution of the independent sum."""

    spread: Spread
    mean_cfm50: float
    sd_cfm50: float
    total: Total


def design(house: House, edition: int, *, penetrations: PenetrationsResult) -> AirtightnessResult:
    """Leakage of every hole, unsealed and sealed, of all together, and of the house against its target."""
    check_edition(edition)
    envelope = house.envelope
    leaks = tuple(_leak(hole) for hole in sorted(penetrations.holes, key=lambda h: h.id))
    before, after = total_of([k.unsealed for k in leaks]), total_of([k.sealed for k in leaks])
    background, taken = _background(envelope)
    limit_cfm50 = rules.limit_cfm50(
        envelope.target_metric, envelope.target_limit, envelope.volume_ft3, envelope.area_ft2
    )
    parts = {"electrical holes, unsealed": before, "electrical holes, sealed": after}
    whole = None
    if background is not None:
        parts["everything else"] = total_of([background])
        parts["whole house, holes unsealed"] = total_of([*(k.unsealed for k in leaks), background])
        whole = total_of([*(k.sealed for k in leaks), background])
        parts["whole house, holes sealed"] = whole
    chance = whole.total.probability(limit_cfm50) if whole else None
    return AirtightnessResult(
        edition=edition,
        leaks=leaks,
        totals=tuple(_told(what, part, envelope, limit_cfm50) for what, part in parts.items()),
        unsealed=before.spread,
        sealed=after.spread,
        background=background,
        target_metric=envelope.target_metric,
        target_limit=envelope.target_limit,
        limit_cfm50=limit_cfm50,
        probability_percent=None if chance is None else 100 * chance,
        working=tuple(_working(penetrations.holes, leaks, envelope, limit_cfm50, before, after, whole)),
        findings=(_verdict(envelope, limit_cfm50, after, whole), *_weak_rows(leaks)),
        assumptions=(*_assumptions(leaks), *taken),
    )


def total_of(spreads: Sequence[Spread]) -> Sum:
    """Plain sums of a list of leaks, and the distribution when they vary independently.

    Sums are taken in order of size, so that the order of rows never shows.
    """
    triples = sorted((s.low_cfm50, s.best_cfm50, s.high_cfm50) for s in spreads)
    low, best, high = (math.fsum(t[i] for t in triples) for i in range(3))
    mean = math.fsum(rules_sums.triangular_mean(t) for t in triples)
    sd = math.sqrt(math.fsum(rules_sums.triangular_variance(t) for t in triples))
    spread = Spread(best_cfm50=best, low_cfm50=low, high_cfm50=high)
    return Sum(spread, mean, sd, Total(triples))


def _leak(hole: Hole) -> HoleLeak:
    before = leaking.unsealed(hole)
    after = leaking.sealed(hole, before)
    return HoleLeak(
        hole=hole.id,
        kind=hole.kind,
        surface=hole.surface,
        room=hole.room,
        unsealed=before.leak,
        sealed=after.leak,
        unsealed_by=before.by,
        sealed_by=after.by,
        method=hole.method,
        citation=before.citation,
        sealed_citation=after.citation,
    )


def _background(envelope: Envelope) -> tuple[Spread | None, tuple[Assumption, ...]]:
    """Leakage of everything else, when the house says it; ends left blank are taken equal to the best."""
    best = envelope.background_best_cfm50
    if best is None:
        return None, ()
    low, high = envelope.background_low_cfm50, envelope.background_high_cfm50
    taken = [name for name, value in (("lowest", low), ("highest", high)) if value is None]
    spread = Spread(best_cfm50=best, low_cfm50=best if low is None else low, high_cfm50=best if high is None else high)
    checked((spread.low_cfm50, spread.best_cfm50, spread.high_cfm50))
    told = Assumption("envelope, background leakage", f"{' and '.join(taken)} equal to the best", "left blank")
    return spread, (told,) if taken else ()


def _told(what: str, part: Sum, envelope: Envelope, limit_cfm50: float) -> TotalLeak:
    best = part.spread.best_cfm50
    return TotalLeak(
        what=what,
        leak=part.spread,
        mean_cfm50=part.mean_cfm50,
        sd_cfm50=part.sd_cfm50,
        band_low_cfm50=part.total.quantile(BAND),
        band_high_cfm50=part.total.quantile(1 - BAND),
        best_ach50=rules.ach50(best, envelope.volume_ft3),
        best_q50=rules.flow_per_area(best, envelope.area_ft2),
        share_percent=100 * best / limit_cfm50,
    )


def _verdict(envelope: Envelope, limit_cfm50: float, after: Sum, whole: Sum | None) -> Finding:
    """Meets when even the highest sum meets; misses when the best does not; else cannot say, with the chance."""
    allowed = f"{limit_cfm50:.0f} cfm50 ({envelope.target_metric} {envelope.target_limit:g}, {envelope.target_source})"
    if whole is None:
        got = f"sealed electrical holes {after.spread} cfm50; nothing known of the rest"
        alone = not rules.meets_limit(after.spread.best_cfm50, limit_cfm50)
        verdict = Verdict.MISSES if alone else Verdict.CANNOT_SAY
        fix = "fewer holes, better seals" if alone else "give background_best_cfm50 (a blower-door reading, or a goal)"
    else:
        chance = whole.total.probability(limit_cfm50)
        got = f"{whole.spread} cfm50 with sealed holes; chance to meet {_percent(chance)} if holes are independent"
        if rules.meets_limit(whole.spread.high_cfm50, limit_cfm50):
            verdict, fix = Verdict.MEETS, ""
        elif not rules.meets_limit(whole.spread.best_cfm50, limit_cfm50):
            verdict, fix = Verdict.MISSES, "less background leakage, fewer holes, better seals"
        else:
            verdict, fix = Verdict.CANNOT_SAY, "an interim blower-door test with the barrier in view"
    return Finding(
        "airtightness-target",
        "airtightness",
        "house",
        "leakage does not pass the target",
        got,
        allowed,
        fix,
        verdict,
        cite(rules.limit_cfm50),
    )


def _percent(chance: float) -> str:
    """A chance that is never rounded up to certainty."""
    return "over 99 %" if chance > 0.99 else "under 1 %" if chance < 0.01 else f"{100 * chance:.0f} %"


def _weak_rows(leaks: Sequence[HoleLeak]) -> list[Finding]:
    """How far the leakage rows are to be trusted, said once."""
    weak = sorted({k.unsealed_by.split(" x ")[0] for k in leaks if k.citation.accuracy == "memory"} - {""})
    rows = [w for w in weak if not w.startswith("gap flow")]
    if not rows:
        return []
    first = next(k for k in leaks if k.unsealed_by.startswith(rows[0]))
    return [
        Finding(
            "leakage-rows",
            "airtightness",
            "house",
            "leakage rows are seen in print",
            f"{'; '.join(rows)}: accuracy {weakest([first.citation.accuracy])}",
            "a row seen in the handbook",
            "check the rows against the handbook, or measure",
            Verdict.CANNOT_SAY,
            first.citation,
        )
    ]


def _working(
    holes: Sequence[Hole],
    leaks: Sequence[HoleLeak],
    envelope: Envelope,
    limit_cfm50: float,
    before: Sum,
    after: Sum,
    whole: Sum | None,
) -> list[Line]:
    lines = [*_limit_lines(envelope, limit_cfm50), *_hole_lines(holes, leaks)]
    for what, part in (("unsealed", before), ("sealed", after)):
        best = part.spread.best_cfm50
        lines.append(line(f"all holes {what}, best", f"sum of {len(leaks)} holes", best, "cfm50"))
        mean = "sum of (low + best + high)/3"
        lines.append(line(f"all holes {what}, mean", mean, part.mean_cfm50, "cfm50", rules_sums.triangular_mean))
        sd = "root of the sum of variances"
        lines.append(line(f"all holes {what}, sd", sd, part.sd_cfm50, "cfm50", rules_sums.triangular_variance))
        area = rules.leakage_area_cm2(best)
        what_area = f"all holes {what}, best, as area at 4 Pa, Cd 1"
        lines.append(line(what_area, f"from {best:.2f} cfm50", area, "cm2", rules.leakage_area_cm2))
    if whole is not None:
        chance = whole.total.probability(limit_cfm50)
        normal = rules_sums.normal_probability(whole.mean_cfm50, whole.sd_cfm50, limit_cfm50)
        what = f"P(total <= {limit_cfm50:.1f})"
        lines.append(line(what, "convolution", 100 * chance, "percent", rules_sums.sum_probability))
        by_hand = f"Phi(({limit_cfm50:.1f} - {whole.mean_cfm50:.1f}) / {whole.sd_cfm50:.2f})"
        lines.append(line(f"{what}, by hand", by_hand, 100 * normal, "percent", rules_sums.normal_probability))
    return lines


def _limit_lines(envelope: Envelope, limit_cfm50: float) -> list[Line]:
    how = {
        "ACH50": f"{envelope.target_limit:g} x {envelope.volume_ft3:g} / 60",
        "q50": f"{envelope.target_limit:g} x {envelope.area_ft2:g}",
        "q75": f"{envelope.target_limit:g} x {envelope.area_ft2:g} x (50/75)^{rules.EXPONENT:g}",
    }[envelope.target_metric]
    return [line("flow that the target allows", how, limit_cfm50, "cfm50", rules.limit_cfm50)]


def _hole_lines(holes: Sequence[Hole], leaks: Sequence[HoleLeak]) -> list[Line]:
    """The first hole of each way of reckoning, worked."""
    lines, seen = [], set()
    by_id = {h.id: h for h in holes}
    for leak in leaks:
        hole = by_id[leak.hole]
        key = (leak.unsealed_by, leak.sealed_by)
        if key in seen:
            continue
        seen.add(key)
        what = f"{hole.kind}, e.g. {leak.hole}"
        lines.append(line(f"{what}, unsealed", leak.unsealed_by, leak.unsealed.best_cfm50, "cfm50", leak.citation))
        lines.append(line(f"{what}, sealed", leak.sealed_by, leak.sealed.best_cfm50, "cfm50", leak.sealed_citation))
    return lines


def _assumptions(leaks: Sequence[HoleLeak]) -> tuple[Assumption, ...]:
    told = [
        Assumption("flow exponent", f"{rules.EXPONENT:g}", "only one pressure is known for each row"),
        Assumption(
            "spread of totals",
            "plain sums of lowests and of highests, as if the same hands made every hole well or badly",
            "workmanship is common to a house; the 90 % band beside it holds for independent holes and is narrower",
        ),
    ]
    if any(k.unsealed_by.startswith("gap flow") for k in leaks):
        told.append(
            Assumption(
                "cable holes",
                "leak as a ring of their open area: even (best), sharp edges (lowest), cable touching (highest)",
                "their size is known; the handbook row for a penetration (6 cm2) is larger than the whole open area of "
                "a hole drilled for one cable. A hole drilled larger than listed leaks more than the highest here",
            )
        )
    if any("test limit" in k.sealed_by for k in leaks):
        told.append(
            Assumption(
                "tested boxes and luminaires",
                "leak their test limit at most (best and highest), nothing at least",
                "a limit is not an estimate; no measured row is known",
            )
        )
    return tuple(told)
