"""Results of the step lighting."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from hpelec.core.citing import Citation
from hpelec.core.results import StepResult, told


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomLight:
    """The light of one room by the lumen method, and at points."""

    room: str = told("room")
    task: str = told("what it is lit for")
    luminaires: int = told("luminaires that light its work plane")
    area_ft2: float = told("floor area")
    room_ratio: float | None = told("room cavity ratio; none where the work plane is above the luminaires")
    ceiling_percent: float | None = told("effective reflectance of the ceiling cavity")
    floor_percent: float | None = told("effective reflectance of the floor cavity")
    utilisation: float | None = told("share of the light that reaches the work plane, over all its luminaires")
    loss_factor: float = told("light loss factor")
    lumens_lm: float = told("light of its luminaires")
    lux: float = told("mean level on the work plane, maintained, reflected light included [lux]")
    reflected_lux: float = told("the part of it that ceiling, walls and floor reflect [lux]")
    wanted_lux: float | None = told("level of the list chosen, or the room's own; none where the list has no such row")
    wanted_by: str = told("where the level wanted comes from")
    needed_lm: float | None = told("light of luminaires that gives the level wanted")
    needed: int | None = told("luminaires like these that give the level wanted; none without luminaires or level")
    enough: bool | None = told("the level wanted is reached; none where none is known")
    power_VA: float = told("load of its luminaires")
    density: float = told("load for each square foot of floor [VA/ft2]")
    least_lux: float | None = told("least direct light at the points of the work plane [lux]; none without points")
    direct_lux: float | None = told("mean direct light at the points [lux]")
    most_lux: float | None = told("most direct light at the points [lux]")
    uniformity: float | None = told("least over mean direct light; none without light")


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelRow:
    """What one list recommends for one room."""

    room: str = told("room")
    listed: str = told("name of the list")
    chosen: bool = told("the list that this house is judged by")
    said: str = told("the row of the list")
    lux: float = told("level recommended [lux]")
    share_percent: float = told("level in the room as a share of it")
    citation: Citation = told("where it stands")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceRow:
    """A luminaire where a rule of its own applies: closet, tub or shower, damp or wet place."""

    light: str = told("id of the light")
    room: str = told("room")
    place: str = told("closet, tub or shower, damp, wet")
    got: str = told("what there is")
    allowed: str = told("what is asked for")
    verdict: str = told("meets, misses or cannot say")
    citation: Citation = told("where the rule stands")


@dataclass(frozen=True, slots=True, kw_only=True)
class RecessedRow:
    """A recessed luminaire whose opening is in the air barrier."""

    light: str = told("id of the light")
    room: str = told("room")
    tested: bool = told("it or its box is tested for air leakage")
    insulation_contact: bool | None = told("it is of the insulation-contact type; none where not known")
    allowed_cfm50: float | None = told("leakage that the limit lets it have at 50 Pa; none where it is not tested")
    instead: str = told("what makes no such hole")


@dataclass(frozen=True, slots=True, kw_only=True)
class FanRow:
    """A ceiling fan: clearances, size, flicker."""

    fan: str = told("id of the fan")
    room: str = told("room")
    x_ft: float = told("east coordinate on the plan")
    y_ft: float = told("north coordinate on the plan")
    span_in: float = told("blade circle")
    blades_ft: float = told("blades above the floor")
    tip_to_wall_in: float = told("blade tip to the nearest wall; negative where the blades would hit it")
    advised_from_in: float | None = told("smallest span advised for the room; none for a room beyond the table")
    advised_to_in: float | None = told("largest span advised for the room; none for a room beyond the table")
    frequency_hz: float = told("blades that pass a point each second, at the highest speed [Hz]")
    low_risk_percent: float | None = told("modulation that is thought low in risk at that frequency; none: no limit")
    unseen_percent: float | None = told("modulation that has no observable effect; none: no limit")
    modulation_percent: float | None = told("largest modulation at a point of the work plane; none without light")
    chopped: tuple[str, ...] = told("lights that throw a shadow of its blades")


@dataclass(frozen=True, slots=True, kw_only=True)
class ShadowRow:
    """A light and a fan of one room."""

    fan: str = told("id of the fan")
    light: str = told("id of the light")
    distance_in: float = told("axis to axis on the plan")
    above_in: float = told("opening of the light above the blades; negative: below them")
    half_deg: float = told("angle up to which the light leaves, toward the blades")
    clear_in: float | None = told("distance from which on it is clear; none: never, whatever the distance")
    clear: bool = told("neither shadow nor touch")
    how: str = told("shadow, uplight, hangs or none: what decides")
    on_plane: bool = told(
        "its direct light to the work plane passes the blades; else a shadow falls on walls or ceiling"
    )
    widest_deg: float | None = told("widest half angle that would be clear here; none where no angle is")
    move_x_ft: float | None = told(
        "nearest clear place, from the room's west edge; none where there is none or no need"
    )
    move_y_ft: float | None = told("nearest clear place, from the room's south edge")
    move_ft: float | None = told("how far away that place is")


@dataclass(frozen=True, slots=True, kw_only=True)
class LightingResult(StepResult):
    """Light, places of luminaires, fans."""

    main: ClassVar[str] = "rooms"

    rooms: tuple[RoomLight, ...] = told("light of each room")
    levels: tuple[LevelRow, ...] = told("what each list recommends for each room")
    places: tuple[PlaceRow, ...] = told("luminaires where a rule of its own applies")
    recessed: tuple[RecessedRow, ...] = told("recessed luminaires in the air barrier")
    fans: tuple[FanRow, ...] = told("ceiling fans")
    shadows: tuple[ShadowRow, ...] = told("each light and fan of a room")
    work_plane_in: float = told("height at which light is counted")
