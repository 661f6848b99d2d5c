"""Grounding and bonding of the service: electrodes, their conductors, jumpers, other systems."""

from __future__ import annotations

from dataclasses import dataclass

from hpelec.common import rules_grounding as ground
from hpelec.core.citing import Citation, cite
from hpelec.core.findings import Finding, Verdict
from hpelec.house.sections_power import Grounding
from hpelec.steps.faults import rules_electrodes as rules
from hpelec.steps.faults.model import GroundingRow
from hpelec.steps.service.model import ServiceResult

SYSTEM = Citation("NFPA 70", "250.50, 250.52(A)", "2017-2026", "memory")
WATER = Citation("NFPA 70", "250.53(D)(2)", "2017-2026", "memory")
TOGETHER = Citation("NFPA 70", "250.53(C), 250.58", "2017-2026", "memory")
MAIN_JUMPER = Citation("NFPA 70", "250.28(D), Table 250.102(C)(1)", "2017-2026", "memory")
NEUTRAL = Citation("NFPA 70", "250.24(A)(5), 408.40", "2017-2026", "memory")
GAS = Citation("NFPA 70", "250.104(B)", "2017-2026", "memory")


def known(value: bool | None) -> str:
    """A flag that may be blank, as a word."""
    return "not known" if value is None else "yes" if value else "no"


@dataclass(frozen=True, slots=True)
class Sizes:
    """Copper sizes that the service asks for; blank where its conductors could not be sized."""

    electrode: str
    jumper: str


def sizes_of(service: ServiceResult) -> Sizes:
    """Electrode conductor and bonding jumper from the rows of the step service."""
    by_part = {row.part: row.size for row in service.conductors if row.chosen and row.material == "cu"}
    return Sizes(by_part.get("grounding electrode conductor", ""), by_part.get("supply-side bonding jumper", ""))


def grounding_rows(given: Grounding, sizes: Sizes, edition: int) -> tuple[GroundingRow, ...]:
    """Each part of grounding and bonding with its copper conductor."""
    full = sizes.electrode
    rod = ground.electrode_cap(full, "rod") if full else ""
    concrete = ground.electrode_cap(full, "concrete") if full else ""
    ring = rules.ring_conductor(full) if full else ""
    caps, table = cite(ground.electrode_cap, edition), cite(ground.electrode_conductor, edition)
    rods = "not known" if given.rods is None else f"{given.rods}"
    terminals = given.intersystem_terminals
    return (
        _row("concrete-encased electrode", known(given.concrete_encased), concrete,
             "must be used where the footing has it; size where this conductor serves no other electrode", caps),
        _row("metal water pipe", known(given.metal_water_pipe), full,
             "connect within 5 ft of where it enters; needs another electrode beside it", table),
        _row("metal frame of the building", known(given.building_frame), full, "full size by the table", table),
        _row("ground ring", known(given.ground_ring), ring,
             "size where this conductor serves no other electrode", cite(rules.ring_conductor, edition)),
        _row("rods", rods, rod, "two, at least 6 ft apart, unless one is shown to have 25 ohm or less", caps),
        _row("jumpers between electrodes", "", full,
             "all that are there make one system; to a rod, pipe or concrete alone the smaller size", TOGETHER),
        _row("main bonding jumper", "", sizes.jumper,
             "joins neutral and enclosure in the service equipment, and nowhere after it", MAIN_JUMPER),
        _row("neutral and equipment ground of feeders", "", "",
             "kept apart in every panel after the service disconnect; four-wire feeders", NEUTRAL),
        _row("metal water piping inside", known(given.water_piping_metal),
             rules.water_bonding(sizes.jumper, edition) if sizes.jumper else "",
             "bonded to the service or the electrode system", cite(rules.water_bonding, edition)),
        _row("metal gas piping", known(given.gas_piping), "",
             "bonded; the ground of the circuit likely to energize it is enough; corrugated tubing: its maker",
             GAS),
        _row("terminals for other systems", "not known" if terminals is None else f"{terminals}", "",
             f"outside, for at least {rules.intersystem_terminals(edition)} conductors (telephone, cable, aerial)",
             cite(rules.intersystem_terminals, edition)),
    )  # fmt: skip


def _row(part: str, there: str, size: str, remark: str, by: Citation) -> GroundingRow:
    return GroundingRow(part=part, there=there, size="" if there in ("no", "0") else size, remark=remark, citation=by)


