"""Wear ring: the renewable ring pressed into the suction cover, in which the impeller's nose runs.

Origin at its suction end.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

CHAMFER_SHARE = 0.06
"""Lead-in chamfer at the drive end, as a share of the ring's length."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name both ends, the running bore and the pressed outside."""
    length = row["length"]
    return {
        "suction-end": plane(0.0, -1),
        "drive-end": plane(length, +1),
        "bore": bore(row["bore"], float(length) / 2),
        "outside": journal(row["outside"], float(length) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the ring with a lead-in at the drive end."""
    from models.parts import forms

    end, cut = at["drive-end"], CHAMFER_SHARE * at["drive-end"]
    inner, outer = row["bore"] / 2, row["outside"] / 2
    return forms.turn(
        [
            (0, inner),
            (end - cut, inner),
            (end, inner + cut),
            (end, outer),
            (cut, outer),
            (0, outer - cut),
        ]
    )


PART = Part("wear-ring", faces, shape, Material.BRONZE)
