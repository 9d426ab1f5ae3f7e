"""Press fits against published examples, and against an independent solution of Lame's cylinders.

The examples are recomputed to the digits that they print. Beside them the closed forms are solved again as a
linear system, another route, and at their limits; those are not counted as published.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from models.builds import make_named_build
from models.formulas.press_fit import PressFit
from models.spec.build import TABLES, Build
from models.spec.errors import RefusalError
from models.spec.materials import Metal, read_metals
from models.spec.part import Material
from models.systems.effects import HUB_RING, WEAR_RING, PressedRing
from trainer.session.fits import answer_free_fit

PUMP = "end-suction/100-250"
BHANDARI = (
    "Bhandari, Design of Machine Elements; example {}, as worked in its Scilab textbook companion"
)
SHIGLEY = "Shigley's Mechanical Engineering Design, 8th ed., solutions manual; problem {}"
CALLISTER = (
    "Callister, Fundamentals of Materials Science and Engineering, 3rd ed.; tables B.2, B.4, B.6"
)
CLOSED_FORM = "closed form: Lame's thick cylinders"
STEEL_207 = Metal(207e3, 0.3, 12e-6, 300.0)


def _steel(modulus_gpa: float, poisson: float = 0.3) -> Metal:
    return Metal(modulus_gpa * 1e3, poisson, 12e-6, 300.0)


def _solve(fit: PressFit, interference_mm: float) -> tuple[float, float, float]:
    """Solve two cylinders pressed together: u = A r + B / r in each, by four conditions.

    Plane stress: radial stress = E / (1 - nu^2) (A (1 + nu) - B (1 - nu) / r^2).
    No pressure at the free bore and outside; equal radial stress and a jump of half the interference at the fit.

    Returns:
        pressure in MPa, change of the free bore's and of the free outside's diameter in mm.
    """
    a, b, c = max(fit.bore_mm / 2, 1e-3), fit.fit_mm / 2, fit.outside_mm / 2

    def stress(metal: Metal, r: float) -> tuple[float, float]:
        factor = metal.modulus_mpa / (1 - metal.poisson_ratio**2)
        return factor * (1 + metal.poisson_ratio), -factor * (1 - metal.poisson_ratio) / r**2

    matrix = np.zeros((4, 4))
    matrix[0, :2] = stress(fit.inner, a)
    matrix[1, 2:] = stress(fit.outer, c)
    matrix[2, :2], matrix[2, 2:] = stress(fit.inner, b), [-s for s in stress(fit.outer, b)]
    matrix[3] = [-b, -1 / b, b, 1 / b]
    a1, b1, a2, b2 = np.linalg.solve(matrix, [0.0, 0.0, 0.0, interference_mm / 2])
    pressure = -(np.array(stress(fit.inner, b)) @ [a1, b1])
    return float(pressure), float(2 * (a1 * a + b1 / a)), float(2 * (a2 * c + b2 / c))


@pytest.mark.evidence(BHANDARI.format("22.6"))
def test_a_jacket_shrunk_on_a_tube_to_100_mpa_is_bored_as_printed() -> None:
    """Tubes 20/40 and 40/60, E 207 GPa, hoop stress 100 MPa at the jacket's bore: jacket bored to 39.968289 mm."""
    fit = PressFit(40, 20, 60, STEEL_207, STEEL_207)
    pressure_mpa = 100.0 / fit.hoop_at_fit_share
    assert pressure_mpa / fit.pressure_mpa_per_mm == pytest.approx(40 - 39.968289, abs=5e-7)


@pytest.mark.evidence(BHANDARI.format("22.8"))
def test_a_jacket_for_equal_stresses_is_bored_as_printed() -> None:
    """Tubes 50/75 and 75/100, E 207 GPa, shrink pressure 3.615169 MPa: jacket bored to 74.991916 mm."""
    fit = PressFit(75, 50, 100, STEEL_207, STEEL_207)
    assert 3.615169 / fit.pressure_mpa_per_mm == pytest.approx(75 - 74.991916, abs=5e-7)


MPA_PER_PSI = 6.894757e-3
SHIGLEY_STEEL = _steel(207)
INCH_STEEL = Metal(30e6 * MPA_PER_PSI, 0.292, 12e-6, 300.0)


@pytest.mark.parametrize(
    ("shaft", "radial_mm", "pressure_mpa"),
    [
        pytest.param("s6", (0.009, 0.0295), (34.9, 114.5), marks=pytest.mark.evidence(SHIGLEY.format("3-64"))),
        pytest.param("u6", (0.0175, 0.038), (67.9, 147.5), marks=pytest.mark.evidence(SHIGLEY.format("3-66"))),
    ],
)  # fmt: skip
def test_a_collar_on_a_40_mm_shaft_is_pressed_as_printed(
    shaft: str, radial_mm: tuple[float, float], pressure_mpa: tuple[float, float]
) -> None:
    """40 H7 on s6 and u6, solid shaft, E 207 GPa, collar 80 mm outside (the outside follows from what is printed)."""
    between = answer_free_fit(40, "H7", shaft).between
    tight_mm = [-between.most_um / 1e3, -between.least_um / 1e3]
    assert [tight / 2 for tight in tight_mm] == pytest.approx(radial_mm)
    fit = PressFit(40, 0, 80, SHIGLEY_STEEL, SHIGLEY_STEEL)
    for tight, printed in zip(tight_mm, pressure_mpa, strict=True):
        assert fit.pressure_mpa_per_mm * tight == pytest.approx(printed, abs=0.05)


