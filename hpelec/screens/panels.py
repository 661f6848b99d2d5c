"""What-if on a panel: other spaces, another share kept free, tandem breakers, multiwire pairs."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from hpelec.house.columns import columns_of
from hpelec.house.model import House
from hpelec.house.sections import CircuitSettings
from hpelec.plan import Plan
from hpelec.report.panels_drawing import panel_schedule
from hpelec.screens.safely import shown, status
from hpelec.screens.showing import findings_html, told_table
from hpelec.screens.trying import WIDE

SHOWN = ("panel-spaces", "panel-spare", "panel-legs", "multiwire-disconnect", "multiwire-protection")
"""Findings that the controls can change."""


class WhatIfPanel:
    """Controls of one panel; its schedule, legs and findings follow."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        names = [(f"{p.id}: {p.name}", p.id) for p in plan.house.panels]
        words = next(c.allowed for c in columns_of(CircuitSettings) if c.name == "multiwire")
        settings = plan.house.circuit_settings
        self.panel = widgets.Dropdown(options=names, description="panel", style=WIDE)
        self.spaces = widgets.IntSlider(min=2, max=84, description="spaces", style=WIDE, layout={"width": "36em"})
        self.tandem = widgets.IntSlider(min=0, max=84, description="take a tandem", style=WIDE)
        self.spare = widgets.IntSlider(value=round(settings.spare_percent), min=0, max=80, description="% to keep free",
                                       style=WIDE)  # fmt: skip
        self.pairs = widgets.Dropdown(options=words, value=settings.multiwire, description="multiwire", style=WIDE)
        self.said, self.table, self.drawing, self.found = (widgets.HTML() for _ in range(4))
        self._of_panel()
        self.panel.observe(shown(self.said)(self._other_panel), names="value")
        for control in (self.spaces, self.tandem, self.spare, self.pairs):
            control.observe(shown(self.said)(self._moved), names="value")
        heading = widgets.HTML("<b>What if</b> the panel had other spaces, or circuits were paired?")
        controls = (self.panel, self.spaces, self.tandem, self.spare, self.pairs)
        self.box = widgets.VBox([heading, *controls, self.said, self.table, self.drawing, self.found])
        self._moved()

    def _of_panel(self) -> None:
        row = next(p for p in self.plan.house.panels if p.id == self.panel.value)
        self.spaces.value, self.tandem.value = row.spaces, row.tandem_spaces

    def _other_panel(self, _event: Any = None) -> None:
        self._of_panel()
        self._moved()

    def changed_house(self) -> House:
        """The plan's house with the chosen values."""
        spaces = self.spaces.value
        panels = tuple(
            replace(p, spaces=spaces, tandem_spaces=min(self.tandem.value, spaces)) if p.id == self.panel.value else p
            for p in self.plan.house.panels
        )
        settings = replace(
            self.plan.house.circuit_settings, spare_percent=float(self.spare.value), multiwire=self.pairs.value
        )
        return self.plan.house.changed(panels=panels, circuit_settings=settings)

    def _moved(self, _event: Any = None) -> None:
        for part in (self.said, self.table, self.drawing, self.found):
            part.value = ""
        tried = self.plan.redesign(self.changed_house())
        self.table.value = told_table(("circuits.balance",), tried, heads=("tried",))
        self.drawing.value = panel_schedule(tried, self.panel.value).img
        self.found.value = findings_html(f for f in tried.circuits.findings if f.id in SHOWN)
        self.said.value = status(f"Recomputed: {', '.join(tried.recomputed) or 'nothing'}.")


def what_if_panel(plan: Plan) -> widgets.VBox:
    """Sliders on the spaces of a panel and the habits of pairing; schedule, legs and findings redrawn."""
    return WhatIfPanel(plan).box
