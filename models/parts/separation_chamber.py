"""Air-separation chamber: upright vessel in which air parts from water before the vacuum line.

Origin at the middle of the face it stands on, x upwards.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts.spots import circle_mounts
from models.spec.face import Face, bore, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

NECK_SHARE, FLARE_SHARE = 0.22, 0.36
"""Where the neck ends and where the flare has reached the full bore, as shares of the height."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the foot, where the nuts bear, the rim under the cover, the screw holes' bottoms and the wall."""
    thick, height = row["foot-thickness"], row["height"]
    return {
        "foot": plane(0.0, -1),
        "nut-face": plane(thick, +1, near=(float(thick), float(row["stud-circle"]) / 2)),
        "rim": plane(height, +1),
        "screw-bottom": plane(height - row["screw-depth"], +1),
        "wall": bore(row["bore"], float(height) - 1),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spots of the cover's screws, heads up."""
    count = round(float(row["screw-count"]))
    return {
        "cover-screws": circle_mounts(count, float(row["screw-circle"]), 180.0 / count, sign=-1)
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn foot, neck, flare, barrel and rim in one, and drill foot and rim."""
    from models.parts import forms

    wall, height, foot = row["wall"], at["rim"], at["nut-face"]
    small, large, rim = row["neck-bore"] / 2, row["bore"] / 2, row["rim-outside"] / 2
    neck, flare, under = NECK_SHARE * height, FLARE_SHARE * height, height - row["rim-thickness"]
    body: Solid = forms.turn(
        [
            (0, small), (neck, small), (flare, large), (height, large), (height, rim), (under, rim),
            (under - (rim - large - wall) / 2, large + wall), (flare, large + wall), (neck, small + wall),
            (foot, small + wall), (foot, row["foot-outside"] / 2), (0, row["foot-outside"] / 2),
        ]
    )  # fmt: skip
    studs, screws = round(row["stud-count"]), round(row["screw-count"])
    spots = forms.circle_spots(studs, row["stud-circle"], 180.0 / studs)
    body = forms.drill(body, row["stud-hole"], 0, foot, spots)
    spots = forms.circle_spots(screws, row["screw-circle"], 180.0 / screws)
    return forms.one_solid(
        forms.drill(body, row["screw-thread"], at["screw-bottom"], height, spots)
    )


PART = Part("separation-chamber", faces, shape, Material.CAST_IRON, mounts)
