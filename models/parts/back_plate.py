"""Back plate: closes the volute behind the impeller and carries the seal's seat or the stuffing box.

A seal plate, which draws out with the bearing frame, is the same part: `spigot-groove-diameter` in its
row means that an O-ring seals its spigot, `hold-circle` that screws hold it to the bracket.
`box-bore` in its row means that it has a stuffing box, `gland-screw-circle` that a gland is screwed on
behind the seat, `line-inlet-radius` that a balance line starts on it. Origin on the axis at the face that bears on the bracket; the dish reaches towards the impeller (-x).
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts.spots import circle_mounts
from models.spec.face import Axis, Face, bore, journal, plane
from models.spec.length import Length
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name the faces of the dish and those that meet the bracket: flange, register and its groove."""
    groove = row["groove-start"]
    return dish_faces(row, row["flange-thickness"]) | {
        "bracket-face": plane(0.0, +1, near=(0.0, float(row["rim-diameter"]) / 2 - 1)),
        "groove-bottom": journal(row["groove-diameter"], float(groove) + 1),
        "groove-wall": plane(groove, +1),
        "register": journal(row["register-diameter"], float(groove) / 2),
    }


def dish_faces(row: Row, flange: Length) -> dict[str, Face]:
    """Name casing face, wet face and what the shaft's sealing needs, for a flange of that thickness in mm."""
    wet = -row["wet-face-depth"]
    # with a hub ring the back vanes run outside it, so that is where the wet face counts
    inside = row["ring-bore"] if "ring-bore" in row else row["chamber-bore"]
    return (
        {
            "casing-face": plane(-flange, -1),
            "wet-face": plane(wet, -1, near=(float(wet), float(inside) / 2 + 2)),
            "spigot": journal(row["spigot-diameter"], float(wet) + 1),
            "chamber-bore": bore(row["chamber-bore"], float(wet) + 1),
        }
        | (_box_faces(row) if "box-bore" in row else _seat_faces(row))
        | _hub_ring_faces(row)
        | _line_faces(row)
        | _draw_out_faces(row, flange)
    )


def _draw_out_faces(row: Row, flange: Length) -> dict[str, Face]:
    named = {}
    if "spigot-groove-diameter" in row:
        start = row["spigot-groove-start"]
        named["spigot-groove-wall"] = plane(start, +1)
        named["spigot-groove-bottom"] = journal(row["spigot-groove-diameter"], float(start) + 1)
    if "hold-circle" in row:
        named["hold-face"] = plane(row["hold-sink-depth"] - flange, -1)
    return named


def _seat_faces(row: Row) -> dict[str, Face]:
    seat = -row["seat-shoulder-depth"]
    named = {
        "seat-shoulder": plane(seat, -1),
        "seat-bore": bore(row["seat-bore"], float(seat) - 1),
    }
    if "gland-screw-circle" in row:
        end = seat + row["wall"]
        named["gland-face"] = plane(end, +1)
        named["gland-screw-bottom"] = plane(end - row["gland-screw-depth"], +1)
    return named


def _hub_ring_faces(row: Row) -> dict[str, Face]:
    if "ring-bore" not in row:
        return {}
    shoulder = -row["ring-shoulder-depth"]
    return {
        "ring-shoulder": plane(shoulder, -1),
        "ring-bore": bore(row["ring-bore"], float(shoulder) - 1),
    }


def _line_faces(row: Row) -> dict[str, Face]:
    if "line-inlet-radius" not in row:
        return {}
    return {"line-pad": plane(row["line-pad-distance"], +1, Axis.Y)}


