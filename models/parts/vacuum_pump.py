"""Dry vane vacuum pump as it is bought: one body with its covers, feet, ports and shaft. Origin under its feet.

Own x points up, own z along its shaft towards the driven end. It is not taken apart here. The feet are
slotted across the shaft, so that it can be slid to slacken and tighten the belt.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Axis, Face, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

FINS, FIN_SHARE, GROOVE_SHARE = 8, 0.5, 0.86
"""Cooling fins round the body: how many, how wide each as a share of their pitch, and the diameter between them."""
COVER_SCREWS, SCREW_CIRCLE_SHARE, HEAD_SHARE = 6, 0.86, 0.55
"""Screws of each cover, their circle as a share of the cover, and the height of a head as a share of its width."""
NOSE_SHARE = 0.5
"""Diameter of the bearing noses on both covers, as a share of the covers' own."""
WEB_SHARE = 0.55
"""How wide the web between foot and body is, as a share of the foot."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the feet, where their screws bear, the ports' pads, the shaft's shoulder and the keyway's floor."""
    thick = row["foot-thickness"]
    return {
        "foot": plane(0.0, -1),
        "screw-face": plane(thick, +1),
        "port-pad": plane(row["port-height"], +1),
        "shaft-shoulder": plane(row["shoulder-distance"], +1, Axis.Z),
        "key-floor": plane(row["shaft-height"] + row["seat-diameter"] / 2 - row["key-depth"], +1),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spots of the screws in the feet, of the ports, of the sheave and of its key."""
    across, along = float(row["screw-across"]) / 2, float(row["screw-along"]) / 2
    shoulder, port = float(row["shoulder-distance"]), float(row["port-spacing"]) / 2
    return {
        "foot-screws": tuple(
            Mount(y=y, z=z, sign=-1) for z in (-along, along) for y in (-across, across)
        ),
        "inlet": (Mount(z=-port),),
        "outlet": (Mount(z=port),),
        "sheave": (Mount(x=row["shaft-height"], z=shoulder, axis=Axis.Z, turn_deg=180.0),),
        "sheave-key": (Mount(z=shoulder + float(row["key-middle"])),),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the finned body with covers and shaft, stand it on its slotted feet, drill the ports."""
    from models.parts import forms

    middle = row["shaft-height"]
    body = _turn_body(row, at["shaft-shoulder"]).rotate((0, 0, 0), (0, 1, 0), -90)
    body = body.translate((middle, 0, 0))
    across, along, half = row["screw-across"] / 2, row["screw-along"] / 2, row["foot-width"] / 2
    long, thick = row["foot-length"] / 2, at["screw-face"]
    feet = [forms.box((0, thick), (-long, long), (z - half, z + half)) for z in (-along, along)]
    wide, web = row["body-diameter"] / 2 * WEB_SHARE, half * WEB_SHARE
    feet += [forms.box((0, middle), (-wide, wide), (z - web, z + web)) for z in (-along, along)]
    port, high, deep = row["port-spacing"] / 2, at["port-pad"], row["port-depth"]
    pads = [forms.rod(row["port-pad-diameter"], middle, high, 0, z) for z in (-port, port)]
    slots = [
        forms.long_slot(row["slot-width"], row["slot-length"], 0, thick)
        .rotate((0, 0, 0), (1, 0, 0), 90)
        .translate((0, y, z))
        for y in (-across, across)
        for z in (-along, along)
    ]
    bores = [
        forms.rod(row["inlet-thread"], high - deep, high, 0, -port),
        forms.rod(row["outlet-thread"], high - deep, high, 0, port),
    ]
    key = forms.long_slot(row["key-width"], row["key-length"], at["key-floor"], middle + long)
    key = key.translate((0, 0, at["shaft-shoulder"] + row["key-middle"]))
    return forms.one_solid(body.fuse(*feet, *pads).cut(*slots, *bores, key))


def _turn_body(row: Numbers, shoulder: float) -> Solid:
    """Turn body, covers and shaft about x, with the screws of the covers as they are seen from outside."""
    from models.parts import forms

    half, cover, r = row["body-length"] / 2, row["cover-thickness"], row["body-diameter"] / 2
    low, big = r * GROOVE_SHARE, row["cover-diameter"] / 2
    nose, out = big * NOSE_SHARE, row["nose-length"]
    end, shaft, seat = half + cover, row["shaft-diameter"] / 2, row["seat-diameter"] / 2
    pitch = 2 * half / FINS
    profile = [(-end - out, 0.0), (-end - out, nose), (-end, nose), (-end, big), (-half, big)]
    for i in range(FINS):
        start = -half + (i + (1 - FIN_SHARE) / 2) * pitch
        stop = start + FIN_SHARE * pitch
        profile += [(start, low), (start, r), (stop, r), (stop, low)]
    profile[5:5] = [(-half, low)]
    tip = shoulder + row["seat-length"]
    profile += [
        (half, low), (half, big), (end, big), (end, nose), (end + out, nose), (end + out, shaft), (shoulder, shaft),
        (shoulder, seat), (tip, seat), (tip, 0.0),
    ]  # fmt: skip
    across = row["cover-screw-across-flats"]
    heads = [
        forms.hexagon(across, sign * (end + HEAD_SHARE * across), sign * end).translate((0, y, z))
        for y, z in forms.circle_spots(COVER_SCREWS, SCREW_CIRCLE_SHARE * 2 * big)
        for sign in (-1, +1)
    ]
    return forms.turn(profile).fuse(*heads)


PART = Part("vacuum-pump", faces, shape, Material.CAST_IRON, mounts)
