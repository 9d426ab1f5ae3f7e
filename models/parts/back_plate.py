"""Back plate: closes the volute behind the impeller and carries the seal's seat.

Origin on the axis at the face that bears on the bracket; the dish reaches towards the impeller (-x).
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both flange faces, the wet face, the seat's shoulder and bore, and the registers."""
    wet, seat = -row["wet-face-depth"], -row["seat-shoulder-depth"]
    groove = row["groove-start"]
    return {
        "bracket-face": plane(0.0, +1, near=(0.0, float(row["rim-diameter"]) / 2 - 1)),
        "casing-face": plane(-row["flange-thickness"], -1),
        "wet-face": plane(wet, -1, near=(float(wet), float(row["chamber-bore"]) / 2 + 2)),
        "seat-shoulder": plane(seat, -1),
        "seat-bore": bore(row["seat-bore"], float(seat) - 1),
        "chamber-bore": bore(row["chamber-bore"], float(wet) + 1),
        "groove-bottom": journal(row["groove-diameter"], float(groove) + 1),
        "groove-wall": plane(groove, +1),
        "register": journal(row["register-diameter"], float(groove) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the dish: wet disc, seal chamber with the seat's bore, flange, register with its O-ring groove."""
    from models.parts import forms

    wall, wet, seat, casing = row["wall"], at["wet-face"], at["seat-shoulder"], at["casing-face"]
    spigot, rim, register = (
        row["spigot-diameter"] / 2,
        row["rim-diameter"] / 2,
        row["register-diameter"] / 2,
    )
    chamber, bore_r, hole = row["chamber-bore"] / 2, row["seat-bore"] / 2, row["shaft-hole"] / 2
    seat_start = seat - row["seat-bore-length"]
    end = seat + wall
    start, stop, groove = (
        at["groove-wall"],
        at["groove-wall"] + row["groove-width"],
        row["groove-diameter"] / 2,
    )
    length, inner = row["register-length"], spigot - wall * 1.2
    thin = groove - wall * 0.7
    body = forms.turn(
        [
            (wet, chamber), (seat_start, chamber), (seat_start, bore_r), (seat, bore_r), (seat, hole), (end, hole),
            (end, chamber + wall * 0.4), (wet + 2 * wall, chamber + wall), (wet + wall, chamber + 2 * wall),
            (wet + wall, inner), (casing, inner), (casing + wall * 0.3, thin), (length, thin), (length, register),
            (stop, register), (stop, groove), (start, groove), (start, register), (0, register), (0, rim),
            (casing, rim), (casing, spigot), (wet, spigot),
        ]
    )  # fmt: skip
    studs = round(row["stud-count"])
    drilled = forms.drill(
        body,
        row["stud-hole"],
        casing,
        0,
        forms.circle_spots(studs, row["stud-circle"], 180 / studs),
    )
    return forms.one_solid(drilled)


PART = Part("back-plate", faces, shape, Material.CAST_IRON)
