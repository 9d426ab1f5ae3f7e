"""Flap of the check valve: disc with a recess for its rubber facing, arm and eye for the hinge pin.

Origin at the middle of the recess's floor, x with the flow, z along the arm.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

BOSS_SHARE, ARM_SHARE, EYE_SHARE = 0.36, 0.55, 1.1
"""The boss's radius as a share of the disc's, the arm's thickness as a share of its width, the eye's radius as a share of the hole's diameter."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the floor under the facing and the rim round it; both look against the flow."""
    return {
        "recess-floor": plane(0.0, -1),
        "rim": plane(-row["recess-depth"], -1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the disc, thicker towards its boss, and set arm and eye on it."""
    import cadquery as cq

    from models.parts import forms

    radius, thick, rim = row["outside"] / 2, row["thickness"], at["rim"]
    recess, boss, half = row["facing-diameter"] / 2, BOSS_SHARE * radius, row["arm-width"] / 2
    x, z, eye = row["hinge-reach"], row["hinge-height"], EYE_SHARE * row["hinge-hole"]
    slim = ARM_SHARE * half
    back = x + slim
    disc = forms.turn(
        [
            (0, 0), (0, recess), (rim, recess), (rim, radius), (thick / 2, radius),
            (thick, boss * 1.6), (back, boss), (back, 0),
        ]
    )  # fmt: skip
    body = disc.fuse(
        forms.box((x - slim, back), (-half, half), (0, z)),
        forms.box((thick / 2, back), (-slim / 2, slim / 2), (-0.8 * radius, 0.8 * radius)).cut(
            forms.box((0, back), (-half, half), (0, radius))
        ),
        cq.Solid.makeCylinder(eye, 2 * half, cq.Vector(x, -half, z), cq.Vector(0, 1, 0)),
    )
    hole = cq.Solid.makeCylinder(
        row["hinge-hole"] / 2, 2 * half, cq.Vector(x, -half, z), cq.Vector(0, 1, 0)
    )
    return forms.one_solid(body.cut(hole))


PART = Part("check-flap", faces, shape, Material.DUCTILE_IRON)