def _box_faces(row: Row) -> dict[str, Face]:
    bottom = -row["box-bottom-depth"]
    end = bottom + row["box-length"]
    wall = row["wall"] - row["wet-face-depth"]
    return {
        "box-bottom": plane(bottom, +1, near=(float(bottom), float(row["box-bore"]) / 2 - 1)),
        "box-bore": bore(row["box-bore"], float(bottom) + 1),
        "box-end": plane(end, +1, near=(float(end), float(row["box-bore"]) / 2 + 1)),
        "gland-stud-bottom": plane(end - row["gland-stud-depth"], +1),
        "flush-pad": plane(wall, +1, near=(float(wall), float(row["flush-port-radius"]))),
        "lantern-pad": plane(row["lantern-pad-height"], +1, Axis.Z),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spots of hub ring, gland studs, the flushing line's two ports and each packing ring's joint."""
    pressed: dict[str, tuple[Mount, ...]] = {
        "hub-ring": (Mount(sign=-1),)
    }  # from the wet side, lead-in first
    if "hold-circle" in row:
        pressed["hold-screws"] = circle_mounts(HOLD_SCREWS, float(row["hold-circle"]), HOLD_DEG)
    if "line-inlet-radius" in row:
        pressed["line-port"] = (Mount(x=row["line-port-position"], axis=Axis.Y),)
    if "gland-screw-circle" in row:
        screws = round(float(row["gland-screw-count"]))
        circle = float(row["gland-screw-circle"])
        pressed["gland-screws"] = circle_mounts(screws, circle, 180.0 / screws, sign=-1)
    if "box-bore" not in row:
        return pressed
    port = row["lantern-port"] - row["box-bottom-depth"]
    wall = row["wall"] - row["wet-face-depth"]
    count = round(float(row["gland-stud-count"]))
    height, out = float(row["lantern-pad-height"]), float(row["flush-port-radius"])
    return (
        pressed
        | {
            "gland-studs": circle_mounts(count, float(row["gland-stud-circle"]), SIDEWAYS_DEG),
            "gland-nuts": circle_mounts(count, float(row["gland-stud-circle"]), SIDEWAYS_DEG),
            "gland": (Mount(),),  # not turned like the packing ring that it lies on
            "flush-port": (Mount(x=wall, z=out),),
            "lantern-port": (Mount(x=port, z=height, axis=Axis.Z),),
        }
        | {
            f"packing-joint-{number}": (Mount(turn_deg=STAGGER_DEG * number),)
            for number in range(1, 1 + PACKING_RINGS)
        }
    )


JACKING_SCREWS, JACKING_DEG = 2, -45.0
"""Two jacking screws stand opposite each other, so that the joint parts evenly, between two studs, off level hose and oil line."""
HOLD_SCREWS, HOLD_DEG = 2, 45.0
"""Two screws hold a seal plate to its bracket, opposite each other and square to the jacking screws."""
SIDEWAYS_DEG = 90.0
"""The gland's studs stand at both sides of the shaft, where the bracket's windows are."""
STAGGER_DEG = 90.0
"""Each packing ring's joint lies this far round from the one before. Source: common practice."""
PACKING_RINGS = 5
"""Packing rings in a stuffing box, two of them behind the lantern ring. Source: common practice."""


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the dish: wet disc, seal chamber or stuffing box, flange, register with its O-ring groove."""
    from models.parts import forms

    inside, outside = dish_profiles(at, row)
    body: Solid = forms.turn([*inside, *_register_profile(at, row), *outside])
    studs = round(row["stud-count"])
    spots = forms.circle_spots(studs, row["stud-circle"], 180 / studs)
    drilled = forms.drill(body, row["stud-hole"], at["casing-face"], 0, spots)
    return forms.one_solid(finish_dish(drilled, at, row))


Profile = list[tuple[float, float]]


def dish_profiles(at: Numbers, row: Numbers) -> tuple[Profile, Profile]:
    """Give the section in mm from the wet face inwards and round to the dish's back; and from the rim to the wet face."""
    wall, wet, casing = row["wall"], at["wet-face"], at["casing-face"]
    spigot, rim = row["spigot-diameter"] / 2, row["rim-diameter"] / 2
    inner = spigot - wall * 1.2
    middle = _box_profile(at, row) if "box-bore" in row else _seat_profile(at, row)
    return (
        [*middle, (wet + wall, inner), (casing, inner)],
        [(casing, rim), (casing, spigot), *_spigot_groove(at, row), (wet, spigot)],
    )


def _spigot_groove(at: Numbers, row: Numbers) -> Profile:
    """Give the groove in the spigot for the O-ring that seals it in the casing, where it has one."""
    if "spigot-groove-wall" not in at:
        return []
    spigot, deep = row["spigot-diameter"] / 2, row["spigot-groove-diameter"] / 2
    start, stop = at["spigot-groove-wall"], at["spigot-groove-wall"] + row["spigot-groove-width"]
    return [(stop, spigot), (stop, deep), (start, deep), (start, spigot)]


def finish_dish(body: Solid, at: Numbers, row: Numbers) -> Solid:
    """Add to the turned dish what the shaft's sealing, jacking screws and a hub ring need: ports, tapped holes, the ring's seat."""
    from models.parts import forms

    if "jacking-thread" in row:
        spots = forms.circle_spots(JACKING_SCREWS, row["jacking-circle"], JACKING_DEG)
        body = forms.drill(body, row["jacking-thread"], at["casing-face"], 0, spots)
    if "hold-face" in at:
        spots = forms.circle_spots(HOLD_SCREWS, row["hold-circle"], HOLD_DEG)
        body = forms.drill(body, row["hold-hole"], at["casing-face"], 0, spots)
        body = forms.drill(
            body, row["hold-sink-diameter"], at["casing-face"], at["hold-face"], spots
        )
    if "box-bore" in row:
        body = _bore_box_ports(body, at, row)
    elif "gland-screw-circle" in row:
        screws = round(row["gland-screw-count"])
        taps = forms.circle_spots(screws, row["gland-screw-circle"], 180 / screws)
        low, high = at["gland-screw-bottom"], at["gland-face"]
        body = forms.drill(body, row["gland-screw-thread"], low, high, taps)
    return _add_line_duct(at, row, _add_hub_ring_seat(at, row, body))


def _add_hub_ring_seat(at: Numbers, row: Numbers, body: Solid) -> Solid:
    """Add the boss and the chamber behind the hub: the ring's bore and shoulder, open to the seal chamber."""
    from models.parts import forms

    if "ring-bore" not in row:
        return body
    wall, wet, shoulder = row["wall"], at["wet-face"], at["ring-shoulder"]
    lip = row["chamber-bore"] + 2 * wall
    boss = forms.tube(row["ring-bore"] + 2 * wall, lip - wall, wet, shoulder + wall)
    return body.fuse(boss).cut(forms.tube(row["ring-bore"], lip, wet - 1, shoulder))


DUCT_SHARE = 1.06
"""Bore of the cast duct as a share of its cross passage's: no two faces of them are tangent."""


def _add_line_duct(at: Numbers, row: Numbers, body: Solid) -> Solid:
    """Add the balance line's cast duct: from the chamber inside the hub ring, past the gland, to a pad in the bracket's window."""
    from models.parts import forms

    if "line-inlet-radius" not in row:
        return body
    hole, inlet, duct = row["line-bore"], row["line-inlet-radius"], row["line-duct-radius"]
    x, cross, pad = row["line-port-position"], -row["line-cross-depth"], at["line-pad"]
    wide, wall, tap = hole * DUCT_SHARE, row["line-wall"], pad - row["line-thread-depth"]
    half, across = row["line-pad-width"] / 2, row["line-pad-length"] / 2
    low = duct - wide / 2 - 1.1 * wall
    metal = [
        forms.rod(wide + 2 * wall, at["ring-shoulder"], cross + wide / 2 + wall, inlet),
        forms.side_post(hole + 2 * wall, cross, 0, inlet, duct),
        forms.rod(wide + 2 * wall, cross - hole / 2, x, duct),
        forms.box((x - half, x + half), (low, pad), (-across, across)),
    ]
    voids = [
        forms.rod(wide, at["ring-shoulder"] - 1, cross + hole / 4, inlet),
        forms.side_post(hole, cross, 0, inlet, duct),
        forms.rod(wide, cross - hole / 4, x, duct),
        forms.side_post(hole, x, 0, duct, pad),
        forms.side_post(row["line-thread"], x, 0, tap, pad),
    ]
    return body.fuse(*metal).cut(*voids)


def _seat_profile(at: Numbers, row: Numbers) -> Profile:
    """Give the chamber's section from the wet face, through the seat's bore, to the dish's back."""
    wall, wet, seat = row["wall"], at["wet-face"], at["seat-shoulder"]
    chamber, bore_r, hole = row["chamber-bore"] / 2, row["seat-bore"] / 2, row["shaft-hole"] / 2
    start, end = seat - row["seat-bore-length"], seat + wall
    back = [(end, chamber + wall * 0.4)]
    if "gland-screw-circle" in row:
        pad, thick = row["gland-pad-diameter"] / 2, row["gland-pad-thickness"]
        back = [(end, pad), (end - thick, pad), (end - thick - wall * 0.5, chamber + wall * 0.8)]
    return [
        (wet, chamber), (start, chamber), (start, bore_r), (seat, bore_r), (seat, hole), (end, hole),
        *back, (wet + 2 * wall, chamber + wall), (wet + wall, chamber + 2 * wall),
    ]  # fmt: skip


def _box_profile(at: Numbers, row: Numbers) -> Profile:
    """Give the stuffing box's section: hub recess, throat, box, and the flange its gland studs stand in."""
    wall, wet, bottom, end = row["wall"], at["wet-face"], at["box-bottom"], at["box-end"]
    chamber, throat, box = row["chamber-bore"] / 2, row["throat-bore"] / 2, row["box-bore"] / 2
    recess, outer = bottom - row["throat-length"], row["box-outside"] / 2
    flange, back = row["box-flange-diameter"] / 2, end - row["box-flange-thickness"]
    return [
        (wet, chamber), (recess, chamber), (recess, throat), (bottom, throat), (bottom, box), (end, box),
        (end, flange), (back, flange), (back - wall * 0.5, outer), (wet + 2 * wall, outer),
        (wet + wall, chamber + 2 * wall),
    ]  # fmt: skip


def _register_profile(at: Numbers, row: Numbers) -> Profile:
    """Give the register that enters the bracket, with its groove, from the dish's back out to the rim."""
    wall, casing = row["wall"], at["casing-face"]
    register, groove = row["register-diameter"] / 2, row["groove-diameter"] / 2
    start, stop = at["groove-wall"], at["groove-wall"] + row["groove-width"]
    length, thin = row["register-length"], groove - wall * 0.7
    return [
        (casing + wall * 0.3, thin), (length, thin), (length, register), (stop, register), (stop, groove),
        (start, groove), (start, register), (0, register), (0, row["rim-diameter"] / 2),
    ]  # fmt: skip


def _bore_box_ports(body: Solid, at: Numbers, row: Numbers) -> Solid:
    """Tap the gland studs' holes; put the boss of the lantern port on the box and bore both ports."""
    from models.parts import forms

    port, pad = row["lantern-port"] - row["box-bottom-depth"], at["lantern-pad"]
    box, hole, out = row["box-bore"] / 2, row["port-bore"], row["flush-port-radius"]
    boss = forms.post(
        row["lantern-boss-diameter"], port, 0, (box + row["box-outside"] / 2) / 2, pad
    )
    ports = [
        forms.post(hole, port, 0, box / 2, pad),
        forms.rod(hole, at["wet-face"], at["flush-pad"], 0, out),
    ]
    spots = forms.circle_spots(
        round(row["gland-stud-count"]), row["gland-stud-circle"], SIDEWAYS_DEG
    )
    low, high = at["gland-stud-bottom"], at["box-end"]
    return forms.drill(body.fuse(boss).cut(*ports), row["gland-stud-thread"], low, high, spots)


PART = Part("back-plate", faces, shape, Material.CAST_IRON, mounts)
