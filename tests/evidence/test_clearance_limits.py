"""Limits of gaps, floats and seal fits, and growth by heat, against published values."""

from __future__ import annotations

import pytest

from models.formulas.thermal_growth import REFERENCE_C, find_growth_share
from models.spec.build import TABLES, Build
from models.spec.limits import read_limits
from models.spec.materials import read_metals
from models.spec.part import Material
from models.spec.standard import read_standard

INCH_MM = 25.4
LIMITS = read_limits(TABLES)
KELVIN_PER_F = 5.0 / 9.0


@pytest.mark.evidence(
    "US Army TM 5-4320-300-14; 5-21: 0.010 to 0.020 in between impeller and wear plate"
)
def test_gap_to_the_wear_plate_is_what_a_field_manual_asks() -> None:
    (band,) = LIMITS["wear-plate"]
    asked = (0.010 * INCH_MM, 0.020 * INCH_MM)
    assert (band.required.lower, band.required.upper) == pytest.approx(asked, abs=0.01)


@pytest.mark.evidence("US Army TM 10-4320-325-14; 5-8: 0.010 to 0.015 in when reset by shims")
def test_aim_at_the_wear_plate_lies_where_shims_should_bring_it() -> None:
    (band,) = LIMITS["wear-plate"]
    assert 0.010 * INCH_MM <= band.required.nominal <= 0.015 * INCH_MM


@pytest.mark.evidence("US Army TM 9-2330-398-24; 3-34: set to 0.015 in, reset beyond 0.035 in")
def test_wear_plate_is_reset_before_a_field_manual_would() -> None:
    (band,) = LIMITS["wear-plate"]
    assert band.required.lower < 0.015 * INCH_MM < band.required.upper < 0.035 * INCH_MM


@pytest.mark.evidence(
    "training slides, 201 Pump condition evaluation; bearing end play not above 0.010 in"
)
def test_end_float_of_a_single_row_bearing_ends_at_ten_thousandths() -> None:
    (band,) = LIMITS["end-float-single-row"]
    assert band.required.upper == pytest.approx(0.010 * INCH_MM, abs=0.005)


@pytest.mark.evidence(
    "training slides, 201 Pump condition evaluation; bearing related run-out not above 0.002 in"
)
def test_run_out_of_the_impeller_is_drawn_within_two_thousandths(pump: Build) -> None:
    assert pump.size.parts["impeller"]["run-out"].upper == pytest.approx(0.002 * INCH_MM, abs=0.001)


DIN_3760 = "DIN 3760; press-fit table on a seal trader's page, rubber-covered case, {}"
RMA = "Rubber Manufacturers Association, metric bore and seal OD table in Critical Seal Design Tolerance Charts; {}"


@pytest.mark.parametrize(
    "size",
    [
        pytest.param(size, marks=pytest.mark.evidence(source.format("over 50 to 80 mm")), id=f"{size} {source[:8]}")
        for size in ("38x52x7", "40x62x8", "45x62x8", "50x72x8", "55x80x8")
        for source in (DIN_3760, RMA)
    ],
)  # fmt: skip
def test_case_of_a_lip_seal_is_as_much_larger_as_the_table_says(size: str) -> None:
    row = read_standard(TABLES, "lip-seals")[size]["outside"]
    assert (row.lower - row.nominal, row.upper - row.nominal) == pytest.approx((0.20, 0.35))


@pytest.mark.evidence("structure: limits of a case and its bore")
def test_limits_of_a_case_leave_room_for_the_bore_and_no_more(pump: Build) -> None:
    """The case's least over the widest bore, its most over the narrowest: the limits hold both."""
    bore = pump.size.parts["bearing-cap"]["oil-seal-bore"]
    seal = read_standard(TABLES, "lip-seals")["45x62x8"]["outside"]
    asked = pump.find_requirement(pump.clearance("oil-seal-drive.case-fit"))
    assert asked.lower <= bore.lower - seal.upper + 1e-9
    assert bore.upper - seal.lower <= asked.upper < 0.0


BACHUS = "Bachus and Custodio, Know and Understand Centrifugal Pumps; p. 156, growth of a stainless pump over 10 in"


@pytest.mark.parametrize(
    ("rise_f", "grown_in"),
    [(100, 0.0097), (300, 0.0291), (400, 0.0388), (500, 0.0485), (600, 0.0582)],
)  # 0.0190 at 200 F is left out: its neighbours say 0.0194
@pytest.mark.evidence(BACHUS)
def test_growth_of_ten_inches_of_stainless(rise_f: float, grown_in: float) -> None:
    expansion_per_k = 9.7e-6 / KELVIN_PER_F
    share = find_growth_share(expansion_per_k, REFERENCE_C + rise_f * KELVIN_PER_F)
    assert 10.0 * share == pytest.approx(grown_in, abs=5e-5)


@pytest.mark.evidence(
    "Callister and Rethwisch, Materials Science and Engineering; problem 19.7, copper wire"
)
def test_copper_wire_shrinks_in_the_cold() -> None:
    shares = [find_growth_share(17.0e-6, temperature_c) for temperature_c in (-9.0, 40.0)]
    assert 15_000.0 * (shares[0] - shares[1]) == pytest.approx(-12.5, abs=0.01)


@pytest.mark.evidence(
    "physics course, thermal expansion, example 3; steel bridge of 200 m from 20 C"
)
@pytest.mark.parametrize(("temperature_c", "grown_m"), [(-30.0, -0.12), (40.0, 0.048)])
def test_bridge_that_was_measured_at_twenty_degrees(temperature_c: float, grown_m: float) -> None:
    assert 200.0 * find_growth_share(12e-6, temperature_c) == pytest.approx(grown_m)


@pytest.mark.evidence(
    "McNally, notes on pumps; axial growth: 0.001 in an inch for 100 F, stainless shaft"
)
def test_stainless_shaft_by_the_rule_of_thumb() -> None:
    share = find_growth_share(
        read_metals(TABLES)[Material.STAINLESS].expansion_per_k, REFERENCE_C + 100 * KELVIN_PER_F
    )
    assert share == pytest.approx(0.001, rel=0.15)


@pytest.mark.evidence("closed form: alpha L dT for 500 mm and 60 K")
@pytest.mark.parametrize(
    ("expansion", "grown_mm"), [(16.0e-6, 0.480), (12.0e-6, 0.360), (10.5e-6, 0.315)]
)
def test_half_a_metre_grows_by_its_coefficient(expansion: float, grown_mm: float) -> None:
    assert 500.0 * find_growth_share(expansion, REFERENCE_C + 60.0) == pytest.approx(grown_mm)
