"""Grease nipple screwed into a housing. Origin at the shoulder under its hexagon; its head points along +x."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

NECK_SHARE, FLAT_SHARE = 0.65, 0.5
"""The neck behind the head and the flat in front of it, as shares of the head's diameter."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the shoulder and the tip the grease gun is pressed on."""
    return {"shoulder": plane(0.0, -1), "tip": plane(row["length"], +1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make thread, hexagon, neck and the cone-shaped head, bored through."""
    from models.parts import forms

    low, tip, head = row["hexagon-height"], at["tip"], row["head-diameter"]
    r, neck = head / 2, NECK_SHARE * head / 2
    end = forms.turn(
        [
            (low / 2, 0), (low / 2, r), (low + (tip - low) * 0.3, r), (low + (tip - low) * 0.4, neck),
            (tip - head * 0.55, neck), (tip - head * 0.35, r), (tip, FLAT_SHARE * r), (tip, 0),
        ]
    )  # fmt: skip
    back = -row["thread-length"]
    body = forms.hexagon(row["across-flats"], low, 0).fuse(forms.rod(row["thread"], back, 0), end)
    return forms.one_solid(body.cut(forms.rod(row["bore"], back, tip)))


PART = Part("grease-nipple", faces, shape, Material.CARBON_STEEL)
