"""Results of the step stages."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from hpelec.core.citing import Citation
from hpelec.core.results import StepResult, told


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyAtStage:
    """One supply at one stage of the work: what it feeds, and whether it carries that."""

    stage: str = told("stage of the work")
    supply: str = told("temporary or permanent")
    loads: tuple[str, ...] = told("ids of the loads that it feeds")
    connected_VA: float = told("their load, all running")
    counted_VA: float = told("the same with continuous loads 1.25 times")
    leg_A: float = told("current of the heavier leg, with continuous loads 1.25 times")
    rating_A: float | None = told("its main; none where there is no such supply, or its rating is not known")
    carries: bool | None = told("the main carries it; none where its rating is not known")


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One step of the change to the permanent service, and what both supplies carry after it."""

    order: int = told("place in the order, 1 first")
    load: str = told("id of the load that moves; blank for a step of the supplies themselves")
    what: str = told("what is done")
    temporary_A: float = told("heavier leg of the temporary supply after it")
    permanent_A: float = told("heavier leg of the permanent supply after it")
    carries: bool | None = told("both mains carry what they feed; none where a rating is not known")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A site load on the line of time."""

    load: str = told("id of the load")
    name: str = told("what people call it")
    from_stage: str = told("first stage at which it is needed")
    to_stage: str = told("last stage at which it is needed")
    temporary: bool = told("the temporary supply feeds it at some stage")
    permanent: bool = told("the permanent supply feeds it at some stage")


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteRule:
    """A rule that only the people on site can keep: said, not judged."""

    rule: str = told("the rule in our words")
    citation: Citation = told("where it stands")


@dataclass(frozen=True, slots=True, kw_only=True)
class StagesResult(StepResult):
    """Temporary power by stage, and the order of moving."""

    main: ClassVar[str] = "supplies"

    live_stage: str = told("stage at whose start the permanent service goes live")
    supplies: tuple[SupplyAtStage, ...] = told("each supply at each stage at which it feeds something")
    moves: tuple[Move, ...] = told("the change to the permanent service, step by step")
    bars: tuple[Bar, ...] = told("each site load on the line of time, in the order of its first stage")
    site_rules: tuple[SiteRule, ...] = told("rules that only the people on site can keep")
    temporary_rating_A: float | None = told("main of the temporary supply, where there is one")
    temporary_needed_A: float = told("largest heavier leg that the temporary supply sees")
