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
    terminal_blocks: Counted = (),
    isolated_grounds: bool = False,
) -> float:
    """Volume that everything in a box takes [in3].

    entering: conductors that end or are spliced in the box. grounds: equipment grounding conductors. devices: pairs
    (largest size on the device, gangs it needs), one for each yoke. internal_clamps: any clamp with its working part
    in the box. fittings: kinds of support fittings (stud, hickey). looped: conductors that pass unspliced with a
    loop of 12 in or more. terminal_blocks: assemblies by the largest size on each, counted from 2023.
    isolated_grounds: a further set of them, one more
    allowance up to 2017. Pigtails and jumpers that do not leave the box are not counted.
    """
    check_edition(edition)
    in_range("fittings", fittings, low=0, high=2)
    for pairs in (entering, grounds, looped, devices, terminal_blocks):
        for _, count in pairs:
            in_range("count", count, low=0, high=1000)
    total = sum(conductor_volume_in3(size) * count for size, count in entering)
    total += sum(2 * conductor_volume_in3(size) * count for size, count in looped)
    total += sum(2 * gangs * conductor_volume_in3(size) for size, gangs in devices)
    grounding = sum(count for _, count in grounds)
    if grounding:
        largest_ground_in3 = max(conductor_volume_in3(size) for size, count in grounds if count)
        further = float(isolated_grounds and edition < 2020)
        total += (grounding_allowances(grounding, edition) + further) * largest_ground_in3
    if edition >= 2023:
        total += sum(conductor_volume_in3(size) * count for size, count in terminal_blocks)
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


@rule("least inside depth of a box", source="NFPA 70", locator="314.24", accuracy="published")
def least_depth_in(size_AWG: int, *, device: bool, projects_in: float = 0.0, wired_at_rear: bool = False) -> float:
    """Least inside depth [in] of a box: without a device, or with one that conductors of 14 to 4 AWG supply.

    projects_in: how far the device reaches behind its mounting plane [in], >= 0; a deep one needs its depth and some
    clearance. Raises RangeError for another size.
    """
    in_range("projects_in", projects_in, low=0, high=12)
    if not device:
        return _depth_row("BD-NODEV")
    if size_AWG in (8, 6, 4):
        least_in = _depth_row("BD-864")
    elif size_AWG in (12, 10):
        least_in = _depth_row("BD-12-10")
    elif size_AWG in (14, 16, 18):
        least_in = _depth_row("BD-FLUSH")
    else:
        raise RangeError(f"size_AWG must be one of 18, 16, 14, 12, 10, 8, 6, 4, got {size_AWG!r}")
    deep_in = 1.0 if size_AWG in (12, 10) else 1.875
    if projects_in > deep_in + EPS:
        clearance_in = _depth_row("BD-REAR" if wired_at_rear and size_AWG in (12, 10) else "BD-PROJ1")
        least_in = max(least_in, projects_in + clearance_in)
    return least_in


@rule("set-back of the front edge of a box", source="NFPA 70", locator="314.20", accuracy="published")
def set_back_allowed(set_back_in: float, *, combustible: bool) -> bool:
    """Whether the front edge may lie this far [in, >= 0] behind the finish: 1/4 in, none in a combustible one."""
    most_in = _depth_row("BD-SETBACK-COMB" if combustible else "BD-SETBACK")
    return in_range("set_back_in", set_back_in, low=0, high=12) <= most_in + EPS


def _depth_row(rule_id: str) -> float:
    return table("layout/box_depth_clearance").one(rule_id=rule_id).number("value_in")


@rule("whether a box fits inside its boot", source="trade rule", locator="sizes compared", accuracy="common practice")
def fits_boot(
    box_width_in: float, box_depth_in: float, boot_width_in: float, boot_depth_in: float, room_in: float
) -> bool:
    """Whether a box [outside, in] fits into a membrane boot [inside, in] with room behind and on both sides, all > 0.

    room_in: the room wanted, >= 0. Equality fits.
    """
    in_range("room_in", room_in, low=0, high=12)
    wide = (
        in_range("box_width_in", box_width_in, above=0) + 2 * room_in
        <= in_range("boot_width_in", boot_width_in, above=0) + EPS
    )
    deep = (
        in_range("box_depth_in", box_depth_in, above=0) + room_in
        <= in_range("boot_depth_in", boot_depth_in, above=0) + EPS
    )
    return wide and deep


@rule("seals of a boot", source="trade rule", locator="one a cable and one at the flange", accuracy="common practice")
def boot_seals(cable_entries: int) -> int:
    """Seals that a boot takes: one round each cable that enters, >= 0, and one at its flange."""
    return int(in_range("cable_entries", cable_entries, low=0, high=100)) + 1


@rule("opening in the finish for a box", source="NFPA 70", locator="314.21", accuracy="published")
def cut_in(outside_in: float) -> float:
    """Width or height [in] to cut for a box of this outside size [in], > 0, with the gap allowed on both sides."""
    gap_in = _depth_row("BD-GAP")
    return in_range("outside_in", outside_in, above=0, high=48) + 2 * gap_in
