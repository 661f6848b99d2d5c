"""Findings: what a rule says about this design. Good news, bad news and "cannot say" alike."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from hpelec.core.citing import Citation


class Verdict(StrEnum):
    """The three things a finding can say."""

    MEETS = "meets"
    MISSES = "misses"
    CANNOT_SAY = "cannot say"


@dataclass(frozen=True, slots=True)
class Finding:
    """One rule applied at one place.

    id: short stable name of the rule applied, e.g. "service-size". step: step that found it. place: room, panel,
    hole or circuit it speaks of. rule: the rule in our words. got and allowed: texts with units. fix: what would
    cure it (for `cannot say`: what is missing). verdict: see Verdict.
    """

    id: str
    step: str
    place: str
    rule: str
    got: str
    allowed: str
    fix: str
    verdict: Verdict
    citation: Citation

    def __str__(self) -> str:
        """One line for the command line."""
        text = f"{self.verdict.value.upper():10} {self.step}: {self.rule} at {self.place}: {self.got}"
        if self.allowed:
            text += f" (allowed: {self.allowed})"
        if self.fix and self.verdict is not Verdict.MEETS:
            text += f". To do: {self.fix}"
        return f"{text} [{self.citation}]"


@dataclass(frozen=True, slots=True)
class Assumption:
    """A value taken for the user: where it belongs, what was taken, and why."""

    where: str
    taken: str
    why: str


ORDER = {Verdict.MISSES: 0, Verdict.CANNOT_SAY: 1, Verdict.MEETS: 2}
"""Order in which lists show verdicts: what needs attention first."""
