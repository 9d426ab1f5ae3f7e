"""Bracket that carries the vacuum pump beside the bearing housing. Own x points away from the housing, own z up.

Origin in the middle of the side that bears on the housing's pad.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Axis, Face, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

GUSSET_SHARE, GUSSET_SPREAD = 0.85, 0.92
"""How far the gussets run out under the shelf, as a share of it, and how far apart they stand, as a share of its width."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the side on the housing, where the screws bear, and the shelf's top."""
    return {
        "base": plane(0.0, -1),
        "screw-face": plane(row["thickness"], +1),
        "shelf": plane(-row["shelf-depth"], +1, Axis.Z),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spot of the vacuum pump on the shelf, its shaft along the pump's."""
    return {"vacuum-pump": (Mount(x=row["pump-distance"], axis=Axis.Z, turn_deg=90.0),)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Weld up base, shelf and two gussets; drill the base, tap the shelf."""
    from models.parts import forms

    thick, half, top = at["screw-face"], row["width"] / 2, at["shelf"]
    low, high, long = -row["base-depth"], row["base-height"], row["shelf-length"]
    under = top - row["shelf-thickness"]
    base = forms.box((0, thick), (-half, half), (low, high))
    shelf = forms.box((0, long), (-half, half), (under, top))
    reach, wall = long * GUSSET_SHARE, thick / 2
    outline = [(0.0, under), (0.0, low), (thick, low), (reach, under)]
    gussets = [
        forms.upright_plate("y", outline, y - wall / 2, y + wall / 2)
        for y in (-half * GUSSET_SPREAD, half * GUSSET_SPREAD)
    ]
    spread = row["screw-along"] / 2
    rise = row["screw-across"] / 2
    holes = [
        forms.rod(row["screw-hole"], 0, thick, y, z)
        for y in (-spread, spread)
        for z in (-rise, rise)
    ]
    taps = [
        forms.post(row["tap-thread"], row["pump-distance"] + x, y, under, top)
        for x in (-row["tap-across"] / 2, row["tap-across"] / 2)
        for y in (-row["tap-along"] / 2, row["tap-along"] / 2)
    ]
    return forms.one_solid(base.fuse(shelf, *gussets).cut(*holes, *taps))


PART = Part("vacuum-bracket", faces, shape, Material.CARBON_STEEL, mounts)
