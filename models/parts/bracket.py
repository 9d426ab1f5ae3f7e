"""Bracket: joins casing and bearing housing; enclosed it is the oil bath of the seal, open it lets the seal be reached.

`window-width` in its row means that it is open. Origin on the axis at the face that bears on the back plate.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts.back_plate import HOLD_DEG, HOLD_SCREWS, JACKING_DEG, JACKING_SCREWS
from models.parts.spots import circle_mounts
from models.spec.face import Axis, Face, bore, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name the faces of the drum and those that meet the back plate: flange and register."""
    return drum_faces(row) | {
        "casing-end": plane(0.0, -1, near=(0.0, float(row["rim-diameter"]) / 2 - 1)),
        "casing-register": bore(row["casing-register"], float(row["casing-register-depth"]) * 0.9),
    }


def drum_faces(row: Row) -> dict[str, Face]:
    """Name the nut face, what meets the bearing housing, and the pads of the seal's oil."""
    length, depth, thick = row["length"], row["housing-register-depth"], row["flange-thickness"]
    return {
        "nut-face": plane(thick, +1, near=(float(thick), float(row["stud-circle"]) / 2)),
        "housing-end": plane(length, +1),
        "housing-register": bore(row["housing-register"], float(length) - float(depth) * 0.9),
        "housing-screw-bottom": plane(length - row["screw-depth"], +1),
    } | _pad_faces(row)


def _pad_faces(row: Row) -> dict[str, Face]:
    """Name the pad of the oil reservoir of an open bracket; of an enclosed one those of plugs and level hose."""
    if is_open(row):
        return {"reservoir-pad": plane(row["reservoir-pad-height"], +1, Axis.Z)}
    return {
        "fill-pad": plane(row["fill-pad-height"], +1, Axis.Z),
        "drain-pad": plane(-row["fill-pad-height"], -1, Axis.Z),
        "level-pad": plane(-row["level-pad-distance"], -1, Axis.Y),
    }


def is_open(row: Row | Numbers) -> bool:
    """Say whether a bracket of this row has windows through which the gland is reached."""
    return "window-width" in row


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spots of the bearing housing's screws, heads towards the drive end, and of what holds the seal's oil."""
    count, x = round(float(row["screw-count"])), _middle({k: float(v) for k, v in row.items()})
    spots = circle_mounts(count, float(row["screw-circle"]), 180.0 / count, sign=-1)
    return (
        {"housing-screws": spots}
        | _jacking_mounts(row)
        | (_reservoir_mounts(row, x) if is_open(row) else _bath_mounts(row, x))
    )


def _jacking_mounts(row: Row) -> dict[str, tuple[Mount, ...]]:
    """Give the spots of the jacking screws, heads towards the drive end, and of their lock nuts."""
    if "jacking-hole" not in row:
        return {}
    circle = float(row["jacking-circle"])
    return {
        "jacking-screws": circle_mounts(JACKING_SCREWS, circle, JACKING_DEG, sign=-1),
        "jacking-nuts": circle_mounts(JACKING_SCREWS, circle, JACKING_DEG),
    }


def _bath_mounts(row: Row, x: float) -> dict[str, tuple[Mount, ...]]:
    """Give the spots of the oil bath's plugs and level fittings, each with its ring's."""
    z = float(row["level-port-height"])
    return {
        "fill": (Mount(x=x, axis=Axis.Z, sign=-1),),
        "fill-ring": (Mount(x=x, axis=Axis.Z),),
        "drain": (Mount(x=x, axis=Axis.Z),),
        "drain-ring": (Mount(x=x, axis=Axis.Z, sign=-1),),
        "level-lower": (Mount(x=x, z=-z, axis=Axis.Y, sign=-1),),
        "level-upper": (Mount(x=x, z=z, axis=Axis.Y, sign=-1),),
    }


def _reservoir_mounts(row: Row, x: float) -> dict[str, tuple[Mount, ...]]:
    """Give the spots of the oil reservoir and of the two screws that hold it."""
    half = float(row["reservoir-screw-spacing"]) / 2
    return {
        "reservoir": (Mount(x=x, axis=Axis.Z),),
        "reservoir-screws": tuple(Mount(x=x, y=y, axis=Axis.Z, sign=-1) for y in (-half, half)),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the drum with its two flanges, register and stud holes, and with what the seal's oil needs."""
    from models.parts import forms

    wall, rim = row["wall"], row["rim-diameter"] / 2
    register, depth = row["casing-register"] / 2, row["casing-register-depth"]
    mouth = [(0, register), (depth, register), (depth + wall * 0.3, inside_mm(row))]
    body = forms.turn([*mouth, *drum_profile(at, row), (0, rim)])
    studs = round(row["stud-count"])
    spots = forms.circle_spots(studs, row["stud-circle"], 180 / studs)
    drilled = forms.drill(body, row["stud-hole"], 0, at["nut-face"], spots)
    return forms.one_solid(finish_drum(drilled, at, row))


