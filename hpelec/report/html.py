"""The report: one HTML file that works offline, without script, the same bytes for the same plan."""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from pathlib import Path

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup

from hpelec.core.editions import PROVISIONAL
from hpelec.plan import Plan
from hpelec.report.charts import leakage_bars, load_waterfall, mains_curve, methods_bars
from hpelec.report.coincidence_drawing import curve, heater_matrix
from hpelec.report.coincidence_week import week
from hpelec.report.contents import Tables
from hpelec.report.control_drawing import current_bars, exceedance, flow_bars
from hpelec.report.devices_depth_drawing import depths_drawing
from hpelec.report.elevation_drawing import elevations, rooms_with_counters
from hpelec.report.faults_drawing import fault_profile
from hpelec.report.hotwater_charts import layout_bars, need_by_day, tank_day_chart
from hpelec.report.lateral_drawing import trench_drawing
from hpelec.report.lighting_drawing import fan_drawing, light_levels, lux_plan
from hpelec.report.loads_amps_charts import reality_axis
from hpelec.report.one_line import one_line
from hpelec.report.panels_drawing import entry_pattern, panel_schedule
from hpelec.report.plan_drawing import drawn_levels, natural, plan_alt, plan_svg
from hpelec.report.service_sizing_drawing import thresholds_drawing
from hpelec.report.sources import sources
from hpelec.report.stages_drawing import stages_timeline
from hpelec.report.svg import Drawing
from hpelec.report.told import summary

SECTIONS = (
    ("cautions", "Cautions"),
    ("summary", "Summary"),
    ("loads", "Load calculation"),
    ("service", "Service"),
    ("lateral", "Lateral"),
    ("faults", "Fault current, grounding, space for panels"),
    ("stages", "Temporary power"),
    ("hotwater", "Hot water"),
    ("coincidence", "What really runs together"),
    ("plans", "Plan drawings and devices"),
    ("lighting", "Light and fans"),
    ("circuits", "Circuits and panels"),
    ("routes", "Cable routes"),
    ("holes", "Holes in the air barrier"),
    ("leakage", "Leakage"),
    ("sealing", "Sealing plan"),
    ("takeoff", "Sealing material"),
    ("findings", "Findings"),
    ("assumptions", "Assumptions"),
    ("sources", "Sources"),
    ("reading", "How to read this report"),
)
"""Sections in order: id and heading."""


def report_html(plan: Plan, prepared: str = "") -> str:
    """The whole report as one HTML text. prepared: words to print as its date or author; nothing is added by itself."""
    tables = Tables(plan)
    used = sources(plan)
    return _template().render(
        plan=plan,
        house=plan.house,
        general=plan.house.general,
        prepared=prepared,
        sections=SECTIONS,
        numbers={name: i for i, (name, _) in enumerate(SECTIONS, 1)},
        tables=tables,
        summary=summary(plan),
        provisional=plan.edition in PROVISIONAL,
        memory_count=sum(c.accuracy == "memory" for c, _ in used),
        source_count=len(used),
        running_head=css_string(f"{plan.house.general.name}: electrical and air-barrier plan"),
        charts=charts(plan),
        wall_charts={f"walls {r.id}": r.name.strip() or r.id for r in plan.house.rooms},
        levels=[(level, _drawings(plan, level.id)) for level in drawn_levels(plan)],
    )


def charts(plan: Plan) -> dict[str, Drawing]:
    """Every picture of the report that is no plan of a level, by the name that the template knows it by."""
    trench = trench_drawing(plan.lateral, metric=plan.house.general.show_metric)
    return {
        "loads": load_waterfall(plan.loads),
        "methods": methods_bars(plan.loads),
        **({"reality": reality_axis(plan.loads)} if plan.loads.reality else {}),
        "thresholds": thresholds_drawing(plan),
        "mains": mains_curve(plan),
        "need": need_by_day(plan),
        **{f"tank day {i}": tank_day_chart(plan, day) for i, day in enumerate(plan.hotwater.tank_days, 1)},
        "layouts": layout_bars(plan),
        "coincidence": curve(plan.coincidence),
        "week": week(plan.coincidence),
        "heaters": heater_matrix(plan),
        "control": exceedance(plan.coincidence),
        "flow methods": flow_bars(plan),
        "current methods": current_bars(plan),
        **({"lateral": trench} if trench is not None else {}),
        "faults": fault_profile(plan),
        "stages": stages_timeline(plan),
        "depths": depths_drawing(plan),
        "one line": one_line(plan),
        "light levels": light_levels(plan),
        **{f"lux {level.id}": lux_plan(plan, level.id) for level in drawn_levels(plan)},
        **{f"fan {row.fan}": fan_drawing(plan, row.fan) for row in plan.lighting.fans},
        **{f"walls {r.id}": elevations(plan, r.id) for r in rooms_with_counters(plan)},
        **{f"panel {b.panel}": panel_schedule(plan, b.panel) for b in plan.circuits.balance},
        **{f"entry {b.panel}": entry_pattern(plan, b.panel) for b in plan.circuits.balance},
        "leakage": leakage_bars(plan.airtightness, metric=plan.house.general.show_metric),
    }


def write_report(plan: Plan, folder: str | Path, prepared: str = "") -> Path:
    """Write the report into a folder (made if need be) and return its path."""
    path = Path(folder) / f"report-{slug(plan.house.general.name)}.html"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(report_html(plan, prepared), encoding="utf-8", newline="\n")
    return path


def slug(name: str) -> str:
    """A name as a plain part of a file name."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode("ascii").lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60].strip("-") or "house"


def css_string(text: str) -> Markup:
    """A text as a CSS string in which nothing can end the string or the style sheet."""
    return (
        Markup('"')
        + Markup("".join(c if c.isascii() and c.isalnum() else f"\\{ord(c):x} " for c in text))
        + Markup('"')
    )


def _drawings(plan: Plan, level: str) -> dict[str, Drawing]:
    """The three drawings of a level: devices, holes, routes."""
    circuits = sorted((r.circuit for r in plan.routes.routes), key=natural)
    alt = plan_alt(plan, level)
    return {
        "devices": Drawing(plan_svg(plan, level, show=("fixed", "devices", "labels")), alt),
        "holes": Drawing(plan_svg(plan, level, show=("fixed", "holes")), f"Holes with their sealing tags. {alt}"),
        "routes": Drawing(plan_svg(plan, level, show=("devices",), routes=circuits), f"Cable routes. {alt}"),
    }


@cache
def _template() -> Template:
    environment = Environment(
        loader=PackageLoader("hpelec", "report/templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    return environment.get_template("report.html.j2")
