"""Sleeve that a mechanical seal is built on: a flange that turns the seal, and a tube that its faces stand round.

`step-diameter` in its row means that the tube is thicker by the flange, as a balanced seal wants it.
Origin at the flange's face, from which the tube reaches along +x.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts import seal_drive
from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name flange, ends, the journal that the O-ring slides on, that under the faces, and the O-ring's groove inside."""
    length = row["length"]
    wall = length - row["groove-start"]
    stepped = "step-diameter" in row
    named = {
        "flange-face": plane(0.0, +1, near=(0.0, float(row["hub-diameter"]) / 2 - 1)),
        "suction-end": plane(-row["flange-thickness"], -1),
        "drive-end": plane(length, +1),
        "seal-journal": journal(row["step-diameter"] if stepped else row["outside"], 1.0),
        "face-journal": journal(row["outside"], float(length) - 2),
        "bore": bore(row["bore"], 1.0),
        "groove-wall": plane(wall, -1),
        "groove-bottom": bore(row["groove-diameter"], float(wall) - 1),
    }
    return named | ({"step": plane(row["step-length"], +1)} if stepped else {})


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn flange and tube and mill the notches that turn the seal."""
    from models.parts import forms

    end, inner, outer, cut = at["drive-end"], at["bore"] / 2, at["face-journal"] / 2, row["lead-in"]
    back, hub, wide = at["suction-end"], row["hub-diameter"] / 2, at["seal-journal"] / 2
    wall, deep = at["groove-wall"], at["groove-bottom"] / 2
    start = wall - row["groove-width"]
    step = [(at["step"], outer), (at["step"], wide)] if "step" in at else []
    body = forms.turn(
        [
            (back, inner), (start, inner), (start, deep), (wall, deep), (wall, inner), (end, inner),
            (end, outer - cut), (end - cut, outer), *step, (0, wide), (0, hub), (back, hub),
        ]
    )  # fmt: skip
    return forms.one_solid(body.cut(*seal_drive.make_notches(row)))


PART = Part("seal-sleeve", faces, shape, Material.STAINLESS)
