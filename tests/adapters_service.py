"""Published service checks whose value needs several of our rules at once, and a service for a stated load."""

from __future__ import annotations

import dataclasses
from typing import Any

from hpelec.common import rules_conductors as conductors
from hpelec.common import rules_drop, rules_grounding, rules_supply
from hpelec.house.rows import Panel
from hpelec.steps.loads.model import LoadsResult
from hpelec.steps.service import rules, rules_meter
from hpelec.steps.service.design import design
from hpelec.steps.service.model import ServiceResult
from tests.houses import starter


def loads_of(load_A: float, neutral_A: float, voltage_V: float = 240.0) -> LoadsResult:
    """A result of the step loads with stated currents and no lines."""
    return LoadsResult(
        edition=2023,
        voltage_V=voltage_V,
        methods=(),
        chosen="standard",
        lines=(),
        design_VA=load_A * voltage_V,
        design_A=load_A,
        neutral_VA=neutral_A * voltage_V,
        neutral_A=neutral_A,
        provisional=False,
    )


def service_of(
    load_A: float,
    neutral_A: float = 60.0,
    edition: int = 2023,
    panels: tuple[Panel, ...] | None = None,
    project: str = "new",
    **site: Any,
) -> ServiceResult:
    """The step service on the starter house with a stated load; `site` changes columns of [service]."""
    house = starter()
    house = house.changed(
        general=dataclasses.replace(house.general, project=project),
        service_site=dataclasses.replace(house.service_site, **site),
        panels=house.panels if panels is None else panels,
    )
    voltage_V = house.service_site.voltage_V
    return design(house, edition, loads=loads_of(load_A, neutral_A, voltage_V))


def dwelling_conductors(main_A: float) -> dict[str, object]:
    needed_A = rules_supply.service_ampacity_A(main_A, 240.0)
    return {
        "needed_A": needed_A,
        "copper": rules_supply.smallest_size(needed_A, "cu", 75, 1, 0.0),
        "aluminum": rules_supply.smallest_size(needed_A, "al", 75, 1, 0.0),
    }


def electrode_sizes(ungrounded_cmil: float, material: str) -> list[str]:
    return [rules_grounding.electrode_conductor(ungrounded_cmil, material, of) for of in ("cu", "al")]


def electrode_caps(copper_size: str) -> list[str]:
    return [rules_grounding.electrode_cap(copper_size, electrode) for electrode in ("rod", "concrete")]


def equipment_grounding(device_A: float) -> list[str]:
    return [rules_grounding.equipment_grounding(device_A, of) for of in ("cu", "al")]


def terminal_limits(size: str, device_A: float) -> list[float]:
    columns = [conductors.terminal_column_C(device_A, marked) for marked in (False, True)]
    return [conductors.ampacity_A(size, "cu", column) for column in columns]


def meter_and_main(socket_A: float, main_A: float) -> dict[str, object]:
    continuous_A = rules.continuous_A(main_A)
    return {
        "continuous_A": continuous_A,
        "carries": continuous_A <= socket_A,
        "main_A": rules.main_of_rating_A(socket_A, 2023),
        "meter_class": rules_meter.meter_class(continuous_A).text("meter_class"),
    }


def drop_by_k(k: float, current_A: float, length_ft: float, cmil: float, voltage_V: float) -> dict[str, float]:
    drop_V = rules_drop.drop_V(current_A, length_ft, 1000 * k / cmil)
    return {"drop_V": drop_V, "drop_percent": drop_V / voltage_V * 100}


def drop_by_impedance(
    r: float, x: float, power_factor: float, current_A: float, length_ft: float, voltage_V: float
) -> dict[str, float | None]:
    z = rules_drop.effective_ohm_per_kft(r, x, power_factor)
    drop_V = rules_drop.drop_V(current_A, length_ft, z)
    return {
        "z": z,
        "drop_V": drop_V,
        "drop_percent": drop_V / voltage_V * 100,
        "exact_V": rules_drop.exact_drop_V(current_A, length_ft, r, x, power_factor, voltage_V),
    }


def smallest_service(load_A: float, neutral_A: float) -> dict[str, object]:
    result = service_of(load_A, neutral_A)
    return {"minimum_A": result.minimum_A, "rating_A": result.rating_A, "standard_A": result.standard_A}


def lateral_proposed(
    load_A: float, length_ft: float, limit_percent: float, material: str, rating_A: float
) -> dict[str, object]:
    result = service_of(
        load_A,
        offered_A=(rating_A,),
        lateral_length_ft=length_ft,
        drop_limit_percent=limit_percent,
        lateral_material=material,
        lateral_owner="customer",
    )
    row = next(r for r in result.drops if r.chosen)
    return {"size": row.size, "sets": row.sets, "drop_percent": result.lateral_drop_percent}
