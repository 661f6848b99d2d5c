"""The core: tables refuse what is not cited, numbers show their working, JSON and its schema agree."""

from __future__ import annotations

import dataclasses
import json
import math
from collections.abc import Mapping
from enum import StrEnum
from pathlib import Path
from typing import Any, ClassVar

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hpelec.core.agreeing import DisagreementError, agree
from hpelec.core.citing import ACCURACY, OUR_OWN, RULES, Citation, cite, rule, weakest
from hpelec.core.editions import EDITIONS, by_edition, check_edition
from hpelec.core.errors import EditionError, InputErrors, InputProblem, RangeError, TableError, in_range, nearest
from hpelec.core.findings import Finding, Verdict
from hpelec.core.results import StepResult, as_json, frame, json_schema, told
from hpelec.core.tables import read_table, table
from hpelec.core.working import line, show_number, written

MANY = settings(max_examples=60, deadline=None)

# --- published tables ------------------------------------------------------------------------------------------------

HEAD = "size,value,source,locator,edition,accuracy\n"
GOOD = "a,1.5,A book,Table 1,2023,published\n"


def made(folder: Path, text: str) -> Any:
    path = folder / "t.csv"
    path.write_text(text, encoding="utf-8")
    return read_table(path, "topic/t")


def test_a_cited_table_is_read(tmp_path: Path) -> None:
    got = made(tmp_path, HEAD + GOOD + "\nb,,A book,Table 1,2023,memory\n")
    assert [r.text("size") for r in got] == ["a", "b"]
    assert got.one(size="a").number("value") == 1.5
    assert got.one(size="b").number_or_none("value") is None
    assert got.one(size="b").citation == Citation("A book", "Table 1", "2023", "memory")
    assert got.where(size="c") == ()


@pytest.mark.parametrize("column", ["source", "locator", "edition", "accuracy"])
def test_a_row_without_its_citation_is_refused(column: str, tmp_path: Path) -> None:
    names = HEAD.strip().split(",")
    cells = GOOD.strip().split(",")
    cells[names.index(column)] = " "
    with pytest.raises(TableError, match=f"line 3: empty {column}"):
        made(tmp_path, HEAD + GOOD + ",".join(cells) + "\n")
    without = [n for n in names if n != column]
    with pytest.raises(TableError, match=f"columns missing: {column}"):
        made(tmp_path, ",".join(without) + "\n")


@pytest.mark.parametrize("word", ["Published", "sure", "memory?", "published, memory"])
def test_an_unknown_accuracy_word_is_refused(word: str, tmp_path: Path) -> None:
    with pytest.raises(TableError, match="allowed: published, recomputed, memory, common practice"):
        made(tmp_path, HEAD + GOOD.replace("published", f'"{word}"'))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (HEAD + "a,1,5,A book,Table 1,2023,published\n", "line 2: 7 cells under 6 columns"),
        (HEAD + "a,A book,Table 1,2023,published\n", "line 2: 5 cells under 6 columns"),
        (HEAD + 'a,1,"A book,Table 1,2023,published\n', "cannot be read"),
        ("", "columns missing: source, locator, edition, accuracy"),
    ],
)
def test_a_broken_table_is_refused(text: str, says: str, tmp_path: Path) -> None:
    with pytest.raises(TableError, match=says):
        made(tmp_path, text)


@pytest.mark.parametrize("text", ["", "many", "nan", "inf", "1 000"])
def test_a_cell_that_is_no_number_is_refused(text: str, tmp_path: Path) -> None:
    got = made(tmp_path, HEAD + GOOD.replace("1.5", text))
    with pytest.raises(TableError, match="line 2, column value"):
        got.rows[0].number("value")


def test_a_row_or_column_that_is_not_there_is_told(tmp_path: Path) -> None:
    got = made(tmp_path, HEAD + GOOD + GOOD)
    with pytest.raises(TableError, match=r"2 rows for .*'a'"):
        got.one(size="a")
    with pytest.raises(TableError, match=r"0 rows for .*the table has size: a"):
        got.one(size="z")
    with pytest.raises(TableError, match="no column 'colour'; has size, value"):
        got.rows[0].text("colour")
    with pytest.raises(TableError, match="no published table 'topic/none'"):
        table("topic/none")


# --- citing and editions ---------------------------------------------------------------------------------------------


@rule("a trial", source="A code", locator={2020: "1.2", 2026: "9.2"}, accuracy="memory", editions=(2020, 2023, 2026))
def trial(x: float, edition: int) -> float:
    return x


@rule("a formula", source="A paper", locator="eq. 1", accuracy="published")
def formula(x: float) -> float:
    return x


