"""Smoke and carbon-monoxide alarms: in bedrooms, outside sleeping areas, on every level. At inside walls, no hole."""

from __future__ import annotations

import math
from collections.abc import Sequence

from hpelec.core.citing import cite
from hpelec.core.findings import Verdict
from hpelec.core.working import line as working_line
from hpelec.house.rows import Room
from hpelec.steps.devices import rules_alarms
from hpelec.steps.devices.draft import CLEAR_FT, Draft, Mark, Wiring, at_wall, best_place, distance_ft, spread
from hpelec.steps.devices.spans import Spans, without
from hpelec.steps.devices.walls import DOORS, HALF_BOX_FT, Place, WallLine, opening_arc

INTERCONNECTED = Wiring(conductors=6, shapes=("round_octagonal", "square"), yokes=())
"""Two three-wire cables: what comes, and what goes on to the next alarm."""
NO_WAY_OUT = ("closet", "bathroom", "pantry", "bedroom")
NEAR_STAIRS = ("stair", "hallway", "foyer", "living", "family", "recreation", "basement_unfinished", "utility")
"""Where the alarm of a level without bedrooms stands, in order of preference."""
NO_SOURCE = "nothing burns fuel, no garage opens inside"
COOKING = ("range", "cooktop", "wall_oven")


def alarms(draft: Draft) -> None:
    """Alarms where a dwelling needs them, beside those that the user has placed."""
    if not draft.house.device_wishes.alarms:
        draft.assume("devices, alarms", "alarms are not placed by the tool", "alarms = no in [devices]")
        return
    bedrooms = [r for r in draft.rooms if r.kind == "bedroom"]
    areas = sleeping_areas(draft, bedrooms)
    carbon = rules_alarms.carbon_monoxide_needed(draft.house.device_wishes.fuel_burning, garage_opens(draft))
    for room in bedrooms:
        _alarm(draft, room, "smoke alarm", None)
    outside = "smoke and carbon-monoxide alarm" if carbon else "smoke alarm"
    for room_id, doors in areas.items():
        _alarm(draft, draft.room_by_id[room_id], outside, doors)
    further = further_levels(draft, bedrooms, areas)
    for room in further:
        _alarm(draft, room, "smoke alarm", None)
    _tell(draft, bedrooms, areas, further, carbon=carbon)


def sleeping_areas(draft: Draft, bedrooms: Sequence[Room]) -> dict[str, list[float]]:
    """Rooms into which doors of bedrooms open, each with where those doors are on its wall line."""
    found: dict[str, list[float]] = {}
    for room in draft.rooms:
        if room.kind in NO_WAY_OUT or not room.inside_air_barrier:
            continue
        line = draft.lines[room.id]
        names = {b.id for b in bedrooms}
        for cut in line.openings:
            middle = sum(opening_arc(cut)) / 2
            if cut.opening.kind in DOORS and line.place(middle).part.behind in names:
                found.setdefault(room.id, []).append(middle)
    return found


def garage_opens(draft: Draft) -> bool:
    """Whether a door leads from an attached garage into the dwelling."""
    for room in draft.rooms:
        line = draft.lines[room.id]
        for cut in line.openings if room.inside_air_barrier else ():
            behind = line.place(sum(opening_arc(cut)) / 2).part.behind
            if cut.opening.kind in DOORS and behind and draft.room_by_id[behind].kind == "garage":
                return True
    return False


def further_levels(draft: Draft, bedrooms: Sequence[Room], areas: dict[str, list[float]]) -> list[Room]:
    """A room on each level of the dwelling that has no alarm yet; the one nearest to the stair by kind."""
    have = {r.level for r in bedrooms} | {draft.room_by_id[a].level for a in areas}
    found = []
    for level in sorted({r.level for r in draft.rooms if r.inside_air_barrier} - have):
        here = [r for r in draft.rooms if r.level == level and r.inside_air_barrier and r.kind not in NO_WAY_OUT]
        rank = {kind: i for i, kind in enumerate(NEAR_STAIRS)}
        here.sort(key=lambda r: (rank.get(r.kind, len(rank)), r.id))
        found += here[:1]
    return found


def _alarm(draft: Draft, room: Room, what: str, doors: list[float] | None) -> None:
    if draft.pins(room, "alarm"):
        return
    line = draft.lines[room.id]
    height_in = draft.levels[room.level].ceiling_height_ft * 12 - rules_alarms.limit("below_ceiling_taken")
    spans = _clear_of_bathrooms(
        draft, line, line.free(height_in, (), CLEAR_FT) or line.free(height_in, (), HALF_BOX_FT)
    )
    spans = spans or line.edge_spans()
    if doors:
        place = best_place(line, spans, _middle(line, doors), farthest_ft=line.length_ft)
    else:
        place = spread(line, spans, 1)[0]
    mark = at_wall(
        room, place, kind="alarm", letter="D", height_in=height_in, citation=cite(rules_alarms.smoke_alarms),
        wiring=INTERCONNECTED, what=what,
    )  # fmt: skip
    draft.marks.append(mark)
    _check_bathroom(draft, line, place, mark)


def _middle(line: WallLine, doors: list[float]) -> float:
    """The door that is nearest to all others, round the room."""

    def away(a: float) -> float:
        return sum(min(abs(a - b), line.length_ft - abs(a - b)) for b in doors)

    return min(sorted(doors), key=lambda a: (round(away(a), 6), a))


