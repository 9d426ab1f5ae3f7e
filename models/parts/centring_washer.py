"""Centring washer: fills the hub's bore before the shaft's end and centres the retaining washer on its spigot.

Origin at its shoulder, which lies against the retaining washer; the body reaches along +x into the hub.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

LEAD_IN_SHARE = 0.2
"""Chamfer that leads the body into the hub, as a share of its thickness."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the shoulder, both ends, the two cylinders that centre and the screw's hole."""
    thick, spigot = row["thickness"], row["spigot-length"]
    return {
        "shoulder": plane(0.0, -1, near=(0.0, float(row["spigot-diameter"] + row["outside"]) / 4)),
        "drive-end": plane(thick, +1),
        "suction-end": plane(-spigot, -1),
        "outside": journal(row["outside"], float(thick) / 2),
        "spigot": journal(row["spigot-diameter"], -float(spigot) / 2),
        "hole": bore(row["bore"], 0.0),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the body with its lead-in and the spigot."""
    from models.parts import forms

    end, tip, inner = at["drive-end"], at["suction-end"], row["bore"] / 2
    outer, spigot = row["outside"] / 2, row["spigot-diameter"] / 2
    cut = LEAD_IN_SHARE * row["thickness"]
    return forms.turn(
        [
            (tip, inner), (tip, spigot), (0, spigot), (0, outer), (end - cut, outer),
            (end, outer - cut), (end, inner),
        ]
    )  # fmt: skip


PART = Part("centring-washer", faces, shape, Material.STAINLESS)
