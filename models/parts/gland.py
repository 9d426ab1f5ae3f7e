"""Gland follower: presses the packing together; a nose in the box and a flange with two ears. Origin at the nose's end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

EAR_SHARE = 2.4
"""Width of the ears as a share of the stud hole: how such followers look."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the nose's end, both sides of the flange, the bore and the nose."""
    nose = row["nose-length"]
    end = nose + row["flange-thickness"]
    middle = (float(row["nose-outside"]) + float(row["flange-diameter"])) / 4
    return {
        "nose-end": plane(0.0, -1),
        "flange-face": plane(nose, -1, near=(float(nose), middle)),
        "nut-face": plane(end, +1, near=(float(end), middle)),
        "bore": bore(row["bore"], float(nose) / 2),
        "nose": journal(row["nose-outside"], float(nose) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn nose and flange, add the two ears sideways and drill them."""
    from models.parts import forms

    start, end, inner = at["flange-face"], at["nut-face"], row["bore"] / 2
    nose, flange = row["nose-outside"] / 2, row["flange-diameter"] / 2
    ear = EAR_SHARE * row["stud-hole"]
    body = forms.turn(
        [(0, inner), (end, inner), (end, flange), (start, flange), (start, nose), (0, nose)]
    )
    ears = forms.long_slot(ear, row["stud-circle"] + ear, start, end)
    ears = ears.rotate((0, 0, 0), (1, 0, 0), 90).cut(forms.rod(2 * inner, start, end))
    spots = forms.circle_spots(2, row["stud-circle"], 90.0)
    return forms.one_solid(
        forms.drill(body.fuse(ears).clean(), row["stud-hole"], start, end, spots)
    )


PART = Part("gland", faces, shape, Material.BRONZE)
