"""Parts of the exhibits on sealing and joints: volumes against sums written out here, and lips that touch what they should."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from models.builds import make_named_build
from models.spec.build import Build

Numbers = dict[str, float]
EXACT = 1e-6


def _ring(outside: float, bore: float, length: float) -> float:
    return math.pi / 4 * (outside**2 - bore**2) * length


def _corner(radius: float, along: float, across: float, *, inside: bool) -> float:
    """Turn a corner triangle with legs along and across the axis (Pappus)."""
    middle = radius + across / 3 if inside else radius - across / 3
    return along * across / 2 * 2 * math.pi * middle


def _track(r: Numbers) -> float:
    lead = _corner(r["outside"] / 2, 2 * r["lead-in"], r["lead-in"], inside=False)
    return _ring(r["outside"], r["bore"], r["length"]) - lead


def _sleeve_of_cassette(r: Numbers) -> float:
    tube = _ring(r["track-diameter"], r["bore"], r["length"])
    flange = _ring(r["flange-outside"], r["track-diameter"], r["flange-thickness"])
    return tube + flange + _ring(r["rim-outside"], r["track-diameter"], r["rim-width"])


def _case_of_cassette(r: Numbers) -> float:
    inside = r["outside"] - 2 * r["wall"]
    shell = _ring(r["outside"], inside, r["length"])
    return shell + _ring(inside, r["web-bore"], r["wall"])


def _unitising_ring(r: Numbers) -> float:
    cut = 0.15 * r["width"]
    edges = 2 * _corner(r["bore"] / 2, cut, cut, inside=True)
    return _ring(r["groove"], r["bore"], r["width"]) - edges


def _rotor(r: Numbers) -> float:
    disc = _ring(r["rim-outside"], r["bore"], r["disc-thickness"])
    rim = _ring(r["rim-outside"], r["rim-outside"] - 2 * r["rim-wall"], r["rim-length"])
    hub = _ring(r["hub-diameter"], r["bore"], r["hub-length"])
    teeth = sum(
        _ring(r[f"tooth-{n}-outside"], r[f"tooth-{n}-inside"], r["tooth-length"]) for n in (1, 2)
    )
    ring = _ring(r["hub-diameter"], r["ring-groove-diameter"], r["ring-groove-width"])
    return (
        disc + rim + hub + teeth - ring - _ring(r["groove-diameter"], r["bore"], r["groove-width"])
    )


def _stub(r: Numbers) -> float:
    steps = [n for n in range(1, 9) if f"step-{n}-length" in r]
    solid = sum(_ring(r[f"step-{n}-diameter"], 0, r[f"step-{n}-length"]) for n in steps)
    cut = r["end-chamfer"]
    ends = (r["step-1-diameter"], r[f"step-{steps[-1]}-diameter"])
    return solid - sum(_corner(end / 2, cut, cut, inside=False) for end in ends)


def _gland_plate(r: Numbers) -> float:
    plate = _ring(r["outside"], r["shaft-hole"], r["thickness"])
    seat = _ring(r["seat-bore"], r["shaft-hole"], r["seat-shoulder"])
    register = _ring(r["register-diameter"], r["register-inside"], r["register-length"])
    return plate - seat + register - r["stud-count"] * _ring(r["stud-hole"], 0, r["thickness"])


def _swatch(r: Numbers) -> float:
    corners = (4 - math.pi) * r["corner"] ** 2
    return (r["width"] * r["height"] - corners) * r["thickness"]


def _ring_gasket(r: Numbers) -> float:
    outside = r["bolt-circle"] - r["bolt-thread"] - r["gasket-play"]
    return _ring(outside, r["gasket-bore"], r["thickness"])


def _full_gasket(r: Numbers) -> float:
    sheet = _ring(r["outside"], r["gasket-bore"], r["thickness"])
    return sheet - r["holes"] * _ring(r["hole"], 0, r["thickness"])


SEALS, FACES, FLANGES = "radial-shaft-seals/45", "mechanical-seal/38", "flanges/100"
CASES: list[tuple[str, dict[str, str], str, Callable[[Numbers], float]]] = [
    (SEALS, {}, "hardened-track", _track),
    (SEALS, {}, "cassette-sleeve", _sleeve_of_cassette),
    (SEALS, {}, "cassette-case", _case_of_cassette),
    (SEALS, {}, "unitising-ring", _unitising_ring),
    (SEALS, {}, "isolator-rotor", _rotor),
    (SEALS, {}, "stub-shaft", _stub),
    ("packing/38", {}, "stub-shaft", _stub),
    (FACES, {}, "stub-shaft", _stub),
    (FACES, {}, "gland-plate", _gland_plate),
    ("materials/board", {}, "swatch-ceramic", _swatch),
    (FLANGES, {}, "flange-gasket", _ring_gasket),
    (FLANGES, {"facing": "flat", "flanges": "class-150"}, "flange-gasket", _full_gasket),
]


def _make(build: Build, name: str) -> tuple[Any, dict[str, float], Numbers]:
    piece = build.pieces[name]
    at = {face: float(value.at) for face, value in piece.faces.items()}
    return piece.part.shape(at, build.numbers_at(name)), at, build.numbers_at(name)


@pytest.mark.parametrize(("name", "chosen", "piece", "volume"), CASES)
def test_volume_is_the_sum_written_out(
    name: str, chosen: dict[str, str], piece: str, volume: Callable[[Numbers], float]
) -> None:
    solid, _, row = _make(make_named_build(name, chosen), piece)
    assert solid.isValid()
    assert len(solid.Solids()) == 1
    assert solid.Volume() == pytest.approx(volume(row), rel=EXACT)


def test_a_ring_of_packing_is_as_bulky_squeezed_as_cut() -> None:
    touching, pulled = (
        _make(make_named_build("packing/38", {"gland": state}), "packing-ring-1")[0]
        for state in ("just-touching", "pulled-up")
    )
    # what the rounded corners and the slit take away differs by a little
    assert pulled.Volume() == pytest.approx(touching.Volume(), rel=0.01)


def test_the_lips_of_a_cassette_touch_the_sleeve_in_two_places_only() -> None:
    import cadquery as cq

    solid, at, row = _make(make_named_build(SEALS), "cassette-lips")
    near = 0.02
    track = cq.Solid.makeCylinder(
        row["shaft-diameter"] / 2 + near, 60, cq.Vector(-30, 0, 0), cq.Vector(1, 0, 0)
    )
    main = solid.intersect(track).BoundingBox()
    assert main.xmin < row["lip-distance"] < main.xmax
    assert main.xmax - main.xmin < row["garter-section"] / 2
    flange = cq.Solid.makeCylinder(60, near, cq.Vector(at["dust-lip"], 0, 0), cq.Vector(1, 0, 0))
    dust = solid.intersect(flange).BoundingBox()
    assert dust.xmin == pytest.approx(-row["flange-reach"])
    assert dust.ylen > row["web-bore"]


def test_the_rotors_teeth_and_the_stators_grooves_never_meet() -> None:
    build = make_named_build(SEALS)
    rotor, stator = build.numbers_at("isolator-rotor"), build.numbers_at("isolator-stator")
    for n in (1, 2):
        assert stator[f"groove-{n}-inside"] < rotor[f"tooth-{n}-inside"]
        assert rotor[f"tooth-{n}-outside"] < stator[f"groove-{n}-outside"]
