"""One house: the parts it is made of, and which file or section each part is read from.

A column added to a record in `house.sections` or `house.rows` is thereby in the reader, the writer, the documentation,
the starter folder and the error texts.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass, field
from typing import Any

from hpelec.core.findings import Assumption
from hpelec.house.rows import (
    CeilingFan,
    FieldNote,
    FixedItem,
    Furniture,
    Light,
    Opening,
    Panel,
    PlacedDevice,
    Room,
    Sprinkler,
    WallBuild,
)
from hpelec.house.rows_loads import Appliance, DrawPoint, FutureLoad, Heater, SiteLoad, Use
from hpelec.house.sections import (
    Assembly,
    CircuitSettings,
    Envelope,
    General,
    Level,
    LightingSettings,
    Place,
    Prices,
    Routing,
    Space,
    UseSettings,
    WaterSettings,
)
from hpelec.house.sections_devices import DeviceWishes
from hpelec.house.sections_power import Building, EnergyManagement, Grounding, Measured, ServiceSite, TemporarySupply

SECTIONS: dict[str, tuple[str, type]] = {
    "general": ("house", General),
    "place": ("place", Place),
    "envelope": ("envelope", Envelope),
    "service_site": ("service", ServiceSite),
    "grounding": ("grounding", Grounding),
    "water": ("water", WaterSettings),
    "temporary": ("temporary", TemporarySupply),
    "use_settings": ("use", UseSettings),
    "routing": ("routing", Routing),
    "measured": ("measured", Measured),
    "prices": ("prices", Prices),
    "lighting": ("lighting", LightingSettings),
    "device_wishes": ("devices", DeviceWishes),
    "circuit_settings": ("circuits", CircuitSettings),
}
"""Sections of house.toml that stand once: attribute of House -> (section, record)."""

LISTS: dict[str, type] = {
    "assemblies": Assembly,
    "levels": Level,
    "spaces": Space,
    "buildings": Building,
    "energy_managements": EnergyManagement,
}
"""Arrays of tables of house.toml: TOML name -> record."""

TABLES: dict[str, tuple[str, type]] = {
    "appliances": ("appliances", Appliance),
    "heaters": ("heaters", Heater),
    "draw_points": ("hot_water", DrawPoint),
    "uses": ("use", Use),
    "rooms": ("rooms", Room),
    "openings": ("openings", Opening),
    "wall_builds": ("walls", WallBuild),
    "fixed": ("fixed", FixedItem),
    "placed_devices": ("devices", PlacedDevice),
    "panels": ("panels", Panel),
    "future": ("future", FutureLoad),
    "lights": ("lights", Light),
    "fans": ("fans", CeilingFan),
    "field_notes": ("field", FieldNote),
    "site_loads": ("site", SiteLoad),
    "furniture": ("furniture", Furniture),
    "sprinklers": ("sprinklers", Sprinkler),
}
"""CSV tables of a house folder: attribute of House -> (file name without .csv, record)."""

NEEDED_TABLES = ("appliances", "rooms")
"""Tables that must be there; every other one has a stated default."""


NOT_MEASURED = Measured()
NO_WISHES = DeviceWishes()
USUAL_CIRCUITS = CircuitSettings()


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """One house, read and checked. Tuples keep the order of the files; ids are unique within each table."""

    general: General
    place: Place
    envelope: Envelope
    service_site: ServiceSite
    grounding: Grounding = field(default_factory=Grounding)
    water: WaterSettings
    routing: Routing
    prices: Prices = field(default_factory=Prices)
    assemblies: tuple[Assembly, ...]
    levels: tuple[Level, ...]
    spaces: tuple[Space, ...]
    appliances: tuple[Appliance, ...]
    heaters: tuple[Heater, ...]
    draw_points: tuple[DrawPoint, ...]
    rooms: tuple[Room, ...]
    openings: tuple[Opening, ...]
    wall_builds: tuple[WallBuild, ...] = ()
    fixed: tuple[FixedItem, ...]
    placed_devices: tuple[PlacedDevice, ...]
    panels: tuple[Panel, ...]
    future: tuple[FutureLoad, ...] = ()
    lights: tuple[Light, ...]
    fans: tuple[CeilingFan, ...]
    field_notes: tuple[FieldNote, ...]
    temporary: TemporarySupply = TemporarySupply()
    site_loads: tuple[SiteLoad, ...] = ()
    measured: Measured = NOT_MEASURED
    circuit_settings: CircuitSettings = USUAL_CIRCUITS
    buildings: tuple[Building, ...] = ()
    energy_managements: tuple[EnergyManagement, ...] = ()
    uses: tuple[Use, ...] = ()
    use_settings: UseSettings = dataclasses.field(default_factory=UseSettings)
    lighting: LightingSettings = LightingSettings()
    device_wishes: DeviceWishes = NO_WISHES
    furniture: tuple[Furniture, ...] = ()
    sprinklers: tuple[Sprinkler, ...] = ()
    assumptions: tuple[Assumption, ...] = ()

    def changed(self, **parts: Any) -> House:
        """A copy with some parts replaced, e.g. `house.changed(heaters=...)`; `house.check` says if it still fits."""
        return dataclasses.replace(self, **parts)
