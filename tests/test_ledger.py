"""The ledger: every rule, and the published checks that exercise it. `python3 start.py ledger` writes it."""

from __future__ import annotations

import importlib
from pathlib import Path

from hpelec.core.citing import RULES
from tests.test_published import CHECKS

ROOT = Path(__file__).parent.parent
LEDGER = Path(__file__).parent / "published" / "LEDGER.md"


def import_all_rules() -> None:
    package = ROOT / "hpelec"
    for path in sorted([*(package / "common").rglob("*.py"), *(package / "steps").rglob("*.py")]):
        importlib.import_module(".".join(path.relative_to(ROOT).with_suffix("").parts))


def own_rules() -> list[str]:
    """Keys of the library's rules: a test may mark functions of its own."""
    return sorted(key for key in RULES if key.startswith("hpelec."))


def covered() -> dict[str, list[str]]:
    by_rule: dict[str, list[str]] = {}
    for topic, check in CHECKS:
        for name in (check["call"], *check.get("covers", ())):
            by_rule.setdefault(name, []).append(f"{topic}:{check['id']}")
    return by_rule


def ledger_text() -> str:
    import_all_rules()
    by_rule = covered()
    lines = [
        "# Ledger of rules",
        "",
        "Made by `python3 start.py ledger`; do not edit. Every rule function of the library, where it stands,",
        "how far its source is to be trusted, and the published checks that exercise it.",
        "",
        "| rule | decides | source | clause | accuracy | editions | checks |",
        "|---|---|---|---|---|---|---|",
    ]
    for key in own_rules():
        r = RULES[key]
        clause = "; ".join(f"{y}: {t}" if len(r.locators) > 1 else t for y, t in r.locators.items())
        editions = f"{r.editions[0]}-{r.editions[-1]}"
        name = key.removeprefix("hpelec.").removeprefix("steps.").replace(".rules", "")
        checks = ", ".join(by_rule.get(key, ["none"]))
        lines.append(f"| `{name}` | {r.title} | {r.source} | {clause} | {r.accuracy} | {editions} | {checks} |")
    return "\n".join(lines) + "\n"


def test_every_rule_has_a_check() -> None:
    import_all_rules()
    bare = sorted(set(own_rules()) - set(covered()))
    assert not bare, "rules without a published check: " + ", ".join(bare)


def test_every_covered_name_is_a_rule_or_an_adapter() -> None:
    import_all_rules()
    strangers = [n for n in covered() if n not in RULES and not n.startswith(("tests.adapters_", "hpelec.core."))]
    assert not strangers, f"checks name functions that are no rules: {strangers}"


def test_stored_ledger_is_up_to_date() -> None:
    assert LEDGER.read_text("utf-8") == ledger_text(), "run `python3 start.py ledger` and look at the difference"


if __name__ == "__main__":
    LEDGER.write_text(ledger_text(), encoding="utf-8")
    print(f"wrote {LEDGER.relative_to(ROOT)}: {len(own_rules())} rules")
