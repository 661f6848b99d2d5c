"""The appliances of a house as on/off processes, with lights and plugs, which stand in no table of the house."""

from __future__ import annotations

from dataclasses import replace

from hpelec.core.citing import Citation, cite
from hpelec.core.errors import RangeError
from hpelec.core.findings import Verdict
from hpelec.house.model import House
from hpelec.house.rows_loads import Appliance, Use
from hpelec.steps.coincidence import patterns, rules
from hpelec.steps.coincidence.notes import Notes
from hpelec.steps.coincidence.process import HOURS, MIN_PER_H, LoadProcess
from hpelec.steps.loads.model import LoadsResult

NO_LOAD = ("solar", "storage")
HOURS_PER_YEAR = 8760.0
PLUG_UNITS = 3
"""Groups of lights and plugs that are switched apart from each other."""
OWN = Citation("the user's own values", "use.csv", "none", "common practice")
"""For a row of use.csv: a claim about this household that nothing published backs."""


def appliance_processes(house: House, loads: LoadsResult, notes: Notes) -> list[LoadProcess]:
    """One process for each appliance that stands or will stand, and two for lights and plugs."""
    uses = {u.id: u for u in house.uses if u.of == "appliance"}
    made: list[LoadProcess] = []
    for row in house.appliances:
        if row.status == "removed" or row.kind in NO_LOAD:
            continue
        amps = _current_A(row, loads)
        if amps is None:
            notes.say(
                "nameplate",
                row.id,
                "a load counts with its nameplate",
                Verdict.CANNOT_SAY,
                cite(rules.on_share_by_hour),
                got="no power, current or motor rating: left out",
                fix="enter power_VA or current_A in appliances.csv",
            )
            continue
        one = _process(row, amps, uses.get(row.id), notes)
        made += [one] if row.quantity == 1 else [replace(one, id=f"{row.id}-{n + 1}") for n in range(row.quantity)]
    made = _with_air_handler(made, notes)
    return [*made, *_lights_and_plugs(house.general.floor_area_ft2)]


def _current_A(row: Appliance, loads: LoadsResult) -> float | None:
    """Nameplate current; for a motor rated in horsepower alone, what the load calculation took."""
    if row.power_VA is not None:
        return row.power_VA / row.voltage_V
    if row.current_A is not None:
        return row.current_A
    for entry in loads.lines:
        if entry.id == row.id and entry.connected_VA > 0:
            return entry.connected_VA / row.quantity / row.voltage_V
    return None


def _process(row: Appliance, amps: float, use: Use | None, notes: Notes) -> LoadProcess:
    kind = patterns.pattern(row.kind)
    levels = tuple((share * amps, time) for share, time in kind.shares)
    base = LoadProcess(
        id=row.id,
        name=row.name,
        kind=row.kind,
        current_A=max(a for a, _ in levels),
        levels=levels,
        run_min=kind.run_min,
        starts_per_h=(0.0,) * HOURS,
        follows=kind.follows if kind.follows in ("people", "weather") else "",
        always_on=kind.follows == "always",
        group=row.interlock,
        priority=row.priority,
        managed_by=row.managed_by,
        continuous=row.continuous,
        voltage_V=row.voltage_V,
        citation=kind.citation,
    )
    own = use is not None and (use.starts_per_day is not None or use.run_min is not None)
    if use is not None:
        base = _own_load(base, amps, use)
    if own or kind.follows not in ("weather", "always"):
        return _switched(base, row.kind, amps * row.voltage_V / 1000, use, notes)
    return base if kind.follows == "always" else _by_weather(base, row.kind)


def _own_load(base: LoadProcess, amps: float, use: Use) -> LoadProcess:
    if use.load_percent is None:
        return base
    drawn = amps * use.load_percent / 100
    return replace(base, current_A=drawn, levels=((drawn, 1.0),), citation=OWN)


def _switched(base: LoadProcess, kind: str, rated_kW: float, use: Use | None, notes: Notes) -> LoadProcess:
    """A load that is switched on so often a day, by its kind or by the user's own row."""
    told = patterns.pattern(kind)
    run = told.run_min
    if kind == "vehicle_charger" and rated_kW > 0:
        run = MIN_PER_H * patterns.constant("session_kWh") / rated_kW
    starts, profile = told.starts_per_day, told.profile
    citation, remark = base.citation, "by kind"
    if use is not None:
        starts = starts if use.starts_per_day is None else use.starts_per_day
        run = run if use.run_min is None else use.run_min
        profile = profile if use.profile == "by kind" else use.profile
        citation, remark = OWN, f"own values: {use.source or 'no source given'}"
    if run <= 0 < starts:
        notes.say(
            "run-length",
            base.id,
            "a load that is switched on has a run length",
            Verdict.CANNOT_SAY,
            cite(rules.on_share_by_hour),
            got=f"none is known for its kind, {kind}: taken as always on",
            fix=f"give run_min of {base.id} in use.csv",
        )
        return replace(base, always_on=True, citation=citation, remark=remark)
    follows = "people" if told.follows in ("people", "weather", "always") else ""
    return fitted(
        replace(base, run_min=run, always_on=False, follows=follows, citation=citation, remark=remark),
        starts,
        patterns.profile(profile),
        notes,
    )


