"""What the step says: assumptions, working, and findings that never claim more than the patterns of use can carry."""

from __future__ import annotations

from collections.abc import Sequence

from hpelec.core.citing import OUR_OWN, Citation, cite, weakest
from hpelec.core.findings import Verdict
from hpelec.core.working import line
from hpelec.steps.coincidence import law, patterns, rules, rules_trip
from hpelec.steps.coincidence.appliances import OWN
from hpelec.steps.coincidence.model import HeaterSet, LevelRow, LoadProcess, TripRow
from hpelec.steps.coincidence.notes import Notes
from hpelec.steps.coincidence.process import HOURS, HOURS_PER_YEAR, MIN_PER_H
from hpelec.steps.coincidence.totals import Totals, trip_years
from hpelec.steps.coincidence.words import period_words

CODE = Citation("NFPA 70", "Article 220, calculated loads", "2017-2026", "memory")
RULE_MAIN = "the main carries what really runs together"


def tell_household(share: float, factor: float, notes: Notes) -> None:
    """How far the loads of the household come together."""
    notes.take(
        "house.toml, use",
        f"loads that people switch on start when someone is awake at home, {factor:g} times as often in the "
        f"{share:.0%} busiest of these hours",
        "one family, one morning: its loads are not independent; the curve shows what this changes",
    )


def tell_model(notes: Notes) -> None:
    """The assumptions that hold for every house."""
    taken = (
        ("a 120 V load counts with its whole current, all of them on the same leg", "an upper view: the legs differ"),
        ("water heaters work at the coldest day's mains temperature all year", "an upper view"),
        ("the weather is one of four states, the same for every climate", "a rough year; give the use in use.csv"),
        (
            "a run stays in the state of the household that it began in",
            "an upper view: a long run may outlast a busy hour, and the loads then meet less often",
        ),
        ("all runs of a load are equally long", "only how long an overload lasts depends on it"),
        ("energy management limits nothing here", "the answer is that of the house without control"),
    )
    for what, why in taken:
        notes.take("coincidence", what, why)


def tell_loads(loads: Sequence[LoadProcess], notes: Notes) -> None:
    """A line of working for each load, and what was taken for its use."""
    weather = [s.year_share for s in patterns.weather()]
    for load in loads:
        if load.always_on:
            share, expression = 1.0, "always on"
        elif load.weather_duty:
            share = sum(y * d for y, d in zip(weather, load.weather_duty, strict=True))
            expression = " + ".join(f"{y:g} x {d:g}" for y, d in zip(weather, load.weather_duty, strict=True))
        else:
            share = load.starts_per_day * load.run_min / (HOURS * MIN_PER_H)
            expression = f"{load.starts_per_day:.4g} x {load.run_min:.4g} / 1440"
        what = f"{load.id}: share of the time on"
        notes.working.append(line(what, expression, share, "", load.citation))
    groups: dict[str, list[str]] = {}
    for load in loads:
        if load.group:
            groups.setdefault(load.group, []).append(load.id)
    for name, members in groups.items():
        if len(members) > 1:
            taken = f"{', '.join(members)}: one at a time; a start that finds another on is lost"
            notes.take("interlock", f"{name}: {taken}", "nobody waits for a heater that is locked out")
    for accuracy in ("memory", "common practice"):
        names = [p.id for p in loads if p.citation.accuracy == accuracy and p.citation != OWN]
        if names:
            notes.take("use.csv", f"use by kind, {accuracy}: {', '.join(names)}", "no use of its own is told")


def tell_total(found: Totals, most_A: float, code_A: float, overload: LevelRow | None, notes: Notes) -> None:
    """Working of the totals."""
    step = found.step_A
    count = f"sum of {found.up.top} steps of {step:g} A"
    mean = float(law.mean_steps(found.up.above)) * step
    low = float(law.mean_steps(found.down.above)) * step
    notes.working += [
        line("everything on at once, one of each interlock", "sum of the largest currents", most_A, "A"),
        line("load by the code", "step loads", code_A, "A", CODE),
        line("mean total, currents rounded up to the grid", count, mean, "A", cite(rules.on_share_by_hour)),
        line("mean total, currents rounded down", "the same", low, "A", cite(rules.on_share_by_hour)),
    ]
    if overload is None:
        return
    hours, events = overload.hours_per_year, overload.events_per_year
    notes.working += [
        line(f"hours a year above {overload.level_A:g} A", f"{hours / HOURS_PER_YEAR:.3e} x 8760", hours, "h"),
        line("crossings a year", f"{events / HOURS_PER_YEAR:.3e} x 8760", events, "1/year", cite(rules.return_years)),
    ]
    if overload.mean_min is not None and overload.return_years is not None:
        chance = rules.chance_of_one(events / HOURS_PER_YEAR, HOURS_PER_YEAR)
        spread = f"60 x {hours:.4g} / {events:.4g}"
        notes.working += [
            line("mean length of one", spread, overload.mean_min, "min", cite(rules.mean_above_min)),
            line("return period", f"1 / {events:.4g}", overload.return_years, "years", cite(rules.return_years)),
            line("chance of one in a year", f"1 - exp(-{events:.4g})", chance, "", cite(rules.chance_of_one)),
        ]


