"""Wear plate: the renewable annulus on the suction cover along which a semi-open impeller's vane edges run.

`groove-diameter` in its row means that an O-ring seals its rim. Origin at its back, which bears on
the cover or its posts; the running face looks at the vanes (+x).
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts.spots import circle_mounts
from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

CHAMFER_SHARE = 0.1
"""Chamfer of the back's outer edge, as a share of the thickness."""

OUTSIDE_NEAR_MM = 1.0
"""Where on the rim the outside is looked for: clear of chamfer and groove."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the back, the running face, the floors of the sunk screw holes, the eye hole and the outside."""
    thickness = row["thickness"]
    floor = thickness - row["sink-depth"]
    return {
        "back": plane(0.0, -1),
        "running-face": plane(thickness, +1),
        "screw-face": plane(floor, +1, near=(float(floor), float(row["screw-circle"]) / 2)),
        "eye": bore(row["bore"], float(thickness) / 2),
        "outside": journal(row["outside"], float(thickness) - OUTSIDE_NEAR_MM),
        **_groove_faces(row),
    }


def _groove_faces(row: Row) -> dict[str, Face]:
    if "groove-diameter" not in row:
        return {}
    start = row["groove-start"]
    return {
        "groove-wall": plane(start, +1),
        "groove-bottom": journal(row["groove-diameter"], float(start) + 1),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spots of the screws, which point at the cover."""
    count = round(float(row["screw-count"]))
    return {"screws": circle_mounts(count, float(row["screw-circle"]), 180.0 / count, sign=-1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the annulus and drill its holes, widened so that the screw heads lie below the running face."""
    from models.parts import forms

    inner, outer, face = row["bore"] / 2, row["outside"] / 2, at["running-face"]
    cut = CHAMFER_SHARE * face
    profile = [(0, inner), (face, inner), (face, outer)]
    if "groove-wall" in at:
        start, deep = at["groove-wall"], row["groove-diameter"] / 2
        stop = start + row["groove-width"]
        profile += [(stop, outer), (stop, deep), (start, deep), (start, outer)]
    disc = forms.turn([*profile, (cut, outer), (0, outer - cut)])
    count = round(row["screw-count"])
    spots = forms.circle_spots(count, row["screw-circle"], 180 / count)
    drilled = forms.drill(disc, row["screw-hole"], 0, face, spots)
    return forms.one_solid(
        forms.drill(drilled, row["sink-diameter"], at["screw-face"], face, spots)
    )


PART = Part("wear-plate", faces, shape, Material.STAINLESS, mounts)
