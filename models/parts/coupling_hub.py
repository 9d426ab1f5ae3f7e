"""Coupling hub on the shaft end, keyed, with a set screw over the key and a flange that takes the driven half.

Origin on the axis at the end that bears on the shaft's shoulder.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts.spots import circle_mounts
from models.spec.face import Axis, Face, bore, journal, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

CHAMFER_SHARE = 0.1
"""Chamfer of the hub's free edge as a share of the flange's thickness."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name both ends, the bore, the flange's rim and its back."""
    length, thick = row["length"], row["flange-thickness"]
    return {
        "suction-end": plane(0.0, -1),
        "drive-end": plane(length, +1),
        "flange-back": plane(length - thick, -1),
        "bore": bore(row["bore"], float(length) / 2),
        "rim": journal(row["flange-diameter"], float(length) - float(thick) / 2),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the set screw's spot over the key, and those of the screws in the flange."""
    count = round(float(row["screw-count"]))
    return {
        "set-screw": (Mount(x=row["set-screw-position"], axis=Axis.Z),),
        "disc-screws": circle_mounts(count, float(row["screw-circle"]), 180.0 / count, sign=-1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the hub with its flange, broach the keyway, drill flange and set screw hole."""
    from models.parts import forms

    end, back, small, big = (
        at["drive-end"],
        at["flange-back"],
        row["hub-diameter"] / 2,
        at["rim"] / 2,
    )
    hole, cut = at["bore"] / 2, CHAMFER_SHARE * row["flange-thickness"]
    body = forms.turn(
        [
            (0, hole), (0, small - cut), (cut, small), (back, small), (back, big - cut), (back + cut, big),
            (end - cut, big), (end, big - cut), (end, hole),
        ]
    )  # fmt: skip
    half = row["key-width"] / 2
    keyway = forms.box((-1.0, end + 1.0), (-half, half), (0.0, hole + row["key-depth"]))
    screw = forms.post(row["set-screw-thread"], row["set-screw-position"], 0.0, hole, big)
    count = round(row["screw-count"])
    spots = forms.circle_spots(count, row["screw-circle"], 180.0 / count)
    return forms.one_solid(
        forms.drill(body.cut(keyway, screw), row["screw-hole"], back, end, spots)
    )


PART = Part("coupling-hub", faces, shape, Material.CARBON_STEEL, mounts)
