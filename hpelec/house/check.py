"""Checks across tables: do the ids exist, do rooms and openings fit. Used after reading and after every edit."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from shapely import STRtree
from shapely.geometry import Polygon, box

from hpelec.core.errors import InputProblem, nearest
from hpelec.house.check_loads import check_loads
from hpelec.house.check_walls import gaps, own_walls, said_twice, straddling
from hpelec.house.columns import columns_of
from hpelec.house.geometry import TOLERANCE_FT, CutOpening, Point, edge_of, edges, openings_of, outline, south_west
from hpelec.house.model import TABLES, House
from hpelec.house.rows import Opening, Room
from hpelec.house.rows_loads import DUTY_KINDS
from hpelec.house.sections_power import BUILD_STAGES
from hpelec.house.sketches import polygons, sketch, sketched

Lines = Mapping[str, Mapping[str, int | None]]
"""Attribute of House -> id -> line in its file, where known."""


def check(house: House, lines: Lines | None = None, incomplete: frozenset[str] = frozenset()) -> list[InputProblem]:
    """Every problem between the tables of a house; an empty list when it fits together.

    incomplete: parts of which rows may be missing; nothing is said of an id that is not found in one of them.
    """
    at = lines or {}
    good_rooms, room_problems = _room_shapes(house, at)
    whole = house.changed(rooms=tuple(good_rooms))
    problems = [
        *_references(house, at, incomplete),
        *([] if "levels" in incomplete else _level_words(house)),
        *([] if "panels" in incomplete else [*_feeds(house, at), *_tandems(house, at)]),
        *_site_stages(house, at),
        *_duty_cycles(house, at),
        *_wishes(house, at),
        *check_loads(house, at, incomplete),
        *([] if "service_site" in incomplete else _bends(house)),
        *_uses(house, at, incomplete),
        *room_problems,
        *_overlaps(whole, at),
        *gaps(whole, at),
        *_on_walls(whole, at),
        *own_walls(whole, at, whole_plan=good_rooms == list(house.rooms) and "rooms" not in incomplete),
        *_in_rooms(whole, at),
    ]
    return [sketched(house, whole, problem) for problem in problems]


def _line(at: Lines, part: str, name: str) -> int | None:
    return at.get(part, {}).get(name)


def _problem(
    at: Lines, part: str, name: str, column: str, value: str, said: str, allowed: str = "", suggestion: str = ""
) -> InputProblem:
    file = f"{TABLES[part][0]}.csv" if part in TABLES else "house.toml"
    return InputProblem(file, _line(at, part, name), column, value, f"{name}: {said}", allowed, suggestion, name)


def _references(house: House, at: Lines, incomplete: frozenset[str]) -> Iterable[InputProblem]:
    by_file = {file: attribute for attribute, (file, _) in TABLES.items()} | {
        "levels": "levels",
        "assemblies": "assemblies",
        "buildings": "buildings",
    }
    for attribute, (_, record) in TABLES.items():
        for column in (c for c in columns_of(record) if c.refers and by_file[c.refers] not in incomplete):
            known = [r.id for r in getattr(house, by_file[column.refers])]
            for row in getattr(house, attribute):
                value = getattr(row, column.name)
                if value in known or (value == "" and not column.required):
                    continue
                yield _problem(
                    at,
                    attribute,
                    row.id,
                    column.name,
                    value,
                    f"no such id in {column.refers}",
                    ", ".join(known[:12]) or f"add a row to {column.refers}",
                    nearest(value, known),
                )


def _level_words(house: House) -> Iterable[InputProblem]:
    spaces = [s.id for s in house.spaces]
    for level in house.levels:
        for column, word in (("below", "ground"), ("above", "roof")):
            value = getattr(level, column)
            if value not in (*spaces, "level", word):
                allowed = ", ".join([*spaces, "level", word])
                yield InputProblem(
                    "house.toml",
                    None,
                    f"levels.{column}",
                    value,
                    f"{level.id}: no such space",
                    allowed,
                    nearest(value, [*spaces, "level", word]),
                )


def _feeds(house: House, at: Lines) -> Iterable[InputProblem]:
    """Every panel is fed from the service, directly or through others."""
    feeds = {p.id: p.fed_from for p in house.panels}
    for panel in house.panels:
        known = ["service", *(p.id for p in house.panels if p.id != panel.id)]
        source, seen = panel.fed_from, {panel.id}
        while source in feeds and source not in seen:
            seen.add(source)
            source = feeds[source]
        if source == panel.id and panel.fed_from != panel.id:
            yield _problem(
                at, "panels", panel.id, "fed_from", panel.fed_from, "feeds itself by way of others", "service"
            )
        if panel.fed_from not in known:
            yield _problem(
                at,
                "panels",
                panel.id,
                "fed_from",
                panel.fed_from,
                "no such feed",
                ", ".join(known),
                nearest(panel.fed_from, known),
            )


def _tandems(house: House, at: Lines) -> Iterable[InputProblem]:
    """No panel takes tandem breakers in more spaces than it has."""
    for panel in house.panels:
        if panel.tandem_spaces > panel.spaces:
            said, allowed = "more spaces for tandem breakers than spaces", f"at most {panel.spaces}, its `spaces`"
            yield _problem(at, "panels", panel.id, "tandem_spaces", str(panel.tandem_spaces), said, allowed)


def _site_stages(house: House, at: Lines) -> Iterable[InputProblem]:
    """A load of the building site does not end before it begins."""
    for load in house.site_loads:
        later = BUILD_STAGES[BUILD_STAGES.index(load.from_stage) :]
        if load.to_stage not in later:
            said = f"not before its first stage, {load.from_stage}"
            yield _problem(at, "site_loads", load.id, "to_stage", load.to_stage, said, ", ".join(later))


def _duty_cycles(house: House, at: Lines) -> Iterable[InputProblem]:
    """A duty cycle belongs to a welder or a kiln; elsewhere it would be read as a factor that no rule knows."""
    for row in house.appliances:
        if row.duty_percent is not None and row.kind not in DUTY_KINDS:
            said = f"a duty cycle is not used for a {row.kind}"
            allowed = f"blank, or kind {' or '.join(DUTY_KINDS)}"
            yield _problem(at, "appliances", row.id, "duty_percent", f"{row.duty_percent:g}", said, allowed)


def _bends(house: House) -> Iterable[InputProblem]:
    """Places of the lateral's bends, where given: one for each bend, in order, within its length."""
    site = house.service_site
    at, length_ft = site.bends_at_ft, site.lateral_length_ft
    if not at:
        return
    said = ""
    if len(at) != len(site.bends_deg):
        said, allowed = f"{len(at)} places for {len(site.bends_deg)} bends", "one place for each of bends_deg, or none"
    elif list(at) != sorted(at):
        said, allowed = "the places are not in order", "rising, from the transformer"
    elif at[-1] > length_ft:
        said, allowed = "a bend lies beyond the end of the lateral", f"<= {length_ft:g} (lateral_length_ft)"
    if said:
        told = ", ".join(f"{a:g}" for a in at)
        yield InputProblem("house.toml", None, "service.bends_at_ft", told, said, allowed)


