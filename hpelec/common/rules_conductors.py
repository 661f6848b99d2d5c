"""Conductors by size and metal: area, ampacity, the column that terminals allow."""

from __future__ import annotations

from functools import cache

from hpelec.core.citing import Citation, rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.tables import Row, table

AMPACITY_LOCATOR = {2017: "Table 310.15(B)(16)", 2020: "Table 310.16"}
COLUMNS = {60: "ampacity_60c_a", 75: "ampacity_75c_a", 90: "ampacity_90c_a"}
PLACES = {
    "ampacity": "Table 310.16 (2017: Table 310.15(B)(16))",
    "dc_resistance": "Ch 9 Table 8",
    "ac": "Ch 9 Table 9 (PVC)",
}
"""Where the columns of the table tables/conductors stand: ampacity, dc resistance, ac resistance and reactance."""


@cache
def _rows(material: str) -> dict[str, Row]:
    """Rows of one metal by size, rising by area."""
    rows = table("tables/conductors").where(material=material)
    if not rows:
        raise RangeError(f"material must be al or cu, got {material!r}")
    return {r.text("size"): r for r in sorted(rows, key=lambda r: r.number("area_kcmil"))}


def conductor_row(size: str, material: str) -> Row:
    """The row of a size; RangeError names the sizes there are."""
    rows = _rows(material)
    if size not in rows:
        raise RangeError(f"size must be one of {', '.join(rows)}, got {size!r}")
    return rows[size]


def conductor_citation(size: str, material: str, of: str) -> Citation:
    """Source of one value of a size; `of`: a key of PLACES. Accuracy is that of the column, not of the row."""
    row = conductor_row(size, material)
    return Citation("NFPA 70", PLACES[of], row.citation.edition, row.text(f"accuracy_{of}"))


@cache
def usable_sizes(material: str) -> tuple[str, ...]:
    """Sizes that may be proposed, rising by area: those with both an ampacity and an impedance (not 700 kcmil)."""
    needed = ("ampacity_75c_a", "ac_resistance_pvc_ohm_per_kft")
    return tuple(size for size, row in _rows(material).items() if all(row.text(c) for c in needed))


@rule("area of a conductor size", source="NFPA 70", locator="Ch 9 Table 8", accuracy="published")
def area_cmil(size: str) -> float:
    """Area [circular mil] of a trade size: AWG from the table, kcmil from its name ("250" is 250,000)."""
    if size in _rows("cu"):
        return _rows("cu")[size].number("area_kcmil") * 1000
    if size.isdecimal() and int(size) > 250:
        return int(size) * 1000.0
    raise RangeError(f"size must be AWG (14 to 4/0) or kcmil (250 and up), got {size!r}")


@rule("smallest size of at least an area", source="NFPA 70", locator="Ch 9 Table 8", accuracy="published")
def size_of_area(needed_cmil: float, material: str) -> str | None:
    """Smallest usable size with at least `needed_cmil` [circular mil], >= 0; None beyond the largest."""
    in_range("needed_cmil", needed_cmil, low=0)
    return next((s for s in usable_sizes(material) if area_cmil(s) >= needed_cmil), None)


@rule(
    "ampacity of a conductor by its temperature column",
    source="NFPA 70",
    locator=AMPACITY_LOCATOR,
    accuracy="published",
)
def ampacity_A(size: str, material: str, column_C: int) -> float:
    """Ampacity [A] before any factor: not more than three current-carrying conductors, 30 C around them.

    column_C: 60, 75 or 90. Raises RangeError for a size, metal or column that is not tabulated.
    """
    if column_C not in COLUMNS:
        raise RangeError(f"column_C must be 60, 75 or 90, got {column_C!r}")
    value = conductor_row(size, material).number_or_none(COLUMNS[column_C])
    if value is None:
        raise RangeError(f"size {size} in {material} has no ampacity: not permitted")
    return value


@rule(
    "temperature column that terminals allow",
    source="NFPA 70",
    locator="110.14(C)(1)",
    accuracy="published",
)
def terminal_column_C(device_A: float, marked_75C: bool) -> int:
    """Column [C] for conductors of a device of `device_A` [A], > 0: 60 up to and with 100 A unless marked, else 75."""
    in_range("device_A", device_A, above=0)
    return 75 if marked_75C or device_A > 100 else 60
