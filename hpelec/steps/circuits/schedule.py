"""The schedule of a panel: two-pole breakers at the top, 120 V circuits on the legs so that these differ least."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from hpelec.core.rounding import EPS
from hpelec.house.rows import Panel
from hpelec.steps.circuits import rules_panel as rules
from hpelec.steps.circuits.balance import Item, Split, best_split
from hpelec.steps.circuits.model import Circuit, PanelBalance, Slot

TANDEM_MOST_A = 20.0
"""Largest rating put in a tandem breaker here."""


@dataclass(frozen=True, slots=True)
class Legs:
    """Loads of a panel on its legs [VA]: all of them, and those from line to neutral alone."""

    A_VA: float = 0.0
    B_VA: float = 0.0
    neutral_A_VA: float = 0.0
    neutral_B_VA: float = 0.0

    @property
    def turned(self) -> Legs:
        """The same with the legs exchanged."""
        return Legs(self.B_VA, self.A_VA, self.neutral_B_VA, self.neutral_A_VA)


@dataclass(frozen=True, slots=True)
class Unit:
    """What takes one space of one leg (a circuit, or two in a tandem), or one space of each (two-pole, or a pair)."""

    circuits: tuple[Circuit, ...]
    both_legs: bool
    legs: Legs

    @property
    def weight_VA(self) -> int:
        """What turning it or moving it to the other leg is about: whole volt-amperes."""
        return abs(round(self.legs.A_VA) - round(self.legs.B_VA))

    @property
    def heavy_on_A(self) -> bool:
        """True when its leg A carries the more."""
        return self.legs.A_VA > self.legs.B_VA

    @property
    def rank(self) -> tuple[float, float, str]:
        """Order on the panel: large breakers, then large loads, at the top."""
        first = self.circuits[0]
        return (-first.breaker_A, -(self.legs.A_VA + self.legs.B_VA), first.id)


def schedule(
    panel: Panel, circuits: Sequence[Circuit], behind: Mapping[str, Legs], voltage_V: float, spare_share: float
) -> tuple[list[Slot], PanelBalance, Legs]:
    """Rows of the schedule of a panel, its legs and spare spaces, and the legs as the panel before it sees them.

    circuits: those that start at this panel. behind: legs of the panels that its feeders feed, by circuit.
    """
    doubles, singles = _doubles(circuits, behind), _singles(circuits)
    tandems, singles = _in_tandems(singles, panel, 2 * len(doubles))
    pairs_of_rows = [p for p in range(1, panel.spaces - 1) if p % 4 in (1, 2)]
    tops = dict(zip((u.circuits[0].id for u in doubles), pairs_of_rows, strict=False))
    taken = {p for first in tops.values() for p in (first, first + 2)}
    open_ = {leg: [p for p in range(1, panel.spaces + 1) if p not in taken and rules.leg_of(p) == leg] for leg in "AB"}
    units = [*doubles, *singles]
    order = sorted(units, key=lambda u: (-u.weight_VA, u.circuits[0].id))
    split = best_split([Item(u.weight_VA, not u.both_legs) for u in order], len(open_["A"]), len(open_["B"]))
    heavy_A = {u.circuits[0].id: a for u, a in zip(order, split.on_A, strict=True)}
    slots: list[Slot] = []
    for unit in doubles:
        slots += _double_slots(panel, unit, tops.get(unit.circuits[0].id, 0), heavy_A[unit.circuits[0].id])
    for unit in singles:
        leg = "A" if heavy_A[unit.circuits[0].id] else "B"
        slots += _single_slots(panel, unit, open_[leg].pop(0) if open_[leg] else 0, leg)
    slots += [_open_slot(panel.id, p, leg) for leg in "AB" for p in open_[leg]]
    legs = _sum_of(units, heavy_A)
    used = 2 * len(doubles) + len(singles)
    slots.sort(key=lambda s: (s.first == 0, s.first, s.space, s.circuit))
    return slots, _balance(panel, units, legs, split, used, tandems, voltage_V, spare_share), legs


def _doubles(circuits: Sequence[Circuit], behind: Mapping[str, Legs]) -> list[Unit]:
    """Two-pole breakers and multiwire pairs, in the order in which they go on the panel."""
    by_id = {c.id: c for c in circuits}
    made = []
    for circuit in circuits:
        half_VA = circuit.leg_VA / 2
        if circuit.poles == 2:
            made.append(Unit((circuit,), True, behind.get(circuit.id, Legs(half_VA, half_VA))))
        elif circuit.multiwire_with in by_id and circuit.id < circuit.multiwire_with:
            other = by_id[circuit.multiwire_with]
            a_VA, b_VA = circuit.leg_VA, other.leg_VA
            made.append(Unit((circuit, other), True, Legs(a_VA, b_VA, a_VA, b_VA)))
    return sorted(made, key=lambda u: u.rank)


def _singles(circuits: Sequence[Circuit]) -> list[Unit]:
    known = {c.id for c in circuits}
    made = [
        Unit((c,), False, Legs(c.leg_VA, 0.0, c.leg_VA, 0.0))
        for c in circuits
        if c.poles == 1 and c.multiwire_with not in known
    ]
    return sorted(made, key=lambda u: u.rank)


def _in_tandems(singles: Sequence[Unit], panel: Panel, doubled: int) -> tuple[int, list[Unit]]:
    """As many tandem breakers as spaces are missing, of the smallest loads without protection at the breaker."""
    missing = doubled + len(singles) - panel.spaces
    fit = [u for u in singles if u.circuits[0].breaker_A <= TANDEM_MOST_A and not _protected(u.circuits[0])]
    number = max(0, min(missing, panel.tandem_spaces, len(fit) // 2))
    if not number:
        return 0, list(singles)
    chosen = sorted(fit, key=lambda u: (u.legs.A_VA, u.circuits[0].id))[: 2 * number]
    made = []
    for light, heavy in zip(chosen[:number], reversed(chosen[number:]), strict=True):
        load_VA = light.legs.A_VA + heavy.legs.A_VA
        made.append(Unit((*light.circuits, *heavy.circuits), False, Legs(load_VA, 0.0, load_VA, 0.0)))
    left = [u for u in singles if u not in chosen]
    return number, sorted([*left, *made], key=lambda u: u.rank)


def _protected(circuit: Circuit) -> bool:
    return circuit.afci or circuit.gfci


def _sum_of(units: Sequence[Unit], heavy_A: Mapping[str, bool]) -> Legs:
    turned = [_turned(u, heavy_A[u.circuits[0].id]) for u in units]
    parts = ("A_VA", "B_VA", "neutral_A_VA", "neutral_B_VA")
    return Legs(*(float(sum(getattr(t, part) for t in turned)) for part in parts))


def _turned(unit: Unit, heavy_A: bool) -> Legs:
    """The loads of a unit as it stands; one that weighs nothing is never turned."""
    as_given = unit.heavy_on_A == heavy_A if unit.both_legs and unit.weight_VA else heavy_A or unit.both_legs
    return unit.legs if as_given else unit.legs.turned


def _double_slots(panel: Panel, unit: Unit, first: int, heavy_A: bool) -> list[Slot]:
    legs = _turned(unit, heavy_A)
    turned = legs != unit.legs
    if len(unit.circuits) == 2:
        order = unit.circuits[::-1] if turned else unit.circuits
        return [
            _slot(panel.id, c, (first + 2 * i,) if first else (), leg, c.leg_VA, f"multiwire with {c.multiwire_with}")
            for i, (c, leg) in enumerate(zip(order, "AB", strict=True))
        ]
    (circuit,) = unit.circuits
    note = "its leg A on leg B here" if turned else ""
    spaces = rules.positions_of(first, 2, panel.spaces) if first else ()
    return [_slot(panel.id, circuit, spaces, "A+B", 0.0, note, legs)]


def _single_slots(panel: Panel, unit: Unit, first: int, leg: str) -> list[Slot]:
    tandem = len(unit.circuits) == 2
    return [
        _slot(panel.id, c, (first,) if first else (), leg, c.leg_VA, "tandem" if tandem else "", part="ab"[i] * tandem)
        for i, c in enumerate(unit.circuits)
    ]


def _slot(
    panel: str,
    circuit: Circuit,
    spaces: tuple[int, ...],
    leg: str,
    load_VA: float,
    note: str,
    legs: Legs | None = None,
    *,
    part: str = "",
) -> Slot:
    return Slot(
        panel=panel,
        space="+".join(map(str, spaces)) + (part if spaces else ""),
        first=spaces[0] if spaces else 0,
        side=_side(spaces[0]) if spaces else "",
        poles=circuit.poles,
        breaker_A=circuit.breaker_A,
        circuit=circuit.id,
        name=circuit.name,
        leg=leg,
        leg_A_VA=legs.A_VA if legs else load_VA * (leg == "A"),
        leg_B_VA=legs.B_VA if legs else load_VA * (leg == "B"),
        note=note,
    )


def _open_slot(panel: str, position: int, leg: str) -> Slot:
    return Slot(panel=panel, space=str(position), first=position, side=_side(position), poles=0, leg=leg)


def _side(position: int) -> str:
    return "left" if position % 2 else "right"


def _balance(
    panel: Panel,
    units: Sequence[Unit],
    legs: Legs,
    split: Split,
    used: int,
    tandems: int,
    voltage_V: float,
    spare_share: float,
) -> PanelBalance:
    wanted = rules.spaces_with_spare(used, spare_share)
    free = panel.spaces - used
    difference_VA = abs(legs.A_VA - legs.B_VA)
    return PanelBalance(
        panel=panel.id,
        leg_A_VA=legs.A_VA,
        leg_B_VA=legs.B_VA,
        difference_VA=difference_VA if difference_VA > EPS * (1 + legs.A_VA) else 0.0,
        bound_VA=float(split.bound_VA),
        gap_VA=float(split.difference_VA - split.bound_VA),
        proven=split.proven,
        by_hand_VA=rules.longest_first_VA([u.weight_VA for u in units]),
        imbalance_percent=rules.imbalance_percent(legs.A_VA, legs.B_VA),
        neutral_A=rules.neutral_A(legs.neutral_A_VA, legs.neutral_B_VA, voltage_V),
        spaces_used=used,
        spaces_free=free,
        spare_percent=100 * free / panel.spaces,
        spaces_wanted=wanted,
        size_wanted=rules.panel_size(wanted),
        tandems=tandems,
    )
