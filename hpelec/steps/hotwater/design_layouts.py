"""Central heaters and heaters at the points of use, side by side: amperes, holes, waits, energy, cost."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from hpelec.common.rules_water import flow_heat_kW
from hpelec.core.findings import Assumption
from hpelec.core.tables import table
from hpelec.core.working import line
from hpelec.house.geometry import room_centre
from hpelec.house.model import House
from hpelec.house.rows_loads import DrawPoint, Heater
from hpelec.house.sections import Prices
from hpelec.steps.hotwater import rules, rules_circuits, rules_demand, rules_pipes, rules_sizing, rules_tank
from hpelec.steps.hotwater.design_heaters import INSTANT, Notes
from hpelec.steps.hotwater.design_pipes import DAYS, Use, filled_gal, held_gal, lengths_of, loop_loss_W_per_mK, metres
from hpelec.steps.hotwater.design_year import share_at
from hpelec.steps.hotwater.model import HotWaterResult, PointNeed
from hpelec.steps.hotwater.model_depth import Layout
from hpelec.steps.hotwater.values import value

RATED_V = 240.0
HOURS = 8760.0
ELEMENT_VA = 4500.0
PRICE_OF = {
    "tankless": "tankless_USD",
    "storage": "storage_USD",
    "heat_pump_storage": "heat_pump_storage_USD",
    "point_of_use_tankless": "point_of_use_USD",
    "point_of_use_storage": "point_of_use_USD",
}


@dataclass(frozen=True, slots=True)
class Served:
    """A point in a layout: the water that a draw moves in its pipe, the wait, and the pipe's length."""

    point: DrawPoint
    filled_gal: float
    wait_s: float
    pipe_ft: float


@dataclass(frozen=True, slots=True)
class Placed:
    """Heaters of one size at one place, and what they serve. count: how many stand side by side."""

    heater: Heater
    served: tuple[Served, ...]
    ua_Btu: float
    cop: float
    count: int = 1


@dataclass(frozen=True, slots=True)
class Ground:
    """What all layouts of a house share."""

    house: House
    points: tuple[DrawPoint, ...]
    needs: Mapping[str, PointNeed]
    uses: Mapping[str, Use]
    result: HotWaterResult
    ua_Btu: Mapping[str, float]
    notes: Notes

    @property
    def share(self) -> float:
        """Share of the marked flow that runs at once."""
        return self.house.water.peak_fixtures_share_percent / 100

    @property
    def voltage_left(self) -> float:
        """What is left of a 240 V rating on this service."""
        return rules.element_kW(1.0, RATED_V, self.house.service_site.voltage_V)


def layouts(ground: Ground) -> tuple[Layout, ...]:
    """The house as described, and what it would be with one place for all, or a heater in each room."""
    if not ground.points:
        return ()
    centre = _centre(ground)
    central = [_served(ground, p, centre) for p in ground.points]
    tank = _central_tank(ground, centre, central, "storage")
    pump = _central_tank(ground, centre, central, "heat_pump_storage")
    branch = value("loop_branch_ft")
    near = tuple(_held(ground, s.point, branch, 0.0) for s in central)
    found = [
        _layout(ground, "as described", _described(ground), loop=ground.house.water.recirculation_h > 0),
        _layout(ground, "central tankless", [_central_tankless(ground, centre, central)]),
        _layout(ground, "central tank", [tank]),
        _layout(ground, "central heat-pump tank", [pump]),
        _layout(ground, "central tank with loop", [replace(tank, served=near)], loop=True),
        _layout(ground, "at the points of use", _points_of_use(ground)),
    ]
    _told(ground, centre)
    return tuple(found)


def _told(ground: Ground, centre: Heater) -> None:
    water = ground.house.water
    say = ground.notes.assumptions.append
    rule = (
        "one for each branch circuit's cable, one for the cold pipe of each heater, one hot pipe for each room served "
        "that is not the heater's own, one for the return of a loop, two for ducts"
    )
    say(
        Assumption("layouts, holes", rule, "counted as if each ran outside the air barrier; those run inside need none")
    )
    placed = f"in {centre.room}, where {centre.id} stands; a point of another heater lies as far as its room does"
    say(Assumption("layouts, central heater", placed, "measured along the walls between the rooms' middles, and up"))
    near = f"{water.point_of_use_pipe_ft:g} ft of pipe; one heater for each room with points"
    say(Assumption("layouts, points of use", near, "sized for the marked points of the room, or its largest"))
    hours = f"loop of {_loop_ft(ground):.0f} ft, {_loop_h(ground):g} h a day"
    say(
        Assumption("layouts, loop", hours, "length from floor area and levels where it is not given; branches of 10 ft")
    )
    short = "heat pumps run without their elements, and their room's air is not heated again"
    say(Assumption("layouts, electricity", short, "so theirs is a lower bound in a house that is heated"))


