"""Vacuum valve: fork over the float arm, head under the vacuum port. Origin at the slot's roof, x upwards."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Axis, Face, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

STEM_SHARE = 0.5
"""Diameter of the stem as a share of the head's."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the slot's roof on the arm, the floor of the recess for the disc and the side under the pin's head."""
    return {
        "slot-roof": plane(0.0, -1),
        "recess-floor": plane(row["length"] - row["recess-depth"], +1),
        "fork-side": plane(-row["fork-width"] / 2, -1, Axis.Y),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spot of the pin through fork and arm."""
    return {"pin": (Mount(x=-row["pin-depth"], axis=Axis.Y),)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the slotted fork, the stem and the recessed head."""
    import cadquery as cq

    from models.parts import forms

    half, slot, end = row["fork-width"] / 2, row["slot-width"] / 2, row["length"]
    low, head = -2 * row["pin-depth"], end - row["head-thickness"]
    roof = row["roof"]
    body = forms.box((low, roof), (-half, half), (-half * 0.7, half * 0.7)).fuse(
        forms.rod(STEM_SHARE * row["head-diameter"], roof / 2, end - row["head-thickness"] / 2),
        forms.rod(row["head-diameter"], head, end),
    )
    pin = cq.Solid.makeCylinder(
        row["pin-diameter"] / 2,
        2 * half,
        cq.Vector(-row["pin-depth"], -half, 0),
        cq.Vector(0, 1, 0),
    )
    return forms.one_solid(
        body.cut(
            forms.box((low - 1, 0), (-slot, slot), (-half, half)),
            forms.rod(row["recess-diameter"], at["recess-floor"], end),
            pin,
        )
    )


PART = Part("vacuum-valve", faces, shape, Material.BRASS, mounts)
