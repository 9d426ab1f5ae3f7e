"""O-rings: their glands against a package's tables, their squeeze, fill and stretch against worked values."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import pytest
from _pytest.mark import ParameterSet

from models.parts.o_ring import find_fill, find_squeeze, find_stretch, find_stretched_section
from models.spec.build import TABLES, Build
from models.spec.length import Length
from models.spec.limits import read_limits
from trainer.core.measure.chain import measure_clearance

PACKAGE = "registry package bd_warehouse 0.4.0; {} gland table, section {}"
TRADE_GUIDE = "O-ring seal design guide of a seal maker; basics: stretch of 1 to 5 %, not more"
GLAND_NOTES = "Chamberlain, notes on mechanical design, O-rings; typical fill of a static gland"
LIMITS = read_limits(TABLES)

# section: least and most squeeze in percent, groove width without back-up ring in mm (frozen from the package's CSV)
STATIC = {1.78: (18, 32, 2.41), 2.62: (14, 25, 3.56), 3.53: (14, 23, 4.57), 5.33: (14, 21, 7.11), 6.99: (13, 20, 9.40)}  # fmt: skip
DYNAMIC = {1.78: (15, 25), 2.62: (10, 18), 3.53: (9, 17), 5.33: (8.5, 15), 6.99: (10.5, 17)}


def find_limits(name: str, by_mm: float) -> tuple[float, float]:
    (band,) = [one for one in LIMITS[name] if one.from_mm <= by_mm < one.below_mm]
    return band.required.lower, band.required.upper


def cite(kind: str, sections: Mapping[float, Sequence[float]]) -> list[ParameterSet]:
    return [
        pytest.param(section, *row, marks=pytest.mark.evidence(PACKAGE.format(kind, section)))
        for section, row in sections.items()
    ]


@pytest.mark.parametrize(("section", "least", "most", "width"), cite("static radial", STATIC))
def test_a_static_o_ring_is_asked_the_squeeze_of_the_table(
    section: float, least: float, most: float, width: float
) -> None:
    limits = find_limits("o-ring-squeeze-static-radial", section)
    assert limits == pytest.approx((least / 100, most / 100))
    # the table's own grooves are never fuller than the limit: at the deepest squeeze that it allows
    shallow = section * (1 - most / 100)
    fill = find_fill(Length(section), Length(shallow), Length(width))
    assert float(fill) < 1.0


@pytest.mark.parametrize(("section", "least", "most"), cite("dynamic", DYNAMIC))
def test_a_creeping_o_ring_may_have_as_little_as_a_moving_one(
    section: float, least: float, most: float
) -> None:
    low, high = find_limits("o-ring-squeeze-creeping", section)
    assert low == pytest.approx(least / 100)
    assert high == find_limits("o-ring-squeeze-static-radial", section)[1] >= most / 100


@pytest.mark.evidence(TRADE_GUIDE)
def test_stretch_ends_at_five_percent_with_two_as_the_aim() -> None:
    (band,) = LIMITS["o-ring-stretch"]
    assert (band.required.nominal, band.required.upper) == (0.02, 0.05)


@pytest.mark.evidence(GLAND_NOTES)
def test_fill_of_a_static_gland_ends_at_85_percent() -> None:
    (band,) = LIMITS["o-ring-fill"]
    assert band.required.upper == 0.85
    assert band.required.lower <= 0.65 <= band.required.nominal <= 0.75


@pytest.mark.parametrize(
    ("section", "depth", "width", "squeeze", "fill"),
    [(3.53, 2.85, 4.70, 0.1926, 0.7306), (5.33, 4.40, 7.11, 0.1745, 0.7132)],
)
@pytest.mark.evidence("closed form: squeeze and fill of a gland from its three dimensions")
def test_squeeze_and_fill_of_a_worked_gland(
    section: float, depth: float, width: float, squeeze: float, fill: float
) -> None:
    assert float(find_squeeze(Length(section), Length(depth))) == pytest.approx(squeeze, abs=5e-5)
    assert float(find_fill(Length(section), Length(depth), Length(width))) == pytest.approx(fill, abs=5e-5)  # fmt: skip


@pytest.mark.evidence("closed form: volume of a ring of round section, kept as it is stretched")
def test_stretched_ring_keeps_its_volume() -> None:
    """Size 214 on 25.40: 1.641 % longer, section 3.5049; and whatever the sizes, pi^2/4 w^2 (ID + w) stays to first order."""
    inside, section, inner = Length(24.99), Length(3.53), Length(25.40)
    assert float(find_stretch(inside, inner)) == pytest.approx(0.01641, abs=5e-6)
    thinner = float(find_stretched_section(section, inside, inner))
    assert thinner == pytest.approx(3.5049, abs=5e-5)
    before = math.pi**2 / 4 * 3.53**2 * (24.99 + 3.53)
    after = math.pi**2 / 4 * thinner**2 * (25.40 + 3.53)
    assert after == pytest.approx(before, rel=1e-9)


@pytest.mark.parametrize(
    "name", ["cover-o-ring", "bracket-o-ring", "housing-o-ring", "seat-o-ring", "face-o-ring"]
)
@pytest.mark.evidence("structure: every O-ring of the pump is inside what is asked of it")
def test_the_pumps_o_rings_are_squeezed_stretched_and_given_room(pump: Build, name: str) -> None:
    for what in ("squeeze", "stretch", "fill"):
        measured = measure_clearance(pump, pump.clearance(f"{name}.{what}"))
        assert measured.is_inside, what
        assert measured.required_by.startswith("limits/o-rings.csv:")


@pytest.mark.evidence("closed form: area over depth")
def test_a_squeezed_ring_is_drawn_as_wide_as_its_area_over_its_gland(pump: Build) -> None:
    """The part's own width is fill times groove width, but for what the stretch takes from the section."""
    for name in ("cover-o-ring", "seat-o-ring"):
        ring = pump.pieces[name]
        fill = float(pump.read_chain(pump.clearance(f"{name}.fill")))
        stretch = float(pump.read_chain(pump.clearance(f"{name}.stretch")))
        groove = float(pump.piece_at(ring.place.spans["groove"].high[0]).row["groove-width"])
        assert float(ring.faces["drive-end"].at) == pytest.approx(
            fill * groove * (1 + stretch), rel=0.01
        )
