"""Panels: positions and legs, spare spaces, what the legs differ by, the neutral."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

from hpelec.core.citing import rule
from hpelec.core.errors import RangeError, in_range
from hpelec.core.rounding import EPS, ceil_tol
from hpelec.core.tables import table

LEGS = ("A", "B")


@cache
def practice(item: str) -> float:
    """Value of an item of layout/panel_practice; its unit is the end of its name."""
    return table("layout/panel_practice").one(item=item).number("value")


@rule(
    "leg of a position in a panel",
    source="trade",
    locator="odd positions left, even right, from the top; the legs take turns down each side",
    accuracy="common practice",
)
def leg_of(position: int) -> str:
    """A or B: A where position / 2, rounded up, is odd. position: 1 or more."""
    in_range("position", position, low=1, high=1000)
    return LEGS[(math.ceil(position / 2) + 1) % 2]


@rule(
    "positions of a breaker",
    source="trade",
    locator="a two-pole breaker takes a position and the next one on the same side",
    accuracy="common practice",
)
def positions_of(first: int, poles: int, spaces: int) -> tuple[int, ...]:
    """Positions that a breaker takes, its first one given. RangeError where they are not in the panel."""
    in_range("first position", first, low=1, high=spaces)
    in_range("poles", poles, low=1, high=2)
    made = tuple(first + 2 * i for i in range(poles))
    if made[-1] > spaces:
        raise RangeError(f"a breaker of {poles} poles at {first} does not fit in {spaces} spaces")
    return made


@rule(
    "spaces so that a share stays free",
    source="trade",
    locator="user's own share; the code sets none",
    accuracy="common practice",
)
def spaces_with_spare(used: int, spare_share: float) -> int:
    """Fewest spaces of which `used` (>= 0) leave at least `spare_share` (0 to below 1) of all spaces free."""
    in_range("used", used, low=0, high=10000)
    in_range("spare_share", spare_share, low=0, high=0.99)
    return ceil_tol(used / (1 - spare_share))


@rule("panel sizes that are made", source="trade", locator="usual numbers of spaces", accuracy="common practice")
def panel_size(spaces: int) -> int | None:
    """Smallest usual number of spaces of a panel that is at least `spaces` (>= 0); None above the largest."""
    in_range("spaces", spaces, low=0, high=100000)
    made = sorted(int(r.number("spaces")) for r in table("layout/panel_sizes"))
    return next((m for m in made if m >= spaces), None)


@rule(
    "difference between the legs as a share",
    source="definition",
    locator="|A - B| / larger of A and B",
    accuracy="common practice",
)
def imbalance_percent(leg_A_VA: float, leg_B_VA: float) -> float:
    """Difference of the legs in percent of the larger; 0 for legs without load. Loads >= 0."""
    in_range("leg A", leg_A_VA, low=0)
    in_range("leg B", leg_B_VA, low=0)
    larger_VA = max(leg_A_VA, leg_B_VA)
    return 100 * abs(leg_A_VA - leg_B_VA) / larger_VA if larger_VA > 0 else 0.0


@rule(
    "current in the neutral of 120 V loads",
    source="circuit theory",
    locator="equal power factors; legs opposed at 120/240 V, 120 degrees apart at 208Y/120 V",
    accuracy="recomputed",
)
def neutral_A(leg_A_VA: float, leg_B_VA: float, voltage_V: float) -> float:
    """Neutral current [A] of the 120 V loads on two legs [VA], >= 0. voltage_V: 240 or 208 between the legs.

    |A - B| / 120 at 240 V. At 208 V sqrt(A^2 + B^2 - A B) / 120: balanced legs load the neutral fully.
    """
    in_range("leg A", leg_A_VA, low=0)
    in_range("leg B", leg_B_VA, low=0)
    if voltage_V not in (240, 208):
        raise RangeError(f"voltage_V must be 240 or 208, got {voltage_V!r}")
    if voltage_V == 240:
        return abs(leg_A_VA - leg_B_VA) / 120
    return math.sqrt(max(leg_A_VA**2 + leg_B_VA**2 - leg_A_VA * leg_B_VA, 0.0)) / 120


@rule(
    "longest-first sharing of loads between two legs",
    source="trade",
    locator="largest load first, always to the lighter leg",
    accuracy="common practice",
)
def longest_first_VA(loads_VA: Sequence[float]) -> float:
    """Difference that the usual way by hand leaves: largest first, each on the lighter leg. Loads >= 0."""
    legs = [0.0, 0.0]
    for load_VA in sorted((in_range("load", v, low=0) for v in loads_VA), reverse=True):
        legs[legs[1] < legs[0] - EPS] += load_VA
    return abs(legs[0] - legs[1])


@rule(
    "fewest circuits for receptacles outside dwelling units",
    source="NFPA 70",
    locator="220.14(I), 210.11(A)",
    accuracy="published",
)
def yoke_circuits(yokes: int, rating_A: float, *, voltage_V: float = 120.0) -> int:
    """Circuits of a rating of 15 or 20 A for receptacle yokes (>= 0) of a building that is no dwelling unit.

    180 VA a yoke, a whole number of yokes on each circuit. A dwelling unit counts by floor area instead.
    """
    in_range("yokes", yokes, low=0, high=100000)
    in_range("rating_A", rating_A, low=15, high=20)
    most = math.floor(rating_A * voltage_V / practice("yoke_VA") + EPS)
    return ceil_tol(yokes / most)


@rule(
    "disconnect of a multiwire branch circuit",
    source="NFPA 70",
    locator="210.4(B), 240.15(B)(1)",
    accuracy="memory",
)
def multiwire_disconnect(handle_tie: bool, common_trip: bool) -> bool:
    """True when all its ungrounded conductors open together where it starts: a handle tie or a two-pole breaker."""
    return handle_tie or common_trip


@rule(
    "breaker that protects the people or arcs of a shared neutral",
    source="trade",
    locator="a one-pole protecting breaker trips on a neutral that another circuit uses; it takes a two-pole one",
    accuracy="common practice",
)
def multiwire_breaker(gfci: bool, afci: bool) -> str:
    """What protects both circuits of a multiwire pair."""
    words = " and ".join(w for w, on in (("arc-fault", afci), ("ground-fault", gfci)) if on)
    return f"one two-pole {words} breaker" if words else "two one-pole breakers with a handle tie, or a two-pole one"


@rule(
    "rows of holes that a width takes",
    source="geometry",
    locator="diameters and the wood between them, in a line",
    accuracy="common practice",
)
def line_of_holes_in(diameters_in: Sequence[float], web_in: float) -> float:
    """Length of a line of holes [in] with `web_in` [in] of wood between each two; 0 for none."""
    if not diameters_in:
        return 0.0
    for value in diameters_in:
        in_range("diameter", value, above=0, high=12)
    return math.fsum(diameters_in) + in_range("web_in", web_in, low=0, high=12) * (len(diameters_in) - 1)
