"""Published checks of meter, busbar, set point and charger whose value needs several of our rules at once."""

from __future__ import annotations

import dataclasses
from typing import Any

from hpelec.common import rules_ratings as ratings
from hpelec.house.rows_loads import FutureLoad
from hpelec.plan import Plan, design
from hpelec.steps.service import rules, rules_bus, rules_meter
from tests.houses import starter


def bus_120(bus_A: float, main_A: float) -> dict[str, Any]:
    """Largest source opposite the main, its breaker and its power at 240 V."""
    source_A = rules_bus.opposite_end_source_A(bus_A, main_A)
    return {
        "source_A": source_A,
        "breaker_A": rules_bus.continuous_device_A(source_A, 2023),
        "power_kW": source_A * 240 / 1000,
    }


def charger_circuits(chargers_A: list[float]) -> list[float]:
    return [rules_bus.continuous_device_A(a, 2023) for a in chargers_A]


def shared_chargers(circuit_A: float, charger_A: float, count: int) -> dict[str, float]:
    """Current of each of several chargers that share one circuit by energy management."""
    total_A = rules.continuous_A(circuit_A)
    return {
        "total_A": total_A,
        "each_A": min(charger_A, total_A / count),
        "two_active_each_A": min(charger_A, total_A / 2),
    }


def limited_service(load_VA: float, charger_A: float, service_A: float) -> dict[str, Any]:
    """A load above a limited service, and the control setting that the charger's part must keep within."""
    load_A = load_VA / 240
    return {
        "load_A": load_A,
        "exceeds": load_A > service_A,
        "rest_A": load_A - charger_A,
        "set_point_A": rules_meter.largest_set_point_A(service_A, load_A - charger_A),
    }


def smallest_breaker_by_edition(load_A: float) -> dict[str, float]:
    return {str(edition): ratings.next_standard_A(load_A, edition) for edition in (2020, 2023)}


def meter(main_A: float, **more: float) -> str:
    return rules_meter.meter_class(rules.continuous_A(main_A), **more).text("meter_class")


def sized(edition: int = 2023, future: tuple[FutureLoad, ...] = (), **site: Any) -> Plan:
    """Loads and service of the starter house; `site` changes columns of [service]."""
    house = starter()
    changed = house.changed(service_site=dataclasses.replace(house.service_site, **site), future=future)
    return design(changed, edition, only=("service",))
