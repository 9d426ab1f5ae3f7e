"""Bracket: joins casing and bearing housing; enclosed it is the oil bath of the seal, open it lets the seal be reached.

Origin on the axis at the face that bears on the back plate.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts.spots import circle_mounts
from models.spec.face import Axis, Face, bore, plane
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


def faces_enclosed(row: Row) -> Mapping[str, Face]:
    """Name further the pads of the oil bath's plugs and of its level hose."""
    return dict(faces(row)) | {
        "fill-pad": plane(row["fill-pad-height"], +1, Axis.Z),
        "drain-pad": plane(-row["fill-pad-height"], -1, Axis.Z),
        "level-pad": plane(-row["level-pad-distance"], -1, Axis.Y),
    }


def mounts_enclosed(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give further the spots of the oil bath's plugs and level fittings, each with its ring's."""
    x, z = (
        _middle({key: float(value) for key, value in row.items()}),
        float(row["level-port-height"]),
    )
    return dict(mounts(row)) | {
        "fill": (Mount(x=x, axis=Axis.Z, sign=-1),),
        "fill-ring": (Mount(x=x, axis=Axis.Z),),
        "drain": (Mount(x=x, axis=Axis.Z),),
        "drain-ring": (Mount(x=x, axis=Axis.Z, sign=-1),),
        "level-lower": (Mount(x=x, z=-z, axis=Axis.Y, sign=-1),),
        "level-upper": (Mount(x=x, z=z, axis=Axis.Y, sign=-1),),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the closed drum with its two flanges and the bosses of filling, drain and level ports."""
    from models.parts import forms

    x, z, inside = _middle(row), row["level-port-height"], row["drum-diameter"] - row["wall"]
    boss, high, side = row["boss-diameter"], at["fill-pad"], at["level-pad"]
    bosses = [
        forms.post(boss, x, 0, at["drain-pad"], high),
        *(forms.side_post(boss, x, level, side, 0) for level in (-z, z)),
    ]
    # each boss begins in the middle of the wall, clear of the drum's inner surface
    trimmed = [one.cut(forms.rod(inside, 0, at["housing-end"])) for one in bosses]
    holes = [
        forms.post(row["plug-thread"], x, 0, at["drain-pad"], high),
        *(forms.side_post(row["level-thread"], x, level, side, 0) for level in (-z, z)),
    ]
    return forms.one_solid(_drum(at, row).fuse(*trimmed).cut(*holes))


def faces_open(row: Row) -> Mapping[str, Face]:
    """Name further the pad on top that the oil reservoir stands on."""
    return dict(faces(row)) | {"reservoir-pad": plane(row["reservoir-pad-height"], +1, Axis.Z)}


def mounts_open(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give further the spots of the oil reservoir and of the two screws that hold it."""
    x = _middle({key: float(value) for key, value in row.items()})
    half = float(row["reservoir-screw-spacing"]) / 2
    return dict(mounts(row)) | {
        "reservoir": (Mount(x=x, axis=Axis.Z),),
        "reservoir-screws": tuple(Mount(x=x, y=y, axis=Axis.Z, sign=-1) for y in (-half, half)),
    }


def shape_open(at: Numbers, row: Numbers) -> Solid:
    """Make the drum with a window on each side, through which the gland is reached, and the reservoir's pad."""
    from models.parts import forms

    margin, x = row["window-margin"], _middle(row)
    low = row["flange-thickness"] + margin
    high = row["length"] - row["screw-depth"] - margin
    half, drum = row["window-width"] / 2, row["drum-diameter"]
    window = forms.box((low, high), (-drum, drum), (-half, half))
    top, wide, long = (
        at["reservoir-pad"],
        row["reservoir-pad-width"] / 2,
        row["reservoir-pad-length"] / 2,
    )
    pad = forms.box((x - wide, x + wide), (-long, long), (0, top))
    trimmed = pad.cut(forms.rod(drum - row["wall"], 0, at["housing-end"]))
    deep, apart = top - row["reservoir-screw-depth"], row["reservoir-screw-spacing"] / 2
    holes = [forms.post(row["reservoir-screw-thread"], x, y, deep, top) for y in (-apart, apart)]
    return forms.one_solid(_drum(at, row).fuse(trimmed).cut(window, *holes))


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


ENCLOSED = Part("bracket", faces_enclosed, shape, Material.CAST_IRON, mounts_enclosed)
OPEN = Part("bracket", faces_open, shape_open, Material.CAST_IRON, mounts_open)
