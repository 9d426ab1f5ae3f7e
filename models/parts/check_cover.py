"""Cover of the check valve, from which the flap hangs. Origin at its underside, x outwards; the pin lies along y."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Axis, Face, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

CHEEK_SHARE, DOME_SHARE = 1.4, 0.55
"""How far a cheek reaches round the pin, as a share of the pin's diameter; width of the raised middle as a share of the cover's."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the underside, where the screws bear, and the cheek under the pin's head."""
    rim = float(row["outside"]) / 2 - 1
    half = row["cheek-gap"] / 2 + row["cheek-wall"]
    return {
        "underside": plane(0.0, -1, near=(0.0, rim)),
        "top": plane(row["thickness"], +1, near=(float(row["thickness"]), rim)),
        "cheek": plane(-half, -1, Axis.Y),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spot of the hinge pin."""
    return {"pin": (Mount(x=-row["pin-depth"], axis=Axis.Y),)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the plate with its raised middle and the two cheeks that hold the pin."""
    import cadquery as cq

    from models.parts import forms

    thick, inner = at["top"], row["cheek-gap"] / 2
    outer, depth, reach = (
        inner + row["cheek-wall"],
        row["pin-depth"],
        CHEEK_SHARE * row["pin-diameter"],
    )
    screws = round(row["screw-count"])
    spots = forms.circle_spots(screws, row["screw-circle"], 180.0 / screws)
    middle = DOME_SHARE * row["outside"] / 2
    body: Solid = forms.turn(
        [
            (0, 0), (0, row["outside"] / 2), (thick, row["outside"] / 2), (thick, middle + thick / 2),
            (thick * 1.5, middle), (thick * 1.5, 0),
        ]
    )  # fmt: skip
    for y in (inner, -outer):
        eye = cq.Solid.makeCylinder(
            reach, outer - inner, cq.Vector(-depth, y, 0), cq.Vector(0, 1, 0)
        )
        body = body.fuse(
            forms.box((-depth, thick / 2), (y, y + outer - inner), (-reach, reach)), eye
        )
    pin = cq.Solid.makeCylinder(
        row["pin-diameter"] / 2, 2 * outer, cq.Vector(-depth, -outer, 0), cq.Vector(0, 1, 0)
    )
    return forms.one_solid(forms.drill(body.cut(pin), row["screw-hole"], 0, thick, spots))


PART = Part("check-cover", faces, shape, Material.CAST_IRON, mounts)
