"""Pulling the conductors of the lateral: sections between pull points, tension both ways."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from hpelec.common import rules_conductors as conductors
from hpelec.house.sections_power import ServiceSite
from hpelec.steps.lateral import rules_pull as rules
from hpelec.steps.lateral.model import Pull, Raceway
from hpelec.steps.lateral.raceway import sizes_of
from hpelec.steps.lateral.told import Told, judged
from hpelec.steps.lateral.values import pulling, value, value_citation
from hpelec.steps.service.model import ConductorChoice

LEAST_PARTS, MOST_PARTS = 8, 60
"""Parts of a straight length between which a pull box may stand; a run that needs more boxes is no pull at all."""
EVENED = 8
"""Halvings by which the sections are brought to like tension."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A straight length [ft] or a bend [deg] of a run, and where it begins from the transformer [ft]."""

    start_ft: float
    length_ft: float = 0.0
    angle_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Cable:
    """What is pulled into one conduit, and through what."""

    weight_lb_per_ft: float
    mean_in: float
    bore_in: float
    count: int
    friction: float
    reel_lb: float
    radius_ft: float
    limit_lb: float

    @property
    def factor(self) -> float:
        """Weight correction factor."""
        return rules.weight_factor(self.mean_in, self.bore_in, self.count)

    def run(self, pieces: Sequence[Piece]) -> tuple[float, float | None]:
        """Tension [lb] at the end, and greatest pressure [lb/ft] in a bend."""
        tension, pressure = self.reel_lb, None
        for piece in pieces:
            if piece.angle_deg:
                tension = rules.after_bend_lb(tension, piece.angle_deg, self.friction, self.factor)
                here = rules.sidewall_lb_per_ft(tension, self.radius_ft, self.mean_in, self.bore_in, self.count)
                pressure = here if pressure is None else max(here, pressure)
            else:
                tension = rules.after_straight_lb(
                    tension, piece.length_ft, self.weight_lb_per_ft, self.friction, self.factor
                )
        return tension, pressure

    def can(self, pieces: Sequence[Piece], limit_lb: float | None = None) -> bool:
        """Whether one of the two ways stays within a tension [lb] (its own limit when None) and the pressure."""
        most_lb = self.limit_lb if limit_lb is None else limit_lb
        return any(self._holds(p, most_lb) for p in (pieces, pieces[::-1]))

    def _holds(self, pieces: Sequence[Piece], most_lb: float) -> bool:
        tension, pressure = self.run(pieces)
        return tension <= most_lb and (pressure or 0.0) <= pulling("sidewall_lb_per_ft")


def bend_places(site: ServiceSite) -> tuple[float, ...]:
    """Where the bends are [ft]: as given, else the first and last at the ends and the others evenly between.

    Given places that no longer fit (a what-if has shortened the run, or changed the number of bends) are left aside.
    """
    count, given = len(site.bends_deg), site.bends_at_ft
    if given and len(given) == count and given[-1] <= site.lateral_length_ft:
        return given
    if count == 1:
        return (site.lateral_length_ft,)
    return tuple(site.lateral_length_ft * i / (count - 1) for i in range(count))


def pieces_of(site: ServiceSite) -> list[Piece]:
    """The run as straight lengths and bends, from the transformer."""
    made, at = [], 0.0
    for place, angle in zip(bend_places(site), site.bends_deg, strict=True):
        if place > at:
            made.append(Piece(at, length_ft=place - at))
        if angle:
            made.append(Piece(place, angle_deg=angle))
        at = place
    if site.lateral_length_ft > at:
        made.append(Piece(at, length_ft=site.lateral_length_ft - at))
    return made


