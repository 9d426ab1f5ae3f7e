"""Impellers and wear parts as solids: closed forms, faces, holes, and which is the lighter."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from typing import Any

import pytest

from models.builds import make_named_build
from models.solids.shape import find_face, make_shape
from models.spec.build import Build

pytestmark = pytest.mark.xdist_group("solids")  # the kernel makes them once

PUMP = "end-suction/100-250"
EXACT = 1e-6


@pytest.fixture(scope="module")
def semi_open() -> Build:
    return make_named_build(PUMP, {"impeller": "semi-open"})


@pytest.fixture(scope="module")
def balanced() -> Build:
    return make_named_build(PUMP, {"hub-ring": "balance-holes"})


@pytest.fixture(scope="module")
def made(semi_open: Build, balanced: Build) -> Mapping[str, Any]:
    named = {
        "open": (semi_open, "impeller"),
        "holed": (balanced, "impeller"),
        "plate-cover": (semi_open, "suction-cover"),
        "ring-plate": (balanced, "back-plate"),
        "wear-plate": (semi_open, "wear-plate"),
        "screw": (semi_open, "wear-plate-screw-1"),
        "hub-ring": (balanced, "hub-ring"),
    }
    return {
        key: (build.pieces[name], make_shape(build.pieces[name]))
        for key, (build, name) in named.items()
    }


KEYS = ("open", "holed", "plate-cover", "ring-plate", "wear-plate", "screw", "hub-ring")


def _ring(outside: float, bore: float, length: float) -> float:
    return math.pi / 4 * (outside**2 - bore**2) * length


@pytest.mark.parametrize("key", KEYS)
def test_every_named_face_lies_on_one_valid_solid(made: Mapping[str, Any], key: str) -> None:
    piece, solid = made[key]
    assert solid.isValid()
    assert len(solid.Solids()) == 1
    missing = [name for name, face in piece.faces.items() if find_face(solid, face) is None]
    assert missing == []


def test_the_wear_plate_lacks_only_holes_and_a_chamfer(made: Mapping[str, Any]) -> None:
    piece, solid = made["wear-plate"]
    r = {key: float(value) for key, value in piece.row.items()}
    cut = 0.1 * r["thickness"]
    chamfer = cut**2 / 2 * 2 * math.pi * (r["outside"] / 2 - cut / 3)
    through = _ring(r["screw-hole"], 0, r["thickness"] - r["sink-depth"])
    holes = r["screw-count"] * (through + _ring(r["sink-diameter"], 0, r["sink-depth"]))
    expected = _ring(r["outside"], r["bore"], r["thickness"]) - chamfer - holes
    assert solid.Volume() == pytest.approx(expected, rel=EXACT)


def test_the_hub_ring_lacks_only_its_two_lead_ins(made: Mapping[str, Any]) -> None:
    piece, solid = made["hub-ring"]
    r = {key: float(value) for key, value in piece.row.items()}
    cut = 0.06 * r["length"]
    corners = [r["bore"] / 2 + cut / 3, r["outside"] / 2 - cut / 3]
    lost = sum(cut**2 / 2 * 2 * math.pi * centre for centre in corners)
    expected = _ring(r["outside"], r["bore"], r["length"]) - lost
    assert solid.Volume() == pytest.approx(expected, rel=EXACT)


def test_a_semi_open_impeller_is_lighter_than_an_enclosed_one(
    made: Mapping[str, Any], solids: dict[str, Any]
) -> None:
    enclosed = solids["impeller"]
    assert made["open"][1].Volume() < enclosed.Volume()
    assert made["open"][1].BoundingBox().ylen == pytest.approx(
        enclosed.BoundingBox().ylen, abs=2e-3
    )


def test_as_many_balance_holes_as_vanes_pass_through_the_rear_shroud(
    made: Mapping[str, Any],
) -> None:
    import cadquery as cq

    piece, solid = made["holed"]
    row = {key: float(value) for key, value in piece.row.items()}
    radius, back = (
        row["balance-hole-circle"] / 2,
        -row["back-vane-setback"] - row["back-vane-height"],
    )
    wall = row["shroud-thickness"]
    circle = cq.Edge.makeCircle(radius, cq.Vector(back - wall / 2, 0, 0), cq.Vector(1, 0, 0))
    arcs = circle.intersect(solid).Edges()
    ends = Counter(
        (round(at.y, 4), round(at.z, 4))
        for arc in arcs
        for at in (arc.startPoint(), arc.endPoint())
    )
    # where the circle itself begins, two arcs may meet
    assert sum(times == 1 for times in ends.values()) == 2 * row["vane-count"]
    width = 4 * math.asin(row["balance-hole-diameter"] / 4 / radius) * row["vane-count"]
    holes_mm = circle.Length() - sum(arc.Length() for arc in arcs)
    assert holes_mm == pytest.approx(width * radius, rel=1e-4)
