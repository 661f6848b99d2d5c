"""Step routes: each circuit from its panel to its last box by the cheapest way, and the alternatives side by side."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from hpelec.core.citing import cite
from hpelec.core.editions import check_edition
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.working import Line, line
from hpelec.house.model import House
from hpelec.steps.circuits.model import Circuit, CircuitsResult
from hpelec.steps.devices.model import DevicesResult
from hpelec.steps.routes import rules
from hpelec.steps.routes.chain import Chain, shortest_chain, spanning_tree_length
from hpelec.steps.routes.circuit import MAIN_WAYS, LegDrawn, Solved, Web, legs, make_web, solve, tally_of, unreached
from hpelec.steps.routes.model import CableTotal, Crossing, Leg, Route, RoutesResult, WayTotal
from hpelec.steps.routes.stops import Site, Stop, chase, gates, site_of, stops_of_device, stops_of_panel
from hpelec.steps.routes.walls import NOTHING, Tally, weights_of

BEST = "best of all"
RUNS: dict[str, tuple[str, ...]] = {way: (way,) for way in MAIN_WAYS} | {BEST: MAIN_WAYS}
"""Name of each run and the ways it allows. The best run comes last: it starts from the orders of the others."""


@dataclass(frozen=True, slots=True)
class Routed:
    """A circuit solved under each set of ways."""

    circuit: Circuit
    web: Web
    runs: Mapping[str, Solved]
    complete: bool = True
    """False when boxes that no way reaches were left out of it."""


def design(house: House, edition: int, *, devices: DevicesResult, circuits: CircuitsResult) -> RoutesResult:
    """A route for every circuit, the crossings of the air barrier, the alternatives, and the cable to buy."""
    check_edition(edition)
    site = site_of(house)
    findings: list[Finding] = []
    stops = {d.id: stops_of_device(site, d) for d in devices.devices}
    stops |= {p.id: stops_of_panel(site, p) for p in house.panels}
    routed = [r for c in sorted(circuits.circuits, key=lambda c: c.id) if (r := _routed(site, c, stops, findings))]
    routes: list[Route] = []
    all_legs: list[Leg] = []
    crossings: list[Crossing] = []
    working: list[Line] = []
    for entry in routed:
        drawn = legs(site, entry.web, entry.runs[BEST])
        if not drawn:
            continue
        routes.append(_route(house, entry, drawn, working))
        all_legs += [_leg(entry.circuit, d) for d in drawn]
        crossings += [c for d in drawn for c in _crossings(entry.circuit, d)]
    ways = tuple(_way_total(site, name, routed) for name in RUNS)
    cables = _cables(house, routes, working)
    _tell(house, routes, ways, working, findings)
    return RoutesResult(
        edition=edition,
        working=tuple(working),
        findings=tuple(findings),
        assumptions=_assumptions(house),
        routes=tuple(routes),
        legs=tuple(all_legs),
        crossings=tuple(crossings),
        ways=ways,
        cables=cables,
    )


def _routed(
    site: Site, circuit: Circuit, stops: Mapping[str, Sequence[Stop]], findings: list[Finding]
) -> Routed | None:
    """A circuit solved under each set of ways; None, with a finding, where it has nothing to route."""
    missing = [x for x in (circuit.panel, *circuit.outlets) if not stops.get(x)]
    if missing or not circuit.outlets:
        what = f"no place known of {', '.join(x or 'its panel' for x in missing)}" if missing else "no outlet on it"
        findings.append(_cannot(circuit, what, "place the panel and the outlets of this circuit"))
        return None
    groups = [list(stops[x]) for x in (circuit.panel, *sorted(set(circuit.outlets)))]
    terminals = [g[0] for g in groups]
    helpers = {s.id: s for g in groups for s in g[1:]}
    for room in sorted({s.room for s in terminals if not site.rooms[s.room].inside_air_barrier}):
        there = [s.at for s in terminals if s.room == room]
        middle = (math.fsum(x for x, _ in there) / len(there), math.fsum(y for _, y in there) / len(there))
        helpers |= {s.id: s for s in gates(site, site.rooms[room], (terminals[0].at, middle))}
    if len({s.level for s in terminals}) > 1 or _needs_chase(site, terminals):
        for level in sorted(site.levels):
            helpers |= {s.id: s for s in chase(site, level, terminals[0].at)}
    web, runs = _solved(site, tuple(terminals), tuple(helpers[k] for k in sorted(helpers)))
    routed = Routed(circuit, web, runs)
    return routed if runs[BEST].chain is not None else _without_unreached(site, routed, stops, findings)


@lru_cache(maxsize=512)
def _solved(site: Site, terminals: tuple[Stop, ...], helpers: tuple[Stop, ...]) -> tuple[Web, Mapping[str, Solved]]:
    """The links of a circuit and its best chain under each set of ways; kept while ground and stops are equal."""
    web = make_web(site, terminals, helpers, weights_of(site.house.routing))
    runs: dict[str, Solved] = {}
    for name, ways in RUNS.items():
        starts = [s.chain.order for s in runs.values() if s.chain is not None]
        runs[name] = solve(web, ways, starts)
    return web, runs


def _without_unreached(
    site: Site, whole: Routed, stops: Mapping[str, Sequence[Stop]], findings: list[Finding]
) -> Routed | None:
    """The circuit routed without the boxes that no way reaches, which a finding names; None when none is left."""
    lost = unreached(whole.web, whole.runs[BEST])
    fix = "allow cables in a space, move these boxes to a wall, or plan conduit in the slab; their cable is not counted"
    findings.append(_cannot(whole.circuit, f"no way to {', '.join(lost)}", fix))
    left = tuple(x for x in whole.circuit.outlets if x not in lost)
    if not left:
        return None
    part = _routed(site, replace(whole.circuit, outlets=left), stops, findings)
    return replace(part, complete=False) if part else None


def _needs_chase(site: Site, terminals: Sequence[Stop]) -> bool:
    """A circuit with a ceiling box under another plane than its other boxes can reach from their own level."""
    return len(site.levels) > 1 and any(s.free for s in terminals)


def _cannot(circuit: Circuit, got: str, fix: str) -> Finding:
    by = cite(shortest_chain)
    return Finding(
        "route", "routes", circuit.id, "every circuit has a way from its panel", got, "", fix, Verdict.CANNOT_SAY, by
    )


def _ends_ft(house: House, circuit_legs: int, panel_ends: int) -> float:
    """Cable left at the ends of a chain of legs: each leg has two, `panel_ends` of all are at a panel."""
    routing = house.routing
    return rules.drawn_ft(
        [], 2 * circuit_legs - panel_ends, routing.end_allowance_box_in, panel_ends, routing.end_allowance_panel_ft
    )


def _panel_ends(circuit: Circuit) -> int:
    return 2 if circuit.kind == "feeder" else 1


def _cost_USD(house: House, tally: Tally) -> float:
    routing = house.routing
    weights = (
        routing.cable_cost_USD, routing.hole_cost_USD, routing.crossing_cost_USD, routing.insulation_cost_USD,
    )  # fmt: skip
    return rules.weighted_cost_USD(tally, weights)


def _labour_min(house: House, tally: Tally) -> float:
    return rules.labour_min((tally.holes, tally.cable_ft), (house.routing.hole_min, house.routing.pull_min))


def _route(house: House, entry: Routed, drawn: Sequence[LegDrawn], working: list[Line]) -> Route:
    circuit, solved = entry.circuit, entry.runs[BEST]
    assert solved.chain is not None
    chain: Chain = solved.chain
    ends_ft = _ends_ft(house, len(drawn), _panel_ends(circuit))
    tally = tally_of(drawn)
    total = tally.plus(Tally(ends_ft, 0, 0, 0.0))
    cost_USD = _cost_USD(house, total)
    # The chain was found on rounded costs with a hair of cable weight to break ties; the bound carries the same.
    bound_USD = cost_USD if chain.proven else min(cost_USD, chain.bound + house.routing.cable_cost_USD * ends_ft)
    minutes = _labour_min(house, total)
    id = circuit.id
    r = house.routing
    working += [
        line(
            f"{id} cable", f"{tally.cable_ft:.1f} ft along the way + {ends_ft:.1f} ft at the ends", total.cable_ft,
            "ft", rules.drawn_ft,
        ),
        line(
            f"{id} cost",
            f"{total.cable_ft:.1f} ft x {r.cable_cost_USD:g} + {tally.holes} holes x {r.hole_cost_USD:g} + "
            f"{tally.crossings} crossings x {r.crossing_cost_USD:g} + "
            f"{tally.insulation_ft:.1f} ft in insulation x {r.insulation_cost_USD:g}",
            cost_USD, "USD", rules.weighted_cost_USD,
        ),
        line(f"{id} no order costs less than", "proven order" if chain.proven else "spanning tree", bound_USD, "USD",
             shortest_chain if chain.proven else spanning_tree_length),
        line(f"{id} labour", f"{tally.holes} holes x {r.hole_min:g} min + {total.cable_ft:.1f} ft x {r.pull_min:g} min",
             minutes, "min", rules.labour_min),
    ]  # fmt: skip
    return Route(
        circuit=id,
        panel=circuit.panel,
        cable=circuit.cable,
        chain=tuple(entry.web.stops[i].id for i in chain.order),
        cable_ft=total.cable_ft,
        holes=tally.holes,
        crossings=tally.crossings,
        insulation_ft=tally.insulation_ft,
        labour_min=minutes,
        cost_USD=cost_USD,
        bound_USD=bound_USD,
        proven=chain.proven,
    )


def _leg(circuit: Circuit, drawn: LegDrawn) -> Leg:
    return Leg(
        circuit=circuit.id,
        start=drawn.start.device,
        end=drawn.end.device,
        way=drawn.way,
        points_ft=drawn.points,
        cable_ft=drawn.tally.cable_ft,
        holes=drawn.tally.holes,
        crossings=drawn.tally.crossings,
        insulation_ft=drawn.tally.insulation_ft,
    )


def _crossings(circuit: Circuit, drawn: LegDrawn) -> list[Crossing]:
    made = []
    for passage in drawn.passages:
        stop = passage.stop
        # A helping place is no device: the crossing is told of the end of the leg that is nearer.
        ends = (drawn.start, drawn.end)
        near = min(ends, key=lambda s: (math.dist((*s.at, s.z_ft), passage.at), s.id))
        known = any(stop.device == s.device for s in ends)
        made.append(
            Crossing(
                circuit=circuit.id,
                cable=circuit.cable,
                device=stop.device if known else near.device,
                surface=passage.surface,
                level=stop.level,
                room=stop.room,
                x_ft=passage.at[0],
                y_ft=passage.at[1],
                z_ft=passage.at[2],
            )
        )
    return made


def _way_total(site: Site, name: str, routed: Sequence[Routed]) -> WayTotal:
    """The whole house with only some ways; a circuit that cannot be routed so takes its best way, if it has any."""
    house, total, possible = site.house, NOTHING, True
    for entry in routed:
        solved = entry.runs[name]
        if solved.chain is None:
            possible, solved = False, entry.runs[BEST]
        possible = possible and entry.complete
        drawn = legs(site, entry.web, solved)
        if drawn:
            ends_ft = _ends_ft(house, len(drawn), _panel_ends(entry.circuit))
            total = total.plus(tally_of(drawn)).plus(Tally(ends_ft, 0, 0, 0.0))
    return WayTotal(
        ways=name,
        cable_ft=total.cable_ft,
        holes=total.holes,
        crossings=total.crossings,
        insulation_ft=total.insulation_ft,
        labour_min=_labour_min(house, total),
        cost_USD=_cost_USD(house, total),
        possible=possible,
    )


def _cables(house: House, routes: Sequence[Route], working: list[Line]) -> tuple[CableTotal, ...]:
    """Cable to buy, by kind; waste is added to the sum, never circuit by circuit."""
    made = []
    waste = house.routing.waste_percent
    for cable in sorted({r.cable for r in routes}):
        drawn_ft = math.fsum(r.cable_ft for r in routes if r.cable == cable)
        buy_ft = rules.buy_ft(drawn_ft, waste)
        made.append(CableTotal(cable=cable, drawn_ft=drawn_ft, buy_ft=buy_ft))
        working.append(line(f"{cable} to buy", f"{drawn_ft:.1f} ft x (1 + {waste:g} %)", buy_ft, "ft", rules.buy_ft))
    return tuple(made)


def _tell(
    house: House, routes: Sequence[Route], ways: Sequence[WayTotal], working: list[Line], findings: list[Finding]
) -> None:
    """The alternatives as working, and what was left open."""
    for total in ways:
        label = f"whole house, {total.ways}" + (
            "" if total.possible else " (best way where a circuit cannot be routed so)"
        )
        working.append(
            line(label, f"{total.cable_ft:.0f} ft, {total.holes} holes, {total.crossings} crossings", total.cost_USD,
                 "USD", rules.weighted_cost_USD)
        )  # fmt: skip
    if not any(
        (house.routing.cable_cost_USD, house.routing.hole_cost_USD, house.routing.crossing_cost_USD,
         house.routing.insulation_cost_USD)
    ):  # fmt: skip
        findings.append(
            Finding(
                "weights", "routes", "house.toml, routing", "at least one weight above 0", "all weights are 0", "> 0",
                "give cable, holes, crossings or insulation a weight; now only the shortest way is sought",
                Verdict.MISSES, cite(rules.weighted_cost_USD),
            )
        )  # fmt: skip
    open_order = [r.circuit for r in routes if not r.proven]
    if open_order:
        gap = max(r.cost_USD - r.bound_USD for r in routes)
        findings.append(
            Finding(
                "order", "routes", ", ".join(open_order), "order of the boxes proven the cheapest",
                f"not proven; at most {gap:.0f} USD above the bound", "", "fewer boxes on the circuit",
                Verdict.CANNOT_SAY, cite(spanning_tree_length),
            )
        )  # fmt: skip


def _assumptions(house: House) -> tuple[Assumption, ...]:
    texts = [
        ("holes", "each leg bores its own holes; cables that share a hole are put together in the step penetrations",
         "a leg is priced alone; heat of bundled cables (334.80) is looked at there"),
        ("attic", "cables lie over the joists: no holes counted", "guard strips where the attic has an access"),
        ("crawl space, basement, between floors", "joists bored where a cable runs across them, none along them",
         "small cables may not hang from the joists' lower edges"),
        ("walls", "studs at their spacing from each corner; a run goes over an opening by its header",
         "framing is not drawn"),
        ("planes", "runs are square to the joists and meet no stair, chimney or beam", "none is drawn in the floor"),
    ]  # fmt: skip
    if any(not r.inside_air_barrier for r in house.rooms):
        texts.append(("garage, porch", "on a slab: nothing to run in below", "the level's space is taken to end there"))
    return tuple(Assumption(f"routes, {where}", taken, why) for where, taken, why in texts)
