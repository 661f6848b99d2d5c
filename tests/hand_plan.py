"""A plan made by hand for the tests of the report: invented results, no step is run."""

from __future__ import annotations

import dataclasses
import math
from pathlib import Path
from typing import Any

from hpelec.core.citing import OUR_OWN, Citation
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.results import StepResult
from hpelec.core.working import line
from hpelec.house.model import House
from hpelec.house.rows import CeilingFan
from hpelec.house.write import write_starter
from hpelec.plan import STEPS, Plan, design, read_house
from hpelec.steps.airtightness.model import AirtightnessResult, HoleLeak, Spread, TotalLeak
from hpelec.steps.circuits.model import Circuit, CircuitsResult, PanelUse
from hpelec.steps.devices.model import DeviceSpot, DevicesResult
from hpelec.steps.faults.model import FaultPoint, FaultsResult, GroundingRow, Outbuilding, WorkingSpace
from hpelec.steps.hotwater.model import HeaterNeed, HotWaterResult, MainsDay, PointNeed
from hpelec.steps.lighting.model import FanRow, LevelRow, LightingResult, PlaceRow, RecessedRow, RoomLight
from hpelec.steps.loads.model import LoadLine, LoadsResult, MethodResult
from hpelec.steps.penetrations.model import FewerHoles, Hole, PenetrationsResult, SurfaceTotal
from hpelec.steps.routes.model import CableTotal, Leg, Route, RoutesResult, WayTotal
from hpelec.steps.sealing.model import SealingResult, SealItem, TakeOff
from hpelec.steps.service.model import ConductorChoice, DropRow, RatingStep, ServiceResult
from tests.hand_coincidence import coincidence
from tests.hand_lateral import lateral

YEAR = 2023
SEEN = Citation("invented book", "page 1", "none", "published")
MEMORY = Citation("invented code", "clause 9", "2023", "memory")
PRACTICE = Citation("invented trade", "habit 3", "none", "common practice")
STAGES = {1: "framing", 2: "rough-in"}


BLANK: dict[str, Any] = {"str": "", "float": 0.0, "int": 0, "bool": False, "tuple": (), "Citation": SEEN}


def made(kind: type, /, **given: Any) -> Any:
    """A result row with the fields given; a needed field that is not given is blank."""
    for field in dataclasses.fields(kind):
        needed = field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING
        if needed and field.name not in given:
            stem = str(field.type).split("[")[0]
            given[field.name] = None if "None" in str(field.type) else BLANK[stem]
    return kind(**given)


def starter(folder: Path, **general: Any) -> House:
    """The starter house with one ceiling fan; `general` replaces fields of its section [house]."""
    write_starter(folder / "starter")
    house = read_house(folder / "starter")
    fan = CeilingFan(id="fan1", room="living", x_offset_ft=8, y_offset_ft=6)
    return house.changed(general=dataclasses.replace(house.general, **general), fans=(fan,))


def findings(step: str) -> tuple[Finding, ...]:
    """One finding of each verdict."""
    return tuple(
        Finding(
            f"{step}-{v.name}",
            step,
            f"place <{step}>",
            f"rule of {step} that {v.value}",
            "got 1",
            "2",
            "fix it",
            v,
            SEEN,
        )
        for v in Verdict
    )


def common(step: str) -> dict[str, Any]:
    """Working, findings and assumptions that every hand-made result carries."""
    return {
        "edition": YEAR,
        "working": (line(f"sum of {step}", "1 + 1", 2.0, "VA", SEEN),),
        "findings": findings(step),
        "assumptions": (Assumption(f"{step} input", f"{step} taken", f"{step} reason"),),
    }


def loads() -> LoadsResult:
    lines = (
        made(
            LoadLine,
            method="optional",
            id="area",
            what="lighting by area",
            category="lighting",
            connected_VA=4500,
            demand_VA=3000,
            citation=SEEN,
        ),
        made(
            LoadLine,
            method="optional",
            id="range",
            what="range",
            category="cooking",
            connected_VA=10500,
            factor=0.4,
            demand_VA=4200,
            citation=MEMORY,
        ),
        made(
            LoadLine,
            method="optional",
            id="motor",
            what="largest motor",
            category="motor",
            connected_VA=0,
            demand_VA=725,
            citation=SEEN,
        ),
    )
    methods = (
        made(
            MethodResult,
            method="standard",
            title="standard method",
            applies=True,
            why="always",
            connected_VA=15000,
            demand_VA=9000,
            demand_A=37.5,
        ),
        made(
            MethodResult,
            method="optional",
            title="optional method",
            applies=True,
            why="100 A or more",
            lines=lines,
            connected_VA=15000,
            demand_VA=7925,
            demand_A=33.0,
        ),
        made(MethodResult, method="existing", title="existing dwelling", applies=False, why="the house is new"),
    )
    return made(
        LoadsResult,
        **common("loads"),
        voltage_V=240,
        methods=methods,
        chosen="optional",
        lines=lines,
        design_VA=7925,
        design_A=33.0,
        neutral_VA=5000,
        neutral_A=20.8,
        provisional=False,
    )


