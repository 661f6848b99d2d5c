"""What the rules ask of each device beside its place: protection, type, cover, interconnection, with the clause."""

from __future__ import annotations

from dataclasses import replace

from hpelec.core.citing import Citation, cite
from hpelec.core.tables import table
from hpelec.steps.devices import rules_protection
from hpelec.steps.devices.draft import Draft, Mark
from hpelec.steps.devices.model import DeviceNeed
from hpelec.steps.devices.protection import PLACES, RECEPTACLES, afci_place, gfci_place


def needs_of(draft: Draft, name: str, mark: Mark) -> tuple[DeviceNeed, ...]:
    """Everything that is asked of one device, protection first."""
    asked: list[tuple[str, str, Citation]] = []
    place = gfci_place(draft, mark)
    if place:
        asked.append(("ground-fault protection", _short(place), clause(place, draft.edition)))
    place = afci_place(draft, mark)
    if place:
        info = cite(rules_protection.afci_required, draft.edition)
        room = mark.room.kind.replace("_", " ")
        why = f"circuit with an outlet or device in a {room}" if place == PLACES.get(mark.room.kind) else _short(place)
        asked.append(("arc-fault protection", why, replace(info, accuracy=_row_accuracy(place))))
    if is_plug(mark):
        asked += _types(draft, mark)
    if mark.kind == "alarm":
        words = "all alarms of the dwelling sound together; wired, with a battery behind"
        asked.append(("interconnection", words, table("layout/alarms").one(item="interconnection").citation))
    return tuple(DeviceNeed(device=name, need=need, why=why, citation=by) for need, why, by in asked)


def is_plug(mark: Mark) -> bool:
    """Whether the device is a receptacle of 15 or 20 A, appliance receptacles of 120 V included."""
    return mark.kind in RECEPTACLES or (mark.kind == "appliance_outlet" and mark.plugged and mark.voltage_V < 125)


def location(draft: Draft, mark: Mark) -> str:
    """Dry, damp (under the roof of a porch that is drawn) or wet."""
    if not mark.outdoors:
        return "wet" if mark.room.kind == "porch" else "dry"
    behind = draft.lines[mark.room.id].place(mark.arc_ft).part.behind
    return "damp" if behind and draft.room_by_id[behind].kind == "porch" else "wet"


def _types(draft: Draft, mark: Mark) -> list[tuple[str, str, Citation]]:
    made: list[tuple[str, str, Citation]] = []
    if rules_protection.tamper_resistant(mark.height_in, dedicated_space=mark.dedicated_space):
        by = cite(rules_protection.tamper_resistant, draft.edition)
        made.append(("tamper-resistant", "a receptacle of a dwelling", by))
    where = location(draft, mark)
    if rules_protection.weather_resistant(where):
        by = cite(rules_protection.weather_resistant, draft.edition)
        made.append(("weather-resistant", f"{where} location", by))
        cover = rules_protection.receptacle_cover(where)
        made.append(("cover", f"{cover} ({where} location)", cite(rules_protection.receptacle_cover, draft.edition)))
    return made


def clause(place: str, edition: int) -> Citation:
    """The clause that asks for ground-fault protection at a place, by edition."""
    rows = table("layout/gfci_clauses").where(place=place)
    if not rows:
        return cite(rules_protection.gfci_required, edition)
    return replace(rows[0].citation, locator=rows[0].text(f"clause_{edition}"), edition=str(edition))


def _row_accuracy(place: str) -> str:
    return table("layout/gfci_afci").one(place=place).citation.accuracy


def _short(place: str) -> str:
    return place.split(" (", maxsplit=1)[0]
