"""Rules of grounding: electrode conductor, supply-side bonding jumper, equipment grounding conductor."""

from __future__ import annotations

from hpelec.common.rules_conductors import area_cmil, size_of_area
from hpelec.core.citing import Citation, rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import Row, table

METAL = {"cu": "copper", "al": "aluminum"}
"""Word of a metal in the column names of the tables."""


def _metal(material: str) -> str:
    if material not in METAL:
        raise RangeError(f"material must be al or cu, got {material!r}")
    return METAL[material]


def _step(name: str, ungrounded_cmil: float, material: str) -> Row:
    """Row of a table by area of the ungrounded conductors; upper ends included, the last row has none."""
    in_range("ungrounded_cmil", ungrounded_cmil, above=0)
    column = f"ungrounded_{_metal(material)}_max"
    for row in table(name):
        if row.text(column) == "no limit" or ungrounded_cmil <= area_cmil(row.text(column)):
            return row
    raise RangeError(f"table {name} has no row for {ungrounded_cmil:g} circular mil")


@rule("grounding electrode conductor", source="NFPA 70", locator="250.66, Table 250.66", accuracy="published")
def electrode_conductor(ungrounded_cmil: float, material: str, of: str) -> str:
    """Size of the grounding electrode conductor in metal `of` (cu or al).

    ungrounded_cmil: area of the largest ungrounded conductor, all parallel sets together [circular mil], > 0;
    material: its metal. Raises RangeError for anything else.
    """
    return _step("tables/gec_250_66", ungrounded_cmil, material).text(f"gec_{_metal(of)}")


@rule(
    "largest grounding electrode conductor that an electrode of one kind calls for",
    source="NFPA 70",
    locator="250.66(A), 250.66(B)",
    accuracy="published",
)
def electrode_cap(size: str, electrode: str) -> str:
    """Copper size, no larger than the sole connection to one kind of electrode needs.

    size: copper size by the table. electrode: "rod" (rod, pipe or plate: 6 AWG) or "concrete" (4 AWG).
    """
    caps = {"rod": "6", "concrete": "4"}
    if electrode not in caps:
        raise RangeError(f"electrode must be rod or concrete, got {electrode!r}")
    return min(size, caps[electrode], key=area_cmil)


@rule(
    "supply-side bonding jumper, and smallest grounded conductor",
    source="NFPA 70",
    locator="Table 250.102(C)(1)",
    accuracy="memory",
)
def bonding_jumper(ungrounded_cmil: float, material: str, of: str) -> str | None:
    """Size of the jumper in metal `of` for ungrounded conductors of `material` and area [circular mil], > 0.

    Above the table: 12.5 % of the area, in the metal of the conductors only (None for the other metal, which needs
    an equivalent first, and beyond the largest size).
    """
    text = _step("tables/bonding_jumper_250_102", ungrounded_cmil, material).text(f"jumper_{_metal(of)}")
    if not text.startswith("12.5 %"):
        return text
    return size_of_area(ungrounded_cmil * 0.125, of) if of == material else None


def bonding_jumper_citation(ungrounded_cmil: float, material: str) -> Citation:
    """Source of the row that `bonding_jumper` used."""
    return _step("tables/bonding_jumper_250_102", ungrounded_cmil, material).citation


@rule("equipment grounding conductor by device", source="NFPA 70", locator="Table 250.122", accuracy="published")
def equipment_grounding(device_A: float, of: str) -> str:
    """Size of the equipment grounding conductor in metal `of`: first row not below the device [A], > 0 to 6000."""
    rows = table("tables/egc_250_122").rows
    in_range("device_A", device_A, above=0, high=rows[-1].number("ocpd_not_exceeding_a"))
    row = next(r for r in rows if r.number("ocpd_not_exceeding_a") >= device_A)
    return row.text(f"{_metal(of)}_awg_kcmil")


ENLARGED_FOR = ("voltage drop", "temperature", "other")
"""Why line conductors are larger than needed; `temperature` is for an ambient or count factor."""


@rule(
    "equipment grounding conductor of enlarged line conductors",
    source="NFPA 70",
    locator="250.122(B)",
    accuracy="published",
)
def enlarged_grounding(
    base: str, material: str, needed_cmil: float, installed_cmil: float, edition: int, why: str
) -> str | None:
    """Size of the equipment grounding conductor when the line conductors are larger than needed.

    base: size by the table for the device. needed_cmil and installed_cmil: area of the line conductors that would be
    enough, and of those installed, both > 0. why: one of ENLARGED_FOR. The area grows in the same proportion, and no
    size that misses it is taken. 2017: for any enlarging; from 2020 not for one made for an ambient or count factor.
    None beyond the largest size.
    """
    check_edition(edition)
    in_range("needed_cmil", needed_cmil, above=0)
    in_range("installed_cmil", installed_cmil, above=0)
    if why not in ENLARGED_FOR:
        raise RangeError(f"why must be one of {', '.join(ENLARGED_FOR)}, got {why!r}")
    if installed_cmil <= needed_cmil or (why == "temperature" and edition >= 2020):
        return base
    grown_cmil = area_cmil(base) * installed_cmil / needed_cmil
    return size_of_area(grown_cmil * (1 - 1e-12), material)


@rule(
    "equipment grounding conductor not larger than the circuit's conductors",
    source="NFPA 70",
    locator="250.122(A), 250.122(F)",
    accuracy="published",
)
def grounding_in_set(egc: str, line_size: str, sets: int) -> str:
    """Size in each raceway: the full size in each of several parallel sets; alone, not above the line conductors.

    egc: size for the device, enlarged or not. sets: >= 1. The full size is never divided among the sets.
    """
    in_range("sets", sets, low=1)
    return egc if sets > 1 else min(egc, line_size, key=area_cmil)


@rule(
    "largest aluminum conductor that a rod, pipe or plate alone calls for",
    source="NFPA 70",
    locator="250.66(A)",
    accuracy="published",
)
def electrode_cap_aluminum(size: str) -> str:
    """Aluminum size, no larger than the sole connection to a rod, pipe or plate needs (4 AWG)."""
    return min(size, "4", key=area_cmil)


@rule(
    "largest grounding electrode conductor that a ground ring alone calls for",
    source="NFPA 70",
    locator="250.66(C)",
    accuracy="published",
)
def electrode_cap_ring(size: str, ring_size: str) -> str:
    """Copper size, no larger than the conductor of the ring itself (at least 2 AWG)."""
    if area_cmil(ring_size) < area_cmil("2"):
        raise RangeError(f"ring_size must be 2 AWG or larger, got {ring_size!r}")
    return min(size, ring_size, key=area_cmil)
