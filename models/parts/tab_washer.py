"""Tab washer: one tab bent up along the screw's hexagon, one down over the retaining washer. Origin at its drive end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

PLAY_MM = 0.15
"""Air left between a bent tab and what it lies against, so that the two are seen as separate."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides of the flat ring."""
    reach = (float(row["bore"]) + float(row["outside"])) / 4
    return {
        "drive-end": plane(0.0, +1, near=(0.0, reach)),
        "suction-end": plane(-row["thickness"], -1, near=(-float(row["thickness"]), reach)),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Cut the ring and bend its two tabs: up at the head's flat, down at the washer's rim.

    With the row `flat-tab-length` nobody bent them: they stand out flat.
    """
    from models.parts import forms

    t, half = row["thickness"], row["tab-width"] / 2
    flat, rim = row["across-flats"] / 2 + PLAY_MM, row["rim-diameter"] / 2 + PLAY_MM
    ring = forms.tube(row["outside"], row["bore"], -t, 0)
    if "flat-tab-length" in row:
        long = row["flat-tab-length"]
        tabs = (
            forms.box((-t, 0), (-half, half), (flat, flat + long)),
            forms.box((-t, 0), (-half, half), (-rim - long / 2, -row["bore"] / 2 - t)),
        )
        return forms.one_solid(ring.fuse(*tabs).clean())
    up = [
        forms.box((-t - row["tab-length"], -t / 2), (-half, half), (flat, flat + t)),
    ]
    down = [
        forms.box((-t, 0), (-half, half), (-rim - t, -row["bore"] / 2 - t)),
        forms.box((-t, row["tab-length"] / 2), (-half, half), (-rim - t, -rim)),
    ]
    return forms.one_solid(ring.fuse(*up, *down).clean())


PART = Part("tab-washer", faces, shape, Material.STAINLESS)
