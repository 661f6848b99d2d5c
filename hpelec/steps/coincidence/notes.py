"""What the step says beside its numbers, collected as it goes."""

from __future__ import annotations

from dataclasses import dataclass, field

from hpelec.core.citing import Citation
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.working import Line


@dataclass(slots=True)
class Notes:
    """Working, findings and assumptions."""

    working: list[Line] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    assumptions: list[Assumption] = field(default_factory=list)

    def say(
        self, name: str, place: str, rule: str, verdict: Verdict, by: Citation, *, got: str, allowed: str = "", fix: str
    ) -> None:
        """Add a finding."""
        made = Finding(f"coincidence-{name}", "coincidence", place, rule, got, allowed, fix, verdict, by)
        self.findings.append(made)

    def take(self, where: str, taken: str, why: str) -> None:
        """Add an assumption."""
        self.assumptions.append(Assumption(where, taken, why))
