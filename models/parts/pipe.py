"""Small-bore line or hose from one port to another, bent so that it leaves and arrives square to both.

Origin at the port it starts from, x out of that port. Where it ends comes from what it spans.
`sleeve-length` in its row means that it is straight for that length at both ends, as where it is pushed
over a stem; `union-grip` that a union nut at each end reaches so far back over the fitting's thread;
`swing` says how far it swings out before it turns, where the usual share would meet something.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

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
    outside: Solid = forms.loft_along(poles, row["outside"], SECTIONS, sleeve)
    bore = forms.loft_along(poles, row["bore"], SECTIONS, sleeve)
    if "union-grip" in row:
        outside = outside.fuse(_union_nut(row), _lay_along(end, back, _union_nut(row)))
    return forms.one_solid(outside.cut(bore))


def _union_nut(row: Numbers) -> Solid:
    """Make the nut behind the start's collar. It is captive on the line, so it is drawn in one with it."""
    from models.parts import forms

    grip, behind = row["union-grip"], row["union-height"] - row["union-grip"]
    nut = forms.hexagon(row["union-across-flats"], behind, -grip)
    # what lies inside the tube is the tube's to bore
    return nut.cut(forms.rod(row["union-thread"], -grip, 0), forms.rod(row["bore"], 0, behind))


def _lay_along(spot: Iterable[float], along: Iterable[float], form: Solid) -> Solid:
    """Turn and shift a form from the origin to `spot` in mm, its x axis to `along`."""
    import cadquery as cq

    start, way = cq.Vector(1, 0, 0), cq.Vector(*along)
    turned, axis = math.degrees(start.getAngle(way)), start.cross(way)
    if axis.Length < 1e-9:  # along or against: any axis square to it will do
        axis = cq.Vector(0, 0, 1)
    # the form itself is turned: the mesher refuses a face that is only laid elsewhere
    return form.rotate(cq.Vector(), axis, turned).translate(cq.Vector(*spot))


LINE = Part("line", faces, shape, Material.STAINLESS, fitted=True)
HOSE = Part("hose", faces, shape, Material.CLEAR_HOSE, fitted=True, flexible=True)
