"""Results of the step lateral."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from hpelec.core.citing import Citation
from hpelec.core.results import StepResult, told


@dataclass(frozen=True, slots=True, kw_only=True)
class SideRow:
    """One way for the supply to reach the house: in the ground or in the air."""

    kind: str = told("underground or overhead")
    chosen: bool = told("the way that the house has chosen")
    length_ft: float = told("one-way length, transformer to meter")
    conductors: str = told("line conductors and neutral that the step service proposes")
    drop_percent: float | None = told("voltage drop at the design load; none when no conductors are proposed")
    utility_owns: tuple[str, ...] = told("parts that the utility owns: by the house's settings, otherwise as is usual")
    customer_provides: tuple[str, ...] = told("parts that the customer provides: likewise")
    remains_unknown: tuple[str, ...] = told("what has to be asked before it is certain")


@dataclass(frozen=True, slots=True, kw_only=True)
class Raceway:
    """A raceway and the conductors in it."""

    method: str = told("wiring method by its trade name")
    trade_size: str = told("trade size")
    least_trade_size: str | None = told("smallest trade size within the fill limit; none when even the largest is not")
    conductors: str = told("conductors in each raceway")
    diameters_in: tuple[float, ...] = told("outside diameter of each conductor in it")
    area_in2: float = told("area that the conductors take together")
    bore_in: float = told("inside diameter")
    outside_in: float = told("outside diameter")
    fill_percent: float = told("share of the bore that the conductors take")
    limit_percent: float = told("share that they may take")
    jam_ratio: float | None = told("bore over mean conductor diameter, for three conductors")
    used: int = told("raceways with conductors")
    spare: int = told("raceways laid empty")

    @property
    def name(self) -> str:
        """Method and trade size as one text."""
        return f"{self.method}, trade size {self.trade_size}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Trench:
    """The cross-section of the trench and what is moved."""

    under: str = told("what the trench runs under")
    least_cover_in: float = told("least cover by the code")
    cover_in: float = told("cover planned: top of the wiring to finished grade")
    body_in: float = told("outside diameter of a conduit, or of the bundle of direct-buried conductors")
    bodies: int = told("conduits or bundles side by side, spare conduits included")
    bedding_in: float = told("bedding below them")
    depth_in: float = told("depth to dig")
    width_in: float = told("width to dig")
    least_width_in: float = told("width that the bodies need side by side")
    gap_in: float = told("clear space between bodies and to the sides")
    ribbon_depth_in: float | None = told("deepest place of the warning ribbon below grade; none when none is required")
    length_ft: float = told("length of trench")
    dug_ft3: float = told("volume dug, as it lies in the ground")
    bedding_ft3: float = told("bedding below the wiring")
    wiring_ft3: float = told("volume of the conduits or bundles")
    backfill_ft3: float = told("backfill above the bedding")
    left_over_ft3: float = told("soil left over when the trench is filled with its own soil")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """One section between pull points, pulled one way."""

    section: int = told("number of the section from the transformer")
    direction: str = told("from the transformer to the meter, or back")
    start_ft: float = told("where the section begins, from the transformer")
    end_ft: float = told("where it ends")
    bends_deg: float = told("bends of the section together")
    tension_lb: float = told("tension at the end of the pull")
    tension_limit_lb: float = told("largest tension: conductors by an eye, or a grip, whichever is less")
    sidewall_lb_per_ft: float | None = told("greatest pressure in a bend; none without a bend")
    sidewall_limit_lb_per_ft: float = told("largest pressure in a bend")
    easier: bool = told("the direction with the lower tension")


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearance:
    """One clearance of an overhead drop."""

    what: str = told("what is measured")
    needed_ft: float = told("clearance asked for")
    have_ft: float | None = told("clearance planned; none when a height is not given")
    missing: str = told("what is missing to say it")
    citation: Citation = told("where the clearance stands")


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorStart:
    """What the lights see when one motor starts."""

    appliance: str = told("id of the appliance")
    name: str = told("what people call it")
    voltage_V: float = told("voltage of the motor")
    locked_rotor_A: float = told("current as it starts")
    known_from: str = told("where that current comes from")
    dip_percent: float | None = told("dip at the panel; none while the transformer is not known")
    worst_percent: float | None = told("dip whatever the power factor of the start")
    run_percent: float = told("part of the dip that lateral and service entrance cause")
    limit_percent: float | None = told("largest dip by the practice taken; none for starts as frequent as that")
    largest: bool = told("the motor whose start dips the voltage most")


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """Energy lost in the lateral and the service entrance in a year."""

    part: str = told("lateral or service entrance")
    peak_W: float = told("loss at the design load")
    load_factor: float = told("mean load over design load")
    loss_factor: float = told("mean loss over loss at the design load")
    annual_kWh: float = told("energy lost in a year")
    least_kWh: float = told("bound: the load never varies")
    most_kWh: float = told("bound: the load is either the design load or nothing")
    share_percent: float = told("share of the energy used")


@dataclass(frozen=True, slots=True, kw_only=True)
class LateralResult(StepResult):
    """The run from the transformer to the meter."""

    main: ClassVar[str] = "sides"

    chosen: str = told("underground or overhead, as the house has it")
    sides: tuple[SideRow, ...] = told("both ways side by side")
    conduit: Raceway | None = told("conduit of the lateral; none for direct-buried or unsized conductors")
    entrance: Raceway | None = told("conduit of the service entrance; none for unsized conductors")
    trench: Trench | None = told("the trench, also when the house takes an overhead drop; none for unsized conductors")
    riser_ft: float = told("length to protect where conductors leave the ground, each end")
    pulls: tuple[Pull, ...] = told("every section both ways")
    pull_boxes_ft: tuple[float, ...] = told("where a pull box is needed, from the transformer")
    clearances: tuple[Clearance, ...] = told("clearances of an overhead drop")
    starts: tuple[MotorStart, ...] = told("motor starts, the greatest dip first")
    losses: tuple[Loss, ...] = told("loss in a year; empty without expected_kWh")
