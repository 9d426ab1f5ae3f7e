"""Every part of the family: its named faces lie on its solid, and its solid is whole."""

from __future__ import annotations

from typing import Any

import pytest
from OCP.BRepCheck import BRepCheck_Analyzer

from models.pumps import end_suction
from models.solids.shape import find_face
from models.spec.build import Build
from models.spec.face import Axis, FaceKind

PLACES = [place.name for place in end_suction.FAMILY.places]
SOLIDS_OF_A_BEARING = 2 + 1  # two rings and at least one ball


def _pieces(pump: Build, place: str, solids: dict[str, Any]) -> list[tuple[str, Any]]:
    found = [(name, solids[name]) for name in pump.pieces_at(place) if name in solids]
    if not found:  # an equal piece elsewhere has the same solid
        like = pump.piece_at(place)
        found = [
            (piece.name, solids[piece.name])
            for piece in pump.pieces.values()
            if piece.name in solids and piece.part is like.part
        ]
    return found


@pytest.mark.parametrize("place", PLACES)
def test_every_named_face_lies_on_the_solid(
    pump: Build, solids: dict[str, Any], place: str
) -> None:
    found = _pieces(pump, place, solids)
    assert found
    for name, solid in found:
        for face_name, face in pump.pieces[name].faces.items():
            assert find_face(solid, face) is not None, f"{name} has no {face_name}"


@pytest.mark.parametrize("place", PLACES)
def test_a_face_moved_by_a_hundredth_is_not_found(
    pump: Build, solids: dict[str, Any], place: str
) -> None:
    # so that the test above cannot pass by finding just any face
    from dataclasses import replace

    name, solid = _pieces(pump, place, solids)[0]
    for face_name, face in pump.pieces[name].faces.items():
        moved = replace(face, at=face.at + 0.0137)
        assert find_face(solid, moved) is None, f"{name}.{face_name} is found where it is not"


@pytest.mark.parametrize("place", PLACES)
def test_a_part_is_one_whole_solid(pump: Build, solids: dict[str, Any], place: str) -> None:
    for name, solid in _pieces(pump, place, solids):
        assert BRepCheck_Analyzer(solid.wrapped).IsValid()
        count = len(solid.Solids())
        if pump.pieces[name].part.kind == "bearing":
            assert count >= SOLIDS_OF_A_BEARING
        else:
            assert count == 1
        assert all(one.Volume() > 0 for one in solid.Solids())
        shells = [shell for one in solid.Solids() for shell in one.Shells()]
        assert shells
        assert all(shell.wrapped.Closed() for shell in shells)


def test_the_open_bracket_offers_the_faces_of_the_closed_one(
    pump: Build, open_pump: Build, solids: dict[str, Any]
) -> None:
    faces = open_pump.piece_at("bracket").faces
    pads = {"fill-pad", "drain-pad", "level-pad"}
    assert set(pump.piece_at("bracket").faces) - pads <= set(faces)
    for face in faces.values():
        assert find_face(solids["open-bracket"], face) is not None
    assert solids["open-bracket"].Volume() < solids["bracket"].Volume()


def test_axial_faces_lie_inside_the_bounding_box(pump: Build, solids: dict[str, Any]) -> None:
    for name, solid in solids.items():
        if name.startswith("open-"):
            continue
        box = solid.BoundingBox()
        for face_name, face in pump.pieces[name].faces.items():
            if face.kind is FaceKind.PLANE and face.axis is Axis.X:
                where = float(face.at)
                assert box.xmin - 1e-3 <= where <= box.xmax + 1e-3, f"{name}.{face_name}"


def test_a_bearing_has_balls_in_a_cage_that_touch_neither_rings_nor_each_other(
    pump: Build, solids: dict[str, Any]
) -> None:
    name = "bearing-outboard"  # the elements of the others: test_bearing_frame.py
    row = pump.pieces[name].row
    *two_rings, cage = solids[name].Solids()[:3]
    balls = solids[name].Solids()[3:]
    assert len(balls) >= 6
    assert 0 < cage.distance(balls[0]) < 0.3
    assert cage.BoundingBox().xlen < float(row["width"])
    assert all(cage.distance(ring) > 0.5 for ring in two_rings)
    assert balls[0].distance(balls[1]) > 0.5
    for ring in two_rings:
        assert 0 < balls[0].distance(ring) < 0.1
    width = float(row["width"])
    for ring in two_rings:
        assert ring.BoundingBox().xlen == pytest.approx(width, abs=1e-3)
