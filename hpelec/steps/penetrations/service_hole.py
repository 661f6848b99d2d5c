"""The hole of the service entrance, where the main panel stands inside the air barrier."""

from __future__ import annotations

import math
from collections.abc import Callable

from hpelec.house.model import House
from hpelec.steps.lateral.model import LateralResult
from hpelec.steps.penetrations import rules
from hpelec.steps.penetrations.barrier import Barriers
from hpelec.steps.penetrations.boxes import panel_place, wall_behind
from hpelec.steps.penetrations.cable_holes import with_method
from hpelec.steps.penetrations.model import Hole
from hpelec.steps.penetrations.taken import taken
from hpelec.steps.service.model import ServiceResult


def service_holes(
    house: House,
    walls: Barriers,
    service: ServiceResult,
    lateral: LateralResult,
    assume: Callable[[str, str, str], None],
) -> list[Hole]:
    """One hole for each raceway to a main panel inside the envelope: the ring round it and its bore are two paths.

    The raceway is that of the step lateral; a trade size is taken where that step sized none.
    """
    made = []
    conduit = lateral.entrance
    outside_in = taken("service_conduit_outside_in") if conduit is None else conduit.outside_in
    bore_in = taken("service_conduit_bore_in") if conduit is None else conduit.bore_in
    filled = taken("service_conduit_fill") if conduit is None else conduit.fill_percent / 100
    told = "trade size 2" if conduit is None else conduit.name
    entrance = [c for c in service.conductors if "service entrance" in c.part.lower() or "service-entrance" in c.part]
    for panel in sorted((p for p in house.panels if p.fed_from == "service"), key=lambda p: p.id):
        room, at, z_ft = panel_place(house, panel)
        behind = wall_behind(house, room.level, at) if room.inside_air_barrier else None
        barrier = None if behind is None else walls.at("wall", room.level, behind[3], behind[0].id)
        if behind is None or barrier is None:
            continue
        what = next((f"{c.sets} x {c.material} {c.size}" for c in entrance), "service conductors")
        sets = next((c.sets for c in entrance), 1)
        hole_in = rules.hole_diameter_in(outside_in)
        for number in range(1, sets + 1):
            hole = Hole(
                id=f"wall:service:{panel.id}" + (f":{number}" if sets > 1 else ""),
                kind="service_entrance",
                surface="wall",
                assembly=barrier.assembly,
                layer=barrier.layer,
                layer_family=barrier.family,
                room=behind[0].id,
                level=room.level,
                x_ft=behind[3][0],
                y_ft=behind[3][1],
                z_ft=z_ft,
                passes=(f"service conduit with {what}",),
                circuits=(),
                diameter_in=hole_in,
                gap_mm=rules.gap_mm(hole_in, outside_in),
                free_area_mm2=rules.free_area_mm2(hole_in, [outside_in], [outside_in]),
                depth_mm=barrier.thickness_in * rules.MM_PER_IN,
                bore_area_mm2=(1 - filled) * math.pi / 4 * (bore_in * rules.MM_PER_IN) ** 2,
                made_at="rough-in",
                reach_until=barrier.reach_until(),
            )
            made.append(with_method(hole, barrier.words, cables=1))
        assume(
            f"service entrance of {panel.id}",
            f"{told}, through the nearest outside wall, {filled * 100:.0f} % filled; leaks round it and in its bore",
            "raceway and place of the entrance are not given",
        )
    return made
