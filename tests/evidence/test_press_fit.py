"""The bore's closing by the press fit against an independent solution of Lame's cylinders.

No printed worked example was found to hold it against (see the LAM values): the closed forms stand on
equilibrium and compatibility alone, so they are solved here again as a linear system, another route.
"""

from __future__ import annotations

import numpy as np
import pytest

from models.builds import make_named_build
from models.spec.build import Build
from models.systems.effects import MODULUS_MPA, POISSON, ring_bore_closing

PUMP = "end-suction/100-250"


def _solve(
    radii_mm: tuple[float, float, float],
    inner: tuple[float, float],
    outer: tuple[float, float],
    fit_mm: float,
) -> tuple[float, float]:
    """Solve two cylinders pressed together: u = A r + B / r in each, by four conditions.

    Plane stress: radial stress = E / (1 - nu^2) (A (1 + nu) - B (1 - nu) / r^2).
    No pressure at the free bore and outside; equal radial stress and a jump of fit_mm / 2 at the fit.

    Returns:
        pressure in MPa, change of the free bore's diameter in mm.
    """
    a, b, c = radii_mm

    def stress(material: tuple[float, float], r: float) -> tuple[float, float]:
        modulus, nu = material
        factor = modulus / (1 - nu**2)
        return factor * (1 + nu), -factor * (1 - nu) / r**2

    matrix = np.zeros((4, 4))
    matrix[0, :2] = stress(inner, a)
    matrix[1, 2:] = stress(outer, c)
    matrix[2, :2], matrix[2, 2:] = stress(inner, b), [-s for s in stress(outer, b)]
    matrix[3] = [-b, -1 / b, b, 1 / b]
    a1, b1, _, _ = np.linalg.solve(matrix, [0.0, 0.0, 0.0, fit_mm / 2])
    pressure = -(np.array(stress(inner, b)) @ [a1, b1])
    return float(pressure), float(2 * (a1 * a + b1 / a))


def test_the_solver_gives_the_closed_form_of_two_steel_rings() -> None:
    """LAM-2 (recomputed): tubes r 50/100 in 100/150, radial 0.02 mm, E 208 GPa: 9.75 MPa."""
    steel = (208e3, 0.3)
    pressure, _ = _solve((50, 100, 150), steel, steel, 0.04)
    assert pressure == pytest.approx(9.75, abs=0.005)


def test_the_solver_gives_the_closed_form_of_a_nearly_solid_shaft() -> None:
    """LAM-1 (recomputed): d 60, outside 100, 0.030 mm, E 210 GPa, nu 0.292: 33.60 MPa."""
    steel = (210e3, 0.292)
    pressure, _ = _solve((0.001, 30, 50), steel, steel, 0.030)
    assert pressure == pytest.approx(33.60, abs=0.005)


def _independent(build: Build) -> float:
    ring, cover = build.piece_at("wear-ring"), build.piece_at("suction-cover")
    bore, fit_d = float(ring.row["bore"]), float(cover.row["ring-bore"])
    fit_mm = float(ring.row["outside"]) - fit_d
    hub, core = cover.part.material.value, ring.part.material.value
    radii = (bore / 2, fit_d / 2, fit_d / 2 + float(cover.row["wall"]))
    inner, outer = (MODULUS_MPA[core], POISSON[core]), (MODULUS_MPA[hub], POISSON[hub])
    return _solve(radii, inner, outer, fit_mm)[1]


@pytest.mark.parametrize("outside_mm", [156.043, 156.0555, 156.068])
def test_the_wear_ring_closes_as_the_linear_system_says(outside_mm: float) -> None:
    build = make_named_build(PUMP, measured={("wear-ring", "outside"): outside_mm})
    assert float(ring_bore_closing(build)) == pytest.approx(_independent(build), rel=1e-9)


def test_a_rigid_cover_closes_the_bore_by_nearly_all_of_the_interference(
    pump: Build, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Limit: the cover gives nothing, so the ring's outside must shrink by the whole interference."""
    monkeypatch.setitem(MODULUS_MPA, "cast-iron", 1e15)
    closing = float(ring_bore_closing(pump))
    ring = pump.piece_at("wear-ring")
    fit_d, bore = float(pump.piece_at("suction-cover").row["ring-bore"]), float(ring.row["bore"])
    fit_mm, nu = float(ring.row["outside"]) - fit_d, POISSON["bronze"]
    # outside shrinks by p d / E ((d2 + b2) / (d2 - b2) - nu), the bore by p d / E 2 d b / (d2 - b2)
    ratio = 2 * fit_d * bore / (fit_d**2 + bore**2 - nu * (fit_d**2 - bore**2))
    assert closing == pytest.approx(-fit_mm * ratio, rel=1e-6)


def test_the_closing_is_a_share_of_the_interference_between_none_and_all(pump: Build) -> None:
    ring, cover = pump.piece_at("wear-ring"), pump.piece_at("suction-cover")
    fit_mm = float(ring.row["outside"]) - float(cover.row["ring-bore"])
    share = -float(ring_bore_closing(pump)) / fit_mm
    assert 0.4 < share < 1.0


def test_no_interference_closes_nothing() -> None:
    build = make_named_build(PUMP, measured={("wear-ring", "outside"): 156.02})
    assert float(ring_bore_closing(build)) == pytest.approx(0.0, abs=1e-12)


def test_the_closing_depends_on_both_fitted_diameters_oppositely(pump: Build) -> None:
    terms = ring_bore_closing(pump).terms
    assert set(terms) == {("wear-ring", "outside"), ("suction-cover", "ring-bore")}
    assert terms["wear-ring", "outside"] == -terms["suction-cover", "ring-bore"]
