"""Inspection cover of a self-priming pump: closes the front and carries the wear plate on posts.

Adjusting screws, tapped through its rim, hold it off the casing and so set how near the wear plate
comes to the impeller. Origin on the axis at the face that looks at the casing (+x); the posts reach
through the suction chamber.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts.spots import circle_mounts
from models.spec.face import Face, journal, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

DOME_SHARE, HANDLE_SHARE = 0.5, 0.55
"""Rise of the domed middle as a share of the rim's thickness; how far out the hand bars stand, as a share of the rim's radius."""
HANDLE_LENGTH_SHARE, BAR_FOOT_SHARE = 0.5, 0.9
"""Length of a hand bar as a share of the rim's radius; thickness of its feet as a share of its own."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the rim's two sides, the spigot with its groove, and the ends of the posts."""
    rim, circle = float(row["rim-thickness"]), float(row["stud-circle"])
    end = row["post-reach"]
    near = (float(end), float(row["post-circle"]) / 2 + float(row["post-diameter"]) / 4)
    return {
        "mounting-face": plane(0.0, +1, near=(0.0, circle / 2)),
        "nut-face": plane(-row["rim-thickness"], -1, near=(-rim, circle / 2)),
        "spigot": journal(row["spigot-diameter"], float(row["groove-start"]) / 2),
        "groove-bottom": journal(row["groove-diameter"], float(row["groove-start"]) + 1),
        "groove-wall": plane(row["groove-start"], +1),
        "post-end": plane(end, +1, near=near),
        "plate-screw-bottom": plane(end - row["plate-screw-depth"], +1),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spots of the lock nuts of the adjusting screws, which point to the suction end."""
    count = round(float(row["adjusting-screw-count"]))
    return {"adjusting-nuts": circle_mounts(count, float(row["stud-circle"]), sign=-1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn rim, domed middle and spigot, set posts and hand bars on, and drill it."""
    from models.parts import forms

    rim, nut, wall = row["rim-diameter"] / 2, at["nut-face"], row["wall"]
    spigot, groove, end = (
        row["spigot-diameter"] / 2,
        row["groove-diameter"] / 2,
        row["spigot-length"],
    )
    start, stop = at["groove-wall"], at["groove-wall"] + row["groove-width"]
    inner, rise = spigot - wall, DOME_SHARE * row["rim-thickness"]
    floor = nut + wall
    disc = forms.turn(
        [
            (floor, 0), (floor, inner - wall), (0, inner), (end, inner), (end, spigot), (stop, spigot),
            (stop, groove), (start, groove), (start, spigot), (0, spigot), (0, rim), (nut, rim),
            (nut, inner), (nut - rise, inner - 2 * rise), (nut - rise, 0),
        ]
    )  # fmt: skip
    posts = round(row["plate-screw-count"])
    stands = forms.circle_spots(posts, row["post-circle"], 180.0 / posts)
    columns = [forms.rod(row["post-diameter"], floor - 1, at["post-end"], y, z) for y, z in stands]
    body = disc.fuse(*columns, *_hand_bars(row, nut - rise))
    body = forms.drill(
        body, row["plate-screw-thread"], at["plate-screw-bottom"], at["post-end"], stands
    )
    studs, screws = round(row["stud-count"]), round(row["adjusting-screw-count"])
    spots = forms.circle_spots(studs, row["stud-circle"], 180.0 / studs)
    body = forms.drill(body, row["stud-hole"], nut, 0, spots)
    spots = forms.circle_spots(screws, row["stud-circle"])
    return forms.one_solid(forms.drill(body, row["adjusting-screw-thread"], nut, 0, spots))


def _hand_bars(row: Numbers, face_mm: float) -> list[Solid]:
    """Make the two bars by which the cover is lifted off, each on two feet."""
    from models.parts import forms

    radius, thick = row["rim-diameter"] / 2, row["hand-bar-diameter"]
    out, half = HANDLE_SHARE * radius, HANDLE_LENGTH_SHARE * radius / 2
    stand = face_mm - row["hand-bar-height"]
    return [
        solid
        for side in (-1, 1)
        for solid in (
            forms.post(thick, stand + thick / 2, side * out, -half - thick / 2, half + thick / 2),
            *(
                forms.rod(thick * BAR_FOOT_SHARE, stand + thick / 2, face_mm + 1, side * out, z)
                for z in (-half, half)
            ),
        )
    ]


PART = Part("inspection-cover", faces, shape, Material.CAST_IRON, mounts)
