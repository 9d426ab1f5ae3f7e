"""What is cast onto the bearing housing for a vacuum pump: arms or a side pad that carry it, lugs that carry the guard.

Positions along the shaft count back from the face of the bearing cap, so that the sheaves stay in line
with every arrangement of bearings. Belongs to `bearing_housing`.
"""

from __future__ import annotations

from models.parts import belt_path
from models.spec.face import Axis, Face, plane
from models.spec.length import Length
from models.spec.part import Mount, Numbers, Row, Solid

ROOT_SHARE = 0.78
"""How far from the axis the arms are rooted in the barrel, in barrel radii."""
ARM_TIP_SHARE = 0.5
"""Thickness of an arm at its outer end, as a share of its width along the shaft."""
LINK_START_SHARE = 0.6
"""Where the web of a lug begins, as a share of its distance from the axis."""
LINK_SETBACK_SHARE = 0.1
"""How far a lug's web stays behind the face of the bearing cap, as a share of the lug's diameter."""


def name_faces(row: Row, end: Length) -> dict[str, Face]:
    """Name the tops of the arms or the side pad, and the face of the guard's lugs; nothing where there is no vacuum pump."""
    found = {}
    if "lug-circle" in row:
        found["lug-face"] = plane(end + row["lug-length"], +1)
    if "arm-height" in row:
        found["arm-top"] = plane(row["arm-height"], +1, Axis.Z)
    if "side-pad-distance" in row:
        found["side-pad"] = plane(row["side-pad-distance"], +1, Axis.Y)
    return found


def list_mounts(row: Row, end: Length) -> dict[str, tuple[Mount, ...]]:
    """Give the spot of the vacuum pump on the arms, or those of its bracket and of the bracket's screws."""
    if "arm-height" in row:
        x, y = end - row["vacuum-setback"], float(row["arm-offset"])
        return {"vacuum-pump": (Mount(x=x, y=y, axis=Axis.Z, turn_deg=180.0),)}
    if "side-pad-distance" not in row:
        return {}
    x, z = end - row["vacuum-setback"], -float(row["side-pad-drop"])
    along, rise = float(row["side-screw-along"]) / 2, float(row["side-screw-across"]) / 2
    spots = [(dx, dz) for dx in (-along, along) for dz in (-rise, rise)]
    return {
        "vacuum-bracket": (Mount(x=x, z=z, axis=Axis.Y),),
        "bracket-screws": tuple(
            Mount(x=x + dx, z=z + dz, axis=Axis.Y, sign=-1) for dx, dz in spots
        ),
    }


def make(at: Numbers, row: Numbers) -> tuple[list[Solid], list[Solid]]:
    """Make what is cast on, and the tapped holes that are cut into it."""
    if "lug-circle" not in row:
        return [], []
    lugs, lug_holes = _make_lugs(at, row)
    carrier, holes = _make_arms(at, row) if "arm-top" in at else _make_side_pad(at, row)
    return lugs + carrier, lug_holes + holes


def _make_lugs(at: Numbers, row: Numbers) -> tuple[list[Solid], list[Solid]]:
    from models.parts import forms

    end, face, width = at["cap-face"], at["lug-face"], row["lug-diameter"]
    start, stop = end - row["lug-root"], end - LINK_SETBACK_SHARE * width
    cast, holes = [], []
    for y, z in belt_path.find_lugs(row):
        inner = (y * LINK_START_SHARE, z * LINK_START_SHARE)
        cast.append(forms.rod(width, start, face, y, z))
        cast.append(belt_path.prism(inner, width / 2, (y, z), width / 2, start, stop))
        holes.append(forms.rod(row["lug-thread"], face - row["lug-thread-depth"], face, y, z))
    return cast, holes


def _make_arms(at: Numbers, row: Numbers) -> tuple[list[Solid], list[Solid]]:
    from models.parts import forms

    top, middle, half = at["arm-top"], row["arm-offset"], row["arm-length"] / 2
    x, along, across = (
        at["cap-face"] - row["vacuum-setback"],
        row["arm-spacing"] / 2,
        row["arm-screw-across"] / 2,
    )
    root, tip = ROOT_SHARE * row["barrel-diameter"] / 2, ARM_TIP_SHARE * row["arm-width"]
    outline = [
        (middle - half, top), (middle + half, top), (middle + half, top - tip), (root, 0.0), (middle - half, 0.0),
    ]  # fmt: skip
    cast, holes = [], []
    for spot in (x - along, x + along):
        cast.append(
            forms.upright_plate(
                "x", outline, spot - row["arm-width"] / 2, spot + row["arm-width"] / 2
            )
        )
        for y in (middle - across, middle + across):
            deep = top - row["arm-thread-depth"]
            holes.append(forms.post(row["arm-thread"], spot, y, deep, top))
    return cast, holes


def _make_side_pad(at: Numbers, row: Numbers) -> tuple[list[Solid], list[Solid]]:
    from models.parts import forms

    x, z, face = at["cap-face"] - row["vacuum-setback"], -row["side-pad-drop"], at["side-pad"]
    long, tall = row["side-pad-length"] / 2, row["side-pad-width"] / 2
    pad = forms.box((x - long, x + long), (0.0, face), (z - tall, z + tall))
    along, rise = row["side-screw-along"] / 2, row["side-screw-across"] / 2
    holes = [
        forms.side_post(row["side-thread"], x + dx, z + dz, face - row["side-thread-depth"], face)
        for dx in (-along, along)
        for dz in (-rise, rise)
    ]
    return [pad], holes
