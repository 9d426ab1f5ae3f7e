"""Hand knob: a nut with lobes, done up by hand. Origin at its bearing face."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

LOBES, LOBE_SHARE, HUB_SHARE = 4, 0.34, 0.5
"""How many lobes a knob has; a lobe's radius and the hub's, as shares of the knob's radius."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the bearing face and the top."""
    return {"bearing-face": plane(0.0, -1), "top": plane(row["height"], +1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the hub, and above it the lobes; the thread is drawn as a plain hole of its outside diameter."""
    from models.parts import forms

    top, radius = at["top"], row["outside"] / 2
    lobe, hub = LOBE_SHARE * radius, HUB_SHARE * radius
    spots = forms.circle_spots(LOBES, 2 * (radius - lobe))
    grip = forms.rod(2 * (radius - lobe), top / 2, top)
    lobes = [forms.rod(2 * lobe, top / 2, top, y, z) for y, z in spots]
    body = forms.rod(2 * hub, 0, top).fuse(grip, *lobes)
    return forms.one_solid(body.cut(forms.rod(row["thread"], 0, top)))


PART = Part("hand-knob", faces, shape, Material.DUCTILE_IRON)