def _bathroom_doors(draft: Draft, line: WallLine) -> list[tuple[float, float]]:
    found = []
    for cut in line.openings:
        low, high = opening_arc(cut)
        behind = line.place((low + high) / 2).part.behind
        if cut.opening.kind in DOORS and behind and draft.room_by_id[behind].kind == "bathroom":
            found.append((low, high))
    return found


def _clear_of_bathrooms(draft: Draft, line: WallLine, spans: Spans) -> Spans:
    clear_ft = rules_alarms.limit("bathroom_door")
    clear = without(spans, [(a - clear_ft, b + clear_ft) for a, b in _bathroom_doors(draft, line)])
    return clear or spans


def _check_bathroom(draft: Draft, line: WallLine, place: Place, mark: Mark) -> None:
    """Straight distance on the plan to the nearest edge of a bathroom door."""
    ends = [line.corner_at(a) for span in _bathroom_doors(draft, line) for a in span]
    away_ft = min((math.dist((place.x_ft, place.y_ft), end) for end in ends), default=math.inf)
    if not math.isfinite(away_ft):
        return
    good = rules_alarms.clear_of_bathroom(away_ft)
    draft.told(
        "alarm-bathroom", mark.room.id, "a smoke alarm is 3 ft or more from a bathroom door", f"{away_ft:.1f} ft",
        "3 ft, unless a required place would have none", Verdict.MEETS if good else Verdict.CANNOT_SAY,
        cite(rules_alarms.clear_of_bathroom), "move it where the room allows; ask the local authority",
    )  # fmt: skip


def _tell(
    draft: Draft, bedrooms: Sequence[Room], areas: dict[str, list[float]], further: Sequence[Room], *, carbon: bool
) -> None:
    needed = rules_alarms.smoke_alarms(len(bedrooms), len(areas), len(further))
    placed = [m for m in draft.marks if m.kind == "alarm"]
    citation = cite(rules_alarms.smoke_alarms)
    told = f"{len(bedrooms)} bedrooms + {len(areas)} sleeping areas + {len(further)} further levels"
    draft.working.append(working_line("smoke alarms", told, needed, "", citation))
    draft.told(
        "smoke-alarms", "house", "bedrooms, sleeping areas and every level have a smoke alarm",
        f"{len(placed)} placed", f"at least {needed}", Verdict.MEETS if len(placed) >= needed else Verdict.MISSES,
        citation,
    )  # fmt: skip
    lost = [b.id for b in bedrooms if not _has_way_out(draft, b, areas)]
    if lost:
        draft.told(
            "smoke-alarm-area", ", ".join(lost), "outside each sleeping area there is an alarm",
            "no door from it to a hall or living room is drawn", "", Verdict.CANNOT_SAY, citation, "draw its door",
        )  # fmt: skip
    reasons = ["an attached garage opens into the dwelling"] if garage_opens(draft) else []
    reasons += ["something burns fuel"] if draft.house.device_wishes.fuel_burning else []
    draft.told(
        "carbon-monoxide", "house", "carbon-monoxide alarms outside sleeping areas where they are needed",
        f"{'needed' if carbon else 'not needed'}: {' and '.join(reasons) or NO_SOURCE}",
        "fuel-burning appliance, or attached garage with an opening",
        Verdict.MEETS if areas or not carbon else Verdict.CANNOT_SAY, cite(rules_alarms.carbon_monoxide_needed),
        "draw the bedrooms and their doors",
    )  # fmt: skip
    below_in = rules_alarms.limit("below_ceiling_taken")
    if rules_alarms.wall_alarm_height_allowed(below_in):
        draft.assume(
            "devices, alarms",
            f"at inside walls, {below_in:g} in below the ceiling, photoelectric, wired and interconnected",
            "no hole in an insulated ceiling; follow the maker's paper where it says otherwise",
        )
    _cooking(draft, placed)


def _has_way_out(draft: Draft, room: Room, areas: dict[str, list[float]]) -> bool:
    line = draft.lines[room.id]
    doors = [cut for cut in line.openings if cut.opening.kind in DOORS]
    return any(line.place(sum(opening_arc(cut)) / 2).part.behind in areas for cut in doors)


def _cooking(draft: Draft, placed: Sequence[Mark]) -> None:
    """Straight distance on the plan from each alarm to fixed cooking on its level."""
    kinds = {a.id: a.kind for a in draft.house.appliances}
    cookers = [m for m in draft.marks if kinds.get(m.serves) in COOKING]
    near = [(distance_ft(a, c), a) for a in placed for c in cookers if a.level == c.level]
    if not near:
        return
    away_ft, mark = min(near, key=lambda n: (round(n[0], 6), n[1].room.id))
    good = rules_alarms.clear_of_cooking(away_ft)
    draft.told(
        "alarm-cooking", mark.room.id, "a smoke alarm is clear of fixed cooking", f"{away_ft:.1f} ft to the nearest",
        "6 ft, photoelectric", Verdict.MEETS if good else Verdict.MISSES, cite(rules_alarms.clear_of_cooking),
        "move the alarm farther from the kitchen",
    )  # fmt: skip
