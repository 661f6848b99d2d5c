"""The result of the step lateral in the plan made by hand: invented, no step is run."""

from __future__ import annotations

from typing import Any

from hpelec.core.citing import OUR_OWN
from hpelec.steps.lateral.model import Clearance, LateralResult, Loss, MotorStart, Pull, Raceway, SideRow, Trench


def lateral(**common: Any) -> LateralResult:
    """A short run in the ground; `common` are the fields that every result has."""
    conduit = Raceway(
        method="PVC conduit schedule 40", trade_size="2", least_trade_size="1-1/2", conductors="2 x 2 and neutral 4",
        diameters_in=(0.382, 0.382, 0.322), area_in2=0.3106, bore_in=2.047, outside_in=2.375, fill_percent=9.4,
        limit_percent=40.0, jam_ratio=5.65, used=1, spare=1,
    )  # fmt: skip
    trench = Trench(
        under="yard, no traffic", least_cover_in=18.0, cover_in=24.0, body_in=2.375, bodies=2, bedding_in=3.0,
        depth_in=29.375, width_in=12.0, least_width_in=10.75, gap_in=2.0, ribbon_depth_in=12.0, length_ft=120.0,
        dug_ft3=293.75, bedding_ft3=30.0, wiring_ft3=7.4, backfill_ft3=256.35, left_over_ft3=37.4,
    )  # fmt: skip
    side = SideRow(
        kind="underground", chosen=True, length_ft=120.0, conductors="2 x 2 and neutral 4", drop_percent=0.9,
        utility_owns=("meter",), customer_provides=("trench",), remains_unknown=("cover against frost",),
    )  # fmt: skip
    pull = Pull(
        section=1, direction="to the meter", start_ft=0.0, end_ft=120.0, bends_deg=180.0, tension_lb=42.0,
        tension_limit_lb=750.0, sidewall_lb_per_ft=11.0, sidewall_limit_lb_per_ft=500.0, easier=True,
    )  # fmt: skip
    start = MotorStart(
        appliance="pump", name="Well pump", voltage_V=240.0, locked_rotor_A=48.0, known_from="nameplate",
        dip_percent=1.2, worst_percent=1.3, run_percent=0.8, limit_percent=5.0, largest=True,
    )  # fmt: skip
    loss = Loss(
        part="lateral", peak_W=60.0, load_factor=0.2, loss_factor=0.064, annual_kWh=33.6, least_kWh=21.0,
        most_kWh=105.0, share_percent=0.4,
    )  # fmt: skip
    return LateralResult(
        chosen="underground",
        sides=(side,),
        conduit=conduit,
        entrance=conduit,
        trench=trench,
        riser_ft=9.5,
        pulls=(pull,),
        pull_boxes_ft=(60.0,),
        clearances=(Clearance(what="drip loop", needed_ft=10.0, have_ft=None, missing="height", citation=OUR_OWN),),
        starts=(start,),
        losses=(loss,),
        **common,
    )
