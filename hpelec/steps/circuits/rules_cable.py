"""Which copper cable a circuit needs: ampacity, small-conductor limits, next size up, cables that are made."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from hpelec.common.rules_conductors import ampacity_A, terminal_column_C
from hpelec.common.rules_overcurrent import breaker_protects
from hpelec.core.citing import rule
from hpelec.core.rounding import EPS
from hpelec.core.tables import Row, table


@cache
def copper_rows() -> tuple[Row, ...]:
    """Copper conductors with a 60 C ampacity, smallest first."""
    rows = [r for r in table("tables/conductors") if r.text("material") == "cu" and r.text("ampacity_60c_a")]
    return tuple(sorted(rows, key=lambda r: r.number("area_kcmil")))


@rule("ampacity of nonmetallic-sheathed cable", source="NFPA 70", locator="334.80", accuracy="published")
def nm_ampacity_A(size: str) -> float:
    """Ampacity of a copper NM cable by the 60 C column [A]; RangeError for a size that is not tabulated."""
    return ampacity_A(size, "cu", 60)


@rule("ampacity at ordinary terminals", source="NFPA 70", locator="110.14(C)(1)", accuracy="published")
def terminal_ampacity_A(size: str, breaker_A: float) -> float:
    """Copper ampacity [A]: 60 C column for circuits up to 100 A, 75 C column above."""
    return ampacity_A(size, "cu", terminal_column_C(breaker_A, False))


@dataclass(frozen=True, slots=True)
class Cable:
    """A cable: its name, conductor size, ampacity, and whether it is made as NM."""

    name: str
    size: str
    ampacity_A: float
    is_nm: bool


@cache
def nm_name(size: str, insulated: int) -> str | None:
    """Trade name of the NM-B cable of this size; three insulated conductors where two are not made; None if none is."""
    sizes = {r.text("size") for r in table("tables/cable_outside_sizes").where(cable_type="NM-B")}
    for count in range(insulated, 4):
        if f"{size}/{count} G" in sizes:
            return f"NM-B {size}/{count}"
    return None


def choose_cable(
    needed_A: float,
    breaker_A: float,
    insulated: int,
    edition: int,
    *,
    marked_equipment: bool = False,
    several_receptacles: bool = False,
) -> Cable:
    """The smallest copper cable that carries `needed_A` and that the breaker protects.

    insulated: insulated conductors (2, or 3 with a neutral). marked_equipment: air conditioning and heat pumps with
    their nameplate's circuit, where 240.4(G) lets the breaker exceed the ampacity. NM-B where it is made, else
    copper conductors by their terminals. Beyond the table, or above 800 A, the name says that no size was found.
    """
    unsized = Cable("not sized", "", 0.0, False)
    if breaker_A > 800 or needed_A > 800:
        return unsized
    for row in copper_rows():
        size = row.text("size")
        name = nm_name(size, insulated)
        ampacity_A = nm_ampacity_A(size) if name else terminal_ampacity_A(size, breaker_A)
        if not name and _below_largest_nm(row):
            continue
        if ampacity_A < needed_A - EPS:
            continue
        if marked_equipment or breaker_protects(
            breaker_A, ampacity_A, size, edition, several_receptacles=several_receptacles
        ):
            return Cable(name or f"copper {size}, {insulated} + ground", size, ampacity_A, name is not None)
    return unsized


def _below_largest_nm(row: Row) -> bool:
    largest = max(r.number("area_kcmil") for r in copper_rows() if nm_name(r.text("size"), 3))
    return row.number("area_kcmil") < largest
