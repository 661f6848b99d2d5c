"""The walls of every room with devices, as one HTML file that works offline."""

from __future__ import annotations

from pathlib import Path

from hpelec.core.units import show_quantity
from hpelec.house.walls import wall_faces
from hpelec.plan import Plan
from hpelec.report.elevation_drawing import elevations, rooms_with_devices
from hpelec.report.plan_drawing import drawn_levels
from hpelec.report.svg import escape

CAUTION = "Planning help, not a permit drawing: the adopted local code, the utility and licensed people decide."
STYLE = (
    "body{font-family:system-ui,'DejaVu Sans',Arial,sans-serif;max-width:900px;margin:1em auto;padding:0 1em}"
    "table{border-collapse:collapse;font-size:.85em}td,th{text-align:left;padding:.15em .6em .15em 0}"
    "tr{border-bottom:1px solid #dde3e7}caption{text-align:left;font-weight:bold}"
    "figure{margin:0 0 1em;break-inside:avoid}h2,h3{break-after:avoid}"
)


def elevations_html(plan: Plan) -> str:
    """The page: a section for each level, a picture for each room."""
    name = escape(plan.house.general.name)
    rooms, parts = rooms_with_devices(plan), []
    for level in drawn_levels(plan):
        here = [r for r in rooms if r.level == level.id]
        if here:
            parts.append(f"<h2>{escape(level.name or level.id)}</h2>")
        for room in here:
            drawn = elevations(plan, room.id)
            parts.append(f"<h3>{escape(room.name.strip() or room.id)}</h3><figure>{drawn.img}</figure>")
    return (
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>{name}: walls</title>'
        f"<style>{STYLE}</style></head><body><h1>{name}: walls of the rooms</h1><p><strong>{CAUTION}</strong></p>"
        "<p>Each wall is seen from inside its room. Heights are above the floor, to the centre of the device. "
        "Fixed items are drawn as high as such items usually are (common practice).</p>"
        + "".join(parts)
        + _faces_table(plan)
        + "</body></html>\n"
    )


def _faces_table(plan: Plan) -> str:
    """Every wall face of the rooms: what lies behind it, length, areas, assembly."""
    metric = plan.house.general.show_metric
    heads = ("Room", "Wall", "Behind it", "Length", "Area", "Openings", "Assembly")
    rows = [
        (
            f.room,
            f.side,
            f.behind or "outdoors",
            show_quantity(f.length_ft, "ft", metric=metric, digits=2),
            show_quantity(f.area_ft2, "ft2", metric=metric),
            show_quantity(f.opening_ft2, "ft2", metric=metric),
            f.assembly or "not in the envelope",
        )
        for f in wall_faces(plan.house)
    ]
    head = "".join(f'<th scope="col">{h}</th>' for h in heads)
    body = "".join("<tr>" + "".join(f"<td>{escape(c)}</td>" for c in row) + "</tr>" for row in rows)
    caption = "<caption>Wall faces, counter-clockwise round each room, floor to ceiling</caption>"
    return f"<h2>Wall faces</h2><table>{caption}<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def write_elevations(plan: Plan, path: str | Path) -> Path:
    """Write the page; returns its path."""
    target = Path(path)
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_text(elevations_html(plan), encoding="utf-8", newline="\n")
    return target
