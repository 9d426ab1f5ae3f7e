"""Bracket: joins casing and bearing housing; enclosed it is the oil bath of the seal, open it lets the seal be reached.

Origin on the axis at the face that bears on the back plate.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts.spots import circle_mounts
from models.spec.face import Face, bore, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both ends, the nut face and the two registers."""
    length, depth = row["length"], row["housing-register-depth"]
    return {
        "casing-end": plane(0.0, -1, near=(0.0, float(row["rim-diameter"]) / 2 - 1)),
        "nut-face": plane(
            row["flange-thickness"],
            +1,
            near=(float(row["flange-thickness"]), float(row["stud-circle"]) / 2),
        ),
        "housing-end": plane(length, +1),
        "casing-register": bore(row["casing-register"], float(row["casing-register-depth"]) * 0.9),
        "housing-register": bore(row["housing-register"], float(length) - float(depth) * 0.9),
        "housing-screw-bottom": plane(length - row["screw-depth"], +1),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spots of the screws that hold the bearing housing, heads towards the drive end."""
    count = round(float(row["screw-count"]))
    return {
        "housing-screws": circle_mounts(count, float(row["screw-circle"]), 180.0 / count, sign=-1)
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the closed drum with its two flanges, filling and level bosses on top."""
    from models.parts import forms

    body = _drum(at, row)
    boss = forms.post(
        row["boss-diameter"],
        _middle(row),
        0,
        row["drum-diameter"] / 2 - row["wall"] / 2,
        row["drum-diameter"] / 2 + row["boss-height"],
    )
    hole = forms.post(
        row["boss-hole"],
        _middle(row),
        0,
        row["drum-diameter"] / 2 - 3 * row["wall"],
        row["drum-diameter"],
    )
    return forms.one_solid(body.fuse(boss).cut(hole))


def shape_open(at: Numbers, row: Numbers) -> Solid:
    """Make the same drum with a window on each side, through which the gland is reached."""
    from models.parts import forms

    low, high = (
        row["flange-thickness"] + row["window-margin"],
        row["length"] - row["screw-depth"] - row["window-margin"],
    )
    half = row["window-width"] / 2
    window = forms.box((low, high), (-row["drum-diameter"], row["drum-diameter"]), (-half, half))
    return forms.one_solid(_drum(at, row).cut(window))


def _middle(row: Numbers) -> float:
    return (row["flange-thickness"] + row["length"] - row["screw-depth"]) / 2


def _drum(at: Numbers, row: Numbers) -> Solid:
    from models.parts import forms

    wall, drum, rim = row["wall"], row["drum-diameter"] / 2, row["rim-diameter"] / 2
    length, flange, nut = at["housing-end"], row["housing-flange-diameter"] / 2, at["nut-face"]
    register, depth = row["casing-register"] / 2, row["casing-register-depth"]
    small, small_depth = row["housing-register"] / 2, row["housing-register-depth"]
    rear = length - row["screw-depth"] - wall
    inner = drum - wall
    body = forms.turn(
        [
            (0, register), (depth, register), (depth + wall * 0.3, inner), (rear, inner), (rear, small - wall * 0.5),
            (length - small_depth, small - wall * 0.5), (length - small_depth, small), (length, small), (length, flange),
            (rear + wall * 0.5, flange), (rear, drum), (nut, drum), (nut, rim), (0, rim),
        ]
    )  # fmt: skip
    studs, screws = round(row["stud-count"]), round(row["screw-count"])
    drilled = forms.drill(
        body, row["stud-hole"], 0, nut, forms.circle_spots(studs, row["stud-circle"], 180 / studs)
    )
    spots = forms.circle_spots(screws, row["screw-circle"], 180 / screws)
    return forms.drill(drilled, row["screw-thread"], at["housing-screw-bottom"], length, spots)


ENCLOSED = Part("bracket", faces, shape, Material.CAST_IRON, mounts)
OPEN = Part("bracket", faces, shape_open, Material.CAST_IRON, mounts)