def test_a_citation_names_the_clause_of_its_edition() -> None:
    assert cite(trial, 2020) == Citation("A code", "1.2", "2020", "memory")
    assert cite(trial, 2023).locator == "1.2"
    assert cite(trial, 2026).locator == "9.2"
    assert cite(formula, 2017).locator == "eq. 1"
    assert cite(formula).edition == "2017-2026"
    with pytest.raises(EditionError, match="begins with 2020"):
        cite(trial, 2017)
    assert str(cite(trial, 2026)) == "A code, 9.2 [memory]"
    assert str(cite(formula)) == "A paper, eq. 1"
    del RULES[f"{__name__}:trial"], RULES[f"{__name__}:formula"]


def test_a_rule_needs_a_known_accuracy_word() -> None:
    with pytest.raises(ValueError, match="'certain' is not one of"):
        rule("x", source="y", locator="z", accuracy="certain")


@MANY
@given(st.lists(st.sampled_from(ACCURACY)))
def test_the_weakest_word_wins(words: list[str]) -> None:
    got = weakest(words)
    assert got == "published" if not words else got in words
    assert all(ACCURACY.index(got) >= ACCURACY.index(w) for w in words)


@MANY
@given(st.dictionaries(st.integers(2000, 2040), st.integers(), min_size=1), st.integers(1990, 2050))
def test_by_edition_takes_the_last_that_began(values: dict[int, int], edition: int) -> None:
    began = [year for year in values if year <= edition]
    if began:
        assert by_edition(values, edition) == values[max(began)]
    else:
        with pytest.raises(EditionError, match=f"begins with {min(values)}"):
            by_edition(values, edition)


@pytest.mark.parametrize("edition", [2014, 2018, 0, -2023, 20230])
def test_an_unknown_edition_is_refused(edition: int) -> None:
    with pytest.raises(EditionError, match="2017, 2020, 2023, 2026"):
        check_edition(edition)
    assert [check_edition(e) for e in EDITIONS] == list(EDITIONS)


# --- ranges, words, problems -----------------------------------------------------------------------------------------


@MANY
@given(st.floats(), st.floats(-10, 0), st.floats(1, 10))
def test_in_range_lets_through_what_is_in_range(value: float, low: float, high: float) -> None:
    if math.isfinite(value) and low <= value <= high:
        assert in_range("x", value, low=low, high=high) == value
    else:
        with pytest.raises(RangeError, match="x must be"):
            in_range("x", value, low=low, high=high)


def test_in_range_at_the_edge() -> None:
    assert in_range("x", 0.0, low=0) == 0
    with pytest.raises(RangeError, match="x must be > 0, got 0"):
        in_range("x", 0, above=0)
    with pytest.raises(RangeError, match="finite"):
        in_range("x", math.nan)


@pytest.mark.parametrize(
    ("word", "found"), [("kitchn", "Kitchen"), (" KITCHEN ", "Kitchen"), ("zzz", ""), ("", ""), ("bath", "bath")]
)
def test_nearest(word: str, found: str) -> None:
    assert nearest(word, ["Kitchen", "bath", "living"]) == found


def test_a_problem_says_only_what_it_knows() -> None:
    assert str(InputProblem("a.csv", None, "", "", "is missing")) == "a.csv: is missing"
    full = InputProblem("a.csv", 3, "kind", "drier", "not known", "dryer", "dryer")
    assert str(full) == "a.csv, row 3, column kind: not known (got 'drier'); allowed: dryer; did you mean 'dryer'?"
    assert str(InputErrors([full])).startswith("1 problem in the house folder\n")
    assert str(InputErrors([full, full])).startswith("2 problems in")


# --- working ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (0, "0"),
        (-0.0, "0"),
        (3.0, "3"),
        (1234567, "1,234,567"),
        (12.3456, "12.35"),
        (0.14654, "0.1465"),
        (1234.56, "1,234.6"),
    ],
)
def test_numbers_as_people_write_them(value: float, shown: str) -> None:
    assert show_number(value) == shown


@MANY
@given(st.floats(-1e9, 1e9))
def test_a_shown_number_is_near_the_number(value: float) -> None:
    assert float(show_number(value).replace(",", "")) == pytest.approx(value, rel=1e-3, abs=5e-5)


def test_a_line_of_working_names_its_rule() -> None:
    entry = line("sum", "1 + 2", 3, "kW")
    assert entry.citation is OUR_OWN and str(entry) == "sum = 1 + 2 = 3 kW   (arithmetic, definition [recomputed])"
    other = line("x", "y", 0.5, "F", Citation("A book", "p. 2", "2nd", "published"))
    assert written([entry, other]).splitlines()[1] == "x = y = 0.5 F   (A book, p. 2)"


