"""Findings, working, assumptions, the answer and the plan drawing, as HTML that a notebook stores and shows."""

from __future__ import annotations

import html
from collections.abc import Iterable, Sequence
from dataclasses import fields, is_dataclass
from typing import Any

from IPython.display import HTML

from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.results import frame
from hpelec.core.working import Line, show_number
from hpelec.plan import Plan
from hpelec.report.plan_drawing import plan_svg
from hpelec.report.svg import picture
from hpelec.summary import answer_lines

MARKS = {Verdict.MEETS: "&#10003; meets", Verdict.MISSES: "&#10007; misses", Verdict.CANNOT_SAY: "? cannot say"}
"""A sign and a word for each verdict, so that colour is never needed."""


def html_table(heads: Sequence[str], rows: Iterable[Sequence[str]], caption: str = "") -> str:
    """An HTML table of ready-made cells (already escaped)."""
    head = "".join(f'<th scope="col" style="text-align:left">{h}</th>' for h in heads)
    body = "".join("<tr>" + "".join(f'<td style="text-align:left">{c}</td>' for c in row) + "</tr>" for row in rows)
    told = f"<caption>{html.escape(caption)}</caption>" if caption else ""
    return f"<table>{told}<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def answer_html(plan: Plan) -> str:
    """The main answers as a table."""
    return html_table(("question", "answer"), [(html.escape(q), html.escape(a)) for q, a in answer_lines(plan)])


def answer_view(plan: Plan) -> HTML:
    """The main answers of the whole plan."""
    return HTML(answer_html(plan))


def findings_html(findings: Iterable[Finding]) -> str:
    """A list of findings as a table."""
    rows = [
        (MARKS[f.verdict], *(html.escape(t) for t in (f.place, f.rule, f.got, f.allowed, f.fix, str(f.citation))))
        for f in findings
    ]
    if not rows:
        return "<p>No findings.</p>"
    return html_table(("verdict", "place", "rule", "got", "allowed", "to do", "source"), rows)


def findings_view(plan: Plan, *steps: str, only: Verdict | None = None) -> HTML:
    """Findings of some steps (all when none is named), what needs attention first."""
    wanted = [f for f in plan.findings if (not steps or f.step in steps) and only in (None, f.verdict)]
    return HTML(findings_html(wanted))


def working_html(lines: Iterable[Line]) -> str:
    """Lines of working as a table."""
    rows = [
        (
            html.escape(entry.what),
            html.escape(entry.expression),
            f"{show_number(entry.value)} {html.escape(entry.unit)}",
            html.escape(str(entry.citation)),
        )
        for entry in lines
    ]
    return html_table(("what", "how", "value", "rule and source"), rows)


def working_view(lines: Iterable[Line]) -> HTML:
    """Lines of working, foldable."""
    listed = list(lines)
    return HTML(f"<details open><summary>{len(listed)} lines of working</summary>{working_html(listed)}</details>")


def assumptions_view(assumptions: Iterable[Assumption]) -> HTML:
    """What was taken for the user."""
    rows = [(html.escape(a.where), html.escape(a.taken), html.escape(a.why)) for a in assumptions]
    return HTML(html_table(("where", "taken", "why"), rows))


def plan_view(plan: Plan, level: str | None = None, routes: Sequence[str] = ()) -> HTML:
    """The plan drawing of one level (the first when none is named), to scale, with the cables of some circuits.

    Devices are drawn when the plan holds them, holes when it holds the sealing list that tags them.
    """
    name = level or plan.house.levels[0].id
    needs = (("fixed", None), ("devices", "devices"), ("labels", "devices"), ("holes", "sealing"))
    show = [part for part, step in needs if step is None or step in plan.results]
    drawn = plan_svg(plan, name, show=show, routes=routes)
    return HTML(picture(drawn, f"Plan of level {name} of {plan.house.general.name}"))


def told_value(plan: Plan, path: str, row: str = "") -> tuple[str, Any]:
    """Meaning and value of a result, by its path: "loads.design_A", or "hotwater.heaters[].delivered_F" for the row
    of that list which speaks of `row`.
    """
    step, *names, last = path.split(".")
    holder: Any = plan.results[step]
    for name in names:
        holder = getattr(holder, name.removesuffix("[]"))
        if name.endswith("[]"):
            holder = next(r for r in holder if getattr(r, fields(r)[0].name) == row)
    meaning = next(f.metadata["meaning"] for f in fields(holder) if f.name == last)
    return meaning, getattr(holder, last)


def told_table(paths: Sequence[str], *plans: Plan, heads: Sequence[str] = ("value",), row: str = "") -> str:
    """The results at `paths`, a line each, a column for each plan."""
    rows = []
    for path in paths:
        told = [told_value(plan, path, row) for plan in plans]
        name = f"{html.escape(told[0][0])} <code>{html.escape(path.rsplit('.', 1)[-1])}</code>"
        rows.append((name, *(_shown(value) for _, value in told)))
    return html_table(("", *map(html.escape, heads)), rows)


def _shown(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        table = frame(value).round(2)
        return str(table.astype(object).where(table.notna(), "").to_html(index=False, border=0))
    if isinstance(value, str) or is_dataclass(value):
        return html.escape(str(value))
    return "none" if value is None else show_number(round(value, 3))
