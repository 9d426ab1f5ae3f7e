"""Retaining washer: bears on the hub's end and keeps the impeller on the shaft. Origin at its drive end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

CHAMFER_SHARE = 0.15
"""Chamfer of the outer edge as a share of the thickness."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides and the hole."""
    return {
        "drive-end": plane(0.0, +1),
        "suction-end": plane(-row["thickness"], -1),
        "hole": bore(row["bore"], -float(row["thickness"]) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the disc with a chamfered outer edge."""
    from models.parts import forms

    end, inner, outer = at["suction-end"], row["bore"] / 2, row["outside"] / 2
    cut = CHAMFER_SHARE * row["thickness"]
    return forms.turn(
        [(0, inner), (0, outer), (end + cut, outer), (end, outer - cut), (end, inner)]
    )


PART = Part("washer", faces, shape, Material.STAINLESS)
