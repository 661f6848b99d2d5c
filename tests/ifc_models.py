"""Small invented building models, written with the open IFC library itself, for the tests of the import."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import ifcopenshell
import ifcopenshell.guid

Corners = Sequence[tuple[float, float]]


class Builder:
    """Writes storeys, spaces, doors and windows; lengths in the unit of the model."""

    def __init__(
        self, schema: str = "IFC4", unit: str = "METRE", prefix: str | None = None, units: bool = True
    ) -> None:
        self.model = ifcopenshell.file(schema=schema)
        self.schema = schema
        make = self.model.create_entity
        self.context = make(
            "IfcGeometricRepresentationContext", None, "Model", 3, 1e-6, self._axes((0.0, 0.0, 0.0)), None
        )
        length = (
            make("IfcSIUnit", UnitType="LENGTHUNIT", Prefix=prefix, Name="METRE") if unit == "METRE" else self._foot()
        )
        angle = make("IfcSIUnit", UnitType="PLANEANGLEUNIT", Name="RADIAN")
        assigned = make("IfcUnitAssignment", [length, angle]) if units else None
        self.project = self._rooted("IfcProject", Name="Test", RepresentationContexts=[self.context])
        if assigned is not None:
            self.project.UnitsInContext = assigned
        self.building = self._rooted("IfcBuilding", Name="House", ObjectPlacement=self._place((0.0, 0.0, 0.0)))
        self._aggregate(self.project, [self.building])

    def _foot(self) -> Any:
        make = self.model.create_entity
        metre = make("IfcSIUnit", UnitType="LENGTHUNIT", Name="METRE")
        measure = make("IfcMeasureWithUnit", make("IfcLengthMeasure", 0.3048), metre)
        return make(
            "IfcConversionBasedUnit",
            make("IfcDimensionalExponents", 1, 0, 0, 0, 0, 0, 0),
            "LENGTHUNIT",
            "FOOT",
            measure,
        )

    def _axes(self, at: tuple[float, float, float], east: tuple[float, float, float] = (1.0, 0.0, 0.0)) -> Any:
        make = self.model.create_entity
        return make(
            "IfcAxis2Placement3D",
            make("IfcCartesianPoint", at),
            make("IfcDirection", (0.0, 0.0, 1.0)),
            make("IfcDirection", east),
        )

    def _place(self, at: tuple[float, float, float], east: tuple[float, float, float] = (1.0, 0.0, 0.0)) -> Any:
        return self.model.create_entity("IfcLocalPlacement", None, self._axes(at, east))

    def _rooted(self, kind: str, **told: Any) -> Any:
        return self.model.create_entity(kind, GlobalId=ifcopenshell.guid.new(), **told)

    def _aggregate(self, whole: Any, parts: list[Any]) -> None:
        self._rooted("IfcRelAggregates", RelatingObject=whole, RelatedObjects=parts)

    def _solid(self, corners: Corners, high: float) -> Any:
        make = self.model.create_entity
        points = [make("IfcCartesianPoint", (float(x), float(y))) for x, y in [*corners, corners[0]]]
        profile = make("IfcArbitraryClosedProfileDef", "AREA", None, make("IfcPolyline", points))
        body = make(
            "IfcExtrudedAreaSolid",
            profile,
            self._axes((0.0, 0.0, 0.0)),
            make("IfcDirection", (0.0, 0.0, 1.0)),
            float(high),
        )
        shape = make("IfcShapeRepresentation", self.context, "Body", "SweptSolid", [body])
        return make("IfcProductDefinitionShape", None, None, [shape])

    def storey(self, name: str, floor: float) -> Any:
        made = self._rooted(
            "IfcBuildingStorey", Name=name, Elevation=floor, ObjectPlacement=self._place((0.0, 0.0, floor))
        )
        self._aggregate(self.building, [made])
        return made

    def space(self, storey: Any, name: str, corners: Corners, high: float = 2.5, use: str = "", **told: Any) -> Any:
        made = self._rooted(
            "IfcSpace",
            Name=name,
            LongName=use or None,
            ObjectPlacement=self._place((0.0, 0.0, float(storey.Elevation))),
            Representation=self._solid(corners, high) if corners else None,
            **told,
        )
        self._aggregate(storey, [made])
        return made

    def opening(
        self,
        storey: Any,
        kind: str,
        name: str,
        at: tuple[float, float],
        wide: float,
        high: float,
        *,
        north: bool = False,
        sill: float = 0.0,
        thick: float = 0.1,
    ) -> Any:
        """A door or window whose frame starts at `at` and runs east (or north), centred in the wall's thickness."""
        east = (0.0, 1.0, 0.0) if north else (1.0, 0.0, 0.0)
        box = [(0.0, -thick / 2), (wide, -thick / 2), (wide, thick / 2), (0.0, thick / 2)]
        made = self._rooted(
            kind,
            Name=name,
            OverallWidth=wide,
            OverallHeight=high,
            ObjectPlacement=self._place((*at, float(storey.Elevation) + sill), east),
            Representation=self._solid(box, high),
        )
        self._rooted("IfcRelContainedInSpatialStructure", RelatedElements=[made], RelatingStructure=storey)
        return made

    def write(self, path: Path) -> Path:
        self.model.write(str(path))
        return path


def box(x: float, y: float, wide: float, deep: float) -> list[tuple[float, float]]:
    return [(x, y), (x + wide, y), (x + wide, y + deep), (x, y + deep)]


def small_house(schema: str = "IFC4", wall: float = 0.0, turn: bool = False) -> Builder:
    """Two storeys in metres: kitchen 4 x 3 and an L-shaped living room below, bedroom and hall above; walls of a
    thickness between them; invented.
    """
    made = Builder(schema)
    ground, upper = made.storey("Ground floor", 0.0), made.storey("Upper floor", 2.8)
    w = wall
    made.space(ground, "001", box(0, 0, 4, 3), use="Kitchen")
    ell = [(4 + w, 0), (9 + w, 0), (9 + w, 6), (0, 6), (0, 3 + w), (4 + w, 3 + w)]
    made.space(ground, "002", ell, use="Living room")
    made.space(upper, "101", box(0, 0, 5, 6), use="Bedroom", high=2.4)
    made.space(upper, "102", box(5 + w, 0, 4, 6), use="Hall", high=2.4)
    made.opening(ground, "IfcDoor", "D1", (4 + w / 2, 1.0), 0.9, 2.1, north=True)
    made.opening(ground, "IfcDoor", "D2", (6.0, -0.1), 1.0, 2.1)
    made.opening(ground, "IfcWindow", "W1", (1.0, -0.1), 1.5, 1.2, sill=0.9)
    made.opening(upper, "IfcDoor", "D3", (5 + w / 2, 2.0), 0.8, 2.0, north=True)
    return made
