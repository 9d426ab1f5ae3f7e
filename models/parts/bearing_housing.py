"""Bearing housing with its foot, for oil or for grease as its rows say. Origin on the axis at the face that bears on the bracket.

The inboard bore is smaller than the outboard one, so that the shaft leaves with both bearings towards the drive end.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts import vacuum_seat
from models.parts.spots import circle_mounts
from models.spec.face import Axis, Face, bore, journal, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

STAND_SHARE = 0.72
"""How wide the web stands on the foot's sole, as a share of the sole."""
TOP_DOWN, TOP_ACROSS = 0.42, 0.8
"""Where the web's top corners lie in the barrel, in barrel radii below the axis and beside it."""
RIB_SHARE = 0.6
"""Length of the rib where it meets the barrel, as a share of its length on the sole."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name end faces, the thrust shoulder, bores, the seal's seat, the register groove and the pads of what is screwed in."""
    shoulder = row["thrust-shoulder-distance"]
    end = shoulder + row["outboard-depth"]
    thick = row["flange-thickness"]
    groove = -row["spigot-length"] + row["groove-start"]
    snap = {}
    if "snap-groove-diameter" in row:
        middle = row["snap-groove-start"] + row["snap-groove-width"] / 2
        snap = {"snap-groove": bore(row["snap-groove-diameter"], middle)}
    own = {
        "bracket-face": plane(0.0, -1, near=(0.0, float(row["flange-diameter"]) / 2 - 1)),
        "screw-face": plane(thick, +1, near=(float(thick), float(row["screw-circle"]) / 2)),
        "thrust-shoulder": plane(shoulder, +1),
        "inboard-shoulder": plane(
            row["inboard-bore-start"],
            +1,
            near=(float(row["inboard-bore-start"]), float(row["inboard-bore"]) / 2 - 1),
        ),
        "cap-face": plane(end, +1),
        "cap-screw-bottom": plane(end - row["cap-screw-depth"], +1),
        "inboard-bore": bore(row["inboard-bore"], float(row["inboard-bore-start"]) + 1),
        "outboard-bore": bore(row["outboard-bore"], float(end) - 1),
        "oil-seal-bore": bore(row["oil-seal-bore"], 1.0),
        "oil-seal-shoulder": plane(row["oil-seal-shoulder"], -1),
        "groove-bottom": journal(row["groove-diameter"], float(groove) + 1),
        "groove-wall": plane(groove, +1),
        "spigot": journal(row["spigot-diameter"], float(groove) + float(row["groove-width"]) + 0.5),
    }
    return own | snap | _find_pads(row) | vacuum_seat.name_faces(row, end)


