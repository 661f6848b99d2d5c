"""Every row of the tables of conductors against physics and against its neighbours."""

from __future__ import annotations

import itertools
import math

import pytest

from hpelec.common import rules_conductors as conductors
from hpelec.common import rules_grounding as ground
from hpelec.common import rules_supply as wire
from hpelec.core.errors import RangeError
from hpelec.core.tables import Row, table

ROWS = table("tables/conductors").rows
METALS = ("cu", "al")
COLUMNS = ("ampacity_60c_a", "ampacity_75c_a", "ampacity_90c_a")
GAUGES = {"4/0": -3, "3/0": -2, "2/0": -1, "1/0": 0}


def named(row: Row) -> str:
    return f"{row.text('size')}-{row.text('material')}"


def of(material: str) -> list[Row]:
    """Rows of a metal by area; 14 AWG aluminum has no ampacity and is not permitted."""
    rows = [r for r in ROWS if r.text("material") == material and named(r) != "14-al"]
    return sorted(rows, key=lambda r: r.number("area_kcmil"))


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_area_follows_from_the_name_and_the_definition(row: Row) -> None:
    size, kcmil = row.text("size"), row.number("area_kcmil")
    if size.isdecimal() and int(size) >= 250:
        assert kcmil == int(size)
    else:
        number = GAUGES[size] if size in GAUGES else int(size)
        diameter_mil = 5 * 92 ** ((36 - number) / 39)
        assert kcmil * 1000 == pytest.approx(diameter_mil**2, rel=2e-3), "d^2 in mils is the area in circular mil"
    assert row.number("area_mm2") == pytest.approx(math.pi / 4 * 0.0254**2 * kcmil * 1000, abs=0.0006 + kcmil * 1e-6)


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_stranded_diameter_holds_the_metal_and_little_more(row: Row) -> None:
    diameter_in = row.number_or_none("stranded_overall_diameter_in")
    if diameter_in is None:
        pytest.fail(f"{named(row)}: no diameter")
    filled = row.number("area_kcmil") / 1000 / diameter_in**2
    assert 0.70 < filled < 0.82, (
        f"pi/4 d^2 is filled to {filled:.2f} by the metal; round strands give about 0.75 to 0.78"
    )


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_resistance_follows_from_resistivity(row: Row) -> None:
    copper = row.text("material") == "cu"
    rho_20 = 1 / 58 if copper else 1 / 58 / 0.61
    hot = 1 + (0.00393 if copper else 0.00403) * 55
    by_hand = rho_20 * hot * 1.02 / row.number("area_mm2") * 304.8
    assert row.number("dc_resistance_ohm_per_kft_75c") == pytest.approx(by_hand, rel=0.006)
    ac = row.number_or_none("ac_resistance_pvc_ohm_per_kft")
    if ac is not None:
        assert 0.95 < ac / by_hand < 1.16, "ac resistance is the dc one, rounded to two digits, and skin effect"


@pytest.mark.parametrize("material", METALS)
def test_ampacity_rises_by_size_and_column_and_resistance_falls(material: str) -> None:
    for row in of(material):
        values = [row.number_or_none(c) for c in COLUMNS]
        assert None not in values and values[0] < values[1] < values[2], f"{named(row)}: {values}"
    for small, large in itertools.pairwise(of(material)):
        for column in COLUMNS:
            assert small.number(column) < large.number(column), f"{named(small)} and {named(large)}, {column}"
        column = "dc_resistance_ohm_per_kft_75c"
        assert small.number(column) > large.number(column)


def test_14_awg_aluminum_is_refused_not_zero() -> None:
    with pytest.raises(RangeError, match="not permitted"):
        conductors.ampacity_A("14", "al", 75)
    assert "14" not in conductors.usable_sizes("al")


def test_aluminum_stays_below_copper_of_the_same_size() -> None:
    copper = {r.text("size"): r for r in of("cu")}
    for row in of("al"):
        twin = copper[row.text("size")]
        assert all(row.number(c) < twin.number(c) for c in COLUMNS), named(row)
        assert row.number("dc_resistance_ohm_per_kft_75c") > twin.number("dc_resistance_ohm_per_kft_75c")


