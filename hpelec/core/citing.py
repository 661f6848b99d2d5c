"""Where a number comes from: the citation, and the mark that ties a rule function to its clause.

`@rule(...)` registers a function with its source; the ledger, the working and the reports read it from there,
so a clause is named in one place only.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from hpelec.core.editions import EDITIONS, by_edition

ACCURACY: tuple[str, ...] = ("published", "recomputed", "memory", "common practice")
"""Strongest first. `published`: seen in a source; `recomputed`: from a published formula or inputs;
`memory`: from knowledge of the standard, to be verified; `common practice`: a rule of the trade, no source."""


@dataclass(frozen=True, slots=True)
class Citation:
    """Source, place in it, edition, and how far the value is to be trusted (one of ACCURACY)."""

    source: str
    locator: str
    edition: str
    accuracy: str

    def __str__(self) -> str:
        """Short form for a table cell."""
        mark = "" if self.accuracy == "published" else f" [{self.accuracy}]"
        return f"{self.source}, {self.locator}{mark}"


OUR_OWN = Citation("arithmetic", "definition", "none", "recomputed")
"""For a plain sum, product or conversion that no source needs to state."""


def weakest(words: list[str] | tuple[str, ...]) -> str:
    """The least trusted of the accuracy words given (`published` for none)."""
    return max(words, key=ACCURACY.index, default="published")


@dataclass(frozen=True, slots=True)
class RuleInfo:
    """What the ledger shows of a rule function."""

    name: str
    module: str
    title: str
    source: str
    locators: Mapping[int, str]
    accuracy: str
    editions: tuple[int, ...]


RULES: dict[str, RuleInfo] = {}
"""Every rule imported so far, by "module:function"; the ledger test imports all of them."""

F = TypeVar("F", bound=Callable[..., Any])


def rule(
    title: str,
    *,
    source: str,
    locator: str | Mapping[int, str],
    accuracy: str,
    editions: tuple[int, ...] = EDITIONS,
) -> Callable[[F], F]:
    """Mark a function as the implementation of one clause or formula.

    title: what it decides, in words for a report. source: book or paper. locator: clause, or a mapping
    {edition from which it stands there: clause}. accuracy: one of ACCURACY. editions: those it is valid for.
    """
    if accuracy not in ACCURACY:
        raise ValueError(f"accuracy {accuracy!r} is not one of {ACCURACY}")
    locators = {editions[0]: locator} if isinstance(locator, str) else dict(locator)

    def mark(function: F) -> F:
        key = f"{function.__module__}:{function.__name__}"
        RULES[key] = RuleInfo(function.__name__, function.__module__, title, source, locators, accuracy, editions)
        function.__dict__["rule_key"] = key
        return function

    return mark


def cite(function: Callable[..., Any], edition: int | None = None) -> Citation:
    """The citation of a rule function, with the clause number of `edition` (latest when None)."""
    info = RULES[function.__dict__["rule_key"]]
    year = edition if edition is not None else max(info.locators)
    return Citation(
        info.source,
        by_edition(info.locators, year),
        str(edition) if edition is not None else f"{info.editions[0]}-{info.editions[-1]}",
        info.accuracy,
    )
