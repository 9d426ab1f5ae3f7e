"""Shaft carrier: holds a cut shaft behind the back plate where bracket and bearings would be. Origin as the bracket's.

A flange with the bracket's faces, and ribs to a hub with a blind bore, on whose floor the shaft stands.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

RIBS = 4
"""Ribs between flange and hub: each lies between two studs and clear of what stands level beside the shaft."""
RIB_FOOT_SHARE = 0.35
"""Where on the flange a rib's outer edge stands, from the register outwards to the rim."""

INTO_FLANGE = (0.7, 0.2)
"""How deep a rib's inner and outer edge reach into the flange, as shares of its metal behind the register."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the faces that meet the back plate and the nuts, and the blind bore of the hub."""
    thick, floor = row["flange-thickness"], row["floor-distance"]
    return {
        "casing-end": plane(0.0, -1, near=(0.0, float(row["rim-diameter"]) / 2 - 1)),
        "casing-register": bore(row["casing-register"], float(row["casing-register-depth"]) * 0.9),
        "nut-face": plane(thick, +1, near=(float(thick), float(row["stud-circle"]) / 2)),
        "shaft-floor": plane(floor, -1, near=(float(floor), 1.0)),
        "shaft-bore": bore(row["shaft-bore"], float(floor) - 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn flange and hub, set the ribs between them and drill the stud holes."""
    from models.parts import forms

    rim, register, wall = row["rim-diameter"] / 2, row["casing-register"] / 2, row["wall"]
    depth, thick, floor = row["casing-register-depth"], at["nut-face"], at["shaft-floor"]
    start, end, inner = row["hub-start"], floor + wall, register - wall / 2
    flange = forms.turn(
        [(0, register), (depth, register), (depth, inner), (thick, inner), (thick, rim), (0, rim)]
    )
    hub = forms.rod(row["hub-diameter"], start, end)
    foot, root = register + RIB_FOOT_SHARE * (rim - register), row["hub-diameter"] / 4
    # a rib ends inside flange and hub, so that no edge of it lies in one of their faces
    into = [
        (thick - (thick - depth) * share, r)
        for share, r in zip(INTO_FLANGE, (inner + wall / 4, foot), strict=True)
    ]
    outline = [*into, (end - wall / 2, root), (start + wall / 2, root)]
    half = row["rib-thickness"] / 2
    rib = forms.upright_plate("y", outline, -half, half)
    ribs = [rib.rotate((0, 0, 0), (1, 0, 0), 360 * (i + 0.5) / RIBS) for i in range(RIBS)]
    studs = round(row["stud-count"])
    spots = forms.circle_spots(studs, row["stud-circle"], 180 / studs)
    body = flange.fuse(hub, *ribs).cut(forms.rod(row["shaft-bore"], start, floor))
    return forms.one_solid(forms.drill(body, row["stud-hole"], 0, thick, spots))


PART = Part("shaft-carrier", faces, shape, Material.CAST_IRON)
