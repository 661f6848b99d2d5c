"""The published patterns of use: starts, run lengths, hourly shapes, presence, states of the weather."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from hpelec.core.citing import Citation
from hpelec.core.errors import TableError
from hpelec.core.tables import Row, table

HOURS = 24
Levels = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Pattern:
    """How a kind of load is used. per: house, person or item; shares: (share of the nameplate, share of the time)."""

    starts_per_day: float
    per: str
    run_min: float
    shares: Levels
    profile: str
    follows: str
    citation: Citation


@cache
def pattern(kind: str) -> Pattern:
    """The pattern of a kind of appliance or fixture."""
    row = table("coincidence/use_patterns").one(kind=kind)
    return Pattern(
        row.number("starts_per_day"),
        row.text("per"),
        row.number("run_min"),
        _shares(row),
        row.text("profile"),
        row.text("follows"),
        row.citation,
    )


def _shares(row: Row) -> Levels:
    pairs = [tuple(float(x) for x in part.split(":")) for part in row.text("load_shares").split(";")]
    if abs(sum(p[1] for p in pairs) - 1) > 1e-9:
        raise TableError(f"{row.place}: the shares of load_shares do not add up to 1")
    return tuple((p[0], p[1]) for p in pairs)


@cache
def profile(name: str) -> tuple[float, ...]:
    """Share of the day's starts in each hour; the printed shares are divided by their sum."""
    row = table("coincidence/use_profiles").one(profile=name)
    shares = [row.number(f"h{hour:02d}") for hour in range(HOURS)]
    whole = sum(shares)
    return tuple(s / whole for s in shares)


@cache
def presence() -> tuple[float, ...]:
    """Share of days on which someone is awake and at home, by hour."""
    rows = {int(r.number("hour")): r.number("awake_at_home_share") for r in table("coincidence/presence")}
    return tuple(rows[hour] for hour in range(HOURS))


@dataclass(frozen=True, slots=True)
class Weather:
    """One state of the weather: its share of the year, and the duty of each kind that follows it."""

    name: str
    year_share: float
    duty: tuple[tuple[str, float], ...]
    citation: Citation


WEATHER_KINDS = ("heat_pump", "air_conditioner", "supplemental_heat", "room_heater", "furnace", "air_handler")


@cache
def weather() -> tuple[Weather, ...]:
    """The states of the weather, the shares adding up to 1."""
    states = tuple(
        Weather(r.text("state"), r.number("year_share"), tuple((k, r.number(k)) for k in WEATHER_KINDS), r.citation)
        for r in table("coincidence/weather_states")
    )
    if abs(sum(s.year_share for s in states) - 1) > 1e-9:
        raise TableError("table coincidence/weather_states: the shares of the year do not add up to 1")
    return states


@cache
def constant(name: str) -> float:
    """A single value of use."""
    return table("coincidence/use_constants").one(name=name).number("value")


@cache
def constant_citation(name: str) -> Citation:
    """Where a single value of use comes from."""
    return table("coincidence/use_constants").one(name=name).citation
