"""Seal chamber, cut off from its pump: a bored ring on a foot, its front open to the pump, studs for the gland plate behind.

Origin on the axis at the face that the gland plate's gasket lies on; the chamber reaches along -x to the pump.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts.spots import circle_mounts
from models.spec.face import Face, bore, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

FOOT_SHARE = 0.7
"""Width of the wall under the chamber as a share of the flange's diameter: how such stands look."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the gland's face, the bore, the front and the bottom of the stud holes."""
    rim = (float(row["bore"]) + float(row["flange-diameter"])) / 4
    return {
        "gland-face": plane(0.0, +1, near=(0.0, rim)),
        "front": plane(-row["length"], -1, near=(-float(row["length"]), rim)),
        "bore": bore(row["bore"], -float(row["length"]) / 2),
        "stud-bottom": plane(-row["stud-depth"], +1),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the studs' spots."""
    count = round(float(row["stud-count"]))
    return {"studs": circle_mounts(count, float(row["stud-circle"]), 180 / count)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make ring, flange and foot, bore them and tap the holes."""
    from models.parts import forms

    front, floor, flange = at["front"], -row["centre-height"], row["flange-diameter"]
    wide, half = FOOT_SHARE * flange / 2, row["base-width"] / 2
    body: Solid = forms.rod(row["outside"], front, 0)
    body = body.fuse(
        forms.rod(flange, -row["flange-thickness"], 0),
        forms.box((front, 0), (-wide, wide), (floor, 0)),
        forms.box((front, 0), (-half, half), (floor, floor + row["base-thickness"])),
    ).cut(forms.rod(at["bore"], front - 1, 1))
    count = round(row["stud-count"])
    spots = forms.circle_spots(count, row["stud-circle"], 180 / count)
    return forms.one_solid(
        forms.drill(body.clean(), row["stud-thread"], at["stud-bottom"], 0, spots)
    )


PART = Part("seal-chamber", faces, shape, Material.CAST_IRON, mounts)
