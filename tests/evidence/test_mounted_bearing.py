"""Clearance tables, what mounting leaves of a bearing's clearance, its axial play, and the heat a seat asks for."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from models.builds import make_named_build
from models.formulas.bearing_clearance import (
    find_axial_play,
    find_residual_clearance,
)
from models.formulas.mounting import AIM_C, MOST_C, Warmth, find_heating
from models.formulas.press_fit import PressFit
from models.spec.build import TABLES
from models.spec.length import Length
from models.spec.materials import Metal
from models.spec.standard import read_standard
from models.systems.mounted_bearings import find_mounted

UM = 1000.0
ISO_5753 = "ISO 5753-1:2009; radial internal clearance, {}"
CLOSED_FORM = "closed form: {}"
STEEL = Metal(207e3, 0.3, 12.5e-6, 1700.0)

# by largest bore of the step: C2, CN, C3, C4, C5 in um
BALL_UM = {
    18: "0-9 3-18 11-25 18-33 25-45", 24: "0-10 5-20 13-28 20-36 28-48", 30: "1-11 5-20 13-28 23-41 30-53",
    40: "1-11 6-20 15-33 28-46 40-64", 50: "1-11 6-23 18-36 30-51 45-73", 65: "1-15 8-28 23-43 38-61 55-90",
    80: "1-15 10-30 25-51 46-71 65-105", 100: "1-18 12-36 30-58 53-84 75-120",
    120: "2-20 15-41 36-66 61-97 90-140", 140: "2-23 18-48 41-81 71-114 105-160",
    160: "2-23 18-53 46-91 81-130 120-180", 180: "2-25 20-61 53-102 91-147 135-200",
}  # fmt: skip
ROLLER_UM = {
    30: "0-25 20-45 35-60 50-75", 40: "5-30 25-50 45-70 60-85", 50: "5-35 30-60 50-80 70-100",
    65: "10-40 40-70 60-90 80-110", 80: "10-45 40-75 65-100 90-125", 100: "15-50 50-85 75-110 105-140",
    120: "15-55 50-90 85-125 125-165",
}  # fmt: skip


@pytest.mark.parametrize(
    ("table", "values"),
    [
        pytest.param("ball", BALL_UM, marks=pytest.mark.evidence(ISO_5753.format("balls"), from_memory=True)),
        pytest.param("roller", ROLLER_UM, marks=pytest.mark.evidence(ISO_5753.format("rollers"), from_memory=True)),
    ],
)  # fmt: skip
def test_the_clearance_table_is_as_recalled(table: str, values: dict[int, str]) -> None:
    """Two trade pages print the same for balls but for plain misprints; they count as nothing here."""
    rows = read_standard(TABLES, f"radial-clearances-{table}")
    told = 0
    for to_mm, line in values.items():
        for name, cell in zip(("C2", "CN", "C3", "C4", "C5"), line.split(), strict=False):
            least, most = (float(um) for um in cell.split("-"))
            row = rows[f"{to_mm} {name}"]
            clearance = row["internal-clearance"]
            assert (clearance.lower * UM, clearance.upper * UM) == pytest.approx((least, most))
            assert row["to-bore"].nominal == to_mm
            told += 1
    assert told == len(rows)


@pytest.mark.evidence(CLOSED_FORM.format("steel ring on a solid steel shaft, d / D"))
def test_a_raceway_grows_by_the_interference_times_the_ratio_of_the_diameters() -> None:
    """CLR-1: d 40, raceway 52.9, 20 um: 0.75614 of it, 15.12 um."""
    share = PressFit(40, 0, 52.9, STEEL, STEEL).outside_growth_share
    assert share == pytest.approx(40 / 52.9, rel=1e-12)
    assert share * 20 == pytest.approx(15.12, abs=0.005)


@pytest.mark.evidence(CLOSED_FORM.format("steel ring on a hollow steel shaft"))
@pytest.mark.parametrize("bore_mm", [5.0, 20.0, 30.0])
def test_a_hollow_shaft_widens_the_raceway_less(bore_mm: float) -> None:
    d, race = 40.0, 52.9
    hollow = PressFit(d, bore_mm, race, STEEL, STEEL).outside_growth_share
    less = (1 - (bore_mm / d) ** 2) / (1 - (bore_mm / race) ** 2)
    assert hollow == pytest.approx(d / race * less, rel=1e-12)


@pytest.mark.parametrize(
    ("internal_um", "left_um"),
    [((6, 20), (-12.9, 18.5)), ((15, 33), (-3.9, 31.5))],
    ids=["CN", "C3"],
)
@pytest.mark.evidence(CLOSED_FORM.format("chain of clearance, seat and bore at their limits"))
def test_the_worst_cases_of_a_mounted_bearing(
    internal_um: tuple[float, float], left_um: tuple[float, float]
) -> None:
    """CLR-2: 6308 on k5, interference 2 to 25 um, share 0.756."""
    share = PressFit(40, 0, 52.9, STEEL, STEEL).outside_growth_share
    for internal, tight, left in zip(internal_um, (25, 2), left_um, strict=True):
        found = find_residual_clearance(
            Length(internal / UM), Length(tight / UM), Length(-0.01),
            inner_share=share, outer_share=0.5, outer_raceway_mm=80.0, expansion_per_k=12.5e-6,
        )  # fmt: skip
        assert float(found) * UM == pytest.approx(left, abs=0.05)


@pytest.mark.evidence(CLOSED_FORM.format("linear expansion of the outer raceway's diameter"))
@pytest.mark.parametrize("warmer_k", [5.0, 10.0, 20.0])
def test_a_warmer_inner_ring_takes_clearance(warmer_k: float) -> None:
    """CLR-3: alpha dT D."""
    found = find_residual_clearance(
        Length(0.02), Length(0.0), Length(0.0),
        inner_share=0.8, outer_share=0.5, outer_raceway_mm=80.0, expansion_per_k=12.5e-6, inner_warmer_k=warmer_k,
    )  # fmt: skip
    assert (0.02 - float(found)) * UM == pytest.approx(12.5e-6 * warmer_k * 80.0 * UM)


@pytest.mark.evidence(CLOSED_FORM.format("two circles that touch a ball between them"))
@pytest.mark.parametrize("radial_um", [6.0, 13.0, 33.0])
def test_axial_play_follows_from_the_grooves(radial_um: float) -> None:
    """Contact angle a with cos a = 1 - radial / 2A, play 2 A sin a, A = (0.52 + 0.52 - 1) D."""
    apart = 0.04 * 15.5
    angle = math.acos(1 - radial_um / UM / (2 * apart))
    found = float(find_axial_play(Length(radial_um / UM), 15.5))
    assert found == pytest.approx(2 * apart * math.sin(angle), rel=1e-9)
    assert found * UM > 5 * radial_um


@pytest.mark.evidence(CLOSED_FORM.format("linear expansion"))
def test_a_60_mm_bearing_on_m6_asks_for_more_than_it_may_have() -> None:
    """HT-1: +30 um on -15 um, slack 30 um, 12e-6: 104.2 K, 124 C, above 120. HT-1b: 100 K widen 50 mm by 60 um."""
    heating = find_heating(60, 0.045, 12e-6, slack_mm=0.030)
    assert heating.temperature_c - 20.0 == pytest.approx(104.2, abs=0.05)
    assert heating.temperature_c == pytest.approx(124, abs=0.5)
    assert heating.warmth is Warmth.TOO_HOT
    assert find_heating(50, 0.060, 12e-6, slack_mm=0.0).temperature_c == pytest.approx(120.0)


@pytest.mark.evidence(
    "common practice; 70 to 90 % of the interference reaches the raceway", from_memory=True
)
@pytest.mark.parametrize("place", ["bearing-inboard", "bearing-outboard"])
def test_what_reaches_the_raceway_is_the_usual_share(place: str) -> None:
    mounted = find_mounted(make_named_build("end-suction/100-250"), place)
    assert 0.7 < mounted.inner.outside_growth_share < 0.9


@pytest.mark.evidence("MIL-HDBK-1164; table 17, bearings of pumps")
def test_a_bearing_is_heated_within_the_printed_range() -> None:
    """Heated in an oil bath or oven to 200 to 250 F (93 to 121 C)."""
    low_c, high_c = ((fahrenheit - 32) / 1.8 for fahrenheit in (200, 250))
    assert low_c < AIM_C < MOST_C < high_c
    assert pytest.approx(high_c, abs=1.2) == MOST_C


@pytest.mark.evidence("Singer, Pytel, Strength of Materials; problem 267")
def test_a_tire_shrunk_on_a_wheel_presses_as_printed() -> None:
    """2 m wheel at 25 C, tire 12 mm thick just fits at 80 C, 11.7e-6, E 200 GPa, wheel rigid: 1.5444 MPa as a thin ring."""
    rise_k, expansion = 80 - 25, 11.7e-6
    interference_mm = expansion * rise_k * 2000
    heating = find_heating(2000, interference_mm, expansion, slack_mm=0.0, shop_c=25.0)
    assert heating.temperature_c == pytest.approx(80.0)
    rigid, tire = replace(STEEL, modulus_mpa=1e15), Metal(200e3, 1e-9, expansion, 300.0)
    thick = PressFit(2000, 0, 2024, rigid, tire).pressure_mpa_per_mm * interference_mm
    assert thick == pytest.approx(1.5444, rel=0.01)  # a thin ring leaves out half its thickness
    thin = PressFit(2000, 0, 2000.024, rigid, tire).pressure_mpa_per_mm * interference_mm
    assert thin * 1000 == pytest.approx(1.5444, rel=1e-4)
