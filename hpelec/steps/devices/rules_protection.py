"""Ground-fault and arc-fault protection by place and edition."""

from __future__ import annotations

import re

from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, TableError, in_range
from hpelec.core.tables import Row, table


def _row(place: str) -> Row:
    try:
        return table("layout/gfci_afci").one(place=place)
    except TableError as error:
        raise RangeError(f"no such place in the table of protection: {place!r}") from error


@rule("where ground-fault protection is needed", source="NFPA 70", locator="210.8(A), (D)", accuracy="published")
def gfci_required(place: str, edition: int, *, near_sink: bool = False) -> bool:
    """Whether a receptacle at `place` (a row of the table) needs ground-fault protection in an edition.

    near_sink: within 6 ft of a sink. Some places need it only there. Raises RangeError for a place that the table
    does not answer by yes or no.
    """
    said = _row(place).text(f"gfci_{check_edition(edition)}")
    if said.startswith(("no unless within 6 ft of a sink", "only within 6 ft of sink")):
        return near_sink
    if said not in ("yes", "no"):
        raise RangeError(f"{place}: the table says {said!r}; give the place itself")
    return said == "yes"


@rule("where arc-fault protection is needed", source="NFPA 70", locator="210.12", accuracy="published")
def afci_required(place: str, edition: int, *, voltage_V: float = 120.0) -> bool:
    """Whether a circuit with an outlet or device at `place` needs arc-fault protection; only 120 V circuits do.

    Raises RangeError for a place that the table does not answer by yes or no.
    """
    in_range("voltage_V", voltage_V, above=0, high=600)
    said = _row(place).text(f"afci_{check_edition(edition)}")
    if said not in ("yes", "no"):
        raise RangeError(f"{place}: the table says {said!r}; give the room itself")
    return said == "yes" and voltage_V < 125


@rule("ground-fault protection of outdoor outlets", source="NFPA 70", locator="210.8(F)", accuracy="published")
def outdoor_outlet_gfci(rating_A: float, edition: int) -> bool:
    """Whether an outdoor outlet, hard-wired ones included, on a circuit of this rating [A], > 0, needs it.

    Single-phase, 150 V or less to ground. 2017 has no such rule. The dated exception for heating and cooling
    equipment is not applied here.
    """
    in_range("rating_A", rating_A, above=0, high=5000)
    said = _row("outdoor outlet incl. hard-wired (210.8(F))").text(f"gfci_{check_edition(edition)}")
    limit = re.fullmatch(r"<=(\d+) A", said)
    return limit is not None and rating_A <= float(limit[1])


@rule("tamper-resistant receptacles", source="NFPA 70", locator="406.12", accuracy="published")
def tamper_resistant(height_in: float, *, dedicated_space: bool = False) -> bool:
    """Whether a 15 or 20 A receptacle of a dwelling, this high above the floor [in, >= 0], must be tamper-resistant.

    Not above 5-1/2 ft, nor in the dedicated space of an appliance that is not easily moved.
    """
    above_in = table("layout/receptacle_rules").one(rule_id="R-40612-EX").number("value") * 12
    return in_range("height_in", height_in, low=0) <= above_in + 1e-9 and not dedicated_space


@rule("weather-resistant receptacles", source="NFPA 70", locator="406.9(A), (B)(1)", accuracy="memory")
def weather_resistant(location: str) -> bool:
    """Whether a receptacle must be weather-resistant; location: dry, damp (a covered porch) or wet."""
    return _location(location) != "dry"


@rule("cover of a receptacle outdoors", source="NFPA 70", locator="406.9(A), (B)(1)", accuracy="memory")
def receptacle_cover(location: str) -> str:
    """Cover that a 15 or 20 A receptacle needs; location: dry, damp (a covered porch) or wet."""
    words = {"dry": "", "damp": "weatherproof when closed", "wet": "extra-duty, weatherproof with the cord plugged in"}
    return words[_location(location)]


def _location(word: str) -> str:
    if word not in ("dry", "damp", "wet"):
        raise RangeError(f"location must be dry, damp or wet, got {word!r}")
    return word
