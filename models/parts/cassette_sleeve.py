"""Sleeve of a cassette seal: pressed on the shaft and turning with it, its flange outside, a low rim at the liquid's end.

The main lip runs on its track, the dust lip on its flange. Origin at the back of the flange, where the outside is.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name the back, the flange's running face, the track, the rim and the bore."""
    length, flange = row["length"], row["flange-thickness"]
    middle = float(length) / 2
    at_flange = (float(row["track-diameter"]) + float(row["flange-outside"])) / 4
    return {
        "back": plane(0.0, -1),
        "flange-face": plane(flange, +1, near=(float(flange), at_flange)),
        "flange-rim": journal(row["flange-outside"], float(flange) / 2),
        "track": journal(row["track-diameter"], middle),
        "rim-wall": plane(length - row["rim-width"], -1),
        "rim": journal(row["rim-outside"], float(length) - float(row["rim-width"]) / 4),
        "fluid-end": plane(length, +1),
        "bore": bore(row["bore"], middle),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the sleeve with its flange and rim."""
    from models.parts import forms

    end, inner, track = at["fluid-end"], at["bore"] / 2, at["track"] / 2
    flange, rim = at["flange-rim"] / 2, at["rim"] / 2
    return forms.turn(
        [
            (0, inner), (end, inner), (end, rim), (at["rim-wall"], rim), (at["rim-wall"], track),
            (at["flange-face"], track), (at["flange-face"], flange), (0, flange),
        ]
    )  # fmt: skip


PART = Part("cassette-sleeve", faces, shape, Material.STAINLESS)