def cable_of(site: ServiceSite, row: ConductorChoice, conduit: Raceway) -> Cable:
    """The conductors of one set in their conduit."""
    sizes = sizes_of(row)
    areas = [conductors.area_cmil(s) for s in sizes]
    weights = [
        rules.weight_lb_per_ft(
            area,
            conductors.conductor_row(size, row.material).number("stranded_overall_diameter_in"),
            outside,
            row.material,
        )
        for size, area, outside in zip(sizes, areas, conduit.diameters_in, strict=True)
    ]
    return Cable(
        weight_lb_per_ft=sum(weights),
        mean_in=sum(conduit.diameters_in) / len(sizes),
        bore_in=conduit.bore_in,
        count=len(sizes),
        friction=site.pull_friction,
        reel_lb=site.reel_tension_lb,
        radius_ft=site.bend_radius_in / 12,
        limit_lb=min(rules.eye_limit_lb(areas, row.material), pulling("grip_lb")),
    )


def sections(pieces: Sequence[Piece], cable: Cable) -> list[list[Piece]]:
    """The run cut at pull boxes: as few sections as the limits and 360 degrees of bends allow, evenly loaded.

    Cut greedily from the transformer; then with the same number of cuts the greatest tension is brought down. Where
    no box can help (a bend too sharp for the tension off the reel), the section that is too hard stays as it is.
    """
    if sum(p.angle_deg for p in pieces) <= value("bends_deg") and cable.can(pieces):
        return [list(pieces)]
    parts = _parts(pieces, cable)
    made = _cut(parts, cable, cable.limit_lb)
    low_lb, high_lb = cable.reel_lb, cable.limit_lb
    for _ in range(EVENED):
        middle_lb = (low_lb + high_lb) / 2
        tried = _cut(parts, cable, middle_lb)
        if len(tried) <= len(made):
            made, high_lb = tried, middle_lb
        else:
            low_lb = middle_lb
    return made


def _cut(parts: Sequence[Piece], cable: Cable, limit_lb: float) -> list[list[Piece]]:
    most_deg = value("bends_deg")
    made: list[list[Piece]] = [[]]
    for piece in parts:
        tried = [*made[-1], piece]
        if made[-1] and (sum(p.angle_deg for p in tried) > most_deg or not cable.can(tried, limit_lb)):
            made.append([piece])
        else:
            made[-1] = tried
    return made


def _parts(pieces: Sequence[Piece], cable: Cable) -> list[Piece]:
    """The run with its straight lengths cut in equal parts, at whose ends a pull box may stand."""
    each_lb = cable.weight_lb_per_ft * cable.friction * cable.factor
    spare_lb = cable.limit_lb - cable.reel_lb
    made = []
    for piece in pieces:
        needed = math.ceil(piece.length_ft * each_lb / spare_lb) if spare_lb > 0 else 1
        count = min(max(LEAST_PARTS, 2 * needed), MOST_PARTS) if piece.length_ft else 1
        part_ft = piece.length_ft / count
        made += [Piece(piece.start_ft + i * part_ft, part_ft, piece.angle_deg) for i in range(count)]
    return made


def pulls(cut: Sequence[Sequence[Piece]], cable: Cable, end_ft: float) -> tuple[Pull, ...]:
    """Every section both ways."""
    made = []
    starts = [s[0].start_ft for s in cut]
    for number, (section, start, end) in enumerate(zip(cut, starts, [*starts[1:], end_ft], strict=True), 1):
        ways = [("to the meter", list(section)), ("to the transformer", list(section)[::-1])]
        found = [(name, *cable.run(way)) for name, way in ways]
        least = min(found, key=lambda f: f[1])[0]
        for name, tension, pressure in found:
            made.append(
                Pull(
                    section=number,
                    direction=name,
                    start_ft=start,
                    end_ft=end,
                    bends_deg=sum(p.angle_deg for p in section),
                    tension_lb=tension,
                    tension_limit_lb=cable.limit_lb,
                    sidewall_lb_per_ft=pressure,
                    sidewall_limit_lb_per_ft=pulling("sidewall_lb_per_ft"),
                    easier=name == least,
                )
            )
    return tuple(made)


