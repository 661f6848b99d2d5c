"""Rules of surge protection and of the emergency disconnect, by edition."""

from __future__ import annotations

from functools import cache

from hpelec.core.citing import Citation, rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import Row, table

PLACES = ("outside_on_house", "outside_in_sight", "outside_elsewhere", "inside", "none")
"""Where an emergency disconnect can stand: the words of the column emergency_disconnect."""


@cache
def protection_row(name: str, edition: int) -> Row:
    """The row in force of one rule of faults/dwelling_protection."""
    check_edition(edition)
    rows = table("faults/dwelling_protection").where(rule=name)
    if not rows:
        raise RangeError(f"no protection rule {name!r}")
    return max((r for r in rows if r.number("from_edition") <= edition), key=lambda r: r.number("from_edition"))


def protection_citation(name: str, edition: int) -> Citation:
    """Where a protection rule stands in an edition."""
    return protection_row(name, edition).citation


@rule(
    "surge protection of a dwelling's service, and of its feeders",
    source="NFPA 70",
    locator={2017: "no such section", 2020: "230.67", 2023: "230.67, 215.18, 225.42"},
    accuracy="published",
)
def surge_needed(part: str, edition: int) -> bool:
    """Whether a dwelling needs surge protection at its `part`: "service" or "feeder"."""
    if part not in ("service", "feeder"):
        raise RangeError(f"part must be service or feeder, got {part!r}")
    return protection_row(f"{part}_surge", edition).text("required") == "yes"


@rule(
    "nominal discharge current of a surge protector",
    source="NFPA 70",
    locator={2017: "no such section", 2020: "230.67", 2023: "230.67(E), 215.18"},
    accuracy="published",
)
def surge_least_kA(edition: int) -> float:
    """Least nominal discharge current [kA]: 10 from 2023; 0 where the edition names none."""
    check_edition(edition)
    return 10.0 if edition >= 2023 else 0.0


@rule(
    "kind of surge protector at a service",
    source="NFPA 70",
    locator={2017: "no such section", 2020: "230.67(B)"},
    accuracy="published",
)
def surge_kind_fits(kind: int) -> bool:
    """Whether a surge protector of type 1 to 4 may be the one at the service: type 1 or 2."""
    in_range("kind", kind, low=1, high=4)
    return kind in (1, 2)


@rule(
    "emergency disconnect outdoors, for one- and two-family dwellings",
    source="NFPA 70",
    locator={2017: "no such section", 2020: "230.85", 2026: "230.70(A)(1)"},
    accuracy="published",
)
def emergency_section(edition: int) -> str:
    """Section that asks for it: `none`, or its number."""
    return protection_row("emergency_disconnect", edition).text("clause")


@rule(
    "place of the emergency disconnect",
    source="NFPA 70",
    locator={2017: "no such section", 2020: "230.85", 2023: "230.85(A)", 2026: "230.70(A)(1)"},
    accuracy="memory",
)
def emergency_place_fits(place: str, edition: int) -> bool:
    """Whether a place satisfies the edition: anything in 2017; outdoors in 2020; on or in sight of the house after.

    place: one of PLACES.
    """
    if place not in PLACES:
        raise RangeError(f"place must be one of {', '.join(PLACES)}, got {place!r}")
    if emergency_section(edition) == "none":
        return True
    outdoors = PLACES[:3] if edition < 2023 else PLACES[:2]
    return place in outdoors
