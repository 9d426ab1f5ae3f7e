"""Leaf of the suction flap valve: a rubber sheet whose rim is clamped as a gasket and whose middle swings on a tongue.

Origin at the rim's side towards the casing, x towards the suction pipe, z up: the tongue is at the top.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides, the hole in the rim, the leaf's edge and the hole for the weights' screw."""
    middle = float(row["thickness"]) / 2
    return {
        "inner": plane(0.0, -1),
        "outer": plane(row["thickness"], +1),
        "opening": bore(row["opening"], middle),
        "edge": journal(row["leaf-diameter"], middle),
        "screw-hole": bore(row["screw-hole"], middle),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Punch rim, leaf and tongue out of one sheet, and the holes for studs and screw."""
    from models.parts import forms

    end, half = at["outer"], row["tongue-width"] / 2
    rim = forms.tube(row["outside"], row["opening"], 0, end)
    leaf = forms.tube(row["leaf-diameter"], row["screw-hole"], 0, end)
    reach = (row["opening"] + row["outside"]) / 4
    tongue = forms.box((0, end), (-half, half), (row["leaf-diameter"] / 4, reach))
    count = round(row["stud-count"])
    spots = forms.circle_spots(count, row["stud-circle"], 180.0 / count)
    return forms.one_solid(forms.drill(rim.fuse(leaf, tongue), row["stud-hole"], 0, end, spots))


PART = Part("flap-leaf", faces, shape, Material.NITRILE, flexible=True)