def judge(
    most_A: float,
    main_A: float | None,
    overload: LevelRow | None,
    trips: Sequence[TripRow],
    even_legs_years: float | None,
    code_A: float,
    loads: Sequence[LoadProcess],
    notes: Notes,
) -> None:
    """The findings."""
    notes.say(
        "code-first",
        "service",
        "a probability never lowers a load of the code",
        Verdict.MEETS,
        CODE,
        got=f"the code's load of {code_A:.1f} A sizes the service; what stands here is advice beside it",
        fix="",
    )
    _judge_main(most_A, main_A, overload, trips, even_legs_years, notes)
    weak = [p for p in loads if p.citation.accuracy in ("memory", "common practice") and p.citation != OWN]
    if weak:
        by_size = sorted(weak, key=lambda p: (-p.current_A, p.id))
        accuracy = weakest([p.citation.accuracy for p in weak])
        notes.say(
            "weak-use",
            "house",
            "an answer is as good as what is known of the use",
            Verdict.CANNOT_SAY,
            Citation("patterns of use by kind", "use_patterns", "none", accuracy),
            got=f"{len(weak)} of {len(loads)} loads by patterns that nobody has measured here",
            fix=f"tell the use of the largest in use.csv: {', '.join(p.id for p in by_size[:3])}",
        )


def _judge_main(
    most_A: float,
    main_A: float | None,
    overload: LevelRow | None,
    trips: Sequence[TripRow],
    even_legs_years: float | None,
    notes: Notes,
) -> None:
    if main_A is None or overload is None:
        notes.say(
            "main-overload",
            "main",
            RULE_MAIN,
            Verdict.CANNOT_SAY,
            cite(rules.return_years),
            got=f"everything on at once takes {most_A:.0f} A",
            fix="no main is known: offer a service rating that carries the load by the code",
        )
        return
    if most_A <= main_A:
        notes.say(
            "main-overload",
            "main",
            RULE_MAIN,
            Verdict.MEETS,
            cite(rules.return_years),
            got=f"everything on at once takes {most_A:.0f} A",
            allowed=f"<= {main_A:g} A",
            fix="",
        )
        return
    last = f"{overload.mean_min:.0f} min each" if overload.mean_min is not None else "no time"
    slow, quick = (_trip_words(trip_years(trips, b)) for b in rules_trip.BREAKERS)
    notes.say(
        "main-overload",
        "main",
        RULE_MAIN,
        Verdict.CANNOT_SAY,
        cite(rules.return_years),
        got=f"above {main_A:g} A {period_words(overload.return_years)}, {last}; the same loads hold it until a "
        f"slow main trips: {slow}, until a quick one does: {quick}; with 120 V loads shared evenly by the legs "
        f"{period_words(even_legs_years)}; everything on at once takes {most_A:.0f} A",
        allowed=f"<= {main_A:g} A",
        fix="these are odds from patterns of use, not a promise: measure, interlock or manage the largest loads",
    )


def _trip_words(years: float | None) -> str:
    return "hardly ever, if at all" if years is None else period_words(years)


def judge_sets(sets: Sequence[HeaterSet], main_A: float | None, notes: Notes) -> None:
    """Water heaters that nothing keeps apart stay, by themselves, within the main and their panel."""
    if not sets or main_A is None:
        return
    over = [row for row in sets if row.verdict.startswith("no:")]
    free = [row for row in sets if not row.verdict.startswith("never")]
    shown = max(over or free, key=lambda row: (row.together_A, row.heaters))
    panel = "" if shown.panel_left_A is None else f", {shown.panel} {shown.panel_left_A + shown.together_A:g} A"
    notes.say(
        "heaters-together",
        " + ".join(shown.heaters),
        "water heaters that nothing keeps apart stay within the main and their panel",
        Verdict.MISSES if over else Verdict.MEETS,
        OUR_OWN,
        got=f"{shown.together_A:.1f} A at full current, {shown.hours_per_year:.0f} h a year together",
        allowed=f"<= main {main_A:g} A{panel}",
        fix="an interlock, energy management, a smaller heater or a tank",
    )


def trip_note(main_A: float, notes: Notes, *, known: bool) -> None:
    """Working of the trip curve, or a finding that no limits are known for this rating."""
    if not known:
        notes.say(
            "trip-curve",
            "main",
            "how long an overload may last before the main trips",
            Verdict.CANNOT_SAY,
            cite(rules_trip.trip_min),
            got=f"no trip limits are known for {main_A:g} A",
            fix="look up the maker's time-current curve",
        )
        return
    for breaker in rules_trip.BREAKERS:
        for row in rules_trip.points(main_A, breaker):
            multiple, minutes = row.number("multiple"), row.number("minutes")
            what = f"a {breaker} breaker trips at {multiple:g} x {main_A:g} A within"
            notes.working.append(line(what, "table of trip times", minutes, "min", row.citation))
    notes.take(
        "coincidence",
        "the main trips when the same loads hold an overload for the time of its curve, a slow one or a quick one",
        "heat left from before, and an overload that other loads take over, are not followed",
    )
