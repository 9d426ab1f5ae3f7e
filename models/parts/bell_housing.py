"""Bell housing: joins the bearing housing to the flywheel housing of an engine, by housing number (SAE J617).

Origin on the axis at the face that bears on the bearing housing. A window on each side, right and left
seen from the driver, lets a hand and a spanner in; each has a pad for its guard.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts.spots import circle_mounts
from models.spec.face import Axis, Face, bore, journal, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

RIB_SHARE = 0.9
"""Thickness of the ribs in walls."""
RIB_REACH_SHARE = 0.75
"""How far the ribs reach out, as a share of the way from the drum to the rim of the engine flange."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name both mounting faces, the register, the pilot, the screw face and the pads of both windows."""
    length, thick = row["length"], row["flange-thickness"]
    return {
        "mounting-face": plane(0.0, -1),
        "screw-face": plane(thick, +1),
        "engine-face": plane(length, +1),
        "pilot-end": plane(length + row["pilot-length"], +1),
        "register": bore(row["register-diameter"], float(thick) / 2),
        "pilot": journal(row["pilot-diameter"], float(length) + float(row["pilot-length"]) / 2),
        "window-right": plane(row["pad-height"], +1, Axis.Y),
        "window-left": plane(-row["pad-height"], -1, Axis.Y),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spots of the screws, heads inside, and of both guards with their screws."""
    count = round(float(row["screw-count"]))
    middle, apart = float(row["window-position"]), float(row["guard-screw-spacing"]) / 2
    found = {
        "screws": circle_mounts(count, float(row["screw-circle"]), 180.0 / count, sign=-1),
    }
    for side, sign in (("right", +1), ("left", -1)):
        found[f"window-{side}"] = (Mount(x=middle, axis=Axis.Y, sign=sign),)
        found[f"guard-screws-{side}"] = tuple(
            Mount(x=middle, z=up * apart, axis=Axis.Y, sign=-sign) for up in (+1, -1)
        )
    return found


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the bell, set pads and ribs on it, hollow it, cut the windows and drill both flanges."""
    from models.parts import forms

    length, thick = at["engine-face"], at["screw-face"]
    body = _turn_outside(at, row).fuse(*_pads(at, row), *_ribs(at, row))
    body = body.cut(_turn_inside(at, row), *_openings(at, row))
    screws, holes = round(row["screw-count"]), round(row["holes"])
    spots = forms.circle_spots(screws, row["screw-circle"], 180.0 / screws)
    body = forms.drill(body, row["screw-hole"], 0, thick, spots)
    spots = forms.circle_spots(holes, row["bolt-circle"], 180.0 / holes)
    low = length - row["engine-flange-thickness"]
    return forms.one_solid(forms.drill(body, row["engine-hole"], low, length, spots))


def _turn_outside(at: Numbers, row: Numbers) -> Solid:
    from models.parts import forms

    length, thick, small = at["engine-face"], at["screw-face"], row["small-diameter"] / 2
    drum, rim, pilot = row["drum-diameter"] / 2, row["outside"] / 2, at["pilot"] / 2
    cone, low = thick + row["cone-length"], length - row["engine-flange-thickness"]
    return forms.turn(
        [
            (0, 0), (0, small), (thick, small), (cone, drum), (low, drum), (low, rim), (length, rim),
            (length, pilot), (at["pilot-end"], pilot), (at["pilot-end"], 0),
        ]
    )  # fmt: skip


def _turn_inside(at: Numbers, row: Numbers) -> Solid:
    from models.parts import forms

    thick, wall, beyond = at["screw-face"], row["wall"], at["pilot-end"] + 1.0
    register, small, drum = at["register"] / 2, row["small-diameter"] / 2, row["drum-diameter"] / 2
    cone = thick + row["cone-length"]
    return forms.turn(
        [
            (-1.0, 0), (-1.0, register), (thick, register), (thick, small - wall), (cone, drum - wall),
            (beyond, drum - wall), (beyond, 0),
        ]
    )  # fmt: skip


def _pads(at: Numbers, row: Numbers) -> list[Solid]:
    """Make a block on each side, flat outside, that frames the window and takes the guard's screws."""
    from models.parts import forms

    half, long, middle = row["pad-width"] / 2, row["pad-length"] / 2, row["window-position"]
    along, up = (middle - half, middle + half), (-long, long)
    return [
        forms.box(along, limits, up)
        for limits in ((0.0, at["window-right"]), (at["window-left"], 0.0))
    ]


def _openings(at: Numbers, row: Numbers) -> list[Solid]:
    """Make what the windows and the tapped holes of their guards take away."""
    from models.parts import forms

    half, long, middle = row["window-width"] / 2, row["window-length"] / 2, row["window-position"]
    right, left = at["window-right"], at["window-left"]
    window = forms.box((middle - half, middle + half), (left - 1.0, right + 1.0), (-long, long))
    depth, spacing, thread = row["guard-screw-depth"], row["guard-screw-spacing"] / 2, row["guard-screw-thread"]  # fmt: skip
    taps = []
    for side in (right, left):
        start = side - depth if side > 0 else side
        for z in (spacing, -spacing):
            # rod lies along x: turned a quarter about z it lies along y
            rod = forms.rod(thread, start, start + depth, 0.0, z)
            taps.append(rod.rotate((0, 0, 0), (0, 0, 1), 90).translate((middle, 0, 0)))
    return [window, *taps]


def _ribs(at: Numbers, row: Numbers) -> list[Solid]:
    """Make a wedge above and below, from the cone's foot up to the back of the engine flange."""
    import cadquery as cq

    half, low = RIB_SHARE * row["wall"] / 2, at["engine-face"] - row["engine-flange-thickness"]
    small, drum, rim = row["small-diameter"] / 2, row["drum-diameter"] / 2, row["outside"] / 2
    top = drum + RIB_REACH_SHARE * (rim - drum)
    inside = small - row["wall"] / 2
    points = [(at["screw-face"], inside), (at["screw-face"], small), (low, top), (low, inside)]
    ribs = []
    for sign in (+1, -1):
        wire = cq.Wire.makePolygon([cq.Vector(x, -half, sign * z) for x, z in points], close=True)
        ribs.append(cq.Solid.extrudeLinear(wire, [], cq.Vector(0, 2 * half, 0)))
    return ribs


PART = Part("bell-housing", faces, shape, Material.CAST_IRON, mounts)
