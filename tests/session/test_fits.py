"""What the fits of every build must be: none stretched beyond its metal, none heated beyond its steel, all worked out."""

from __future__ import annotations

import pytest

from models.builds import list_builds, make_named_build
from models.formulas.iso_286 import FitKind
from models.formulas.mounting import Warmth
from models.spec.part import Material
from models.systems.effects import HUB_RING, WEAR_RING, PressedRing
from trainer.session.fits import find_named_fit, list_fits

PUMP = "end-suction/100-250"
UNKNOWN_WALLS = {"bellows-grip", "stator-fit", "cassette-case-fit"}
"""Tight fits on a part of which no row says how thick it is, or that is of no metal."""


@pytest.mark.parametrize("name", sorted(list_builds()))
def test_no_fit_of_a_sound_build_is_stretched_or_heated_too_far(name: str) -> None:
    for one in list_fits(make_named_build(name)):
        if one.pressed is not None:
            assert one.pressed.hoop_mpa < one.pressed.strength_mpa, one.fit.name
            assert one.pressed.force_n[0] <= one.pressed.force_n[1]
        if one.mounted is not None:
            assert one.mounted.heating.warmth is Warmth.SAFE, one.fit.name


@pytest.mark.parametrize("name", sorted(list_builds()))
def test_what_is_tight_is_worked_out_unless_nothing_says_how_thick_it_is(name: str) -> None:
    for one in list_fits(make_named_build(name)):
        is_tight = one.between.least_um < 0.0
        assert (one.pressed is not None) == (is_tight and one.fit.name not in UNKNOWN_WALLS)
        assert (one.chance > 0.5) == (one.between.kind is FitKind.INTERFERENCE)


@pytest.mark.parametrize(("name", "ring"), [("ring-fit", WEAR_RING), ("hub-ring-fit", HUB_RING)])
def test_the_ring_told_here_is_the_ring_of_the_running_clearance(
    name: str, ring: PressedRing
) -> None:
    build = make_named_build(PUMP, {"hub-ring": "balance-holes"})
    told, cylinders = find_named_fit(build, name), ring.find_press_fit(build)
    assert told.pressed is not None
    tight_mm = -told.between.least_um / 1e3
    assert told.pressed.closing_um[1] == pytest.approx(cylinders.bore_closing_share * tight_mm * 1e3, rel=1e-3)  # fmt: skip
    assert told.pressed.pressure_mpa[1] == pytest.approx(cylinders.pressure_mpa_per_mm * tight_mm, rel=1e-3)  # fmt: skip


def test_a_bearings_own_limits_are_no_class_even_where_they_match_one() -> None:
    """110 mm 0/-15 are the limits of h5 as well, but an outer ring has them by its own standard."""
    outer = find_named_fit(make_named_build(PUMP), "bearing-outboard-in-bearing-housing")
    assert outer.journal.limits_um == pytest.approx((-15.0, 0.0))
    assert outer.journal.tolerance_class == ""
    assert outer.bore.tolerance_class == "H7"


def test_a_housing_measured_tight_takes_clearance_from_the_bearing() -> None:
    drawn, tight = (
        find_named_fit(make_named_build(PUMP, measured=measured), "outboard-bearing-fit").mounted
        for measured in ({}, {("bearing-housing", "outboard-bore"): 109.97})
    )
    assert drawn is not None
    assert tight is not None
    assert drawn.at_rest is not None
    assert tight.at_rest is not None
    assert tight.at_rest.likely_um < drawn.at_rest.likely_um
    assert tight.at_rest.chance_tight >= drawn.at_rest.chance_tight


def test_the_pair_has_no_clearance_of_its_own_to_tell() -> None:
    build = make_named_build(PUMP, {"bearings": "roller-and-angular-pair"})
    paired, roller = (find_named_fit(build, name).mounted for name in ("paired-bearing-fit", "inner-ring-fit"))  # fmt: skip
    assert paired is not None
    assert roller is not None
    assert paired.at_rest is None
    assert not paired.may_run_tight
    assert roller.at_rest is not None
    assert roller.at_rest.least_um > 0.0
    assert build.piece_at("bearing-paired").part.material is Material.BEARING_STEEL
