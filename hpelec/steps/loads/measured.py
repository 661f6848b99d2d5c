"""The load of an existing house from a record of its demand, with what is added to it."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.core.working import show_number
from hpelec.house.sections_power import Measured
from hpelec.steps.loads import rules_appliances, rules_more
from hpelec.steps.loads.gather import COVERED, HVAC, SEASONS, Load, Scenario
from hpelec.steps.loads.sheet import Case, Sheet, fed_lines, idle_lines, limit_lines, remark_of, row_VA, times

RECORD = "recorded demand"


def peak_VA(record: Measured, voltage_V: float) -> float | None:
    """Largest demand of the record [VA]; None where none is given."""
    if record.peak_VA is not None:
        return record.peak_VA
    return None if record.peak_A is None else record.peak_A * voltage_V


def is_short(record: Measured) -> bool:
    """Whether the record is under a year, so that its conditions and the season's load matter."""
    return record.period_days is not None and record.period_days < rules_more.further("measured_year")


def standing_hvac_VA(loads: tuple[Load, ...]) -> float:
    """Larger of the heating and the cooling that stand [VA]."""
    standing = [load for load in loads if load.category == HVAC and not load.added]
    return max(sum(load.total_VA for load in standing if load.runs_in(season)) for season in SEASONS)


def seasonal_VA(record: Measured, loads: tuple[Load, ...]) -> float | None:
    """Load that the record could not show [VA]; None where nothing tells it."""
    if record.seasonal_VA is not None:
        return record.seasonal_VA
    if not is_short(record) or record.hvac_ran:
        return 0.0
    standing_VA = standing_hvac_VA(loads)
    return standing_VA if record.hvac_ran is False and standing_VA > 0 else None


def measured_applies(project: str, record: Measured, loads: tuple[Load, ...], sources: bool) -> tuple[bool, str]:
    """Whether the record may stand for the existing load, and why. sources: solar or storage stands at the house."""
    if project != "existing":
        return False, "for an existing dwelling only; this one is new"
    if record.peak_VA is None and record.peak_A is None:
        return False, "no record of the demand is given ([measured] in house.toml)"
    refused = rules_more.record_refused(
        record.period_days,
        record.interval_min,
        highest_line=record.highest_line,
        occupied=record.occupied,
        season_known=seasonal_VA(record, loads) is not None,
        sources_or_shaving=True if sources else record.sources_or_shaving,
    )
    if refused:
        return False, refused
    return True, f"existing dwelling with a record of {record.period_days} days"


@dataclass(frozen=True, slots=True)
class FromRecord:
    """Writer of the method from a record: the record, and what stands beside it."""

    record: Measured
    voltage_V: float
    standing: tuple[Load, ...]

    def __call__(self, case: Case, chosen: Scenario, season: str) -> Sheet:
        """The sheet for the added loads that run in one season."""
        sheet = Sheet("measured", season, case.edition, chosen.running)
        top_VA = peak_VA(self.record, self.voltage_V) or 0.0
        factor = rules_more.further("measured_factor")
        sheet.add(
            "recorded-peak",
            "existing load, from the record",
            RECORD,
            connected_VA=top_VA,
            factor=factor,
            demand_VA=rules_more.measured_existing_VA(top_VA),
            by=rules_more.measured_existing_VA,
            expression=f"{factor:g} x {show_number(top_VA)}",
            remark=f"largest demand in {self.record.period_days} days; loads that leave are still in it",
        )
        if season_VA := seasonal_VA(self.record, self.standing):
            sheet.add(
                "recorded-season",
                "load of the season that the record does not show",
                RECORD,
                connected_VA=season_VA,
                factor=1.0,
                demand_VA=season_VA,
                by=rules_more.record_refused,
                expression=f"{show_number(season_VA)} x 1",
            )
        for load in chosen.running:
            if load.category != COVERED and load.runs_in(season):
                self._added(sheet, load, case.edition)
        limit_lines(sheet, chosen)
        fed_lines(sheet, case)
        idle_lines(sheet, chosen)
        return sheet

    def _added(self, sheet: Sheet, load: Load, edition: int) -> None:
        each_VA = row_VA(load, edition) / load.quantity
        sheet.add(
            load.id,
            load.name,
            load.category,
            connected_VA=load.total_VA,
            factor=1.0,
            demand_VA=each_VA * load.quantity,
            by=rules_appliances.connected_VA,
            expression=f"{times(each_VA, load.quantity)} x 1",
            line_to_neutral=load.line_to_neutral,
            remark=remark_of(load, "added: in full"),
        )
