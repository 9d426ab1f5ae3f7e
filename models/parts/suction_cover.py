"""Suction cover: closes the volute's front, carries the suction flange and the wear ring.

Origin on the axis at the face that bears on the volute; the dish reaches towards the impeller.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name the mounting face, nut face, ring seat, groove and spigot."""
    shoulder = row["ring-shoulder"]
    return {
        "mounting-face": plane(0.0, +1, near=(0.0, float(row["rim-diameter"]) / 2 - 1)),
        "nut-face": plane(
            -row["rim-thickness"],
            -1,
            near=(-float(row["rim-thickness"]), float(row["stud-circle"]) / 2),
        ),
        "ring-shoulder": plane(shoulder, +1),
        "ring-bore": bore(row["ring-bore"], float(shoulder) + 1),
        "wet-face": plane(row["wet-face-depth"], +1),
        "spigot": journal(row["spigot-diameter"], float(row["groove-start"]) / 2),
        "groove-bottom": journal(row["groove-diameter"], float(row["groove-start"]) + 1),
        "groove-wall": plane(row["groove-start"], +1),
        "suction-face": plane(-row["face-length"], -1),
        "suction-flange-back": plane(row["suction-flange-thickness"] - row["face-length"], +1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the cover: flange, neck, dished disc, spigot with its O-ring groove, bore for the ring."""
    from models.parts import forms

    eye, ring, wet = row["suction-bore"] / 2, row["ring-bore"] / 2, at["wet-face"]
    spigot, rim, wall = row["spigot-diameter"] / 2, row["rim-diameter"] / 2, row["wall"]
    shoulder, mouth = at["ring-shoulder"], at["ring-shoulder"] + row["ring-depth"]
    nut, face, thick = at["nut-face"], at["suction-face"], row["suction-flange-thickness"]
    start, end, groove = (
        at["groove-wall"],
        at["groove-wall"] + row["groove-width"],
        row["groove-diameter"] / 2,
    )
    inner = spigot - wall * 1.4
    body = forms.turn(
        [
            (face, eye), (shoulder, eye), (shoulder, ring), (mouth, ring), (mouth, ring + wall),
            (wet, ring + 2 * wall), (wet, spigot), (end, spigot), (end, groove), (start, groove),
            (start, spigot), (0, spigot), (0, rim), (nut, rim), (nut, inner), (wet - wall, inner),
            (mouth - wall, ring + wall), (shoulder - wall, ring + wall * 0.4), (nut, eye + wall),
            (face + thick, eye + wall), (face + thick, row["outside"] / 2), (face, row["outside"] / 2),
        ]
    )  # fmt: skip
    studs = round(row["stud-count"])
    drilled = forms.drill(
        body, row["stud-hole"], nut, 0, forms.circle_spots(studs, row["stud-circle"], 180 / studs)
    )
    holes = round(row["holes"])
    drilled = forms.drill(
        drilled,
        row["hole"],
        face,
        face + thick,
        forms.circle_spots(holes, row["bolt-circle"], 180 / holes),
    )
    return forms.one_solid(drilled)


PART = Part("suction-cover", faces, shape, Material.CAST_IRON)
