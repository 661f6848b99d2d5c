"""The calculated load beside what was measured: published peaks, and the house's own year. It never lowers a load."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from hpelec.core.citing import cite
from hpelec.core.findings import Finding, Verdict
from hpelec.core.tables import Row
from hpelec.core.working import Line, line, show_number
from hpelec.house.sections import General
from hpelec.steps.loads import rules_reality
from hpelec.steps.loads.model_reality import PublishedFigure, Reality

USES = ("own peak", "panel", "coincident", "year", "trend", "rule", "data set")
WHY_NOT = {
    "panel": "a rating that was installed, not a load that was measured",
    "coincident": "a share of the system's peak: single homes peak higher, at other hours; not a service load",
    "year": "energy of a year, homes of all fuels",
    "trend": "a ratio for whole counties",
    "rule": "what another authority asks for, no measurement",
    "data set": "no value seen; data to compute one from",
}
"""Why a published figure does not stand beside the load of one house, by its use."""
BETTER = (
    "the open circuit-level data of the Northwest metering study would give one;"
    " a year of 15-minute readings gives its own"
)


@dataclass(frozen=True, slots=True)
class Checked:
    """The comparison with its working and findings."""

    reality: Reality
    working: tuple[Line, ...]
    findings: tuple[Finding, ...]


@cache
def figures() -> tuple[PublishedFigure, ...]:
    """Every published figure, those that compare first."""
    return tuple(_figure(row) for use in USES for row in rules_reality.published(use))


def _figure(row: Row) -> PublishedFigure:
    use = row.text("use")
    return PublishedFigure(
        population=row.text("population"),
        quantity=row.text("quantity"),
        use=use,
        kind=row.text("kind"),
        low=row.number_or_none("value_low"),
        high=row.number_or_none("value_high"),
        unit=row.text("unit"),
        rating_A=row.number_or_none("rating_a"),
        comparable=rules_reality.comparable(use),
        remark="; ".join(t for t in (WHY_NOT.get(use, ""), row.text("note")) if t),
        citation=row.citation,
    )


def check_reality(general: General, design_VA: float, design_A: float, edition: int) -> Checked:
    """The chosen method's load beside published own peaks and the house's own metered year."""
    own = [f for f in figures() if f.comparable and f.unit == "A" and f.low is not None]
    ends_A = [end for f in own for end in (f.low, f.high) if end is not None]
    design_kW, year_kWh = design_VA / 1000, general.annual_kWh
    share = rules_reality.load_factor_percent(year_kWh, design_kW) if year_kWh is not None and design_kW > 0 else None
    reality = Reality(
        design_A=design_A,
        design_kW=design_kW,
        band_low_A=min(ends_A, default=None),
        band_high_A=max(ends_A, default=None),
        band_count=len(own),
        figures=figures(),
        annual_kWh=year_kWh,
        mean_kW=None if year_kWh is None else rules_reality.mean_kW(year_kWh),
        load_factor_percent=share,
    )
    return Checked(reality, tuple(_working(reality)), tuple(_findings(reality, general.project, edition)))


def _working(made: Reality) -> Iterator[Line]:
    if made.annual_kWh is None or made.mean_kW is None:
        return
    yield line(
        "reality: average power of the year", f"{show_number(made.annual_kWh)} kWh / 8760 h", made.mean_kW, "kW",
        rules_reality.mean_kW,
    )  # fmt: skip
    if made.load_factor_percent is not None:
        yield line(
            "reality: load factor against the calculated load",
            f"{made.mean_kW:.3f} kW / {made.design_kW:.3f} kW", made.load_factor_percent, "percent",
            rules_reality.load_factor_percent,
        )  # fmt: skip


def _findings(made: Reality, project: str, edition: int) -> Iterator[Finding]:
    yield _beside_peaks(made)
    if made.annual_kWh is None or made.mean_kW is None:
        yield Finding(
            "reality-year", "loads", "house", "the calculated load beside the electricity used in a year",
            "no metered year given", "", "give annual_kWh, from twelve bills or the meter", Verdict.CANNOT_SAY,
            cite(rules_reality.load_factor_percent, edition),
        )  # fmt: skip
        return
    possible = made.mean_kW <= made.design_kW
    before = ", metered before the electrification" if project == "existing" else ""
    yield Finding(
        "reality-year", "loads", "house", "the average power of a year is never above the peak",
        f"average {made.mean_kW:.2f} kW of {show_number(made.annual_kWh)} kWh{before}",
        f"{made.design_kW:.2f} kW calculated",
        "loads are missing from the description, or the year is wrong",
        Verdict.MEETS if possible else Verdict.MISSES, cite(rules_reality.mean_kW, edition),
    )  # fmt: skip
    if made.load_factor_percent is not None and possible:
        yield Finding(
            "reality-load-factor", "loads", "house", "the load factor of the year beside that of other houses",
            f"{made.load_factor_percent:.1f} percent of the calculated load", "",
            "a published band of annual load factors of all-electric houses: none was at hand", Verdict.CANNOT_SAY,
            cite(rules_reality.load_factor_percent, edition),
        )  # fmt: skip


def _beside_peaks(made: Reality) -> Finding:
    first = next(f for f in made.figures if f.comparable)
    low_A, high_A = made.band_low_A or 0.0, made.band_high_A or 0.0
    span = f"{low_A:g} A" if low_A == high_A else f"{low_A:g} to {high_A:g} A"
    houses = "one published own peak" if made.band_count == 1 else f"{made.band_count} published own peaks"
    return Finding(
        "reality-peak", "loads", "house", "the calculated load beside measured own peaks of all-electric houses",
        f"{made.design_A:.1f} A calculated; {houses}: {span} ({first.population})", "",
        f"a measured distribution of annual peaks: {BETTER}", Verdict.CANNOT_SAY, first.citation,
    )  # fmt: skip
