"""Straight fitting between a tapped port and the union nut of a line. Origin at the shoulder on its seal ring; it points along +x.

A shank stands between shoulder and hexagon, so that a spanner reaches it outside what the port lies in.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

BREAK_SHARE = 0.05
"""Chamfer where the threads begin, as a share of their diameter."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the shoulder on the port's seal ring and the flat end on which the union's ring lies."""
    return {"shoulder": plane(0.0, -1), "union-face": plane(row["length"], +1)}


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spot of the union's ring and, beyond it, where the line begins."""
    return {"union": (Mount(),), "line": (Mount(x=row["length"] + row["union-ring"]),)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn threads, shoulder and shank, set the hexagon on and bore it through."""
    from models.parts import forms

    thread, low, end = row["thread"] / 2, -row["thread-length"], at["union-face"]
    shoulder, shank = row["shoulder-diameter"] / 2, row["shank-diameter"] / 2
    high, cut = row["hexagon-start"] + row["hexagon-height"], BREAK_SHARE * row["thread"]
    body: Solid = forms.turn(
        [
            (low, 0), (low, thread - cut), (low + cut, thread), (0, thread), (0, shoulder),
            (row["shoulder-thickness"], shoulder), (row["shoulder-thickness"], shank), (high, shank),
            (high, thread), (end - cut, thread), (end, thread - cut), (end, 0),
        ]
    )  # fmt: skip
    body = body.fuse(forms.hexagon(row["across-flats"], high, row["hexagon-start"]))
    return forms.one_solid(body.cut(forms.rod(row["bore"], low, end)))


PART = Part("union-fitting", faces, shape, Material.STAINLESS, mounts)
