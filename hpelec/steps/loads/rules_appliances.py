"""Rules of the load calculation: fixed appliances, dryers, vehicle chargers, motors."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from hpelec.common.rules_equipment import motor_full_load_A
from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import table
from hpelec.steps.loads.rules import NEC, parameter


@rule(
    "whether an appliance fastened in place belongs to the group counted toward four",
    source=NEC,
    locator={2017: "220.53", 2026: "120.53"},
    accuracy="published",
)
def counts_as_fixed(
    power_VA: float, motor_hp: float | None, edition: int, *, least_VA: float = 500.0, least_hp: float = 0.25
) -> bool:
    """Whether one appliance fastened in place counts toward four and gets the factor.

    From 2020 only those of at least 500 W or 1/4 hp; before that, all. Cooking, dryers, heating and air
    conditioning (from 2023 also vehicle chargers) never reach this rule.
    """
    in_range("power_VA", power_VA, low=0)
    horsepower = 0.0 if motor_hp is None else in_range("motor_hp", motor_hp, above=0)
    return check_edition(edition) < 2020 or power_VA >= least_VA or horsepower >= least_hp


@rule(
    "demand factor of appliances fastened in place",
    source=NEC,
    locator={2017: "220.53", 2026: "120.53"},
    accuracy="published",
)
def fixed_factor(count: int, edition: int, *, from_count: int = 4) -> float:
    """Factor on the sum of the group: 1, or 0.75 from four appliances on. count: >= 0."""
    in_range("count", count, low=0)
    return parameter("fixed_appliance_factor", edition) if count >= from_count else 1.0


@rule(
    "load of one household electric dryer",
    source=NEC,
    locator={2017: "220.54", 2026: "120.54"},
    accuracy="published",
)
def dryer_VA(nameplate_VA: float, *, least_VA: float = 5000.0) -> float:
    """Load of one dryer before the table: nameplate, at least 5000 VA [VA]."""
    return max(in_range("nameplate_VA", nameplate_VA, low=0), least_VA)


@lru_cache(maxsize=1)
def _dryer_percents() -> dict[int, float]:
    return {int(r.number("n_dryers")): r.number("demand_pct") for r in table("loads/table_220_54_dryers")}


@rule(
    "demand factor of household electric dryers",
    source=NEC,
    locator={2017: "Table 220.54", 2026: "Table 120.54"},
    accuracy="memory",
)
def dryer_percent(count: int) -> float:
    """Share of the sum of the dryers that counts [percent]; count: >= 1 (the last row holds for any more)."""
    in_range("count", count, low=1)
    percents = _dryer_percents()
    return percents[min(count, max(percents))]


@rule(
    "load of one vehicle charger",
    source=NEC,
    locator={2017: "220.14(A)", 2023: "220.57", 2026: "120.57"},
    accuracy="published",
)
def vehicle_charger_VA(nameplate_VA: float | None, edition: int, *, least_VA: float = 7200.0) -> float:
    """Load of one charger [VA]: nameplate; 2023: at least 7200 VA; 2026: 7200 VA only where none is known.

    nameplate_VA: None when unknown, which editions before 2023 cannot answer (RangeError). The 2026 reading
    was seen in one summary only.
    """
    check_edition(edition)
    if nameplate_VA is None:
        if edition < 2023:
            raise RangeError(f"edition {edition} takes a charger at its nameplate, and none is given")
        return least_VA
    in_range("nameplate_VA", nameplate_VA, low=0)
    return max(nameplate_VA, least_VA) if edition == 2023 else nameplate_VA


@rule(
    "addition for the largest motor",
    source=NEC,
    locator={2017: "220.50, 430.24", 2026: "120.50, 430.24"},
    accuracy="published",
)
def largest_motor_VA(motors_VA: Iterable[float], *, share: float = 0.25) -> float:
    """A quarter of the largest motor among the loads that stay in the sum [VA]; 0 for none."""
    return share * max((in_range("motor_VA", m, low=0) for m in motors_VA), default=0.0)


@rule(
    "load of a single-phase motor known by its horsepower only", source=NEC, locator="Table 430.248", accuracy="memory"
)
def motor_VA(motor_hp: float, voltage_V: float, *, within_hp: float = 0.01) -> float:
    """Full-load current of the table times the nominal voltage [VA].

    motor_hp: one of the table's ratings. voltage_V: 120 or 240. RangeError for any other.
    """
    return motor_full_load_A(motor_hp, voltage_V, within_hp=within_hp) * voltage_V


@rule(
    "load without a demand factor of its own",
    source=NEC,
    locator={2017: "220.14(A), 220.51", 2026: "120.14(A), 120.51"},
    accuracy="published",
)
def connected_VA(each_VA: float, quantity: int) -> float:
    """Heating, cooling and any other load counted in full [VA]; each_VA >= 0, quantity >= 1."""
    return in_range("each_VA", each_VA, low=0) * in_range("quantity", quantity, low=1)
