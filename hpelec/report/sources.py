"""Every distinct source that a plan rests on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from hpelec.core.citing import ACCURACY, Citation
from hpelec.plan import Plan


def sources(plan: Plan) -> list[tuple[Citation, tuple[str, ...]]]:
    """Each distinct citation and the names of the steps that use it, the least trusted first."""
    used: dict[Citation, list[str]] = {}
    for step, result in plan.results.items():
        for citation in _citations(result):
            steps = used.setdefault(citation, [])
            if step not in steps:
                steps.append(step)
    rank = {word: -i for i, word in enumerate(ACCURACY)}
    ordered = sorted(used.items(), key=lambda e: (rank[e[0].accuracy], e[0].source, e[0].locator, e[0].edition))
    return [(citation, tuple(steps)) for citation, steps in ordered]


def _citations(value: Any) -> Iterator[Citation]:
    if isinstance(value, Citation):
        yield value
    elif isinstance(value, tuple):
        for entry in value:
            yield from _citations(entry)
    elif is_dataclass(value):
        for entry in fields(value):
            yield from _citations(getattr(value, entry.name))
