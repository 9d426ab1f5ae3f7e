"""Gland plate of a mechanical seal: closes the chamber and carries the stationary seat. Origin at the face on the gasket."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both faces, the register, and the shoulder and bore of the seat."""
    seat, thick = row["seat-shoulder"], row["thickness"]
    return {
        "flange-face": plane(0.0, -1, near=(0.0, float(row["outside"]) / 2 - 1)),
        "nut-face": plane(thick, +1),
        "register": journal(row["register-diameter"], -float(row["register-length"]) / 2),
        "register-end": plane(-row["register-length"], -1),
        "seat-shoulder": plane(seat, -1),
        "seat-bore": bore(row["seat-bore"], float(seat) - 1),
        "shaft-hole": bore(row["shaft-hole"], float(thick) - 1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the plate with its register and the seat's bore, and drill it for the studs."""
    from models.parts import forms

    thick, outer, seat = at["nut-face"], row["outside"] / 2, at["seat-bore"] / 2
    hole, register, inside = at["shaft-hole"] / 2, at["register"] / 2, row["register-inside"] / 2
    end, shoulder = at["register-end"], at["seat-shoulder"]
    body = forms.turn(
        [
            (shoulder, hole), (thick, hole), (thick, outer), (0, outer), (0, register), (end, register),
            (end, inside), (0, inside), (0, seat), (shoulder, seat),
        ]
    )  # fmt: skip
    count = round(row["stud-count"])
    spots = forms.circle_spots(count, row["stud-circle"], 180 / count)
    return forms.one_solid(forms.drill(body, row["stud-hole"], 0, thick, spots))


PART = Part("gland-plate", faces, shape, Material.STAINLESS)
