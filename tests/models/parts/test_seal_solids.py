"""The rotating half of the seal as solids: the bellows' sheet by its path, the retainer's lugs and dogs where they bite."""

from __future__ import annotations

import math
from typing import Any

import pytest

from models.builds import make_named_build
from models.solids.keys import make_key
from models.spec.build import Build, PlacedPiece

PUMP = "end-suction/100-250"


def _solid(build: Build, name: str) -> tuple[Any, dict[str, float]]:
    piece: PlacedPiece = build.pieces[name]
    at = {face: float(value.at) for face, value in piece.faces.items()}
    row = {key: float(value) for key, value in piece.row.items()}
    return piece.part.shape(at, row), row


def _tube(outside: float, bore: float, length: float) -> float:
    return math.pi / 4 * (outside**2 - bore**2) * length


@pytest.fixture(scope="module")
def bellows() -> tuple[Any, dict[str, float]]:
    return _solid(make_named_build(PUMP, {"seal-spring": "bellows"}), "seal-bellows")


def _slice(solid: Any, start_mm: float, end_mm: float) -> Any:
    import cadquery as cq

    return solid.intersect(
        cq.Solid.makeCylinder(100, end_mm - start_mm, cq.Vector(start_mm, 0, 0), cq.Vector(1, 0, 0))
    )


def test_the_convolutions_are_a_sheet_of_one_thickness_along_their_path(
    bellows: tuple[Any, dict[str, float]],
) -> None:
    solid, r = bellows
    start, end = r["collar-length"], r["span"] - r["carrier-floor"]
    arc, sheet, count = (
        (end - start) / (4 * r["convolutions"]),
        r["sheet-thickness"],
        r["convolutions"],
    )
    low, high = r["bellows-bore"] / 2 + sheet / 2, r["bellows-outside"] / 2 - sheet / 2
    straight = high - low - 2 * arc
    # Pappus: a sheet's volume is its thickness by the path of its middle by the way of that path's centroid.
    # An arc of half a turn has its centroid 2/pi of a radius from its centre, and adds sheet^3 / 12 for its bend.
    crest = math.pi * arc * (high - arc + 2 * arc / math.pi)
    valley = math.pi * arc * (low + arc - 2 * arc / math.pi)
    sides = 2 * straight * (high + low) / 2
    expected = 2 * math.pi * sheet * count * (crest + valley + sides)
    assert _slice(solid, start, end).Volume() == pytest.approx(expected, rel=1e-4)


def test_the_collar_is_a_ring_with_one_groove(bellows: tuple[Any, dict[str, float]]) -> None:
    solid, r = bellows
    ring = _tube(r["outside"], r["bore"], r["collar-length"])
    groove = _tube(r["groove-diameter"], r["bore"], r["groove-width"])
    assert _slice(solid, 0, r["collar-length"]).Volume() == pytest.approx(ring - groove, rel=1e-6)


@pytest.mark.parametrize(
    ("spring", "name"), [("coil", "seal-retainer"), ("bellows", "seal-bellows")]
)
def test_two_dogs_reach_into_the_hub_and_touch_nothing_there(
    pump: Build, solids: dict[str, Any], spring: str, name: str
) -> None:
    build = make_named_build(PUMP, {"seal-spring": spring})
    solid, r = _solid(build, name)
    assert make_key(build.pieces["impeller"]) == make_key(pump.pieces["impeller"])
    hub = solids["impeller"]
    assert solid.isValid()
    assert len(solid.Solids()) == 1
    assert solid.BoundingBox().xmin == pytest.approx(-r["dog-length"], abs=1e-6)
    assert len(_slice(solid, -10, 0).Solids()) == round(r["dog-count"]) == 2
    shared = _slice(solid, -10, -0.01).intersect(
        hub
    )  # both stand with their origin at the hub's end
    assert sum(part.Volume() for part in shared.Solids()) == pytest.approx(0.0, abs=1e-9)


def test_the_lugs_stand_in_the_notches_and_bar_the_face_from_turning() -> None:
    build = make_named_build(PUMP)
    (shell, r), (face, _) = _solid(build, "seal-retainer"), _solid(build, "seal-face")
    apart = float(
        build.position("seal-face", "lapped-face") - build.position("seal-retainer", "back")
    )
    placed = face.translate((apart, 0, 0))

    def shared_mm3(turned_deg: float) -> float:
        turned = placed.rotate((0, 0, 0), (1, 0, 0), turned_deg)
        return math.fsum(part.Volume() for part in shell.intersect(turned).Solids())

    assert shared_mm3(0.0) == pytest.approx(0.0, abs=1e-9)
    assert shared_mm3(5.0) > 1.0
    assert shared_mm3(-5.0) > 1.0
    assert shell.BoundingBox().xmax == pytest.approx(r["length"], abs=1e-6)
