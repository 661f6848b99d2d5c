"""Units at the edge: what a person writes, to a float in the unit that a field's name ends with.

Inside the library a quantity is a float and its unit the last part of its name (`length_ft`). `UNITS` is the list
of those endings; `read_quantity` turns a text such as "12'-6\\"", "3.8 m", "4.5 kW" or "7/8 in" into a float.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import Any

from hpelec.core.errors import UnitError

UNITS: dict[str, str] = {
    "ft": "foot",
    "in": "inch",
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "ft2": "foot**2",
    "m2": "meter**2",
    "cm2": "centimeter**2",
    "in2": "inch**2",
    "ft3": "foot**3",
    "m3": "meter**3",
    "in3": "inch**3",
    "gal": "gallon",
    "L": "liter",
    "VA": "volt_ampere",
    "kVA": "kilovolt_ampere",
    "W": "watt",
    "kW": "kilowatt",
    "kWh": "kilowatt_hour",
    "V": "volt",
    "A": "ampere",
    "kA": "kiloampere",
    "ohm": "ohm",
    "hp": "horsepower",
    "F": "degF",
    "C": "degC",
    "dF": "delta_degF",
    "K": "kelvin",
    "gpm": "gallon/minute",
    "gph": "gallon/hour",
    "cfm50": "foot**3/minute",
    "cfm": "foot**3/minute",
    "Pa": "pascal",
    "min": "minute",
    "h": "hour",
    "s": "second",
    "deg": "degree",
    "percent": "percent",
    "R": "foot**2*delta_degF*hour/Btu",
    "perm": "perm",
    "lm": "lumen",
    "rpm": "rpm",
    "lb": "pound",
    "USD": "USD",
}
"""Ending of a name -> unit. `cfm50` is a flow at 50 Pa, `R` the thermal resistance h ft2 F/Btu."""

METRIC: dict[str, tuple[str, str]] = {
    "ft": ("m", "meter"),
    "in": ("mm", "millimeter"),
    "ft2": ("m2", "meter**2"),
    "ft3": ("m3", "meter**3"),
    "gal": ("L", "liter"),
    "gpm": ("L/min", "liter/minute"),
    "F": ("C", "degC"),
    "cfm50": ("L/s", "liter/second"),
    "dF": ("K", "kelvin"),
    "in3": ("cm3", "centimeter**3"),
    "in2": ("cm2", "centimeter**2"),
    "gph": ("L/h", "liter/hour"),
}
"""How a US unit is shown when a house asks for metric: label and pint unit."""

_NUMBER = r"(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?"
_UNSIGNED = rf"(?:{_NUMBER}\s+\d+/\d+|{_NUMBER}/\d+|{_NUMBER})"
_MIXED = rf"[-+]?{_UNSIGNED}"
_FEET_INCHES = re.compile(
    rf"^\s*(?P<ft>{_MIXED})\s*(?:'|′|ft\.?|feet|foot)\s*-?\s*(?:(?P<in>{_UNSIGNED})\s*(?:\"|″|''|in\.?|inch|inches)?)?\s*$"
)
_INCHES = re.compile(rf"^\s*(?P<in>{_MIXED})\s*(?:\"|″|''|in\.?|inch|inches)\s*$")
_PLAIN = re.compile(rf"^\s*{_MIXED}\s*$")
_WITH_UNIT = re.compile(rf"^\s*(?P<n>{_MIXED})\s*(?P<u>[A-Za-z°µ%].*)$")
_UNIT_WORD = r"[A-Za-z°µμΩ%²³]+(?:(?:\^|\*\*)?[23])?"
_UNIT_TEXT = re.compile(rf"^{_UNIT_WORD}(?:(?: ?[*/] ?| ){_UNIT_WORD}){{0,5}}$")
"""What is handed to pint as a unit: words and small powers only, so that no text can make it compute for long."""
_POWER = re.compile(r"(?<=[A-Za-z])([23])$")
"""A power written without a sign, as in cm3."""
_SAID = {
    "F": "degF",
    "C": "degC",
    "°F": "degF",
    "°C": "degC",
    "degF": "degF",
    "degC": "degC",
    "gpm": "gallon/minute",
    "gph": "gallon/hour",
    "cfm": "foot**3/minute",
    "sq ft": "foot**2",
    "cu ft": "foot**3",
    "cu in": "inch**3",
    "VA": "volt_ampere",
    "kVA": "kilovolt_ampere",
    "%": "percent",
    "A": "ampere",
    "L/min": "liter/minute",
    "L/s": "liter/second",
    "kWh": "kilowatt_hour",
    "USD": "USD",
    "min": "minute",
    "h": "hour",
}


def unit_of(name: str) -> str | None:
    """The unit that a field name ends with (`length_ft` -> "ft"), or None."""
    ending = name.rsplit("_", 1)[-1] if "_" in name else ""
    return ending if ending in UNITS else None


@lru_cache(maxsize=1)
def _registry() -> Any:
    import pint

    registry: Any = pint.UnitRegistry()
    registry.define("perm = 57.21e-12 kilogram/second/meter**2/pascal")
    registry.define("USD = [money]")
    return registry


def _plain(text: str) -> float:
    """A number, a fraction "7/8" or a mixed number "6 1/2"."""
    total = 0.0
    sign = -1.0 if text.strip().startswith("-") else 1.0
    for part in text.strip().lstrip("+-").split():
        top, _, bottom = part.partition("/")
        if bottom and float(bottom) == 0:
            raise UnitError(f"{_short(text)} divides by zero")
        total += float(top) / float(bottom) if bottom else float(top)
    return sign * total


def read_quantity(text: str, unit: str) -> float:
    """The quantity that `text` says, as a float in `unit` (a key of UNITS).

    A bare number is taken to be in `unit` already. Feet and inches may be written `12'-6"`, `12 ft 6 in`,
    `12' 6 1/2"`. Raises UnitError for a text that is no number, for another kind of quantity, for NaN and infinity.
    """
    if unit not in UNITS:
        raise UnitError(f"unknown unit {unit!r}; known: {', '.join(UNITS)}")
    if _PLAIN.match(text):
        value = _plain(text)
    elif (feet := _FEET_INCHES.match(text)) and unit in ("ft", "in", "m", "mm", "cm"):
        inches = _plain(feet["in"]) if feet["in"] else 0.0
        value = _convert(_plain(feet["ft"]) * 12 + math.copysign(inches, _plain(feet["ft"])), "inch", unit, text)
    elif inch := _INCHES.match(text):
        value = _convert(_plain(inch["in"]), "inch", unit, text)
    elif said := _WITH_UNIT.match(text):
        value = _in_unit(_plain(said["n"]), said["u"].strip(), unit, text)
    else:
        raise UnitError(f"{_short(text)} is not a number with a unit; for example {example(unit)}")
    if not math.isfinite(value):
        raise UnitError(f"{_short(text)} is not a finite number")
    return value


def _short(text: str) -> str:
    return repr(text if len(text) <= 60 else text[:57] + "...")


def _in_unit(value: float, said: str, unit: str, text: str) -> float:
    if said == unit:
        return value
    if said not in _SAID and not _UNIT_TEXT.match(said):
        raise UnitError(f"{_short(text)} has no unit that can be read; for example {example(unit)}")
    return _convert(value, _SAID.get(said, _POWER.sub(r"**\1", said)), unit, text)


def _convert(value: float, said: str, unit: str, text: str) -> float:
    registry = _registry()
    target = UNITS[unit]
    if unit == "dF" and said in ("degF", "degC"):
        said = "delta_" + said
    if unit == "percent" and said == "percent":
        return value
    try:
        return float(registry.Quantity(value, said).to(target).magnitude)
    except Exception as error:  # pint raises several unrelated kinds for a unit it cannot read or turn
        raise UnitError(
            f"{_short(text)} cannot be read in {unit} ({type(error).__name__}); for example {example(unit)}"
        ) from error


def convert(value: float, unit: str, to: str) -> float:
    """`value` in `unit` as a float in `to` (both keys of UNITS)."""
    return value if unit == to else _convert(value, UNITS[unit], to, f"{value} {unit}")


def example(unit: str) -> str:
    """A text that `read_quantity` accepts for this unit."""
    special = {"ft": "12'-6\" or 3.8 m", "in": "7/8 in or 22 mm", "VA": "4500 or 4.5 kW", "F": "50 F or 10 C"}
    return special.get(unit, f"12.5 or 12.5 {unit}")


def feet_inches(length_ft: float) -> str:
    """A length as the trade writes it, to the sixteenth of an inch: 12.5 -> 12'-6"."""
    sixteenths = round(length_ft * 12 * 16)
    sign, sixteenths = ("-" if sixteenths < 0 else ""), abs(sixteenths)
    inches, part = divmod(sixteenths, 16)
    feet, inches = divmod(inches, 12)
    divisor = math.gcd(part, 16)
    fraction = f" {part // divisor}/{16 // divisor}" if part else ""
    return f"{sign}{feet}'-{inches}{fraction}\""


def show_quantity(value: float, unit: str, *, metric: bool = False, digits: int = 1) -> str:
    """A quantity for a report, in US units or, where METRIC names one, in metric."""
    if metric and unit in METRIC:
        label, said = METRIC[unit]
        pint_value = _registry().Quantity(value, UNITS[unit]).to(said).magnitude
        return f"{pint_value:,.{digits}f} {label}"
    if unit == "ft":
        return feet_inches(value)
    return f"{value:,.{digits}f} {unit}"