def hotwater() -> HotWaterResult:
    mains = tuple(made(MainsDay, day=d, mains_F=50 - 12 * math.cos((d - 40) / 58.1)) for d in range(1, 366))
    heaters = (
        made(
            HeaterNeed,
            heater="tank",
            kind="tankless",
            peak_flow_gpm=3.8,
            cold_F=38.0,
            rise_dF=82,
            needed_kW=45.6,
            nameplate_kW=18,
            current_A=75,
            delivered_F=70.3,
            full_flow_gpm=1.5,
            recovery_gph=None,
            first_hour_gal=None,
            peak_hour_gal=None,
            undersized=True,
        ),
    )
    points = (
        made(
            PointNeed, point="shower", heater="tank", mixed_flow_gpm=2.0, hot_share=0.8, hot_flow_gpm=1.6, at_peak=True
        ),
    )
    return made(
        HotWaterResult,
        **common("hotwater"),
        mains=mains,
        cold_F=38.0,
        points=points,
        heaters=heaters,
        all_on_kW=18,
        all_on_A=75,
    )


def service() -> ServiceResult:
    return made(
        ServiceResult,
        **common("service"),
        design_A=33.0,
        minimum_A=100,
        standard_A=100,
        rating_A=100,
        spare_A=67,
        ratings=(made(RatingStep, rating_A=100, margin_A=67, share_percent=33, carries=True, chosen=True),),
        conductors=(
            made(ConductorChoice, part="service entrance", material="al", size="2", required_A=83, ampacity_A=90),
        ),
        drops=(
            made(
                DropRow,
                material="al",
                size="2",
                length_ft=120,
                current_A=33,
                drop_V=2.1,
                drop_percent=0.9,
                meets=True,
                chosen=True,
            ),
        ),
        lateral_drop_percent=0.9,
    )


def faults() -> FaultsResult:
    point = {"high_A": 9000.0, "low_A": 7000.0, "neutral_high_A": 13500.0, "needed_A": 13500.0}
    return made(
        FaultsResult,
        **common("faults"),
        points=(
            made(FaultPoint, id="transformer", name="Transformer", **point),
            made(FaultPoint, id="P1", name="Main", fed_from="transformer", distance_ft=130, given_kA=22.0, **point),
        ),
        source="transformer 37.5 kVA",
        x_over_r=1.4,
        grounding=(made(GroundingRow, part="rods", there="2", size="6", remark="two of them", citation=MEMORY),),
        spaces=(made(WorkingSpace, panel="P1", room="bath", depth_ft=3, width_ft=2.5, height_ft=6.5, ceiling_ft=8),),
        outbuildings=(made(Outbuilding, name="Shed", supply="feeder", disconnect_least_A=60, remark="own electrodes"),),
    )


def _spot(id: str, room: str, kind: str, x_ft: float, y_ft: float, side: str = "", **more: Any) -> DeviceSpot:
    return made(
        DeviceSpot,
        id=id,
        room=room,
        level="main",
        kind=kind,
        x_ft=x_ft,
        y_ft=y_ft,
        side=side,
        offset_ft=x_ft if side else None,
        height_in=16,
        surface=more.pop("surface", ""),
        box="single gang, 20.3 in3",
        box_volume_in3=20.3,
        box_fill_in3=12,
        box_depth_in=3,
        citation=MEMORY,
        **more,
    )


DEVICES = (
    _spot("kitchen-1", "kitchen", "receptacle", 4, 0, "south", surface="wall", gfci=True),
    _spot("kitchen-2", "kitchen", "counter_receptacle", 4.1, 0, "south", surface="wall", gfci=True),
    _spot("kitchen-3", "kitchen", "appliance_outlet", 9, 0, "south", serves="range"),
    _spot("kitchen-4", "kitchen", "lighting_outlet", 7, 6),
    _spot("living-1", "living", "switch", 20, 0, "south"),
    _spot("living-2", "living", "switch", 20, 0, "south"),
    _spot("living-3", "living", "floor_receptacle", 22, 6),
    _spot("bedroom-1", "bedroom", "alarm", 7, 17),
    _spot("bedroom-2", "bedroom", "data", 3, 23, "north"),
    _spot("out-1", "", "outdoor_receptacle", 12, 0, surface="outside"),
    _spot("bath-1", "bath", "receptacle", 18, 23, "north", pinned=True, afci=True),
)


