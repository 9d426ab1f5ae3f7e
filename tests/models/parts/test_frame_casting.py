"""Back plate and bracket in one casting: the metal of both, less the joint between them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping

import pytest

from models.builds import make_named_build
from models.solids.shape import find_face, make_shape
from models.spec.build import Build
from models.spec.rule import check_rules

PUMP = "end-suction/100-250"
EXACT = 1e-6
CHOICES: list[dict[str, str]] = [
    {},
    {"bracket": "open"},
    {"hub-ring": "balance-holes"},
    {"hub-ring": "balance-line"},
]
JOINT_FACES = {"bracket-face", "groove-bottom", "groove-wall", "register", "casing-end", "casing-register"}  # fmt: skip


def _turned(outline: Iterable[tuple[float, float]]) -> float:
    """Give the volume of a closed (x, radius) outline turned about the axis: the sum of its edges' frustums."""
    corners = list(outline)
    edges = itertools.pairwise([*corners, corners[0]])
    frustums = (math.pi / 3 * (b - a) * (r * r + r * s + s * s) for (a, r), (b, s) in edges)
    return abs(sum(frustums))


def _fill(plate: Mapping[str, float], bracket: Mapping[str, float]) -> float:
    """Give the volume in mm3 by which the room behind the dish is smaller where no register is."""
    wall, casing = plate["wall"], -plate["flange-thickness"]
    behind, within = (
        plate["spigot-diameter"] / 2 - 1.2 * wall,
        bracket["drum-diameter"] / 2 - wall,
    )
    spigot, groove = plate["register-diameter"] / 2, plate["groove-diameter"] / 2
    start, stop = plate["groove-start"], plate["groove-start"] + plate["groove-width"]
    thin, length = groove - 0.7 * wall, plate["register-length"]
    mouth, depth = bracket["casing-register"] / 2, bracket["casing-register-depth"]
    end, far = bracket["flange-thickness"] - 0.6 * wall, bracket["casing-register"] / 2 + 1
    assert end == pytest.approx(depth + 0.3 * wall), "both have narrowed to the drum there"
    dish = [
        (casing, behind), (casing + 0.3 * wall, thin), (length, thin), (length, spigot), (stop, spigot),
        (stop, groove), (start, groove), (start, spigot), (0.0, spigot), (0.0, far), (casing, far),
    ]  # fmt: skip
    drum = [(0.0, mouth), (depth, mouth), (end, within), (end, far), (0.0, far)]
    one = [(casing, behind), (0.0, behind), (end, within), (end, far), (casing, far)]
    return _turned(one) - _turned(dish) - _turned(drum)


def _pair(choice: Mapping[str, str]) -> tuple[Build, Build]:
    return make_named_build(PUMP, choice), make_named_build(
        PUMP, {**choice, "back-plate": "one-casting"}
    )


@pytest.mark.parametrize("choice", CHOICES, ids=str)
def test_it_is_the_two_in_one_valid_solid_less_their_joint(choice: dict[str, str]) -> None:
    separate, cast = _pair(choice)
    piece = cast.piece_at("bracket")
    solid = make_shape(piece)
    assert solid.isValid()
    assert len(solid.Solids()) == 1
    assert [name for name, face in piece.faces.items() if find_face(solid, face) is None] == []
    plate, bracket = (separate.piece_at(place) for place in ("back-plate", "bracket"))
    rows = [{key: float(value) for key, value in one.row.items()} for one in (plate, bracket)]
    both = make_shape(plate).Volume() + make_shape(bracket).Volume()
    assert solid.Volume() == pytest.approx(both + _fill(rows[0], rows[1]), rel=EXACT)


@pytest.mark.parametrize("choice", CHOICES, ids=str)
def test_it_offers_the_faces_of_both_where_they_were(choice: dict[str, str]) -> None:
    separate, cast = _pair(choice)
    gone = set(separate.pieces) - set(cast.pieces)
    assert gone == {"back-plate", "bracket-o-ring"}
    assert set(cast.pieces) <= set(separate.pieces)
    assert cast.piece_at("back-plate") is cast.piece_at("bracket")
    faces = [name for place in ("back-plate", "bracket") for name in separate.piece_at(place).faces]
    assert set(faces) - set(cast.piece_at("bracket").faces) == JOINT_FACES
    for name, piece in cast.pieces.items():
        there = [float(spot) for spot in separate.pieces[name].pose.origin]
        assert [float(spot) for spot in piece.pose.origin] == pytest.approx(there), name
    assert check_rules(cast, cast.family.rules) == ()


def test_its_joint_with_the_volute_is_sealed_by_the_gasket_alone() -> None:
    separate, cast = _pair({})
    joints = [{joint.name: joint for joint in build.joints} for build in (separate, cast)]
    assert set(joints[0]) - set(joints[1]) == {"bracket-seal"}
    assert joints[1]["casing-joint"].members == ("volute", "bracket")
    assert joints[1]["casing-joint"].sealed_by == ("casing-gasket",)


def test_the_back_vane_gap_hangs_on_the_same_dimensions_of_one_piece_less() -> None:
    separate, cast = _pair({})
    gaps = [
        build.position("back-plate", "wet-face") - build.position("impeller", "back-vane-tip")
        for build in (separate, cast)
    ]
    named = [
        {("bracket" if piece == "back-plate" else piece, key): way for (piece, key), way in gap.terms.items() if way}
        for gap in gaps
    ]  # fmt: skip
    assert named[0] == named[1]