@pytest.mark.evidence(SHIGLEY.format("3-68"))
def test_a_collar_on_an_inch_shaft_is_stressed_as_printed() -> None:
    """Shaft 1.002 in, collar 1 to 2 in, E 30 Mpsi, nu 0.292: 22 500 psi, hoop stress 37 500 psi in the collar."""
    fit = PressFit(25.4, 0, 50.8, INCH_STEEL, INCH_STEEL)
    pressure_psi = fit.pressure_mpa_per_mm * 0.002 * 25.4 / MPA_PER_PSI
    assert pressure_psi == pytest.approx(22_500, rel=1e-6)
    assert pressure_psi * fit.hoop_at_fit_share == pytest.approx(37_500, rel=1e-6)


@pytest.mark.parametrize(
    ("fit", "interference_mm", "pressure_mpa"),
    [
        pytest.param(PressFit(60, 0, 100, _steel(210, 0.292), _steel(210, 0.292)), 0.030, 33.60, id="LAM-1"),
        pytest.param(PressFit(200, 100, 300, _steel(208), _steel(208)), 0.04, 9.75, id="LAM-2"),
        pytest.param(PressFit(50, 0, 80, _steel(207), _steel(207)), 0.040, 50.456, id="LAM-4"),
        pytest.param(PressFit(50, 20, 80, _steel(207), _steel(207)), 0.040, 45.209, id="LAM-4 hollow"),
        pytest.param(PressFit(50, 0, math.inf, _steel(207), _steel(207)), 0.040, 82.80, id="LAM-4 endless"),
        pytest.param(PressFit(50, 0, 100, _steel(207, 0.292), _steel(100, 0.211)), 0.040, 36.041, id="LAM-4 iron"),
        pytest.param(PressFit(30, 0, 50, _steel(207), _steel(207)), 0.001, 2.21, id="LAM-5 least p6"),
        pytest.param(PressFit(30, 0, 50, _steel(207), _steel(207)), 0.035, 77.28, id="LAM-5 most p6"),
        pytest.param(PressFit(80, 0, 120, _steel(207), _steel(207)), 0.029, 20.84, id="LAM-5 least s6"),
        pytest.param(PressFit(80, 0, 120, _steel(207), _steel(207)), 0.078, 56.06, id="LAM-5 most s6"),
    ],
)  # fmt: skip
@pytest.mark.evidence(CLOSED_FORM)
def test_pressures_are_those_of_the_closed_form(
    fit: PressFit, interference_mm: float, pressure_mpa: float
) -> None:
    assert fit.pressure_mpa_per_mm * interference_mm == pytest.approx(pressure_mpa, rel=2e-4, abs=0.005)  # fmt: skip


@pytest.mark.evidence(CLOSED_FORM)
def test_force_torque_and_stress_follow_from_the_pressure() -> None:
    """LAM-1: 10 mm long, friction 0.3: 19 000 N, 570 N m, hoop stress 71.4 MPa. The flawed 36.7 MPa is not met."""
    fit = PressFit(60, 0, 100, _steel(210, 0.292), _steel(210, 0.292))
    assert fit.find_force_n(0.030, 10, 0.3) == pytest.approx(19_000, rel=1e-3)
    assert fit.find_torque_nm(0.030, 10, 0.3) == pytest.approx(570, rel=1e-3)
    assert 33.60 * fit.hoop_at_fit_share == pytest.approx(71.4, abs=0.05)
    assert abs(fit.pressure_mpa_per_mm * 0.030 - 36.7) > 3.0


@pytest.mark.evidence(CLOSED_FORM)
def test_a_stress_asked_for_gives_the_interference() -> None:
    """LAM-3: radii 70/90/110, E 200 GPa, hoop 100 MPa at the outer bore: 19.80 MPa, 0.0812 mm radial, -100.25 MPa inside."""
    fit = PressFit(180, 140, 220, _steel(200), _steel(200))
    pressure = 100.0 / fit.hoop_at_fit_share
    assert pressure == pytest.approx(19.80, abs=0.005)
    assert pressure / fit.pressure_mpa_per_mm / 2 == pytest.approx(0.0812, abs=5e-5)
    assert pressure * fit.hoop_at_bore_share == pytest.approx(-100.25, abs=0.01)


