"""Rules for the circuit of one piece of equipment that several steps apply: what it must carry, what protects it."""

from __future__ import annotations

import math
from functools import cache

from hpelec.common.rules_ratings import largest_standard_A, next_standard_A, standard_ratings_A
from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.rounding import EPS, ceil_tol
from hpelec.core.tables import Row, table


def breaker_within_A(limit_A: float, edition: int) -> float:
    """Largest standard breaker not above `limit_A` [A], 15 to 6000: none smaller protects a branch circuit here."""
    found = largest_standard_A(in_range("limit_A", limit_A, low=15, high=6000), edition)
    if found is None:
        raise RangeError(f"no standard breaker is as small as {limit_A:g} A")
    return found


@rule(
    "what a branch circuit must carry: load times its factor",
    source="NFPA 70",
    locator="210.19(A), 210.20(A)",
    accuracy="published",
)
def branch_minimum_A(current_A: float, factor: float) -> float:
    """Smallest ampacity and breaker of a branch circuit [A].

    current_A: load current, > 0. factor: 1 or 1.25, from the table of branch-circuit factors.
    """
    in_range("current_A", current_A, above=0, high=10000)
    in_range("factor", factor, low=1, high=3)
    return current_A * factor


@cache
def factor_row(load: str) -> Row:
    """The row of the branch-circuit factors for a kind of load; its `factor` and its source."""
    return table("loads/branch_circuit_factors").one(load=load)


@rule("conductors of a single motor", source="NFPA 70", locator="430.22", accuracy="memory")
def motor_branch_A(current_A: float, *, factor: float = 1.25) -> float:
    """Smallest conductor ampacity for one motor [A]: 125 % of its full-load current, > 0."""
    return in_range("current_A", current_A, above=0, high=1000) * factor


@rule(
    "largest overcurrent device of a single appliance that is not a motor",
    source="NFPA 70",
    locator="422.11(E)(3)",
    accuracy="memory",
)
def appliance_most_A(current_A: float, edition: int, *, share: float = 1.5) -> float:
    """Largest breaker where the appliance marks none [A]: 20 A up to 13.3 A of load, else 150 %, next size up.

    current_A: nameplate current, > 0.
    """
    in_range("current_A", current_A, above=0, high=1000)
    if current_A <= 13.3:
        return 20.0
    return next_standard_A(current_A * share, edition)


@rule(
    "breaker from a nameplate with minimum circuit ampacity and maximum protection",
    source="NFPA 70",
    locator="110.3(B), 440.4(B), 440.22(A)",
    accuracy="memory",
)
def nameplate_breaker_A(mca_A: float, mocp_A: float, edition: int) -> float:
    """Largest standard breaker not above MOCP, but never below MCA (then the next size above MCA) [A].

    Raises RangeError when MOCP is below MCA: no nameplate says so.
    """
    in_range("mca_A", mca_A, above=0, high=2000)
    in_range("mocp_A", mocp_A, low=mca_A, high=2000)
    fits = [r for r in standard_ratings_A(edition) if mca_A - EPS <= r <= mocp_A + EPS]
    return max(fits) if fits else next_standard_A(mca_A, edition)


@rule("minimum circuit ampacity of compressor equipment", source="NFPA 70", locator="440.33", accuracy="recomputed")
def hermetic_mca_A(largest_A: float, others_A: float) -> float:
    """125 % of the largest motor current plus the others [A]; both finite, largest > 0, others >= 0."""
    return 1.25 * in_range("largest_A", largest_A, above=0, high=1000) + in_range("others_A", others_A, low=0)


@rule(
    "largest overcurrent device of compressor equipment",
    source="NFPA 70",
    locator="440.22(A),(B)",
    accuracy="recomputed",
)
def hermetic_most_A(largest_A: float, others_A: float, *, share: float = 1.75) -> float:
    """175 % of the largest motor current plus the others, before rounding down [A] (225 % where it will not start)."""
    in_range("share", share, low=1.75, high=2.25)
    return share * in_range("largest_A", largest_A, above=0, high=1000) + in_range("others_A", others_A, low=0)


@rule("circuits of a subdivided heater", source="NFPA 70", locator="422.11(F)(1)", accuracy="memory")
def subdivisions(current_A: float, *, most_A: float = 48.0) -> int:
    """Circuits of a resistance heater so that none carries more than 48 A; exactly 48 A needs no split."""
    return ceil_tol(in_range("current_A", current_A, above=0, high=2000) / most_A)


@rule(
    "load of one household range on its branch circuit",
    source="NFPA 70",
    locator={2017: "220.55 Notes 1 and 4, Column C", 2026: "120.55 Notes 1 and 4, Column C"},
    accuracy="memory",
)
def range_branch_VA(nameplate_VA: float) -> float:
    """Load of one range [VA]: nameplate up to 8 kVA, 8 kVA up to 12 kVA, then 5 % more for each kVA begun above.

    nameplate_VA: > 0. Above 27 kVA the table does not reach: nameplate.
    """
    in_range("nameplate_VA", nameplate_VA, above=0, high=2e5)
    if nameplate_VA <= 8000 or nameplate_VA > 27000:
        return nameplate_VA
    # Note 1 rounds a fraction of 0.5 kVA or more up to the next whole kVA.
    over_kVA = max(0, math.floor((nameplate_VA - 12000) / 1000 + 0.5 + EPS))
    return 8000 * (1 + 0.05 * over_kVA)


