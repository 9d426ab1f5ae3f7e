"""Suction cover: closes the volute's front, carries the suction flange and the wear ring.

`line-port-position` in its row means that a balance line ends on its neck. Origin on the axis at the
face that bears on the volute; the dish reaches towards the impeller.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Axis, Face, bore, journal, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name the mounting face, nut face, groove and spigot; the ring's seat, unless a wear plate lies on the wet face."""
    named = {
        "mounting-face": plane(0.0, +1, near=(0.0, float(row["rim-diameter"]) / 2 - 1)),
        "nut-face": plane(
            -row["rim-thickness"],
            -1,
            near=(-float(row["rim-thickness"]), float(row["stud-circle"]) / 2),
        ),
        "spigot": journal(row["spigot-diameter"], float(row["groove-start"]) / 2),
        "groove-bottom": journal(row["groove-diameter"], float(row["groove-start"]) + 1),
        "groove-wall": plane(row["groove-start"], +1),
    } | suction_faces(row)
    if "flange-stud-depth" in row:  # a flange that is tapped for studs instead of drilled through
        named["flange-stud-bottom"] = plane(row["flange-stud-depth"] - row["face-length"], -1)
    if "line-port-position" in row:
        named["line-pad"] = plane(row["line-pad-distance"], +1, Axis.Y)
    if "plate-screw-depth" in row:
        return named | {
            "plate-screw-bottom": plane(row["wet-face-depth"] - row["plate-screw-depth"], +1)
        }
    return named | ring_seat_faces(row)


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spot where a balance line ends, when one does."""
    if "line-port-position" not in row:
        return {}
    return {"line-port": (Mount(x=-row["line-port-position"], axis=Axis.Y),)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the cover: flange, neck, dished disc, spigot with its O-ring groove, seat for ring or plate."""
    from models.parts import forms

    eye, wet = row["suction-bore"] / 2, at["wet-face"]
    spigot, rim, wall = row["spigot-diameter"] / 2, row["rim-diameter"] / 2, row["wall"]
    nut, face, thick = at["nut-face"], at["suction-face"], row["suction-flange-thickness"]
    start, end, groove = (
        at["groove-wall"],
        at["groove-wall"] + row["groove-width"],
        row["groove-diameter"] / 2,
    )
    seat, back = _plate_seat(at, row) if "plate-screw-bottom" in at else ring_seat(at, row, nut)
    body = forms.turn(
        [
            (face, eye), *seat, (wet, spigot), (end, spigot), (end, groove), (start, groove),
            (start, spigot), (0, spigot), (0, rim), (nut, rim), *back, (nut, eye + wall),
            (face + thick, eye + wall), (face + thick, row["suction-outside"] / 2), (face, row["suction-outside"] / 2),
        ]
    )  # fmt: skip
    studs = round(row["stud-count"])
    drilled = forms.drill(
        body, row["stud-hole"], nut, 0, forms.circle_spots(studs, row["stud-circle"], 180 / studs)
    )
    holes = round(row["suction-holes"])
    tapped = "flange-stud-bottom" in at
    wide = row["flange-stud-thread"] if tapped else row["suction-hole"]
    deep = at["flange-stud-bottom"] if tapped else face + thick
    spots = forms.circle_spots(holes, row["suction-bolt-circle"], 180 / holes)
    drilled = forms.drill(drilled, wide, face, deep, spots)
    if "plate-screw-bottom" in at:
        count = round(row["plate-screw-count"])
        spots = forms.circle_spots(count, row["plate-screw-circle"], 180 / count)
        drilled = forms.drill(
            drilled, row["plate-screw-thread"], at["plate-screw-bottom"], wet, spots
        )
    return forms.one_solid(_add_line_port(at, row, drilled))


def _add_line_port(at: Numbers, row: Numbers, body: Solid) -> Solid:
    """Add the boss on the neck in which the balance line ends, tapped and bored through to the suction."""
    from models.parts import forms

    if "line-pad" not in at:
        return body
    x, pad, eye = -row["line-port-position"], at["line-pad"], row["suction-bore"] / 2
    inside = eye + row["wall"] / 2  # the boss begins in the wall, clear of the waterway
    boss = forms.side_post(row["line-boss"], x, 0, inside, pad).cut(
        forms.rod(2 * inside, x - row["line-boss"], x + row["line-boss"])
    )
    tapped = forms.side_post(row["line-thread"], x, 0, pad - row["line-thread-depth"], pad)
    return body.fuse(boss).cut(tapped, forms.side_post(row["line-bore"], x, 0, 0, pad))


Profile = list[tuple[float, float]]
DISH_SHARE = 1.4
"""Wall of the spigot as a share of the cover's wall."""
UNDER_SCREW_SHARE = 0.6
"""Metal left under the blind screw holes, as a share of the cover's wall."""


def ring_seat_faces(row: Row) -> dict[str, Face]:
    """Name the shoulder and the bore of the wear ring's seat."""
    shoulder = row["ring-shoulder"]
    return {
        "ring-shoulder": plane(shoulder, +1),
        "ring-bore": bore(row["ring-bore"], float(shoulder) + 1),
    }


def suction_faces(row: Row) -> dict[str, Face]:
    """Name the wet face and both sides of the suction flange."""
    return {
        "wet-face": plane(row["wet-face-depth"], +1),
        "suction-face": plane(-row["face-length"], -1),
        "suction-flange-back": plane(row["suction-flange-thickness"] - row["face-length"], +1),
    }


def ring_seat(at: Numbers, row: Numbers, front_mm: float) -> tuple[Profile, Profile]:
    """Give the profile from the eye to the wet face with the bore for the wear ring, and the dry side behind it from front_mm."""
    ring, wall, wet, eye = (
        row["ring-bore"] / 2,
        row["wall"],
        at["wet-face"],
        row["suction-bore"] / 2,
    )
    shoulder, mouth = at["ring-shoulder"], at["ring-shoulder"] + row["ring-depth"]
    inner = row["spigot-diameter"] / 2 - wall * DISH_SHARE
    front = [
        (shoulder, eye), (shoulder, ring), (mouth, ring), (mouth, ring + wall), (wet, ring + 2 * wall),
    ]  # fmt: skip
    behind = [
        (front_mm, inner), (wet - wall, inner), (mouth - wall, ring + wall),
        (shoulder - wall, ring + wall * 0.4),
    ]  # fmt: skip
    return front, behind


def _plate_seat(at: Numbers, row: Numbers) -> tuple[Profile, Profile]:
    """Give the flat the wear plate lies on, from the eye outwards, and the dry side behind it."""
    wall, wet, eye = row["wall"], at["wet-face"], row["suction-bore"] / 2
    inner = row["spigot-diameter"] / 2 - wall * DISH_SHARE
    behind = at["plate-screw-bottom"] - UNDER_SCREW_SHARE * wall
    return [(wet, eye)], [(at["nut-face"], inner), (behind, inner), (behind, eye + 2 * wall)]


PART = Part("suction-cover", faces, shape, Material.CAST_IRON, mounts)
