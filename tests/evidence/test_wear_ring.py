"""The running clearance of the wear ring: least by diameter, renewal, and what the pump as drawn has.

The least clearances are FROM MEMORY: no usable source of the table was found. Its inch column follows a rule
(WR-1), so that the values are worked out from that rule rather than typed.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from models.builds import make_named_build
from models.spec.build import TABLES, Build
from models.spec.limits import read_limits
from models.spec.part import Material
from trainer.core.measure.chain import measure_clearance

INCH_MM = 25.4
ISO_13709 = "ISO 13709:2009; table of minimum running clearances"
PUMP_HANDBOOK = "Karassik and others, Pump Handbook; wear ring maintenance: renew when the clearance has doubled"
BANDS = read_limits(TABLES)["wear-ring"]


def _least_in(diameter_in: float) -> float:
    """0.010 below 2 in; 0.001 more each half inch from 2 in to 5 in; then 0.017 and 0.001 more each inch."""
    if diameter_in < 2:
        return 0.010
    if diameter_in < 5:
        return 0.011 + 0.001 * int((diameter_in - 2) / 0.5)
    return 0.017 + 0.001 * int(diameter_in - 5)


@pytest.mark.evidence(ISO_13709, from_memory=True)
@pytest.mark.parametrize(
    ("diameter_in", "thou"),
    {1.9: 10, 2: 11, 2.5: 12, 3: 13, 4: 15, 5: 17, 6: 18, 8: 20, 12: 24, 25: 37}.items(),
)
def test_the_rule_gives_the_recalled_column(diameter_in: float, thou: int) -> None:
    assert _least_in(diameter_in) == pytest.approx(thou / 1000)


@pytest.mark.evidence(ISO_13709, from_memory=True)
@pytest.mark.parametrize("band", BANDS, ids=lambda band: f"{band.from_mm:g}")
def test_the_stored_column_is_the_recalled_rule_in_every_band(band: object) -> None:
    from models.spec.limits import Limit

    assert isinstance(band, Limit)
    # the bands' millimetres are inches rounded down: look well inside the band
    middle = (band.from_mm + band.below_mm) / 2
    assert band.required.lower == pytest.approx(_least_in(middle / INCH_MM) * INCH_MM, abs=0.015)


@pytest.mark.evidence("structure: bands without a gap")
def test_the_bands_follow_each_other_without_a_gap() -> None:
    assert all(low.below_mm == high.from_mm for low, high in itertools.pairwise(BANDS))


@pytest.mark.evidence(PUMP_HANDBOOK)
@pytest.mark.parametrize("band", BANDS, ids=lambda band: f"{band.from_mm:g}")
def test_renewal_is_asked_at_double_the_least_clearance(band: object) -> None:
    from models.spec.limits import Limit

    assert isinstance(band, Limit)
    assert band.required.upper == pytest.approx(2 * band.required.lower)


@pytest.mark.evidence(ISO_13709, from_memory=True)
def test_the_least_clearance_asked_of_the_ring_is_that_of_its_diameter(pump: Build) -> None:
    nose = pump.size.parts["impeller"]["nose-diameter"].nominal
    asked = pump.find_requirement(pump.clearance("wear-ring"))
    # the millimetre column is the inch column rounded: 0.015 mm either way
    assert asked.lower == pytest.approx(_least_in(nose / INCH_MM) * INCH_MM, abs=0.015)
    assert asked.lower == pytest.approx(0.43)


@pytest.mark.evidence(ISO_13709, from_memory=True)
def test_a_pair_that_seizes_is_asked_an_eighth_of_a_millimetre_more(pump: Build) -> None:
    stainless = {
        name: replace(
            pump.pieces[name],
            place=replace(
                pump.pieces[name].place,
                part=replace(pump.pieces[name].part, material=Material.STAINLESS),
            ),
        )
        for name in ("impeller", "wear-ring")
    }
    both = replace(pump, pieces={**pump.pieces, **stainless})
    one = replace(pump, pieces={**pump.pieces, "impeller": stainless["impeller"]})
    usual, seizing, mixed = (
        build.find_requirement(build.clearance("wear-ring")) for build in (pump, both, one)
    )
    assert seizing.lower == pytest.approx(usual.lower + 0.005 * INCH_MM, abs=0.003)
    assert seizing.upper == pytest.approx(2 * seizing.lower)
    assert mixed.lower == usual.lower


@pytest.mark.evidence("structure: the pump as drawn")
def test_the_pump_as_drawn_runs_clear_even_when_the_ring_has_closed(pump: Build) -> None:
    running = measure_clearance(pump, pump.clearance("wear-ring"))
    assert running.in_service_mm < running.value_mm
    assert running.is_inside


@pytest.mark.evidence(ISO_13709, from_memory=True)
def test_the_hub_ring_is_asked_what_the_wear_ring_of_its_size_is() -> None:
    build = make_named_build("end-suction/100-250", {"hub-ring": "balance-holes"})
    rim = build.size.parts["impeller-hub-rim"]["hub-rim-diameter"].nominal
    asked = build.find_requirement(build.clearance("hub-ring")).lower
    assert asked == pytest.approx(_least_in(rim / INCH_MM) * INCH_MM, abs=0.015)
    parts = build.size.parts
    least = parts["hub-ring"]["bore"].lower - parts["impeller-hub-rim"]["hub-rim-diameter"].upper
    assert least > asked