def devices() -> DevicesResult:
    return made(
        DevicesResult,
        **common("devices"),
        devices=DEVICES,
        runs=(),
        fewest_wall_receptacles=2,
        wall_receptacles=3,
        in_envelope=2,
    )


def circuits() -> CircuitsResult:
    rows = (
        made(
            Circuit,
            id="C1",
            name="Kitchen",
            kind="small_appliance",
            panel="P1",
            breaker_A=20,
            poles=1,
            voltage_V=120,
            load_VA=0,
            cable="NM-B 12/2",
            cable_size="12",
            current_conductors=2,
            outlets=("kitchen-1", "kitchen-2"),
            gfci=True,
            citation=SEEN,
        ),
        made(
            Circuit,
            id="C2",
            name="Range",
            kind="dedicated",
            panel="P1",
            breaker_A=50,
            poles=2,
            voltage_V=240,
            load_VA=10500,
            cable="NM-B 6/3",
            cable_size="6",
            current_conductors=2,
            outlets=("kitchen-3",),
            citation=SEEN,
        ),
    )
    panels = (
        made(
            PanelUse, panel="P1", name="Main panel", rating_A=200, spaces=40, spaces_used=3, circuits=2, load_VA=10500
        ),
    )
    return made(CircuitsResult, **common("circuits"), circuits=rows, panels=panels)


def routes() -> RoutesResult:
    legs = (
        made(
            Leg,
            circuit="C1",
            start="P1",
            end="kitchen-1",
            way="above_ceiling",
            points_ft=((26, 12, 5.5), (26, 12, 8.5), (4, 0, 8.5), (4, 0, 1.3)),
            cable_ft=45,
            holes=4,
            crossings=2,
            insulation_ft=30,
        ),
        made(
            Leg,
            circuit="C1",
            start="kitchen-1",
            end="kitchen-2",
            way="through_studs",
            points_ft=((4, 0, 1.3), (4.1, 0, 1.3)),
            cable_ft=1,
            holes=0,
            crossings=0,
            insulation_ft=0,
        ),
        made(
            Leg,
            circuit="C2",
            start="P1",
            end="kitchen-3",
            way="below_floor+through_studs",
            points_ft=((26, 12, 5.5), (9, 0, -1), (9, 0, 1.3)),
            cable_ft=40,
            holes=3,
            crossings=1,
            insulation_ft=10,
        ),
    )
    rows = tuple(
        made(
            Route,
            circuit=c,
            panel="P1",
            cable=k,
            chain=e,
            cable_ft=50,
            holes=4,
            crossings=2,
            insulation_ft=20,
            labour_min=30,
            cost_USD=190,
            bound_USD=190,
            proven=True,
        )
        for c, k, e in (("C1", "NM-B 12/2", ("kitchen-1", "kitchen-2")), ("C2", "NM-B 6/3", ("kitchen-3",)))
    )
    ways = (
        made(
            WayTotal,
            ways="below_floor",
            cable_ft=100,
            holes=8,
            crossings=4,
            insulation_ft=40,
            labour_min=60,
            cost_USD=380,
            possible=True,
        ),
        made(
            WayTotal,
            ways="through_studs",
            cable_ft=0,
            holes=0,
            crossings=0,
            insulation_ft=0,
            labour_min=0,
            cost_USD=0,
            possible=False,
        ),
    )
    return made(
        RoutesResult,
        **common("routes"),
        routes=rows,
        legs=legs,
        crossings=(),
        ways=ways,
        cables=(made(CableTotal, cable="NM-B 12/2", drawn_ft=50, buy_ft=55),),
    )


def _hole(id: str, surface: str, x_ft: float, y_ft: float) -> Hole:
    return made(
        Hole,
        id=id,
        kind="cable",
        surface=surface,
        assembly=f"default-{surface}",
        layer="gypsum board",
        layer_family="gypsum",
        room="kitchen",
        level="main",
        x_ft=x_ft,
        y_ft=y_ft,
        z_ft=8,
        passes=("NM-B 12/2",),
        circuits=("C1",),
        diameter_in=0.625,
        gap_mm=2,
        made_at="framing",
        reach_until="drywall",
    )


