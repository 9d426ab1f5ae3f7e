"""Retainer of a seal with one coil spring: a pressed shell that takes the spring and turns the face by its lugs.

Origin at its back, which lies on the hub; the shell reaches along +x over the spring and the rotating face.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.parts import seal_drive
from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

BEND_SHARE = 0.4
"""Share of a lug's length over which it is set inwards from the shell."""
SLIT_SHARE = 0.5
"""Width of the slit on each side of a lug in walls of the shell: how such lugs are cut free."""
FLAT_SHARE = 0.15
"""Share of the wall by which a lug's flat root stays inside the round shell on either side."""
ROOT_MM = 0.6
"""How far a lug's root reaches into the shell it is made one with; nothing of it is seen."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the back, the spring's landing, the shell's end and its cylinders."""
    wall, length = row["wall"], row["length"]
    middle = float(length) / 2
    inside = float(row["outside"] - wall * 2)
    return {
        "back": plane(0.0, -1, near=(0.0, float(row["bore"]) / 2 + 1)),
        "spring-land": plane(wall, +1, near=(float(wall), (float(row["bore"]) + inside) / 4)),
        "drive-end": plane(length, +1),
        "bore": bore(row["bore"], float(wall) / 2),
        "outside": journal(row["outside"], middle),
        "inside": bore(row["outside"] - wall * 2, middle),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Press the shell with its rounded bottom edge, cut and set its lugs, and leave the dogs standing behind."""
    from models.parts import forms

    wall, end, outer = at["spring-land"], at["drive-end"], row["outside"] / 2
    inner, bored = outer - wall, row["bore"] / 2
    bend = wall * (1 - 0.5**0.5)  # where an edge rounded by one wall passes halfway
    shell = forms.turn_curved(
        [
            ("line", [(0, outer - wall), (0, bored), (wall, bored), (wall, inner), (end, inner), (end, outer), (wall, outer)]),
            ("arc", [(wall, outer), (bend, outer - bend), (0, outer - wall)]),
        ]
    )  # fmt: skip
    half, start = row["lug-width"] / 2, end - row["lug-length"]
    free = half + SLIT_SHARE * wall
    slots = forms.box((start, end + 1), (-free, free), (inner - 1, outer + 1))
    body = shell.cut(*seal_drive.turn_about(slots, row["lug-count"]))
    lugs = seal_drive.turn_about(_make_lug(row, start, end), row["lug-count"])
    return forms.one_solid(body.fuse(*lugs, *seal_drive.make_dogs(row, wall)).clean())


def _make_lug(row: Numbers, start: float, end: float) -> Solid:
    """Make the lug at the top: shell as thick as before, set inwards behind a slanted bend."""
    from models.parts import forms

    wall, half, outer = row["wall"], row["lug-width"] / 2, row["outside"] / 2
    low, root = row["lug-inside"] / 2, start - ROOT_MM
    set_in = start + BEND_SHARE * row["lug-length"]
    # a flat root lies inside the round shell on its whole width
    under = outer - wall * (1 - FLAT_SHARE)
    over = math.sqrt(outer**2 - half**2) - wall * FLAT_SHARE / 2
    outline = [
        (root, under), (root, over), (start, over), (set_in, low + wall), (end, low + wall),
        (end, low), (set_in, low), (start, under),
    ]  # fmt: skip
    return forms.upright_plate("y", outline, -half, half)


PART = Part("seal-retainer", faces, shape, Material.STAINLESS)
