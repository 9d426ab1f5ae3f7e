"""Squeeze, fill and stretch of the O-ring glands against gland tables.

Source: depth, squeeze and groove width for a section of 3.53 mm as tabulated in the registry package
bd_warehouse 0.4.0 (static radial). Fill of 85 % at most and stretch up to 5 % are common practice, from memory.
"""

from __future__ import annotations

import math

import pytest

from models.spec.build import Build
from models.spec.dimension import Dimension

SECTION_MM = 3.53
DEPTH_MM = (2.79, 2.95)
SQUEEZE = (0.14, 0.23)
GROOVE_WIDTH_MM = 4.57
MOST_FILL = 0.85

# O-ring, the part with the groove, the part it seals against and that one's face row
GLANDS = [
    ("cover-o-ring", "suction-cover", ("volute", "bore")),
    ("bracket-o-ring", "back-plate", ("bracket", "casing-register")),
    ("housing-o-ring", "bearing-housing", ("bracket", "housing-register")),
    ("seat-o-ring", "seal-seat", ("back-plate", "seat-bore")),
]


def _rows(pump: Build, ring: str, host: str, mate: tuple[str, str]) -> tuple[Dimension, ...]:
    parts = pump.size.parts
    return (
        parts[ring]["section"],
        parts[ring]["inside"],
        parts[host]["groove-diameter"],
        parts[host]["groove-width"],
        parts[mate[0]][mate[1]],
    )


@pytest.mark.parametrize(("ring", "host", "mate"), GLANDS)
def test_a_static_gland_squeezes_within_the_table(
    pump: Build, ring: str, host: str, mate: tuple[str, str]
) -> None:
    section, _, groove, _, bore = _rows(pump, ring, host, mate)
    assert section.nominal == SECTION_MM
    depth_mm = (bore.middle - groove.middle) / 2
    assert DEPTH_MM[0] <= depth_mm <= DEPTH_MM[1]
    assert SQUEEZE[0] <= 1 - depth_mm / section.middle <= SQUEEZE[1]


@pytest.mark.parametrize(("ring", "host", "mate"), GLANDS)
def test_a_gland_is_never_filled_beyond_what_rubber_needs(
    pump: Build, ring: str, host: str, mate: tuple[str, str]
) -> None:
    section, _, groove, width, bore = _rows(pump, ring, host, mate)
    shallow_mm = (bore.lower - groove.upper) / 2
    worst = math.pi / 4 * section.upper**2 / (shallow_mm * width.lower)
    assert 0.6 < worst <= MOST_FILL
    assert width.nominal >= GROOVE_WIDTH_MM


@pytest.mark.parametrize(("ring", "host", "mate"), GLANDS)
def test_a_ring_on_an_outside_groove_is_stretched_a_little(
    pump: Build, ring: str, host: str, mate: tuple[str, str]
) -> None:
    _, inside, groove, _, _ = _rows(pump, ring, host, mate)
    assert 0.0 < groove.middle / inside.middle - 1 <= 0.05


def test_the_sliding_o_ring_on_the_shaft_is_squeezed_as_a_moving_seal(pump: Build) -> None:
    """Dynamic: depth 3.02..3.12, 9..17 %. The table allows a static depth here too, since the ring only creeps.

    Source: bd_warehouse 0.4.0 for both ranges.
    """
    groove = pump.size.parts["seal-face-coil"]["groove-diameter"]
    shaft = pump.size.parts["shaft"]["seal-diameter"]
    section = pump.size.parts["face-o-ring"]["section"]
    depth_mm = (groove.middle - shaft.middle) / 2
    assert DEPTH_MM[0] <= depth_mm <= 3.12
    assert 0.09 <= 1 - depth_mm / section.middle <= SQUEEZE[1]


def test_the_arithmetic_agrees_with_the_worked_gland() -> None:
    """ORG-3, recomputed: 3.53 in 2.85 x 4.70 gives 19.26 % squeeze and 73.06 % fill."""
    squeeze = 1 - 2.85 / SECTION_MM
    assert squeeze == pytest.approx(0.1926, abs=5e-5)
    assert math.pi / 4 * SECTION_MM**2 / (2.85 * 4.70) == pytest.approx(0.7306, abs=5e-5)


def test_a_squeezed_ring_is_as_wide_as_its_area_over_its_gland(pump: Build) -> None:
    """The part's own width against the fill worked out from the table: width is fill times groove width."""
    for ring, host, mate in GLANDS:
        section, _, groove, groove_width, bore = _rows(pump, ring, host, mate)
        depth_mm = (bore.middle - groove.middle) / 2
        fill = math.pi / 4 * section.middle**2 / (depth_mm * groove_width.middle)
        width = pump.pieces[ring].faces["drive-end"].at
        assert float(width) == pytest.approx(fill * groove_width.middle, rel=1e-9)
        assert float(width) < groove_width.middle, f"{ring} has room to go"
