"""Slinger: a rubber ring tight on the shaft that throws off what creeps along it. Origin at the end of its hub."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both ends and the bore, which is the shaft's diameter once it is on."""
    return {
        "suction-end": plane(0.0, -1),
        "drive-end": plane(row["length"], +1),
        "bore": bore(row["shaft-diameter"], float(row["length"]) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the hub and the disc, which a cone joins."""
    from models.parts import forms

    end, inner, hub, rim = (
        at["drive-end"],
        at["bore"] / 2,
        row["hub-diameter"] / 2,
        row["outside"] / 2,
    )
    back, foot = end - row["disc-thickness"], end - 2 * row["disc-thickness"]
    return forms.turn([(0, inner), (end, inner), (end, rim), (back, rim), (foot, hub), (0, hub)])


PART = Part("slinger", faces, shape, Material.RUBBER, fitted=True, flexible=True)
