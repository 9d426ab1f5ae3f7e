"""Bearing cap at the drive end: keeps the outboard bearing's outer ring and carries a lip seal.

Origin on the axis at the face that bears on the gasket.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name the mounting face, the spigot's end, the screw face and the seal's seat."""
    spigot, screw = -row["spigot-length"], row["flange-thickness"]
    seat, end = row["oil-seal-shoulder"], row["length"]
    return {
        "mounting-face": plane(0.0, -1, near=(0.0, float(row["outside"]) / 2 - 1)),
        "spigot-end": plane(spigot, -1),
        "spigot": journal(row["spigot-diameter"], float(spigot) / 2),
        "screw-face": plane(screw, +1, near=(float(screw), float(row["screw-circle"]) / 2)),
        "oil-seal-shoulder": plane(seat, +1),
        "oil-seal-bore": bore(row["oil-seal-bore"], float(end) - 1),
        "outer-end": plane(end, +1),
        "rim": journal(row["outside"], float(screw) / 2),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the lip seal's spot, turned so that its lip looks back at the oil."""
    return {"oil-seal": (Mount(sign=-1),)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the cap with room for the lock nut and the bore for the lip seal."""
    from models.parts import forms

    spigot_end, screw, seat, end = (
        at["spigot-end"],
        at["screw-face"],
        at["oil-seal-shoulder"],
        at["outer-end"],
    )
    room, seal, hole = row["nut-room-diameter"] / 2, row["oil-seal-bore"] / 2, row["shaft-hole"] / 2
    body = forms.turn(
        [
            (spigot_end, room), (row["nut-room-depth"], room), (row["nut-room-depth"], hole), (seat, hole), (seat, seal),
            (end, seal), (end, row["boss-diameter"] / 2), (screw, row["boss-diameter"] / 2), (screw, row["outside"] / 2),
            (0, row["outside"] / 2), (0, row["spigot-diameter"] / 2), (spigot_end, row["spigot-diameter"] / 2),
        ]
    )  # fmt: skip
    count = round(row["screw-count"])
    return forms.one_solid(
        forms.drill(
            body,
            row["screw-hole"],
            0,
            screw,
            forms.circle_spots(count, row["screw-circle"], 180 / count),
        )
    )


PART = Part("bearing-cap", faces, shape, Material.CAST_IRON, mounts)
