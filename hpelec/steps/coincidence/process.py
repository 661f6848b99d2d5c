"""One load as an on/off process: the type that everything in this step, and control on top of it, works on.

Current counts as the main sees it, in line amperes of the 240 V service. A 240 V load loads both legs with its current.
A 120 V load loads one leg with its whole current, and is taken to be on the heavier leg: an upper view, since the loads
of the other leg do not add. Nothing here lowers a load of the code's calculation.
"""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.core.citing import Citation
from hpelec.core.results import told

HOURS = 24
MIN_PER_H = 60.0
HOURS_PER_YEAR = 8760.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadProcess:
    """A load that is off, starts, runs for a while, and is off again.

    A load cannot overlap itself: starts_per_h counts the runs that take place. Run lengths are taken as fixed where a
    length matters (how long an overload lasts); the law of the total and the rate of crossings need the mean only.
    """

    id: str = told("id of the appliance or heater; -1, -2 and so on where one row stands for several")
    name: str = told("what people call it")
    kind: str = told("kind of appliance or heater")
    current_A: float = told("largest current at the main while it runs; a 120 V load by its whole current on one leg")
    levels: tuple[tuple[float, float], ...] = told(
        "currents while it runs, each with its share of the running time (shares add up to 1); one level for most loads"
    )
    run_min: float = told("mean length of one run; of no meaning for a load that is always on")
    starts_per_h: tuple[float, ...] = told("mean starts in each of the 24 hours of the day, 0 to 1 o'clock first")
    always_on: bool = told("runs without end: starts and run length play no part", default=False)
    follows: str = told(
        "what its starts depend on beside the hour: people, weather, or nothing (blank)",
        default="",
    )
    weather_duty: tuple[float, ...] = told(
        "share of the time it runs in each state of the weather, in the order of the weather states; empty for others",
        default=(),
    )
    weather_starts_per_h: tuple[float, ...] = told("starts an hour in each state of the weather likewise", default=())
    group: str = told("name of the interlock: of the loads that share one, one at most runs at a time", default="")
    priority: int = told("1 is kept longest by an energy management", default=5)
    managed_by: str = told("name of the energy management that limits it", default="")
    continuous: bool = told("runs three hours or more at a time", default=False)
    voltage_V: float = told("nominal voltage of the load", default=240.0)
    remark: str = told("what a reader should know: what was taken, and what is weak", default="")
    citation: Citation = told("where starts and run length come from")

    @property
    def mean_current_A(self) -> float:
        """Mean current while it runs [A]."""
        return sum(amps * share for amps, share in self.levels)

    @property
    def starts_per_day(self) -> float:
        """Starts in a mean day; 0 for a load that is always on."""
        return 0.0 if self.always_on else sum(self.starts_per_h)

    def __str__(self) -> str:
        """Short form for a table cell."""
        return self.id
