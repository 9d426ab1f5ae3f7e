"""Spool piece: short pipe on the suction flange, with an opening on top for the air-separation chamber.

Origin on the shaft axis at the face that bears on the suction flange; the pipe reaches towards the suction end.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.parts.spots import circle_mounts
from models.spec.face import Axis, Face, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both pipe ends, where the nuts bear, the branch's face and the bottoms of its stud holes."""
    thick, height = row["flange-thickness"], row["branch-height"]
    return {
        "pump-face": plane(0.0, +1),
        "nut-face": plane(-thick, -1, near=(-float(thick), float(row["bolt-circle"]) / 2)),
        "pipe-face": plane(-row["length"], -1),
        "branch-face": plane(height, +1, Axis.Z),
        "stud-bottom": plane(height - row["stud-hole-depth"], +1, Axis.Z),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spots of the flange studs (nuts on this piece), of the chamber and of its studs."""
    count = round(float(row["holes"]))
    return {
        "bolts": circle_mounts(count, float(row["bolt-circle"]), 180.0 / count, sign=-1),
        "branch": (Mount(x=-row["branch-position"], axis=Axis.Z),),
        "branch-studs": tuple(
            Mount(x=x - row["branch-position"], y=y, axis=Axis.Z)
            for x, y in _stud_spots(float(row["stud-circle"]), round(float(row["stud-count"])))
        ),
    }


def _stud_spots(circle_mm: float, count: int) -> list[tuple[float, float]]:
    """Give (along, across) of the studs about the branch, straddling the shaft's own plane."""
    angles = [2 * math.pi * (i + 0.5) / count for i in range(count)]
    return [(-circle_mm / 2 * math.cos(a), circle_mm / 2 * math.sin(a)) for a in angles]


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the pipe with its two drilled flanges, the branch and its tapped flange."""
    from models.parts import forms

    thick, end, wall, bore = row["flange-thickness"], at["pipe-face"], row["wall"], row["bore"]
    top, middle = at["branch-face"], -row["branch-position"]
    opening, outside = row["branch-bore"], row["outside"]
    body = forms.tube(bore + 2 * wall, bore - 1, end, 0).fuse(
        forms.tube(outside, bore - 1, -thick, 0),
        forms.tube(outside, bore - 1, end, end + thick),
        forms.post(opening + 2 * wall, middle, 0, 0, top - row["branch-flange-thickness"] / 2),
        forms.post(row["branch-outside"], middle, 0, top - row["branch-flange-thickness"], top),
    )
    count = round(row["holes"])
    spots = forms.circle_spots(count, row["bolt-circle"], 180.0 / count)
    studs = _stud_spots(row["stud-circle"], round(row["stud-count"]))
    body = body.cut(forms.rod(bore, end, 0), forms.post(opening, middle, 0, 0, top))
    body = body.cut(
        *[forms.post(row["stud-thread"], middle + x, y, at["stud-bottom"], top) for x, y in studs]
    )
    body = forms.drill(body, row["hole"], -thick, 0, spots)
    return forms.one_solid(forms.drill(body, row["hole"], end, end + thick, spots))


PART = Part("spool-piece", faces, shape, Material.CAST_IRON, mounts)