@rule(
    "smallest branch circuit of a large range",
    source="NFPA 70",
    locator={2017: "210.19(A)(3)", 2020: "210.19(C)"},
    accuracy="published",
)
def range_breaker_min_A(nameplate_VA: float) -> float:
    """40 A for a range of 8.75 kW or more, else 15 A (no special minimum)."""
    return 40.0 if in_range("nameplate_VA", nameplate_VA, above=0, high=2e5) >= 8750 else 15.0


@rule("usual circuit of an electric dryer", source="trade", locator="30 A receptacle", accuracy="common practice")
def dryer_breaker_min_A(voltage_V: float) -> float:
    """30 A for a 240 V household dryer (its usual receptacle), else 15 A."""
    return 30.0 if in_range("voltage_V", voltage_V, above=0, high=600) > 120 else 15.0


def _horsepower(text: str) -> float:
    """Horsepower as the table prints it: 1/4, 1-1/2, 5."""
    total = 0.0
    for part in text.split("-"):
        top, _, bottom = part.partition("/")
        total += float(top) / float(bottom or 1)
    return total


@cache
def _motor_currents() -> dict[float, tuple[float, float]]:
    rows = table("loads/table_430_248_motor_flc_1ph")
    return {_horsepower(r.text("hp")): (r.number("flc_a_115_v"), r.number("flc_a_230_v")) for r in rows}


@rule(
    "full-load current of a single-phase motor by its horsepower",
    source="NFPA 70",
    locator="430.6(A)(1), Table 430.248",
    accuracy="memory",
)
def motor_full_load_A(motor_hp: float, voltage_V: float, *, within_hp: float = 0.01) -> float:
    """Full-load current of the table [A]: what conductors and breaker of a motor follow, not its nameplate's amperes.

    motor_hp: one of the table's ratings. voltage_V: 120 or 240. RangeError for any other.
    """
    in_range("motor_hp", motor_hp, above=0)
    for rating_hp, currents in _motor_currents().items():
        if abs(rating_hp - motor_hp) <= within_hp and voltage_V in (120.0, 240.0):
            return currents[0 if voltage_V == 120.0 else 1]
    raise RangeError(f"Table 430.248 has no {motor_hp:g} hp motor at {voltage_V:g} V")


@rule(
    "largest inverse-time breaker of a single motor",
    source="NFPA 70",
    locator="430.52(C)(1), Table 430.52; small motors 430.53(A)",
    accuracy="memory",
)
def motor_device_most_A(
    full_load_A: float, edition: int, *, share: float = 2.5, small_A: float = 6.0, small_device_A: float = 20.0
) -> float:
    """250 % of the motor's full-load current (> 0), then the next standard size where that is none [A].

    A motor of up to `small_A` may stand on an ordinary branch circuit of 20 A.
    """
    in_range("full_load_A", full_load_A, above=0, high=1000)
    most_A = next_standard_A(full_load_A * share, edition)
    return max(most_A, small_device_A) if full_load_A <= small_A else most_A


@cache
def _welder_steps() -> tuple[tuple[float, float, float], ...]:
    rows = table("loads/table_630_11_welder_duty")
    columns = ("duty_cycle_pct", "multiplier_nonmotor_arc", "multiplier_motor_generator_arc")
    return tuple(sorted((r.number(columns[0]), r.number(columns[1]), r.number(columns[2])) for r in rows))


@rule(
    "multiplier of an arc welder by its duty cycle",
    source="NFPA 70",
    locator="Table 630.11(A)",
    accuracy="memory",
)
def welder_multiplier(duty_percent: float, *, motor_generator: bool = False) -> float:
    """Share of the rated primary current that a welder's conductors must carry.

    duty_percent: > 0, up to 100; between two rows of the table the larger duty counts, and 20 stands for any less.
    """
    in_range("duty_percent", duty_percent, above=0, high=100)
    _, plain, rotating = next(row for row in _welder_steps() if row[0] >= duty_percent - EPS)
    return rotating if motor_generator else plain


@rule("conductors of an arc welder", source="NFPA 70", locator="630.11(A)", accuracy="memory")
def welder_effective_A(primary_A: float, duty_percent: float, *, motor_generator: bool = False) -> float:
    """Smallest conductor ampacity for one arc welder [A]: rated primary current (> 0) times the multiplier."""
    in_range("primary_A", primary_A, above=0, high=1000)
    return primary_A * welder_multiplier(duty_percent, motor_generator=motor_generator)


@rule("largest overcurrent device of an arc welder", source="NFPA 70", locator="630.12(A)", accuracy="memory")
def welder_device_most_A(primary_A: float, edition: int, *, share: float = 2.0) -> float:
    """200 % of the rated primary current, then the next standard size where that is none [A]; > 0."""
    return next_standard_A(in_range("primary_A", primary_A, above=0, high=1000) * share, edition)


@rule("conductors behind a welder's overcurrent device", source="NFPA 70", locator="630.12(B)", accuracy="memory")
def welder_conductor_A(effective_A: float, device_A: float, *, share: float = 2.0) -> float:
    """Smallest conductor ampacity that a device of up to 200 % of it may protect, not below the welder's need [A]."""
    return max(in_range("effective_A", effective_A, above=0), in_range("device_A", device_A, above=0) / share)
