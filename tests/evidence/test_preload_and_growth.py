"""Bolts against the tables of ISO 898-1, growth by heat against a textbook."""

from __future__ import annotations

import pytest

from models.formulas.thermal_growth import find_growth_share
from trainer.core.running.preload import (
    COARSE_PITCH_MM,
    Bolt,
    find_proof_load_n,
    find_strength,
    find_stress_area_mm2,
    find_torque_per_preload_m,
)

PROOF = (
    "EN ISO 898-1, as reproduced by a fastener supplier; proof loads of coarse threads, class {}"
)
AREAS = {8.0: 36.6, 10.0: 58.0, 12.0: 84.3, 16.0: 157.0, 20.0: 245.0, 24.0: 353.0, 30.0: 561.0}
LOADS = {
    "8.8": {8.0: 21200, 10.0: 33700, 12.0: 48900, 16.0: 91000, 20.0: 147000, 24.0: 212000},
    "10.9": {8.0: 30400, 10.0: 48100, 12.0: 70000, 16.0: 130000, 20.0: 203000, 24.0: 293000},
    "12.9": {8.0: 35500, 10.0: 56300, 12.0: 81800, 16.0: 152000, 20.0: 238000, 24.0: 342000},
}


@pytest.mark.parametrize(
    ("thread_mm", "area_mm2"),
    [pytest.param(*row, marks=pytest.mark.evidence("EN ISO 898-1, as reproduced by a public table of least tensile loads; nominal stress areas")) for row in AREAS.items()],
)  # fmt: skip
def test_stress_area(thread_mm: float, area_mm2: float) -> None:
    found = find_stress_area_mm2(thread_mm, COARSE_PITCH_MM[thread_mm])
    assert found == pytest.approx(area_mm2, rel=0.0025)


@pytest.mark.parametrize(
    ("property_class", "thread_mm", "load_n"),
    [
        pytest.param(name, thread, load, marks=pytest.mark.evidence(PROOF.format(name)))
        for name, loads in LOADS.items()
        for thread, load in loads.items()
    ],
)
def test_proof_load(property_class: str, thread_mm: float, load_n: float) -> None:
    """The table rounds the stress area to three digits before it multiplies, so three parts in a thousand."""
    bolt = Bolt(thread_mm, 1.4 * thread_mm, property_class)
    assert find_proof_load_n(bolt) == pytest.approx(load_n, rel=0.003)


@pytest.mark.parametrize(
    ("property_class", "thread_mm", "yield_mpa"),
    [
        pytest.param(*row, marks=pytest.mark.evidence("ISO 898-1:1999, as reproduced by a course page on bolts; sections 3 to 7, yield stress"))
        for row in (("8.8", 20.0, 660.0), ("10.9", 12.0, 940.0), ("12.9", 12.0, 1100.0))
    ],
)  # fmt: skip
def test_least_yield(property_class: str, thread_mm: float, yield_mpa: float) -> None:
    assert find_strength(property_class, thread_mm)[1] == yield_mpa


@pytest.mark.parametrize(
    ("thread_mm", "across_flats_mm", "friction", "preload_kn", "torque_nm"),
    [
        pytest.param(*row, marks=pytest.mark.evidence("VDI 2230 Part 1, table A1, class 8.8", from_memory=True))
        for row in (
            (8.0, 13.0, 0.10, 19.1, 21.6), (8.0, 13.0, 0.12, 18.6, 24.6), (8.0, 13.0, 0.14, 18.1, 27.3),
            (10.0, 16.0, 0.10, 30.3, 43.0), (10.0, 16.0, 0.12, 29.6, 48.0), (10.0, 16.0, 0.14, 28.8, 54.0),
            (12.0, 18.0, 0.10, 44.1, 73.0), (12.0, 18.0, 0.12, 43.0, 84.0), (12.0, 18.0, 0.14, 41.9, 93.0),
            (16.0, 24.0, 0.10, 82.9, 180.0), (16.0, 24.0, 0.12, 80.9, 206.0), (16.0, 24.0, 0.14, 78.8, 230.0),
        )
    ],
)  # fmt: skip
def test_torque_of_a_preload(
    thread_mm: float, across_flats_mm: float, friction: float, preload_kn: float, torque_nm: float
) -> None:
    bolt = Bolt(thread_mm, 0.92 * across_flats_mm)
    found = preload_kn * 1e3 * find_torque_per_preload_m(bolt, friction)
    assert found == pytest.approx(torque_nm, rel=0.016)


@pytest.mark.evidence("OpenStax, College Physics, section 13.2, example of the Golden Gate Bridge")
def test_growth_of_a_steel_bridge() -> None:
    """1275 m from -15 to 40 degrees C with 12e-6: 0.84 m."""
    grown = 1275.0 * (find_growth_share(12e-6, 40.0) - find_growth_share(12e-6, -15.0))
    assert grown == pytest.approx(0.84, abs=0.005)
