"""The whole line: read a house, run the steps in order, keep what did not change. Read this file first.

house = read_house("data/houses/...")
plan = design(house)
plan.table("loads"), plan.working("loads"), plan.findings
plan.redesign(house.changed(appliances=...))      # runs only the steps whose inputs changed
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, cast

from hpelec.core.editions import check_edition
from hpelec.core.findings import ORDER, Assumption, Finding, Verdict
from hpelec.core.results import StepResult, frame
from hpelec.core.working import Line
from hpelec.house.model import House
from hpelec.house.read import read_house

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["STEPS", "Plan", "Step", "design", "read_house"]


@dataclass(frozen=True, slots=True)
class Step:
    """One step: its name, the parts of the house it reads, and the earlier steps it takes."""

    name: str
    reads: tuple[str, ...]
    takes: tuple[str, ...] = ()

    @property
    def run(self) -> Callable[..., StepResult]:
        """The step's `design` function (imported when first needed)."""
        module = importlib.import_module(f"hpelec.steps.{self.name}.design")
        return cast("Callable[..., StepResult]", module.design)


GEOMETRY = ("levels", "spaces", "rooms", "openings", "fixed")

STEPS: tuple[Step, ...] = (
    Step("loads", ("general", "service_site", "appliances", "heaters", "measured", "buildings", "energy_managements")),
    Step(
        "hotwater",
        ("general", "place", "service_site", "water", "prices", "levels", "rooms", "heaters", "draw_points"),
    ),
    Step("service", ("general", "service_site", "panels", "appliances", "future"), ("loads",)),
    Step(
        "coincidence",
        (
            *("general", "service_site", "use_settings", "appliances", "heaters", "draw_points", "uses", "panels"),
            "energy_managements",
        ),
        ("loads", "hotwater", "service"),
    ),
    Step("lateral", ("general", "service_site", "appliances"), ("loads", "service")),
    Step(
        "faults",
        (
            *("general", "service_site", "grounding", "levels", "rooms", "openings", "fixed", "panels"),
            *("appliances", "heaters"),
        ),
        ("loads", "service"),
    ),
    Step("stages", ("temporary", "site_loads"), ("service",)),
    Step(
        "devices",
        (
            *(*GEOMETRY, "assemblies", "wall_builds", "appliances", "heaters", "lights", "fans", "panels"),
            *("placed_devices", "device_wishes", "furniture"),
        ),
    ),
    Step("lighting", (*GEOMETRY, "assemblies", "lights", "fans", "sprinklers", "lighting"), ("devices",)),
    Step(
        "circuits",
        (
            *("general", "circuit_settings", "service_site", "rooms", "appliances", "heaters", "buildings"),
            *("lights", "fans", "panels", "placed_devices"),
        ),
        ("devices", "loads"),
    ),
    Step("routes", (*GEOMETRY, "assemblies", "wall_builds", "panels", "routing"), ("devices", "circuits")),
    Step(
        "penetrations",
        (*GEOMETRY, "assemblies", "wall_builds", "lights", "panels", "service_site", "field_notes"),
        ("devices", "circuits", "routes", "service", "lateral"),
    ),
    Step("airtightness", ("envelope",), ("penetrations",)),
    Step("sealing", (), ("penetrations", "airtightness")),
)
"""The steps in order. A step sees only the parts named here, so a result can never be kept when it should not."""


class _Seen:
    """The parts of a house that a step has named; any other is refused."""

    def __init__(self, house: House, step: Step) -> None:
        self._house, self._step = house, step

    def __getattr__(self, part: str) -> Any:
        if part not in self._step.reads:
            raise AttributeError(f"step {self._step.name} reads house.{part} but plan.STEPS does not name it")
        return getattr(self._house, part)


@dataclass(frozen=True)
class Plan:
    """A designed house: one result for each step. Made by `design`."""

    house: House
    edition: int
    results: Mapping[str, StepResult]
    recomputed: tuple[str, ...] = field(default=(), compare=False)
    """Names of the steps that were run for this plan; the others were kept."""

    def __getattr__(self, name: str) -> Any:
        try:
            return self.__dict__["results"][name]
        except KeyError:
            raise AttributeError(f"a plan has no {name!r}; steps: {', '.join(s.name for s in STEPS)}") from None

    def table(self, step: str, part: str = "") -> pd.DataFrame:
        """A step's table; `part` names another of its lists (e.g. table("routes", "legs"))."""
        result = self.results[step]
        return frame(getattr(result, part or result.main))

    def working(self, step: str) -> tuple[Line, ...]:
        """A step's lines of working."""
        return self.results[step].working

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All findings, what needs attention first, in the order of the steps."""
        found = [f for result in self.results.values() for f in result.findings]
        return tuple(sorted(found, key=lambda f: ORDER[f.verdict]))

    @property
    def assumptions(self) -> tuple[Assumption, ...]:
        """What was taken for the user: defaults of the input, then of each step."""
        return (*self.house.assumptions, *(a for r in self.results.values() for a in r.assumptions))

    @property
    def misses(self) -> tuple[Finding, ...]:
        """The findings that miss."""
        return tuple(f for f in self.findings if f.verdict is Verdict.MISSES)

    @property
    def verdict_counts(self) -> dict[str, int]:
        """How many findings there are of each verdict."""
        words = [f.verdict for f in self.findings]
        return {v.value: words.count(v) for v in ORDER if v in words}

    def redesign(self, house: House, edition: int | None = None) -> Plan:
        """The same steps for a changed house; a step whose inputs are equal to this plan's is kept."""
        return design(house, self.edition if edition is None else edition, only=tuple(self.results), before=self)

    def __dir__(self) -> list[str]:
        """Names for completion in a notebook, the steps included."""
        return [*super().__dir__(), *self.results]


def design(house: House, edition: int | None = None, *, only: Sequence[str] = (), before: Plan | None = None) -> Plan:
    """Run the steps on a house.

    edition: edition of NFPA 70; None takes the house's own. only: the steps wanted (and those that they take);
    all when left out. before: a plan whose unchanged steps are kept. Raises EditionError for an unknown edition.
    """
    year = check_edition(house.general.edition if edition is None else edition)
    results: dict[str, StepResult] = {}
    ran: list[str] = []
    for step in steps_for(only):
        if before is not None and _unchanged(step, house, year, results, before):
            results[step.name] = before.results[step.name]
            continue
        taken = {name: results[name] for name in step.takes}
        results[step.name] = step.run(cast(House, _Seen(house, step)), year, **taken)
        ran.append(step.name)
    return Plan(house, year, results, tuple(ran))


def steps_for(only: Sequence[str] = ()) -> tuple[Step, ...]:
    """The steps wanted with all that they take, in order; every step when none is named."""
    by_name = {step.name: step for step in STEPS}
    strangers = [name for name in only if name not in by_name]
    if strangers:
        raise ValueError(f"no step {strangers[0]!r}; steps: {', '.join(by_name)}")
    wanted = set(only or by_name)
    for step in reversed(STEPS):
        if step.name in wanted:
            wanted.update(step.takes)
    return tuple(step for step in STEPS if step.name in wanted)


def _unchanged(step: Step, house: House, year: int, results: Mapping[str, StepResult], before: Plan) -> bool:
    return (
        before.edition == year
        and step.name in before.results
        and all(getattr(house, part) == getattr(before.house, part) for part in step.reads)
        and all(results[name] == before.results[name] for name in step.takes)
    )
