"""Hose fitting screwed into a port. Origin at the shoulder under its hexagon; the ribbed stem points along +x."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

RIBS, RIB_SHARE = 3, 0.12
"""Ribs that grip the hose, and how far each stands out as a share of the stem's diameter."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the shoulder, the hexagon's top, where a hose ends, and the stem's end."""
    return {
        "shoulder": plane(0.0, -1),
        "hexagon-top": plane(row["hexagon-height"], +1),
        "stem-end": plane(row["hexagon-height"] + row["stem-length"], +1),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spot where a hose pushed over the stem ends, and that of a clip in the middle of the stem."""
    return {
        "hose": (Mount(x=row["hexagon-height"]),),
        "clip": (Mount(x=row["hexagon-height"] + row["stem-length"] / 2),),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the hexagon, the thread into the port, the ribbed stem and the bore."""
    from models.parts import forms

    high, end, r = row["hexagon-height"], at["stem-end"], row["stem-diameter"] / 2
    step, out = row["stem-length"] / (RIBS + 1), r * (1 + 2 * RIB_SHARE)
    ribbed: list[tuple[float, float]] = [(high / 2, 0), (high / 2, r)]
    for i in range(1, RIBS + 1):
        ribbed += [(high + i * step, r), (high + i * step, out), (high + (i + 0.8) * step, r)]
    body = forms.hexagon(row["across-flats"], high, 0).fuse(
        forms.rod(row["thread"], -row["thread-length"], 0),
        forms.turn([*ribbed, (end, r), (end, 0)]),
    )
    return forms.one_solid(body.cut(forms.rod(row["bore"], -row["thread-length"], end)))


PART = Part("hose-fitting", faces, shape, Material.BRASS, mounts)
