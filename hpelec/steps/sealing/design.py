"""The step sealing: every hole with its method, stage, check and tag, in the order to seal; and what to buy.

Which method fits is found with the hole (step penetrations), so that the leakage reckoned is that of the same seal.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hpelec.core.citing import Citation
from hpelec.core.editions import check_edition
from hpelec.core.findings import Assumption, Finding, Verdict
from hpelec.core.tables import Row, table
from hpelec.core.working import Line, line
from hpelec.house.model import House
from hpelec.steps.airtightness.model import AirtightnessResult, HoleLeak
from hpelec.steps.penetrations.model import Hole, PenetrationsResult
from hpelec.steps.sealing.model import SealingResult, SealItem
from hpelec.steps.sealing.take_off import take_off

STEP = "sealing"
LETTERS = {"floor": "F", "ceiling": "C", "wall": "W", "garage_wall": "G"}
WET_METHODS = ("sealant", "backer_sealant", "foam", "mastic")
"""Methods whose material touches the cable jacket."""


def design(
    _house: House, edition: int, *, penetrations: PenetrationsResult, airtightness: AirtightnessResult
) -> SealingResult:
    """The sealing plan: each hole once, as an item or as unmatched."""
    check_edition(edition)
    leaks = {k.hole: k for k in airtightness.leaks}
    tags = tags_of(penetrations.holes)
    fitted = [h for h in penetrations.holes if h.method]
    unmatched = sorted((h for h in penetrations.holes if not h.method), key=lambda h: h.id)
    drafts = [_item(hole, tags[hole.id], leaks[hole.id]) for hole in fitted]
    drafts.sort(key=lambda i: (i.stage_number, -i.removes_cfm50, i.tag))
    items = tuple(replace(draft, order=order) for order, draft in enumerate(drafts, start=1))
    materials, lines = take_off(penetrations.holes)
    return SealingResult(
        edition=edition,
        items=items,
        take_off=materials,
        unmatched=tuple(h.id for h in unmatched),
        working=(*_counts(items, len(unmatched)), *lines),
        findings=(*(_no_method(h) for h in unmatched), *_cautions(fitted)),
        assumptions=_assumptions(),
    )


def tags_of(holes: Sequence[Hole]) -> dict[str, str]:
    """A short unique mark for each hole: letter of the surface and a number by level, room and id."""
    tags: dict[str, str] = {}
    for surface, letter in LETTERS.items():
        here = sorted((h for h in holes if h.surface == surface), key=lambda h: (h.level, h.room, h.id))
        digits = max(2, len(str(len(here))))
        tags |= {h.id: f"{letter}-{number:0{digits}d}" for number, h in enumerate(here, start=1)}
    return tags


def _item(hole: Hole, tag: str, leak: HoleLeak) -> SealItem:
    method = _method(hole.method)
    kind = table("air/sealing_catalogue").one(kind_id=hole.kind)
    step = table("air/sealing_sequence").one(step=method.text("seal_step"))
    how = method.text("method")
    check = method.text("check")
    if hole.bore_method:
        bore = _method(hole.bore_method)
        how += f"; bore: {bore.text('method')}"
        check += f"; {bore.text('check')}"
    return SealItem(
        order=0,
        tag=tag,
        hole=hole.id,
        room=hole.room,
        level=hole.level,
        surface=hole.surface,
        layer=hole.layer,
        what=", ".join(hole.passes),
        method=hole.method,
        bore_method=hole.bore_method,
        how=how,
        gap_limit_mm=method.number_or_none("gap_max_mm"),
        stage=step.text("stage"),
        stage_number=int(step.number("step")),
        hold_point=kind.text("inspection_hold_point"),
        check=check,
        removes_cfm50=leak.unsealed.best_cfm50 - leak.sealed.best_cfm50,
        caution="; ".join(c for c in (kind.text("cautions"), method.text("cautions")) if c),
        citation=method.citation,
    )


def _method(name: str) -> Row:
    return table("air/sealing_methods").one(method_id=name)


def _no_method(hole: Hole) -> Finding:
    return Finding(
        "no-seal",
        STEP,
        hole.id,
        "a method of the catalogue fits the hole",
        "; ".join(hole.rejected) or "the catalogue lists no method",
        "gap, layer and stage of one method",
        "move the hole to a layer that can be sealed, change its size, or keep it out of the barrier",
        Verdict.MISSES,
        table("air/sealing_catalogue").one(kind_id=hole.kind).citation,
    )


def _cautions(holes: Sequence[Hole]) -> list[Finding]:
    found = []
    wet = [h for h in holes if h.method in WET_METHODS and any("NM" in p or "UF" in p for p in h.passes)]
    if wet:
        found.append(
            _ask(
                "jacket",
                f"{len(wet)} holes",
                "sealant and cable jacket agree",
                "PVC jackets: plasticiser can pass into some sealants and foams",
                "compare the data sheets of sealant and cable",
                _method("sealant").citation,
            )
        )
    enclosed = [h for h in holes if h.method == "box_in_box" and h.kind in ("box_wall", "box_membrane")]
    if enclosed:
        found.append(
            _ask(
                "box-reading",
                f"{len(enclosed)} boxes",
                "boxes in the envelope are air-sealed",
                "site-made enclosures; the 2021 energy code asks for tested boxes in R402.4.6, its table also lets a "
                "barrier stand behind the box",
                "ask which reading the adopted code follows",
                _method("box_airtight").citation,
            )
        )
    garage = [h for h in holes if h.surface == "garage_wall"]
    if garage:
        found.append(
            _ask(
                "garage-fire",
                f"{len(garage)} holes",
                "seals in the garage separation resist flame as the code asks",
                "the house says nothing of fire rating; in a rated wall only a listed system counts",
                "ask for the separation required; use material approved for it",
                table("air/sealing_catalogue").one(kind_id="garage_cable").citation,
            )
        )
    return found


def _ask(id: str, place: str, rule: str, got: str, fix: str, citation: Citation) -> Finding:
    return Finding(id, STEP, place, rule, got, "", fix, Verdict.CANNOT_SAY, citation)


def _counts(items: Sequence[SealItem], unmatched: int) -> list[Line]:
    total = sum(i.removes_cfm50 for i in items)
    stages = sorted({(i.stage_number, i.stage) for i in items})
    counts = [(name, sum(1 for i in items if i.stage_number == number)) for number, name in stages]
    per_stage = " + ".join(f"{count} ({name})" for name, count in counts) or "0"
    return [
        line("holes to seal", per_stage, len(items), "holes"),
        line("holes without a method", "see findings", unmatched, "holes"),
        line("leakage removed by sealing, best", "sum of unsealed less sealed", total, "cfm50"),
    ]


def _assumptions() -> tuple[Assumption, ...]:
    return (
        Assumption(
            "order of sealing",
            "by stage, then by leakage removed",
            "no minutes are shipped: leakage removed per minute needs your own",
        ),
        Assumption("gap limits of methods", "common practice", "the product's own sheet decides"),
    )
