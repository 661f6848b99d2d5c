"""The answer and the plan drawing of each example house, as a person reviewed them.

`python -m tests.test_examples` writes them anew; the README shows one of the drawings.

A change here is a change of numbers: look at the difference, and tell it in CHANGELOG.md (old, new, why, source).
"""

from __future__ import annotations

import difflib
from pathlib import Path

import pytest

from hpelec.report.plan_drawing import plan_svg
from hpelec.summary import answer_text
from tests.houses import DEMO, EXAMPLES, example, planned

FOLDER = Path(__file__).parent / "approved"


def review_text(name: str) -> str:
    """The answer, the load lines and the sealing list: what a reviewer can follow by hand."""
    plan = planned(name)
    lines = [answer_text(plan), "", f"Load lines ({plan.loads.chosen} method)"]
    lines += [f"  {e.what}: {e.connected_VA:.0f} VA connected, {e.demand_VA:.0f} VA demand" for e in plan.loads.lines]
    lines += ["", "Methods"]
    lines += [f"  {m.method}: {m.demand_VA:.0f} VA, {m.demand_A:.1f} A" for m in plan.loads.methods if m.applies]
    lines += ["", "Conductors"]
    lines += [
        f"  {c.part}: {c.sets} x {c.size} {c.material}, neutral {c.neutral_size or '-'}"
        for c in plan.service.conductors
    ]
    lines += ["", "Circuits"]
    lines += [
        f"  {c.id} {c.name}: {c.breaker_A:g} A {c.poles}p {c.cable}, {len(c.outlets)} outlets"
        for c in plan.circuits.circuits
    ]
    lines += ["", "Sealing"]
    lines += [f"  {i.tag} {i.hole}: {i.method} in {i.layer}, {i.removes_cfm50:.2f} cfm50" for i in plan.sealing.items]
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("name", EXAMPLES)
def test_answer_is_the_approved_one(name: str) -> None:
    approved = (FOLDER / f"{name}.txt").read_text("utf-8")
    got = review_text(name)
    change = "\n".join(difflib.unified_diff(approved.splitlines(), got.splitlines(), "approved", "now", lineterm=""))
    assert got == approved, f"the answer for {name} changed; review it, then `python -m tests.test_examples`:\n{change}"


def test_readme_shows_the_present_answer() -> None:
    readme = (FOLDER.parent.parent / "README.md").read_text("utf-8")
    answer = answer_text(planned(DEMO)).split("\n\n")[0]
    missing = [line for line in answer.splitlines() if f"    {line}" not in readme.splitlines()]
    assert not missing, "README.md shows another answer: " + "; ".join(missing)


LEVELS = [(name, level.id) for name in EXAMPLES for level in example(name).levels]


@pytest.mark.parametrize(("name", "level"), LEVELS)
def test_plan_drawing_is_the_approved_one(name: str, level: str) -> None:
    approved = (FOLDER / f"{name}-{level}.svg").read_text("utf-8")
    assert plan_svg(planned(name), level) == approved, (
        f"the plan of {level} in {name} changed; look at it, then `python -m tests.test_examples`"
    )


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for house_name in EXAMPLES:
        (FOLDER / f"{house_name}.txt").write_text(review_text(house_name), encoding="utf-8")
    for house_name, level_name in LEVELS:
        drawn = plan_svg(planned(house_name), level_name)
        (FOLDER / f"{house_name}-{level_name}.svg").write_text(drawn, encoding="utf-8")
    print(f"written: {FOLDER.name}, {len(EXAMPLES)} answers and {len(LEVELS)} drawings")
