"""Ring of square braided packing, cut on the slant where its ends meet. Origin at its suction end.

As a pump has it, it fills its box at the width that is in its row. Where packing itself is shown it is drawn as
cut, standing free in the box, or squeezed by the gland: shorter, and so much wider that its volume is kept.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.length import Length
from models.spec.part import Material, Numbers, Part, Row, Solid

CORNER_SHARE = 0.1
"""Rounded-off corner of the pressed braid as a share of its width: how it looks."""
SLIT_SHARE, SLANT_DEG = 0.05, 45.0
"""Gap left between the cut ends as a share of the width, and the slant of the cut. Source: common practice."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides and the cylinders it is pressed against: the shaft and the box."""
    return _name_faces(row["width"], row["shaft-diameter"], row["box-bore"])


def faces_as_cut(row: Row) -> Mapping[str, Face]:
    """Name the same faces of a ring that the gland only just touches: it bears on neither shaft nor box yet."""
    return _name_faces(row["free-width"], row["free-inside"], row["free-outside"])


def faces_squeezed(row: Row) -> Mapping[str, Face]:
    """Name the same faces of a ring that the gland has spread against shaft and box.

    Its volume is kept: what it gains across it has lost along the shaft. Real braid also loses some of the
    air in it and so yields a little more. Source: common practice.
    """
    inside, outside, shaft, box = (
        row[key] * row[key] for key in ("free-inside", "free-outside", "shaft-diameter", "box-bore")
    )
    width = row["free-width"] * ((outside - inside) / (box - shaft))
    return _name_faces(width, row["shaft-diameter"], row["box-bore"])


def _name_faces(width: Length, inside: Length, outside: Length) -> dict[str, Face]:
    return {
        "suction-end": plane(0.0, -1),
        "drive-end": plane(width, +1),
        "inside": bore(inside, float(width) / 2),
        "outside": journal(outside, float(width) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the pressed section and cut it through once, on the slant, at the top."""
    from models.parts import forms

    width, low, high = at["drive-end"], at["inside"] / 2, at["outside"] / 2
    cut, slit = CORNER_SHARE * width, SLIT_SHARE * width / 2
    ring = forms.turn(
        [
            (0, low + cut), (cut, low), (width - cut, low), (width, low + cut),
            (width, high - cut), (width - cut, high), (cut, high), (0, high - cut),
        ]
    )  # fmt: skip
    middle = width / 2
    knife = forms.box((middle - width, middle + width), (-slit, slit), (low - width, high + width))
    return forms.one_solid(ring.cut(knife.rotate((middle, 0, 0), (middle, 0, 1), SLANT_DEG)))


PART = Part("packing-ring", faces, shape, Material.PACKING, fitted=True)
AS_CUT = Part("packing-ring", faces_as_cut, shape, Material.PACKING, fitted=True)
SQUEEZED = Part("packing-ring", faces_squeezed, shape, Material.PACKING, fitted=True)
