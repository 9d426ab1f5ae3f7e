"""Lip seals and their garter springs: the lip is what touches the shaft, the spring lies in its groove over it."""

from __future__ import annotations

import math
from typing import Any

import pytest

from models.builds import make_named_build
from models.spec.build import Build

SEALS = {
    "enclosed": ("oil-seal-inboard", "oil-seal-drive", "bath-seal"),
    "open": ("oil-seal-inboard", "oil-seal-drive", "gland-lip-seal"),
}
CASES = [(bracket, seal) for bracket, seals in SEALS.items() for seal in seals]


def _solid(build: Build, name: str) -> tuple[Any, dict[str, float], dict[str, float]]:
    piece = build.pieces[name]
    at = {face: float(value.at) for face, value in piece.faces.items()}
    row = {key: float(value) for key, value in piece.row.items()}
    return piece.part.shape(at, row), at, row


@pytest.mark.parametrize(("bracket", "name"), CASES)
def test_only_the_lip_reaches_the_shaft_and_only_the_case_the_bore(bracket: str, name: str) -> None:
    import cadquery as cq

    solid, at, row = _solid(make_named_build("end-suction/100-250", {"bracket": bracket}), name)
    assert solid.isValid()
    gap = cq.Solid.makeCylinder(
        row["shaft-diameter"] / 2 + 0.05, 40, cq.Vector(-10, 0, 0), cq.Vector(1, 0, 0)
    )
    touching = solid.intersect(gap).BoundingBox()
    assert touching.xmin > row["width"] / 2  # the lip stands nearer the oil than the back
    assert touching.xmin < at["groove-wall"] + row["garter-section"] < row["width"]
    assert solid.BoundingBox().ylen == pytest.approx(row["housing-bore"], abs=1e-3)


@pytest.mark.parametrize(("bracket", "name"), CASES)
def test_the_garter_spring_lies_in_the_groove_of_its_seal(bracket: str, name: str) -> None:
    build = make_named_build("end-suction/100-250", {"bracket": bracket})
    garter = f"garter-of-{name}"
    assert float(build.position(garter, "back")) == float(build.position(name, "groove-wall"))
    assert float(build.diameter(garter, "inside")) == float(build.diameter(name, "groove-bottom"))
    assert build.pieces[garter].pose.sign == build.pieces[name].pose.sign
    assert float(build.diameter(name, "groove-bottom")) > float(build.diameter(name, "lip"))


def test_a_garter_spring_is_half_ridges_half_core() -> None:
    solid, at, row = _solid(make_named_build("end-suction/100-250"), "garter-of-bath-seal")
    assert solid.isValid()
    assert len(solid.Solids()) == 1
    section, middle = row["section"], at["inside"] / 2 + row["section"] / 2
    twelve_gon = 12 * math.tan(math.pi / 12) * (section / 2) ** 2
    # both sections have their centroid at the middle of the wire, so Pappus holds for each half turn
    expected = math.pi * middle * twelve_gon * (1 + 0.86**2)
    assert solid.Volume() == pytest.approx(expected, rel=1e-6)
