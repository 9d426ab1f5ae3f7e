"""Bellows unit of a mechanical seal: end collar, metal bellows and face carrier, welded into one. Origin at its back.

The back lies on the hub; the convolutions take the length that is left and push the carrier along +x.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.parts import seal_drive
from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

SLANT = math.sqrt(0.5)
"""Where an arc's middle stands from its centre, in radii along each axis."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name both ends, the groove in the collar's bore and the carrier's bore; `span` is the length it is squeezed to."""
    span, wall = row["span"], row["groove-start"] + row["groove-width"]
    return {
        "back": plane(0.0, -1, near=(0.0, float(row["bore"]) / 2 + 1)),
        "face-land": plane(span, +1, near=(float(span), float(row["carrier-bore"]) / 2 - 1)),
        "bore": bore(row["bore"], 0.5),
        "groove-wall": plane(wall, -1),
        "groove-bottom": bore(row["groove-diameter"], float(wall) - 1),
        "carrier-bore": bore(row["carrier-bore"], float(span) + 1),
        "outside": journal(row["outside"], float(row["collar-length"]) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn collar, convolutions and carrier, and leave the dogs standing behind the collar."""
    from models.parts import forms

    start, end, outer = row["collar-length"], at["face-land"], row["outside"] / 2
    inner, deep, wall = row["bore"] / 2, row["groove-diameter"] / 2, at["groove-wall"]
    first = row["groove-start"]
    collar = forms.turn(
        [
            (0, inner), (first, inner), (first, deep), (wall, deep), (wall, inner), (start, inner),
            (start, outer), (0, outer),
        ]
    )  # fmt: skip
    floor, mouth = end - row["carrier-floor"], end + row["carrier-depth"]
    held, hole, rim = row["carrier-bore"] / 2, row["bellows-bore"] / 2, row["carrier-outside"] / 2
    carrier = forms.turn(
        [(floor, hole), (end, hole), (end, held), (mouth, held), (mouth, rim), (floor, rim)]
    )
    bellows = _turn_bellows(row, start, floor)
    dogs = seal_drive.make_dogs(row, start)
    return forms.one_solid(collar.fuse(bellows, carrier, *dogs).clean())


def _turn_bellows(row: Numbers, start: float, end: float) -> Solid:
    """Turn the convoluted tube: crests and valleys round, their sides straight, the sheet everywhere as thick."""
    from models.parts import forms

    count, sheet = round(row["convolutions"]), row["sheet-thickness"]
    arc = (end - start) / (4 * count)
    valley = row["bellows-bore"] / 2 + sheet + arc - sheet / 2
    crest = row["bellows-outside"] / 2 - sheet / 2 - arc
    outside = _draw_side(start, count, arc, valley, crest, sheet / 2)
    inside = _draw_side(start, count, arc, valley, crest, -sheet / 2)
    back = [(kind, points[::-1]) for kind, points in reversed(inside)]
    joint_end = [outside[-1][1][-1], back[0][1][0]]
    joint_start = [back[-1][1][-1], outside[0][1][0]]
    return forms.turn_curved([*outside, ("line", joint_end), *back, ("line", joint_start)])


def _draw_side(
    start: float, count: int, arc: float, valley: float, crest: float, off: float
) -> list[tuple[str, list[tuple[float, float]]]]:
    """Draw one side of the sheet, `off` outwards from its middle, from valley to valley over all convolutions."""
    low, high = arc - off, arc + off  # radii of the arcs in the valleys and on the crests
    sides: list[tuple[str, list[tuple[float, float]]]] = []
    for i in range(count):
        x = start + 4 * arc * i
        up, top, down, last = x + low, x + 2 * arc, x + 4 * arc - low, x + 4 * arc
        sides += [
            ("arc", [(x, valley - low), (x + low * SLANT, valley - low * SLANT), (up, valley)]),
            ("line", [(up, valley), (up, crest)]),
            ("arc", [(up, crest), (top, crest + high), (down, crest)]),
            ("line", [(down, crest), (down, valley)]),
            ("arc", [(down, valley), (last - low * SLANT, valley - low * SLANT), (last, valley - low)]),
        ]  # fmt: skip
    return sides


PART = Part("seal-bellows", faces, shape, Material.STAINLESS, fitted=True)
