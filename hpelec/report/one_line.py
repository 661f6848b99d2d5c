"""The one-line diagram: supply, meter, mains, panels and their larger circuits, drawn from the plan.

Symbols after the open convention of one-line drawing (IEEE 315): two windings for a transformer, a circle with M for a
meter, an arc over two contacts for a breaker, a thick line for a bus, an arrow for a load, three strokes for earth.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from hpelec.core.units import show_quantity
from hpelec.house.rows import Panel
from hpelec.plan import Plan
from hpelec.report.svg import INK, PAPER, SOFT, Drawing, document, element, label, line
from hpelec.steps.circuits.model import Circuit
from hpelec.steps.service.model import ConductorChoice

SLOT, LEFT, SUPPLY_X = 74.0, 34.0, 62.0
BREAKER, DROP, BUS_GAP = 34.0, 66.0, 262.0
LARGE_A = 30.0
SIZE = 11.0
METAL = {"al": "aluminum", "cu": "copper"}


def breaker(x: float, y: float) -> str:
    """A breaker in a vertical line, 20 high, its upper contact at y."""
    arc = element(
        "path", d=f"M {x:.1f} {y:.1f} A 13 13 0 0 1 {x:.1f} {y + 20:.1f}", fill="none", stroke=INK, stroke_width=1.6
    )
    return _dot(x, y) + _dot(x, y + 20) + arc


def _dot(x: float, y: float, r: float = 2.4) -> str:
    return element("circle", cx=x, cy=y, r=r, fill=INK)


def transformer(x: float, y: float) -> str:
    """Two windings, 30 high, the upper end at y."""
    ring: dict[str, Any] = {"r": 9.5, "fill": "none", "stroke": INK, "stroke_width": 1.6}
    return element("circle", cx=x, cy=y + 9.5, **ring) + element("circle", cx=x, cy=y + 20.5, **ring)


def meter(x: float, y: float) -> str:
    """A meter, 26 high, the upper end at y."""
    return element("circle", cx=x, cy=y + 13, r=13, fill=PAPER, stroke=INK, stroke_width=1.6) + label(
        x, y + 13, "M", 13
    )


def earth(x: float, y: float) -> str:
    """Earth at the end of a line that comes from above."""
    return "".join(line(x - w, y + d, x + w, y + d, stroke_width=1.6) for w, d in ((11, 0), (7, 5), (3, 10)))


def load_arrow(x: float, y: float) -> str:
    """A load: an arrow head at the end of a line that comes from above."""
    return element("path", d=f"M {x - 5:.1f} {y:.1f} L {x + 5:.1f} {y:.1f} L {x:.1f} {y + 10:.1f} Z", fill=INK)


@dataclass(frozen=True, slots=True)
class Branch:
    """One slot of a bus: what is written at its breaker and its load; `panel` where it feeds another panel."""

    breaker: str
    told: tuple[str, ...]
    panel: Panel | None = None


@dataclass(frozen=True, slots=True)
class Bus:
    """A panel on the drawing: the left end of its bus, its height on the sheet, its branches."""

    panel: Panel
    x: float
    y: float
    branches: tuple[Branch, ...]

    @property
    def right(self) -> float:
        """Right end of the bus."""
        return self.x + SLOT * max(len(self.branches), 3)


def _wire(row: ConductorChoice) -> str:
    sets = f"{row.sets} x " if row.sets > 1 else ""
    neutral = f", neutral {row.neutral_size}" if row.neutral_size else ""
    return f"{sets}{row.size} {METAL[row.material]}{neutral}"


def _conductors(plan: Plan, part: str) -> ConductorChoice | None:
    return next((c for c in plan.service.conductors if c.part == part and c.chosen), None)


def _circuits(plan: Plan, panel: str) -> list[Circuit]:
    circuits: tuple[Circuit, ...] = getattr(plan.results.get("circuits"), "circuits", ())
    return [c for c in circuits if c.panel == panel]


def _branches(plan: Plan, panel: Panel) -> tuple[Branch, ...]:
    """Feeders to panels first, then circuits of 30 A or more or 240 V, the rest counted together."""
    circuits = _circuits(plan, panel.id)
    made = []
    for fed in sorted((p for p in plan.house.panels if p.fed_from == panel.id), key=lambda p: p.id):
        row = _conductors(plan, f"feeder to {fed.id}")
        device = f"{row.device_A:g} A 2p" if row is not None and row.device_A else ""
        made.append(Branch(device, (), fed))
    for c in (c for c in circuits if c.kind == "feeder" and c.id in {f"feeder-{b.id}" for b in plan.loads.buildings}):
        row = _conductors(plan, f"feeder to {c.id.removeprefix('feeder-')}")
        made.append(Branch(f"{c.breaker_A:g} A {c.poles}p", (c.name, *((_wire(row),) if row else ()))))
    large = [c for c in circuits if c.kind != "feeder" and (c.breaker_A >= LARGE_A or c.voltage_V > 120)]
    for c in sorted(large, key=lambda c: (-c.breaker_A, c.id)):
        made.append(Branch(f"{c.breaker_A:g} A {c.poles}p", (c.name, f"{c.load_VA:,.0f} VA")))
    rest = [c for c in circuits if c.kind != "feeder" and c not in large]
    if rest:
        sizes = ", ".join(f"{A:g}" for A in sorted({c.breaker_A for c in rest}))
        made.append(Branch(f"{sizes} A", (f"{len(rest)} circuits", "of 120 V")))
    return tuple(made)


def _place(plan: Plan, panel: Panel, x: float, y: float, seen: frozenset[str]) -> Iterator[Bus]:
    """The bus of a panel and below it those that it feeds: the rightmost first, so that no feeder crosses a bus."""
    branches = _branches(plan, panel)
    yield Bus(panel, x, y, branches)
    below = y + BUS_GAP
    fed = [(i, b.panel) for i, b in enumerate(branches) if b.panel is not None and b.panel.id not in seen]
    for i, child in reversed(fed):
        placed = list(_place(plan, child, x + SLOT * i, below, seen | {child.id}))
        yield from placed
        below = max(b.y for b in placed) + BUS_GAP


def _words(text: str, most: int = 12) -> list[str]:
    """A text in lines of about `most` characters."""
    lines = [""]
    for word in text.split():
        if lines[-1] and len(lines[-1]) + len(word) + 1 > most:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines[:4] if len(lines) <= 4 else [*lines[:3], lines[3] + "…"]


def _bus(plan: Plan, bus: Bus, buses: list[Bus]) -> str:
    rating = f"{bus.panel.name}: bus {bus.panel.rating_A:g} A{_fault(plan, bus.panel.id)}"
    drawn = [line(bus.x - 14, bus.y, bus.right - SLOT / 2 + 6, bus.y, stroke_width=5)]
    drawn.append(label(bus.x + SLOT * 0.62, bus.y - 13, rating, 12, anchor="start", bold=True))
    for i, branch in enumerate(bus.branches):
        x = bus.x + SLOT * i
        drawn += [line(x, bus.y, x, bus.y + BREAKER), breaker(x, bus.y + BREAKER)]
        drawn.append(label(x - 6, bus.y + BREAKER - 12, branch.breaker, 10, anchor="end"))
        foot = bus.y + BREAKER + 20 + DROP - 26
        child = next((b for b in buses if branch.panel is not None and b.panel.id == branch.panel.id), None)
        if child is not None:
            drawn.append(line(x, bus.y + BREAKER + 20, x, child.y))
            row = _conductors(plan, f"feeder to {child.panel.id}")
            drawn += _beside(x - 10, child.y - 36, f"feeder: {_wire(row)}" if row else "feeder")
        else:
            drawn += [line(x, bus.y + BREAKER + 20, x, foot), load_arrow(x, foot)]
            texts = [part for told in branch.told for part in _words(told)]
            drawn += [label(x, foot + 20 + 13 * n, text, 10) for n, text in enumerate(texts)]
    return "".join(drawn)


def _fault(plan: Plan, point: str) -> str:
    """The highest fault current at a panel, where the plan holds it."""
    found = [p for p in getattr(plan.results.get("faults"), "points", ()) if p.id == point]
    return f", fault current at most {found[0].needed_A / 1000:.1f} kA" if found else ""


def _supply(plan: Plan) -> tuple[str, float]:
    """Transformer, lateral, meter and main, from the top; and the height of the first bus."""
    site, service, x = plan.house.service_site, plan.service, SUPPLY_X
    kVA = f"{site.transformer_kVA:g} kVA" if site.transformer_kVA else "rating not known"
    share = f", {site.transformer_impedance_percent:g} %" if site.transformer_impedance_percent else ""
    volts = "120/240 V" if site.voltage_V == 240 else "208Y/120 V"
    drawn = [line(x, 8, x, 20), transformer(x, 20), line(x, 50, x, 110), meter(x, 110), line(x, 136, x, 176)]
    drawn += _beside(x, 35, f"utility transformer, {kVA}{share}, {volts}")
    length = show_quantity(site.lateral_length_ft, "ft", metric=plan.house.general.show_metric, digits=0)
    lateral, entrance = _conductors(plan, "lateral"), _conductors(plan, "service entrance")
    drop = "" if service.lateral_drop_percent is None else f", drop {service.lateral_drop_percent:.2f} %"
    wire = f": {_wire(lateral)}" if lateral else ""
    drawn += _beside(x, 80, f"{site.lateral} lateral, {length}{wire}{drop}; owner: {site.lateral_owner}")
    drawn += _beside(
        x,
        123,
        f"meter; service {service.rating_A:g} A" if service.rating_A else "meter; no offered rating carries the load",
    )
    if entrance is not None:
        drawn += _beside(x, 156, f"service entrance: {_wire(entrance)}")
    main = f"main {service.main_A:g} A" if service.main_A else "main not sized"
    earthing = _conductors(plan, "grounding electrode conductor")
    size = (
        f"grounding electrode conductor {earthing.size} {METAL[earthing.material]}"
        if earthing
        else "grounding electrode"
    )
    drawn += [
        breaker(x, 176),
        line(x, 196, x, 262),
        *_beside(x, 186, f"{main}; design load {service.design_A:.1f} A"),
    ]
    drawn += [line(x, 214, x + 190, 214), line(x + 190, 214, x + 190, 222), earth(x + 190, 222)]
    drawn.append(label(x + 210, 222, size, SIZE, anchor="start"))
    return "".join(drawn), 262.0


def _beside(x: float, y: float, text: str) -> list[str]:
    return [label(x + 22, y, text, SIZE, anchor="start")]


def one_line(plan: Plan) -> Drawing:
    """The one-line diagram of a plan that holds the step service; circuits are shown where the plan holds them."""
    supply, top = _supply(plan)
    buses: list[Bus] = []
    x = SUPPLY_X
    for panel in sorted((p for p in plan.house.panels if p.fed_from == "service"), key=lambda p: p.id):
        placed = list(_place(plan, panel, x, top, frozenset({panel.id})))
        buses += placed
        x = max(b.right for b in placed) + SLOT / 2
    first = [b for b in buses if b.panel.fed_from == "service"]
    drawn = [supply, *(line(SUPPLY_X, top, b.x, top, stroke_width=2) for b in first[1:])]
    drawn += [_bus(plan, bus, buses) for bus in buses]
    width = max([820.0, *(b.right + 10 for b in buses)])
    height = max([top, *(b.y for b in buses)]) + BREAKER + DROP + 100
    drawn.append(label(LEFT, height - 14, _LEGEND, 10, anchor="start", colour=SOFT))
    alt = _alt(plan, buses)
    return Drawing(document(width, height, "".join(drawn), "One-line diagram", alt), alt)


_LEGEND = (
    "One line stands for all conductors. Arc: breaker, p its poles. M: meter. Two rings: transformer. Arrow: load. "
    "For planning only."
)


def _alt(plan: Plan, buses: list[Bus]) -> str:
    fed = "; ".join(
        f"{b.panel.name} from {b.panel.fed_from}, {len(_circuits(plan, b.panel.id))} circuits" for b in buses
    )
    rating = f"{plan.service.rating_A:g} A" if plan.service.rating_A else "not offered"
    lateral = plan.house.service_site.lateral
    return f"One-line diagram: utility transformer, {lateral} lateral, meter, service {rating}. Panels: {fed}."
