"""What play the mounted bearings leave the shaft, along it and across, and what the bearing cap adds.

A single-row ball bearing takes its play along the shaft from its radial clearance, which the press fit on the
shaft has made less; a pair or a double-row bearing has an axial clearance ground into its rings. The cap is a
chain of its own: it leaves the outer ring some room, or nips it.
"""

from __future__ import annotations

import math

from models.formulas.bearing_clearance import find_axial_play
from models.parts.bearing import CONTACT_DEG, ball_diameter_mm
from models.spec.build import Build
from models.spec.clearance import Curve
from models.spec.dimension import Dimension
from models.spec.length import Length
from models.systems.mounted_bearings import find_mounted

ON_SHAFT = {"roller-outer-ring": "roller-inner-ring"}
"""Of a bearing in two parts: the ring that is pressed on the shaft, by that in the housing."""


def _mounted_clearance(build: Build, place: str) -> Length:
    return find_mounted(build, ON_SHAFT.get(place, place)).find_residual()


def find_radial_play(build: Build, place: str) -> Length:
    """Give the play in mm, on the diameter, that a mounted bearing leaves across the shaft.

    Of an angular contact pair or double-row bearing it follows from the axial clearance by the contact angle.
    Source: Harris, Rolling Bearing Analysis, from memory.
    """
    if "axial-clearance" in build.piece_at(place).row:
        return own_axial_play(build) * math.tan(math.radians(CONTACT_DEG))
    return _mounted_clearance(build, place)


def own_axial_play(build: Build) -> Length:
    """Give the axial clearance in mm of the pair, half of it ground into each bearing, or of the double-row bearing."""
    rows = [
        build.piece_at(place).row["axial-clearance"]
        for place in ("bearing-paired", "bearing-outboard")
        if build.has(place)
    ]
    return sum(rows, Length(0.0)) / len(rows)


def _is_single_row(build: Build) -> bool:
    return "axial-clearance" not in build.piece_at("bearing-outboard").row


def _thrust_clearance(build: Build) -> Length:
    return _mounted_clearance(build, "bearing-outboard") if _is_single_row(build) else own_axial_play(build)  # fmt: skip


def _thrust_play(build: Build, clearance: Length) -> Length:
    """Give the play in mm along the shaft for a clearance of the thrust bearing."""
    if not _is_single_row(build):
        return clearance
    row = build.numbers_at("bearing-outboard")
    return find_axial_play(clearance, ball_diameter_mm(row))


def cap_gap(build: Build) -> Length:
    """Give the room in mm between the outer ring and the cap's spigot: below zero the cap nips the ring."""
    return build.position("bearing-cap", "spigot-end") - build.position(
        "bearing-outboard", "outer-drive-end"
    )


def _cap_lets(_build: Build, gap: Length) -> Length:
    return gap if float(gap) > 0.0 else Length(0.0)


END_FLOAT = (Curve(_thrust_clearance, _thrust_play), Curve(cap_gap, _cap_lets))
"""What the shaft's end float is the sum of: the thrust bearing's own play, and what the cap lets its outer ring move."""


def limit_end_float(build: Build) -> Dimension:
    """Give what is required of the end float in the arrangement that is built in, by the shaft under the bearing."""
    return _limit(build, "end-float")


def limit_cap_gap(build: Build) -> Dimension:
    """Give what is required of the cap's gap in the arrangement that is built in."""
    return _limit(build, "cap-gap")


def _limit(build: Build, name: str) -> Dimension:
    kind = "single-row" if _is_single_row(build) else "pair"
    return build.find_limit(f"{name}-{kind}", float(build.piece_at("bearing-outboard").row["bore"]))
