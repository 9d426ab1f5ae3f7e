"""Back plate and bracket in one casting: what closes the casing behind the impeller is also what carries the bearing housing.

It has the rows of a bracket, and of a back plate those that are not about the joint between the two.
Origin on the axis where that joint would be.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts import back_plate, bracket
from models.spec.face import Face
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

NECK_SHARE = 0.6
"""How far before the nut face the room behind the dish has narrowed to the drum, as a share of the wall."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the faces of both but for those of the joint that is not there."""
    return back_plate.dish_faces(row, row["plate-flange-thickness"]) | bracket.drum_faces(row)


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spots of both."""
    return {**back_plate.mounts(row), **bracket.mounts(row)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn dish and drum as one section, drill its flange through for the studs, finish both ends."""
    from models.parts import forms

    inside, outside = back_plate.dish_profiles(at, row)
    nut, behind = at["nut-face"], inside[-1][1]
    neck = [(0.0, behind), (nut - NECK_SHARE * row["wall"], bracket.inside_mm(row))]
    body = forms.turn([*inside, *neck, *bracket.drum_profile(at, row), *outside])
    studs = round(row["stud-count"])
    spots = forms.circle_spots(studs, row["stud-circle"], 180 / studs)
    drilled = forms.drill(body, row["stud-hole"], at["casing-face"], nut, spots)
    # windows first: what the dish has behind it may stand in them
    opened = bracket.finish_drum(drilled, at, row)
    return forms.one_solid(back_plate.finish_dish(opened, at, row))


PART = Part("frame-casting", faces, shape, Material.CAST_IRON, mounts)
