"""Stuffing box, cut out of its back plate: throat, box and the flange of the gland studs, on a foot.

Origin on the axis at the bottom of the box; the box opens along +x, to the gland. The pump is at the throat's end.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts.spots import circle_mounts
from models.spec.face import Axis, Face, bore, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

SIDEWAYS_DEG, STAGGER_DEG = 90.0, 90.0
"""The gland's studs stand at both sides of the shaft; each ring's joint lies so far on from the last. Common practice."""
PACKING_RINGS = 5
"""Packing rings in the box, two of them behind the lantern ring. Common practice."""
FOOT_SHARE = 0.72
"""Width of the wall under the box as a share of the box's outside: how such stands look."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the box's bottom, bore and end, the throat, the bottom of the stud holes and the pad of the lantern's port."""
    end = row["box-length"]
    return {
        "box-bottom": plane(0.0, +1, near=(0.0, float(row["box-bore"]) / 2 - 1)),
        "box-bore": bore(row["box-bore"], 1.0),
        "box-end": plane(end, +1, near=(float(end), float(row["box-bore"]) / 2 + 1)),
        "throat": bore(row["throat-bore"], -1.0),
        "throat-end": plane(-row["throat-length"], -1),
        "gland-stud-bottom": plane(end - row["gland-stud-depth"], +1),
        "lantern-pad": plane(row["lantern-pad-height"], +1, Axis.Z),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spots of studs and nuts, and how each packing ring's joint is turned."""
    studs = circle_mounts(
        round(float(row["gland-stud-count"])), float(row["gland-stud-circle"]), SIDEWAYS_DEG
    )
    joints = {
        f"packing-joint-{n}": (Mount(turn_deg=STAGGER_DEG * n),)
        for n in range(1, 1 + PACKING_RINGS)
    }
    # the gland is not turned like the packing ring that it lies on
    return {"gland-studs": studs, "gland": (Mount(),), **joints}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make box, flange, foot and the port's boss; bore box, throat and port and tap the holes."""
    from models.parts import forms

    start, end, floor = at["throat-end"], at["box-end"], -row["centre-height"]
    wide, half = FOOT_SHARE * row["box-outside"] / 2, row["base-width"] / 2
    port, pad = row["lantern-port"], at["lantern-pad"]
    body: Solid = forms.rod(row["box-outside"], start, end)
    body = body.fuse(
        forms.rod(row["box-flange-diameter"], end - row["box-flange-thickness"], end),
        forms.box((start, end), (-wide, wide), (floor, 0)),
        forms.box((start, end), (-half, half), (floor, floor + row["base-thickness"])),
        forms.post(row["lantern-boss-diameter"], port, 0, row["box-bore"] / 2, pad),
    ).clean()
    bored = body.cut(
        forms.rod(at["box-bore"], 0, end + 1),
        forms.rod(at["throat"], start - 1, 1),
        forms.post(row["port-bore"], port, 0, 0, pad + 1),
    )
    spots = forms.circle_spots(
        round(row["gland-stud-count"]), row["gland-stud-circle"], SIDEWAYS_DEG
    )
    low = at["gland-stud-bottom"]
    return forms.one_solid(forms.drill(bored, row["gland-stud-thread"], low, end + 1, spots))


PART = Part("stuffing-box", faces, shape, Material.CAST_IRON, mounts)
