"""Meter equipment, the service disconnects side by side, and a set point of energy management."""

from __future__ import annotations

from hpelec.core.citing import Citation, cite
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.house.rows import Panel
from hpelec.house.rows_loads import Appliance
from hpelec.steps.loads.model import LoadLine, LoadsResult
from hpelec.steps.service import rules, rules_meter
from hpelec.steps.service.model_spare import MainRow
from hpelec.steps.service.sizing import Sizing
from hpelec.steps.service.thresholds import meter_words

LARGE_A = 30.0
"""Circuit above which a panel that `takes` the large loads takes a load, whatever its voltage: as the column says."""
BUS = Citation("NFPA 70", "408.36", "2017-2026", "memory")
MAINS = Citation("NFPA 70", "230.90(A), 230.79, 230.80", "2017-2026", "memory")


def meter_of(sizing: Sizing, main_A: float) -> tuple[str, float]:
    """Meter equipment in words, and the continuous current that it carries [A]."""
    needed_A = rules.continuous_A(main_A, sizing.site.main_rated_percent)
    limit_A = sizing.site.metering_limit_A or rules_meter.TAKEN_LIMIT_A
    return meter_words(rules_meter.meter_class(needed_A, limit_A, sizing.class_200_A)), needed_A


def meter_finding(sizing: Sizing, main_A: float) -> Finding:
    """Which class of meter equipment carries the main, and what the utility or a label must still tell."""
    site = sizing.site
    words, needed_A = meter_of(sizing, main_A)
    limit_A = site.metering_limit_A or rules_meter.TAKEN_LIMIT_A
    missing = []
    if 160 < needed_A <= 200 and site.meter_200_continuous_A is None:
        missing.append("the continuous rating on the label of the class 200 equipment (160 or 200 A)")
    if needed_A > 200 and site.metering_limit_A is None:
        missing.append("from what current the utility meters through instrument transformers (metering_limit_A)")
    return Finding(
        "service-meter",
        "service",
        "meter",
        f"meter equipment carries {site.main_rated_percent:g} % of the main for three hours or more",
        f"{needed_A:g} A continuous for a {main_A:g} A main: {words}",
        f"<= {limit_A:g} A for a self-contained meter",
        "ask for " + " and ".join(missing) if missing else "",
        Verdict.CANNOT_SAY if missing else Verdict.MEETS,
        cite(rules_meter.meter_class, sizing.edition),
    )


def fed_from_service(panels: tuple[Panel, ...]) -> list[Panel]:
    """Panels at the service, the largest first, then by id."""
    return sorted((p for p in panels if p.fed_from == "service"), key=lambda p: (-p.rating_A, p.id))


def mains(
    sizing: Sizing, main_A: float, panels: tuple[Panel, ...], appliances: tuple[Appliance, ...], loads: LoadsResult
) -> tuple[MainRow, ...]:
    """The disconnects: one for the whole service, or one a panel at the service, or as many equal ones as asked for."""
    count, percent = sizing.site.disconnects, sizing.site.main_rated_percent
    if count == 1:
        return (MainRow(name="main", main_A=main_A, continuous_A=rules.continuous_A(main_A, percent),
                        most_A=sizing.load_A, carries=main_A >= sizing.load_A),)  # fmt: skip
    each_A = rules_meter.each_main_A(main_A, count, sizing.edition)
    at_service = sorted(fed_from_service(panels), key=lambda p: p.id)
    if len(at_service) != count:
        names = [(f"main {n}", each_A) for n in range(1, count + 1)]
        most: dict[str, float] = {}
    else:
        most = _most_behind(at_service, panels, appliances, loads)
        names = [(p.id, p.main_A or min(each_A, p.rating_A)) for p in at_service]
    return tuple(_main_row(name, each, rules.continuous_A(each, percent), most.get(name)) for name, each in names)


def _main_row(name: str, main_A: float, continuous_A: float, most_A: float | None) -> MainRow:
    carries = True if most_A is not None and most_A <= main_A else None
    return MainRow(name=name, main_A=main_A, continuous_A=continuous_A, most_A=most_A, carries=carries)


