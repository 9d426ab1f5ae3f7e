"""Hardened track for a lip: a thin ring pressed on the shaft. Origin at its suction end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both ends, the bore and the track."""
    length = row["length"]
    return {
        "suction-end": plane(0.0, -1),
        "drive-end": plane(length, +1),
        "bore": bore(row["bore"], float(length) / 2),
        "track": journal(row["outside"], float(length) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the ring; a lead-in at the drive end takes the lip over the edge unhurt."""
    from models.parts import forms

    end, inner, outer, cut = at["drive-end"], at["bore"] / 2, at["track"] / 2, row["lead-in"]
    return forms.turn(
        [(0, inner), (end, inner), (end, outer - cut), (end - 2 * cut, outer), (0, outer)]
    )


PART = Part("running-track", faces, shape, Material.CHROME_STAINLESS_HARDENED)
