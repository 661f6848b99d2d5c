"""A return period in words that people understand."""

from __future__ import annotations

HOUR, DAY, WEEK, MONTH = 1 / 8760, 1 / 365, 7 / 365, 1 / 12
LONGEST = 1000.0
"""Years beyond which a model with inputs like these says nothing but `hardly ever`."""
_UNITS = (("hour", HOUR), ("day", DAY), ("week", WEEK), ("month", MONTH), ("year", 1.0))


def period_words(years: float | None) -> str:
    """`once a day`, `3 times a week`, `once in 30 years`, `hardly ever (less than once in 1,000 years)`, `never`."""
    if years is None:
        return "never"
    if years > LONGEST:
        return f"hardly ever (less than once in {LONGEST:,.0f} years)"
    if years >= 1.5:
        return f"once in {_round(years)} years"
    for name, length in _UNITS:
        times = length / years
        if times >= 0.75:
            return f"once {_a(name)}" if times < 1.5 else f"{_round(times)} times {_a(name)}"
    return f"once in {_round(12 * years)} months"


def _a(name: str) -> str:
    return f"an {name}" if name == "hour" else f"a {name}"


def _round(value: float) -> str:
    """Two significant digits, whole above ten: more would promise too much."""
    if value < 10:
        return f"{value:.2g}"
    power = 10 ** (len(f"{value:.0f}") - 2)
    return f"{round(value / power) * power:,.0f}"
