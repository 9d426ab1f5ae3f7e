"""Gland of a mechanical seal: closes the oil room behind the seat. Origin at its flange's face; it reaches along +x."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Axis, Face, bore, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name the flange's faces, the lip seal's seat and the oil port's pad."""
    shoulder, thick = row["length"] - row["seal-depth"], row["flange-thickness"]
    return {
        "flange-face": plane(0.0, -1),
        "screw-face": plane(thick, +1),
        "seal-shoulder": plane(shoulder, +1),
        "seal-bore": bore(row["seal-bore"], float(row["length"]) - 1),
        "end": plane(row["length"], +1),
        "oil-pad": plane(-row["oil-pad-distance"], -1, Axis.Y),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spot of the oil line and that of the lip seal, turned towards the oil."""
    port, out = float(row["oil-port"]), -float(row["oil-pad-distance"])
    return {
        "oil-port": (Mount(x=port, y=out, axis=Axis.Y, sign=-1),),
        "lip-seal": (Mount(sign=-1),),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the flange, the neck with its lip seal's bore, and the boss of the oil port."""
    from models.parts import forms

    end, thick, shoulder = at["end"], at["screw-face"], at["seal-shoulder"]
    flange, neck = row["flange-diameter"] / 2, row["neck-diameter"] / 2
    room, seal = row["bore"] / 2, row["seal-bore"] / 2
    body = forms.turn(
        [
            (0, room), (shoulder, room), (shoulder, seal), (end, seal), (end, neck), (thick, neck),
            (thick, flange), (0, flange),
        ]
    )  # fmt: skip
    boss = forms.side_post(row["oil-boss"], row["oil-port"], 0, at["oil-pad"], -(room + neck) / 2)
    hole = forms.side_post(row["oil-bore"], row["oil-port"], 0, at["oil-pad"], -room / 2)
    count = round(row["screw-count"])
    spots = forms.circle_spots(count, row["screw-circle"], 180 / count)
    return forms.one_solid(
        forms.drill(body.fuse(boss).cut(hole), row["screw-hole"], 0, thick, spots)
    )


PART = Part("seal-gland", faces, shape, Material.CAST_IRON, mounts)