def fitted(base: LoadProcess, starts_per_day: float, profile: tuple[float, ...], notes: Notes) -> LoadProcess:
    """The process with its starts spread by a profile; evenly, or always on, where its runs would overlap."""
    even = (1 / HOURS,) * HOURS
    for shape in (profile, even):
        spread = tuple(starts_per_day * share for share in shape)
        try:
            rules.on_share_by_hour(spread, base.run_min)
        except RangeError as error:
            notes.say(
                "overlapping-runs",
                base.id,
                "the runs of one load follow each other",
                Verdict.CANNOT_SAY,
                cite(rules.on_share_by_hour),
                got=f"{error}; taken as {'spread evenly over the day' if shape is not even else 'always on'}",
                fix=f"give {base.id} fewer starts or shorter runs in use.csv",
            )
        else:
            return replace(base, starts_per_h=spread)
    return replace(base, always_on=True, starts_per_h=(0.0,) * HOURS)


def _by_weather(base: LoadProcess, kind: str) -> LoadProcess:
    """A load that a thermostat drives: its duty in each state of the weather."""
    most = patterns.constant("thermostat_cycles_per_h")
    duty = tuple(dict(state.duty)[kind] for state in patterns.weather())
    starts = tuple(rules.cycles_per_h(d, most) for d in duty)
    year = [state.year_share for state in patterns.weather()]
    mean_starts = sum(y * s for y, s in zip(year, starts, strict=True))
    mean_duty = sum(y * d for y, d in zip(year, duty, strict=True))
    return replace(
        base,
        starts_per_h=(mean_starts,) * HOURS,
        run_min=MIN_PER_H * mean_duty / mean_starts if mean_starts else base.run_min,
        weather_duty=duty,
        weather_starts_per_h=starts,
        remark="duty by the state of the weather",
    )


def _with_air_handler(made: list[LoadProcess], notes: Notes) -> list[LoadProcess]:
    """An air handler runs when its heat pump does: the two count as one load, not as two that meet by chance."""
    machines = [p for p in made if p.kind in ("heat_pump", "air_conditioner")]
    handlers = [p for p in made if p.kind == "air_handler"]
    if len(machines) != 1 or len(handlers) != 1:
        return made
    machine, handler = machines[0], handlers[0]
    if machine.group or handler.group or not machine.weather_duty or not handler.weather_duty:
        return made
    both = replace(
        machine,
        name=f"{machine.name} with {handler.name}",
        current_A=machine.current_A + handler.current_A,
        levels=tuple((amps + handler.current_A, share) for amps, share in machine.levels),
        remark=f"duty by the state of the weather; {handler.id} runs with it",
    )
    notes.take("appliances.csv", f"{handler.id} runs whenever {machine.id} runs", "one thermostat calls both")
    return [both if p is machine else p for p in made if p is not handler]


def _lights_and_plugs(floor_ft2: float) -> list[LoadProcess]:
    """General lighting and plugs by floor area: a part that is always on, and three that people switch on."""
    lighting = patterns.constant("lighting_kWh") + patterns.constant("lighting_kWh_per_ft2") * floor_ft2
    plugs = patterns.constant("plug_kWh_per_ft2") * floor_ft2
    mean_W, standing = (lighting + plugs) * 1000 / HOURS_PER_YEAR, patterns.constant("standing_share")
    used = patterns.pattern("lighting_and_plugs")
    hours_a_day = used.starts_per_day * used.run_min / MIN_PER_H
    amps = mean_W * (1 - standing) * HOURS / hours_a_day / 120
    spread = tuple(used.starts_per_day / PLUG_UNITS * s for s in patterns.profile(used.profile))
    on = replace(
        _plain("lights-and-plugs", "Lights and plugs in use", amps),
        run_min=used.run_min,
        starts_per_h=spread,
        follows="people",
    )
    standing_part = replace(
        _plain("standing-plugs", "Plugs that draw without end", mean_W * standing / 120), always_on=True
    )
    return [standing_part, *(replace(on, id=f"{on.id}-{n + 1}") for n in range(PLUG_UNITS))]


def _plain(name: str, title: str, amps: float) -> LoadProcess:
    return LoadProcess(
        id=name,
        name=title,
        kind="lighting_and_plugs",
        current_A=amps,
        levels=((amps, 1.0),),
        run_min=0.0,
        starts_per_h=(0.0,) * HOURS,
        voltage_V=120.0,
        remark="energy by floor area; split and hours by practice",
        citation=patterns.constant_citation("plug_kWh_per_ft2"),
    )