USED = {"appliance": "appliances", "heater": "heaters", "point": "draw_points"}
MIN_PER_DAY = 1440.0


def _uses(house: House, at: Lines, incomplete: frozenset[str]) -> Iterable[InputProblem]:
    """A row of use.csv speaks of a load that is there, and its runs fit into a day."""
    for row in house.uses:
        part = USED[row.of]
        known = [r.id for r in getattr(house, part)]
        if row.id not in known and part not in incomplete:
            said = f"no such id in {TABLES[part][0]}"
            allowed = ", ".join(known[:12]) or f"add a row to {TABLES[part][0]}"
            yield _problem(at, "uses", row.id, "id", row.id, said, allowed, nearest(row.id, known))
        if row.starts_per_day is not None and row.run_min is not None:
            minutes = row.starts_per_day * row.run_min
            if minutes > MIN_PER_DAY * (1 + 1e-9):
                allowed = f"<= {MIN_PER_DAY / row.run_min:g} runs of {row.run_min:g} min"
                said = f"the runs of a day take {minutes:g} min"
                yield _problem(at, "uses", row.id, "starts_per_day", f"{row.starts_per_day:g}", said, allowed)


def _wishes(house: House, at: Lines) -> Iterable[InputProblem]:
    """A wish is for a wall receptacle of a room with wall spaces, and names no circuit: it may not be met."""
    for row in house.placed_devices:
        if row.firm:
            continue
        if row.kind != "receptacle":
            said = f"a {row.kind} cannot be a wish"
            yield _problem(at, "placed_devices", row.id, "firm", "no", said, "yes, or kind receptacle")
        elif row.circuit:
            said = "a wish has no circuit of its own"
            yield _problem(at, "placed_devices", row.id, "circuit", row.circuit, said, "blank, or firm = yes")


