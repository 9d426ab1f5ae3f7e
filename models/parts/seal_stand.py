"""Stand of the shaft seals: three upright housings on one base, each cut short so that both sides of its seal are seen.

Origin on the shaft's axis at the first housing's suction end. The liquid to be kept is at the drive end of each.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

STRETCHES = ("cassette", "isolator", "lip")
"""The housings from the suction end, as the rows and faces of each begin."""
WALL_SHARE = 0.72
"""Width of the wall under a housing as a share of the housing's outside: how such stands look."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name of each housing both sides and the bore, and the shoulder where it has one."""
    named: dict[str, Face] = {}
    for one in STRETCHES:
        start, end = row[f"{one}-start"], row[f"{one}-start"] + row[f"{one}-width"]
        rim = (float(row[f"{one}-bore"]) + float(row[f"{one}-outside"])) / 4
        named[f"{one}-air-side"] = plane(start, -1, near=(float(start), rim))
        named[f"{one}-fluid-side"] = plane(end, +1, near=(float(end), rim))
    cassette = row["cassette-start"] + row["cassette-depth"]
    lip = row["lip-start"] + row["lip-width"] - row["lip-depth"]
    return named | {
        "cassette-shoulder": plane(cassette, -1),
        "cassette-bore": bore(row["cassette-bore"], float(cassette) - 1),
        "isolator-bore": bore(row["isolator-bore"], float(row["isolator-start"]) + 1),
        "lip-shoulder": plane(lip, +1),
        "lip-bore": bore(row["lip-bore"], float(lip) + 1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Stand three bored rings on walls and the walls on a base."""
    from models.parts import forms

    floor = -row["centre-height"]
    first, last = at["cassette-air-side"], at["lip-fluid-side"]
    reach, half = row["base-reach"], row["base-width"] / 2
    body: Solid = forms.box(
        (first - reach, last + reach), (-half, half), (floor, floor + row["base-thickness"])
    )
    holes = []
    for one in STRETCHES:
        start, end = at[f"{one}-air-side"], at[f"{one}-fluid-side"]
        wide = WALL_SHARE * row[f"{one}-outside"] / 2
        wall = forms.box((start, end), (-wide, wide), (floor, 0))
        body = body.fuse(forms.rod(row[f"{one}-outside"], start, end), wall)
        holes += [forms.rod(row[f"{one}-hole"], start - 1, end + 1)]
    bores = [
        forms.rod(row["cassette-bore"], first - 1, at["cassette-shoulder"]),
        forms.rod(row["lip-bore"], at["lip-shoulder"], last + 1),
    ]
    return forms.one_solid(body.cut(*holes, *bores).clean())


PART = Part("seal-stand", faces, shape, Material.CAST_IRON)
