"""Every check in tests/published/*.json: a function of ours against a value from outside, source beside it.

A check is an object with
  id, what            short name, and what is checked
  call                "module:function" of ours (a rule, or an adapter in tests/adapters_<topic>.py for a whole step)
  args                keyword arguments
  expected            number, text, flag, null, list, or object of such by field name; or
  raises              name of the error of hpelec.core.errors that must be raised
  tolerance           largest difference allowed, a number or an object by field name (0 when left out)
  covers              further rules that the call exercises, as "module:function"
  source, locator, edition, accuracy, note
"""

from __future__ import annotations

import dataclasses
import importlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from hpelec.core import errors
from hpelec.core.citing import ACCURACY

FOLDER = Path(__file__).parent / "published"
CHECKS = [(path.stem, check) for path in sorted(FOLDER.glob("*.json")) for check in json.loads(path.read_text("utf-8"))]


def function_of(name: str) -> Callable[..., Any]:
    module, _, function = name.partition(":")
    return getattr(importlib.import_module(module), function)


def differences(got: Any, expected: Any, tolerance: Any, at: str = "") -> list[str]:
    if isinstance(expected, dict):
        found = []
        for key, value in expected.items():
            part = got[key] if isinstance(got, dict) else getattr(got, key)
            allowed = tolerance.get(key, 0) if isinstance(tolerance, dict) else tolerance
            found += differences(part, value, allowed, f"{at}.{key}" if at else key)
        return found
    if isinstance(expected, list):
        if len(got) != len(expected):
            return [f"{at}: {len(got)} values, expected {len(expected)}: {got!r}"]
        pairs = zip(got, expected, strict=True)
        return [d for i, (g, e) in enumerate(pairs) for d in differences(g, e, tolerance, f"{at}[{i}]")]
    if isinstance(expected, bool) or expected is None or isinstance(expected, str):
        return [] if got == expected else [f"{at or 'value'}: got {got!r}, expected {expected!r}"]
    close = isinstance(got, int | float) and abs(got - expected) <= tolerance * (1 + 1e-9) + 1e-12
    return [] if close else [f"{at or 'value'}: got {got!r}, expected {expected!r} within {tolerance!r}"]


@pytest.mark.parametrize(("topic", "check"), CHECKS, ids=[f"{topic}:{c['id']}" for topic, c in CHECKS])
def test_agrees_with_its_source(topic: str, check: dict[str, Any]) -> None:
    told = f"{check['id']} ({check['what']}); source: {check['source']}, {check['locator']} [{check['accuracy']}]"
    call = function_of(check["call"])
    if "raises" in check:
        with pytest.raises(getattr(errors, check["raises"])):
            call(**check["args"])
        return
    got = call(**check["args"])
    if dataclasses.is_dataclass(got) and not isinstance(check["expected"], dict):
        raise AssertionError(f"{told}: expected must be an object by field name")
    wrong = differences(got, check["expected"], check.get("tolerance", 0))
    assert not wrong, told + "\n  " + "\n  ".join(wrong)


def test_every_check_names_its_source() -> None:
    for topic, check in CHECKS:
        for key in ("id", "what", "call", "args", "source", "locator", "accuracy"):
            assert key in check, f"{topic}: {check.get('id')}: no {key}"
        assert check["accuracy"] in ACCURACY, f"{topic}: {check['id']}: accuracy {check['accuracy']!r}"
        assert ("expected" in check) != ("raises" in check), f"{topic}: {check['id']}: either expected or raises"


def test_ids_are_unique() -> None:
    ids = [f"{topic}:{c['id']}" for topic, c in CHECKS]
    assert len(ids) == len(set(ids)), sorted(i for i in ids if ids.count(i) > 1)
