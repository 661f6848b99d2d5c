"""What every part of this step gathers beside its numbers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from hpelec.core.citing import OUR_OWN, Citation, cite
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.working import Line, line

STEP = "lateral"


@dataclass(slots=True)
class Told:
    """Lines, findings and assumptions as they gather, for one edition."""

    edition: int
    working: list[Line] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    assumptions: list[Assumption] = field(default_factory=list)

    def work(
        self, what: str, expression: str, value: float, unit: str, by: Callable[..., Any] | Citation = OUR_OWN
    ) -> None:
        """Add a line of working."""
        self.working.append(line(what, expression, value, unit, by, self.edition))

    def find(
        self, id: str, place: str, rule: str, got: str, allowed: str, fix: str, verdict: Verdict,
        by: Callable[..., Any] | Citation,
    ) -> None:  # fmt: skip
        """Add a finding; `by` is the rule function or a table row's citation."""
        citation = by if isinstance(by, Citation) else cite(by, self.edition)
        self.findings.append(Finding(id, STEP, place, rule, got, allowed, fix, verdict, citation))

    def assume(self, where: str, taken: str, why: str) -> None:
        """Add an assumption."""
        self.assumptions.append(Assumption(f"lateral, {where}", taken, why))


def judged(holds: bool, theirs: bool = False) -> Verdict:
    """Meets or misses; cannot say where the part is the utility's, which decides by its own rules."""
    if theirs:
        return Verdict.CANNOT_SAY
    return Verdict.MEETS if holds else Verdict.MISSES
