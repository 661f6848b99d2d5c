"""Step circuits: equipment to circuits of its own, outlets to shared circuits, circuits to panels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from hpelec.common.rules_equipment import branch_minimum_A
from hpelec.core.citing import Citation, cite
from hpelec.core.editions import PROVISIONAL, check_edition
from hpelec.core.findings import Assumption, Verdict
from hpelec.core.working import line
from hpelec.house.model import House
from hpelec.steps.circuits import rules, rules_cable
from hpelec.steps.circuits.buildings import building_feeders
from hpelec.steps.circuits.cable_use import cable_uses, with_reach
from hpelec.steps.circuits.dedicated import Notes, equipment_of, has_own_circuit, load_of, own_circuits, present
from hpelec.steps.circuits.entry import entries
from hpelec.steps.circuits.grouping import NO_POWER, PLUGS, blocks, counts, even_parts, general_groups, group_of
from hpelec.steps.circuits.legs import schedules, with_feeder_loads, with_leg_loads
from hpelec.steps.circuits.model import Circuit, CircuitsResult
from hpelec.steps.circuits.naming import distinct
from hpelec.steps.circuits.pairs import multiwire
from hpelec.steps.circuits.panels import feeders, panel_uses, to_panels
from hpelec.steps.circuits.required import NAMES, ROW_OF, check_required
from hpelec.steps.devices.model import DeviceSpot, DevicesResult
from hpelec.steps.loads.model import LoadsResult

GENERAL_A = 15.0
SHARED_A = 20.0
"""Outdoor receptacles, and outlets of one required kind that the user has put on a circuit of their own."""
IDS = {
    "small_appliance": "small",
    "laundry": "laundry",
    "bathroom": "bath",
    "garage": "garage",
    "outdoor": "outdoor",
}


def design(house: House, edition: int, *, devices: DevicesResult, loads: LoadsResult | None = None) -> CircuitsResult:
    """Every circuit of the house with breaker, cable and panel, and what each panel holds.

    loads: the result of that step, for the feeders of other buildings; None for a house without them.
    """
    notes = Notes(check_edition(edition))
    powered = [d for d in devices.devices if d.kind not in NO_POWER]
    own, rest = _own(house, powered, notes)
    shared = _shared(house, rest, notes)
    made = [*own, *shared]
    made = _pinned(made, house, powered, notes)
    made = [_with_device_needs(c, powered, _loads(house)) for c in made]
    _check_loads(made, notes)
    _check_outlets(made, house, powered, notes)
    voltage_V, settings = house.service_site.voltage_V, house.circuit_settings
    made += building_feeders(() if loads is None else loads.buildings, house.buildings, voltage_V, notes)
    made = distinct(to_panels(made, house.panels))
    made, pairs = multiwire(made, settings.multiwire, voltage_V, notes)
    made += feeders(made, house.panels, voltage_V, notes)
    check_required(made, house, powered, notes)
    made = with_reach(with_leg_loads(made, house, powered), settings.drop_limit_percent, notes)
    slots, balance, behind = schedules(made, house, notes)
    made = with_feeder_loads(made, behind)
    used = {b.panel: b.spaces_used for b in balance}
    uses = panel_uses(made, house.panels, used, notes)
    cables = cable_uses(made, notes)
    holes = entries(made, pairs, house.panels, notes)
    if edition in PROVISIONAL:
        by = cite(rules.general_circuits_min, edition)
        notes.find(
            "edition", "house", "edition seen only in change summaries", f"edition {edition}", "",
            "compare circuits and clause numbers with the printed edition", Verdict.CANNOT_SAY, by,
        )  # fmt: skip
    notes.assumptions.append(
        Assumption("circuits", "two-wire cable between switches and lights", "three-way switching is not worked out")
    )
    return CircuitsResult(
        edition=edition,
        working=tuple(notes.working),
        findings=tuple(notes.findings),
        assumptions=tuple(notes.assumptions),
        circuits=tuple(made),
        panels=uses,
        slots=tuple(slots),
        balance=tuple(balance),
        pairs=tuple(pairs),
        cable_uses=tuple(cables),
        entries=tuple(holes),
    )


def _own(house: House, powered: Sequence[DeviceSpot], notes: Notes) -> tuple[list[Circuit], list[DeviceSpot]]:
    """Circuits of equipment that has its own, and the devices left over."""
    made: list[Circuit] = []
    taken: set[str] = set()
    for row in [*present(house.appliances), *present(house.heaters)]:
        if not has_own_circuit(row):
            continue
        spots = sorted(d.id for d in powered if d.serves == row.id and d.kind == "appliance_outlet")
        spots = spots or sorted(d.id for d in powered if d.serves == row.id and d.kind in PLUGS)
        taken.update(spots)
        made += own_circuits(equipment_of(row, house.service_site.voltage_V, notes), spots, notes)
    return made, [d for d in powered if d.id not in taken]


def _shared(house: House, rest: Sequence[DeviceSpot], notes: Notes) -> list[Circuit]:
    """Circuits that several outlets share."""
    rooms = {r.id: r for r in house.rooms}
    appliances = {a.id: a for a in house.appliances}
    pins = {p.id for p in house.placed_devices if p.circuit}
    groups: dict[str, list[DeviceSpot]] = {}
    for device in sorted(rest, key=lambda d: d.id):
        if device.id in pins:
            continue
        groups.setdefault(group_of(device, rooms.get(device.room), appliances.get(device.serves)), []).append(device)
    made: list[Circuit] = []
    year = notes.edition
    small = house.general.small_appliance_circuits
    made += _numbered("small_appliance", _small_appliance(groups.get("small_appliance", []), house, small), year)
    laundry = round_of(groups.get("laundry", []), house)
    made += _numbered("laundry", even_parts(laundry, house.general.laundry_circuits), year)
    baths = groups.get("bathroom", [])
    made += _numbered(
        "bathroom", [[d for d in baths if d.level == lv] for lv in sorted({d.level for d in baths})], year
    )
    for kind in ("garage", "outdoor"):
        outlets = round_of(groups.get(kind, []), house)
        parts = rules.circuits_by_outlets(len(outlets), house.general.outlets_per_circuit)
        made += _numbered(kind, even_parts(outlets, parts) if parts else [], year)
    general_count = rules.general_circuits_min(house.general.floor_area_ft2, GENERAL_A)
    made += _general(groups.get("general", []), house, general_count, notes)
    return made


def round_of(devices: Sequence[DeviceSpot], house: House) -> list[DeviceSpot]:
    """Devices room by room, each room in the order one meets them."""
    rooms = {r.id: r for r in house.rooms}
    return [d for block in blocks(devices, rooms, max(1, len(devices)), together=False) for d in block.devices]


def _small_appliance(devices: Sequence[DeviceSpot], house: House, circuits: int) -> list[list[DeviceSpot]]:
    """Counters spread over all small-appliance circuits, the other outlets likewise in the opposite order."""
    counters = round_of([d for d in devices if d.kind == "counter_receptacle"], house)
    others = round_of([d for d in devices if d.kind != "counter_receptacle"], house)
    first, second = even_parts(counters, circuits), even_parts(others, circuits)[::-1]
    return [[*a, *b] for a, b in zip(first, second, strict=True)]


def _numbered(kind: str, outlets: Sequence[Sequence[DeviceSpot]], edition: int) -> list[Circuit]:
    row = rules.required_row(ROW_OF[kind]) if kind in ROW_OF else None
    rating_A = row.number("rating_a") if row else SHARED_A
    by = row.citation if row else cite(rules.circuits_by_outlets, edition)
    several = len(outlets) > 1
    return [
        _circuit(
            f"{IDS[kind]}-{i}", NAMES[kind] + (f" {i}" if several else ""), kind, rating_A, part,
            by, edition,
        )
        for i, part in enumerate(outlets, 1)
    ]  # fmt: skip


def _circuit(
    id: str, name: str, kind: str, breaker_A: float, outlets: Sequence[DeviceSpot], by: Citation, edition: int
) -> Circuit:
    """A 120 V circuit that several outlets share, on the cable of its breaker."""
    cable = rules_cable.choose_cable(breaker_A, breaker_A, 2, edition, several_receptacles=True)
    return Circuit(
        id=id,
        name=name,
        kind=kind,
        panel="",
        breaker_A=breaker_A,
        poles=1,
        voltage_V=120.0,
        load_VA=0.0,
        cable=cable.name,
        cable_size=cable.size,
        current_conductors=2,
        outlets=tuple(d.id for d in outlets),
        citation=by,
        needed_A=breaker_A,
    )


def _general(devices: Sequence[DeviceSpot], house: House, least: int, notes: Notes) -> list[Circuit]:
    """General circuits: rooms kept whole, levels apart, outlets spread evenly."""
    area_ft2, most = house.general.floor_area_ft2, house.general.outlets_per_circuit
    by = cite(rules.general_circuits_min, notes.edition)
    rooms = {r.id: r for r in house.rooms}
    groups = general_groups(devices, rooms, most, least)
    outlets = [d for d in devices if d.kind != "switch"]
    notes.working += [
        line(
            "fewest general circuits by area",
            f"3 VA/ft2 x {area_ft2:g} ft2 / (120 V x 15 A), rounded up",
            least,
            "",
            by,
        ),
        line(
            "fewest general circuits by outlets",
            f"{len(outlets)} outlets / {most} each, rounded up",
            rules.circuits_by_outlets(len(outlets), most),
            "",
            rules.circuits_by_outlets,
        ),
        line("general circuits", "rooms kept whole, levels apart", len(groups), ""),
    ]
    enough = len(groups) >= least
    notes.find(
        "general-circuits", "house", "general lighting and receptacle circuits by floor area", f"{len(groups)} of 15 A",
        f"at least {least}", "more circuits, or more outlets placed", Verdict.MEETS if enough else Verdict.MISSES, by,
    )  # fmt: skip
    made: list[Circuit] = []
    numbers: dict[str, int] = {}
    for group in groups:
        level = group[0].level
        numbers[level] = numbers.get(level, 0) + 1
        spots = [d for block in group for d in block.devices]
        kind = "general" if any(d.kind in PLUGS for d in spots) else "lighting"
        name = ", ".join(dict.fromkeys(b.name for b in group))
        made.append(_circuit(f"general-{level}-{numbers[level]}", name, kind, GENERAL_A, spots, by, notes.edition))
    return made


def _pinned(made: Sequence[Circuit], house: House, powered: Sequence[DeviceSpot], notes: Notes) -> list[Circuit]:
    """Devices that the user has put on a circuit: one of ours by its id, or a new one by that name."""
    by_id = {d.id: d for d in powered}
    taken = {o for c in made for o in c.outlets}
    wanted: dict[str, list[DeviceSpot]] = {}
    for pin in sorted(house.placed_devices, key=lambda p: p.id):
        if pin.circuit and pin.id in by_id and pin.id not in taken:
            wanted.setdefault(pin.circuit, []).append(by_id[pin.id])
    rooms = {r.id: r for r in house.rooms}
    result = list(made)
    for name, spots in sorted(wanted.items()):
        at = next((i for i, c in enumerate(result) if c.id == name), None)
        if at is not None:
            result[at] = replace(result[at], outlets=(*result[at].outlets, *(d.id for d in spots)))
            continue
        kinds = {group_of(d, rooms.get(d.room), None) for d in spots}
        kind = kinds.pop() if len(kinds) == 1 else "general"
        rating_A = GENERAL_A if kind == "general" else SHARED_A
        by = cite(rules.circuits_by_outlets, notes.edition)
        result.append(_circuit(name, name, kind, rating_A, spots, by, notes.edition))
    return result


def _loads(house: House) -> dict[str, float]:
    """Load of what an outlet can serve, by id [VA]."""
    loads = {a.id: load_of(a, a.voltage_V) or 0.0 for a in house.appliances}
    return loads | {x.id: x.power_VA for x in house.lights} | {x.id: x.power_VA for x in house.fans}


def _with_device_needs(circuit: Circuit, powered: Sequence[DeviceSpot], loads: Mapping[str, float]) -> Circuit:
    """The circuit with protection as its devices need it, and the load of its luminaires and small equipment."""
    mine = set(circuit.outlets)
    spots = [d for d in powered if d.id in mine]
    load_VA = circuit.load_VA
    if circuit.kind != "dedicated":
        load_VA = sum(loads.get(s, 0.0) for s in sorted({d.serves for d in spots if d.serves}))
    return replace(circuit, load_VA=load_VA, gfci=any(d.gfci for d in spots), afci=any(d.afci for d in spots))


def _check_loads(made: Sequence[Circuit], notes: Notes) -> None:
    """A finding where the known equipment of a shared circuit is more than its breaker carries."""
    by = cite(branch_minimum_A, notes.edition)
    for circuit in made:
        carries_VA = circuit.breaker_A * circuit.voltage_V
        if circuit.kind != "dedicated" and circuit.load_VA > carries_VA:
            notes.find(
                "shared-load", circuit.id, "known equipment on a shared circuit", f"{circuit.load_VA:,.0f} VA",
                f"{carries_VA:,.0f} VA", "a circuit of its own for the largest of it", Verdict.MISSES, by,
            )  # fmt: skip


def _check_outlets(made: Sequence[Circuit], house: House, powered: Sequence[DeviceSpot], notes: Notes) -> None:
    """A finding where pins of the user put more outlets on a general circuit than the user wants."""
    most = house.general.outlets_per_circuit
    spots = {d.id: d for d in powered}
    for circuit in made:
        outlets = counts([spots[o] for o in circuit.outlets if o in spots])
        if circuit.kind in ("general", "lighting") and outlets > most:
            notes.find(
                "outlets-per-circuit", circuit.id, "outlets on a general circuit", f"{outlets}",
                f"{most}, the user's own limit", "pin fewer devices to it", Verdict.MISSES,
                cite(rules.circuits_by_outlets, notes.edition),
            )  # fmt: skip