def test_agree_prints_or_raises(capsys: pytest.CaptureFixture[str]) -> None:
    agree("load", 100.4, 100, within=0.5, source="Example D1")
    assert capsys.readouterr().out == "agrees: load = 100.4 (expected 100; Example D1)\n"
    agree("edge", 100.5, 100, within=0.5, source="s")
    with pytest.raises(DisagreementError, match=r"load: got 100.6, expected 100 within 0.5 \(Example D1\)"):
        agree("load", 100.6, 100, within=0.5, source="Example D1")
    for numbers in ((math.nan, 1, 1), (1, math.nan, 1), (1, 1, math.inf), (math.inf, math.inf, 1)):
        with pytest.raises(DisagreementError, match="not finite"):
            agree("x", numbers[0], numbers[1], within=numbers[2], source="s")
    assert issubclass(DisagreementError, AssertionError)


# --- results ---------------------------------------------------------------------------------------------------------


class Colour(StrEnum):
    RED = "red"
    BLUE = "blue"


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    name: str = told("name")
    length_ft: float = told("length")
    count: int | None = told("how many, if known")
    colour: Colour = told("colour")


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class TrialResult(StepResult):
    main: ClassVar[str] = "parts"

    parts: tuple[Part, ...] = told("parts")
    place: tuple[float, str] = told("a number and a word")
    words: frozenset[str] = told("words in no order")
    by_name: Mapping[str, float] = told("by name")
    good: bool = told("yes or no")


FINITE = st.floats(-1e300, 1e300)
PARTS = st.builds(
    Part, name=st.text(), length_ft=FINITE, count=st.none() | st.integers(), colour=st.sampled_from(Colour)
)
FINDING = Finding("id", "step", "place", "rule", "1 ft", "2 ft", "do", Verdict.CANNOT_SAY, OUR_OWN)
RESULTS = st.builds(
    TrialResult,
    edition=st.sampled_from(EDITIONS),
    working=st.just((line("a", "b", 1, "ft"),)),
    findings=st.just((FINDING,)),
    parts=st.lists(PARTS, max_size=3).map(tuple),
    place=st.tuples(FINITE, st.text()),
    words=st.frozensets(st.text(max_size=5), max_size=4),
    by_name=st.dictionaries(st.text(), FINITE, max_size=3),
    good=st.booleans(),
)


@MANY
@given(RESULTS)
def test_json_is_what_its_schema_says(result: TrialResult) -> None:
    schema = json_schema(TrialResult)
    jsonschema.Draft202012Validator.check_schema(schema)
    plain = json.loads(json.dumps(as_json(result), allow_nan=False))
    jsonschema.Draft202012Validator(schema).validate(plain)
    assert plain == as_json(result)
    for part, written_part in zip(result.parts, plain["parts"], strict=True):
        assert written_part["length_ft"] == pytest.approx(part.length_ft, rel=1e-9)


@pytest.mark.parametrize(
    "change",
    [
        {"parts": 3},
        {"edition": "2023"},
        {"good": "yes"},
        {"place": ["a", 1.0]},
        {"place": [1.0]},
        {"words": [1]},
        {"by_name": {"a": "b"}},
        {"stranger": 1},
        {"parts": [{"name": "a"}]},
        {"parts": [{"name": "a", "length_ft": 1.0, "count": 1.5, "colour": "red"}]},
        {"parts": [{"name": "a", "length_ft": 1.0, "count": None, "colour": "green"}]},
    ],
    ids=str,
)
def test_the_schema_refuses_what_as_json_never_writes(change: dict[str, Any]) -> None:
    good = as_json(TrialResult(edition=2023, parts=(), place=(1.0, "a"), words=frozenset(), by_name={}, good=True))
    validator = jsonschema.Draft202012Validator(json_schema(TrialResult))
    validator.validate(good)
    assert not validator.is_valid(good | change)


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_a_number_that_is_none_has_no_json(bad: float) -> None:
    with pytest.raises(ValueError, match="no JSON form"):
        as_json({"x": (1.0, bad)})


def test_a_type_without_json_is_told() -> None:
    with pytest.raises(TypeError, match="no JSON form for"):
        json_schema(complex)


def test_words_in_no_order_are_written_in_one() -> None:
    assert as_json(frozenset(("b", "a", "c"))) == ["a", "b", "c"]


def test_a_frame_has_a_column_a_field() -> None:
    part = Part(name="a", length_ft=1.0, count=None, colour=Colour.RED)
    got = frame([part, dataclasses.replace(part, name="b", count=2)])
    assert list(got.columns) == ["name", "length_ft", "count", "colour"]
    assert got["colour"].tolist() == ["red", "red"] and got["name"].tolist() == ["a", "b"]
    assert frame([]).empty


def test_a_finding_reads_as_a_line() -> None:
    text = str(FINDING)
    for piece in ("CANNOT SAY", "step: rule at place: 1 ft", "(allowed: 2 ft)", "To do: do", "[arithmetic"):
        assert piece in text
    met = dataclasses.replace(FINDING, verdict=Verdict.MEETS)
    assert "To do" not in str(met), "nothing is to be done where a rule is met"
