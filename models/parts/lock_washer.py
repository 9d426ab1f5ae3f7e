"""Lock washer: its inner tab lies in the shaft's slot, an outer tab is bent into the lock nut. Origin at its suction end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides of the flat ring."""
    near = (float(row["bore"]) + float(row["outside"])) / 4
    t = row["thickness"]
    return {
        "suction-end": plane(0.0, -1, near=(0.0, near)),
        "drive-end": plane(t, +1, near=(float(t), near)),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Cut the ring with its inner tab, and bend one outer tab into the nut's slot; with `flat-tab-length` it stands out flat."""
    from models.parts import forms

    t, half, outer = at["drive-end"], row["tab-width"] / 2, row["outside"] / 2
    ring = forms.tube(row["outside"], row["bore"], 0, t)
    inner = forms.box((0, t), (-half, half), (row["tab-bottom"], row["bore"] / 2 + t))
    low = row["tab-height"]
    if "flat-tab-length" in row:
        high = low + row["flat-tab-length"]
        tab = forms.box((0, t), (-half, half), (outer - t, high))
        return forms.one_solid(ring.fuse(inner, tab).clean())
    flat = forms.box((0, t), (-half, half), (outer - t, low + t))
    bent = forms.box((0, row["tab-length"]), (-half, half), (low, low + t))
    return forms.one_solid(ring.fuse(inner, flat, bent).clean())


PART = Part("lock-washer", faces, shape, Material.CARBON_STEEL)
