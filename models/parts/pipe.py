"""Small-bore line or hose from one port to another, bent so that it leaves and arrives square to both.

Origin at the port it starts from, x out of that port. Where it ends comes from what it spans.
`sleeve-length` in its row means that it is pushed over a stem at both ends, straight for that length;
`swing` says how far it swings out before it turns, where the usual share would meet something.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

SWING_SHARE, LEAST_SWING = 0.4, 1.5
"""How far the line swings out before it turns: as a share of the straight distance, at least so many outside diameters."""
SECTIONS = 17
"""Circles through which the line is lofted."""


def faces(_row: Row) -> Mapping[str, Face]:
    """Name the end it starts from; the other end lies where the port it reaches to lies."""
    return {"start": plane(0.0, -1)}


def shape(_at: Numbers, row: Numbers) -> Solid:
    """Loft a tube of `bore` and `outside` along a smooth curve from the start to the reached port `end`."""
    import numpy as np

    from models.parts import forms

    end = np.array([row["end-x"], row["end-y"], row["end-z"]])
    back = np.array([row["end-along-x"], row["end-along-y"], row["end-along-z"]])
    out = np.array([1.0, 0.0, 0.0])
    sleeve = row.get("sleeve-length", 0.0)
    usual = max(SWING_SHARE * float(np.linalg.norm(end)), LEAST_SWING * row["outside"])
    far = sleeve + row.get("swing", usual)
    poles = np.array([out * sleeve, out * far, end + back * far, end + back * sleeve])
    outside = forms.loft_along(poles, row["outside"], SECTIONS, sleeve)
    bore = forms.loft_along(poles, row["bore"], SECTIONS, sleeve)
    return forms.one_solid(outside.cut(bore))


LINE = Part("line", faces, shape, Material.STAINLESS, fitted=True)
HOSE = Part("hose", faces, shape, Material.CLEAR_HOSE, fitted=True, flexible=True)
