"""Which bore sits on which journal, found from where the faces lie and what joints declare."""

from __future__ import annotations

from collections import Counter

import pytest

from models.builds import make_named_build
from models.spec.build import TABLES, Build
from models.spec.materials import read_metals
from trainer.core.measure.fits import CylindricalFit, find_fits

PUMP = "end-suction/100-250"
METALS = frozenset(read_metals(TABLES))


def _find(build: Build) -> dict[str, CylindricalFit]:
    fits = find_fits(build, METALS)
    assert max(Counter(fit.name for fit in fits).values()) == 1, "each fit has a name of its own"
    return {fit.name: fit for fit in fits}


def test_every_declared_fit_is_found_by_its_joint_in_every_build() -> None:
    for name, options in (
        (PUMP, {}),
        (PUMP, {"bearings": "roller-and-angular-pair", "hub-ring": "balance-holes"}),
        (PUMP, {"seal-spring": "bellows", "suction-cover": "cast-in"}),
        ("self-priming/80", {"bearings": "double-row-and-roller"}),
        ("rolling-bearings/bore-50", {}),
        ("radial-shaft-seals/45", {}),
    ):
        build = make_named_build(name, options)
        declared = {joint.name for joint in build.joints if joint.fit}
        assert declared <= set(_find(build)), name


def test_spigots_bores_and_outer_rings_are_found_though_no_joint_declares_them() -> None:
    fits = _find(make_named_build(PUMP, {"drive-end": "coupling-hub"}))
    assert {
        "suction-cover-in-volute", "back-plate-in-volute", "back-plate-in-bracket", "bearing-housing-in-bracket",
        "bearing-cap-in-bearing-housing", "bearing-outboard-in-bearing-housing", "bearing-inboard-in-bearing-housing",
        "shaft-in-impeller", "shaft-in-coupling-hub", "centring-washer-in-impeller",
    } <= set(fits)  # fmt: skip


def test_of_two_bores_of_one_size_the_nearer_counts() -> None:
    fits = _find(make_named_build(PUMP))
    assert fits["suction-cover-in-volute"].bore.face == "bore-front"
    assert fits["back-plate-in-volute"].bore.face == "bore-rear"


def test_a_journal_elsewhere_on_the_shaft_of_the_same_size_is_not_taken() -> None:
    build = make_named_build(
        PUMP,
        {"priming": "vacuum-assisted", "vacuum-pump": "on-housing", "drive-end": "coupling-hub"},
    )
    fits = _find(build)
    assert fits["inboard-bearing-fit"].journal.face == "inboard-journal"
    assert fits["shaft-in-coupling-hub"].journal.face == "coupling-journal"


@pytest.mark.parametrize(
    "piece", ["oil-seal-inboard", "roller-snap-ring", "shim-1", "casing-gasket"]
)
def test_lips_springs_and_what_has_no_limits_make_no_fit(piece: str) -> None:
    build = make_named_build(PUMP, {"bearings": "roller-and-angular-pair"})
    assert piece in build.pieces
    assert not [name for name, fit in _find(build).items() if piece in (fit.bore.piece, fit.journal.piece)]  # fmt: skip


def test_what_lies_between_is_a_chain_of_the_two_diameters() -> None:
    for fit in _find(make_named_build(PUMP)).values():
        assert fit.between.terms == {fit.bore.term: 1.0, fit.journal.term: -1.0}


def test_they_meet_over_the_length_of_the_shorter_piece() -> None:
    build = make_named_build(PUMP)
    ring = float(build.piece_at("wear-ring").row["length"])
    assert _find(build)["ring-fit"].length_mm == pytest.approx(ring)
