"""What one hole leaks, unsealed and sealed: which row or formula stands for which hole is data."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.core.citing import Citation, cite
from hpelec.core.errors import TableError
from hpelec.core.tables import Row, table
from hpelec.steps.airtightness import rules, rules_gap
from hpelec.steps.airtightness.model import Spread
from hpelec.steps.penetrations.model import Hole

PRESSURE_PA = 50.0
UNCAULKED = "Piping/plumbing/wiring penetration, uncaulked"
MM_PER_IN = 25.4


@dataclass(frozen=True, slots=True)
class Basis:
    """A leak, the row or formula it comes from, and its source."""

    leak: Spread
    by: str
    citation: Citation


def times(spread: Spread, best: float, low: float, high: float) -> Spread:
    """Each end of a spread times its own factor."""
    return Spread(
        best_cfm50=spread.best_cfm50 * best, low_cfm50=spread.low_cfm50 * low, high_cfm50=spread.high_cfm50 * high
    )


def plus(a: Spread, b: Spread) -> Spread:
    """Two leaks side by side."""
    return Spread(
        best_cfm50=a.best_cfm50 + b.best_cfm50,
        low_cfm50=a.low_cfm50 + b.low_cfm50,
        high_cfm50=a.high_cfm50 + b.high_cfm50,
    )


def row_of(item: str, record_type: str = "component_ela") -> Row:
    """A row of the leakage table that counts each piece."""
    return table("air/leakage").one(item=item, record_type=record_type, unit="each")


def areas_cm2(item: str, spread_item: str = "") -> tuple[float, float, float]:
    """Best, lowest and highest leakage area of a row [cm2]; the spread of another row, in ratio, where it has none."""
    row = row_of(item)
    best = row.number("ela4_best_cm2")
    if not spread_item:
        return best, row.number("ela4_min_cm2"), row.number("ela4_max_cm2")
    other_best, other_min, other_max = areas_cm2(spread_item)
    return best, best * other_min / other_best, best * other_max / other_best


def by_row(item: str, count: float, spread_item: str = "") -> Spread:
    """Leak of `count` pieces of a row of the table."""
    best, low, high = (rules.area_flow_cfm50(a) * count for a in areas_cm2(item, spread_item))
    return Spread(best_cfm50=best, low_cfm50=low, high_cfm50=high)


def _cfm(flow_L_s: float) -> float:
    return flow_L_s / rules.L_S_PER_CFM


def by_gap(hole: Hole) -> Spread:
    """Leak of a drilled hole round its cables.

    Best: the even ring of the same open area. Lowest: the same with the edge loss of a sharp hole. Highest: the
    cable touches one side.
    """
    hole_mm = hole.diameter_in * MM_PER_IN
    gap_mm = rules_gap.ring_gap_mm(hole_mm, hole.free_area_mm2)
    size = (gap_mm, rules_gap.ring_length_mm(hole_mm, gap_mm), hole.depth_mm, PRESSURE_PA)
    loss = rules_gap.straight_loss(gap_mm, hole.depth_mm)
    return Spread(
        best_cfm50=_cfm(rules_gap.gap_flow_L_s(*size, loss=loss)),
        low_cfm50=_cfm(rules_gap.gap_flow_L_s(*size, loss=rules_gap.SHARP)),
        high_cfm50=_cfm(rules_gap.gap_flow_L_s(*size, eccentricity=1.0)),
    )


def by_opening(area_mm2: float) -> Spread:
    """Leak of a bare opening: best and lowest as a sharp hole, highest as a straight one."""
    sharp = _cfm(rules_gap.orifice_flow_L_s(area_mm2, PRESSURE_PA))
    straight = _cfm(rules_gap.orifice_flow_L_s(area_mm2, PRESSURE_PA, rules_gap.STRAIGHT**-0.5))
    return Spread(best_cfm50=sharp, low_cfm50=sharp, high_cfm50=straight)


def unsealed(hole: Hole) -> Basis:
    """What the hole leaks if nothing is done."""
    entry = table("air/hole_leakage").one(kind_id=hole.kind)
    basis = entry.text("unsealed_basis")
    if basis == "row":
        item = entry.text("unsealed_row")
        leak = by_row(item, hole.row_count, entry.text("spread_row"))
        count = f" x {hole.row_count:.2f}" if hole.row_count != 1 else ""
        return Basis(leak, item + count, row_of(item).citation)
    if basis == "orifice":
        return Basis(by_opening(hole.free_area_mm2), "bare opening", cite(rules_gap.orifice_flow_L_s))
    leak = by_gap(hole)
    by = f"gap flow, {hole.free_area_mm2:.0f} mm2 open, {hole.depth_mm:.1f} mm deep"
    if hole.bore_area_mm2:
        leak = plus(leak, by_opening(hole.bore_area_mm2))
        by += f", and a bore of {hole.bore_area_mm2:.0f} mm2"
    return Basis(leak, by, cite(rules_gap.gap_flow_L_s))


def sealed(hole: Hole, before: Basis) -> Basis:
    """What the hole leaks when sealed by its method; as unsealed where no method fits."""
    if not hole.method:
        return Basis(before.leak, "no method fits: as unsealed", before.citation)
    entry = table("air/seal_leakage").one(method_id=hole.method)
    basis, item = entry.text("sealed_basis"), entry.text("sealed_row")
    if basis == "limit":
        row = row_of(item, "limit")
        at_limit = _cfm(rules.flow_at_pressure(row.number("flow_max_l_s"), row.number("flow_pressure_pa"), PRESSURE_PA))
        leak = Spread(best_cfm50=at_limit, low_cfm50=0.0, high_cfm50=at_limit)
        return _not_above(before, Basis(leak, f"{item}: a test limit, not an estimate", row.citation))
    if basis == "row":
        return _not_above(before, Basis(by_row(item, hole.row_count), item, row_of(item).citation))
    best, low, high = rules_gap.sealed_shares(areas_cm2(item), areas_cm2(UNCAULKED))
    by = f"{best:.2f} ({low:.2f} to {high:.2f}) of unsealed: caulked over uncaulked penetration"
    return Basis(times(before.leak, best, low, high), by, cite(rules_gap.sealed_shares))


def _not_above(before: Basis, after: Basis) -> Basis:
    """The sealed leak; TableError when the tables say that a seal adds leakage."""
    for end in ("best_cfm50", "low_cfm50", "high_cfm50"):
        if getattr(after.leak, end) > getattr(before.leak, end) * (1 + 1e-12):
            raise TableError(f"sealing raises leakage ({end}): {after.by!r} against {before.by!r}")
    return after
