"""The volute with its discharge in each standard position: the same casting turned, feet and fits where they were."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import pytest

from models.builds import make_named_build
from models.spec.build import Build, PlacedPiece
from models.spec.face import Axis

PUMP = "end-suction/100-250"
# clockwise turn from top vertical seen from the driver; the way the discharge points; the side where it leaves
CLOCKWISE_DEG = {"top-vertical": 0, "top-horizontal": 90, "bottom-horizontal": -90}
POINTS_TO = {
    "top-vertical": (0.0, 0.0, 1.0),
    "top-horizontal": (0.0, 1.0, 0.0),
    "bottom-horizontal": (0.0, -1.0, 0.0),
}
LEAVES_AT = {
    "top-vertical": (0.0, -1.0, 0.0),
    "top-horizontal": (0.0, 0.0, 1.0),
    "bottom-horizontal": (0.0, 0.0, -1.0),
}
TURNED = ("top-horizontal", "bottom-horizontal")
Vector = tuple[float, float, float]


@pytest.fixture(scope="module")
def volutes(pump: Build, solids: dict[str, Any]) -> Mapping[str, tuple[PlacedPiece, Any]]:
    """Give piece and solid of the volute by the position of its discharge."""
    from models.solids.shape import make_shape

    found = {"top-vertical": (pump.piece_at("volute"), solids["volute"])}
    for value in TURNED:
        piece = make_named_build(PUMP, {"discharge": value}).piece_at("volute")
        found[value] = (piece, make_shape(piece))
    return found


def _row(piece: PlacedPiece) -> dict[str, float]:
    return {key: float(value) for key, value in piece.row.items()}


def _measure_volume_mm3(solid: Any) -> float:
    """Integrate until it is right to 1e-8: the kernel's quick way errs by 1e-5 on trimmed lofts."""
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid.wrapped, found, 1e-8, False, False)
    return float(found.Mass())


def _dot(one: Vector, other: Vector) -> float:
    return sum(a * b for a, b in zip(one, other, strict=True))


@pytest.mark.parametrize("value", CLOCKWISE_DEG)
def test_it_is_one_whole_solid_with_every_named_face(
    volutes: Mapping[str, tuple[PlacedPiece, Any]], value: str
) -> None:
    from OCP.BRepCheck import BRepCheck_Analyzer

    from models.solids.shape import find_face

    piece, solid = volutes[value]
    assert BRepCheck_Analyzer(solid.wrapped).IsValid()
    assert len(solid.Solids()) == 1
    assert [name for name, face in piece.faces.items() if find_face(solid, face) is None] == []


@pytest.mark.parametrize("value", CLOCKWISE_DEG)
def test_the_discharge_face_points_where_its_name_says_and_lies_beside_the_shaft(
    volutes: Mapping[str, tuple[PlacedPiece, Any]], value: str
) -> None:
    from models.solids.shape import find_face

    piece, solid = volutes[value]
    row, face = _row(piece), piece.faces["discharge-face"]
    unit: Vector = tuple(float(face.facing) if axis is face.axis else 0.0 for axis in Axis)  # type: ignore[assignment]
    assert unit == POINTS_TO[value]
    found = find_face(solid, face)
    assert found is not None
    centre: Vector = found.Center().toTuple()
    assert _dot(centre, POINTS_TO[value]) == pytest.approx(row["discharge-height"], abs=1e-6)
    # beyond the bore, on the side where water that turns clockwise leaves in that direction
    assert _dot(centre, LEAVES_AT[value]) > row["bore"] / 2
    assert centre[0] == pytest.approx(row["spiral-centre"], abs=1e-6)
    x, y, z = LEAVES_AT[value]
    assert (x, z, -y) == POINTS_TO[value], "clockwise seen from the driver: up goes to the right"


@pytest.mark.parametrize("value", TURNED)
def test_turned_back_it_has_the_volume_of_the_usual_one_away_from_the_feet(
    volutes: Mapping[str, tuple[PlacedPiece, Any]], value: str
) -> None:
    import cadquery as cq

    piece, solid = volutes[value]
    row, (_, usual) = _row(piece), volutes["top-vertical"]
    ends = ((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), CLOCKWISE_DEG[value])
    # all that the feet reach, before and after turning back, is cut away from both
    length, depth = row["foot-length"], row["centre-height"] - row["bore"] / 2
    corner = cq.Vector(
        row["spiral-centre"] - length / 2 - 1, -row["foot-width"] / 2 - 1, -row["centre-height"] - 1
    )
    feet = cq.Solid.makeBox(length + 2, row["foot-width"] + 2, depth + 2, corner)
    away = [feet, feet.rotate(*ends)]
    left = _measure_volume_mm3(usual.cut(*away))
    assert left > 0.4 * usual.Volume()
    turned_back = solid.rotate(*ends).cut(*away)
    assert _measure_volume_mm3(turned_back) == pytest.approx(left, rel=1e-6)


@pytest.mark.parametrize("value", CLOCKWISE_DEG)
def test_the_foot_plate_stays_on_the_floor(
    volutes: Mapping[str, tuple[PlacedPiece, Any]], value: str
) -> None:
    piece, solid = volutes[value]
    row, area = _row(piece), math.pi / 4
    soles = [
        face
        for face in solid.Faces()
        if face.geomType() == "PLANE"
        and abs(face.normalAt().z + 1) < 1e-9
        and abs(face.Center().z + row["centre-height"]) < 1e-6
    ]
    # a plate on each side; 0.52 of half the width is left free between them
    plates = (1 - 0.52) * row["foot-width"] * row["foot-length"]
    expected = plates - 4 * area * row["foot-hole"] ** 2
    assert sum(face.Area() for face in soles) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("value", CLOCKWISE_DEG)
def test_the_discharge_flange_keeps_clear_of_the_foot_plate(
    volutes: Mapping[str, tuple[PlacedPiece, Any]], value: str
) -> None:
    """From the table alone: the back of the flange lies beyond the end of the plate, or above it."""
    row = _row(volutes[value][0])
    back = row["discharge-height"] - row["discharge-flange-thickness"]
    sideways = POINTS_TO[value][2] == 0.0
    room = (
        back - row["foot-width"] / 2
        if sideways
        else back + row["centre-height"] - row["foot-thickness"]
    )
    assert room > row["hole"], "a bolt can still be put through the flange from behind"


def test_no_two_positions_share_a_mesh(volutes: Mapping[str, tuple[PlacedPiece, Any]]) -> None:
    from models.solids.keys import make_key

    assert len({make_key(piece) for piece, _ in volutes.values()}) == len(CLOCKWISE_DEG)
