"""Stud: threaded both ends. Origin at the end that is wound into the casting."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

POINT_SHARE = 0.12
"""Chamfer at each end as a share of the thread diameter."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the inner and the outer end."""
    return {"inner-end": plane(0.0, -1), "outer-end": plane(row["length"], +1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn a rod with chamfered ends at the thread's outside diameter."""
    from models.parts import forms

    end, r, cut = at["outer-end"], row["thread"] / 2, POINT_SHARE * row["thread"]
    return forms.turn([(0, 0), (0, r - cut), (cut, r), (end - cut, r), (end, r - cut), (end, 0)])


PART = Part("stud", faces, shape, Material.CARBON_STEEL)