@pytest.mark.parametrize(
    ("material", "modulus_gpa", "expansion", "strength_mpa"),
    [
        pytest.param(*row, id=row[0].value)
        for row in (
            (Material.DUCTILE_IRON, 169, 11.2, 276),
            (Material.ALLOY_STEEL, 207, 12.3, 655),
            (Material.CARBON_STEEL, 207, 11.3, 290),
            (Material.BRONZE, 100, 18.0, 125),
            (Material.CHROME_STAINLESS_HARDENED, 200, 10.2, 1650),
        )
    ],
)
@pytest.mark.evidence(CALLISTER)
def test_metals_give_grow_and_bear_as_published(
    material: Material, modulus_gpa: float, expansion: float, strength_mpa: float
) -> None:
    metal = read_metals(TABLES)[material]
    assert metal.modulus_mpa == pytest.approx(modulus_gpa * 1e3)
    assert metal.expansion_per_k == pytest.approx(expansion * 1e-6)
    assert metal.strength_mpa == strength_mpa


@pytest.mark.evidence(CALLISTER)
def test_grey_iron_lies_where_g3000_is_published() -> None:
    metal = read_metals(TABLES)[Material.CAST_IRON]
    assert 90e3 <= metal.modulus_mpa <= 113e3
    assert metal.expansion_per_k == pytest.approx(11.4e-6)
    assert metal.strength_mpa == 207


@pytest.mark.parametrize(
    ("options", "ring"),
    [
        ({}, WEAR_RING),
        ({"suction-cover": "cast-in"}, WEAR_RING),
        ({"shaft-seal": "packed"}, WEAR_RING),
        ({"hub-ring": "balance-holes"}, HUB_RING),
        ({"hub-ring": "balance-line", "bracket": "open"}, HUB_RING),
    ],
    ids=["separate", "cast in", "packed", "hub ring, holes", "hub ring, line"],
)
@pytest.mark.evidence("closed form: Lame's thick cylinders as a linear system")
def test_a_ring_closes_as_the_linear_system_says(options: dict[str, str], ring: PressedRing) -> None:  # fmt: skip
    build = make_named_build(PUMP, options)
    fit = ring.find_press_fit(build)
    pressed = build.diameter(ring.ring, "outside") - build.diameter(ring.carrier, "ring-bore")
    pressure, closing, growth = _solve(fit, float(pressed))
    assert float(ring.find_closing(build)) == pytest.approx(closing, rel=1e-9)
    assert fit.pressure_mpa_per_mm * float(pressed) == pytest.approx(pressure, rel=1e-9)
    assert fit.outside_growth_share * float(pressed) == pytest.approx(growth, rel=1e-9)
    assert closing < 0.0


@pytest.mark.evidence("structure: the closing is counted")
@pytest.mark.parametrize("clearance", ["wear-ring", "hub-ring"])
def test_the_running_clearance_counts_the_closing(clearance: str) -> None:
    build = make_named_build(PUMP, {"hub-ring": "balance-holes"})
    (effect,) = build.clearance(clearance).effects
    ring = {"wear-ring": WEAR_RING, "hub-ring": HUB_RING}[clearance]
    assert float(effect.change(build)) == float(ring.find_closing(build)) < 0.0


@pytest.mark.evidence("closed form: Lame's thick cylinders")
def test_a_rigid_cover_closes_the_bore_by_nearly_all_of_the_interference(pump: Build) -> None:
    """Limit: the cover gives nothing, so the ring's outside must shrink by the whole interference."""
    fit = WEAR_RING.find_press_fit(pump)
    stiff = replace(fit, outer=replace(fit.outer, modulus_mpa=1e15))
    d, bore, nu = fit.fit_mm, fit.bore_mm, fit.inner.poisson_ratio
    # outside shrinks by p d / E ((d2 + b2) / (d2 - b2) - nu), the bore by p d / E 2 d b / (d2 - b2)
    ratio = 2 * d * bore / (d**2 + bore**2 - nu * (d**2 - bore**2))
    assert stiff.bore_closing_share == pytest.approx(ratio, rel=1e-6)


@pytest.mark.evidence("closed form: between a rigid and a yielding cover")
def test_the_closing_is_a_share_of_the_interference_between_none_and_all(pump: Build) -> None:
    assert 0.4 < WEAR_RING.find_press_fit(pump).bore_closing_share < 1.0


@pytest.mark.evidence("closed form: no interference")
@pytest.mark.parametrize("outside_mm", [156.02, 156.01])
def test_a_ring_that_is_not_pressed_closes_nothing(outside_mm: float) -> None:
    build = make_named_build(PUMP, measured={("wear-ring", "outside"): outside_mm})
    assert float(WEAR_RING.find_closing(build)) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.evidence("closed form: the difference of two diameters")
def test_the_closing_depends_on_both_fitted_diameters_oppositely(pump: Build) -> None:
    terms = WEAR_RING.find_closing(pump).terms
    assert set(terms) == {("wear-ring", "outside"), ("suction-cover", "ring-bore")}
    assert terms["wear-ring", "outside"] == -terms["suction-cover", "ring-bore"]


@pytest.mark.evidence("structure: what cannot be is refused")
def test_a_ring_measured_wider_than_its_seat_is_refused() -> None:
    build = make_named_build(PUMP, measured={("wear-ring", "bore"): 157.0})
    with pytest.raises(RefusalError, match=r"leaves the ring no wall; measure both again"):
        WEAR_RING.find_closing(build)
