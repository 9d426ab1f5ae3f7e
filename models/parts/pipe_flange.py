"""Flange on the end of a pipe, welded on by its neck. Origin at its sealing face, from which the pipe reaches along -x.

`raise-height` in its row above nought means that the sealing face stands proud of the bolt holes.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts.spots import circle_mounts
from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

NECK_SHARE = 1.22
"""Outside of the neck where it meets the flange, in outsides of the pipe: how such flanges look."""

EDGE_MM = 0.2
"""How far inside its edge a raised face is looked for."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the sealing face, the face the bolts bear on, the rim, the bore and the pipe's end."""
    back = -row["thickness"]
    edge = float(row["raise-diameter"]) / 2 - EDGE_MM
    return {
        "face": plane(0.0, +1, near=(0.0, edge)),
        "bolt-face": plane(back, -1, near=(float(back), float(row["bolt-circle"]) / 2)),
        "rim": journal(row["outside"], float(back) + 1),
        "bore": bore(row["bore"], float(back)),
        "pipe-end": plane(-row["length"], -1),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the bolts' spots, astride of straight up, and how the other flange stands: turned to face this one."""
    holes = round(float(row["holes"]))
    return {
        "bolts": circle_mounts(holes, float(row["bolt-circle"]), 180 / holes),
        "mate": (Mount(sign=-1),),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn pipe, neck and flange and drill the holes."""
    from models.parts import forms

    back, end, rim, inner = at["bolt-face"], at["pipe-end"], at["rim"] / 2, at["bore"] / 2
    pipe, rise = row["pipe-outside"] / 2, row["raise-height"]
    neck, foot = NECK_SHARE * pipe, back - row["neck-length"]
    step = [(0, row["raise-diameter"] / 2), (-rise, row["raise-diameter"] / 2)] if rise > 0 else []
    body = forms.turn(
        [
            (0, inner), *step, (-rise, rim), (back, rim), (back, neck), (foot, pipe), (end, pipe),
            (end, inner),
        ]
    )  # fmt: skip
    holes = round(row["holes"])
    spots = forms.circle_spots(holes, row["bolt-circle"], 180 / holes)
    return forms.one_solid(forms.drill(body, row["hole"], back - 1, 1, spots))


PART = Part("pipe-flange", faces, shape, Material.CARBON_STEEL, mounts)
