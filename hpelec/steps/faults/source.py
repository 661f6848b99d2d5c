"""The source of fault current: what the utility states, what the nameplate says, or the usual range."""

from __future__ import annotations

from dataclasses import dataclass, replace

from hpelec.core.findings import Assumption
from hpelec.core.working import Line, line
from hpelec.house.sections_power import ServiceSite
from hpelec.steps.faults import rules

WHERE = "faults, source"


@dataclass(frozen=True, slots=True)
class Source:
    """Line-to-line fault current at the source [A]: highest, best estimate, lowest; and what is known of it."""

    high_A: float
    best_A: float
    low_A: float
    certain: bool
    at_meter: bool
    told: str
    x_over_r: float
    voltage_V: float
    working: tuple[Line, ...]
    assumptions: tuple[Assumption, ...]

    @property
    def lowest_known(self) -> bool:
        """What a utility states is its highest figure; it tells nothing of the lowest."""
        return self.low_A < self.high_A

    @property
    def wye(self) -> bool:
        """A 208Y/120 V supply: two lines and the neutral of a three-phase transformer."""
        return self.voltage_V != 240

    @property
    def neutral_V(self) -> float:
        """Voltage from line to neutral."""
        return 120.0

    def neutral_A(self, line_to_line_A: float) -> float:
        """Current from line to neutral at the source for a line-to-line current [A]."""
        if not self.wye:
            return rules.half_winding_A(line_to_line_A)
        between, to_neutral = rules.wye_fault_A(1.0)
        return line_to_line_A / between * to_neutral


def source_of(site: ServiceSite, design_A: float) -> Source:
    """The source; design_A: design load [A], for the size of a transformer that nobody has named."""
    model = rules.transformers()[0]
    ratio = model.number("percent_x") / model.number("percent_r")
    shown = f"{model.text('percent_x')} / {model.text('percent_r')}"
    first = line("X/R behind the source", shown, ratio, "", model.citation)
    stated_A = site.available_fault_A
    found = _transformer(site, design_A, ratio) if stated_A is None else _stated(site, stated_A, ratio)
    return replace(found, working=(first, *found.working))


def _stated(site: ServiceSite, stated_A: float, ratio: float) -> Source:
    at_meter = site.available_fault_at != "transformer"
    place = "meter" if at_meter else "transformer"
    assumptions = [
        Assumption(
            WHERE,
            f"{stated_A:g} A line to line at the {place}, as the highest and as the best estimate",
            "the utility's figure; the lowest current is not known from it",
        ),
    ]
    if site.voltage_V != 240:
        why = "208Y/120 V: the figure is read as the three-phase current"
        assumptions.append(Assumption(WHERE, "0.866 of the figure between two lines, all of it to neutral", why))
        between_A = rules.wye_fault_A(stated_A)[0]
    else:
        between_A = stated_A
    working = (
        line(f"fault current at the {place}", "stated by the utility", stated_A, "A"),
        *_wye_line(site.voltage_V, stated_A, between_A),
    )
    text = f"stated by the utility at the {place}"
    return Source(
        between_A, between_A, between_A, True, at_meter, text, ratio, site.voltage_V, working, tuple(assumptions)
    )


def _wye_line(voltage_V: float, three_phase_A: float, between_A: float) -> tuple[Line, ...]:
    if voltage_V == 240:
        return ()
    by = rules.wye_fault_A
    return (line("fault current between two lines", f"0.866 x {three_phase_A:.0f}", between_A, "A", by),)


