"""Results of the step service: thresholds, mains, what could still be added, and what is wished for later."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.core.citing import Citation
from hpelec.core.results import told


@dataclass(frozen=True, slots=True, kw_only=True)
class Threshold:
    """One load at which equipment, or what it costs, changes."""

    id: str = told("short name, unique within the table")
    what: str = told("what changes there")
    at_A: float = told("load up to and with which the smaller equipment is enough")
    within: str = told("what is needed up to there")
    beyond: str = told("what is needed above it")
    distance_A: float = told("that load less the design load; negative when the design load is above it")
    distance_VA: float = told("the same at the service voltage")
    crossed: bool = told("the design load is above it")
    offered: bool = told("a rating that the utility offers reaches it")
    citation: Citation = told("rule that puts it there")


@dataclass(frozen=True, slots=True, kw_only=True)
class MainRow:
    """One service disconnect, and the load that is known to be behind it."""

    name: str = told("panel whose main it is, or main 1, main 2 where no panel names it")
    main_A: float = told("its rating")
    continuous_A: float = told("what it may carry for three hours or more")
    most_A: float | None = told(
        "most that can be behind it: connected load of what the panels take, before any demand factor; none when the "
        "panels do not tell it"
    )
    carries: bool | None = told("it carries the most that can be behind it; none when that cannot be said")


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceRoom:
    """Largest solar or storage output that one way of connection still allows."""

    place: str = told("id of the panel, or supply side")
    way: str = told("how the source is connected")
    bus_A: float | None = told("rating of the bus; none on the supply side", default=None)
    main_A: float | None = told("device that feeds the bus, or the rating of the service", default=None)
    taken_A: float = told("output current of sources that stand there already", default=0.0)
    source_A: float | None = told("largest further output current; none when it cannot be said", default=None)
    breaker_A: float | None = told("largest standard breaker within 1.25 times that current", default=None)
    power_VA: float | None = told("the same output at the service voltage", default=None)
    remark: str = told("what it asks for, or what is missing", default="")
    citation: Citation = told("rule of this way")


@dataclass(frozen=True, slots=True, kw_only=True)
class SpareRow:
    """Largest single load of one kind that the service still takes when it is counted in full."""

    kind: str = told("kind of load")
    circuit_A: float | None = told("largest standard circuit or feeder; none when not even the smallest fits")
    current_A: float = told("largest current of the load")
    power_VA: float = told("the same at the service voltage")
    remark: str = told("how it is counted")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A row of future.csv against what is left: counted in full, by itself."""

    id: str = told("id in future.csv")
    name: str = told("its name")
    kind: str = told("its kind")
    place: str = told("panel or supply side")
    current_A: float | None = told("its current; none when neither VA nor amperes are given")
    counted_A: float | None = told("what it adds to the load when counted in full; none for a source")
    device_A: float | None = told("its circuit or breaker")
    left_A: float | None = told("what is left after it, of the rating or of the room for sources; negative: too little")
    fits: str = told("meets, misses or cannot say")
    why: str = told("in words")