def _room_shapes(house: House, at: Lines) -> tuple[list[Room], list[InputProblem]]:
    good, problems = [], []
    for room in house.rooms:
        given = [n for n in ("x_ft", "y_ft", "width_ft", "depth_ft") if getattr(room, n) is not None]
        if room.outline_ft and given:
            problems.append(
                _problem(
                    at, "rooms", room.id, "outline_ft", "", "has both a rectangle and an outline", "one of the two"
                )
            )
        elif not room.outline_ft and len(given) < 4:
            missing = [n for n in ("x_ft", "y_ft", "width_ft", "depth_ft") if n not in given]
            problems.append(
                _problem(
                    at,
                    "rooms",
                    room.id,
                    missing[0],
                    "",
                    "the rectangle is not complete",
                    "x_ft, y_ft, width_ft and depth_ft, or outline_ft",
                )
            )
        elif any(math.dist(a, b) <= TOLERANCE_FT for a, b in _sides(room)):
            said = "two corners in a row are the same place (the last corner is not the first again)"
            problems.append(_problem(at, "rooms", room.id, "outline_ft", "", said, "each corner once"))
        elif not Polygon(outline(room)).is_valid or Polygon(outline(room)).area < 1e-3:
            problems.append(
                _problem(
                    at,
                    "rooms",
                    room.id,
                    "outline_ft",
                    "",
                    "the outline crosses itself or has no area",
                    "corners in order round the room",
                )
            )
        else:
            good.append(room)
    return good, problems


def _sides(room: Room) -> Iterable[tuple[Point, Point]]:
    corners = outline(room)
    return zip(corners, corners[1:] + corners[:1], strict=True)


def _overlaps(house: House, at: Lines) -> Iterable[InputProblem]:
    for level in dict.fromkeys(r.level for r in house.rooms):
        rooms = [r for r in house.rooms if r.level == level]
        shapes = [Polygon(outline(r)) for r in rooms]
        tree = STRtree(shapes)
        for i, shape in enumerate(shapes):
            for j in tree.query(shape):
                common = shape.intersection(shapes[int(j)]) if j > i else Polygon()
                if (area := common.area) > 1e-3:
                    other = rooms[int(j)].id
                    told = _problem(
                        at,
                        "rooms",
                        rooms[i].id,
                        "outline_ft",
                        "",
                        f"overlaps room {other} by {area:.2f} ft2",
                        "rooms of a level side by side",
                    )
                    marks = [("both rooms", part.exterior.coords[:-1]) for part in polygons(common)]
                    yield replace(told, sketch=sketch(house, level, marks))


def _on_walls(house: House, at: Lines) -> Iterable[InputProblem]:
    rooms = {r.id: r for r in house.rooms}
    for part in ("openings", "fixed", "furniture", "placed_devices", "panels"):
        for row in getattr(house, part):
            if row.room in rooms and (part != "fixed" or row.side):
                yield from _one_on_wall(rooms[row.room], part, row, at)
    yield from _crossing_openings(house, rooms, at)
    yield from straddling(house, at)