def _transformer(site: ServiceSite, design_A: float, ratio: float) -> Source:
    ratings_kVA, kva_told = _ratings(site, design_A)
    percents, z_told = _percents(site)
    phases = 1 if site.voltage_V == 240 else 3

    def current_A(rating_kVA: float, percent: float) -> float:
        return rules.terminal_fault_A(rules.full_load_A(rating_kVA, site.voltage_V, phases), percent)

    high, best, low = (current_A(k, z) for k, z in zip(ratings_kVA, percents, strict=True))
    between = (high, best, low) if phases == 1 else tuple(rules.wye_fault_A(a)[0] for a in (high, best, low))
    known = site.transformer_kVA is not None and site.transformer_impedance_percent is not None
    full_A = rules.full_load_A(ratings_kVA[0], site.voltage_V, phases)
    root = " / sqrt 3" if phases == 3 else ""
    terminal, by = "transformer terminals", rules.terminal_fault_A
    working = (
        line(
            "transformer: full-load current, for the highest fault current",
            f"{ratings_kVA[0]:g} x 1000 / {site.voltage_V:g}{root}",
            full_A,
            "A",
            rules.full_load_A,
        ),
        *_usual_lines(site),
        line(
            "lowest impedance",
            f"0.9 x {percents[0] / (1 - rules.TOLERANCE):g}",
            percents[0],
            "%",
            rules.impedance_range_percent,
        ),
        line(f"{terminal}: highest fault current", f"{full_A:.1f} x 100 / {percents[0]:g}", high, "A", by),
        line(f"{terminal}: best estimate", f"{ratings_kVA[1]:g} kVA at {percents[1]:g} %", best, "A", by),
        line(f"{terminal}: lowest", f"{ratings_kVA[2]:g} kVA at {percents[2]:g} %", low, "A", by),
        *_wye_line(site.voltage_V, high, between[0]),
    )
    supply = Assumption(
        WHERE,
        "supply ahead of the transformer without limit",
        "the utility has not stated its fault current; the true current is lower, so ratings are on the safe side",
    )
    assumptions = [supply, *kva_told, *z_told]
    if phases == 3:
        why = "208Y/120 V; transformer_kVA is read as the rating of all three phases together"
        assumptions.append(Assumption(WHERE, "three-phase transformer", why))
    text = f"transformer {site.transformer_kVA:g} kVA" if site.transformer_kVA is not None else "transformer not known"
    text += ", supply assumed without limit"
    return Source(
        between[0], between[1], between[2], known, False, text, ratio, site.voltage_V, working, tuple(assumptions)
    )


def _usual_lines(site: ServiceSite) -> tuple[Line, ...]:
    """The usual impedances, where the nameplate's is not given."""
    if site.transformer_impedance_percent is not None:
        return ()
    row = rules.transformers()[0]
    return tuple(
        line(
            f"usual impedance, {word}",
            "not given for this transformer",
            row.number(f"percent_z_{word}"),
            "%",
            row.citation,
        )
        for word in ("low", "typical", "high")
    )


def _ratings(site: ServiceSite, design_A: float) -> tuple[tuple[float, float, float], list[Assumption]]:
    """Transformer rating [kVA] for the highest, best and lowest current."""
    if site.transformer_kVA is not None:
        return (site.transformer_kVA,) * 3, []
    sizes = [r.number("kva") for r in rules.transformers()]
    carries = [i for i, k in enumerate(sizes) if k * 1000 >= design_A * site.voltage_V]
    best = carries[0] if carries else len(sizes) - 1
    low = max(best - 1, 0)
    told = Assumption(
        WHERE,
        f"transformer of {sizes[low]:g} to {sizes[-1]:g} kVA, best guess {sizes[best]:g} kVA",
        "transformer_kVA is not given: from one usual size below the design load to the largest usual one",
    )
    return (sizes[-1], sizes[best], sizes[low]), [told]


def _percents(site: ServiceSite) -> tuple[tuple[float, float, float], list[Assumption]]:
    """Impedance [%] for the highest, best and lowest current."""
    named = site.transformer_impedance_percent
    if named is not None:
        low, high = rules.impedance_range_percent(named)
        told = Assumption(
            WHERE,
            f"impedance {low:g} to {high:g} %, nameplate {named:g} %",
            "a transformer may differ from its nameplate by a tenth",
        )
        return (low, named, high), [told]
    row = rules.transformers()[0]
    typical = row.number("percent_z_typical")
    low = rules.impedance_range_percent(row.number("percent_z_low"))[0]
    high = rules.impedance_range_percent(row.number("percent_z_high"))[1]
    told = Assumption(
        WHERE,
        f"impedance {low:g} to {high:g} %, best guess {typical:g} %",
        "transformer_impedance_percent is not given: usual range from memory, less and plus a tenth",
    )
    return (low, typical, high), [told]
