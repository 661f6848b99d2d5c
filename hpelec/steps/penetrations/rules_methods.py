"""Rules of the step penetrations: which method of the sealing catalogue fits a hole, and why the others do not."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.core.citing import rule
from hpelec.core.errors import in_range
from hpelec.core.tables import Row, table


def listed(text: str) -> tuple[str, ...]:
    """The words of a cell that lists several, separated by semicolons."""
    return tuple(word.strip() for word in text.split(";") if word.strip())


def stage_number(stage: str) -> int:
    """Number of a stage in the sealing sequence."""
    return int(table("air/sealing_sequence").one(stage=stage).number("step"))


def stage_name(number: int) -> str:
    """Name of a stage in the sealing sequence."""
    return table("air/sealing_sequence").one(step=str(number)).text("stage")


@rule(
    "last stage at which the air barrier can be reached from inside",
    source="trade rule",
    locator="what the next layer covers",
    accuracy="common practice",
)
def last_reach(inner_layers: int, inner_insulation: bool, in_framing: bool) -> str:
    """Stage after which the barrier is covered from inside.

    inner_layers: layers between the room and the barrier, >= 0. inner_insulation: one of them is insulation.
    in_framing: the hole is in a plate inside a wall, which the finish covers.
    """
    in_range("inner layers", inner_layers, low=0, high=50)
    if inner_insulation:
        return "interim test"
    return "insulation" if inner_layers or in_framing else "trim"


@rule(
    "why a sealing method does not fit",
    source="trade rule",
    locator="gap, layer and stage",
    accuracy="common practice",
)
def refusal(method: Row, gap_mm: float, cables: int, layer_words: tuple[str, ...], reach_until: str) -> str:
    """Reason that a method of air/sealing_methods does not fit a hole, or "" when it fits.

    gap_mm: gap to close [mm], >= 0; exactly at a limit fits. cables: how many pass it.
    layer_words: what the layer answers to in the tables.
    """
    in_range("gap", gap_mm, low=0, high=2000)
    if method.text("is_seal") != "yes":
        return "a change of the design, not a seal"
    low_mm, high_mm = method.number("gap_min_mm"), method.number_or_none("gap_max_mm")
    if gap_mm < low_mm - 1e-9 or (high_mm is not None and gap_mm > high_mm + 1e-9):
        limits = f"{low_mm:g} to {high_mm:g} mm" if high_mm is not None else f"{low_mm:g} mm or more"
        return f"gap {gap_mm:.1f} mm; it closes {limits}"
    if cables > 1 and method.text("several_cables") != "yes":
        return f"{cables} cables; it takes one an opening"
    suited = listed(method.text("suited_layers"))
    if not set(suited) & set(layer_words):
        return f"the layer is {layer_words[0] if layer_words else 'unknown'}; it suits {', '.join(suited)}"
    if int(method.number("seal_step")) > stage_number(reach_until):
        return f"done at {stage_name(int(method.number('seal_step')))}; the hole is covered after {reach_until}"
    return ""


@dataclass(frozen=True, slots=True)
class Choice:
    """The method that fits first, and what was refused before it."""

    method: str
    bore_method: str
    rejected: tuple[str, ...]


@rule(
    "sealing method of a hole",
    source="trade rule",
    locator="first of the catalogue that fits",
    accuracy="common practice",
)
def choose_method(
    kind: str,
    gap_mm: float,
    layer_words: tuple[str, ...],
    reach_until: str,
    *,
    cables: int = 0,
    tested_box: bool = False,
) -> Choice:
    """First method that the catalogue lists for this kind of hole and that fits.

    tested_box: the box or luminaire is tested for air leakage; its own flange is then tried first.
    """
    entry = table("air/sealing_catalogue").one(kind_id=kind)
    if not set(listed(entry.text("layers"))) & set(layer_words):
        known = ", ".join(listed(entry.text("layers")))
        reason = f"{kind}: the catalogue knows it in {known}, not in {layer_words[0] if layer_words else 'this layer'}"
        return Choice("", "", (reason,))
    names = listed(entry.text("methods"))
    if tested_box:
        own = [n for n in names if n in ("box_airtight", "luminaire_airtight")]
        names = (*own, *(n for n in names if n not in own))
    rejected: list[str] = []
    for name in names:
        rows = table("air/sealing_methods").where(method_id=name)
        reason = (
            refusal(rows[0], gap_mm, cables, layer_words, reach_until)
            if rows
            else "not described in the list of methods"
        )
        if not reason:
            return Choice(name, entry.text("bore_method"), tuple(rejected))
        rejected.append(f"{name}: {reason}")
    return Choice("", entry.text("bore_method"), tuple(rejected))