def grounding_findings(given: Grounding, edition: int) -> list[Finding]:
    """What can be said of the electrodes and the bonding terminals that are given."""
    found = [_system(given)]
    if given.rods:
        found += [f for f in (_rods(given, given.rods, edition), _spacing(given, given.rods, edition)) if f]
    if given.metal_water_pipe:
        found.append(_water(given))
    found.append(_terminals(given, edition))
    return found


def _finding(
    name: str, place: str, rule: str, got: str, allowed: str, fix: str, verdict: Verdict, by: Citation
) -> Finding:
    return Finding(name, "faults", place, rule, got, allowed, fix, verdict, by)


def _electrodes(given: Grounding) -> dict[str, bool | None]:
    return {
        "concrete-encased electrode": given.concrete_encased,
        "metal water pipe": given.metal_water_pipe,
        "metal frame": given.building_frame,
        "ground ring": given.ground_ring,
        "rods": None if given.rods is None else given.rods > 0,
    }


def _system(given: Grounding) -> Finding:
    kinds = _electrodes(given)
    there = [name for name, value in kinds.items() if value]
    open_ = [name for name, value in kinds.items() if value is None]
    if not there and not open_:
        verdict, got, fix = Verdict.MISSES, "none", "install electrodes: a concrete-encased one, a ring, or two rods"
    elif not there or given.concrete_encased is None:
        verdict = Verdict.CANNOT_SAY
        got = f"{', '.join(there) or 'none known'}; not known: {', '.join(open_)}"
        fix = "tell section [grounding] which electrodes there are; a footing's steel must be caught before the pour"
    else:
        verdict, got = Verdict.MEETS, ", ".join(there) + (f"; not known: {', '.join(open_)}" if open_ else "")
        fix = ""
    return _finding(
        "electrode-system",
        "grounding",
        "every electrode that the house has is bonded into one system; there is at least one",
        got,
        "those that are there, together",
        fix,
        verdict,
        SYSTEM,
    )


def _rods(given: Grounding, count: int, edition: int) -> Finding:
    enough = rules.rods_enough(count, given.rod_resistance_ohm)
    other = given.concrete_encased or given.ground_ring or given.building_frame
    verdict = Verdict.MEETS if enough or other else Verdict.CANNOT_SAY if enough is None else Verdict.MISSES
    got = f"{count} rod{'s' if count != 1 else ''}"
    if given.rod_resistance_ohm is not None:
        got += f", one measured {given.rod_resistance_ohm:g} ohm"
    elif count == 1:
        got += ", resistance not measured"
    return _finding(
        "rods",
        "grounding",
        "a single rod has 25 ohm or less, or another electrode beside it",
        got + (", with another electrode" if other else ""),
        "two rods, or <= 25 ohm",
        "drive a second rod at least 6 ft away (usual), or measure the one",
        verdict,
        cite(rules.rods_enough, edition),
    )


def _spacing(given: Grounding, count: int, edition: int) -> Finding | None:
    if count < 2:
        return None
    apart = given.rod_spacing_ft
    verdict = Verdict.CANNOT_SAY if apart is None else Verdict.MEETS if rules.rods_apart(apart) else Verdict.MISSES
    return _finding(
        "rod-spacing",
        "grounding",
        "rods stand apart",
        "distance not given" if apart is None else f"{apart:g} ft",
        ">= 6 ft",
        "give rod_spacing_ft" if apart is None else "drive one farther away",
        verdict,
        cite(rules.rods_apart, edition),
    )


def _water(given: Grounding) -> Finding:
    kinds = _electrodes(given)
    others = [name for name, value in kinds.items() if value and name != "metal water pipe"]
    unknown = any(value is None for value in kinds.values())
    verdict = Verdict.MEETS if others else Verdict.CANNOT_SAY if unknown else Verdict.MISSES
    return _finding(
        "water-pipe-electrode",
        "grounding",
        "a metal water pipe is not the only electrode",
        f"beside it: {', '.join(others) or 'none known'}",
        "another electrode",
        "add another electrode: pipes get replaced with plastic",
        verdict,
        WATER,
    )


def _terminals(given: Grounding, edition: int) -> Finding:
    least, count = rules.intersystem_terminals(edition), given.intersystem_terminals
    verdict = Verdict.CANNOT_SAY if count is None else Verdict.MEETS if count >= least else Verdict.MISSES
    return _finding(
        "intersystem-bonding",
        "grounding",
        "telephone, cable and aerial find a place to bond to",
        "not given" if count is None else f"{count} terminals",
        f">= {least} conductors",
        "give intersystem_terminals" if count is None else "a larger bonding termination at the meter or service",
        verdict,
        cite(rules.intersystem_terminals, edition),
    )
