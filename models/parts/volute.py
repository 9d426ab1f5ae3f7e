"""Volute: the spiral casing round the impeller. Origin on the shaft axis at the casing face, x towards the drive end.

The discharge has three standard positions (common practice), named as seen from the driver: top
vertical (rising on the left, the usual one), top horizontal (over the shaft, to the right), bottom
horizontal (under the shaft, to the left). The row `discharge-turn` says how far spiral and branch are
turned about the shaft from the first, in degrees clockwise seen from the driver, and the clean-out
on the neck with them; feet, stud circles and the drain stay.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.parts.spots import circle_mounts, circle_points
from models.parts.suction_cover import ring_seat, ring_seat_faces, suction_faces
from models.parts.waterway import (
    branch_offset_mm,
    clean_out_spots,
    make_nose,
    make_voids,
    make_walls,
)
from models.spec.face import Axis, Face, bore, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

LEG_SHARE, SET_IN_SHARE, WEB_SHARE = 0.52, 0.8, 0.25
"""Where a leg's inner edge stands (share of half the foot's width), its thickness (of the flange ring's), its web's height (of the ring's radius)."""

SHOULDER_SHARE = 0.3
"""How far the rounded front of a casting without a cover stands out past its legs, as a share of the wall."""

_WAYS = {0: (Axis.Z, +1), 1: (Axis.Y, +1), 2: (Axis.Z, -1), 3: (Axis.Y, -1)}
"""Where the discharge points after each quarter turn clockwise seen from the driver, who sees y to the right."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the casing face, the rear face, the bores, the bottoms of the stud holes, discharge flange and pads."""
    width = row["width"]
    axis, sign = _WAYS[_quarters(row)]
    back = row["discharge-height"] - row["discharge-flange-thickness"]
    return {
        **_front_faces(row),
        "rear-face": plane(width, +1),
        "bore-rear": bore(row["bore"], float(width) - float(row["land"]) / 2),
        "bracket-stud-bottom": plane(width - row["stud-hole-depth"], +1),
        "discharge-face": plane(row["discharge-height"] * float(sign), sign, axis),
        "discharge-flange-back": plane(back * float(sign), -sign, axis),
        "clean-out-pad": plane(row["spiral-centre"] - row["clean-out-pad-height"], -1),
        "clean-out-stud-bottom": plane(
            row["spiral-centre"] - row["clean-out-pad-height"] + row["clean-out-hole-depth"], -1
        ),
        "drain-pad": plane(-row["drain-pad-depth"], -1, Axis.Z),
    }


def _front_faces(row: Row) -> dict[str, Face]:
    if "ring-shoulder" in row:  # the suction side is cast in
        return ring_seat_faces(row) | suction_faces(row)
    return {
        "casing-face": plane(0.0, -1),
        "bore-front": bore(row["bore"], float(row["land"]) / 2),
        "cover-stud-bottom": plane(row["stud-hole-depth"], -1),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the stud spots of the faces, which straddle the vertical, those of flange and clean-out, and the drain.

    `discharge` is the flange's middle, pointing outwards; `discharge-flange-nuts` point to the pump,
    `discharge-flange-studs` outwards from where their ends stand below the flange.
    """
    count, circle = round(float(row["stud-count"])), float(row["stud-circle"])
    front = {"cover-studs": circle_mounts(count, circle, 180.0 / count, sign=-1)}
    return {
        **({} if "ring-shoulder" in row else front),
        "bracket-studs": circle_mounts(count, circle, 180.0 / count, sign=+1),
        **_discharge_mounts(row),
        **_clean_out_mounts(row),
        "drain": (Mount(x=row["spiral-centre"], axis=Axis.Z, sign=+1),),
    }


def _discharge_mounts(row: Row) -> dict[str, tuple[Mount, ...]]:
    numbers = {key: float(value) for key, value in row.items()}
    axis, sign = _WAYS[_quarters(row)]
    count = round(numbers["holes"])

    def put(x: float, across: float, facing: int) -> Mount:
        y, z = _turn(row, across - branch_offset_mm(numbers))
        return Mount(x=row["spiral-centre"] + x, y=y, z=z, axis=axis, sign=facing)

    def stand(x: float, across: float) -> Mount:
        y, z = _turn(row, across - branch_offset_mm(numbers), low)
        return Mount(x=row["spiral-centre"] + x, y=y, z=z, axis=axis, sign=sign)

    low = numbers["discharge-height"] - numbers["discharge-flange-thickness"]
    low -= numbers["discharge-stud-reach"]
    spots = circle_points(count, numbers["bolt-circle"], 180.0 / count)
    return {
        "discharge": (put(0.0, 0.0, sign),),
        "discharge-flange-nuts": tuple(put(x, across, -sign) for x, across in spots),
        "discharge-flange-studs": tuple(stand(x, across) for x, across in spots),
    }


def _clean_out_mounts(row: Row) -> dict[str, tuple[Mount, ...]]:
    numbers = {key: float(value) for key, value in row.items()}
    middle, *studs = [_turn(row, *spot) for spot in clean_out_spots(numbers)]
    return {
        "clean-out": (Mount(y=middle[0], z=middle[1], sign=-1),),
        "clean-out-studs": tuple(Mount(y=y, z=z, sign=-1) for y, z in studs),
    }


def _turn(row: Row, y: float, z: float = 0.0) -> tuple[float, float]:
    """Turn the point (y, z) in mm of the waterway with the discharge."""
    return {0: (y, z), 1: (z, -y), 2: (-y, -z), 3: (-z, y)}[_quarters(row)]


def _quarters(row: Row | Numbers) -> int:
    """Count the quarter turns of the discharge. Raises ValueError for a turn between."""
    turn_deg = float(row["discharge-turn"])
    if turn_deg % 90.0:
        raise ValueError(f"discharge-turn is {turn_deg:g} degrees; write a multiple of 90")
    return round(turn_deg / 90.0) % 4


def lowest_mm(row: Numbers) -> float:
    """Give the height in mm, from the shaft's axis, of the casing's lowest point above or beside its feet."""
    throat = row["throat-diameter"] / 2
    spiral = branch_offset_mm(row) + throat + row["wall"]
    low = {0: -spiral, 1: -spiral, 2: -row["discharge-height"]}.get(
        _quarters(row), -branch_offset_mm(row) - row["outside"] / 2
    )
    return min(low, -row["rim-diameter"] / 2, -row["drain-pad-depth"])


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the casing: ring with two flanges, spiral with cutwater, neck with flange and clean-out pad, drain, feet."""
    from models.parts import forms

    width, ring = row["width"], forms.turn(_ring(at, row))
    # a right-handed turn about x, which points at the driver, is anticlockwise to the driver
    turned = ((0, 0, 0), (1, 0, 0), -row["discharge-turn"])
    feet, holes = _feet(row)
    # what is fused after the cuts reaches into no void: every boolean on the spiral costs seconds
    drain, pad = row["spiral-centre"], at["drain-pad"]
    boss = forms.post(row["drain-pad-diameter"], drain, 0, pad, pad + row["drain-pad-length"])
    body = ring.fuse(boss, *[one.rotate(*turned) for one in make_walls(row)])
    voids = [one.rotate(*turned) for one in make_voids(row)]
    voids.append(forms.post(row["drain-thread"], drain, 0, pad, pad + row["drain-pad-length"]))
    body = body.cut(*voids, forms.rod(row["bore"], at.get("wet-face", 0.0), width))
    body = body.fuse(make_nose(row).rotate(*turned), *feet).cut(*holes)
    studs = forms.circle_spots(
        round(row["stud-count"]), row["stud-circle"], 180.0 / row["stud-count"]
    )
    if "suction-face" in at:
        face, count = at["suction-face"], round(row["suction-holes"])
        spots = forms.circle_spots(count, row["suction-bolt-circle"], 180.0 / count)
        body = forms.drill(body, row["suction-hole"], face, at["suction-flange-back"], spots)
    else:
        body = forms.drill(body, row["stud-thread"], 0, at["cover-stud-bottom"], studs)
    body = forms.drill(body, row["stud-thread"], at["bracket-stud-bottom"], width, studs)
    return forms.one_solid(body)


def _ring(at: Numbers, row: Numbers) -> list[tuple[float, float]]:
    """Give the profile of the ring round the impeller: flange for the suction cover, or the suction side cast in."""
    wall, width, land = row["wall"], row["width"], row["land"]
    inner, outer, rim = row["bore"] / 2 - 1, row["bore"] / 2 + wall, row["rim-diameter"] / 2
    rear = [(width, inner), (width, rim), (width - land, rim), (width - land - wall, outer)]
    if "suction-face" not in at:
        return [(0, inner), *rear, (land + wall, outer), (land, rim), (0, rim)]
    eye, face, back = row["suction-bore"] / 2, at["suction-face"], at["suction-flange-back"]
    flange, shoulder = row["suction-outside"] / 2, _grip_mm(row) + SHOULDER_SHARE * wall
    seat, behind = ring_seat(at, row, 0.0)
    return [
        (face, eye), *seat, (at["wet-face"], inner), *rear, (land + wall, outer), (land, shoulder),
        (0, shoulder), *behind, (0, eye + wall), (back, eye + wall), (back, flange), (face, flange),
    ]  # fmt: skip


def _grip_mm(row: Numbers) -> float:
    """Give the radius in mm to which the legs reach into the flange rings."""
    return (row["rim-diameter"] / 2 + row["bore"] / 2 + row["wall"]) / 2


def _feet(row: Numbers) -> tuple[list[Solid], list[Solid]]:
    """Make a foot on each side: plate, a leg up to each flange ring, a web between; and the holes through the plates.

    Legs end inside the flange rings, where no water is, whichever way the spiral is turned.
    """
    import cadquery as cq

    from models.parts import forms

    centre, half, length = row["spiral-centre"], row["foot-width"] / 2, row["foot-length"]
    low, wall, inner = -row["centre-height"], row["wall"], row["foot-width"] / 2 * LEG_SHARE
    top, grip = low + row["foot-thickness"], _grip_mm(row)
    slim = row["land"] * (1 - SET_IN_SHARE) / 2
    ends = (0.0 + slim, row["width"] - row["land"] + slim)
    feet, holes = [], []
    for side in (-1, 1):
        y = sorted((side * inner, side * half))
        web = sorted((side * inner, side * (inner + wall)))
        feet.append(forms.box((centre - length / 2, centre + length / 2), (y[0], y[1]), (low, top)))
        feet.append(
            forms.box((slim, row["width"] - slim), (web[0], web[1]), (low, top + WEB_SHARE * grip))
        )
        leg = [
            (inner, low), (half * 0.92, low), (half * 0.92, top), (grip * 0.8, -grip * 0.6),
            (inner, -math.sqrt(grip**2 - inner**2)),
        ]  # fmt: skip
        for start in ends:
            corners = [cq.Vector(start, side * a, b) for a, b in leg]
            across = cq.Vector(row["land"] * SET_IN_SHARE, 0, 0)
            feet.append(
                cq.Solid.extrudeLinear(cq.Wire.makePolygon(corners, close=True), [], across)
            )
        holes += [
            forms.post(row["foot-hole"], centre + end * length * 0.25, side * half * 0.8, low, top)
            for end in (-1, 1)
        ]
    return feet, holes


PART = Part("volute", faces, shape, Material.CAST_IRON, mounts)
