"""Cover of the air-separation chamber, from which the float's arm hangs. Origin at its underside, x upwards.

Two cheeks hold the pivot; the web between them is the stop on which the arm lies while the float is down.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Axis, Face, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

STOP_SHARE = 0.35
"""How far the stop reaches under the arm towards the valve, as a share of the valve's distance from the pivot."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the underside, where screws and fitting bear, the arm's stop and the cheek under the pivot's head."""
    rim = float(row["outside"]) / 2 - 1
    half = row["hanger-gap"] / 2 + row["hanger-wall"]
    return {
        "underside": plane(0.0, -1, near=(0.0, rim)),
        "top": plane(row["thickness"], +1, near=(float(row["thickness"]), rim)),
        "port-pad": plane(row["pad-height"], +1),
        "arm-stop": plane(-row["stop-depth"], +1),
        "cheek": plane(-half, -1, Axis.Y),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spots of arm and pivot (z from the chamber's middle) and of what sits in the vacuum port."""
    pivot = float(row["pivot-offset"])
    height = -row["stop-depth"] + row["pivot-height"]
    return {
        "arm": (Mount(z=-pivot),),
        "pivot": (Mount(x=height, z=-pivot, axis=Axis.Y),),
        "port": (Mount(z=float(row["port-arm"]) - pivot),),
        "float": (Mount(z=float(row["float-arm"]) - pivot),),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the plate with the pad of the vacuum port, the two cheeks and the stop between them."""
    from models.parts import forms

    thick, stop, pivot = at["top"], at["arm-stop"], -row["pivot-offset"]
    gap, wall, port = (
        row["hanger-gap"] / 2,
        row["hanger-wall"],
        row["port-arm"] - row["pivot-offset"],
    )
    low = stop - wall
    z = (pivot - row["pivot-height"] * 1.5, pivot + STOP_SHARE * row["port-arm"])
    screws = round(row["screw-count"])
    spots = forms.circle_spots(screws, row["screw-circle"], 180.0 / screws)
    body = forms.rod(row["outside"], 0, thick).fuse(
        forms.rod(row["pad-diameter"], thick / 2, at["port-pad"], 0, port),
        forms.box((low, thick / 2), (gap, gap + wall), z),
        forms.box((low, thick / 2), (-gap - wall, -gap), z),
        forms.box((low, stop), (-gap - wall / 2, gap + wall / 2), (pivot, z[1])),
    )
    body = body.cut(
        forms.rod(row["port-thread"], 0, at["port-pad"], 0, port),
        _across(row["pivot-diameter"], stop + row["pivot-height"], gap + wall, pivot),
    )
    return forms.one_solid(forms.drill(body, row["screw-hole"], 0, thick, spots))


def _across(diameter_mm: float, x: float, half_mm: float, z: float) -> Solid:
    import cadquery as cq

    return cq.Solid.makeCylinder(
        diameter_mm / 2, 2 * half_mm, cq.Vector(x, -half_mm, z), cq.Vector(0, 1, 0)
    )


PART = Part("chamber-cover", faces, shape, Material.CAST_IRON, mounts)