HOLES = (
    _hole("ceiling-a", "ceiling", 26, 12),
    _hole("ceiling-b", "ceiling", 26.1, 12),
    _hole("ceiling-c", "ceiling", 26, 12.1),
    _hole("floor-a", "floor", 9, 0),
    _hole("wall-a", "wall", 4, 0),
    _hole("wall-b", "wall", 4.1, 0),
)
LAST_HOLE = "wall-b"
"""The one hole for which no method fits."""


def penetrations() -> PenetrationsResult:
    surfaces = (
        made(SurfaceTotal, surface="ceiling", layer="gypsum board", cable_holes=3, box_holes=0),
        made(SurfaceTotal, surface="wall", layer="gypsum board", cable_holes=2, box_holes=1),
    )
    return made(
        PenetrationsResult,
        **common("penetrations"),
        holes=HOLES,
        surfaces=surfaces,
        fewer=(made(FewerHoles, what="one bundle", holes_saved=2, how="a longer cable"),),
    )


def spread(best: float) -> Spread:
    return Spread(best_cfm50=best, low_cfm50=best / 2, high_cfm50=best * 3)


def airtightness() -> AirtightnessResult:
    leaks = tuple(
        made(
            HoleLeak,
            hole=h.id,
            kind=h.kind,
            surface=h.surface,
            room=h.room,
            unsealed=spread(4),
            sealed=spread(0.2),
            unsealed_by="row a",
            sealed_by="row b",
            citation=PRACTICE,
            sealed_citation=SEEN,
        )
        for h in HOLES
    )
    totals = (
        made(
            TotalLeak,
            what="electrical holes, unsealed",
            leak=spread(24),
            best_ach50=0.111,
            best_q50=0.0048,
            share_percent=5.5,
        ),
    )
    return made(
        AirtightnessResult,
        **common("airtightness"),
        leaks=leaks,
        totals=totals,
        unsealed=spread(24),
        sealed=spread(1.2),
        background=None,
        target_metric="ACH50",
        target_limit=2.0,
        limit_cfm50=433,
    )


def sealing() -> SealingResult:
    items = tuple(
        made(
            SealItem,
            order=i,
            tag=f"S{i:02d}",
            hole=h.id,
            room=h.room,
            level=h.level,
            surface=h.surface,
            layer=h.layer,
            what="NM-B 12/2",
            method="caulk",
            how="sealant bead",
            gap_limit_mm=6,
            stage=STAGES[1 + i % 2],
            stage_number=1 + i % 2,
            hold_point="before insulation",
            check="bead unbroken",
            removes_cfm50=3.8,
            citation=PRACTICE,
        )
        for i, h in enumerate([h for h in HOLES if h.id != LAST_HOLE], 1)
    )
    return made(
        SealingResult,
        **common("sealing"),
        items=items,
        take_off=(made(TakeOff, item="sealant", quantity=2, unit="tube", basis="5 holes", citation=OUR_OWN),),
        unmatched=(LAST_HOLE,),
    )


def lighting() -> LightingResult:
    return made(
        LightingResult,
        **common("lighting"),
        rooms=(
            made(RoomLight, room="kitchen", task="cooking", luminaires=2, area_ft2=168, lumens_lm=1800, lux=62,
                 wanted_lux=431, needed=14, enough=False),
            made(RoomLight, room="living", task="general", area_ft2=192),
        ),
        levels=(made(LevelRow, room="kitchen", listed="handbook", said="a row", lux=431, share_percent=14),),
        places=(made(PlaceRow, light="lamp", room="bath", place="closet", got="5 in", verdict="misses"),),
        recessed=(made(RecessedRow, light="lamp", room="bath", tested=False, instead="a surface luminaire"),),
        fans=(made(FanRow, fan="fan1", room="living", span_in=52, blades_ft=7, frequency_hz=9, chopped=("lamp",)),),
        work_plane_in=30.0,
    )  # fmt: skip


def hand_plan(house: House) -> Plan:
    """The plan, with a result for each step."""
    results: dict[str, StepResult] = {}
    every = (
        loads(), service(), lateral(**common("lateral")), faults(), hotwater(), devices(), circuits(), routes(),
        penetrations(), airtightness(), sealing(), coincidence(common("coincidence"), PRACTICE),
        lighting(),
    )  # fmt: skip
    for result in every:
        results[type(result).__module__.split(".")[2]] = result
    others = [s.name for s in STEPS if s.name not in results]
    computed = design(house, only=others).results if others else {}
    results |= {name: computed[name] for name in others}
    return Plan(house, YEAR, results)
