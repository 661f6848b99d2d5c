"""Conduit of the lateral and of the service entrance: trade size, fill, jam ratio."""

from __future__ import annotations

from hpelec.core.findings import Verdict
from hpelec.house.sections_power import ServiceSite
from hpelec.steps.lateral import rules_raceway as rules
from hpelec.steps.lateral.model import Raceway
from hpelec.steps.lateral.rules_trench import method_row
from hpelec.steps.lateral.told import Told, judged
from hpelec.steps.lateral.values import pulling
from hpelec.steps.service.model import ConductorChoice

METALS = {"cu": "copper", "al": "aluminum"}


def sizes_of(row: ConductorChoice) -> tuple[str, str, str]:
    """The conductors of one set: two line conductors and the neutral."""
    return row.size, row.size, row.neutral_size or row.size


def insulation_of(site: ServiceSite) -> str:
    """Type of the lateral's conductors: as the house names it, USE-2 where they lie in the soil."""
    return "USE-2" if site.lateral_method == "direct_buried" else site.lateral_insulation


def said(row: ConductorChoice, insulation: str) -> str:
    """The conductors of one set as one text."""
    line, _, neutral = sizes_of(row)
    return f"2 x {line} and neutral {neutral}, {METALS[row.material]}, {insulation}"


def jams(bore_in: float, diameters_in: tuple[float, ...], *, bends: bool) -> bool:
    """Whether three conductors may wedge in the straight conduit, or in its bends where it has some."""
    ratio = rules.jam_ratio(bore_in, sum(diameters_in) / len(diameters_in))
    return rules.may_jam(ratio) or (bends and rules.may_jam(ratio * pulling("jam_bend")))


def _taken(name: str, least: str | None, diameters: tuple[float, ...], *, bends: bool) -> str:
    """The smallest size within the fill limit in which the conductors cannot wedge; the smallest when each may."""
    sizes = rules.trade_sizes(name)
    if least is None:
        return sizes[-1]
    larger = sizes[sizes.index(least) :]
    return next((s for s in larger if not jams(rules.bore_in(name, s), diameters, bends=bends)), least)


def raceway(
    row: ConductorChoice, method: str, wanted: str, insulation: str, length_ft: float, spare: int, *, bends: bool
) -> Raceway:
    """The conduit of each set. wanted: a trade size, or auto. Parallel sets lie in as many conduits."""
    kind = method_row(method)
    name = kind.text("raceway")
    sizes = sizes_of(row)
    areas = [rules.conductor_area_in2(insulation, s) for s in sizes]
    diameters = tuple(rules.conductor_outside_in(insulation, s) for s in sizes)
    least = rules.smallest_trade_size(name, areas, length_ft)
    trade_size = _taken(name, least, diameters, bends=bends) if wanted == "auto" else wanted
    bore = rules.bore_in(name, trade_size)
    return Raceway(
        method=kind.text("name"),
        trade_size=trade_size,
        least_trade_size=least,
        conductors=said(row, insulation),
        diameters_in=diameters,
        area_in2=sum(areas),
        bore_in=bore,
        outside_in=rules.outside_in(name, trade_size),
        fill_percent=sum(areas) / rules.raceway_row(name, trade_size).number("internal_area_in2") * 100,
        limit_percent=rules.fill_limit_percent(len(areas), length_ft),
        jam_ratio=rules.jam_ratio(bore, sum(diameters) / len(diameters)),
        used=row.sets,
        spare=spare,
    )


def tell(told: Told, place: str, row: ConductorChoice, made: Raceway, insulation: str, *, bends: bool, theirs: bool,
         findings: bool) -> None:  # fmt: skip
    """Working and findings of one conduit."""
    sizes = sizes_of(row)
    areas = [rules.conductor_area_in2(insulation, s) for s in sizes]
    by = rules.conductor_row(insulation, sizes[0]).citation
    told.work(f"{place}: area of {made.conductors}", " + ".join(f"{a:g}" for a in areas), made.area_in2, "in2", by)
    bore_area = made.area_in2 / made.fill_percent * 100
    told.work(
        f"{place}: fill of {made.name}", f"{made.area_in2:.4f} / {bore_area:.3f} x 100",
        made.fill_percent, "%", rules.fill_percent,
    )  # fmt: skip
    if made.jam_ratio is not None:
        mean = made.bore_in / made.jam_ratio
        told.work(
            f"{place}: jam ratio", f"{made.bore_in:g} / {mean:.3f} (mean diameter)", made.jam_ratio, "", rules.jam_ratio
        )
    if findings:
        _find_fill(told, place, made, theirs)
        _find_jam(told, place, made, bends)


def _find_fill(told: Told, place: str, made: Raceway, theirs: bool) -> None:
    fits = made.fill_percent <= made.limit_percent * rules.ENOUGH
    if made.least_trade_size is None:
        fix = "more parallel sets of smaller conductors, or the utility's own design"
    else:
        fix = f"trade size {made.least_trade_size} or larger"
    told.find(
        "raceway-fill",
        place,
        "conductors take no more of the bore than allowed",
        f"{made.conductors} fill {made.fill_percent:.1f} % of {made.name}",
        f"<= {made.limit_percent:g} %",
        "ask the utility which conduit it wants" if theirs and fits else fix,
        judged(fits, theirs and fits),
        rules.fill_limit_percent,
    )


def _find_jam(told: Told, place: str, made: Raceway, bends: bool) -> None:
    if made.jam_ratio is None:
        return
    in_bend = made.jam_ratio * pulling("jam_bend")
    risky = jams(made.bore_in, made.diameters_in, bends=bends)
    told.find(
        "raceway-jam",
        place,
        "three conductors cannot wedge side by side in the conduit or its bends",
        f"bore over mean diameter {made.jam_ratio:.2f}" + (f", in a bend {in_bend:.2f}" if bends else ""),
        f"outside {pulling('jam_low'):g} to {pulling('jam_high'):g} (a warning, no prohibition)",
        "the next trade size, or conductors laid up together before the pull",
        Verdict.CANNOT_SAY if risky else Verdict.MEETS,
        rules.may_jam,
    )