def _centre(ground: Ground) -> Heater:
    """The heater with the largest flow; of equals the first by id."""
    kept = [h for h in ground.house.heaters if h.status != "removed"]
    flow = {h.id: math.fsum(n.hot_flow_gpm for n in ground.needs.values() if n.heater == h.id) for h in kept}
    return min(kept, key=lambda h: (h.kind.startswith("point_of_use"), -round(flow[h.id], 9), h.id))


def _held(ground: Ground, point: DrawPoint, length_ft: float, trunk_ft: float) -> Served:
    held = held_gal(point, length_ft, trunk_ft) or 0.0
    flow = ground.needs[point.id].mixed_flow_gpm
    wait = rules_pipes.wait_s(held, flow)
    return Served(point, filled_gal(point, flow, held), wait, length_ft + trunk_ft)


def _served(ground: Ground, point: DrawPoint, centre: Heater) -> Served:
    """A point served from the centre: by its own pipe where that comes from there, else by one along the walls."""
    if point.heater == centre.id:
        return _held(ground, point, point.pipe_length_ft, point.trunk_length_ft)
    return _held(ground, point, _between_ft(ground.house, point.room, centre.room), 0.0)


def _between_ft(house: House, one: str, other: str) -> float:
    rooms = {r.id: r for r in house.rooms}
    floors = {lv.id: lv.floor_ft for lv in house.levels}
    a, b = rooms[one], rooms[other]
    (ax, ay), (bx, by) = room_centre(a), room_centre(b)
    up = abs(floors.get(a.level, 0.0) - floors.get(b.level, 0.0))
    return max(abs(ax - bx) + abs(ay - by) + up, house.water.point_of_use_pipe_ft)


def _described(ground: Ground) -> list[Placed]:
    cops = {a.heater: a.cop for a in ground.result.heat_pumps}
    shares = {d.heater: d.element_kWh / d.heat_kWh for d in ground.result.tank_days if d.heat_kWh > 0}
    found = []
    for heater in sorted(ground.house.heaters, key=lambda h: h.id):
        if heater.status == "removed":
            continue
        own = [p for p in ground.points if p.heater == heater.id]
        pump = cops.get(heater.id)
        cop = rules_tank.mixed_cop(min(1.0, shares.get(heater.id, 0.0)), pump) if pump else 1.0
        served = tuple(_held(ground, p, *lengths_of(p, heater, ground.house.water)) for p in own)
        found.append(Placed(heater, served, ground.ua_Btu.get(heater.id, 0.0), cop))
    return found


def _hottest_F(ground: Ground) -> float:
    return max(h.setpoint_F for h in ground.house.heaters if h.status != "removed")


def _like(name: str, kind: str, room: str, power_VA: float, setpoint_F: float, volume_gal: float = 0.0) -> Heater:
    return Heater(
        id=name,
        name=name,
        kind=kind,
        room=room,
        power_VA=power_VA,
        voltage_V=RATED_V,
        setpoint_F=setpoint_F,
        volume_gal=volume_gal,
    )


def _central_tankless(ground: Ground, centre: Heater, served: Sequence[Served]) -> Placed:
    setpoint = _hottest_F(ground)
    needed = _peak_kW(ground, [s.point for s in served], setpoint)
    kW, count = _size(needed, ground.voltage_left)
    heater = _like("central", "tankless", centre.room, kW * 1000, setpoint)
    said = f"{count} x {kW:g} kW for {needed:.4g} kW needed"
    ground.notes.working.append(line("central tankless", said, count * kW, "kW", rules_sizing.tankless_size_kW))
    return Placed(heater, tuple(served), 0.0, 1.0, count)


def _peak_kW(ground: Ground, points: Sequence[DrawPoint], setpoint_F: float) -> float:
    """Heat of the marked points at once on the coldest day; of the largest one where none is marked."""
    cold = ground.result.cold_F
    if cold >= setpoint_F:
        return 0.0
    flows = {p.id: share_at(setpoint_F, p.use_F, cold) * ground.needs[p.id].mixed_flow_gpm for p in points}
    marked = [flows[p.id] for p in points if p.at_peak]
    flow = ground.share * math.fsum(sorted(marked)) if marked else max(flows.values(), default=0.0)
    return rules.needed_kW(flow, setpoint_F - cold)


