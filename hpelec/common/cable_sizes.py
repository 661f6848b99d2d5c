"""Outside sizes of cables by the name that the circuits give them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from hpelec.core.citing import Citation
from hpelec.core.tables import Row, table


@dataclass(frozen=True, slots=True)
class CableSize:
    """Outside size of a cable [in]; known is False when the largest cable of the table stands in for it."""

    cable: str
    width_in: float
    thickness_in: float
    known: bool
    citation: Citation

    @property
    def is_nm(self) -> bool:
        """True for nonmetallic-sheathed cable, the subject of 334.80."""
        return self.cable.upper().startswith("NM")

    @property
    def conductor(self) -> str:
        """Conductor size of an NM cable's name: "12" of "NM-B 12/2"."""
        return self.cable.split()[-1].split("/")[0]


def _row(cable: str) -> Row | None:
    rows = table("tables/cable_outside_sizes").rows
    named = [r for r in rows if cable.lower().startswith(r.text("cable_type").lower() + " ")]
    for row in named:
        size = cable[len(row.text("cable_type")) :].strip().removesuffix(" G")
        if row.text("size").removesuffix(" G") == size:
            return row
    for row in named:
        size = cable[len(row.text("cable_type")) :].strip()
        if row.text("size").startswith(f"{size}-"):
            return row
    return None


@cache
def cable_size(cable: str) -> CableSize:
    """Outside size of a cable; one that the table does not know is taken as its largest and marked so."""
    found = _row(cable)
    row = found or max(table("tables/cable_outside_sizes").rows, key=lambda r: r.number("width_in"))
    return CableSize(cable, row.number("width_in"), row.number("thickness_in"), found is not None, row.citation)