def _one_on_wall(room: Room, part: str, row: Any, at: Lines) -> Iterable[InputProblem]:
    sides = [e.side for e in edges(room)]
    edge = edge_of(room, row.side)
    if edge is None:
        yield _problem(
            at,
            part,
            row.id,
            "side",
            row.side,
            f"room {room.id} has no such wall",
            ", ".join(sides),
            nearest(row.side, sides),
        )
        return
    width = getattr(row, "width_ft", 0.0)
    if width > edge.length_ft + TOLERANCE_FT:
        yield _problem(
            at,
            part,
            row.id,
            "width_ft",
            f"{width:g}",
            f"wider than the wall ({edge.length_ft:g} ft)",
            f"<= {edge.length_ft:g}",
        )
    elif row.offset_ft + width > edge.length_ft + TOLERANCE_FT:
        yield _problem(
            at,
            part,
            row.id,
            "offset_ft",
            f"{row.offset_ft:g}",
            "reaches beyond the end of the wall",
            f"<= {edge.length_ft - width:g}",
        )


def _crossing_openings(house: House, rooms: Mapping[str, Room], at: Lines) -> Iterable[InputProblem]:
    """Two openings at one place of a wall, also when each of the two rooms beside the wall names one."""
    placed = [o for o in house.openings if o.room in rooms and not list(_one_on_wall(rooms[o.room], "openings", o, at))]
    order = {o.id: n for n, o in enumerate(placed)}
    fitting = house.changed(openings=tuple(placed))
    told: set[frozenset[str]] = set()
    for room in rooms.values():
        for pair in _collisions(openings_of(fitting, room)):
            first, second = sorted(pair, key=lambda o: order[o.id])
            if frozenset((first.id, second.id)) not in told:
                told.add(frozenset((first.id, second.id)))
                yield _collision(first, second, at)


def _collisions(cuts: Iterable[CutOpening]) -> Iterable[tuple[Opening, Opening]]:
    """Pairs of openings that take the same stretch and height of one edge."""
    open_now: list[CutOpening] = []
    for cut in sorted(cuts, key=lambda c: (c.edge.side, c.start_ft)):
        open_now = [c for c in open_now if c.edge.side == cut.edge.side and c.end_ft > cut.start_ft + TOLERANCE_FT]
        for other in open_now:
            low, high = sorted((cut.opening, other.opening), key=lambda o: o.sill_ft)
            if low.sill_ft + low.height_ft > high.sill_ft + TOLERANCE_FT:
                yield other.opening, cut.opening
        open_now.append(cut)


def _collision(first: Opening, second: Opening, at: Lines) -> InputProblem:
    if (first.room, first.side) == (second.room, second.side):
        said = f"overlaps {first.id} in the {second.side} wall of {second.room}"
        allowed = f">= {first.offset_ft + first.width_ft:g}, or before it"
    else:
        said = said_twice(first, second)
        allowed = "an opening between two rooms stands in one of them only"
    return _problem(at, "openings", second.id, "offset_ft", f"{second.offset_ft:g}", said, allowed)


def _in_rooms(house: House, at: Lines) -> Iterable[InputProblem]:
    """What stands free on the floor or hangs from the ceiling lies within the room's outline."""
    rooms = {r.id: r for r in house.rooms}
    for part in ("lights", "fans", "sprinklers"):
        for row in getattr(house, part):
            if row.room in rooms:
                yield from _within(rooms[row.room], part, row, at, (row.x_offset_ft, row.y_offset_ft))
    for item in house.fixed:
        if item.room in rooms and not item.side:
            size = (item.width_ft, item.depth_ft)
            yield from _within(rooms[item.room], "fixed", item, at, (item.offset_ft, item.y_offset_ft), size)


def _within(
    room: Room, part: str, row: Any, at: Lines, offset_ft: Point, size_ft: Point = (0.0, 0.0)
) -> Iterable[InputProblem]:
    x, y = south_west(room)
    xs, ys = zip(*outline(room), strict=True)
    wide, deep = max(xs) - x - size_ft[0], max(ys) - y - size_ft[1]
    spot = box(x + offset_ft[0], y + offset_ft[1], x + offset_ft[0] + size_ft[0], y + offset_ft[1] + size_ft[1])
    if not Polygon(outline(room)).buffer(10 * TOLERANCE_FT).covers(spot):
        yield _problem(
            at,
            part,
            row.id,
            "offset_ft" if part == "fixed" else "x_offset_ft",
            f"{offset_ft[0]:g}, {offset_ft[1]:g}",
            f"outside room {room.id}",
            f"x 0 to {wide:g}, y 0 to {deep:g}" + (", within its outline" if room.outline_ft else ""),
        )
