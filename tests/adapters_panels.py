"""Published checks of circuits and panels whose value needs several of our rules at once."""

from __future__ import annotations

import dataclasses
from functools import cache
from typing import Any

from hpelec.common import rules_nm
from hpelec.common.rules_ampacity import Around, ampacity_chain, counted_conductors
from hpelec.common.rules_drop import longest_run_ft
from hpelec.common.rules_equipment import range_breaker_min_A
from hpelec.house.rows import Panel
from hpelec.plan import design
from hpelec.steps.circuits import rules, rules_panel
from hpelec.steps.circuits.balance import Item, best_split
from hpelec.steps.circuits.model import CircuitsResult
from tests.houses import starter


@cache
def circuits_of(edition: int = 2023, **settings: Any) -> CircuitsResult:
    """The step circuits on the starter house, with columns of [circuits] changed."""
    house = starter()
    house = house.changed(circuit_settings=dataclasses.replace(house.circuit_settings, **settings))
    return design(house, edition, only=("circuits",)).circuits


def legs(positions: list[int]) -> list[str]:
    return [rules_panel.leg_of(p) for p in positions]


def two_pole_legs(first_positions: list[int]) -> list[list[str]]:
    return [[rules_panel.leg_of(p) for p in rules_panel.positions_of(first, 2, 42)] for first in first_positions]


def balance(loads: list[int]) -> dict[str, float]:
    split = best_split([Item(v) for v in loads], len(loads), len(loads))
    return {
        "by_hand": rules_panel.longest_first_VA(loads),
        "best": split.difference_VA,
        "bound": split.bound_VA,
        "proven": split.proven,
    }


def spare(used: list[int], spare_share: float) -> dict[str, list[int | None]]:
    wanted = [rules_panel.spaces_with_spare(u, spare_share) for u in used]
    return {"spaces": wanted, "sizes": [rules_panel.panel_size(w) for w in wanted]}


def neutral(leg_A_VA: float, leg_B_VA: float) -> dict[str, float]:
    return {
        "percent": rules_panel.imbalance_percent(leg_A_VA, leg_B_VA),
        "neutral_240_A": rules_panel.neutral_A(leg_A_VA, leg_B_VA, 240),
        "neutral_208_A": rules_panel.neutral_A(leg_A_VA, leg_B_VA, 208),
    }


def hole_of_mixed(cables: list[list[float]], edition: int, ambient_C: float = 30.0) -> dict[str, Any]:
    """A sealed hole with cables given as [size, loaded conductors, breaker]: factor, and whether each keeps enough."""
    made = [rules_nm.NmCable(f"{size:g}", int(loaded), breaker_A) for size, loaded, breaker_A in cables]
    factor = rules_nm.sealed_hole_factor([c.current_conductors for c in made], edition)
    heat = rules_nm.ambient_factor_90(ambient_C)
    return {
        "factor": factor,
        "final_A": [rules_nm.sealed_hole_ampacity_A(c.size, factor, edition, ambient_factor=heat) for c in made],
        "carries": rules_nm.hole_carries(made, edition, ambient_C),
    }


def most_in_hole(cables: list[list[float]], edition: int, ambient_C: float = 30.0) -> list[int]:
    return [
        rules_nm.most_cables(rules_nm.NmCable(f"{size:g}", int(loaded), breaker_A), edition, ambient_C=ambient_C)
        for size, loaded, breaker_A in cables
    ]


def nm_chain(size: str, conductors: int, together_in: float, sealed: bool) -> dict[str, float | None]:
    chain = ampacity_chain(
        size, "cu",
        Around(insulation_C=90, conductors=conductors, together_in=together_in, sealed=sealed, terminal_C=60,
               cable="NM-B"),
    )  # fmt: skip
    assert chain is not None
    return {
        "base_A": chain.base_A,
        "factor": chain.count_factor,
        "corrected_A": chain.corrected_A,
        "cap_A": chain.cap_A,
        "allowable_A": chain.allowable_A,
    }


def range_least(nameplates_VA: list[float]) -> list[float]:
    return [range_breaker_min_A(v) for v in nameplates_VA]


def required(circuit: str) -> dict[str, Any]:
    row = rules.required_row(circuit)
    return {"rating_A": row.number_or_none("rating_a") if row.text("rating_a").isdigit() else row.text("rating_a"),
            "va": row.text("va_in_load_calc"), "count": row.text("min_count")}  # fmt: skip


def verdicts(edition: int, ids: list[str]) -> dict[str, list[str]]:
    """Verdicts of findings of the starter house by id."""
    found = circuits_of(edition).findings
    return {wanted: sorted({f.verdict.value for f in found if f.id == wanted}) for wanted in ids}


def reach(size: str, current_A: float, voltage_V: float, limit_percent: float) -> float:
    return longest_run_ft(size, "cu", 1, current_A, 1.0, voltage_V, limit_percent)


def multiwire_counts(voltages: list[float]) -> list[int]:
    return [counted_conductors(2, True, v) for v in voltages]


def protections() -> list[str]:
    return [
        rules_panel.multiwire_breaker(g, a) for g, a in ((False, False), (False, True), (True, False), (True, True))
    ]


def disconnects() -> list[bool]:
    return [rules_panel.multiwire_disconnect(t, c) for t, c in ((False, False), (True, False), (False, True))]


def yokes(counts: list[int], rating_A: float) -> list[int]:
    return [rules_panel.yoke_circuits(n, rating_A) for n in counts]


def yoke_most(rating_A: float) -> int:
    """Most yokes on one circuit of a rating, as our rule counts them."""
    most = 0
    while rules_panel.yoke_circuits(most + 1, rating_A) == 1:
        most += 1
    return most


def panel_of(spaces: int, **more: Any) -> Panel:
    return Panel(id="P", name="P", room="r", side="west", offset_ft=1, spaces=spaces, **more)
