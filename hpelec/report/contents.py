"""All tables of the report; those of the electrical and of the air-barrier side stand in their own modules."""

from __future__ import annotations

from markupsafe import Markup

from hpelec.core.findings import Verdict
from hpelec.core.working import show_number
from hpelec.report.contents_air import AirTables
from hpelec.report.contents_coincidence import CoincidenceTables
from hpelec.report.contents_conductors import ConductorTables
from hpelec.report.contents_control import ControlTables
from hpelec.report.contents_devices_depth import DevicesDepthTables
from hpelec.report.contents_faults import FaultTables
from hpelec.report.contents_hotwater_depth import HotWaterTables
from hpelec.report.contents_lateral import LateralTables
from hpelec.report.contents_lighting import LightingTables
from hpelec.report.contents_loads_amps import LoadsAmpsTables
from hpelec.report.contents_loads_methods import BuildingTables
from hpelec.report.contents_panels import PanelTables
from hpelec.report.contents_power import PowerTables
from hpelec.report.contents_service_sizing import SizingTables
from hpelec.report.contents_stages import StageTables
from hpelec.report.sources import sources
from hpelec.report.tables import Column, Grid, accuracy_mark, verdict_mark


class Tables(
    PowerTables,
    SizingTables,
    StageTables,
    AirTables,
    ConductorTables,
    LoadsAmpsTables,
    BuildingTables,
    FaultTables,
    HotWaterTables,
    LateralTables,
    CoincidenceTables,
    ControlTables,
    LightingTables,
    DevicesDepthTables,
    PanelTables,
):
    """Every table of one plan."""

    def findings(self) -> Grid:
        """All findings, what needs attention first."""
        return self.grid(
            "Findings, what needs attention first",
            self.plan.findings,
            Column("Verdict", lambda r: verdict_mark(r.verdict)),
            Column("Step", lambda r: r.step),
            Column("Place", lambda r: r.place),
            Column("Rule", lambda r: r.rule),
            Column("Got", lambda r: r.got),
            Column("Allowed", lambda r: r.allowed),
            Column("To do, or what is missing", lambda r: "" if r.verdict is Verdict.MEETS else r.fix),
            Column("Source", lambda r: r.citation),
        )

    def assumptions(self) -> Grid:
        """What was taken for the user."""
        return self.grid(
            "Assumptions",
            self.plan.assumptions,
            Column("Where", lambda r: r.where),
            Column("Taken", lambda r: r.taken),
            Column("Why", lambda r: r.why),
        )

    def sources(self) -> Grid:
        """Every distinct citation with its accuracy and the steps that use it, the least trusted first."""
        return self.grid(
            "Sources used in this plan, the least trusted first",
            sources(self.plan),
            Column("No.", lambda r: Markup('<span id="source-{0}">{0}</span>').format(self.source_numbers[r[0]])),
            Column("Source", lambda r: r[0].source),
            Column("Place in it", lambda r: r[0].locator),
            Column("Edition", lambda r: r[0].edition),
            Column("Accuracy", lambda r: accuracy_mark(r[0].accuracy)),
            Column("Used by", lambda r: r[1]),
        )

    def working(self, step: str) -> Grid:
        """The working of a step."""
        return self.grid(
            f"Working of the step {step}",
            self.plan.working(step),
            Column("What", lambda r: r.what),
            Column("Worked out", lambda r: r.expression, css="sum"),
            Column("Value", lambda r: f"{show_number(r.value)} {r.unit}", css="nowrap"),
            Column("Rule", lambda r: r.citation),
        )
