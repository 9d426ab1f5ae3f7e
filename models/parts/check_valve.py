"""Check valve body: two flanges, a raised seat across the flow, a wide barrel for the flap, a neck for its cover.

Origin at the middle of the inlet flange's face; x with the flow, z towards the cover.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts.spots import circle_points
from models.spec.face import Axis, Face, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

NOZZLE_SHARE, BULGE_SHARE, OUTLET_SHARE = 0.2, 0.45, 0.13
"""How far the seat stands out into the barrel, where the barrel starts to widen, how long the outlet's taper is, as shares of bore, seat position and length."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name inlet and outlet, where the flange nuts bear, the seat, the neck's face and its screw holes' bottoms."""
    thick, seat, neck = row["flange-thickness"], row["seat-position"], row["neck-height"]
    return {
        "inlet-face": plane(0.0, -1),
        "nut-face": plane(thick, +1, near=(float(thick), float(row["bolt-circle"]) / 2)),
        "outlet-nut-face": plane(
            row["length"] - thick,
            -1,
            near=(float(row["length"] - thick), float(row["bolt-circle"]) / 2),
        ),
        "outlet-face": plane(row["length"], +1),
        "seat": plane(seat, +1, near=(float(seat), float(row["bore"]) / 2 + 1)),
        "neck-face": plane(neck, +1, Axis.Z),
        "screw-bottom": plane(neck - row["screw-depth"], +1, Axis.Z),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spots of flap and facing, of the cover and its screws."""
    return {
        "flap": (Mount(),),
        "facing": (Mount(sign=-1),),
        "neck": (Mount(x=row["neck-position"], axis=Axis.Z),),
        "cover-screws": tuple(
            Mount(x=x + row["neck-position"], y=y, axis=Axis.Z, sign=-1)
            for x, y in _screw_spots(row)
        ),
    }


def _screw_spots(row: Row | Numbers) -> list[tuple[float, float]]:
    count = round(float(row["screw-count"]))
    return circle_points(count, float(row["screw-circle"]), 180.0 / count)


def barrel_points(row: Numbers) -> list[tuple[float, float]]:
    """Give (x, radius) in mm along the inside of barrel and outlet, downstream of the seat's nozzle."""
    end, taper = row["length"], OUTLET_SHARE * row["length"]
    wide, bore = row["cavity-diameter"] / 2, row["bore"] / 2
    start = row["seat-position"] - NOZZLE_SHARE * row["bore"]
    knee = end - row["flange-thickness"] - taper
    return [(start, wide), (knee, wide), (knee + taper, bore), (end, bore)]


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make barrel and flanges in one turn, hollow them, set the neck on and open it over the flap."""
    from models.parts import forms

    thick, end, wall, bore = at["nut-face"], at["outlet-face"], row["wall"], row["bore"] / 2
    outside, seat = row["outside"] / 2, at["seat"]
    inside = barrel_points(row)
    (start, wide), (knee, _), (narrow, _), _ = inside
    swell = BULGE_SHARE * seat
    body: Solid = forms.turn(
        [
            (0, 0), (0, outside), (thick, outside), (thick, bore + wall), (swell, bore + wall),
            (start, wide + wall), (knee, wide + wall), (narrow, bore + wall),
            (end - thick, bore + wall), (end - thick, outside), (end, outside), (end, 0),
        ]
    )  # fmt: skip
    middle, top, half = row["neck-position"], at["neck-face"], row["neck-bore"] / 2
    body = body.fuse(
        forms.post(2 * (half + wall), middle, 0, 0, top),
        forms.post(row["neck-outside"], middle, 0, top - row["neck-flange-thickness"], top),
    )
    nozzle = row["seat-outside"] / 2
    hollow = forms.turn([(0, 0), (0, bore), (seat, bore), (seat, nozzle), (start, nozzle), *inside, (end, 0)])  # fmt: skip
    mouth = forms.post(row["neck-bore"], middle, 0, 0, top)
    # below the barrel's outside the neck is open over the flap only: beside it is the inlet's wall
    over_flap = mouth.cut(
        forms.box((middle - half, seat), (-half, half), (0, wide + wall)),
    )
    screws = [
        forms.post(row["screw-thread"], middle + x, y, at["screw-bottom"], top)
        for x, y in _screw_spots(row)
    ]
    count = round(row["holes"])
    spots = forms.circle_spots(count, row["bolt-circle"], 180.0 / count)
    body = body.cut(hollow, over_flap, *screws)
    body = forms.drill(body, row["hole"], 0, thick, spots)
    return forms.one_solid(forms.drill(body, row["hole"], end - thick, end, spots))


PART = Part("check-valve", faces, shape, Material.CAST_IRON, mounts)