def _size(needed_kW: float, left: float) -> tuple[float, int]:
    """Rating and number of equal heaters that cover a need together."""
    largest = rules_sizing.sizes("tankless")[-1][0]
    count = max(1, math.ceil(needed_kW / (largest * left) - 1e-9))
    return rules_sizing.tankless_size_kW(needed_kW / count, left) or largest, count


def _central_tank(ground: Ground, centre: Heater, served: Sequence[Served], kind: str) -> Placed:
    setpoint = _hottest_F(ground)
    rise = max(setpoint - ground.result.cold_F, 1.0)
    recovery = rules.recovery_gph(ELEMENT_VA / 1000 * ground.voltage_left, rise)
    worksheet = table("hotwater/peak_hour_uses")
    gal = [r.number("hot_gal") for s in served if s.point.at_peak for r in worksheet.where(fixture=s.point.fixture)[:1]]
    asked = rules.peak_hour_gal([1.0] * len(gal), gal)
    largest = rules_sizing.sizes("storage")[-1][1]
    count = max(1, math.ceil(asked / (0.70 * largest + recovery) - 1e-9))
    volume = rules_sizing.tank_size_gal(asked / count, recovery) or largest
    heater = _like("central", kind, centre.room, ELEMENT_VA, setpoint, volume)
    first = rules.first_hour_gal(volume, recovery)
    pattern = rules_tank.pattern_by_first_hour(first)
    ua = rules_tank.ua_Btu(value("tank_uef"), rules_tank.pattern_gal(pattern))
    cop = 1.0
    if kind == "heat_pump_storage":
        air = (heater.air_F, heater.air_humidity_percent, setpoint)
        cop = max(1.0, value("heat_pump_cop") * rules_tank.heat_pump_factor("cop", *air))
    else:
        said = f"{count} x {volume:g} gal for {asked:.4g} gal in the busiest hour"
        ground.notes.working.append(line("central tank", said, count * volume, "gal", rules_sizing.tank_size_gal))
    return Placed(heater, tuple(served), ua, cop, count)


def _points_of_use(ground: Ground) -> list[Placed]:
    found = []
    for room in sorted({p.room for p in ground.points}):
        points = sorted((p for p in ground.points if p.room == room), key=lambda p: p.id)
        setpoint = min(180.0, max(90.0, *(p.use_F for p in points)))
        kW, count = _size(_peak_kW(ground, points, setpoint), ground.voltage_left)
        heater = _like(f"{room}-heater", "point_of_use_tankless", room, kW * 1000, setpoint)
        near = ground.house.water.point_of_use_pipe_ft
        found.append(Placed(heater, tuple(_held(ground, p, near, 0.0) for p in points), 0.0, 1.0, count))
    return found


def _loop_ft(ground: Ground) -> float:
    given = ground.house.water.loop_length_ft
    if given is not None:
        return given
    floors = max(1, len(ground.house.levels))
    pipe = rules_pipes.default_pipe_ft(ground.house.general.floor_area_ft2, floors, open_basement=False)
    return rules_pipes.default_loop_ft(pipe)


def _loop_h(ground: Ground) -> float:
    return ground.house.water.recirculation_h or 24.0


def _circuits(ground: Ground, placed: Sequence[Placed]) -> tuple[float, list[tuple[float, str]]]:
    """Current of all heaters on this service, and breaker and conductor of each circuit."""
    supply = ground.house.service_site.voltage_V
    total, found = 0.0, []
    for place in placed:
        heater = place.heater
        volts = min(heater.voltage_V, supply) if heater.voltage_V > 120 else heater.voltage_V
        kW = rules.element_kW(heater.power_VA / 1000, heater.voltage_V, volts)
        amps = rules.current_A(kW * 1000, volts)
        each = amps / rules_circuits.heater_circuits(amps)
        pair = (
            rules_circuits.heater_breaker_A(each, ground.notes.edition),
            rules_circuits.heater_conductor(each, ground.notes.edition),
        )
        found += [pair] * (rules_circuits.heater_circuits(amps) * place.count)
        total += amps * place.count
    return total, found


