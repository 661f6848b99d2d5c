"""Findings on the circuits that a dwelling must have, and on those that may serve nothing else."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from hpelec.common.rules_equipment import range_breaker_min_A
from hpelec.core.citing import Citation
from hpelec.core.findings import Verdict
from hpelec.core.rounding import EPS
from hpelec.core.tables import Row
from hpelec.core.working import line
from hpelec.house.model import House
from hpelec.steps.circuits import rules
from hpelec.steps.circuits.dedicated import Notes, load_of, present
from hpelec.steps.circuits.grouping import group_of
from hpelec.steps.circuits.model import Circuit
from hpelec.steps.devices.model import DeviceSpot

NAMES = {
    "small_appliance": "Small appliances",
    "laundry": "Laundry",
    "bathroom": "Bathroom receptacles",
    "garage": "Garage receptacles",
    "outdoor": "Outdoor receptacles",
}
ROW_OF = {
    "small_appliance": "small appliance",
    "laundry": "laundry receptacle",
    "bathroom": "bathroom receptacle",
    "garage": "garage receptacles",
}
ONLY = ("small_appliance", "laundry", "bathroom")
"""Kinds of circuits that may have no other outlets."""
HEATING = ("furnace", "air_handler", "heat_pump")


def check_required(made: Sequence[Circuit], house: House, devices: Sequence[DeviceSpot], notes: Notes) -> None:
    """Every finding on required circuits."""
    _by_room(made, house, notes)
    _own(made, house, notes)
    _purity(made, house, {d.id: d for d in devices}, notes)


def _by_room(made: Sequence[Circuit], house: House, notes: Notes) -> None:
    kinds = {r.kind for r in house.rooms}
    needed = ["small_appliance", "laundry"]
    needed += [kind for kind in ("bathroom", "garage") if kind in kinds]
    for kind in needed:
        row = rules.required_row(ROW_OF[kind])
        have = [c for c in made if c.kind == kind]
        fed = [c for c in have if c.outlets]
        least = int(row.number("min_count"))
        verdict = Verdict.MEETS if len(fed) >= least else Verdict.MISSES
        notes.find(
            f"required-{kind.replace('_', '-')}", "house", f"{row.text('circuit')} on circuits of their own",
            f"{len(have)} circuit(s), {len(fed)} with outlets", f"at least {least}",
            "place the receptacles that the circuit is for", verdict, row.citation,
        )  # fmt: skip
        notes.working.append(
            line(f"{NAMES[kind]}: circuits with outlets", f"at least {least}", len(fed), "", row.citation)
        )


def _own(made: Sequence[Circuit], house: House, notes: Notes) -> None:
    """Heating, vehicle chargers and ranges: an individual circuit, of a least rating for a range."""
    rows = [r for r in present(house.appliances) if r.kind in (*HEATING, "vehicle_charger", "range")]
    for row in rows:
        own = [c for c in made if c.id == f"own-{row.id}" or c.id.startswith(f"own-{row.id}-")]
        if row.kind == "range":
            load_VA = load_of(row, row.voltage_V) or 0.0
            least_A = range_breaker_min_A(load_VA) if load_VA > 0 else 0.0
            if least_A > 0:
                _range(row.id, own, least_A, rules.required_row("range"), notes)
            continue
        table_row = rules.required_row("EVSE outlet" if row.kind == "vehicle_charger" else "central heating")
        _individual(row.id, own, table_row, notes)


def _individual(place: str, own: Sequence[Circuit], row: Row, notes: Notes) -> None:
    verdict = Verdict.MEETS if own else Verdict.MISSES
    notes.find(
        "required-own", place, f"{row.text('circuit')} on an individual branch circuit",
        f"{len(own)} circuit(s) of its own", "1", "a circuit that serves nothing else", verdict, row.citation,
    )  # fmt: skip


def _range(place: str, own: Sequence[Circuit], least_A: float, row: Row, notes: Notes) -> None:
    rated_A = max((c.breaker_A for c in own), default=0.0)
    notes.find(
        "required-range", place, "branch circuit of a range of 8.75 kW or more", f"{rated_A:g} A",
        f"at least {least_A:g} A", "a larger breaker and cable",
        Verdict.MEETS if rated_A >= least_A - EPS else Verdict.MISSES, row.citation,
    )  # fmt: skip


def _purity(made: Sequence[Circuit], house: House, devices: Mapping[str, DeviceSpot], notes: Notes) -> None:
    """Circuits that may have no other outlets, and individual ones: what the user has pinned there besides."""
    rooms = {r.id: r for r in house.rooms}
    appliances = {a.id: a for a in house.appliances}
    for circuit in made:
        spots = [devices[o] for o in circuit.outlets if o in devices]
        if circuit.kind in ONLY:
            strange = [
                d.id for d in spots
                if group_of(d, rooms.get(d.room), appliances.get(d.serves)) != circuit.kind
                and not _bathroom_alone(circuit, spots)
            ]  # fmt: skip
            row = rules.required_row(ROW_OF[circuit.kind])
            _no_others(
                circuit, strange, f"no other outlets on a circuit for {row.text('circuit')}", row.citation, notes
            )
        elif circuit.kind == "dedicated" and circuit.id.startswith("own-"):
            serves = {d.serves for d in spots if d.serves and circuit.id.startswith(f"own-{d.serves}")}
            strange = [d.id for d in spots if serves and d.serves not in serves]
            _no_others(circuit, strange, "nothing else on a circuit of its own", circuit.citation, notes)


def _bathroom_alone(circuit: Circuit, spots: Sequence[DeviceSpot]) -> bool:
    """A bathroom circuit that serves one bathroom alone may serve everything in it."""
    return circuit.kind == "bathroom" and len({d.room for d in spots}) == 1


def _no_others(circuit: Circuit, strange: Sequence[str], said: str, by: Citation, notes: Notes) -> None:
    if strange:
        notes.find(
            "required-no-others", circuit.id, said, ", ".join(strange), "none",
            "another name in the column `circuit` of devices.csv", Verdict.MISSES, by,
        )  # fmt: skip
