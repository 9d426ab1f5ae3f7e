"""Guard of a belt drive: a back plate behind the sheaves and a cover over them. Own x points along the shaft to the drive end.

Both follow the sheaves: where the pump's stands comes from what they reach to. Origin on the axis of the
shaft, at the back plate's back and at the cover's edge.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.parts import belt_path
from models.spec.face import Face, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

FIRST_SLOT, LAST_SLOT = 0.42, 0.76
"""Where the cover's slots begin and end, as shares of the way from one sheave's axis to the other's."""


def faces_back(row: Row) -> Mapping[str, Face]:
    """Name both sides of the back plate."""
    return {"back": plane(0.0, -1), "front": plane(row["thickness"], +1)}


def mounts_back(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spots of the screws in the lugs and of the cover's screws."""
    numbers = {key: float(value) for key, value in row.items()}
    return {
        "lug-screws": tuple(Mount(y=y, z=z, sign=-1) for y, z in belt_path.find_lugs(numbers)),
        "guard-screws": tuple(Mount(y=y, z=z, sign=-1) for y, z in belt_path.find_ears(numbers)),
    }


def shape_back(at: Numbers, row: Numbers) -> Solid:
    """Cut the plate: the room round the sheaves with ears and lugs, a hole for the shaft, a slot for the pump's."""
    from models.parts import forms

    thick, pump = at["front"], (row["sheave-y"], row["sheave-z"])
    lugs, r = belt_path.find_lugs(row), row["lug-width"] / 2
    body = belt_path.round_guard(row, row["wall"], 0, thick).fuse(
        *belt_path.ears(row, thick),
        *(belt_path.prism(lug, r, (lug[0] / 2, lug[1] / 2), r, 0, thick) for lug in lugs),
    )
    reach = row["travel"] / 2
    low, high = ((pump[0] + sign * reach, pump[1]) for sign in (-1, +1))
    slot = row["pump-hole"] / 2
    body = body.cut(
        forms.rod(row["shaft-hole"], 0, thick), belt_path.prism(low, slot, high, slot, 0, thick)
    )
    body = forms.drill(body, row["lug-hole"], 0, thick, lugs)
    return forms.one_solid(
        forms.drill(body, row["screw-thread"], 0, thick, belt_path.find_ears(row))
    )


def faces(row: Row) -> Mapping[str, Face]:
    """Name the cover's edge, where its screws bear, its inside and its front."""
    return {
        "edge": plane(0.0, -1),
        "screw-face": plane(row["ear-thickness"], +1),
        "inside": plane(row["depth"], -1),
        "front": plane(row["depth"] + row["wall"], +1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the box with ears, a hole round the shaft and slots through which the belt is seen."""
    from models.parts import forms

    front, deep, pump = at["front"], at["inside"], (row["sheave-y"], row["sheave-z"])
    body = belt_path.round_guard(row, row["wall"], 0, front)
    body = body.fuse(*belt_path.ears(row, at["screw-face"]))
    body = body.cut(
        belt_path.round_guard(row, 0.0, 0, deep), forms.rod(row["shaft-hole"], deep, front)
    )
    apart = math.hypot(*pump)
    across = (-pump[1] / apart * row["slot-length"] / 2, pump[0] / apart * row["slot-length"] / 2)
    count, half = round(row["slot-count"]), row["slot-width"] / 2
    slots = []
    for i in range(count):
        share = FIRST_SLOT + (LAST_SLOT - FIRST_SLOT) * i / (count - 1)
        y, z = pump[0] * share, pump[1] * share
        ends = (y - across[0], z - across[1]), (y + across[0], z + across[1])
        slots.append(belt_path.prism(ends[0], half, ends[1], half, deep, front))
    body = body.cut(*slots)
    return forms.one_solid(
        forms.drill(body, row["screw-hole"], 0, at["screw-face"], belt_path.find_ears(row))
    )


BACK = Part("guard-back", faces_back, shape_back, Material.CARBON_STEEL, mounts_back, fitted=True)
COVER = Part("belt-guard", faces, shape, Material.CARBON_STEEL, fitted=True)