def _layout(ground: Ground, name: str, placed: Sequence[Placed], *, loop: bool = False) -> Layout:
    total_A, circuits = _circuits(ground, placed)
    described = name == "as described"
    served = [s for p in placed for s in p.served]
    water = sum(p.count for p in placed)
    wasted = math.fsum(
        ground.uses[s.point.id].cold_starts * s.filled_gal * DAYS
        for s in served
        if s.point.fixture in rules_demand.WAITING
    )
    heat = [_heat(ground, p) for p in placed]
    setpoint = max((p.heater.setpoint_F for p in placed), default=0.0)
    loop_kWh, pump_kWh = _loop(ground, setpoint) if loop else (0.0, 0.0)
    electric = math.fsum((d + s + left) / p.cop for p, (d, s, left) in zip(placed, heat, strict=True))
    cop = max((p.cop for p in placed if not p.heater.kind.startswith("point_of_use")), default=1.0)
    electric += loop_kWh / cop + pump_kWh
    holes = len(circuits) + water + sum(_rooms(p) for p in placed) + loop + 2 * sum(p.heater.ducted for p in placed)
    first, yearly, missing = _cost(ground, placed, len(circuits), holes, electric, wasted, loop=loop)
    return Layout(
        layout=name,
        heaters=water,
        nameplate_kW=ground.result.all_on_kW
        if described
        else math.fsum(p.heater.power_VA / 1000 * p.count for p in placed),
        peak_A=ground.result.all_on_A if described else total_A,
        circuits=len(circuits),
        breakers=_counted(f"{a:g} A" for a, _ in circuits),
        conductors=_counted(f"{size} AWG" for _, size in circuits),
        holes=holes,
        longest_wait_s=max((s.wait_s for s in served), default=None),
        wasted_gal=wasted,
        draw_kWh=math.fsum(d for d, _, _ in heat),
        standby_kWh=math.fsum(s for _, s, _ in heat),
        pipe_kWh=math.fsum(left for _, _, left in heat),
        loop_kWh=loop_kWh,
        electric_kWh=electric,
        first_USD=first,
        yearly_USD=yearly,
        missing=missing,
    )


def _counted(words: Iterable[str]) -> str:
    counts = Counter(words)
    order = sorted(counts, key=lambda w: (-float(w.split()[0].split("/")[0]), w))
    return ", ".join(f"{counts[w]} x {w}" for w in order)


def _rooms(placed: Placed) -> int:
    """Rooms served that are not the heater's own."""
    return len({s.point.room for s in placed.served} - {placed.heater.room})


def _heat(ground: Ground, placed: Placed) -> tuple[float, float, float]:
    """Heat drawn, lost standing, and left in pipes, in a year [kWh]."""
    heater = placed.heater
    mean = math.fsum(d.mains_F for d in ground.result.mains) / len(ground.result.mains)
    per_gal = flow_heat_kW() / 60
    drawn = left = 0.0
    for served in sorted(placed.served, key=lambda s: s.point.id):
        use = ground.uses[served.point.id]
        drawn += per_gal * use.gal * max(0.0, min(use.use_F, heater.setpoint_F) - mean) * DAYS
        left += rules_pipes.left_kWh(served.filled_gal, use.cold_starts * DAYS, heater.setpoint_F, heater.air_F)
    standby = 0.0
    if heater.kind not in INSTANT:
        watts = rules_tank.standby_W(placed.ua_Btu, heater.setpoint_F, heater.air_F)
        standby = max(0.0, watts) * HOURS / 1000 * placed.count
    return drawn, standby, left


def _loop(ground: Ground, setpoint_F: float) -> tuple[float, float]:
    """Heat lost by the loop and energy of its pump in a year [kWh]."""
    water, hours = ground.house.water, _loop_h(ground)
    ua = loop_loss_W_per_mK(water.loop_insulation_in)
    lost = rules_pipes.loop_kWh(ua, metres(_loop_ft(ground)), setpoint_F, value("test_air"), hours * DAYS)
    pump_W = water.pump_W if water.pump_W is not None else value("pump_W")
    return lost, pump_W * hours * DAYS / 1000


def _cost(
    ground: Ground, placed: Sequence[Placed], circuits: int, holes: int, electric: float, wasted: float, *, loop: bool
) -> tuple[float | None, float | None, tuple[str, ...]]:
    """First cost and cost of a year; None where a price that is needed is blank, and the names of those."""
    prices: Prices = ground.house.prices
    pipe_ft = math.fsum(s.pipe_ft for p in placed for s in p.served) + (_loop_ft(ground) if loop else 0.0)
    first = [(PRICE_OF[p.heater.kind], float(p.count)) for p in placed]
    first += [("heater_circuit_USD", float(circuits)), ("hot_pipe_ft_USD", pipe_ft), ("barrier_hole_USD", float(holes))]
    first += [("loop_pump_USD", 1.0)] if loop else []
    yearly = [("energy_kWh_USD", electric), ("water_gal_USD", wasted)]
    blank = sorted({name for name, amount in first + yearly if amount and getattr(prices, name) is None})

    def total(items: Sequence[tuple[str, float]]) -> float | None:
        if any(name in blank for name, _ in items):
            return None
        return math.fsum((getattr(prices, name) or 0.0) * amount for name, amount in items)

    return total(first), total(yearly), tuple(blank)