def tell(told: Told, site: ServiceSite, cable: Cable, made: Sequence[Pull], boxes_ft: Sequence[float],
         findings: bool) -> None:  # fmt: skip
    """Working, assumptions and findings of the pull."""
    told.work("pull: weight of one set", "metal and covering", cable.weight_lb_per_ft, "lb/ft", rules.weight_lb_per_ft)
    told.work(
        "pull: weight correction factor", f"conductors {cable.mean_in:.3f} in a bore of {cable.bore_in:g}",
        cable.factor, "", rules.weight_factor,
    )  # fmt: skip
    told.work(
        "pull: straight run", f"{cable.weight_lb_per_ft:.4f} x {cable.friction:g} x {cable.factor:.4f}, a foot",
        cable.weight_lb_per_ft * cable.friction * cable.factor, "lb/ft", rules.after_straight_lb,
    )  # fmt: skip
    for pull in made:
        what = f"pull: section {pull.section} {pull.direction}"
        expression = f"{pull.end_ft - pull.start_ft:g} ft, bends of {pull.bends_deg:g} deg together"
        told.work(what, expression, pull.tension_lb, "lb", rules.after_bend_lb)
    told.assume(
        "pull",
        f"a level run, friction {site.pull_friction:g}, bends at "
        + (", ".join(f"{p:.0f} ft" for p in bend_places(site)) or "no place"),
        "the risers are short; friction is "
        f"{pulling('friction_dry'):g} dry and {pulling('friction_lubricated'):g} with lubricant by handbooks",
    )
    if findings:
        _find_bends(told, site, boxes_ft)
        _find_pull(told, site, pulls([pieces_of(site)], cable, site.lateral_length_ft), boxes_ft)


def _find_bends(told: Told, site: ServiceSite, boxes_ft: Sequence[float]) -> None:
    most = value("bends_deg")
    total = sum(site.bends_deg)
    told.find(
        "lateral-bends",
        "lateral conduit",
        "bends between pull points are a full circle at most",
        f"{total:g} deg from the transformer to the meter",
        f"<= {most:g} deg",
        f"{_boxes(boxes_ft)}, or a run with fewer bends",
        judged(total <= most + 1e-9),
        value_citation("bends_deg"),
    )


def _boxes(boxes_ft: Sequence[float]) -> str:
    """Where pull boxes help, as one text."""
    if not boxes_ft:
        return "a larger conduit"
    return ("pull box at " if len(boxes_ft) == 1 else "pull boxes at ") + ", ".join(f"{b:.0f} ft" for b in boxes_ft)


def _find_pull(told: Told, site: ServiceSite, made: Sequence[Pull], boxes_ft: Sequence[float]) -> None:
    """What one pull of the whole run asks of the conductors, the easier way; the utility pulls what it owns."""
    theirs = site.lateral_owner == "utility"
    easier = [p for p in made if p.easier]
    worst = max(easier, key=lambda p: p.tension_lb / p.tension_limit_lb)
    told.find(
        "lateral-tension",
        "lateral conduit",
        "tension of one pull of the whole run, the easier way, is within what conductors and grip stand",
        f"{worst.tension_lb:.0f} lb pulled {worst.direction}",
        f"<= {worst.tension_limit_lb:.0f} lb (by memory: ask the maker)",
        f"{_boxes(boxes_ft)}, lubricant, or fewer bends",
        judged(worst.tension_lb <= worst.tension_limit_lb, theirs),
        rules.eye_limit_lb,
    )
    bent = [p for p in easier if p.sidewall_lb_per_ft is not None]
    if bent:
        hardest = max(bent, key=lambda p: p.sidewall_lb_per_ft or 0.0)
        pressure = hardest.sidewall_lb_per_ft or 0.0
        told.find(
            "lateral-sidewall",
            "lateral conduit",
            "pressure on the inside of its bends is within what conductors stand",
            f"{pressure:.0f} lb/ft pulled {hardest.direction}",
            f"<= {hardest.sidewall_limit_lb_per_ft:.0f} lb/ft (by memory: ask the maker)",
            f"a larger radius of bend, lubricant, or {_boxes(boxes_ft)}",
            judged(pressure <= hardest.sidewall_limit_lb_per_ft, theirs),
            rules.sidewall_lb_per_ft,
        )
