"""Adapters for the published checks of equipment amperes and of the comparison with measurements."""

from __future__ import annotations

from typing import Any

from hpelec.common import rules_equipment
from hpelec.steps.loads.amps import equipment_amps
from hpelec.steps.loads.design import design
from hpelec.steps.loads.model_amps import EquipmentAmps
from hpelec.steps.loads.reality import figures
from tests.adapters_loads import house

SHOWN = ("full_load_A", "circuits", "circuit_A", "factor", "minimum_A", "device_A", "device_most_A", "feeder_A",
         "feeder_sizing_A")  # fmt: skip


def rows(edition: int = 2023, **parts: Any) -> tuple[EquipmentAmps, ...]:
    """The rows of a house that has only the equipment given."""
    return equipment_amps(house(**parts), edition).rows


def one(edition: int, *, heater: dict[str, Any] | None = None, voltage_V: float = 240.0, **row: Any) -> dict[str, Any]:
    """The amperes of one appliance (its row) or of one water heater, as a plain object."""
    parts = {"heaters": [heater]} if heater else {"appliances": [row]}
    (made,) = rows(edition, voltage_V=voltage_V, **parts)
    return {name: getattr(made, name) for name in SHOWN}


def chargers(edition: int, current_A: list[float]) -> dict[str, list[float | None]]:
    """Minimum ampacity and device of chargers, each known by its current."""
    listed = [{"kind": "vehicle_charger", "id": f"c{i}", "current_A": a} for i, a in enumerate(current_A)]
    made = rows(edition, appliances=listed)
    return {
        "device_A": [r.device_A for r in made],
        "minimum_A": [r.minimum_A for r in made],
        "feeder_sizing_A": [r.feeder_sizing_A for r in made],
    }


def several(edition: int, listed: list[dict[str, Any]]) -> dict[str, float]:
    """What several rows together add to a feeder, at 100 percent and when it is sized [A]."""
    made = rows(edition, appliances=listed)
    return {
        "feeder_A": sum(r.feeder_A or 0.0 for r in made),
        "feeder_sizing_A": sum(r.feeder_sizing_A or 0.0 for r in made),
    }


def outbuilding(
    welder: dict[str, Any], compressor: dict[str, Any], lighting_VA: float, receptacles: int, edition: int
) -> dict[str, float]:
    """Feeder of a detached workshop: welder by its duty, 180 VA a receptacle, the largest motor a quarter more."""
    by_kind = {r.kind: r for r in rows(edition, appliances=[welder, compressor])}
    welder_VA = (by_kind["welder"].feeder_A or 0.0) * 240
    compressor_VA = (by_kind["workshop"].feeder_A or 0.0) * 240
    total_VA = welder_VA + compressor_VA + 0.25 * compressor_VA + lighting_VA + 180 * receptacles
    return {"welder_VA": welder_VA, "compressor_VA": compressor_VA, "feeder_VA": total_VA, "feeder_A": total_VA / 240}


def multipliers(duties_percent: list[float], *, motor_generator: bool = False) -> list[float]:
    return [rules_equipment.welder_multiplier(d, motor_generator=motor_generator) for d in duties_percent]


def motor_currents(ratings_hp: list[float], voltage_V: float) -> list[float]:
    return [rules_equipment.motor_full_load_A(hp, voltage_V) for hp in ratings_hp]


def worksheet_motors(edition: int) -> dict[str, float]:
    """Motors of a training worksheet, known by horsepower only: their VA by the table, the largest one's addition."""
    listed = [
        {"kind": "disposer", "motor_hp": 1 / 3, "voltage_V": 120.0},
        {"kind": "other", "id": "compactor", "motor_hp": 0.5, "voltage_V": 120.0, "motor": True},
        {"kind": "fan", "motor_hp": 0.25, "voltage_V": 120.0, "quantity": 2},
        {"kind": "pump", "motor_hp": 1 / 3, "voltage_V": 120.0},
    ]
    made = {r.id: r for r in rows(edition, appliances=listed)}
    motors_VA = {f"{name}_VA": (r.feeder_A or 0.0) * r.voltage_V for name, r in made.items()}
    return motors_VA | {"addition_VA": 0.25 * motors_VA["compactor_VA"]}


def reality(edition: int, annual_kWh: float | None, **appliance: Any) -> dict[str, Any]:
    """Reality of a house of one appliance, by the standard method, with the verdict on its year."""
    made = design(
        house(appliances=[appliance] if appliance else [], load_method="standard", annual_kWh=annual_kWh), edition
    )
    assert made.reality is not None
    verdicts = {f.id: f.verdict.value for f in made.findings if f.id.startswith("reality")}
    return {
        "mean_kW": made.reality.mean_kW,
        "load_factor_percent": made.reality.load_factor_percent,
        "design_kW": made.reality.design_kW,
        "band_low_A": made.reality.band_low_A,
        "band_high_A": made.reality.band_high_A,
        "verdicts": verdicts,
    }


def figure(use: str, unit: str) -> dict[str, Any]:
    """The first published figure of a use in a unit."""
    made = next(f for f in figures() if f.use == use and f.unit == unit)
    return {"low": made.low, "high": made.high, "comparable": made.comparable, "accuracy": made.citation.accuracy}
