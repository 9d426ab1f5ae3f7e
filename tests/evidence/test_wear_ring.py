"""The running clearance of the wear ring against the minimum table of ISO 13709 / API 610.

FROM MEMORY throughout: no usable source of the table was found. Its inch column follows a rule (WR-1), so
the value at 140 mm is worked out from that rule rather than typed.
"""

from __future__ import annotations

import itertools

import pytest

from models.spec.build import Build

INCH_MM = 25.4


def _least_in(diameter_in: float) -> float:
    """0.010 below 2 in; 0.001 more each half inch from 2 in to 5 in; then 0.017 and 0.001 more each inch."""
    if diameter_in < 2:
        return 0.010
    if diameter_in < 5:
        return 0.011 + 0.001 * int((diameter_in - 2) / 0.5)
    return 0.017 + 0.001 * int(diameter_in - 5)


def test_the_rule_gives_the_recalled_column() -> None:
    recalled = {1.9: 10, 2: 11, 2.5: 12, 3: 13, 4: 15, 5: 17, 6: 18, 8: 20, 12: 24, 25: 37}
    for diameter_in, thou in recalled.items():
        assert _least_in(diameter_in) == pytest.approx(thou / 1000)


def test_the_least_clearance_asked_of_the_ring_is_the_tables_from_memory(pump: Build) -> None:
    nose = pump.size.parts["impeller"]["nose-diameter"].nominal
    asked = pump.size.parts["clearance"]["wear-ring"]
    # the millimetre column is the inch column rounded: 0.015 mm either way
    assert asked.lower == pytest.approx(_least_in(nose / INCH_MM) * INCH_MM, abs=0.015)
    assert asked.lower == pytest.approx(0.43)


def test_the_pump_as_drawn_runs_clear_even_when_the_ring_has_closed(pump: Build) -> None:
    from models.systems.effects import WEAR_RING

    gap = pump.diameter("wear-ring", "bore") - pump.diameter("impeller", "nose")
    running_mm = float(gap + WEAR_RING.find_closing(pump))
    asked = pump.size.parts["clearance"]["wear-ring"]
    assert asked.lower <= running_mm <= asked.upper


def test_renewal_is_asked_near_double_the_least_clearance(pump: Build) -> None:
    """Renew when the clearance has doubled: common practice."""
    asked = pump.size.parts["clearance"]["wear-ring"]
    assert asked.upper == pytest.approx(2 * asked.lower, rel=0.01)


def test_the_stored_column_is_the_recalled_rule_in_every_band() -> None:
    from models.spec.build import TABLES
    from models.spec.standard import read_standard

    bands = read_standard(TABLES, "running-clearances")
    for band in bands.values():
        start, least = band["from-diameter"].nominal, band["least-clearance"].nominal
        # the bands' millimetres are inches rounded down: look well inside the band
        middle = (start + band["below-diameter"].nominal) / 2
        assert least == pytest.approx(_least_in(middle / INCH_MM) * INCH_MM, abs=0.015)
    edges = [(b["from-diameter"].nominal, b["below-diameter"].nominal) for b in bands.values()]
    assert all(low[1] == high[0] for low, high in itertools.pairwise(edges))


def test_the_hub_ring_is_asked_what_the_wear_ring_of_its_size_is(pump: Build) -> None:
    parts = pump.size.parts
    rim = parts["impeller-hub-rim"]["hub-rim-diameter"].nominal
    asked = parts["clearance"]["hub-ring"].lower
    assert asked == pytest.approx(_least_in(rim / INCH_MM) * INCH_MM, abs=0.015)
    least = parts["hub-ring"]["bore"].lower - parts["impeller-hub-rim"]["hub-rim-diameter"].upper
    assert least > asked