def inside_mm(row: Numbers) -> float:
    """Give the radius in mm of the drum's inner surface."""
    return row["drum-diameter"] / 2 - row["wall"]


def drum_profile(at: Numbers, row: Numbers) -> list[tuple[float, float]]:
    """Give the drum's section in mm from its inner surface round the housing's flange to the rim at the nut face."""
    wall, drum, rim = row["wall"], row["drum-diameter"] / 2, row["rim-diameter"] / 2
    length, flange, nut = at["housing-end"], row["housing-flange-diameter"] / 2, at["nut-face"]
    small, small_depth = row["housing-register"] / 2, row["housing-register-depth"]
    rear = length - row["screw-depth"] - wall
    return [
        (rear, inside_mm(row)), (rear, small - wall * 0.5), (length - small_depth, small - wall * 0.5),
        (length - small_depth, small), (length, small), (length, flange), (rear + wall * 0.5, flange), (rear, drum),
        (nut, drum), (nut, rim),
    ]  # fmt: skip


def finish_drum(body: Solid, at: Numbers, row: Numbers) -> Solid:
    """Tap the turned drum for the housing's screws; add windows and reservoir's pad, or the oil bath's bosses."""
    from models.parts import forms

    if "jacking-hole" in row:
        through = forms.circle_spots(JACKING_SCREWS, row["jacking-circle"], JACKING_DEG)
        body = forms.drill(body, row["jacking-hole"], 0, at["nut-face"], through)
    if "hold-thread" in row:
        spots = forms.circle_spots(HOLD_SCREWS, row["hold-circle"], HOLD_DEG)
        body = forms.drill(body, row["hold-thread"], 0, row["hold-depth"], spots)
    screws = round(row["screw-count"])
    spots = forms.circle_spots(screws, row["screw-circle"], 180 / screws)
    low, high = at["housing-screw-bottom"], at["housing-end"]
    body = forms.drill(body, row["screw-thread"], low, high, spots)
    return _open_drum(body, at, row) if is_open(row) else _close_drum(body, at, row)


def _close_drum(body: Solid, at: Numbers, row: Numbers) -> Solid:
    """Add the bosses of filling, drain and level ports."""
    from models.parts import forms

    x, z = _middle(row), row["level-port-height"]
    boss, high, side = row["boss-diameter"], at["fill-pad"], at["level-pad"]
    bosses = [
        forms.post(boss, x, 0, at["drain-pad"], high),
        *(forms.side_post(boss, x, level, side, 0) for level in (-z, z)),
    ]
    holes = [
        forms.post(row["plug-thread"], x, 0, at["drain-pad"], high),
        *(forms.side_post(row["level-thread"], x, level, side, 0) for level in (-z, z)),
    ]
    return body.fuse(*(_trim(one, at, row) for one in bosses)).cut(*holes)


def _trim(boss: Solid, at: Numbers, row: Numbers) -> Solid:
    """Begin a boss in the middle of the drum's wall, clear of its inner surface."""
    from models.parts import forms

    return boss.cut(forms.rod(row["drum-diameter"] - row["wall"], 0, at["housing-end"]))


def _open_drum(body: Solid, at: Numbers, row: Numbers) -> Solid:
    """Cut a window on each side, through which the gland is reached, and add the reservoir's pad."""
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
    pad = _trim(forms.box((x - wide, x + wide), (-long, long), (0, top)), at, row)
    deep, apart = top - row["reservoir-screw-depth"], row["reservoir-screw-spacing"] / 2
    holes = [forms.post(row["reservoir-screw-thread"], x, y, deep, top) for y in (-apart, apart)]
    return body.fuse(pad).cut(window, *holes)


def _middle(row: Numbers) -> float:
    return (row["flange-thickness"] + row["length"] - row["screw-depth"]) / 2


PART = Part("bracket", faces, shape, Material.CAST_IRON, mounts)
