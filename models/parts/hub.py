"""Bore of an impeller's hub: keyed and open, or blind with a register and a thread. Private to `impeller`.

Which it is follows from the row: a hub that has `key-width` is keyed, one that has `thread-pitch` is
screwed on. Positions count from the hub's rear face, negative towards the suction end.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, plane
from models.spec.part import Numbers, Row, Solid

DOME_SHARE = 0.86
"""Radius of the rounded end of a blind hub as a share of the hub's: how such impellers look."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the bore and what bears or seals in it."""
    if "thread-pitch" not in row:
        end = -row["hub-length"]
        return {
            "hub-end": plane(end, -1, near=(float(end), float(row["bore"]) / 2 + 2)),
            "bore": bore(row["bore"], float(end) + 1),
        }
    step, bottom = -row["register-length"], -row["bore-depth"]
    found = {
        "bore": bore(row["bore"], -1.0),
        "register-end": plane(step, +1, near=(float(step), float(row["bore"]) / 2 - 0.2)),
        "bore-bottom": plane(bottom, +1, near=(float(bottom), 1.0)),
    }
    if "groove-diameter" in row:
        wall = -row["groove-start"] - row["groove-width"]
        near = float(row["groove-diameter"] + row["bore"]) / 4
        found["groove-wall"] = plane(wall, +1, near=(float(wall), near))
        found["groove-bottom"] = bore(row["groove-diameter"], float(wall) + 1)
    return found


def make_bore(at: Numbers, row: Numbers) -> Solid:
    """Make all that is cut out of a hub turned solid: bore and keyway, or register, O-ring groove and thread."""
    from models.parts import forms

    radius = row["bore"] / 2
    if "thread-pitch" not in row:
        half, start = row["key-width"] / 2, at["hub-end"] - 1
        keyway = forms.box((start, 1), (-half, half), (0, radius + row["key-depth"]))
        return forms.rod(row["bore"], start, 1).fuse(keyway)
    step, bottom = at["register-end"], at["bore-bottom"]
    profile = [(1.0, 0.0), (1.0, radius)]
    if "groove-wall" in at:
        wall, deep = at["groove-wall"], row["groove-diameter"] / 2
        start = wall + row["groove-width"]
        profile += [(start, radius), (start, deep), (wall, deep), (wall, radius)]
    profile += [(step, radius), *forms.thread_inside(row, step, bottom), (bottom, 0.0)]
    return forms.turn(profile)


def make_dome(at: Numbers, row: Numbers) -> Solid:
    """Make the rounded end that closes a blind hub."""
    from models.parts import forms

    start, reach = -row["hub-length"], DOME_SHARE * row["hub-diameter"] / 2
    tip = start - row["dome-height"]
    inside = at["bore-bottom"]
    shoulder = (start - 0.7 * row["dome-height"], 0.7 * reach)
    return forms.turn_curved(
        [
            ("line", [(tip, 0.0), (inside, 0.0), (inside, reach), (start, reach)]),
            ("arc", [(start, reach), shoulder, (tip, 0.0)]),
        ]
    )
