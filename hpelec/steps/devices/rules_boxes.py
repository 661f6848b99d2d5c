"""Box fill: what conductors and devices take of a box, and whether a box fits in front of the membrane."""

from __future__ import annotations

from collections.abc import Sequence

from hpelec.core.citing import rule
from hpelec.core.editions import check_edition
from hpelec.core.errors import RangeError, TableError, in_range
from hpelec.core.tables import table

Counted = Sequence[Sequence[int]]
"""Pairs (size in AWG, how many)."""
EPS = 1e-9


@rule("volume that one conductor takes", source="NFPA 70", locator="Table 314.16(B)", accuracy="published")
def conductor_volume_in3(size_AWG: int) -> float:
    """Volume allowed for one conductor of 18 to 6 AWG [in3]. Raises RangeError for another size."""
    try:
        return table("layout/conductor_volumes").one(awg=str(size_AWG)).number("volume_in3")
    except TableError as error:
        raise RangeError(f"size_AWG must be one of 18, 16, 14, 12, 10, 8, 6, got {size_AWG!r}") from error


@rule("what equipment grounding conductors take", source="NFPA 70", locator="314.16(B)(5)", accuracy="published")
def grounding_allowances(count: int, edition: int) -> float:
    """Allowances for `count` >= 0 equipment grounding conductors together, each of the largest one's volume.

    2017: one for all. From 2020: one for up to four, a quarter for each further.
    """
    in_range("count", count, low=0, high=1000)
    if count == 0:
        return 0.0
    return 1.0 if check_edition(edition) < 2020 else 1.0 + 0.25 * max(0, count - 4)


@rule("box fill", source="NFPA 70", locator="314.16(B)", accuracy="published")
def box_fill_in3(
    entering: Counted,
    grounds: Counted,
    devices: Counted,
    edition: int,
    *,
    internal_clamps: bool = False,
    fittings: int = 0,
    looped: Counted = (),
) -> float:
    """Volume that everything in a box takes [in3].

    entering: conductors that end or are spliced in the box. grounds: equipment grounding conductors. devices: pairs
    (largest size on the device, gangs it needs), one for each yoke. internal_clamps: any clamp with its working part
    in the box. fittings: kinds of support fittings (stud, hickey). looped: conductors that pass unspliced with a
    loop of 12 in or more. Pigtails and jumpers that do not leave the box are not counted.
    """
    check_edition(edition)
    in_range("fittings", fittings, low=0, high=2)
    for pairs in (entering, grounds, looped, devices):
        for _, count in pairs:
            in_range("count", count, low=0, high=1000)
    total = sum(conductor_volume_in3(size) * count for size, count in entering)
    total += sum(2 * conductor_volume_in3(size) * count for size, count in looped)
    total += sum(2 * gangs * conductor_volume_in3(size) for size, gangs in devices)
    grounding = sum(count for _, count in grounds)
    if grounding:
        largest_ground_in3 = max(conductor_volume_in3(size) for size, count in grounds if count)
        total += grounding_allowances(grounding, edition) * largest_ground_in3
    present = [size for size, count in (*entering, *grounds, *looped) if count]
    if present:
        total += (fittings + int(internal_clamps)) * max(conductor_volume_in3(size) for size in present)
    return total


@rule("whether a box holds its fill", source="NFPA 70", locator="314.16", accuracy="published")
def box_holds(volume_in3: float, fill_in3: float) -> bool:
    """Whether a box of this volume [in3], > 0, holds this fill [in3], >= 0; equal volumes do."""
    return in_range("fill_in3", fill_in3, low=0) <= in_range("volume_in3", volume_in3, above=0) + EPS


@rule("whether a box stays in front of the membrane", source="geometry", locator="depths added", accuracy="recomputed")
def box_fits_cavity(cavity_in: float, finish_in: float, box_outside_depth_in: float) -> bool:
    """Whether a box of this outside depth [in] stands wholly in a cavity and the finish before it [in], all >= 0."""
    room_in = in_range("cavity_in", cavity_in, low=0) + in_range("finish_in", finish_in, low=0)
    return in_range("box_outside_depth_in", box_outside_depth_in, above=0) <= room_in + EPS
