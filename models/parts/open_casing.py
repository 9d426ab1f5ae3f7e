"""Open casing: stands in for the volute where what is inside must be seen. Origin as the volute's, at the casing face.

Two rings with the volute's faces, bores and stud holes, held apart by bars between the studs.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts.spots import circle_mounts
from models.spec.face import Face, bore, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

BARS = 4
"""Bars between the rings: fewer would twist, more would hide the impeller."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the faces of both rings, their bores and the bottoms of the stud holes, as the volute does."""
    width, half = row["width"], float(row["land"]) / 2
    return {
        "casing-face": plane(0.0, -1),
        "bore-front": bore(row["bore"], half),
        "cover-stud-bottom": plane(row["stud-hole-depth"], -1),
        "rear-face": plane(width, +1),
        "bore-rear": bore(row["bore"], float(width) - half),
        "bracket-stud-bottom": plane(width - row["stud-hole-depth"], +1),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the stud spots of both faces, which straddle the vertical."""
    count, circle = round(float(row["stud-count"])), float(row["stud-circle"])
    return {
        "cover-studs": circle_mounts(count, circle, 180.0 / count, sign=-1),
        "bracket-studs": circle_mounts(count, circle, 180.0 / count, sign=+1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn both rings, set the bars between them and drill the stud holes."""
    from models.parts import forms

    width, land, rim, inner = row["width"], row["land"], row["rim-diameter"], row["bore"]
    front, rear = forms.tube(rim, inner, 0, land), forms.tube(rim, inner, width - land, width)
    spots = forms.circle_spots(BARS, row["stud-circle"], 180 / BARS)
    bars = [forms.rod(row["bar-diameter"], land / 2, width - land / 2, y, z) for y, z in spots]
    studs = round(row["stud-count"])
    holes = forms.circle_spots(studs, row["stud-circle"], 180 / studs)
    body = forms.drill(
        front.fuse(rear, *bars), row["stud-thread"], 0, at["cover-stud-bottom"], holes
    )
    return forms.one_solid(
        forms.drill(body, row["stud-thread"], at["bracket-stud-bottom"], width, holes)
    )


PART = Part("open-casing", faces, shape, Material.CAST_IRON, mounts)