@pytest.mark.parametrize("row", [r for r in ROWS if r.number("area_kcmil") > 6.6], ids=named)
def test_columns_stand_to_each_other_as_heat_balance_says(row: Row) -> None:
    alpha = table("tables/conductor_metals").one(material=row.text("material")).number("alpha75_per_c")
    for low, high in ((60, 75), (75, 90)):
        theory = math.sqrt((high - 30) / (low - 30) * (1 + alpha * (low - 75)) / (1 + alpha * (high - 75)))
        printed = row.number(f"ampacity_{high}c_a") / row.number(f"ampacity_{low}c_a")
        assert printed == pytest.approx(theory, rel=0.07), f"{high}/{low}: table {printed:.3f}, theory {theory:.3f}"


@pytest.mark.parametrize("metal", ["copper", "aluminum"])
def test_grounding_tables_never_shrink(metal: str) -> None:
    rows = table("tables/egc_250_122").rows
    assert [r.number("ocpd_not_exceeding_a") for r in rows] == sorted(r.number("ocpd_not_exceeding_a") for r in rows)
    sizes = [conductors.area_cmil(r.text(f"{metal}_awg_kcmil")) for r in rows]
    assert sizes == sorted(sizes)
    for name, column in (("gec_250_66", f"gec_{metal}"), ("bonding_jumper_250_102", f"jumper_{metal}")):
        texts = [r.text(column) for r in table(f"tables/{name}") if not r.text(column).startswith("12.5")]
        areas = [conductors.area_cmil(t) for t in texts]
        assert areas == sorted(areas) and len(set(areas)) == len(areas), f"{name}: {texts}"


@pytest.mark.parametrize("row", table("tables/egc_250_122").rows, ids=lambda r: r.text("ocpd_not_exceeding_a"))
def test_aluminum_grounding_conductors_are_larger_than_copper(row: Row) -> None:
    copper, aluminum = (conductors.area_cmil(row.text(f"{m}_awg_kcmil")) for m in ("copper", "aluminum"))
    assert copper < aluminum
    amps = row.number("ocpd_not_exceeding_a")
    assert ground.equipment_grounding(amps, "cu") == row.text("copper_awg_kcmil"), "the end of a row belongs to it"


@pytest.mark.parametrize("row", table("tables/dwelling_service_conductors").rows, ids=lambda r: r.text("rating_a"))
def test_the_dwelling_table_is_the_83_percent_rule(row: Row) -> None:
    needed_A = wire.service_ampacity_A(row.number("rating_a"), 240.0)
    assert row.number("required_ampacity_83pct_a") == pytest.approx(needed_A)
    for material, column in (("cu", "copper_awg_kcmil"), ("al", "aluminum_awg_kcmil")):
        assert wire.smallest_size(needed_A, material, 75, 1, 0.0) == row.text(column)


def test_small_conductor_limits_are_ratings_within_the_60_c_ampacity() -> None:
    for row in table("tables/small_conductor_ocpd").rows:
        if row.text("material") == "cca" or int(row.text("size_awg")) > 14:
            continue
        ampacity_A = conductors.ampacity_A(row.text("size_awg"), row.text("material"), 60)
        assert row.number("max_ocpd_a") <= ampacity_A, f"{row.place}: {ampacity_A} A"


def test_recommended_drops_add_up_to_no_more_than_their_parts() -> None:
    limits = {r.text("run"): r.number("limit_percent") for r in table("tables/drop_limits")}
    assert limits["feeder and branch"] <= limits["feeder"] + limits["branch"]
    assert max(limits["feeder"], limits["branch"]) < limits["feeder and branch"]


def test_the_rooftop_adder_is_the_same_in_both_scales() -> None:
    for row in table("tables/rooftop_adder"):
        assert row.number("adder_f") == pytest.approx(row.number("adder_c") * 1.8, abs=1)
