"""Section [devices] of house.toml: wishes about receptacles, switches, alarms, data points and boxes."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.house.columns import choice, flag, number, whole


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceWishes:
    """Section [devices]: how the devices are to be placed where the rules leave a choice."""

    wall_boxes: str = choice(
        ("fewest", "inside", "floor"),
        "fewest: the fewest wall receptacles, inside walls first; inside: inside walls alone where they reach, at the "
        "price of more receptacles; floor: inside walls, and the floor where they do not reach",
        "fewest",
    )
    three_way: str = choice(
        ("entries", "halls"),
        "entries: a second switch at a second way through any room; halls: in halls and stairs only",
        "entries",
    )
    alarms: bool = flag("the tool places smoke and carbon-monoxide alarms", True)
    fuel_burning: bool = flag("the house has an appliance that burns fuel, or a fireplace that does", False)
    door_light_shares_hole: bool = flag("the light at an exterior door shares the hole of the door's receptacle", True)
    data_points_bedroom: int = whole("data points in each bedroom", 0, low=0, high=10)
    data_points_living: int = whole("data points in each living, family and recreation room", 0, low=0, high=10)
    data_points_den: int = whole("data points in each den and library", 0, low=0, high=10)
    longest_screw_in: float | None = number(
        "longest screw or nail that is driven through the finish, e.g. for cabinets; blank: not known",
        None,
        above=0,
        high=12,
    )
    finish_combustible: bool = flag("the wall finish is wood or another combustible board", False)
    stud_depth_in: float = number("depth of the studs of inside walls", 3.5, low=1, high=12)
    joist_depth_in: float = number("depth of sawn floor joists", 9.25, low=3, high=16)
    boot_depth_in: float = number("depth inside the membrane boots that are bought", 3.5, above=0, high=12)
    boot_width_in: float = number("width inside the membrane boots that are bought", 6.0, above=0, high=48)
    boot_cables: int = whole("cables that one such boot can be sealed round", 4, low=1, high=20)