def _most_behind(
    at_service: list[Panel], panels: tuple[Panel, ...], appliances: tuple[Appliance, ...], loads: LoadsResult
) -> dict[str, float]:
    """Connected load behind each panel at the service [A], where one takes the large and another the small loads.

    Load that runs at 120 V is counted as if it stood on one leg alone where it is not known how it is spread: no
    main can then carry more than this. Nothing is said where two panels may take the same load.
    """
    takes: dict[str, set[str]] = {}
    for panel in at_service:
        below, added = {panel.id}, True
        while added:
            more = {p.id for p in panels if p.fed_from in below} - below
            below, added = below | more, bool(more)
        takes[panel.id] = {p.takes for p in panels if p.id in below}
    if sorted(sorted(t) for t in takes.values()) != [["large"], ["small"]]:
        return {}
    rows = {a.id: a for a in appliances}
    standard = next(m for m in loads.methods if m.method == "standard")
    large = [entry for entry in standard.lines if _is_large(entry, rows, loads.voltage_V)]
    whole_VA = sum(entry.connected_VA for entry in standard.lines)
    large_VA = sum(entry.connected_VA for entry in large)
    share_VA = {"large": large_VA, "small": 2 * (whole_VA - large_VA)}
    return {name: share_VA[next(iter(kinds))] / loads.voltage_V for name, kinds in takes.items()}


def _is_large(entry: LoadLine, rows: dict[str, Appliance], voltage_V: float) -> bool:
    """Whether a line is a load of the large kind; blocks such as lighting are small."""
    row = rows.get(entry.id)
    if row is None:
        return entry.category not in ("lighting", "motor", "general loads") and entry.neutral_VA < entry.demand_VA
    return row.voltage_V >= 208 or entry.connected_VA / max(row.quantity, 1) / voltage_V > LARGE_A


def main_findings(sizing: Sizing, rows: tuple[MainRow, ...], panels: tuple[Panel, ...]) -> list[Finding]:
    """How many disconnects, what each carries, and each panel's own main against its bus."""
    found = [*_panel_mains(panels)]
    site, count = sizing.site, sizing.site.disconnects
    if count == 1:
        return found
    allowed = rules_meter.disconnects_allowed(
        count, site.disconnects_grouped, site.disconnect_enclosures, sizing.edition
    )
    together = "grouped" if site.disconnects_grouped else "not grouped"
    apart = "one enclosure for all" if site.disconnect_enclosures == "one" else "an enclosure each"
    wanted = "one to six, grouped"
    found.append(
        Finding(
            "service-disconnects",
            "service",
            "service disconnects",
            "one disconnect, or two to six grouped at one place"
            + (", each in an enclosure or panel of its own" if sizing.edition >= 2020 else ""),
            f"{count}, {together}, {apart}",
            wanted + (", an enclosure each" if sizing.edition >= 2020 else ""),
            "one main ahead of the panels, or group the disconnects in enclosures of their own",
            Verdict.MEETS if allowed else Verdict.MISSES,
            cite(rules_meter.disconnects_allowed, sizing.edition),
        )
    )
    return [*found, *(_one_main(row) for row in rows)]


def _one_main(row: MainRow) -> Finding:
    if row.most_A is None:
        got, fix = (
            "its share of the load is not known",
            "tell in panels.csv which panel takes the large, which the small",
        )
    else:
        got = f"at most {row.most_A:.1f} A connected behind it"
        fix = "what is connected is more than its rating: calculate this panel alone, with its demand factors"
    return Finding(
        "service-main-share",
        "service",
        row.name,
        "each of several mains carries the load behind it",
        got,
        f"<= {row.main_A:g} A",
        fix,
        Verdict.MEETS if row.carries else Verdict.CANNOT_SAY,
        MAINS,
    )


def _panel_mains(panels: tuple[Panel, ...]) -> list[Finding]:
    return [
        Finding(
            "panel-main",
            "service",
            p.id,
            "the breaker that feeds a panel is no larger than its bus",
            f"{p.main_A:g} A",
            f"<= {p.rating_A:g} A",
            "a panel with a larger bus, or a smaller breaker",
            Verdict.MEETS if p.main_A <= p.rating_A else Verdict.MISSES,
            BUS,
        )
        for p in sorted(panels, key=lambda p: p.id)
        if p.main_A is not None
    ]


def meter_assumptions(sizing: Sizing) -> list[Assumption]:
    """What was taken for the utility or for a label."""
    taken = []
    if sizing.site.metering_limit_A is None:
        why = "the utility was not asked; the standard of self-contained meter equipment ends there"
        taken.append(Assumption("service, meter", "instrument transformers above 320 A continuous", why))
    if sizing.site.meter_200_continuous_A is None:
        why = "labels of 160 A and of 200 A are both found; the careful one is taken"
        taken.append(Assumption("service, meter", "class 200 meter equipment carries 160 A continuously", why))
    return taken
