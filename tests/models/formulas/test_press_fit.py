"""What must be so of any two rings pressed into each other, and what is refused."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from models.formulas.press_fit import PressFit
from models.spec.build import TABLES
from models.spec.errors import ContentError
from models.spec.materials import METAL_COLUMNS, Metal, read_metals
from models.spec.part import Material

metals = st.builds(
    Metal, st.floats(50e3, 250e3), st.floats(0.2, 0.4), st.floats(8e-6, 25e-6), st.floats(50, 900)
)
fits = st.builds(
    lambda d, inner, outer, core, hub: PressFit(d, d * inner, d * outer, core, hub),
    st.floats(10, 400), st.floats(0.0, 0.95), st.floats(1.05, 5.0), metals, metals,
)  # fmt: skip
tight_mm = st.floats(0.0, 0.2)


@given(fits, tight_mm, st.floats(0.0, 10.0), st.floats(1.0, 200.0))
def test_force_and_torque_are_linear_in_interference(
    fit: PressFit, interference_mm: float, times: float, length_mm: float
) -> None:
    one, more = (
        fit.find_force_n(tight, length_mm) for tight in (interference_mm, interference_mm * times)
    )
    assert more == pytest.approx(one * times, rel=1e-9, abs=1e-9)
    assert fit.find_torque_nm(interference_mm, length_mm) == pytest.approx(one * fit.fit_mm / 2000)


@given(fits)
def test_what_moves_is_a_share_of_the_interference(fit: PressFit) -> None:
    """Bore and outside each move by less than the interference times the ratio to the fit's diameter, or its inverse."""
    assert 0.0 <= fit.bore_closing_share < 2.0
    assert 0.0 < fit.outside_growth_share < 1.0 / (1.0 - fit.outer.poisson_ratio)


@given(fits, st.floats(1.0, 3.0))
def test_a_thicker_or_stiffer_hub_presses_harder(fit: PressFit, more: float) -> None:
    thicker = replace(fit, outside_mm=fit.outside_mm * more)
    stiffer = replace(fit, outer=replace(fit.outer, modulus_mpa=fit.outer.modulus_mpa * more))
    assert thicker.pressure_mpa_per_mm >= fit.pressure_mpa_per_mm * (1 - 1e-12)
    assert stiffer.pressure_mpa_per_mm >= fit.pressure_mpa_per_mm * (1 - 1e-12)


@given(fits)
def test_an_endless_wall_is_the_limit_of_a_thick_one(fit: PressFit) -> None:
    endless, thick = (replace(fit, outside_mm=outside) for outside in (math.inf, fit.fit_mm * 1e5))
    assert endless.pressure_mpa_per_mm == pytest.approx(thick.pressure_mpa_per_mm, rel=1e-6)
    assert endless.outside_growth_share == 0.0
    assert endless.hoop_at_fit_share == 1.0


@given(fits)
def test_a_pinhole_changes_pressure_by_nothing_but_doubles_the_stress_at_it(fit: PressFit) -> None:
    solid, drilled = (replace(fit, bore_mm=bore) for bore in (0.0, fit.fit_mm * 1e-6))
    assert drilled.pressure_mpa_per_mm == pytest.approx(solid.pressure_mpa_per_mm, rel=1e-6)
    assert drilled.hoop_at_bore_share == pytest.approx(2.0 * solid.hoop_at_bore_share)
    assert solid.bore_closing_share == 0.0


@given(fits)
def test_the_two_pieces_together_take_up_the_whole_interference(fit: PressFit) -> None:
    """The seat of the outer one opens and that of the inner one closes by, in sum, one mm for each mm."""
    pressure, d = fit.pressure_mpa_per_mm, fit.fit_mm
    core, hub = fit.inner, fit.outer
    shrinks = pressure * d / core.modulus_mpa * ((d**2 + fit.bore_mm**2) / (d**2 - fit.bore_mm**2) - core.poisson_ratio)  # fmt: skip
    opens = pressure * d / hub.modulus_mpa * ((fit.outside_mm**2 + d**2) / (fit.outside_mm**2 - d**2) + hub.poisson_ratio)  # fmt: skip
    assert shrinks + opens == pytest.approx(1.0)


@given(st.floats(-10, 500), st.floats(-10, 500), st.floats(-10, 500))
def test_cylinders_without_walls_are_refused(bore: float, fit: float, outside: float) -> None:
    assume(not 0.0 <= bore < fit < outside)
    metal = Metal(207e3, 0.3, 12e-6, 300.0)
    with pytest.raises(ValueError, match="leave no walls"):
        PressFit(fit, bore, outside, metal, metal)


def test_a_loose_fit_holds_nothing() -> None:
    metal = Metal(207e3, 0.3, 12e-6, 300.0)
    assert PressFit(50, 0, 80, metal, metal).find_force_n(-0.02, 60) == 0.0


# ---------------------------------------------------------------- the table of metals


def test_every_metal_of_a_part_has_its_row() -> None:
    known = read_metals(TABLES)
    assert {Material.CAST_IRON, Material.BRONZE, Material.BEARING_STEEL, Material.STAINLESS} <= set(known)  # fmt: skip
    assert Material.RUBBER not in known


@pytest.mark.parametrize(
    ("row", "what"),
    [
        ("cast-irn,100,0.26,11.4,207", "no part is of 'cast-irn'"),
        ("cast-iron,-100,0.26,11.4,207", "modulus_gpa is -100"),
        ("cast-iron,100,0.5,11.4,207", "poisson_ratio is 0.5"),
        ("cast-iron,100,0.26,,207", "expansion_um_per_m_k is missing"),
        ("cast-iron,100,0.26,11.4,nan", "strength_mpa is nan"),
        ("cast-iron,100,0,26,11.4,207", "has 6 cells"),
    ],
)
def test_a_wrong_row_is_refused_with_its_place(tmp_path: Path, row: str, what: str) -> None:
    (tmp_path / "metals.csv").write_text(",".join(METAL_COLUMNS) + "\n" + row + "\n")
    with pytest.raises(ContentError, match=what) as caught:
        read_metals(tmp_path)
    assert all(str(fault).startswith("metals.csv:2:") for fault in caught.value.faults)