def _find_pads(row: Row) -> dict[str, Face]:
    """Name the pads of plugs, breather and sight glass of an oil bath, of nipples and relief plug of grease."""
    if "nipple-pad-height" in row:
        return {
            "nipple-pad": plane(row["nipple-pad-height"], +1, Axis.Z),
            "relief-pad": plane(-row["relief-pad-depth"], -1, Axis.Z),
        }
    return {
        "fill-pad": plane(row["fill-pad-height"], +1, Axis.Z),
        "drain-pad": plane(-row["drain-pad-depth"], -1, Axis.Z),
        "sight-pad": plane(-row["sight-pad-offset"], -1, Axis.Y),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spots of the cap screws and of what is screwed in for oil or for grease."""
    count = round(float(row["cap-screw-count"]))
    screws = circle_mounts(count, float(row["cap-screw-circle"]), 180.0 / count, sign=-1)
    if "nipple-pad-height" in row:
        spots = {
            "nipple-inboard": Mount(x=float(row["nipple-inboard-position"]), axis=Axis.Z),
            "nipple-outboard": Mount(x=float(row["nipple-outboard-position"]), axis=Axis.Z),
            "relief": Mount(x=float(row["relief-position"]), axis=Axis.Z),
        }
    else:
        middle = float(row["plug-position"])
        spots = {
            "fill": Mount(x=middle, axis=Axis.Z, sign=-1),
            "drain": Mount(x=middle, axis=Axis.Z),
            "breather": Mount(x=float(row["breather-position"]), axis=Axis.Z),
            "sight": Mount(x=middle, z=-float(row["sight-depth"]), axis=Axis.Y, sign=-1),
        }
    turned = {"cap-screws": screws, "bath-seal": (Mount(sign=-1),)}  # lip towards the bracket
    end = row["thrust-shoulder-distance"] + row["outboard-depth"]
    carried = vacuum_seat.list_mounts(row, end)
    return turned | {name: (spot,) for name, spot in spots.items()} | carried


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the bored barrel with flange, register, sump, foot and plug pads."""
    from models.parts import forms

    wall, shoulder, end = row["wall"], at["thrust-shoulder"], at["cap-face"]
    spigot, flange, thick = (
        row["spigot-diameter"] / 2,
        row["flange-diameter"] / 2,
        row["flange-thickness"],
    )
    back = -row["spigot-length"]
    start, stop, groove = (
        at["groove-wall"],
        at["groove-wall"] + row["groove-width"],
        row["groove-diameter"] / 2,
    )
    barrel, cap = row["barrel-diameter"] / 2, row["cap-flange-diameter"] / 2
    cap_start = end - row["cap-screw-depth"] * 0.75
    outer = forms.turn(
        [
            (back, 0), (back, spigot), (start, spigot), (start, groove), (stop, groove), (stop, spigot), (0, spigot),
            (0, flange), (thick, flange), (thick, barrel), (cap_start - wall, barrel), (cap_start, cap), (end, cap), (end, 0),
        ]
    )  # fmt: skip
    foot_x, foot_half, foot_low = row["foot-position"], row["foot-width"] / 2, -row["centre-height"]
    long = row["foot-length"] / 2
    foot = _shape_foot(row)
    cast, holes = _shape_for_grease(at, row) if "nipple-pad" in at else _shape_for_oil(at, row)
    carrier, taps = vacuum_seat.make(at, row)
    body = outer.fuse(*cast, *foot, *carrier)
    holes += taps
    seal, seat, hole = row["oil-seal-bore"] / 2, at["oil-seal-shoulder"], row["shaft-hole"] / 2
    inboard, in_start, in_end = (
        row["inboard-bore"] / 2,
        row["inboard-bore-start"],
        row["inboard-bore-end"],
    )
    cavity, outboard = row["cavity-diameter"] / 2, row["outboard-bore"] / 2
    void = forms.turn(
        [
            (back - 1, 0), (back - 1, seal), (seat, seal), (seat, hole), (in_start, hole), (in_start, inboard),
            (in_end, inboard), (in_end, cavity), (shoulder, cavity), (shoulder, outboard), (end + 1, outboard), (end + 1, 0),
        ]
    )  # fmt: skip
    if "snap-groove-diameter" in row:
        snap = row["snap-groove-start"]
        holes.append(forms.rod(row["snap-groove-diameter"], snap, snap + row["snap-groove-width"]))
    body = body.cut(void, *holes)
    screws = round(row["screw-count"])
    body = forms.drill(
        body,
        row["screw-hole"],
        0,
        thick,
        forms.circle_spots(screws, row["screw-circle"], 180 / screws),
    )
    caps = round(row["cap-screw-count"])
    spots = forms.circle_spots(caps, row["cap-screw-circle"], 180 / caps)
    body = forms.drill(body, row["cap-screw-thread"], at["cap-screw-bottom"], end, spots)
    body = _tap_bell_flange(body, row, cap_start, end)
    feet = [(foot_x + sx * long * 0.55, sy * foot_half * 0.86) for sx in (-1, 1) for sy in (-1, 1)]
    top = foot_low + row["foot-thickness"]
    return forms.one_solid(
        body.cut(*[forms.post(row["foot-hole"], x, y, foot_low, top) for x, y in feet])
    )


def _shape_foot(row: Numbers) -> list[Solid]:
    """Make the sole, and a web and a rib that widen from the barrel down to it; their tops end inside the barrel."""
    from models.parts import forms

    low, half, long = -row["centre-height"], row["foot-width"] / 2, row["foot-length"] / 2
    wall, barrel, middle = row["wall"], row["barrel-diameter"] / 2, row["foot-position"]
    top, wide, deep = -TOP_DOWN * barrel, TOP_ACROSS * barrel, RIB_SHARE * long
    sole = forms.box(
        (middle - long, middle + long), (-half, half), (low, low + row["foot-thickness"])
    )
    stand = half * STAND_SHARE
    web = [(-stand, low), (stand, low), (wide, top), (-wide, top)]
    rib = [
        (middle - long, low), (middle + long, low), (middle + deep, -barrel + wall / 2), (middle - deep, -barrel + wall / 2),
    ]  # fmt: skip
    return [
        sole,
        forms.upright_plate("x", web, middle - wall, middle + wall),
        forms.upright_plate("y", rib, -wall, wall),
    ]


def _shape_for_oil(at: Numbers, row: Numbers) -> tuple[list[Solid], list[Solid]]:
    """Make what an oil bath adds to the casting (sump, pads, sight boss), and what is cut out of it."""
    from models.parts import forms

    wall, drain, fill, plug = row["wall"], at["drain-pad"], at["fill-pad"], row["plug-position"]
    low, high, half = row["sump-start"], row["sump-end"], row["sump-width"] / 2
    air, level, side = row["breather-position"], -row["sight-depth"], at["sight-pad"]
    pad, thread = row["pad-diameter"], row["plug-thread"]
    cast = [
        forms.box((low, high), (-half, half), (drain + wall * 0.5, 0)),
        forms.post(pad, plug, 0, 0, fill),
        forms.post(pad, plug, 0, drain, 0),
        forms.post(row["breather-pad-diameter"], air, 0, 0, fill),
        forms.side_post(row["sight-boss-diameter"], plug, level, side, 0),
    ]
    cut = [
        forms.box((low + wall, high - wall), (-half + wall, half - wall), (drain + wall * 1.5, 0)),
        forms.post(thread, plug, 0, 0, fill),
        forms.post(thread, plug, 0, drain, 0),
        forms.post(row["breather-thread"], air, 0, 0, fill),
        forms.side_post(row["sight-thread"], plug, level, side, 0),
    ]
    return cast, cut


def _shape_for_grease(at: Numbers, row: Numbers) -> tuple[list[Solid], list[Solid]]:
    """Make the pads of nipples and relief plug; cut their threads and the grease's way to the bearings."""
    from models.parts import forms

    top, bottom, spot = at["nipple-pad"], at["relief-pad"], row["relief-position"]
    cast = [forms.post(row["relief-pad-diameter"], spot, 0, bottom, 0)]
    cut = [forms.post(row["relief-thread"], spot, 0, bottom, 0)]
    for x in (row["nipple-inboard-position"], row["nipple-outboard-position"]):
        cast.append(forms.post(row["nipple-pad-diameter"], x, 0, 0, top))
        cut.append(forms.post(row["nipple-thread"], x, 0, top - row["nipple-thread-depth"], top))
        cut.append(forms.post(row["grease-way"], x, 0, 0, top))
    return cast, cut


def _tap_bell_flange(body: Solid, row: Numbers, start_mm: float, end_mm: float) -> Solid:
    """Tap the cap flange through for the bell housing's screws, where its row says that there is one."""
    from models.parts import forms

    if "bell-screw-circle" not in row:
        return body
    count = round(row["bell-screw-count"])
    spots = forms.circle_spots(count, row["bell-screw-circle"], 180.0 / count)
    return forms.drill(body, row["bell-screw-thread"], start_mm, end_mm, spots)


PART = Part("bearing-housing", faces, shape, Material.CAST_IRON, mounts)
